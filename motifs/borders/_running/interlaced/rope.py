"""A rope between two rails, and the boss that ties its ends in a corner, drawn flat."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform, rotate, translate
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._running.openings import openings_from
from canivet.motifs.borders._running.strokes import bezier, disc, stroke

__all__ = ["Cable"]

_LEAN = math.radians(50)
"""How steeply the strands of a rope lie across it."""

_DOT = 0.11
"""Radius of the eye of a boss over its square, at least: where it would be a dot there are petals."""

_PETALS = 1.5
"""Radius of a boss of petals in straps and smallest openings, at least."""

_STUB = 0.4
"""Of a slit, at least, what is left of it beside a boss: less is a crumb."""


def _boss(size: float, strap: float, smallest: float) -> list[BaseGeometry]:
    """Return the openings of a round boss in a square: an eye in a ring of arcs, four petals, or a round."""
    middle = size / 2
    ring, whole = max(2.1 * smallest, 0.17 * size), disc(middle, middle, middle)
    eye = middle - ring - strap
    if middle < _PETALS * (strap + smallest):
        return [disc(middle, middle, 0.8 * middle)] if 0.8 * middle >= smallest else []
    has_eye = eye >= max(smallest, _DOT * size)
    outside = whole.difference(disc(middle, middle, middle - ring)) if has_eye else whole
    bar = box(-size, middle - strap / 2, 2 * size, middle + strap / 2)
    bars = shapely.union_all([rotate(bar, angle, origin=(middle, middle)) for angle in (0, 90)])
    parts = openings_from(outside.difference(bars).geoms, share=0.6, strap=strap, smallest=smallest)
    return [disc(middle, middle, min(eye, 0.22 * size)), *parts] if has_eye else [*parts]


@dataclass(frozen=True, slots=True)
class Cable:
    """A rope laid of slanting strands, parted by curved slits; lengths in mm."""

    height: float
    strap: float
    smallest: float

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 3.2 * self.smallest

    @property
    def strand(self) -> float:
        """Return the paper between slits."""
        return max(self.strap, 0.18 * self.height)

    @property
    def slit(self) -> float:
        """Return the width of a slit at its widest."""
        return max(2.3 * self.smallest, 0.21 * self.height)

    @property
    def natural(self) -> float:
        """Return the repeat at which strands are as wide as they should be."""
        return 1.06 * (self.strand + self.slit) / math.sin(_LEAN)

    @property
    def shortest(self) -> float:
        """Return the repeat at which strands are as narrow as they may be."""
        return 1.06 * (self.strap + 2.3 * self.smallest) / math.sin(_LEAN)

    @property
    def _reach(self) -> float:
        """Return how far a slit goes along the rope to either side of its middle."""
        return 0.56 * self.height / math.tan(_LEAN)

    def _slit(self, repeat: float) -> BaseGeometry:
        """Return a slit about x = 0, curved as far as the next one lets it."""
        room = repeat / 1.06 * math.sin(_LEAN) - self.strap
        share = self.slit / (self.slit + self.strand)
        wide = max(2.3 * self.smallest, min(share * (room + self.strap), room))
        for curl in (1.0, 0.75, 0.5, 0.25, 0.0):
            slit = self._curved(wide, curl)
            if slit.distance(translate(slit, repeat)) >= self.strap:
                break
        return slit

    def _curved(self, wide: float, curl: float) -> BaseGeometry:
        """Return a slit so wide, from a straight one to one that ends along the rails as `curl` goes to 1."""
        half = self.height / 2 - 0.42 * wide
        reach = self._reach - 0.31 * wide
        aim = (0.4 * reach, curl * (half - 0.1 * self.height) + (1 - curl) * 0.4 * half)
        line = bezier((-reach, -half), (-aim[0], -aim[1]), aim, (reach, half), count=33)
        spine = line + np.array([0.0, self.height / 2])
        return stroke(spine, [0.62 * wide, 0.9 * wide, wide, 0.9 * wide, 0.62 * wide])

    def bay(self, repeat: float) -> list[Polygon]:
        """Return the slit of one repeat."""
        return [translate(self._slit(repeat), repeat / 2)]

    def beside_corner(self, repeat: float, /) -> int:
        """Return how many repeats beside a corner are drawn with it: those a bar would cut into."""
        return math.ceil(self._reach / repeat)

    def corner(self, repeat: float) -> list[Polygon]:
        """Return the boss of a corner and the slits that end beside it."""
        slit, clear = self._slit(repeat), box(self.strap / 2, -1, 1e3, self.height + 1)
        count = self.beside_corner(repeat)
        row = [translate(slit, (i + 0.5) * repeat).intersection(clear) for i in range(-count - 1, count)]
        ends = [part for part in row if part.area > _STUB * slit.area]
        after = [affine_transform(part, (0, 1, -1, 0, 0, 0)) for part in ends]
        # half a turn maps a slit onto itself, so the rope comes in as it goes out
        before = [affine_transform(part, (-1, 0, 0, -1, 0, self.height)) for part in ends]
        soft = openings_from([*after, *before], share=0.5, strap=self.strap, smallest=self.smallest)
        inner = self.height - self.strap / 2
        return [
            *soft,
            *(translate(p, self.strap / 2, self.strap / 2) for p in _boss(inner, self.strap, self.smallest)),
        ]
