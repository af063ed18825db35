"""Discs laid where paper is too narrow: the one patch that mending, joining and composing lay on a neck."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from canivet.audit.boundary import Paper

from .areas import on_grid

__all__ = ["discs_on", "patched"]

_QUARTER = 16
"""Chords to a quarter of a disc."""


def discs_on(places: ArrayLike, radius: ArrayLike, *, at_corners: bool = False) -> NDArray[np.object_]:
    """Discs in chords, no narrower anywhere than asked.

    Parameters
    ----------
    places : (n, 2) array
        Their middles, mm.
    radius : float or (n,) array
        mm, to the middle of each chord.
    at_corners : bool
        Measure the radius to the corners instead, for a disc with width to spare.

    Returns
    -------
    (n,) array of Polygon

    Examples
    --------
    >>> from shapely import Point
    >>> bool(discs_on([(3, 4)], 2.0)[0].covers(Point(3, 4).buffer(2)))
    True
    """
    to_corners = radius if at_corners else np.asarray(radius) / np.cos(np.pi / (4 * _QUARTER))
    discs: NDArray[np.object_] = shapely.buffer(shapely.points(places), to_corners, quad_segs=_QUARTER)
    return discs


def patched(paper: Paper, patches: Sequence[shapely.Geometry], *, within: Paper | None = None) -> Paper:
    """Return paper with patches laid on it, as far as they lie within, on the grid.

    Examples
    --------
    >>> from shapely import box
    >>> patched(box(0, 0, 9, 9), [box(8, 0, 12, 9)], within=box(0, 0, 10, 9)).bounds
    (0.0, 0.0, 10.0, 9.0)
    """
    whole = shapely.union_all([paper, *patches])
    return on_grid(whole if within is None else whole.intersection(within))
