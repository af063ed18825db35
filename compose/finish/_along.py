"""Distances along paper, round its openings: a grid of points on it, each joined to its neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, dijkstra
from scipy.spatial import cKDTree
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats

__all__ = ["Along"]

_STEP = 0.5
"""mm between points at least."""

_MOST = 40_000
"""Points about; on a larger piece they lie farther apart, as far as its straps let them."""

_ACROSS = 0.6
"""Of a strap: points no farther apart have two across it."""

_AT_ONCE = 64

_NEIGHBOURS = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))
"""Steps to half of the sixteen neighbours: a way along them is at most 2.8 % longer than a straight one."""


@dataclass(frozen=True, slots=True, eq=False)
class Along:
    """Points on paper, (n, 2) in mm, and how far each is from its neighbours."""

    points: Floats
    links: csr_array
    step: float

    @classmethod
    def of(cls, paper: Polygon, *, strap: float = 1.0) -> Along:
        """Lay points over a piece whose straps are so wide, mm.

        Examples
        --------
        Round a slot the way is longer than across it:

        >>> from shapely import box
        >>> along = Along.of(box(0, 0, 20, 20) - box(2, 9, 20, 11))
        >>> away = along.from_any(np.array([[19.0, 5.0]]))
        >>> bool(away[np.argmin(np.hypot(*(along.points - (19.0, 15.0)).T))] > 35)
        True
        """
        step = max(_STEP, min(math.sqrt(paper.area / _MOST), _ACROSS * strap))
        x0, y0, x1, y1 = paper.bounds
        xs, ys = np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step)
        shapely.prepare(paper)
        on = shapely.contains_xy(paper, *(side.ravel() for side in np.meshgrid(xs, ys)))
        on = on.reshape(len(ys), len(xs))
        row = np.full(on.shape, -1)
        row[on] = np.arange(on.sum())
        pairs, lengths = _links(on, row)
        count = int(on.sum())
        links = csr_array((lengths * step, (pairs[:, 0], pairs[:, 1])), shape=(count, count))
        up, across = np.nonzero(on)
        return cls(np.column_stack([xs[across], ys[up]]), links, step)

    def from_any(self, places: Floats) -> Floats:
        """Return for each point how far the nearest of these places is; infinite where there is no way."""
        starts = np.unique(self._nearest(places))
        away: Floats = dijkstra(self.links, directed=False, indices=starts, min_only=True)
        return away

    def from_each(self, places: Floats, *, limit: float) -> NDArray[np.float32]:
        """Return how far each point is from each place, (places, points), infinite past the limit."""
        starts = self._nearest(places)
        parts = [
            dijkstra(self.links, directed=False, indices=starts[k : k + _AT_ONCE], limit=limit).astype(
                np.float32
            )
            for k in range(0, len(starts), _AT_ONCE)
        ]
        return np.vstack(parts)

    def ends_beyond(self, away: Floats, span: float) -> Iterator[tuple[tuple[float, float], float]]:
        """Yield of each connected part that is farther than the span its far end, and how far it is."""
        beyond = np.flatnonzero(away > span)
        if not len(beyond):
            return
        count, group = connected_components(self.links[beyond][:, beyond], directed=False)
        ends = []
        for k in range(count):
            own = beyond[(group == k) & np.isfinite(away[beyond])]
            if not len(own):  # crumbs of the grid, in points of the paper that are narrower than its step
                continue
            end = own[int(np.argmax(away[own]))]
            ends.append((float(away[end]), (float(self.points[end][0]), float(self.points[end][1]))))
        for length, at in sorted(ends, reverse=True):
            yield at, length

    def _nearest(self, places: Floats) -> NDArray[np.intp]:
        found: NDArray[np.intp] = cKDTree(self.points).query(places)[1]
        return found


def _links(on: NDArray[np.bool_], row: NDArray[np.intp]) -> tuple[NDArray[np.intp], Floats]:
    """Return pairs of neighbouring points, and how many steps apart they are; none across an opening."""
    pairs, lengths = [], []
    high, wide = on.shape
    for dx, dy in _NEIGHBOURS:
        a = on[max(0, -dy) : high - max(0, dy), : wide - dx]
        b = on[max(0, dy) : high - max(0, -dy), dx:]
        both = a & b
        if abs(dx) + abs(dy) == 3:  # over the two points between
            both &= _between(on, dx, dy)
        first = row[max(0, -dy) : high - max(0, dy), : wide - dx][both]
        second = row[max(0, dy) : high - max(0, -dy), dx:][both]
        pairs.append(np.column_stack([first, second]))
        lengths.append(np.full(len(first), math.hypot(dx, dy)))
    return np.vstack(pairs), np.concatenate(lengths)


def _between(on: NDArray[np.bool_], dx: int, dy: int) -> NDArray[np.bool_]:
    """Tell of each knight's step whether both points that it passes between are on the paper."""
    high, wide = on.shape
    sign = 1 if dy > 0 else -1
    passed = ((1, 0), (1, sign)) if dx == 2 else ((0, sign), (1, sign))
    found = np.ones((high - abs(dy), wide - dx), bool)
    low = max(0, -dy)
    for x, y in passed:
        found &= on[low + y : low + y + found.shape[0], x : x + found.shape[1]]
    return found
