"""Rounds: discs, where they stand about a centre, the largest one inside a shape, corners rounded by one."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags, Floats

from .openings import Points, Shapes

__all__ = [
    "about",
    "closed",
    "disc",
    "fits",
    "fitting",
    "foil_ratio",
    "foiled",
    "inscribed_about",
    "inscribed_radius",
    "largest_part",
    "largest_parts",
    "opened",
    "parts_fitting",
    "softened",
]


def disc(x: float, y: float, radius: float, *, sides: int) -> Polygon:
    """Return a disc about a point, with so many sides to its quarter; empty where it has no radius.

    Examples
    --------
    >>> disc(0, 0, 1, sides=1).area
    2.0
    """
    return Point(x, y).buffer(radius, quad_segs=sides) if radius > 0 else Polygon()


def about(x: float, y: float, radius: float, count: int, *, turn: float) -> Points:
    """Return so many places at equal turns round a centre.

    Parameters
    ----------
    x, y, radius : float
        Of the circle they lie on, mm.
    count : int
        How many.
    turn : float
        Radians, anticlockwise from the right, at which the first lies.

    Returns
    -------
    ndarray
        Shape (count, 2), mm.

    Examples
    --------
    >>> about(5, 5, 2, 4, turn=0).round(9).tolist()
    [[7.0, 5.0], [5.0, 7.0], [3.0, 5.0], [5.0, 3.0]]
    """
    turns = turn + 2 * np.pi * np.arange(count) / count
    return np.array([x, y]) + radius * np.column_stack([np.cos(turns), np.sin(turns)])


def foil_ratio(lobes: int, *, cusp: float = 1.0) -> float:
    """Return the radius of each of so many equal circles in a ring that touch a circle of radius 1 inside.

    Parameters
    ----------
    lobes : int
        How many.
    cusp : float
        How far the middles of two neighbours lie apart, in diameters: at 1, the default, they touch; below,
        they overlap.

    Examples
    --------
    >>> round(foil_ratio(4), 5)
    0.41421
    """
    sine = math.sin(math.pi / lobes)
    return sine / (cusp + sine)


def foiled(x: float, y: float, radius: float, lobes: int, *, cusp: float = 1.0) -> BaseGeometry:
    """Return so many equal discs in a ring, and what lies between them, that touch a circle inside.

    Parameters
    ----------
    x, y, radius : float
        Of the circle, mm.
    lobes, cusp
        As for `foil_ratio`; one lobe points up.

    Examples
    --------
    >>> [round(side, 6) for side in foiled(0, 0, 2, 4).bounds]
    [-2.0, -2.0, 2.0, 2.0]
    """
    lobe = foil_ratio(lobes, cusp=cusp) * radius
    out = radius - lobe
    middles = about(x, y, out, lobes, turn=math.pi / 2)
    discs = [disc(across, up, lobe, sides=32) for across, up in middles]
    return shapely.union_all([*discs, disc(x, y, out * math.cos(math.pi / lobes), sides=32)])


def inscribed_radius(shape: BaseGeometry, *, tolerance: float = 0.002) -> float:
    """Return the radius in mm of the largest circle inside a shape; 0 for an empty one.

    Examples
    --------
    >>> round(inscribed_radius(shapely.box(0, 0, 9, 4)), 2)
    2.0
    """
    if shape.is_empty:
        return 0.0
    return float(shapely.maximum_inscribed_circle(shape, tolerance=tolerance).length)


def fits(shape: BaseGeometry, radius: float, *, sides: int = 8) -> bool:
    """Say whether a circle of that radius fits inside a shape."""
    return bool(fitting(np.array([shape], dtype=object), radius, sides=sides)[0])


def fitting(shapes: Shapes, radius: float | Floats, *, sides: int = 8) -> Flags:
    """Say of each shape whether a circle of that radius, one for all or one for each, fits inside it.

    Examples
    --------
    >>> fitting(np.array([shapely.box(0, 0, 9, 4), shapely.box(0, 0, 9, 1)]), 1.5).tolist()
    [True, False]
    """
    has_room: Flags = ~shapely.is_empty(shapely.buffer(shapes, -radius, quad_segs=sides))
    return has_room


def inscribed_about(shape: BaseGeometry) -> float:
    """Return about the radius of the largest circle inside a shape, in mm; never more than it is.

    By halving, to a hundredth of the shape's size: an exact search takes far longer in a long ribbon, where
    nearly the same circle fits all along.
    """
    least, most = 0.0, math.sqrt(shape.area / math.pi)
    for _ in range(7):
        middle = (least + most) / 2
        least, most = (middle, most) if fits(shape, middle) else (least, middle)
    return least


def opened(shape: BaseGeometry, radius: float, *, sides: int, back: float = 0.999) -> BaseGeometry:
    """Return what a disc of that radius reaches inside a shape: its corners rounded, its narrows gone.

    Parameters
    ----------
    shape : geometry
        An opening, mm.
    radius : float
        Of the disc.
    sides : int
        To a quarter of it.
    back : float
        How much of the radius it is grown back by: a little less than all keeps it inside.

    Examples
    --------
    >>> rounded = opened(shapely.box(0, 0, 4, 4), 1, sides=16)
    >>> shapely.box(0, 0, 4, 4).covers(rounded), round(16 - rounded.area, 1)
    (True, 0.9)
    """
    rounded: BaseGeometry = shape.buffer(-radius, quad_segs=sides).buffer(radius * back, quad_segs=sides)
    return rounded


def closed(shape: BaseGeometry, radius: float, *, sides: int) -> BaseGeometry:
    """Return a shape with all filled that a disc of that radius does not reach from outside: inward corners.

    Examples
    --------
    >>> hooked = shapely.box(0, 0, 4, 4).difference(shapely.box(2, 2, 5, 5))
    >>> round(closed(hooked, 1, sides=48).area - hooked.area, 2) == round(1 - math.pi / 4, 2)
    True
    """
    filled: BaseGeometry = shape.buffer(radius, quad_segs=sides).buffer(-radius, quad_segs=sides)
    return filled


def softened(shape: BaseGeometry, share: float, *, sides: int) -> Polygon:
    """Round an opening's corners from inside, by a share of its inscribed circle, and keep its largest part.

    Examples
    --------
    >>> round(16 - softened(shapely.box(0, 0, 4, 4), 0.5, sides=48).area, 1) == round(4 - math.pi, 1)
    True
    """
    radius = inscribed_radius(shape) * share
    return largest_part(opened(shape, radius, sides=sides) if radius > 0 else shape)


def largest_part(shape: BaseGeometry) -> Polygon:
    """Return the largest polygon of a shape; an empty one where there is none."""
    return largest_parts(np.array([shape], dtype=object))[0]


def largest_parts(shapes: Shapes) -> Shapes:
    """Return the largest polygon of each shape; an empty one where there is none.

    Examples
    --------
    >>> rows = [shapely.union_all([shapely.box(0, 0, 2, 1), shapely.box(3, 0, 6, 1)]), shapely.Point(0, 0)]
    >>> shapely.area(largest_parts(np.array(rows))).tolist()
    [3.0, 0.0]
    """
    parts, owner = shapely.get_parts(shapes, return_index=True)
    solid = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    parts, owner = parts[solid], owner[solid]
    order = np.lexsort((-shapely.area(parts), owner))
    own, first = np.unique(owner[order], return_index=True)
    largest = np.full(len(shapes), Polygon(), dtype=object)
    largest[own] = parts[order[first]]
    return largest


def parts_fitting(shape: BaseGeometry, radius: float) -> list[Polygon]:
    """Return the polygons of a shape in which a circle of that radius fits, the largest first.

    The largest is given whatever fits in it.

    Examples
    --------
    >>> boxes = shapely.box([0, 20, 30], 0, [9, 23, 31], [4, 3, 1])
    >>> [part.area for part in parts_fitting(shapely.multipolygons(boxes), 1.0)]
    [36.0, 9.0]
    """
    parts = shapely.get_parts(shape)
    parts = parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]
    parts = parts[np.argsort(-shapely.area(parts), kind="stable")]
    return [part for k, part in enumerate(parts) if k == 0 or fits(part, radius)]
