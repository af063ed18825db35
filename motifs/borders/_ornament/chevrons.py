"""Zigzags: a ribbon of straight lines that climbs and falls between white triangles and pierced dark ones."""

from __future__ import annotations

import math
from typing import TypeAlias

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import Cut, box, circle, hung, polygon, worth_ring

__all__ = ["Zigzag"]

_LINE = 0.14
"""Width of the ribbon over height: in a wide band a strap would be a wire."""

_STOUT = 1.44
"""The same in straps, at least: so stout that the triangles of two runs part at an inner corner."""

_CHANNEL = 0.17
"""White between the ribbon and a dark triangle over height."""

_PIERCED = 0.62
"""Radius of what pierces a dark triangle over that of its largest circle."""

_FILLED = 1.15
"""The same where the dark triangle fills all that is over a valley: lobes reach into its corners."""

_ROUNDED = 0.75
"""The same in a corner: a larger foil would run its four lobes into the rim."""

_WORTH = 1.3
"""The same in smallest openings, at least, where the dark triangle stands in a white one."""

_FOIL = 2.0
"""Radius in smallest openings from which a round is a trefoil, or a quatrefoil in a corner."""

_LOBE = 0.54
"""Radius of a lobe over that of its foil."""

Round: TypeAlias = tuple[float, float, float]
"""Middle and radius of a circle, mm."""


class Zigzag(Ornament):
    """A ribbon that climbs and falls, white triangles under it, dark ones over it with a foil in each."""

    what = "a zigzag"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of triangles that can just be cut, as steep as the shortest repeat makes them."""
        return 1.5 * self.strap + 3.6 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a zigzag that climbs at a little over half a right angle."""
        return max(1.4 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose triangles can just be cut, and no steeper than the eye follows."""
        return max(2.4 * self.strap + 4.4 * self.smallest, 0.5 * self.height)

    @property
    def over(self) -> float:
        """Return where the last valley lies: on the inner corner itself."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return the triangle under a peak."""
        return self.cut(hung(self._triangles(repeat)[0], self.height))

    def post(self, repeat: float) -> list[Points]:
        """Return what is cut of the triangle over a valley: a chevron along the ribbon, and a foil."""
        shapes = self._triangles(repeat)
        rounds = [_largest_round(shape) for shape in shapes]
        if self._nests(repeat):
            return self._cut_nested(shapes, rounds[1], 3, self.cut)
        return self._cut_filled(shapes[0], rounds[0], 3, _FILLED, self.cut)

    def end(self, repeat: float) -> list[Points]:
        """Return half a triangle, whole in itself."""
        half = self._triangles(repeat)[0].intersection(box(-repeat, 0, -self.strap / 2, self.height))
        return worth_ring(half, self.smallest, 0.0)

    def corner(self, repeat: float) -> list[Points]:
        """Return a chevron mitred about the diagonal, and a foil in the dark kite that it encloses."""
        slope, steep = self._slope(repeat)
        kites, rounds = [], []
        for off in self._offs:
            tip, far = off * steep / (1 + slope), (off * steep - self.height) / slope
            kites.append(polygon((tip, tip), (self.height, far), (self.height,) * 2, (far, self.height)))
            middle = (self.height + off) * steep / (1 + slope + steep)
            rounds.append((middle, middle, self.height - middle))
        if self._nests(repeat):
            return self._cut_nested(kites, rounds[1], 4, self.cut_corner)
        return self._cut_filled(kites[0], rounds[0], 4, _ROUNDED, self.cut_corner)

    def _triangles(self, repeat: float) -> list[Polygon]:
        """Return the triangle over a valley, and the dark one in it."""
        return [self._triangle(repeat, off) for off in self._offs]

    def _triangle(self, repeat: float, off: float) -> Polygon:
        """Return the triangle over a valley, so far off the middle of the ribbon."""
        slope, steep = self._slope(repeat)
        tip = off * steep
        half = (self.height - tip) / slope
        return polygon((0, tip), (half, self.height), (-half, self.height)) if half > 0 else Polygon()

    def _cut_nested(self, shapes: list[Polygon], within: Round, lobes: int, cut: Cut) -> list[Points]:
        """Return the white round the dark one in it, and a foil in that."""
        (white, dark), (x, y, radius) = shapes, within
        foil = self._foil(x, y, min(_PIERCED * radius, radius - self.strap), lobes)
        return cut(white.difference(dark)) + cut(foil)

    def _cut_filled(self, white: Polygon, within: Round, lobes: int, share: float, cut: Cut) -> list[Points]:
        """Return a foil that fills a white shape, or the shape itself where that cannot be cut."""
        x, y, radius = within
        return cut(self._foil(x, y, share * radius, lobes).intersection(white)) or cut(white)

    def _nests(self, repeat: float) -> bool:
        """Say whether a dark triangle stands in a white one: whether there is room to pierce it."""
        _, _, radius = _largest_round(self._triangles(repeat)[1])
        return min(_PIERCED * radius, radius - self.strap) >= _WORTH * self.smallest

    def _foil(self, x: float, y: float, radius: float, lobes: int) -> BaseGeometry:
        """Return a foil with one lobe towards the inner rail, or a round where lobes would be lost."""
        if radius < _FOIL * self.smallest:
            return circle(x, y, radius)
        lobe = _LOBE * radius
        turns = [math.atan2(-y, -x) + 2 * math.pi * k / lobes for k in range(lobes)]
        away = radius - lobe
        return shapely.union_all(
            [circle(x + away * math.cos(turn), y + away * math.sin(turn), lobe) for turn in turns]
        )

    def _slope(self, repeat: float) -> tuple[float, float]:
        """Return how steeply the ribbon climbs, and how much taller it is upright than across."""
        slope = 2 * self.height / repeat
        return slope, math.hypot(1, slope)

    @property
    def _offs(self) -> tuple[float, float]:
        """Return how far off the middle of the ribbon a white triangle begins, and the dark one in it."""
        return self._line / 2, self._line / 2 + self._channel

    @property
    def _line(self) -> float:
        return max(_STOUT * self.strap, _LINE * self.height)

    @property
    def _channel(self) -> float:
        return max(2.1 * self.smallest, _CHANNEL * self.height)


def _largest_round(triangle: Polygon) -> Round:
    """Return the largest circle in a triangle on its point: its middle and its radius."""
    if triangle.is_empty:
        return 0.0, 0.0, 0.0
    low_x, low, high_x, high = triangle.bounds
    half, tall = (high_x - low_x) / 2, high - low
    radius = half * tall / (half + math.hypot(half, tall))
    return 0.0, high - radius, radius
