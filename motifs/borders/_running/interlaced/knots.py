"""Knotwork: a plait whose strands turn back at some crossings, and so tie themselves in knots."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicHermiteSpline
from shapely.geometry import LineString

from canivet.motifs.shapes.openings import Points

from .strands import Strands
from .woven import Guilloche

__all__ = ["Knot"]

_EVERY = {2: 2, 4: 3}
"""Of the crossings in the middle row every how manyth is broken: so seldom that the plait is still seen."""

_PITCH = {2: 1.3, 4: 0.95}
"""From strand to strand over the height they swing through: round loops, neither squashed nor drawn out."""

_STOUT = 1.1
"""Width of a ribbon in straps, at least: of thinner ones a plait is a row of dashes."""

_BULGE = 0.1
"""How far the outermost strand of a corner reaches past a quarter circle on the diagonal, over its radius."""

_OPEN = 1.12
"""From ribbon to ribbon where a crossing is broken, in ribbons and straps: a little more than they need."""


@dataclass(frozen=True, slots=True)
class Broken(Strands):
    """Centre lines of strands, two of which turn back from each other in the middle of every repeat.

    Attributes
    ----------
    apart : float
        How near they come to each other there, mm.
    """

    apart: float = 0.0

    def along(self, start: float, end: float, strand: int) -> Points:
        """Return points of a strand; which one it is is told by where it is at x = 0."""
        step = self.repeat / 48
        right = self._from_zero(np.arange(0, max(end, 0) + step / 2, step))
        left = self._from_zero(np.arange(0, min(start, 0) - step / 2, -step))
        whole = np.vstack([left[strand, :0:-1], right[strand]])
        kept = (whole[:, 0] >= start - step / 4) & (whole[:, 0] <= end + step / 4)
        line: Points = whole[kept]
        return line

    def round_corner(self, reach: float) -> list[LineString]:
        """Return all strands about a corner, as strands are; four run on in their plait.

        It turns about the inner corner while the strands go on by one place.
        """
        if self.count == 2:
            return Strands.round_corner(self, reach)
        lines = []
        for k in range(self.count):
            before, after = self.along(-reach, 0.0, k), self.along(0.0, reach, (k + 1) % self.count)
            bend = self._bend(before, after)
            lines.append(LineString(np.vstack([before, bend[1:-1], after[:, ::-1] * (1, -1)])))
        return lines

    def _bend(self, before: Points, after: Points) -> Points:
        """Return a strand in a corner block: its height by its angle, as steep at the ends as beside."""
        (start, end), around = (before[-1, 1], after[0, 1]), math.pi / 2
        lean = [float(np.divide(*np.diff(two, axis=0)[0, ::-1])) for two in (before[-2:], after[:2])]
        first, last = lean[0] * start * around, lean[1] * end * around
        # a cubic, but for the outermost, which would rise past the wall
        middle = min((start + end) / 2 + (first - last) / 8, self.high)
        slope = 1.5 * (end - start) - (first + last) / 4
        share = np.linspace(0, 1, 33)
        height = CubicHermiteSpline([0, 0.5, 1], [start, middle, end], [first, slope, last])(share)
        far = height * (1 + _BULGE * (height / self.high) ** 2 * np.sin(2 * around * share) ** 2)
        bend: Points = far[:, None] * np.column_stack([np.sin(around * share), np.cos(around * share)])
        return bend

    def _from_zero(self, x: Points) -> Points:
        """Return all strands at distances that go on from 0, shape (strands, distances, 2)."""
        heights = np.array([self.height(x, k) for k in range(self.count)])
        every = _EVERY[self.count] * self.repeat
        middle = (self.low + self.high) / 2
        for number in range(int(np.abs(x).max() / every + 0.5) if len(x) else 0):
            at = (number + 0.5) * every * (1 if x[-1] > 0 else -1)
            here = int(np.argmin(np.abs(x - at)))
            i, j = np.argsort(np.abs(heights[:, here] - middle))[:2]
            heights[[i, j]] = self._turned_back(heights[i], heights[j], x - at)
        return np.stack([np.broadcast_to(x, heights.shape), heights], axis=-1)

    def _turned_back(self, one: Points, other: Points, off: Points) -> Points:
        """Return two strands that cross where `off` is 0, each turned back there on the side it came from."""
        half = self.repeat / 2
        fade = np.clip(1 - (off / half) ** 2, 0, None) ** 2
        away = np.sign(one - other) * np.sqrt((one - other) ** 2 + self.apart**2 * fade)
        away = np.where(away == 0, self.apart, away)
        middle = (one + other) / 2
        came = np.sign((one - other)[np.argmax(np.abs(off) < 0.9 * half)])
        kept = came * np.abs(away)
        near_or_past = np.abs(off) < half
        past = ~near_or_past & (np.sign(off) == np.sign(off[-1]))
        first = np.where(near_or_past, middle + kept / 2, np.where(past, other, one))
        second = np.where(near_or_past, middle - kept / 2, np.where(past, one, other))
        return np.array([first, second])


@dataclass(frozen=True, slots=True)
class Knot(Guilloche):
    """White ribbons in a plait with breaks, over and under by turns; lengths in mm."""

    strands: int = 4

    @classmethod
    def of_most_strands(cls, height: float, strap: float, smallest: float) -> Knot:
        """Return one of 4 strands, or of 2 where those would be thinner than what parts them."""
        four = cls(height, strap, smallest, 4)
        stout = four.least_height <= height and four.ribbon >= _STOUT * strap
        return four if stout else cls(height, strap, smallest, 2)

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        least = 2.1 * self.smallest
        return 2 * least + self.strap if self.strands == 2 else least + 3.75 * (least + self.strap)

    @property
    def ribbon(self) -> float:
        """Return the width of a ribbon."""
        if self.strands == 2:
            return max(2.1 * self.smallest, (self.height - 2 * self.strap) / 3.9)
        return max(2.1 * self.smallest, (self.height - 3.75 * self.strap) / 5.4)

    @property
    def natural(self) -> float:
        """Return the repeat, from break to break, at which loops are about round."""
        return _EVERY[self.strands] * max(
            _PITCH[self.strands] * (self.height - self.ribbon), 2.2 * (self.ribbon + self.strap)
        )

    def _lines(self, repeat: float) -> Broken:
        q = self.ribbon
        return Broken(
            self.strands, q / 2, self.height - q / 2, repeat / _EVERY[self.strands], False,
            _OPEN * (q + self.strap),
        )  # fmt: skip
