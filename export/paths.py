"""A polygon as path data: the one place where y is flipped and a drawing mirrored."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon

__all__ = ["ACCURACY", "leaner", "path_data"]

ACCURACY = 0.005
"""mm that an edge handed on may lie off the one designed: a tenth of what a fine blade is thick."""

_EXACT = 0.001
"""mm, where that would cost a promise: what coordinates are rounded to."""

_NARROW = 2.0
"""mm across, about: an opening under it may be as small as is promised, and stays what it is."""

_WORTH = 0.95
"""Of the points: less is not worth an audit."""


def leaner(paper: Polygon, *, strap: float) -> Polygon:
    """The same piece with no more points than its accuracy asks, and every strap as wide as promised.

    Parameters
    ----------
    paper : Polygon
        mm.
    strap : float
        The width in mm that it promises.

    Returns
    -------
    Polygon
        Its edges within `ACCURACY` of those given; where the piece would then no longer hold at `strap`,
        within a micrometre.

    References
    ----------
    Douglas & Peucker, "Algorithms for the reduction of the number of points required to represent a digitized
    line", Cartographica 10, 1973.

    Examples
    --------
    >>> disc = shapely.Point(0, 0).buffer(5, quad_segs=64)
    >>> lean = leaner(disc, strap=1)
    >>> len(lean.exterior.coords) < len(disc.exterior.coords), lean.hausdorff_distance(disc) < ACCURACY
    (True, True)
    """
    from canivet.audit.strength import check_strength

    count = shapely.get_num_coordinates(paper)
    for tolerance in (ACCURACY, _EXACT):
        tried = _with_fewer_points(paper, tolerance)
        if tried is None or shapely.get_num_coordinates(tried) > _WORTH * count:
            return paper
        if tried.is_valid and (tolerance == _EXACT or check_strength(tried, strap=strap).holds):
            return tried
    return paper


def _with_fewer_points(paper: Polygon, tolerance: float) -> Polygon | None:
    """Drop points ring by ring, the outermost never; narrow openings lose none that a blade could feel."""
    outline, *rest = shapely.get_rings(paper)
    openings = np.array(rest, dtype=object)
    if len(openings):
        wide = 2 * shapely.area(shapely.polygons(openings)) / shapely.length(openings)
        openings = shapely.simplify(openings, np.where(wide > _NARROW, tolerance, min(tolerance, _EXACT)))
    xy = shapely.get_coordinates(outline)[:-1]
    outermost = {*xy.argmin(axis=0).tolist(), *xy.argmax(axis=0).tolist()}
    first = min(outermost)
    ends = [*sorted(index - first for index in outermost), len(xy)]
    turned = np.roll(xy, -first, axis=0)
    closed = np.vstack([turned, turned[:1]])
    arcs = [shapely.linestrings(closed[a : b + 1]) for a, b in pairwise(ends)]
    kept = [shapely.get_coordinates(arc)[:-1] for arc in shapely.simplify(np.array(arcs), tolerance)]
    if np.concatenate(kept).shape[0] < 3 or (shapely.get_num_coordinates(openings) < 4).any():
        return None
    return Polygon(np.concatenate(kept), list(openings))


def path_data(
    polygon: Polygon,
    *,
    flip_height: float,
    dx: float = 0.0,
    dy: float = 0.0,
    mirror_width: float | None = None,
) -> str:
    """The outline and every opening of a piece as absolute ``M … L … Z`` path data, y down.

    Parameters
    ----------
    polygon : Polygon
        In mm, y up.
    flip_height : float
        The height in mm that becomes y = 0: ``y → flip_height − y``.
    dx, dy : float
        Moved by this much in mm after flipping, right and down; default 0.
    mirror_width : float or None
        Where given, ``x → mirror_width − x`` before moving; default None, as seen.

    Returns
    -------
    str
        Coordinates rounded to 0.001 mm, without trailing zeros or ``-0``; empty for an empty polygon.

    Notes
    -----
    The outline runs one way and every opening the other, so that the non-zero and the even-odd rule fill the
    same (SVG 2, 13.4.2, fill-rule). All rings go through a single formatting of one tuple. Every value is a
    multiple of 0.001, so eight significant digits write it exactly up to 100 m and never in exponent form.

    Examples
    --------
    >>> square = Polygon([(0, 0), (4, 0), (4, 2), (0, 2)], [[(1, 0.5), (1, 1), (2, 0.5)]])
    >>> path_data(square, flip_height=2)
    'M0 2L4 2L4 0L0 0ZM1 1.5L1 1L2 1.5Z'
    """
    if polygon.is_empty:
        return ""
    rings = shapely.get_rings(shapely.orient_polygons(polygon))
    counts = shapely.get_num_coordinates(rings)
    points = shapely.get_coordinates(rings)
    x = points[:, 0] if mirror_width is None else mirror_width - points[:, 0]
    placed = np.column_stack([x + dx, flip_height - points[:, 1] + dy])
    last = np.cumsum(counts) - 1  # each ring repeats its first point here; Z says the same
    flat = np.delete(placed, last, axis=0).round(3) + 0.0  # adding zero turns -0 into 0
    shape = "".join([_ring_format(count) for count in (counts - 1).tolist()])
    return shape % tuple(flat.ravel().tolist())


def _ring_format(points: int) -> str:
    return "M%.8g %.8g" + "L%.8g %.8g" * (points - 1) + "Z"
