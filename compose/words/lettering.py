"""Lettering put into a plate: a panel, a text, and how it stands; out come openings and the paper to weld."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Literal, get_args

import shapely
from shapely.geometry import Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering.cut_out import CutOut, cut_letters, require_cut
from canivet.motifs.lettering.cuts import NARROWEST, Cut, cuts_of, lowest_raised
from canivet.motifs.lettering.fit import fit_lettering, fit_what_holds
from canivet.motifs.lettering.layout import Side
from canivet.motifs.lettering.raised import Rails, Raised, raise_letters, require_stout
from canivet.motifs.lettering.stout import rail_bands
from canivet.motifs.lettering.text import Letters, shape_text

from .curves import Along, band_in, fit_curve, part_beside

__all__ = [
    "Case",
    "Chosen",
    "Mode",
    "PlacedLettering",
    "place_lettering",
    "tallest",
    "ways_to_set",
]

Mode = Literal["raised", "cut out"]

Case = Literal["as needed", "as written", "capitals", "small capitals"]


_HIGHEST = 0.16
"""Share of an oval's lesser width that letters round it are high at most: more would meet in the middle."""

_DEPTH = 1.9
"""Letter heights from the inner to the outer edge of a band: capitals, tails, rail and air."""

_LOWER = 0.9

_RAILED, _CLEAR = 1.15, 2.4
"""Straps a rail between two lines is wide, and smallest radii of white between it and the heads below it."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """How words are set, chosen beforehand: in capitals or as written, in which cut, how high (mm)."""

    capitals: bool
    cut: Cut
    size: float

    def spelt(self, text: str) -> str:
        """Return the words as they are spelt."""
        return text.upper() if self.capitals else text


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
    chosen: Chosen | None = None,
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
    chosen : Chosen, optional
        Set so and in no other way, as `tallest` found that they may be.

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
    _require_known(mode, along, letters, narrowest)
    set_in = partial(
        _set_in_cut, panel, strap=strap, smallest=smallest, mode=mode, along=along, lines=lines, rails=rails,
        side=side, curve=curve, centre=centre, bend=bend, rim=rim, small_capitals=letters == "small capitals",
    )  # fmt: skip
    if chosen is not None:
        spelt, size = chosen.spelt(text), chosen.size
        return set_in(spelt, chosen.cut, least=size, most=size, search=False)
    cuts = cuts_of(face, mode, weight=weight, narrowest=narrowest)
    last = (_spellings(text, letters)[-1], cuts[-1])
    for words, cut in [(words, cut) for words in _spellings(text, letters) for cut in cuts]:
        try:
            return set_in(words, cut, least=least, most=most, search=False)
        except DoesNotFit:
            if (words, cut) == last and not search:
                raise
    return set_in(*last, least=least, most=most, search=True)


def _require_known(mode: str, along: str, letters: str, narrowest: float) -> None:
    """Refuse words for a setting that it does not take."""
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


def ways_to_set(
    letters: Case, face: str | Path | None, mode: Mode, narrowest: float
) -> list[tuple[bool, Cut]]:
    """Return how words may be set, in the order it is tried: in capitals or as written, and the cut."""
    spelt = {"capitals": [True], "as needed": [False, True]}.get(letters, [False])
    return [(capitals, cut) for capitals in spelt for cut in cuts_of(face, mode, narrowest=narrowest)]


def tallest(panel: Polygon, text: str, way: tuple[bool, Cut], standing: bool, **setting: Any) -> float:
    """Return the height for which there is room in a panel, mm; 0 if words fit at none.

    Parameters
    ----------
    panel, text
        As for `place_lettering`.
    way : (bool, Cut)
        One of `ways_to_set`.
    standing : bool
        Whether the letters, made to hold one by one, must stand in it too.
    **setting
        Those of `place_lettering` that ways have in common, every one.

    Notes
    -----
    Measured: nothing is welded and audited, which `place_lettering` does once, at the height it is given.
    """
    capitals, cut = way
    words, raised = text.upper() if capitals else text, setting["mode"] == "raised"
    widths = {"strap": setting["strap"], "smallest": setting["smallest"]}

    def require(letters: Letters) -> None:
        if standing and raised:
            used = part_beside(panel, letters) if panel.interiors else panel
            require_stout(used, letters, rails=setting["rails"], **widths)
        elif standing:
            require_cut(panel, letters, **widths)

    try:
        if raised and setting["along"] == "oval" and not panel.interiors:
            return _set_on_band(panel, words, cut, rim=None, search=False, **setting).letters.size
        least, most = setting.pop("least"), setting.pop("most")
        fit, least = _fit_in_cut(panel, words, cut, least=least, most=most, tall=raised, **setting)
        return fit_what_holds(fit, require, most, least=least)[0].size
    except DoesNotFit:
        return 0.0


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
    given: dict[str, Any] = {
        "strap": strap, "smallest": smallest, "mode": mode, "along": along, "lines": lines, "rails": rails,
        "side": side, "curve": curve, "centre": centre, "bend": bend, "small_capitals": small_capitals,
    }  # fmt: skip
    if mode == "raised" and along == "oval" and not panel.interiors:
        given |= {"curve": None, "centre": None, "bend": None}
        return _set_on_band(panel, text, cut, least=least, most=most, rim=rim, search=search, **given)
    fit, least = _fit_in_cut(
        panel, text, cut, least=least, most=most, tall=mode == "raised" and not search, **given
    )
    letters, used, made = _make(panel, fit, (least, most), mode, strap, smallest, rails, search)
    body = used.buffer(1.5 * strap if rim is None else rim, join_style="mitre") if mode == "raised" else used
    paper = body.difference(shapely.union_all(made.openings))
    return PlacedLettering(made.openings, paper, used, letters, _said(letters, made, cut))


def _fit_in_cut(
    panel: Polygon, text: str, cut: Cut, *, strap: float, smallest: float, mode: Mode, along: Along,
    least: float, most: float, lines: int, rails: Rails, side: Side, curve: tuple[float, float] | None,
    centre: tuple[float, float] | None, bend: float | None, small_capitals: bool, tall: bool,
) -> tuple[Callable[..., Letters], float]:  # fmt: skip
    """Return what sets words in one cut of a face as large as asked, and the least height it is asked for.

    With `tall` no height is tried at which raised letters cannot hold.
    """
    gap, margin = (2 * smallest, 2 * smallest) if mode == "raised" else (strap + 0.01, strap + 0.02)
    if rails == "none" and mode == "raised":
        margin += strap  # so that the bars at the ends are seen as bars
    if tall:
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
    return fit, least


def _rails_at(letters: Letters, size: float, *, strap: float, rails: Rails) -> list[tuple[float, float]]:
    """Return the rails that letters would have at a height, from the same letters 1 mm high."""
    return [(size * low, size * high) for low, high in rail_bands(letters, strap / size, rails)]


def _set_on_band(
    panel: Polygon, text: str, cut: Cut, *, least: float, most: float, smallest: float, **given: Any
) -> PlacedLettering:
    """Set raised letters in a band round an oval that fills the panel, the band as deep as they need."""
    x0, y0, x1, y1 = panel.bounds
    size = min(most, _HIGHEST * min(x1 - x0, y1 - y0))
    refused: DoesNotFit | None = None
    made: PlacedLettering | None = None
    while size >= least or (refused is None and made is None):
        band = band_in(panel, _DEPTH * size + 4 * smallest)
        try:
            made = _set_in_cut(
                band, text, cut, least=min(least, size), most=size, smallest=smallest, **given
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


def _make(
    panel: Polygon, fit: Callable[..., Letters], heights: tuple[float, float], mode: Mode,
    strap: float, smallest: float, rails: Rails, search: bool,
) -> tuple[Letters, Polygon, Raised | CutOut]:  # fmt: skip
    """Set the letters as large as there is room for letters that hold."""

    def make(letters: Letters) -> tuple[Polygon, Raised | CutOut]:
        if mode == "cut out":
            return panel, cut_letters(panel, letters, strap=strap, smallest=smallest, search=search)
        used = part_beside(panel, letters) if panel.interiors else panel
        made = raise_letters(used, letters, strap=strap, smallest=smallest, rails=rails, search=search)
        return used, made

    least, most = heights
    letters, (used, made) = fit_what_holds(fit, make, most, least=least, again=not search)
    return letters, used, made


def _said(letters: Letters, made: Raised | CutOut, cut: Cut) -> tuple[str, ...]:
    height = f"{letters.text!r}: letters {format_mm(letters.size, 1)} mm high"
    if cut.width < 1:
        height += f", {cut.width:.0%} of their own width"
    return (height, *(f"{letters.text!r}: {remark}" for remark in made.remarks))
