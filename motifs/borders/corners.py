"""Corners of a border filled anew, with blocks of their own where its runs end; and sides drawn wider.

A border is laid as it always is. Where its corners are to be blocks, what it draws there is left out and what
reaches in is cut off at the block, which only adds paper. Where its sides are to be of several widths, it is
laid at the narrowest and each side is drawn out: a map that lengthens and never shortens, one axis at a time,
so that no strap gets narrower and no opening smaller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import DoesNotFit
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.motifs.shapes.rounds import disc, fits, largest_part, opened

from .band import Corner, lay_band

__all__ = ["Block", "clear_corners", "corner_blocks", "drawn_out", "rosette", "saltire"]

_MINE = 0.75
"""An opening with more than this share of it in a corner belongs to the corner."""

_GOOD = 0.25
"""Of an opening cut off at a block: with less than this of it left it is a crumb, and stays closed."""

_SIDES = 96
_EYE = 0.17
"""Radius of a rosette's eye, of its own."""

_LARGE = 10.0
_HEART = 0.64
"""A rosette of a radius of more straps than `_LARGE` has a second ring, outside this share of it."""

_PETALS = (16, 12, 10, 8, 6, 4)
_SLENDER = 0.85
"""Petals are at least this wide, in straps, across their middle."""


@dataclass(frozen=True, slots=True)
class Block:
    """The block of a band where it turns a square corner whose sides lie level and upright.

    Attributes
    ----------
    inner : ndarray
        Its corner at the window, mm.
    out : ndarray
        Which way it points from there: (±1, ±1).
    size : ndarray
        Its width and height, mm.
    """

    inner: Points
    out: Points
    size: Points

    @property
    def area(self) -> Polygon:
        """Return all of it."""
        return shapely.box(*np.sort([self.inner, self.inner + self.out * self.size], axis=0).ravel())

    def room(self, *, rim: float, strap: float) -> Polygon:
        """Return what may be cut of it: a strap from the runs beside it, and a rim from the outline."""
        ends = [self.inner + self.out * strap, self.inner + self.out * (self.size - rim)]
        if np.any(self.size <= rim + strap):
            return Polygon()
        return shapely.box(*np.sort(ends, axis=0).ravel())


def corner_blocks(within: Polygon, band: float) -> list[Block]:
    """Return the blocks of a band at the square corners of a piece.

    Raises
    ------
    DoesNotFit
        If the band cannot be laid, or the piece has no square corner with a level and an upright side.

    Examples
    --------
    >>> blocks = corner_blocks(shapely.box(0, 0, 60, 90), 10)
    >>> min(block.area.bounds for block in blocks), sum(block.area.area for block in blocks)
    ((0.0, 0.0, 10.0, 10.0), 400.0)
    """
    corners = [corner for corner in lay_band(within, band).corners if _is_level(corner)]
    if not corners:
        raise DoesNotFit(
            "a rosette or block stands in a square corner, and this outline has none with a level and an "
            "upright side. Take corner out, or choose an outline such as rectangle or arch.",
            parameter="corner", accepted="turned",
        )  # fmt: skip
    return [Block(corner.at, np.sign(corner.axes.sum(axis=0)), np.array([band, band])) for corner in corners]


def _is_level(corner: Corner) -> bool:
    return bool(np.all(np.abs(np.abs(corner.axes).max(axis=1) - 1) < 1e-4))


def clear_corners(openings: Shapes, blocks: list[Block], *, smallest: float) -> Shapes:
    """Return a border's openings without those of its corners; what reaches into a block ends at it.

    Parameters
    ----------
    openings : ndarray of Polygon
        Disjoint.
    blocks : list of Block
        From `corner_blocks`.
    smallest : float
        Radius of the smallest opening worth cutting, mm.
    """
    taken = shapely.union_all([block.area for block in blocks])
    inside = shapely.area(shapely.intersection(openings, taken)) / shapely.area(openings)
    kept = list(openings[inside <= 1e-6])
    for opening in openings[(inside > 1e-6) & (inside <= _MINE)]:
        parts = shapely.get_parts(opening.difference(taken))
        good = _GOOD * opening.area / len(parts)
        ends = [largest_part(opened(part, smallest, sides=16)) for part in parts]
        kept += [Polygon(end.exterior) for end in ends if end.area >= good and fits(end, smallest)]
    return np.array(kept, dtype=object)


def drawn_out(
    shapes: Shapes, window: Polygon, band: float, sides: tuple[float, float, float, float]
) -> Shapes:
    """Return what was laid in a band round an oblong window with each side as wide as asked.

    Parameters
    ----------
    shapes : ndarray of Polygon
        Solid, laid in a band of one width.
    window : Polygon
        Oblong, level; it stays where it is.
    band : float
        mm, no wider than any side.
    sides : (float, float, float, float)
        mm; left, right, top, foot.

    Examples
    --------
    >>> window = shapely.box(10, 10, 50, 70)
    >>> drawn_out(np.array([window.buffer(10, join_style="mitre")]), window, 10, (10, 10, 10, 15))[0].bounds
    (0.0, -5.0, 60.0, 80.0)
    """
    x0, y0, x1, y1 = window.bounds
    left, right, top, foot = sides

    def moved(points: Points) -> Points:
        x = np.interp(points[:, 0], [x0 - band, x0, x1, x1 + band], [x0 - left, x0, x1, x1 + right])
        y = np.interp(points[:, 1], [y0 - band, y0, y1, y1 + band], [y0 - foot, y0, y1, y1 + top])
        return np.column_stack([x, y])

    rings = [_split_at(shapely.get_coordinates(shape.exterior), (x0, x1), (y0, y1)) for shape in shapes]
    return np.array([Polygon(moved(ring)) for ring in rings], dtype=object)


def _split_at(ring: Points, xs: tuple[float, float], ys: tuple[float, float]) -> Points:
    """Give a ring a corner where it passes from a side into the block beside it, where the map bends."""
    for axis, values in ((0, xs), (1, ys)):
        for value in values:
            here, there = ring[:-1, axis] - value, ring[1:, axis] - value
            at = np.flatnonzero(here * there < 0)
            share = here[at] / (here[at] - there[at])
            ring = np.insert(ring, at + 1, ring[at] + share[:, None] * (ring[at + 1] - ring[at]), axis=0)
    return ring


def rosette(room: Polygon, *, strap: float, smallest: float) -> list[Polygon]:
    """Return a round of petals about an eye, with a drop in each corner of its block where there is room.

    Parameters
    ----------
    room : Polygon
        Oblong and level, mm; in one that is not square the rosette is drawn out.
    strap, smallest : float
        mm.

    Returns
    -------
    list of Polygon
        Disjoint openings; none where there is not even room for an eye.

    Examples
    --------
    >>> petals = shapely.MultiPolygon(rosette(shapely.box(0, 0, 16, 16), strap=1.2, smallest=0.5))
    >>> turned = shapely.affinity.rotate(petals, 90, origin=(8, 8))
    >>> petals.is_valid, round(petals.symmetric_difference(turned).area, 6)
    (True, 0.0)
    """
    x0, y0, x1, y1 = room.bounds
    side = min(x1 - x0, y1 - y0)
    unit = _round_of_petals(side / 2, strap, smallest)
    middle, scale = ((x0 + x1) / 2, (y0 + y1) / 2), ((x1 - x0) / side, (y1 - y0) / side)
    return [shapely.transform(shape, lambda points: points * scale + middle) for shape in unit]


def _round_of_petals(radius: float, strap: float, smallest: float) -> list[Polygon]:
    """Return a rosette of that radius about the origin, in its square."""
    eye = max(smallest, _EYE * radius)
    if radius - eye - strap < 2 * smallest:
        return [disc(0, 0, radius, sides=_SIDES)] if radius >= smallest else []
    edge = _HEART * radius if radius > _LARGE * strap else radius
    count = _count(eye + strap, edge, strap, smallest)
    found = [disc(0, 0, eye, sides=_SIDES), *_petals(eye + strap, edge, count, strap)]
    if edge < radius:
        found += _petals(edge + strap, radius, 2 * count, strap)
    square = shapely.box(-radius, -radius, radius, radius)
    drops = shapely.get_parts(square.difference(disc(0, 0, radius + strap, sides=_SIDES)))
    return [Polygon(shape.exterior) for shape in [*found, *drops] if fits(shape, smallest)]


def _count(inner: float, outer: float, strap: float, smallest: float) -> int:
    """Return how many petals there are between two circles, none too narrow for the paper between them."""
    round_ = math.pi * (outer + inner)
    least = max(2 * smallest, _SLENDER * strap)
    return next((n for n in _PETALS if round_ / n - strap >= least), _PETALS[-1])


def _petals(inner: float, outer: float, count: int, strap: float) -> list[Polygon]:
    """Return so many openings between two circles, a strap apart, the first of them upright."""
    ring = disc(0, 0, outer, sides=_SIDES).difference(disc(0, 0, inner, sides=_SIDES))
    rays = [_ray(2 * math.pi * (k + 0.5) / count + math.pi / 2, 2 * outer, strap) for k in range(count)]
    rounding = 0.3 * min(outer - inner, math.pi * (outer + inner) / count - strap)
    parts = shapely.get_parts(ring.difference(shapely.union_all(rays)))
    return [largest_part(opened(part, rounding, sides=32)) for part in parts]


def _ray(angle: float, length: float, width: float) -> BaseGeometry:
    line = shapely.LineString([(0, 0), (length * math.cos(angle), length * math.sin(angle))])
    return line.buffer(width / 2, cap_style="flat")


def saltire(room: Polygon, *, strap: float, smallest: float) -> list[Polygon]:
    """Return the four openings that a saltire leaves in a block.

    Parameters and result are those of `rosette`.

    Examples
    --------
    >>> len(saltire(shapely.box(0, 0, 10, 12), strap=1.2, smallest=0.5))
    4
    """
    x0, y0, x1, y1 = room.bounds
    arms = [shapely.LineString(ends) for ends in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0)))]
    cross = shapely.union_all([arm.buffer(strap / 2, cap_style="square") for arm in arms])
    return [part for part in shapely.get_parts(room.difference(cross)) if fits(part, smallest)]
