"""A lattice of spirals: arms that wind out from an eye and divide as they spread, petals between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Floats, Ints
from canivet.motifs.bounds import LatticeRim, Roundness, Smallest, Spacing, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.motifs.shapes.rounds import disc, largest_parts

from ._filling.clip import clipped_singly
from ._filling.region import Across, Up, check_pitch, inset_region, middle_of, pierce_or_refuse
from ._filling.trim import drawn_in, lie_inside, softened

__all__ = ["spiral_lattice"]

_SLANT = math.radians(48)
"""Between an arm and the ray it crosses: nearer 0 a sunburst, nearer 90° a coil."""

_EYE, _FIRST = 1.15, 8
"""Pitches: radius of the eye; and how many arms leave it."""

_BROADEST = 1.4
"""Pitches: a ring in whose middle petals would be broader has twice as many arms."""

_LENGTH, _DIVIDED = 2.15, 1.3
"""Pitches: length of a petal; and times that of one beside a new arm, whose tail sits on a shoulder."""

_HEAD = 0.8
"""Of half a petal's breadth: how far its round head swells; at 1 half a circle."""

_TAIL = 2.6
"""How long a petal keeps its breadth before it runs out to the tail: 1 a wedge, 3 an egg."""

_REST = 0.4
"""Of a petal: less than this inside the region goes to the petal it follows, which runs on to the edge."""

_WORTHY = 0.28
"""Of a usual opening's breadth: a slimmer rest at the edge stays closed."""

_BEYOND = 2.0
"""Pitches that rings are laid beyond the region."""

_LEAST = 0.35
"""Radius of the circle inscribed in about the smallest petal, in pitches."""

_ACROSS, _ALONG = 17, 33
"""Points of a petal's head, and of each side; a petal that runs on has as many for every ring."""

_SAG = 5e-4
"""Pitches: how far a chord of an arm may lie from its arc, by which petals are drawn in more."""


@motif("lattice")
def spiral_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Spacing = 7.0,
    across: Across = 0.5,
    up: Up = 0.5,
    roundness: Roundness = 0.25,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A whirl: round-headed petals one after the other between arms that wind out from an eye and divide.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Least paper between two petals: mm, 0.3 to 20, default 1.2.
    pitch : float
        About how broad a petal is: mm, 2 to 200, default 7.
    across : float
        Where the middle lies across the region, 0 left and 1 right: −0.5 to 1.5, default 0.5.
    up : float
        Where the middle lies up the region, 0 foot and 1 head: −0.5 to 1.5, default 0.5.
    roundness : float
        How round the corners of petals are: 0 to 1, default 0.25.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    Arms are equiangular spirals: they cross every ray at one angle, so that petals of a ring are one petal,
    turned. Drawn in the plane of log r and angle and carried over by the exponential function, which keeps
    angles, a petal is square to its arms wherever it lies.

    References
    ----------
    J. Bernoulli, Spira mirabilis, *Acta Eruditorum*, 1692 (from memory).

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> square = Polygon([(0, 0), (60, 0), (60, 60), (0, 60)])
    >>> paper = spiral_lattice(within=square)
    >>> paper.symmetric_difference(rotate(paper, 90, origin=(30, 30))).area < 0.1
    True
    """
    check_pitch(pitch, strap, smallest, inradius=_LEAST)
    region = inset_region(within, rim)
    middle = middle_of(region, across, up, strap)
    whirl = _whirl(region, middle, pitch, strap / 2 + _SAG * pitch, roundness)
    eye = disc(float(middle[0]), float(middle[1]), _EYE * pitch - strap / 2, sides=64)
    whole, ragged = _shared_out(whirl, region)
    usual = float(np.median(2 * shapely.area(whirl.openings) / shapely.length(whirl.openings)))
    rings = clipped_singly(
        np.append(ragged, eye), region, least=max(smallest, _WORTHY * usual), strap=strap, soft=roundness
    )
    return pierce_or_refuse(within, region, [shapely.get_exterior_ring(whole), rings])


@dataclass(frozen=True, slots=True)
class _Ring:
    """Petals that begin as far from the eye: `arms` of them from `near` to `far`, on a ring of `inside`."""

    near: float
    far: float
    arms: int
    inside: int


@dataclass(frozen=True, slots=True)
class _Whirl:
    """All petals about a middle, ring by ring: what is cut from each, its ring, and which one of it it is."""

    rings: list[_Ring]
    openings: Shapes
    ring: Ints
    arm: Ints
    middle: Points
    inset: float
    soft: float

    def run_on(self, rows: Ints, last: Ints) -> Shapes:
        """Return what is cut from some petals where they run on to the end of a later ring."""
        outlines = [
            _petal(self.rings[self.ring[row] : end + 1], int(self.arm[row]))
            for row, end in zip(rows, last, strict=True)
        ]
        return _moved(_cut_from(outlines, self.inset, self.soft), self.middle)


def _whirl(region: Polygon | MultiPolygon, middle: Points, pitch: float, inset: float, soft: float) -> _Whirl:
    """Lay rings of petals about a middle until they cover a region."""
    far_off = np.abs(np.reshape(region.bounds, (2, 2)) - middle).max(axis=0)
    rings = _rings(pitch, float(np.hypot(*far_off)) + _BEYOND * pitch)
    openings = []
    for ring in rings:
        # beside a new arm, petals of odd number mirror those of even number but for the slant
        kinds = 2 if ring.inside < ring.arms else 1
        cut = _cut_from([_petal([ring], arm) for arm in range(kinds)], inset, soft)
        turns = 2 * math.pi / ring.arms * np.arange(0, ring.arms, kinds)
        openings.append(np.stack([_turned(opening, turns) for opening in cut], axis=1).ravel())
    arms = [ring.arms for ring in rings]
    return _Whirl(
        rings,
        _moved(np.concatenate(openings), middle),
        np.repeat(np.arange(len(rings)), arms),
        np.concatenate([np.arange(count) for count in arms]),
        middle,
        inset,
        soft,
    )


def _rings(pitch: float, reach: float) -> list[_Ring]:
    """Return rings about the origin, of twice as many petals wherever they would grow too broad."""
    rings: list[_Ring] = []
    near, arms, step = _EYE * pitch, _FIRST, _LENGTH * pitch * math.cos(_SLANT)
    while near < reach:
        inside = arms
        divided = len(rings) > 0 and math.pi * (2 * near + step) * math.cos(_SLANT) / arms > _BROADEST * pitch
        arms = 2 * arms if divided else arms
        far = near + step * (_DIVIDED if divided else 1)
        rings.append(_Ring(near, far, arms, inside if rings else 0))
        near = far
    return rings


def _petal(run: list[_Ring], arm: int) -> Points:
    """Return the outline of the petal on an arm of the first of some rings, which ends where the last does.

    Drawn in the plane that the exponential function carries over, turned so that arms run along p and q
    counts them.
    """
    first, last = run[0], run[-1]
    breadth = 2 * math.pi * math.cos(_SLANT) / first.arms
    q = breadth * (arm + (1 - np.cos(np.linspace(0, math.pi, _ACROSS))) / 2)
    tail = _arched(first.near, q, first.inside)[_ACROSS // 2]
    head = _arched(last.far, q, first.arms)
    along = np.linspace(0, 1, _ALONG * len(run))
    narrowed = breadth / 2 * (1 - along) ** _TAIL
    side = tail + (head[0] - tail) * along
    p = np.concatenate([side, head[1:-1], side[:0:-1]])
    across = np.concatenate([q[0] + narrowed, q[1:-1], (q[-1] - narrowed)[:0:-1]])
    carried = np.exp((p + 1j * across) * np.exp(1j * _SLANT))
    return np.column_stack([carried.real, carried.imag])


def _arched(radius: float, q: Floats, arms: int) -> Floats:
    """Return how far along its arm each point of a ring's edge lies: a round head in each of so many arms.

    Beside the eye, which has none, it is a circle about the origin.
    """
    if not arms:
        return (math.log(radius) + q * math.sin(_SLANT)) / math.cos(_SLANT)
    breadth = 2 * math.pi * math.cos(_SLANT) / arms
    middle = breadth * (math.floor(float(q.mean()) / breadth) + 0.5)
    swell = _HEAD * breadth / 2 * np.sqrt(np.maximum(1 - (2 * (q - middle) / breadth) ** 2, 0))
    shoulder = (math.log(radius) + middle * math.sin(_SLANT)) / math.cos(_SLANT)
    arched: Floats = shoulder + swell
    return arched


def _cut_from(outlines: list[Points], inset: float, soft: float) -> Shapes:
    """Return what is cut from each petal."""
    solid = np.array([Polygon(outline) for outline in outlines], dtype=object)
    return softened(largest_parts(drawn_in(solid, inset)), soft)


def _turned(shape: Polygon, turns: npt.NDArray[np.floating[Any]]) -> Shapes:
    """Return copies of a shape turned about the origin by angles in radians."""
    points = shapely.get_coordinates(shape.exterior) @ np.array([1, 1j])
    all_turned = points * np.exp(1j * turns)[:, None]
    copies: Shapes = shapely.polygons(np.stack([all_turned.real, all_turned.imag], axis=2))
    return copies


def _moved(shapes: Shapes, by: Points) -> Shapes:
    moved: Shapes = shapely.transform(shapes, lambda points: points + by)
    return moved


def _shared_out(whirl: _Whirl, region: Polygon | MultiPolygon) -> tuple[Shapes, Shapes]:
    """Return the openings that lie in a region whole, and those its edge meets, grown by what they take over.

    A rest at the edge goes to the petal it follows; where that one is divided, only if both halves are rests.
    """
    whole = lie_inside(whirl.openings, region)
    share = whole.astype(float)
    met = ~whole & shapely.intersects(region, whirl.openings)
    share[met] = shapely.area(shapely.intersection(whirl.openings[met], region))
    share[met] /= shapely.area(whirl.openings[met])
    start = np.searchsorted(whirl.ring, np.arange(len(whirl.rings)))
    last, given = whirl.ring.copy(), np.zeros(len(share), dtype=bool)
    for number in range(len(whirl.rings) - 1, 0, -1):
        ring = whirl.rings[number]
        own = start[number] + np.arange(ring.arms).reshape(ring.inside, -1)
        before = start[number - 1] + np.arange(ring.inside)
        rests = (share[own] > 0) & (share[own] < _REST)
        gives = rests.any(axis=1) & (share[own] < _REST).all(axis=1) & (share[before] > 0)
        given[own[gives]] = True
        last[before[gives]] = np.max(last[own[gives]], axis=1)
    ran_on = np.flatnonzero((last > whirl.ring) & ~given)
    ragged = (share > 0) & ~whole & ~given & (last == whirl.ring)
    grown = whirl.run_on(ran_on, last[ran_on])
    return whirl.openings[whole & ~given & (last == whirl.ring)], np.append(whirl.openings[ragged], grown)
