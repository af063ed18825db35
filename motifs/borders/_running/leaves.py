"""Vines and laurels: stems with leaves, drawn flat for one half of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform, translate
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from .strokes import around, bezier, disc, fan, leaf, stroke

__all__ = ["Laurel", "Vine"]

_LEAN = math.radians(42)
"""How far laurel leaves stand off their rib."""


@dataclass(frozen=True, slots=True)
class Vine:
    """A winding stem with a leaf and berries in every bend; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.3
    period: int = 2

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.2 * self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose bends are a little wider than high."""
        return 1.45 * self.height

    @property
    def shortest(self) -> float:
        """Return the repeat whose bends still take a leaf."""
        return 0.8 * self.height

    @property
    def stem(self) -> float:
        """Return the width of the stem."""
        return max(self.strap, 0.13 * self.height)

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the stem of one half of a side, a leaf in each bend and a bud in the middle."""
        x = np.linspace(-repeat, repeat * (count + 1), 24 * (count + 2) + 1)
        height = self.height / 2 * (1 - np.cos(np.pi * x / repeat))
        parts = [stroke(np.column_stack([x, height]), [self.stem, self.stem])]
        parts += [self._bend(self._spray(repeat), repeat, j) for j in range(1, count)]
        parts += [self._bend(self._bud(repeat), repeat, j) for j in ([0, count] if ring else [count])]
        return shapely.union_all(parts)

    def _bend(self, shape: BaseGeometry, repeat: float, j: int) -> BaseGeometry:
        """Put what was drawn for a bend open below into the bend of that number."""
        if j % 2:
            return translate(shape, j * repeat)
        return affine_transform(shape, (1, 0, 0, -1, j * repeat, self.height))

    def _spray(self, repeat: float) -> BaseGeometry:
        """Return a leaf and its berries in a bend that is open below, its middle at x = 0."""
        d = self.height
        root, tip = (-0.56 * repeat, 0.41 * d), (0.38 * repeat, 0.24 * d)
        blade = self._veined(root, tip, min(0.46 * d, 0.4 * repeat), bend=0.07)
        if d < 4.6 * self.strap:
            return Polygon()
        r = max(0.62 * self.strap, 0.1 * d)
        if d < 5 * self.strap + 2 * r:
            return blade
        fruit = (0.2 * repeat, 0.68 * d)
        stalk = bezier((0.46 * repeat, 0.58 * d), (0.34 * repeat, 0.6 * d), fruit, count=7)
        return shapely.union_all([blade, stroke(stalk, [self.strap, self.strap]), disc(*fruit, r)])

    def _bud(self, repeat: float) -> BaseGeometry:
        """Return the bud in the middle of a side, hanging from the stem."""
        d = self.height
        return self._veined((0, d), (0, 0.2 * d), min(0.5 * d, 0.5 * repeat))

    def _veined(
        self, root: tuple[float, float], tip: tuple[float, float], width: float, *, bend: float = 0.0
    ) -> BaseGeometry:
        """Return a leaf with a slit along its rib, where the halves are wide enough to hold."""
        blade = leaf(root, tip, width, bend=bend, belly=0.55, stalk=self.strap)
        slit = width - 2 * self.strap
        if slit < 2.2 * self.smallest:
            return blade
        a, b = np.asarray(root), np.asarray(tip)
        inner = blade.buffer(-self.strap)
        vein = leaf(
            tuple(a + 0.3 * (b - a)), tuple(b), 0.22 * width, bend=0.75 * bend, belly=0.4
        ).intersection(inner)
        return blade.difference(vein)

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the leaf on the diagonal of a corner, and the berries beside it."""
        d = self.height
        blade = self._veined((0, 0), (0.8 * d, 0.8 * d), 0.56 * d)
        r = max(0.62 * self.strap, 0.1 * d)
        if d < 5 * self.strap + 2 * r:
            return blade
        fruit = (-0.02 * d, 0.66 * d)
        stalk = bezier((0.2 * d, 0.3 * d), (0.08 * d, 0.42 * d), fruit, count=7)
        return shapely.union_all([blade, stroke(stalk, [self.strap, self.strap]), disc(*fruit, r)])


@dataclass(frozen=True, slots=True)
class Laurel:
    """White leaves in pairs along a rib, and berries where two rows meet; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.25
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
                bend=-0.1,
                belly=0.5,
                point=0.8,
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
        upper.append(self._upright(end, end - (roots[-1] + self._reach if len(roots) else 0.0)))
        whites = upper + (
            [affine_transform(shape, (1, 0, 0, -1, 0, d)) for shape in upper] if self.paired else []
        )
        if self.paired:
            whites += [self._pearl(shapely.union_all(whites), x) for x in ([0.0, end] if ring else [end])]
        return around(whites, end, d)

    def _upright(self, x: float, room: float) -> BaseGeometry:
        """Return the leaf that stands upright in the middle of a side, `room` from the next tip."""
        wide = min(2 * (room - 0.6 * self.strap), 0.85 * self._side)
        if wide < 2.4 * self.smallest:
            return Polygon()
        return leaf((x, self.height - self._side), (x, self.height), wide, belly=0.55, point=0.8)

    def _pearl(self, leaves: BaseGeometry, x: float) -> BaseGeometry:
        """Return the largest berry there is room for near a mirror line, on the rib."""
        radius = min(float(leaves.distance(Point(x, self.height / 2))) - 1.05 * self.strap, 0.3 * self.height)
        return disc(x, self.height / 2, radius) if radius >= 1.02 * self.smallest else Polygon()

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three leaves from the inner corner."""
        d = self.height
        return box(0, 0, d, d).difference(shapely.union_all(fan(d, self.strap, self.smallest)))
