"""The narrow-neck audit: every place where paper is pinched between two stretches of its boundary.

A *neck* is a chord inside the paper, both ends on the boundary, whose diametral disc holds no other
boundary: the narrowest way across a strap. Eroding the paper and counting parts would not find them, for
the count neither rises nor falls steadily with the width; a chord that is there can be measured.

One end of a neck is always a vertex where the paper's angle is 180° or more (elsewhere the disc would run
into one of the two edges), so the search goes out from those vertices only, inside the cone of their
normals, to the foot of the perpendicular on every segment within reach.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

from .boundary import Boundary, Flags, Floats, Ints, Paper, boundary_of, cross, dot, feet_on_segments
from .discs import BATCH, SLACK, Chords, discs_are_clear, nearest_keep_out

__all__ = [
    "Neck",
    "Necks",
    "count_pairs",
    "find_chords",
    "find_necks",
    "measure_necks",
    "necks_of",
    "possible_ends",
    "weakest_neck",
]

_LEAN = 1e-7
"""How far, as a sine, an edge may lean into the disc and still count as staying out of it. Two edges drawn
parallel come out of the arithmetic leaning by about this much."""

MOST_PAIRS = 150_000_000
"""Corners and edges near each other, past which looking them over takes a minute; the densest of lattices
has a hundredth of it."""

_CELLS = 256
"""At most so many along a side, of the squares in which it is noted where one looks."""


@dataclass(frozen=True, slots=True)
class Neck:
    """One chord across a strap: its width in mm and its two ends."""

    width: float
    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def middle(self) -> tuple[float, float]:
        """Return the point half-way along."""
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2


@dataclass(frozen=True, slots=True, eq=False)
class Necks:
    """Necks as arrays, narrowest first.

    Attributes
    ----------
    width : (n,) float array
        mm; 0 where the boundary touches itself.
    start, end : (n, 2) float array
        The chord.
    vertex : (n,) int array
        The row of the boundary that `start` is.
    segment : (n,) int array
        The segment that `end` lies on.
    boundary : Boundary
        What the rows refer to.
    """

    width: Floats
    start: Floats
    end: Floats
    vertex: Ints
    segment: Ints
    boundary: Boundary

    def __len__(self) -> int:
        return len(self.width)

    def __iter__(self) -> Iterator[Neck]:
        for width, start, end in zip(self.width, self.start, self.end, strict=True):
            yield Neck(float(width), (float(start[0]), float(start[1])), (float(end[0]), float(end[1])))

    @property
    def middle(self) -> Floats:
        """Return the (n, 2) middles of the chords."""
        return (self.start + self.end) / 2

    @property
    def same_ring(self) -> Flags:
        """Return where both ends lie on one ring: losing that neck drops a part (Jordan)."""
        ring = self.boundary.ring
        same: Flags = ring[self.vertex] == ring[self.segment]
        return same

    def under(self, limit: float) -> Necks:
        """Return those narrower than `limit`."""
        return self.take(np.flatnonzero(self.width < limit))

    def take(self, rows: Ints) -> Necks:
        """Return the chosen rows, in that order."""
        return Necks(
            self.width[rows],
            self.start[rows],
            self.end[rows],
            self.vertex[rows],
            self.segment[rows],
            self.boundary,
        )


def measure_necks(paper: Paper, *, limit: float) -> Necks:
    """Find every neck of `paper` no wider than `limit`.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    limit : float
        How wide to look, mm, above 0. Time grows with the number of segments within this reach.

    Returns
    -------
    Necks
        Narrowest first. A strap with parallel sides appears once or twice, at its ends.

    Raises
    ------
    BadValue
        If `paper` is not a valid, non-empty area.

    Notes
    -----
    A projection that narrows nowhere (a plain thin rectangle) has no neck: see `canivet.audit.limbs`.

    Examples
    --------
    A frame 10 mm wide with a 7.5 mm window has straps of 1.25 mm.

    >>> from shapely import box
    >>> necks = measure_necks(box(0, 0, 10, 10) - box(1.25, 1.25, 8.75, 8.75), limit=3)
    >>> sorted(set(necks.width.tolist()))
    [1.25]
    """
    return find_necks(boundary_of(paper), limit)


def weakest_neck(paper: Paper, *, start_at: float = 2.0) -> Neck | None:
    """Return the narrowest neck of `paper` however wide it is, or None if it has none (a disc, a star).

    Examples
    --------
    >>> from shapely import Point
    >>> weakest_neck(Point(0, 0).buffer(5)) is None
    True
    """
    boundary = boundary_of(paper)
    x0, y0, x1, y1 = paper.bounds
    reach = start_at
    while True:
        necks = find_necks(boundary, reach)
        if len(necks):
            return next(iter(necks))
        if reach > max(x1 - x0, y1 - y0):
            return None
        reach *= 2


def find_necks(boundary: Boundary, limit: float) -> Necks:
    """Find every neck no wider than `limit` on a boundary already laid out.

    Raises
    ------
    DoesNotFit
        If so many edges lie within `limit` of one another that no hand could cut them.
    """
    return necks_of(boundary, *find_chords(boundary, limit))


def find_chords(boundary: Boundary, limit: float, ends: Ints | None = None) -> tuple[Ints, Ints]:
    """Return the vertex and the segment of every neck no wider than `limit`, from some ends or from all.

    One between two vertices is there from both. Which there are from a vertex hangs on nothing but the
    boundary within `limit` of it.

    Raises
    ------
    DoesNotFit
        As `find_necks` does.
    """
    if ends is None:
        ends = possible_ends(boundary)
    near = _segments_near(boundary, ends, limit)
    tree = STRtree(boundary.segments(near))
    pairs = _pairs(boundary, tree, ends, limit)
    if pairs > MOST_PAIRS:
        raise DoesNotFit(
            f"the drawing is too dense to audit: about {pairs / len(ends):,.0f} of its edges lie within "
            f"{format_mm(limit, 2)} mm of each corner, past all cutting. Simplify it, draw it larger, or ask "
            "for a narrower strap.",
            parameter="paper", value=pairs, accepted=f"at most {MOST_PAIRS:,} pairs of edges so near",
        )  # fmt: skip
    parts = np.array_split(ends, max(1, int(pairs / BATCH))) if len(ends) > 1000 else [ends]
    batches = [_batch(boundary, tree, near, part, limit) for part in parts]
    columns = ((c.vertex, c.segment, c.foot, c.width) for c in batches)
    chords = Chords(*(np.concatenate(column) for column in zip(*columns, strict=True)))
    clear = discs_are_clear(boundary, chords, tree, near)
    return chords.vertex[clear], chords.segment[clear]


def necks_of(b: Boundary, vertex: Ints, segment: Ints) -> Necks:
    """Return chords as necks, narrowest first, those between two vertices once."""
    foot, along = feet_on_segments(b, segment, b.points[vertex])
    width = np.hypot(*(foot - b.points[vertex]).T)
    possible = np.zeros(len(b.points), bool)
    possible[possible_ends(b)] = True
    twin = (along <= 0) & (width > SLACK) & (segment < vertex) & possible[segment]
    rows = np.flatnonzero(~twin)
    rows = rows[np.lexsort((segment[rows], vertex[rows], width[rows]))]
    return Necks(width[rows], b.points[vertex[rows]], foot[rows], vertex[rows], segment[rows], b)


def _segments_near(b: Boundary, ends: Ints, limit: float) -> Ints:
    """Return the segments that may lie within `limit` of some vertices: more than do, and none too few."""
    if 4 * len(ends) > len(b.points):
        return np.arange(len(b.points))
    if len(ends) == 0:
        return ends
    origin, extent = b.points.min(axis=0), np.ptp(b.points, axis=0)
    cell = max(limit, float(extent.max()) / _CELLS)
    high = (extent / cell).astype(np.intp) + 1
    counts = np.zeros(high + 1, np.intp)
    np.add.at(counts, tuple(((b.points[ends] - origin) / cell).astype(np.intp).T + 1), 1)
    counts = counts.cumsum(axis=0).cumsum(axis=1)  # of the ends below and to the left of each cell's corner
    there, then = b.points - origin, b.points[b.after] - origin
    x0, y0 = np.clip(((np.minimum(there, then) - limit) / cell).astype(np.intp), 0, high).T
    x1, y1 = np.clip(((np.maximum(there, then) + limit) / cell).astype(np.intp) + 1, 0, high).T
    return np.flatnonzero(counts[x1, y1] - counts[x0, y1] - counts[x1, y0] + counts[x0, y0])


def possible_ends(b: Boundary) -> Ints:
    """Return the vertices with a paper angle of 180° or more, the only ones where a neck can begin."""
    arriving, leaving = b.steps[b.before], b.steps
    lengths = np.hypot(*arriving.T) * np.hypot(*leaving.T)
    return np.flatnonzero(cross(arriving, leaving) <= _LEAN * lengths)


def count_pairs(boundary: Boundary, limit: float) -> float:
    """Estimate how many vertices and segments a search this wide would have to hold against each other."""
    return _pairs(boundary, STRtree(boundary.segments()), possible_ends(boundary), limit)


def _pairs(b: Boundary, tree: STRtree, ends: Ints, limit: float) -> float:
    if len(ends) == 0:
        return 0.0
    probe = ends[:: max(1, len(ends) // 200)]
    boxes = shapely.box(*(b.points[probe] - limit).T, *(b.points[probe] + limit).T)
    return float(tree.query(boxes).shape[1] / len(probe) * len(ends))


def _batch(b: Boundary, tree: STRtree, of_tree: Ints, ends: Ints, limit: float) -> Chords:
    """Return the chords that pass every test but the disc's, among the segments that the tree is of."""
    which, found = tree.query(_fans(b, ends, limit))
    vertex, segment = ends[which], of_tree[found]
    near = (segment != vertex) & (b.after[segment] != vertex)
    vertex, segment = vertex[near], segment[near]
    foot, along = feet_on_segments(b, segment, b.points[vertex])
    width = np.hypot(*(foot - b.points[vertex]).T)
    # A foot on the far end of a segment is the near end of the next one, and is met there.
    rows = np.flatnonzero((width <= limit) & (along < 1))
    vertex, segment, foot, along, width = vertex[rows], segment[rows], foot[rows], along[rows], width[rows]
    chord = foot - b.points[vertex]
    touching = width <= SLACK
    slack = _LEAN * width
    keep = touching | _within_normals(b, vertex, chord, slack)
    keep &= touching | np.where(along > 0, cross(b.steps[segment], -chord) > 0, True)
    at_vertex = (along <= 0) & ~touching
    keep[at_vertex] &= _within_normals(b, segment[at_vertex], -chord[at_vertex], slack[at_vertex])
    chords = Chords(vertex[keep], segment[keep], foot[keep], width[keep])
    return chords.take(nearest_keep_out(b, chords))


def _fans(b: Boundary, ends: Ints, limit: float) -> NDArray[np.object_]:
    """Return diagonals of the boxes around the sectors in which each vertex looks for the other side."""
    arriving, leaving = b.steps[b.before[ends]], b.steps[ends]
    first, last = _left_normal(arriving), _left_normal(leaving)
    apex = b.points[ends]
    low = np.minimum(np.minimum(first, last), 0.0)
    high = np.maximum(np.maximum(first, last), 0.0)
    for axis, sign in ((0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)):
        pole = np.zeros(2)
        pole[axis] = sign
        # The sector turns right from `first` to `last`; a pole inside it is where the box must reach out.
        inside = (cross(first, pole[None]) <= 0) & (cross(pole[None], last) <= 0)
        inside |= dot(first, last) < -0.999  # a hairpin looks everywhere but straight back
        (high if sign > 0 else low)[inside, axis] = sign
    low, high = apex + low * limit - 1e-6, apex + high * limit + 1e-6
    diagonals: NDArray[np.object_] = shapely.linestrings(np.stack([low, high], axis=1))
    return diagonals


def _left_normal(v: Floats) -> Floats:
    unit = v / np.hypot(*v.T)[:, None]
    return np.stack([-unit[:, 1], unit[:, 0]], axis=1)


def _within_normals(b: Boundary, vertex: Ints, chord: Floats, slack: Floats) -> Flags:
    """Say where `chord`, leaving `vertex`, has both edges behind it and the paper before it."""
    leaving, arriving = b.steps[vertex], b.steps[b.before[vertex]]
    ahead = dot(leaving, chord) <= slack * np.hypot(*leaving.T)
    behind = dot(arriving, chord) >= -slack * np.hypot(*arriving.T)
    inward = (cross(leaving, chord) > 0) | (cross(arriving, chord) > 0)
    result: Flags = ahead & behind & inward
    return result
