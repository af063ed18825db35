"""Lines of points: how far along them each point lies, and what lies at a distance."""

from __future__ import annotations

import numpy as np

from .openings import Points

__all__ = ["distances_along", "points_at"]


def distances_along(line: Points) -> Points:
    """Return how far along a line each of its points lies, from 0 on, in mm.

    Examples
    --------
    >>> distances_along(np.array([(0, 0), (3, 4), (3, 6)])).tolist()
    [0.0, 5.0, 7.0]
    """
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def points_at(line: Points, at: Points | float, *, along: Points | None = None) -> Points:
    """Return the points of a line at some distances along it.

    Parameters
    ----------
    line : ndarray
        Shape (n, 2), mm.
    at : float or ndarray
        mm from its start; beyond an end, that end.
    along : ndarray, optional
        How far along each of its points counts as lying, shape (n,), where that is not `distances_along`.

    Returns
    -------
    ndarray
        Shape (2,) for one distance, (k, 2) for k.

    Examples
    --------
    >>> points_at(np.array([(0, 0), (3, 4), (3, 6)]), np.array([2.5, 6.0])).tolist()
    [[1.5, 2.0], [3.0, 5.0]]
    """
    along = distances_along(line) if along is None else along
    return np.stack([np.interp(at, along, line[:, axis]) for axis in (0, 1)], axis=-1)
