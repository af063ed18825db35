"""Ropes, guilloches and interlaced bands, drawn flat."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._running.openings import openings_from
from canivet.motifs.shapes.rounds import inscribed_about

from .crossings import Crossing, crossings_of
from .strands import Strands

__all__ = ["Guilloche", "Interlace"]

_STRAND_OF_TWO, _STRAND = 0.19, 0.4
"""Width of a strand over height, of two and, shared among them, of more: broad enough to lie on top."""

_GAP = 0.1
"""White on either side of the upper strand over height: a slit, not a window."""

_WOVEN = 1.3
"""Of the least height, from which strands pass under each other; in a narrower band they are joined."""

_TOUCH = 0.01
"""mm further from a rail than it should that a strand still touches it."""

_CRUMB = 0.45
"""Of the area of its like on a straight side, under which an opening at a corner stays closed."""


@dataclass(frozen=True, slots=True)
class Interlace:
    """Strands of paper that pass over and under each other between the rails; lengths in mm."""

    height: float
    strap: float
    smallest: float
    strands: int = 2
    angular: bool = False

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return self.strands * (self.strap + 2 * self.smallest) / 1.8

    @property
    def width(self) -> float:
        """Return the width of a strand."""
        return max(
            self.strap, (_STRAND_OF_TWO if self.strands == 2 else _STRAND / self.strands) * self.height
        )

    @property
    def gap(self) -> float:
        """Return how far a strand that goes under stops short of the one above it."""
        return max(1.5 * self.smallest, _GAP * self.height)

    @property
    def natural(self) -> float:
        """Return the repeat at which openings are about as wide as high."""
        return max(1.08 * self.shortest, self.height * (2.0 if self.angular else 2.5) / self.strands)

    @property
    def shortest(self) -> float:
        """Return the repeat at which the openings between four crossings can just be cut."""
        apart = 1.02 * (self.width + 2 * self.smallest)
        return apart / math.sqrt(max(1e-3, 1 - (self.strands * apart / 2 / self.height) ** 2))

    @property
    def woven(self) -> bool:
        """Say whether strands stop short of those they go under.

        Of four and more the places where one may be cut off lie too near the rails to be seen; in a narrow
        band there is no room for them.
        """
        return self.strands <= 3 and self.height >= _WOVEN * self.least_height

    @property
    def _edge(self) -> float:
        """Return how far from a rail the middle of a strand turns."""
        return 0.25 * self.width if self.woven else 0.0

    def _lines(self, repeat: float) -> Strands:
        return Strands(self.strands, self._edge, self.height - self._edge, repeat, self.angular)

    def bay(self, repeat: float) -> list[Polygon]:
        """Return the openings of one repeat."""
        strip = box(-3 * repeat, 0, 4 * repeat, self.height)
        whole = self._openings(self._lines(repeat).lines(-5 * repeat, 6 * repeat), strip)
        return [o for o in whole if 0 <= o.centroid.x + 0.01 * repeat < repeat]

    def beside_corner(self, _repeat: float, /) -> int:
        """Return how many repeats beside a corner are drawn with it: the bend is felt by the first."""
        return 1

    def corner(self, repeat: float) -> list[Polygon]:
        """Return the openings of a corner."""
        d, reach = self.height, 4 * repeat
        bend = shapely.union_all([box(-reach, 0, d, d), box(0, -reach, d, d)])
        whole = self._openings(self._lines(repeat).round_corner(reach + 2 * repeat), bend)
        return [o for o in whole if min(o.centroid.x, o.centroid.y) > -1.25 * repeat]

    def _openings(self, lines: list[LineString], region: BaseGeometry) -> list[Polygon]:
        join = "mitre" if self.angular else "round"
        strands = [line.buffer(self.width / 2, join_style=join, quad_segs=12) for line in lines]
        for crossing in crossings_of(lines) if self.woven else []:
            gap = self._gap(crossing, lines[crossing.over], region)
            strands[crossing.under] = strands[crossing.under].difference(gap)
        cells = [p for p in shapely.get_parts(region.difference(shapely.union_all(strands))) if p.area > 0]
        # rounder corners would close the gaps
        share = min(0.3, 0.4 * self.gap / max(map(inscribed_about, cells))) if self.woven else 0.3
        return openings_from(cells, share=share, strap=self.strap, smallest=self.smallest)

    def _gap(self, crossing: Crossing, over: LineString, region: BaseGeometry) -> BaseGeometry:
        """Return what is taken from a strand where it goes under another.

        Of two strands every stretch between two crossings touches a rail, and may be free at the end that
        goes under. Of three it is cut off on its way to a rail only, or the window would fall out.
        """
        reach = min(2.4 * (self.width + self.gap), 0.6 * crossing.clear)
        near = over.intersection(crossing.at.buffer(reach))
        gap = near.buffer(self.width / 2 + self.gap, cap_style="flat", quad_segs=12)
        if self.strands == 2:
            return gap
        rails = region.boundary
        arms = [arm for arm in crossing.arms if arm.distance(rails) < self._edge + _TOUCH]
        return shapely.union_all([gap.intersection(arm.buffer(self.width, cap_style="flat")) for arm in arms])


@dataclass(frozen=True, slots=True)
class Guilloche:
    """White ribbons that pass over and under each other round eyes; lengths in mm."""

    height: float
    strap: float
    smallest: float
    strands: int = 2
    soft: float = 0.45

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 2 * self.ribbon + self.strap if self.strands == 2 else 3 * self.ribbon + 2 * self.strap

    @property
    def ribbon(self) -> float:
        """Return the width of a ribbon."""
        share = 3.9 if self.strands == 2 else 6.5
        return max(2.1 * self.smallest, (self.height - 2 * self.strap) / share)

    @property
    def natural(self) -> float:
        """Return the repeat at which eyes are about round."""
        q, w, d = self.ribbon, self.strap, self.height
        return max(1.35 * (d - q), 2.5 * (q + w)) if self.strands == 2 else max(1.05 * (d - q), 2.0 * (q + w))

    @property
    def shortest(self) -> float:
        """Return the repeat whose ribbons can just be told apart."""
        return 0.62 * self.natural

    def _lines(self, repeat: float) -> Strands:
        q = self.ribbon
        return Strands(self.strands, q / 2, self.height - q / 2, repeat, angular=False)

    def bay(self, repeat: float) -> list[Polygon]:
        """Return ribbons, eyes and spandrels of one repeat."""
        strip = box(-3 * repeat, 0, 4 * repeat, self.height)
        whole = self._openings(self._lines(repeat).lines(-4 * repeat, 5 * repeat), strip)
        return [o for o in whole if 0 <= o.centroid.x + 0.01 * repeat < repeat]

    def beside_corner(self, _repeat: float, /) -> int:
        """Return how many repeats beside a corner are drawn with it: the bend is felt by the first."""
        return 1

    def corner(self, repeat: float) -> list[Polygon]:
        """Return ribbons, eyes and spandrels of a corner."""
        d, reach = self.height, 4 * repeat
        bend = shapely.union_all([box(-reach, 0, d, d), box(0, -reach, d, d)])
        whole = self._openings(self._lines(repeat).round_corner(reach + repeat), bend)
        crumb = _CRUMB * min(shape.area for shape in self.bay(repeat))
        near = -(self.beside_corner(repeat) + 0.25) * repeat
        return [o for o in whole if min(o.centroid.x, o.centroid.y) > near and o.area > crumb]

    def _openings(self, lines: list[LineString], region: BaseGeometry) -> list[Polygon]:
        q, w = self.ribbon, self.strap
        ribbons = [line.buffer(q / 2, cap_style="flat", quad_segs=12) for line in lines]
        broad = shapely.union_all([line.buffer(q / 2 + w, quad_segs=12) for line in lines])
        for crossing in crossings_of(lines):
            reach = min(2.4 * (q + w), 0.6 * crossing.clear)
            near = lines[crossing.over].intersection(crossing.at.buffer(reach))
            gap = near.buffer(q / 2 + w, cap_style="flat", quad_segs=12)
            ribbons[crossing.under] = ribbons[crossing.under].difference(gap)
        parts = [*ribbons, region.difference(broad)]
        cells = [p for part in parts for p in shapely.get_parts(part.intersection(region)) if p.area > 0]
        return openings_from(cells, share=self.soft, strap=w, smallest=self.smallest)
