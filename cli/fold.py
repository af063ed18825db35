"""``canivet fold``: a folded cut, as the opened piece and the sheet to fold and cut it from."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import parse_length, parse_size

from .main import DOES_NOT_HOLD
from .words import LENGTH, SIZE, describe_report, say

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from canivet.motifs.folds import Fold
    from canivet.motifs.wedge_rings import Border, Ring, WedgeDrawing
    from canivet.stock import Stock

__all__ = ["KINDS", "command"]

KINDS = ("mirror", "quarter", "medallion", "accordion", "lengthwise", "p2mm", "p4mm", "p3m1", "p6mm", "star")
"""What a sheet can be folded into."""

_RING = "petals, or petals count=2 at=between fill"


@click.command("fold")
@click.argument("kind")
@click.option("--size", type=SIZE, help="Of the open sheet, or of one panel in p2mm  [by kind]")
@click.option(
    "--count", type=int, default=6, show_default=True, help="Repeats of a medallion, points of a star"
)
@click.option("--panels", type=int, default=6, show_default=True, help="Panels across")
@click.option("--rows", type=int, default=2, show_default=True, help="Panels up, in p2mm and p4mm")
@click.option("--hem", type=LENGTH, default="0mm", help="Paper standing out past the outer panels  [0 mm]")
@click.option(
    "--ring", "rings", multiple=True, metavar="TEXT", help=f"A ring of motifs: {_RING}; repeat as needed"
)
@click.option("--eye", type=LENGTH, default="0mm", help="Radius of the round opening in the middle  [0 mm]")
@click.option("--border", metavar="TEXT", help="How the open edge is cut: scallops count=2 depth=5mm")
@click.option("--seed", type=int, help="Rings chosen by chance; the same number, the same drawing")
@click.option(
    "--wedge", type=click.Path(path_type=Path), help="Your own drawing of the wedge: dark is cut away"
)
@click.option(
    "--figure", type=click.Path(path_type=Path), help="A silhouette folded with the sheet: dark is cut away"
)
@click.option("--words", help="Words cut in the wedge, as large as there is room for, counters bridged")
@click.option("--mirrored", is_flag=True, help="Mirror --words, to read in the leaves that open turned over")
@click.option(
    "--at", metavar="XxY", help="Lower left corner of --wedge or --figure in the wedge  [its corner; centred]"
)
@click.option("--width", type=LENGTH, help="Width of --wedge or --figure  [as the file says; the wedge's]")
@click.option("--strap", type=LENGTH, default="1.5mm", show_default=True, help="The narrowest paper left")
@click.option("--rim", type=LENGTH, help="Paper along an open edge  [a strap and a half]")
@click.option("--thickness", type=LENGTH, default="0.1mm", show_default=True, help="Of the paper")
@click.option(
    "--faces", default="plain", show_default=True, help="plain, dark on one face, dark on both faces"
)
@click.option(
    "--creep", is_flag=True, help="Move the template's openings off the folds by what the bends take"
)
@click.option("--title", help="What it is called  [its kind]")
@click.option("--sheet", help="The template's page, such as A4  [the smallest from A4 that takes it]")
@click.option("--paper", help="The sheet that is folded, such as A4: refused where it is too small")
@click.option("--flat", is_flag=True, help="Draw any of the 17 plane groups unfolded: KIND is its symbol")
@click.option("--packet", type=click.Path(path_type=Path), help="FILE.svg for the sheet to fold and cut from")
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="FILE.svg, FILE.pdf or FILE.png"
)
def command(
    kind: str, output: Path, packet: Path | None, flat: bool, title: str | None, sheet: str | None,
    paper: str | None, creep: bool,
    faces: str, thickness: float, strap: float, rim: float | None, **asked: Any,
) -> None:  # fmt: skip
    """Fold a sheet, cut a wedge, open it: draw the opened piece and the sheet to cut it from.

    KIND is mirror, quarter, medallion, accordion, lengthwise, p2mm, p4mm, p3m1, p6mm or star.

    Example: canivet fold medallion --count 8 --ring "drops fill" --ring "petals count=2" -o rose.svg
    --packet rose-packet.svg
    """
    from canivet.cutting import Cutting
    from canivet.export import require_writable, write_drawing, write_svg
    from canivet.export.packet_sheet import packet_svg
    from canivet.motifs.folds import check_sheet
    from canivet.motifs.packet import plan_packet
    from canivet.sheets import find_sheet
    from canivet.stock import Faces, Stock
    from canivet.strength import check_strength

    for path in (output, packet):
        if path is not None:
            require_writable(path)
    stock = Stock.of(Faces.named(faces, parameter="--faces"), thickness=thickness)
    page = find_sheet(sheet, parameter="--sheet") if sheet else None
    if flat:
        _draw_flat(kind, strap, rim, stock, output, packet, asked["size"])
        return
    fold, drawing = _drawn(kind, strap, 1.5 * strap if rim is None else rim, asked)
    if paper:
        check_sheet(fold, find_sheet(paper, parameter="--paper"))
    try:
        plan = plan_packet(
            fold, drawing.openings, title=title or fold.name, strap=strap,
            rim=1.5 * strap if rim is None else rim,
            edge=drawing.kept, stock=stock, compensate=creep,
        )  # fmt: skip
    except DoesNotFit as error:
        if "does not hold" not in error.message:
            raise
        say(error.message)
        say("Nothing was written.")
        sys.exit(DOES_NOT_HOLD)
    cutting = Cutting(plan.piece, strap, plan.title, f"A {fold.name} of {fold.layers} layers.", stock)
    if packet is not None:
        template = packet_svg(plan, sheet=page)
        write_drawing(output, cutting)
        write_svg(packet, template)
    else:
        write_drawing(output, cutting)
    click.echo("\n".join(str(path) for path in (output, packet) if path is not None))
    say(describe_report(check_strength(plan.piece, strap=strap)))
    for note in plan.notes:
        say(note)


def _drawn(kind: str, strap: float, rim: float, asked: dict[str, Any]) -> tuple[Fold, WedgeDrawing]:
    """Return the fold asked for and what is cut of it."""
    from canivet.motifs.fold_stars import one_snip_star
    from canivet.motifs.wedge_rings import Ring, WedgeDrawing, draw_rings, seeded_rings

    if kind == "star":
        size = asked["size"]
        return one_snip_star(points=asked["count"], width=min(size) if size else 180.0)
    fold = _fold(kind, asked)
    if asked["wedge"] is not None:
        return fold, WedgeDrawing((_placed(asked["wedge"], fold, asked, fill=False),))
    if asked["words"]:
        from canivet.motifs.wedge_letters import letter_wedge

        cut = letter_wedge(
            fold, asked["words"], strap=strap, smallest=0.5, rim=rim, mirrored=asked["mirrored"]
        )
        return fold, WedgeDrawing(tuple(cut))
    if asked["figure"] is not None:
        from canivet.motifs.wedges import fit_figure

        figure = _placed(asked["figure"], fold, asked, fill=True)
        found = fit_figure(fold, figure, strap=strap, smallest=0.5, rim=rim)
        return fold, WedgeDrawing(tuple(found))
    rings = [read_ring(text) for text in asked["rings"]]
    if asked["seed"] is not None and not rings:
        rings = seeded_rings(fold, asked["seed"])
    border = read_border(asked["border"]) if asked["border"] else None
    drawing = draw_rings(
        fold, rings or [Ring("drops", fill=True), Ring("petals", count=2)], strap=strap, rim=rim,
        eye=asked["eye"],
        border=border,
    )  # fmt: skip
    return fold, drawing


def _fold(kind: str, asked: dict[str, Any]) -> Fold:
    """Return the fold of that kind."""
    from canivet.motifs.fold_groups import FRIEZES, PLANE_GROUPS, require_foldable
    from canivet.motifs.folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold

    given = asked["size"]
    if kind in ("mirror", "quarter"):
        width, height = given or ((100.0, 140.0) if kind == "mirror" else (120.0, 120.0))
        return (mirror_fold if kind == "mirror" else quarter_fold)(width=width, height=height)
    if kind == "medallion":
        return medallion_fold(count=asked["count"], width=min(given) if given else 180.0)
    if kind in ("accordion", "lengthwise"):
        width, height = given or (30.0 * asked["panels"], 80.0)
        return accordion_fold(
            panels=asked["panels"], width=width / max(1, asked["panels"]), height=height, hem=asked["hem"],
            lengthwise=kind == "lengthwise",
        )  # fmt: skip
    if kind in PLANE_GROUPS or kind in FRIEZES:
        group = require_foldable(kind, strip=kind not in PLANE_GROUPS)
        width, height = given or (45.0, 45.0)
        columns = asked["panels"] if group.symbol in ("p2mm", "p4mm") else min(asked["panels"], 2)
        return plane_fold(
            group=group.symbol, columns=columns, rows=asked["rows"], width=width,
            height=height if group.symbol == "p2mm" else None, hem=asked["hem"],
        )  # fmt: skip
    raise BadValue(
        f"KIND is {kind!r}; it takes one of: {', '.join(KINDS)}.{suggest(kind, KINDS)}",
        parameter="KIND", value=kind, accepted=", ".join(KINDS),
    )  # fmt: skip


def _placed(path: Path, fold: Fold, asked: dict[str, Any], *, fill: bool) -> BaseGeometry:
    """Read a file's dark shapes and set them on the wedge."""
    from shapely.affinity import translate

    from canivet.compose.silhouette import read_silhouette

    low_x, low_y, high_x, high_y = fold.wedge.bounds
    width = asked["width"] or ((high_x - low_x) * 1.6 if fill else None)
    shape = read_silhouette(path, width=width)
    for warning in shape.warnings:
        say(warning)
    if asked["at"]:
        x, y = _read_place(asked["at"])
        return translate(shape.area, low_x + x, low_y + y)
    if not fill:
        return translate(shape.area, low_x, low_y)
    wide, high = shape.area.bounds[2:]
    return translate(shape.area, low_x - wide / 2, (low_y + high_y - high) / 2)


def _draw_flat(
    symbol: str, strap: float, rim: float | None, stock: Stock, output: Path, packet: Path | None,
    size: tuple[float, float] | None,
) -> None:  # fmt: skip
    """Draw a plane group unfolded, from one leaf that is no mirror image of itself."""
    from canivet.cutting import Cutting
    from canivet.export import write_drawing
    from canivet.motifs.fold_groups import find_group, flat_pattern, leaf_in_unit
    from canivet.strength import check_strength

    if packet is not None:
        raise BadValue("--packet is given with --flat; a flat drawing has no packet. Leave --packet out.")
    width, height = size or (150.0, 150.0)
    cell = max(24.0, 16 * strap)
    leaf = leaf_in_unit(find_group(symbol), strap=strap, cell=cell)
    paper = flat_pattern(
        symbol, leaf, width=width, height=height, cell=cell, strap=strap,
        rim=max(4.0, 2 * strap if rim is None else rim)
    )  # fmt: skip
    report = check_strength(paper, strap=strap)
    say(describe_report(report))
    if not report.holds:
        say("Nothing was written.")
        sys.exit(DOES_NOT_HOLD)
    write_drawing(
        output, Cutting(paper, strap, f"{symbol}, cut flat", "An all-over pattern, cut unfolded.", stock)
    )
    click.echo(str(output))


def read_ring(text: str) -> Ring:
    """Read a ring such as ``petals count=2 at=between fill``.

    Raises
    ------
    BadValue
        If a word is not known or a value cannot be read.

    Examples
    --------
    >>> read_ring("petals count=2 fill").count
    2
    """
    from canivet.motifs.wedge_motifs import find_unit
    from canivet.motifs.wedge_rings import Ring

    name, given = _read_words(
        text,
        "--ring",
        {"share": float, "count": int, "divisions": int, "width": float, "at": str},
        ("fill", "turned"),
    )
    find_unit(name)
    if given.get("at", "fold") not in ("fold", "between"):
        raise BadValue(
            f"at is {given['at']!r} in --ring; it takes fold or between.",
            parameter="at",
            accepted="fold, between",
        )
    return Ring(name.lower(), **given)


def read_border(text: str) -> Border:
    """Read a border such as ``scallops count=2 depth=5mm``.

    Raises
    ------
    BadValue
        As `read_ring`.
    """
    from canivet.motifs.wedge_rings import Border

    name, given = _read_words(text, "--border", {"count": int, "depth": parse_length}, ())
    return Border(name.lower(), **given)


def _read_words(
    text: str, option: str, values: dict[str, Any], flags: tuple[str, ...]
) -> tuple[str, dict[str, Any]]:
    words = text.split()
    if not words:
        raise BadValue(f"{option} is empty; it takes a name first, such as {_RING}.", parameter=option)
    given: dict[str, Any] = {}
    for word in words[1:]:
        key, equals, value = word.partition("=")
        if key in flags and not equals:
            given[key] = True
        elif key in values and value:
            try:
                given[key] = values[key](value)
            except BadValue:
                raise
            except ValueError:
                raise BadValue(
                    f"{key} is {value!r} in {option}; it takes a number.",
                    parameter=key,
                    value=value,
                    accepted="a number",
                ) from None
        else:
            known = [*(f"{name}=…" for name in values), *flags]
            raise BadValue(
                f"{option} has {word!r}; after the name it takes: "
                f"{', '.join(known)}.{suggest(key, [*values, *flags])}",
                parameter=option, value=word, accepted=", ".join(known),
            )  # fmt: skip
    return words[0], given


def _read_place(text: str) -> tuple[float, float]:
    return parse_size(text, parameter="--at")
