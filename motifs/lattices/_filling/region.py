"""The region a lattice fills: the piece inside a rim, where cells lie in it, and what cannot be filled.

What every lattice shares, whether rests at the edge are dropped (`clip`) or given to a neighbour (`trim`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags
from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.shapes.openings import Points, Rings, pierce
from canivet.parameters import Share

__all__ = [
    "Across",
    "Up",
    "beside_edge",
    "check_pitch",
    "grid",
    "inset_region",
    "middle_of",
    "pierce_or_refuse",
]

Across = Annotated[float, Share("where the middle lies across the region; 0 is the left side", -0.5, 1.5)]
Up = Annotated[float, Share("where the middle lies up the region; 0 is the foot", -0.5, 1.5)]


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


def middle_of(region: Polygon | MultiPolygon, across: float, up: float, strap: float) -> Points:
    """Return a point of the region's box by shares, half a strap beyond its sides at 0 and 1."""
    low, high = np.reshape(region.bounds, (2, 2))
    middle: Points = low - strap / 2 + np.array([across, up]) * (high - low + strap)
    return middle


def check_pitch(pitch: float, strap: float, smallest: float, *, inradius: float, name: str = "pitch") -> None:
    """Refuse cells that a strap leaves too little of.

    Parameters
    ----------
    pitch, strap, smallest : float
        mm.
    inradius : float
        Radius of the circle inscribed in the smallest cell before it is drawn in, in pitches.
    name : str
        What the pitch is called.

    Raises
    ------
    DoesNotFit
        If a circle of radius `smallest` does not fit into it.
    """
    least = (strap / 2 + smallest) / inradius
    if pitch < least * (1 - 1e-9):
        need = format_length(math.ceil(least * 100 - 1e-7) / 100, 2)
        raise DoesNotFit(
            f"{name} is {format_length(pitch, 2)}; a strap of {format_length(strap)} and a smallest opening "
            f"of radius {format_length(smallest)} need at least {need}. Raise {name}, or lower strap or "
            "smallest.",
            parameter=name, value=pitch, accepted=f"at least {need}",
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


def beside_edge(
    places: Points, region: Polygon | MultiPolygon, *, reach: float, deep: float
) -> tuple[Flags, Flags]:
    """Say which cells lie deep inside a region, and which so near its edge that it may pass through them.

    Parameters
    ----------
    places : ndarray
        A point in each cell, shape (n, 2).
    region : Polygon or MultiPolygon
        Where openings may lie.
    reach : float
        mm; no cell reaches further from its point.
    deep : float
        mm; how far inside the edge a point must lie for its cell to stay as it is: as far as cells reach, or
        as far as their neighbours do where rests are given to those.

    Returns
    -------
    ndarray of bool, ndarray of bool
        Shape (n,); a cell far outside is neither.
    """
    core, near = region.buffer(-deep), region.buffer(reach)
    shapely.prepare((core, near))
    x, y = np.ascontiguousarray(places.T)
    inside: Flags = shapely.contains_xy(core, x, y)
    beside = ~inside
    beside[beside] = shapely.contains_xy(near, x[beside], y[beside])
    return inside, beside


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
