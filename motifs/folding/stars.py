"""The classic one-snip stars: a packet, one straight cut, a star.

References
----------
That one straight cut can free any straight-sided figure: Demaine, Demaine & Lubiw, 1998.
"""

from __future__ import annotations

import math
from typing import Annotated

from shapely.geometry import Polygon

from canivet.parameters import Count, Length, checked

from .fold import Fold, WedgeDrawing
from .folds import medallion_fold

__all__ = ["notch_radius", "one_snip_star", "snip_angles"]


def notch_radius(points: int) -> float:
    """Return the inner over the outer radius of the star whose sides run straight from tip to tip but one.

    Examples
    --------
    >>> round(notch_radius(5), 6), round(notch_radius(6), 6)
    (0.381966, 0.57735)
    """
    step = math.pi / points
    return math.cos(2 * step) / math.cos(step)


def snip_angles(points: int) -> tuple[float, float]:
    """Return the angles in degrees at which the cut meets the two folds: at the tip, and at the notch.

    Examples
    --------
    >>> [round(angle, 6) for angle in snip_angles(5)]
    [18.0, 126.0]
    """
    tip = 90.0 - 360.0 / points
    return tip, 180.0 - 180.0 / points - tip


@checked
def one_snip_star(
    *,
    points: Annotated[int, Count("points of the star", 5, 16)] = 5,
    width: Annotated[float, Length("side of the square that is folded", 20, 2000)] = 180.0,
) -> tuple[Fold, WedgeDrawing]:
    """A star cut with one straight snip through a folded square.

    Parameters
    ----------
    points : int
        5 to 16, default 5.
    width : float
        Side of the square, mm, 20 to 2000, default 180; the star's points lie on the circle in it.

    Returns
    -------
    Fold, WedgeDrawing
        The fold, and the part of the wedge that the snip keeps; nothing else is cut.

    Notes
    -----
    The cut runs from the outer end of the upright fold to the other fold, as `snip_angles` says.

    Examples
    --------
    >>> from canivet.motifs.folding.unfolding import unfold
    >>> fold, drawing = one_snip_star(points=5, width=100)
    >>> len(unfold(fold, drawing.openings, edge=drawing.kept).exterior.coords) - 1
    10
    """
    fold = medallion_fold(count=points, width=width)
    radius, step = width / 2, math.pi / points
    inner = radius * notch_radius(points)
    kept = Polygon([(0.0, 0.0), (inner * math.sin(step), inner * math.cos(step)), (0.0, radius)])
    return fold, WedgeDrawing((), kept)
