"""Vines and laurels: stems with leaves, drawn flat for one half of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform, translate
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._running.strokes import around, bezier, disc, fan, leaf, polar, stroke
from canivet.motifs.shapes.openings import Points

__all__ = ["Laurel", "Vine"]

_BEND = 1.55
"""Length of a bend of the vine over height: a long wave is a stem, a short one a spring."""

_STEM, _THIN = 0.19, 0.65
"""Width of the stem at a rail over height, and where it crosses the band over that: it tapers."""

_CLEAR = 1.05
"""Of a strap, at least, between two bends: drawn at a strap, the openings beside it would be drawn back."""

_BERRY = 0.12
"""Radius of a berry over height: three together weigh about half a leaf."""

_BLADE, _ROOT, _TIP = 0.5, 0.45, 0.12
"""Width of a leaf over height; where on a bend it grows and ends, over the repeat from its middle."""

_BARE, _PLAIN = 3.2, 4.8
"""Height in straps under which bends stay bare, and under which they have no berries: they would clot."""

_SICKLE = -0.1
"""How far a laurel leaf bends outward, over its length: a straight one looks pinned on."""

_UPRIGHT = 1.3
"""Width of the leaf in the middle of a side over the room beside the rib, at most: the fullest."""

_ROSETTE, _EYE = 0.34, 0.24
"""Of the height: a rosette in the middle of a side has at least this radius; and the berry in it, of that."""

_LEAN = math.radians(42)
"""How far laurel leaves stand off their rib."""


@dataclass(frozen=True, slots=True)
class Vine:
    """A waving stem with a leaf in the outer half of every bend and three berries opposite; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.12
    period: int = 2

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.2 * self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose bends take a leaf and its berries."""
        return max(_BEND * self.height, self.height + 7.5 * self.strap)

    @property
    def shortest(self) -> float:
        """Return the repeat whose bends still take a leaf."""
        return 0.8 * self.height

    @property
    def stem(self) -> float:
        """Return the width of the stem where it touches a rail."""
        return max(1.15 * self.strap, _STEM * self.height)

    @property
    def berry(self) -> float:
        """Return the radius of a berry."""
        return max(0.75 * self.strap, _BERRY * self.height)

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the stem of one half of a side, a spray in each bend and a bud in the middle."""
        x = np.linspace(-1, count + 1, 32 * (count + 2) + 1)
        line = np.column_stack([x * repeat, self._rise(x)])
        thin = max(_CLEAR * self.strap, _THIN * self.stem)
        parts = [stroke(line, thin + (self.stem - thin) * np.cos(np.pi * x) ** 2)]
        parts += [self._bend(self._spray(repeat), repeat, j) for j in range(1, count)]
        parts += [self._bend(self._bud(repeat), repeat, j) for j in ([0, count] if ring else [count])]
        return shapely.union_all(parts)

    def _rise(self, x: Points) -> Points:
        """Return how high the stem runs at so many repeats along: a sine that touches the rails by turns."""
        heights: Points = self.height / 2 * (1 - np.cos(np.pi * x))
        return heights

    def _bend(self, shape: BaseGeometry, repeat: float, j: int) -> BaseGeometry:
        """Put what was drawn for a bend open below into the bend of that number."""
        if j % 2:
            return translate(shape, j * repeat)
        return affine_transform(shape, (1, 0, 0, -1, j * repeat, self.height))

    def _on_stem(self, x: float, repeat: float) -> tuple[float, float]:
        """Return the point of the stem at x, in a bend open below with its middle at x = 0."""
        return x * repeat, float(self.height - self._rise(np.array([x]))[0])

    def _spray(self, repeat: float) -> BaseGeometry:
        """Return a leaf, and three berries on the stem opposite, in a bend open below."""
        d, w = self.height, self.strap
        if d < _BARE * w:
            return Polygon()
        blade = self._veined(
            self._on_stem(-_ROOT, repeat),
            (_TIP * repeat, 0.13 * d),
            min(_BLADE * d, 0.42 * repeat),
            bend=0.08,
        )
        if d < _PLAIN * w:
            return blade
        root, r = self._on_stem(_ROOT, repeat), self.berry
        heart = (root[0] - 0.75 * w - 1.5 * r, root[1] - 0.1 * d)
        middles = polar(heart, 1.1 * r, np.radians([90, 210, 330]))
        berries = [disc(float(x), float(y), r) for x, y in middles]
        stalk = stroke(np.array([root, heart]), [w, w])
        return shapely.union_all([blade, stalk, *berries])

    def _bud(self, repeat: float) -> BaseGeometry:
        """Return the bud in the middle of a side, hanging from the stem."""
        d = self.height
        return self._veined((0, d), (0, 0.16 * d), min(0.5 * d, 0.5 * repeat))

    def _veined(
        self, root: tuple[float, float], tip: tuple[float, float], width: float, *, bend: float = 0.0
    ) -> BaseGeometry:
        """Return a leaf with a slit along its rib, where the halves are wide enough to hold."""
        blade = leaf(root, tip, width, bend=bend, belly=0.5, stalk=self.strap, point=0.95)
        slit = width - 2 * self.strap
        if slit < 2.2 * self.smallest:
            return blade
        a, b = np.asarray(root), np.asarray(tip)
        inner = blade.buffer(-self.strap)
        vein = leaf(
            tuple(a + 0.28 * (b - a)), tuple(a + 0.9 * (b - a)), max(0.2 * width, 2.2 * self.smallest),
            bend=0.75 * bend, belly=0.4, point=0.8,
        ).intersection(inner)  # fmt: skip
        return blade.difference(vein)

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the leaf on the diagonal of a corner, and a berry on its stalk beside it."""
        d, w = self.height, self.strap
        blade = self._veined((0, 0), (0.86 * d, 0.86 * d), 0.56 * d)
        if d < _BARE * w:
            return blade
        fruit = (-0.05 * d, 0.6 * d)
        stalk = bezier((0.1 * d, 0.14 * d), (-0.02 * d, 0.3 * d), fruit, count=9)
        return shapely.union_all([blade, stroke(stalk, [w, w]), disc(*fruit, 1.15 * self.berry)])


@dataclass(frozen=True, slots=True)
class Laurel:
    """White leaves in pairs along a rib, and berries where two rows meet; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.05
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 4 * self.smallest

    @property
    def rib(self) -> float:
        """Return the width of the rib."""
        return max(self.strap, 0.11 * self.height)

    @property
    def paired(self) -> bool:
        """Say whether there is room for a leaf on either side of a rib; if not, leaves stand in one row."""
        return (self.height - self.rib) / 2 >= 3.4 * self.smallest

    @property
    def _side(self) -> float:
        return (self.height - self.rib) / 2 if self.paired else self.height

    @property
    def breadth(self) -> float:
        """Return the width of a leaf."""
        return max(2.5 * self.smallest, (0.76 if self.paired else 0.5) * self._side)

    @property
    def natural(self) -> float:
        """Return the repeat that parts leaves by a little more than a strap."""
        return (self.breadth + 1.12 * self.strap) / math.sin(_LEAN)

    @property
    def shortest(self) -> float:
        """Return the repeat whose leaves can just be cut."""
        return (2.4 * self.smallest + 1.05 * self.strap) / math.sin(_LEAN)

    def _leaf(self, repeat: float) -> BaseGeometry:
        """Return the upper leaf of a repeat, its root at x = 0."""
        side = self._side
        room = repeat * math.sin(_LEAN) - 1.08 * self.strap
        wide = max(2.3 * self.smallest, min(room, self.breadth * 1.15))
        for narrower in np.linspace(wide, 2.1 * self.smallest, 8):
            blade = leaf(
                (0.0, self.height - side),
                (self._reach, self.height),
                narrower,
                bend=_SICKLE,
                belly=0.46,
                point=1.0,
            )
            blade = blade.intersection(box(-repeat, self.height - side, 9 * repeat, self.height))
            if blade.distance(translate(blade, repeat)) >= self.strap:
                break
        return blade

    @property
    def _reach(self) -> float:
        return 1.12 * self._side / math.tan(_LEAN)

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: leaves point to the middle, where two stand upright."""
        d, end = self.height, repeat * count
        roots = 0.55 * self.strap + repeat * np.arange(count)
        roots = roots[roots + self._reach < end - 0.5 * self.strap]
        upper = [translate(self._leaf(repeat), x) for x in roots]
        if self.paired and not ring and (rosette := self._rosette(end, upper)):
            lower = [affine_transform(shape, (1, 0, 0, -1, 0, d)) for shape in upper]
            return around(upper + lower + rosette, end, d)
        upper.append(self._upright(end, upper))
        whites = upper + (
            [affine_transform(shape, (1, 0, 0, -1, 0, d)) for shape in upper] if self.paired else []
        )
        if self.paired:
            whites += [self._pearl(shapely.union_all(whites), x) for x in ([0.0, end] if ring else [end])]
        return around(whites, end, d)

    def _upright(self, x: float, beside: list[BaseGeometry]) -> BaseGeometry:
        """Return the leaf upright in the middle of a side: the largest the others leave room for."""
        others = shapely.union_all(beside)
        low, best = self.height - self._side, Polygon()
        for tall in np.array([1.0, 0.85, 0.7, 0.55]) * self._side:
            for wide in np.linspace(_UPRIGHT * self._side, 2.4 * self.smallest, 14):
                blade = leaf((x, low), (x, low + tall), wide, belly=0.5, point=1.0)
                if others.is_empty or blade.distance(others) >= 1.05 * self.strap:
                    best = max(best, blade, key=lambda shape: shape.area)
                    break
        return best

    def _rosette(self, x: float, leaves: list[BaseGeometry]) -> list[BaseGeometry]:
        """Return petals about a berry in the middle of a side, where leaves leave room; else none."""
        middle = (x, self.height / 2)
        free = min([float(shape.distance(Point(middle))) for shape in leaves], default=self.height / 2)
        radius = min(free - 1.05 * self.strap, self.height / 2)
        if radius < _ROSETTE * self.height:
            return []
        berry = _EYE * radius
        near = berry + 1.05 * self.strap
        for count in (8, 6, 4):
            # where it is broadest a petal has a strap to the next, and none meets it nearer to the berry
            wide = 2 * math.sin(math.pi / count) * (near + 0.6 * (radius - near)) - 1.1 * self.strap
            if wide >= 2.6 * self.smallest and berry >= 1.02 * self.smallest:
                petals = []
                for k in range(count):
                    low, high = polar(middle, [near, radius], 2 * math.pi * k / count)
                    petals.append(leaf((low[0], low[1]), (high[0], high[1]), wide, belly=0.6, point=0.8))
                return [*petals, disc(*middle, berry)]
        return []

    def _pearl(self, leaves: BaseGeometry, x: float) -> BaseGeometry:
        """Return the largest berry there is room for near a mirror line, on the rib."""
        radius = min(float(leaves.distance(Point(x, self.height / 2))) - 1.05 * self.strap, 0.3 * self.height)
        return disc(x, self.height / 2, radius) if radius >= 1.02 * self.smallest else Polygon()

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three leaves from the inner corner."""
        d = self.height
        return box(0, 0, d, d).difference(shapely.union_all(fan(d, self.strap, self.smallest)))
