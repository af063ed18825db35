"""Stepped pyramids nested in each other, and ziggurats opened round the corners."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits

from .areas import Cut, box

__all__ = ["Steps"]

Flight: TypeAlias = list[tuple[float, float]]
"""How far each step reaches to either side, and how high it is, mm."""

_BROAD = 2.1
"""Repeat over height: broad enough for a pyramid within a pyramid, still taller than a roof."""

_WALL = 0.1
"""Paper between pyramids over height: in a wide band the zigzag of it is the strongest line."""

_CHANNEL = 0.13
"""White between a pyramid and the one in it over height: finer than the wall reads as its echo."""

_BOLD = 0.2
"""The same where there is no room for a core: the dark pyramid then stands in a white one."""

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
        """Return where the last pyramid stands: on the inner corner itself."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return the pyramid that hangs."""
        hanging = shapely.transform(
            self._nested(repeat, self._upright), lambda p: p * (1, -1) + (0, self.height)
        )
        return self._cut(hanging, self.cut)

    def post(self, repeat: float) -> list[Points]:
        """Return the pyramid that stands."""
        return self._cut(self._nested(repeat, self._upright), self.cut)

    def corner(self, repeat: float) -> list[Points]:
        """Return the pyramid that stands on the inner corner, seen from three sides."""
        return self._cut(self._nested(repeat, self._opened_round), self.cut_corner)

    def _cut(self, whites: BaseGeometry, cut: Cut) -> list[Points]:
        return [ring for white in shapely.get_parts(whites) for ring in cut(white)]

    @property
    def wall(self) -> float:
        """Return the paper between pyramids."""
        return max(self.strap, _WALL * self.height)

    def _steps(self, repeat: float) -> Flight:
        """Return the steps of a pyramid, lowest first."""
        rise, half = self.height - self.wall, repeat / 2 - self.wall
        tread = max(_TREAD, 2 * self.smallest)
        count = max(2, min(_MOST, int(rise / tread), int(half / tread)))
        return [(half * (1 - (k + 0.5) / count), rise * (k + 1) / count) for k in range(count)]

    def _nested(self, repeat: float, body: Callable[[Flight], BaseGeometry]) -> BaseGeometry:
        """Return what is cut of a pyramid: all but a dark one in it, and of that its core."""
        steps = self._steps(repeat)
        fine, bold = (max(2.1 * self.smallest, share * self.height) for share in (_CHANNEL, _BOLD))
        core = body(_inset(steps, fine + self.strap, least=self.smallest, low=2 * self.smallest))
        if fits(core, max(1.5 * self.smallest, _CORE * self.height)):
            # only steps that the core has too, or what is left of one is a spike, and at a corner a block
            ring = body(steps).difference(
                body(_inset(steps, fine, least=self.strap + self.smallest, low=self.strap))
            )
            return shapely.GeometryCollection([ring, core])
        return body(steps).difference(body(_inset(steps, bold, least=self.strap / 2, low=self.strap)))

    def _upright(self, steps: Flight) -> BaseGeometry:
        """Return a pyramid; its fellow, upside down half a repeat away, keeps a wall from it all the way."""
        return shapely.union_all([box(-half, 0, half, top) for half, top in steps])

    def _opened_round(self, steps: Flight) -> BaseGeometry:
        """Return a pyramid about the inner corner, as steep to either side."""
        boxes = [box(-half, -half, top, top) for half, top in steps]
        return shapely.union_all(boxes).difference(box(-1e3, -1e3, 0, 0))


def _inset(steps: Flight, by: float, *, least: float, low: float) -> Flight:
    """Return the steps of a pyramid within another, less those not so wide to either side, or not so high."""
    return [(half - by, top - by) for half, top in steps if half - by >= least and top - by >= low]
