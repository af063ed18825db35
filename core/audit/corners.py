"""Sharp inward corners: where a blade that runs on past the corner cuts into what must hold.

A knife that overruns goes on straight, along the edge it is cutting. What matters is how much paper lies
ahead of it there. Scissors do not overrun, but cannot turn inside an acute corner (*common practice*).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree

from .boundary import Boundary, Floats, Ints, Paper, boundary_of, cross

__all__ = ["OVERRUN", "SharpCorner", "find_sharp_corners", "measure_sharp_corners"]

OVERRUN = 0.5
"""mm a blade runs on past a corner (*common practice*: half a millimetre shows, a whole one is a slip)."""

SHARP_DEG = 75.0
"""Corners of an opening up to this angle; wider ones are cut by turning the work, not by meeting cuts."""

_SHORTEST = 0.3
"""mm. An edge shorter than this is part of a curve, and is not cut as a line of its own."""


@dataclass(frozen=True, slots=True)
class SharpCorner:
    """An opening's sharp corner: its angle (degrees), the paper ahead of the blade (mm), and where it is."""

    angle: float
    ahead: float
    at: tuple[float, float]


def measure_sharp_corners(paper: Paper, *, strap: float, overrun: float = OVERRUN) -> list[SharpCorner]:
    """Find the sharp corners of openings where an overrun leaves less than the strap.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    strap : float
        Paper that must be left beyond the end of the overrun, mm.
    overrun : float
        How far the blade runs on, mm.

    Returns
    -------
    list of SharpCorner
        Least paper ahead first.

    Examples
    --------
    A triangle cut 0.9 mm from the edge: 0.5 mm of overrun leaves 0.4 mm.

    >>> from shapely import box
    >>> from shapely.geometry import Polygon
    >>> paper = box(0, 0, 20, 20) - Polygon([(10, 0.9), (12, 10), (8, 10)])
    >>> [round(c.angle) for c in measure_sharp_corners(paper, strap=1)]
    [25]
    """
    return find_sharp_corners(boundary_of(paper), strap, overrun)


def find_sharp_corners(b: Boundary, strap: float, overrun: float = OVERRUN) -> list[SharpCorner]:
    """Find the sharp corners on a boundary already laid out."""
    at, angle = _sharp(b)
    if len(at) == 0:
        return []
    arriving, leaving = b.steps[b.before[at]], b.steps[at]
    reach = overrun + strap
    ahead = np.minimum(_ahead(b, at, arriving, reach), _ahead(b, at, -leaving, reach))
    rows = np.flatnonzero(ahead < reach)
    rows = rows[np.lexsort((at[rows], ahead[rows].round(6)))]
    return [
        SharpCorner(float(angle[k]), float(ahead[k]), (float(b.points[at[k], 0]), float(b.points[at[k], 1])))
        for k in rows
    ]


def _sharp(b: Boundary) -> tuple[Ints, Floats]:
    """Return the rows of sharp corners between two edges long enough to be cut as lines, and their angles."""
    arriving, leaving = b.steps[b.before], b.steps
    turn = np.degrees(np.arctan2(cross(arriving, leaving), (arriving * leaving).sum(axis=1)))
    angle = 180 + turn  # turning right by 150° leaves an opening's corner of 30°
    long = np.minimum(np.hypot(*arriving.T), np.hypot(*leaving.T)) >= _SHORTEST
    rows = np.flatnonzero((turn < 0) & (angle <= SHARP_DEG) & long)
    return rows, angle[rows]


def _ahead(b: Boundary, at: Ints, direction: Floats, reach: float) -> Floats:
    """Return how far paper goes on from each corner in a direction, no further than `reach`."""
    unit = direction / np.hypot(*direction.T)[:, None]
    start = b.points[at]
    # Begin a hair beyond the corner, so as not to meet the corner's own two edges.
    rays = shapely.linestrings(np.stack([start + unit * 0.01, start + unit * reach], axis=1))
    segments = b.segments()
    ray, segment = STRtree(segments).query(rays, predicate="intersects")
    found = np.full(len(at), reach)
    if len(ray):
        met = shapely.intersection(rays[ray], segments[segment])
        np.minimum.at(found, ray, shapely.distance(met, shapely.points(start[ray])))
    return found
