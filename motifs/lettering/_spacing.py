"""How letters are spaced: by the white that the eye sees between two of them, level by level."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon

from canivet.audit.boundary import Floats

from ._outlines import as_multi

__all__ = ["NO_FORM", "Form", "beside", "form_of"]

_ROWS = 60
"""Levels at which the white between two letters is measured."""

_NUDGES, _LEAST = 120, 0.01
"""Steps in which a letter is moved off its neighbour, and the least one in letter heights: from under the
arm of a T the gap hardly grows at first."""

_DEEP = 0.15
"""Letter heights: white further than this behind a letter's outermost point is no part of the gap the eye
sees, as under the arm of an L (by eye)."""

_NEAREST = 0.5
"""Of the mean white, what must be left where two letters come nearest, so that open pairs do not crowd."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """A letter as it is spaced, in letter heights; one and the same for all letters of one shape.

    Attributes
    ----------
    area : MultiPolygon
    edges : (2, 60) float array
        How far it reaches to the left and to the right at 60 levels from the foot to the height of a
        capital.
    """

    area: MultiPolygon
    edges: Floats


NO_FORM = Form(MultiPolygon(), np.empty((2, 0)))
"""That of a space."""


@lru_cache(maxsize=1024)
def form_of(wkb: bytes) -> Form:
    """Return the form of a letter whose capitals are 1 high; where it is not at a level it has no end."""
    shape = shapely.from_wkb(wkb)
    if shape.is_empty:
        return NO_FORM
    x0, _, x1, _ = shape.bounds
    levels = (np.arange(_ROWS) + 0.5) / _ROWS
    rows = shapely.linestrings([[(x0 - 1, y), (x1 + 1, y)] for y in levels])
    reach = shapely.bounds(shapely.intersection(rows, shape))[:, [0, 2]].T
    edges: Floats = np.where(np.isnan(reach), [[np.inf], [-np.inf]], reach)
    # A sign with nothing between the baseline and the capitals counts by its box.
    edges = edges if np.isfinite(edges).any() else np.repeat([[x0], [x1]], _ROWS, axis=1)
    return Form(as_multi(shape), edges)


@lru_cache(maxsize=16384)
def beside(left: Form, right: Form, wanted: float, gap: float) -> float:
    """Return how far from the frame of a letter its right neighbour's stands, in letter heights.

    The mean white is the wanted one, and none of it narrower than the gap.
    """
    (_, _, a1, a_high), (b0, _, _, b_high) = left.area.bounds, right.area.bounds
    top = min(max(a_high, 0.3), max(b_high, 0.3), 1.0)
    rows = slice(0, max(1, int(_ROWS * top)))
    starts, ends = right.edges[0, rows], left.edges[1, rows]
    ends = np.maximum(ends, (ends.max() if np.isfinite(ends).any() else a1) - _DEEP)
    starts = np.minimum(starts, (starts.min() if np.isfinite(starts).any() else b0) + _DEEP)
    nearest, mean = float((starts - ends).min()), float((starts - ends).mean())
    x = max(wanted - mean, _NEAREST * wanted - nearest)
    for _ in range(_NUDGES if gap > 0 else 0):
        short = gap - float(left.area.distance(affinity.translate(right.area, x, 0)))
        if short <= 1e-7:
            break
        x += max(1.1 * short, _LEAST)
    return x
