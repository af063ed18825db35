"""How thick the paper is, place by place: the largest disc that touches the boundary from within.

A disc is grown at every sample of the boundary until it meets the boundary again; its centre lies on the
medial axis and its radius is the clearance there. Discs in their order along a ring follow the axis up one
side of a strap and down the other, so the stretch of ring between a disc's two touching points is all that
hangs beyond it: half that stretch is how far the disc stands from the end of its limb.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from shapely import STRtree

from canivet.audit.boundary import Boundary, Flags, Floats, Ints, cross, dot

__all__ = [
    "Discs",
    "Wanted",
    "cover_beyond",
    "inscribed_discs",
    "largest_beyond",
    "mean_beyond",
    "seen_beyond",
]

_CLOSE = 1e-6
"""mm. A disc that reaches less than this past the boundary is taken to touch it."""

_FAN = np.radians(20)
"""At a corner that points into the paper the disc may lean either way: one is grown each 20°."""

_ROUNDS = 40
"""Shrinking a disc onto the nearest boundary ends after three or four rounds; this only bounds it."""

_BATCH = 20_000
"""Discs shrunk at once; few enough to stay in the cache, and to keep memory flat."""


Wanted: TypeAlias = Callable[[Floats, Ints], Flags]
"""Says of samples, by their (n, 2) places and (n,) rings, which are wanted."""


@dataclass(frozen=True, slots=True, eq=False)
class Discs:
    """One disc for each sample, in order along each ring. Lengths in mm.

    Attributes
    ----------
    centre : (n, 2) float array
    radius : (n,) float array
        Never above the reach that was asked for: thicker paper is not measured.
    ring : (n,) int array
    place : (n,) float array
        How far along all rings laid end to end the disc touches.
    weight : (n,) float array
        The length of boundary a sample stands for.
    facing : (n,) float array
        The distance between the two touching points over the disc's diameter: 1 across a strap, √½ in a
        square corner, near 0 along a gentle bend.
    beyond : (n,) float array
        Half the stretch of ring between the two touching points (the shorter way round): how far it is to
        the end of what hangs beyond the disc. Infinite where the points lie on different rings.
    first, last : (n,) int array
        The rows of that stretch, as a half-open range; past the ring's end where it wraps.
    """

    centre: Floats
    radius: Floats
    ring: Ints
    place: Floats
    weight: Floats
    facing: Floats
    beyond: Floats
    first: Ints
    last: Ints


@dataclass(frozen=True, slots=True, eq=False)
class _Samples:
    point: Floats
    normal: Floats
    ring: Ints
    place: Floats
    weight: Floats


def inscribed_discs(
    boundary: Boundary, *, reach: float, spacing: float, wanted: Wanted | None = None
) -> Discs:
    """Return the largest disc inside the paper at each sample of its boundary, up to the radius `reach`.

    Parameters
    ----------
    boundary : Boundary
        From `canivet.audit.boundary`.
    reach : float
        mm; the largest radius looked for.
    spacing : float
        mm between samples along straight stretches.
    wanted : callable, optional
        Says which samples a disc is grown at, by their places and rings; at all if not given. Discs keep
        clear of every ring, and know of what lies beyond them only what was wanted.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.audit.boundary import boundary_of
    >>> discs = inscribed_discs(boundary_of(box(0, 0, 20, 1)), reach=3, spacing=0.5)
    >>> round(discs.radius.max().item(), 3), round(discs.beyond.max().item(), 1)
    (0.5, 10.2)
    """
    starts = _starts(boundary)
    s = _samples(boundary, starts, spacing)
    if wanted is not None:
        s = _taken(s, wanted(s.point, s.ring))
    radius, segment, foot = _grow(boundary, s, reach)
    along = np.hypot(*(foot - boundary.points[segment]).T)
    touch_place = starts[segment] + along
    beyond, first, last = _stretches(boundary, starts, s, boundary.ring[segment], touch_place)
    centre = s.point + radius[:, None] * s.normal
    apart = np.hypot(*(foot - s.point).T)
    facing = np.divide(apart, 2 * radius, out=np.ones_like(radius), where=radius > 0)
    return Discs(centre, radius, s.ring, s.place, s.weight, facing, beyond, first, last)


def _taken(s: _Samples, rows: Flags) -> _Samples:
    return _Samples(s.point[rows], s.normal[rows], s.ring[rows], s.place[rows], s.weight[rows])


def _starts(b: Boundary) -> Floats:
    """Return where each segment begins along all rings laid end to end."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*b.steps.T))])[:-1]


def _samples(b: Boundary, starts: Floats, spacing: float) -> _Samples:
    """Return points on the segments, and fans of normals at the corners that point into the paper."""
    step = b.steps
    length = np.hypot(*step.T)
    count = np.maximum(1, np.ceil(length / spacing)).astype(np.intp)
    row = np.repeat(np.arange(len(step)), count)
    share = _ranks(count) / count[row]
    arriving = b.points - b.points[b.before]
    turn = np.arctan2(cross(arriving, step), dot(arriving, step))
    fans = np.where(turn < -1e-6, np.ceil(-turn / _FAN), 0).astype(np.intp)
    corner = np.repeat(np.arange(len(step)), fans)
    angle = np.arctan2(arriving[corner, 0], -arriving[corner, 1]) + turn[corner] * _ranks(fans) / fans[corner]
    point = np.vstack([b.points[row] + share[:, None] * step[row], b.points[corner]])
    unit = step / length[:, None]
    normal = np.vstack([
        np.stack([-unit[row, 1], unit[row, 0]], axis=1), np.stack([np.cos(angle), np.sin(angle)], axis=1)
    ])  # fmt: skip
    place = np.concatenate([starts[row] + share * length[row], starts[corner]])
    weight = np.concatenate([(length / count)[row], np.zeros(len(corner))])
    tie = np.concatenate([share, _ranks(fans) - 1e6])
    ring = b.ring[np.concatenate([row, corner])]
    order = np.lexsort((tie, place, ring))
    return _Samples(point[order], normal[order], ring[order], place[order], weight[order])


def _ranks(count: Ints) -> Floats:
    """Return 0.5, 1.5, … for each run of `count`."""
    before = np.repeat(np.cumsum(count) - count, count)
    return np.asarray(np.arange(int(count.sum())) - before + 0.5, np.float64)


def _grow(b: Boundary, s: _Samples, reach: float) -> tuple[Floats, Ints, Floats]:
    """Return the radius of each disc, the segment it meets, and where."""
    tree = STRtree(b.segments())
    radius = np.full(len(s.point), float(reach))
    segment = np.zeros(len(radius), np.intp)
    foot = s.point.copy()
    for rows in np.array_split(np.arange(len(radius)), 1 + len(radius) // _BATCH):
        radius[rows], segment[rows], foot[rows] = _shrunk(b, tree, s.point[rows], s.normal[rows], reach)
    return radius, segment, foot


def _shrunk(
    b: Boundary, tree: STRtree, point: Floats, normal: Floats, reach: float
) -> tuple[Floats, Ints, Floats]:
    """Return the same for some of the samples, by their places and normals.

    A disc shrinks towards its sample, so that it only ever meets what it met before: the tree is asked once.
    """
    radius = np.full(len(point), float(reach))
    segment = np.zeros(len(radius), np.intp)
    foot = point.copy()
    middle = point + reach * normal
    # The tree looks at boxes, here given by their diagonals, and answers disc by disc.
    disc, met = tree.query(shapely.linestrings(np.stack([middle - reach, middle + reach], axis=1)))
    for _ in range(_ROUNDS):
        centre = point[disc] + radius[disc, None] * normal[disc]
        touch = _feet(b, met, centre)
        away = np.hypot(*(touch - centre).T)
        inside = np.flatnonzero(away <= radius[disc] - _CLOSE)
        if len(inside) == 0:
            break
        disc, met, touch = disc[inside], met[inside], touch[inside]
        nearest = _nearest_of_each(disc, met, away[inside])
        active, touch = disc[nearest], touch[nearest]
        to = touch - point[active]
        toward = dot(to, normal[active])
        with np.errstate(divide="ignore", invalid="ignore"):
            shrunk = np.where(toward > 0, dot(to, to) / (2 * toward), 0.0)
        radius[active] = np.minimum(radius[active], shrunk)
        segment[active], foot[active] = met[nearest], touch
    return radius, segment, foot


def _nearest_of_each(disc: Ints, segment: Ints, away: Floats) -> Ints:
    """Return the row of the segment nearest to each disc; of several as near, of the first on its ring."""
    first = np.flatnonzero(np.diff(disc, prepend=-1))
    which = np.repeat(np.arange(len(first)), np.diff(np.append(first, len(disc))))
    as_near = np.flatnonzero(away == np.minimum.reduceat(away, first)[which])
    least = np.full(len(first), int(segment.max()) + 1)
    np.minimum.at(least, which[as_near], segment[as_near])
    nearest: Ints = as_near[segment[as_near] == least[which[as_near]]]
    return nearest


def _feet(b: Boundary, segment: Ints, point: Floats) -> Floats:
    start, step = b.points[segment], b.steps[segment]
    along = np.clip(dot(point - start, step) / dot(step, step), 0, 1)
    return np.asarray(start + along[:, None] * step)


def _stretches(
    b: Boundary, starts: Floats, s: _Samples, ring: Ints, touch: Floats
) -> tuple[Floats, Ints, Ints]:
    """Return half the shorter way round between both touching points, and the rows it covers."""
    low = starts[b.first[:-1]]
    total = np.diff(np.append(low, starts[-1] + np.hypot(*b.steps[-1])))[s.ring]
    same = ring == s.ring
    forth = np.where(same, np.mod(touch - s.place, total), 0.0)
    ahead = forth <= total / 2
    beyond = np.where(same, np.minimum(forth, total - forth) / 2, np.inf)
    other = np.searchsorted(s.place, touch)
    ring_first = np.searchsorted(s.ring, s.ring)
    ring_size = np.searchsorted(s.ring, s.ring, side="right") - ring_first
    row = np.arange(len(touch))
    first = np.where(ahead, row, other)
    last = np.where(ahead, other, row)
    last = np.where(last < first, last + ring_size, last)
    first, last = np.where(same, first, row), np.where(same, last, row)
    return beyond, first, last


def largest_beyond(discs: Discs, value: Floats) -> Floats:
    """Return the greatest `value` over the stretch beyond each disc, itself left out; 0 for none."""
    doubled, first, last = _unwrapped(discs, value)
    table = [doubled]
    span = 1
    while span * 2 <= len(doubled):
        table.append(np.maximum(table[-1][:-span], table[-1][span:]))
        span *= 2
    length = last - first
    level = np.where(length > 0, np.log2(np.maximum(length, 1)).astype(np.intp), -1)
    result = np.zeros(len(value))
    for k, row in enumerate(table):
        here = np.flatnonzero(level == k)
        result[here] = np.maximum(row[first[here]], row[last[here] - (1 << k)])
    return result


def mean_beyond(discs: Discs, value: Floats) -> Floats:
    """Return the mean of `value` over the stretch beyond each disc, by length; 0 for none."""
    weight = _sum_beyond(discs, discs.weight)
    with np.errstate(divide="ignore", invalid="ignore"):
        result: Floats = np.where(weight > 0, _sum_beyond(discs, value * discs.weight) / weight, 0.0)
    return result


def seen_beyond(discs: Discs) -> Flags:
    """Say of which discs all that lies beyond was sampled, as everything is unless only some was wanted."""
    length = np.where(np.isinf(discs.beyond), 0.0, 2 * discs.beyond)
    # At either end of a stretch half a sample may be cut off.
    seen: Flags = _sum_beyond(discs, discs.weight) >= length - 2 * discs.weight.max(initial=0.0)
    return seen


def _sum_beyond(discs: Discs, value: Floats) -> Floats:
    doubled, first, last = _unwrapped(discs, value)
    sums = np.concatenate([[0.0], np.cumsum(doubled)])
    return np.asarray(sums[last] - sums[first])


def cover_beyond(discs: Discs, chosen: Flags) -> Flags:
    """Say which discs lie on the stretch beyond a chosen one."""
    _, first, last = _unwrapped(discs, discs.radius)
    edges = np.zeros(int(last.max(initial=0)) + 2 + 2 * len(discs.radius))
    np.add.at(edges, first[chosen], 1)
    np.add.at(edges, last[chosen], -1)
    covered = np.cumsum(edges) > 0
    home, size = _homes(discs)
    row = np.arange(len(discs.radius))
    result: Flags = covered[home + (row - home // 2)] | covered[home + (row - home // 2) + size]
    return result


def _homes(discs: Discs) -> tuple[Ints, Ints]:
    """Return, row by row, where its ring starts once every ring is written twice, and the ring's size."""
    ring_first = np.searchsorted(discs.ring, discs.ring)
    size = np.searchsorted(discs.ring, discs.ring, side="right") - ring_first
    return 2 * ring_first, size


def _unwrapped(discs: Discs, value: Floats) -> tuple[Floats, Ints, Ints]:
    """Write every ring's values twice over, so that a stretch past its end is one range."""
    home, size = _homes(discs)
    row = np.arange(len(value))
    within = row - home // 2
    doubled = np.empty(2 * len(value))
    doubled[home + within] = value
    doubled[home + within + size] = value
    shift = home - home // 2
    return doubled, discs.first + shift, discs.last + shift
