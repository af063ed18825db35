"""Clipping many small shapes to a large region: each to the piece of it that lies about."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Floats
from canivet.motifs.shapes.openings import Shapes

from .convex import clipped_once

__all__ = ["clipped_to"]

_EACH = 8
"""About how many shapes of a ring along the edge share a piece: fewer, and cutting pieces takes longer than
walking them; more, and each is walked too often."""

_BEYOND = 1e-2
"""mm that a piece reaches beyond its shapes, so that no side of it lies on one of theirs."""


def clipped_to(region: BaseGeometry, shapes: Shapes) -> Shapes:
    """Return what of each shape lies in a region, as `shapely.intersection` does.

    A crossing costs as much as both have corners, and the edge of a region has thousands. So shapes are
    sorted into the fields of a chequer, and for each field a piece of the region is cut out once. Convex ones
    that the edge passes through once are cut before that, all together.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        mm.
    shapes : ndarray
        Small ones, none of them empty.

    Examples
    --------
    >>> region, boxes = shapely.Point(0, 0).buffer(9), shapely.box([-9, 0, 8], 0, [-7, 2, 12], 4)
    >>> apart = shapely.symmetric_difference(clipped_to(region, boxes), shapely.intersection(boxes, region))
    >>> bool(shapely.area(apart).max() < 1e-12)
    True
    """
    boxes = shapely.bounds(shapes)
    if not len(shapes) or np.isnan(boxes).any():
        return np.asarray(shapely.intersection(shapes, region), dtype=object)
    left, known = clipped_once(region, shapes)
    left[~known] = _by_fields(region, shapes[~known], boxes[~known])
    return left


def _by_fields(region: BaseGeometry, shapes: Shapes, boxes: Floats) -> Shapes:
    """Clip shapes in those boxes to the piece of a region that lies about."""
    if not len(shapes):
        return shapes
    middles = boxes[:, :2] + boxes[:, 2:]
    low, size = middles.min(axis=0), np.ptp(middles, axis=0)
    fields = math.ceil(len(shapes) / 4 / _EACH)
    place = np.minimum(fields * (middles - low) / np.maximum(size, 1e-9), fields - 1).astype(int)
    _, field = np.unique(place[:, 0] * fields + place[:, 1], return_inverse=True)
    order = np.argsort(field, kind="stable")
    first = np.searchsorted(field[order], np.arange(field.max() + 1))
    lows = np.minimum.reduceat(boxes[order, :2], first) - _BEYOND
    highs = np.maximum.reduceat(boxes[order, 2:], first) + _BEYOND
    pieces = np.array(
        [shapely.clip_by_rect(region, *one) for one in np.hstack([lows, highs]).tolist()], dtype=object
    )
    return np.asarray(shapely.intersection(shapes, pieces[field]), dtype=object)
