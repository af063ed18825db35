"""Where the strands of an interlaced band cross, and which of them goes over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, Point
from shapely.ops import substring

__all__ = ["Crossing", "crossings_of"]

_ENDS = 0.1
"""mm; crossings nearer to the ends of a line than this are left out, for it has no direction there."""

_SAME = 0.01
"""mm; nearer than this it is one crossing: lines that cross in a vertex of both are found to do so twice."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """A place where one line goes over another.

    Attributes
    ----------
    over, under : int
        Which lines.
    at : Point
        Where.
    clear : float
        How far it is to the nearest other crossing, mm.
    arms : tuple of LineString
        The line that goes under, from there back to its crossing before and on to its next.
    """

    over: int
    under: int
    at: Point
    clear: float
    arms: tuple[LineString, LineString]


def crossings_of(lines: Sequence[LineString]) -> list[Crossing]:
    """Find the crossings of lines, over and under taking turns along each.

    Parameters
    ----------
    lines : sequence of LineString
        Strands side by side, running the same way; the first crossings lie on a level stretch.

    Returns
    -------
    list of Crossing
        In the lowest row at the beginning the rising line goes over.

    Examples
    --------
    >>> zigzag = LineString([(0, 0), (2, 2), (4, 0), (6, 2)])
    >>> [c.over for c in crossings_of([zigzag, LineString([(0, 1), (6, 1)])])]
    [0, 1, 0]
    """
    met = [
        (i, j, point)
        for i, j in combinations(range(len(lines)), 2)
        for point in shapely.centroid(shapely.get_parts(lines[i].intersection(lines[j]).buffer(_SAME)))
        if point.distance(shapely.union_all([lines[i].boundary, lines[j].boundary])) > _ENDS
    ]
    order = [
        sorted((n for n, (i, j, _) in enumerate(met) if k in (i, j)), key=lambda n: line.project(met[n][2]))
        for k, line in enumerate(lines)
    ]
    over = _taking_turns(lines, met, order)
    points = np.array([point for _, _, point in met])
    clear = (shapely.distance(points[:, None], points) + 1e9 * np.eye(len(points))).min(axis=1)
    found = []
    for number, (i, j, point) in enumerate(met):
        under = i + j - over[number]
        arms = _arms(lines[under], points[order[under]], order[under].index(number))
        found.append(Crossing(over[number], under, point, float(clear[number]), arms))
    return found


def _arms(line: LineString, points: npt.NDArray[np.object_], here: int) -> tuple[LineString, LineString]:
    """Return the stretches of a line between one of its crossings and the two beside it."""
    at = [0.0, *(line.project(point) for point in points), line.length]
    return substring(line, at[here], at[here + 1]), substring(line, at[here + 1], at[here + 2])


def _taking_turns(
    lines: Sequence[LineString], met: list[tuple[int, int, Point]], order: list[list[int]]
) -> dict[int, int]:
    """Say of each crossing which line goes over, going from crossing to crossing along the lines."""
    early = sorted(range(len(met)), key=lambda n: met[n][2].x)[: 2 * len(lines)]
    first = min(early, key=lambda n: met[n][2].y)
    i, j, point = met[first]
    over = {first: i if _climb(lines[i], point) > _climb(lines[j], point) else j}
    reached = [first]
    while reached:
        number = reached.pop()
        for k in met[number][:2]:
            here = order[k].index(number)
            for beside in order[k][max(0, here - 1) : here + 2]:
                if beside not in over:
                    other = sum(met[beside][:2]) - k
                    over[beside] = other if over[number] == k else k
                    reached.append(beside)
    return over


def _climb(line: LineString, point: Point) -> float:
    """Return how steeply a line rises where it passes a point, radians."""
    at = line.project(point)
    a, b = (line.interpolate(at + step) for step in (-_ENDS / 2, _ENDS / 2))
    return math.atan2(b.y - a.y, b.x - a.x)
