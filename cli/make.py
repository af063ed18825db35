"""``canivet make``: every drawing a design asks for."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from canivet.errors import CanivetError, CannotWrite

from .main import DOES_NOT_HOLD
from .words import describe_report, say

if TYPE_CHECKING:
    from canivet.compose.plate import Plate

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
@click.option("--workers", type=click.IntRange(1, 256), help="Processes for a series  [all cores]")
def command(design: Path, folder: Path, workers: int | None) -> None:
    """Draw what DESIGN asks for: SVG and PDF at true size, and a PNG of the finished front.

    With a [series] table every row of its list is drawn at every size: an SVG each, one PDF of all pages, a
    contact sheet and a manifest. A series that was interrupted goes on where it stopped.

    Of a size that does not hold no plate is written, only NAME-marked.pdf, a page with its weak places ringed
    and explained; then the status is 3.
    """
    from canivet.compose.design.loading import load_design
    from canivet.compose.design.names import plain_stem, size_marks
    from canivet.compose.plate import compose_plate
    from canivet.export import require_folder, write_plate

    plan = load_design(design)
    _make_folder(folder)
    require_folder(folder)
    if plan.series is not None:
        from .series import make_series

        if not make_series(plan, folder, workers=workers or -1):
            sys.exit(DOES_NOT_HOLD)
        return
    failed = False
    stem = plain_stem(design.stem, instead="plate")
    for size, mark in zip(plan.size, size_marks(plan.size), strict=True):
        plate = compose_plate(plan, size)
        name = stem + mark
        for remark in plate.remarks:
            say(f"{name}: {remark}")
        if not plate.report.holds:
            failed = True
            say(f"{name}: {describe_report(plate.report)}")
            say(f"{name}: no plate was written.{_older(folder / name)}")
            _write_marked(folder / f"{name}-marked.pdf", plate)
            continue
        with contextlib.suppress(OSError):
            (folder / f"{name}-marked.pdf").unlink()
        for path in write_plate(folder / name, plate.cutting, ink=plan.sheet.ink):
            click.echo(str(path))
        say(f"{name}: {describe_report(plate.report)}")
    if failed:
        sys.exit(DOES_NOT_HOLD)


def _write_marked(path: Path, plate: Plate) -> None:
    """Write where the plate is weak; whatever keeps that from being written must not hide that it is."""
    from canivet.export.marked.writing import write_marked_plate

    try:
        write_marked_plate(path, plate.cutting, plate.report)
    except CanivetError as error:
        say(f"{path}: not written: {error.message}")
    else:
        say(f"{path}: a marked drawing of where it is weak; not a plate to cut.")


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWrite(
            f"cannot make the folder {folder}: {error.strerror}. Name another with -o.",
            parameter="-o",
            value=folder,
        ) from None


def _older(target: Path) -> str:
    """Say which drawings of an earlier run are still there, so that none is taken for this one's."""
    old = [target.with_name(target.name + suffix) for suffix in (".svg", ".pdf", ".png")]
    there = [path.name for path in old if path.exists()]
    return f" From an earlier run there are still {', '.join(there)}." if there else ""
