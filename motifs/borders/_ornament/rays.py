"""Suns whose rays taper: half ones along the inner edge, three-quarter ones round the corners."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import box, circle, polygon

__all__ = ["Suns"]

_TAPER = 2.0
"""Width of a ray at the sun over that at its tip: under one and a half it is a spoke."""

_DISC = 0.3
"""Radius of the sun over height: a third and the rays look cast by it."""

_STOUT = 0.08
"""Width of a ray at its tip over height, at least: in a wide band a strap would be a wire."""

_APART = 0.3
"""White between two rays where they spring, in straps."""

_SOLID = 0.62
"""Radius of the sun over height, at most: past this the rays are stubs."""

_CLOSEST = 1.2
"""Repeat over height, at least: closer, suns run into each other."""

_CROTCH = 2.5
"""Ray tips from the rim that two rays meet, at least: nearer, a stay fills the crotch between them."""

_MOST = 6
"""Wedges of a half sun; nine go round a corner. More and they are a comb."""


class Suns(Ornament):
    """Half suns on the inner edge, whose rays run out to the rim or meet those of the next."""

    what = "a sun"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height at which four wedges can just be cut."""
        return 1.2 * self.strap + 3.6 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a sun as long as twice its height."""
        return max(2 * self.height + self.strap, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose wedges can just be cut."""
        return max(3 * self.strap + 6 * self.smallest, _CLOSEST * self.height)

    @property
    def over(self) -> float:
        """Return where the last sun rises: in the inner corner itself."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return the wedges between two suns, from the upright ray of one to that of the other."""
        half = repeat / 2
        count = self._count(half)
        left = translate(self._sun(count), -half).intersection(box(-repeat, 0, 0, self.height))
        taken = shapely.union_all([left, _flipped(left), self._stay(half, count)])
        return self.cut(box(-half, 0, half, self.height).difference(taken))

    def post(self, repeat: float) -> list[Points]:
        """Return the eye of a half sun."""
        return self.cut(self._eye(self._count(repeat / 2)).intersection(box(-repeat, 0, repeat, self.height)))

    def corner(self, repeat: float) -> list[Points]:
        """Return the wedges of a quarter sun, which with those beside it goes three quarters round."""
        block = box(0, 0, self.height, self.height)
        count = self._count(repeat / 2)
        eye = self._eye(count).difference(box(-repeat, -repeat, 0, 0))
        return self.cut_corner(block.difference(self._sun(count, level=True))) + self.cut_corner(eye)

    def _stay(self, half: float, count: int) -> BaseGeometry:
        """Return what ties two rays that meet just short of the rim to it."""
        met = [half * math.tan(math.pi * k / count) for k in range(1, (count + 1) // 2)]
        near = [y for y in met if -_CROTCH * self._tip < self.height - y < _CROTCH * self._tip]
        wide = 0.6 * self._tip
        return shapely.union_all([box(-wide, min(y, self.height) - wide, wide, self.height) for y in near])

    def _sun(self, count: int, *, level: bool = False) -> BaseGeometry:
        """Return a sun about the origin, its rays all round, or all but the level ones."""
        root, tip = _TAPER * self._tip / 2, self._tip / 2
        near, far, long = self._radius(count), self.height, 3 * self.height
        side = [(0, root), (near, root), (far, tip), (long, tip)]
        ray = polygon(*side, *((x, -y) for x, y in side[::-1]))
        rays = [rotate(ray, 180 * k / count, origin=(0, 0)) for k in range(2 * count) if level or k % count]
        return shapely.union_all([circle(0, 0, near), *rays])

    def _eye(self, count: int) -> BaseGeometry:
        return circle(0, 0, self._radius(count) - 1.2 * self._tip)

    def _count(self, half: float) -> int:
        """Return how many wedges a half sun has: an even number, so that one ray stands upright."""
        fits = [n for n in range(_MOST, 2, -2) if self._radius(n) <= _SOLID * min(half, self.height)]
        return fits[0] if fits else 4 if self._radius(4) < 0.8 * min(half, self.height) else 2

    @property
    def _tip(self) -> float:
        return max(self.strap, _STOUT * self.height)

    def _radius(self, count: int) -> float:
        """Return the radius of the sun: large enough for white between the rays where they spring."""
        return max(_DISC * self.height, self._tip * count / math.pi * (_TAPER + _APART))


def _flipped(shape: BaseGeometry) -> BaseGeometry:
    flipped: BaseGeometry = shapely.transform(shape, lambda points: points * (-1, 1))
    return flipped
