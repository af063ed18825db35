"""A polygon as path data: the one place where y is flipped and a drawing mirrored."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import Polygon

__all__ = ["path_data"]


def path_data(
    polygon: Polygon,
    *,
    flip_height: float,
    dx: float = 0.0,
    dy: float = 0.0,
    mirror_width: float | None = None,
) -> str:
    """The outline and every opening of a piece as absolute ``M … L … Z`` path data, y down.

    Parameters
    ----------
    polygon : Polygon
        In mm, y up.
    flip_height : float
        The height in mm that becomes y = 0: ``y → flip_height − y``.
    dx, dy : float
        Moved by this much in mm after flipping, right and down; default 0.
    mirror_width : float or None
        Where given, ``x → mirror_width − x`` before moving; default None, as seen.

    Returns
    -------
    str
        Coordinates rounded to 0.001 mm, without trailing zeros or ``-0``; empty for an empty polygon.

    Notes
    -----
    All rings go through a single formatting of one tuple. Every value is a multiple of 0.001, so eight
    significant digits write it exactly up to 100 m and never in exponent form.

    Examples
    --------
    >>> square = Polygon([(0, 0), (4, 0), (4, 2), (0, 2)], [[(1, 0.5), (1, 1), (2, 0.5)]])
    >>> path_data(square, flip_height=2)
    'M0 2L4 2L4 0L0 0ZM1 1.5L1 1L2 1.5Z'
    """
    if polygon.is_empty:
        return ""
    rings = shapely.get_rings(polygon)
    counts = shapely.get_num_coordinates(rings)
    points = shapely.get_coordinates(rings)
    x = points[:, 0] if mirror_width is None else mirror_width - points[:, 0]
    placed = np.column_stack([x + dx, flip_height - points[:, 1] + dy])
    last = np.cumsum(counts) - 1  # each ring repeats its first point here; Z says the same
    flat = np.delete(placed, last, axis=0).round(3) + 0.0  # adding zero turns -0 into 0
    shape = "".join([_ring_format(count) for count in (counts - 1).tolist()])
    return shape % tuple(flat.ravel().tolist())


def _ring_format(points: int) -> str:
    return "M%.8g %.8g" + "L%.8g %.8g" * (points - 1) + "Z"
