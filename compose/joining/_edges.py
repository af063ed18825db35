"""All edges of all parts as arrays: rays cast at them, and points along them, far quicker than one by one."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import LinearRing

from canivet.audit.boundary import Floats, Ints, cross, dot

__all__ = ["Edges", "points_along"]


def points_along(ring: LinearRing, count: int) -> Floats:
    """Return so many points along a ring, in the middles of as many even stretches."""
    xy = shapely.get_coordinates(ring)
    step = np.diff(xy, axis=0)
    length = np.sqrt(dot(step, step))
    end = np.cumsum(length)
    at = (np.arange(count) + 0.5) / count * end[-1]
    row = np.searchsorted(end, at, side="right")
    share = (at - np.append(0, end)[row]) / length[row]
    return np.asarray(share[:, None] * step[row] + xy[row])


class Edges:
    """The edges as arrays `start`, `step` and `owner`, the part each is of, and as a tree."""

    def __init__(self, parts: NDArray[np.object_]) -> None:
        xy, ring = shapely.get_coordinates(shapely.get_rings(parts), return_index=True)
        owner = shapely.get_rings(parts, return_index=True)[1]
        joined = np.flatnonzero(ring[1:] == ring[:-1])
        self.start, self.step = xy[joined], xy[joined + 1] - xy[joined]
        self.owner = owner[ring[joined]]
        self.tree = STRtree(shapely.linestrings(np.stack([xy[joined], xy[joined + 1]], axis=1)))

    def first_met(self, origin: Floats, end: Floats, part: Ints) -> Floats:
        """Return where each ray first meets the given part; nan where it does not."""
        ray, edge = self.tree.query(shapely.linestrings(np.stack([origin, end], axis=1)))
        own = self.owner[edge] == part[ray]
        ray, edge = ray[own], edge[own]
        way, gap = (end - origin)[ray], self.start[edge] - origin[ray]
        with np.errstate(divide="ignore", invalid="ignore"):
            turn = cross(way, self.step[edge])
            t, u = cross(gap, self.step[edge]) / turn, cross(gap, way) / turn
        hit = (t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)
        nearest = np.full(len(origin), np.nan)
        np.fmin.at(nearest, ray[hit], t[hit])
        return np.asarray(origin + nearest[:, None] * (end - origin))
