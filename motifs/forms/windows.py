"""Windows with Gothic tracery: a pointed arch parted into lights and a foiled circle, and each light again.

An arch is known by its clear span, between the insides of its jambs. Every line of it is struck from two
points on the springing line, so that an outline a member's width off is the same arcs about the same points:
openings are exact, and the paper is the outline less its openings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.motifs.shapes.arches import pointed_head
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import (
    about,
    disc,
    foil_ratio,
    foiled,
    inscribed_radius,
    largest_part,
    opened,
)
from canivet.parameters import Count, Flag

from ._box import natural_box, require_box

__all__ = ["window_tracery"]

_JAMB, _MEMBERS = 2.3, (1.6, 1.3, 1.02, 1.02)
"""Widths of the outer arch and of the members of each parting, in units: each is finer than what it parts."""

_SLENDEST = 1 / 70
"""Share of the width that a unit is at the least: in a large window a strap is a hair."""

_SILL, _SILL_OUT = 1.9, 1.1
"""Height of the sill's upright face, and how far it stands out beside the jambs: units."""

_BROADEST, _SLENDEREST = 0.8, 0.45
_PARTED_FROM = 6.0
"""Straps: the narrowest light there is after a parting."""

_CUSPED_FROM = 7.0
"""Straps: the narrowest light whose head has cusps."""

_FOILED_FROM = 4.4
"""Straps: the narrowest round with foils."""

_RINGS = ((6, 8.0), (4, 6.0), (3, 6.0))
"""How many rounds stand in a ring, and how wide each is at the least for it, in straps; the fullest first."""

_TRANSOM_FROM = 4.2
"""Spans of a light in the length of its jambs, from which a transom crosses it: longer mullions are whips."""

_WORTH = 1.4
"""Of the smallest opening, what a spandrel's is at the least: a finer one is a crumb between arches."""

_CUSP = math.cos(math.radians(32))
"""Of half the angle of a cusp between foils: 64°, no spine."""

_HEAD = 0.57
"""Span of the pointed foil in a light's head, as a share of the light's: it meets the foils beside it in
a cusp of about 75°."""

_TIPS = 0.7
"""Radius of the corners of a spandrel's opening, as a share of the smallest opening's."""

_SIDES = 48


@dataclass(frozen=True, slots=True)
class Round:
    """A circle by its clear radius."""

    x: float
    y: float
    radius: float

    def region(self, off: float = 0.0) -> Polygon:
        """Return the disc, grown by so much."""
        return disc(self.x, self.y, self.radius + off, sides=_SIDES)

    def ring(self, count: int, member: float) -> list[Round]:
        """Return equal rounds that touch this one from inside, each a member's width off its neighbours.

        Examples
        --------
        >>> a, b, _ = Round(0, 0, 10).ring(3, 1.2)
        >>> round(math.dist((a.x, a.y), (b.x, b.y)) - a.radius - b.radius, 9)
        1.2
        """
        sine = math.sin(math.pi / count)
        radius = (self.radius * sine - member / 2) / (1 + sine)
        middles = about(self.x, self.y, self.radius - radius, count, turn=math.pi / 2)
        return [Round(float(x), float(y), radius) for x, y in middles]

    def foil(self, count: int) -> float:
        """Return the radius of so many foils that touch the circle from inside."""
        return self.radius * foil_ratio(count, cusp=_CUSP)

    def foiled(self, count: int) -> BaseGeometry:
        """Return the opening of so many foils in the circle."""
        return foiled(self.x, self.y, self.radius, count, cusp=_CUSP)


@dataclass(frozen=True, slots=True)
class Arch:
    """An equilateral arch: each side is struck from the other's springing point with the clear span.

    Attributes
    ----------
    x, springing : float
        Where the middle of the springing line is: mm.
    span : float
        Clear: mm.
    foot : float
        Where the jambs end: mm.
    """

    x: float
    springing: float
    span: float
    foot: float

    def line(self, off: float = 0.0) -> Points:
        """Return points over the arch from its right springing to its left, so far outside the clear span."""
        right = pointed_head(self.span / 2 + off, self.span + off, 2 * _SIDES - 1)
        over: Points = np.array([self.x, self.springing]) + np.vstack([right, (right * (-1, 1))[-2::-1]])
        return over

    def region(self, off: float = 0.0) -> Polygon:
        """Return the arch with its jambs, grown by so much."""
        half = self.span / 2 + off
        low = self.foot - off
        return Polygon([(self.x - half, low), (self.x + half, low), *self.line(off)])

    def lights(self, member: float) -> tuple[Arch, Arch]:
        """Return the two arches it is parted into by a mullion of that width."""
        span = (self.span - member) / 2
        aside = (span + member) / 2
        left, right = (Arch(self.x + side * aside, self.springing, span, self.foot) for side in (-1, 1))
        return left, right

    def circle(self, member: float) -> Round:
        """Return the circle that touches both sides of the arch and lies a member's width off both lights.

        Notes
        -----
        With span s, member m and lights of c = (s − m) / 2, its middle lies c + m + r from one springing
        point (the near light's arc) and s − r from the other (the arch's own), which by symmetry are equally
        far: r = c / 2 (*derived*).

        Examples
        --------
        >>> arch = Arch(0, 0, 40, -30)
        >>> circle, light = arch.circle(2), arch.lights(2)[0]
        >>> round(light.region().distance(circle.region()), 2)
        2.0
        """
        radius = (self.span - member) / 4
        high = math.sqrt((self.span - radius) ** 2 - (self.span / 2) ** 2)
        return Round(self.x, self.springing + high, radius)

    def cusped(self) -> BaseGeometry:
        """Return the opening of a light whose head is a trefoil: two round foils, a pointed one over them."""
        s = self.span
        foil, angle = 0.25 * s, math.radians(15)
        out, touch = (s - foil) * math.cos(angle) - s / 2, s * math.sin(angle)
        high = (s - foil) * math.sin(angle)
        sides = [disc(self.x + side * out, self.springing + high, foil, sides=32) for side in (-1, 1)]
        rise = s * math.sqrt(3) / 2
        head = Arch(self.x, self.springing + (1 - _HEAD) * rise, _HEAD * s, self.springing + high)
        whole = self.region()
        x0, _, x1, _ = whole.bounds
        below = whole.intersection(box(x0, self.foot, x1, self.springing + touch))
        return shapely.union_all([below, *sides, head.region()])


@dataclass(frozen=True, slots=True)
class Mason:
    """What the openings of a window are cut by: unit of width, strap, smallest opening, cusps or none."""

    unit: float
    strap: float
    smallest: float
    cusps: bool

    def member(self, level: int) -> float:
        """Return the width of the members of a parting."""
        return _MEMBERS[level] * self.unit

    def window(self, arch: Arch, level: int, most: int) -> Iterator[BaseGeometry]:
        """Give the openings of an arch, parted again and again as long as its lights are wide enough."""
        member = self.member(level)
        lights, circle = arch.lights(member), arch.circle(member)
        least = max(_PARTED_FROM * self.strap, 2.4 * self.smallest)
        if level >= most or lights[0].span < least:
            yield from self._lights(arch, member)
            return
        taken = [circle.region(member), *(light.region(member) for light in lights)]
        yield from self._spandrels(arch.region().difference(shapely.union_all(taken)))
        yield from self.rose(circle, level + 1, most)
        for light in lights:
            yield from self.window(light, level + 1, most)

    def rose(self, circle: Round, level: int, most: int) -> Iterator[BaseGeometry]:
        """Give the openings of a circle: rounds in a ring where there is room, or else its foils."""
        member = self.member(level)
        rings = [(count, circle.ring(count, member), straps * self.strap) for count, straps in _RINGS]
        wide = [
            (count, ring)
            for count, ring, least in rings
            if 2 * ring[0].radius > max(least, 2.4 * self.smallest)
        ]
        if level >= most or not wide:
            yield self._foils(circle, 4 if level == 1 else 3)
            return
        count, ring = wide[0]
        middle = Round(circle.x, circle.y, circle.radius - 2 * ring[0].radius - member)
        inner = [middle] if count > 3 and middle.radius > _WORTH * self.smallest else []
        taken = shapely.union_all([one.region(member) for one in [*ring, *inner]])
        yield from self._spandrels(circle.region().difference(taken))
        yield from (self._foils(one, 4 if count == 4 else 3) for one in ring)
        yield from (self._foils(one, count) for one in inner)

    def _foils(self, circle: Round, count: int) -> BaseGeometry:
        wide = 2 * circle.radius > _FOILED_FROM * self.strap
        worth = circle.foil(count) > 1.05 * self.smallest
        return circle.foiled(count) if self.cusps and wide and worth else circle.region()

    def _lights(self, arch: Arch, member: float) -> Iterator[BaseGeometry]:
        """Give the opening of a light, or the two that a transom makes of a long one."""
        long = arch.springing - arch.foot
        if long < _TRANSOM_FROM * arch.span:
            yield self._light(arch)
            return
        transom = arch.foot + long / 2
        yield self._light(replace(arch, foot=transom + member / 2))
        low = transom - member / 2 - arch.span * math.sqrt(3) / 2
        yield self._light(replace(arch, springing=low))

    def _light(self, arch: Arch) -> BaseGeometry:
        wide = arch.span > max(_CUSPED_FROM * self.strap, 5 * self.smallest)
        return arch.cusped() if self.cusps and wide else arch.region()

    def _spandrels(self, left: BaseGeometry) -> Iterator[BaseGeometry]:
        """Give what is left between arches and circles, corners rounded, where it is worth cutting."""
        for part in shapely.get_parts(left):
            if inscribed_radius(part) > _WORTH * self.smallest:
                yield largest_part(opened(part, _TIPS * self.smallest, sides=16))


@motif("form")
def window_tracery(
    *,
    width: FormWidth = 56.0,
    height: FormHeight = 90.0,
    levels: Annotated[int, Count("how often lights are parted in two, at the most", 0, 3)] = 3,
    cusps: Annotated[bool, Flag("whether circles are foiled and the heads of lights cusped")] = True,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A Gothic pointed window: two lights under a foiled circle, and each light parted so again, on a sill.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 56.
    height : float
        Of the box to fill: mm, 5 to 400, default 90.
    levels : int
        How often lights are parted in two, at the most: 0 to 3, default 3. Fewer where a light would be
        narrower than six straps.
    cusps : bool
        Whether circles are foiled and the heads of lights cusped, default true.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror about its upright axis.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    Every arch is equilateral. The circle over two lights touches the arch about them and lies one member's
    width off either light, which makes its radius half a light's span (*derived*). It holds foils, or a ring
    of foiled rounds where there is room; members grow finer with each parting; a transom crosses lights much
    longer than broad. The window is from 0.45 to 0.8 times as broad as high; a box of other proportions gets
    the largest that fits.

    References
    ----------
    S. Havemann and D. Fellner, *Generative parametric design of Gothic window tracery*, 2004 (from memory).

    Examples
    --------
    The circle is tangent to the lights: where they touch, and only there, one mullion parts them.

    >>> paper = window_tracery(width=56, height=90, levels=1, cusps=False)
    >>> *_, circle, left, right = sorted(paper.interiors, key=lambda ring: Polygon(ring).area)
    >>> mullion = left.distance(right)
    >>> [round(circle.distance(light) / mullion, 2) for light in (left, right)]
    [1.0, 1.0]
    """
    across, up = natural_box(width, height, broadest=_BROADEST, slenderest=_SLENDEREST)
    least = 2 * (_JAMB + _SILL_OUT) * 1.01 * strap + max(5 * strap, 3 * smallest)
    require_box("a window", strap, {"width": (width, least), "height": (height, least / _BROADEST)})
    unit = max(1.01 * strap, _SLENDEST * across)
    span = across - 2 * (_JAMB + _SILL_OUT) * unit
    rise = math.sqrt((span + _JAMB * unit) ** 2 - (span / 2) ** 2)
    arch = Arch(across / 2, up - rise, span, (_SILL + _SILL_OUT) * unit)
    mason = Mason(unit, strap, smallest, cusps)
    openings = [opening.exterior for opening in mason.window(arch, 0, levels)]
    return Polygon(_outline(arch, across, unit), openings)


def _outline(arch: Arch, across: float, unit: float) -> Points:
    """Return the window's outer edge: the sill with its weathering, the jambs, the arch."""
    sill, out = _SILL * unit, _SILL_OUT * unit
    right = [(across, 0), (across, sill), (across - out, sill + out)]
    left = [(across - x, y) for x, y in right[::-1]]
    edge: Points = np.vstack([right, arch.line(_JAMB * unit), left])
    return edge
