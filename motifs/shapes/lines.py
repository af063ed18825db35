"""Lines of points: how far along them each point lies."""

from __future__ import annotations

import numpy as np

from .openings import Points

__all__ = ["distances_along"]


def distances_along(line: Points) -> Points:
    """Return how far along a line each of its points lies, from 0 on, in mm.

    Examples
    --------
    >>> distances_along(np.array([(0, 0), (3, 4), (3, 6)])).tolist()
    [0.0, 5.0, 7.0]
    """
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
