"""The tables of the finished piece: patches of coloured paper, the mount, and what the maker charges.

Widths and heights that are not given are *common practice*, no source, and each can be said.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, WithJsonSchema, model_validator

from canivet.errors import BadValue
from canivet.lengths import parse_length, shown
from canivet.motifs.registry import find_motif

from .values.colours import Colour
from .values.reading import (
    ANCHORS,
    Extent,
    Length,
    NotNegative,
    OneSize,
    Place,
    Positive,
    Table,
    between,
    number_between,
    refused,
    whole_between,
)
from .values.written import LENGTH

__all__ = [
    "BESIDE",
    "GroundSettings",
    "LightSettings",
    "MatSettings",
    "MouldingSettings",
    "MountSettings",
    "PatchSettings",
    "PriceSettings",
]

OVERLAP = 6.35
"""mm, 1/4 in: how far a mat covers the piece on each side; some take 1/8 in."""

REVEAL = 12.0
"""mm that show round a piece whose edges are free."""

RAISE = 5.0
"""mm of foam, so that the piece throws a shadow."""

LEAST_REBATE = 3.0
"""mm: less than twice the play of 1/16 in on each side holds nothing (*common practice*)."""

BESIDE = ("chair", "person", "door")
"""What the piece may be shown beside on its wall."""

_SIDES = ("top left", "top", "top right", "right", "foot right", "foot", "foot left", "left")
_PRICED = ("paper", "coloured", "blade", "mat", "board", "glass", "foam", "frame")


def _raise(value: Any) -> float:
    height = parse_length(value, parameter="raise")
    if not 0 < height <= 50:
        raise BadValue(f"raise is {shown(value)}; it takes a height above 0 mm, at most 50 mm, such as 5 mm.")
    return height


def _short_for(key: str) -> BeforeValidator:
    """Return what lets a table be given by the value of one of its keys alone."""
    return BeforeValidator(lambda given: {key: given} if isinstance(given, (str, int, float)) else given)


class PatchSettings(Table):
    """Coloured paper behind some of the openings: whose they are, or what lies over them, or where."""

    colour: Colour
    openings: str = ""
    shape: str = ""
    file: str = ""
    width: Extent | None = None
    height: Extent | None = None
    anchor: Literal[ANCHORS] = "centre"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    outside: bool = False
    margin: Annotated[float, BeforeValidator(between(0.8, 30)), WithJsonSchema(LENGTH)] = 3.0

    @model_validator(mode="after")
    def _one_way_to_choose(self) -> PatchSettings:
        if self.shape and self.file:
            raise BadValue("shape and file are both given; one of them lies over the piece. Take one out.")
        if not (self.openings or self.shape or self.file or self.at):
            raise BadValue(
                'openings is missing: which are they? Name a part, as in openings = "ground", lay a shape or '
                'a file over the piece, or give a place, as in at = ["50%", "20%"].'
            )
        if self.openings and self.at and not self.laid:
            raise BadValue("openings and at both say which. Take one of them out.")
        if self.outside and not self.laid:
            raise BadValue("outside turns a shape or file inside out; there is none. Take it out.")
        if self.shape:
            find_motif(self.shape, family="outline", parameter="shape")
            if self.width is None or self.height is None:
                raise BadValue(
                    "height and width are both wanted for a shape, lengths or shares of the piece."
                )
        elif self.file and self.width is not None and self.height is not None:
            raise BadValue("height and width are both given; give one, the other follows from the drawing.")
        return self

    @property
    def laid(self) -> bool:
        """Whether something lies over the piece and says which openings are meant."""
        return bool(self.shape or self.file)


class GroundSettings(Table):
    """What shows through the openings and round the piece: a colour, a picture, or a wash of two colours."""

    colour: Colour | None = None
    file: str = ""
    wash: tuple[Colour, Colour] | None = None

    @model_validator(mode="after")
    def _one_of_them(self) -> GroundSettings:
        if sum((self.colour is not None, bool(self.file), self.wash is not None)) != 1:
            raise BadValue("ground takes one of colour, file and wash. Give one.")
        return self


class MatSettings(Table):
    """The board round the piece: how wide it shows, or how large it is, and what it is."""

    border: Positive | None = None
    foot: Positive | None = None
    size: OneSize | None = None
    colour: Colour = "#f3efe4"
    ply: Annotated[int, BeforeValidator(whole_between(1, 12))] = 4

    @model_validator(mode="after")
    def _wide_or_large(self) -> MatSettings:
        if (self.border is None) == (self.size is None):
            raise BadValue("mat takes border, how wide it shows, or size, how large it is; one of the two.")
        return self


class MouldingSettings(Table):
    """The frame: how wide it is seen, how far it reaches over the glass, how deep it is."""

    width: Positive
    rebate: Positive = 6.0
    depth: Positive | None = None
    colour: Colour = "#3a2f28"

    @model_validator(mode="after")
    def _wider_than_its_rebate(self) -> MouldingSettings:
        if self.rebate < LEAST_REBATE:
            raise BadValue(
                f"rebate is {self.rebate:g} mm; it takes at least {LEAST_REBATE:g} mm, or what lies in it "
                "falls out."
            )
        if self.rebate >= self.width:
            raise BadValue(f"rebate is {self.rebate:g} mm of a moulding of {self.width:g} mm; make it less.")
        return self


class LightSettings(Table):
    """The lamp: how high it stands over the wall's plane, from which side, and how large it looks."""

    elevation: Annotated[float, BeforeValidator(number_between(10, 85))] = 60.0
    side: Literal[_SIDES] = "top left"  # type: ignore[valid-type]
    lamp: Annotated[float, BeforeValidator(number_between(0, 30))] = 6.0


_Mat = Annotated[MatSettings, _short_for("border")]
_Ground = Annotated[GroundSettings, _short_for("colour")]
_Moulding = Annotated[MouldingSettings, _short_for("width")]


class MountSettings(Table):
    """How the piece is shown: behind a mat, between panes, floating, raised on pads, or laid flat."""

    kind: Literal["matted", "panes", "float", "raised", "flat"]
    overlap: NotNegative | None = None
    reveal: Positive | None = None
    mat: _Mat | None = None
    lift: Annotated[float, BeforeValidator(_raise), WithJsonSchema(LENGTH)] | None = Field(
        default=None, alias="raise"
    )
    ground: _Ground | None = None
    moulding: _Moulding | None = None
    glass: bool = True
    light: LightSettings = LightSettings()
    viewed: Annotated[float, BeforeValidator(number_between(0, 60))] = 20.0
    pad: Annotated[float, BeforeValidator(between(1, 30)), WithJsonSchema(LENGTH)] = 3.0
    droop: Annotated[float, BeforeValidator(between(0.05, 5)), WithJsonSchema(LENGTH)] = 0.5
    beside: Literal[BESIDE] = "chair"  # type: ignore[valid-type]

    @model_validator(mode="after")
    def _goes_together(self) -> MountSettings:
        if self.overlap is not None and self.reveal is not None:
            raise BadValue(
                "overlap and reveal are both given; a mat covers the edge or leaves it. Take one out."
            )
        if self.kind == "matted" and self.mat is None:
            raise BadValue('mat is missing; say how wide it shows, as in mat = "50 mm".')
        if self.kind != "matted" and self.overlap is not None:
            raise BadValue(
                f"overlap is a mat's over the piece; {self.kind} leaves its edges free. Take it out."
            )
        if self.kind == "panes" and (self.mat or self.ground):
            idle = "mat" if self.mat else "ground"
            raise BadValue(f"{idle} does not go with panes: one sees through. Take it out.")
        if self.kind == "panes" and not self.glass:
            raise BadValue("glass is false and kind is panes, which are of glass. Take one of the two out.")
        lifting = [key for key in ("lift", "pad", "viewed", "droop") if key in self.model_fields_set]
        if self.kind != "raised" and lifting:
            idle = "raise" if lifting[0] == "lift" else lifting[0]
            raise BadValue(f'{idle} is for kind = "raised"; {self.kind} has no pads. Take one of them out.')
        return self

    @property
    def raised_by(self) -> float:
        """Return how high the piece is lifted on pads, mm."""
        return (RAISE if self.lift is None else self.lift) if self.kind == "raised" else 0.0

    @property
    def covers(self) -> float:
        """Return how far a mat covers the piece on each side, mm; below zero where its edge shows."""
        if self.kind == "matted" and self.reveal is None:
            return OVERLAP if self.overlap is None else self.overlap
        return -(REVEAL if self.reveal is None else self.reveal)


def _rate(value: Any, info: ValidationInfo) -> float:
    number = float("nan") if isinstance(value, (bool, str)) or not isinstance(value, (int, float)) else value
    if not 0 <= number <= 1e9:
        raise refused(value, info, "a number of zero or more, in the maker's own money")
    return float(number)


Money = Annotated[float, BeforeValidator(_rate)]


class PriceSettings(Table):
    """What the maker asks: an hour's rate, what each material costs, and the word for the money."""

    money: str = Field(min_length=1, max_length=40)
    rate: Money
    paper: Money | None = None
    coloured: Money | None = None
    blade: Money | None = None
    mat: Money | None = None
    board: Money | None = None
    glass: Money | None = None
    foam: Money | None = None
    frame: Money | None = None
    more: Money = 0.0

    @property
    def each(self) -> Mapping[str, float]:
        """Return what one of each material costs, of those that have a price."""
        return {name: cost for name in _PRICED if (cost := getattr(self, name)) is not None}
