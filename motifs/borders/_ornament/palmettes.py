"""Anthemion: palmettes on the inner edge and buds hung between them, a palmette round every corner."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits, largest_part

from .areas import both, box, circle, hung

__all__ = ["Palmettes"]

_BROAD = 1.55
"""Repeat over height: a palmette as wide as high, and a bud of half its width."""

_SPREAD = {3: math.radians(96), 5: math.radians(146), 7: math.radians(164), 9: math.radians(172)}
"""How far so many petals fan out: the fuller, the flatter the lowest lie; half a petal would be a crumb."""

_HEART = 0.15
"""Radius of the heart that petals spring from, over height."""

_DOMED = 0.8
"""Length of the lowest petals over that of the upright one: the fan is domed, not round."""

_LEAN = math.radians(34)
"""How far the side petals of a bud lean."""

_BUDS = [
    ([(-_LEAN, 0.58), (0.0, 0.72), (_LEAN, 0.58)], _LEAN),
    *(([(0.0, long)], 2 * slim * _LEAN) for long in (0.65, 0.5, 0.4) for slim in (1.0, 0.8, 0.6)),
]
"""Buds to be tried: how far petals lean, how long they are over height, and the angle each has to itself."""

_WHOLE = 0.9
"""Of a petal of a bud, at least, what the palmettes beside it leave: it keeps its form or is not drawn."""

_DIAGONAL = 1.22
"""Length of the petal on the diagonal of a corner over height: into the corner, not quite to its point."""

_SLENDER = 1.15
"""Width of a petal in straps, at least."""

_MIDDLE = 0.6
"""Where along a palmette petals are counted, over its reach."""

_SHARE, _BESIDE = 0.55, 0.4
"""Reach of a palmette to either side over half its room and over height, at most: the rest is the bud's."""

_FIVE, _LEAST = 3.9, 3.5
"""Steps from petal to petal in a palmette of five, as asked for and at least: three are a crow's foot."""

_CRUMB = 0.09
"""Radius of a petal of a bud over height, at least: three smaller ones are better one."""


class Palmettes(Ornament):
    """Palmettes of drop-shaped petals round a heart, a bud of three between each two."""

    what = "a palmette"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of a palmette of three petals that can just be cut."""
        return 1.3 * self.strap + 3.9 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat that suits its height, or in a narrow band a palmette of five petals."""
        wide = 2 * _FIVE * self._step / (math.pi * _MIDDLE) - self.height
        half = max(wide, (wide - _BESIDE * self.height) / _SHARE)
        return max(_BROAD * self.height, 2 * half + self.strap, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose petals can just be cut."""
        return max(2 * self.strap + 7 * self.smallest, 0.8 * self.height)

    @property
    def over(self) -> float:
        """Return where the last palmette stands: on the inner corner itself."""
        return self.strap

    def post(self, repeat: float) -> list[Points]:
        """Return a palmette."""
        wide = self._wide(repeat)
        count = self._count(wide)
        spread = _SPREAD[count]
        petals = [
            self._petal(math.pi / 2 - turn, self._far(turn, wide), spread / (count - 1))
            for turn in np.linspace(-spread / 2, spread / 2, count)
        ]
        room = box(-wide, 0, wide, self.height)
        whites = [
            circle(0, 0, self._heart).intersection(room),
            *(petal.intersection(room) for petal in petals),
        ]
        return [ring for white in whites for ring in self.cut(white)]

    def bay(self, repeat: float) -> list[Points]:
        """Return the bud that hangs from the rim between two palmettes."""
        return [ring for part in shapely.get_parts(self._bud(repeat)) for ring in self.cut(part, soft=0.4)]

    def _bud(self, repeat: float) -> BaseGeometry:
        """Return the petals of a bud about x = 0: three, or one where three would be crumbs."""
        palm = shapely.union_all([Polygon(ring) for ring in self.post(repeat)])
        beside = shapely.union_all([translate(palm, x) for x in (-repeat / 2, repeat / 2)])
        free = box(-repeat / 2, 0, repeat / 2, self.height).difference(
            beside.buffer(self.strap, quad_segs=32)
        )
        for petals, step in _BUDS:
            upright = [(self._drop(0.0, long * self.height, step), turn) for turn, long in petals]
            drops = [
                hung(rotate(drop, math.degrees(turn), origin=(0, 0)), self.height) for drop, turn in upright
            ]
            whites = [largest_part(drop.intersection(free)) for drop in drops]
            whole = all(white.area >= _WHOLE * drop.area for white, drop in zip(whites, drops, strict=True))
            if whole and all(fits(white, max(self.smallest, _CRUMB * self.height)) for white in whites):
                return shapely.union_all(whites)
        return Polygon()

    def corner(self, repeat: float) -> list[Points]:
        """Return a palmette that opens three quarters round the corner."""
        wide, h = self._wide(repeat), self.height
        few = self._count(wide)
        step = _SPREAD[few] / (few - 1)
        more = 2 * round(math.pi / 4 / step)
        spread = _SPREAD[few] + math.pi / 2
        step = spread / (few + more - 1)
        petals = []
        for turn in np.linspace(-spread / 2, spread / 2, few + more):
            beyond = abs(turn) - math.pi / 4
            block = min(_DIAGONAL * h, h / math.cos(math.pi / 4 - abs(turn)))
            petals.append(
                self._petal(math.pi / 4 - turn, self._far(beyond, wide) if beyond > 0 else block, step)
            )
        room = box(-wide, -wide, h, h).difference(box(-wide, -wide, 0, 0))
        room = room.difference(
            both(translate(self._bud(repeat), -repeat / 2)).buffer(self.strap, quad_segs=16)
        )
        whites = shapely.union_all(
            [white.intersection(room) for white in [circle(0, 0, self._heart), *petals]]
        )
        return self.cut_corner(whites)

    @property
    def _heart(self) -> float:
        return max(1.5 * self.smallest, _HEART * self.height)

    def _wide(self, repeat: float) -> float:
        """Return how far a palmette reaches to either side."""
        half = (repeat - self.strap) / 2
        return min(half, _SHARE * half + _BESIDE * self.height)

    @property
    def _step(self) -> float:
        """Return from petal to petal, at least."""
        return self.strap + max(2.3 * self.smallest, _SLENDER * self.strap)

    def _far(self, turn: float, wide: float) -> float:
        """Return how far a petal reaches that leans so far from upright."""
        dome = 1 - (1 - _DOMED) * abs(turn) / (math.pi / 2)
        return min(dome * math.hypot(wide * math.sin(turn), self.height * math.cos(turn)), self.height)

    def _count(self, wide: float) -> int:
        """Return how many petals a palmette has."""
        middle = math.pi * _MIDDLE * (wide + self.height) / 2
        fit = middle / self._step
        return next((n for n, least in ((9, 8), (7, 6), (5, _LEAST)) if fit >= least), 3)

    def _petal(self, turn: float, far: float, step: float) -> BaseGeometry:
        """Return a petal about the heart that points so far from level."""
        return rotate(self._drop(self._heart + self.strap, far, step), math.degrees(turn) - 90, origin=(0, 0))

    def _drop(self, near: float, far: float, step: float) -> BaseGeometry:
        """Return an upright drop between two radii, half a strap from a line to either side."""
        sine = math.sin(step / 2)
        apex = max(near, self.strap / 2 / sine)
        radius = min((far * sine - self.strap / 2) / (1 + sine), 0.42 * (far - apex))
        if radius <= 0:
            return Polygon()
        return circle(0, far - radius, radius).union(Point(0, apex)).convex_hull
