"""Chords across paper, and whether the disc on one as diameter holds no boundary: what makes it a neck.

That is the dearest of the tests, so boundary that is at hand is asked first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree

from .boundary import Boundary, Flags, Floats, Ints, dot, feet_on_segments

__all__ = ["BATCH", "SLACK", "Chords", "discs_are_clear", "nearest_keep_out"]

SLACK = 1e-7
"""mm. How far other boundary may reach into the disc: rounding, a ten-thousandth of the snapping grid."""

BATCH = 400_000
"""Pairs examined at once; few enough to stay in the cache, and to keep memory flat however wide it looks."""

_NEAREST = 4
"""Feet of a vertex that the others are held against: a corner of nested squares has three ways out."""

_STEPS = (2, -2, 4, -4, 8, -8, 16, -16, 64, -64)
"""Vertices on along a ring that are asked before the search; of a ring under twice as long one comes back."""


@dataclass(frozen=True, slots=True, eq=False)
class Chords:
    """Chords across paper as arrays: from a vertex to a foot on a segment, and how wide, in mm."""

    vertex: Ints
    segment: Ints
    foot: Floats
    width: Floats

    def take(self, rows: Ints | Flags) -> Chords:
        """Return the chosen rows, in that order."""
        return Chords(self.vertex[rows], self.segment[rows], self.foot[rows], self.width[rows])


def nearest_keep_out(b: Boundary, chords: Chords) -> Flags:
    """Say where the nearest feet of the same vertex stay out of the disc.

    They are boundary too, and of many lines one behind the other they clear all but the first: the search for
    the nearest boundary is slow where there are many.
    """
    vertex, foot, width = chords.vertex, chords.foot, chords.width
    out = np.ones(len(vertex), bool)
    if len(vertex) == 0:
        return out
    order = np.lexsort((width, vertex))
    leads = np.flatnonzero(np.append(True, vertex[order][1:] != vertex[order][:-1]))
    size = np.diff(np.append(leads, len(order)))
    middle = ((b.points[vertex] + foot) / 2)[order]
    reach = (np.maximum(width / 2 - SLACK, 0) ** 2)[order]
    for k in range(min(_NEAREST, int(size.max()))):
        near = np.repeat(leads + np.minimum(k, size - 1), size)
        away = foot[order][near] - middle
        out[order] &= dot(away, away) >= reach
    return out


def discs_are_clear(b: Boundary, chords: Chords, tree: STRtree, of_tree: Ints) -> Flags:
    """Say where no boundary lies inside the disc on the chord as diameter.

    `of_tree` are the segments that the tree is of; they hold all that lies within reach. Both edges at either
    end of a chord must lean out of its disc already.
    """
    # A chord between two vertices that both look out is looked at once.
    vertex, segment = chords.vertex, chords.segment
    between = np.minimum(vertex, segment) * len(b.points) + np.maximum(vertex, segment)
    to_vertex = (chords.foot == b.points[segment]).all(axis=1)
    _, first, same = np.unique(
        np.where(to_vertex, between, -1 - np.arange(len(vertex))), return_index=True, return_inverse=True
    )
    once = chords.take(first)
    clear = _neighbours_keep_out(b, once)
    rows = np.flatnonzero(clear & (once.width > 2 * SLACK))
    clear[rows] = _none_within(b, once.take(rows), tree, of_tree)
    return clear[same]


def _neighbours_keep_out(b: Boundary, chords: Chords) -> Flags:
    """Say where a few vertices further along each ring stay out of the disc.

    The search for the nearest boundary would find them too, but on a rough outline nearly every chord fails
    here, and from the middle of a large round shape that search is slow.
    """
    middle = (b.points[chords.vertex] + chords.foot) / 2
    reach = np.maximum(chords.width / 2 - SLACK, 0) ** 2
    out = np.ones(len(middle), bool)
    for end in (chords.vertex, chords.segment):
        low = b.first[b.ring[end]]
        size = b.first[b.ring[end] + 1] - low
        for step in _STEPS:
            on = np.flatnonzero(out & (size >= 2 * abs(step)))
            away = b.points[low[on] + (end[on] - low[on] + step) % size[on]] - middle[on]
            out[on] = dot(away, away) >= reach[on]
    return out


def _none_within(b: Boundary, chords: Chords, tree: STRtree, of_tree: Ints) -> Flags:
    """Say where no segment but those at the chord's own ends comes into the disc."""
    middle, reach = (b.points[chords.vertex] + chords.foot) / 2, chords.width / 2 - SLACK
    # The diagonal of its box is what is looked up for each disc: a line is made sooner than a box.
    ends = np.stack([middle - reach[:, None], middle + reach[:, None]], axis=1)
    some = slice(None, None, max(1, len(middle) // 200))
    pairs = tree.query(shapely.linestrings(ends[some])).shape[1] * some.step
    clear = np.ones(len(middle), bool)
    for part in np.array_split(np.arange(len(middle)), int(pairs / BATCH) + 1):
        disc, found = tree.query(shapely.linestrings(ends[part]))
        row, met = part[disc], of_tree[found]
        vertex = chords.vertex[row]
        other = (met != vertex) & (met != b.before[vertex]) & (met != chords.segment[row])
        row, met = row[other], met[other]
        away = feet_on_segments(b, met, middle[row])[0] - middle[row]
        clear[row[np.hypot(*away.T) <= reach[row]]] = False
    return clear
