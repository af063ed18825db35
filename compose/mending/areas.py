"""Paper on the grid, and paper filled: what every step of mending and joining hands to the next."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import GRID, Paper

__all__ = ["areas_of", "each_on_grid", "filled", "on_grid"]


def on_grid(paper: Paper) -> Paper:
    """Snap to the grid the audit works on; hairs thinner than that are no paper."""
    return areas_of(each_on_grid(paper))


def each_on_grid(shapes: NDArray[np.object_] | Paper) -> NDArray[np.object_] | shapely.Geometry:
    """Snap shapes, each for itself; what is left of one may have parts that are no area."""
    snapped = shapely.set_precision(shapes, GRID)
    # A geometry remembers its grid, and buffers drawn on a grid go wrong: take the memory away again.
    return shapely.set_precision(snapped, 0)


def areas_of(shape: shapely.Geometry) -> Paper:
    """Return the areas in a geometry, without the lines and points an overlay may leave beside them."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 0]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def filled(paper: Paper) -> Paper:
    """Return paper with all that it encloses."""
    whole: Paper = shapely.union_all([Polygon(part.exterior) for part in shapely.get_parts(paper)])
    return whole
