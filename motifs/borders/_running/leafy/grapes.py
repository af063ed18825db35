"""A vine with lobed leaves and bunches of grapes, drawn flat for one half of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._running.strokes import disc, leaf, stroke

from .leaves import Vine

__all__ = ["Grapevine"]

_GRAPE, _BEAD = 0.115, 0.088
"""Radius of a grape over height: where there is light in it, and where it is a bead of a dark bunch."""

_CLOSE = 1.78
"""From grape to grape, in radii: they overlap, that the bunch is one piece, and its edge still beads."""

_PIERCED = 0.5
"""Radius of the light in a grape over that of the grape, at most."""

_HEART = 0.27
"""Radius of a leaf where its lobes meet over its length: it closes the crumbs between them."""

_VEIN = 0.09
"""Width of a vein in a leaf over the leaf's length."""

_LEAF = 0.6
"""Length of a leaf over height."""

_LOBES = ((0.0, 1.0, 0.42), (58.0, 0.8, 0.36), (-58.0, 0.8, 0.36), (118.0, 0.52, 0.34), (-118.0, 0.52, 0.34))
"""Five lobes of a leaf: degrees from its middle one, length and breadth over the leaf's."""

_FULL = 4.4
"""Height in straps from which a bend takes both a leaf and a bunch."""


@dataclass(frozen=True, slots=True)
class Grapevine(Vine):
    """A waving stem with a lobed leaf and a bunch of grapes in every bend; lengths in mm."""

    @property
    def natural(self) -> float:
        """Return the repeat whose bends take a leaf and a bunch."""
        return max(1.7 * self.height, self.height + 8 * self.strap)

    @property
    def grape(self) -> float:
        """Return the radius of a grape."""
        large = _GRAPE * self.height
        return large if self._light(large) else max(0.62 * self.strap, _BEAD * self.height)

    def _light(self, grape: float) -> float:
        """Return the radius of the light in a grape, 0 where it could not be cut."""
        light = min(_PIERCED * grape, (_CLOSE * grape - self.strap) / 2, grape - self.strap)
        return light if light >= 1.03 * self.smallest else 0.0

    def _spray(self, repeat: float) -> BaseGeometry:
        """Return a leaf, and a bunch on the stem opposite, in a bend open below."""
        d, w = self.height, self.strap
        if d < _FULL * w:
            return Vine._spray(self, repeat)
        root = self._on_stem(-0.4, repeat)
        blade = self._lobed(root, (-0.02 * repeat, 0.16 * d), min(_LEAF * d, 0.44 * repeat))
        hold = self._on_stem(0.3, repeat)
        return blade.union(self._bunch(hold, (hold[0] - 0.3 * w, hold[1] - 0.8 * w)))

    def _bunch(self, hold: tuple[float, float], top: tuple[float, float]) -> BaseGeometry:
        """Return a bunch that hangs from a point of the stem, of as many rows as there is room for."""
        r, w = self.grape, self.strap
        step = _CLOSE * r
        middles: list[tuple[float, float]] = []
        for row, count in enumerate((3, 2, 1)):
            y = top[1] - r - row * 0.86 * step
            if y < 1.6 * r + 0.3 * w:
                break
            middles += [(top[0] + (k - (count - 1) / 2) * step, y) for k in range(count)]
        stalk = stroke(np.array([hold, (top[0], top[1] - r)]), [w, w])
        bunch = shapely.union_all([stalk, *(disc(*at, r) for at in middles)])
        light = self._light(r)
        return bunch.difference(shapely.union_all([disc(*at, light) for at in middles])) if light else bunch

    def _lobed(self, root: tuple[float, float], tip: tuple[float, float], long: float) -> BaseGeometry:
        """Return a leaf of five lobes on a stalk, its middle lobe pointing to a tip."""
        turn = math.degrees(math.atan2(tip[1] - root[1], tip[0] - root[0]))
        lobes = [
            rotate(leaf((0, 0), (share * long, 0), broad * long, belly=0.45, point=0.8), angle, origin=(0, 0))
            for angle, share, broad in _LOBES
        ]
        heart = disc(0, 0, _HEART * long)
        blade = rotate(shapely.union_all([*lobes, heart]).difference(self._veins(long)), turn, origin=(0, 0))
        reach = math.dist(root, tip) - long
        at = (tip[0] - long * math.cos(math.radians(turn)), tip[1] - long * math.sin(math.radians(turn)))
        stalk = stroke(np.array([root, at]), [self.strap, self.strap]) if reach > 0 else Polygon()
        return shapely.union_all([translate(blade, *at), stalk])

    def _veins(self, long: float) -> BaseGeometry:
        """Return what is cut along the three longest lobes of a leaf, where a strap is left beside it."""
        veins = []
        for angle, share, broad in _LOBES[:3]:
            wide = max(_VEIN * long, 2.3 * self.smallest)
            near, far = _HEART * long, share * long - 1.8 * self.strap
            if wide <= broad * long - 2.1 * self.strap and far - near > 2 * wide:
                veins.append(
                    rotate(leaf((near, 0), (far, 0), wide, belly=0.45, point=0.7), angle, origin=(0, 0))
                )
        return shapely.union_all(veins)

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the leaf on the diagonal of a corner."""
        d, w = self.height, self.strap
        if d < _FULL * w:
            return Vine.corner(self, _repeat)
        return self._lobed((0.0, 0.0), (0.86 * d, 0.86 * d), 0.8 * d)
