"""A chain of lozenges, each with a dark one in it."""

from __future__ import annotations

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits

from .areas import Cut, box, polygon

__all__ = ["Lozenges"]

_LONG = 1.5
"""Lozenge over height: a little longer than high runs along the band; twice as long looks pressed flat."""

_LONGEST = 2.0
"""The same, at most: past this the chain goes slack."""

_LINE = 0.1
"""Paper between lozenges over height: the chain is the strongest line of a wide band."""

_DARK = 0.16
"""Paper of the dark lozenge round its heart over height: broader than the chain, or it is a wire too."""

_CHANNEL = 0.15
"""White round the dark lozenge over height: about as wide as the strap round it."""


class Lozenges(Ornament):
    """A chain of lozenges point to point, a dark lozenge with a light heart in each, triangles beside."""

    what = "a chain of lozenges"

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

    def bay(self, repeat: float) -> list[Points]:
        """Return what is cut of a lozenge."""
        tie = box(-self.strap / 2, 0, self.strap / 2, self.height)
        return self._cut_nested(self._lozenge(repeat / 2), tie, self.cut)

    def post(self, repeat: float) -> list[Points]:
        """Return the triangles above and below the points of two lozenges."""
        return self.cut(self._beside(repeat))

    def end(self, repeat: float) -> list[Points]:
        """Return the triangles above and below the point of the last lozenge."""
        half = self._beside(repeat).intersection(box(-repeat, 0, -self.strap / 2, self.height))
        return [
            shapely.get_coordinates(part.exterior)[:-1]
            for part in shapely.get_parts(half)
            if part.area > 0 and fits(part, self.smallest)
        ]

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a square set on its point, nested as the lozenges are, with a triangle in each corner."""
        middle, h = self.height / 2, self.height
        square = polygon((0, middle), (middle, 0), (h, middle), (middle, h))
        rest = box(0, 0, h, h).difference(square.buffer(self._line / 2, join_style="mitre"))
        half = self.strap / 2
        ties = box(0, middle - half, h, middle + half).union(box(middle - half, 0, middle + half, h))
        return self._cut_nested(square, ties, self.cut_corner) + self.cut_corner(rest)

    def _cut_nested(self, whole: BaseGeometry, ties: BaseGeometry, cut: Cut) -> list[Points]:
        """Return what is cut of a lozenge: a channel parted by ties round a dark one, and its heart."""
        white = whole.buffer(-self._line / 2, join_style="mitre")
        channel = max(2.1 * self.smallest, _CHANNEL * self.height)
        dark = white.buffer(-channel, join_style="mitre")
        if not fits(dark, self.strap / 2):
            return cut(white)
        heart = dark.buffer(-max(self.strap, _DARK * self.height), join_style="mitre")
        return cut(white.difference(dark.union(ties))) + (cut(heart) if fits(heart, self.smallest) else [])

    @property
    def _line(self) -> float:
        return max(self.strap, _LINE * self.height)

    def _lozenge(self, half: float) -> Polygon:
        middle = self.height / 2
        return polygon((-half, middle), (0, 0), (half, middle), (0, self.height))

    def _beside(self, repeat: float) -> BaseGeometry:
        beside = [translate(self._lozenge(repeat / 2), x) for x in (-repeat / 2, repeat / 2)]
        taken = shapely.union_all([one.buffer(self._line / 2, join_style="mitre") for one in beside])
        return box(-repeat / 2, 0, repeat / 2, self.height).difference(taken)
