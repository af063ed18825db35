"""Where the counters of cut-out letters are bridged: on the stress axis, beside a stem, through a wall."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box

from canivet.audit.boundary import GRID, Paper

from .holding import Counter, counters_of

__all__ = ["ways_to_bridge"]

_ROUND = 0.93
"""Share of its hull that a letter of one bowl and nothing else fills."""

_MARK = 0.2
"""Square letter heights: the largest ring that is a mark, not a letter."""

_TALL = 2.2
"""Bridges: a counter this many times as high as a bridge is wide is held above and below."""

_TALL_BY_STEM = 4.5
"""And one beside a stem: with a bridge at either end of its stem, a small d is read as c and l."""

_FAR_ON, _AT_ITS_END = 0.8, 0.4
"""A stem runs on where it stands out by this share of its counter's height; a bridge counts less at that end,
where the letter keeps its form: a b that is open at its foot is read as an h."""

_UNLIKE = 1.9
"""Where the wall above and that below differ by more, a counter is held by the thinner alone, as an A's."""

_INWARD, _NOOK = 0.7, 1.6
"""What a bridge counts that opens inward, or into a nook, against one on the outline of the letter."""

_STRAIGHT = 0.07
"""Share of its width that the side of a counter along a stem may bend by."""

_LEANS, _SLIMMER = (-28.0, -21.0, -14.0, 14.0, 21.0, 28.0), 0.93
"""Degrees a stress axis may lean by; share of the length across counter and walls that makes it plain."""


def ways_to_bridge(part: Polygon, size: float, wide: float) -> list[list[list[Polygon]]]:
    """Return, for each counter of a letter, the ways to hold it, the best first; each a list of bridges."""
    counters = counters_of(part, size)
    white = shapely.union_all([c.area for c in counters])
    full = Polygon(part.exterior).area > _ROUND * part.convex_hull.area
    alone = full and len(counters) == 1 and part.area > _MARK * size**2
    return [_ways_to_hold(part, counter, white, wide, alone=alone) for counter in counters]


def _ways_to_hold(
    part: Polygon, counter: Counter, white: Paper, wide: float, *, alone: bool
) -> list[list[Polygon]]:
    """Return the ways to hold one counter, on one bridge or on two, as stencil letters do.

    A bridge stands on the stress axis of a round counter, where the stroke is thinnest, and beside the stem
    of one that has a stem, so that the stem stays whole. A tall counter is held above and below, if the walls
    there are alike; any other by its thinner wall, by preference one that opens inward, as the bar of an A.
    What is all bowl, as an O, is held above and below or not at all: with one bridge it would be a C.
    """
    x, y = counter.area.centroid.coords[0]
    if not counter.area.contains(counter.area.centroid):
        x, y = counter.centre
    stem = _beside_stem(counter.area, wide)
    x = x if stem is None else stem
    lean = _stress(part, (x, y), wide) if stem is None else 0.0
    above, below = (_through(part, (x, y), wide, lean, up=up) for up in (True, False))
    if alone and stem is None:
        return 3 * [[above, below]]
    worths = [_worth(bar, part, (x, y), white, wide) for bar in (above, below)]
    if stem is not None and (end := _runs_on(part, counter.area, stem)) is not None:
        worths[end] *= _AT_ITS_END
    (shorter, bar), (longer, other) = sorted(zip(worths, (above, below), strict=True), key=lambda way: way[0])
    _, low, _, high = counter.area.bounds
    tall = _TALL if stem is None else _TALL_BY_STEM
    if high - low > tall * wide and longer < _UNLIKE * shorter:
        return [[above, below], [bar], [other]]
    return [[bar], [above, below], [other]]


def _beside_stem(counter: Polygon, wide: float) -> float | None:
    """Return the middle of a bridge along the straight upright side of a counter, if it has one."""
    x0, low, x1, high = counter.bounds
    levels = low + (high - low) * np.linspace(0.14, 0.86, 9)
    rows = shapely.linestrings([[(x0 - 1, y), (x1 + 1, y)] for y in levels])
    reach = shapely.bounds(shapely.intersection(rows, counter))[:, [0, 2]]
    spread = np.ptp(reach, axis=0)
    side = int(spread.argmin())
    if spread[side] > _STRAIGHT * (x1 - x0) or spread[1 - side] < 2 * spread[side] or x1 - x0 < wide:
        return None
    edge = float(np.median(reach[:, side]))
    return edge + wide / 2 if side == 0 else edge - wide / 2


def _runs_on(part: Polygon, counter: Polygon, stem: float) -> int | None:
    """Say at which end of a counter its stem runs on, alone: 0 above it, as a b's, 1 below it, as a p's."""
    x0, low, x1, high = counter.bounds
    _, foot, _, head = part.bounds
    far = x0 + x1 - stem
    ends = [
        end
        for end, (near, edge) in enumerate(((high, head), (low, foot)))
        if abs(edge - near) > _FAR_ON * (high - low)
        and not LineString([(far, (near + edge) / 2), (far, edge)]).intersects(part)
    ]
    return ends[0] if len(ends) == 1 else None


def _stress(part: Polygon, centre: tuple[float, float], wide: float) -> float:
    """Return how far the stress axis of a letter leans, in degrees: where its walls are thinnest.

    It counts as upright unless a leaning one is plainly thinner.
    """
    best, lean = _SLIMMER, 0.0
    upright = sum(_through(part, centre, wide, 0.0, up=up).area for up in (True, False))
    for angle in _LEANS:
        walls = sum(_through(part, centre, wide, angle, up=up).area for up in (True, False))
        if walls < best * upright:
            best, lean = walls / upright, angle
    return lean


def _through(part: Polygon, centre: tuple[float, float], wide: float, lean: float, *, up: bool) -> Polygon:
    """Return a bridge from a counter through the wall above or below it, in its place."""
    x, y = centre
    turned = affinity.rotate(part, -lean, origin=centre) if lean else part
    end = turned.bounds[3] + 1 if up else turned.bounds[1] - 1
    strip = box(x - wide / 2, min(y, end), x + wide / 2, max(y, end))
    walls = [w for w in shapely.get_parts(strip.intersection(turned)) if w.area > GRID]
    walls.sort(key=lambda wall: abs(float(wall.centroid.y) - y))
    # What reaches into the counter from the side, as the bar of a Đ does, is no wall; it is cut back.
    through = next((w for w in walls if w.bounds[2] - w.bounds[0] > 0.98 * wide), walls[-1])
    low, high = min(y, through.bounds[1]), max(y, through.bounds[3])
    bar = box(x - wide / 2, low - GRID, x + wide / 2, high + GRID)
    return affinity.rotate(bar, lean, origin=centre) if lean else bar


def _worth(bar: Polygon, part: Polygon, centre: tuple[float, float], white: Paper, wide: float) -> float:
    """Return how much stroke a bridge cuts through, more where it ends in a counter, less where inward."""
    x, y = centre
    stroke = float(bar.intersection(part).area)
    _, low, _, high = bar.bounds
    far, sense = (high, 1) if high - y > y - low else (low, -1)
    if white.contains(Point(x, far + 0.1 * sense)):
        return 9 * stroke
    ahead = LineString([(x, far + 0.1 * sense), (x, far + wide * sense)])
    inward = part.convex_hull.contains(ahead.centroid)
    if inward and ahead.intersects(part):  # a nook, such as a g has below its bowl, would be torn open
        return _NOOK * stroke
    return _INWARD * stroke if inward else stroke
