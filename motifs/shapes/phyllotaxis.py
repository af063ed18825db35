"""Places by the golden angle, as the seeds of a flower head lie."""

from __future__ import annotations

import math

import numpy as np

from .openings import Points

__all__ = ["golden_places"]

_GOLDEN_ANGLE = math.pi * (3 - math.sqrt(5))
"""From one place to the next, radians: the golden section of a full turn, 137.508°. It packs evenly."""


def golden_places(count: int, area: float) -> Points:
    """Return places about the origin, each with as much room as any other.

    Parameters
    ----------
    count : int
        How many, numbered from the middle outward.
    area : float
        Room of a place, mm².

    Returns
    -------
    ndarray
        Shape (count, 2), mm.

    References
    ----------
    H. Vogel, A better way to construct the sunflower head, *Mathematical Biosciences* 44, 1979 (from memory).

    Examples
    --------
    >>> places = golden_places(100, math.pi)
    >>> int((np.hypot(*places.T) < 5).sum()), int((np.hypot(*places.T) < 10).sum())
    (25, 100)
    """
    number = np.arange(count)
    out, angle = np.sqrt((number + 0.5) * area / math.pi), number * _GOLDEN_ANGLE
    return np.column_stack([out * np.cos(angle), out * np.sin(angle)])
