"""Lines of points: how far along them each point lies, and where and which way they run at a place."""

from __future__ import annotations

import numpy as np

from .openings import Points

__all__ = ["along", "directions", "distances_along", "points_at"]


def distances_along(line: Points) -> Points:
    """Return how far along a line each of its points lies, from 0 on, in mm.

    Examples
    --------
    >>> distances_along(np.array([(0, 0), (3, 4), (3, 6)])).tolist()
    [0.0, 5.0, 7.0]
    """
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def points_at(line: Points, at: Points | float, *, run: Points | None = None) -> Points:
    """Return the points of a line at some distances along it.

    Parameters
    ----------
    line : ndarray
        Shape (n, 2), mm.
    at : float or ndarray
        mm from its start; beyond an end, that end.
    run : ndarray, optional
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
    run = distances_along(line) if run is None else run
    return np.stack([np.interp(at, run, line[:, axis]) for axis in (0, 1)], axis=-1)


def along(line: Points, share: float) -> tuple[Points, Points]:
    """Return the point at that share of a line's length, and the unit direction there.

    Examples
    --------
    >>> at, unit = along(np.array([(0, 0), (6, 8), (6, 18)]), 0.25)
    >>> at.tolist(), unit.tolist()
    ([3.0, 4.0], [0.6, 0.8])
    """
    steps = np.diff(line, axis=0)
    run = distances_along(line)
    at = share * run[-1]
    k = int(np.clip(np.searchsorted(run, at) - 1, 0, len(steps) - 1))
    unit = steps[k] / np.hypot(*steps[k])
    return line[k] + unit * (at - run[k]), unit


def directions(line: Points) -> tuple[Points, Points]:
    """Return the unit vectors ahead and to the left at each point of a line.

    Examples
    --------
    >>> ahead, left = directions(np.array([(0, 0), (2, 0), (4, 0)]))
    >>> ahead[1].tolist(), left[1].tolist()
    ([1.0, 0.0], [-0.0, 1.0])
    """
    steps = np.gradient(line, axis=0)
    ahead: Points = steps / np.hypot(*steps.T)[:, None]
    return ahead, np.column_stack([-ahead[:, 1], ahead[:, 0]])
