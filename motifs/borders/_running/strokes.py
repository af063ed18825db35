"""Strokes, spirals and leaves: the shapes of paper that flowing borders are drawn with.

All are drawn flat, before the band bends them, and joined by overlapping, never by touching.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import disc as round_of
from canivet.motifs.shapes.rounds import fits, largest_part, opened

__all__ = [
    "around",
    "bezier",
    "disc",
    "drop",
    "fan",
    "leaf",
    "polar",
    "softened",
    "spiral",
    "stroke",
]

_SEGMENTS = 24
"""Sides to a quarter circle: under 0.005 mm off up to a radius of 9 mm."""

_FULL = 0.55
"""Radius of a drop of a fan in straps, at least: fewer drops before crumbs between bars."""


def disc(x: float, y: float, radius: float) -> Polygon:
    """Return a round boss of paper."""
    return round_of(x, y, radius, sides=_SEGMENTS)


def drop(tip: tuple[float, float], center: tuple[float, float], radius: float, blunt: float) -> BaseGeometry:
    """Return a drop: round about its centre, drawn out to a tip of the radius `blunt`."""
    return shapely.convex_hull(shapely.union_all([disc(*tip, blunt), disc(*center, radius)]))


def stroke(spine: Points, widths: ArrayLike) -> BaseGeometry:
    """Return a brush stroke along a curve, its width going evenly over the widths given.

    Parameters
    ----------
    spine : ndarray
        Points along the curve, shape (n, 2), mm.
    widths : array of float
        mm, at even distances along the curve, ends included.

    Returns
    -------
    geometry
        Round at both ends.

    Examples
    --------
    >>> bar = stroke(np.array([(0.0, 0.0), (10.0, 0.0)]), [2, 2])
    >>> round(bar.area, 1) == round(20 + math.pi, 1)
    True
    """
    along = distances_along(spine)
    given = np.asarray(widths, dtype=float)
    width = np.interp(along / along[-1], np.linspace(0, 1, len(given)), given)
    discs = shapely.buffer(shapely.points(spine), width / 2, quad_segs=_SEGMENTS)
    pairs = shapely.multipolygons(np.column_stack([discs[:-1], discs[1:]]))
    joined: BaseGeometry = shapely.union_all(shapely.convex_hull(pairs))
    return joined


def bezier(*points: tuple[float, float], count: int = 17) -> Points:
    """Return points along the curve that a few control points draw (de Casteljau)."""
    share = np.linspace(0, 1, count)[:, None, None]
    layer = np.broadcast_to(np.asarray(points, dtype=float), (count, len(points), 2))
    while layer.shape[1] > 1:
        layer = layer[:, :-1] + share * (layer[:, 1:] - layer[:, :-1])
    curve: Points = layer[:, 0].copy()
    return curve


def polar(center: tuple[float, float], radius: ArrayLike, angle: ArrayLike) -> Points:
    """Return points about a centre; angles in radians from level."""
    radius, angle = np.asarray(radius, dtype=float), np.asarray(angle, dtype=float)
    turned: Points = np.asarray(center) + np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)
    return turned


def spiral(
    center: tuple[float, float],
    radii: tuple[float, float],
    angles: tuple[float, float],
    *,
    count: int = 33,
) -> Points:
    """Return points of a spiral whose radius goes evenly from one to the other; angles in degrees."""
    share = np.linspace(0, 1, count)
    radius = radii[0] + share * (radii[1] - radii[0])
    return polar(center, radius, np.radians(angles[0] + share * (angles[1] - angles[0])))


def leaf(
    base: tuple[float, float],
    tip: tuple[float, float],
    width: float,
    *,
    bend: float = 0.0,
    belly: float = 0.42,
    stalk: float = 0.0,
    point: float = 1.15,
) -> Polygon:
    """Return a leaf from base to tip.

    Parameters
    ----------
    base, tip : tuple of float
        mm.
    width : float
        At its widest, mm.
    bend : float
        How far its middle stands off to the left of the straight line, as a share of its length.
    belly : float
        Where it is widest, as a share of the way from base to tip.
    stalk : float
        Width it has at its base already, mm.
    point : float
        How pointed it is: about 0.5 for an oval, over 1 for a leaf drawn out at both ends.

    Returns
    -------
    Polygon

    Examples
    --------
    >>> leaf((0, 0), (10, 0), 4).bounds[2]
    10.0
    """
    a, b = np.asarray(base, dtype=float), np.asarray(tip, dtype=float)
    axis = b - a
    left = np.array([-axis[1], axis[0]])
    share = np.linspace(0, 1, 41)
    spine = a + share[:, None] * axis + (4 * bend * share * (1 - share))[:, None] * left
    power = math.log(0.5) / math.log(belly)
    swell = np.sin(np.pi * share**power) ** point
    half = np.maximum(width * swell, np.where(share < belly, stalk, 0))[:, None] / 2
    aside = half * directions(spine)[1]
    return largest_part(Polygon(np.vstack([spine + aside, (spine - aside)[::-1]])).buffer(0))


def softened(body: Polygon, radius: float) -> Sequence[Polygon]:
    """Round the corners of an opening from inside; where it is narrower than the radius allows it parts."""
    soft = opened(body, radius, sides=12)
    return [part for part in getattr(soft, "geoms", [soft]) if not part.is_empty]


def around(whites: list[BaseGeometry], width: float, height: float) -> BaseGeometry:
    """Return the paper round openings in an oblong, and the rails along it."""
    return box(0, -height, width, 2 * height).difference(
        shapely.union_all(whites).intersection(box(0, 0, width, height))
    )


def fan(height: float, strap: float, smallest: float) -> list[BaseGeometry]:
    """Return drops that spread from the inner corner of a block: three, or as many as can be cut."""
    for petals in (3, 2):
        drops = _drops(height, strap, petals)
        if all(fits(drop, max(1.1 * smallest, _FULL * strap)) for drop in drops):
            return drops
    return _drops(height, strap, 1)


def _drops(height: float, strap: float, petals: int) -> list[BaseGeometry]:
    near = 0.5 * strap + 0.16 * height
    step = 90 / petals
    angles = np.radians(step * (np.arange(petals) + 0.5))
    drops = []
    for angle in angles:
        far = min(height / max(math.cos(angle), math.sin(angle)), 1.22 * height)
        wide = 2 * far * math.tan(math.radians(step / 2)) - strap / math.cos(math.radians(step / 2))
        r = min(wide / 2 / (1 + math.tan(math.radians(step / 2))), 0.3 * height)
        tip = (near * math.cos(angle), near * math.sin(angle))
        drops.append(drop(tip, ((far - r) * math.cos(angle), (far - r) * math.sin(angle)), r, 0.3 * strap))
    return drops
