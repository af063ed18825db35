"""What an order is worth as support, and what each move in it would change."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from canivet.audit.boundary import Floats, Ints
from canivet.errors import DoesNotFit

__all__ = ["FAR", "Moves", "Nearness", "Support", "nearness"]

FAR = 3.0
"""Reaches. Openings farther apart than this do not support each other: exp(−3) is 5 %."""

_MOST_PAIRS = 40_000_000
"""Pairs of neighbours: about 1.5 GB. A hand has never cut so dense a sheet."""

_SAMPLE = 96
"""Neighbours of an opening that a round of moves looks at; the next round looks at others."""

_SLOTS = 400_000
"""Entries of the table of one round, whatever the number of openings."""

_ALIKE = 1e-9
"""Where best and worst order differ by less than this share, every order supports equally."""


@dataclass(frozen=True, slots=True, eq=False)
class Nearness:
    """Pairs of openings within `FAR` reaches, and how near they are: first, second, exp(−d/reach)."""

    first: Ints
    second: Ints
    weight: Floats


def nearness(at: Floats, reach: float) -> Nearness:
    """Return every pair of places within `FAR` reaches of each other.

    Raises
    ------
    DoesNotFit
        If they are too many to hold.
    """
    tree = cKDTree(at)
    count = (int(tree.count_neighbors(tree, FAR * reach)) - len(at)) // 2
    if count > _MOST_PAIRS:
        raise DoesNotFit(
            f"{len(at)} openings make {count} pairs within {FAR:g} times the reach of {reach:g} mm; at most "
            f"{_MOST_PAIRS} can be weighed. Take a shorter reach, or plan parts of the sheet.",
            parameter="reach", value=reach,
        )  # fmt: skip
    pairs = tree.query_pairs(FAR * reach, output_type="ndarray")
    apart = np.hypot(*(at[pairs[:, 0]] - at[pairs[:, 1]]).T)
    return Nearness(pairs[:, 0], pairs[:, 1], np.exp(-apart / reach))


class Support:
    """The support of orders of one piece: the gain of every pair, as shares of the way from worst to best."""

    def __init__(self, near: Nearness, area: Floats, delicacy: Floats) -> None:
        forth = near.weight * delicacy[near.first] * area[near.second]
        back = near.weight * delicacy[near.second] * area[near.first]
        gain = forth - back
        whole = float(np.abs(gain).sum())
        self.alike = whole <= _ALIKE * float(forth.sum())
        self.count = len(area)
        self.first, self.second = near.first.astype(np.int32), near.second.astype(np.int32)
        self.gain = np.zeros_like(gain) if self.alike else gain / whole
        self.classes = max(1, round(2 * len(gain) / self.count / _SAMPLE))
        self.slots = min(self.count, max(64, _SLOTS // self.count))
        self._split()

    def _split(self) -> None:
        """Deal the pairs out to classes, each met in both directions."""
        # Any spread will do that does not follow the tree in which the pairs were found.
        dealt = (self.first * 7919 + self.second * 104_729) % self.classes
        rows = np.argsort(dealt, kind="stable")
        parts = np.split(rows, np.searchsorted(dealt[rows], np.arange(1, self.classes)))
        self.parts = [
            (
                np.concatenate([self.first[part], self.second[part]]) * self.slots,
                np.concatenate([self.second[part], self.first[part]]),
                np.concatenate([self.gain[part], -self.gain[part]]) * self.classes,
            )
            for part in parts
        ]

    def of(self, turn: Ints) -> float:
        """Return the support of an order, given the turn of each opening; 1 where all are alike."""
        if self.alike:
            return 1.0
        place = turn.astype(np.int32)
        kept = (self.gain * (place[self.first] < place[self.second])).sum()  # three times as fast as picking
        return float(kept - self.gain.sum() / 2 + 0.5)

    def moves(self, turn: Ints, price: float, *, part: int = 0) -> Moves:
        """Return what moves from an order are worth, at a price in mm of travel for all support."""
        row, other, gain = self.parts[part % self.classes]
        slot = turn * self.slots // self.count
        table = np.zeros((self.count, self.slots + 1))
        sums = np.bincount(row + slot[other], gain, minlength=self.count * self.slots)
        np.cumsum(sums.reshape(self.count, self.slots), axis=1, out=table[:, 1:])
        return Moves(table, self.slots / self.count, price)


@dataclass(frozen=True, slots=True, eq=False)
class Moves:
    """What it is worth to move single openings: for each, what it gains over all that come before a turn."""

    table: Floats
    scale: float
    price: float

    def of(self, who: Ints, turn: Ints, gap: Ints) -> Floats:
        """Return the worth in mm of moving `who` from its turn to before the opening that has turn `gap`."""
        worth: Floats = self.price * (self._before(who, turn) - self._before(who, gap))
        return worth

    def _before(self, who: Ints, turn: Ints) -> Floats:
        slot = turn * self.scale
        low = np.minimum(slot.astype(np.intp), self.table.shape[1] - 2)
        rest = slot - low
        at: Floats = self.table[who, low] * (1 - rest) + self.table[who, low + 1] * rest
        return at
