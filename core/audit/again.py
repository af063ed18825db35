"""An audit of nearly the same paper again: what lies out of reach of a change is taken as it was measured.

Nobody has to say what changed. A segment that the earlier boundary had too is as it was; about the others,
and about those that are gone, all is measured anew as far out as the audit looks. A neck hangs on nothing
beyond that, and a limb on nothing beyond its ring, so what comes out is what the full audit finds, to the
last digit.
"""

from __future__ import annotations

import threading
from contextlib import suppress
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from canivet.errors import DoesNotFit

from .boundary import GRID, Boundary, Flags, Floats, Ints, Paper, numbered
from .limbs import KnownLimbs, Limb, find_limbs
from .necks import Necks, find_chords, necks_of, possible_ends

__all__ = ["Measures", "forget_measures", "keep_measures", "measured_before"]

_WIDER = 4.0
"""What was measured so many times as wide as is asked is kept as wide; wider it is too much to keep up."""

_MUCH = 0.75
"""Share of a boundary past which all of it is measured: finding out what changed would bring nothing."""

_SIZES = 4
"""Sizes of piece for which it is kept what was measured last, of each kind of audit."""

_PAD = 2 * GRID

_FINE = 4.0
"""Cells to a reach: finer, and laying boxes on them takes longer than what they spare."""

_CELLS = 1000
"""Cells at most along the longer side of a paper."""

_ODD = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9, 0x27D4EB2F165667C5], np.uint64)
"""Any four odd numbers without a pattern."""


@dataclass(slots=True, eq=False)
class Measures:
    """What the last audit measured, each number with its place, for another audit of nearly the same paper.

    Only what the last one saw is kept, so it grows no larger than a paper.

    Examples
    --------
    >>> from shapely import Point, box
    >>> from canivet.audit.boundary import boundary_of
    >>> from canivet.audit.necks import find_necks
    >>> frame, known = box(0, 0, 40, 30) - box(2, 2, 38, 28), Measures()
    >>> len(known.find_necks(boundary_of(frame), 3.0))
    8
    >>> mended = boundary_of(frame | Point(38, 28).buffer(2))
    >>> known.find_necks(mended, 3.0).width.tolist() == find_necks(mended, 3.0).width.tolist()
    True
    """

    _boundary: Boundary | None = None
    _reach: float = 0.0
    _vertex: Ints = field(default_factory=lambda: np.empty(0, np.intp))
    _segment: Ints = field(default_factory=lambda: np.empty(0, np.intp))
    _strap: float = 0.0
    _limbs: KnownLimbs = field(default_factory=dict)

    def copy(self) -> Measures:
        """Return these measures, so that a further audit leaves those here as they are."""
        return Measures(
            self._boundary, self._reach, self._vertex, self._segment, self._strap, dict(self._limbs)
        )

    def find_necks(self, boundary: Boundary, limit: float) -> Necks:
        """Find every neck no wider than `limit`, as `canivet.audit.necks.find_necks` does."""
        last, reach = self._boundary, self._reach
        chords = None
        if last is boundary and limit <= reach <= _WIDER * limit:
            chords = self._vertex, self._segment
        elif last is not None and limit <= reach <= _WIDER * limit:
            with suppress(DoesNotFit):  # too dense for so wide a search
                chords = self._about_changes(last, boundary)
        if chords is None:
            reach, chords = limit, find_chords(boundary, limit)
        # all at once: a search that does not end leaves what was known as it was
        self._boundary, self._reach, (self._vertex, self._segment) = boundary, reach, chords
        necks = necks_of(boundary, self._vertex, self._segment)
        return necks.take(np.flatnonzero(necks.width <= limit))

    def find_limbs(self, boundary: Boundary, strap: float) -> list[Limb]:
        """Find the limbs, as `canivet.audit.limbs.find_limbs` does: only on rings that changed."""
        if strap != self._strap:
            self._strap, self._limbs = strap, {}
        return find_limbs(boundary, strap, known=self._limbs)

    def _about_changes(self, old: Boundary, new: Boundary) -> tuple[Ints, Ints] | None:
        """Return the chords of the new boundary: the old ones, but for those within reach of a change.

        None where so much changed that all of it is to be measured.
        """
        was = _rows_before(old, new)
        gone = np.ones(len(old.points), bool)
        gone[was[was >= 0]] = False
        if np.count_nonzero(gone) + np.count_nonzero(was < 0) > _MUCH * len(new.points):
            return None
        edges = ((old, np.flatnonzero(gone)), (new, np.flatnonzero(was < 0)))
        start = np.concatenate([b.points[rows] for b, rows in edges])
        step = np.concatenate([b.steps[rows] for b, rows in edges])
        ends = possible_ends(new)
        ends = ends[_near(start, step, new.points[ends], self._reach + _PAD)]
        vertex, segment = find_chords(new, self._reach, ends)
        now = np.full(len(old.points), -1)
        now[was[was >= 0]] = np.flatnonzero(was >= 0)
        as_it_was = now >= 0
        as_it_was[was[(was >= 0) & (was[new.before] < 0)]] = False  # they may be no ends any more
        as_it_was[was[ends][was[ends] >= 0]] = False
        kept = as_it_was[self._vertex]
        return (
            np.concatenate([now[self._vertex[kept]], vertex]),
            np.concatenate([now[self._segment[kept]], segment]),
        )


class _Last(threading.local):
    """What a thread has measured last, each kind of audit and size of piece for itself, the latest last."""

    def __init__(self) -> None:
        self.measures: dict[str, dict[tuple[float, ...], Measures]] = {}


_LAST = _Last()


def measured_before(kind: str, paper: Paper, strap: float) -> Measures:
    """Return what this thread's last audit of a kind measured of a paper as large, to go on from.

    Plates of a series differ by their words alone, and an edited one by what was moved.

    Examples
    --------
    >>> from shapely import box
    >>> one, like, other = (measured_before("shown", box(0, 0, side, 9), 1.0) for side in (5, 5, 6))
    >>> one is like, one is other
    (True, False)
    """
    known = _LAST.measures.get(kind, {}).get((strap, *paper.bounds))
    return keep_measures(kind, paper, strap, Measures() if known is None else known)


def keep_measures(kind: str, paper: Paper, strap: float, known: Measures) -> Measures:
    """Keep what was measured of a paper elsewhere, for `measured_before` to give; return it."""
    kept = _LAST.measures.setdefault(kind, {})
    key = (strap, *paper.bounds)
    kept.pop(key, None)
    kept[key] = known
    for oldest in list(kept)[:-_SIZES]:
        del kept[oldest]
    return known


def forget_measures() -> None:
    """Forget what this thread has measured."""
    _LAST.measures.clear()


def _rows_before(old: Boundary, new: Boundary) -> Ints:
    """Return which segment of the old boundary each of the new one is; -1 where it is none."""
    marks = [_marks(b) for b in (old, new)]
    order = np.argsort(marks[0])
    place = np.searchsorted(marks[0], marks[1], sorter=order)
    row = order[np.minimum(place, len(order) - 1)]
    same = (old.points[row] == new.points) & (old.points[old.after[row]] == new.points[new.after])
    was = np.where(same.all(axis=1), row, -1)
    met = np.bincount(was[was >= 0], minlength=len(old.points))
    # Where two run one over the other, neither is known by where it lies.
    was[(was >= 0) & (met[was] > 1)] = -1
    # Where rings touch, the same segments may be joined otherwise: then a corner there is another.
    led = was[new.before]
    was[(was >= 0) & (led >= 0) & (old.before[was] != led)] = -1
    return was


def _marks(b: Boundary) -> NDArray[np.uint64]:
    """Return a number for each segment, the same for the same ends and seldom for others."""
    whole = np.rint(b.points / GRID).astype(np.int64).astype(np.uint64)
    mixed: NDArray[np.uint64] = np.hstack([whole, whole[b.after]]) @ _ODD
    return mixed


def _near(start: Floats, step: Floats, points: Floats, reach: float) -> Flags:
    """Tell which points may lie within reach of some edges: more than do, and none too few.

    Edges are cut to no longer than the reach. The box about each piece, wider by the reach, is laid on a grid
    of cells as one count at each of its corners, and sums over the grid tell how many lie on each cell.
    """
    if len(start) == 0 or len(points) == 0:
        return np.zeros(len(points), bool)
    pieces = np.ceil(np.abs(step).max(axis=1) / reach).clip(1).astype(np.intp)
    row, nth = numbered(pieces)
    here = start[row] + step[row] * (nth / pieces[row])[:, None]
    there = start[row] + step[row] * ((nth + 1) / pieces[row])[:, None]
    origin, extent = points.min(axis=0), np.ptp(points, axis=0)
    cell = max(reach / _FINE, float(extent.max()) / _CELLS)
    high = (extent / cell).astype(np.intp) + 1
    low_x, low_y = np.clip(np.floor((np.minimum(here, there) - reach - origin) / cell), 0, high).astype(int).T
    top_x, top_y = (
        np.clip(np.floor((np.maximum(here, there) + reach - origin) / cell) + 1, 0, high).astype(int).T
    )
    corners = np.zeros(high + 1, np.intp)
    for x, y, sign in ((low_x, low_y, 1), (low_x, top_y, -1), (top_x, low_y, -1), (top_x, top_y, 1)):
        np.add.at(corners, (x, y), sign)
    laid = corners.cumsum(axis=0).cumsum(axis=1)
    near: Flags = laid[tuple(((points - origin) / cell).astype(np.intp).T)] > 0
    return near
