"""Festoons: garlands that hang from rosettes, drawn flat for one half of a side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from .strokes import disc, drop, fan, polar, stroke

__all__ = ["Swag"]

_WIDE = 2.3
"""Repeat over height: a garland hangs in a flat round, twice as wide as deep."""

_THICK, _STOUT = 0.36, 2.5
"""Thickness of a garland in its middle over height, and in straps at least: its ends are a strap."""

_THICKEST = 0.47
"""The same over height, at most."""

_ROSETTE = 0.16
"""Radius of the rosette a garland hangs from over height."""

_HANG = 0.86
"""How high a garland is tied over height: just under the rim, that the white over it is a clear bow."""

_TASSEL, _LONG = 0.13, 0.2
"""Radius of the drop under a rosette over height, and how far it stops short of the rail."""


@dataclass(frozen=True, slots=True)
class Swag:
    """Garlands, thick in the middle, with flowers in them, hung between rosettes; lengths in mm."""

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
        """Return the paper of one half of a side: a garland in each repeat, rosettes between."""
        d, end = self.height, repeat * count
        swag, rosette = self._garland(repeat), self._rosette()
        parts = [translate(swag, (i + 0.5) * repeat) for i in range(count)]
        parts += [translate(rosette, i * repeat) for i in range(0 if ring else 1, count + 1)]
        post = [] if ring else [box(0, 0, self.strap / 2, d)]
        return shapely.union_all(parts + post).intersection(box(0, -d, end, 2 * d))

    def _garland(self, repeat: float) -> BaseGeometry:
        """Return a garland about x = 0, pierced by three flowers where they can be cut."""
        d, w = self.height, self.strap
        thick = max(1.3 * w, min(max(_THICK * d, _STOUT * w), _THICKEST * d))
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
            return disc(x, y, radius if radius >= max(1.03 * self.smallest, 0.5 * self.strap) else 0.0)
        middles = polar((x, y), radius - petal, np.pi / 2 + 2 * np.pi * np.arange(5) / 5)
        return shapely.union_all([disc(float(at), float(up), petal) for at, up in middles])

    def _rosette(self) -> BaseGeometry:
        """Return a rosette about x = 0 that hangs on the rim, and a drop under it where there is room."""
        d, w = self.height, self.strap
        radius = max(_ROSETTE * d, 0.9 * w)
        rosette = disc(0.0, d - 0.8 * radius, radius)
        ball = max(_TASSEL * d, 0.75 * w)
        low = _LONG * d + ball
        if d - 1.8 * radius - low - ball < 2 * w:
            return rosette
        return rosette.union(drop((0.0, d - 1.8 * radius), (0.0, low), ball, w / 2))

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three drops from the inner corner."""
        d, w = self.height, self.strap
        whites = [translate(white, w / 2, w / 2) for white in fan(d - w / 2, w, self.smallest)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))
