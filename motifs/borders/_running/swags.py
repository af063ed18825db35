"""Festoons: garlands that hang clear of the rail from rosettes with pendants, drawn flat for half a side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from .strokes import disc, drop, fan, polar, stroke

__all__ = ["Swag"]

_WIDE = 2.4
"""Repeat over height: a garland hangs in a flat round, more than twice as wide as deep."""

_UNDER, _CLEAR = 0.16, 2.5
"""White between a garland and the rail at its lowest, over height, and in smallest openings at least."""

_THICK, _STOUT = 0.36, 1.5
"""Thickness of a garland in its middle over height, and in straps at least: its ends are a strap."""

_OVER = 0.3
"""White over a garland over height, at least: where there is less the garland is thinner."""

_HANG = 0.9
"""How high a garland is tied over height: just under the rim, that the white over it is a clear bow."""

_ROSETTE = 0.14
"""Radius of the rosette a garland hangs from over height."""

_PENDANT, _SLIM = 0.28, 1.7
"""Width of the pendant under a rosette over height, and in straps at least; it tapers to one."""

_FLOWERS = (19, 32, 45)
"""Which of the 65 points along a garland bear flowers: all three of them, or none where one cannot be cut."""


@dataclass(frozen=True, slots=True)
class Swag:
    """Garlands, thick in the middle, with flowers in them, and pendants between; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.12
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.3 * self.strap + 4.6 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose garlands hang in a flat round."""
        return max(_WIDE * self.height, self.height + 5 * self.strap + 5 * self.smallest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose garlands still have openings above and beside them."""
        return self.height + 2 * self.smallest + 1.5 * self.strap

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: a garland in each repeat, pendants between."""
        d, end = self.height, repeat * count
        swag, pendant = self._garland(repeat), self._pendant()
        parts = [translate(swag, (i + 0.5) * repeat) for i in range(count)]
        parts += [translate(pendant, i * repeat) for i in range(0 if ring else 1, count + 1)]
        post = [] if ring else [box(0, 0, self.strap / 2, d)]
        return shapely.union_all(parts + post).intersection(box(0, -d, end, 2 * d))

    def _garland(self, repeat: float) -> BaseGeometry:
        """Return a garland about x = 0, pierced by three flowers."""
        d, w = self.height, self.strap
        under = max(_UNDER * d, _CLEAR * self.smallest)
        thick = max(w, min(max(_THICK * d, _STOUT * w), d - under - max(_OVER * d, 2.2 * self.smallest)))
        x = np.linspace(-0.5, 0.5, 65)
        low = under + thick / 2
        spine = np.column_stack([x * repeat, low + (_HANG * d - low) * (2 * np.abs(x)) ** 2.2])
        width = w + (thick - w) * np.cos(np.pi * x) ** 1.2
        body = stroke(spine, width)
        flowers = [
            self._flower(float(spine[i, 0]), float(spine[i, 1]), float(width[i]) / 2 - w) for i in _FLOWERS
        ]
        if any(flower.is_empty for flower in flowers):
            return body
        return body.difference(shapely.union_all(flowers))

    def _flower(self, x: float, y: float, radius: float) -> BaseGeometry:
        """Return what is cut of a flower: petals round a heart, or a round where it is small."""
        petal = 0.36 * radius
        if petal < 1.3 * self.smallest or 0.64 * radius * 2 * np.sin(np.pi / 5) - 2 * petal < self.strap:
            return disc(x, y, radius if radius >= max(1.03 * self.smallest, 0.5 * self.strap) else 0.0)
        middles = polar((x, y), radius - petal, np.pi / 2 + 2 * np.pi * np.arange(5) / 5)
        return shapely.union_all([disc(float(at), float(up), petal) for at, up in middles])

    def _pendant(self) -> BaseGeometry:
        """Return a rosette about x = 0 that hangs on the rim, and the husk from it to the rail."""
        d, w = self.height, self.strap
        radius = max(_ROSETTE * d, 0.9 * w)
        wide = max(_PENDANT * d, _SLIM * w)
        husk = drop((0.0, 0.7 * d), (0.0, 0.3 * d), wide / 2, w / 2)
        stalk = box(-w / 2, 0, w / 2, d)
        return shapely.union_all([disc(0.0, d - 0.7 * radius, radius), husk, stalk])

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three drops from the inner corner."""
        d, w = self.height, self.strap
        whites = [translate(white, w / 2, w / 2) for white in fan(d - w / 2, w, self.smallest)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))
