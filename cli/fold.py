"""``canivet fold``: a folded cut, as the opened piece and the sheet to fold and cut it from."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from canivet.compose.design.folding import KEYS, FoldSettings, check_together, read_key
from canivet.errors import BadValue
from canivet.motifs.folding.groups import find_group
from canivet.motifs.folding.kinds import KINDS, find_kind

from .main import DOES_NOT_HOLD
from .words import (
    LENGTH,
    SIZE,
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
    write_piece,
)

if TYPE_CHECKING:
    from canivet.compose.folded.piece import FoldedPiece
    from canivet.export.page.setup import PageSetup

__all__ = ["command", "option_of"]

_TYPES: dict[str, dict[str, Any]] = {
    **{name: {"type": int} for name in ("count", "panels", "rows", "seed")},
    **{name: {"type": LENGTH} for name in ("hem", "gap", "eye", "width")},
    **{name: {"type": click.Path()} for name in ("wedge", "figure")},
    **{name: {"is_flag": True} for name in ("flat", "stays", "mirrored", "creep")},
    "rings": {"multiple": True, "metavar": "TEXT"},
    "at": {"metavar": "XxY"},
}
"""How a key is written on the command line, where it is not plain words."""


_LEAST_OF_ONES_OWN = 0.4
"""mm, radius of the smallest opening that is let pass in a drawing of one's own."""


def option_of(name: str) -> str:
    """Return what a key of ``[fold]`` is called on the command line; one ring is given at a time.

    Examples
    --------
    >>> option_of("rings"), option_of("eye")
    ('--ring', '--eye')
    """
    return "--ring" if name == "rings" else f"--{name}"


def _with_keys(command: Any) -> Any:
    """Give a command an option for every key."""
    for name, key in reversed(list(KEYS.items())):
        told = f"{key.meaning[0].upper()}{key.meaning[1:]}" + (f"  [{key.usual}]" if key.usual else "")
        told += "; one at a time, --ring for each" if name == "rings" else ""
        command = click.option(option_of(name), name, help=told, **_TYPES.get(name, {}))(command)
    return command


_HELP = """Fold a sheet, cut a wedge, open it: draw the opened piece and the sheet to cut it from.

\b
KIND is
{kinds}

Example: canivet fold medallion --count 8 --ring "drops fill" --ring "petals count=2" -o rose.svg
--packet rose-packet.svg
""".format(kinds="\n".join(f"  {kind.name:11} {kind.summary}" for kind in KINDS.values()))


@click.command("fold", help=_HELP)
@click.argument("kind")
@click.option("--size", type=SIZE, help="Of the open sheet, or of one panel in a plane group  [by kind]")
@_with_keys
@click.option("--strap", type=LENGTH, default="1.5mm", show_default=True, help="The narrowest paper left")
@click.option("--rim", type=LENGTH, help="Paper along an open edge  [1.5 straps; --flat: 2, or 4 mm]")
@click.option("--thickness", type=LENGTH, help="Of the paper  [0.1 mm; tissue of 0.04 mm for p6mm]")
@faces_option
@ink_option
@pages_option
@margin_option
@click.option("--title", help="What it is called  [its kind]")
@click.option(
    "--packet",
    type=click.Path(path_type=Path),
    help="FILE.svg or FILE.pdf for the sheet to fold and cut from",
)
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="FILE.svg, FILE.pdf or FILE.png"
)
def command(
    kind: str, output: Path, packet: Path | None, title: str | None, size: tuple[float, float] | None,
    strap: float, rim: float | None, thickness: float | None, faces: str,
    ink: Ink | None, pages: Pages | None, margin: float | None, **keys: Any,
) -> None:  # fmt: skip
    """Draw what is asked, or say what is wrong with it."""
    from canivet.compose.folded.piece import Promise, fold_piece, folding_stock
    from canivet.stock import Faces

    asked = _asked(kind, keys)
    keep_sources(*map(Path, asked.files))
    _check_paths(output, packet)
    setup = page_setup(output, ink, pages, margin)
    if title is not None and not title.strip():
        raise BadValue("--title is empty. Give it words, or leave it out.", parameter="--title", value=title)
    stock = folding_stock(asked, Faces.named(faces, parameter="--faces"), thickness)
    promise = Promise(strap, rim=rim, audited=_LEAST_OF_ONES_OWN)
    piece = fold_piece(asked, promise, stock=stock, size=size, title=title)
    if not piece.report.holds:
        say(piece.fault or describe_report(piece.report))
        say("Nothing was written.")
        sys.exit(DOES_NOT_HOLD)
    _write(piece, output, packet, setup)


def _asked(kind: str, keys: dict[str, Any]) -> FoldSettings:
    """Return what is asked, each option followed or refused."""
    flat = keys["flat"]
    (find_group if flat else find_kind)(kind)
    given = _given()
    for fault in check_together(kind, given, flat=flat, called=option_of):
        raise fault
    values = {name: read_key(name, keys[name], called=option_of(name)) for name in given if name in KEYS}
    return FoldSettings(kind=kind, **values)


def _given() -> list[str]:
    """Return what is given on the command line, in the order of the help."""
    context = click.get_current_context()
    return [
        option.name
        for option in context.command.params
        if option.name and context.get_parameter_source(option.name) is ParameterSource.COMMANDLINE
    ]


def _check_paths(output: Path, packet: Path | None) -> None:
    from canivet.export import require_writable

    require_writable(output)
    if packet is None:
        return
    if packet.suffix.lower() not in (".svg", ".pdf"):
        raise BadValue(
            f"--packet is {packet}; the sheet to fold and cut from is written as SVG or PDF. Name it with "
            ".svg or .pdf.",
            parameter="--packet", value=packet, accepted=".svg, .pdf",
        )  # fmt: skip
    require_writable(packet)
    if os.path.realpath(packet) == os.path.realpath(output):
        raise BadValue(
            f"--packet and -o are both {packet}; the one would overwrite the other. Give two names.",
            parameter="--packet", value=packet, accepted="another file than -o",
        )  # fmt: skip


def _write(piece: FoldedPiece, output: Path, packet: Path | None, setup: PageSetup) -> None:
    """Write the opened piece, and the packet where it is asked for."""
    from canivet.export.packet.page import packet_svg, write_packet_page
    from canivet.export.parts import parts_of_piece

    if packet and piece.packet:
        packet_svg(piece.packet)  # one that does not fit its page is found before anything is written
    write_piece(output, piece.cutting, setup, parts_of_piece(piece.cutting.paper, role="wedge"))
    if packet is not None and piece.packet is not None:
        write_packet_page(packet, piece.packet)
        click.echo(str(packet))
    say(describe_report(piece.report))
    for remark in piece.remarks:
        say(remark)
