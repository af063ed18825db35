"""A chain of dark lozenges, each pierced by a light one, whole or quartered."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits

from .areas import both, box, rhomb, stroke

__all__ = ["Lozenges"]

_LONG = 1.5
"""Lozenge over height: a little longer than high runs along the band; twice as long looks pressed flat."""

_LONGEST = 2.0
"""The same, at most: past this the chain goes slack."""

_LINE = 0.1
"""Paper between lozenges over height: the chain is the strongest line of a wide band."""

_DARK = 0.15
"""Paper of a dark lozenge round its heart over height: broader than the chain, or it is a wire too."""

_HEART = 1.3
"""Radius of a heart in smallest openings, at least: the paper round it gives way first."""

_QUARTER = 2.2
"""Radius of a quarter of a heart in smallest openings, at least: smaller quarters are pin-pricks."""


class Lozenges(Ornament):
    """A chain of dark lozenges point to point round every corner, a light heart in each."""

    what = "a chain of lozenges"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of a lozenge that can just be cut."""
        return self.strap + 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat that suits its height."""
        return max(_LONG * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of a lozenge that can just be cut."""
        return 1.5 * self.strap + 3.4 * self.smallest

    @property
    def longest(self) -> float:
        """Return the repeat of a lozenge as long as looks well."""
        return max(_LONGEST * self.height, 1.6 * self.shortest)

    @property
    def over(self) -> float:
        """Return where the last lozenge ends: its point meets that of the square in the corner."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return what is cut of a lozenge."""
        return self.cut(self._heart(self._lozenge(repeat / 2)))

    def post(self, repeat: float) -> list[Points]:
        """Return the triangles above and below the points of two lozenges."""
        return self.cut(self._beside(repeat))

    def corner(self, repeat: float) -> list[Points]:
        """Return a square on its point, nested as the lozenges are, and the triangles about it."""
        middle, h = self.height / 2, self.height
        square = rhomb(middle, middle, middle, middle)
        beside = translate(self._lozenge(repeat / 2), -repeat / 2)
        taken = shapely.union_all(
            [shape.buffer(self._line / 2, join_style="mitre") for shape in (square, both(beside))]
        )
        free = box(-repeat / 2, 0, h, h).union(box(0, -repeat / 2, h, h)).difference(taken)
        return self.cut_corner(self._heart(square)) + self.cut_corner(free)

    def _heart(self, whole: Polygon) -> BaseGeometry:
        """Return what is cut of a lozenge."""
        low_x, low_y, high_x, high_y = whole.bounds
        (x, y), (wide, tall) = (
            ((low_x + high_x) / 2, (low_y + high_y) / 2),
            ((high_x - low_x) / 2, (high_y - low_y) / 2),
        )
        room = wide * tall / math.hypot(wide, tall) - _HEART * self.smallest
        dark = max(self._line / 2, min(max(self.strap, _DARK * self.height), room))
        white = whole.buffer(-dark, join_style="mitre")
        bars = [
            stroke([(x - wide, y + turn * tall), (x + wide, y - turn * tall)], self.strap) for turn in (-1, 1)
        ]
        quarters = white.difference(shapely.union_all(bars))
        return quarters if fits(quarters, _QUARTER * self.smallest) else white

    @property
    def _line(self) -> float:
        return max(self.strap, _LINE * self.height)

    def _lozenge(self, half: float) -> Polygon:
        middle = self.height / 2
        return rhomb(0, middle, half, middle)

    def _beside(self, repeat: float) -> BaseGeometry:
        beside = [translate(self._lozenge(repeat / 2), x) for x in (-repeat / 2, repeat / 2)]
        taken = shapely.union_all([one.buffer(self._line / 2, join_style="mitre") for one in beside])
        return box(-repeat / 2, 0, repeat / 2, self.height).difference(taken)
