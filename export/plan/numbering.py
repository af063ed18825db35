"""Where the numbers of a cutting page stand: in the waste where they fit, else led to blank paper.

Lengths are mm on the page, y down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = ["LEAST", "USUAL", "Number", "place_numbers"]

USUAL = 3.2
"""Type size. Its figures are 2.1 mm high: 0.2° at 60 cm, the least that reads easily at arm's length (Legge &
Bigelow, J. Vision 2011, who give it for the x-height of words)."""

LEAST = 2.5
"""Type size of numbers squeezed into a small opening; read by bending over them."""

FIGURE = 0.66
"""Height of a figure over the type size."""

_WIDE = 0.55
_AIR = 0.35
"""Kept free round a number."""

_BLANK = 3.0
"""A waste takes other openings' numbers from an inscribed radius of so many type sizes."""

_AWAY = (2.2, 4.5, 7.0, 10.0, 13.5, 18.0)
"""How far from its opening a number may stand."""

_ANGLES = np.radians(np.arange(0, 360, 15))

Shapes = NDArray[np.object_]


@dataclass(frozen=True, slots=True)
class Number:
    """A number, the middle of where it stands, its type size, and the line that leads from its opening."""

    text: str
    x: float
    y: float
    size: float
    leader: tuple[tuple[float, float], tuple[float, float]] | None = None

    @property
    def room(self) -> Polygon:
        """Return the rectangle it takes."""
        wide, high = _half(self.text, self.size)
        return shapely.box(self.x - wide, self.y - high, self.x + wide, self.y + high)


def place_numbers(
    wastes: Sequence[Polygon],
    at: NDArray[np.float64],
    texts: Sequence[str],
    *,
    around: Polygon,
    outline: Polygon,
) -> list[Number | None]:
    """Return where each opening's number stands; None for one that finds no place.

    Parameters
    ----------
    wastes : sequence of Polygon
        The openings.
    at : (n, 2) float array
        The middle of the largest disc in each.
    texts : sequence of str
        Their numbers.
    around : Polygon
        What may be written on, the piece included.
    outline : Polygon
        The piece, its openings filled.

    Returns
    -------
    list of Number or None
        In the order given.

    Examples
    --------
    >>> large, slit = shapely.box(5, 5, 25, 25), shapely.box(27, 5, 28, 25)
    >>> found = place_numbers([large, slit], np.array([(15, 15), (27.5, 15)]), ["1", "2"],
    ...                       around=shapely.box(-9, -9, 49, 39), outline=shapely.box(0, 0, 40, 30))
    >>> [number.leader is None for number in found]
    [True, False]
    """
    placed: list[Number | None] = [
        _inside(waste, x, y, text) for waste, (x, y), text in zip(wastes, at, texts, strict=True)
    ]
    rooms = [number.room for number in placed if number]
    blank = _blank(wastes, around, outline)
    shapely.prepare(blank)
    lines: list[LineString] = []
    left = [k for k, number in enumerate(placed) if number is None]
    for k in sorted(left, key=lambda k: shapely.distance(outline.exterior, shapely.points(at[k]))):
        number = _led(at[k], texts[k], blank, rooms, lines)
        if number is not None and number.leader is not None:
            placed[k] = number
            rooms.append(number.room)
            lines.append(LineString(number.leader))
    return placed


def _half(text: str, size: float) -> tuple[float, float]:
    return _WIDE * size * len(text) / 2 + _AIR, FIGURE * size / 2 + _AIR


def _inside(waste: Polygon, x: float, y: float, text: str) -> Number | None:
    """Set a number in its own waste, as large as fits between the two sizes."""
    shapely.prepare(waste)
    for size in (USUAL, (USUAL + LEAST) / 2, LEAST):
        number = Number(text, float(x), float(y), size)
        if shapely.contains_properly(waste, number.room):
            return number
    return None


def _blank(wastes: Sequence[Polygon], around: Polygon, outline: Polygon) -> BaseGeometry:
    """Return where other openings' numbers may stand: round the piece, and in large wastes."""
    solid = np.asarray(wastes, dtype=object)
    inner = shapely.buffer(solid, -_BLANK * USUAL)
    large = solid[~shapely.is_empty(inner)]
    blank: BaseGeometry = shapely.union_all([around.difference(outline.buffer(0.6)), *large])
    return blank


def _led(
    at: NDArray[np.float64], text: str, blank: BaseGeometry, rooms: list[Polygon], lines: list[LineString]
) -> Number | None:
    """Find the nearest blank place that a straight line reaches without crossing another number or line."""
    wide, high = _half(text, LEAST)
    away, angle = (grid.ravel() for grid in np.meshgrid(_AWAY, _ANGLES, indexing="ij"))
    # from the opening to the near side of the number, whichever way it lies
    out = away + np.minimum(
        wide / np.maximum(np.abs(np.cos(angle)), 1e-9), high / np.maximum(np.abs(np.sin(angle)), 1e-9)
    )
    x, y = at[0] + out * np.cos(angle), at[1] + out * np.sin(angle)
    boxes: Shapes = shapely.box(x - wide, y - high, x + wide, y + high)
    ends = np.column_stack([at[0] + away * np.cos(angle), at[1] + away * np.sin(angle)])
    leaders: Shapes = shapely.linestrings(np.stack([np.broadcast_to(at, ends.shape), ends], axis=1))
    free = shapely.contains_properly(blank, boxes)
    for others, mine in ((rooms, boxes), (lines, boxes), (rooms, leaders), (lines, leaders)):
        if others and free.any():
            free[free] &= ~_meets(mine[free], others)
    if not free.any():
        return None
    k = int(np.argmax(free))  # the nearest: distances run slowest
    return Number(text, float(x[k]), float(y[k]), LEAST, (_pair(at), _pair(ends[k])))


def _meets(mine: Shapes, others: Sequence[BaseGeometry]) -> NDArray[np.bool_]:
    """Say which of mine meet any of the others."""
    met = np.zeros(len(mine), bool)
    met[shapely.STRtree(np.asarray(others, dtype=object)).query(mine, predicate="intersects")[0]] = True
    return met


def _pair(point: NDArray[np.float64]) -> tuple[float, float]:
    return float(point[0]), float(point[1])
