"""From drawn rings to plain regions, filled by a rule.

Everything here is shapely and numpy; nothing knows where the rings came from.

References
----------
Fill rules as in SVG 2, chapter 13, *Painting*.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.crossings import TooIntricate, check_crossings

__all__ = [
    "FillRule",
    "Subpath",
    "fill_rings",
    "parts_of",
]

Points = NDArray[np.float64]
FillRule = Literal["nonzero", "evenodd"]

MOST_VERTICES = 300_000
"""Vertices of a picture while it is put together; a plate that a hand can cut has some tens of thousands."""

MOST_WITHIN = 3_000_000
"""Pairs of rings of which one lies within the other; a hundred rings in each other have five thousand."""


class Subpath(NamedTuple):
    """One run of points, joined back to its start or not."""

    points: Points
    closed: bool


def parts_of(geometry: BaseGeometry) -> MultiPolygon:
    """Return the polygons of any geometry, its loose lines and points left out.

    Examples
    --------
    >>> mixed = shapely.geometrycollections([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)])
    >>> len(parts_of(mixed).geoms)
    1
    """
    found = shapely.get_parts(shapely.get_parts(geometry))
    return MultiPolygon([p for p in found if isinstance(p, Polygon) and not p.is_empty])


def fill_rings(rings: Sequence[Points], rule: FillRule, *, grid: float) -> MultiPolygon:
    """Return the region that filling these rings paints.

    Parameters
    ----------
    rings : sequence of (n, 2) arrays
        Each is closed back to its first point.
    rule : ``"nonzero"`` or ``"evenodd"``
        How a region crossed by several rings is decided.
    grid : float
        The rings' own unit; only where rings cross or touch are points rounded to it.

    Raises
    ------
    TooIntricate
        If the rings cross more than twenty thousand times.

    Examples
    --------
    >>> square = np.array([[0, 0], [4, 0], [4, 4], [0, 4]], float)
    >>> fill_rings([square, square / 2 + 1], "evenodd", grid=1e-6).area
    12.0
    >>> fill_rings([square, square / 2 + 1], "nonzero", grid=1e-6).area
    16.0
    """
    clean = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not clean:
        return MultiPolygon()
    lines = np.array([shapely.linearrings(ring) for ring in clean])
    _require_few_within(lines)
    areas = shapely.polygons(lines)
    if not shapely.is_valid(areas).all() or _any_touch(lines):
        return _fill_crossing(clean, lines, rule, grid)
    return _fill_nested(lines, areas, rule)


def _without_repeats(ring: Points) -> Points:
    if len(ring) < 3:
        return ring[:0]
    kept: Points = ring[(ring != np.roll(ring, 1, axis=0)).any(axis=1)]
    return kept


def _any_touch(lines: NDArray[np.object_]) -> bool:
    if len(lines) == 1:
        return False
    first, second = shapely.STRtree(lines).query(lines)
    ahead = first < second
    return bool(shapely.intersects(lines[first[ahead]], lines[second[ahead]]).any())


def _fill_nested(lines: NDArray[np.object_], areas: NDArray[np.object_], rule: FillRule) -> MultiPolygon:
    """Fill simple rings that keep clear of each other: whoever lies within whom decides."""
    inner, outer = shapely.STRtree(areas).query(shapely.get_point(lines, 0), predicate="within")
    turn = np.where(shapely.is_ccw(lines), 1, -1) if rule == "nonzero" else np.ones(len(lines), int)
    around = np.zeros(len(lines), int)
    np.add.at(around, inner, turn[outer])
    filled, beyond = (_is_filled(w, rule) for w in (around + turn, around))
    shells, holes = np.flatnonzero(filled & ~beyond), filled < beyond
    smallest = dict.fromkeys(map(int, shells), ())  # type: dict[int, tuple[int, ...]]
    size = shapely.area(areas)
    for hole in np.flatnonzero(holes):
        around_it = [j for j in outer[inner == hole] if int(j) in smallest]
        shell = int(min(around_it, key=size.__getitem__))
        smallest[shell] = (*smallest[shell], int(hole))
    return MultiPolygon(
        [shapely.polygons(lines[s], holes=lines[list(h)] if h else None) for s, h in smallest.items()]
    )


def _require_few_within(lines: NDArray[np.object_]) -> None:
    """Estimate from five hundred rings how many pairs of them lie one within or across the other."""
    if len(lines) ** 2 <= MOST_WITHIN:
        return
    sample = lines[:: max(1, len(lines) // 500)]
    tree, met = shapely.STRtree(lines), 0
    for few in np.array_split(sample, len(sample) // 20 + 1):
        met += tree.query(few).shape[1]
        if met > MOST_WITHIN:
            break
    if max(met, met * len(lines) / len(sample)) > MOST_WITHIN:
        raise TooIntricate("its shapes lie one within the other too often")


def _fill_crossing(
    rings: list[Points], lines: NDArray[np.object_], rule: FillRule, grid: float
) -> MultiPolygon:
    """Fill rings that cross: cut the plane along them and ask each face how often it is wound about."""
    starts = np.concatenate(rings)
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    tree = shapely.STRtree(check_crossings(starts, ends))
    noded = shapely.get_parts(shapely.union_all(lines, grid_size=grid))
    faces = shapely.get_parts(shapely.polygonize(noded))
    if not len(faces):
        return MultiPolygon()
    winding = _winding(_well_inside(faces, 4 * grid), starts, ends, tree)
    kept = faces[_is_filled(winding, rule)]
    return parts_of(shapely.union_all(kept, grid_size=grid))


def _well_inside(faces: NDArray[np.object_], clearance: float) -> Points:
    """Return a point in each face, clear of the rounding of its edges wherever the face is wide enough."""
    points = shapely.point_on_surface(faces)
    close = np.flatnonzero(shapely.distance(points, shapely.boundary(faces)) < clearance)
    if len(close):
        spokes = shapely.maximum_inscribed_circle(faces[close], tolerance=clearance)
        points[close] = shapely.get_point(spokes, 0)
    found: Points = shapely.get_coordinates(points)
    return found


def _winding(points: Points, starts: Points, ends: Points, tree: shapely.STRtree) -> NDArray[np.int_]:
    """Count signed crossings of a ray that leaves each point to the right."""
    far = np.column_stack(
        [np.full(len(points), max(starts[:, 0].max(), points[:, 0].max()) + 1), points[:, 1]]
    )
    which, edge = tree.query(shapely.linestrings(np.stack([points, far], axis=1)))
    (px, py), a, b = points[which].T, starts[edge], ends[edge]
    side = (b[:, 0] - a[:, 0]) * (py - a[:, 1]) - (px - a[:, 0]) * (b[:, 1] - a[:, 1])
    up = (a[:, 1] <= py) & (py < b[:, 1]) & (side > 0)
    down = (b[:, 1] <= py) & (py < a[:, 1]) & (side < 0)
    total = np.zeros(len(points), int)
    np.add.at(total, which, up.astype(int) - down)
    return total


def _is_filled(winding: NDArray[np.int_], rule: FillRule) -> NDArray[np.bool_]:
    return np.not_equal(winding if rule == "nonzero" else winding % 2, 0)
