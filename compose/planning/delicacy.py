"""How easily the paper round an opening tears while it is cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from canivet.audit.boundary import Boundary, Floats, Ints
from canivet.audit.holds import hanging_areas
from canivet.audit.necks import Necks, find_necks

__all__ = ["LOOK", "MeasuredOpenings", "measure_openings"]

LOOK = 1.5
"""Straps. How wide the necks are that count."""

_CRUMB = 2.0
"""A part under this many squares of its neck's width is a bump on an edge, no part that could drop."""

_SINGLE = 2.0
"""How much more delicate an opening is with a part that hangs into it by one neck. A choice, no source."""

_TO = 0.01
"""mm, to which the largest disc in an opening is found."""


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredOpenings:
    """The openings of a piece as arrays, in the order of its rings.

    Attributes
    ----------
    at : (n, 2) float array
        The middle of the largest disc in each, mm.
    radius, area, perimeter : (n,) float array
        Of that disc, mm; mm²; mm.
    delicacy : (n,) float array
        1 on average.
    narrowest : float
        The narrowest neck of the piece, mm; infinite where none is as narrow as was looked for.
    """

    at: Floats
    radius: Floats
    area: Floats
    perimeter: Floats
    delicacy: Floats
    narrowest: float


def measure_openings(
    solid: NDArray[np.object_], boundary: Boundary, strap: float, *, owner: Ints | None = None
) -> MeasuredOpenings:
    """Measure openings, and how delicate the paper round each is.

    Parameters
    ----------
    solid : (n,) array of Polygon
        The openings, in the order of the boundary's rings after its outline.
    boundary : Boundary
        Of the whole piece.
    strap : float
        mm. Necks up to half as wide again count.
    owner : (n,) int array, optional
        Which of the boundary's openings each is a part of, as in a packet those that a crease halves; each of
        its own place where left out.

    Returns
    -------
    MeasuredOpenings

    Notes
    -----
    Delicacy is the perimeter over the root of the area (how much edge is worked for its size), over the
    radius of the largest disc (how narrow it is), over the mean width of the necks that end on it, in straps;
    and twice that where a part hangs into it by a single neck.

    Examples
    --------
    Of two equal slots the one nearer the edge is the more delicate.

    >>> from shapely import box
    >>> from canivet.audit.boundary import boundary_of
    >>> slots = np.array([box(5, 1, 15, 3), box(5, 10, 15, 12)])
    >>> paper = box(0, 0, 20, 20) - slots[0] - slots[1]
    >>> near, far = measure_openings(slots, boundary_of(paper), 1.0).delicacy
    >>> bool(near > far)
    True
    """
    discs = shapely.maximum_inscribed_circle(solid, tolerance=_TO)
    at, radius = shapely.get_coordinates(discs)[::2], shapely.length(discs)
    area, perimeter = shapely.area(solid), shapely.length(solid)
    owner = np.arange(len(solid)) if owner is None else owner
    necks = find_necks(boundary, LOOK * strap)
    widths = _neck_widths(necks, len(boundary.first) - 2, strap)
    delicacy = perimeter / np.sqrt(area) / radius / widths[owner]
    delicacy[np.isin(owner, _hung_into(necks) - 1)] *= _SINGLE
    narrowest = float(necks.width[0]) if len(necks) else np.inf
    return MeasuredOpenings(at, radius, area, perimeter, delicacy / delicacy.mean(), narrowest)


def _neck_widths(necks: Necks, count: int, strap: float) -> Floats:
    """Return the harmonic mean width of the necks that end on each opening, in straps.

    The width looked for counts once more for each, so that one neck just inside it changes nothing much.
    """
    ring = necks.boundary.ring
    ends = np.concatenate([ring[necks.vertex], ring[necks.segment]]) - 1
    width = np.tile(np.maximum(necks.width, 1e-3), 2) / strap
    inner = ends >= 0
    inverse = np.bincount(ends[inner], 1 / width[inner], minlength=count) + 1 / LOOK
    mean: Floats = (np.bincount(ends[inner], minlength=count) + 1) / inverse
    return mean


def _hung_into(necks: Necks) -> Ints:
    """Return the rings of openings into which a part hangs by a single neck."""
    ring = necks.boundary.ring[necks.vertex]
    single = necks.take(np.flatnonzero(necks.same_ring & (ring > 0)))
    heavy = hanging_areas(single) > _CRUMB * single.width**2
    return np.unique(single.boundary.ring[single.vertex[heavy]])
