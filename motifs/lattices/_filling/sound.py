"""Which openings are worth cutting: those that hold a circle, and go round no piece of paper."""

from __future__ import annotations

import numpy as np
import shapely

from canivet.audit.boundary import Flags, Floats
from canivet.motifs.shapes.openings import Shapes
from canivet.motifs.shapes.rounds import fitting

__all__ = ["FINE", "holds_circle", "sound_openings", "wraps"]

FINE = 0.002
"""mm. Detail of an opening that is not drawn: drawings are rounded by as much."""

_HOLLOW = 0.85
"""An opening that fills this share of its convex hull cannot all but meet itself."""

_LESS = 0.9
"""Of a circle's area: what a shape shrunk by a flattened disc as wide may have less and still not vanish."""


def holds_circle(shapes: Shapes, radius: float | Floats) -> Flags:
    """Say of each shape whether a circle of that radius fits inside it.

    No point of a shape lies deeper than its inscribed circle's radius, so neither area over outline nor the
    depth of the centroid ever exceeds it, and a shape with less area than the circle holds none; only the
    shapes these leave in doubt are shrunk to see.
    """
    radius = np.broadcast_to(radius, np.shape(shapes))
    area = shapely.area(shapes)
    held: Flags = np.asarray(area > radius * shapely.length(shapes))
    doubtful = ~held & (area > _LESS * np.pi * radius**2)
    for holds in (_deep_at_centroid, _fitting):
        held[doubtful] = holds(shapes[doubtful], radius[doubtful])
        doubtful &= ~held
    return held


def _deep_at_centroid(shapes: Shapes, radius: Floats) -> Flags:
    middle = shapely.centroid(shapes)
    deep: Flags = shapely.contains(shapes, middle)
    deep[deep] = shapely.distance(middle[deep], shapely.boundary(shapes[deep])) > radius[deep]
    return deep


def _fitting(shapes: Shapes, radius: Floats) -> Flags:
    """Say where circles fit; shapes without their finest detail tell it, but for those on the brink."""
    plain = shapely.simplify(shapes, FINE)
    fits = fitting(plain, radius + FINE, sides=4)
    brink = np.flatnonzero(~fits)
    brink = brink[fitting(plain[brink], np.maximum(radius[brink] - FINE, 0), sides=4)]
    fits[brink] = fitting(shapes[brink], radius[brink], sides=4)
    return fits


def sound_openings(shapes: Shapes, radius: float | Floats, distance: Floats) -> Flags:
    """Say which openings hold a circle of a radius and go round no paper, nor all but do at a distance."""
    sound: Flags = holds_circle(shapes, radius) & (shapely.get_num_interior_rings(shapes) == 0)
    sound[sound] = ~wraps(shapes[sound], distance[sound])
    return sound


def wraps(shapes: Shapes, distance: Floats) -> Flags:
    """Say which openings all but meet themselves round a piece of paper: it would hang on too thin a neck."""
    wraps = np.asarray(shapely.area(shapes) < _HOLLOW * shapely.area(shapely.convex_hull(shapes)))
    plain = shapely.simplify(shapes[wraps], FINE)
    wraps[wraps] = shapely.get_num_interior_rings(shapely.buffer(plain, distance[wraps] * 0.99)) > 0
    return wraps
