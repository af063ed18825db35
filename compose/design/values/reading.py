"""How single values of a design are read: lengths, shares of the window, angles, numbers, sizes, sheets."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, WithJsonSchema

from canivet.compose.design.limits import MOST_SIZES
from canivet.errors import BadValue
from canivet.lengths import parse_length, parse_size, shown
from canivet.sheets import Sheet, find_sheet
from canivet.stock import Faces

from .written import ANGLE, LENGTH, LENGTHS, SHEET

__all__ = [
    "ANCHORS",
    "Degrees",
    "Extent",
    "Length",
    "Measure",
    "NotNegative",
    "OneSize",
    "Place",
    "Positive",
    "Sizes",
    "Table",
    "between",
    "number_between",
    "read_faces",
    "read_sheet",
    "refused",
    "whole_between",
]

ANCHORS = (
    "centre", "top", "foot", "left", "right",
    "top left", "top right", "foot left", "foot right",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Measure:
    """A length, in mm or as a share of the window inside the border."""

    number: float
    of_window: bool = False

    def within(self, extent: float) -> float:
        """Return it in mm, given the window's extent in that direction."""
        return self.number * extent if self.of_window else self.number


_FARTHEST = 100
"""Window extents that a place may lie off: beyond that it is a slip."""


def refused(value: Any, info: ValidationInfo, accepted: str) -> BadValue:
    """Return the error about a value that is none of what its key takes."""

    return BadValue(
        f"{info.field_name} is {shown(value)}; it takes {accepted}.",
        parameter=info.field_name, value=value, accepted=accepted,
    )  # fmt: skip


def _length(value: Any, info: ValidationInfo) -> float:
    return parse_length(value, parameter=info.field_name or "length")


def _above_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise refused(value, info, "a length above zero, such as 1.2 mm")
    return length


def _not_below_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length < 0:
        raise refused(value, info, "a length of zero or more, such as 0.2 mm")
    return length


def between(least: float, most: float) -> Callable[[Any, ValidationInfo], float]:
    """Return what reads a length from `least` to `most` mm."""

    def read(value: Any, info: ValidationInfo) -> float:
        length = _length(value, info)
        if not least <= length <= most:
            raise refused(value, info, f"{least:g} mm to {most:g} mm")
        return length

    return read


def _measure(value: Any, info: ValidationInfo) -> Measure:
    if isinstance(value, Measure):
        return value
    if isinstance(value, str) and value.rstrip().endswith("%"):
        try:
            number = float(value.rstrip().removesuffix("%")) / 100
        except ValueError:
            number = math.nan
        if not abs(number) <= _FARTHEST:
            raise refused(
                value,
                info,
                f"a length such as 60 mm, or per cent of the window such as 60%, at most {100 * _FARTHEST}%",
            )
        return Measure(number, of_window=True)
    return Measure(_length(value, info))


def _extent(value: Any, info: ValidationInfo) -> Measure:
    measure = _measure(value, info)
    most = 10 if measure.of_window else 10_000
    if not 0 < measure.number <= most:
        raise refused(value, info, "more than zero, such as 60 mm or 60%")
    return measure


def _degrees(value: Any, info: ValidationInfo) -> float:
    text = value.strip().removesuffix("°").strip() if isinstance(value, str) else value
    try:
        number = float(text)
    except (TypeError, ValueError, OverflowError):
        number = float("nan")
    if isinstance(value, bool) or not -360 <= number <= 360:
        raise refused(value, info, "an angle of -360° to 360°, anticlockwise")
    return number


def whole_between(least: int, most: int) -> Callable[[Any, ValidationInfo], int]:
    """Return what reads a whole number."""

    def read(value: Any, info: ValidationInfo) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise refused(value, info, f"a whole number from {least} to {most}")
        return value

    return read


def number_between(least: float, most: float) -> Callable[[Any, ValidationInfo], float]:
    """Return what reads a bare number."""

    def read(value: Any, info: ValidationInfo) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not least <= value <= most:
            raise refused(value, info, f"a number from {least:g} to {most:g}")
        return float(value)

    return read


def _sizes(value: Any, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    values = value if isinstance(value, list) else [value]
    if not values:
        raise BadValue("size is an empty list; give at least one size, such as 4x6 in.")
    if len(values) > MOST_SIZES:
        raise BadValue(
            f"size lists {len(values)} sizes; a design takes at most {MOST_SIZES}. Make several designs.",
            parameter="size", accepted=f"at most {MOST_SIZES} sizes",
        )  # fmt: skip
    sizes = tuple(_size(one, info) for one in values)
    for k, size in enumerate(sizes):
        if size in sizes[:k]:
            raise BadValue(f"size names {shown(values[k])} twice. Take one of them out.")
    return sizes


def _one_size(value: Any, info: ValidationInfo) -> tuple[float, float]:
    return value if isinstance(value, tuple) else parse_size(value, parameter=info.field_name or "size")


def _size(value: Any, info: ValidationInfo) -> tuple[float, float]:
    """Return a size: two lengths, or the name of a sheet."""
    try:
        return parse_size(value, parameter=info.field_name or "size")
    except BadValue:
        if isinstance(value, str):
            with contextlib.suppress(BadValue):
                sheet = find_sheet(value)
                return (sheet.width, sheet.height)
        raise


def read_faces(value: Any, info: ValidationInfo) -> Faces:
    """Return which faces of a paper are dark."""

    return value if isinstance(value, Faces) else Faces.named(value, parameter=info.field_name or "faces")


def read_sheet(value: Any, info: ValidationInfo) -> Sheet:
    """Return a sheet by its name or size."""

    return value if isinstance(value, Sheet) else find_sheet(value, parameter=info.field_name or "sheet")


Length = Annotated[float, BeforeValidator(_length), WithJsonSchema(LENGTH)]
Positive = Annotated[float, BeforeValidator(_above_zero), WithJsonSchema(LENGTH)]
NotNegative = Annotated[float, BeforeValidator(_not_below_zero), WithJsonSchema(LENGTH)]
Degrees = Annotated[float, BeforeValidator(_degrees), WithJsonSchema(ANGLE)]
Place = Annotated[Measure, BeforeValidator(_measure)]
Extent = Annotated[Measure, BeforeValidator(_extent)]
OneSize = Annotated[tuple[float, float], BeforeValidator(_one_size), WithJsonSchema(SHEET)]
Sizes = Annotated[tuple[tuple[float, float], ...], BeforeValidator(_sizes), WithJsonSchema(LENGTHS)]


class Table(BaseModel):
    """A table of a design: its own keys and no others, not changed once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
