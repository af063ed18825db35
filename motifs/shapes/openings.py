"""Openings as arrays of rings: what borders and lattices share.

Openings that are pairwise disjoint, hold no island and stay clear of the outline leave the paper in one piece
(Alexander duality in the plane), so a motif lays out its openings and never joins or subtracts anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import numbered

__all__ = [
    "Points",
    "Rings",
    "Shapes",
    "densified",
    "inset_convex",
    "moved",
    "openings_in",
    "pierce",
    "rings_from",
    "turned",
]

Points = npt.NDArray[np.float64]
"""Corners, mm, shape (…, 2)."""

Rings = npt.NDArray[np.object_]
"""Closed lines."""

Shapes = npt.NDArray[np.object_]
"""Polygons."""


def rings_from(corners: Points) -> Rings:
    """Return one ring per row of an array of shape (openings, corners, 2)."""
    if not len(corners):
        return np.empty(0, dtype=object)
    rings: Rings = shapely.linearrings(corners)
    return rings


def moved(shapes: Shapes, by: Points) -> Shapes:
    """Return shapes moved by so much across and up, mm."""
    there: Shapes = shapely.transform(shapes, lambda points: points + by)
    return there


def turned(shape: Polygon, turns: npt.NDArray[np.floating[Any]]) -> Shapes:
    """Return copies of a shape without holes turned about the origin by angles in radians.

    Examples
    --------
    >>> copies = turned(shapely.box(1, 0, 2, 1), np.array([0, np.pi / 2]))
    >>> shapely.bounds(copies).round(9).tolist()
    [[1.0, 0.0, 2.0, 1.0], [-1.0, 1.0, 0.0, 2.0]]
    """
    points = shapely.get_coordinates(shape.exterior)[:-1]
    cos, sin = np.cos(turns)[:, None], np.sin(turns)[:, None]
    x, y = points[:, 0] * cos - points[:, 1] * sin, points[:, 0] * sin + points[:, 1] * cos
    copies: Shapes = shapely.polygons(np.stack([x, y], axis=2))
    return copies


def pierce(within: Polygon, openings: Iterable[Rings]) -> Polygon:
    """Return the polygon with the rings cut out, besides the holes it has.

    The rings must be disjoint and lie inside it: nothing is checked here, for speed. `openings_in` gives them
    back.
    """
    holes = [np.asarray(shapely.get_rings(within)[1:], dtype=object), *openings]
    pierced: Polygon = shapely.polygons(within.exterior, holes=np.concatenate(holes))
    return pierced


def openings_in(paper: Polygon, *, within: Polygon | None = None) -> Shapes:
    """Return the openings of a piece of paper as solid polygons.

    Parameters
    ----------
    paper : Polygon
        mm.
    within : Polygon, optional
        What the paper was drawn in: holes of that are no openings of the paper.

    Returns
    -------
    ndarray of Polygon
        In the paper's order.

    Examples
    --------
    >>> from shapely import box
    >>> field = box(0, 0, 30, 10) - box(12, 2, 18, 8)
    >>> paper = pierce(field, [rings_from(np.array([[(2, 2), (8, 2), (8, 8), (2, 8)]]))])
    >>> [opening.bounds for opening in openings_in(paper, within=field)]
    [(2.0, 2.0, 8.0, 8.0)]
    """
    openings: Shapes = shapely.polygons(shapely.get_rings(paper)[1:])
    if within is None or not within.interiors:
        return openings
    own: Shapes = openings[shapely.intersects(within, shapely.point_on_surface(openings))]
    return own


def inset_convex(ring: Points, distance: float | npt.NDArray[np.float64]) -> Points:
    """Move every side of a convex ring inward, corners staying sharp.

    Parameters
    ----------
    ring : ndarray
        Shape (n, 2), counter-clockwise, first corner not repeated; or an array of rings, shape (…, n, 2).
    distance : float or ndarray
        mm, less than the radius of the inscribed circle; of several rings one for all, or shape (…, 1).

    Returns
    -------
    ndarray
        As the ring, corner for corner.

    Examples
    --------
    >>> inset_convex(np.array([(0, 0), (4, 0), (4, 4), (0, 4)]), 1.0).tolist()
    [[1.0, 1.0], [3.0, 1.0], [3.0, 3.0], [1.0, 3.0]]
    """
    side = np.roll(ring, -1, axis=-2) - ring
    side = side / np.hypot(side[..., 0], side[..., 1])[..., None]
    inward = np.stack([-side[..., 1], side[..., 0]], axis=-1)
    before = np.roll(inward, 1, axis=-2)
    # the corner moves along the sum of its sides' normals, by 1/cos² of half the turn
    wider = np.asarray(distance)[..., None] * (before + inward)
    moved: Points = ring + wider / (1 + (before * inward).sum(axis=-1))[..., None]
    return moved


def densified(ring: Points, step: float) -> Points:
    """Split the sides of a ring evenly so that none is longer than `step` mm."""
    closed = np.vstack([ring, ring[:1]])
    sides = np.hypot(*np.diff(closed, axis=0).T)
    pieces = np.maximum(1, np.ceil(sides / step - 1e-9)).astype(int)
    index, nth = numbered(pieces)
    share = nth / pieces[index]
    split: Points = closed[index] + share[:, None] * (closed[index + 1] - closed[index])
    return split
