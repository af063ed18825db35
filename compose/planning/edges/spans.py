"""Edges of openings split at their corners into spans, as a tool takes them: straight or curved.

A corner is measured over a length of edge and not from vertex to vertex, or every curve that was flattened
for a file would have thousands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from canivet.audit.boundary import Boundary, Flags, Floats, Ints, cross

__all__ = ["OVER", "STRAIGHT", "Spans", "split_at_corners"]

OVER = 0.4
"""mm of edge over which a corner and a curve are measured."""

CORNER_DEG = 30.0
"""Degrees that an edge turns within `OVER` at a corner."""

_GATHERED = 0.45
"""Share of the turning within three times `OVER` that a corner has within it; an even curve has a third."""

STRAIGHT = 0.1
"""mm that a straight span may stray from its chord: half of what a hand does."""


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Spans of every ring of a boundary, ring after ring, the paper on the left of each.

    Attributes
    ----------
    boundary : Boundary
        Ring 0 is the outline.
    walk : (n,) int array
        Its rows, each ring begun at a corner; span k goes over ``walk[first[k]:first[k + 1]]`` and on to
        `end`.
    first : (m + 1,) int array
    end : (m,) int array
        The row where a span ends, which is that where the next on its ring begins.
    ring : (m,) int array
    length : (m,) float array
        mm along the edge.
    straight : (m,) bool array
    radius : (m,) float array
        mm, of the tightest curve; infinite where it is straight.
    turn : (m,) float array
        Degrees that the edge turns where the span begins: above 0 where paper juts out into the waste, below
        where waste juts into the paper, 0 on a ring without corners.
    next : (m,) int array
        The span that follows on the ring: itself where it is alone.
    leaving, arriving : (m, 2) float array
        Unit directions at its two ends, measured over `OVER`; those of the chord where it is straight.
    cut : (m,) bool array
        Whether there is anything to cut: not where paper is folded, or the sheet ends by itself.
    """

    boundary: Boundary
    walk: Ints
    first: Ints
    end: Ints
    ring: Ints
    length: Floats
    straight: Flags
    radius: Floats
    turn: Floats
    next: Ints
    leaving: Floats
    arriving: Floats
    cut: Flags

    def __len__(self) -> int:
        return len(self.ring)


def split_at_corners(b: Boundary, *, uncut: Flags | None = None) -> Spans:
    """Return the spans of a boundary.

    Parameters
    ----------
    b : Boundary
        Of a whole piece.
    uncut : (n,) bool array, optional
        Which of its edges, each from a row to the next on the ring, there is nothing to cut along; a span
        ends where that changes. None of them where left out.

    Examples
    --------
    A square has four, a disc one that begins and ends at the same place.

    >>> from shapely import Point, box
    >>> from canivet.audit.boundary import boundary_of
    >>> spans = split_at_corners(boundary_of(box(0, 0, 40, 20) - Point(10, 10).buffer(5, quad_segs=32)))
    >>> spans.ring.tolist(), spans.straight.tolist()
    ([0, 0, 0, 0, 1], [True, True, True, True, False])
    >>> bool(4.7 < spans.radius[4] < 5.3)
    True
    """
    step = np.hypot(*b.steps.T)
    turning = _turning(b)
    near, wide = _summed(b, step, turning, (OVER / 2, 1.5 * OVER))
    corner = _corners(b, step, near, wide)
    uncut = np.zeros(len(step), bool) if uncut is None else uncut
    corner |= uncut != uncut[b.before]
    begins = np.minimum.reduceat(np.where(corner, np.arange(len(step)), len(step)), b.first[:-1])
    begins = np.where(begins == len(step), b.first[:-1], begins)  # a ring without corners begins anywhere
    low, size = b.first[b.ring], np.diff(b.first)[b.ring]
    walk = low + (np.arange(len(step)) - low + begins[b.ring] - low) % size
    opens = corner[walk]
    opens[b.first[:-1]] = True
    first = np.append(np.flatnonzero(opens), len(step))
    ring = b.ring[walk[first[:-1]]]
    alone = np.append(ring[1:] != ring[:-1], True)
    heads = np.searchsorted(ring, ring)
    following = np.where(alone, heads, np.arange(1, len(ring) + 1))
    end = walk[first[following]]
    length = np.add.reduceat(step[walk], first[:-1])
    straight = _straight(b, walk, first, end)
    with np.errstate(divide="ignore"):
        curve = np.maximum(3 * OVER, (step + step[b.before]) / 2) / np.radians(np.abs(wide))
    radius = _tightest(step, walk, first, curve, corner, straight)
    leaving, arriving = _directions(b, step, walk, first, end, length, straight)
    turn = np.where(corner[walk[first[:-1]]], near[walk[first[:-1]]], 0.0)
    cut = ~uncut[walk[first[:-1]]]
    # A step shorter than a hand's slip, beside an edge that is not cut, is not cut either.
    beside = ~cut[following]
    beside[following] |= ~cut
    cut &= ~(beside & (length < STRAIGHT))
    return Spans(b, walk, first, end, ring, length, straight, radius, turn, following, leaving, arriving, cut)


def _turning(b: Boundary) -> Floats:
    """Return the degrees that the edge turns at each vertex, above 0 to the left."""
    arriving, leaving = b.points - b.points[b.before], b.steps
    angle: Floats = np.degrees(np.arctan2(cross(arriving, leaving), (arriving * leaving).sum(axis=1)))
    return angle


def _summed(b: Boundary, step: Floats, value: Floats, reaches: tuple[float, ...]) -> list[Floats]:
    """Return the sum of a value over the vertices within each reach along the edge, to either side."""
    along = np.concatenate([[0.0], np.cumsum(step)])
    around = along[b.first[1:]] - along[b.first[:-1]]
    # Every ring three times over, one after the other, so that a reach may pass its seam.
    base = 2 * along[b.first[:-1]] + 3 * np.arange(len(around))
    own = (base + around)[b.ring] + along[:-1]
    keys = np.concatenate([own - around[b.ring], own, own + around[b.ring]])
    rows = np.argsort(keys, kind="stable")
    sums = np.concatenate([[0.0], np.cumsum(np.tile(value, 3)[rows])])
    keys = keys[rows]
    half = 0.499 * around[b.ring]
    found = []
    for reach in reaches:
        w = np.minimum(reach, half) + 1e-9
        found.append(sums[np.searchsorted(keys, own + w, "right")] - sums[np.searchsorted(keys, own - w)])
    return found


def _corners(b: Boundary, step: Floats, near: Floats, wide: Floats) -> Flags:
    """Say which vertices are corners: of several close together the one in the middle of the turn."""
    likely = np.flatnonzero((np.abs(near) >= CORNER_DEG) & (np.abs(near) >= _GATHERED * np.abs(wide)))
    corner = np.zeros(len(near), bool)
    if len(likely) == 0:
        return corner
    along = np.concatenate([[0.0], np.cumsum(step)])
    parted = (np.diff(along[likely]) > OVER) | (np.diff(b.ring[likely]) > 0)
    group = np.concatenate([[0], np.cumsum(parted)])
    middle = np.bincount(group, along[likely]) / np.bincount(group)
    # Sharpest first, then nearest to the middle of its group.
    rows = np.lexsort((np.abs(along[likely] - middle[group]), -np.abs(near[likely]).round(3), group))
    chosen = likely[rows[np.append(True, group[rows][1:] != group[rows][:-1])]]
    corner[chosen] = True
    return _without_seam_doubles(b, along, chosen, corner)


def _without_seam_doubles(b: Boundary, along: Floats, chosen: Ints, corner: Flags) -> Flags:
    """Drop the last corner of a ring where it is the first one again, met across the ring's seam."""
    ring = b.ring[chosen]
    heads = np.flatnonzero(np.append(True, ring[1:] != ring[:-1]))
    tails = np.append(heads[1:], len(ring)) - 1
    around = along[b.first[ring[heads] + 1]] - along[b.first[ring[heads]]]
    gap = along[chosen[heads]] + around - along[chosen[tails]]
    corner[chosen[tails[(gap <= OVER) & (tails > heads)]]] = False
    return corner


def _straight(b: Boundary, walk: Ints, first: Ints, end: Ints) -> Flags:
    """Say which spans stray nowhere far from their chord."""
    start = b.points[walk[first[:-1]]]
    chord = b.points[end] - start
    long = np.hypot(*chord.T)
    span = np.repeat(np.arange(len(end)), np.diff(first))
    away = b.points[walk] - start[span]
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.abs(cross(chord[span], away)) / long[span]
    off = np.where(long[span] > STRAIGHT, off, np.hypot(*away.T))
    strays: Floats = np.maximum.reduceat(off, first[:-1])
    result: Flags = strays <= STRAIGHT
    return result


def _tightest(step: Floats, walk: Ints, first: Ints, curve: Floats, corner: Flags, straight: Flags) -> Floats:
    """Return the radius of the tightest curve of each span, clear of the corners at its ends."""
    along = np.concatenate([[0.0], np.cumsum(step[walk])])
    span = np.repeat(np.arange(len(straight)), np.diff(first))
    here = along[:-1]
    cornered = corner[walk[first[:-1]]][span]
    off = np.minimum(here - along[first[span]], along[first[span + 1]] - here)
    clear = ~cornered | (off > 1.5 * OVER)
    radius: Floats = np.minimum.reduceat(np.where(clear, curve[walk], np.inf), first[:-1])
    return np.where(straight, np.inf, radius)


def _directions(
    b: Boundary, step: Floats, walk: Ints, first: Ints, end: Ints, length: Floats, straight: Flags
) -> tuple[Floats, Floats]:
    """Return the unit directions in which each span leaves and arrives."""
    along = np.concatenate([[0.0], np.cumsum(step[walk])])
    start, finish = b.points[walk[first[:-1]]], b.points[end]
    reach = np.minimum(OVER, length / 2)
    leaving = _point_at(b, walk, first, end, along, along[first[:-1]] + reach) - start
    arriving = finish - _point_at(b, walk, first, end, along, along[first[1:]] - reach)
    chord = finish - start
    leaving, arriving = (np.where(straight[:, None], chord, one) for one in (leaving, arriving))
    return _unit(leaving), _unit(arriving)


def _point_at(b: Boundary, walk: Ints, first: Ints, end: Ints, along: Floats, where: Floats) -> Floats:
    """Return the point of each span so far along the walk."""
    row = np.clip(np.searchsorted(along, where, "right") - 1, first[:-1], first[1:] - 1)
    after = np.where(row + 1 < first[1:], walk[np.minimum(row + 1, len(walk) - 1)], end)
    size = along[row + 1] - along[row]
    share = ((where - along[row]) / np.where(size > 0, size, 1.0))[:, None]
    point: Floats = b.points[walk[row]] * (1 - share) + b.points[after] * share
    return point


def _unit(vectors: Floats) -> Floats:
    size = np.hypot(*vectors.T)[:, None]
    unit: Floats = vectors / np.where(size > 0, size, 1.0)
    return unit
