"""``canivet draw``: one motif, to a file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from canivet.compose.design.limits import require_few_cells
from canivet.cutting import Cutting
from canivet.errors import BadValue, suggest
from canivet.motifs.registry import Motif, find_motif
from canivet.parameters import read_value
from canivet.sheets import find_sheet
from canivet.stock import Faces, Stock

from .main import DOES_NOT_HOLD
from .words import (
    LENGTH,
    SIZE,
    Ink,
    Pages,
    describe_report,
    faces_option,
    ink_option,
    margin_option,
    page_setup,
    pages_option,
    say,
    write_piece,
)

__all__ = ["command"]

_SIZED = ("outline", "form")
"""Families that fill a size by themselves, and no outline."""

_ROLES = {"border": "border", "lattice": "ground"}
"""What the openings of a family are on a plate."""


@click.command("draw")
@click.argument("motif")
@click.option("--size", type=SIZE, default="4x6 in", show_default=True, help="Width and height of the piece")
@click.option("--strap", type=LENGTH, help="The narrowest paper left  [the motif's own default]")
@click.option("--outline", help="What a border or lattice fills  [rectangle]")
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="NAME=VALUE",
    help="Any setting of the motif; repeat as needed",
)
@faces_option
@ink_option
@pages_option
@margin_option
@click.option("--sheet", help="The page for a PDF, such as A4 or letter  [the smallest A size that takes it]")
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="FILE.svg, FILE.pdf or FILE.png"
)
def command(
    motif: str, size: tuple[float, float], strap: float | None, outline: str | None,
    settings: tuple[str, ...], faces: str, ink: Ink | None, pages: Pages | None,
    margin: float | None, sheet: str | None, output: Path,
) -> None:  # fmt: skip
    """Draw MOTIF into a file: the bare piece as SVG, a true-size page as PDF, a picture as PNG.

    Example: canivet draw diamond-lattice --size "4x6 in" --strap 1.2mm --outline oval -o oval.svg
    """
    from canivet.audit.strength import check_strength
    from canivet.export import require_writable
    from canivet.export.parts import parts_of_piece

    require_writable(output)
    setup = page_setup(output, ink, pages, margin)
    chosen = _find(motif)
    given = _read_settings(chosen, settings)
    if strap is not None:
        _bound(chosen, "strap")
        given["strap"] = read_value(chosen.parameters["strap"], strap)
    if chosen.family in _SIZED:
        if outline is not None:
            raise BadValue(
                f"--outline is given with {chosen.name}; it goes with borders and lattices, which fill it. "
                "Leave --outline out.",
                parameter="--outline", value=outline,
            )  # fmt: skip
        paper = chosen.draw(**given, width=size[0], height=size[1])
    else:
        filled = find_motif(
            "rectangle" if outline is None else outline, family="outline", parameter="--outline"
        )
        within = filled.draw(width=size[0], height=size[1])
        require_few_cells(chosen, given, within.area)
        paper = chosen.draw(**given, within=within)
    needed = float(
        given.get("strap", chosen.parameters["strap"].default if "strap" in chosen.parameters else 1.0)
    )
    report = check_strength(paper, strap=needed)
    if not report.holds:
        say(f"{chosen.name}: {describe_report(report)}")
        say("Nothing was written. Raise the repeat or pitch, or lower the strap.")
        sys.exit(DOES_NOT_HOLD)
    cutting = Cutting(
        paper=paper, strap=needed, title=chosen.name.replace("-", " "), description=chosen.summary,
        stock=Stock.of(Faces.named(faces, parameter="--faces")),
        sheet=find_sheet(sheet, parameter="--sheet") if sheet else None,
    )  # fmt: skip
    write_piece(output, cutting, setup, parts_of_piece(paper, role=_ROLES.get(chosen.family, "openings")))
    say(describe_report(report))


def _read_settings(motif: Motif, settings: tuple[str, ...]) -> dict[str, Any]:
    given = {}
    for setting in settings:
        name, equals, value = setting.partition("=")
        if not equals:
            raise BadValue(f"--set is {setting!r}; it takes name=value, such as --set pitch=8mm.")
        given[name.strip()] = read_value(_bound(motif, name.strip()), value.strip())
    return given


def _find(name: str) -> Motif:
    """Find a motif; say of a frame where it belongs."""
    found = find_motif(name)
    if found.family != "frame":
        return found
    raise BadValue(
        f'{found.name} is a frame, made to be filled. Put frame = "{found.name}" into a design, and draw it '
        "with canivet make.",
        parameter="motif", value=name,
    )  # fmt: skip


def _bound(motif: Motif, name: str) -> Any:
    known = motif.parameters
    if name in ("width", "height") and motif.family in _SIZED:
        raise BadValue(
            f"--set has {name}; {motif.name} takes its width and height from --size. Give --size, such as "
            '--size "4x6 in".',
            parameter=name, accepted="--size",
        )  # fmt: skip
    if name not in known:
        raise BadValue(
            f"{motif.name} has no setting {name!r}.{suggest(name, known)} It takes: {', '.join(known)}.",
            parameter=name, accepted=", ".join(known),
        )  # fmt: skip
    return known[name]
