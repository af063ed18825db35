"""Paper added where a strap or a limb is too thin, and nowhere else.

A disc smaller than half the strap with thicker paper beyond it marks a strap, which gets its full width.
Where only an end lies beyond, it is a limb: left alone while short and tapering, and mended otherwise. A
pointed one keeps its point, a blunt one becomes a strap.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.again import Measures
from canivet.audit.boundary import GRID, Flags, Floats, Ints, Paper, boundary_of
from canivet.audit.holds import hanging_areas
from canivet.audit.limbs import Limb
from canivet.audit.necks import Necks
from canivet.audit.strength import REACH, TOLERANCE

from ._medial import Discs, Wanted, cover_beyond, inscribed_discs, largest_beyond, mean_beyond, seen_beyond
from .areas import on_grid
from .patching import discs_on, patched

__all__ = ["MARGIN", "Seen", "thicken_once", "trim_beads"]

MARGIN = 2 * GRID
"""mm added to half a strap, so that drawing discs in chords and snapping leave the strap its width."""

_LACKING = MARGIN + GRID
"""mm a disc may lack to half a strap and its margin: on a strap as wide as the audit asks, as all are of a
lattice drawn to it, nothing is laid."""

TAPER = 0.18
"""How fast, in mm of half-width per mm, a pointed limb may thin out towards its end: a point of about 20°,
just stouter than the slenderest that the audit lets pass."""

_SLIM = 12.0
"""A limb is slender when it is this many times as long as the mean radius of the discs in it: a point of 19°
by that measure, where a disc reaches a little past its touching points, and a strip of six widths."""

_STUB = 1.5
"""Straps an end may stand out though its sides are parallel."""

_EASE = 0.5
"""mm of half-width per mm: how steeply a mended strap runs out into a limb that was left alone."""

_PARALLEL = 0.85
"""Sides are as good as parallel where the discs beyond are this much of the one before; in a point, 0.5."""

_LEAST_TAPER = 0.03
"""mm of half-width per mm. Far more than the grid can hide, far less than the eye can see."""

_NEAR = 0.97
"""A limb is mended when it comes this near to being too slender, so that the audit need not argue."""

_BLUNT = 0.25
"""An end is blunt where a disc in it is this much of its distance from the end; a point of 20° has 0.18."""

_STOUT = 0.2
"""And where that disc is this share of half a strap; a hair with a square end still counts as pointed."""


_SAMPLES = 6
"""To one strap along the edge."""

_QUARTER = 8
"""Chords to a quarter of a stroke's round end."""

_GENTLE = 5
"""Rounds in which a tip that swells is only evened out; after that its neck gets the whole strap."""

_MANY = 100_000
"""Samples past which at first only the rings about weak places get any: all of them would take minutes."""

_ABOUT = 6.0
"""Straps about a weak place within which a ring is gone over then, and in later rounds its samples."""

_POINTWISE = 3
"""Rounds in which necks are patched one by one; after that a stretch on either side is thickened too."""

_ALMOST = 0.75
"""Of half a strap: what a stretch beside a neck must have to be thickened with it."""

_BEAD = 0.15
"""Share of the strap's square. A bead smaller than this at the end of a neck is trimmed off: the disc that
would hold it is larger than it."""

_FACING = 0.8
"""Discs with touching points nearer together sit in a corner (a square one has 0.71), not across a limb."""


@dataclass(slots=True, eq=False)
class Seen:
    """What has been seen of a paper while it is gone over at one strap, so that it is not looked for again.

    Attributes
    ----------
    sound : set of bytes
        Parts in which nothing is too thin, by their WKB.
    known : Measures
        What was measured last: of the doubtful parts, or, when mending begins, of nearly the same paper.
    """

    sound: set[bytes] = field(default_factory=set)
    known: Measures = field(default_factory=Measures)
    _last: tuple[Paper, Paper, Necks | None] | None = None

    def weak_necks(self, paper: Paper, strap: float) -> tuple[Paper, Necks | None]:
        """Return the parts not known to be sound, and their necks under the strap; None if none are left."""
        if self._last is None or self._last[0] is not paper:
            doubtful, necks = self._doubtful(paper), None
            if not doubtful.is_empty:
                necks = self.known.find_necks(boundary_of(doubtful), REACH * strap)
                necks = necks.under(strap - TOLERANCE)
            self._last = paper, doubtful, necks
        return self._last[1:]

    def _doubtful(self, paper: Paper) -> Paper:
        parts = [p for p in shapely.get_parts(paper) if shapely.normalize(p).wkb not in self.sound]
        return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def trim_beads(paper: Paper, strap: float, seen: Seen) -> tuple[Paper, list[Polygon]]:
    """Cut off what hangs on a neck too narrow and is too small to be worth holding."""
    _, necks = seen.weak_necks(paper, strap)
    if necks is None:
        return paper, []
    hanging = hanging_areas(necks)
    small = np.flatnonzero((hanging > 0) & (hanging < _BEAD * strap**2))
    if len(small) == 0:
        return paper, []
    chords = shapely.linestrings(np.stack([necks.start[small], necks.end[small]], axis=1))
    cut = paper.difference(shapely.union_all(shapely.buffer(chords, GRID)))
    parts = shapely.get_parts(cut)
    bead = shapely.area(parts) < _BEAD * strap**2
    return on_grid(MultiPolygon(list(parts[~bead]))), list(parts[bead])


def thicken_once(paper: Paper, strap: float, eager: int, seen: Seen) -> tuple[Paper, bool]:
    """Add paper along the middle of what is too thin, and on the chords that are still too short.

    Parts in which nothing is too thin are entered in `seen`, and not looked at again. Also says whether
    anything was added; `eager` counts the rounds, and later ones are less patient.
    """
    doubtful, necks = seen.weak_necks(paper, strap)
    if necks is None:
        return paper, False
    limbs = seen.known.find_limbs(necks.boundary, strap)
    weak = _weak_parts(doubtful, necks, limbs, seen.sound)
    if weak.is_empty:
        return paper, False
    half = strap / 2 + MARGIN
    # A drawing in many fine chords needs no sample on each of them, unless a strap fails by a hair.
    coarse = boundary_of(weak.simplify(0.01 * strap if eager < 3 else GRID))
    # At first a strap is mended all along, though only its ends show as necks: what is about them is rings.
    # What is left after that is mended where it shows.
    everywhere = eager == 1 and weak.length <= _MANY * strap / _SAMPLES
    wanted_at = None if everywhere else _wanted_samples(necks, limbs, strap, rings=eager == 1)
    discs = inscribed_discs(coarse, reach=half, spacing=strap / _SAMPLES, wanted=wanted_at)
    wanted = _wanted(discs, strap, half, eager)
    if eager > _POINTWISE:
        wanted[_around(discs, necks, strap, half)] = half
    patch = _strokes(discs, wanted, strap / _SAMPLES)
    if eager > 1 or not patch:
        patch += _patches(necks, strap, half, eager) + _limb_patches(limbs, discs, half)
    if not patch:
        return paper, False
    added = shapely.union_all(patch).simplify(GRID)
    return patched(paper, [added]), True


def _wanted_samples(necks: Necks, limbs: list[Limb], strap: float, rings: bool) -> Wanted:
    """Return what tells the samples about a place that is too thin, or on a ring that comes near one."""
    reach = _ABOUT * strap + max((limb.length for limb in limbs), default=0.0)
    places = cKDTree(_places(necks, limbs))

    def near(point: Floats, ring: Ints) -> Flags:
        close: Flags = np.isfinite(places.query(point, distance_upper_bound=reach)[0])
        return np.isin(ring, ring[close]) if rings else close

    return near


def _places(necks: Necks, limbs: list[Limb]) -> Floats:
    return np.concatenate([necks.middle, np.array([limb.at for limb in limbs]).reshape(-1, 2)])


def _weak_parts(paper: Paper, necks: Necks, limbs: list[Limb], sound: set[bytes]) -> Paper:
    """Return the parts with a place that is too thin, and enter the others in `sound`."""
    parts = shapely.get_parts(paper)
    places = _places(necks, limbs)
    weak = np.zeros(len(parts), bool)
    # This way round each part is prepared once, however many places there are.
    weak[STRtree(shapely.points(places)).query(parts, predicate="dwithin", distance=2 * GRID)[0]] = True
    sound.update(shapely.normalize(part).wkb for part in parts[~weak])
    return MultiPolygon(list(parts[weak]))


def _wanted(discs: Discs, strap: float, half: float, eager: int) -> Floats:
    """Return the radius each disc should have: its own where the paper is thick enough, or may be thin.

    So too where not all that lies beyond it was sampled: that is past what is to be mended now.
    """
    radius, beyond = discs.radius, np.where(np.isinf(discs.beyond), 0.0, discs.beyond)
    thick = radius >= half - GRID
    thickest = largest_beyond(discs, radius)
    between = ~thick & (np.isinf(discs.beyond) | (thickest >= half - GRID))
    limb = ~thick & ~between & (discs.facing > _FACING) & seen_beyond(discs)
    wanted = np.where(between, half, radius)
    # An end, however short, must thin out a little all the way, or it has a neck where it starts.
    tapered = largest_beyond(discs, radius - _LEAST_TAPER * beyond) + _LEAST_TAPER * beyond
    wanted[limb] = np.clip(tapered, radius, half)[limb]
    patience = _NEAR**eager
    slender = limb & (beyond > patience * strap)
    mean = mean_beyond(discs, radius)
    slender &= (beyond > patience * _SLIM * mean) | ((beyond > _STUB * strap) & (mean > _PARALLEL * radius))
    ends = np.where((radius > _BLUNT * beyond) & (radius > _STOUT * half), radius, 0.0)
    blunt = slender & (largest_beyond(discs, ends) > 0)
    along = limb & (slender | cover_beyond(discs, slender))
    wanted[along] = np.maximum(wanted, np.minimum(half, TAPER * beyond))[along]
    wanted[limb & (blunt | cover_beyond(discs, blunt))] = half
    return _eased(discs, wanted, ~thick)


def _eased(discs: Discs, wanted: Floats, thin: Flags) -> Floats:
    """Let a mended stretch run out gently into thin paper that was left alone."""
    rise = np.where(wanted > discs.radius * 1.1 + GRID, wanted, 0.0)
    place = discs.place * _EASE + np.cumsum(~thin) * rise.max(initial=0.0)
    ahead = np.maximum.accumulate(rise + place) - place
    back = (np.maximum.accumulate((rise - place)[::-1]))[::-1] + place
    return np.asarray(np.maximum(wanted, np.maximum(ahead, back)))


def _strokes(discs: Discs, wanted: Floats, spacing: float) -> list[Polygon]:
    """Return a stroke along each run of discs that must grow: as wide all along, or tapering to the next."""
    grows = (wanted > discs.radius + _LACKING) & (discs.facing > _FACING)
    rows = np.flatnonzero(grows)
    if len(rows) == 0:
        return []
    following = np.roll(np.arange(len(grows)), -1)[rows]
    gap = np.hypot(*(discs.centre[following] - discs.centre[rows]).T)
    linked = (
        grows[following]
        & (discs.ring[following] == discs.ring[rows])
        & (gap < np.maximum(2 * wanted[rows], 2 * spacing))
    )
    level = linked & (np.abs(wanted[following] - wanted[rows]) < GRID / 2)
    taper = rows[linked & ~level]
    return [*_level_strokes(discs.centre, wanted, rows, level), *_tapers(discs.centre, wanted, taper)]


def _level_strokes(centre: Floats, wanted: Floats, rows: Ints, level: Flags) -> NDArray[np.object_]:
    """Return one body for each run of discs that are each as wide as the next; alone, a disc is a run."""
    run = np.concatenate([[0], np.cumsum(~level[:-1])])
    first = np.flatnonzero(np.diff(run, prepend=-1))
    # A line needs two points: every run begins with its first disc twice.
    order = np.sort(np.concatenate([np.arange(len(rows)), first]))
    lines = shapely.simplify(shapely.linestrings(centre[rows[order]], indices=run[order]), GRID / 2)
    widest = np.maximum.reduceat(wanted[rows], first) / np.cos(np.pi / (4 * _QUARTER))
    strokes: NDArray[np.object_] = shapely.buffer(lines, widest, quad_segs=_QUARTER)
    return strokes


def _tapers(centre: Floats, wanted: Floats, rows: Ints) -> NDArray[np.object_]:
    """Return what lies between each of the discs and the next one along the edge, and both of them."""
    angle = np.linspace(0, 2 * np.pi, 33)[:-1]
    circle = np.stack([np.cos(angle), np.sin(angle)], axis=1) / np.cos(np.pi / 32)
    ends = [centre[k, None] + wanted[k, None, None] * circle for k in (rows, (rows + 1) % len(centre))]
    hulls: NDArray[np.object_] = shapely.convex_hull(shapely.linestrings(np.concatenate(ends, axis=1)))
    return hulls


def _patches(necks: Necks, strap: float, half: float, eager: int) -> list[Polygon]:
    """Return a disc on the chord of each neck: as wide as the strap, but gently at first towards a tip."""
    hanging = hanging_areas(necks)
    tip = (hanging > 0) & (hanging < 2 * strap**2) & (eager <= _GENTLE)
    radius = np.where(tip, np.minimum(half, necks.width / 2 * (1 + 0.08 * eager) + GRID), half)
    return list(discs_on(necks.middle, radius))


def _around(discs: Discs, necks: Necks, strap: float, half: float) -> Ints:
    """Return the discs nearly thick enough around each neck: where one neck is patched the next one shows."""
    tree = STRtree(shapely.points(discs.centre))
    near = np.unique(tree.query(shapely.points(necks.middle), predicate="dwithin", distance=2 * strap)[1])
    fit = (discs.radius[near] > _ALMOST * half) & (discs.radius[near] < half) & (discs.facing[near] > _FACING)
    return np.asarray(near[fit], np.intp)


def _limb_patches(limbs: list[Limb], discs: Discs, half: float) -> list[Polygon]:
    """Return discs along the limbs that the rule for limbs let pass and the audit did not."""
    if not limbs:
        return []
    tree = STRtree(shapely.points(discs.centre))
    around = shapely.buffer([shapely.Point(limb.at) for limb in limbs], [limb.length / 2 for limb in limbs])
    rows = np.unique(tree.query(around, predicate="intersects")[1])
    rows = rows[discs.radius[rows] > _STOUT / 2 * half]
    return list(discs_on(discs.centre[rows], half, at_corners=True))
