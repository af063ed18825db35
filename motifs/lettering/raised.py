"""Raised letters: paper letters in an open panel, welded to rails or each other, every mark held."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from canivet.audit.boundary import GRID, Paper
from canivet.audit.strength import check_strength

from ._held.holding import (
    MARGIN,
    CannotHold,
    bar_along,
    losing_form,
    losing_its_form,
    on_grid,
    over_the_edge,
    remarks_on,
    require_widths,
    widen,
)
from ._outlines import as_multi
from ._standing.grounds import lay_grounds
from ._standing.hairs import LEAN, is_dot
from ._standing.welded import weld_lines
from .stout import Rails, StoutLetter, rail_bands, raise_letter
from .text import Letter, Letters

__all__ = ["Rails", "Raised", "raise_letters", "require_stout"]


_ROUNDS = 4
"""Mending one place may pinch another; most lettering is done after one round."""


@dataclass(frozen=True, slots=True, eq=False)
class Raised:
    """Raised letters made to hold.

    Attributes
    ----------
    paper : Polygon or MultiPolygon
        Letters, rails and stems: the paper that stands in the panel, welded to its edge.
    openings : tuple of Polygon
        What is cut away in the panel.
    remarks : tuple of str
        What was done to the letters.
    """

    paper: Paper
    openings: tuple[Polygon, ...]
    remarks: tuple[str, ...]


def raise_letters(
    panel: Polygon,
    letters: Letters,
    *,
    strap: float,
    smallest: float,
    rails: Rails = "foot",
    search: bool = True,
) -> Raised:
    """Letters of paper standing in an open panel, held by rails or each other, dots and accents on stems.

    Parameters
    ----------
    panel : Polygon
        The open panel, mm; the paper around it is taken to be solid.
    letters : Letters
        In place inside it.
    strap : float
        The narrowest paper that may be left, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm, 0 or more.
    rails : "foot", "both", "bars" or "none"
        One bar through the feet; or one at the feet and one along the heads of the capitals; or one at the
        feet and one at the height of the small letters; or none: each letter is welded to the next, and the
        line is held at its ends.
    search : bool
        Whether a refusal says at what height the letters would hold, which takes a while; default true.

    Returns
    -------
    Raised

    Raises
    ------
    DoesNotFit
        If a letter loses its form at this height, with the height that would do; or if the letters do not
        stand clear inside the panel.

    Notes
    -----
    A stroke thinner than the strap is thickened where it is thin, a counter too small to cut is opened and
    its wall moved outward, each by at most a tenth of the letter height. Slits narrower than the radius of
    the smallest opening are filled.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.motifs.lettering.text import shape_text, space_by_eye
    >>> name = space_by_eye(shape_text("Zoë", size=9), gap=1).moved(4, 5)
    >>> raised = raise_letters(box(0, 0, 26, 19), name, strap=1.2, smallest=0.5)
    >>> frame = box(-5, -5, 31, 24).difference(shapely.union_all(raised.openings))
    >>> check_strength(frame, strap=1.2, smallest=0.5).holds
    True
    """
    require_widths(strap, smallest)

    def alone(letter: Letter, letters: Letters) -> object:
        return raise_letter(letter, letters.size, strap, smallest, rail_bands(letters, strap, rails))

    def together(scale: float) -> Raised:
        larger = affinity.scale(panel, scale, scale, origin=(0, 0))
        return _stand(larger, letters.scaled(scale), strap, smallest, rails)

    try:
        return _stand(panel, letters, strap, smallest, rails)
    except CannotHold:
        if not search:
            raise losing_its_form("raised", letters, strap, smallest) from None
        raise losing_form("raised", letters, strap, smallest, alone, together) from None


def require_stout(
    panel: Polygon, letters: Letters, *, strap: float, smallest: float, rails: Rails = "foot"
) -> None:
    """Refuse letters that would lose their form when raised, or reach over the edge, one by one.

    What `raise_letters` refuses beyond that shows only once they are welded together, which takes longer.

    Raises
    ------
    DoesNotFit
        As `raise_letters` does.
    """
    try:
        _made_stout(panel, letters, strap, smallest, rail_bands(letters, strap, rails))
    except CannotHold:
        raise losing_its_form("raised", letters, strap, smallest) from None


def _made_stout(
    panel: Polygon, letters: Letters, strap: float, smallest: float, bars: Sequence[tuple[float, float]]
) -> tuple[list[Letter], list[StoutLetter], list[MultiPolygon]]:
    """Return the letters but for spaces, each made stout, and where that stands inside the panel."""
    each = [one for one in letters.each if not one.blank]
    made = [
        raise_letter(one, letters.size, strap, smallest, bars, lean)
        for one, lean in zip(each, _leans(each, strap, smallest), strict=True)
    ]
    bodies = [one.put(m.shape) for one, m in zip(each, made, strict=True)]
    over_the_edge(panel, letters, bodies)
    return each, made, bodies


def _stand(panel: Polygon, letters: Letters, strap: float, smallest: float, rails: Rails) -> Raised:
    """Put stout letters, rails and ties together, and cut away the rest.

    Raises
    ------
    CannotHold
        If a letter loses its form, or something does not hold.
    """
    bars = rail_bands(letters, strap, rails)
    each, made, bodies = _made_stout(panel, letters, strap, smallest, bars)
    if rails == "none":
        bands = weld_lines(letters, [m.shape for m in made], strap)
    else:
        bands = lay_grounds(panel, letters, [m.shape for m in made], bars, strap, smallest, rails)
    laid = shapely.intersection(bands, panel.buffer(GRID))
    ties = [_tie_beside(k, each, made, bodies, strap + MARGIN) for k, m in enumerate(made) if m.stem]
    counters = [c for one, m in zip(each, made, strict=True) for c in one.put(m.counters).geoms]
    # Rails run between letters, not through them: a g keeps its lower bowl.
    standing = shapely.union_all([*bodies, *laid, *ties]).difference(shapely.union_all(counters))
    openings = _openings_beside(panel, standing, strap, smallest)
    cut = shapely.union_all(openings)
    _require_kept(counters, cut)
    frame = panel.buffer(3 * strap, join_style="mitre").difference(cut)
    if not check_strength(frame, strap=strap, smallest=smallest).holds:
        raise CannotHold
    return Raised(panel.difference(cut), tuple(openings), remarks_on(m.done for m in made))


def _leans(each: Sequence[Letter], strap: float, smallest: float) -> list[int]:
    """Return to which side dots of each letter lean: where there is more room; 0 where there is none."""
    leans = []
    for k, one in enumerate(each):
        marks = sorted(one.shape.geoms, key=lambda part: -part.area)[1:]
        dots = MultiPolygon([mark for mark in marks if is_dot(mark)])
        beside = [other for other in each[max(k - 1, 0) : k + 2] if other is not one]
        if dots.is_empty or not beside:
            leans.append(1)
            continue
        others = shapely.union_all([other.area for other in beside])
        moved = {way: one.put(affinity.translate(dots, way * LEAN * strap, 0)) for way in (1, -1)}
        white = {way: float(dot.distance(others)) for way, dot in moved.items()}
        best = 1 if white[1] >= 0.8 * white[-1] else -1
        leans.append(best if white[best] > 2 * smallest else 0)
    return leans


def _tie_beside(
    k: int, each: Sequence[Letter], made: Sequence[StoutLetter], bodies: Sequence[MultiPolygon], wide: float
) -> Paper:
    """Return what holds a sign that hangs in the air: bars to the letters beside it, or its stem.

    A dash runs on level to the letters on both sides; an apostrophe is held by the nearer one.
    """
    here, stem = made[k].shape, made[k].stem
    assert stem is not None
    x0, y0, x1, y1 = here.bounds
    dash = x1 - x0 > 1.4 * (y1 - y0)
    beside = [
        each[k].bring(bodies[i]) for i in (k - 1, k + 1)
        if 0 <= i < len(each) and made[i].stem is None
    ]  # fmt: skip
    ways = [_levelbar_along(here, other, wide) if dash else None for other in beside]
    bars = [
        way or bar_along(shapely.shortest_line(here, o), wide) for way, o in zip(ways, beside, strict=True)
    ]
    bars.sort(key=lambda bar: bar.area)
    if not bars or bars[0].area > max(stem.area, 3 * wide**2):
        chosen: Paper = stem
    else:
        chosen = shapely.union_all(bars) if dash else bars[0]
    return each[k].put(as_multi(chosen))


def _levelbar_along(here: Paper, other: Paper, wide: float) -> Polygon | None:
    """Return a level bar from the middle of a dash into its neighbour, if it meets it."""
    x, y = here.centroid.x, here.centroid.y
    right = other.centroid.x > x
    end = other.bounds[2] + 1 if right else other.bounds[0] - 1
    strip = box(min(x, end), y - wide / 2, max(x, end), y + wide / 2).intersection(other)
    if strip.is_empty:
        return None
    near = strip.bounds[0] + 0.6 * wide if right else strip.bounds[2] - 0.6 * wide
    return box(min(x, near), y - wide / 2, max(x, near), y + wide / 2)


def _openings_beside(panel: Polygon, standing: Paper, strap: float, smallest: float) -> list[Polygon]:
    """Return what is cut away beside the letters: slits filled, slivers dropped, thin places made good."""
    frame = panel.buffer(3 * strap, join_style="mitre")
    slit = smallest / 2
    air = panel.difference(standing)
    openings: list[Polygon] = []
    for _ in range(_ROUNDS):
        air = air.buffer(-slit, quad_segs=12).buffer(1.02 * slit, join_style="mitre").intersection(air)
        parts = shapely.get_parts(on_grid(air))
        openings = list(parts[~shapely.is_empty(shapely.buffer(parts, -(smallest + GRID)))])
        paper = on_grid(frame.difference(shapely.union_all(openings)))
        mended = widen(paper, strap + GRID)
        if mended is paper:
            break
        air = panel.difference(mended)
    if any(opening.interiors for opening in openings):
        raise CannotHold
    return openings


def _require_kept(counters: Sequence[Polygon], cut: Paper) -> None:
    """Refuse where a counter no longer opens once all stands together."""
    meant = np.array(counters, dtype=object)
    if len(meant) and (shapely.area(shapely.intersection(meant, cut)) < 0.5 * shapely.area(meant)).any():
        raise CannotHold
