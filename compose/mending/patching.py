"""Discs laid where paper is too narrow, and the one loop that looks, mends and looks again.

Both serve joining and composing alike; mending a shape from outside lays the same discs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from canivet.audit.boundary import Paper

from .areas import on_grid

__all__ = ["discs_on", "mended_until_sound", "patched"]

_QUARTER = 16
"""Chords to a quarter of a disc."""

Seen = TypeVar("Seen")


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


def mended_until_sound(
    paper: Paper,
    look: Callable[[Paper], Seen],
    mend: Callable[[Paper, Seen], Paper | None],
    *,
    rounds: int,
) -> tuple[Paper, Seen]:
    """Look, mend what is seen, and look again, until nothing is left to mend.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        mm.
    look : callable
        Tells what is wrong with a paper: an audit, or the part of one that matters.
    mend : callable
        Returns the paper with what was seen mended; None where nothing is, or may be, mended.
    rounds : int
        The most times to mend: a patch seldom leaves another weak place, so this only bounds it.

    Returns
    -------
    paper : Polygon or MultiPolygon
        As it was last mended.
    seen : whatever `look` returns
        Of that paper.

    Examples
    --------
    >>> from shapely import box
    >>> def widened(paper, width):
    ...     return box(0, 0, width + 1, 1) if width < 3 else None
    >>> paper, width = mended_until_sound(box(0, 0, 1, 1), lambda paper: paper.area, widened, rounds=8)
    >>> paper.area == width == 3
    True
    """
    seen = look(paper)
    for _ in range(rounds):
        mended = mend(paper, seen)
        if mended is None:
            break
        paper, seen = mended, look(mended)
    return paper, seen
