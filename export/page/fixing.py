"""Where a template is fixed over the sheet that is cut: in the waste, so that the piece bears no mark."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import Polygon

from .marks import Block, Mark, Point
from .view import PieceView

__all__ = ["REACH", "fixing_places"]

REACH = 2.6
"""mm round a place that must be waste: room for a staple or a dot of glue."""

_RADIUS = 1.6
_OUT = 4.2
"""mm from the corner of the piece's bounds to a place outside it, along each side."""
_OPENINGS = 4
_TRIED = 24


def fixing_places(view: PieceView, window: tuple[float, float, float, float]) -> Block:
    """Crosses in rings at places to fix a template by: outside the outline, and in the roomiest openings.

    Parameters
    ----------
    view : PieceView
        The piece as it lies on the page.
    window : (float, float, float, float)
        Left, top, right and bottom of what head, foot and margins leave of the page.

    Examples
    --------
    >>> from shapely import box
    >>> piece = box(0, 0, 60, 40) - box(10, 10, 50, 30)
    >>> len(fixing_places(PieceView(piece, False, left=20, top=20), (8, 8, 92, 72)).marks)
    5
    """
    laid = view.lay(view.paper)
    places = [*_outside(laid, window), *_in_openings(laid)]
    marks = tuple(Mark("fix", _ringed_cross(x, y), width=0.25) for x, y in places)
    return Block(0.0, 0.0, marks=marks)


def _outside(laid: Polygon, window: tuple[float, float, float, float]) -> list[Point]:
    """One place by each corner: inside the bounds where the outline leaves it free, else beside or above."""
    outline, room = Polygon(laid.exterior), shapely.box(*window)
    x0, y0, x1, y1 = laid.bounds
    found = []
    for x, out_x in ((x0, -1), (x1, 1)):
        for y, out_y in ((y0, -1), (y1, 1)):
            tried = [
                (x - out_x * _OUT, y - out_y * _OUT),  # inside the bounds
                (x + out_x * _OUT, y - out_y * _OUT), (x - out_x * _OUT, y + out_y * _OUT),
            ]  # fmt: skip
            clear = (at for at in tried if _is_clear(at, outline, room))
            found += [at for at in [next(clear, None)] if at is not None]
    return found


def _is_clear(at: Point, outline: Polygon, room: Polygon) -> bool:
    place = shapely.Point(at)
    return bool(outline.distance(place) >= REACH and room.contains(place.buffer(REACH)))


def _in_openings(laid: Polygon) -> list[Point]:
    """The middles of the roomiest openings, spread over the piece."""
    openings = shapely.polygons(shapely.get_rings(laid)[1:])
    largest = openings[np.argsort(-shapely.area(openings), kind="stable")[:_TRIED]]
    places: list[Point] = []
    for opening in largest:
        circle = shapely.maximum_inscribed_circle(opening, tolerance=0.2)
        if circle.length >= REACH:
            places.append((float(circle.coords[0][0]), float(circle.coords[0][1])))
    chosen: list[Point] = places[:1]
    while len(chosen) < min(_OPENINGS, len(places)):
        far = [min(np.hypot(x - a, y - b) for a, b in chosen) for x, y in places]
        chosen.append(places[int(np.argmax(far))])
    return chosen


def _ringed_cross(x: float, y: float) -> tuple[tuple[Point, ...], ...]:
    turns = np.linspace(0, 2 * np.pi, 33)
    ring = tuple((x + _RADIUS * float(np.cos(t)), y + _RADIUS * float(np.sin(t))) for t in turns[:-1])
    arm = 1.45 * _RADIUS
    return (*ring, ring[0]), ((x - arm, y), (x + arm, y)), ((x, y - arm), (x, y + arm))
