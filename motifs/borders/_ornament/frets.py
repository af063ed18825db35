"""The interlocked fret: two hooked channels that hold each other, and nested angles in the corners."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import box

__all__ = ["Fret"]


class Fret(Ornament):
    """Pairs of hooks, one the other turned half round, with a wall between the pairs."""

    what = "a pair of hooks"
    faced = True
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height at which two rows of channel can just be cut."""
        return self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose channels are alike both ways."""
        return self._columns() * (self._channel() + self._arm()) * 0.92

    @property
    def shortest(self) -> float:
        """Return the repeat whose channels can just be cut."""
        return 2 * self.strap + 4.6 * self.smallest

    @property
    def longest(self) -> float:
        """Return the repeat whose arms are as long as an arm may hang."""
        return max(14 * self._arm(), 1.2 * self.natural, 15.0)

    def bay(self, repeat: float) -> list[Points]:
        """Return two hooks."""
        g, h = self._channel(), self.height
        a = min(self._arm(), max(self.strap, (repeat - 4.6 * self.smallest) / 2))
        half = (repeat - a) / 2
        gap = max(2 * self.smallest, (2 * half - (self._columns() - 1) * a) / self._columns())
        if self._rows() == 2:
            end = half - gap - a
            hook = [(-half, 0), (gap - half, 0), (gap - half, h - g), (end, h - g), (end, h), (-half, h)]
        else:
            low, high, right = h - 2 * g - self._arm(), h - g - self._arm(), half - gap
            hook = [
                (-half, h - g), (right, h - g), (right, high), (a / 2, high), (a / 2, low), (half, low),
                (half, h), (-half, h),
            ]  # fmt: skip
        ring = np.array(hook)
        return [ring, (0, h) - ring]

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return angles nested in the corner, and a square within them."""
        g, a = self._channel(), self._arm()
        area: BaseGeometry = box(0, 0, 0, 0)
        size = self.height
        while size > 2 * g + a - 1e-9:
            area = area.union(box(0, 0, size, size).difference(box(0, 0, size - g, size - g)))
            size -= g + a
        return self.cut_corner(shapely.union_all([area, box(0, 0, size, size)]))

    def _rows(self) -> int:
        three = (self.height - 2 * self.strap) / 3
        return 3 if three >= max(2 * self.smallest, 0.6 * self.strap) else 2

    def _columns(self) -> int:
        return 4 if self._rows() == 3 else 3

    def _arm(self) -> float:
        rows = self._rows()
        return max(self.strap, 0.75 * self.height / (rows + 0.75 * (rows - 1)))

    def _channel(self) -> float:
        rows = self._rows()
        return (self.height - (rows - 1) * self._arm()) / rows
