"""``canivet motifs``: what there is, and what each one takes."""

from __future__ import annotations

import json
import sys
import textwrap
from pathlib import Path
from typing import Any, get_args

import click

from canivet.lengths import format_mm
from canivet.motifs.lettering.faces import NAMED_FACES
from canivet.motifs.registry import Family, Motif, catalogue, find_motif
from canivet.parameters import Bound

__all__ = ["command"]

_CELL = 40
_WIDE = 108
"""Characters to a cell that stays in the table, and to a line beneath it."""


@click.command("motifs")
@click.argument("motif", required=False)
@click.option("--json", "as_json", is_flag=True, help="A JSON list instead of words")
@click.option(
    "-o", "--output", type=click.Path(dir_okay=False, path_type=Path),
    help="Write the pattern book: NAME.pdf or NAME.html, a page for each motif at true size",
)  # fmt: skip
def command(motif: str | None, as_json: bool, output: Path | None) -> None:
    """List the motifs, say what MOTIF takes, or write the pattern book."""
    chosen = [find_motif(motif)] if motif else list(catalogue().values())
    if output is not None:
        _write_book(chosen, output)
    elif as_json:
        click.echo(json.dumps([_plain(one) for one in chosen], indent=2, ensure_ascii=False))
    elif motif:
        click.echo(_one(chosen[0]))
    else:
        click.echo(_all(chosen))


def _write_book(motifs: list[Motif], output: Path) -> None:
    from canivet.export.book.writing import write_book

    by_family = sorted(motifs, key=lambda motif: list(get_args(Family)).index(motif.family))
    with click.progressbar(length=len(motifs), label="drawing", file=sys.stderr) as bar:
        write_book(output, by_family, tell=lambda _: bar.update(1))
    click.echo(str(output))


def _all(motifs: list[Motif]) -> str:
    lines = []
    for family in dict.fromkeys(m.family for m in motifs):
        lines.append(f"{family}s")
        lines += [f"  {m.name:<18} {m.summary}" for m in motifs if m.family == family]
    lines.append('faces, by name in a [[lettering]]: face = "roman"; or a TTF or OTF file')
    lines += [f"  {face.name:<18} {face.like}" for face in NAMED_FACES.values()]
    return "\n".join([*lines, "", "canivet motifs NAME tells what each motif takes."])


def _one(motif: Motif) -> str:
    known = motif.parameters
    long = {name: bound.accepted for name, bound in known.items() if len(bound.accepted) > _CELL}
    rows = [
        (name, "one of those below" if name in long else bound.accepted, _default(bound), bound.meaning)
        for name, bound in known.items()
    ]
    widths = [max((len(row[i]) for row in rows), default=0) for i in range(3)]
    lines = [f"{motif.name} ({motif.family}): {motif.summary}"]
    for row in rows:
        cells = "  ".join(cell.ljust(width) for cell, width in zip(row[:3], widths, strict=True))
        lines.append(f"  {cells}  {row[3]}")
    for name, accepted in long.items():
        lines += ["", *_wrapped(f"{name}: {accepted}")]
    if motif.family == "frame":
        lines += ["", *_in_a_design(motif)]
    return "\n".join(lines)


def _in_a_design(frame: Motif) -> list[str]:
    """Say how a frame is used, and what panels it has for words."""
    drawn = frame.draw()
    x0, y0, x1, y1 = drawn.paper.bounds
    lines = [
        f'In a design: frame = "{frame.name}", and [[lettering]] with panel = "{next(iter(drawn.panels))}".'
    ]
    lines.append(f"Panels at {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm:")
    for name, panel in drawn.panels.items():
        a0, b0, a1, b1 = panel.bounds
        bent = ", bent" if name in drawn.arcs else ""
        lines.append(f"  {name}, {format_mm(a1 - a0, 0)} × {format_mm(b1 - b0, 0)} mm{bent}")
    return lines


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDE, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False)


def _default(bound: Bound) -> str:
    if bound.default is None:
        return "worked out" if bound.name not in ("width", "height") else "must be given"
    unit = f" {bound.unit}" if bound.unit == "mm" else bound.unit
    counted = isinstance(bound.default, (int, float)) and not isinstance(bound.default, bool)
    shown = f"{bound.default:g}" if counted else str(bound.default)
    return f"default {shown}{unit}"


def _plain(motif: Motif) -> dict[str, Any]:
    return {
        "name": motif.name,
        "family": motif.family,
        "summary": motif.summary,
        "parameters": [
            {
                "name": b.name, "kind": b.kind, "default": b.default, "unit": b.unit, "least": b.least,
                "most": b.most, "choices": list(b.choices), "meaning": b.meaning,
            }
            for b in motif.parameters.values()
        ],
    }  # fmt: skip
