"""What hangs on a single hold.

A neck whose two ends lie on one ring of the boundary cuts the paper in two when it goes (Jordan's curve
theorem: the stretch of ring between the ends, closed by the chord, is a closed curve with paper on both
sides). Ends on two different rings leave a way round, and nothing drops.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon

from .boundary import Boundary, Flags, Floats, Ints, cross
from .necks import Necks

__all__ = ["hanging_areas", "tear_risk"]


def hanging_areas(necks: Necks) -> Floats:
    """Return the paper in mm² that drops when each neck goes; 0 where nothing does.

    Parameters
    ----------
    necks : Necks
        From `canivet.necks`.

    Returns
    -------
    (n,) float array
        The smaller side where the neck parts the whole piece; openings within are not counted.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.necks import measure_necks
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(10, 4, 15, 6), box(15, 0, 21, 10)])
    >>> hanging_areas(measure_necks(dumbbell, limit=3)).max().item()
    70.0
    """
    area = np.zeros(len(necks))
    single = np.flatnonzero(necks.same_ring)
    if len(single) == 0:
        return area
    b = necks.boundary
    forth, back = _loop_areas(b, necks.vertex[single], necks.segment[single], necks.end[single])
    # With the paper on the left, the loop that runs round paper is the positive one; on a shell both are.
    forth_drops = (back <= 0) | ((forth > 0) & (forth <= back))
    area[single] = np.maximum(np.where(forth_drops, forth, back), 0)
    area[single] -= _openings_within(necks, single, forth_drops)
    return np.maximum(area, 0)


def tear_risk(necks: Necks, hanging: Floats) -> Floats:
    """Return hanging area over neck width, mm: what pulls over what holds. Infinite where width is 0."""
    with np.errstate(divide="ignore", invalid="ignore"):
        risk: Floats = np.where(hanging > 0, hanging / necks.width, 0.0)
    return risk


def _loop_areas(b: Boundary, vertex: Ints, segment: Ints, foot: Floats) -> tuple[Floats, Floats]:
    """Return the signed areas of the two loops the chord makes of its ring, out of running sums."""
    xy = b.points - b.points.mean(axis=0)  # far from the origin the sums would lose their small digits
    foot = foot - b.points.mean(axis=0)
    running = np.concatenate([[0.0], np.cumsum(cross(xy, xy[b.after]))])
    low, high = b.first[b.ring[vertex]], b.first[b.ring[vertex] + 1]
    whole = running[high] - running[low]
    between = running[segment] - running[vertex]
    between += np.where(segment < vertex, whole, 0.0)  # the way from vertex on to segment passes the seam
    twice = between + cross(xy[segment], foot) + cross(foot, xy[vertex])
    return twice / 2, (whole - twice) / 2


def _openings_within(necks: Necks, single: Ints, forth_drops: Flags) -> Floats:
    """Return the area of the openings inside each part that drops."""
    b = necks.boundary
    rings = shapely.linearrings(b.points, indices=b.ring)
    openings = np.flatnonzero(~shapely.is_ccw(rings))
    taken = np.zeros(len(single))
    if len(openings) == 0:
        return taken
    solid = shapely.polygons(rings[openings])
    tree = STRtree(shapely.point_on_surface(solid))
    area = shapely.area(solid)
    parts = [
        _loop(b, int(necks.vertex[k]), int(necks.segment[k]), necks.end[k], bool(forth))
        for k, forth in zip(single, forth_drops, strict=True)
    ]
    part, opening = tree.query(np.array(parts, dtype=object), predicate="intersects")
    foreign = openings[opening] != b.ring[necks.vertex[single[part]]]
    np.add.at(taken, part[foreign], area[opening[foreign]])
    return taken


def _loop(b: Boundary, vertex: int, segment: int, foot: Floats, forth: bool) -> Polygon:
    """Return the part of a ring cut off by a chord, as a polygon."""
    low, high = int(b.first[b.ring[vertex]]), int(b.first[b.ring[vertex] + 1])
    start, stop = (vertex, segment) if forth else (int(b.after[segment]), vertex)
    rows = np.arange(start, stop + 1) if start <= stop else np.r_[start:high, low : stop + 1]
    points = np.vstack([b.points[rows], foot[None]])
    return Polygon(points) if len(points) >= 3 else Polygon()
