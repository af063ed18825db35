"""Arcades: pointed arches pierced like tracery, and round arches that cross each other."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import inscribed_radius

from .areas import box, circle, stretched

__all__ = ["CrossedArches", "PointedArches"]


class PointedArches(Ornament):
    """Pointed arches on the inner edge, each two lancets under a pierced head, and spandrels."""

    what = "a pointed arch"
    rounded = 0.35

    @property
    def least_height(self) -> float:
        """Return the height of a lancet that can just be cut."""
        return 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of an arch a little narrower than high."""
        return max(1.15 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of a single slender lancet."""
        return self.strap + 3 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return two lancets and the roundel over them, or one lancet where they would be too fine."""
        half, tall = (repeat - self.strap) / 2, self._tall(repeat)
        light = _pointed(0, half, tall)
        pair = self._lights(half, tall)
        if pair.is_empty:
            return self.cut(light)
        top = light.difference(pair.buffer(self.strap, quad_segs=48))
        top = top.intersection(box(-half, tall / 2, half, tall))
        return self.cut(pair) + self.cut(self._foil(top))

    def post(self, repeat: float) -> list[Points]:
        """Return the spandrel between two arches."""
        half, tall = (repeat - self.strap) / 2, self._tall(repeat)
        light = _pointed(0, half, tall).buffer(self.strap, quad_segs=48)
        sides = [translate(light, x) for x in (-repeat / 2, repeat / 2)]
        free = box(-repeat / 2, 0, repeat / 2, self.height).difference(shapely.union_all(sides))
        return self.cut(free, soft=0.35)

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a rose of four petals and the spandrels round it, or a plain roundel."""
        h, middle = self.height, self.height / 2
        disc = circle(middle, middle, middle)
        cross = box(0, middle - self.strap / 2, h, middle + self.strap / 2)
        cross = cross.union(box(middle - self.strap / 2, 0, middle + self.strap / 2, h))
        rest = box(0, 0, h, h).difference(circle(middle, middle, middle + self.strap))
        petals = self.cut_corner(disc.difference(cross), soft=0.5)
        return (petals or self.cut_corner(disc)) + self.cut_corner(rest, soft=0.3)

    def _tall(self, repeat: float) -> float:
        """Return the height of an arch; never flatter than its own half width and a little."""
        return self.height if repeat > 0 else 0.0

    def _lights(self, half: float, tall: float) -> BaseGeometry:
        """Return two lancets under an arch, empty where they would be too narrow."""
        narrow = (half - self.strap / 2) / 2
        if narrow < max(1.1 * self.smallest, 0.75 * self.strap) or tall < 4 * narrow:
            return circle(0, 0, 0)
        x = (half + self.strap / 2) / 2
        low = tall - 0.95 * half
        return shapely.union_all([_pointed(sign * x, narrow, low) for sign in (-1, 1)])

    def _foil(self, area: BaseGeometry) -> BaseGeometry:
        return area if inscribed_radius(area) >= self.smallest else circle(0, 0, 0)


class CrossedArches(Ornament):
    """Round arches, each of which spans two bays, so that they cross and make pointed ones between them."""

    what = "a crossed arch"
    rounded = 0.2

    @property
    def least_height(self) -> float:
        """Return the height of a pointed opening that can just be cut."""
        return 1.1 * self.strap + 3.3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat at which the arches are round."""
        return max(self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose pointed openings can just be cut."""
        return 2 * self.strap + 2 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the pointed opening between two columns, and what two arches leave at the rim."""
        return [r for part in self._parts(repeat, 0.0) for r in self.cut(part, soft=0.2)]

    def post(self, repeat: float) -> list[Points]:
        """Return the opening under the crown of an arch."""
        return [r for part in self._parts(repeat, repeat / 2) for r in self.cut(part, soft=0.2)]

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a leaf along the mitre where two quarter rounds cross, and what they leave beside it."""
        h, wall = self.height, self.strap
        area = box(0, 0, h, h)
        arcs = [circle(x, y, h).difference(circle(x, y, h - wall)) for x, y in ((h, 0.0), (0.0, h))]
        return self.cut_corner(area.difference(shapely.union_all(arcs)), soft=0.2)

    def _parts(self, repeat: float, x: float) -> list[BaseGeometry]:
        """Return the openings that lie about a line, moved there."""
        area = box(-repeat * 1.5, 0, repeat * 1.5, self.height).difference(self._arches(repeat))
        line = box(x - 1e-4, 0, x + 1e-4, self.height)
        found = [
            part
            for part in shapely.get_parts(area)
            if part.intersects(line) and abs(part.centroid.x - x) < 0.2 * repeat
        ]
        return [translate(part, -x) for part in found]

    def _arches(self, repeat: float) -> BaseGeometry:
        """Return the paper of the arches: ellipses drawn along their middle, the crowns lost in the rim."""
        middle = stretched(repeat, self.height + self.strap / 2).exterior.buffer(self.strap / 2, quad_segs=16)
        return shapely.union_all([translate(middle, (k + 0.5) * repeat) for k in range(-2, 2)])


def _pointed(x: float, half: float, tall: float) -> BaseGeometry:
    """Return a pointed light: upright sides under two arcs of its own width, lower where there is no room."""
    head = min(math.sqrt(3) * half, 0.95 * tall)
    radius = (half * half + head * head) / (2 * half)
    spring = tall - head
    away = radius - half
    arcs = circle(x - away, spring, radius).intersection(circle(x + away, spring, radius))
    return (
        arcs.intersection(box(x - half, spring, x + half, tall))
        .union(box(x - half, 0, x + half, spring))
        .buffer(0)
    )
