"""Where pads of foam lift a piece without being seen: as few as keep every part within its span.

A pad is hidden where its outline, grown by the raise times the tangent of the viewing angle, lies under
paper. How far paper is from a pad is measured along the paper: round an opening, not across it. Parts that
no pad can come near enough to are set aside and named as overhangs.

References
----------
Choosing few centres so that nothing is far from one is k-centre, here on places that are given: greedy cover,
then single pads left out and pairs made one, then each moved to where the farthest of what it holds is
nearest. Gonzalez, *Theoretical Computer Science* 38, 1985, on how far from the best farthest-point choices
can be.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Polygon

from canivet.audit.boundary import Flags, Floats
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

from ._along import Along

__all__ = ["Overhang", "Pad", "Pads", "Reaches", "hidden_places", "pad_square", "place_pads", "reaches_of"]

_TURNS = (0.0, 45.0)
"""Degrees: a square pad lies straight or on its corner."""

_MOST_PLACES = 200
"""Places a pad may take that are weighed against each other."""

_FINEST = 1.0
"""mm between places at least."""

_ROUNDS = 6
"""Times at most that all pads are moved."""

_PAIRS = 60
"""Pads at most for which every pair is tried as one."""

_TOLD = 3.0
"""mm past the span from which on an overhang is told."""


@dataclass(frozen=True, slots=True)
class Pad:
    """A square of foam: its number, its middle (mm, seen from the front), degrees it is turned."""

    number: int
    at: tuple[float, float]
    turn_deg: float


@dataclass(frozen=True, slots=True)
class Overhang:
    """Paper that no hidden pad comes near enough to: where it ends, and how far that is from a pad, mm."""

    at: tuple[float, float]
    length: float


@dataclass(frozen=True, slots=True, eq=False)
class Pads:
    """The pads of a piece. Lengths in mm.

    Attributes
    ----------
    pads : tuple of Pad
        From the top down, as seen from the back.
    side, raise_ : float
        Of each pad: its side and height.
    viewed_deg : float
        Up to which angle from straight on it stays hidden.
    span : float
        How far paper may be from a pad, along the paper.
    farthest : float
        How far it is at most, along the paper, overhangs aside; up to 3 mm more than the span.
    overhangs : tuple of Overhang
        The longest first.
    share : float
        Of the paper: on how much of it the middle of a pad may lie.
    """

    pads: tuple[Pad, ...]
    side: float
    raise_: float
    viewed_deg: float
    span: float
    farthest: float
    overhangs: tuple[Overhang, ...]
    share: float


@dataclass(frozen=True, slots=True, eq=False)
class Reaches:
    """How far places for pads are from all the paper, along it.

    Attributes
    ----------
    places : (p, 2) float array
        mm.
    turns : (p,) float array
        Degrees that a pad there is turned.
    away : (p, n) array of 32-bit floats
        mm from each place to each point of the paper; infinite past the span.
    points : (n, 2) float array
        Those points of the paper that some place comes near enough to.
    """

    places: Floats
    turns: Floats
    away: NDArray[np.float32]
    points: Floats


def place_pads(
    paper: Polygon, *, side: float, raise_: float, viewed_deg: float, span: float, strap: float = 1.0
) -> Pads:
    """Choose where pads go.

    Parameters
    ----------
    paper : Polygon
        mm.
    side, raise_ : float
        Of each pad, mm.
    viewed_deg : float
        Degrees from straight on up to which no pad may be seen.
    span : float
        mm along the paper that it may be from a pad.
    strap : float
        The narrowest paper, mm; default 1.

    Returns
    -------
    Pads

    Raises
    ------
    DoesNotFit
        If no pad is hidden anywhere.

    Examples
    --------
    >>> from shapely import box
    >>> laid = place_pads(box(0, 0, 60, 10), side=4, raise_=3, viewed_deg=20, span=35)
    >>> len(laid.pads), laid.overhangs
    (1, ())
    """
    grow = raise_ * math.tan(math.radians(viewed_deg))
    places, turns, share = hidden_places(paper, side=side, grow=grow)
    if not len(places):
        raise _no_place(paper, side, raise_, viewed_deg, grow)
    along = Along.of(paper, strap=strap)
    reaches = reaches_of(along, places, turns, span=span)
    chosen = _moved(_fewer(_covering(reaches)[0], reaches), reaches)
    order = sorted(chosen, key=lambda k: (-round(reaches.places[k][1] / 8), -reaches.places[k][0]))
    pads = tuple(
        Pad(number, (float(reaches.places[k][0]), float(reaches.places[k][1])), float(reaches.turns[k]))
        for number, k in enumerate(order, start=1)
    )
    farthest, overhangs = _left_over(along, reaches.places[chosen], span)
    return Pads(pads, side, raise_, viewed_deg, span, farthest, overhangs, share)


def pad_square(at: tuple[float, float], side: float, turn_deg: float) -> Polygon:
    """Return the outline of a pad, mm."""
    square = shapely.box(at[0] - side / 2, at[1] - side / 2, at[0] + side / 2, at[1] + side / 2)
    turned: Polygon = affinity.rotate(square, turn_deg)
    return turned


def hidden_places(paper: Polygon, *, side: float, grow: float) -> tuple[Floats, Floats, float]:
    """Return where the middle of a pad may lie, how it is turned there, and on which share of the paper."""
    inner = paper.buffer(-grow, quad_segs=16)
    near = inner.buffer(-side / 2, quad_segs=4)
    if near.is_empty:
        return np.empty((0, 2)), np.empty(0), 0.0
    tried = np.vstack([_grid(near), shapely.get_coordinates(shapely.segmentize(near.boundary, 1.0))])
    shapely.prepare(inner)
    half = side / 2
    straight = np.array([(-half, -half), (half, -half), (half, half), (-half, half)])
    fits = np.zeros((len(_TURNS), len(tried)), bool)
    for row, turn in enumerate(_TURNS):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        corners = straight @ np.array([[c, s], [-s, c]])
        squares = shapely.polygons(tried[:, None] + corners)
        fits[row] = shapely.contains_properly(inner, squares)
    some: Flags = np.logical_or(*fits)
    turns = np.where(fits[0], _TURNS[0], _TURNS[1])[some]
    grid = len(tried) - len(shapely.get_coordinates(shapely.segmentize(near.boundary, 1.0)))
    share = float(some[:grid].sum() / max(1, grid) * near.area / paper.area)
    kept = _spread(tried[some])
    return tried[some][kept], turns[kept], share


def reaches_of(along: Along, places: Floats, turns: Floats, *, span: float) -> Reaches:
    """Measure from every place along the paper, as far as some place comes near enough."""
    held = along.from_any(places) <= span
    away = along.from_each(places, limit=span)[:, held]
    return Reaches(places, turns, away, along.points[held])


def _left_over(along: Along, pads: Floats, span: float) -> tuple[float, tuple[Overhang, ...]]:
    """Return how far paper is from the pads at most, and what stands free of them and is told by itself."""
    away = along.from_any(pads)
    beyond = list(along.ends_beyond(away, span))
    told = tuple(Overhang(at, length) for at, length in beyond if length > span + _TOLD)
    within = away[away <= span]
    untold = [length for _, length in beyond[len(told) :]]
    return max([float(within.max(initial=0.0)), *untold]), told


def _grid(area: shapely.Geometry) -> Floats:
    """Return points of a grid inside an area."""
    x0, y0, x1, y1 = area.bounds
    step = max(0.5, math.sqrt((x1 - x0) * (y1 - y0) / 60_000))
    xy = np.stack(np.meshgrid(np.arange(x0, x1 + step, step), np.arange(y0, y1 + step, step)), -1).reshape(
        -1, 2
    )
    shapely.prepare(area)
    inside: Floats = xy[shapely.contains_xy(area, xy[:, 0], xy[:, 1])]
    return inside


def _spread(points: Floats) -> NDArray[np.intp]:
    """Return rows of points that are apart from each other, as few as are weighed and still near to all."""
    apart = _FINEST
    while True:
        cell = np.floor(points / apart).astype(np.int64)
        _, first = np.unique(cell, axis=0, return_index=True)
        if len(first) <= _MOST_PLACES:
            return np.sort(first)
        apart *= 1.15


def _covering(reaches: Reaches) -> tuple[list[int], Flags]:
    """Choose places one by one, each time the one that brings most of what is still too far near enough."""
    covers = np.isfinite(reaches.away)
    left = np.ones(covers.shape[1], bool)
    chosen: list[int] = []
    while left.any():
        best = int(np.argmax(covers[:, left].sum(axis=1)))
        chosen.append(best)
        left &= ~covers[best]
    return chosen or [0], covers


def _fewer(chosen: list[int], reaches: Reaches) -> list[int]:
    """Leave out pads that are not needed, and make one of two where one place holds what both held."""
    covers = np.isfinite(reaches.away)
    again = True
    while again:
        again = False
        for k in sorted(chosen, key=lambda k: int(covers[k].sum())):
            others = [other for other in chosen if other != k]
            if others and covers[others].any(axis=0).all():
                chosen, again = others, True
        for two in combinations(chosen, 2) if len(chosen) <= _PAIRS else ():
            others = [k for k in chosen if k not in two]
            needed = ~covers[others].any(axis=0) if others else np.ones(covers.shape[1], bool)
            holds = np.flatnonzero(covers[:, needed].all(axis=1))
            if len(holds):
                chosen, again = [*others, int(holds[0])], True
                break
    return chosen


def _moved(chosen: list[int], reaches: Reaches) -> list[int]:
    """Move each pad to the place from which the farthest paper that is nearest to it is nearest."""
    away = reaches.away
    for _ in range(_ROUNDS):
        nearest = np.array(chosen)[np.argmin(away[chosen], axis=0)]
        moved = []
        for k in chosen:
            own = away[:, nearest == k]
            moved.append(int(np.argmin(own.max(axis=1))) if own.shape[1] else k)
        if moved == chosen or away[moved].min(axis=0).max() > away[chosen].min(axis=0).max():
            break
        chosen = moved
    return chosen


def _no_place(paper: Polygon, side: float, raise_: float, viewed_deg: float, grow: float) -> DoesNotFit:
    wanted = format_mm(side + 2 * grow, 1)
    widest = 2 * float(shapely.length(shapely.maximum_inscribed_circle(paper, tolerance=0.05)))
    return DoesNotFit(
        f"there is no place for any pad: one of {format_mm(side)} mm that lifts by {format_mm(raise_)} mm "
        f"and is hidden up to {viewed_deg:g}° from straight on wants paper about {wanted} mm wide, and the "
        f"widest here is {format_mm(widest, 1)} mm. Lower mount.raise, mount.pad or "
        'mount.viewed, or take kind = "float".',
        parameter="mount.pad", value=side, accepted=f"paper {wanted} mm wide somewhere",
    )  # fmt: skip
