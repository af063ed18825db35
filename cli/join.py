"""``canivet join``: repair and bridge a drawing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.lengths import counted, format_mm
from canivet.sheets import find_sheet
from canivet.stock import Faces, Stock

from .main import DOES_NOT_HOLD
from .words import (
    LENGTH,
    Ink,
    Pages,
    describe_report,
    faces_option,
    ink_option,
    keep_sources,
    margin_option,
    page_setup,
    pages_option,
    say,
    shown_work,
    write_piece,
)

if TYPE_CHECKING:
    from canivet.compose.joining.parts import Held
    from canivet.compose.mending.repair import Change

__all__ = ["command"]

_MOST = 6
"""Places named on one line."""


@click.command("join")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--strap", type=LENGTH, default="1 mm", show_default=True, help="The width every strap must have"
)
@click.option(
    "--smallest",
    type=LENGTH,
    default="0.4 mm",
    show_default=True,
    help="Radius of the smallest opening worth cutting",
)
@click.option("--width", type=LENGTH, help="Resize to this width  [its own size]")
@click.option("--height", type=LENGTH, help="Resize to this height  [its own size]")
@click.option(
    "--holds",
    type=click.Choice(["single", "double"]),
    default="double",
    show_default=True,
    help="Bridges to each part, where geometry allows",
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
    file: Path,
    strap: float,
    smallest: float,
    width: float | None,
    height: float | None,
    holds: Literal["single", "double"],
    faces: str,
    ink: Ink | None,
    pages: Pages | None,
    margin: float | None,
    sheet: str | None,
    output: Path,
) -> None:
    """Make FILE (SVG, PNG, JPEG) one piece that holds: mend what is too thin, bridge what is loose.

    Says what was thickened, filled, dropped and bridged, and where. Ends with status 3, writing nothing, if
    it cannot be made to hold.
    """
    from canivet.compose.joining.parts import hold_together
    from canivet.compose.reading.silhouette import read_silhouette
    from canivet.export import require_writable
    from canivet.export.parts import parts_of_piece

    if strap <= 0:
        raise BadValue("--strap is 0 mm; it takes a length above zero, such as 1 mm.", parameter="--strap")
    if width is not None and height is not None:
        raise BadValue(
            "--width and --height are both given; give one, the other follows.", parameter="--width"
        )
    keep_sources(file)
    require_writable(output)
    setup = page_setup(output, ink, pages, margin)
    page = find_sheet(sheet, parameter="--sheet") if sheet else None
    stock = Stock.of(Faces.named(faces, parameter="--faces"))
    read = read_silhouette(file, width=width, height=height)
    for warning in read.warnings:
        say(f"{file.name}: {warning}")
    with shown_work(file.name):
        held = hold_together(read.area, strap=strap, smallest=smallest, holds=holds)
    from canivet.compose.mending.staying import warn_of_much

    much = warn_of_much(read.area, held.repair.paper, strap=strap, smallest=smallest)
    if much:
        say(f"{file.name}: {much}")
    say(_told(held))
    say(describe_report(held.report))
    if not held.report.holds:
        say("Nothing was written.")
        sys.exit(DOES_NOT_HOLD)
    title = f"{read.name}, joined"
    parts = parts_of_piece(
        held.paper, role="openings", bridges=held.joined.bridges, unbridged=held.repair.paper
    )
    write_piece(output, Cutting(held.paper, strap, title, stock=stock, sheet=page), setup, parts)


def _told(held: Held) -> str:
    """Return what was done, in lines: nothing is changed in silence."""
    from canivet.compose.mending.repair import describe_repair

    repair, joined = held.repair, held.joined
    lines = []
    for done, changes in describe_repair(repair):
        lines.append(_line(done, changes))
    if repair.smoothed:
        lines.append(f"  {format_mm(repair.smoothed, 2)} mm² moved by smoothing")
    if joined.bridges:
        lines.append(
            f"  {counted(len(joined.bridges), 'bridge')}, {format_mm(joined.total_length, 1)} mm in all "
            f"({format_mm(joined.bound, 1)} mm is the least a tree could take): "
            + ", ".join(_pair(bridge.start) for bridge in joined.bridges[:_MOST])
            + _more(len(joined.bridges))
        )
    if held.doubtful:
        lines.append(_line("smaller than the bridges that hold it; take it out if it is dust", held.doubtful))
    for done, changes in (
        ("filled beside bridges", joined.filled),
        ("patched beside bridges", joined.patched),
        *((f"{done}, once joined", changes) for done, changes in describe_repair(held.finish)),
    ):
        if changes:
            lines.append(_line(done, changes))
    change = held.paper.area / repair.area_before - 1
    return "\n".join([f"paper {format_mm(repair.area_before, 1)} mm², changed by {change:+.2%}", *lines])


def _line(done: str, changes: tuple[Change, ...]) -> str:
    area, count = format_mm(sum(c.area for c in changes), 2), len(changes)
    return f"  {area} mm² in {counted(count, 'place')} {done}: {_places(changes)}"


def _places(changes: tuple[Change, ...]) -> str:
    return ", ".join(_pair(c.at) for c in changes[:_MOST]) + _more(len(changes))


def _more(count: int) -> str:
    return " …" if count > _MOST else ""


def _pair(at: tuple[float, float]) -> str:
    return f"({format_mm(at[0], 1)}, {format_mm(at[1], 1)})"
