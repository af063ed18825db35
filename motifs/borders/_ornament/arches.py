"""Arcades: pointed arches pierced like tracery, and round arches that cross each other."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import box, circle, lens, stretched

__all__ = ["CrossedArches", "PointedArches"]

_SPAN = 1.45
"""Repeat over height: about a band's width, so that an arch is a room and not a slot."""

_PIER = 0.1
"""Paper between arches over height: enough to carry the spandrels to the eye."""

_STILT = 0.12
"""Of its height how much of an arch stands upright, at least: without, it seems to sink."""

_LIGHT = 1.4
"""Half width of each of two lights in straps, at least: narrower ones are needles."""

_TWO_LIGHTS = 8.0
"""Height in straps from which an arch holds two lights."""

_LOW = 0.66
"""Height of two lights over that of their arch: leaves a round head for the rose."""

_ROSE = 2.6
"""Radius of a rose in smallest openings, at least: a smaller one is a plain round."""

_LOBE, _TOP = 0.5, 0.56
"""Radius of a side lobe, and half width of the pointed lobe over the two, over half the light."""

_WALL = 0.12
"""Width of a crossed arch over its height, at least: one drawn finer looks like wire in a wide band."""

_LEAF, _SIDE = (0.10, 1.30, 0.38), (0.18, 1.0, 0.25)
"""Of the lobe in the mitre of a corner, and of one beside it: where it begins, how far it reaches, how wide
it is, over the height. Together they are a leaf that grows out of the inner corner and fills its block.
"""

_SPREAD = 33.0
"""Degrees from one lobe to the next: the outer ones lie a little off the rails."""

_CUSP = 0.5
"""How far up its head a light is cusped: half way keeps the three lobes alike to the eye."""


class PointedArches(Ornament):
    """Pointed arches on the inner edge, trefoil in their heads; in a wide band two lights under a rose."""

    what = "a pointed arch"
    rounded = 0.35

    @property
    def least_height(self) -> float:
        """Return the height of a light that can just be cut."""
        return 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of an arch as wide as the band."""
        return max(_SPAN * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of a single slender light."""
        return self.strap + 3 * self.smallest

    @property
    def _wall(self) -> float:
        return max(self.strap, _PIER * self.height)

    def bay(self, repeat: float) -> list[Points]:
        """Return two lights and the rose over them, or one light where they would be too fine."""
        half = (repeat - self._wall) / 2
        arch = _pointed(0, half, self.height)
        narrow = (half - self._wall / 2) / 2
        if narrow < max(_LIGHT * self.strap, 3.5 * self.smallest) or self.height < _TWO_LIGHTS * self.strap:
            return self.cut(_trefoil(0, half, self.height))
        low = _LOW * self.height
        x = (half + self._wall / 2) / 2
        pair = shapely.union_all([_trefoil(sign * x, narrow, low) for sign in (-1, 1)])
        hoods = shapely.union_all(
            [_pointed(sign * x, narrow, low).buffer(self.strap, quad_segs=48) for sign in (-1, 1)]
        )
        head = arch.difference(hoods).intersection(box(-half, low / 2, half, self.height))
        return self.cut(pair) + self.cut(self._rose(head))

    def post(self, repeat: float) -> list[Points]:
        """Return the spandrel between two arches."""
        arch = _pointed(0, (repeat - self._wall) / 2, self.height).buffer(self._wall, quad_segs=48)
        sides = [translate(arch, x) for x in (-repeat / 2, repeat / 2)]
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

    def _rose(self, head: BaseGeometry) -> BaseGeometry:
        """Return a quatrefoil in the largest circle of a head that mirrors itself about x = 0."""
        _, low, _, high = head.bounds
        levels = np.linspace(low, high, 120)
        radii = shapely.distance(shapely.points(0, levels), head.boundary)
        radii[~shapely.contains_xy(head, np.zeros(120), levels)] = 0
        y, radius = float(levels[radii.argmax()]), float(radii.max())
        if radius < _ROSE * self.smallest:
            return circle(0, y, radius)
        foil = radius * (math.sqrt(2) - 1)
        away = radius - foil
        lobes = [circle(x, y + up, 1.06 * foil) for x, up in ((away, 0), (-away, 0), (0, away), (0, -away))]
        return shapely.union_all([*lobes, circle(0, y, 0.5 * radius)])


class CrossedArches(Ornament):
    """Round arches, each of which spans two bays, so that they cross and make pointed ones between them."""

    what = "a crossed arch"
    rounded = 0.2
    halved = False

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
        """Return a leaf of three lobes that grows out of the inner corner: black about it, no post beside."""
        h = self.height
        (middle, side) = (
            rotate(lens(0, h * low, h * far, h * wide), -45, origin=(0, 0))
            for low, far, wide in (_LEAF, _SIDE)
        )
        beside = [rotate(side, turn, origin=(0, 0)) for turn in (-_SPREAD, _SPREAD)]
        halo = middle.buffer(self.strap, quad_segs=48)
        lobes = shapely.union_all([middle, *(lobe.difference(halo) for lobe in beside)])
        return self.cut_corner(lobes.intersection(box(0, 0, h, h)), soft=0.2)

    @property
    def _wall(self) -> float:
        return max(self.strap, _WALL * self.height)

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
        middle = stretched(repeat, self.height + self._wall / 2).exterior.buffer(self._wall / 2, quad_segs=16)
        return shapely.union_all([translate(middle, (k + 0.5) * repeat) for k in range(-2, 2)])


def _pointed(x: float, half: float, tall: float) -> BaseGeometry:
    """Return a pointed light: upright sides under two arcs, as steep as an equilateral arch if it can be."""
    head = min(math.sqrt(3) * half, (1 - _STILT) * tall)
    radius = (half * half + head * head) / (2 * half)
    spring = tall - head
    away = radius - half
    arcs = circle(x - away, spring, radius).intersection(circle(x + away, spring, radius))
    return (
        arcs.intersection(box(x - half, spring, x + half, tall))
        .union(box(x - half, 0, x + half, spring))
        .buffer(0)
    )


def _trefoil(x: float, half: float, tall: float) -> BaseGeometry:
    """Return a pointed light whose head is cusped: a lobe to either side and a pointed one over them."""
    arch = _pointed(0, half, tall)
    spring = tall - min(math.sqrt(3) * half, (1 - _STILT) * tall)
    lobe, top = _LOBE * half, _TOP * half
    cusp = spring + _CUSP * (tall - spring)
    sides = [circle(sign * (half - lobe), cusp - lobe, lobe) for sign in (-1, 1)]
    below = box(-half, 0, half, max(0.0, cusp - lobe))
    between = box(-(half - lobe), 0, half - lobe, cusp)
    point = _pointed(0, top, tall - cusp + 0.6 * top)
    point = translate(point, 0, cusp - 0.6 * top)
    return translate(shapely.union_all([*sides, below, between, point]).intersection(arch), x, 0)
