"""Limbs: projections and strips too thin to hold, though they narrow nowhere and so have no neck.

What a disc of the strap's width cannot reach, rolled about inside the paper, is too thin. Most of that is
harmless: the points of leaves, the corners of squares. It is a limb when it is long for its width.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Polygon

from .boundary import Boundary, Flags, Floats, Ints, Paper, boundary_of, cross, dot

__all__ = ["SLENDER", "KnownLimbs", "Limb", "find_limbs", "measure_limbs"]

Shapes: TypeAlias = NDArray[np.object_]

SLENDER = 8.0
"""A thin part may be this many times as long as its mean width. A leaf's point passes down to about 19°,
where cot(θ/2) is 8 times 1 - tan(θ/2)·(π - θ)/2, and so does a parallel strip eight times as long as it is
wide: inside the habit of the trade that nothing stands out much further than ten times its width
(*common practice*)."""

_NEARLY = 0.98
"""The disc is this much of the strap: a strap drawn exactly to width is no limb for being drawn in chords."""

_OVER = 1.004
"""The way back out is this much longer than the way in, for the same reason."""

_TURNS = np.radians(90)
"""A ring of which no stretch turns farther to the left has no limb. The edge of what a disc of radius r
cannot reach turns as the disc does between the two places where it touches. If that is a right angle at most,
the edge is no longer than 2r, and the disc's own not than πr/2: together under two straps, and half of that
is under the least length of a limb."""

_THREAD = 0.02
"""Thinner than this share of the strap, what the disc leaves is an artefact of the drawing."""


@dataclass(frozen=True, slots=True)
class Limb:
    """A thin projection: how long, how wide on average (mm), and where its middle is."""

    length: float
    width: float
    at: tuple[float, float]


KnownLimbs: TypeAlias = dict[tuple[bytes, bool], tuple[Limb, ...]]
"""The limbs found on rings looked at before, by the ring's WKB and whether the paper lies outside it."""


def measure_limbs(paper: Paper, *, strap: float, slender: float = SLENDER) -> list[Limb]:
    """Find the projections thinner than `strap` that are longer than a tip may be.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    strap : float
        The width the paper must keep, mm.
    slender : float
        How many times its mean width a thin part may be long.

    Returns
    -------
    list of Limb
        Longest first.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> round(measure_limbs(union_all([box(0, 0, 9, 9), box(9, 4, 19, 4.5)]), strap=1)[0].length)
    10
    >>> measure_limbs(box(0, 0, 9, 9), strap=1)
    []
    """
    return find_limbs(boundary_of(paper), strap, slender)


def find_limbs(
    boundary: Boundary, strap: float, slender: float = SLENDER, *, known: KnownLimbs | None = None
) -> list[Limb]:
    """Find the limbs on a boundary already laid out.

    What was found on a ring before is taken from `known`, which is left with the rings of this boundary: of a
    paper that is looked at again after a patch most rings are as they were. One `known` goes with one strap
    and one `slender`.
    """
    known = {} if known is None else known
    rings, outside = _sides(boundary)
    rings = shapely.normalize(rings)  # an overlay may begin a ring anywhere
    keys = list(zip(shapely.to_wkb(rings).tolist(), outside.tolist(), strict=True))
    fresh = [k for k, key in enumerate(keys) if key not in known]
    pieces, owner = _thin_pieces(rings[fresh], outside[fresh], strap, slender)
    found: list[list[Limb]] = [[] for _ in fresh]
    for piece, k in zip(pieces, owner.tolist(), strict=True):
        limb = _limb(piece, rings[fresh[k]], strap)
        if limb and limb.length > max(strap, slender * limb.width):
            found[k].append(limb)
    known.update((keys[k], tuple(limbs)) for k, limbs in zip(fresh, found, strict=True))
    for key in known.keys() - set(keys):
        del known[key]
    return sorted((limb for key in keys for limb in known[key]), key=lambda limb: (-limb.length, limb.at))


def _sides(b: Boundary) -> tuple[Shapes, Flags]:
    """Return each ring that can bound a projection, and whether paper lies outside it."""
    arriving, leaving = b.steps[b.before], b.steps
    turn = np.arctan2(cross(arriving, leaving), dot(arriving, leaving))
    # Nearly every opening of a lattice only bulges: it turns right at every corner.
    some = np.flatnonzero(np.maximum.reduceat(turn, b.first[:-1]) > 0)
    some = some[_left_turns(b, turn, some) > _TURNS]
    row, ring = b.along(b.first[some], np.diff(b.first)[some])
    rings: Shapes = shapely.linearrings(b.points[row], indices=ring)
    return rings, ~shapely.is_ccw(rings)


def _left_turns(b: Boundary, turn: Floats, rings: Ints) -> Floats:
    """Return how far each of some rings turns to the left, radians, on the stretch where it does so most.

    The paper lies to the left, so it is by left turns that the boundary goes round the end of a limb.
    """
    size = np.diff(b.first)[rings]
    row, ring = b.along(b.first[rings], 2 * size)  # twice round, so that no stretch is cut by the seam
    start = np.cumsum(2 * size) - 2 * size
    turn = turn[row]
    way = np.cumsum(turn)
    way -= (way - turn)[start][ring]
    # The lowest that the way was before, on the same ring: each ring is let down below all those before it.
    below = ring * (np.ptp(way) + 2 * np.pi)
    least = np.minimum.accumulate(way - turn - below) + below
    most: Floats = np.maximum.reduceat(way - least, start)
    return most


def _thin_pieces(rings: Shapes, outside: Flags, strap: float, slender: float) -> tuple[Shapes, Ints]:
    """Return what a disc a little narrower than the strap cannot touch and might be a limb; its ring too."""
    solid = shapely.buffer(shapely.polygons(rings), 0)
    inward = np.where(outside, -1.0, 1.0) * strap / 2 * _NEARLY
    rolled = shapely.buffer(shapely.buffer(solid, -inward, quad_segs=16), inward * _OVER, quad_segs=16)
    residue = shapely.difference(np.where(outside, rolled, solid), np.where(outside, solid, rolled))
    # Rolling a disc drawn in chords along a curve drawn in chords leaves threads; opening drops them.
    thread = _THREAD * strap
    pieces, owner = shapely.get_parts(
        shapely.buffer(shapely.buffer(residue, -thread), thread), return_index=True
    )
    # Half a piece's outline is the most its length can be, and its area over that its least width.
    longest = shapely.length(pieces) / 2
    worth = (longest > strap) & (longest**2 > slender * shapely.area(pieces))
    return pieces[worth], owner[worth]


def _limb(piece: Polygon, ring: LinearRing, strap: float) -> Limb | None:
    """Measure a thin piece, or return None where it joins thick paper at two places: a strap, not a limb."""
    # Where the piece leaves the ring it goes over into paper that is thick enough.
    near = 3 * _THREAD * strap
    x0, y0, x1, y1 = piece.bounds
    edge = shapely.clip_by_rect(ring, x0 - near, y0 - near, x1 + near, y1 + near)
    joints = shapely.line_merge(piece.boundary.difference(edge.buffer(near)))
    if shapely.get_num_geometries(joints) > 1:
        return None
    length = (piece.length - joints.length) / 2
    at = piece.representative_point()
    return Limb(length, piece.area / length, (at.x, at.y))
