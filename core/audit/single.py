"""Single holds: of the necks that hold one part alone, the one likeliest to tear.

Along one stem lie several necks, and each holds the same part, or nearly. One holds the same as another where
what hangs on it is up to twice as much, and it goes about the other: the middle of the other lies in the
outline of what hangs on it, or no further off than the other is wide.

What hangs on a neck is bounded by a stretch of a ring and by the chord. So among the necks of one ring it is
enough to know which spans of it lie near a middle, and on whose stretch these are. The outlines along a chain
have as many points as its links squared; they are built only where necks of two rings may hold the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from .boundary import Boundary, Flags, Floats, Ints
from .holds import Drops, outlines_of, stretches, tear_risk, what_drops
from .necks import Necks

__all__ = ["single_holds"]

Shapes: TypeAlias = NDArray[np.object_]

_CRUMB = 2.0
"""A part under this many squares of its neck's width is a bump on an edge, no part that could drop."""


def single_holds(necks: Necks) -> tuple[Necks, Floats]:
    """Return the necks that hold a part alone and what hangs on each in mm², the likeliest to tear first.

    Of several that hold the same part the likeliest to tear is told.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.necks import measure_necks
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(10, 4, 15, 6), box(15, 0, 21, 10)])
    >>> holds, hanging = single_holds(measure_necks(dumbbell, limit=3))
    >>> holds.width.tolist(), hanging.tolist()
    ([2.0], [70.0])
    """
    alone = necks.take(np.flatnonzero(necks.same_ring))
    if len(alone) == 0:
        return alone, np.empty(0)
    drops = what_drops(alone)
    rows = np.flatnonzero(drops.area > _CRUMB * alone.width**2)
    if len(rows) == 0:
        return alone.take(rows), drops.area[rows]
    risk = tear_risk(alone, drops.area)
    rows = rows[np.lexsort((*alone.middle[rows].T[::-1], alone.width[rows], -risk[rows]))]
    alone, drops = alone.take(rows), drops.take(rows)
    kept = _first_of_each_part(alone, drops)
    return alone.take(kept), drops.area[kept]


def _first_of_each_part(necks: Necks, drops: Drops) -> Ints:
    """Return the rows that no row before them holds the same part as."""
    middle = shapely.points(necks.middle)
    rings = _lay_out(necks, drops, middle)
    lighter, heavier = np.hstack([_by_chords(necks, drops, middle), _across_rings(necks, drops, middle)])
    others = _grouped(np.append(lighter, heavier), np.append(heavier, lighter), np.arange(len(necks)))
    told = np.zeros(len(necks), bool)
    kept: list[int] = []
    waiting = np.arange(len(necks))
    while len(waiting):
        # Along a chain the first few tell of all others, which need no look then; along a fringe none does.
        at_once = len(kept) + 1
        some, waiting = waiting[:at_once], waiting[at_once:]
        for row, same in zip(some.tolist(), rings.holding_the_same(some), strict=True):
            if not told[row]:
                kept.append(row)
                told[same] = told[others[row]] = True
        waiting = waiting[~told[waiting]]
    return np.array(kept, np.intp)


@dataclass(frozen=True, slots=True, eq=False)
class _Rings:
    """Which stretches of a ring go about the middles of which necks.

    The rings are laid out as a row of spans, from where any stretch begins or ends to the next such place. In
    a plane with the spans across and what hangs up, each neck is a box as wide as its stretch, from half of
    what hangs on it to all of it. It goes about those that have a point in that box: they have one for each
    span near their middle, as high as what hangs on them.
    """

    count: int
    points: Shapes
    lighter: Ints
    boxes: Shapes
    heavier: Ints
    tree_of_points: STRtree
    tree_of_boxes: STRtree

    def holding_the_same(self, rows: Ints) -> list[Ints]:
        """Return for each of some rows those that go about it, and those that it goes about."""
        wanted = np.zeros(self.count, bool)
        wanted[rows] = True
        inner, outer = np.flatnonzero(wanted[self.lighter]), np.flatnonzero(wanted[self.heavier])
        point, about = self.tree_of_boxes.query(self.points[inner])
        box, within = self.tree_of_points.query(self.boxes[outer])
        key = np.append(self.lighter[inner[point]], self.heavier[outer[box]])
        return _grouped(key, np.append(self.heavier[about], self.lighter[within]), rows)


def _lay_out(necks: Necks, drops: Drops, middle: Shapes) -> _Rings:
    """Lay the rings of the necks out in spans, and set the boxes and the points."""
    b, hanging = necks.boundary, drops.area
    start, stop = stretches(necks, drops.ahead)
    breaks = np.unique(np.concatenate([start, stop, b.first[b.ring[start]]]))
    heavier, first, last = _runs_of_spans(b, breaks, start, stop)
    boxes = shapely.box(first, hanging[heavier] / 2, last, hanging[heavier])
    lighter, span = STRtree(_spans(b, breaks)).query(middle, predicate="dwithin", distance=necks.width)
    points = shapely.points(span, hanging[lighter])
    return _Rings(len(necks), points, lighter, boxes, heavier, STRtree(points), STRtree(boxes))


def _spans(b: Boundary, breaks: Ints) -> Shapes:
    """Return the lines along the rings from each break to the next."""
    after = np.minimum(np.append(breaks[1:], len(b.points)), b.first[b.ring[breaks] + 1])
    rows, span = b.along(breaks, after - breaks + 1)
    lines: Shapes = shapely.linestrings(b.points[rows], indices=span)
    return lines


def _runs_of_spans(b: Boundary, breaks: Ints, start: Ints, stop: Ints) -> tuple[Ints, Ints, Ints]:
    """Return the runs of spans from each start to its stop: whose, the first, the last.

    One that goes past the seam of its ring is two.
    """
    low, high = b.first[b.ring[start]], b.first[b.ring[start] + 1]
    past = stop < start
    whose = np.append(np.arange(len(start)), np.flatnonzero(past))
    first = np.searchsorted(breaks, np.append(start, low[past]))
    last = np.searchsorted(breaks, np.append(np.where(past, high, stop), stop[past])) - 1
    some = last >= first
    return whose[some], first[some], last[some]


def _by_chords(necks: Necks, drops: Drops, middle: Shapes) -> tuple[Ints, Ints]:
    """Return pairs of rows where the second's chord, and what leads to it, is near the first's middle."""
    b = necks.boundary
    start, stop = stretches(necks, drops.ahead)
    chords = shapely.linestrings(np.stack([b.points[stop], necks.end, b.points[start]], axis=1))
    lighter, heavier = STRtree(chords).query(middle, predicate="dwithin", distance=necks.width)
    alike = _alike(drops.area, lighter, heavier)
    return lighter[alike], heavier[alike]


def _across_rings(necks: Necks, drops: Drops, middle: Shapes) -> tuple[Ints, Ints]:
    """Return pairs of rows on two rings where what hangs on the second goes about the first."""
    ring = necks.boundary.ring[necks.vertex]
    if (ring == ring[0]).all():
        return ring[:0], ring[:0]
    # What hangs lies in the box about its ring; in that about the shell where it goes round the ring.
    _, of, group = np.unique(2 * ring + drops.around, return_index=True, return_inverse=True)
    boxes = shapely.envelope(np.where(drops.around, drops.shell, drops.ring)[of])
    row, near = STRtree(boxes).query(middle, predicate="dwithin", distance=necks.width)
    foreign = ring[row] != ring[of[near]]
    lighter, heavier = _with_members(row[foreign], near[foreign], group)
    alike = _alike(drops.area, lighter, heavier)
    lighter, heavier = lighter[alike], heavier[alike]
    built, which = np.unique(heavier, return_inverse=True)
    outlines = outlines_of(necks.take(built), drops.take(built))
    shapely.prepare(outlines)
    about = shapely.dwithin(outlines[which], middle[lighter], necks.width[lighter])
    return lighter[about], heavier[about]


def _with_members(row: Ints, wanted: Ints, group: Ints) -> tuple[Ints, Ints]:
    """Return each row with every member of the group that it is paired with."""
    members = _grouped(group, np.arange(len(group)), np.arange(group.max() + 1))
    count = np.bincount(group)[wanted]
    return np.repeat(row, count), np.concatenate([group[:0], *(members[k] for k in wanted)])


def _alike(hanging: Floats, lighter: Ints, heavier: Ints) -> Flags:
    """Say where the second holds as much as the first, and no more than twice that."""
    alike: Flags = (hanging[lighter] <= hanging[heavier]) & (hanging[heavier] <= 2 * hanging[lighter])
    return alike


def _grouped(key: Ints, value: Ints, keys: Ints) -> list[Ints]:
    """Return the values of each of some keys, which rise."""
    order = np.argsort(key)
    value, ends = value[order], np.searchsorted(key[order], keys, side="right").tolist()
    return [value[start:end] for start, end in pairwise([0, *ends])]
