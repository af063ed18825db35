"""``canivet motifs``: what there is, and what each one takes."""

from __future__ import annotations

import json
from typing import Any

import click

from canivet.motifs.frames import FrameMotif, frames
from canivet.motifs.registry import Motif, catalogue, find_motif
from canivet.parameters import Bound

__all__ = ["command"]


@click.command("motifs")
@click.argument("motif", required=False)
@click.option("--json", "as_json", is_flag=True, help="A JSON list instead of words")
def command(motif: str | None, as_json: bool) -> None:
    """List the motifs, or say what MOTIF takes."""
    everything: list[Motif | FrameMotif] = [*catalogue().values(), *frames().values()]
    chosen = [_find(motif)] if motif else everything
    if as_json:
        click.echo(json.dumps([_plain(one) for one in chosen], indent=2, ensure_ascii=False))
    elif motif:
        click.echo(_one(chosen[0]))
    else:
        click.echo(_all(chosen))


def _find(name: str) -> Motif | FrameMotif:
    """Return the motif or frame of that name; what is neither is told of the motifs."""
    key = name.strip().lower().replace("_", "-").replace(" ", "-")
    return frames().get(key) or find_motif(name)


def _all(motifs: list[Motif | FrameMotif]) -> str:
    lines = []
    for family in dict.fromkeys(m.family for m in motifs):
        lines.append(f"{family}s")
        lines += [f"  {m.name:<18} {m.summary}" for m in motifs if m.family == family]
    return "\n".join([*lines, "", "canivet motifs NAME tells what each takes."])


def _one(motif: Motif | FrameMotif) -> str:
    rows = [
        (name, bound.accepted, _default(bound), bound.meaning) for name, bound in motif.parameters.items()
    ]
    widths = [max((len(row[i]) for row in rows), default=0) for i in range(3)]
    lines = [f"{motif.name} ({motif.family}): {motif.summary}"]
    for row in rows:
        cells = "  ".join(cell.ljust(width) for cell, width in zip(row[:3], widths, strict=True))
        lines.append(f"  {cells}  {row[3]}")
    return "\n".join(lines)


def _default(bound: Bound) -> str:
    if bound.default is None:
        return "worked out" if bound.name not in ("width", "height") else "must be given"
    unit = f" {bound.unit}" if bound.unit == "mm" else bound.unit
    shown = f"{bound.default:g}" if isinstance(bound.default, float) else str(bound.default)
    return f"default {shown}{unit}"


def _plain(motif: Motif | FrameMotif) -> dict[str, Any]:
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
