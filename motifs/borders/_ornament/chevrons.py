"""Zigzags: a ribbon of straight lines that climbs and falls."""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import box, polygon, stroke

__all__ = ["Zigzag"]


class Zigzag(Ornament):
    """A ribbon that climbs and falls, slit along its middle where it is wide, and triangles beside it."""

    what = "a zigzag"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of triangles that can just be cut, as steep as the shortest repeat makes them."""
        return 1.1 * self.strap + 3.3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a zigzag that climbs at a little over half a right angle."""
        return max(1.3 * self.height, 2.6 * self.strap + 5.2 * self.smallest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose triangles can just be cut, and no steeper than the eye follows."""
        return max(2 * self.strap + 3.6 * self.smallest, 0.36 * self.height)

    def slit(self) -> float:
        """Return the width of the slit, 0 where it would leave too little of the triangles."""
        wide = max(2 * self.smallest, 0.17 * self.height)
        return wide if 1.6 * (wide + 2 * self.strap) < 0.75 * self.height else 0.0

    def bay(self, repeat: float) -> list[Points]:
        """Return a triangle under each peak, and the two halves of the slit over it."""
        slit = self.slit()
        line = self._line(repeat, slit)
        area = box(-repeat / 2, 0, repeat / 2, self.height)
        parts = [self._under(repeat)]
        if slit:
            ties = [
                box(x - self.strap / 2, 0, x + self.strap / 2, self.height)
                for x in (-repeat / 2, 0, repeat / 2)
            ]
            parts.append(stroke(line, slit).intersection(area).difference(shapely.union_all(ties)))
        return [ring for part in parts for ring in self.cut(part)]

    def post(self, repeat: float) -> list[Points]:
        """Return the triangle over each valley."""
        return self.cut(shapely.transform(self._under(repeat), lambda p: p * (1, -1) + (0, self.height)))

    def corner(self, repeat: float) -> list[Points]:
        """Return two triangles over a leg that runs out along the mitre, and the slit of that leg."""
        slit = self.slit()
        foot, h = self._foot(repeat, slit), self.height
        at = self.over - self.strap
        legs = [[(at - repeat / 2, h - foot), (at, foot)], [(foot, at), (h - foot, at - repeat / 2)]]
        long = [_drawn_out(leg, repeat) for leg in (legs[0], legs[1][::-1])]
        mitre = [(0.0, 0.0), (2 * h, 2 * h)]
        wide = self._wide(slit)
        over = polygon(
            long[0][0], long[0][1], (0, 0), long[1][1], long[1][0], (h, -repeat), (h, h), (-repeat, h)
        )
        edge = at - repeat / 2 + self.strap / 2
        block = box(edge, edge, h, h)
        lines = [stroke(line, wide) for line in (*long, mitre)]
        parts = [over.buffer(0).intersection(block).difference(shapely.union_all(lines))]
        if slit:
            beside = shapely.union_all([stroke(line, slit) for line in long]).buffer(
                self.strap, join_style="mitre"
            )
            leg = stroke([(0, 0), (h - foot, h - foot)], slit).intersection(block)
            parts.append(leg.difference(beside))
        return [ring for part in parts for ring in self.cut_corner(part)]

    def _under(self, repeat: float) -> BaseGeometry:
        slit = self.slit()
        line = self._line(repeat, slit)
        low = polygon(*line, (line[-1][0], -self.height), (line[0][0], -self.height))
        return low.intersection(box(-repeat / 2, 0, repeat / 2, self.height)).difference(
            stroke(line, self._wide(slit))
        )

    def _wide(self, slit: float) -> float:
        return slit + 2 * self.strap if slit else max(self.strap, 0.2 * self.height)

    def _foot(self, repeat: float, slit: float) -> float:
        """Return how far the line's feet stand off, so that the slit just reaches the rail and the rim.

        The steeper the line, the taller the slit is across it; found by halving.
        """
        low, high = 0.0, self.height / 2
        for _ in range(40):
            foot = (low + high) / 2
            climb = 2 * (self.height - 2 * foot) / repeat
            reach = slit / 2 * math.hypot(1, climb) - self.strap / 2 * climb
            low, high = (foot, high) if reach > foot else (low, foot)
        return high

    def _line(self, repeat: float, slit: float) -> list[tuple[float, float]]:
        foot = self._foot(repeat, slit)
        peak = self.height - foot
        return [(-repeat, peak), (-repeat / 2, foot), (0, peak), (repeat / 2, foot), (repeat, peak)]


def _drawn_out(leg: list[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    (ax, ay), (bx, b_y) = leg
    scale = by / math.hypot(bx - ax, b_y - ay)
    return [
        (ax - (bx - ax) * scale, ay - (b_y - ay) * scale),
        (bx + (bx - ax) * scale, b_y + (b_y - ay) * scale),
    ]
