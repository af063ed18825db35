"""Filling a region with openings that are clipped at its edge, what is then too small being left solid.

They are laid over the box of the region, already drawn in by half a strap all round, so that any two are a
strap apart. Those well inside the inset outline are taken as they are; only those that touch it are clipped.
What is left of one is part of it, so the spacing holds, and the inset keeps the rim.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes.openings import Points, Rings, Shapes, rings_from
from canivet.motifs.shapes.rounds import fitting, largest_parts

from .grading import kept_sizes
from .region import beside_edge, pierce_or_refuse
from .sound import holds_circle, wraps
from .trim import inscribed, lie_inside, softened

__all__ = ["clipped_singly", "fill_with_openings"]


def fill_with_openings(
    within: Polygon,
    region: Polygon | MultiPolygon,
    openings: Sequence[tuple[Points, Points]],
    *,
    smallest: float,
    grade: float = 0.0,
    toward: str = "foot",
) -> Polygon:
    """Pierce the piece with copies of a few openings, clipped to a region inside it.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own stay.
    region : Polygon or MultiPolygon
        Where openings may lie, from `inset_region`.
    openings : sequence of (ndarray, ndarray)
        Each convex or star-shaped, about its own centre, shape (m, 2), and the centres where it is
        laid, shape (n, 2). All copies together must be a strap apart.
    smallest : float
        mm; what is left of a clipped one is dropped where no circle of this radius fits inside.
    grade, toward
        How much smaller openings get, and where; they shrink about their own centres.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    whole: list[Rings] = []
    touching: list[Rings] = []
    for opening, centres in openings:
        reach = float(np.hypot(*opening.T).max())
        inside, beside = beside_edge(centres, region, reach=reach, deep=reach)
        kept = kept_sizes(inscribed(Polygon(opening)), centres, region, smallest, grade, toward)
        laid = centres[:, None] + kept[:, None, None] * opening
        whole.append(rings_from(laid[inside]))
        touching.append(rings_from(laid[beside]))
    parts = _clipped(np.concatenate(touching), region, smallest)
    return pierce_or_refuse(within, region, [*whole, parts])


def _clipped(openings: Rings, region: BaseGeometry, smallest: float) -> Rings:
    """Cut openings off at the region's edge; keep the parts worth cutting that hold no island.

    One intersection with all of them together: one for each would walk the whole outline as many times.
    """
    together = shapely.multipolygons(shapely.polygons(openings))
    parts = shapely.get_parts(shapely.intersection(together, region))
    parts = parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]
    parts = parts[fitting(parts, smallest, sides=2) & (shapely.get_num_interior_rings(parts) == 0)]
    rings: Rings = shapely.get_exterior_ring(parts)
    return rings


def clipped_singly(
    openings: Shapes, region: Polygon | MultiPolygon, *, least: float, strap: float, soft: float
) -> Rings:
    """Cut openings of which no two are alike off at a region's edge, and round their corners.

    Parameters
    ----------
    openings : ndarray of Polygon
        A strap apart.
    region : Polygon or MultiPolygon
        Where they may lie.
    least : float
        mm; one in which no circle of this radius fits is left out. So is one that goes round a piece of paper
        or all but does.
    strap : float
        mm.
    soft : float
        How round they are made; see `softened`.

    Returns
    -------
    ndarray of LinearRing
        Of each opening its largest part at most.
    """
    shapely.prepare(region)
    met = np.flatnonzero(~lie_inside(openings, region))
    cut = openings.copy()
    cut[met] = largest_parts(shapely.intersection(openings[met], region))
    cut = softened(cut[~shapely.is_empty(cut)], soft)
    sound = holds_circle(cut, least) & (shapely.get_num_interior_rings(cut) == 0)
    sound &= ~wraps(cut, np.full(len(cut), strap / 2))
    rings: Rings = shapely.get_exterior_ring(cut[sound])
    return rings
