"""Openings that get smaller toward a side, the middle, the edge or what a ground goes round."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Floats
from canivet.errors import DoesNotFit
from canivet.motifs.shapes.openings import Points

from .trim import inscribed

__all__ = ["kept_sizes", "least_kept", "shares_toward"]

_CLOT = 0.55
"""Of its size: an opening graded smaller than this leaves over two thirds of its cell black, and a ground
of such cells clots, *by eye*."""


def least_kept(grade: float) -> float:
    """Return what share of its size an opening keeps where a ground is graded most.

    Examples
    --------
    >>> least_kept(0.0), round(least_kept(1.0), 2)
    (1.0, 0.55)
    """
    return 1 - (1 - _CLOT) * grade


def shares_toward(toward: str, points: Points, region: Polygon | MultiPolygon) -> Floats:
    """Return how far each point lies toward a side of the region, 0 to 1.

    Parameters
    ----------
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge``, or ``vignette``: what it goes round.
    points : ndarray
        Shape (n, 2).
    region : Polygon or MultiPolygon
        What is filled.

    Raises
    ------
    DoesNotFit
        If the region goes round no vignette.

    Examples
    --------
    >>> shares_toward("foot", np.array([(1.0, 0.0), (1.0, 5.0)]), shapely.box(0, 0, 10, 10)).tolist()
    [1.0, 0.5]
    """
    low_x, low_y, high_x, high_y = region.bounds
    if toward in ("foot", "head"):
        up = (points[:, 1] - low_y) / (high_y - low_y)
        share = up if toward == "head" else 1 - up
    elif toward == "middle":
        x, y = (points - ((low_x + high_x) / 2, (low_y + high_y) / 2)).T
        share = 1 - np.hypot(x / (high_x - low_x), y / (high_y - low_y)) * 2
    elif toward in ("left", "right"):
        across = (points[:, 0] - low_x) / (high_x - low_x)
        share = across if toward == "right" else 1 - across
    elif toward == "vignette":
        share = _toward_holes(points, region)
    else:
        share = 1 - shapely.distance(shapely.points(points), region.boundary) / inscribed(region)
    clipped: Floats = np.clip(share, 0, 1)
    return clipped


def _toward_holes(points: Points, region: Polygon | MultiPolygon) -> Floats:
    """Return how near points lie to what the region goes round, 1 beside it and 0 in the farthest corner."""
    holes = [ring for part in shapely.get_parts(region) for ring in part.interiors]
    if not holes:
        raise DoesNotFit(
            "toward is 'vignette'; the ground goes round none. Give the design a [vignette], or grade the "
            "ground toward its middle, edge or a side.",
            parameter="toward", value="vignette", accepted="foot, head, left, right, middle, edge",
        )  # fmt: skip
    rings = shapely.multilinestrings(holes)
    corners = shapely.get_coordinates(region.convex_hull)
    farthest = shapely.distance(shapely.points(corners), rings).max()
    share: Floats = 1 - shapely.distance(shapely.points(points), rings) / farthest
    return share


def kept_sizes(
    radius: float | Floats,
    places: Points,
    region: Polygon | MultiPolygon,
    smallest: float,
    grade: float,
    toward: str,
) -> Floats:
    """Return what share of its size each copy of an opening keeps.

    Parameters
    ----------
    radius : float or ndarray
        mm, of the circle inscribed in the opening; one for all or one for each.
    places : ndarray
        Where copies lie, shape (n, 2).
    region : Polygon or MultiPolygon
        What is filled.
    smallest : float
        mm; no copy gets so small that a circle of this radius would not fit.
    grade, toward
        How much smaller they get, and where.

    Returns
    -------
    ndarray
        Shape (n,), at most 1.
    """
    if grade == 0:
        return np.ones(len(places))
    floor = np.minimum(1.0, 1.001 * smallest / np.asarray(radius))
    kept: Floats = 1 - (1 - np.maximum(floor, least_kept(grade))) * shares_toward(toward, places, region)
    return kept
