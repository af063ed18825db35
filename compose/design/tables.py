"""The tables of a design: which keys each has, and what goes together in it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, field_validator, model_validator

from canivet.errors import BadValue
from canivet.lengths import format_mm, shown
from canivet.motifs.lettering.faces import NAMED_FACES
from canivet.motifs.registry import find_motif
from canivet.sheets import Sheet
from canivet.stock import USUAL_FACES, Faces, Stock

from .motif_table import UsedMotif, read_motif
from .values.reading import (
    ANCHORS,
    Degrees,
    Extent,
    Length,
    Measure,
    NotNegative,
    Place,
    Positive,
    Table,
    between,
    number_between,
    read_faces,
    read_sheet,
    whole_between,
)
from .values.written import LENGTH

__all__ = [
    "JoinSettings",
    "LetteringSettings",
    "LineSettings",
    "PaperSettings",
    "PlacedSilhouette",
    "RepairSettings",
    "SeriesSettings",
    "SheetSettings",
    "VignetteSettings",
]


class PaperSettings(Table):
    """What the piece is cut from."""

    faces: Annotated[Faces, BeforeValidator(read_faces)] = USUAL_FACES
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

    size: Annotated[Sheet, BeforeValidator(read_sheet)] | None = None
    ink: Literal["solid", "lines", "tint"] = "solid"
    pages: Literal["one each", "tiled", "together"] = "one each"
    margin: Annotated[float, BeforeValidator(between(4, 60)), WithJsonSchema(LENGTH)] = 8.0
    overlap: Annotated[float, BeforeValidator(between(3, 50)), WithJsonSchema(LENGTH)] = 10.0
    face: str | None = None


class LineSettings(Table):
    """Widths of lines by their role; those that are not given follow from the strap or the motif."""

    rim: Positive | None = None
    rail: Positive | None = None
    strap: Positive | None = None
    fine: Positive | None = None
    foot: Annotated[float, BeforeValidator(number_between(1.0, 2.0))] = 1.0

    def thinner_than(self, promised: float) -> list[str]:
        """Return a fault for each width under the one promised, in mm: nothing may be narrower than that."""
        given = {"rim": self.rim, "rail": self.rail, "strap": self.strap, "fine": self.fine}
        return [
            f"lines.{role} is {format_mm(width)} mm; the plate promises {format_mm(promised)} mm everywhere. "
            f"Make it {format_mm(promised)} mm at least, or lower strap at the head of the design."
            for role, width in given.items() if width is not None and width < promised - 1e-9
        ]  # fmt: skip


class PlacedSilhouette(Table):
    """A silhouette, from a file or grown as a motif, and where it goes."""

    file: str = ""
    motif: str = ""
    settings: dict[str, Any] = Field(default_factory=dict)
    height: Extent | None = None
    width: Extent | None = None
    anchor: Literal[ANCHORS] = "centre"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    turn: Degrees = 0.0
    mirror: bool = False
    mode: Literal["stays", "cut out"] = "stays"
    keep_clear: bool = False
    order: Annotated[int, BeforeValidator(whole_between(-1000, 1000))] | None = None
    halo: NotNegative = 0.0
    margin: NotNegative = 0.0
    over: Literal["", "border"] = ""
    floating: Literal["brought home", "as placed"] = "brought home"
    arrange: Literal["", "pair", "ring", "row", "scatter", "along"] = ""
    count: Annotated[int, BeforeValidator(whole_between(2, 200))] = 2
    spacing: NotNegative | None = None
    seed: Annotated[int, BeforeValidator(whole_between(0, 10**9))] = 1

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
    along: Literal["line", "rising", "arc", "oval"] = "line"
    rails: Literal["foot", "both", "bars", "none"] = "foot"
    side: Literal["top", "foot"] = "top"
    face: str | None = None
    least: Positive = 4.0
    most: Positive = 30.0
    lines: Annotated[int, Field(ge=1, le=6)] = 3
    letters: Literal["as needed", "as written", "capitals", "small capitals"] = "as needed"
    narrowest: Annotated[float, Field(ge=0.5, le=1)] = 0.7
    order: Annotated[int, BeforeValidator(whole_between(-1000, 1000))] | None = None
    halo: NotNegative = 0.0

    @property
    def name(self) -> str:
        """Return what to call it in a message."""
        return shown(self.text)

    @property
    def face_file(self) -> str | None:
        """Return the file its face is in; None where it is one that comes along, by its name."""
        return None if self.face in NAMED_FACES else self.face


class SeriesSettings(Table):
    """The list a series is made from, what its files are called, and how its names stand to each other."""

    list: str
    file: str = ""
    lettering: Literal["alike", "all alike", "each by itself"] = "alike"


class JoinSettings(Table):
    """How loose parts are held."""

    holds: Literal["single", "double"] = "double"
    style: Literal["stem", "bar", "leaf", "bead"] = "stem"
    direction: Degrees | None = None


class RepairSettings(Table):
    """What may be mended in silhouettes that come in."""

    thicken: bool = True
    fill: bool = True
    drop: bool = True
    smooth: NotNegative = 0.0
