"""Convex shapes by the array: drawn in, and clipped where the edge of a region passes through once.

Most cells that an edge cuts are convex, and it comes in through one side of them and goes out through
another: what is left is the chain between and the corners on its left. All such are cut at once; a crossing
less plain, or closer than numbers tell, is left to the geometry library.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags, Floats, Ints, cross, dot, numbered
from canivet.motifs.shapes.openings import Points, Shapes, inset_convex

__all__ = ["clipped_once", "drawn_in_plainly"]

_MOST = 24
"""Corners. A shape with more is round, and is clipped no sooner side by side than by the library."""

_FEW = 12
"""Shapes with as many corners: fewer are done no sooner side by side than by the library."""

_NEAR = 1e-9
"""mm. A crossing so near a corner, or so near the next, may as well lie on its other side."""


class _Edge(NamedTuple):
    """The edge of a region in straight segments, ring after ring, with the region on their left."""

    start: Points
    end: Points
    first: Ints
    """The first segment of the ring that each is of."""
    size: Ints
    """How many segments that ring has."""


class _Crossing(NamedTuple):
    """Where an edge passes the outline of some shapes: the segment, the side of the shape, and the point."""

    segment: Ints
    side: Ints
    at: Points


def drawn_in_plainly(cells: Shapes, distance: Floats) -> tuple[Shapes, Flags]:
    """Move the sides of convex cells inward where each of them keeps some length.

    Returns
    -------
    ndarray of Polygon, ndarray of bool
        The cells, and which of them were drawn in; the others are as they were.
    """
    moved, plain = cells.copy(), np.zeros(len(cells), dtype=bool)
    for rows, corners in _alike(cells):
        inner = inset_convex(corners, distance[rows, None])
        # sides of a convex shape only get shorter on the way, so one that kept its way was never gone
        kept = (dot(_sides(inner), _sides(corners)) > 0).all(axis=1)
        moved[rows[kept]] = shapely.polygons(inner[kept])
        plain[rows[kept]] = True
    return moved, plain


def clipped_once(region: BaseGeometry, shapes: Shapes) -> tuple[Shapes, Flags]:
    """Return what of each shape lies in a region, where its edge passes through plainly once or not at all.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        mm.
    shapes : ndarray
        None of them empty.

    Returns
    -------
    ndarray, ndarray of bool
        What is left of each shape, and of which shapes that is known; the others are as they were.

    Examples
    --------
    >>> boxes = shapely.box(np.arange(60), 0, np.arange(60) + 0.5, 2)
    >>> left, known = clipped_once(shapely.box(-1, -1, 40.25, 9), boxes)
    >>> shapely.area(left[38:42]).tolist(), bool(known.all())
    ([1.0, 1.0, 0.5, 0.0], True)
    """
    edge = _edge_of(region)
    segment, shape = STRtree(shapes).query(shapely.linestrings(np.stack([edge.start, edge.end], axis=1)))
    left, known = shapes.copy(), np.zeros(len(shapes), dtype=bool)
    clear = np.bincount(shape, minlength=len(shapes)) == 0
    for rows, corners in _alike(shapes):
        place = np.full(len(shapes), -1)
        place[rows] = np.arange(len(rows))
        met = place[shape] >= 0
        comes, goes, once, never = _crossings(edge, segment[met], place[shape[met]], corners)
        left[rows[once]] = _cut(edge, comes, goes, corners[once])
        known[rows[once]] = True
        clear[rows[never]] = True
    shapely.prepare(region)
    out = np.flatnonzero(clear)
    out = out[~shapely.contains_xy(region, shapely.get_coordinates(shapely.centroid(shapes[out])))]
    left[out] = Polygon()
    return left, known | clear


def _alike(shapes: Shapes) -> Iterator[tuple[Ints, Points]]:
    """Go through the convex shapes by how many corners they have.

    Yields
    ------
    (n,) int array, (n, m, 2) array
        Rows of those with m corners, and the corners, counter-clockwise.
    """
    counts = np.where(shapely.get_num_interior_rings(shapes) == 0, shapely.get_num_coordinates(shapes) - 1, 0)
    counts[shapely.get_type_id(shapes) != shapely.GeometryType.POLYGON] = 0
    for count in 3 + np.flatnonzero(np.bincount(counts[counts <= _MOST], minlength=4)[3:] >= _FEW):
        rows = np.flatnonzero(counts == count)
        corners = shapely.get_coordinates(shapes[rows]).reshape(len(rows), count + 1, 2)[:, :-1]
        turns = cross(_sides(corners), np.roll(_sides(corners), -1, axis=1))
        clockwise = turns.sum(axis=1) < 0
        corners[clockwise] = corners[clockwise, ::-1]
        convex = (np.where(clockwise, -1, 1)[:, None] * turns > 0).all(axis=1)
        yield rows[convex], corners[convex]


def _sides(corners: Points) -> Points:
    """Return the way from each corner to the next, of each shape."""
    sides: Points = np.roll(corners, -1, axis=1) - corners
    return sides


def _edge_of(region: BaseGeometry) -> _Edge:
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(region)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    within = ring[1:] == ring[:-1]
    size = np.bincount(ring[:-1][within])
    return _Edge(
        points[:-1][within],
        points[1:][within],
        np.repeat(np.cumsum(size) - size, size),
        np.repeat(size, size),
    )


def _crossings(
    edge: _Edge, segment: Ints, shape: Ints, corners: Points
) -> tuple[_Crossing, _Crossing, Ints, Flags]:
    """Find where the edge comes into convex shapes and goes out of them.

    Parameters
    ----------
    edge : _Edge
    segment, shape : (k,) int array
        Which segments come near which shapes.
    corners : (n, m, 2) array
        Of the shapes.

    Returns
    -------
    comes, goes : _Crossing
        One for each shape that the edge passes through once.
    once : int array
        Rows of those.
    never : (n,) bool array
        Which shapes it does not pass through.
    """
    start, way = edge.start[segment], (edge.end - edge.start)[segment]
    low, high, entered, left = _stretch_within(start, way, corners[shape])
    there = low < high
    short = there & ((high - low) * np.hypot(*way.T) < _NEAR)
    comes, goes = there & (low > 0), there & (high < 1)
    pieces, vague, entries, exits = (
        np.bincount(shape[which], minlength=len(corners)) for which in (there, short, comes, goes)
    )
    once = np.flatnonzero((entries == 1) & (exits == 1) & (vague == 0))
    crossings = []
    for which, at, side in ((comes, low, entered), (goes, high, left)):
        row = np.zeros(len(corners), np.intp)
        row[shape[which]] = np.flatnonzero(which)
        row = row[once]
        crossings.append(_Crossing(segment[row], side[row], start[row] + at[row, None] * way[row]))
    one, other = crossings
    # a ring of the edge that lies within a shape has no end there
    plain = (edge.first[one.segment] == edge.first[other.segment]) & (_run(edge, one, other) == pieces[once])
    for crossing in crossings:
        plain &= np.hypot(*(crossing.at[:, None] - corners[once]).T).min(axis=0) > _NEAR
    one, other = (_Crossing(*(column[plain] for column in crossing)) for crossing in crossings)
    return one, other, once[plain], pieces == 0


def _stretch_within(start: Points, way: Points, corners: Points) -> tuple[Floats, Floats, Ints, Ints]:
    """Return from where to where segments lie within convex shapes, row by row, and the sides passed there.

    From 0 at the start to 1 at the end; the first is not less than the second where none of it lies within.
    """
    sides = _sides(corners)
    depth = cross(sides, start[:, None] - corners)
    gain = cross(sides, np.broadcast_to(way[:, None], sides.shape))
    with np.errstate(divide="ignore", invalid="ignore"):
        at = -depth / gain
    into, out = np.where(gain > 0, at, -np.inf), np.where(gain < 0, at, np.inf)
    into[(gain == 0) & (depth < 0)] = np.inf
    entered, left = into.argmax(axis=1), out.argmin(axis=1)
    return np.maximum(into.max(axis=1), 0), np.minimum(out.min(axis=1), 1), entered, left


def _run(edge: _Edge, comes: _Crossing, goes: _Crossing) -> Ints:
    """Return how many segments lie from one crossing to the next, with both."""
    run: Ints = (goes.segment - comes.segment) % edge.size[comes.segment] + 1
    return run


def _cut(edge: _Edge, comes: _Crossing, goes: _Crossing, corners: Points) -> Shapes:
    """Return what lies left of the edge: the chain within each shape, and the corners back to its start."""
    sides = corners.shape[1]
    run, first = _run(edge, comes, goes), edge.first[comes.segment]
    back = (comes.side - goes.side) % sides
    before = dot(_sides(corners)[np.arange(len(corners)), comes.side], comes.at - goes.at) < 0
    back[(back == 0) & before] = sides
    count = run + 1 + back
    begin = np.cumsum(count) - count
    points = np.empty((int(count.sum()), 2))
    points[begin], points[begin + run] = comes.at, goes.at
    own, step = numbered(run - 1)
    along = first[own] + (comes.segment[own] - first[own] + step) % edge.size[comes.segment[own]]
    points[begin[own] + 1 + step] = edge.end[along]
    own, step = numbered(back)
    points[begin[own] + run[own] + 1 + step] = corners[own, (goes.side[own] + 1 + step) % sides]
    rings = shapely.linearrings(points, indices=np.repeat(np.arange(len(count)), count))
    cut: Shapes = shapely.polygons(rings)
    return cut
