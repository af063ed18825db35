"""A pen that draws a figure in black, and in white on that black, in a frame of its own units.

A figure is written down once, in a frame some hundred units high, and drawn at any size: places follow the
box, lines never pass under the strap, and what is white keeps off every edge when it is carved.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon

from canivet.motifs.forms._strokes import POINT, Blade, band, blade, pierced_blade, pointed, stroke
from canivet.motifs.shapes.lines import distances_along, points_at
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part, parts_fitting

from .curves import Places, closed_curve, open_curve, swelling

__all__ = ["Box", "Build", "Pen", "lens", "polar", "unit_at"]

Box = tuple[float, float]
"""Width and height: mm, or units of a figure's frame."""

FINEST = 0.56
"""Straps of half-width that a line keeps: half a strap, and what flattening may take."""

_BLUNTEST = 0.5
"""mm of half-width per mm before a line's point at the most: a point of 53°, which still reads as one."""

_ROUND = np.linspace(0, 2 * np.pi, 97)[:-1]


@dataclass(frozen=True, slots=True)
class Build:
    """What a figure's box may be.

    Attributes
    ----------
    what : str
        What it is called where there is no room for it.
    frame : tuple of float
        Width and height in its own units, as it looks best.
    least : float
        Its shorter side in straps at the least: below, its form is lost in its own lines.
    give : float
        How much broader or slenderer than its frame it may be made, as a share; at 0 it keeps its own shape.
    range : tuple of float, optional
        Its least and most width as shares of its height, where they are far from its frame; `least` then is
        the shorter side of the box asked for.
    """

    what: str
    frame: Box
    least: float = 16.0
    give: float = 0.12
    range: Box | None = None

    @property
    def broadest(self) -> float:
        """Return its most width as a share of its height."""
        return self.range[1] if self.range else self.frame[0] / self.frame[1] * (1 + self.give)

    @property
    def slenderest(self) -> float:
        """Return its least width as a share of its height."""
        return self.range[0] if self.range else self.frame[0] / self.frame[1] / (1 + self.give)


def unit_at(line: Points, share: float) -> tuple[Points, Points]:
    """Return the sample at that share of a line, and the direction of the line there."""
    k = int(np.clip(share, 0, 1) * (len(line) - 1))
    step = line[min(k + 2, len(line) - 1)] - line[max(k - 2, 0)]
    return line[k], step / max(float(np.hypot(*step)), 1e-9)


def polar(angle: float, radius: float = 1.0) -> Points:
    """Return the point at that angle, in degrees from the right, and that distance from the middle."""
    return radius * np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])


def lens(start: ArrayLike, end: ArrayLike, half: float, bend: float = 0.0, widest: float = 0.5) -> Polygon:
    """Return a shape pointed at both ends, widest at that share of its length, bowed to the left."""
    a, b = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    chord = b - a
    t = np.linspace(0, 1, 33)
    swell = np.interp(t, [0, widest, 1], [0, 0.5, 1])
    width = half * np.sin(np.pi * swell)
    aside = np.array([-chord[1], chord[0]]) / np.hypot(*chord)
    spine = a + t[:, None] * chord + (4 * bend * np.hypot(*chord) * t * (1 - t))[:, None] * aside
    return Polygon(np.vstack([spine + width[:, None] * aside, (spine - width[:, None] * aside)[-2:0:-1]]))


def _mirrored(shape: Polygon, x: float) -> Polygon:
    """Return a shape in the mirror about an upright line, mm."""
    return shapely.transform(shape, lambda xy: np.column_stack([2 * x - xy[:, 0], xy[:, 1]]))


class Pen:
    """What a figure is drawn with.

    Parameters
    ----------
    box : tuple of float
        Width and height to draw in, mm.
    frame : tuple of float
        Width and height of the figure in its own units.
    strap, smallest : float
        mm.

    Attributes
    ----------
    blacks : list of Polygon
        Paper, mm.
    whites : list of list of Polygon
        Openings on it, mm, the most wanted first; those of one group stay or go together.
    crumb : float
        Radius, mm, of the disc that must fit what black encloses, or it is filled.
    """

    def __init__(self, box: Box, frame: Box, *, strap: float, smallest: float) -> None:
        self.scale = np.array([box[0] / frame[0], box[1] / frame[1]])
        self.unit = math.sqrt(self.scale.prod())
        self.strap, self.smallest = strap, smallest
        self.crumb = 1.1 * smallest
        self.blacks: list[Polygon] = []
        self.whites: list[list[Polygon]] = []
        self._leaves: list[tuple[Blade, bool]] = []

    def units(self, length: float) -> float:
        """Return a length of mm in units."""
        return length / self.unit

    @property
    def fine(self) -> float:
        """Return the half-width in units of the finest line that holds."""
        return FINEST * self.strap / self.unit

    @property
    def slit(self) -> float:
        """Return the half-width in units of the finest opening worth cutting."""
        return 1.12 * self.smallest / self.unit

    @property
    def gap(self) -> float:
        """Return the white in units that is left between neighbours at the least."""
        return max(0.9 * self.strap, 2 * min(self.smallest, 0.6 * self.strap)) / self.unit

    def mm(self, points: Places) -> Points:
        """Return points of the frame in mm."""
        placed: Points = np.asarray(points, dtype=float) * self.scale
        return placed

    # -- black ----------------------------------------------------------------------------------------

    def lay(self, *shapes: Polygon) -> None:
        """Draw shapes (mm) made elsewhere."""
        self.blacks += shapes

    def limb(self, points: Places, halves: Sequence[float], *, point: bool = False) -> Points:
        """Draw a line through points, so wide to either side at each, in units; return it in units.

        With `point` its end is a point. Where fewer half-widths than points are given they are spread evenly.
        """
        line = open_curve(self.mm(points))
        wide = swelling(halves, len(line)) * self.unit
        least = np.full(len(line), FINEST * self.strap)
        if point:
            run = distances_along(line)
            wide = np.minimum(wide, _BLUNTEST * (run[-1] - run))
            least = np.minimum(least, np.maximum(POINT * (run[-1] - run), 1e-3))
        self.lay(stroke(line, np.maximum(wide, least)))
        drawn: Points = line / self.scale
        return drawn

    def blade(self, line: Points, halves: Sequence[float]) -> None:
        """Draw a line along its samples, its half-widths spread evenly, that runs out to a point."""
        way = self.mm(line)
        run = distances_along(way)
        # samples stand closer towards the point, which else would be cut off in chords
        at = run[-1] * (1 - np.linspace(1, 0, len(way)) ** 2)
        half = np.interp(at, run, swelling(halves, len(run))) * self.unit
        self.lay(stroke(points_at(way, at, run=run), pointed(half, run[-1] - at, FINEST * self.strap)))

    def mass(self, points: Places, corners: Sequence[int] = ()) -> Polygon:
        """Draw a closed shape through points, smooth save at the corners."""
        shape = Polygon(closed_curve(self.mm(points), corners)).buffer(0)
        self.lay(shape)
        return shape

    def slab(self, points: Places) -> Polygon:
        """Draw a shape with straight sides."""
        shape = Polygon(self.mm(points))
        self.lay(shape)
        return shape

    def outline(self, points: Places) -> None:
        """Draw what a strap fits in of a shape whose line may cross itself, as a slender one's does."""
        self.lay(*parts_fitting(shapely.make_valid(Polygon(self.mm(points))), self.strap / 2))

    def trim(self, points: Places) -> None:
        """Cut the shape drawn last to length: what lies in this shape with straight sides is taken off it."""
        left = self.blacks[-1].difference(Polygon(self.mm(points)))
        self.blacks[-1:] = parts_fitting(left, self.strap / 2)

    def disc(self, at: ArrayLike, radius: float, *, least: float = 0.0) -> Polygon:
        """Draw a round, true at any proportions; its radius never under `least` straps."""
        shape = self._circle(at, max(radius * self.unit, least * self.strap))
        self.lay(shape)
        return shape

    def leaf(
        self, start: ArrayLike, end: ArrayLike, half: float, bend: float = 0.0, widest: float = 0.45
    ) -> Polygon:
        """Draw a leaf from its root to its point."""
        a, b = self.mm(start), self.mm(end)
        shape = lens(a, b, max(half * self.unit, 0.8 * self.strap), bend, widest)
        self.lay(shape)
        return shape

    def veined(
        self, points: Places, half: float, *, stalk: float = 0.0, widest: float = 0.42, veins: bool = True,
        teeth: float = 0.0, halves: bool = False,
    ) -> Points:  # fmt: skip
        """Draw a leaf along a line, and cut what room it has for: halves beside its rib, or between veins.

        With `halves` it is never cut between veins: several leaves of about one size are then cut alike.
        """
        line = open_curve(self.mm(points))
        leaf = blade(
            line, max(half * self.unit, 0.8 * self.strap), strap=self.strap, stalk=stalk * self.unit,
            widest=widest, teeth=teeth * self.unit,
        )  # fmt: skip
        self.lay(leaf.outline)
        if veins:
            self._leaves.append((leaf, halves))
        else:
            room = np.clip(leaf.half - 1.2 * self.strap, 0, 0.36 * leaf.half)
            inner = (room > 0.9 * self.smallest) & (np.linspace(0, 1, len(line)) < 0.7)
            if inner.sum() > 4:
                slit = room[inner]
                slit[[0, -1]] = 0.1 * self.smallest
                self.cut(band(line[inner], slit))
        drawn: Points = line / self.scale
        return drawn

    # -- white ----------------------------------------------------------------------------------------

    def cut(self, *shapes: Polygon) -> None:
        """Take shapes (mm) out of the black, all of them or none."""
        self.whites.append([shape if shape.is_valid else largest_part(shape.buffer(0)) for shape in shapes])

    def cut_leaf(
        self, start: ArrayLike, end: ArrayLike, half: float, bend: float = 0.0, widest: float = 0.5
    ) -> None:
        """Cut a leaf shape between two places."""
        self.cut(lens(self.mm(start), self.mm(end), max(half, self.slit) * self.unit, bend, widest))

    def cut_drop(self, point: ArrayLike, end: ArrayLike, half: float) -> None:
        """Cut a drop, pointed at the one place and round at the other."""
        a, b = self.mm(point), self.mm(end)
        radius = max(half, self.slit) * self.unit
        long = float(np.hypot(*(b - a)))
        if long < 2.2 * radius:
            self.cut(self._circle((a + b) / 2 / self.scale, radius))
            return
        unit = (b - a) / long
        side = np.array([-unit[1], unit[0]])
        t = np.linspace(0, np.pi, 40)
        # a piriform: from its point along a sine that swells late, round at the end
        along, wide = long * (1 - np.cos(t)) / 2, radius * 1.3 * np.sin(t) * np.sin(t / 2) ** 1.6
        body = a + along[:, None] * unit
        self.cut(Polygon(np.vstack([body + wide[:, None] * side, (body - wide[:, None] * side)[-2:0:-1]])))

    def cut_round(self, at: ArrayLike, radius: float) -> None:
        """Cut a round."""
        self.cut(self._circle(at, max(radius, self.slit) * self.unit))

    def cut_mass(self, points: Places, corners: Sequence[int] = ()) -> None:
        """Cut a closed shape through points, smooth save at the corners."""
        self.cut(Polygon(closed_curve(self.mm(points), corners)).buffer(0))

    def cut_slab(self, points: Places) -> None:
        """Cut a shape with straight sides."""
        self.cut(Polygon(self.mm(points)))

    def cut_line(self, points: Places, halves: Sequence[float]) -> None:
        """Cut a line that swells and tapers as its half-widths (units) say, ends in points."""
        self.cut(self.streak(points, halves))

    def keep(self, share: float) -> None:
        """Keep that share of the openings, the most wanted ones."""
        self.whites = self.whites[: math.ceil(share * len(self.whites))]

    def pierce_leaves(self) -> None:
        """Cut the veined leaves drawn so far, after all else; it takes long, and so is put off."""
        for leaf, halves in self._leaves:
            openings = pierced_blade(leaf, strap=self.strap, smallest=self.smallest, veined=not halves)
            self.whites += [[opening] for opening in openings]
        self._leaves = []

    def streak(self, points: Places, halves: Sequence[float]) -> Polygon:
        """Return a line that swells and tapers as its half-widths (units) say, in mm, drawn nowhere."""
        line = open_curve(self.mm(points))
        wide = swelling(halves, len(line)) * self.unit
        return band(line, np.maximum(wide, 0.05 * self.smallest))

    # -- both -----------------------------------------------------------------------------------------

    def mirror(self, axis: float) -> None:
        """Draw all there is a second time, in the mirror about an upright line."""
        self.pierce_leaves()
        x = axis * self.scale[0]
        self.blacks += [_mirrored(shape, x) for shape in self.blacks]
        for group in self.whites:
            own = shapely.union_all(group)
            if own.bounds[0] < x < own.bounds[2]:
                group[:] = [largest_part(shapely.union_all([own, _mirrored(own, x)]))]
            else:
                group += [_mirrored(shape, x) for shape in group]

    def flip(self, axis: float) -> None:
        """Let all there is face the other way, in the mirror about an upright line."""
        self.pierce_leaves()
        x = axis * self.scale[0]
        self.blacks = [_mirrored(shape, x) for shape in self.blacks]
        self.whites = [[_mirrored(shape, x) for shape in group] for group in self.whites]

    def ring(self, at: ArrayLike, radius: float, line: float = 0.0) -> None:
        """Draw a ring whose line is so wide, and never under a strap."""
        thick = max(2.1 * FINEST * self.strap, line * self.unit)
        self.lay(self.round(at, radius).difference(self._circle(at, max(radius * self.unit - thick, 1e-3))))

    def round(self, at: ArrayLike, radius: float) -> Polygon:
        """Return a round in mm, drawn nowhere."""
        return self._circle(at, radius * self.unit)

    def _circle(self, at: ArrayLike, radius: float) -> Polygon:
        middle = self.mm(at)
        return Polygon(middle + radius * np.column_stack([np.cos(_ROUND), np.sin(_ROUND)]))
