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
from typing import Any

from pydantic import ValidationError

from canivet.compose.planning.settings import PlanSettings, read_settings
from canivet.errors import BadValue, Unreadable
from canivet.lengths import counted, format_mm, parse_length, shown
from canivet.motifs.registry import find_motif
from canivet.sources import read_text

from .border_table import read_borders
from .faults.checks import orders_used_twice, unfilled, unseen
from .faults.missing import missing_files, names_in, unknown_panels
from .faults.wording import in_words
from .fit import FitSettings
from .folding import read_fold
from .limits import DESIGN_BYTES, require_depth
from .motif_table import UsedMotif, read_motif, unknown_key
from .tables import (
    JoinSettings,
    LetteringSettings,
    PlacedSilhouette,
    RepairSettings,
    SeriesSettings,
    VignetteSettings,
)
from .values.colours import parse_colour
from .values.reading import Measure
from .whole import FRAMED, MOTIF_TABLES, OWN, RIM, Design, Layer

__all__ = [
    "FRAMED",
    "MOTIF_TABLES",
    "OWN",
    "RIM",
    "Design",
    "JoinSettings",
    "Layer",
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

PAPERS = ("faces", "grammage", "thickness")
"""What a layer says of its paper, beside its colour."""

INHERITED = (
    "size", "strap", "rim", "smallest_opening", "slip", "sheet", "outline", "lines", "join", "repair", "plan",
)  # fmt: skip
"""What a layer takes from the piece where it does not say it itself."""

OF_LAYERS = ("colour", "behind", "gap")
"""What a layer alone has."""

LAYERS = (
    *OF_LAYERS, *PAPERS, "title", "description", "size", "strap", "rim", "smallest_opening", "slip",
    "border", "ground", "vignette", "symmetry", "silhouette", "lettering", "lines", "join", "repair",
)  # fmt: skip
"""The keys of a layer."""

_STAND_IN = "100x100 mm"
"""The size of a piece whose `fit` cannot be read, so that no second fault is told of it."""


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
    layers = data.pop("layer", [])
    design, found, gone = _read_design(data, path)
    faults += found
    if design is not None and layers:
        own, found, more = _read_layers(layers, data, path)
        design, faults, gone = design.model_copy(update={"layer": own}), faults + found, gone + more
    if design is not None and design.series and (design.patch or design.layer or design.mount):
        asked = [key for key in ("patch", "layer", "mount") if getattr(design, key)]
        faults.append(
            f"{' and '.join(asked)} and series are both given; plates of a list are drawn alone. Take one of "
            "the two out, or make a design of the one that is to be finished."
        )
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
    assert design is not None
    return design


def _read_design(data: dict[str, Any], path: Path) -> tuple[Design | None, list[str], list[str]]:
    """Read tables as a design, in their place; return it, all its faults, and those of files not there."""
    faults: list[str] = []
    if "frame" in data:
        faults += [
            f"{table} is part of the frame. Take one of the two out." for table in FRAMED if table in data
        ]
    if "plan" in data and not isinstance(data["plan"], PlanSettings):
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
            if table == "outline" and isinstance(given, UsedMotif):
                continue
            data[table], found = (
                read_borders(given) if table == "border" else read_motif(table, family, given)
            )
            faults += found
    data["outline"] = data["outline"] or UsedMotif(find_motif("rectangle"), {})  # the fault is told already
    try:
        design = Design(**data, folder=path.parent, source=path)
    except ValidationError as error:
        return None, faults + [in_words(fault, Design, OWN) for fault in error.errors()], gone
    design, found = _with_rim(design, data)
    faults += found + orders_used_twice([*design.silhouette, *design.lettering]) + unseen(design.texts)
    faults += [] if design.series else unfilled(design.texts)
    faults += unknown_panels(design.lettering, design.frame, design.size[0], design.promised)
    faults += design.lines.thinner_than(design.needed)
    return design, faults, gone


def _read_layers(
    given: Any, main: Mapping[str, Any], path: Path
) -> tuple[tuple[Layer, ...], list[str], list[str]]:
    """Read every layer as a design that takes from the piece what it does not say itself."""
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        return (), ["layer is one table; there may be several. Write [[layer]], with two brackets."], []
    layers, faults, gone = [], [], []
    for number, own in enumerate(given, start=1):
        layer, found, missing = _read_layer(own, main, path, number)
        faults += [f"layer.{number}.{fault}" for fault in found]
        gone += [f"layer.{number}.{fault}" for fault in missing]
        layers += [layer] if layer else []
    return tuple(layers), faults, gone


def _read_layer(
    own: Mapping[str, Any], main: Mapping[str, Any], path: Path, number: int
) -> tuple[Layer | None, list[str], list[str]]:
    told = [unknown_key(key, key, list(LAYERS)) for key in own if key not in LAYERS]
    data = {key: main[key] for key in INHERITED if key in main}
    data |= {key: value for key, value in own.items() if key in LAYERS and key not in OF_LAYERS}
    data.setdefault("title", f"{main['title']}, layer {number}")
    paper = dict(main.get("paper", {})) | {key: data.pop(key) for key in PAPERS if key in data}
    data["paper"] = paper
    colour = gap = None
    try:
        colour = parse_colour(own.get("colour", ""))
    except BadValue as error:
        told.append(error.message)
    try:
        gap = parse_length(own.get("gap", 0), parameter="gap")
    except BadValue as error:
        told.append(error.message)
    if gap is not None and not 0 <= gap <= 30:
        told.append(f"gap is {shown(own['gap'])}; it takes 0 mm to 30 mm.")
    behind = own.get("behind", True)
    if not isinstance(behind, bool):
        told.append(f"behind is {shown(behind)}; it takes true or false.")
    design, found, gone = _read_design(data, path)
    if design is None or told or found:
        return None, told + found, gone
    assert colour is not None
    return Layer(design, colour, bool(behind), gap or 0.0), [], gone


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
