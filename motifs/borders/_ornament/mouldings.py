"""Mouldings of the classical orders turned into openings: dentils, beads and reels, eggs and darts."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate, scale, translate
from shapely.geometry import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import both, box, circle, lens, rhomb, stretched

__all__ = ["Beads", "Dentils", "Eggs"]

_EGG = 0.3
"""Half width of an egg over the band's height: over its crescent it is a little longer than wide."""

_SLIMMEST = 0.19
"""The same, at least: slimmer it is a seed."""

_DEEP = 0.14
"""Depth of the crescent over height, under the egg."""

_HORNS = 0.84
"""How high the horns of the crescent reach: higher and they shut the egg in."""

_DART = 0.22
"""Width of a dart at its widest over height: a spearhead, clearly slimmer than an egg."""

_NARROWEST = 2.2
"""The same over the radius of the smallest opening, at least."""

_BLADE = 1 / 3
"""How far up a dart is widest: low, where the eggs draw apart."""

_REEL = 0.2
"""Width of a reel over that of a bead: a fifth sets off the round."""

_STOUTEST = 0.34
"""The same, at most: stouter reels are beads themselves, and what is over widens the paper between."""

_LOOSE = 1.6
"""Longest repeat over the shortest: looser and the beads stand by themselves."""

_TOOTH = 0.7
"""Width of a tooth over its height: a little under half as high again as wide, so that a slit finds room."""

_STOUT = 1.3
"""The same in straps, at least."""

_GAP = 0.78
"""White between two teeth over the width of one, by eye: rails and fillet are dark enough."""

_LOOSER = 1.15
"""Widest gap over the usual one: a block in a corner begins so far from the row that one fits beside it."""

_SHADE = 0.16
"""Height of the white under the teeth over that of the band."""

_BED = 0.22
"""Height of the beads under the fillet over that of the band."""

_PROUD = 3.6
"""Height of the teeth over beads in straps, at least: with less, all is dark and small; beads go."""

_ROUND = 0.9
"""Width of a bead over its height at which there are two of them to a tooth."""

_SLIT = 0.26
"""Width of the slit in a tooth over that of the tooth: wider, and it looks like an eye."""

_UPRIGHT = 0.68
"""Its height over that of the tooth."""

_RAISED = 0.53
"""How high in a tooth it stands: the rim above is dark too."""

_WIDE = 1.4
"""Width of the leaves in a tie over their height, at most."""

_LEAF = math.tan(math.pi / 8)
"""Width of a leaf in a corner block over its length: wider, two neighbours would near each other."""

_BESIDE = 0.75
"""Of a strap, from a corner block to the crossing of the rails: the white of two runs ends a strap apart."""


class Dentils(Ornament):
    """Square teeth that hang free from the rim; under them a fillet, and beads where there is room."""

    what = "a row of teeth"
    turned = True
    halved = False
    tied = True

    @property
    def least_height(self) -> float:
        """Return the height of squat teeth over a line that can just be cut."""
        return self._shade + max(self.strap, 2.1 * self.smallest)

    @property
    def natural(self) -> float:
        """Return the repeat of a tooth and a gap of their usual proportions."""
        return self._broadest + self._widest

    @property
    def shortest(self) -> float:
        """Return the repeat of the slimmest tooth, its gap just wide enough to be cut."""
        return _STOUT * self.strap + 2.1 * self.smallest

    @property
    def over(self) -> float:
        """Return where the row begins: half a gap short of the block in the corner."""
        return (1 - _BESIDE) * self.strap - _LOOSER * self._widest / 2

    def bay(self, repeat: float) -> list[Points]:
        """Return the beads under a tooth: a long one, or two where they come out round."""
        bed = self._bed
        half, wide = repeat / 2 - self.strap, repeat - self.strap
        if not bed:
            return []
        if half >= _ROUND * bed:
            bead = translate(stretched(half / 2, bed / 2), repeat / 4, bed / 2)
            return self.cut(bead.union(translate(bead, -repeat / 2)))
        return self.cut(translate(stretched(wide / 2, bed / 2), 0, bed / 2))

    def stretch(self, repeat: float, count: int) -> list[Points]:
        """Return the white about so many teeth, a gap at either end, and the slits in them."""
        low, gap = self._fillet, self._gap(repeat)
        half, foot = (repeat - gap) / 2, low + self._shade
        places = [(k - (count - 1) / 2) * repeat for k in range(count)]
        teeth = [box(x - half, foot, x + half, self.height + 1) for x in places]
        long = (count * repeat + gap) / 2
        shifts = [np.array([x, 0.0]) for x in places]
        white = self.cut(box(-long, low, long, self.height).difference(shapely.union_all(teeth)))
        return white + [ring + shift for shift in shifts for ring in self._slit(2 * half)]

    def tie(self, repeat: float) -> list[Points]:
        """Return four leaves, or a lozenge, in the block that holds fillet and rim together."""
        low, half = self._fillet, repeat - self._gap(repeat) / 2 - self.strap
        reach = (self.height - low) / 2
        wide = min(_WIDE, half / reach)
        leaves = scale(self._leaves(min(reach, half)), max(1.0, wide), 1, origin=(0, 0))
        found = self.cut(translate(leaves, 0, low + reach))
        return found if len(found) == 4 else self.cut(rhomb(0, low + reach, min(half, reach), 0.8 * reach))

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a block is as long as it is high
        """Return four leaves in a block, or a lozenge where they would be too slender."""
        middle = self.height / 2
        reach = middle - max((1.02 - _BESIDE) * self.strap, 0.04 * self.height)
        found = self.cut_corner(translate(self._leaves(reach), middle, middle))
        return found if len(found) == 4 else self.cut_corner(rhomb(middle, middle, reach, reach))

    def _leaves(self, reach: float) -> BaseGeometry:
        """Return four leaves about the origin, into the corners of a square so far out, if any."""
        near, far = 0.75 * self.strap, math.sqrt(2) * reach
        if far <= near:
            return Polygon()
        leaf = lens(0, near, far, _LEAF * (far - near))
        return MultiPolygon([rotate(leaf, 45 + 90 * k, origin=(0, 0)) for k in range(4)])

    def _slit(self, broad: float) -> list[Points]:
        """Return the slender slit in a tooth so broad about x = 0; none where it cannot be cut."""
        wide = max(2.05 * self.smallest, _SLIT * broad)
        if wide > broad - 2 * self.strap:
            return []
        middle = self._fillet + self._shade + _RAISED * self._high
        half = min(_UPRIGHT * self._high / 2, _RAISED * self._high - self.strap)
        return self.cut(lens(0, middle - half, middle + half, wide))

    @property
    def _shade(self) -> float:
        """Return the height of the white under the teeth."""
        return max(2.2 * self.smallest, _SHADE * self.height)

    @property
    def _bed(self) -> float:
        """Return the height of the beads; 0 where they would leave no height for teeth."""
        bed = max(2.4 * self.smallest, _BED * self.height)
        left = self.height - bed - self.strap - self._shade
        return bed if left >= _PROUD * self.strap else 0.0

    @property
    def _fillet(self) -> float:
        """Return how high the upper edge of the fillet lies; without beads the rail is the fillet."""
        return self._bed + self.strap if self._bed else 0.0

    @property
    def _high(self) -> float:
        """Return the height of a tooth."""
        return self.height - self._fillet - self._shade

    @property
    def _broadest(self) -> float:
        """Return the width of a tooth of its usual proportions."""
        return max(_TOOTH * self._high, _STOUT * self.strap)

    @property
    def _widest(self) -> float:
        """Return the gap beside such a tooth."""
        return max(_GAP * self._broadest, 2.1 * self.smallest)

    def _gap(self, repeat: float) -> float:
        """Return the gap between two teeth; what a much longer repeat has over goes to the teeth."""
        gap = min(_LOOSER * self._widest, _GAP / (1 + _GAP) * repeat)
        return min(max(gap, 2.1 * self.smallest), repeat - _STOUT * self.strap)


class Beads(Ornament):
    """True circles with a pair of slender reels between each two, also beside the bead of a corner."""

    what = "a bead with its reels"
    rounded = 0.2
    turned = True
    rigid = True

    @property
    def least_height(self) -> float:
        """Return the height of a bead that can just be cut."""
        return 2.02 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a bead and two reels of their usual width."""
        return self.height + 3 * self.strap + 2 * self._reel

    @property
    def shortest(self) -> float:
        """Return the repeat of a bead with the slimmest reels."""
        return self.height + 3 * self.strap + 4.2 * self.smallest

    @property
    def longest(self) -> float:
        """Return the longest repeat that still reads as one chain."""
        return _LOOSE * self.shortest

    @property
    def over(self) -> float:
        """Return where the last pair of reels stands: short of the corner by half its own length."""
        return -self._reel - self.strap / 2

    def bay(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a bead is round whatever the repeat
        """Return the bead."""
        return self.cut(circle(0, self.height / 2, self.height / 2))

    def post(self, repeat: float) -> list[Points]:
        """Return two reels, and the small triangles left above and below beside the beads."""
        reels = self._reels(repeat)
        beads = [circle(x, self.height / 2, self.height / 2) for x in (-repeat / 2, repeat / 2)]
        return self.cut(reels) + self.cut(self._rest(repeat, [reels, *beads]), soft=0.25)

    def corner(self, repeat: float) -> list[Points]:
        """Return a bead, a small triangle in each corner round it, and the last reels of either run."""
        h = self.height
        bead = circle(h / 2, h / 2, h / 2)
        at = self.over - self.strap
        pair = translate(self._reels(repeat, most=self._reel), at)
        rest = box(0, 0, h, h).difference(circle(h / 2, h / 2, h / 2 + self.strap))
        return self.cut_corner(bead) + self.cut_corner(rest, soft=0.25) + self.cut_corner(both(pair))

    @property
    def _reel(self) -> float:
        return max(2.4 * self.smallest, _REEL * self.height)

    def _reels(self, repeat: float, *, most: float = math.inf) -> BaseGeometry:
        """Return the pair of reels that fills what two beads leave."""
        stoutest = max(3 * self.smallest, _STOUTEST * self.height)
        wide = min((repeat - self.height - 3 * self.strap) / 2, stoutest, most)
        between = (repeat - self.height - 2 * wide) / 3 if most == math.inf else 0.0
        x = (max(self.strap, between) + wide) / 2
        return shapely.union_all([lens(sign * x, 0, self.height, wide) for sign in (-1, 1)])

    def _rest(self, repeat: float, shapes: list[BaseGeometry]) -> BaseGeometry:
        taken = shapely.union_all(shapes).buffer(self.strap, quad_segs=48)
        bar = box(-self.strap / 2, 0, self.strap / 2, self.height)
        return box(-repeat / 2, 0, repeat / 2, self.height).difference(taken).difference(bar)


class Eggs(Ornament):
    """Eggs hung from the rim, a crescent round each of them and a spearhead between each two."""

    what = "an egg with its dart"
    rounded = 0.3
    halved = False

    @property
    def least_height(self) -> float:
        """Return the height of an egg over its crescent that can just be cut."""
        return self.strap + 5 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of an egg of its usual roundness, with all that belongs to it."""
        return 2 * (_EGG * self.height + 2 * self.strap + self._crescent) + self._dart

    @property
    def shortest(self) -> float:
        """Return the repeat of a slender egg with all that belongs to it."""
        half = max(1.3 * self.smallest, _SLIMMEST * self.height)
        return 2 * (half + 2 * self.strap + self._crescent) + _NARROWEST * self.smallest

    @property
    def longest(self) -> float:
        """Return the repeat of an egg wider than high."""
        return 2 * self.natural

    def bay(self, repeat: float) -> list[Points]:
        """Return the egg, and the crescent under it."""
        half, moon = self._half(repeat), self._crescent
        egg = self._egg(half, moon + self.strap)
        around = self._shell(repeat).difference(egg.buffer(self.strap, quad_segs=48))
        around = around.intersection(box(-repeat, 0, repeat, _HORNS * self.height))
        return self.cut(egg) + self.cut(around, soft=0.35)

    def post(self, repeat: float) -> list[Points]:
        """Return the dart: a spearhead of four arcs, smooth at its widest, pointed at both ends."""
        sides = [translate(self._shell(repeat), x) for x in (-repeat / 2, repeat / 2)]
        taken = shapely.union_all(sides).buffer(self.strap, quad_segs=48)
        wide, widest, h = self._dart, _BLADE * self.height, self.height
        low = lens(0, 0, 2 * widest, wide).intersection(box(-wide, 0, wide, widest))
        high = lens(0, 2 * widest - h, h, wide).intersection(box(-wide, widest, wide, h))
        return self.cut(low.union(high).difference(taken))

    @property
    def over(self) -> float:
        """Return where the dart left out at a corner would stand: an egg is a strap from the palmette."""
        return self.strap / 2 + _NARROWEST * self.smallest / 2

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

    @property
    def _crescent(self) -> float:
        """Return the depth of the crescent under an egg."""
        return max(2.1 * self.smallest, _DEEP * self.height)

    @property
    def _dart(self) -> float:
        """Return what room a dart has at the waist of the eggs."""
        return max(2.3 * self.smallest, _DART * self.height)

    def _half(self, repeat: float) -> float:
        """Return half the width of an egg, given what a repeat leaves."""
        dart = min(self._dart, max(_NARROWEST * self.smallest, 0.2 * repeat))
        return (repeat - dart) / 2 - 2 * self.strap - self._crescent

    def _shell(self, repeat: float) -> BaseGeometry:
        """Return an egg with its crescent, which is as deep all the way round."""
        egg = self._egg(self._half(repeat), self._crescent + self.strap)
        return egg.buffer(self.strap + self._crescent, quad_segs=48)

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
        return Polygon()
    return rotate(circle(reach, 0, radius).union(Point(apex, 0)).convex_hull, turn, origin=(0, 0))
