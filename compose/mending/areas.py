"""Paper on the grid, and paper filled: what every step of mending and joining hands to the next."""

from __future__ import annotations

import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import GRID, Paper

__all__ = ["areas_of", "filled", "on_grid"]


def on_grid(paper: Paper) -> Paper:
    """Snap to the grid the audit works on; hairs thinner than that are no paper."""
    snapped = shapely.set_precision(paper, GRID)
    # A geometry remembers its grid, and buffers drawn on a grid go wrong: take the memory away again.
    return areas_of(shapely.set_precision(snapped, 0))


def areas_of(shape: shapely.Geometry) -> Paper:
    """Return the areas in a geometry, without the lines and points an overlay may leave beside them."""
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > 0]
    return parts[0] if len(parts) == 1 else MultiPolygon(parts)


def filled(paper: Paper) -> Paper:
    """Return paper with all that it encloses."""
    whole: Paper = shapely.union_all([Polygon(part.exterior) for part in shapely.get_parts(paper)])
    return whole
