"""How much edge two tiles share: stretch by stretch, since a tile may border on two along one side."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Floats, Ints, cross, dot
from canivet.motifs.shapes.openings import Shapes

from .clipping import clipped_to

__all__ = ["BESIDE", "shared_edges"]

BESIDE = 1e-4
"""mm. Tiles laid by adding up numbers may stand this far apart and still share an edge."""


def shared_edges(cells: Shapes, giver: Ints, host: Ints, region: BaseGeometry) -> Floats:
    """Return how much of its edge within a region each giver shares with its host, mm.

    Parameters
    ----------
    cells : ndarray of Polygon
        Tiles.
    giver, host : (n,) int array
        Rows of the cells, pair by pair; no pair comes twice.
    region : Polygon or MultiPolygon

    Examples
    --------
    >>> row = np.array([shapely.box(0, 0, 4, 4), shapely.box(4, 1, 8, 9), shapely.box(4, 4, 9, 9)])
    >>> shared_edges(row, np.array([0, 0]), np.array([1, 2]), shapely.box(0, 0, 9, 3)).tolist()
    [2.0, 0.0]
    """
    given, taking = np.unique(giver), np.unique(host)
    a, b, of_a = _stretches(clipped_to(region, shapely.get_exterior_ring(cells[given])))
    c, d, of_c = _stretches(shapely.get_exterior_ring(cells[taking]))
    low, high = np.minimum(a, b) - BESIDE, np.maximum(a, b) + BESIDE
    lines = shapely.linestrings(np.stack([c, d], axis=1))
    one, other = STRtree(lines).query(shapely.box(*low.T, *high.T))
    along = _overlap(a[one], b[one], c[other], d[other])
    pair = given[of_a[one]] * len(cells) + taking[of_c[other]]
    wanted = giver * len(cells) + host
    order = np.argsort(wanted)
    place = np.minimum(np.searchsorted(wanted, pair, sorter=order), len(wanted) - 1)
    asked = wanted[order[place]] == pair
    return np.asarray(np.bincount(order[place[asked]], along[asked], minlength=len(wanted)), np.float64)


def _stretches(lines: Shapes) -> tuple[Floats, Floats, Ints]:
    """Return both ends of every straight stretch of some lines, and the row of the line each is of."""
    parts, owner = shapely.get_parts(lines, return_index=True)
    points, part = shapely.get_coordinates(parts, return_index=True)
    first = np.flatnonzero(part[1:] == part[:-1])
    first = first[(points[first] != points[first + 1]).any(axis=1)]
    return points[first], points[first + 1], owner[part[first]].astype(np.intp)


def _overlap(a: Floats, b: Floats, c: Floats, d: Floats) -> Floats:
    """Return how far the stretches from a to b and from c to d run side by side."""
    length = np.hypot(*(b - a).T)
    way = (b - a) / length[:, None]
    near, far = dot(way, c - a), dot(way, d - a)
    beside = (np.abs(cross(way, c - a)) < BESIDE) & (np.abs(cross(way, d - a)) < BESIDE)
    along = np.minimum(np.maximum(near, far), length) - np.maximum(np.minimum(near, far), 0)
    return np.where(beside, np.maximum(along, 0), 0.0)
