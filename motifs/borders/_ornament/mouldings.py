"""Mouldings of the classical orders turned into openings: dentils, beads and reels, eggs and darts."""

from __future__ import annotations

import math

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points

from .areas import both, box, circle, lens, rhomb

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

_LOW = 0.4
"""Height of a pearl over that of the band: the teeth lead, the pearls follow."""

_PEARL = 1.5
"""The same in straps, at least: a smaller one is a lump on the stem it hangs by."""

_ASPECT = 0.52
"""Width of a tooth over its height, by eye: wider and it is a brick, slimmer a picket."""

_STOUT = 1.25
"""The same in straps, at least: a tooth is broader than the stem under it."""

_GAP = 1.2
"""White between two teeth over the width of one: rails and pearls are dark enough."""

_SOFT = 0.12
"""How round the corners of the white are: so much of a touch as closes the cracks beside a pearl."""

_LOZENGE = 2.2
"""Height of the lozenge in a tooth over its width, at most."""

_WORTH = 1.6
"""Half the width of that lozenge in smallest openings, at least: slimmer it is a scratch."""

_LEAF = math.tan(math.pi / 8)
"""Width of a leaf in a corner block over its length: wider, two neighbours would near each other."""

_BESIDE = 0.75
"""Of a strap, from a corner block to the crossing of the rails: the white of two runs ends a strap apart."""


class Dentils(Ornament):
    """Teeth that hang from the rim, all alike; under each, where there is room, a pearl on the rail."""

    what = "a row of teeth"
    turned = True
    halved = False

    @property
    def least_height(self) -> float:
        """Return the height of a gap that can just be cut."""
        return 2.4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of a tooth and a gap of their usual proportions."""
        return self._broadest + self._widest

    @property
    def shortest(self) -> float:
        """Return the repeat of a tooth a strap wide, its gap just wide enough to be cut."""
        return self.strap + 2.1 * self.smallest

    @property
    def over(self) -> float:
        """Return where the last tooth stands: a gap short of the block in the corner."""
        return (1 - _BESIDE) * self.strap - self._widest - self._broadest / 2

    def bay(self, repeat: float) -> list[Points]:
        """Return the white between two teeth."""
        teeth = [translate(self._tooth(repeat), x) for x in (-repeat / 2, repeat / 2)]
        white = box(-repeat / 2, 0, repeat / 2, self.height).difference(shapely.union_all(teeth))
        return self.cut(white, soft=_SOFT)

    def post(self, repeat: float) -> list[Points]:
        """Return the lozenge in a tooth."""
        half, low = self._broad(repeat) / 2 - self.strap, self._low + self.strap
        if half < _WORTH * self.smallest:
            return []
        tall = min((self.height - low) / 2, _LOZENGE * half)
        return self.cut(rhomb(0, (self.height + low) / 2, half, tall))

    def corner(self, repeat: float) -> list[Points]:
        """Return four leaves in a block, and of either run the white between it and the last tooth."""
        last = self.over - self.strap
        white = box(last, 0, -_BESIDE * self.strap, self.height)
        beside = [white.difference(translate(self._tooth(repeat), last))]
        beside += [translate(Polygon(shape), last) for shape in self.post(repeat)]
        return self._leaves() + [ring for one in beside for ring in self.cut_corner(both(one), soft=_SOFT)]

    def _leaves(self) -> list[Points]:
        """Return four leaves in the block of a corner."""
        middle = self.height / 2
        reach = middle - max((1.02 - _BESIDE) * self.strap, 0.04 * self.height)
        near, far = 0.75 * self.strap, math.sqrt(2) * reach
        leaf = lens(0, near, far, _LEAF * (far - near))
        leaves = [rotate(leaf, 45 + 90 * k, origin=(0, 0)) for k in range(4)]
        found = self.cut_corner(translate(shapely.union_all(leaves), middle, middle))
        return found if len(found) == 4 else self.cut_corner(rhomb(middle, middle, reach, reach))

    @property
    def _low(self) -> float:
        """Return the height of the pearls; 0 where there is room for teeth alone."""
        low = _LOW * self.height
        return low if low >= _PEARL * self.strap else 0.0

    @property
    def _broadest(self) -> float:
        """Return the width of a tooth of its usual proportions."""
        return max(_ASPECT * (self.height - self._low), _STOUT * self.strap)

    @property
    def _widest(self) -> float:
        """Return the gap beside such a tooth, and beside the pearl under it."""
        pearl = self._low - self._broadest + 2.4 * self.smallest
        return max(_GAP * self._broadest, pearl, 2.4 * self.smallest)

    def _broad(self, repeat: float) -> float:
        """Return the width of a tooth: in a longer repeat the gaps are wider."""
        share = self._broadest / self.natural
        return max(self.strap, min(self._broadest, share * repeat, repeat - 2.05 * self.smallest))

    def _tooth(self, repeat: float) -> BaseGeometry:
        """Return a tooth about x = 0 and what is under it: a pearl on a stem."""
        half, low = self._broad(repeat) / 2, self._low
        radius = min(low / 2, (repeat - 2.2 * self.smallest) / 2)
        stem = box(-self.strap / 2, 0, self.strap / 2, self.height)
        return shapely.union_all([box(-half, low, half, self.height), stem, circle(0, low / 2, radius)])


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
