"""Strands that go to and fro across a band and turn its corners: the centre lines of interlaced borders.

The paths are those of a ball between two walls. In a corner block it runs at 45° and comes back off the outer
walls, so that what enters at a height leaves at the same height; round strands are bent to the same points.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from shapely.geometry import LineString

from canivet.motifs.borders._running.strokes import bezier
from canivet.motifs.shapes.openings import Points

__all__ = ["Strands"]

_SAMPLES = 32
"""Chords to a repeat of a round strand: under 0.01 mm off where a repeat is 12 mm long."""


@dataclass(frozen=True, slots=True)
class Strands:
    """Centre lines of `count` strands, evenly behind each other.

    Attributes
    ----------
    count : int
        Strands.
    low, high : float
        Between what heights they run, mm.
    repeat : float
        From strand to strand along the band, mm; each comes round after `count` of them.
    angular : bool
        Straight from wall to wall, or waving.
    """

    count: int
    low: float
    high: float
    repeat: float
    angular: bool

    def height(self, x: Points, strand: int) -> Points:
        """Return the height of a strand; none of them meets the lower wall at x = 0."""
        phase = np.mod((x / self.repeat + strand + 0.5) * 2 / self.count, 2.0)
        share = 1 - np.abs(phase - 1) if self.angular else (1 - np.cos(np.pi * phase)) / 2
        heights: Points = self.low + (self.high - self.low) * share
        return heights

    def along(self, start: float, end: float, strand: int) -> Points:
        """Return points of a strand from x = start to x = end, both whole numbers of half repeats."""
        steps = round((end - start) / self.repeat * 2) * (1 if self.angular else _SAMPLES // 2)
        x = np.linspace(start, end, steps + 1)
        return np.column_stack([x, self.height(x, strand)])

    def lines(self, start: float, end: float) -> list[LineString]:
        """Return all strands on a straight band."""
        return [LineString(self.along(start, end, k)) for k in range(self.count)]

    def round_corner(self, reach: float) -> list[LineString]:
        """Return all strands about a corner, from `reach` before it to `reach` after, coordinates outward."""
        lines = []
        for k in range(self.count):
            arm = self.along(0.0, reach, k)[::-1] * (-1, 1)
            half = np.vstack([arm, self._to_diagonal(k)[1:]])
            lines.append(LineString(np.vstack([half, half[-2::-1, ::-1]])))
        return lines

    def _to_diagonal(self, strand: int) -> Points:
        """Return a strand in the block, as far as the diagonal."""
        phase = (strand + 0.5) * 2 / self.count % 2.0
        share = 1 - abs(phase - 1)
        entry = (0.0, float(self.height(np.zeros(1), strand)[0]))
        if phase <= 1:
            return self._across(entry, share)
        return self._off_the_walls(entry, share)

    def _across(self, entry: tuple[float, float], share: float) -> Points:
        """Return the half of a strand that cuts the inner corner off."""
        if self.angular:
            return np.array([entry, (entry[1] / 2, entry[1] / 2)])
        out = 0.4 * entry[1]
        lean = self._slope(share)
        aim = (out / math.hypot(1, lean), entry[1] - out * lean / math.hypot(1, lean))
        whole = bezier(entry, aim, aim[::-1], entry[::-1], count=_SAMPLES + 1)
        return whole[: _SAMPLES // 2 + 1]

    def _off_the_walls(self, entry: tuple[float, float], share: float) -> Points:
        """Return the half of a strand that runs round outside."""
        wall = (self.high * (1 - share), self.high)
        if self.angular:
            middle = (wall[0] + wall[1]) / 2
            return np.array([entry, wall, (middle, middle)])
        lean = self._slope(share)
        out = 0.36 * math.dist(entry, wall)
        aim = (out / math.hypot(1, lean), entry[1] + out * lean / math.hypot(1, lean))
        rise = bezier(entry, aim, (wall[0] - out, self.high), wall, count=_SAMPLES // 2 + 1)
        bend = (wall[0] + 0.6 * (self.high - wall[0]), self.high)
        turn = bezier(wall, bend, bend[::-1], wall[::-1], count=_SAMPLES + 1)
        return np.vstack([rise, turn[1 : _SAMPLES // 2 + 1]])

    def _slope(self, share: float) -> float:
        """Return how steeply a waving strand runs where it is a share of the way up."""
        sine = 2 * math.sqrt(max(0.0, self._rise(share) * (1 - self._rise(share))))
        return (self.high - self.low) / 2 * math.pi * sine * 2 / self.count / self.repeat

    def _rise(self, share: float) -> float:
        return (1 - math.cos(math.pi * share)) / 2
