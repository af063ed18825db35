"""Choosing bridges out of many: a tree that reaches every part, then a second hold for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely import STRtree

from canivet.audit.boundary import Flags, Floats, Ints

from .candidates import Candidates, Ground

__all__ = ["Choice", "double_up", "span"]

APART = 0.6
"""Two bridges on one part stand at least this share of its size apart, or pay for it."""

_MERGED = 0.5
"""A second bridge between the same two parts must be this much of the way to standing well apart."""

_SWAPS = 60
"""How many of the second holds, the dearest first, are tried for something better."""


_MOST_MATCHED = 40
"""Candidates looked at where two bridges tie the same two parts."""


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """The bridges chosen, which of them make the tree, and how many of them are single holds."""

    ways: Candidates
    tree: Flags
    single_holds: int

    @classmethod
    def plain(cls, ways: Candidates, tree: Ints) -> Choice:
        """Return a tree and nothing else: every bridge is a single hold."""
        return cls(ways.take(tree), np.ones(len(tree), bool), len(tree))


def span(ways: Candidates, parts: int, strap: float, gap: float) -> tuple[Ints, Ints]:
    """Return the rows of the cheapest tree whose bridges keep clear of one another, and each part's group.

    Bridges stand `gap` apart where they can; where a part would stay loose they may touch, but never cross.
    """
    group = np.arange(parts)
    chosen: list[int] = []
    laid = _Laid(ways.lines())
    for clearance in (strap + gap, 1e-6):
        for row in range(len(ways)):
            a, b = group[ways.a[row]], group[ways.b[row]]
            if a == b or not laid.leave_clear(row, clearance):
                continue
            group[group == b] = a
            chosen.append(row)
            laid.here[row] = True
            if len(chosen) == parts - 1:
                return np.array(chosen, np.intp), group
    return np.array(chosen, np.intp), group


class _Laid:
    """Which of many bridges are laid, as the flags `here`; a further one is held against those near it."""

    def __init__(self, lines: NDArray[Any]) -> None:
        self.lines, self.here = lines, np.zeros(len(lines), bool)
        self._tree = STRtree(lines)

    def leave_clear(self, row: int, clearance: float) -> bool:
        """Say whether a bridge stands so far from all that are laid."""
        near = self._tree.query(self.lines[row], predicate="dwithin", distance=clearance)
        near = near[self.here[near]]
        return bool((shapely.distance(self.lines[row], self.lines[near]) >= clearance).all())


def double_up(ways: Candidates, tree: Ints, ground: Ground, gap: float) -> Choice:
    """Return the tree with further bridges, until every loss of one leaves the rest in one piece.

    Each time the bridge is taken that gives a second hold to most for its cost; those that later ones made
    needless are left out again, and the dearest are tried against other ways to the same end.
    """
    hold = _Holds(ways, tree, ground, gap)
    extra = hold.complete([])
    for row in sorted(extra, key=lambda r: (-ways.cost[r], r))[:_SWAPS]:
        if row not in extra:
            continue
        other = hold.complete([r for r in extra if r != row], barred=row)
        better = ways.cost[other].sum() < ways.cost[extra].sum() - 1e-9
        if better and hold.doubled(other) >= hold.doubled(extra):
            extra = other
    rows, single = hold.matched(extra)
    return Choice(ways.take(rows), np.arange(len(rows)) < len(tree), single)


class _Holds:
    """The tree of parts, and what further bridges would do for it.

    `small` is, for each candidate, the size of the smaller of the parts that it ties, mm.

    `covered[v]`, in what follows, is about the tree's bridge from part v to its parent: whether there is a
    second way round it. The root's own entry is never set.
    """

    def __init__(self, ways: Candidates, tree: Ints, ground: Ground, gap: float) -> None:
        self.ways, self.ground, self.gap = ways, ground, gap
        self.lines = ways.lines()
        self.laid = _Laid(self.lines)
        self.tree = tree
        n = len(ground.parts)
        self.parent, self.order, depth = _rooted(n, ways.a[tree], ways.b[tree])
        self.meet = _meeting(self.parent, depth, ways.a, ways.b)
        bounds = shapely.bounds(ground.parts)
        size = np.hypot(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1])
        self.small = np.minimum(size[ways.a], size[ways.b])
        self._crowding: dict[int, tuple[Ints, Floats]] = {}
        self._paths: dict[int, Ints] = {}
        self._near_ends = cKDTree(np.vstack([ways.start, ways.end]))
        self._price = ways.cost * self._crowded(tree.tolist())

    def complete(self, extra: list[int], barred: int = -1) -> list[int]:
        """Return `extra` with the bridges added that double all that can be, and without needless ones."""
        extra = list(extra)
        laid = self.laid.here
        laid[:] = False
        laid[self.tree] = laid[extra] = True
        covered = self._ways_round(extra) > 0
        price = np.maximum(self._price, self.ways.cost * self._crowded(extra))
        alive = np.isfinite(price) & ~laid
        if barred >= 0:
            alive[barred] = False
        while True:
            gain = self._gain(covered)
            alive &= gain > 0
            rows = np.flatnonzero(alive & np.isfinite(price))
            if len(rows) == 0:
                return self._needed(extra)
            row = int(rows[np.argmin(price[rows] / gain[rows])])
            alive[row] = False
            if not self.laid.leave_clear(row, self.ground.strap + self.gap):
                continue
            laid[row] = True
            extra.append(row)
            covered[self._path(row)] = True
            price = np.maximum(price, self.ways.cost * self._crowded([row]))

    def doubled(self, extra: list[int]) -> int:
        """Return how many bridges of the tree have a second way round."""
        return int((self._ways_round(extra) > 0).sum())

    def _ways_round(self, extra: list[int]) -> Ints:
        """Return how many further bridges make a way round each bridge of the tree."""
        paths = [self._path(row) for row in extra]
        return np.bincount(np.concatenate([*paths, self.order[:0]]), minlength=len(self.parent))

    def _path(self, row: int) -> Ints:
        """Return the bridges of the tree that lie between the two parts of a bridge."""
        if row not in self._paths:
            path, parent, meet = [], self.parent, self.meet[row]
            for v in (self.ways.a[row], self.ways.b[row]):
                while v != meet:
                    path.append(int(v))
                    v = parent[v]
            self._paths[row] = np.array(path, np.intp)
        return self._paths[row]

    def _gain(self, covered: Flags) -> Ints:
        """Return how many single holds each candidate would double."""
        bare = (~covered).tolist()
        bare[0] = 0
        parent = self.parent.tolist()
        for v in self.order.tolist()[1:]:
            bare[v] += bare[parent[v]]
        sums = np.array(bare, np.intp)
        gain: Ints = sums[self.ways.a] + sums[self.ways.b] - 2 * sums[self.meet]
        return gain

    def _needed(self, extra: list[int]) -> list[int]:
        """Leave out again, the dearest first, what the others make up for."""
        count = self._ways_round(extra)
        left = set(extra)
        rows = np.array(extra, np.intp)
        for row in rows[np.lexsort((rows, -self.ways.cost[rows]))].tolist():
            path = self._path(row)
            if count[path].min() > 1:
                count[path] -= 1
                left.remove(row)
        return [row for row in extra if row in left]

    def _crowded(self, rows: list[int]) -> Floats:
        """Return how much dearer each candidate is for ending near these bridges on the same part.

        Infinite where both ends of a second bridge between the same two parts are near the first one's.
        """
        factor = np.ones(len(self.ways))
        fresh = [row for row in rows if row not in self._crowding]
        if fresh:
            self._crowding.update(zip(fresh, self._crowded_by(np.array(fresh, np.intp)), strict=True))
        for row in rows:
            others, dearer = self._crowding[row]
            factor[others] = np.maximum(factor[others], dearer)
        return factor

    def _crowded_by(self, rows: Ints) -> list[tuple[Ints, Floats]]:
        """Return for each bridge the candidates that end near it, and how much dearer it makes them."""
        w = self.ways
        well = np.maximum(4 * self.ground.strap, APART * self.small[rows])
        starts, ends = (self._near_ends.query_ball_point(at[rows], well) for at in (w.start, w.end))
        found = [np.unique(np.array(s + e, np.intp) % len(w)) for s, e in zip(starts, ends, strict=True)]
        others = np.concatenate(found)
        row = np.repeat(rows, [len(some) for some in found])
        near = self._nearness(row, others)
        merged = (w.a[others] == w.a[row]) & (w.b[others] == w.b[row]) & (near > _MERGED).all(axis=0)
        dearer = np.where(merged, np.inf, 1 + near.sum(axis=0))
        parted = np.split(dearer, np.cumsum([len(some) for some in found])[:-1])
        return list(zip(found, parted, strict=True))

    def _nearness(self, row: int | Ints, others: Ints) -> Floats:
        """Return, for both parts of a bridge, how near to it others end on that part.

        1 at the same place, falling to 0 where they are well apart for the smallest of the parts they hold.
        `row` may be a bridge for each of the others.
        """
        w = self.ways
        well = np.maximum(4 * self.ground.strap, APART * np.minimum(self.small[row], self.small[others]))
        near = np.zeros((2, len(others)))
        for side, (part, end) in enumerate(((w.a[row], w.start[row]), (w.b[row], w.end[row]))):
            for own, ends in ((w.a[others], w.start[others]), (w.b[others], w.end[others])):
                far = np.hypot(*(ends - end).T) / well
                near[side] = np.where(own == part, np.maximum(near[side], 1 - far), near[side])
        return near

    def matched(self, extra: list[int]) -> tuple[Ints, int]:
        """Choose anew where two bridges tie the same two parts: the first took no thought of the second.

        Where none could be found for a second hold, two are looked for in place of the first. Returns the
        rows, the tree first, and how many single holds there still are.
        """
        w = self.ways
        rows = np.concatenate([self.tree, np.array(extra, np.intp)])
        bare = self._ways_round(extra) == 0
        single = 0
        for k, row in enumerate(self.tree.tolist()):
            same = np.flatnonzero((w.a[rows] == w.a[row]) & (w.b[rows] == w.b[row]))
            alone = bool(bare[self._path(row)].all())
            if len(same) == 2 or alone:
                two = self._best_two(rows[same], np.delete(rows, same))
                rows[k] = two[0]
                rows = np.append(rows, two[1:]) if alone else rows
                rows[same[1:]] = two[1:] if not alone else rows[same[1:]]
                single += alone and len(two) == 1
        return rows, single

    def _best_two(self, two: Ints, others: Ints) -> Ints:
        """Return the best two bridges between the parts that `two` tie, clear of each other and the rest."""
        w = self.ways
        clearance = self.ground.strap + self.gap
        mine = np.flatnonzero((w.a == w.a[two[0]]) & (w.b == w.b[two[0]]))[:_MOST_MATCHED]
        near = STRtree(self.lines[others]).query(self.lines[mine], predicate="dwithin", distance=clearance)
        mine = np.union1d(np.delete(mine, np.unique(near[0])), two)
        best = self._pair_cost(two[0], two[1:], clearance)[0] - 1e-9 if len(two) == 2 else np.inf
        for k, row in enumerate(mine):
            if 2 * w.cost[row] >= best:  # they come cheapest first
                break
            cost = self._pair_cost(row, mine[k + 1 :], clearance)
            if len(cost) and cost.min() < best:
                best, two = cost.min(), np.array([row, mine[k + 1 + int(np.argmin(cost))]])
        return two

    def _pair_cost(self, row: int, others: Ints, clearance: float) -> Floats:
        near = self._nearness(row, others)
        cost = (self.ways.cost[row] + self.ways.cost[others]) * (1 + near.sum(axis=0))
        bad = (near > _MERGED).all(axis=0) | (
            shapely.distance(self.lines[row], self.lines[others]) < clearance
        )
        return np.where(bad, np.inf, cost)


def _rooted(n: int, a: Ints, b: Ints) -> tuple[Ints, Ints, Ints]:
    """Return each part's parent in the tree, the parts with parents first, and their depths."""
    neighbours: list[list[int]] = [[] for _ in range(n)]
    for u, v in zip(a.tolist(), b.tolist(), strict=True):
        neighbours[u].append(v)
        neighbours[v].append(u)
    parent, depth = np.zeros(n, np.intp), np.full(n, -1, np.intp)
    depth[0] = 0
    order = [0]
    for v in order:
        for u in sorted(neighbours[v]):
            if depth[u] < 0:
                parent[u], depth[u] = v, depth[v] + 1
                order.append(u)
    return parent, np.array(order, np.intp), depth


def _meeting(parent: Ints, depth: Ints, a: Ints, b: Ints) -> Ints:
    """Return where the ways from each a and b to the root meet."""
    a, b = a.copy(), b.copy()
    while (a != b).any():
        lower_a = (a != b) & (depth[a] >= depth[b])
        lower_b = (a != b) & (depth[b] > depth[a])
        a = np.where(lower_a, parent[a], a)
        b = np.where(lower_b, parent[b], b)
    return a
