"""Cells about points: Voronoi cells inside a region, and how points are scattered and evened out."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from shapely.geometry import MultiPoint, MultiPolygon, Polygon

from canivet.audit.boundary import Floats
from canivet.motifs.shapes.openings import Points, Shapes

__all__ = ["relaxed", "scattered", "voronoi_cells"]

Spacing = Callable[[Points], Floats]
"""How far apart points are to lie, in mm, at each of an array of places."""

_CELL = np.sqrt(3) / 2
"""Area of a cell of a honeycomb, in squares of its pitch: what evened-out cells come to."""


def scattered(region: Polygon | MultiPolygon, spacing: Spacing, rng: np.random.Generator) -> Points:
    """Scatter points over a region at random, about as far apart as asked for.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        Where they lie.
    spacing : callable
        How far apart they are to lie, in mm, at given places.
    rng : Generator
        The source of chance.

    Returns
    -------
    ndarray
        Shape (n, 2); at least one.
    """
    low_x, low_y, high_x, high_y = region.bounds
    shapely.prepare(region)
    probe = _inside(region, rng.uniform((low_x, low_y), (high_x, high_y), (4000, 2)))
    probe = probe if len(probe) else shapely.get_coordinates(region.representative_point())
    density = 1 / (_CELL * spacing(probe) ** 2)
    count = max(1, round(region.area * float(density.mean())))
    densest = float(density.max())
    points = np.empty((0, 2))
    while len(points) < count:
        more = _inside(region, rng.uniform((low_x, low_y), (high_x, high_y), (4 * count + 16, 2)))
        kept = rng.uniform(0, densest, len(more)) < 1 / (_CELL * spacing(more) ** 2)
        points = np.concatenate([points, more[kept]])
    return points[:count]


def relaxed(points: Points, region: Polygon | MultiPolygon, spacing: Spacing, times: int) -> Shapes:
    """Move each point to the middle of its cell, so many times, and return the cells.

    Where points are to lie closer the middle is weighed that way, so that the grading lasts.
    """
    cells = voronoi_cells(points, region)
    for _ in range(times):
        cells = voronoi_cells(_middles(cells, spacing), region)
    return cells


def voronoi_cells(points: Points, region: Polygon | MultiPolygon) -> Shapes:
    """Return what part of a region lies nearest to each of some points.

    Parameters
    ----------
    points : ndarray
        Shape (n, 2).
    region : Polygon or MultiPolygon
        What is parted.

    Returns
    -------
    ndarray of Polygon
        In no given order; a cell that the region parts counts as several.

    Examples
    --------
    >>> halves = voronoi_cells(np.array([(1.0, 1.0), (3.0, 1.0)]), shapely.box(0, 0, 4, 2))
    >>> shapely.area(halves).tolist()
    [4.0, 4.0]
    """
    low_x, low_y, high_x, high_y = region.bounds
    margin = (high_x - low_x) + (high_y - low_y)
    around = shapely.box(low_x - margin, low_y - margin, high_x + margin, high_y + margin)
    if len(points) == 1:
        only: Shapes = shapely.get_parts(region)
        return only
    cells = shapely.get_parts(shapely.voronoi_polygons(MultiPoint(points), extend_to=around))
    shapely.prepare(region)
    whole = shapely.contains_properly(region, cells)
    parts = shapely.get_parts(shapely.intersection(cells[~whole], region))
    parts = parts[(shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > 1e-9)]
    together: Shapes = np.concatenate([cells[whole], parts])
    return together


def _inside(region: Polygon | MultiPolygon, points: Points) -> Points:
    inside: Points = points[shapely.contains_xy(region, *points.T)]
    return inside


def _middles(cells: Shapes, spacing: Spacing) -> Points:
    """Return the middle of every cell, weighed by how densely points are to lie."""
    rings = shapely.get_exterior_ring(cells)
    corners, owner = shapely.get_coordinates(rings, return_index=True)
    hub = shapely.get_coordinates(shapely.centroid(cells))
    step = owner[1:] == owner[:-1]
    a, b, own = corners[:-1][step], corners[1:][step], owner[1:][step]
    middle = (a + b + hub[own]) / 3
    area = np.abs(
        (a[:, 0] - hub[own, 0]) * (b[:, 1] - hub[own, 1]) - (a[:, 1] - hub[own, 1]) * (b[:, 0] - hub[own, 0])
    )
    # points evened out by weight come to lie as densely as its square root
    weight = area / spacing(middle) ** 4
    total = np.bincount(own, weight, len(cells))
    moved: Points = np.column_stack([np.bincount(own, weight * m, len(cells)) / total for m in middle.T])
    return moved
