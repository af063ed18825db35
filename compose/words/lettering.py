"""Lettering put into a plate: a panel, a text, and how it stands; out come openings and the paper to weld."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any, get_args

import shapely
from shapely import affinity
from shapely.geometry import Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering.cut_out import CutOut, cut_letters, require_cut
from canivet.motifs.lettering.cuts import NARROWEST, Cut, lowest_raised
from canivet.motifs.lettering.fit import fit_lettering, fit_what_holds
from canivet.motifs.lettering.layout import Side
from canivet.motifs.lettering.raised import Rails, Raised, raise_letters, require_stout
from canivet.motifs.lettering.refused import TooLong
from canivet.motifs.lettering.stout import rail_bands
from canivet.motifs.lettering.text import Letters, shape_text

from .curves import Along, band_in, fit_curve, part_beside
from .ways import Case, Chosen, Mode, Setting, spelt, ways_to_set

__all__ = ["PlacedLettering", "place_lettering", "tallest"]

_HIGHEST = 0.16
"""Share of an oval's lesser width that letters round it are high at most: more would meet in the middle."""

_DEPTH = 1.9
"""Letter heights from the inner to the outer edge of a band: capitals, tails, rail and air."""

_LOWER = 0.9
"""Share of a band's depth that is tried next, where letters so high lose their form in it."""

_RAILED, _CLEAR = 1.15, 2.4
"""Straps a rail between two lines is wide, and smallest radii of white between it and the heads below it."""


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

    def rising(self) -> PlacedLettering:
        """Return it a quarter to the left about the origin."""
        turned = partial(affinity.rotate, angle=90, origin=(0, 0))
        return replace(
            self, openings=tuple(turned(opening) for opening in self.openings), paper=turned(self.paper),
            panel=turned(self.panel), letters=self.letters.turned(),
        )  # fmt: skip


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
    along : "line", "rising", "arc" or "oval"
        Default "line"; rising, words read from foot to head, as on the spine of a book.
    least, most : float
        Letter heights to choose from, mm, default 4 to 12.
    lines : int
        On lines or arcs: at most so many, 1 to 6, default 1.
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
    setting = Setting(
        strap, smallest, mode, along, lines, rails, side, curve, centre, bend, letters == "small capitals"
    )
    set_in = partial(_set_along, panel, setting=setting, rim=rim)
    if chosen is not None:
        words, size = spelt(text, chosen.capitals), chosen.size
        return set_in(words, chosen.cut, least=size, most=size, search=False)
    known = ways_to_set(letters, face, mode, narrowest, weight=weight)
    ways = [*dict.fromkeys((spelt(text, capitals), cut) for capitals, cut in known)]
    for words, cut in ways:
        try:
            return set_in(words, cut, least=least, most=most, search=False)
        except DoesNotFit:
            if (words, cut) == ways[-1] and not search:
                raise
    return set_in(*ways[-1], least=least, most=most, search=True)


def _require_known(mode: str, along: str, letters: str, narrowest: float) -> None:
    """Refuse words for a setting that it does not take."""
    for name, value, known in (
        ("mode", mode, ("raised", "cut out")),
        ("along", along, get_args(Along)),
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


def tallest(
    panel: Polygon, text: str, way: tuple[bool, Cut], setting: Setting, *,
    least: float, most: float, standing: bool,
) -> float:  # fmt: skip
    """Return the height for which there is room in a panel, mm; 0 if words fit at none.

    Parameters
    ----------
    panel, text, least, most
        As for `place_lettering`.
    way : (bool, Cut)
        One of `ways_to_set`.
    setting : Setting
        What ways have in common.
    standing : bool
        Whether the letters, made to hold one by one, must stand in it too.

    Notes
    -----
    Measured: nothing is welded and audited, which `place_lettering` does once, at the height it is given.
    """
    capitals, cut = way
    words = spelt(text, capitals)
    if setting.along == "rising":
        panel, setting = affinity.rotate(panel, -90, origin=(0, 0)), replace(setting, along="line")

    def require(letters: Letters) -> None:
        if standing and setting.raised:
            used = part_beside(panel, letters) if panel.interiors else panel
            require_stout(used, letters, strap=setting.strap, smallest=setting.smallest, rails=setting.rails)
        elif standing:
            require_cut(panel, letters, strap=setting.strap, smallest=setting.smallest)

    try:
        if setting.on_band(panel):
            band = _set_on_band(
                panel, words, cut, setting=setting, least=least, most=most, rim=None, search=False
            )
            return band.letters.size
        fit, least = _fit_in_cut(panel, words, cut, setting, least=least, most=most, tall=setting.raised)
        return fit_what_holds(fit, require, most, least=least)[0].size
    except DoesNotFit:
        return 0.0


def _set_along(panel: Polygon, text: str, cut: Cut, *, setting: Setting, **given: Any) -> PlacedLettering:
    """Set words in one cut of a face; those that rise are set in the panel as it lies when they are read."""
    if setting.along != "rising":
        return _set_in_cut(panel, text, cut, setting=setting, **given)
    lying = affinity.rotate(panel, -90, origin=(0, 0))
    try:
        return _set_in_cut(lying, text, cut, setting=replace(setting, along="line"), **given).rising()
    except DoesNotFit as error:
        raise _risen(error) from None


def _risen(error: DoesNotFit) -> DoesNotFit:
    """Return a refusal of words in a panel that was laid down to set them as it is about the panel itself."""
    if isinstance(error, TooLong):
        return error.turned()
    return DoesNotFit(
        error.message, parameter=error.parameter, value=error.value, accepted=error.accepted,
        at=error.at and (-error.at[1], error.at[0]),
    )  # fmt: skip


def _set_in_cut(
    panel: Polygon, text: str, cut: Cut, *, setting: Setting, least: float, most: float, rim: float | None,
    search: bool,
) -> PlacedLettering:  # fmt: skip
    """Set words in one cut of a face, as large as there is room for."""
    if setting.on_band(panel):
        return _set_on_band(panel, text, cut, setting=setting, least=least, most=most, rim=rim, search=search)
    fit, least = _fit_in_cut(
        panel, text, cut, setting, least=least, most=most, tall=setting.raised and not search
    )
    letters, used, made = _make(panel, fit, setting, (least, most), search)
    round_it = 1.5 * setting.strap if rim is None else rim
    body = used.buffer(round_it, join_style="mitre") if setting.raised else used
    paper = body.difference(shapely.union_all(made.openings))
    return PlacedLettering(made.openings, paper, used, letters, _said(letters, made, cut))


def _fit_in_cut(
    panel: Polygon, text: str, cut: Cut, setting: Setting, *, least: float, most: float, tall: bool
) -> tuple[Callable[..., Letters], float]:
    """Return what sets words in one cut of a face as large as asked, and the least height it is asked for.

    With `tall` no height is tried at which raised letters cannot hold.
    """
    strap, smallest, raised = setting.strap, setting.smallest, setting.raised
    shaped: dict[str, Any] = {
        "face": cut.face, "weight": cut.weight, "width": cut.width, "small_capitals": setting.small_capitals,
    }  # fmt: skip
    if tall:
        lowest = lowest_raised(text, cut, strap, smallest, small_capitals=setting.small_capitals)
        least = max(least, min(most, lowest))
    gap, margin = (2 * smallest, 2 * smallest) if raised else (strap + 0.01, strap + 0.02)
    if setting.rails == "none" and raised:
        margin += strap  # so that the bars at the ends are seen as bars
    between = _RAILED * strap + _CLEAR * smallest if raised else strap
    room: dict[str, Any] = {
        "least": least, "lines": setting.lines, "margin": margin, "gap": gap, "between": between,
    }  # fmt: skip
    if setting.along == "line":
        bands = partial(_rails_at, strap=strap, rails=setting.rails) if raised else None
        stands = raised and setting.rails == "foot"
        return partial(fit_lettering, text, panel, bands=bands, stands=stands, **room, **shaped), least
    return partial(
        fit_curve, panel, text, partial(shape_text, **shaped), along=setting.along, side=setting.side,
        curve=setting.curve, centre=setting.centre, bend=setting.bend, width=cut.width, **room,
    ), least  # fmt: skip


def _rails_at(letters: Letters, size: float, *, strap: float, rails: Rails) -> list[tuple[float, float]]:
    """Return the rails that letters would have at a height, from the same letters 1 mm high."""
    return [(size * low, size * high) for low, high in rail_bands(letters, strap / size, rails)]


def _set_on_band(
    panel: Polygon, text: str, cut: Cut, *, setting: Setting, least: float, most: float, **given: Any
) -> PlacedLettering:
    """Set raised letters in a band round an oval that fills the panel, the band as deep as they need."""
    x0, y0, x1, y1 = panel.bounds
    size = min(most, _HIGHEST * min(x1 - x0, y1 - y0))
    own = replace(setting, curve=None, centre=None, bend=None)
    refused: DoesNotFit | None = None
    made: PlacedLettering | None = None
    while size >= least or (refused is None and made is None):
        band = band_in(panel, _DEPTH * size + 4 * setting.smallest)
        try:
            made = _set_in_cut(band, text, cut, setting=own, least=min(least, size), most=size, **given)
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
    panel: Polygon, fit: Callable[..., Letters], setting: Setting, heights: tuple[float, float], search: bool
) -> tuple[Letters, Polygon, Raised | CutOut]:
    """Set the letters as large as there is room for letters that hold."""
    strap, smallest = setting.strap, setting.smallest

    def make(letters: Letters) -> tuple[Polygon, Raised | CutOut]:
        if not setting.raised:
            return panel, cut_letters(panel, letters, strap=strap, smallest=smallest, search=search)
        used = part_beside(panel, letters) if panel.interiors else panel
        made = raise_letters(
            used, letters, strap=strap, smallest=smallest, rails=setting.rails, search=search
        )
        return used, made

    least, most = heights
    letters, (used, made) = fit_what_holds(fit, make, most, least=least, again=not search)
    return letters, used, made


def _said(letters: Letters, made: Raised | CutOut, cut: Cut) -> tuple[str, ...]:
    height = f"{letters.text!r}: letters {format_mm(letters.size, 1)} mm high"
    if cut.width < 1:
        height += f", {cut.width:.0%} of their own width"
    return (height, *(f"{letters.text!r}: {remark}" for remark in made.remarks))
