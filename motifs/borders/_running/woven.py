"""Ropes, guilloches and interlaced bands, drawn flat."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from .openings import openings_from
from .strands import Strands

__all__ = ["Interlace"]


@dataclass(frozen=True, slots=True)
class Interlace:
    """Strands of paper that cross between the rails; lengths in mm."""

    height: float
    strap: float
    smallest: float
    strands: int = 3
    angular: bool = False
    soft: float = 0.3
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return self.strands * (self.strap + 2 * self.smallest) / 1.8

    @property
    def width(self) -> float:
        """Return the width of a strand."""
        return max(self.strap, 0.3 * self.height / self.strands)

    @property
    def natural(self) -> float:
        """Return the repeat at which openings are about as wide as high."""
        return max(1.08 * self.shortest, self.height * (2.0 if self.angular else 2.5) / self.strands)

    @property
    def shortest(self) -> float:
        """Return the repeat at which the openings between four crossings can just be cut."""
        apart = 1.02 * (self.width + 2 * self.smallest)
        return apart / math.sqrt(max(1e-3, 1 - (self.strands * apart / 2 / self.height) ** 2))

    @classmethod
    def of_most_strands(cls, height: float, strap: float, smallest: float, *, angular: bool) -> Interlace:
        """Return one of 3 strands, or of 2 where the band does not take three."""
        three = cls(height, strap, smallest, 3, angular)
        return three if three.least_height <= height else replace(three, strands=2)

    def _paper(self, lines: list[LineString]) -> BaseGeometry:
        join = "mitre" if self.angular else "round"
        return shapely.union_all(
            [line.buffer(self.width / 2, join_style=join, quad_segs=12) for line in lines]
        )

    def _lines(self, repeat: float) -> Strands:
        return Strands(self.strands, 0.0, self.height, repeat, self.angular)

    def arm(self, repeat: float, count: int, _ring: bool, /) -> BaseGeometry:
        """Return the strands on one half of a side."""
        return self._paper(self._lines(repeat).lines(-repeat, repeat * (count + 1)))

    def corner(self, repeat: float, /) -> BaseGeometry:
        """Return the strands in a corner."""
        d = self.height
        return self._paper(self._lines(repeat).round_corner(repeat)).intersection(box(0, 0, d, d))


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
        whole = self._openings(self._lines(repeat).lines(-4 * repeat, 5 * repeat), strip, bent=False)
        return [o for o in whole if 0 <= o.centroid.x + 0.01 * repeat < repeat]

    def beside_corner(self, _repeat: float, /) -> int:
        """Return how many repeats beside a corner are drawn with it: the bend is felt by the first."""
        return 1

    def corner(self, repeat: float) -> list[Polygon]:
        """Return ribbons, eyes and spandrels of a corner."""
        d, reach = self.height, 4 * repeat
        bend = shapely.union_all([box(-reach, 0, d, d), box(0, -reach, d, d)])
        whole = self._openings(self._lines(repeat).round_corner(reach + repeat), bend, bent=True)
        return [
            o
            for o in whole
            if min(o.centroid.x, o.centroid.y) > -(self.beside_corner(repeat) + 0.25) * repeat
        ]

    def _openings(self, lines: list[LineString], region: BaseGeometry, *, bent: bool) -> list[Polygon]:
        q, w = self.ribbon, self.strap
        ribbons = [line.buffer(q / 2, cap_style="flat", quad_segs=12) for line in lines]
        broad = shapely.union_all([line.buffer(q / 2 + w, quad_segs=12) for line in lines])
        gaps: list[list[BaseGeometry]] = [[] for _ in lines]
        for i, j in combinations(range(len(lines)), 2):
            points = shapely.get_parts(lines[i].intersection(lines[j]))
            apart = shapely.distance(points[:, None], points) + 1e9 * np.eye(len(points))
            for point, clear in zip(
                points, apart.min(axis=1) if len(points) > 1 else [1e9] * len(points), strict=True
            ):
                over, under = (i, j) if self._goes_over(lines[i], lines[j], point, bent) else (j, i)
                near = lines[over].intersection(point.buffer(min(2.4 * (q + w), 0.6 * clear)))
                gaps[under].append(near.buffer(q / 2 + w, cap_style="flat", quad_segs=12))
        white = [ribbon.difference(shapely.union_all(gap)) for ribbon, gap in zip(ribbons, gaps, strict=True)]
        parts = [*white, region.difference(broad)]
        cells = [p for part in parts for p in shapely.get_parts(part.intersection(region))]
        return openings_from(cells, share=self.soft, strap=w, smallest=self.smallest)

    def _goes_over(self, one: LineString, other: LineString, point: Point, bent: bool) -> bool:
        """Say which goes over: the rising one in the lower row of crossings, the falling one in the next."""
        if self.strands == 3 and (max(point.x, point.y) if bent else point.y) > self.height / 2:
            one, other = other, one
        return self._climb(one, point, bent) > self._climb(other, point, bent)

    @staticmethod
    def _climb(line: LineString, point: Point, bent: bool) -> float:
        """Return how steeply a line goes outward where it passes a point, going round clockwise."""
        at = line.project(point)
        a, b = (line.interpolate(at + step) for step in (-0.05, 0.05))
        du, dv = b.x - a.x, b.y - a.y
        if bent and point.x > point.y:
            du, dv = -dv, du
        return math.atan2(dv, du)
