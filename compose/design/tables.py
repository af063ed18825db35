"""The tables of a design: how each of their values is read, and what it may be."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from canivet.errors import BadValue
from canivet.lengths import parse_length, parse_size
from canivet.motifs.registry import find_motif
from canivet.sheets import Sheet, find_sheet
from canivet.stock import USUAL_FACES, Faces, Stock

from .limits import MOST_SIZES
from .motif_table import UsedMotif, read_motif
from .schema_values import ANGLE, LENGTH, LENGTHS

__all__ = [
    "ANCHORS",
    "JoinSettings",
    "LetteringSettings",
    "LineSettings",
    "Measure",
    "NotNegative",
    "PaperSettings",
    "PlacedSilhouette",
    "Positive",
    "RepairSettings",
    "SeriesSettings",
    "SheetSettings",
    "Sizes",
    "Table",
    "VignetteSettings",
    "shown",
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


def _refused(value: Any, info: ValidationInfo, accepted: str) -> BadValue:
    return BadValue(
        f"{info.field_name} is {shown(value)}; it takes {accepted}.",
        parameter=info.field_name, value=value, accepted=accepted,
    )  # fmt: skip


def _length(value: Any, info: ValidationInfo) -> float:
    return parse_length(value, parameter=info.field_name or "length")


def _above_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise _refused(value, info, "a length above zero, such as 1.2 mm")
    return length


def _not_below_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length < 0:
        raise _refused(value, info, "a length of zero or more, such as 0.2 mm")
    return length


def _between(least: float, most: float) -> Callable[[Any, ValidationInfo], float]:
    def read(value: Any, info: ValidationInfo) -> float:
        length = _length(value, info)
        if not least <= length <= most:
            raise _refused(value, info, f"{least:g} mm to {most:g} mm")
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
            raise _refused(
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
        raise _refused(value, info, "more than zero, such as 60 mm or 60%")
    return measure


def _degrees(value: Any, info: ValidationInfo) -> float:
    text = value.strip().removesuffix("°").strip() if isinstance(value, str) else value
    try:
        number = float(text)
    except (TypeError, ValueError, OverflowError):
        number = float("nan")
    if isinstance(value, bool) or not -360 <= number <= 360:
        raise _refused(value, info, "an angle of -360° to 360°, anticlockwise")
    return number


def _whole(least: int, most: int) -> Callable[[Any, ValidationInfo], int]:
    def read(value: Any, info: ValidationInfo) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise _refused(value, info, f"a whole number from {least} to {most}")
        return value

    return read


def _number(least: float, most: float) -> Callable[[Any, ValidationInfo], float]:
    def read(value: Any, info: ValidationInfo) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not least <= value <= most:
            raise _refused(value, info, f"a number from {least:g} to {most:g}")
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
            raise BadValue(f"size names {values[k]!r} twice. Take one of them out.")
    return sizes


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


def _faces(value: Any, info: ValidationInfo) -> Faces:
    return value if isinstance(value, Faces) else Faces.named(value, parameter=info.field_name or "faces")


def _sheet(value: Any, info: ValidationInfo) -> Sheet:
    return value if isinstance(value, Sheet) else find_sheet(value, parameter=info.field_name or "sheet")


Length = Annotated[float, BeforeValidator(_length), WithJsonSchema(LENGTH)]
Positive = Annotated[float, BeforeValidator(_above_zero), WithJsonSchema(LENGTH)]
NotNegative = Annotated[float, BeforeValidator(_not_below_zero), WithJsonSchema(LENGTH)]
Degrees = Annotated[float, BeforeValidator(_degrees), WithJsonSchema(ANGLE)]
Place = Annotated[Measure, BeforeValidator(_measure)]
Extent = Annotated[Measure, BeforeValidator(_extent)]
Sizes = Annotated[tuple[tuple[float, float], ...], BeforeValidator(_sizes), WithJsonSchema(LENGTHS)]


class Table(BaseModel):
    """A table of a design: its own keys and no others, not changed once read."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class PaperSettings(Table):
    """What the piece is cut from."""

    faces: Annotated[Faces, BeforeValidator(_faces)] = USUAL_FACES
    grammage: float | None = None
    thickness: Positive | None = None

    @model_validator(mode="after")
    def _known(self) -> PaperSettings:
        self.stock()
        return self

    def stock(self) -> Stock:
        """Return the stock, its thickness from the published table unless it is given."""
        return Stock.of(self.faces, grammage=self.grammage, thickness=self.thickness)


class SheetSettings(Table):
    """The page it is printed on."""

    size: Annotated[Sheet, BeforeValidator(_sheet)] | None = None
    ink: Literal["solid", "lines", "tint"] = "solid"
    pages: Literal["one each", "tiled", "together"] = "one each"
    margin: Annotated[float, BeforeValidator(_between(4, 60)), WithJsonSchema(LENGTH)] = 8.0
    overlap: Annotated[float, BeforeValidator(_between(3, 50)), WithJsonSchema(LENGTH)] = 10.0
    face: str | None = None


class LineSettings(Table):
    """Widths of lines by their role; those that are not given follow from the strap or the motif."""

    rim: Positive | None = None
    rail: Positive | None = None
    foot: Annotated[float, BeforeValidator(_number(1.0, 2.0))] = 1.0


class PlacedSilhouette(Table):
    """A silhouette, from a file or grown as a motif, and where it goes."""

    file: str = ""
    motif: str = ""
    settings: dict[str, Any] = {}
    height: Extent | None = None
    width: Extent | None = None
    anchor: Literal[ANCHORS] = "centre"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    turn: Degrees = 0.0
    mirror: bool = False
    mode: Literal["stays", "cut out"] = "stays"
    keep_clear: bool = False
    order: Annotated[int, BeforeValidator(_whole(-1000, 1000))] | None = None
    halo: NotNegative = 0.0
    margin: NotNegative = 0.0
    over: Literal["", "border"] = ""
    floating: Literal["brought home", "as placed"] = "brought home"
    arrange: Literal["", "pair", "ring", "row", "scatter", "along"] = ""
    count: Annotated[int, BeforeValidator(_whole(2, 200))] = 2
    spacing: NotNegative | None = None
    seed: Annotated[int, BeforeValidator(_whole(0, 10**9))] = 1

    @model_validator(mode="after")
    def _white_round_what_stays(self) -> PlacedSilhouette:
        if self.mode == "cut out":
            for key in ("halo", "margin"):
                if getattr(self, key):
                    raise BadValue(
                        f"{key} is white round a figure that stays; this one is cut out. Take {key} out."
                    )
        if self.arrange == "pair" and self.count != 2:
            raise BadValue(f'count is {self.count}; a pair is two. Take count out, or arrange = "row".')
        if not self.arrange and self.spacing is not None:
            raise BadValue('spacing is between copies. Say how they stand, as in arrange = "row".')
        return self

    @model_validator(mode="after")
    def _one_source_and_size(self) -> PlacedSilhouette:
        if bool(self.file) == bool(self.motif):
            raise BadValue("file or motif is wanted, one of them: a drawing, or a natural form such as leaf.")
        if self.file and self.height is not None and self.width is not None:
            raise BadValue("height and width are both given; give one, the other follows from the drawing.")
        if self.motif and (self.height is None or self.width is None):
            raise BadValue("height and width are both wanted for a motif: the box it grows in.")
        if self.motif:
            self.grown()
        elif self.settings:
            raise BadValue("settings are a motif's; a drawing from a file takes none.")
        return self

    @property
    def name(self) -> str:
        """Return what to call it in a message."""
        return self.file or self.motif

    def grown(self) -> UsedMotif:
        """Return the motif and its settings, checked against its signature."""
        given = {**self.settings, "motif": self.motif}
        used, faults = read_motif("settings", "form", given, named="motif")
        if used is None or faults:
            raise BadValue(faults[0])
        return used


class VignetteSettings(Table):
    """A clear field in the ground, for the figure to stand in; what is placed is then placed in it."""

    shape: str = "oval"
    width: Extent = Measure(0.8, of_window=True)
    height: Extent = Measure(0.8, of_window=True)
    anchor: Literal[ANCHORS] = "centre"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    rim: NotNegative = 0.0

    @field_validator("shape")
    @classmethod
    def _known(cls, name: str) -> str:
        return find_motif(name, family="outline", parameter="shape").name


class LetteringSettings(Table):
    """Words, and where and how they stand. ``{column}`` is filled from the list of a series."""

    text: str = Field(min_length=1, max_length=400)
    panel: str | None = None
    width: Extent = Measure(0.8, of_window=True)
    height: Extent = Measure(0.12, of_window=True)
    anchor: Literal[ANCHORS] = "foot"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    mode: Literal["raised", "cut out"] = "raised"
    along: Literal["line", "arc", "oval"] = "line"
    rails: Literal["foot", "both", "bars", "none"] = "foot"
    side: Literal["top", "foot"] = "top"
    face: str | None = None
    least: Positive = 4.0
    most: Positive = 30.0
    lines: Annotated[int, Field(ge=1, le=6)] = 3
    letters: Literal["as needed", "as written", "capitals"] = "as needed"
    narrowest: Annotated[float, Field(ge=0.5, le=1)] = 0.7


class SeriesSettings(Table):
    """The list a series is made from, and what its files are called."""

    list: str
    file: str = ""


class JoinSettings(Table):
    """How loose parts are held."""

    holds: Literal["single", "double"] = "double"
    style: Literal["bar", "leaf", "bead"] = "bar"
    direction: Degrees | None = None


class RepairSettings(Table):
    """What may be mended in silhouettes that come in."""

    thicken: bool = True
    fill: bool = True
    drop: bool = True
    smooth: NotNegative = 0.0


def shown(value: Any) -> str:
    """Return a value as it was written, cut short where it is long."""
    shown = repr(value)
    return shown if len(shown) < 50 else shown[:47] + "…"
