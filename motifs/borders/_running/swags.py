"""Festoons: garlands that hang from ribbon knots, drawn flat for one half of a side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from .strokes import disc, fan, leaf, polar, stroke

__all__ = ["Swag"]

_WIDE = 2.3
"""Repeat over height: a garland hangs in a flat round, twice as wide as deep."""

_THICK = 0.4
"""Thickness of a garland in its middle over height: it thins to a strap at its ends."""

_THICKEST = 0.47
"""The same where it takes so much for flowers to be cut."""

_SMALL = 5.5
"""Height in straps under which a knot has neither loops nor ends: there is no room beside the garlands."""

_KNOT = 0.13
"""Radius of a knot over height."""

_HANG = 0.84
"""How high a garland is tied over height: just under the rim, that the loops have room."""


@dataclass(frozen=True, slots=True)
class Swag:
    """Garlands, thick in the middle, with flowers in them, hung between ribbon knots; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.15
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.3 * self.strap + 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose garlands hang in a flat round."""
        return max(_WIDE * self.height, self.height + 4 * self.strap + 4 * self.smallest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose garlands still have an opening above them."""
        return 0.9 * self.height + 2 * self.smallest + self.strap

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: a garland in each repeat, knots between."""
        d, end = self.height, repeat * count
        swag, knot = self._garland(repeat), self._knot()
        parts = [translate(swag, (i + 0.5) * repeat) for i in range(count)]
        parts += [translate(knot, i * repeat) for i in range(count + 1)]
        post = [] if ring else [box(0, 0, self.strap / 2, d)]
        return shapely.union_all(parts + post).intersection(box(0, -d, end, 2 * d))

    def _garland(self, repeat: float) -> BaseGeometry:
        """Return a garland about x = 0, pierced by three flowers where they can be cut."""
        d, w = self.height, self.strap
        pierced = 2 * w + 2.1 * self.smallest
        thick = max(1.3 * w, pierced if _THICK * d < pierced <= _THICKEST * d else _THICK * d)
        x = np.linspace(-0.5, 0.5, 65)
        swell = np.cos(np.pi * x) ** 1.2
        low = 0.46 * thick
        spine = np.column_stack([x * repeat, low + (_HANG * d - low) * (2 * np.abs(x)) ** 2.2])
        width = w + (thick - w) * swell
        body = stroke(spine, width)
        flowers = [
            self._flower(float(spine[i, 0]), float(spine[i, 1]), width[i] / 2 - w) for i in (18, 32, 46)
        ]
        return body.difference(shapely.union_all(flowers))

    def _flower(self, x: float, y: float, radius: float) -> BaseGeometry:
        """Return what is cut of a flower: petals round a heart, or a round where it is small."""
        petal = 0.36 * radius
        if petal < 1.3 * self.smallest or 0.64 * radius * 2 * np.sin(np.pi / 5) - 2 * petal < self.strap:
            return disc(x, y, radius if radius >= 1.03 * self.smallest else 0.0)
        middles = polar((x, y), radius - petal, np.pi / 2 + 2 * np.pi * np.arange(5) / 5)
        return shapely.union_all([disc(float(at), float(up), petal) for at, up in middles])

    def _knot(self) -> BaseGeometry:
        """Return a knot about x = 0: two loops to the rim, and two ends that hang to the rail."""
        d, w = self.height, self.strap
        at = (0.0, _HANG * d)
        knot = [disc(*at, max(_KNOT * d, 0.8 * w)), box(-w / 2, 0 if d < _SMALL * w else at[1], w / 2, d)]
        if d < _SMALL * w:
            return shapely.union_all(knot)
        loops = [
            leaf(at, (sign * 0.4 * d, 1.04 * d), max(1.1 * w, 0.2 * d), belly=0.6, stalk=w, blunt=w)
            for sign in (-1, 1)
        ]
        ends = [
            stroke(
                np.array([at, (sign * 0.05 * d, 0.4 * d), (sign * 0.2 * d, -0.02 * d)]),
                [w, 1.05 * w, 1.3 * w],
            )
            for sign in (-1, 1)
        ]
        return shapely.union_all([*knot, *loops, *ends])

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three drops from the inner corner."""
        d, w = self.height, self.strap
        whites = [translate(white, w / 2, w / 2) for white in fan(d - w / 2, w, self.smallest)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))
