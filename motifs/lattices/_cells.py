"""Filling a region with cells: what every lattice shares.

A lattice lays its cells over the box of the region, already drawn in by half a strap all round, so that any
two are a strap apart. Cells well inside the inset outline are taken as they are; only those that touch it are
clipped. A clipped cell is part of its cell, so the spacing holds, and the inset keeps the rim.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.shapes.openings import Points, Rings, pierce, rings_from, worth_cutting

__all__ = ["check_cell", "fill_with_cells", "grid", "inset_region", "pierce_or_refuse"]


def inset_region(within: Polygon, rim: float) -> Polygon | MultiPolygon:
    """Return what is left of the piece inside a rim along every edge it has.

    Raises
    ------
    DoesNotFit
        If nothing is left.
    """
    region = within.buffer(-rim)
    if region.is_empty:
        low_x, low_y, high_x, high_y = within.bounds
        raise DoesNotFit(
            f"rim is {format_length(rim)}; nothing is left inside it on a piece "
            f"{format_mm(high_x - low_x)} × {format_mm(high_y - low_y)} mm. Narrow rim or enlarge the piece.",
            parameter="rim", value=rim, accepted="a rim narrow enough to leave a region to fill",
        )  # fmt: skip
    return region


def check_cell(pitch: float, strap: float, smallest: float) -> None:
    """Refuse cells that a strap leaves too little of, `pitch` being the width across their flats.

    Raises
    ------
    DoesNotFit
        If what a strap leaves of a cell is narrower than twice `smallest`.
    """
    least = strap + 2 * smallest
    if pitch < least:
        raise DoesNotFit(
            f"pitch is {format_length(pitch)}; a strap of {format_length(strap)} and a smallest opening of "
            f"radius {format_length(smallest)} need at least {format_length(least)}. Raise pitch, or lower "
            "strap or smallest.",
            parameter="pitch", value=pitch, accepted=f"at least {format_length(least)}",
        )  # fmt: skip


def grid(
    region: BaseGeometry, step: tuple[float, float], offset: tuple[float, float], reach: float
) -> Points:
    """Return points of an oblong grid over the box of a region, placed evenly about its centre.

    Parameters
    ----------
    region : geometry
        What is to be covered.
    step : tuple of float
        mm between neighbours across and up.
    offset : tuple of float
        Where one of the points lies, in steps from the centre.
    reach : float
        mm beyond the box that points are still wanted.

    Returns
    -------
    ndarray
        Shape (n, 2), row by row from below.
    """
    low, high = np.reshape(region.bounds, (2, 2))
    axes = []
    for axis in (0, 1):
        half = (high[axis] - low[axis]) / 2 + reach
        first = np.ceil(-half / step[axis] - offset[axis])
        last = np.floor(half / step[axis] - offset[axis])
        axes.append((low[axis] + high[axis]) / 2 + step[axis] * (offset[axis] + np.arange(first, last + 1)))
    points = np.empty((len(axes[1]), len(axes[0]), 2))
    points[..., 0], points[..., 1] = axes[0], axes[1][:, None]
    return points.reshape(-1, 2)


def fill_with_cells(
    within: Polygon,
    region: Polygon | MultiPolygon,
    cells: Sequence[tuple[Points, Points]],
    *,
    smallest: float,
) -> Polygon:
    """Pierce the piece with copies of a few cells, clipped to a region inside it.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own stay.
    region : Polygon or MultiPolygon
        Where openings may lie, from `inset_region`.
    cells : sequence of (ndarray, ndarray)
        Each a convex or star-shaped opening about its own centre, shape (m, 2), and the centres where it is
        laid, shape (n, 2). All copies together must be a strap apart.
    smallest : float
        mm; what is left of a clipped cell is dropped where no circle of this radius fits inside.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    whole, clipped = zip(*(_sort_cells(region, cell, centres) for cell, centres in cells), strict=True)
    parts = _clip(np.concatenate(clipped), region, smallest)
    return pierce_or_refuse(within, region, [*whole, parts])


def pierce_or_refuse(within: Polygon, region: Polygon | MultiPolygon, openings: Sequence[Rings]) -> Polygon:
    """Pierce the piece, or say that not one opening is worth cutting.

    Raises
    ------
    DoesNotFit
        If there is none.
    """
    if not any(len(rings) for rings in openings):
        low_x, low_y, high_x, high_y = region.bounds
        raise DoesNotFit(
            f"pitch leaves no opening worth cutting in {format_mm(high_x - low_x)} × "
            f"{format_mm(high_y - low_y)} mm inside the rim. Lower pitch, rim or smallest, or "
            "enlarge the piece.",
            parameter="pitch", accepted="cells that fit inside the rim",
        )  # fmt: skip
    return pierce(within, openings)


def _sort_cells(region: BaseGeometry, cell: Points, centres: Points) -> tuple[Rings, Rings]:
    """Return the cells that lie well inside the region, and those that may touch its edge.

    A cell's centre tells: deeper inside than the cell reaches, or nearer to the edge than that.
    """
    reach = float(np.hypot(*cell.T).max())
    near = region.buffer(reach)
    deep = region.buffer(-reach)
    shapely.prepare((near, deep))
    x, y = np.ascontiguousarray(centres.T)
    inside = shapely.contains_xy(deep, x, y)
    touching = shapely.contains_xy(near, x, y) & ~inside
    return rings_from(centres[inside][:, None] + cell), rings_from(centres[touching][:, None] + cell)


def _clip(cells: Rings, region: BaseGeometry, smallest: float) -> Rings:
    """Cut cells off at the region's edge; keep the parts worth cutting that hold no island.

    One intersection with all cells together: one for each would walk the whole outline as many times.
    """
    together = shapely.multipolygons(shapely.polygons(cells))
    parts = shapely.get_parts(shapely.intersection(together, region))
    parts = parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]
    parts = parts[worth_cutting(parts, smallest) & (shapely.get_num_interior_rings(parts) == 0)]
    rings: Rings = shapely.get_exterior_ring(parts)
    return rings
