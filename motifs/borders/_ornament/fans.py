"""Fans of petals on a row of half-rounds and the spandrels between: the openings of a scalloped border."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.lengths import format_length
from canivet.motifs.borders._refusals import Ornamented, check_repeat
from canivet.motifs.borders.band import Band
from canivet.motifs.borders.counting import recount_together
from canivet.motifs.shapes.openings import Points, Rings, rings_from
from canivet.motifs.shapes.rounds import disc, inscribed_radius, softened

from .areas import CHORD_LOSS

__all__ = ["Fan", "lay_fans"]

_SEGMENTS = 64
"""Sides to a quarter circle: under 0.005 mm off up to a radius of 60 mm."""

_EYE = 0.25
"""Radius of the eye, as a share of the fan's."""

_SOFT = 0.4
"""How round the shoulders of a petal are, as a share of its inscribed circle."""

_STOUT = 1 / 14
"""Rib over radius, at least: a rib runs from eye to rim of the fan, about ten of its widths."""

_MOST_PETALS = 7
"""More and the eye counts lines where it should see a shell."""

_GIVE = (0.8, 1.06)
"""How far a repeat may give way for a half-round in the middle of a side; apart, they look gappy."""

_LONGEST = 1.6
"""How far half-rounds may stand apart, as a share of the repeat at which they touch."""


@dataclass(frozen=True, slots=True)
class Fan:
    """Proportions of a fan in mm.

    Attributes
    ----------
    radius : float
        From the middle to the tips of its petals.
    rib : float
        Paper between petals.
    petals : int
        In a half-round.
    eye : float
        Radius of the opening in the middle; 0 for none.
    """

    radius: float
    rib: float
    petals: int
    eye: float

    @classmethod
    def fitted(cls, radius: float, *, strap: float, petals: int | None, smallest: float) -> Fan:
        """Choose petals twice as wide as their ribs, and an eye where both can be cut."""
        rib = max(strap, radius * _STOUT)
        eye = radius * _EYE
        for count in [petals] if petals else range(_MOST_PETALS, 2, -1):
            fan = cls(radius, rib, count, eye)
            middle = (radius + eye + rib) / 2
            roomy = petals is not None or middle * math.pi / count >= 3 * rib
            if eye / 2 >= smallest and roomy and fan.petal_radius(math.pi / count) >= smallest:
                return fan
        few = 3 if least_radius(3, strap, smallest) <= radius else 2
        return cls(radius, strap, petals or few, 0.0)

    def petal(self, angle: float) -> Polygon:
        """Return the petal that fills so wide an angle, pointing up from the middle."""
        sine, cosine = math.sin(angle / 2), math.cos(angle / 2)
        apex = self.rib / 2 / sine
        far = 2 * self.radius / max(cosine, 0.1)
        wedge = Polygon([(0, apex), (far * sine, apex + far * cosine), (-far * sine, apex + far * cosine)])
        sector = wedge.intersection(_disc(self.radius))
        if self.eye:
            sector = sector.difference(_disc(self.eye + self.rib))
        soft = softened(sector, _SOFT, sides=_SEGMENTS // 2)
        return soft if self.eye else soft.union(Point(0, apex)).convex_hull

    def petal_radius(self, angle: float) -> float:
        """Return the radius of the largest circle in a petal."""
        return inscribed_radius(self.petal(angle))

    def openings(self, start: float, sweep: float, count: int) -> list[Points]:
        """Return its petals and its eye, about the middle; angles in radians from level."""
        petal = _corners(self.petal(sweep / count))
        turns = start - math.pi / 2 + sweep * (np.arange(count) + 0.5) / count
        shapes = [petal @ _turn(angle) for angle in turns]
        if self.eye:
            arc = np.linspace(start, start + sweep, 32)
            rim = self.eye * np.column_stack([np.cos(arc), np.sin(arc)])
            shapes.append(rim if sweep == math.pi else np.vstack([rim, [(0.0, 0.0)]]))
        return shapes


def least_radius(petals: int, strap: float, smallest: float) -> float:
    """Return the radius at which a circle of radius `smallest` just fits a petal of a half-round."""
    sine = math.sin(math.pi / petals / 2)
    return smallest * (1 + 1 / sine) + strap / 2 / sine


def lay_fans(
    band: Band, *, top: float, strap: float, repeat: float | None, petals: int | None, smallest: float
) -> list[Rings]:
    """Lay half-rounds along every run, three-quarter fans in the corners and spandrels between them.

    Parameters
    ----------
    band : Band
        Where.
    top : float
        mm from the inner edge to the rim.
    strap : float
        mm between openings, and from the inner edge to the line the half-rounds stand on.
    repeat : float or None
        About how long a repeat is, in mm; None for half-rounds as high as the band allows.
    petals : int or None
        In a half-round; None to choose.
    smallest : float
        mm.

    Returns
    -------
    list of ring arrays
        Disjoint openings.

    Raises
    ------
    DoesNotFit
        If there is no room for petals worth cutting.
    """
    strap += CHORD_LOSS
    height = top - strap
    touching = 2 * height + strap
    least = 2 * least_radius(petals or 2, strap, smallest) + strap
    asked = f"half-rounds with {petals or 2} petals each"
    ornamented = Ornamented(band.width, asked, "rim, strap, smallest or petals")
    if touching < least:
        raise ornamented.too_narrow(band.width + (least - touching) / 2)
    most = _LONGEST * touching
    high = f"a half-round {format_length(height, 2)} high"
    check_repeat(repeat, high, shortest=least, longest=most)
    margin = -strap if band.corners else 0.0
    lengths = [run.length - 2 * margin for run in band.runs]
    counts = _counts(lengths, repeat or touching, least, most, centred=not band.corners)
    if not counts:
        raise ornamented.too_short(min(lengths), least)
    repeats = [length / count for length, count in zip(lengths, counts, strict=True)]
    radius = min(height, (min(repeats) - strap) / 2)
    fan = Fan.fitted(radius, strap=strap, petals=petals, smallest=smallest)
    openings: list[Rings] = []
    half_round = fan.openings(0, math.pi, fan.petals)
    for run, each, count in zip(band.runs, repeats, counts, strict=True):
        at = run.foot + margin + each * np.arange(1 if band.corners else 0, count)
        if len(at):
            openings += [rings_from(run.lay(shape, at, rise=strap)) for shape in half_round]
        at = run.foot + margin + each * (np.arange(count) + 0.5)
        between = _spandrel(each / 2, radius + strap, height, strap, smallest)
        openings += [rings_from(run.lay(shape, at, rise=strap)) for shape in between]
    corner = fan.openings(-math.pi / 2, 1.5 * math.pi, 3 * fan.petals // 2)
    corner += _corner_spandrel(radius + strap, height, strap, smallest)
    return openings + [rings_from(c.lay(shape, rise=strap)) for shape in corner for c in band.corners]


def _counts(lengths: list[float], repeat: float, least: float, most: float, *, centred: bool) -> list[int]:
    """Count half-rounds so that one stands in the middle of every side, unless that changes them too much."""
    counts = recount_together(lengths, repeat, least=least, most=most, multiple=2)
    each = [length / count / repeat for length, count in zip(lengths, counts, strict=False)]
    if centred or (each and _GIVE[0] <= min(each) and max(each) <= _GIVE[1]):
        return counts
    return recount_together(lengths, repeat, least=least, most=most)


def _spandrel(reach: float, radius: float, height: float, strap: float, smallest: float) -> list[Points]:
    """Return the three-cornered opening between two half-rounds, or nothing where it is too small to cut."""
    body = shapely.box(-reach + strap / 2, 0, reach - strap / 2, height)
    for x in (-reach, reach):
        body = body.difference(_disc(radius, x))
    return _worth(body, smallest)


def _corner_spandrel(radius: float, height: float, strap: float, smallest: float) -> list[Points]:
    """Return the opening between a corner's fan and the corner of the rim."""
    square = shapely.box(strap / 2, strap / 2, height, height)
    upright = rotate(square, 45, origin=(0, 0)).difference(_disc(radius))
    return [corners @ _turn(-math.pi / 4) for corners in _worth(upright, smallest)]


def _worth(body: BaseGeometry, smallest: float) -> list[Points]:
    soft = softened(body, 0.3, sides=_SEGMENTS // 2)
    return [] if soft.is_empty or inscribed_radius(soft) < smallest else [_corners(soft)]


def _disc(radius: float, x: float = 0.0) -> Polygon:
    return disc(x, 0, radius, sides=_SEGMENTS)


def _corners(shape: Polygon) -> Points:
    """Return the corners of an opening that mirrors itself left and right.

    They are thinned by less than `CHORD_LOSS` allows for, one half only, the other being its mirror image.
    """
    _, low_y, high_x, high_y = shape.bounds
    right = shape.intersection(shapely.box(0, low_y - 1, high_x + 1, high_y + 1))
    ring = shapely.get_coordinates(shapely.orient_polygons(right).exterior)[:-1]
    ring = np.roll(ring, -int(np.lexsort((ring[:, 1], np.abs(ring[:, 0]) > 1e-9))[0]), axis=0)
    half = shapely.get_coordinates(Polygon(ring).simplify(0.003).exterior)[:-1]
    half[np.abs(half[:, 0]) < 1e-9, 0] = 0.0
    left = half[half[:, 0] > 0][::-1] * np.array([-1, 1])
    return np.vstack([half, left])


def _turn(angle: float) -> Points:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([(c, s), (-s, c)])
