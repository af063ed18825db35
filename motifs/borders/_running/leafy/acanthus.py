"""Acanthus: a stem that throws off spiral branches, and the lobed leaves that sheath them, drawn flat."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.borders._running.strokes import bezier, disc, drop, leaf, polar, spiral, stroke
from canivet.motifs.shapes.lines import along, distances_along
from canivet.motifs.shapes.openings import Points

from .leaves import Vine

__all__ = ["Rinceau", "lobed"]

_BEND = 1.62
"""Length of a bend over height: a spiral has room in it, and a leaf in the wedge before the next."""

_STEM = 0.15
"""Width of the stem at a rail over height."""

_EYE = 0.43
"""How high the eye of a spiral lies over its rail, over height: over it lies the stem as well."""

_PARTING = 0.44
"""Where a branch leaves the stem, in repeats from the middle of its bend."""

_TURNS = (1.05, 0.8, 0.5)
"""Turns of a spiral past its rail: the first that leaves white within is drawn, a bud on a curl the last."""

_DIVE = 1.25
"""Power by which a spiral winds in: over one it meets its rosette at an angle, and leaves no notch there."""

_PIERCED = 0.185
"""Radius of a rosette over height, at most, where it is made larger so that its heart can be pierced."""

_PETALS = np.radians(90 + 72 * np.arange(5))
"""Where the petals of a rosette stand."""

_SPARE = 0.5
"""mm a spiral may come nearer to the stem over it than its whites are wide: it passes there only once."""

_FORWARD = math.radians(52)
"""How far a lobe leans off the rib of its leaf."""

_FIRST, _LAST = 0.12, 0.66
"""Where the first and last pair of lobes grow, over the length of the rib; the tip is drawn out past them."""

_ROUND = 0.5
"""Radius of a lobe over the way to the next: over a half they would close their sinus."""

_SWELL = (0.72, 1.0, 0.95, 0.7)
"""Length of lobes from the base of a leaf to its tip, over the longest."""


def lobed(
    spine: Points, width: float, strap: float, most: int = 4, *, sides: tuple[int, ...] = (-1, 1)
) -> BaseGeometry:
    """Return an acanthus leaf about a spine: rounded lobes that lean forward, with pointed sinuses between.

    Parameters
    ----------
    spine : ndarray
        Points from base to tip, mm.
    width : float
        From lobe to lobe, at the widest, mm.
    strap : float
        Narrowest paper, mm.
    most : int
        Lobes to a side if there is room for so many, two at least; the tip is one more.
    sides : tuple of int
        1 for lobes on the left of the spine, -1 for its right.

    Returns
    -------
    geometry
        In one piece.
    """
    long = float(distances_along(spine)[-1])
    lobes = int(np.clip((_LAST - _FIRST) * long / (1.05 * strap) + 1, 2, most))
    shares = np.linspace(_FIRST, _LAST, lobes)
    swell = np.interp(shares, np.linspace(_FIRST, _LAST, len(_SWELL)), _SWELL)
    tip = max(0.36 * strap, 0.09 * long)
    blade = (0.42 if len(sides) == 2 else 0.28) * width
    parts = [stroke(spine, [strap, blade, blade, 0.86 * blade, 2 * tip])]
    radius = max(0.5 * strap, min(_ROUND * (_LAST - _FIRST) * long / (lobes - 1), 0.22 * width))
    for share, size in zip(shares, swell, strict=True):
        (x, y), (dx, dy) = along(spine, share)
        for side in sides:
            lean = math.atan2(dy, dx) + side * _FORWARD
            reach = max(size * width / 2 / math.sin(_FORWARD) - radius, 0.1 * radius)
            end = (x + reach * math.cos(lean), y + reach * math.sin(lean))
            parts.append(drop((x, y), end, radius * size**0.5, 0.8 * radius))
    return shapely.union_all(parts)


def _inward(outer: float, rosette: float, share: Points) -> Points:
    """Return how far from its eye a spiral is, at a share of its turns past the rail."""
    radius: Points = outer + (0.7 * rosette - outer) * share**_DIVE
    return radius


@dataclass(frozen=True, slots=True)
class Rinceau(Vine):
    """A waving stem with a spiral branch and leaves in every bend; lengths in mm."""

    soft: float = 0.06

    @property
    def natural(self) -> float:
        """Return the repeat whose bends take a spiral and its leaf."""
        return max(_BEND * self.height, self.height + 4 * self.strap)

    @property
    def shortest(self) -> float:
        """Return the repeat whose bends still take a bud on a curl."""
        return self.height + 0.5 * self.strap

    @property
    def stem(self) -> float:
        """Return the width of the stem where it touches a rail."""
        return max(1.15 * self.strap, _STEM * self.height)

    @property
    def branch(self) -> float:
        """Return the width of a branch where it parts."""
        return max(self.strap, 0.1 * self.height)

    @property
    def white(self) -> float:
        """Return the white between the arms of a spiral, at least."""
        return max(2.3 * self.smallest, 0.1 * self.height)

    def _rise(self, x: Points) -> Points:
        """Return how high the stem runs: a sine made fuller, so that its bends are nearly round."""
        wave = np.cos(np.pi * x)
        heights: Points = self.height / 2 * (1 - wave * (1.35 - 0.35 * wave**2))
        return heights

    def _spray(self, repeat: float) -> BaseGeometry:
        """Return a spiral that leaves the stem ahead, and the leaves that sheath it, in a bend open below."""
        return shapely.union_all([self._spiral(repeat), self._sheath(repeat), self._follower(repeat)])

    def _spiral(self, repeat: float) -> BaseGeometry:
        """Return a branch from the stem round under the rail's side, inward to its rosette."""
        w, thin = self.branch, self.strap
        eye, rosette, turns = self._wound()
        start = self._on_stem(_PARTING, repeat)
        away = math.atan2(start[1] - eye[1], start[0] - eye[0])
        far = math.dist(start, eye)
        # from the stem down to the rail, then evenly inward
        swing = np.linspace(0, 1, 25)
        down = away + (-math.pi / 2 - away) * swing
        outer = far + (eye[1] - far) * np.sin(swing * math.pi / 2)
        wound = np.linspace(0, turns, 97)[1:]
        inner = _inward(eye[1], rosette, wound / turns)
        line = polar(
            eye, np.concatenate([outer, inner]), np.concatenate([down, -math.pi / 2 - 2 * math.pi * wound])
        )
        light = min(0.38 * rosette, 0.8 * rosette - self.strap)
        pierced = disc(*eye, light) if light >= 1.05 * self.smallest else Polygon()
        branch = stroke(line, [w, w, 0.5 * (w + thin), thin])
        return shapely.union_all([branch, self._rosette(eye, rosette)]).difference(pierced)

    def _wound(self) -> tuple[tuple[float, float], float, float]:
        """Return the eye of a spiral, the radius of its rosette, and its turns."""
        high = _EYE * self.height
        rosette = max(0.85 * self.strap, 0.16 * self.height)
        pierced = (self.strap + 1.1 * self.smallest) / 0.8
        if rosette < pierced <= _PIERCED * self.height:
            rosette = pierced
        ceiling = self.height - high - self.stem / 2 - self.strap / 2 - self.white
        for turns in _TURNS:
            beside, over = (float(_inward(high, rosette, np.array(turn / turns))) for turn in (0.25, 0.5))
            if beside - self.branch / 2 - rosette >= 0.8 * self.white and over <= ceiling + _SPARE:
                break
        return (0.0, high), rosette, turns

    def _rosette(self, at: tuple[float, float], radius: float) -> BaseGeometry:
        """Return a rosette of five lobes."""
        petals = [disc(float(x), float(y), 0.42 * radius) for x, y in polar(at, 0.6 * radius, _PETALS)]
        return shapely.union_all([disc(*at, 0.6 * radius), *petals])

    def _sheath(self, repeat: float) -> BaseGeometry:
        """Return the leaf in the wedge between a branch and the stem that runs on."""
        d, roomy = self.height, self._roomy
        root = self._on_stem(_PARTING - 0.04, repeat)
        tip = ((0.8 - 0.1 * roomy) * repeat, 0.0)
        spine = bezier(root, (0.5 * repeat, 0.42 * d), (tip[0] - 0.14 * repeat, 0.1 * d), tip, count=25)
        return lobed(spine, (0.28 + 0.16 * roomy) * d, self.strap, 3, sides=(-1,))

    @property
    def _roomy(self) -> float:
        """Return from 0 to 1 how much room leaves have beside the stem."""
        return float(np.clip((self.height / self.strap - 4.5) / 5, 0, 1))

    def _follower(self, repeat: float) -> BaseGeometry:
        """Return the leaf that follows the stem up into the bend, and curls away from it."""
        d = self.height
        root = self._on_stem(-0.78, repeat)
        tip = (-0.34 * repeat, 0.66 * d)
        spine = bezier(root, (-0.6 * repeat, 0.08 * d), (-0.48 * repeat, 0.4 * d), tip, count=25)
        return lobed(spine, (0.32 + 0.06 * self._roomy) * d, self.strap, 3, sides=(-1,))

    def _bud(self, repeat: float) -> BaseGeometry:
        """Return the leaf in the middle of a side, hanging from the stem."""
        d = self.height
        spine = np.linspace((0.0, d), (0.0, 0.14 * d), 25)
        return self._slit(lobed(spine, min(0.8 * d, 0.7 * repeat), self.strap, 3), spine, 0.8 * d)

    def _slit(self, body: BaseGeometry, spine: Points, width: float) -> BaseGeometry:
        """Return a leaf with a slit along its rib, where a strap is left on either side."""
        wide = max(0.07 * width, 2.2 * self.smallest)
        if 0.42 * width < wide + 1.6 * self.strap:
            return body
        (ax, ay), (bx, by) = (spine[round(s * (len(spine) - 1))] for s in (0.24, 0.8))
        return body.difference(leaf((ax, ay), (bx, by), wide, belly=0.4, point=0.8))

    def corner(self, repeat: float, /) -> BaseGeometry:
        """Return the leaf on the diagonal of a corner, and a curl from the stem beside it."""
        d = self.height
        spine = np.linspace((0.0, 0.0), (0.8 * d, 0.8 * d), 25)
        blade = self._slit(lobed(spine, 0.78 * d, self.strap, 3), spine, 0.78 * d)
        return blade.union(self._curl(repeat))

    def _curl(self, repeat: float) -> BaseGeometry:
        """Return a curl with a bud, from the stem into the half bend beside a corner."""
        d, w = self.height, self.strap
        wide = repeat / (_BEND * d)
        bud = max(0.75 * w, 0.085 * d)
        eye = np.array([-0.44, 0.56]) * d
        coil = spiral((eye[0], eye[1]), (0.23 * d, 0.35 * bud), (-36, 223.2), count=49)
        start = (float(coil[0, 0]), float(coil[0, 1]))
        stalk = bezier(
            (-0.5 * d, 0.0), (-0.36 * d, 0.12 * d), (start[0] - 0.1 * d, start[1] - 0.13 * d), start
        )
        line = np.vstack([stalk, coil[1:]]) * (wide, 1.0)
        return stroke(line, [1.2 * w, w, w]).union(disc(eye[0] * wide, eye[1], bud))
