"""How often lines cross, asked before anything is done that takes time by it."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

__all__ = ["MOST_CROSSINGS", "TooIntricate", "check_crossings"]

Points = NDArray[np.float64]

MOST_CROSSINGS = 20_000
"""Places where edges may cross: no hand cuts as many, and past ten times as many noding takes minutes."""


class TooIntricate(Exception):
    """The lines cross, or are broken, so often that no hand could cut them."""


def check_crossings(starts: Points, ends: Points) -> NDArray[np.object_]:
    """Return the edges as lines, after estimating from five hundred of them how often they cross.

    Raises
    ------
    TooIntricate
        If that is more than twenty thousand times.

    Examples
    --------
    >>> len(check_crossings(np.zeros((3, 2)), np.eye(3, 2)))
    3
    """
    edges: NDArray[np.object_] = shapely.linestrings(np.stack([starts, ends], axis=1))
    if len(edges) ** 2 <= MOST_CROSSINGS:
        return edges
    tree = shapely.STRtree(edges)
    sample = np.arange(0, len(edges), max(1, len(edges) // 500))
    met = 0
    for few in np.array_split(sample, len(sample) // 5):  # a hopeless tangle shows after some edges
        which, other = tree.query(edges[few])
        met += _cross(starts[few[which]], ends[few[which]], starts[other], ends[other])
        if met > 2 * MOST_CROSSINGS:
            break
    if max(met, met * len(edges) / len(sample)) / 2 > MOST_CROSSINGS:
        raise TooIntricate("its lines cross each other too often")
    return edges


def _cross(a: Points, b: Points, c: Points, d: Points) -> int:
    """Count the pairs of edges ab and cd that cross within both; meeting at an end does not count."""

    def side(p: Points, q: Points, r: Points) -> NDArray[np.float64]:
        return np.sign((q[:, 0] - p[:, 0]) * (r[:, 1] - p[:, 1]) - (q[:, 1] - p[:, 1]) * (r[:, 0] - p[:, 0]))

    return int(((side(a, b, c) * side(a, b, d) < 0) & (side(c, d, a) * side(c, d, b) < 0)).sum())
