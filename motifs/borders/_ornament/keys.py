"""The key of a meander: one white channel that winds inward, and the arm of paper it leaves.

A first turn is one channel, a hook. Each further turn is a pair of elbows round it, parted at two opposite
corners: an unbroken spiral would leave an arm too long to hold itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from canivet.lengths import format_length
from canivet.motifs.borders._refusals import Ornamented, check_repeat
from canivet.motifs.borders.band import Band
from canivet.motifs.borders.counting import recount_together
from canivet.motifs.shapes.openings import Points, Rings, rings_from

__all__ = ["Key", "lay_keys"]

_STOUT = 0.6
"""Arm over channel, at least. An arm is four channels and two of its own widths long, so that this keeps it
under nine times its width."""

_LONGEST = 10.0
"""How long an arm may hang, in its own widths (*common practice*)."""


@dataclass(frozen=True, slots=True)
class Key:
    """Proportions of a key in mm.

    Attributes
    ----------
    height : float
        Across the band, over all.
    channel : float
        Width of the channel across the band; along it the channel takes what the repeat leaves.
    arm : float
        Width of the paper between channels, and of the wall between keys.
    turns : int
        How many times it goes round.
    smallest : float
        Radius of the smallest opening worth cutting.
    """

    height: float
    channel: float
    arm: float
    turns: int
    smallest: float

    @classmethod
    def fitted(cls, height: float, *, strap: float, turns: int, smallest: float) -> Key:
        """Share out a height among channels and arms; `channel` may come out too narrow to cut."""
        channels, arms = 2 * turns + 1, 2 * turns - 1
        arm = max(strap, _STOUT * height / (channels + arms * _STOUT))
        return cls(height, (height - arms * arm) / channels, arm, turns, smallest)

    @staticmethod
    def least_height(*, strap: float, turns: int, smallest: float) -> float:
        """Return the height at which channels can just be cut."""
        arm = max(strap, _STOUT * 2 * smallest)
        return (2 * turns + 1) * 2 * smallest + (2 * turns - 1) * arm

    def repeat_for(self, channel: float) -> float:
        """Return the repeat whose channels are so wide along the band."""
        return (2 * self.turns + 1) * (channel + self.arm)

    @property
    def natural(self) -> float:
        """Return the repeat whose channels are alike both ways."""
        return self.repeat_for(self.channel)

    @property
    def shortest(self) -> float:
        """Return the repeat whose channels can just be cut."""
        return self.repeat_for(2 * self.smallest)

    @property
    def longest(self) -> float:
        """Return the repeat whose arm is as long as an arm may hang."""
        return self.repeat_for((_LONGEST - 2) * self.arm - 3 * self.channel)

    def bay(self, repeat: float) -> list[Points]:
        """Return the openings of one repeat, about its middle and from the foot of the key up."""
        gap, a, g = repeat / (2 * self.turns + 1) - self.arm, self.arm, self.channel
        wide, high = repeat - a, self.height
        at = np.array([-wide / 2, 0.0])
        shapes = []
        for _ in range(self.turns - 1):
            elbow = np.array(
                [(gap + a, 0), (wide, 0), (wide, high), (wide - gap, high), (wide - gap, g), (gap + a, g)]
            )
            shapes += [at + elbow, at + np.array([wide, high]) - elbow]
            at = at + np.array([gap + a, g + a])
            wide, high = wide - 2 * (gap + a), high - 2 * (g + a)
        hook = [
            (0, 0), (wide, 0), (wide, high), (wide - gap, high), (wide - gap, g), (gap, g), (gap, high - g),
            (gap + a, high - g), (gap + a, g + a), (2 * gap + a, g + a), (2 * gap + a, high), (0, high),
        ]  # fmt: skip
        return [*shapes, at + np.array(hook)]

    def corner(self) -> list[Points]:
        """Return the openings of a corner block: a saltire, its quarters barred in step with the keys.

        A plain square where a saltire would be too fine to cut. Coordinates run out from the inner corner.
        """
        half = self.height / 2
        rise = half - self.arm / math.sqrt(2)
        quarter = []
        for _ in range(self.turns - 1):
            inner, top = rise - self.channel, self.channel - half
            quarter.append([(-rise, -half), (rise, -half), (inner, top), (-inner, top)])
            half, rise = half - self.channel - self.arm, inner - self.arm
        if rise * (math.sqrt(2) - 1) < self.smallest:
            square = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
            return [square * self.height]
        quarter.append([(-rise, -half), (rise, -half), (0, rise - half)])
        turned = [np.linalg.matrix_power(np.array([(0, 1), (-1, 0)]), k) for k in range(4)]
        return [np.array(shape) @ turn + self.height / 2 for shape in quarter for turn in turned]


def lay_keys(band: Band, key: Key, *, rail: float, repeat: float | None) -> list[Rings]:
    """Lay keys along every run, turned about in its middle or at each quarter of a ring, and corner blocks.

    Parameters
    ----------
    band : Band
        Where.
    key : Key
        Its proportions.
    rail : float
        mm of paper between the inner edge and the key; not over the key's arm.
    repeat : float or None
        About how long a repeat is, in mm; None for channels alike both ways.

    Returns
    -------
    list of ring arrays
        Disjoint openings.

    Raises
    ------
    DoesNotFit
        If the repeat is too short to cut or too long to hold, or a side is too short for two of them.
    """
    _check_repeat(key, repeat)
    halves = 2 if band.corners else 4
    margin = key.arm / 2 - rail if band.corners else 0.0
    lengths = [run.length - 2 * margin for run in band.runs]
    counts = recount_together(
        lengths, repeat or key.natural, least=key.shortest, most=key.longest, multiple=halves
    )
    if not counts:
        raise Ornamented(band.width, "keys", "turns, strap or smallest").too_short(
            min(lengths), halves * key.shortest, number=halves
        )
    openings: list[Rings] = []
    for run, length, count in zip(band.runs, lengths, counts, strict=True):
        number = np.arange(count)
        at = margin + length / count * (number + 0.5)
        mirrored = number * halves // count % 2 == 1
        openings += [
            rings_from(run.lay(shape, at, rise=rail, mirrored=mirrored)) for shape in key.bay(length / count)
        ]
    return openings + [rings_from(c.lay(shape, rise=rail)) for shape in key.corner() for c in band.corners]


def _check_repeat(key: Key, repeat: float | None) -> None:
    what = f"a key {format_length(key.height, 2)} high with arms of {format_length(key.arm, 2)}"
    if repeat is not None and repeat > key.longest:
        what += ", which would hang too far,"
    check_repeat(repeat, what, shortest=key.shortest, longest=key.longest)
