"""Stepped pyramids nested in each other, and dark blocks with a stepped lozenge in the corners."""

from __future__ import annotations

from typing import TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits

from .areas import Cut, both, box, hung

__all__ = ["Steps"]

Flight: TypeAlias = list[tuple[float, float]]
"""How far each step reaches to either side, and how high it is, mm."""

_BROAD = 2.1
"""Repeat over height: broad enough for a pyramid within a pyramid, still taller than a roof."""

_WALL = 0.11
"""Paper between pyramids over height: in a wide band the zigzag of it is the strongest line."""

_CHANNEL = 0.17
"""White between a pyramid and the dark one in it over height: wide enough to be read as a line of its own."""

_ECHO = 0.12
"""Paper of the dark pyramid round its core over height, or it is a wire."""

_CORE = 0.14
"""Radius of the largest circle in the core over height, at least: smaller cores are crumbs."""

_TREAD = 1.9
"""mm; steps lower than this, or narrower, blur into a slope."""

_MOST = 3
"""Steps: more and the eye counts instead of seeing."""


class Steps(Ornament):
    """Stepped pyramids that stand and others that hang between them, each with a smaller one in it."""

    what = "a stepped pyramid"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of two steps that can just be cut."""
        return self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat that suits its height."""
        return max(_BROAD * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose pyramids can just be cut."""
        return 2 * self.wall + 4 * self.smallest

    @property
    def over(self) -> float:
        """Return where the last pyramid hangs: over the inner corner, opened round it."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return the pyramid that stands: a side begins and ends with a whole one."""
        return self._cut(self._nested(repeat), self.cut)

    def post(self, repeat: float) -> list[Points]:
        """Return the pyramid that hangs."""
        return self._cut(hung(self._nested(repeat), self.height), self.cut)

    def corner(self, repeat: float) -> list[Points]:
        """Return the pyramid that hangs in the corner: white steps round a dark block, pierced."""
        steps = self._steps(repeat)
        white = self._channel
        dark = _inset(steps, white, least=-self.height, low=self.strap)
        ring = self._opened_round(steps).difference(self._opened_round(dark))
        near = self.wall + white
        half = (self.height - near) / 2 - self.strap
        lozenge = _stepped_lozenge((self.height + near) / 2, half, self._count(half, half))
        return self._cut(ring, self.cut_corner) + self._cut(lozenge, self.cut_corner)

    def _cut(self, whites: BaseGeometry, cut: Cut) -> list[Points]:
        return [ring for white in shapely.get_parts(whites) for ring in cut(white)]

    @property
    def wall(self) -> float:
        """Return the paper between pyramids."""
        return max(self.strap, _WALL * self.height)

    def _steps(self, repeat: float) -> Flight:
        """Return the steps of a pyramid, lowest first."""
        rise, half = self.height - self.wall, repeat / 2 - self.wall
        count = self._count(rise, half)
        return [(half * (1 - (k + 0.5) / count), rise * (k + 1) / count) for k in range(count)]

    def _count(self, rise: float, half: float) -> int:
        """Return how many steps so high and so wide a flight has."""
        tread = max(_TREAD, 2 * self.smallest)
        return max(2, min(_MOST, int(rise / tread), int(half / tread)))

    @property
    def _channel(self) -> float:
        return max(2.1 * self.smallest, _CHANNEL * self.height)

    def _nested(self, repeat: float) -> BaseGeometry:
        """Return what is cut of a pyramid: all but a dark one in it, and of that its core."""
        steps = self._steps(repeat)
        white, echo = self._channel, max(self.strap, _ECHO * self.height)
        core = _upright(_inset(steps, white + echo, least=self.smallest, low=2 * self.smallest))
        if fits(core, max(1.5 * self.smallest, _CORE * self.height)):
            # only steps that the core has too, or what is left of one is a spike
            ring = _upright(steps).difference(
                _upright(_inset(steps, white, least=echo + self.smallest, low=echo))
            )
            return shapely.GeometryCollection([ring, core])
        return _upright(steps).difference(
            _upright(_inset(steps, white, least=self.strap / 2, low=self.strap))
        )

    def _opened_round(self, steps: Flight) -> BaseGeometry:
        """Return a pyramid that hangs over the inner corner, as steep to either side of the diagonal."""
        h = self.height
        return both(shapely.union_all([box(-half, h - top, h, h) for half, top in steps]))


def _upright(steps: Flight) -> BaseGeometry:
    """Return a pyramid; its fellow, upside down half a repeat away, keeps a wall from it all the way."""
    return shapely.union_all([box(-half, 0, half, top) for half, top in steps])


def _stepped_lozenge(middle: float, half: float, count: int) -> BaseGeometry:
    """Return a lozenge about a point of the diagonal that climbs and falls by so many steps."""
    reach = [half * (k + 1) / count for k in range(count)]
    boxes = [
        box(middle - wide, middle - tall, middle + wide, middle + tall)
        for wide, tall in zip(reach, reach[::-1], strict=True)
    ]
    return shapely.union_all(boxes)


def _inset(steps: Flight, by: float, *, least: float, low: float) -> Flight:
    """Return the steps of a pyramid within another, less those not so wide to either side, or not so high."""
    return [(half - by, top - by) for half, top in steps if half - by >= least and top - by >= low]
