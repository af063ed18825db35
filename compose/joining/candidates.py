"""Where a bridge could go: short ways from one loose part to the next, each with what it would cost.

A triangulation of points along the edges says which parts are neighbours; between neighbours the nearest
pair of points is a candidate, and so is every edge of the triangulation with its ends slid to the nearest
place across. What it costs is its length, more where there is little paper to grip at its ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import Delaunay, cKDTree
from shapely.geometry import Polygon

from canivet.audit.boundary import Flags, Floats, Ints, Paper

from ._edges import Edges, points_along

__all__ = ["Candidates", "Ground", "Neighbourhood", "find_candidates", "neighbourhood"]

REACH_IN = 0.5
"""Straps a bridge runs on into the part before its round end: one that ends on the edge would not join."""

BESIDE = (-8.0, -5.0, -3.5, -2.5, -1.8, -1.2, 1.2, 1.8, 2.5, 3.5, 5.0, 8.0)
"""Straps to either side of the shortest way in which a parallel one is tried."""

GRIP = 0.6
"""How much dearer a bridge gets at an end with no paper behind it. At 1 the trees of strewn parts come out
1.16 times as long as the gaps between them, at 0.6 1.08 times, and points are still shunned (measured)."""

SEAT = 0.2
"""As a share of that, what it adds when neither long edge of the bridge meets paper, as on a point."""

LEAN = 0.8
"""How much dearer a bridge gets that stands square to the direction asked for."""

HOST = 0.2
"""Of the largest part's area: a part so large, such as the sheet with its border or a figure, is one to hold
on to; what is smaller is held."""

STICK = 0.5
"""How much dearer a bridge gets between two parts that are both only held: sticks from star to star come
last, after the nearest edge, stem or leaf."""

_SPREAD = 8.0
"""Of long bridges, over this many straps, fewer are tried: two within an eighth of the length are alike."""

_MOST_SAMPLES = 12000
"""Points along all edges together; beyond this they are set further apart."""

Parts = NDArray[np.object_]


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What bridges are laid on, and where they may not go.

    Attributes
    ----------
    parts : (n,) array of Polygon
        The loose parts, prepared.
    strap : float
        Width of a bridge, mm.
    keep_out : Polygon, MultiPolygon or None
        No bridge touches it.
    within : Polygon, MultiPolygon or None
        No bridge leaves it.
    direction_deg : float or None
        The direction bridges should rather take.
    """

    parts: Parts
    strap: float
    keep_out: Paper | None = None
    within: Paper | None = None
    direction_deg: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Possible bridges as arrays, the cheapest first; `a` < `b` are rows of the parts."""

    a: Ints
    b: Ints
    start: Floats
    end: Floats
    length: Floats
    cost: Floats

    def __len__(self) -> int:
        return len(self.a)

    def take(self, rows: Ints | Flags) -> Candidates:
        """Return the chosen rows, in that order."""
        return Candidates(*(getattr(self, name)[rows] for name in self.__slots__))

    def lines(self) -> NDArray[np.object_]:
        """Return the middle lines."""
        lines: NDArray[np.object_] = shapely.linestrings(np.stack([self.start, self.end], axis=1))
        return lines


@dataclass(frozen=True, slots=True, eq=False)
class Neighbourhood:
    """Which parts are neighbours.

    Attributes
    ----------
    points : (n, 2) float array
        Places along the edges of all parts, mm.
    owner : (n,) int array
        The part each is on.
    p, q : (k,) int array
        Rows of two points, on different parts, that see each other.
    pairs : (m, 2) int array
        The parts that do.
    exact : (m, 2, 2) float array
        The shortest way between the two of each pair.
    """

    points: Floats
    owner: Ints
    p: Ints
    q: Ints
    pairs: Ints
    exact: Floats

    @property
    def gap(self) -> Floats:
        """Return how far apart the two of each pair are, mm."""
        return np.asarray(np.hypot(*(self.exact[:, 1] - self.exact[:, 0]).T))


def find_candidates(ground: Ground, *, finer: int = 1, seen: Neighbourhood | None = None) -> Candidates:
    """Return the places where a bridge could be laid, the cheapest first.

    Parameters
    ----------
    ground : Ground
        The parts and the rules.
    finer : int
        Look this many times as closely, and past the nearest neighbours too when above 1.
    seen : Neighbourhood, optional
        Where it is known already, looked for as closely.

    Examples
    --------
    >>> from shapely import box
    >>> two = np.array([box(0, 0, 4, 4), box(6, 0, 10, 4)])
    >>> ways = find_candidates(Ground(two, strap=1.0))
    >>> set(ways.length.tolist())
    {2.0}
    """
    seen = neighbourhood(ground, finer=finer) if seen is None else seen
    pairs, exact = seen.pairs, seen.exact
    edges = Edges(ground.parts)
    beside, ends_beside = _beside(ground, edges, pairs, exact)
    slid = _slid(ground.parts, seen)
    a = np.concatenate([pairs[:, 0], beside[:, 0], slid[0]])
    b = np.concatenate([pairs[:, 1], beside[:, 1], slid[1]])
    start = np.vstack([exact[:, 0], ends_beside[:, 0], slid[2]])
    end = np.vstack([exact[:, 1], ends_beside[:, 1], slid[3]])
    swap = a > b
    a, b = np.where(swap, b, a), np.where(swap, a, b)
    start, end = np.where(swap[:, None], end, start), np.where(swap[:, None], start, end)
    found = Candidates(a, b, start, end, np.hypot(*(end - start).T), np.zeros(len(a)))
    return _spread(_priced(found, ground), ground, edges, ground.strap / finer)


def neighbourhood(ground: Ground, *, finer: int = 1) -> Neighbourhood:
    """Return which parts are neighbours, looked for this many times as closely.

    Examples
    --------
    >>> from shapely import box
    >>> seen = neighbourhood(Ground(np.array([box(0, 0, 4, 4), box(6, 0, 10, 4)]), strap=1.0))
    >>> seen.pairs.tolist(), seen.gap.tolist()
    ([[0, 1]], [2.0])
    """
    points, owner = _edge_points(ground, finer)
    p, q = _neighbours(points, owner, finer)
    pairs = _unique_pairs(owner[p], owner[q])
    return Neighbourhood(points, owner, p, q, pairs, _between(ground.parts, pairs))


def _edge_points(ground: Ground, finer: int) -> tuple[Floats, Ints]:
    """Return points spread along every edge of every part, and whose they are."""
    rings, owner = shapely.get_rings(ground.parts, return_index=True)
    length = shapely.length(rings)
    spacing = max(ground.strap, length.sum() / _MOST_SAMPLES) / finer
    count = np.maximum(8 * finer, np.ceil(length / spacing)).astype(np.intp)
    points = [points_along(ring, n) for ring, n in zip(rings, count.tolist(), strict=True)]
    return np.concatenate(points), np.repeat(owner, count).astype(np.intp)


def _neighbours(points: Floats, owner: Ints, finer: int) -> tuple[Ints, Ints]:
    """Return pairs of points on different parts that see each other, or nearly."""
    centred = points - points.mean(axis=0)
    corners = Delaunay(centred).simplices
    edges = np.vstack([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [0, 2]]])
    if finer > 1:
        near = cKDTree(centred).query(centred, k=min(48, len(points)))[1]
        edges = np.vstack([edges, np.stack([np.repeat(near[:, 0], near.shape[1]), near.ravel()], axis=1)])
    edges = edges[owner[edges[:, 0]] != owner[edges[:, 1]]]
    p, q = _unique_pairs(edges[:, 0], edges[:, 1]).T
    return p, q


def _unique_pairs(a: Ints, b: Ints) -> Ints:
    """Return the pairs of rows, the smaller first, each once and in order."""
    low, high = np.minimum(a, b).astype(np.int64), np.maximum(a, b).astype(np.int64)
    base = int(high.max(initial=0)) + 1
    return np.stack(np.divmod(np.unique(low * base + high), base), axis=1).astype(np.intp)


def _slid(parts: Parts, seen: Neighbourhood) -> tuple[Ints, Ints, Floats, Floats]:
    """Return the two parts and the two ends of ways from where points are to the nearest place across.

    For each two points that see each other there is one from either, and one on from the place across to the
    nearest back on the first part. Where several points of a part are seen from one, the ways are the same.
    """
    points, owner, p, q = seen.points, seen.owner, seen.p, seen.q
    forth, back = _first_of_each(p, owner[q]), _first_of_each(q, owner[p])
    a, b = owner[p], owner[q]
    across = _across(parts, points[p[forth]], b[forth])
    twice = _across(parts, across, a[forth])
    met = _across(parts, points[q[back]], a[back])
    return (
        np.concatenate([a[forth], a[back], a[forth]]),
        np.concatenate([b[forth], b[back], b[forth]]),
        np.vstack([points[p[forth]], met, twice]),
        np.vstack([across, points[q[back]], across]),
    )


def _first_of_each(a: Ints, b: Ints) -> Ints:
    """Return the rows where a pair comes first, in order."""
    key = a.astype(np.int64) * (int(b.max(initial=0)) + 1) + b
    return np.sort(np.unique(key, return_index=True)[1])


def _across(parts: Parts, points: Floats, to: Ints) -> Floats:
    """Return the nearest place on part `to` for each point."""
    return _ends(shapely.shortest_line(parts[to], shapely.points(points)))[:, 0]


def _between(parts: Parts, pairs: Ints) -> Floats:
    """Return the two ends of the shortest way of each pair."""
    # Preparing helps the first of two only, so the one with more points goes first.
    size = shapely.get_num_coordinates(parts)
    turned = size[pairs[:, 0]] < size[pairs[:, 1]]
    first, second = np.where(turned, pairs[:, 1], pairs[:, 0]), np.where(turned, pairs[:, 0], pairs[:, 1])
    ends = _ends(shapely.shortest_line(parts[first], parts[second]))
    return np.where(turned[:, None, None], ends[:, ::-1], ends)


def _beside(ground: Ground, edges: Edges, pairs: Ints, exact: Floats) -> tuple[Ints, Floats]:
    """Return ways parallel to the shortest one of each pair, a few straps to either side."""
    along = exact[:, 1] - exact[:, 0]
    length = np.hypot(*along.T)
    row = np.repeat(np.flatnonzero(length > 1e-6), len(BESIDE))
    offset = np.tile(np.array(BESIDE) * ground.strap, len(row) // len(BESIDE))
    unit = along[row] / length[row, None]
    aside = offset[:, None] * np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    middle = exact[row].mean(axis=1) + aside
    reach = length[row, None] / 2 + np.maximum(4 * ground.strap, length[row, None])
    back = edges.first_met(middle, middle - reach * unit, pairs[row, 0])
    forth = edges.first_met(middle, middle + reach * unit, pairs[row, 1])
    met = np.isfinite(back).all(axis=1) & np.isfinite(forth).all(axis=1)
    return pairs[row[met]], np.stack([back[met], forth[met]], axis=1)


def _ends(lines: NDArray[np.object_]) -> Floats:
    ends: Floats = shapely.get_coordinates(lines).reshape(-1, 2, 2)
    return ends


def _clear(found: Candidates, ground: Ground, edges: Edges) -> Flags:
    """Say which candidates keep clear of third parts, of their own two, and of where they may not go."""
    lines = found.lines()
    keep = np.ones(len(found), bool)
    wide = _strips(found, 0.55 * ground.strap)
    # A bar starts at the edge of its own part, so it cannot lie in a third one without meeting an edge of it.
    row, edge = edges.tree.query(wide, predicate="intersects")
    part = edges.owner[edge]
    third = (part != found.a[row]) & (part != found.b[row])
    keep[row[third]] = False
    free = _without_ends(found)
    for own in (found.a, found.b):
        left = np.flatnonzero(keep)
        keep[left] = ~shapely.intersects(ground.parts[own[left]], free[left])
    if ground.keep_out is not None:
        body = bridge_bodies(found.start, found.end, ground.strap)
        keep &= ~shapely.intersects(ground.keep_out, body)
    if ground.within is not None:
        shapely.prepare(ground.within)
        seen = shapely.buffer(lines, ground.strap / 2, cap_style="flat")
        keep &= shapely.covers(ground.within, seen)
    return keep


def _strips(found: Candidates, half: float) -> NDArray[np.object_]:
    """Return what a bar so wide on either side covers between its ends; nothing where it has no length."""
    along = (found.end - found.start) / np.maximum(found.length, 1e-9)[:, None]
    aside = half * np.stack([-along[:, 1], along[:, 0]], axis=1)
    corners = [found.start + aside, found.end + aside, found.end - aside, found.start - aside]
    strips: NDArray[np.object_] = shapely.polygons(np.stack(corners, axis=1))
    return np.where(found.length > 1e-9, strips, Polygon())


def _without_ends(found: Candidates) -> NDArray[np.object_]:
    """Return the middle lines a little short of both parts, and nothing of the very short ones."""
    share = np.minimum(0.01 + 0.01 / np.maximum(found.length, 1e-9), 0.5)[:, None]
    along = found.end - found.start
    ends = np.stack([found.start + share * along, found.end - share * along], axis=1)
    lines: NDArray[np.object_] = shapely.linestrings(ends)
    return np.where(share[:, 0] < 0.5, lines, shapely.LineString())


def bridge_bodies(start: Floats, end: Floats, width: float) -> NDArray[np.object_]:
    """Return the bars from `start` to `end`, run on into the paper and round at both ends."""
    along = end - start
    length = np.hypot(*along.T)[:, None]
    unit = np.divide(along, length, out=np.zeros_like(along), where=length > 0)
    run = REACH_IN * width * unit
    lines = shapely.linestrings(np.stack([start - run, end + run], axis=1))
    bodies: NDArray[np.object_] = shapely.buffer(lines, width / 2, quad_segs=16)
    return bodies


def _priced(found: Candidates, ground: Ground) -> Candidates:
    """Price each: length, more with little to grip, between small parts, across the direction asked for."""
    along = found.end - found.start
    lack = _lack(found.start, -along, found.a, ground) + _lack(found.end, along, found.b, ground)
    cost = (found.length + ground.strap / 2) * (1 + GRIP * lack)
    area = shapely.area(ground.parts)
    held = area < HOST * area.max()
    cost = cost * (1 + STICK * (held[found.a] & held[found.b]))
    if ground.direction_deg is not None:
        off = np.arctan2(along[:, 1], along[:, 0]) - np.radians(ground.direction_deg)
        cost = cost * (1 + LEAN * np.sin(off) ** 2)
    order = np.lexsort((found.start[:, 1], found.start[:, 0], found.b, found.a, cost.round(9)))
    priced = Candidates(found.a, found.b, found.start, found.end, found.length, cost)
    return priced.take(order)


def _lack(at: Floats, inward: Floats, own: Ints, ground: Ground) -> Floats:
    """Return how much is missing of the half disc behind the end, two straps deep, and of the bar's own seat.

    0 where all is paper.
    """
    angle, radius = (x.ravel() for x in np.meshgrid(np.radians([-75, -45, -15, 15, 45, 75]), [0.5, 1.2, 2.0]))
    ahead = np.append(radius * np.cos(angle), [0.3, 0.3]) * ground.strap
    aside = np.append(radius * np.sin(angle), [-0.5, 0.5]) * ground.strap
    unit = inward / np.maximum(np.hypot(*inward.T), 1e-9)[:, None]
    x = at[:, :1] + ahead * unit[:, :1] - aside * unit[:, 1:]
    y = at[:, 1:] + ahead * unit[:, 1:] + aside * unit[:, :1]
    order = np.argsort(own, kind="stable")
    inside = np.zeros(x.shape, bool)
    for rows in np.split(order, np.flatnonzero(np.diff(own[order])) + 1):
        if len(rows):
            inside[rows] = shapely.contains_xy(ground.parts[own[rows[0]]], x[rows], y[rows])
    return np.asarray(1 - inside[:, :-2].mean(axis=1) + SEAT * (1 - inside[:, -2:].mean(axis=1)))


def _spread(found: Candidates, ground: Ground, edges: Edges, strap: float) -> Candidates:
    """Keep of those that begin in one square of the ground and end in one other the cheapest that is clear.

    Nearly all are clear, and of most squares only one is looked at: so that is asked last.
    """
    size = np.maximum(1, found.length / (_SPREAD * strap))
    level = np.exp2(np.ceil(np.log2(size))) * strap
    squares = np.floor(np.hstack([found.start, found.end]) / level[:, None])
    group = _groups(np.column_stack([found.a, found.b, level, squares]))
    first = np.unique(group, return_index=True)[1]
    clear = _clear(found.take(first), ground, edges)
    others = np.isin(group, group[first[~clear]])
    others[first] = False
    others[others] = _clear(found.take(others), ground, edges)
    next_best = np.flatnonzero(others)
    next_best = next_best[np.unique(group[next_best], return_index=True)[1]]
    return found.take(np.union1d(first[clear], next_best))


def _groups(key: Floats) -> Ints:
    """Return the number of each row's group: rows are of one where all that they say is the same."""
    order = np.lexsort(key.T)
    starts = (np.diff(key[order], axis=0, prepend=np.nan) != 0).any(axis=1)
    group = np.empty(len(key), np.intp)
    group[order] = np.cumsum(starts)
    return group
