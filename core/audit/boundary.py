"""The boundary of a paper as flat arrays, the ground of every audit.

Rings are turned so that the paper lies to the left of each step: shells run anticlockwise, openings
clockwise. Points are snapped to a micrometre and repeated points dropped, so that two audits of one drawing
agree whether or not it has been to a file and back.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from canivet.errors import BadValue

__all__ = [
    "GRID",
    "Boundary",
    "Flags",
    "Floats",
    "Ints",
    "Paper",
    "boundary_of",
    "boundary_of_valid",
    "cross",
    "dot",
    "feet_on_segments",
    "numbered",
    "require_valid",
    "shrunk",
]

GRID = 0.001
"""mm. A micrometre is a hundredth of what a hand wavers, and what an SVG with three decimals keeps."""

_NOWHERE = 1e-9
"""mm. Rounding that moves no point by more leaves valid paper valid; looking takes as long as many a test."""

Paper: TypeAlias = Polygon | MultiPolygon
Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Boundary:
    """Every vertex of every ring, one row each; row i and row ``after[i]`` bound segment i.

    Attributes
    ----------
    points : (n, 2) float array
        mm.
    before, after : (n,) int array
        The neighbours of each vertex on its ring.
    ring : (n,) int array
        Which ring a vertex is on. The shell of a part comes first, then its openings.
    first : (r + 1,) int array
        Where each ring starts; the last entry is n.
    steps : (n, 2) float array
        From each vertex to the next, mm.
    """

    points: Floats
    before: Ints
    after: Ints
    ring: Ints
    first: Ints
    steps: Floats

    def along(self, start: Ints, count: Ints) -> tuple[Ints, Ints]:
        """Return so many rows along its ring from each start on, and which of the starts each is from."""
        which = np.repeat(np.arange(len(start)), count)
        rows = np.arange(len(which)) + (start + count - np.cumsum(count))[which]
        low, high = self.first[self.ring[start]], self.first[self.ring[start] + 1]
        past = np.flatnonzero(rows >= high[which])
        rows[past] -= (high - low)[which[past]]
        return rows, which

    def segments(self, rows: Ints | slice = slice(None)) -> NDArray[np.object_]:
        """Return the (n,) segments as shapely lines, or some of them."""
        ends = np.stack([self.points[rows], self.points[self.after[rows]]], axis=1)
        lines: NDArray[np.object_] = shapely.linestrings(ends)
        return lines


def require_valid(paper: Paper, *, parameter: str = "paper") -> Paper:
    """Return `paper` if it is a valid, non-empty area with finite coordinates.

    Raises
    ------
    BadValue
        If not; a self-crossing ring would pass every later test in silence.
    """
    if not isinstance(paper, (Polygon, MultiPolygon)):
        raise BadValue(
            f"{parameter} is a {type(paper).__name__}; it takes a Polygon or MultiPolygon.",
            parameter=parameter, value=type(paper).__name__, accepted="Polygon or MultiPolygon",
        )  # fmt: skip
    if paper.is_empty:
        raise BadValue(
            f"{parameter} is empty; there is nothing to audit.",
            parameter=parameter,
            accepted="a non-empty area",
        )
    if not paper.is_valid:
        raise BadValue(
            f"{parameter} is not a valid polygon: {shapely.is_valid_reason(paper)}. "
            "Repair it with shapely.make_valid first.",
            parameter=parameter, accepted="a valid polygon",
        )  # fmt: skip
    return paper


def boundary_of(paper: Paper) -> Boundary:
    """Return the boundary of `paper` as arrays, the paper on the left of every step.

    Raises
    ------
    BadValue
        If `paper` is not valid.

    Examples
    --------
    >>> from shapely import box
    >>> ring = box(0, 0, 4, 4).difference(box(1, 1, 3, 3))
    >>> boundary_of(ring).first.tolist()
    [0, 4, 8]
    """
    return boundary_of_valid(require_valid(paper))


def boundary_of_valid(paper: Paper) -> Boundary:
    """Return the boundary of a paper already known to be valid: to find that out takes a while."""
    oriented = shapely.orient_polygons(_snapped(paper))
    xy, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(oriented)), return_index=True)
    closes = np.append(ring[1:] != ring[:-1], True)
    repeats = np.append((xy[1:] == xy[:-1]).all(axis=1), False) & ~closes
    xy, ring = xy[~closes & ~repeats], ring[~closes & ~repeats]
    xy, ring = _without_closing_repeats(xy, ring)
    _, ring, count = np.unique(ring, return_inverse=True, return_counts=True)
    first = np.concatenate([[0], np.cumsum(count)]).astype(np.intp)
    after = np.arange(1, len(xy) + 1)
    after[first[1:] - 1] = first[:-1]
    before = np.empty_like(after)
    before[after] = np.arange(len(xy))
    return Boundary(xy, before, after, ring.astype(np.intp), first, xy[after] - xy)


def _snapped(paper: Paper) -> Paper:
    """Round to the grid, unless that folds the boundary over itself: a hair must be seen, not healed."""
    xy = shapely.get_coordinates(paper)
    on_grid = np.round(xy / GRID) * GRID
    rounded: Paper = shapely.set_coordinates(paper, on_grid)
    if np.allclose(xy, on_grid, rtol=0, atol=_NOWHERE) or rounded.is_valid:
        return rounded
    apart: Paper = shapely.remove_repeated_points(paper, 1e-7)
    return apart if apart.is_valid else paper


def numbered(counts: Ints) -> tuple[Ints, Ints]:
    """Return for so many of each row the row, and the number of each among those of its row.

    Examples
    --------
    >>> [column.tolist() for column in numbered(np.array([2, 0, 3]))]
    [[0, 0, 2, 2, 2], [0, 1, 0, 1, 2]]
    """
    own = np.repeat(np.arange(len(counts)), counts)
    return own, np.arange(len(own)) - np.repeat(np.cumsum(counts) - counts, counts)


def dot(a: Floats, b: Floats) -> Floats:
    """Return a · b, row by row."""
    product: Floats = a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1]
    return product


def cross(a: Floats, b: Floats) -> Floats:
    """Return the z component of a × b, row by row."""
    z: Floats = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return z


def feet_on_segments(b: Boundary, segment: Ints, point: Floats) -> tuple[Floats, Floats]:
    """Return the nearest place to each point on the segment beside it, and how far along it lies (0 to 1).

    Parameters
    ----------
    b : Boundary
        From `boundary_of`.
    segment : (n,) int array
        Rows of the boundary.
    point : (n, 2) float array
        mm.

    Returns
    -------
    (n, 2) float array, (n,) float array

    Examples
    --------
    >>> from shapely import box
    >>> square = boundary_of(box(0, 0, 4, 4))
    >>> foot, along = feet_on_segments(square, np.arange(4), np.full((4, 2), 1.0))
    >>> sorted(np.hypot(*(foot - 1).T).tolist()), sorted(along.tolist())
    ([1.0, 1.0, 3.0, 3.0], [0.25, 0.25, 0.75, 0.75])
    """
    start, step = b.points[segment], b.steps[segment]
    along = np.clip(dot(point - start, step) / dot(step, step), 0, 1)
    foot: Floats = start + along[:, None] * step
    return foot, along


def _without_closing_repeats(xy: Floats, ring: Ints) -> tuple[Floats, Ints]:
    """Drop a last point that snapped onto the first, then rings left with under three points."""
    if len(ring) == 0:
        return xy, ring
    starts = np.flatnonzero(np.append(True, ring[1:] != ring[:-1]))
    ends = np.append(starts[1:], len(ring)) - 1
    doubled = ends[(xy[starts] == xy[ends]).all(axis=1) & (ends > starts)]
    keep = np.ones(len(ring), bool)
    keep[doubled] = False
    size = np.bincount(ring[keep], minlength=int(ring[-1]) + 1)
    keep &= size[ring] >= 3
    return xy[keep], ring[keep]


def shrunk(areas: NDArray[np.object_] | Paper, by: float) -> NDArray[np.object_]:
    """Return areas without what lies within `by` of their edge, for a `by` of under a tenth of a millimetre.

    Parameters
    ----------
    areas : (n,) array of Polygon or MultiPolygon, or one
        mm.
    by : float
        mm, above 0.

    Returns
    -------
    (n,) array

    Notes
    -----
    GEOS 3.14 loses many a rectangle whole when it is drawn in by less than 0.05 of its own unit, whatever the
    rectangle's size. So it is done in micrometres.

    Examples
    --------
    >>> from shapely import Polygon
    >>> tablet = Polygon([(3.593, 21.102), (1.438, 22.972), (20.13, 44.523), (22.285, 42.654)])
    >>> round(tablet.area - shrunk(tablet, 0.001)[0].area, 3), round(0.001 * tablet.length, 3)
    (0.063, 0.063)
    """
    whole = np.atleast_1d(np.asarray(areas, dtype=object))
    larger = shapely.transform(whole, lambda xy: xy / GRID)
    drawn_in = shapely.buffer(larger, -by / GRID, quad_segs=1)
    back: NDArray[np.object_] = shapely.transform(drawn_in, lambda xy: xy * GRID)
    return back
