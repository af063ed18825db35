"""Waves, scrolls and swags: the paper of borders that roll and hang, drawn flat for one half of a side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from .rope import boss
from .strokes import around, bezier, disc, drop, fan, polar, stroke

__all__ = ["Scroll", "Swag", "Wave"]


def _pearl(beside: BaseGeometry, x: float, flow: Wave | Scroll) -> BaseGeometry:
    """Return the drop that lies where two rows part: the largest there is room for beside an opening."""
    heights = np.linspace(0.1, 0.9, 40) * flow.height
    room = shapely.distance(shapely.points(x, heights), beside) - 1.1 * flow.paper
    radius = np.minimum(np.minimum(room, heights), 0.2 * flow.height)
    best = int(np.argmax(radius))
    if radius[best] < flow.smallest:
        return Polygon()
    tip = min(heights[best] + 2.4 * radius[best], flow.height)
    return drop((x, tip), (x, heights[best]), radius[best], 0.02)


@dataclass(frozen=True, slots=True)
class Wave:
    """A row of breaking waves: `height` between the rails, `strap` at the finest, in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.2
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.1 * self.strap + 3.8 * self.smallest

    @property
    def paper(self) -> float:
        """Return the width of the crests."""
        return max(self.strap, 0.13 * self.height)

    @property
    def shortest(self) -> float:
        """Return the repeat whose crests can just be cut."""
        return 0.78 * self.natural

    @property
    def natural(self) -> float:
        """Return the repeat whose crests are as high as the band allows."""
        return 2.5 * self.paper + 3.9 * 0.25 * self.height + 0.1 * self.height

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: waves that roll towards the corner."""
        white = self._comma(repeat)
        whites = [translate(white, i * repeat) for i in range(count)]
        end = repeat * count
        pearls = [_pearl(whites[-1], end, self)] + ([_pearl(whites[0], 0.0, self)] if ring else [])
        return around([*whites, *pearls], end, self.height)

    def _comma(self, repeat: float) -> BaseGeometry:
        d, a = self.height, self.paper
        c = min((repeat - 2.5 * a - 0.1 * d) / 3.9, 0.27 * d)
        head = min(1.15 * c, 0.3 * d)
        spare = repeat - 2.5 * a - 0.1 * d - 3.9 * c
        top = d - 0.75 * a - head
        x = head + 0.6 * a + 0.1 * spare
        far = x + head + 1.2 * a + 0.72 * c + 0.6 * spare
        low = 0.62 * c
        eye = (x, top)
        keel = ((x + far) / 2 - 0.1 * d, low)
        under = bezier(eye, (x - 0.75 * head, 0.5 * top), (x - 0.4 * head, low), keel, count=15)
        back = bezier(
            keel, (far + 0.1 * d, low), (far - 0.12 * d, 0.72 * d), (far + 0.3 * d, d + 0.2 * c), count=15
        )
        spine = np.vstack([under, back[1:]])
        return shapely.union_all(
            [stroke(spine, [c, c, 1.05 * c, 1.2 * c, 1.45 * c, 1.4 * c, 0.7 * c]), disc(*eye, head)]
        )

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: a fan of drops."""
        d = self.height
        return box(0, 0, d, d).difference(shapely.union_all(fan(d, self.paper, self.smallest)))


@dataclass(frozen=True, slots=True)
class Scroll:
    """A row of coils, each running over into the next; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.25
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.1 * self.strap + 3.8 * self.smallest

    @property
    def paper(self) -> float:
        """Return the paper between two turns of a coil."""
        return max(self.strap, 0.15 * self.height)

    @property
    def _channel(self) -> float:
        return max(2.3 * self.smallest, 0.185 * self.height)

    @property
    def _pitch(self) -> float:
        # The turns of a coil lie a little nearer than its pitch, being drawn in: the more, the narrower the
        # channel is for its paper, and on a curve.
        lean = max(0.0, self.paper / self._channel - 1)
        return 1.1 * (self._channel + (1.04 + 0.1 * lean) * self.paper)

    @property
    def _radius(self) -> float:
        return (self.height - self._channel + 0.5 * self._pitch) / 2

    @property
    def shortest(self) -> float:
        """Return the repeat at which coils are a strap apart."""
        return 2 * self._radius - self._pitch + self._channel + 1.05 * self.paper

    @property
    def natural(self) -> float:
        """Return the repeat that leaves the tails of coils some room."""
        return self.shortest + 0.12 * self.height

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side."""
        left = self._radius - self._pitch / 4 + self._channel / 2 + self.paper / 2
        coil = translate(self._coil(repeat), left)
        end = repeat * count
        whites = [translate(coil, i * repeat) for i in range(count)]
        whites[-1] = whites[-1].intersection(box(0, 0, end - 0.6 * self.paper, self.height))
        pearls = [_pearl(whites[-1], end, self)] + ([_pearl(whites[0], 0.0, self)] if ring else [])
        return around([*whites, *pearls], end, self.height)

    def _coil(self, repeat: float) -> BaseGeometry:
        """Return the opening of a coil about x = 0."""
        c, p, r = self._channel, self._pitch, self._radius
        middle = (0.0, c / 2 + r - p / 2)
        turned = np.linspace(0, 360 * (r - 0.42 * c) / p, 65)
        turns = polar(middle, r - p * turned / 360, np.radians(90 + turned))
        spiral = stroke(turns, [c, c])
        # the tail runs on along the rail as far as the shoulder of the next coil lets it
        shoulder, height = translate(spiral, repeat), turns[0][1]
        for far in np.linspace(repeat, 0.3 * r, 24):
            line = bezier(
                (far, height + 0.3 * c), (0.6 * far, height + 0.1 * c), (0.3 * far, height), tuple(turns[0])
            )
            tail = stroke(line, [0.4 * c, 0.75 * c, c])
            if tail.distance(shoulder) >= self.paper:
                return spiral.union(tail)
        return spiral

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: a ring in two halves round an eye."""
        d, w = self.height, self.strap
        whites = [translate(o, w / 2, w / 2) for o in boss(d - w / 2, self.paper, self.smallest, halves=True)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))


@dataclass(frozen=True, slots=True)
class Swag:
    """Garlands that hang from the rim between tassels; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.3
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.3 * self.strap + 3 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat whose garlands hang in a round."""
        return 1.9 * self.height

    @property
    def shortest(self) -> float:
        """Return the repeat whose garlands still have an opening above them."""
        return 0.9 * self.height + 2 * self.smallest

    @property
    def paper(self) -> float:
        """Return the paper between the leaves of a garland."""
        return self.strap

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: a garland in each repeat, tassels between."""
        d, end = self.height, repeat * count
        swag = self._garland(repeat)
        tassel = self._tassel()
        parts = [translate(swag, (i + 0.5) * repeat) for i in range(count)]
        parts += [translate(tassel, i * repeat) for i in range(0 if ring else 1, count + 1)]
        post = [] if ring else [box(0, 0, self.strap / 2, d)]
        return shapely.union_all(parts + post).intersection(box(0, -d, end, 2 * d))

    def _garland(self, repeat: float) -> BaseGeometry:
        """Return a garland about x = 0, thick in the middle and pierced there by round flowers."""
        d, w = self.height, self.strap
        thick = max(1.3 * w, 0.42 * d)
        x = np.linspace(-0.5, 0.5, 49)
        swell = np.cos(np.pi * x)
        spine = np.column_stack([x * repeat, 0.98 * (d - (1 - 4 * x**2) * (d - thick / 2))])
        body = stroke(spine, w + (thick - w) * swell)
        flowers = []
        for i in (12, 24, 36):
            radius = (w + (thick - w) * swell[i]) / 2 - w
            if radius >= 1.05 * self.smallest:
                flowers.append(disc(float(spine[i, 0]), float(spine[i, 1]), radius))
        return body.difference(shapely.union_all(flowers)) if flowers else body

    def _tassel(self) -> BaseGeometry:
        """Return the tassel that hangs between two garlands, about x = 0."""
        d, w = self.height, self.strap
        cord = box(-w / 2, 0.3 * d, w / 2, d)
        return shapely.union_all(
            [
                cord,
                drop((0, 0.62 * d), (0, 0.16 * d + w / 4), max(0.1 * d, 0.5 * w), w / 2),
                disc(0, d, 1.1 * w),
            ]
        )

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: three drops from the inner corner."""
        d, w = self.height, self.strap
        whites = [translate(white, w / 2, w / 2) for white in fan(d - w / 2, w, self.smallest)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))
