"""The design file: what a plate is made of, in the maker's own words.

A design is a TOML file. Every fault in it is reported at once, each with its place; a key that is not known
is refused with the nearest one that is. Motifs' own settings (``pitch``, ``turns`` …) stand in the table of
the motif and are checked against its signature, so a new motif needs nothing here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, Field, InstanceOf, ValidationError

from canivet.compose.planning.settings import PlanSettings, read_settings
from canivet.errors import BadValue, Unreadable, suggest
from canivet.lengths import format_mm
from canivet.motifs.registry import Family, find_motif
from canivet.sources import read_text

from .limits import DESIGN_BYTES, require_depth
from .motif_table import UsedMotif, read_motif, unknown_key
from .names import find_unseen
from .rows import columns_in
from .tables import (
    JoinSettings,
    LetteringSettings,
    Measure,
    NotNegative,
    PaperSettings,
    PlacedSilhouette,
    Positive,
    RepairSettings,
    SeriesSettings,
    SheetSettings,
    Sizes,
    Table,
    VignetteSettings,
    shown,
)

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
    strap: Positive = 1.2
    rim: Positive = RIM
    smallest_opening: Positive = 0.5
    slip: NotNegative = 0.0
    paper: PaperSettings = PaperSettings()
    sheet: SheetSettings = SheetSettings()
    frame: UsedMotif | None = None
    outline: UsedMotif
    border: UsedMotif | None = None
    ground: UsedMotif | None = None
    vignette: VignetteSettings | None = None
    silhouette: tuple[PlacedSilhouette, ...] = ()
    lettering: tuple[LetteringSettings, ...] = ()
    series: SeriesSettings | None = None
    join: JoinSettings = JoinSettings()
    repair: RepairSettings = RepairSettings()
    plan: InstanceOf[PlanSettings] = PlanSettings()
    folder: Path = Path()

    @property
    def needed(self) -> float:
        """Return the width to draw straps at: the strap, and a slip on either side."""
        return self.strap + 2 * self.slip


_MOTIF_TABLES: dict[str, Family] = {
    "frame": "frame", "outline": "outline", "border": "border", "ground": "lattice",
}  # fmt: skip
_FRAMED = ("outline", "border", "ground", "vignette", "rim")
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
        faults += [
            f"{table} is part of the frame. Take one of the two out." for table in _FRAMED if table in data
        ]
    if "plan" in data:
        data["plan"] = read_settings(data["plan"], faults)
    for table, family in _MOTIF_TABLES.items():
        if table in data or table == "outline":
            data[table], found = read_motif(table, family, data.get(table, "rectangle"))
            faults += found
    data["outline"] = data["outline"] or UsedMotif(find_motif("rectangle"), {})  # the fault is told already
    try:
        design = Design(**data, folder=path.parent)
    except ValidationError as error:
        faults += [_sentence(fault) for fault in error.errors()]
    else:
        design = _with_rim(design, data, faults)
        faults += _unfilled(design) + _unseen(design)
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
    return [
        f"{place} asks for {{{column}}}, and there is no list to take it from. Give the design a [series] "
        'table with list = "names.csv", or write the words out.'
        for place, text in _texts(design).items()
        for column in columns_in(text)
    ]


def _unseen(design: Design) -> list[str]:
    """Return a fault for each text with a character that cannot be seen."""
    found = ((place, find_unseen(text)) for place, text in _texts(design).items())
    return [f"{place}: {unseen} Take it out." for place, unseen in found if unseen]


def _texts(design: Design) -> dict[str, str]:
    """Return what the maker wrote in words, by its place."""
    return {
        "title": design.title,
        "description": design.description,
        **{f"lettering.{k}.text": words.text for k, words in enumerate(design.lettering, start=1)},
        **{f"silhouette.{k}.file": placed.file for k, placed in enumerate(design.silhouette, start=1)},
    }


def _read_toml(path: Path) -> dict[str, Any]:
    text = read_text(path, most=DESIGN_BYTES, kind="a design", wanted="a TOML design file")
    require_depth(text, path.name)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a whole number of 5,000 digits is a ValueError
        said = " ".join(str(error).split())[:120]
        raise Unreadable(
            f"{path.name} is not a TOML file: {said}. Mend it there.", parameter=path.name
        ) from None


def _sentence(fault: Any) -> str:
    """Turn one of pydantic's faults into our own words, with its place."""
    place = ".".join(str(step + 1) if isinstance(step, int) else step for step in fault["loc"])
    kind, said = fault["type"], fault["msg"]
    if kind == "extra_forbidden":
        return unknown_key(place, str(fault["loc"][-1]), _known_at(fault["loc"]))
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
        return f"{place} is {shown(fault['input'])}; it takes one of: {', '.join(known)}.{hint}"
    return f"{place} is {shown(fault['input'])}; {said[:1].lower()}{said[1:]}."


def _known_at(loc: tuple[Any, ...]) -> list[str]:
    """Return the keys of the table that an unknown key stands in."""
    tables: dict[str, type[BaseModel]] = {
        "paper": PaperSettings, "sheet": SheetSettings, "vignette": VignetteSettings,
        "silhouette": PlacedSilhouette, "lettering": LetteringSettings, "series": SeriesSettings,
        "join": JoinSettings, "repair": RepairSettings,
    }  # fmt: skip
    model = tables.get(str(loc[0]), Design) if len(loc) > 1 else Design
    return [name for name in model.model_fields if name != "folder"]


def _count(n: int) -> str:
    return "1 fault" if n == 1 else f"{n} faults"
