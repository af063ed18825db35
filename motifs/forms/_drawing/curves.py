"""Smooth lines through points of a figure, and widths that swell along them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from canivet.motifs.shapes.lines import distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["Places", "closed_curve", "open_curve", "swelling"]

Places = ArrayLike | Sequence[Any]
"""A place or several: pairs, arrays, or both in one list."""

_STEP = 0.6
"""mm from sample to sample of a curve at the most usual sizes."""

_LEAST, _MOST = 10, 90
"""Samples to a curve between two corners, at the least and at the most."""


def _centripetal(points: Points) -> Points:
    """Return the parameter of each point: the square root of chords, by which no loop comes of close ones."""
    steps = np.sqrt(np.maximum(np.hypot(*np.diff(points, axis=0).T), 1e-9))
    return np.concatenate([[0.0], np.cumsum(steps)])


def _samples(points: Points) -> int:
    return int(np.clip(math.ceil(distances_along(points)[-1] / _STEP), _LEAST, _MOST))


def open_curve(points: Places) -> Points:
    """Return a smooth line through points, shape (n, 2).

    References
    ----------
    E. T. Y. Lee, Choosing nodes in parametric curve interpolation, *Computer-Aided Design* 21, 1989 (from
    memory): parameters by the square root of the chords.
    """
    through = np.asarray(points, dtype=float)
    count = _samples(through)
    if len(through) == 2:
        return np.linspace(through[0], through[1], count)
    ease = _centripetal(through)
    curve: Points = _spline(ease, through, "natural")(np.linspace(0, ease[-1], count))
    return curve


def _spline(at: Points, through: Points, ends: str) -> Any:
    from scipy.interpolate import CubicSpline  # imported here: the catalogue is light

    return CubicSpline(at, through, bc_type=ends)


def swelling(halves: Sequence[float], count: int) -> Points:
    """Return half-widths spread evenly along a line of so many points, monotone between those given."""
    from scipy.interpolate import PchipInterpolator

    wide: Points = PchipInterpolator(np.linspace(0, 1, len(halves)), halves)(np.linspace(0, 1, count))
    return wide


def closed_curve(points: Places, corners: Sequence[int] = ()) -> Points:
    """Return a closed line through points, smooth save at the corners, which are given by their places."""
    through = np.asarray(points, dtype=float)
    if not corners:
        ring = np.vstack([through, through[:1]])
        ease = _centripetal(ring)
        turn = np.linspace(0, ease[-1], max(24, _samples(ring)) + 1)
        curve: Points = _spline(ease, ring, "periodic")(turn)[:-1]
        return curve
    order = sorted(corners)
    pieces = []
    for start, end in zip(order, [*order[1:], order[0] + len(through)], strict=True):
        run = np.arange(start, end + 1) % len(through)
        pieces.append(open_curve(through[run])[:-1])
    return np.vstack(pieces)
