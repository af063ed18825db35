"""``canivet fold``: a folded cut, as the opened piece and the sheet to fold and cut it from."""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, NoReturn

import click
from click.core import ParameterSource

from canivet.errors import BadValue, suggest
from canivet.lengths import parse_length
from canivet.motifs.folding import kinds as fold_kinds
from canivet.motifs.folding.kinds import KINDS, ROUND, TAKERS

from .main import DOES_NOT_HOLD
from .words import LENGTH, SIZE, describe_report, say

if TYPE_CHECKING:
    from canivet.motifs.folding.fold import Fold
    from canivet.motifs.folding.wedge.rings import Border, Ring, WedgeDrawing
    from canivet.stock import Stock

__all__ = ["command"]

_RING = "petals, or petals count=2 at=between fill"
_FLAT = "--flat"
_DRAWN = tuple(kind for kind in KINDS if kind != "star")
_SOURCES = ("--ring", "--seed", "--wedge", "--figure", "--words")
_NO_RINGS = ("--wedge", "--figure", "--words")


class _Rule(NamedTuple):
    """What an option goes with: kinds, options one of which it needs, and those it cannot stand beside."""

    kinds: tuple[str, ...]
    needs: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    because: str = ""


_RULES = {
    **{f"--{name}": _Rule(kinds) for name, kinds in TAKERS.items()},
    **{
        name: _Rule(_DRAWN, never=_SOURCES, because="each says what is cut, and only one can")
        for name in _SOURCES
    },
    "--eye": _Rule(ROUND, never=_NO_RINGS, because="an eye goes with rings"),
    "--border": _Rule(_DRAWN, never=_NO_RINGS, because="a border goes with rings"),
    "--mirrored": _Rule(_DRAWN, needs=("--words",)),
    "--at": _Rule(_DRAWN, needs=("--wedge", "--figure")),
    "--width": _Rule(_DRAWN, needs=("--wedge", "--figure")),
    "--rim": _Rule((*_DRAWN, _FLAT)),
    "--creep": _Rule(_DRAWN, needs=("--packet",)),
    "--sheet": _Rule(KINDS, needs=("--packet",)),
    "--paper": _Rule(KINDS),
    "--packet": _Rule(KINDS),
}
"""Every option that does not go with all the others; --flat stands for the kinds that are not folded."""


@click.command("fold")
@click.argument("kind")
@click.option("--size", type=SIZE, help="Of the open sheet, or of one panel in a plane group  [by kind]")
@click.option("--count", type=int, help="Repeats of a medallion, points of a star  [6]")
@click.option("--panels", type=int, help="Panels across; triangles to a hexagon's side  [6; 2, p6mm 1]")
@click.option("--rows", type=int, help="Panels up, in p2mm and p4mm  [2]")
@click.option("--hem", type=LENGTH, help="Paper standing out past the outer panels  [0 mm]")
@click.option(
    "--ring", "rings", multiple=True, metavar="TEXT", help=f"A ring of motifs: {_RING}; repeat as needed"
)
@click.option("--eye", type=LENGTH, help="Radius of the round opening in the middle of rings  [0 mm]")
@click.option("--border", metavar="TEXT", help="How the open edge is cut: scallops count=2 depth=5mm")
@click.option(
    "--seed", type=click.IntRange(0, 2**31), help="Rings chosen by chance; the same number, the same drawing"
)
@click.option(
    "--wedge", type=click.Path(path_type=Path), help="Your own drawing of the wedge: dark is cut away"
)
@click.option(
    "--figure", type=click.Path(path_type=Path), help="A silhouette folded with the sheet: dark is cut away"
)
@click.option("--words", help="Words cut in the wedge, as large as there is room for, counters bridged")
@click.option("--mirrored", is_flag=True, help="Mirror --words, to read in the leaves that open turned over")
@click.option(
    "--at", metavar="XxY",
    help="Where --wedge or --figure begins, from the wedge's lower left corner  [its corner; centred]",
)  # fmt: skip
@click.option("--width", type=LENGTH, help="Width of --wedge or --figure  [as the file says; the wedge's]")
@click.option("--strap", type=LENGTH, default="1.5mm", show_default=True, help="The narrowest paper left")
@click.option("--rim", type=LENGTH, help="Paper along an open edge  [1.5 straps; --flat: 2, or 4 mm]")
@click.option("--thickness", type=LENGTH, help="Of the paper  [0.1 mm; tissue of 0.04 mm for p6mm]")
@click.option(
    "--faces", default="plain", show_default=True, help="plain, dark on one face, dark on both faces"
)
@click.option("--creep", is_flag=True, help="Move the packet's openings off the folds by what the bends take")
@click.option("--title", help="What it is called  [its kind]")
@click.option("--sheet", help="The packet's page, such as A4  [the smallest from A4 that takes it]")
@click.option("--paper", help="The sheet that is folded, such as A4: refused where it is too small")
@click.option("--flat", is_flag=True, help="Draw any of the 17 plane groups unfolded: KIND is its symbol")
@click.option("--packet", type=click.Path(path_type=Path), help="FILE.svg for the sheet to fold and cut from")
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="FILE.svg, FILE.pdf or FILE.png"
)
def command(
    kind: str, output: Path, packet: Path | None, flat: bool, title: str | None, strap: float,
    rim: float | None, thickness: float | None, faces: str, **asked: Any,
) -> None:  # fmt: skip
    """Fold a sheet, cut a wedge, open it: draw the opened piece and the sheet to cut it from.

    KIND is mirror, quarter, medallion, accordion, lengthwise, p2mm, p4mm, p3m1, p6mm or star.

    Example: canivet fold medallion --count 8 --ring "drops fill" --ring "petals count=2" -o rose.svg
    --packet rose-packet.svg
    """
    from canivet.stock import Faces, Stock

    if not flat:
        fold_kinds.check_kind(kind)
    _check_together(_FLAT if flat else kind, _given())
    _check_paths(output, packet)
    if title is not None and not title.strip():
        raise BadValue("--title is empty. Give it words, or leave it out.", parameter="--title", value=title)
    thickness = fold_kinds.usual_thickness(kind) if thickness is None else thickness
    stock = Stock.of(Faces.named(faces, parameter="--faces"), thickness=thickness)
    if flat:
        _draw_flat(kind, asked["size"], strap, rim, title, stock, output)
    else:
        rim = fold_kinds.usual_rim(strap) if rim is None else rim
        _draw_folded(kind, strap, rim, title, stock, output, packet, asked)


def _given() -> list[str]:
    """Return the options on the command line, by the name they have there."""
    context = click.get_current_context()
    return [
        option.opts[0]
        for option in context.command.params
        if option.name and context.get_parameter_source(option.name) is ParameterSource.COMMANDLINE
    ]


def _check_together(kind: str, given: list[str]) -> None:
    """Refuse an option that could only be ignored beside the others."""
    for name in given:
        rule = _RULES.get(name, _Rule((kind,)))
        beside = [other for other in rule.never if other in given and other != name]
        if kind not in rule.kinds:
            fault = f"is given with {kind}; it goes with {_kinds(rule.kinds)}. Leave {name} out."
        elif rule.needs and not any(other in given for other in rule.needs):
            needed = " or ".join(rule.needs)
            fault = f"is given without {needed}, which it goes with. Give {needed}, or leave {name} out."
        elif beside:
            fault = f"and {beside[0]} are both given; {rule.because}. Leave one of the two out."
        else:
            continue
        raise BadValue(f"{name} {fault}", parameter=name)


def _kinds(kinds: tuple[str, ...]) -> str:
    folded = [kind for kind in kinds if kind != _FLAT]
    left = [kind for kind in KINDS if kind not in kinds]
    if len(left) < 2:
        return f"every folded KIND{f' but {left[0]}' if left else ''}"
    return f"{', '.join(folded[:-1])} or {folded[-1]}"


def _check_paths(output: Path, packet: Path | None) -> None:
    from canivet.export import require_writable

    require_writable(output)
    if packet is None:
        return
    if packet.suffix.lower() != ".svg":
        raise BadValue(
            f"--packet is {packet}; the sheet to fold and cut from is written as SVG. Name it with .svg.",
            parameter="--packet", value=packet, accepted=".svg",
        )  # fmt: skip
    require_writable(packet)
    if os.path.realpath(packet) == os.path.realpath(output):
        raise BadValue(
            f"--packet and -o are both {packet}; the one would overwrite the other. Give two names.",
            parameter="--packet", value=packet, accepted="another file than -o",
        )  # fmt: skip


def _draw_folded(
    kind: str, strap: float, rim: float, title: str | None, stock: Stock, output: Path, packet: Path | None,
    asked: dict[str, Any],
) -> None:  # fmt: skip
    """Draw the opened piece, and the packet where it is asked for."""
    from canivet.audit.strength import check_strength
    from canivet.cutting import Cutting
    from canivet.export import write_drawing, write_svg
    from canivet.export.packet import packet_svg
    from canivet.motifs.folding.folds import check_sheet
    from canivet.motifs.folding.weak import DoesNotHold, plan_held
    from canivet.sheets import find_sheet

    page = None if asked["sheet"] is None else find_sheet(asked["sheet"], parameter="--sheet")
    paper = None if asked["paper"] is None else find_sheet(asked["paper"], parameter="--paper")
    fold, drawing = _drawn(kind, strap, rim, asked)
    if paper is not None:
        check_sheet(fold, paper)
    try:
        plan = plan_held(
            fold, drawing, title=title or fold.name, strap=strap, rim=rim, stock=stock,
            compensate=asked["creep"],
        )  # fmt: skip
    except DoesNotHold as error:
        _stop(error.message)
    cutting = Cutting(plan.piece, strap, plan.title, f"A {fold.name} of {fold.layers} layers.", stock)
    template = None if packet is None else packet_svg(plan, sheet=page)
    write_drawing(output, cutting)
    click.echo(str(output))
    if packet is not None and template is not None:
        write_svg(packet, template)
        click.echo(str(packet))
    say(describe_report(check_strength(plan.piece, strap=strap)))
    for note in plan.notes:
        say(note)


def _drawn(kind: str, strap: float, rim: float, asked: dict[str, Any]) -> tuple[Fold, WedgeDrawing]:
    """Return the fold asked for and what is cut of it."""
    if kind == "star":
        return fold_kinds.snipped_star(size=asked["size"], count=asked["count"])
    fold = fold_kinds.fold_of_kind(kind, size=asked["size"], **{name: asked[name] for name in TAKERS})
    if asked["words"] is not None:
        from canivet.motifs.folding.wedge.letters import letter_wedge
        from canivet.motifs.folding.wedge.rings import WedgeDrawing

        cut = letter_wedge(
            fold, asked["words"], strap=strap, smallest=0.5, rim=rim, mirrored=asked["mirrored"]
        )
        return fold, WedgeDrawing(tuple(cut))
    if asked["wedge"] is not None or asked["figure"] is not None:
        return fold, _from_file(fold, strap, rim, asked)
    return fold, _ringed(fold, strap, rim, asked)


def _from_file(fold: Fold, strap: float, rim: float, asked: dict[str, Any]) -> WedgeDrawing:
    """Return what a file says is cut, and say what was not read faithfully."""
    from canivet.compose.own_wedges import figure_from_file, wedge_from_file

    at = None if asked["at"] is None else read_place(asked["at"])
    if asked["wedge"] is not None:
        drawing, warnings = wedge_from_file(asked["wedge"], fold, at=at, width=asked["width"])
    else:
        drawing, warnings = figure_from_file(
            asked["figure"], fold, strap=strap, rim=rim, at=at, width=asked["width"]
        )
    for warning in warnings:
        say(warning)
    return drawing


def _ringed(fold: Fold, strap: float, rim: float, asked: dict[str, Any]) -> WedgeDrawing:
    """Return the rings asked for, those a seed chooses, or the usual ones."""
    from canivet.motifs.folding.wedge.rings import draw_rings, seeded_rings

    rings: list[Ring] = [read_ring(text) for text in asked["rings"]] or list(fold_kinds.USUAL_RINGS)
    if asked["seed"] is not None:
        rings = seeded_rings(fold, asked["seed"])
    border = None if asked["border"] is None else read_border(asked["border"])
    return draw_rings(fold, rings, strap=strap, rim=rim, eye=asked["eye"] or 0.0, border=border)


def _draw_flat(
    symbol: str, size: tuple[float, float] | None, strap: float, rim: float | None, title: str | None,
    stock: Stock, output: Path,
) -> None:  # fmt: skip
    """Draw a plane group unfolded."""
    from canivet.audit.strength import check_strength
    from canivet.cutting import Cutting
    from canivet.export import write_drawing
    from canivet.motifs.folding.flat_sheets import flat_sheet

    sides = {} if size is None else dict(zip(("width", "height"), size, strict=True))
    paper = flat_sheet(symbol, **sides, strap=strap, rim=rim)
    report = check_strength(paper, strap=strap)
    if not report.holds:
        _stop(describe_report(report))
    named = title or f"{symbol}, cut flat"
    write_drawing(output, Cutting(paper, strap, named, "An all-over pattern, cut unfolded.", stock))
    click.echo(str(output))
    say(describe_report(report))


def _stop(fault: str) -> NoReturn:
    say(fault)
    say("Nothing was written.")
    sys.exit(DOES_NOT_HOLD)


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
    from canivet.motifs.folding.wedge.ornaments import find_unit
    from canivet.motifs.folding.wedge.rings import Ring

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
    from canivet.motifs.folding.wedge.rings import Border

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


def read_place(text: str) -> tuple[float, float]:
    """Read a place such as ``0x10`` or ``-5x12 mm``: two lengths, of either sign.

    Raises
    ------
    BadValue
        If it is not two lengths joined by ``x``.

    Examples
    --------
    >>> read_place("0x10"), read_place("-1 x 2.5 cm")
    ((0.0, 10.0), (-10.0, 25.0))
    """
    across, joined, up = re.sub("[×X]", "x", text).partition("x")
    if not (joined and across.strip() and up.strip()):
        accepted = "two lengths joined by x, such as 0x10 or -5x12 mm"
        raise BadValue(
            f"--at is {text!r}; it takes {accepted}.", parameter="--at", value=text, accepted=accepted
        )
    if across.strip()[-1] in "0123456789.":
        # One unit, at the end, is that of both.
        across += re.findall(r"[^\W\d_]*[\"″]?\s*\Z", up)[0]
    return parse_length(across, parameter="--at"), parse_length(up, parameter="--at")
