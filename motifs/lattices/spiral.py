"""A lattice of spirals: arms that wind out from an eye and divide as they spread, petals between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags, Floats, Ints
from canivet.motifs.bounds import LatticeRim, Roundness, Smallest, Spacing, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, Shapes, moved, turned
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

_REST = 0.58
"""Of a petal's length: one that could be no longer gives way, and the one it follows runs on to the edge."""

_HALVINGS = 8
"""How often the room for a petal at the edge is halved: to a two hundredth of it."""

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

    @property
    def near(self) -> Floats:
        """Return where each petal begins, from the middle."""
        return np.array([ring.near for ring in self.rings])[self.ring]

    @property
    def far(self) -> Floats:
        """Return where each petal ends, from the middle."""
        return np.array([ring.far for ring in self.rings])[self.ring]

    @property
    def before(self) -> Ints:
        """Return the petal that each follows; -1 beside the eye."""
        start = np.searchsorted(self.ring, np.arange(len(self.rings)))
        arms, inside = np.array([(ring.arms, ring.inside) for ring in self.rings])[self.ring].T
        followed: Ints = np.where(self.ring > 0, start[self.ring - 1] + self.arm * inside // arms, -1)
        return followed

    def outlines(self, rows: Ints, far: Floats) -> list[Points]:
        """Return the outlines of some petals where each ends at a distance from the middle."""
        return [
            _petal(self.rings[self.ring[row]], int(self.arm[row]), float(end)) + self.middle
            for row, end in zip(rows, far, strict=True)
        ]

    def fitted(self, rows: Ints, least: Floats, most: Floats, region: BaseGeometry) -> tuple[Floats, Flags]:
        """Return how far some petals may reach and stay in a region, and which of them do at the least."""
        field = region.buffer(self.inset)
        shapely.prepare(field)

        def fit(far: Floats) -> Flags:
            outlines = np.array([Polygon(line) for line in self.outlines(rows, far)], dtype=object)
            inside: Flags = shapely.covers(field, outlines)
            return inside

        fits = fit(least)
        for _ in range(_HALVINGS):
            middle = (least + most) / 2
            inside = fit(middle)
            least, most = np.where(inside, middle, least), np.where(inside, most, middle)
        return least, fits


def _whirl(region: Polygon | MultiPolygon, middle: Points, pitch: float, inset: float, soft: float) -> _Whirl:
    """Lay rings of petals about a middle until they cover a region."""
    far_off = np.abs(np.reshape(region.bounds, (2, 2)) - middle).max(axis=0)
    rings = _rings(pitch, float(np.hypot(*far_off)) + _BEYOND * pitch)
    openings = []
    for ring in rings:
        # beside a new arm, petals of odd number mirror those of even number but for the slant
        kinds = 2 if ring.inside < ring.arms else 1
        cut = _cut_from([_petal(ring, arm, ring.far) for arm in range(kinds)], inset, soft)
        turns = 2 * math.pi / ring.arms * np.arange(0, ring.arms, kinds)
        openings.append(np.stack([turned(opening, turns) for opening in cut], axis=1).ravel())
    arms = [ring.arms for ring in rings]
    return _Whirl(
        rings,
        moved(np.concatenate(openings), middle),
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


def _petal(ring: _Ring, arm: int, far: float) -> Points:
    """Return the outline of a petal on an arm of a ring, which ends at a distance from the middle.

    Drawn in the plane that the exponential function carries over, turned so that arms run along p and q
    counts them.
    """
    breadth = 2 * math.pi * math.cos(_SLANT) / ring.arms
    q = breadth * (arm + (1 - np.cos(np.linspace(0, math.pi, _ACROSS))) / 2)
    tail = _arched(ring.near, q, ring.inside)[_ACROSS // 2]
    head = _arched(far, q, ring.arms)
    along = np.linspace(0, 1, _ALONG if far <= ring.far else 2 * _ALONG)
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


def _shared_out(whirl: _Whirl, region: Polygon | MultiPolygon) -> tuple[Shapes, Shapes]:
    """Return petals that lie in a region, those made to end in it among them, and what its edge cuts.

    A petal that the edge would cut ends before it; if little would be left, the one it follows runs on. What
    begins outside can do neither.
    """
    whole = lie_inside(whirl.openings, region)
    met = np.flatnonzero(~whole & shapely.intersects(region, whirl.openings))
    near, far = whirl.near[met], whirl.far[met]
    ends, fits = whirl.fitted(met, near + _REST * (far - near), far, region)
    short, left = met[fits], met[~fits]
    hosts, room = _running_on(whirl, np.append(np.flatnonzero(whole), short), left, whole)
    run_on, _ = whirl.fitted(hosts, whirl.far[hosts], room, region)
    ended = whirl.outlines(np.append(short, hosts), np.append(ends[fits], run_on))
    stays = np.setdiff1d(np.flatnonzero(whole), hosts)
    tails = np.reshape([line[0] for line in whirl.outlines(left, whirl.far[left])], (-1, 2))
    outside = left[~shapely.intersects(region, shapely.points(tails))]
    drawn = _cut_from(ended, whirl.inset, whirl.soft)
    return np.append(whirl.openings[stays], drawn), whirl.openings[outside]


def _running_on(whirl: _Whirl, kept: Ints, left: Ints, whole: Flags) -> tuple[Ints, Floats]:
    """Return whole petals followed by none that is kept, but by one that is left out, and where that ends."""
    followed = np.zeros(len(whole) + 1, dtype=bool)  # the last stands for the eye, which petals follow too
    followed[whirl.before[kept]] = True
    hosts, first = np.unique(whirl.before[left], return_index=True)
    runs = (hosts >= 0) & ~followed[hosts]
    runs[runs] = whole[hosts[runs]]
    return hosts[runs], whirl.far[left[first[runs]]]
