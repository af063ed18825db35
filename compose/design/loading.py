"""The design file: what a plate is made of, in the maker's own words.

A design is a TOML file. Every fault in it is reported at once, each with its place; a key that is not known
is refused with the nearest one that is. Motifs' own settings (``pitch``, ``turns`` …) stand in the table of
the motif and are checked against its signature, so a new motif needs nothing here.
"""

from __future__ import annotations

import contextlib
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from pydantic import Field, InstanceOf, ValidationError

from canivet.compose.planning.settings import PlanSettings, read_settings
from canivet.errors import BadValue, Unreadable
from canivet.lengths import counted, format_mm
from canivet.motifs.registry import Family, find_motif
from canivet.sources import read_text

from .border_table import LaidBorder, read_borders
from .faults.checks import orders_used_twice, unfilled, unseen
from .faults.missing import missing_files, names_in, unknown_panels
from .faults.wording import in_words
from .fit import FitSettings
from .folding import FoldSettings, read_fold
from .limits import DESIGN_BYTES, require_depth
from .motif_table import UsedMotif, read_motif
from .tables import (
    JoinSettings,
    LetteringSettings,
    LineSettings,
    PaperSettings,
    PlacedSilhouette,
    RepairSettings,
    SeriesSettings,
    SheetSettings,
    VignetteSettings,
)
from .values.reading import Measure, NotNegative, Positive, Sizes, Table

__all__ = [
    "FRAMED",
    "MOTIF_TABLES",
    "OWN",
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
    "named_files",
    "read_design_text",
]

_MOST_TOLD = 20
"""Faults told one by one; the rest are counted."""

RIM = 2.5
"""mm kept along the outline, where nothing is said and straps are no wider."""


class Design(Table):
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
    size: Sizes
    fit: FitSettings | None = None
    strap: Positive = 1.2
    rim: Positive = RIM
    smallest_opening: Positive = 0.5
    slip: NotNegative = 0.0
    paper: PaperSettings = PaperSettings()
    sheet: SheetSettings = SheetSettings()
    frame: UsedMotif | None = None
    outline: UsedMotif
    border: LaidBorder | None = None
    ground: UsedMotif | None = None
    vignette: VignetteSettings | None = None
    symmetry: Literal["", "mirror", "quarter"] = ""
    silhouette: tuple[PlacedSilhouette, ...] = ()
    lettering: tuple[LetteringSettings, ...] = ()
    series: SeriesSettings | None = None
    lines: LineSettings = LineSettings()
    join: JoinSettings = JoinSettings()
    repair: RepairSettings = RepairSettings()
    plan: InstanceOf[PlanSettings] = PlanSettings()
    fold: InstanceOf[FoldSettings] | None = None
    folder: Path = Path()
    source: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """Return every file that is read to draw it: itself, its list, its drawings and faces."""
        named = [self.series.list] if self.series else []
        named += [placed.file for placed in self.silhouette if placed.file]
        named += [words.face for words in self.lettering if words.face]
        named += [self.sheet.face] if self.sheet.face else []
        named += self.fold.files if self.fold else ()
        own = [] if self.source is None else [self.source]
        return (*own, *(self.folder / name for name in named))

    @property
    def texts(self) -> dict[str, str]:
        """Return what the maker wrote in words, by its place."""
        return {
            "title": self.title,
            "description": self.description,
            **{f"lettering.{k}.text": words.text for k, words in enumerate(self.lettering, start=1)},
            **{f"silhouette.{k}.file": placed.file for k, placed in enumerate(self.silhouette, start=1)},
            **({} if self.fold is None else {f"fold.{name}": text for name, text in self.fold.texts.items()}),
        }

    @property
    def needed(self) -> float:
        """Return the width to draw straps at: the strap, and a slip on either side."""
        return self.strap + 2 * self.slip

    @property
    def back_to_front(self) -> tuple[int, ...]:
        """Return the silhouettes as places in their list, in the order they are laid: the front one last."""
        order = [k if placed.order is None else placed.order for k, placed in enumerate(self.silhouette)]
        return tuple(sorted(range(len(order)), key=order.__getitem__))

    @property
    def promised(self) -> dict[str, float]:
        """Return what every motif of the plate is told: the width of straps, and the smallest opening."""
        return {"strap": self.needed, "smallest": self.smallest_opening}


MOTIF_TABLES: dict[str, Family] = {
    "frame": "frame", "outline": "outline", "border": "border", "ground": "lattice",
}  # fmt: skip
OWN = {"folder", "source"}
"""What a design knows of itself, and no key of its file."""

_STAND_IN = "100x100 mm"
"""The size of a piece whose `fit` cannot be read, so that no second fault is told of it."""

FRAMED = ("outline", "border", "ground", "vignette", "rim")
"""What a frame brings along."""


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
        If there is no such file, or it is not TOML, or nothing is wrong but that files it names cannot be
        opened.
    BadValue
        If anything in it is not known or out of range; every fault is listed.
    """
    path = Path(path)
    data = _read_toml(path)
    faults: list[str] = []
    for key in OWN & data.keys():
        faults.append(f"{key} is not a key of a design. Take it out.")
        del data[key]
    if "frame" in data:
        faults += [
            f"{table} is part of the frame. Take one of the two out." for table in FRAMED if table in data
        ]
    if "plan" in data:
        data["plan"], found = read_settings(data["plan"])
        faults += found
    if "fold" in data:
        faults += _take_fold(data)
    if "fit" in data:
        faults += _take_fit(data)
    gone = missing_files(data, path.parent)
    faults += gone
    for table, family in MOTIF_TABLES.items():
        if table in data or table == "outline":
            given = data.get(table, "rectangle")
            data[table], found = (
                read_borders(given) if table == "border" else read_motif(table, family, given)
            )
            faults += found
    data["outline"] = data["outline"] or UsedMotif(find_motif("rectangle"), {})  # the fault is told already
    try:
        design = Design(**data, folder=path.parent, source=path)
    except ValidationError as error:
        faults += [in_words(fault, Design, OWN) for fault in error.errors()]
    else:
        design, found = _with_rim(design, data)
        faults += found + orders_used_twice(design.silhouette) + unseen(design.texts)
        faults += [] if design.series else unfilled(design.texts)
        faults += unknown_panels(design.lettering, design.frame, design.size[0], design.promised)
    if faults:
        listed = "".join(f"\n  {fault}" for fault in faults[:_MOST_TOLD])
        if len(faults) > _MOST_TOLD:
            listed += f"\n  and {len(faults) - _MOST_TOLD:,} more"
        kind = Unreadable if faults == gone else BadValue
        raise kind(
            f"{path.name} has {counted(len(faults), 'fault')}:{listed}",
            parameter=path.name,
            value=len(faults),
        )
    return design


def _take_fold(data: dict[str, Any]) -> list[str]:
    """Read the fold's table in its place; its kind has a usual size, where the design has none."""
    table = data.pop("fold")
    data["fold"], faults = read_fold(table, beside=list(data))
    if data["fold"] is not None and "size" not in data:
        with contextlib.suppress(BadValue):  # what is wrong with its kind is told already
            width, height = data["fold"].usual_size
            data["size"] = f"{format_mm(width)}x{format_mm(height)} mm"
    return faults


def _take_fit(data: dict[str, Any]) -> list[str]:
    """Work the size back from what the piece is to fit; what is wrong there is told with all other faults."""
    if "size" in data:
        return ["size and fit are both given; each says how large the piece is. Take one of the two out."]
    data["size"] = _STAND_IN
    with contextlib.suppress(ValidationError, TypeError):
        width, height = FitSettings(**data["fit"]).size
        data["size"] = f"{format_mm(width)}x{format_mm(height)} mm"
    return []


def _with_rim(design: Design, data: Mapping[str, Any]) -> tuple[Design, list[str]]:
    """Return the design with a rim no narrower than its straps, and what is wrong with the one given."""
    if "rim" not in data:
        if design.fold is not None:  # it has a usual one of its own
            return design, []
        return design.model_copy(update={"rim": max(RIM, design.needed)}), []
    if design.rim < design.needed:
        return design, [
            f"rim is {format_mm(design.rim)} mm; straps are {format_mm(design.needed)} mm wide here, and it "
            "cannot be narrower than they are. Make it wider, or leave it out."
        ]
    return design, []


def read_design_text(path: str | Path) -> str:
    """Return a design file as it is written, unchecked.

    Raises
    ------
    Unreadable
        If there is no such file, or it is too long or no text for one.
    """
    return read_text(path, most=DESIGN_BYTES, kind="a design", wanted="a TOML design file")


def named_files(path: str | Path) -> tuple[Path, ...]:
    """Return the files that a design names, whatever else is wrong with it; none where it is no TOML."""
    try:
        return tuple(Path(path).parent / name for name in names_in(_read_toml(Path(path))))
    except Unreadable:
        return ()


def _read_toml(path: Path) -> dict[str, Any]:
    text = read_design_text(path)
    require_depth(text, path.name)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        said = " ".join(str(error).split())[:120]
        if "digits" in said:  # Python's own limit of 4,300
            said = "it holds a whole number of thousands of digits"
        raise Unreadable(
            f"{path.name} is not a TOML file: {said}. Mend it there.", parameter=path.name
        ) from None
