"""Places gathered into rings: close ones together, as long as a ring stays small enough to be of use."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import STRtree

__all__ = ["AROUND", "SMALLEST_RING", "Point", "Ring", "ring_places", "spread_order"]

Point = tuple[float, float]

SMALLEST_RING = 2.5
AROUND = 0.9
"""mm between a place and its ring."""


class Ring(NamedTuple):
    """A ring's middle and radius in mm, and the rows of the places in it."""

    at: Point
    radius: float
    rows: list[int]

    def meets(self, other: Ring) -> bool:
        """Say whether two rings lie over each other."""
        apart = np.hypot(self.at[0] - other.at[0], self.at[1] - other.at[1])
        return bool(apart < self.radius + other.radius)


def ring_places(shapes: Sequence[tuple[Point, ...]], *, widest: float, most: int) -> list[Ring]:
    """Return at most `most` rings round places given by their points, in the order of the places.

    Rings that would lie over one already made wait until the others have theirs.

    Examples
    --------
    >>> [ring.rows for ring in ring_places([((0, 0),), ((50, 0),), ((1, 0),)], widest=4, most=9)]
    [[0, 2], [1]]
    """
    apart: list[Ring] = []
    over: list[Ring] = []
    for ring in _rings(shapes, widest):
        (over if any(ring.meets(other) for other in apart) else apart).append(ring)
        if len(apart) == most:
            break
    return sorted([*apart, *over[: most - len(apart)]], key=lambda ring: ring.rows[0])


def spread_order(count: int) -> list[int]:
    """Return the rows 0, 1, … so that any first few of them are spread over all: by their digits reversed.

    Examples
    --------
    >>> spread_order(8)
    [0, 4, 2, 6, 1, 5, 3, 7]
    """
    digits = max(1, (count - 1).bit_length())
    return sorted(range(count), key=lambda row: int(f"{row:0{digits}b}"[::-1], 2))


def _rings(shapes: Sequence[tuple[Point, ...]], widest: float) -> Iterator[Ring]:
    """Yield rings in order of the first place in each."""
    if not shapes:
        return
    middles = np.array([np.mean(shape, axis=0) for shape in shapes])
    tree = STRtree(shapely.points(middles))
    taken = np.zeros(len(shapes), bool)
    for seed in range(len(shapes)):
        if taken[seed]:
            continue
        near = tree.query(shapely.Point(middles[seed]).buffer(2 * widest), predicate="intersects")
        near = near[~taken[near] & (near != seed)]
        near = near[np.lexsort((near, np.hypot(*(middles[near] - middles[seed]).T).round(6)))]
        ring = _ring_round(shapes, seed, near.tolist(), widest)
        taken[ring.rows] = True
        yield ring


def _ring_round(shapes: Sequence[tuple[Point, ...]], seed: int, near: list[int], widest: float) -> Ring:
    """Draw the smallest ring round a place, and take in its neighbours as long as the ring stays small."""
    rows = [seed]
    at, reach = _smallest_circle(shapes[seed])
    for row in near:
        wider, grown = _smallest_circle([point for k in (*rows, row) for point in shapes[k]])
        if grown + AROUND <= widest:
            at, reach = wider, grown
            rows.append(row)
    return Ring(at, max(SMALLEST_RING, reach + AROUND), sorted(rows))


def _smallest_circle(points: Sequence[Point]) -> tuple[Point, float]:
    shape = shapely.MultiPoint(points)
    radius = float(shapely.minimum_bounding_radius(shape))
    # A strap of no width is one point twice, and has no circle.
    middle = shapely.minimum_bounding_circle(shape).centroid if radius > 1e-6 else shapely.Point(points[0])
    return (round(middle.x, 6), round(middle.y, 6)), radius
