"""Waves and scrolls: the paper of borders that roll, drawn flat for one half of a side."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes.openings import Points

from .strokes import bezier, disc, fan, polar, stroke

__all__ = ["Scroll", "Wave"]

_CREST = 0.15
"""Thickness of a wave's lip over height, where it leaves the crest line: thin enough to curl."""

_HOLLOW = 0.15
"""White between the lip and the hollow it curls into, over height, where they are nearest."""

_CURL = 1.3
"""How far the lip curls, in half turns from the crest: past the bottom, short of touching itself."""

_ROOM, _SHORT = 1.3, 0.7
"""Room within a curl in smallest radii, at least; with less, how far every lip of a border curls."""

_REACH = 1.5
"""Repeat of a wave over height: the back has room to rise slowly."""

_STEEP = 1.9
"""Power by which the back rises from trough to crest: two is a parabola; higher breaks sooner."""

_CLEAR = 1.05
"""Of a strap, at least, between openings that curl about each other: at one they would be drawn back."""

_TURNS = 1.5
"""Turns of a coil from where it is taken up to its eye."""

_COILED = 1.2
"""Turns under which a coil is drawn as a single curl round a knob: so short a spiral is a tadpole."""

_RIBBON = 0.13
"""Width of the ribbon of a coil over height, on its outer turn."""

_EYE = 0.85
"""Radius of the knob that a coil ends in, in ribbons: full enough to look wound round something."""

_CROOK, _WIND = 0.86, 0.42
"""Turns of a crook, and of these, after how many it winds in: it goes over the top first."""

_END, _EASE = 0.3, 1.2
"""How far from its middle a crook ends over where it begins, and the power by which it winds in: gently."""

_TAIL = {True: (0.9, 0.62), False: (0.62, 0.5)}
"""Where the tail of a coil, and of a crook, leaves the rail, and how far it keeps to it, over the repeat."""

_KNOB = 0.66
"""Radius of the knob a crook ends in over its ribbon: hardly more than a round end."""

_GAP = 0.1
"""White between two coils over height, at their nearest."""


@dataclass(frozen=True, slots=True)
class Wave:
    """A row of breaking waves whose crests all touch the rim; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.12
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut."""
        return 1.1 * self.strap + 3.8 * self.smallest

    @property
    def paper(self) -> float:
        """Return the thickness of the lips."""
        return max(_CLEAR * self.strap, _CREST * self.height)

    @property
    def hollow(self) -> float:
        """Return the radius of the hollow under a crest."""
        return (self.height - self.paper) / 2

    @property
    def shortest(self) -> float:
        """Return the repeat whose hollows are a lip apart."""
        return 2 * self.hollow + 1.6 * self.paper

    @property
    def natural(self) -> float:
        """Return the repeat whose backs rise slowly."""
        return max(_REACH * self.height, 1.1 * self.shortest)

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: waves that run to the middle, where two rows meet."""
        first = -1 if ring else 0
        waves = [translate(self._wave(repeat), (k + 1) * repeat - self._lead) for k in range(first, count)]
        foot = [] if ring else [box(0, 0, self.strap / 2, self.height)]
        return shapely.union_all([*waves, *foot])

    @property
    def _lead(self) -> float:
        """Return how far short of the end of its repeat a crest stands."""
        return self.hollow + 0.9 * self.paper

    def _wave(self, repeat: float) -> BaseGeometry:
        """Return a wave with its crest at x = 0: the back that rises to it, less the hollow, and the lip."""
        d, r = self.height, self.hollow
        share = np.linspace(0, 1, 49)
        back = np.column_stack([(share - 1) * (repeat - 0.2 * r), (d + 0.5 * self.strap) * share**_STEEP])
        body = Polygon([*back, (0.35 * r, d + self.strap), (0.35 * r, -d), (back[0, 0], -d)])
        hollow = disc(0.12 * r, r, r)
        # the back rides over the hollow at a lip's thickness, and runs into it without a kink
        over = disc(0.12 * r, r, r + self.paper).intersection(box(-2 * r, 0, 0.35 * r, d + self.strap))
        body = body.union(over).buffer(0.6 * d, quad_segs=16).buffer(-0.6 * d, quad_segs=16)
        lip = self._lip((0.12 * r, r))
        return body.difference(hollow).union(lip)

    def _lip(self, middle: tuple[float, float]) -> BaseGeometry:
        """Return the lip: a logarithmic spiral from the crest line into the hollow, tapering to its tip."""
        w, r = self.paper, self.hollow
        start = r + w / 2
        low = r - w / 2 - max(2.1 * self.smallest, _HOLLOW * self.height)
        growth = math.log(max(start / max(low, 0.3 * r), 1.05)) / math.pi
        curls = low - w / 2 >= _ROOM * self.smallest
        turned = np.linspace(-0.25 * math.pi, (_CURL if curls else _SHORT) * math.pi, 49)
        radius = start * np.exp(-growth * np.maximum(turned, 0))
        line = polar(middle, radius, math.pi / 2 - turned)
        return stroke(line, [w, w, w, max(self.strap, 0.85 * w), max(self.strap, 0.75 * w), self.strap])

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: a fan of drops."""
        d = self.height
        return box(0, 0, d, d).difference(shapely.union_all(fan(d, self.paper, self.smallest)))


@dataclass(frozen=True, slots=True)
class Scroll:
    """A ribbon that runs from coil to coil; lengths in mm."""

    height: float
    strap: float
    smallest: float
    soft: float = 0.12
    period: int = 1

    @property
    def least_height(self) -> float:
        """Return the height at which it can just be cut: an arch where there is no room for a coil."""
        return 1.1 * self.strap + 3.8 * self.smallest

    @property
    def paper(self) -> float:
        """Return the width of the ribbon on its outer turn."""
        return max(self.strap, _RIBBON * self.height)

    @property
    def _outer(self) -> float:
        """Return the radius of the outer turn."""
        return self.height / 2 - 0.15 * self.paper

    @property
    def _inner(self) -> float:
        """Return the radius at which a coil ends, wound as often as there is room for."""
        return max(0.5 * self.paper, self._outer - _TURNS * self._pitch)

    @property
    def _pitch(self) -> float:
        """Return from turn to turn of a coil."""
        return self.paper + max(2.15 * self.smallest, 0.11 * self.height)

    @property
    def _coiled(self) -> bool:
        """Say whether there is room for a coil; if not, it is a crook."""
        return self._outer - self._inner >= _COILED * self._pitch

    @property
    def shortest(self) -> float:
        """Return the repeat at which coils just leave each other room; crooks are open to the next."""
        if self._coiled:
            return self.height + max(2.2 * self.smallest, _GAP * self.height)
        return 2 * self._outer + self.paper + 2.6 * self.smallest

    @property
    def natural(self) -> float:
        """Return the repeat that suits it."""
        return self.shortest + 0.1 * self.height

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper of one half of a side: coils wound the same way, back to back in the middle."""
        first = -1 if ring else 0
        coil = self._coil(repeat)
        return shapely.union_all([translate(coil, (k + 0.5) * repeat) for k in range(first, count)])

    def _coil(self, repeat: float) -> BaseGeometry:
        """Return a coil about x = 0 and the tail that leads into it from under the one before."""
        spine, eye = self._spiral()
        w, thin, start = self.paper, max(self.strap, 0.8 * self.paper), 0.6 * self.paper
        if not self._coiled:
            w = thin = start = _CLEAR * self.paper
        tail = self._tail(repeat, tuple(spine[0]))
        parts = [stroke(spine, [w, w, w, thin, thin, thin]), stroke(tail, [start, w, w])]
        return shapely.union_all([*parts, disc(*eye)])

    def _spiral(self) -> tuple[Points, tuple[float, float, float]]:
        """Return the line of a coil from its left side over its top inward, and its eye."""
        if not self._coiled:
            return self._curl()
        outer, inner = self._outer, self._inner
        turns = min(_TURNS, (outer - inner) / self._pitch)
        # the first half turn keeps to the rails; the rest winds in
        turned = np.linspace(0, turns, 97)
        radius = outer - (outer - inner) * np.clip((turned - 0.75) / max(turns - 0.75, 1e-6), 0, 1) ** 0.9
        wound = np.where(turned < 0.75, outer, radius)
        line = polar((0.0, self.height / 2), wound, math.pi - 2 * math.pi * turned)
        return line, (float(line[-1, 0]), float(line[-1, 1]), _EYE * self.paper)

    def _curl(self) -> tuple[Points, tuple[float, float, float]]:
        """Return the line of a crook that ends in a knob, or of a bare arch where that would clot."""
        middle, outer = (0.0, self.height / 2), self._outer
        knob = _KNOB * self.paper
        if outer - self.paper / 2 - knob < 2.2 * self.smallest:
            return polar(middle, outer, math.pi - 2 * math.pi * np.linspace(0, 0.75, 65)), (*middle, 0.0)
        turned = np.linspace(0, _CROOK, 65)
        share = np.clip((turned - _WIND) / (_CROOK - _WIND), 0, 1) ** _EASE
        line = polar(middle, outer * (1 - (1 - _END) * share), math.pi - 2 * math.pi * turned)
        return line, (float(line[-1, 0]), float(line[-1, 1]), knob)

    def _tail(self, repeat: float, into: tuple[float, float]) -> Points:
        """Return the line to the side of a coil from the rail, at the foot of the one before or beside it."""
        foot, aim = _TAIL[self._coiled]
        d, low = self.height, 0.0 if self._coiled else -0.5 * self.paper
        return bezier((-foot * repeat, low), (-aim * repeat, 0.02 * d), (into[0], 0.12 * d), into, count=25)

    def corner(self, _repeat: float, /) -> BaseGeometry:
        """Return the paper of a corner: a fan of drops."""
        d, w = self.height, self.strap
        whites = [translate(drop, w / 2, w / 2) for drop in fan(d - w / 2, self.paper, self.smallest)]
        return box(0, 0, d, d).difference(shapely.union_all(whites))
