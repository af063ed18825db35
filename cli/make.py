"""``canivet make``: every drawing a design asks for."""

from __future__ import annotations

import re
import sys
import unicodedata
from pathlib import Path

import click

from canivet.errors import CannotWrite
from canivet.lengths import format_mm

from .main import DOES_NOT_HOLD
from .words import describe_report, say

__all__ = ["command"]


@click.command("make")
@click.argument("design", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "folder",
    type=click.Path(path_type=Path),
    default=Path(),
    help="Folder for the drawings  [here]",
)
def command(design: Path, folder: Path) -> None:
    """Draw what DESIGN asks for: SVG and PDF at true size, and a PNG of the finished front.

    Nothing is written of a size that does not hold; then the status is 3.
    """
    from canivet.compose.design import load_design
    from canivet.compose.plate import compose_plate
    from canivet.export import require_folder, write_plate

    plan = load_design(design)
    _make_folder(folder)
    require_folder(folder)
    failed = False
    for size in plan.size:
        plate = compose_plate(plan, size)
        name = _file_name(design.stem, size, several=len(plan.size) > 1)
        for remark in plate.remarks:
            say(f"{name}: {remark}")
        if not plate.report.holds:
            failed = True
            say(f"{name}: {describe_report(plate.report)}")
            say(f"{name}: nothing was written.")
            continue
        for path in write_plate(folder / name, plate.cutting, ink=plan.sheet.ink):
            click.echo(str(path))
        say(f"{name}: {describe_report(plate.report)}")
    if failed:
        sys.exit(DOES_NOT_HOLD)


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite(
            f"cannot make the folder {folder}: {error.strerror}. Name another with -o.",
            parameter="-o",
            value=folder,
        ) from None


def _file_name(stem: str, size: tuple[float, float], *, several: bool) -> str:
    """Return a plain file name; with the size in it where there are several."""
    plain = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode()
    slug = re.sub(r"[^A-Za-z0-9]+", "-", plain).strip("-").lower() or "plate"
    return f"{slug}-{format_mm(size[0], 1)}x{format_mm(size[1], 1)}mm" if several else slug
