"""A polygon as path data: the one place where y is flipped and a drawing mirrored."""

from __future__ import annotations

import math
from itertools import pairwise
from math import asin, atan2, hypot, remainder
from typing import TYPE_CHECKING

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from canivet.compose.stages import remembered

if TYPE_CHECKING:
    from canivet.audit.boundary import Paper
    from canivet.audit.strength import StrengthReport

__all__ = ["ACCURACY", "coarsened", "leaner", "path_data", "path_on_page"]

ACCURACY = 0.005
"""mm that an edge handed on may lie off the one designed: a tenth of what a fine blade is thick."""

_EXACT = 0.001
"""mm, where more would cost a promise: what coordinates are rounded to."""

_NARROW = 2.0
"""mm across, about: an opening under it may be as small as is promised, and keeps what its largest disc
meets."""

_SLIT = 0.2
"""Of a disc's area for its edge: less compact, it has many largest discs and is kept exactly all round."""

_RINGS = 8192
"""Rings that are kept as they were thinned, some kilobytes each."""

_WRITTEN = 16384
"""Rings that are kept as they were written out: each stands on the page, in the piece and among its parts."""

_TRIES = 3
"""Audits at most; after each the places that it found weak are drawn exactly."""


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
        Its edges within `ACCURACY` of those given; within a micrometre where a strap is no wider than
        promised, and everywhere if the piece would else no longer hold at `strap`.

    Notes
    -----
    From a point that is kept the edge goes on straight for as long as every point passed lies within its
    tolerance: all directions that pass one are a cone, and the cones must meet. Each point has a tolerance of
    its own, so what is narrow stays what it is while the rest of the same ring is thinned.

    References
    ----------
    Sklansky & Gonzalez, "Fast polygonal approximation of digitized curves", Pattern Recognition 12, 1980
    (from memory).

    Examples
    --------
    >>> disc = shapely.Point(0, 0).buffer(5, quad_segs=64)
    >>> lean = leaner(disc, strap=1)
    >>> len(lean.exterior.coords) < len(disc.exterior.coords), lean.hausdorff_distance(disc) < ACCURACY
    (True, True)
    """
    from canivet.audit.again import measured_before
    from canivet.audit.strength import check_strength

    points = shapely.get_coordinates(paper)
    exact = _beside_necks(paper, strap) | _round_discs(paper)
    for _ in range(_TRIES):
        tried = _with_fewer_points(paper, np.where(exact, _EXACT, ACCURACY))
        if not tried.is_valid:
            break
        report = check_strength(tried, strap=strap, known=measured_before("thinned", paper, strap))
        if report.holds:
            return tried
        exact |= _near_faults(points, report)
    tried = _with_fewer_points(paper, np.full(len(points), _EXACT))
    return tried if tried.is_valid and check_strength(tried, strap=strap).holds else paper


def coarsened(paper: Polygon, accuracy: float) -> Polygon:
    """The same piece to be shown small, its edges within `accuracy` in mm of those given.

    Rings are drawn in one by one and may cross: it is filled by the even-odd rule, and nothing else.

    Examples
    --------
    >>> len(coarsened(shapely.Point(0, 0).buffer(5, quad_segs=64), 0.25).exterior.coords) < 20
    True
    """
    return _with_fewer_points(paper, np.full(shapely.get_num_coordinates(paper), accuracy))


def _beside_necks(paper: Polygon, strap: float) -> NDArray[np.bool_]:
    """Tell which points bound a strap that thinning on either side could take below its width."""
    from canivet.audit.again import measured_before
    from canivet.audit.boundary import GRID, boundary_of

    known = measured_before("plate", paper, strap)
    necks = known.find_necks(boundary_of(paper), strap + 2 * ACCURACY + 2 * GRID)
    rows = np.concatenate([necks.vertex, necks.segment, necks.boundary.after[necks.segment]])
    # the audit's points are snapped to its grid; these are not
    there, own = (
        np.ascontiguousarray(np.round(xy / GRID) + 0.0).view(np.complex128)[:, 0]
        for xy in (necks.boundary.points[rows], shapely.get_coordinates(paper))
    )
    return np.isin(own, there)


def _round_discs(paper: Polygon) -> NDArray[np.bool_]:
    """Tell which points of narrow openings bound an edge that their largest disc touches."""
    shell, *openings = shapely.get_rings(paper)
    near = [np.zeros(shapely.get_num_coordinates(shell), bool)]
    near += [_round_disc(shapely.get_coordinates(ring).tobytes()) for ring in openings]
    return np.concatenate(near)


@remembered(most=_RINGS)
def _round_disc(points: bytes) -> NDArray[np.bool_]:
    """Tell of an opening's points, if it is narrow, which bound an edge that its largest disc touches."""
    xy = np.frombuffer(points).reshape(-1, 2)
    solid = Polygon(xy)
    if 2 * solid.area >= _NARROW * solid.length:
        return np.zeros(len(xy), bool)
    if 4 * math.pi * solid.area < _SLIT * solid.length**2:
        return np.ones(len(xy), bool)
    disc = shapely.maximum_inscribed_circle(solid, tolerance=_EXACT)
    edges = shapely.linestrings(np.stack([xy[:-1], xy[1:]], axis=1))
    away = shapely.distance(edges, shapely.get_point(disc, 0))
    touched = np.append(away < disc.length + 2 * ACCURACY, False)
    near: NDArray[np.bool_] = touched | np.roll(touched, 1)
    return near


def _near_faults(points: NDArray[np.float64], report: StrengthReport) -> NDArray[np.bool_]:
    """Tell which points lie by what an audit found weak."""
    places = [(neck.at, neck.width) for neck in report.necks]
    places += [(limb.at, limb.length) for limb in report.limbs]
    near = np.zeros(len(points), bool)
    for at, reach in places:
        near |= np.hypot(*(points - at).T) < reach + 2 * report.strap
    return near


def _with_fewer_points(paper: Polygon, tolerance: NDArray[np.float64]) -> Polygon:
    """Drop points ring by ring, each within its tolerance in mm; the outermost of all are kept."""
    shell, *openings = np.split(
        np.column_stack([shapely.get_coordinates(paper), tolerance]),
        np.cumsum(shapely.get_num_coordinates(shapely.get_rings(paper)))[:-1],
    )
    outermost = {*shell[:-1, :2].argmin(axis=0).tolist(), *shell[:-1, :2].argmax(axis=0).tolist()}
    kept = [outermost, *({int(ring[:-1, 0].argmin())} for ring in openings)]
    rings = [_thinned(ring.tobytes(), frozenset(k)) for ring, k in zip([shell, *openings], kept, strict=True)]
    lengths = [len(ring) for ring in rings]
    lines = shapely.linearrings(np.concatenate(rings), indices=np.repeat(np.arange(len(rings)), lengths))
    thinned: Polygon = shapely.polygons(lines[0], lines[1:])
    return thinned


@remembered(most=_RINGS)
def _thinned(rows_given: bytes, kept: frozenset[int]) -> NDArray[np.float64]:
    """Walk a ring of rows (x, y, tolerance) from one point that is kept to the next; each is walked once."""
    ring = np.frombuffer(rows_given).reshape(-1, 3)
    first, *later = sorted(kept)
    turned = np.vstack([np.roll(ring[:-1], -first, axis=0), ring[first]])
    stops = [0, *(stop - first for stop in later), len(turned) - 1]
    rows = turned.tolist()
    walked = [a + k for a, b in pairwise(stops) for k in _walk(rows[a : b + 1])[:-1]]
    return turned[walked, :2] if len(walked) >= 3 else ring[:, :2]


def _walk(rows: list[list[float]]) -> list[int]:
    """Return the rows to keep of an open line of (x, y, tolerance), the first and the last among them."""
    kept, last = [0], len(rows) - 1
    while kept[-1] < last:
        kept.append(_furthest(rows, kept[-1], last))
    return kept


def _furthest(rows: list[list[float]], start: int, last: int) -> int:
    """Return the last row that a straight edge from `start` reaches while it passes all between."""
    x0, y0, _ = rows[start]
    x, y, _ = rows[start + 1]
    ahead, best, gone = atan2(y - y0, x - x0), start + 1, 0.0
    left, right = -math.pi, math.pi
    for k in range(start + 1, last + 1):
        x, y, tolerance = rows[k]
        x, y = x - x0, y - y0
        away = hypot(x, y)
        if away < gone:
            break
        turn = remainder(atan2(y, x) - ahead, math.tau)
        if left <= turn <= right:
            best = k
        half = asin(tolerance / away) if tolerance < away else math.pi / 2 if away else math.pi
        if turn - half > left:
            left = turn - half
        if turn + half < right:
            right = turn + half
        if left > right:
            break
        gone = away
    return best


def path_data(
    polygon: Paper,
    *,
    flip_height: float,
    dx: float = 0.0,
    dy: float = 0.0,
    mirror_width: float | None = None,
) -> str:
    """The outline and every opening of a piece as absolute ``M … L … Z`` path data, y down.

    Parameters
    ----------
    polygon : Polygon or MultiPolygon
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
    same (SVG 2, 13.4.2, fill-rule). A ring is written out once wherever it stands again. Every value is a
    multiple of 0.001, so eight significant digits write it exactly up to 100 m and never in exponent form.

    Examples
    --------
    >>> square = Polygon([(0, 0), (4, 0), (4, 2), (0, 2)], [[(1, 0.5), (1, 1), (2, 0.5)]])
    >>> path_data(square, flip_height=2)
    'M0 2L4 2L4 0L0 0ZM1 1.5L1 1L2 1.5Z'
    """
    if polygon.is_empty:
        return ""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(polygon)))
    ends = np.cumsum(shapely.get_num_coordinates(rings))
    points = shapely.get_coordinates(rings)
    placed = (mirror_width, dx, flip_height, dy)
    return "".join([_ring_data(points[a:b].tobytes(), placed) for a, b in pairwise([0, *ends.tolist()])])


@remembered(most=_WRITTEN)
def _ring_data(points: bytes, placed: tuple[float | None, float, float, float]) -> str:
    """Return the path data of one ring, flipped and moved as `path_data` says."""
    mirror_width, dx, flip_height, dy = placed
    x, y = np.frombuffer(points).reshape(-1, 2)[:-1].T  # a ring repeats its first point; Z says the same
    x = x if mirror_width is None else mirror_width - x
    flat = np.column_stack([x + dx, flip_height - y + dy]).round(3) + 0.0  # adding zero turns -0 into 0
    return ("M%.8g %.8g" + "L%.8g %.8g" * (len(x) - 1) + "Z") % tuple(flat.ravel().tolist())


def path_on_page(shape: Paper) -> str:
    """The path data of a shape that lies on its page already, in mm, y down.

    Examples
    --------
    >>> from shapely import MultiPolygon, box
    >>> path_on_page(MultiPolygon([box(1, 2, 3, 4), box(5, 2, 6, 4)])).count("M")
    2
    """
    return path_data(affine_transform(shape, [1, 0, 0, -1, 0, 0]), flip_height=0)
