"""Lace: scallops hung from the rim with eyelets and picots, and scallops in two overlapping rows."""

from __future__ import annotations

import math
from functools import partial

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import inscribed_radius

from .areas import both, box, circle, softened, stretched

__all__ = ["Lace", "Scales"]


class Lace(Ornament):
    """Scallops hung from the rim, eyelets round a half flower, and picots in the air between them."""

    what = "a scallop of lace"
    rounded = 0.3
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of a scallop with one row of eyelets."""
        return self.strap + 2 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of scallops nearly twice as wide as they hang down."""
        return max(1.9 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of a scallop with one eyelet."""
        return 2 * self.strap + 3 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return the eyelets along the edge of a scallop, and the half flower in its middle."""
        body, tall = self._body(repeat, -self.strap), self.height - self.strap
        deep = self._deep(min(tall, repeat / 2 - self.strap / 2))
        core = self._body(repeat, -deep - 2 * self.strap)
        if not deep or inscribed_radius(core) < self.smallest:
            return self.cut(body, soft=0.2)
        around = body.difference(self._body(repeat, -deep - self.strap))
        wide = repeat / 2 - self.strap / 2
        length = math.pi * math.hypot(wide - deep / 2, tall - deep / 2) / math.sqrt(2)
        count = max(3, round(length / (1.25 * deep + self.strap)))
        spokes = partial(_spokes, (0.0, self.height), (wide, tall), math.pi, strap=self.strap)
        eyelets, petals = around.difference(spokes(count)), core.difference(spokes(self._petals(core)))
        return self.cut(eyelets, soft=0.75) + self.cut(petals, soft=0.45)

    def post(self, repeat: float) -> list[Points]:
        """Return the air between two scallops, picots standing into it."""
        air = self._air(repeat)
        return self.cut(air.difference(self._picots(air, repeat)))

    def corner(self, repeat: float) -> list[Points]:
        """Return a scallop hung in the corner of the rim, and the air between it and its neighbours."""
        h, edge = self.height, self.strap
        deep = self._deep(h - edge)
        disc = circle(h, h, h - edge).intersection(box(0, 0, h, h))
        core = circle(h, h, h - deep - 2 * edge).intersection(box(0, 0, h, h))
        if not deep or core.is_empty:
            return self.cut_corner(disc, soft=0.2) + self._bent_air(repeat)
        around = disc.difference(circle(h, h, h - edge - deep))
        count = max(2, round(math.pi / 2 * (h - edge - deep / 2) / (1.25 * deep + edge)))
        spokes = partial(_spokes, (h, h), (h, h), math.pi / 2, strap=edge)
        eyelets, petals = around.difference(spokes(count)), core.difference(spokes(2))
        return (
            self.cut_corner(eyelets, soft=0.75) + self.cut_corner(petals, soft=0.45) + self._bent_air(repeat)
        )

    def _bent_air(self, repeat: float) -> list[Points]:
        """Return the air between the corner's scallop and the last of either run."""
        h, at = self.height, self.over - self.strap
        last = translate(self._body(repeat, 0.0), at - repeat / 2)
        side = box(at + (self.strap - repeat) / 2, 0, h, h).difference(last.union(circle(h, h, h)))
        return self.cut_corner(both(side), soft=0.3)

    def _deep(self, tall: float) -> float:
        """Return the depth of the eyelets, 0 where they would leave no room for a flower."""
        deep = max(2 * self.smallest, 0.26 * tall)
        return deep if tall - deep - self.strap > max(3 * self.smallest, 0.3 * tall) else 0.0

    def _petals(self, core: BaseGeometry) -> int:
        """Return how many petals a half flower has."""
        low_x, low_y, high_x, high_y = core.bounds
        length = 2 * math.hypot((high_x - low_x) / 2, high_y - low_y)
        return (
            3
            if length > 3 * (self.strap + 3 * self.smallest)
            else 2
            if length > 2 * (self.strap + 3 * self.smallest)
            else 1
        )

    def _body(self, repeat: float, grow: float) -> BaseGeometry:
        """Return a scallop, its edge moved out by so much."""
        whole = translate(stretched((repeat + self.strap) / 2, self.height), 0, self.height)
        return whole.buffer(grow, quad_segs=32).intersection(box(-repeat, 0, repeat, self.height))

    def _air(self, repeat: float) -> BaseGeometry:
        sides = [translate(self._body(repeat, 0.0), x) for x in (-repeat / 2, repeat / 2)]
        area = box((self.strap - repeat) / 2, 0, (repeat - self.strap) / 2, self.height)
        return softened(area.difference(shapely.union_all(sides)), 0.3)

    def _picots(self, air: BaseGeometry, repeat: float) -> BaseGeometry:
        """Return small rounds of paper on the edges of two neighbouring scallops."""
        if inscribed_radius(air) < 1.1 * self.smallest:
            return circle(0, 0, 0)
        x, wide = 0.5 * air.bounds[2], (repeat + self.strap) / 2
        y = self.height - self.height * math.sqrt(max(0.0, 1 - ((repeat / 2 - x) / wide) ** 2))
        return shapely.union_all([circle(sign * x, y, 0.5 * self.strap) for sign in (-1, 1)])


class Scales(Ornament):
    """Two rows of scallops like scales, the outer ones between the inner ones, and drops along the rim."""

    what = "a pair of scallops"
    rounded = 0.2

    @property
    def least_height(self) -> float:
        """Return the height of two rows that can just be cut."""
        return self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of scallops about as wide as the two rows are high."""
        return max(1.2 * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of scallops that can just be cut."""
        return self.strap + 3 * self.smallest

    def bay(self, repeat: float) -> list[Points]:
        """Return a scallop of the inner row, and the drop between the rim and two of the outer row."""
        inner = self._scale(repeat, 0.0, -self.strap / 2)
        over = box(-repeat / 2, 0, repeat / 2, self.height).difference(
            self._scale(repeat, 0.0, self.strap / 2)
        )
        for x in (-repeat / 2, repeat / 2):
            over = over.difference(self._scale(repeat, x, self.strap / 2))
        return self.cut(inner, soft=0.2) + self.cut(over, soft=0.35)

    def post(self, repeat: float) -> list[Points]:
        """Return a scallop of the outer row."""
        body = self._scale(repeat, 0.0, -self.strap / 2, outer=True)
        for x in (-repeat / 2, repeat / 2):
            body = body.difference(self._scale(repeat, x, self.strap / 2, outer=False))
        return self.cut(body, soft=0.2)

    def corner(self, repeat: float) -> list[Points]:  # noqa: ARG002 - a corner is as long as it is high
        """Return quarter rounds about the inner corner, and the drop in the corner of the rim."""
        h, wall = self.height, self.strap
        area = box(0, 0, h, h)
        first, second = 0.5 * (h - wall), h
        core = circle(0, 0, first).intersection(area)
        ring = circle(0, 0, second).difference(circle(0, 0, first + wall)).intersection(area)
        ring = ring.difference(shapely.LineString([(0, 0), (2 * h, 2 * h)]).buffer(wall / 2))
        rest = area.difference(circle(0, 0, second + wall))
        return (
            self.cut_corner(core, soft=0.2)
            + self.cut_corner(ring, soft=0.2)
            + self.cut_corner(rest, soft=0.3)
        )

    def _scale(self, repeat: float, x: float, grow: float, *, outer: bool | None = None) -> BaseGeometry:
        """Return a scale, its edge moved out by so much; those that stand on posts are of the outer row."""
        row = 0.5 * (self.height + self.strap / 2)
        base = row if (outer if outer is not None else abs(x) > 1e-9) else 0.0
        dome = translate(stretched(repeat / 2, row), x, base)
        dome = dome.union(box(x - repeat / 2, base - 2 * row, x + repeat / 2, base))
        return dome.buffer(grow, quad_segs=32).intersection(box(-repeat, 0, repeat, 2 * self.height))


def _spokes(
    at: tuple[float, float], half: tuple[float, float], sweep: float, count: int, *, strap: float
) -> BaseGeometry:
    """Return the straps that part a sector evenly; it opens left from its middle, then down."""
    (x, y), (wide, tall) = at, half
    turns = [sweep * k / count for k in range(1, count)]
    lines = [[(x, y), (x - 3 * wide * math.cos(a), y - 3 * tall * math.sin(a))] for a in turns]
    return shapely.union_all([shapely.LineString(line).buffer(strap / 2) for line in lines])
