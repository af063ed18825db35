"""Outlines of a piece: the solid paper a border runs along and a lattice fills.

Curves are flattened so that no chord strays from its curve by more than `CHORD_TOLERANCE`; vertices lie on
the curve and on its axes, so the size is exactly the one asked for and mirror images coincide.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length

from .bounds import PieceHeight, PieceWidth
from .registry import motif

__all__ = ["CHORD_TOLERANCE", "arch", "oval", "quarter_turn", "rectangle"]

CHORD_TOLERANCE = 0.01
"""mm between a chord and its curve: a tenth of what a blade can follow, and few enough points."""


@motif("outline")
def rectangle(*, width: PieceWidth = 101.6, height: PieceHeight = 152.4) -> Polygon:
    """A plain oblong sheet with square corners.

    Parameters
    ----------
    width : float
        mm, 5 to 3000, default 101.6 (4 in).
    height : float
        mm, 5 to 3000, default 152.4 (6 in).

    Returns
    -------
    Polygon
        The solid piece, its lower left corner at the origin.

    Examples
    --------
    >>> rectangle(width=40, height=60).area
    2400.0
    """
    return Polygon([(0, 0), (width, 0), (width, height), (0, height)])


@motif("outline")
def oval(*, width: PieceWidth = 101.6, height: PieceHeight = 152.4) -> Polygon:
    """An ellipse, upright or lying; a circle where width and height agree.

    Parameters
    ----------
    width : float
        mm, 5 to 3000, default 101.6 (4 in).
    height : float
        mm, 5 to 3000, default 152.4 (6 in).

    Returns
    -------
    Polygon
        The solid piece; its box has its lower left corner at the origin.

    Examples
    --------
    >>> oval(width=40, height=60).bounds
    (0.0, 0.0, 40.0, 60.0)
    """
    a, b = width / 2, height / 2
    quarter = quarter_turn(max(a, b)) * np.array([a, b])
    half = _and_mirrored(quarter)
    return Polygon(np.vstack([half[:-1], -half[:-1]]) + np.array([a, b]))


@motif("outline")
def arch(*, width: PieceWidth = 101.6, height: PieceHeight = 152.4) -> Polygon:
    """A round-headed arch: straight sides, square feet, a half-round head.

    Parameters
    ----------
    width : float
        mm, 5 to 3000, default 101.6 (4 in).
    height : float
        mm, at least half the width, 5 to 3000, default 152.4 (6 in).

    Returns
    -------
    Polygon
        The solid piece, its lower left corner at the origin.

    Raises
    ------
    DoesNotFit
        If it is lower than its half-round head.

    Examples
    --------
    >>> arch(width=40, height=60).bounds
    (0.0, 0.0, 40.0, 60.0)
    """
    radius = width / 2
    if height < radius:
        raise DoesNotFit(
            f"height is {format_length(height)}; an arch {format_length(width)} wide needs at least "
            f"{format_length(radius)} for its half-round head. Raise height or lower width.",
            parameter="height", value=height, accepted=f"at least {format_length(radius)}",
        )  # fmt: skip
    quarter = quarter_turn(radius) * radius
    head = _and_mirrored(quarter) + np.array([radius, height - radius])
    feet = [] if height == radius else [(0.0, 0.0), (width, 0.0)]
    return Polygon([*feet, *head])


def _and_mirrored(quarter: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return np.vstack([quarter[:-1], quarter[::-1] * np.array([-1, 1])])


def quarter_turn(radius: float) -> npt.NDArray[np.float64]:
    """Return points on a unit quarter circle, close enough to flatten a curve of that radius.

    Parameters
    ----------
    radius : float
        mm, the larger half axis the points will be scaled to.

    Returns
    -------
    ndarray
        Shape (n, 2), from (1, 0) to (0, 1), both exact.
    """
    step = math.sqrt(8 * CHORD_TOLERANCE / radius)
    angles = np.linspace(0, np.pi / 2, max(3, math.ceil(np.pi / 2 / step)) + 1)
    points = np.column_stack([np.cos(angles), np.sin(angles)])
    points[0], points[-1] = (1, 0), (0, 1)
    return points
