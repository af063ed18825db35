"""Mending shapes that came from outside, so that every strap holds and every opening can be cut.

Only what is too thin is thickened, along its middle line; a point may stay a point, a strip becomes a strap.
Openings that no blade could turn in are filled, never widened. All that was done is said, with its place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon

from canivet.boundary import GRID, Flags, Floats, Paper, boundary_of, require_valid
from canivet.errors import BadValue, DoesNotFit
from canivet.holds import hanging_areas
from canivet.limbs import Limb, find_limbs
from canivet.necks import Necks, find_necks
from canivet.strength import TOLERANCE

from .medial import Discs, cover_beyond, inscribed_discs, largest_beyond, mean_beyond
from .smoothing import smooth_paper

__all__ = ["Change", "Repair", "repair_paper"]

ROUNDS = 8
"""Thickening in one place may pinch another; most shapes are done after two rounds."""

MARGIN = 2 * GRID
"""mm added to half a strap, so that drawing discs in chords and snapping leave the strap its width."""

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
"""Sides are as good as parallel where the discs beyond are this much of the one before them; in a point, 0.5."""

_LEAST_TAPER = 0.03
"""mm of half-width per mm. Far more than the grid can hide, far less than the eye can see."""

_NEAR = 0.97
"""A limb is mended when it comes this near to being too slender, so that the audit need not argue."""

_BLUNT = 0.35
"""An end is blunt where the disc in it is this much of its distance from the end: a quarter turn is 0.4."""

_STOUT = 0.2
"""And where that disc is this share of half a strap; a hair with a square end still counts as pointed."""


_SAMPLES = 6
"""To one strap along the edge."""

_GENTLE = 5
"""Rounds in which a tip that swells is only evened out; after that its neck gets the whole strap."""

_BEAD = 0.15
"""Share of the strap's square. A bead smaller than this at the end of a neck is trimmed off: the disc that
would hold it is larger than it."""

_FACING = 0.8
"""Discs whose touching points lie nearer together sit in a corner (a square one has 0.71), not across a limb."""


@dataclass(frozen=True, slots=True)
class Change:
    """One place where paper was added or taken away: how much (mm²), and where (mm)."""

    area: float
    at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Repair:
    """A mended paper, and all that was done to it. Lengths in mm, areas in mm².

    Attributes
    ----------
    paper : Polygon or MultiPolygon
        What stays; parts that were loose are still loose.
    thickened : tuple of Change
        Paper added where a strap or a limb was too thin, the most first.
    filled : tuple of Change
        Openings closed because they were too small to cut.
    dropped : tuple of Change
        Specks of paper taken out because they were too small to hold.
    smoothed : float
        Area moved by smoothing, paper won and paper lost taken together.
    area_before, area_after : float
        The paper's area as it came and as it went.
    rounds : int
        How often the paper was gone over.
    """

    paper: Paper
    thickened: tuple[Change, ...]
    filled: tuple[Change, ...]
    dropped: tuple[Change, ...]
    smoothed: float
    area_before: float
    area_after: float
    rounds: int


def repair_paper(
    paper: Paper,
    *,
    strap: float,
    smallest: float,
    thicken: bool = True,
    fill: bool = True,
    drop: bool = True,
    smooth: float = 0.0,
) -> Repair:
    """A shape whose thin places are brought up to the strap and whose pinholes are closed.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm; its parts may be loose.
    strap : float
        The width every strap must have, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm, 0 or more.
    thicken : bool
        Bring straps, and limbs that are slender for their width, up to the strap.
    fill : bool
        Close openings into which no disc of radius `smallest` fits.
    drop : bool
        Take out specks: loose parts with less area than a disc as wide as the strap.
    smooth : float
        Waves along the edge shorter than about four times this many mm are taken out; corners stay. 0 for none.

    Returns
    -------
    Repair

    Raises
    ------
    BadValue
        If the paper is not valid, or a length is out of range.
    DoesNotFit
        If every part is a speck.

    Notes
    -----
    Discs are grown inside the paper at every sample of its edge (`canivet.compose.medial`). Where a disc is
    smaller than half the strap and thicker paper lies beyond it, the place is a strap and gets its full
    width. Where only an end lies beyond, it is a limb, mended when longer than six times its mean width: a
    pointed one keeps its point, a blunt one becomes a strap. Then small openings are filled, each neck left
    is patched with a disc on its chord, and the result is gone over again, at most eight times.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.strength import check_strength
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(9, 4.8, 16, 5.2), box(15, 0, 25, 10)])
    >>> mended = repair_paper(dumbbell, strap=1.2, smallest=0.5)
    >>> check_strength(mended.paper, strap=1.2).holds, round(mended.area_after - mended.area_before, 1)
    (True, 4.0)
    """
    _require(strap, smallest, smooth)
    before = on_grid(require_valid(paper))
    clean = smooth_paper(before, smooth) if smooth > 0 else before
    kept, dropped = _drop_specks(clean, strap) if drop else (clean, [])
    if kept.is_empty:
        raise DoesNotFit(
            f"every part of the paper is smaller than a disc {strap:g} mm across; nothing is left to hold. "
            "Make the piece larger or the strap narrower.",
            parameter="strap", value=strap,
        )  # fmt: skip
    filled: list[Polygon] = []
    added: list[Paper] = []
    sound: set[bytes] = set()
    mended, rounds = kept, 0
    for rounds in range(1, ROUNDS + 1):  # noqa: B007 - the count is reported
        if fill:
            mended, holes = fill_openings(mended, smallest)
            filled += holes
        if not thicken:
            break
        if drop:
            mended, beads = _trim_beads(mended, strap, sound)
            dropped += beads
        mended, patch = _thicken(mended, strap, rounds, sound)
        added += patch
        if not patch:
            break
    return Repair(
        paper=mended,
        thickened=_changes(_more(shapely.union_all(added), kept)),
        filled=_changes(filled),
        dropped=_changes(dropped),
        smoothed=float(before.symmetric_difference(clean).area) if smooth > 0 else 0.0,
        area_before=float(paper.area),
        area_after=float(mended.area),
        rounds=rounds,
    )


def _require(strap: float, smallest: float, smooth: float) -> None:
    if not 0 < strap <= 1000:
        raise BadValue(
            f"strap is {strap:g} mm; it takes more than 0 mm and at most 1000 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 1000 mm",
        )  # fmt: skip
    for name, value in (("smallest", smallest), ("smooth", smooth)):
        if not 0 <= value <= 1000:
            raise BadValue(
                f"{name} is {value:g} mm; it takes 0 mm to 1000 mm.",
                parameter=name, value=value, accepted="0 mm to 1000 mm",
            )  # fmt: skip


def on_grid(paper: Paper) -> Paper:
    """Snap to the grid the audit works on; hairs thinner than that are no paper."""
    return _areas(shapely.set_precision(paper, GRID))


def _areas(shape: shapely.Geometry) -> Paper:
    """Return the areas in a geometry, without the lines and points an overlay may leave beside them."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 0]
    if isinstance(shape, shapely.GeometryCollection):
        parts = [q for p in shapely.get_parts(shape) for q in shapely.get_parts(p) if isinstance(q, Polygon)]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def _drop_specks(paper: Paper, strap: float) -> tuple[Paper, list[Polygon]]:
    parts = shapely.get_parts(paper)
    speck = shapely.area(parts) < np.pi * strap**2 / 4
    return (_areas(MultiPolygon(list(parts[~speck]))), list(parts[speck])) if speck.any() else (paper, [])


def _trim_beads(paper: Paper, strap: float, sound: set[bytes]) -> tuple[Paper, list[Polygon]]:
    """Cut off what hangs on a neck too narrow and is too small to be worth holding."""
    doubtful = _not_in(paper, sound)
    if doubtful.is_empty:
        return paper, []
    necks = find_necks(boundary_of(doubtful), strap).under(strap - TOLERANCE)
    hanging = hanging_areas(necks)
    small = np.flatnonzero((hanging > 0) & (hanging < _BEAD * strap**2))
    if len(small) == 0:
        return paper, []
    chords = shapely.linestrings(np.stack([necks.start[small], necks.end[small]], axis=1))
    cut = paper.difference(shapely.union_all(shapely.buffer(chords, GRID)))
    parts = shapely.get_parts(cut)
    bead = shapely.area(parts) < _BEAD * strap**2
    return on_grid(MultiPolygon(list(parts[~bead]))), list(parts[bead])


def _not_in(paper: Paper, sound: set[bytes]) -> Paper:
    """Return the parts that have not been found sound already."""
    parts = [p for p in shapely.get_parts(paper) if shapely.normalize(p).wkb not in sound]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def fill_openings(paper: Paper, smallest: float) -> tuple[Paper, list[Polygon]]:
    """Close the openings no disc of radius `smallest` fits into; what lies within joins the paper."""
    least = max(smallest, 2 * GRID)
    openings = _openings(paper)
    tight = openings[shapely.is_empty(shapely.buffer(openings, -least, quad_segs=16))]
    if len(tight) == 0:
        return paper, []
    return on_grid(shapely.union_all([paper, *shapely.buffer(tight, GRID)])), list(tight)


def _openings(paper: Paper) -> NDArray[np.object_]:
    """Return the areas enclosed by paper, less the loose parts lying in them."""
    parts = shapely.get_parts(paper)
    solid: NDArray[np.object_] = shapely.polygons(shapely.get_exterior_ring(parts))
    if len(parts) == 1:
        rings = shapely.get_rings(shapely.orient_polygons(paper))
        holes: NDArray[np.object_] = shapely.polygons(rings[~shapely.is_ccw(rings)])
        return holes
    between = shapely.get_parts(shapely.union_all(solid).difference(paper))
    return np.array([p for p in between if isinstance(p, Polygon) and p.area > 0], dtype=object)


def _thicken(paper: Paper, strap: float, eager: int, sound: set[bytes]) -> tuple[Paper, list[Paper]]:
    """Add paper along the middle of what is too thin, and on the chords that are still too short.

    Parts in which nothing is too thin are entered in `sound`, and not looked at again.
    """
    doubtful = _not_in(paper, sound)
    if doubtful.is_empty:
        return paper, []
    boundary = boundary_of(doubtful)
    necks = find_necks(boundary, strap).under(strap - TOLERANCE)
    limbs = find_limbs(boundary, strap)
    weak = _weak_parts(doubtful, necks, limbs, sound)
    if weak.is_empty:
        return paper, []
    half = strap / 2 + MARGIN
    # A drawing in many fine chords needs no sample on each of them.
    coarse = boundary_of(weak.simplify(0.01 * strap))
    discs = inscribed_discs(coarse, reach=half, spacing=strap / _SAMPLES)
    patch = _strokes(discs, _wanted(discs, strap, half, eager), strap / _SAMPLES)
    if eager > 1 or not patch:
        patch += _patches(necks, strap, half, eager) + _limb_patches(limbs, discs, half)
    if not patch:
        return paper, []
    added = shapely.union_all(patch).simplify(GRID)
    return on_grid(shapely.union_all([paper, added])), [added]


def _weak_parts(paper: Paper, necks: Necks, limbs: list[Limb], sound: set[bytes]) -> Paper:
    """Return the parts with a place that is too thin, and enter the others in `sound`."""
    parts = shapely.get_parts(paper)
    places = np.concatenate([necks.middle, np.array([limb.at for limb in limbs]).reshape(-1, 2)])
    weak = np.zeros(len(parts), bool)
    weak[STRtree(parts).query(shapely.points(places), predicate="dwithin", distance=2 * GRID)[1]] = True
    sound.update(shapely.normalize(part).wkb for part in parts[~weak])
    return MultiPolygon(list(parts[weak]))


def _wanted(discs: Discs, strap: float, half: float, eager: int) -> Floats:
    """Return the radius each disc should have; its own where the paper is thick enough, or thin with right."""
    radius, beyond = discs.radius, np.where(np.isinf(discs.beyond), 0.0, discs.beyond)
    thick = radius >= half - MARGIN - GRID
    thickest = largest_beyond(discs, radius)
    between = ~thick & (np.isinf(discs.beyond) | (thickest >= half - MARGIN - GRID))
    limb = ~thick & ~between & (discs.facing > _FACING)
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
    """Return a tapering stroke from each disc that must grow to the next one along the edge."""
    grows = (wanted > discs.radius + GRID) & (discs.facing > _FACING)
    rows = np.flatnonzero(grows)
    if len(rows) == 0:
        return []
    following = np.roll(np.arange(len(grows)), -1)[rows]
    gap = np.hypot(*(discs.centre[following] - discs.centre[rows]).T)
    linked = grows[following] & (discs.ring[following] == discs.ring[rows]) & (gap < np.maximum(2 * wanted[rows], 2 * spacing))
    a, b = rows, np.where(linked, following, rows)
    angle = np.linspace(0, 2 * np.pi, 33)[:-1]
    circle = np.stack([np.cos(angle), np.sin(angle)], axis=1) / np.cos(np.pi / 32)
    points = np.concatenate([
        discs.centre[a, None] + wanted[a, None, None] * circle,
        discs.centre[b, None] + wanted[b, None, None] * circle,
    ], axis=1)  # fmt: skip
    return list(shapely.convex_hull(shapely.multipoints(points)))


def _patches(necks: Necks, strap: float, half: float, eager: int) -> list[Polygon]:
    """Return a disc on the chord of each neck: as wide as the strap, but gently at first towards a tip."""
    hanging = hanging_areas(necks)
    tip = (hanging > 0) & (hanging < 2 * strap**2) & (eager <= _GENTLE)
    radius = np.where(tip, np.minimum(half, necks.width / 2 * (1 + 0.08 * eager) + GRID), half)
    return list(shapely.buffer(shapely.points(necks.middle), radius / np.cos(np.pi / 64), quad_segs=16))


def _limb_patches(limbs: list[Limb], discs: Discs, half: float) -> list[Polygon]:
    """Return discs along the limbs that the rule for limbs let pass and the audit did not."""
    if not limbs:
        return []
    tree = STRtree(shapely.points(discs.centre))
    around = shapely.buffer([shapely.Point(limb.at) for limb in limbs], [limb.length / 2 for limb in limbs])
    rows = np.unique(tree.query(around, predicate="intersects")[1])
    rows = rows[discs.radius[rows] > _STOUT / 2 * half]
    return list(shapely.buffer(shapely.points(discs.centre[rows]), half, quad_segs=16))


def _more(added: shapely.Geometry, paper: Paper) -> list[Polygon]:
    extra = shapely.get_parts(added.difference(paper))
    return [p for p in extra if isinstance(p, Polygon)]


def _changes(areas: list[Polygon]) -> tuple[Change, ...]:
    found = []
    for area in areas:
        at = area.representative_point()
        found.append(Change(float(area.area), (float(at.x), float(at.y))))
    return tuple(sorted((c for c in found if c.area > GRID), key=lambda c: (-c.area, c.at)))
