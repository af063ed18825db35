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

_ABREAST = 2
"""Teeth that hang between two that stand: one is a picket, three are a comb."""

_ASPECT = 0.62
"""Width of a tooth over its height, by eye: taller and they are pickets."""

_TOOTH = 0.58
"""Width of a tooth over the distance from one to the next."""

_CHANNEL = 0.2
"""Height of the channel under the teeth over that of the band."""

_LOZENGE = 2.4
"""Height of the lozenge in a tooth over its width, at most."""

_LEAF = 0.42
"""Width of a leaf in a corner block over its length."""


class Dentils(Ornament):
    """Teeth that hang from the rim over an open channel; every third stands down to the rail and parts it."""

    what = "a row of teeth"
    turned = True
    halved = False

    @property
    def least_height(self) -> float:
        """Return the height of a channel and the stump of a tooth over it."""
        return 2.02 * self.smallest + self.strap

    @property
    def natural(self) -> float:
        """Return the repeat of three teeth, each rather over half as wide as high."""
        return max((_ABREAST + 1) * self._pitch, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of one hanging tooth, its gaps just wide enough to be cut."""
        return 2 * (self.strap + 2.02 * self.smallest)

    @property
    def over(self) -> float:
        """Return where the last standing tooth would be: the corner block is one, and past the inner corner.

        The channels of two runs end there, a strap from each other.
        """
        return 0.75 * self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return the white about the teeth that hang between two that stand, and their lozenges."""
        count, tooth = self._teeth(repeat)
        pitch = repeat / (count + 1)
        teeth = [pitch * (k + 1) - repeat / 2 for k in range(count)]
        hanging = [box(x - tooth / 2, self._channel, x + tooth / 2, self.height) for x in teeth]
        white = box((tooth - repeat) / 2, 0, (repeat - tooth) / 2, self.height)
        pierced = [translate(self._lozenge(tooth), x) for x in teeth]
        return self.cut(white.difference(shapely.union_all(hanging))) + self.cut(shapely.union_all(pierced))

    def post(self, repeat: float) -> list[Points]:
        """Return the lozenge of a tooth that stands."""
        return self.cut(self._lozenge(self._teeth(repeat)[1]))

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return four leaves in the square block that stands in a corner."""
        middle, reach = self.height / 2, self.height / 2 - self.strap
        near, far = 0.75 * self.strap, math.sqrt(2) * reach
        leaf = lens(0, near, far, _LEAF * (far - near))
        leaves = [rotate(leaf, 45 + 90 * k, origin=(0, 0)) for k in range(4)]
        whole = translate(shapely.union_all(leaves), middle, middle)
        found = self.cut_corner(whole)
        return found if len(found) == 4 else self.cut_corner(rhomb(middle, middle, reach, reach))

    @property
    def _channel(self) -> float:
        """Return the height of the channel the teeth hang over."""
        return max(2.02 * self.smallest, _CHANNEL * self.height)

    @property
    def _pitch(self) -> float:
        """Return from tooth to tooth, of the usual proportions."""
        return max(_ASPECT * (self.height - self._channel) / _TOOTH, self.strap + 2.02 * self.smallest)

    def _teeth(self, repeat: float) -> tuple[int, float]:
        """Return how many teeth hang between two that stand, and how wide all of them are."""
        most = int(repeat / (self.strap + 2.02 * self.smallest) + 1e-9) - 1
        count = max(1, min(most, round(repeat / self._pitch) - 1))
        pitch = repeat / (count + 1)
        return count, min(max(self.strap, _TOOTH * pitch), pitch - 2.02 * self.smallest)

    def _lozenge(self, tooth: float) -> BaseGeometry:
        """Return the lozenge in a tooth, a strap from its sides and its foot."""
        half, low = tooth / 2 - self.strap, self._channel + self.strap
        middle = (self._channel + self.height) / 2
        tall = min(self.height - middle, middle - low, _LOZENGE * half)
        return rhomb(0, middle, half, tall)


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
