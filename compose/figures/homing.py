"""Silhouettes that float in their window brought home: moved, enlarged a little, or given ground to stand on.

A figure hung on thin wires across its window is the commonest fault of a plate. So one that touches the edge
of its window nowhere, or hardly, is moved to the nearest edge if that is near, or enlarged by up to a tenth;
else, where it stands low in the window, its ground line is drawn on to both sides. Where none of these helps
it is left for bridges to hold, and that is told.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.compose.mending.areas import areas_of, filled
from canivet.lengths import format_mm

__all__ = ["bring_home", "touch_of"]

_NEAR = 0.1
"""Of the figure's larger side: how far it may be moved, and how much it may be enlarged."""

_THICK = 2.0
"""Straps: a touch at least so long is a thick one."""

_LOW = 0.5
"""Of the window's height: a figure whose foot is lower than this may be given ground."""

_MIDDLE, _SIDE = 1.6, 3.0
"""Straps: how thick the ground is under the figure, and where it meets the window's sides."""

_SAG = 0.05
"""Of the window's width: how much the ground falls from the figure to the sides."""


def touch_of(area: Paper, window: Polygon, *, strap: float) -> float:
    """Return how much of the window's edge a figure covers at thick places, in straps; thin ones are wires.

    Examples
    --------
    >>> from shapely import box
    >>> window = box(0, 0, 100, 100)
    >>> touch_of(box(40, -1, 60, 30), window, strap=1.0), touch_of(box(40, 5, 60, 30), window, strap=1.0)
    (20.0, 0.0)
    """
    lines = shapely.get_parts(shapely.line_merge(shapely.intersection(window.exterior, filled(area))))
    long = shapely.length(lines) / strap
    return float(long[long >= _THICK].sum())


def bring_home(area: Paper, window: Polygon, *, strap: float, name: str) -> tuple[Paper, list[str]]:
    """Return a figure that is held by its window, and what was done for it.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The figure where it was put, mm.
    window : Polygon
        The opening it stands in; beyond it is paper.
    strap : float
        mm.
    name : str
        What the figure is called.

    Returns
    -------
    Polygon or MultiPolygon, list of str

    Examples
    --------
    >>> from shapely import box
    >>> window = box(0, 0, 100, 100)
    >>> bring_home(box(40, 1, 60, 30), window, strap=1.0, name="stone")[1]
    ['stone: moved by 2 mm to touch the edge of its window']
    >>> area, said = bring_home(box(40, 20, 60, 60), window, strap=1.0, name="stone")
    >>> said, area.bounds[0] < 0 < 100 < area.bounds[2]
    (['stone: ground drawn under it to both sides of its window'], True)
    """
    if touch_of(area, window, strap=strap):
        return area, []
    for attempt in (_moved, _enlarged, _grounded):
        found, said = attempt(area, window, strap)
        if found is not None and touch_of(found, window, strap=strap):
            return found, [f"{name}: {said}"]
    return area, [
        f"{name}: it floats in its window, and only bridges hold it. Let it stand on the edge, or reach it."
    ]


def _moved(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Move it straight to the nearest edge, and a strap into it."""
    inner, edge = shapely.get_coordinates(shapely.shortest_line(area, window.exterior))
    gap = float(np.hypot(*(edge - inner)))
    x0, y0, x1, y1 = area.bounds
    if not window.contains(area.centroid) or gap > _NEAR * max(x1 - x0, y1 - y0):
        return None, ""
    if gap < 1e-9:
        return None, ""
    by = (edge - inner) * (1 + strap / gap)
    return affinity.translate(
        area, *by
    ), f"moved by {format_mm(gap + strap, 1)} mm to touch the edge of its window"


def _enlarged(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Enlarge it about its middle, no more than it takes."""
    for more in np.linspace(0.02, _NEAR, 9).tolist():
        grown = affinity.scale(area, 1 + more, 1 + more)
        if touch_of(grown, window, strap=strap):
            return grown, f"enlarged by {100 * more:.0f} % to touch the edge of its window"
    return None, ""


def _grounded(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Draw ground under it, a low rise from side to side that sinks a little towards them."""
    x0, y0, x1, y1 = window.bounds
    foot = area.bounds[1]
    if not y0 < foot < y0 + _LOW * (y1 - y0):
        return None, ""
    middle = (area.bounds[0] + area.bounds[2]) / 2
    x = np.linspace(x0 - strap, x1 + strap, 65)
    away = (x - middle) / (x1 - x0)
    top = foot + strap / 2 - 4 * _SAG * (x1 - x0) * away**2
    share = np.minimum(1, 2 * np.abs(away))
    low = top - strap * (_MIDDLE + (_SIDE - _MIDDLE) * share)
    ground = Polygon(np.concatenate([np.column_stack([x, top]), np.column_stack([x, low])[::-1]]))
    beyond = shapely.intersection(ground, window.buffer(strap))
    return areas_of(shapely.union(area, beyond)), "ground drawn under it to both sides of its window"
