"""Numbers of rings: down the margins beside their places, or near each where there is no room for that.

Lengths are mm, y down, in any one frame.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon

from canivet.export.page.marks import CAP
from canivet.export.page.words import width_of

__all__ = ["NUMBER", "Callout", "place_in_margins", "place_numbers"]

NUMBER = 3.4
"""Type size in mm of the numbers."""

_PAD = 0.45
_CLEAR = 0.35
"""Least room between a number and any ring or line."""
_BETWEEN = 1.4
"""Least room between numbers: 2 beside 5 is not to be read as 25."""

_ANGLES = np.radians(np.arange(0, 360, 15) - 45)
_AWAY = (0.4, 1.6, 3.0, 4.5, 6.5, 9.0, 12.0, 16.0, 21.0, 28.0, 37.0, 50.0)
"""mm from ring to number, the nearest first; beyond the second a line leads there."""
_LED_FROM = 1.0
_ON_PAPER = 9.0
"""mm further that a number may go to stand on blank paper rather than on the drawing."""

Shapes = NDArray[np.object_]
Floats = NDArray[np.float64]
Slot = TypeVar("Slot")


@dataclass(frozen=True, slots=True)
class Callout:
    """A number's text, the middle and size of the room it takes, and the line that leads to it, if any."""

    text: str
    x: float
    y: float
    width: float
    height: float
    leader: tuple[tuple[float, float], tuple[float, float]] | None

    def moved(self, dx: float, dy: float) -> Callout:
        """Return the same number elsewhere on the page."""
        line = self.leader
        if line is not None:
            line = (line[0][0] + dx, line[0][1] + dy), (line[1][0] + dx, line[1][1] + dy)
        return replace(self, x=self.x + dx, y=self.y + dy, leader=line)

    @property
    def room(self) -> Polygon:
        """Return the rectangle it stands in."""
        wide, high = self.width / 2, self.height / 2
        return shapely.box(self.x - wide, self.y - high, self.x + wide, self.y + high)

    @property
    def line(self) -> LineString:
        """Return the line that leads to it; empty where there is none."""
        return LineString(self.leader or [])


def place_in_margins(rings: Sequence[Polygon], area: Polygon) -> list[Callout] | None:
    """Number the rings 1, 2, … down both margins, each beside its own; None where they find no room there.

    Parameters
    ----------
    rings : sequence of Polygon
        What each ring takes up, convex.
    area : Polygon
        An oblong, at whose left and right edges the numbers stand.

    Examples
    --------
    >>> rings = [shapely.Point(x, 10).buffer(3) for x in (12, 40)]
    >>> one, two = place_in_margins(rings, shapely.box(0, 0, 60, 20))
    >>> one.x < 12, two.x > 40, round(one.y, 6)
    (True, True, 10.0)
    """
    x0, y0, x1, y1 = area.bounds
    middles = np.array([ring.centroid.coords[0] for ring in rings]).reshape(-1, 2)
    on_left = _nearer_or_clearer(rings, middles, x0, x1)
    deep = max((_size_of(number)[0] for number in range(1, len(rings) + 1)), default=0.0)
    height = np.empty(len(rings))
    for rows in (np.flatnonzero(on_left), np.flatnonzero(~on_left)):
        rows = rows[np.argsort(middles[rows, 1], kind="stable")]
        heights = _apart(middles[rows, 1], y0, y1)
        if heights is None:
            return None
        height[rows] = heights
    slots = list(zip(height.tolist(), on_left.tolist(), strict=True))
    placed = _uncrossed(
        lambda k, slot: _in_margin(k + 1, rings[k], x0 if slot[1] else x1, slot[0], left=slot[1], deep=deep),
        slots,
    )
    taken = shapely.union_all(list(rings))
    return None if any(shapely.dwithin(one.room, taken, _CLEAR) for one in placed) else placed


def _nearer_or_clearer(
    rings: Sequence[Polygon], middles: Floats, left: float, right: float
) -> NDArray[np.bool_]:
    """Tell which rings are numbered on the left: the nearer side, unless fewer rings lie
    on the way to the other."""
    solid = np.array(rings, dtype=object)
    met = []
    for edge in (left, right):
        ends = np.stack([np.full(len(rings), edge), middles[:, 1]], axis=1)
        ways = shapely.linestrings(np.stack([middles, ends], axis=1))
        met.append(shapely.intersects(ways[:, None], solid[None, :]).sum(axis=1))
    nearer: NDArray[np.bool_] = middles[:, 0] <= (left + right) / 2
    return np.where(met[0] == met[1], nearer, met[0] < met[1])


def _apart(wanted: Floats, low: float, high: float) -> list[float] | None:
    """Move heights as little as keeps numbers apart: down where they crowd, and up again from the foot."""
    step = CAP * NUMBER + 2 * _PAD + _BETWEEN
    half = step / 2
    if len(wanted) * step > high - low:
        return None
    heights = [float(height) for height in wanted]
    for k, _ in enumerate(heights):
        heights[k] = max(heights[k], low + half if k == 0 else heights[k - 1] + step)
    for k in reversed(range(len(heights))):
        heights[k] = min(heights[k], high - half if k == len(heights) - 1 else heights[k + 1] - step)
    return heights


def _in_margin(number: int, ring: Polygon, edge: float, y: float, *, left: bool, deep: float) -> Callout:
    """Return a number in a margin so deep, set against its inner edge."""
    width, height = _size_of(number)
    inner = (edge + deep, y) if left else (edge - deep, y)
    x = inner[0] - width / 2 if left else inner[0] + width / 2
    way = LineString([inner, ring.centroid.coords[0]]).difference(ring)
    return Callout(str(number), x, y, width, height, None if way.is_empty else _ends(way))


def place_numbers(
    rings: Sequence[Polygon], paper: Polygon | MultiPolygon, area: Polygon
) -> list[Callout] | None:
    """Number the rings 1, 2, … and find each number a place; None where `area` has no room for them all.

    Parameters
    ----------
    rings : sequence of Polygon
        What each ring takes up, convex.
    paper : Polygon or MultiPolygon
        What a number had better not stand on.
    area : Polygon
        Where numbers may stand.

    Examples
    --------
    >>> ring = shapely.Point(10, 10).buffer(3)
    >>> [callout] = place_numbers([ring], shapely.box(9, 0, 11, 20), shapely.box(0, 0, 30, 20))
    >>> callout.text, callout.room.intersects(ring), callout.leader
    ('1', False, None)
    """
    shapely.prepare(paper)
    placed: list[Callout] = []
    for number in range(1, len(rings) + 1):
        callout = _beside(number, rings, placed, paper, area) or _anywhere(number, rings, placed, area)
        if callout is None:
            return None
        placed.append(callout)
    return _uncrossed(lambda k, at: _led_to(placed[k], rings[k], at), [(one.x, one.y) for one in placed])


def _uncrossed(draw: Callable[[int, Slot], Callout], slots: Sequence[Slot]) -> list[Callout]:
    """Exchange the places of numbers of one length whose lines cross, until no such two do.

    Each exchange makes the lines shorter, as opposite sides of a quadrilateral are shorter than its
    diagonals: so it ends, but for numbers that differ a little in width, and there it is given up.
    """
    held = list(slots)
    drawn = [draw(k, slot) for k, slot in enumerate(held)]
    for _ in range(len(held) ** 2):
        lines = np.array([one.line for one in drawn], dtype=object)
        for i, j in shapely.STRtree(lines).query(lines, predicate="crosses").T.tolist():
            one, other = draw(i, held[j]), draw(j, held[i])
            if len(one.text) == len(other.text) and not one.line.crosses(other.line):
                held[i], held[j] = held[j], held[i]
                drawn[i], drawn[j] = one, other
                break
        else:
            break
    return drawn


def _beside(
    number: int,
    rings: Sequence[Polygon],
    placed: Sequence[Callout],
    paper: Polygon | MultiPolygon,
    area: Polygon,
) -> Callout | None:
    """Try places all round the ring, near and far; take the nearest clear one, counting paper as far."""
    ring, (width, height) = rings[number - 1], _size_of(number)
    middle = shapely.get_coordinates(ring.centroid)[0]
    directions = np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)])
    way, away = np.tile(directions, (len(_AWAY), 1)), np.repeat(_AWAY, len(_ANGLES))
    edge = np.tile(_reach(ring, middle, directions), len(_AWAY))[:, None]
    half = (np.abs(way) @ np.array([width, height]) / 2)[:, None]
    centres = middle + way * (edge + away[:, None] + half)
    ways = shapely.linestrings(np.stack([middle + way * edge, middle + way * (edge + away[:, None])], axis=1))
    others = [other for k, other in enumerate(rings) if k != number - 1]
    free = _free(centres, width, height, rings, placed, area)
    free &= (away <= _LED_FROM) | ~_crosses(ways, others, placed)
    rows = np.flatnonzero(free)
    if len(rows) == 0:
        return None
    cost = away[rows] + _ON_PAPER * _share_on(paper, centres[rows], width, height)
    best = rows[int(cost.argmin())]
    line = None if away[best] <= _LED_FROM else _ends(ways[best])
    return Callout(str(number), float(centres[best, 0]), float(centres[best, 1]), width, height, line)


def _anywhere(
    number: int, rings: Sequence[Polygon], placed: Sequence[Callout], area: Polygon
) -> Callout | None:
    """Take the nearest clear place of all, though the line to it may cross others."""
    ring, (width, height) = rings[number - 1], _size_of(number)
    x0, y0, x1, y1 = area.bounds
    x, y = np.meshgrid(
        np.arange(x0 + width / 2, x1 - width / 2, 1.5), np.arange(y0 + height / 2, y1 - height / 2, 1.5)
    )
    centres = np.column_stack([x.ravel(), y.ravel()])
    centres = centres[_free(centres, width, height, rings, placed, area)]
    if len(centres) == 0:
        return None
    near = centres[int(shapely.distance(shapely.points(centres), ring.centroid).argmin())]
    blank = Callout(str(number), math.nan, math.nan, width, height, None)
    return _led_to(blank, ring, (float(near[0]), float(near[1])))


def _led_to(callout: Callout, ring: Polygon, at: tuple[float, float]) -> Callout:
    """Return a number at a place; where that is not its own, with the line from the ring that leads to it."""
    if at == (callout.x, callout.y):
        return callout
    there = replace(callout, x=at[0], y=at[1], leader=None)
    way = LineString([ring.centroid.coords[0], at]).difference(shapely.union(ring, there.room))
    return there if way.is_empty else replace(there, leader=_ends(way))


def _size_of(number: int) -> tuple[float, float]:
    return width_of(str(number), NUMBER, bold=True) + 2 * _PAD, CAP * NUMBER + 2 * _PAD


def _reach(ring: Polygon, middle: Floats, directions: Floats) -> Floats:
    """Return how far a ring goes from its middle in each direction."""
    ends = np.stack([np.broadcast_to(middle, directions.shape), middle + 1e4 * directions], axis=1)
    rays = shapely.linestrings(ends)
    reach: Floats = shapely.length(shapely.intersection(rays, ring))
    return reach


def _free(
    centres: Floats,
    width: float,
    height: float,
    rings: Sequence[Polygon],
    placed: Sequence[Callout],
    area: Polygon,
) -> NDArray[np.bool_]:
    """Say where a number is inside the area and clear of every ring, number and line so far."""
    x, y = centres.T
    rooms = shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    taken = shapely.union_all([*rings, *(callout.line for callout in placed)])
    numbers = shapely.union_all([callout.room for callout in placed])
    clear: NDArray[np.bool_] = shapely.contains(area, rooms) & ~shapely.dwithin(rooms, taken, _CLEAR)
    clear &= ~shapely.dwithin(rooms, numbers, _BETWEEN)
    return clear


def _crosses(ways: Shapes, others: Sequence[Polygon], placed: Sequence[Callout]) -> NDArray[np.bool_]:
    drawn = [shape for callout in placed for shape in (callout.room, callout.line)]
    taken = shapely.union_all([*others, *drawn])
    crossing: NDArray[np.bool_] = shapely.dwithin(ways, taken, _CLEAR)
    return crossing


def _share_on(paper: Polygon | MultiPolygon, centres: Floats, width: float, height: float) -> Floats:
    """Return how much of each number's room lies on paper, from nine points of it."""
    step = np.array([-0.45, 0.0, 0.45])
    x = centres[:, 0, None, None] + width * step[None, :, None] + np.zeros((1, 1, 3))
    y = centres[:, 1, None, None] + height * step[None, None, :] + np.zeros((1, 3, 1))
    share: Floats = shapely.contains_xy(paper, x, y).mean(axis=(1, 2))
    return share


def _ends(line: LineString) -> tuple[tuple[float, float], tuple[float, float]]:
    points = shapely.get_coordinates(line)
    return (float(points[0, 0]), float(points[0, 1])), (float(points[-1, 0]), float(points[-1, 1]))
