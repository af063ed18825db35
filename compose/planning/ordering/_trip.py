"""An order of places as a trip, and the moves that shorten it: runs put elsewhere, loops undone.

All candidate moves of a round are weighed at once, as arrays; of those that gain, the best that do not touch
each other are made together. Without a worth the trip's length is all that counts.

References
----------
I. Or, *Traveling Salesman-Type Combinatorial Problems*, thesis, Northwestern University, 1976 (moving runs).
G. A. Croes, "A method for solving traveling-salesman problems", Operations Research 6, 1958 (undoing loops).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from scipy.spatial import cKDTree

from canivet.audit.boundary import Flags, Floats, Ints

__all__ = ["Trip", "Worth", "along_curve", "nearest", "shortened"]

_NOTHING = 1e-9
"""mm. A gain under this is rounding."""

_ROUNDS = 60
_SETTLED = 2e-4
"""Share of its length that a round must still gain for another to be worth while."""


class Worth(Protocol):
    """What else a move is worth, in mm of travel."""

    def of(self, who: Ints, turn: Ints, gap: Ints) -> Floats:
        """Return what it is worth that `who` goes from its turn to just before what has turn `gap`."""


@dataclass(frozen=True, slots=True, eq=False)
class Trip:
    """Places visited in an order.

    Attributes
    ----------
    at : (n, 2) float array
        mm.
    near : (n, k) int array
        The nearest other places of each.
    apart : (n, k) float array
        How far they are.
    band : (n,) int array
        Moves stay within a band; all 0 where there is one.
    x, y : (n + 1,) float array
        The same places, and nowhere.
    """

    at: Floats
    near: Ints
    apart: Floats
    band: Ints
    x: Floats
    y: Floats

    @classmethod
    def through(cls, at: Floats, near: Ints, apart: Floats, band: Ints | None = None) -> Trip:
        """Return the trip's ground: one band where none are given."""
        band = np.zeros(len(at), np.intp) if band is None else band
        # Beyond the ends of a trip lies nowhere.
        return cls(at, near, apart, band, np.append(at[:, 0], np.nan), np.append(at[:, 1], np.nan))

    def length(self, order: Ints) -> float:
        """Return the length of the way through all places."""
        return float(np.hypot(*np.diff(self.at[order], axis=0).T).sum())

    def move_runs(
        self, order: Ints, size: int, awake: Flags, *, worth: Worth | None = None, slack: float = 0.0
    ) -> tuple[Ints, Ints]:
        """Move runs of `size` that begin at a place awake next to a place near one of their ends.

        With a worth, moves that lengthen the trip by up to `slack` are weighed too.

        Returns
        -------
        (n,) int array, (k,) int array
            The order, and the places about which it changed.
        """
        n = len(order)
        start = np.flatnonzero(awake[order[: max(0, n - size + 1)]])
        if len(start) == 0 or n <= size:
            return order, start[:0]
        turn = _inverse(order)
        around = np.concatenate([[n], order, [n]])
        step = self._between(around[:-1], around[1:])
        head, tail = order[start], order[start + size - 1]
        removed = step[start] + step[start + size] - self._between(around[start], around[start + size + 1])
        ends = (head,) if size == 1 else (head, tail)
        gap, gain, backward = [], [], []
        for k, end in enumerate(ends):
            other = tail if k == 0 else head
            for after in (True, False):
                q = turn[self.near[end]] + after
                beyond = around[q + 1] if after else around[q]
                longer = self.apart[end] + self._between(beyond, other[:, None]) - step[q]
                possible = (q < start[:, None]) | (q > start[:, None] + size)
                possible &= self.band[self.near[end]] == self.band[end][:, None]
                gap.append(q)
                gain.append(np.where(possible, removed[:, None] - longer, -np.inf))
                backward.append(size > 1 and after == (k == 1))
        columns = self.near.shape[1]
        q, g = np.hstack(gap), np.hstack(gain)
        if worth is not None:
            row, column = np.nonzero(g > -slack)
            from_ = start[row]
            extra = sum(worth.of(order[from_ + m], from_ + m, q[row, column]) for m in range(size))
            weighed = np.full_like(g, -np.inf)
            weighed[row, column] = g[row, column] + extra
            g = weighed
        best = g.argmax(axis=1)
        won = g[np.arange(len(start)), best]
        rows = np.flatnonzero(won > _NOTHING)
        rows = rows[np.argsort(-won[rows], kind="stable")]
        begin, q, turned = start[rows], q[rows, best[rows]], np.array(backward)[best[rows] // columns]
        touched, free = _clear_of_each_other(begin, q, size, n)
        begin, q, turned = begin[free], q[free], turned[free]
        key = np.arange(n, dtype=float)
        for m in range(size):
            key[begin + m] = q - 1 + np.where(turned, size - m, m + 1) / (size + 1)
        about = order[np.clip(touched[free].ravel() - 1, 0, n - 1)]
        return order[np.argsort(key, kind="stable")], about

    def awake_about(self, places: Ints) -> Flags:
        """Return as awake those places and the ones near them: elsewhere nothing has changed."""
        awake = np.zeros(len(self.at), bool)
        awake[places] = True
        awake[self.near[places]] = True
        return awake

    def undo_loops(self, order: Ints) -> tuple[Ints, Ints]:
        """Turn stretches of the trip about where that shortens it; return also the places at their ends."""
        n = len(order)
        turn = _inverse(order)
        around = np.concatenate([[n], order, [n]])
        first = np.repeat(np.arange(n), self.near.shape[1])
        second = self.near.ravel()
        same = self.band[first] == self.band[second]
        first, second, apart = first[same], second[same], self.apart.ravel()[same]
        found = []
        for way in (1, -1):
            beyond, after = around[turn[first] + 1 + way], around[turn[second] + 1 + way]
            gain = self._between(first, beyond) + self._between(second, after) - apart
            gain -= self._between(beyond, after)
            low, high = np.minimum(turn[first], turn[second]), np.maximum(turn[first], turn[second])
            low, high = (low + 1, high) if way == 1 else (low, high - 1)
            good = (gain > _NOTHING) & (low < high)
            good[good] &= self.band[order[low[good]]] == self.band[order[high[good]]]
            found.append(np.stack([gain[good], low[good], high[good]], axis=1))
        gain, low, high = np.concatenate(found).T
        rows = np.lexsort((low, high - low, -gain))
        taken, new, ends = np.zeros(n + 2, bool), order.copy(), []
        for a, b in np.stack([low, high], axis=1)[rows].astype(int).tolist():
            if not taken[a : b + 3].any():
                taken[a : b + 3] = True
                new[a : b + 1] = new[a : b + 1][::-1]
                ends += [max(a - 1, 0), a, b, min(b + 1, n - 1)]
        return new, order[np.array(ends, np.intp)]

    def _between(self, a: Ints, b: Ints) -> Floats:
        """Return how far places are apart; 0 beyond either end of the trip, where there is none."""
        dx, dy = self.x[a] - self.x[b], self.y[a] - self.y[b]
        length: Floats = np.sqrt(dx * dx + dy * dy)
        return np.fmax(length, 0.0, out=length)  # which takes 0 beside what is no number


def shortened(trip: Trip, order: Ints) -> Ints:
    """Return the order once no more of either kind of move shortens it much."""
    length = trip.length(order)
    awake = np.ones(len(order), bool)
    for _ in range(_ROUNDS):
        order, ends = trip.undo_loops(order)
        awake[ends] = True
        changed = [ends]
        for size in (1, 2, 3):
            order, about = trip.move_runs(order, size, awake)
            changed.append(about)
        awake = trip.awake_about(np.concatenate(changed))
        before, length = length, trip.length(order)
        if before - length < _SETTLED * before:
            break
    return order


def nearest(at: Floats, count: int) -> tuple[Ints, Floats]:
    """Return the nearest other places of each, as rows, and how far they are."""
    count = min(count, len(at) - 1)
    apart, near = cKDTree(at).query(at, count + 1)
    return near[:, 1:].reshape(len(at), count), apart[:, 1:].reshape(len(at), count)


def along_curve(at: Floats, bits: int = 12) -> Ints:
    """Return the rows in the order in which a Hilbert curve over the sheet meets them."""
    low = at.min(axis=0)
    cells = (at - low) / max(float(np.ptp(at, axis=0).max()), _NOTHING) * ((1 << bits) - 1)
    x, y = cells.astype(np.int64).T
    along = np.zeros(len(at), np.int64)
    for bit in range(bits - 1, -1, -1):
        size = 1 << bit
        right, up = (x & size) > 0, (y & size) > 0
        along += size * size * ((3 * right) ^ up)
        x, y = x & (size - 1), y & (size - 1)
        mirror = ~up & right
        x[mirror], y[mirror] = size - 1 - x[mirror], size - 1 - y[mirror]
        x, y = np.where(up, x, y), np.where(up, y, x)
    return np.argsort(along, kind="stable")


def _inverse(order: Ints) -> Ints:
    turn = np.empty(len(order), np.intp)
    turn[order] = np.arange(len(order))
    return turn


def _clear_of_each_other(start: Ints, gap: Ints, size: int, n: int) -> tuple[Ints, Flags]:
    """Return the turns (plus one) that each move touches, and which touch none that a better one touches.

    The best move comes first.
    """
    touched = np.stack([*(start + m for m in range(-1, size + 1)), gap - 1, gap], axis=1) + 1
    rank = np.arange(len(start))
    owner = np.full(n + 2, len(start))
    np.minimum.at(owner, touched.ravel(), np.repeat(rank, touched.shape[1]))
    clear: Flags = (owner[touched] == rank[:, None]).all(axis=1)
    return touched, clear
