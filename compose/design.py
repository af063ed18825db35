"""The design file: what a plate is made of, in the maker's own words.

A design is a TOML file. Every fault in it is reported at once, each with its place; a key that is not known
is refused with the nearest one that is. Motifs' own settings (``pitch``, ``turns`` …) stand in the table of
the motif and are checked against its signature, so a new motif needs nothing here.
"""

from __future__ import annotations

import contextlib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    ValidationInfo,
    field_validator,
    model_validator,
)

from canivet.errors import BadValue, CanivetError, Unreadable, suggest
from canivet.lengths import format_mm, parse_length, parse_size
from canivet.motifs.registry import Family, Motif, find_motif
from canivet.parameters import read_value
from canivet.sheets import Sheet, find_sheet
from canivet.stock import Faces, Stock

from .framing import UsedFrame, read_frame
from .rows import columns_in

__all__ = [
    "Design",
    "JoinSettings",
    "LetteringSettings",
    "Measure",
    "PlacedSilhouette",
    "RepairSettings",
    "SeriesSettings",
    "UsedMotif",
    "VignetteSettings",
    "load_design",
]

ANCHORS = (
    "centre", "top", "foot", "left", "right",
    "top left", "top right", "foot left", "foot right",
)  # fmt: skip

MOST_BYTES = 1_000_000
"""A design is written by hand; a megabyte of TOML is some other file."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A length, in mm or as a share of the window inside the border."""

    number: float
    of_window: bool = False

    def within(self, extent: float) -> float:
        """Return it in mm, given the window's extent in that direction."""
        return self.number * extent if self.of_window else self.number


@dataclass(frozen=True, slots=True)
class UsedMotif:
    """A motif and the settings the design gives it."""

    motif: Motif
    settings: dict[str, Any]


_FARTHEST = 100
"""Window extents that a place may lie off: beyond that it is a slip."""


def _length(value: Any, info: ValidationInfo) -> float:
    return parse_length(value, parameter=info.field_name or "length")


def _above_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length <= 0:
        raise BadValue(f"{info.field_name} is {value!r}; it takes a length above zero, such as 1.2 mm.")
    return length


def _not_below_zero(value: Any, info: ValidationInfo) -> float:
    length = _length(value, info)
    if length < 0:
        raise BadValue(f"{info.field_name} is {value!r}; it takes a length of zero or more, such as 0.2 mm.")
    return length


def _measure(value: Any, info: ValidationInfo) -> Measure:
    if isinstance(value, Measure):
        return value
    if isinstance(value, str) and value.rstrip().endswith("%"):
        try:
            number = float(value.rstrip().removesuffix("%")) / 100
        except ValueError:
            number = math.nan
        if not abs(number) <= _FARTHEST:
            raise BadValue(
                f"{info.field_name} is {_short(value)}; it takes a length such as 60 mm, "
                f"or per cent of the window such as 60%, at most {100 * _FARTHEST}%."
            )
        return Measure(number, of_window=True)
    return Measure(_length(value, info))


def _extent(value: Any, info: ValidationInfo) -> Measure:
    measure = _measure(value, info)
    most = 10 if measure.of_window else 10_000
    if not 0 < measure.number <= most:
        raise BadValue(f"{info.field_name} is {value!r}; it takes more than zero, such as 60 mm or 60%.")
    return measure


def _degrees(value: Any, info: ValidationInfo) -> float:
    text = value.strip().removesuffix("°").strip() if isinstance(value, str) else value
    try:
        number = float(text)
    except (TypeError, ValueError, OverflowError):
        number = float("nan")
    if isinstance(value, bool) or not -360 <= number <= 360:
        raise BadValue(f"{info.field_name} is {value!r}; it takes an angle of -360° to 360°, anticlockwise.")
    return number


def _sizes(value: Any, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    values = value if isinstance(value, list) else [value]
    if not values:
        raise BadValue("size is an empty list; give at least one size, such as 4x6 in.")
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


Length = Annotated[float, BeforeValidator(_length)]
Positive = Annotated[float, BeforeValidator(_above_zero)]
NotNegative = Annotated[float, BeforeValidator(_not_below_zero)]
Place = Annotated[Measure, BeforeValidator(_measure)]
Extent = Annotated[Measure, BeforeValidator(_extent)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class PaperSettings(_Table):
    """What the piece is cut from."""

    faces: Annotated[Faces, BeforeValidator(_faces)] = Faces.DARK_ONE_FACE
    grammage: float | None = None
    thickness: Positive | None = None

    @model_validator(mode="after")
    def _known(self) -> PaperSettings:
        self.stock()
        return self

    def stock(self) -> Stock:
        """Return the stock, its thickness from the published table unless it is given."""
        return Stock.of(self.faces, grammage=self.grammage, thickness=self.thickness)


class SheetSettings(_Table):
    """The page it is printed on."""

    size: Annotated[Sheet, BeforeValidator(_sheet)] | None = None
    ink: Literal["solid", "lines"] = "solid"


class PlacedSilhouette(_Table):
    """A silhouette, from a file or grown as a motif, and where it goes."""

    file: str = ""
    motif: str = ""
    settings: dict[str, Any] = {}
    height: Extent | None = None
    width: Extent | None = None
    anchor: Literal[ANCHORS] = "centre"  # type: ignore[valid-type]
    at: tuple[Place, Place] | None = None
    offset: tuple[Length, Length] = (0.0, 0.0)
    turn: Annotated[float, BeforeValidator(_degrees)] = 0.0
    mirror: bool = False
    mode: Literal["stays", "cut out"] = "stays"
    keep_clear: bool = False

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
        motif = find_motif(self.motif, family="form")
        known = {name: bound for name, bound in motif.parameters.items() if name not in _COMPOSER_GIVES}
        for key in self.settings:
            if key not in known:
                raise BadValue(_unknown(f"settings.{key}", key, list(known)))
        return UsedMotif(motif, {key: read_value(known[key], value) for key, value in self.settings.items()})


class VignetteSettings(_Table):
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


class LetteringSettings(_Table):
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


class SeriesSettings(_Table):
    """The list a series is made from, and what its files are called."""

    list: str
    file: str = ""


class JoinSettings(_Table):
    """How loose parts are held."""

    holds: Literal["single", "double"] = "double"
    style: Literal["bar", "leaf", "bead"] = "bar"
    direction: Annotated[float, BeforeValidator(_degrees)] | None = None


class RepairSettings(_Table):
    """What may be mended in silhouettes that come in."""

    thicken: bool = True
    fill: bool = True
    drop: bool = True
    smooth: NotNegative = 0.0


RIM = 2.5
"""mm kept along the outline, where nothing is said and straps are no wider."""


class Design(_Table):
    """A whole design, read and checked. Lengths are mm.

    Attributes
    ----------
    size : tuple of (width, height)
        Every size it is to be drawn at.
    strap : float
        The narrowest paper left anywhere.
    rim : float
        The paper kept along the outline where there is no border.
    smallest_opening : float
        Radius of the disc that must fit into every opening.
    slip : float
        How far the hand may stray and the piece still hold.
    """

    title: str = Field(min_length=1, max_length=300)
    description: str = Field(default="", max_length=2000)
    size: Annotated[tuple[tuple[float, float], ...], BeforeValidator(_sizes)]
    strap: Positive = 1.2
    rim: Positive = RIM
    smallest_opening: Positive = 0.5
    slip: NotNegative = 0.0
    paper: PaperSettings = PaperSettings()
    sheet: SheetSettings = SheetSettings()
    frame: UsedFrame | None = None
    outline: UsedMotif
    border: UsedMotif | None = None
    ground: UsedMotif | None = None
    vignette: VignetteSettings | None = None
    silhouette: tuple[PlacedSilhouette, ...] = ()
    lettering: tuple[LetteringSettings, ...] = ()
    series: SeriesSettings | None = None
    join: JoinSettings = JoinSettings()
    repair: RepairSettings = RepairSettings()
    folder: Path = Path()

    @property
    def needed(self) -> float:
        """Return the width to draw straps at: the strap, and a slip on either side."""
        return self.strap + 2 * self.slip


_MOTIF_TABLES: dict[str, Family] = {"outline": "outline", "border": "border", "ground": "lattice"}
_FRAMED = ("outline", "border", "ground", "vignette", "rim")
"""What a frame brings along."""

_COMPOSER_GIVES = {"within", "width", "height", "strap", "smallest"}
"""What the plate itself tells its motifs."""


def load_design(path: str | Path) -> Design:
    """Read a design file and check all of it.

    Parameters
    ----------
    path : str or Path
        A TOML file; the files it names are looked for beside it.

    Returns
    -------
    Design

    Raises
    ------
    Unreadable
        If there is no such file, or it is not TOML.
    BadValue
        If anything in it is not known or out of range; every fault is listed.
    """
    path = Path(path)
    data = _read_toml(path)
    faults: list[str] = []
    if "folder" in data:
        faults.append("folder is not a key of a design. Take it out.")
        del data["folder"]
    if "frame" in data:
        data["frame"] = read_frame(data["frame"], faults)
        faults += [
            f"{table} is part of the frame. Take one of the two out." for table in _FRAMED if table in data
        ]
    for table, family in _MOTIF_TABLES.items():
        if table in data or table == "outline":
            data[table] = _read_motif(table, family, data.get(table, "rectangle"), faults)
    data["outline"] = data["outline"] or UsedMotif(find_motif("rectangle"), {})  # the fault is told already
    try:
        design = Design(**data, folder=path.parent)
    except ValidationError as error:
        faults += [_sentence(fault) for fault in error.errors()]
    else:
        design = _with_rim(design, data, faults)
        faults += _unfilled(design)
    if faults:
        listed = "".join(f"\n  {fault}" for fault in faults)
        raise BadValue(
            f"{path.name} has {_count(len(faults))}:{listed}", parameter=path.name, value=len(faults)
        )
    return design


def _with_rim(design: Design, data: Mapping[str, Any], faults: list[str]) -> Design:
    """Return the design with a rim no narrower than its straps."""
    if "rim" not in data:
        return design.model_copy(update={"rim": max(RIM, design.needed)})
    if design.rim < design.needed:
        faults.append(
            f"rim is {format_mm(design.rim)} mm; straps are {format_mm(design.needed)} mm wide here, and it "
            "cannot be narrower than they are. Make it wider, or leave it out."
        )
    return design


def _unfilled(design: Design) -> list[str]:
    """Return a fault for each text that asks for a column where there is no list."""
    if design.series is not None:
        return []
    texts = {
        "title": design.title,
        "description": design.description,
        **{f"lettering.{k}.text": words.text for k, words in enumerate(design.lettering, start=1)},
        **{f"silhouette.{k}.file": placed.file for k, placed in enumerate(design.silhouette, start=1)},
    }
    return [
        f"{place} asks for {{{column}}}, and there is no list to take it from. Give the design a [series] "
        'table with list = "names.csv", or write the words out.'
        for place, text in texts.items()
        for column in columns_in(text)
    ]


def _read_toml(path: Path) -> dict[str, Any]:
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise Unreadable(
            f"{path} is not there. Check the path of the design file.", parameter=str(path)
        ) from None
    except OSError as error:
        raise Unreadable(f"{path} cannot be read: {error.strerror}. Give a TOML design file.") from None
    if len(raw) > MOST_BYTES:
        raise Unreadable(f"{path} is {len(raw)} bytes; a design is under {MOST_BYTES}. Is it another file?")
    try:
        return tomllib.loads(raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        raise Unreadable(f"{path} is not a TOML file: {error}. Mend it there.", parameter=str(path)) from None


def _read_motif(table: str, family: Family, given: Any, faults: list[str]) -> UsedMotif | None:
    """Check a motif's table against the motif's own signature."""
    if isinstance(given, str):
        given = {"motif": given}
    if not isinstance(given, dict) or not isinstance(given.get("motif"), str):
        faults.append(f'{table}.motif is missing; name a {family}, as in motif = "…".')
        return None
    try:
        motif = find_motif(given["motif"], family=family, parameter=f"{table}.motif")
    except BadValue as error:
        faults.append(error.message)
        return None
    known = {name: bound for name, bound in motif.parameters.items() if name not in _COMPOSER_GIVES}
    settings = {}
    for key, value in given.items():
        if key == "motif":
            continue
        if key not in known:
            faults.append(_unknown(f"{table}.{key}", key, ["motif", *known]))
            continue
        try:
            settings[key] = read_value(known[key], value)
        except CanivetError as error:
            faults.append(f"{table}.{error.message}")
    return UsedMotif(motif, settings)


def _unknown(place: str, key: str, known: list[str]) -> str:
    return f"{place} is not known.{suggest(key, known)} Known here: {', '.join(known)}."


def _sentence(fault: Any) -> str:
    """Turn one of pydantic's faults into our own words, with its place."""
    place = ".".join(str(step + 1) if isinstance(step, int) else step for step in fault["loc"])
    kind, said = fault["type"], fault["msg"]
    if kind == "extra_forbidden":
        return _unknown(place, str(fault["loc"][-1]), _known_at(fault["loc"]))
    if kind == "missing":
        return f"{place} is missing."
    if kind == "value_error":
        said = said.removeprefix("Value error, ")
        last = str(fault["loc"][-1]) if fault["loc"] else ""
        head = place.rpartition(".")[0]
        return (
            f"{head}.{said}"
            if head and said.startswith(f"{last} ")
            else f"{place}: {said}"
            if place
            else said
        )
    if kind == "literal_error":
        expected = fault["ctx"]["expected"].replace(" or ", ", ")
        known = [word.strip().strip("'") for word in expected.split(",")]
        hint = suggest(str(fault["input"]), known)
        return f"{place} is {_short(fault['input'])}; it takes one of: {', '.join(known)}.{hint}"
    return f"{place} is {_short(fault['input'])}; {said[:1].lower()}{said[1:]}."


def _known_at(loc: tuple[Any, ...]) -> list[str]:
    """Return the keys of the table that an unknown key stands in."""
    tables: dict[str, type[BaseModel]] = {
        "paper": PaperSettings, "sheet": SheetSettings, "vignette": VignetteSettings,
        "silhouette": PlacedSilhouette, "lettering": LetteringSettings, "series": SeriesSettings,
        "join": JoinSettings, "repair": RepairSettings,
    }  # fmt: skip
    model = tables.get(str(loc[0]), Design) if len(loc) > 1 else Design
    return [name for name in model.model_fields if name != "folder"]


def _short(value: Any) -> str:
    shown = repr(value)
    return shown if len(shown) < 50 else shown[:47] + "…"


def _count(n: int) -> str:
    return "1 fault" if n == 1 else f"{n} faults"
