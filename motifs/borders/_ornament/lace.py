"""Lace: scallops hung from the rim with eyelets, and scallops in two overlapping rows."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._tiles import Ornament
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fitting, inscribed_radius

from .areas import Cut, both, box, circle, softened, stretched

__all__ = ["Lace", "Scales"]

_SCALE = 1.2
"""Repeat of scales over the height of their two rows: a little wider than high, as on a fish."""

_SLIMMEST = 0.6
"""The same, at least: narrower ones are fingers."""

_LINE = 0.13
"""Paper between scales over height: in a wide band a strap would be a wire."""

_ECHO, _ECHOED = 0.1, 9.0
"""How far within its edge an arch repeats a scale, over height; and from what height in straps."""

_FALL = 1.75
"""Repeat of a scallop of lace over how far it hangs: rounder than half a circle, so that its edge shows."""

_EYELET = 1.25
"""Length of an eyelet over its depth: nearly round."""

_WHOLE = 0.38
"""Radius of an eyelet over its depth, at least."""

_HEEL = 1.6
"""Radius of the heel that a flower's petals spring from, in straps."""

_ROUND, _SUNK = 0.85, 0.17
"""Radius of a corner's scallop over height, and how much of it lies beyond its middle: nearly all shows."""

_EYE, _PETALS, _BROAD = 0.2, 7, 1.1
"""Of a scallop too small for eyelets: its eye over height, its petals at most, and how broad in straps."""

_ROOM = 3.6
"""Straps that eyelets leave a flower, at least: tighter they clot."""

_PETAL = 56
"""Degrees from petal to petal of the flower in a corner."""


class Lace(Ornament):
    """Scallops hung from the rim, round eyelets about a half flower that springs from a heel."""

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
        return max(_FALL * self.height, self.shortest)

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
            return self._plain_flower(body, (0.0, self.height), math.pi, self.cut)
        around = body.difference(self._body(repeat, -deep - self.strap))
        wide = repeat / 2 - self.strap / 2
        length = math.pi * math.hypot(wide - deep / 2, tall - deep / 2) / math.sqrt(2)
        count = max(3, round(length / (_EYELET * deep + self.strap)))
        spokes = partial(_spokes, (0.0, self.height), (wide, tall), math.pi, strap=self.strap)
        heel = circle(0, self.height, _HEEL * self.strap)
        eyelets = self._round(around.difference(spokes(count)), deep)
        petals = core.difference(heel.union(spokes(self._petals(core))))
        return self.cut(eyelets, soft=1.0) + self.cut(petals, soft=0.35)

    def post(self, repeat: float) -> list[Points]:
        """Return the air between two scallops, up to where they join at a tangent."""
        return self.cut(self._air(repeat))

    def corner(self, repeat: float) -> list[Points]:
        """Return a scallop three quarters round, hung in the corner of the rim, and the air beside it."""
        h, edge = self.height, self.strap
        far = _ROUND * h
        at = h - _SUNK * far
        block = box(-h, -h, h, h)
        deep = self._deep(far - edge)
        disc = circle(at, at, far - edge).intersection(block)
        core = circle(at, at, far - deep - 2 * edge).intersection(block)
        sweep = 1.5 * math.pi - 2 * math.asin(_SUNK)
        if not deep or core.is_empty:
            return self._plain_flower(disc, (at, at), sweep, self.cut_corner) + self._bent_air(repeat)
        around = disc.difference(circle(at, at, far - edge - deep))
        count = 2 * max(2, round(sweep / 2 * (far - edge - deep / 2) / (_EYELET * deep + edge)))
        eyelets = self._round(around.difference(_star((at, at), sweep / count, count, edge)), deep)
        petals = core.difference(_star((at, at), math.radians(_PETAL), 4, edge))
        return (
            self.cut_corner(eyelets, soft=1.0) + self.cut_corner(petals, soft=0.45) + self._bent_air(repeat)
        )

    def _plain_flower(
        self, body: BaseGeometry, at: tuple[float, float], sweep: float, cut: Cut
    ) -> list[Points]:
        """Return the petals of a scallop too small for eyelets, round an eye."""
        eye, tall = _EYE * self.height, self.height - self.strap
        wide = sweep * (eye + self.strap + tall) / 2
        count = max(2, min(_PETALS, int(wide / (self.strap + max(2.4 * self.smallest, _BROAD * self.strap)))))
        if sweep > math.pi:
            rays = _star(at, sweep / count, count - 1, self.strap)
        else:
            rays = _spokes(at, (tall, tall), sweep, count, strap=self.strap)
        petals = cut(body.difference(circle(*at, eye + self.strap)).difference(rays), soft=0.5)
        return petals + cut(circle(*at, eye).intersection(body)) if petals else cut(body, soft=0.2)

    def _bent_air(self, repeat: float) -> list[Points]:
        """Return the air between the corner's scallop and the last of either run."""
        h, at = self.height, self.over - self.strap
        middle = h - _SUNK * _ROUND * h
        last = translate(self._body(repeat, 0.0), at - repeat / 2)
        side = box(at + (self.strap - repeat) / 2, 0, h, h)
        side = side.difference(last.union(circle(middle, middle, _ROUND * h)))
        return self.cut_corner(both(side), soft=0.3)

    def _deep(self, tall: float) -> float:
        """Return the depth of the eyelets, 0 where they would leave no room for a flower."""
        deep = max(2 * self.smallest, 0.26 * tall)
        return deep if tall - deep - self.strap > max(3 * self.smallest, _ROOM * self.strap) else 0.0

    def _round(self, eyelets: BaseGeometry, deep: float) -> BaseGeometry:
        """Return the eyelets that are about as wide as deep; what the rim leaves of one is a crumb."""
        parts = shapely.get_parts(eyelets)
        return shapely.multipolygons(parts[fitting(parts, _WHOLE * deep)])

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


class Scales(Ornament):
    """Two rows of scallops like scales, the outer ones between the inner, a fan of petals round a corner."""

    what = "a pair of scallops"
    rounded = 0.2
    turned = True

    @property
    def least_height(self) -> float:
        """Return the height of two rows that can just be cut."""
        return self.strap + 4 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat of scallops about as wide as the two rows are high."""
        return max(_SCALE * self.height, self.shortest)

    @property
    def shortest(self) -> float:
        """Return the repeat of scallops that can just be cut."""
        return max(self.strap + 3 * self.smallest, _SLIMMEST * self.height)

    @property
    def over(self) -> float:
        """Return where the last scallop of the inner row stands: on the inner corner itself."""
        return self.strap

    def bay(self, repeat: float) -> list[Points]:
        """Return a scallop of the outer row."""
        body = self._scale(repeat, 0.0, -self._line / 2, outer=True)
        for x in (-repeat / 2, repeat / 2):
            body = body.difference(self._scale(repeat, x, self._line / 2, outer=False))
        return self.cut(body.difference(self._echo(partial(self._scale, repeat, 0.0, outer=True))), soft=0.2)

    def post(self, repeat: float) -> list[Points]:
        """Return a scallop of the inner row, and the drop between the rim and two of the outer row."""
        inner = self._scale(repeat, 0.0, -self._line / 2, outer=False)
        inner = inner.difference(self._echo(partial(self._scale, repeat, 0.0, outer=False)))
        over = box(-repeat / 2, 0, repeat / 2, self.height)
        over = over.difference(self._scale(repeat, 0.0, self._line / 2, outer=False))
        for x in (-repeat / 2, repeat / 2):
            over = over.difference(self._scale(repeat, x, self._line / 2, outer=True))
        return self.cut(inner, soft=0.2) + self.cut(over, soft=0.35)

    def corner(self, repeat: float) -> list[Points]:
        """Return a scallop three quarters round the inner corner, and a fan of petals over it."""
        h, line = self.height, self._line
        ground = box(-repeat, -repeat, h, h).difference(box(-repeat, -repeat, 0, 0))
        inner = self._opened_round(repeat, -line / 2).intersection(ground)
        inner = inner.difference(self._echo(partial(self._opened_round, repeat)))
        beside = translate(self._scale(repeat, 0.0, line / 2, outer=True), -repeat / 2)
        taken = both(beside.union(box(-2 * repeat, -h, -repeat / 2, h)))
        fan = ground.difference(taken).difference(self._opened_round(repeat, line / 2))
        count = 3 if self._row * math.pi / 6 > line + 2.4 * self.smallest else 2
        rays = [_ray(90 * k / count, 3 * h, line) for k in range(1, count)]
        fan = fan.difference(shapely.union_all(rays))
        return self.cut_corner(inner, soft=0.2) + self.cut_corner(fan, soft=0.3)

    @property
    def _line(self) -> float:
        return max(self.strap, _LINE * self.height)

    @property
    def _row(self) -> float:
        return 0.5 * (self.height + self._line / 2)

    def _echo(self, scale: Callable[[float], BaseGeometry]) -> BaseGeometry:
        """Return the arch of paper within a scale that repeats its edge, where there is room for it."""
        if self.height < _ECHOED * self.strap:
            return box(0, 0, 0, 0)
        edge = -self._line / 2 - max(2.2 * self.smallest, _ECHO * self.height)
        return scale(edge).difference(scale(edge - self.strap))

    def _opened_round(self, repeat: float, grow: float) -> BaseGeometry:
        """Return an inner scallop on either run and the quarter round between them, moved out by so much."""
        half = self._scale(repeat, 0.0, grow, outer=False).intersection(box(-repeat, -repeat, 1e-4, repeat))
        return both(half).union(circle(0, 0, self._row + grow).intersection(box(0, 0, repeat, repeat)))

    def _scale(self, repeat: float, x: float, grow: float, *, outer: bool) -> BaseGeometry:
        """Return a scale of either row, its edge moved out by so much."""
        base = self._row if outer else 0.0
        dome = translate(stretched(repeat / 2, self._row), x, base)
        dome = dome.union(box(x - repeat / 2, base - 2 * self._row, x + repeat / 2, base))
        return dome.buffer(grow, quad_segs=32).intersection(box(-repeat, 0, repeat, 2 * self.height))


def _ray(turn_deg: float, long: float, wide: float) -> BaseGeometry:
    turn = math.radians(turn_deg)
    return shapely.LineString([(0, 0), (long * math.cos(turn), long * math.sin(turn))]).buffer(wide / 2)


def _star(at: tuple[float, float], step: float, count: int, wide: float) -> BaseGeometry:
    """Return straps that run out from a point at even steps, in radians, evenly about the inward diagonal."""
    (x, y), far = at, 99.0
    turns = [1.25 * math.pi + step * (k - (count - 1) / 2) for k in range(count)]
    turns += [1.25 * math.pi + step * (k - (count - 1) / 2) for k in (-1, count)]
    lines = [[(x, y), (x + far * math.cos(a), y + far * math.sin(a))] for a in turns]
    return shapely.union_all([shapely.LineString(line).buffer(wide / 2) for line in lines])


def _spokes(
    at: tuple[float, float], half: tuple[float, float], sweep: float, count: int, *, strap: float
) -> BaseGeometry:
    """Return the straps that part a sector evenly; it opens left from its middle, then down."""
    (x, y), (wide, tall) = at, half
    turns = [sweep * k / count for k in range(1, count)]
    lines = [[(x, y), (x - 3 * wide * math.cos(a), y - 3 * tall * math.sin(a))] for a in turns]
    return shapely.union_all([shapely.LineString(line).buffer(strap / 2) for line in lines])
