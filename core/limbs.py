"""Limbs: projections and strips too thin to hold, though they narrow nowhere and so have no neck.

What a disc of the strap's width cannot reach, rolled about inside the paper, is too thin. Most of that is
harmless: the points of leaves, the corners of squares. It is a limb when it is long for its width.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LinearRing, MultiPolygon, Polygon

from .boundary import Boundary, Paper, boundary_of, cross

__all__ = ["SLENDER", "Limb", "find_limbs", "measure_limbs"]

SLENDER = 8.0
"""A thin part may be this many times as long as its mean width. A leaf's point passes down to about 19°,
where cot(θ/2) is 8 times 1 - tan(θ/2)·(π - θ)/2, and so does a parallel strip eight times as long as it is
wide: inside the habit of the trade that nothing stands out much further than ten times its width
(*common practice*)."""

_NEARLY = 0.98
"""The disc is this much of the strap: a strap drawn exactly to width is no limb for being drawn in chords."""

_OVER = 1.004
"""The way back out is this much longer than the way in, for the same reason."""

_THREAD = 0.02
"""Thinner than this share of the strap, what the disc leaves is an artefact of the drawing."""


@dataclass(frozen=True, slots=True)
class Limb:
    """A thin projection: how long, how wide on average (mm), and where its middle is."""

    length: float
    width: float
    at: tuple[float, float]


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


def find_limbs(boundary: Boundary, strap: float, slender: float = SLENDER) -> list[Limb]:
    """Find the limbs on a boundary already laid out."""
    reach = strap / 2 * _NEARLY
    limbs = []
    for ring, solid in _sides(boundary):
        residue = _unreached(solid, reach) if ring.is_ccw else _unreached_outside(solid, reach)
        # Rolling a disc drawn in chords along a curve drawn in chords leaves threads; opening drops them.
        clean = residue.buffer(-_THREAD * strap).buffer(_THREAD * strap)
        for piece in shapely.get_parts(clean) if not clean.is_empty else ():
            limb = _limb(piece, ring, strap)
            if limb is not None and limb.length > max(strap, slender * limb.width):
                limbs.append(limb)
    return sorted(limbs, key=lambda limb: (-limb.length, limb.at))


def _sides(b: Boundary) -> Iterator[tuple[LinearRing, Polygon]]:
    """Yield each ring that can bound a projection, with the area it encloses: shells, and bent openings."""
    rings = shapely.linearrings(b.points, indices=b.ring)
    turn = cross(b.points - b.points[b.before], b.steps)
    # Seen from the paper an opening that only bulges turns right at every corner: no paper reaches into it.
    bulges = np.maximum.reduceat(turn, b.first[:-1]) <= 1e-9
    for ring in rings[~bulges]:
        yield ring, Polygon(ring).buffer(0)


def _unreached(solid: Polygon, reach: float) -> Polygon | MultiPolygon:
    """Return what a disc of radius `reach` cannot touch from inside."""
    return solid.difference(solid.buffer(-reach, quad_segs=16).buffer(reach * _OVER, quad_segs=16))


def _unreached_outside(solid: Polygon, reach: float) -> Polygon | MultiPolygon:
    """Return what a disc of radius `reach` cannot touch from outside: the paper caught in an opening."""
    return solid.buffer(reach, quad_segs=16).buffer(-reach * _OVER, quad_segs=16).difference(solid)


def _limb(piece: Polygon, ring: LinearRing, strap: float) -> Limb | None:
    """Measure a thin piece, or return None where it joins thick paper at two places: a strap, not a limb."""
    # Where the piece leaves the ring it goes over into paper that is thick enough.
    rim = ring.buffer(3 * _THREAD * strap)
    joints = shapely.line_merge(piece.boundary.difference(rim))
    if shapely.get_num_geometries(joints) > 1:
        return None
    length = (piece.length - joints.length) / 2
    at = piece.representative_point()
    return Limb(length, piece.area / length, (at.x, at.y))
