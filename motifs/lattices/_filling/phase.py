"""Where a lattice ends besides the box of its region: at a panel, a vignette or a window it goes round.

A pattern fitted into the box of a region ends well along the box. What stands in the region has edges of its
own, and an axis: of the counts that fit the box about as well, the one is taken whose lines fall there too.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Floats

__all__ = ["Inner", "inner_lines"]

_LONG = 0.2
"""Of the box's side: a straight edge so long is one the eye compares the pattern with."""

_AXIS = 0.5
"""Of the weight of an edge of the same length: what stands in a ground without straight edges has an axis."""

_WEIGHT = 0.4
"""What a line half-way between two places where the pattern may end well costs, against a pitch changed by so
much; the two are seen alike, *by eye*."""

_ENDS = 0.01
"""Of the box's side: an edge so near the box's own is that."""


class Inner(NamedTuple):
    """Lines inside a region that a pattern had best end at, one way.

    Attributes
    ----------
    at : (n,) array
        Shares of the box's side, from its low end.
    weight : (n,) array
        How much each counts.
    """

    at: Floats
    weight: Floats

    def misfit(self, count: float) -> float:
        """Return how badly a pattern of so many blocks along the box ends at these lines.

        A pattern may end at the edge of a block or in its middle, as it does along the box.

        Examples
        --------
        >>> quarter = Inner(np.array([0.25]), np.array([1.0]))
        >>> quarter.misfit(4), quarter.misfit(6), quarter.misfit(5) > 0
        (0.0, 0.0, True)
        """
        halves = 2 * self.at * count
        return float(_WEIGHT * (self.weight * np.abs(halves - np.round(halves))).sum())


def inner_lines(region: Polygon | MultiPolygon) -> tuple[Inner, Inner]:
    """Return the upright and the level lines inside a region's box that its pattern had best end at.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        What is filled, mm.

    Returns
    -------
    Inner, Inner
        Across, for upright lines, and up, for level ones.

    Examples
    --------
    >>> ground = shapely.box(0, 0, 80, 100) - shapely.box(20, 10, 60, 60)
    >>> [lines.at.tolist() for lines in inner_lines(ground)]
    [[0.25, 0.75], [0.1, 0.6]]
    """
    rings = [ring for part in shapely.get_parts(region) for ring in (part.exterior, *part.interiors)]
    low, high = np.reshape(region.bounds, (2, 2))
    ends = [np.lib.stride_tricks.sliding_window_view(shapely.get_coordinates(r), (2, 2))[:, 0] for r in rings]
    holes = [ring.bounds for part in shapely.get_parts(region) for ring in part.interiors]
    across, up = (_one_way(np.concatenate(ends), holes, axis, low, high) for axis in (0, 1))
    return across, up


def _one_way(
    sides: Floats, holes: list[tuple[float, float, float, float]], axis: int, low: Floats, high: Floats
) -> Inner:
    """Gather straight edges across one axis by their place, and the axes of holes that have none."""
    size, along = high[axis] - low[axis], high[1 - axis] - low[1 - axis]
    run = np.abs(sides[:, 1] - sides[:, 0])
    straight = (run[:, axis] < 1e-6) & (run[:, 1 - axis] > 1e-6)
    places = np.round((sides[straight, 0, axis] - low[axis]) / size, 4)
    found, which = np.unique(places, return_inverse=True)
    share = np.bincount(which, run[straight, 1 - axis], len(found)) / along
    kept = (share > _LONG) & (found > _ENDS) & (found < 1 - _ENDS)
    at, weight = list(found[kept]), list(np.minimum(share[kept], 1.0))
    for box in holes:
        near, far = (box[axis] - low[axis]) / size, (box[axis + 2] - low[axis]) / size
        if not any(near - _ENDS < place < far + _ENDS for place in at):
            at.append((near + far) / 2)
            weight.append(_AXIS * (box[3 - axis] - box[1 - axis]) / along)
    return Inner(np.array(at), np.array(weight))
