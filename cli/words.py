"""What commands say: lengths as options, reports as lines."""

from __future__ import annotations

from typing import Any

import click

from canivet.errors import BadValue
from canivet.lengths import format_mm, parse_length, parse_size
from canivet.strength import StrengthReport

__all__ = ["LENGTH", "SIZE", "describe_report", "say"]


class _LengthType(click.ParamType[Any]):
    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        named = param.opts[0] if param else "length"
        try:
            length = parse_length(value, parameter=named)
            if length < 0:
                raise BadValue(f"{named} is {value!r}; it takes a length of zero or more, such as 1 mm.")
        except BadValue as error:
            self.fail(error.message, param, ctx)
        return length


class _SizeType(click.ParamType[Any]):
    name = "size"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        if isinstance(value, tuple):
            return value
        try:
            return parse_size(value, parameter=param.opts[0] if param else "size")
        except BadValue as error:
            self.fail(error.message, param, ctx)


LENGTH = _LengthType()
SIZE = _SizeType()


def say(text: str) -> None:
    """Say something beside the result: on stderr."""
    click.echo(text, err=True)


def describe_report(report: StrengthReport, *, most: int = 12) -> str:
    """Return a report in lines for a person."""
    verdict = "holds" if report.holds else "does NOT hold"
    needs = f"{format_mm(report.strap)} mm"
    if report.slip:
        needs += f" with a slip of {format_mm(report.slip)} mm either way"
    lines = [
        f"{verdict} at a strap of {needs}",
        f"  pieces {report.pieces}, openings {report.openings}, "
        f"size {format_mm(report.width, 1)} × {format_mm(report.height, 1)} mm, "
        f"to cut {format_mm(report.cut_length, 0)} mm",
    ]
    if report.weakest:
        w = report.weakest
        hang = f", a single hold for {format_mm(w.hanging, 1)} mm²" if w.single_hold else ""
        lines.append(f"  weakest strap {format_mm(w.width)} mm at {_place(w.at)}{hang}")
    else:
        lines.append("  no strap anywhere: the shape has no neck")
    if report.pieces > 1:
        lines.append(
            f"  {report.pieces} parts are not joined: they would fall apart. canivet join can bridge them"
        )
    lines += _listed("neck", [
        f"{format_mm(n.width)} mm at {_place(n.at)}"
        + (f", holds up {format_mm(n.hanging, 1)} mm² alone" if n.single_hold else "")
        for n in report.necks
    ], "under the strap", most)  # fmt: skip
    lines += _listed("limb", [
        f"{format_mm(m.width)} mm wide, {format_mm(m.length, 1)} mm long, at {_place(m.at)}"
        for m in report.limbs
    ], "too thin for its length", most)  # fmt: skip
    lines += _listed("opening", [
        f"radius {format_mm(o.radius)} mm at {_place(o.at)}" for o in report.small_openings
    ], "too small to cut", most)  # fmt: skip
    return "\n".join(lines)


def _listed(noun: str, rows: list[str], fault: str, most: int) -> list[str]:
    if not rows:
        return []
    head = f"  {len(rows)} {noun}{'s' if len(rows) != 1 else ''} {fault}:"
    more = [f"    … and {len(rows) - most} more"] if len(rows) > most else []
    return [head, *(f"    {row}" for row in rows[:most]), *more]


def _place(at: tuple[float, float]) -> str:
    return f"({format_mm(at[0], 1)}, {format_mm(at[1], 1)}) mm"
