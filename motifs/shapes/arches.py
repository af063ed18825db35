"""Heads of arches: the arcs by which an opening closes at the top."""

from __future__ import annotations

import math

import numpy as np

from .openings import Points

__all__ = ["pointed_head"]


def pointed_head(half: float, radius: float, pieces: int) -> Points:
    """Return the right side of a pointed head, from its springing to its point, shape (pieces + 1, 2).

    Parameters
    ----------
    half : float
        Half its width, mm; its middle and its springing line are the axes.
    radius : float
        Of the arc, struck from a place on the springing line: at least `half`, where it is round; twice that,
        and it is struck from the other side's foot.
    pieces : int
        Chords of the arc.

    Examples
    --------
    >>> (pointed_head(5, 10, 8)[[0, -1]].round(2) + 0.0).tolist()
    [[5.0, 0.0], [0.0, 8.66]]
    """
    turns = np.linspace(0, math.acos((radius - half) / radius), pieces + 1)
    return np.column_stack([half - radius + radius * np.cos(turns), radius * np.sin(turns)])
