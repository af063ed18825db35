"""Lettering put into a plate: a panel, a text, and how it stands; out come openings and the paper to weld."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Literal, get_args

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon

from canivet.compose.openings import Openings
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering.cut_out import CutOut, cut_letters
from canivet.motifs.lettering.cuts import NARROWEST, Cut, cuts_of, lowest_raised
from canivet.motifs.lettering.fit import fit_lettering, fit_what_holds
from canivet.motifs.lettering.layout import Side
from canivet.motifs.lettering.raised import Rails, Raised, raise_letters
from canivet.motifs.lettering.stout import rail_bands
from canivet.motifs.lettering.text import Letters, shape_text

from .curves import ROUND, Along, all_the_way_round, fit_curve

__all__ = ["Case", "Mode", "PlacedLettering", "add_lettering", "place_lettering"]

Mode = Literal["raised", "cut out"]

Case = Literal["as needed", "as written", "capitals", "small capitals"]


_HIGHEST = 0.16
"""Share of an oval's lesser width that letters round it are high at most: more would meet in the middle."""

_DEPTH = 1.9
"""Letter heights from the inner to the outer edge of a band: capitals, tails, rail and air."""

_LOWER = 0.9

_RAILED, _CLEAR = 1.15, 2.4
"""Straps a rail between two lines is wide, and smallest radii of white between it and the heads below it."""

_AIR = 0.8
"""Letter heights of open panel left before and after raised letters on a ring."""


@dataclass(frozen=True, slots=True, eq=False)
class PlacedLettering:
    """Lettering that holds, in its panel.

    Attributes
    ----------
    openings : tuple of Polygon
        What is cut away in the panel, none with an island in it.
    paper : Polygon
        The panel with its rim as a piece of paper, the openings cut out of it: weld it in like a silhouette.
    panel : Polygon
        The panel as it is used.
    letters : Letters
        The letters as they were set, before they were made to hold.
    remarks : tuple of str
        What was done to the letters.
    """

    openings: tuple[Polygon, ...]
    paper: Polygon
    panel: Polygon
    letters: Letters
    remarks: tuple[str, ...]


def place_lettering(
    panel: Polygon,
    text: str,
    *,
    strap: float,
    smallest: float,
    mode: Mode = "raised",
    along: Along = "line",
    least: float = 4.0,
    most: float = 12.0,
    lines: int = 1,
    rails: Rails = "foot",
    side: Side = "top",
    curve: tuple[float, float] | None = None,
    centre: tuple[float, float] | None = None,
    rim: float | None = None,
    bend: float | None = None,
    face: str | Path | None = None,
    weight: float | None = None,
    narrowest: float = NARROWEST,
    letters: Case = "as needed",
    search: bool = True,
) -> PlacedLettering:
    """Lettering as large as its panel allows, raised or cut out, on a line, an arc or round an oval.

    Parameters
    ----------
    panel : Polygon
        Where it stands, mm. Raised letters stand in it as in a window; cut-out ones are cut into it. Round an
        oval it may be a ring; where it is none, raised letters get a band of their own round its edge.
    text : str
        1 to 120 characters.
    strap : float
        The narrowest paper that may be left, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm, 0 or more.
    mode : "raised" or "cut out"
        Default "raised".
    along : "line", "arc" or "oval"
        Default "line".
    least, most : float
        Letter heights to choose from, mm, default 4 to 12.
    lines : int
        On a line or an arc: at most so many, 1 to 6, default 1.
    rails : "foot", "both", "bars" or "none"
        What raised letters are held by, as for `raise_letters`.
    side : "top" or "foot"
        On a curve: over the top of it, or along its foot.
    curve : (float, float), optional
        Width and height of the oval the feet stand on, mm; drawn from the panel if not given.
    centre : (float, float), optional
        Of that oval, mm; the panel's own if not given.
    bend : float, optional
        For a panel bent about `centre`: the radius of its middle line, mm, below zero where it hangs down.
    rim : float, optional
        Paper kept round the panel, mm; one and a half straps if not given.
    face, weight
        As for `shape_text`.
    narrowest : float
        Letters may be narrowed to this share of their own width where they would not fit, 0.5 to 1, default
        0.7; 1 keeps them as wide as they are.
    letters : "as needed", "as written", "capitals" or "small capitals"
        As needed, the default: as written, and capitals where small letters would not hold.
    search : bool
        Whether a refusal says at what height the letters would hold, which takes a while; default true.

    Returns
    -------
    PlacedLettering

    Raises
    ------
    DoesNotFit
        If it does not fit at `least`, or the letters lose their form at the height there is room for; it says
        what would do.
    BadValue
        If the text cannot be set, or a setting is out of range.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.audit.strength import check_strength
    >>> name = place_lettering(box(0, 0, 70, 20), "Ex libris", strap=1.2, smallest=0.5)
    >>> check_strength(name.paper, strap=1.2, smallest=0.5).holds
    True
    """
    for name, value, known in (
        ("mode", mode, ("raised", "cut out")),
        ("along", along, ("line", "arc", "oval")),
        ("letters", letters, get_args(Case)),
    ):
        if value not in known:
            raise BadValue(
                f"{name} is {value!r}; it takes one of: {', '.join(known)}.",
                parameter=name, value=value, accepted=", ".join(known),
            )  # fmt: skip
    if not 0.5 <= narrowest <= 1:
        raise BadValue(
            f"narrowest is {narrowest:g}; letters take 0.5 to 1 of their own width.",
            parameter="narrowest", value=narrowest, accepted="0.5 to 1",
        )  # fmt: skip
    set_in = partial(
        _set_in_cut, panel, strap=strap, smallest=smallest, mode=mode, along=along, least=least, most=most,
        lines=lines, rails=rails, side=side, curve=curve, centre=centre, bend=bend, rim=rim,
        small_capitals=letters == "small capitals",
    )  # fmt: skip
    cuts = cuts_of(face, mode, weight=weight, narrowest=narrowest)
    last = (_spellings(text, letters)[-1], cuts[-1])
    for words, cut in [(words, cut) for words in _spellings(text, letters) for cut in cuts]:
        try:
            return set_in(words, cut, search=False)
        except DoesNotFit:
            if (words, cut) == last and not search:
                raise
    return set_in(*last, search=True)


def _spellings(text: str, letters: Case) -> list[str]:
    """Return the words as they may be spelt, as written first."""
    ways = {"capitals": [text.upper()], "as needed": [text, text.upper()]}.get(letters, [text])
    return list(dict.fromkeys(ways))


def _set_in_cut(
    panel: Polygon, text: str, cut: Cut, *, strap: float, smallest: float, mode: Mode, along: Along,
    least: float, most: float, lines: int, rails: Rails, side: Side, curve: tuple[float, float] | None,
    centre: tuple[float, float] | None, bend: float | None, rim: float | None, search: bool,
    small_capitals: bool,
) -> PlacedLettering:  # fmt: skip
    """Set words in one cut of a face, as large as there is room for."""
    gap, margin = (2 * smallest, 2 * smallest) if mode == "raised" else (strap + 0.01, strap + 0.02)
    if rails == "none" and mode == "raised":
        margin += strap  # so that the bars at the ends are seen as bars
    if mode == "raised" and along == "oval" and not panel.interiors:
        return _set_on_band(
            panel, text, cut, strap=strap, smallest=smallest, least=least, most=most, lines=lines,
            rails=rails, side=side, curve=None, centre=None, bend=None, rim=rim, search=search,
            small_capitals=small_capitals,
        )  # fmt: skip
    if mode == "raised" and not search:
        lowest = lowest_raised(text, cut, strap, smallest, small_capitals=small_capitals)
        least = max(least, min(most, lowest))
    setting: dict[str, Any] = {
        "face": cut.face, "weight": cut.weight, "width": cut.width, "small_capitals": small_capitals,
    }  # fmt: skip
    between = _RAILED * strap + _CLEAR * smallest if mode == "raised" else strap
    if along == "line":
        fit = partial(
            fit_lettering, text, panel, least=least, lines=lines, margin=margin, gap=gap, between=between,
            bands=partial(_rails_at, strap=strap, rails=rails) if mode == "raised" else None,
            stands=mode == "raised" and rails == "foot", **setting,
        )  # fmt: skip
    else:
        fit = partial(
            fit_curve, panel, text, partial(shape_text, **setting), along=along, side=side, curve=curve,
            centre=centre, bend=bend, least=least, lines=lines, margin=margin, gap=gap, between=between,
            width=cut.width,
        )  # fmt: skip
    letters, used, made = _make(panel, fit, (least, most), mode, strap, smallest, rails, search)
    body = used.buffer(1.5 * strap if rim is None else rim, join_style="mitre") if mode == "raised" else used
    paper = body.difference(shapely.union_all(made.openings))
    return PlacedLettering(made.openings, paper, used, letters, _said(letters, made, cut))


def _rails_at(letters: Letters, size: float, *, strap: float, rails: Rails) -> list[tuple[float, float]]:
    """Return the rails that letters would have at a height, from the same letters 1 mm high."""
    return [(size * low, size * high) for low, high in rail_bands(letters, strap / size, rails)]


def add_lettering(
    openings: Openings, placed: PlacedLettering, *, smallest: float, role: str = "lettering-1"
) -> Openings:
    """Put lettering among the openings of a plate: its panel and rim are cleared of them, its own are added.

    Parameters
    ----------
    openings : Openings
        What the plate has cut away so far.
    placed : PlacedLettering
    smallest : float
        What is left of an opening beside the panel is rounded by this radius (mm), and dropped if too small.
    role : str
        What its own openings are to belong to.

    Returns
    -------
    Openings

    Examples
    --------
    >>> from shapely import box
    >>> name = place_lettering(box(20, 10, 80, 28), "Zoë", strap=1.2, smallest=0.5)
    >>> among = add_lettering(Openings.of([box(10, 20, 90, 60)], "window"), name, smallest=0.5)
    >>> among.roles.tolist().count("lettering-1") == len(name.openings)
    True
    >>> shapely.union_all(among.areas).intersection(name.paper).area < 1e-6
    True
    """
    ground = Polygon(placed.paper.exterior)
    return openings.without(ground, smallest=smallest, exactly=True).and_of(placed.openings, role)


def _set_on_band(
    panel: Polygon, text: str, cut: Cut, *, least: float, most: float, smallest: float, **given: Any
) -> PlacedLettering:
    """Set raised letters in a band round an oval that fills the panel, the band as deep as they need."""
    x0, y0, x1, y1 = panel.bounds
    size = min(most, _HIGHEST * min(x1 - x0, y1 - y0))
    refused: DoesNotFit | None = None
    made: PlacedLettering | None = None
    while size >= least or (refused is None and made is None):
        band = _band(panel, _DEPTH * size + 4 * smallest)
        try:
            made = _set_in_cut(
                band, text, cut, mode="raised", along="oval", least=min(least, size), most=size,
                smallest=smallest, **given,
            )  # fmt: skip
        except DoesNotFit as error:
            if made is not None:
                return made
            refused = error
        else:
            if made.letters.size > _LOWER * size:
                return made
            # It is the length that keeps them small: a band as deep as these letters need.
            size = made.letters.size / _LOWER
        size *= _LOWER
    if made is not None:
        return made
    assert refused is not None
    raise refused


def _band(panel: Polygon, depth: float) -> Polygon:
    """Return the band between the oval that fills a panel and one that lies so deep within it."""
    x0, y0, x1, y1 = panel.bounds
    middle, a, b = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0) / 2, (y1 - y0) / 2
    disc = Point(0, 0).buffer(1, quad_segs=64)
    outer, inner = (
        affinity.translate(affinity.scale(disc, a - d, b - d, origin=(0, 0)), *middle) for d in (0.0, depth)
    )
    ring: Polygon = outer.difference(inner)
    return ring


def _make(
    panel: Polygon, fit: Callable[..., Letters], heights: tuple[float, float], mode: Mode,
    strap: float, smallest: float, rails: Rails, search: bool,
) -> tuple[Letters, Polygon, Raised | CutOut]:  # fmt: skip
    """Set the letters as large as there is room for letters that hold."""

    def make(letters: Letters) -> tuple[Polygon, Raised | CutOut]:
        if mode == "cut out":
            return panel, cut_letters(panel, letters, strap=strap, smallest=smallest, search=search)
        used = _beside_text(panel, letters) if panel.interiors else panel
        made = raise_letters(used, letters, strap=strap, smallest=smallest, rails=rails, search=search)
        return used, made

    least, most = heights
    letters, (used, made) = fit_what_holds(fit, make, most, least=least, again=not search)
    return letters, used, made


def _beside_text(panel: Polygon, letters: Letters) -> Polygon:
    """Return the part of a ring that the text takes: the rest stays paper and holds what is within."""
    x, y = Polygon(panel.interiors[0]).centroid.coords[0]
    line = shapely.get_coordinates(letters.baselines[0]) - (x, y)
    angles = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    ends = angles[[0, -1]]
    pad = _AIR * letters.size / np.hypot(*line[[0, -1]].T)
    sense = math.copysign(1.0, float(ends[1] - ends[0]))
    if abs(ends[1] - ends[0]) + pad.sum() > ROUND:
        raise all_the_way_round(letters)
    around = np.linspace(ends[0] - sense * pad[0], ends[1] + sense * pad[1], 181)
    far = 2 * float(np.ptp(np.array(panel.bounds).reshape(2, 2), axis=0).max())
    rim = np.column_stack([x + far * np.cos(around), y + far * np.sin(around)])
    part = panel.intersection(Polygon([(x, y), *rim]))
    if not isinstance(part, Polygon):
        raise all_the_way_round(letters)
    return part


def _said(letters: Letters, made: Raised | CutOut, cut: Cut) -> tuple[str, ...]:
    height = f"{letters.text!r}: letters {format_mm(letters.size, 1)} mm high"
    if cut.width < 1:
        height += f", {cut.width:.0%} of their own width"
    return (height, *(f"{letters.text!r}: {remark}" for remark in made.remarks))
