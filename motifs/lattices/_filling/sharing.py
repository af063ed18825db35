"""Edges that tiles share, stretch by stretch, since one may border on two along a side; and tiles joined."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Flags, Floats, Ints, cross, dot, numbered
from canivet.motifs.shapes.openings import Shapes

__all__ = ["BESIDE", "HAIR", "joined_tiles", "shared_edges"]

BESIDE = 1e-4
"""mm. Tiles laid by adding up numbers may stand this far apart and still share an edge."""

HAIR = 1e-5
"""mm. What is no wider is closed between tiles that are joined: a seam left open would be cut."""


def shared_edges(givers: Shapes, hosts: Shapes, giver: Ints, host: Ints) -> Floats:
    """Return how much edge each giver shares with its host, mm.

    Parameters
    ----------
    givers, hosts : ndarray of Polygon or MultiPolygon
        Tiles, or what is left of them.
    giver, host : (n,) int array
        Rows of those, pair by pair; no pair comes twice.

    Examples
    --------
    >>> row = np.array([shapely.box(0, 0, 4, 4), shapely.box(4, 1, 8, 9), shapely.box(4, 4, 9, 9)])
    >>> shared_edges(row, row, np.array([0, 0]), np.array([1, 2])).tolist()
    [3.0, 0.0]
    """
    one, other = shapely.bounds(givers)[giver], shapely.bounds(hosts)[host]
    low = np.maximum(one[:, :2], other[:, :2]) - BESIDE
    high = np.minimum(one[:, 2:], other[:, 2:]) + BESIDE
    first, a, b = _stretches_in(givers, giver, low, high)
    second, c, d = _stretches_in(hosts, host, low, high)
    # every stretch of one with every stretch of the other, but for those apart or aslant
    counts = np.bincount(second, minlength=len(giver))
    one, step = numbered(counts[first])
    other = (np.cumsum(counts) - counts)[first[one]] + step
    near = np.minimum(a, b)[one, 0] < np.maximum(c, d)[other, 0] + BESIDE
    near &= np.minimum(c, d)[other, 0] < np.maximum(a, b)[one, 0] + BESIDE
    one, other = one[near], other[near]
    parallel = np.abs(cross((b - a)[one], (d - c)[other])) <= 2 * BESIDE * np.hypot(*(b - a).T)[one]
    one, other = one[parallel], other[parallel]
    along = _overlap(a[one], b[one], c[other], d[other])
    return np.asarray(np.bincount(first[one], along, minlength=len(giver)), np.float64)


def joined_tiles(tiles: Shapes, group: Ints) -> Shapes:
    """Return the tiles of each group as one.

    Two that share a whole side lose it; where a corner of one lies on a side of another all of the group are
    swollen by a hair, and stay so, a hundredth of a micrometre.

    Parameters
    ----------
    tiles : ndarray of Polygon
        Without holes.
    group : (n,) int array
        Which each is of: from 0 on, none left out, in order.

    Returns
    -------
    ndarray of Polygon
        One for each group, without corners that it does not need.

    Examples
    --------
    >>> row = shapely.box([0, 2, 5, 6], 0, [2, 5, 6, 8], [4, 4, 4, 5])
    >>> shapely.area(joined_tiles(row, np.array([0, 0, 1, 1]))).round(3).tolist()
    [20.0, 14.0]
    """
    whole, plain = _without_common_sides(tiles, group)
    ragged = np.flatnonzero(~plain)
    if len(ragged):
        counts = np.bincount(group)[ragged]
        together = np.full((len(ragged), counts.max()), None, dtype=object)
        together[np.arange(counts.max()) < counts[:, None]] = tiles[~plain[group]]
        whole[ragged] = shapely.union_all(shapely.buffer(together, HAIR, join_style="mitre"), axis=1)
    simple: Shapes = shapely.simplify(whole, HAIR)
    return simple


def _without_common_sides(tiles: Shapes, group: Ints) -> tuple[Shapes, Flags]:
    """Join the tiles of each group by leaving out the sides that two have, and say where that is enough."""
    rings = shapely.get_exterior_ring(shapely.orient_polygons(tiles))
    points, tile = shapely.get_coordinates(rings, return_index=True)
    _, corner = np.unique(np.round(points / HAIR) @ (1, 1j), return_inverse=True)
    most = int(corner.max()) + 1
    first = np.flatnonzero(tile[1:] == tile[:-1])
    own = group[tile[first]]
    start, end = own * most + corner[first], own * most + corner[first + 1]
    stays = ~np.isin(start * most + corner[first + 1], end * most + corner[first])
    order = np.flatnonzero(stays)[np.argsort(start[stays], kind="stable")]
    first, own, start, end = first[order], own[order], start[order], end[order]
    walk, kept, round_once = _rounds(start, end, own)
    whole = np.full(len(kept), Polygon(), dtype=object)
    kept &= round_once[:, None]
    outline = points[first[walk[kept]]]
    indices = np.repeat(np.arange(round_once.sum()), kept.sum(axis=1)[round_once])
    whole[round_once] = shapely.polygons(shapely.linearrings(outline, indices=indices))
    return whole, round_once & shapely.is_valid(whole)


def _rounds(start: Ints, end: Ints, own: Ints) -> tuple[Ints, Flags, Flags]:
    """Walk from side to side, in every group at once.

    Parameters
    ----------
    start, end : (n,) int array
        The corners that each side joins, those of each group numbered on from those of the one before; in
        order of the first.
    own : (n,) int array
        The group that each is of.

    Returns
    -------
    (g, m) int array, (g, m) bool array
        Rows of the sides, in the order of the walk, and which of them count; a group has fewer than m.
    (g,) bool array
        Whether the walk passes each side of the group once and ends where it began.
    """
    counts = np.bincount(own)
    begin = np.cumsum(counts) - counts
    following = np.minimum(np.searchsorted(start, end), len(start) - 1)
    walk = np.repeat(begin[:, None], counts.max() + 1, axis=1)
    for step in range(1, walk.shape[1]):
        walk[:, step] = following[walk[:, step - 1]]
    back = walk == begin[:, None]
    back[:, 0] = False
    loose = np.bincount(own[start[following] != end], minlength=len(counts)) > 0
    closed = back.any(axis=1) & (back.argmax(axis=1) == counts) & ~loose
    return walk, np.arange(walk.shape[1]) < counts[:, None], closed


def _stretches_in(shapes: Shapes, rows: Ints, low: Floats, high: Floats) -> tuple[Ints, Floats, Floats]:
    """Return what of the outlines of shapes comes into boxes, one for each of the rows, in their order.

    Returns
    -------
    (n,) int array, (n, 2) array, (n, 2) array
        The box, and both ends of a straight stretch of that row's outline.
    """
    asked, place = np.unique(rows, return_inverse=True)
    parts, owner = shapely.get_parts(shapes[asked], return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    stretch = np.flatnonzero((ring[1:] == ring[:-1]) & (points[1:] != points[:-1]).any(axis=1))
    start, end = points[stretch], points[stretch + 1]
    counts = np.bincount(owner[part[ring[stretch]]], minlength=len(asked))
    box, step = numbered(counts[place])
    which = (np.cumsum(counts) - counts)[place[box]] + step
    from_x, from_y = np.minimum(start, end)[which].T
    to_x, to_y = np.maximum(start, end)[which].T
    meets = (
        (from_x <= high[box, 0]) & (from_y <= high[box, 1]) & (to_x >= low[box, 0]) & (to_y >= low[box, 1])
    )
    return box[meets], start[which[meets]], end[which[meets]]


def _overlap(a: Floats, b: Floats, c: Floats, d: Floats) -> Floats:
    """Return how far the stretches from a to b and from c to d run side by side."""
    length = np.hypot(*(b - a).T)
    way = (b - a) / length[:, None]
    near, far = dot(way, c - a), dot(way, d - a)
    beside = (np.abs(cross(way, c - a)) < BESIDE) & (np.abs(cross(way, d - a)) < BESIDE)
    along = np.minimum(np.maximum(near, far), length) - np.maximum(np.minimum(near, far), 0)
    return np.where(beside, np.maximum(along, 0), 0.0)
