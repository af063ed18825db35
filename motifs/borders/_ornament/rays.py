"""Suns whose rays are tapered wedges: half ones along the inner edge, quarter ones in the corners."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import shapely
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import box, circle, polygon

__all__ = ["Suns"]

Cut: TypeAlias = Callable[[BaseGeometry], list[Points]]

_STOUT = 1.5
"""How much wider a ray of paper is at the sun than at its tip."""


class Suns(Ornament):
    """Half suns on the inner edge, their rays running out to the rim and to the posts between them."""

    what = "a sun"

    @property
    def least_height(self) -> float:
        """Return the height at which three wedges can just be cut."""
        return 1.2 * self.strap + 3.6 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a sun as long as twice its height."""
        return max(2 * self.height + self.strap, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose middle wedge can just be cut."""
        return 2 * self.strap + 4 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the wedges between the rays of a half sun, and its eye."""
        half = (repeat - self.strap) / 2
        count = self._count(math.pi, min(half, self.height))
        return self._sun(box(-half, 0, half, self.height), math.pi, count, self.cut)

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return the wedges of a quarter sun."""
        area = box(0, 0, self.height, self.height)
        return self._sun(area, math.pi / 2, self._count(math.pi / 2, self.height), self.cut_corner)

    def _sun(self, area: BaseGeometry, sweep: float, count: int, cut: Cut) -> list[Points]:
        """Return the wedges of a sun and its eye; without a disc where that would leave no wedges."""
        disc = self._disc(count, sweep)
        rays = self._rays(sweep, count)
        wedges = cut(area.difference(rays).difference(circle(0, 0, disc)))
        eye = circle(0, 0, disc - self.strap).intersection(area)
        return wedges + cut(eye) if wedges else cut(area.difference(rays))

    def _count(self, sweep: float, radius: float) -> int:
        """Return how many wedges, the outermost part of each nearly twice as wide as a ray; an odd number."""
        wide = self.strap + max(2.8 * self.smallest, 1.5 * self.strap)
        fit = int(sweep * radius / wide)
        most = 9 if sweep > 2 else 5
        return max(3, min(most, fit - (fit + 1) % 2))

    def _rays(self, sweep: float, count: int) -> BaseGeometry:
        """Return the rays of paper, wider where they spring than at their tips."""
        long, root, tip = 2.5 * self.height, _STOUT * self.strap / 2, self.strap / 2
        ray = polygon((0, -root), (long, -tip), (long, tip), (0, root))
        turns = [math.degrees(sweep * k / count) for k in range(1, count)]
        return shapely.union_all([rotate(ray, turn, origin=(0, 0)) for turn in turns])

    def _disc(self, count: int, sweep: float) -> float:
        """Return the radius of the disc, 0 where the rays are better left to meet in a point."""
        radius = max(0.22 * self.height, 1.2 * _STOUT * self.strap * count / sweep)
        return radius if radius < 0.62 * self.height else 0.0
