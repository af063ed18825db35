"""In what order and which way knife strokes are drawn, so that the sheet is turned little.

Every opening offers sequences of its strokes: the best from each beginning to each end where they are few
enough to be settled exactly (M. Held and R. M. Karp, "A dynamic programming approach to sequencing problems",
J. SIAM 10, 1962), else from each beginning the one that goes on with the least turn. Which one each is given
is then settled along the whole plan (R. Bellman, *Dynamic Programming*, 1957).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from canivet.audit.boundary import Flags, Floats, Ints

__all__ = ["Draws", "Sequences", "headings_apart", "least_turning", "sequences_of"]

_MOST = 4_000_000
"""Entries weighed at once."""

_EXACT = 150_000_000
"""Steps that all rings with one number of strokes may take to be settled exactly: a second or two."""


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Knife strokes of many rings before their order and direction are chosen, ring after ring.

    Attributes
    ----------
    ring : (n,) int array
    begins, ends : (n,) float array
        Headings in degrees of the blade at either end, drawn forth; drawn back it begins the other way.
    forth, back : (n,) bool array
        Which ways it may be drawn; at least one.
    late : (n,) bool array
        Whether it comes after those that are not.
    frees : (n,) bool array
        Whether it may be the last; some of every ring's last ones may.
    """

    ring: Ints
    begins: Floats
    ends: Floats
    forth: Flags
    back: Flags
    late: Flags
    frees: Flags


@dataclass(frozen=True, slots=True, eq=False)
class Sequences:
    """The sequences one ring offers: draws (2·row, or 2·row + 1 drawn back), and what each turns."""

    draws: Ints
    turned: Floats
    begins: Floats
    ends: Floats


def headings_apart(a: Floats, b: Floats) -> Floats:
    """Return the smaller angle between headings, degrees."""
    apart: Floats = np.abs((a - b + 180) % 360 - 180)
    return apart


def sequences_of(draws: Draws) -> dict[int, Sequences]:
    """Return the sequences that each ring offers."""
    ring, first, count = np.unique(draws.ring, return_index=True, return_counts=True)
    found: dict[int, Sequences] = {}
    for size in np.unique(count).tolist():
        alike = np.flatnonzero(count == size)
        exact = size <= 12 and len(alike) * 2**size * (2 * size) ** 3 <= _EXACT
        each = (2 * size) ** 2 * max(2**size, 2 * size) if exact else 4 * size * size
        at_once = max(1, _MOST // each)
        for part in np.split(alike, range(at_once, len(alike), at_once)):
            rows = first[part][:, None] + np.arange(size)
            offered = (_settled if exact else _followed)(draws, rows)
            found.update(zip(ring[part].tolist(), offered, strict=True))
    return found


def least_turning(offered: Sequence[Sequences]) -> tuple[list[int], list[float]]:
    """Return which sequence of each to take, one after the other, and the turn of the sheet before each."""
    if not offered:
        return [], []
    cost, came = offered[0].turned, []
    for before, here in pairwise(offered):
        ways = cost[:, None] + headings_apart(before.ends[:, None], here.begins)
        came.append(ways.argmin(axis=0))
        cost = ways[came[-1], np.arange(len(here.begins))] + here.turned
    chosen = [int(cost.argmin())]
    for back in reversed(came):
        chosen.append(int(back[chosen[-1]]))
    chosen.reverse()
    ends = np.array([one.ends[k] for one, k in zip(offered, chosen, strict=True)])
    begins = np.array([one.begins[k] for one, k in zip(offered, chosen, strict=True)])
    return chosen, [0.0, *headings_apart(ends[:-1], begins[1:]).tolist()]


def _followed(draws: Draws, rows: Ints) -> Iterable[Sequences]:
    """Yield for each ring the sequences from each beginning; `rows` has a ring's draws in each row."""
    rings, size = rows.shape
    begins, ends, may = _both_ways(draws, rows)
    chain_ring, start = np.nonzero(_due(draws, rows, np.zeros((rings, size), bool)).repeat(2, axis=1) & may)
    used = np.zeros((len(start), size), bool)
    every = np.arange(len(start))
    taken = np.empty((len(start), size), np.intp)
    turned, choice = np.zeros(len(start)), start
    for step in range(size):
        if step:
            due = _due(draws, rows[chain_ring], used).repeat(2, axis=1) & may[chain_ring]
            cost = headings_apart(ends[chain_ring, choice][:, None], begins[chain_ring])
            cost[~due] = np.inf
            choice = cost.argmin(axis=1)
            turned += cost[every, choice]
        taken[:, step] = choice
        used[every, choice // 2] = True
    return _by_ring(rows, chain_ring, taken, turned, begins[chain_ring, start], ends[chain_ring, choice])


def _settled(draws: Draws, rows: Ints) -> Iterable[Sequences]:
    """Yield for each ring the best sequences from each beginning to each end."""
    rings, size = rows.shape
    begins, ends, may = _both_ways(draws, rows)
    turn = headings_apart(ends[:, :, None], begins[:, None, :])
    ways, whole = 2 * size, (1 << size) - 1
    cost = np.full((rings, ways, whole + 1, ways), np.inf)
    came = np.zeros(cost.shape, np.int8)
    due = _due(draws, rows, np.zeros((rings, size), bool)).repeat(2, axis=1) & may
    for way in range(ways):
        cost[due[:, way], way, 1 << way // 2, way] = 0
    for done in range(1, whole):
        have = cost[:, :, done, :]
        if np.isinf(have).all():
            continue
        used = np.broadcast_to((done >> np.arange(size)) & 1 == 1, (rings, size))
        due = _due(draws, rows, used).repeat(2, axis=1) & may
        onward = have[:, :, :, None] + turn[:, None]
        before, best = onward.argmin(axis=2), onward.min(axis=2)
        best[~np.broadcast_to(due[:, None], best.shape)] = np.inf
        for way in np.flatnonzero(due.any(axis=0)).tolist():
            after = done | 1 << way // 2
            cost[:, :, after, way], came[:, :, after, way] = best[:, :, way], before[:, :, way]
    ring, start, end = np.nonzero(np.isfinite(cost[:, :, whole, :]))
    taken = np.empty((len(ring), size), np.intp)
    left, last = np.full(len(ring), whole), end
    for step in range(size - 1, -1, -1):
        taken[:, step] = last
        left, last = left ^ (1 << last // 2), came[ring, start, left, last].astype(np.intp)
    return _by_ring(rows, ring, taken, cost[ring, start, whole, end], begins[ring, start], ends[ring, end])


def _both_ways(draws: Draws, rows: Ints) -> tuple[Floats, Floats, Flags]:
    """Return the headings where each ring's draws begin and end, and which may be: forth, back."""
    rings = len(rows)
    begins = np.stack([draws.begins[rows], draws.ends[rows] + 180], axis=2).reshape(rings, -1)
    ends = np.stack([draws.ends[rows], draws.begins[rows] + 180], axis=2).reshape(rings, -1)
    may = np.stack([draws.forth[rows], draws.back[rows]], axis=2).reshape(rings, -1)
    return begins, ends, may


def _by_ring(
    rows: Ints, ring: Ints, taken: Ints, turned: Floats, begins: Floats, ends: Floats
) -> Iterable[Sequences]:
    """Yield what each ring offers, out of sequences that stand ring after ring."""
    cuts = np.searchsorted(ring, np.arange(1, len(rows)))
    draw = 2 * rows[ring[:, None], taken // 2] + taken % 2
    columns = [np.split(column, cuts) for column in (draw, turned, begins, ends)]
    return (Sequences(*row) for row in zip(*columns, strict=True))


def _due(draws: Draws, rows: Ints, used: Flags) -> Flags:
    """Say which draws may come next: late ones last, and a draw that frees kept for the end."""
    left = ~used
    late = draws.late[rows]
    early = left & ~late
    now = np.where(early.any(axis=1, keepdims=True), early, left)
    frees = draws.frees[rows] & left
    kept = (frees.sum(axis=1, keepdims=True) == 1) & (left.sum(axis=1, keepdims=True) > 1)
    due: Flags = now & ~(kept & frees)
    return due
