"""Mouldings of the classical orders turned into openings: dentils, beads and reels, eggs and darts."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import both, box, circle, lens, polygon

__all__ = ["Beads", "Dentils", "Eggs"]


class Dentils(Ornament):
    """Square teeth that hang from the rim, each with a lozenge in it, over a row of dashes."""

    what = "a row of teeth"
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of a gap that can just be cut."""
        return 2.02 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a gap and a tooth about as wide."""
        return max(1.1 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat whose gaps can just be cut."""
        return self.strap + 2.02 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the lozenge in a tooth, and the dash under it."""
        half, low = self._tooth(repeat) / 2 - self.strap, self._low()
        middle, tall = (low + self.height) / 2, min((self.height - low) / 2, 2.2 * half)
        lozenge = polygon((-half, middle), (0, middle - tall), (half, middle), (0, middle + tall))
        dash = box((self.strap - repeat) / 2, 0, (repeat - self.strap) / 2, self._foot())
        return self.cut(dash) + (self.cut(lozenge) if half > 0 else [])

    def post(self, repeat: float) -> list[Points]:
        """Return the gap between two teeth."""
        half = (repeat - self._tooth(repeat)) / 2
        return self.cut(box(-half, self._low(), half, self.height))

    @property
    def over(self) -> float:
        """Return where the last gap stands: short of the end, so that a dash can bend round the corner."""
        return -self.strap

    def corner(self, repeat: float) -> list[Points]:
        """Return the last gap of either run, a dash bent round the corner, and the corner tooth's lozenge."""
        h, low, foot, at = self.height, self._low(), self._foot(), -2 * self.strap
        half = (repeat - self._tooth(repeat)) / 2
        edge = min(at + half, at + 0.3 * h, low - self.strap)
        gap = box(at - half, low, edge, h)
        begin = low
        middle = (begin + h) / 2
        lozenge = polygon((begin, middle), (middle, begin), (h, middle), (middle, h))
        dash = box(at + self.strap / 2, 0, foot, foot) if foot else box(0, 0, 0, 0)
        return self.cut_corner(lozenge) + self.cut_corner(both(dash)) + self.cut_corner(both(gap))

    def _tooth(self, repeat: float) -> float:
        """Return the width of a tooth: half the repeat, or less where a gap would be too narrow to cut."""
        return min(max(self.strap, 0.5 * repeat), repeat - 2.02 * self.smallest)

    def _low(self) -> float:
        """Return how far from the inner rail the teeth end."""
        return self._foot() + self.strap if self._foot() else 0.0

    def _foot(self) -> float:
        """Return the height of the dashes, 0 where they would leave the teeth too short."""
        tall = max(2 * self.smallest, 0.2 * self.height)
        return tall if self.height - tall - self.strap > max(2 * self.smallest, 0.4 * self.height) else 0.0


class Beads(Ornament):
    """Round beads with a pair of slender reels between each two."""

    what = "a bead with its reels"
    rounded = 0.2

    @property
    def least_height(self) -> float:
        """Return the height of a bead that can just be cut."""
        return 2.02 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a round bead with two reels."""
        return self.height + 3 * self.strap + 2 * self._reel()

    @property
    def shortest(self) -> float:
        """Return the repeat of one slender bead."""
        return self.strap + 2.02 * self.smallest

    @property
    def over(self) -> float:
        """Return where the last post stands: between its reels, one of them left to the corner."""
        return self.strap / 2

    def bay(self, repeat: float) -> list[Points]:
        """Return the bead."""
        return self.cut(self._bead(repeat))

    def post(self, repeat: float) -> list[Points]:
        """Return two reels, and the small triangles left above and below beside the beads."""
        reels = self._reels(repeat)
        beads = [translate(self._bead(repeat), x) for x in (-repeat / 2, repeat / 2)]
        return self.cut(reels) + self.cut(self._rest(repeat, [reels, *beads]), soft=0.25)

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a bead, and a small triangle in each corner round it."""
        h = self.height
        bead = circle(h / 2, h / 2, h / 2)
        rest = box(0, 0, h, h).difference(circle(h / 2, h / 2, h / 2 + self.strap))
        return self.cut_corner(bead) + self.cut_corner(rest, soft=0.25)

    def _reel(self) -> float:
        return max(2.4 * self.smallest, 0.2 * self.height)

    def _bead(self, repeat: float) -> BaseGeometry:
        half = self._half(repeat)
        ball = circle(0, 0, 1)
        return shapely.transform(ball, lambda p: p * (half, self.height / 2) + (0, self.height / 2))

    def _half(self, repeat: float) -> float:
        """Return half the length of a bead: round, or what the repeat leaves."""
        room = (repeat - self.strap) / 2
        paired = room - self.strap - self._reel()
        return paired if paired > 0.3 * self.height else room

    def _reels(self, repeat: float) -> BaseGeometry:
        room = repeat / 2 - self._half(repeat) - self.strap
        wide = room - self.strap / 2
        if wide < 2 * self.smallest:
            return circle(0, 0, 0)
        x = (self.strap + wide) / 2
        return shapely.union_all([lens(sign * x, 0, self.height, wide) for sign in (-1, 1)])

    def _rest(self, repeat: float, shapes: list[BaseGeometry]) -> BaseGeometry:
        taken = shapely.union_all(shapes).buffer(self.strap, quad_segs=48)
        bar = box(-self.strap / 2, 0, self.strap / 2, self.height)
        return box(-repeat / 2, 0, repeat / 2, self.height).difference(taken).difference(bar)


class Eggs(Ornament):
    """Eggs hung from the rim, a crescent round each of them and a dart between each two."""

    what = "an egg with its dart"
    rounded = 0.3

    @property
    def least_height(self) -> float:
        """Return the height of an egg that can just be cut."""
        return 2.02 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of an egg two thirds as wide as high, with all that belongs to it."""
        shell = 2 * (0.8 * self._crescent() + self.strap) if self._crescent() else 0.0
        return 0.66 * self.height + shell + 2 * self.strap + self._dart()

    @property
    def shortest(self) -> float:
        """Return the repeat of a slender egg by itself."""
        return self.strap + 2.02 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the egg, and the crescent under it."""
        half, moon = self._widths(repeat)
        if not moon:
            return self.cut(self._egg(half, 0.0))
        egg = self._egg(half, moon + self.strap)
        around = self._egg(half + self.strap + 0.8 * moon, 0.0).difference(
            egg.buffer(self.strap, quad_segs=48)
        )
        tips = self.height * 0.86
        return self.cut(egg) + self.cut(around.intersection(box(-repeat, 0, repeat, tips)), soft=0.5)

    def post(self, repeat: float) -> list[Points]:
        """Return the dart: a drop that hangs from the rim, its point inward."""
        half, moon = self._widths(repeat)
        body = self._egg(half + (self.strap + 0.8 * moon if moon else 0.0), 0.0)
        sides = [translate(body, x) for x in (-repeat / 2, repeat / 2)]
        taken = shapely.union_all(sides).buffer(self.strap, quad_segs=48)
        wide, broad = 0.3 * self.height, 0.3 * self.height
        dart = polygon(
            (0, 0),
            (wide, broad),
            (0.08 * self.height, self.height),
            (-0.08 * self.height, self.height),
            (-wide, broad),
        )
        free = shapely.get_parts(box(-repeat / 2, 0, repeat / 2, self.height).difference(taken))
        between = [part for part in free if part.intersects(box(0, 0, 0.001, self.height))]
        return self.cut(shapely.union_all(between).intersection(dart), soft=0.25)

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return a palmette of three drops that opens from the inner corner."""
        h, lean = self.height, math.sin(math.pi / 12)
        apex = self.strap / 2 / lean
        long = (h + self.strap / 2) / (math.sqrt(0.5) + lean)
        short = (h + self.strap / 2) / (math.cos(math.pi / 12) + lean)
        drops = [
            _drop(apex, reach, reach * lean - self.strap / 2, turn)
            for reach, turn in ((short, 15), (long, 45), (short, 75))
        ]
        plain = box(0, 0, h, h).buffer(-0.1 * h)
        found = self.cut_corner(shapely.union_all(drops))
        return found if len(found) == 3 else self.cut_corner(plain, soft=0.6)

    def _crescent(self) -> float:
        """Return the depth of the crescent under an egg, 0 where it would leave too little of the egg."""
        deep = max(2.4 * self.smallest, 0.16 * self.height)
        return deep if self.height - deep - self.strap > 0.6 * self.height else 0.0

    def _dart(self) -> float:
        return max(2.4 * self.smallest, 0.16 * self.height)

    def _widths(self, repeat: float) -> tuple[float, float]:
        """Return half the width of an egg and the depth of its crescent, given what a repeat leaves."""
        room = (repeat - self._dart()) / 2 - self.strap
        moon = self._crescent()
        if moon and room - self.strap - 0.8 * moon > max(self.smallest, 0.16 * self.height):
            return room - self.strap - 0.8 * moon, moon
        return (room if room > max(self.smallest, 0.24 * self.height) else (repeat - self.strap) / 2), 0.0

    def _egg(self, half: float, foot: float) -> BaseGeometry:
        """Return an egg with its blunt end at the rim: half a long ellipse below, half a short one above."""
        waist = foot + 0.58 * (self.height - foot)
        ball = circle(0, 0, 1)
        low, high = ball.intersection(box(-2, -2, 2, 0)), ball.intersection(box(-2, 0, 2, 2))
        below = shapely.transform(low, lambda p: p * (half, waist - foot) + (0, waist))
        return below.union(shapely.transform(high, lambda p: p * (half, self.height - waist) + (0, waist)))


def _drop(apex: float, reach: float, radius: float, turn: float) -> BaseGeometry:
    """Return a drop that lies along a line from the origin, from its point to a round end."""
    if radius <= 0:
        return circle(0, 0, 0)
    return rotate(circle(reach, 0, radius).union(Point(apex, 0)).convex_hull, turn, origin=(0, 0))
