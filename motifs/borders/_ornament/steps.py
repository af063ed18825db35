"""Stepped pyramids, nested where there is room, and dark blocks with a stepped lozenge in the corners."""

from __future__ import annotations

from typing import TypeAlias

import shapely
from shapely.geometry import Polygon
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

_WALL, _BARE = 0.11, 0.16
"""Paper between pyramids over height, where they nest and where they are bare: then it is the only line."""

_CHANNEL = 0.17
"""White between a pyramid and the dark one in it over height: wide enough to be read as a line of its own."""

_ECHO = 0.12
"""Paper of the dark pyramid round its core over height, or it is a wire."""

_CORE, _CRUMB = 0.14, 3.2
"""Radius of the largest circle in a core over height, and in smallest openings: with less none nests."""

_ROUND, _WIDE = 0.19, 0.34
"""White round the dark block of a corner over height: where it is pierced, and where it is not."""

_PIERCED = 0.2
"""Half the width of what pierces that block over height, at least: smaller it is a dot in the dark."""

_TREAD = 1.9
"""mm; steps lower than this, or narrower, blur into a slope."""

_MOST = 3
"""Steps: more and the eye counts instead of seeing."""


class Steps(Ornament):
    """Stepped pyramids that stand and others that hang between them, in a wide band nested."""

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
        return 2 * max(self.strap, _BARE * self.height) + 4 * self.smallest

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
        """Return the pyramid that hangs in the corner: white steps round a dark block, pierced or not."""
        wall, steps = self.wall(repeat), self._steps(repeat, self.wall(repeat))
        near = wall + self._white(_ROUND) + self.strap
        half = (self.height - near) / 2
        pierced = half >= _PIERCED * self.height
        dark = _inset(steps, self._white(_ROUND if pierced else _WIDE), least=-self.height, low=self.strap)
        ring = self._cut(self._opened_round(steps).difference(self._opened_round(dark)), self.cut_corner)
        if not pierced:
            return ring
        lozenge = _stepped_lozenge(near + half, half, self._count(half, half))
        return ring + self._cut(lozenge, self.cut_corner)

    def _cut(self, whites: BaseGeometry, cut: Cut) -> list[Points]:
        return [ring for white in shapely.get_parts(whites) for ring in cut(white)]

    def wall(self, repeat: float) -> float:
        """Return the paper between pyramids."""
        return max(self.strap, (_BARE if self._core(repeat).is_empty else _WALL) * self.height)

    def _steps(self, repeat: float, wall: float) -> Flight:
        """Return the steps of a pyramid, lowest first."""
        rise, half = self.height - wall, repeat / 2 - wall
        count = self._count(rise, half)
        return [(half * (1 - (k + 0.5) / count), rise * (k + 1) / count) for k in range(count)]

    def _count(self, rise: float, half: float) -> int:
        """Return how many steps so high and so wide a flight has."""
        tread = max(_TREAD, 2 * self.smallest)
        return max(2, min(_MOST, int(rise / tread), int(half / tread)))

    def _white(self, share: float) -> float:
        """Return the width of a white line, given its share of the height."""
        return max(2.1 * self.smallest, share * self.height)

    def _core(self, repeat: float) -> BaseGeometry:
        """Return the light core of the dark pyramid in a light one, empty where it would be a crumb."""
        steps = self._steps(repeat, max(self.strap, _WALL * self.height))
        by = self._white(_CHANNEL) + self._echo
        core = _upright(_inset(steps, by, least=self.smallest, low=2 * self.smallest))
        return core if fits(core, max(_CRUMB * self.smallest, _CORE * self.height)) else Polygon()

    @property
    def _echo(self) -> float:
        return max(self.strap, _ECHO * self.height)

    def _nested(self, repeat: float) -> BaseGeometry:
        """Return what is cut of a pyramid: all of it, or all but a dark one in it, and of that its core."""
        steps, core = self._steps(repeat, self.wall(repeat)), self._core(repeat)
        if core.is_empty:
            return _upright(steps)
        # only steps that the core has too, or what is left of one is a spike
        dark = _inset(steps, self._white(_CHANNEL), least=self._echo + self.smallest, low=self._echo)
        return shapely.GeometryCollection([_upright(steps).difference(_upright(dark)), core])

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
