"""Outlines of a piece: the solid paper a border runs along and a lattice fills.

Curves are flattened so that no chord strays from its curve by more than `CHORD_TOLERANCE`; vertices lie on
the curve and on its axes, so the size is exactly the one asked for and mirror images coincide.
"""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
import numpy.typing as npt
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.shapes.arches import pointed_head
from canivet.motifs.shapes.openings import Points
from canivet.parameters import Length, Share

from .bounds import PieceHeight, PieceWidth
from .registry import motif

__all__ = [
    "CHORD_TOLERANCE",
    "arch",
    "circle",
    "oval",
    "pointed_arch",
    "quarter_turn",
    "rectangle",
    "rounded_rectangle",
]

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


@motif("outline")
def rounded_rectangle(
    *,
    width: PieceWidth = 101.6,
    height: PieceHeight = 152.4,
    radius: Annotated[float, Length("radius of the corners", 0.5, 1500)] | None = None,
) -> Polygon:
    """An oblong sheet with round corners.

    Parameters
    ----------
    width : float
        mm, 5 to 3000, default 101.6 (4 in).
    height : float
        mm, 5 to 3000, default 152.4 (6 in).
    radius : float, optional
        Radius of the corners: mm, 0.5 to 1500 and at most half the shorter side; left out, a quarter of
        that side. A border must be narrower than this to flow round them.

    Returns
    -------
    Polygon
        The solid piece; its box has its lower left corner at the origin.

    Raises
    ------
    DoesNotFit
        If the corners do not fit on the shorter side.

    Examples
    --------
    >>> piece = rounded_rectangle(width=40, height=60, radius=8)
    >>> piece.bounds, round(2400 - piece.area)  # four corners lose (4 - π)·8² together
    ((0.0, 0.0, 40.0, 60.0), 55)
    """
    most = min(width, height) / 2
    radius = most / 2 if radius is None else radius
    if radius > most:
        raise DoesNotFit(
            f"radius is {format_length(radius)}; a piece {format_length(min(width, height))} across takes at "
            f"most {format_length(most)}. Lower radius or enlarge the piece.",
            parameter="radius", value=radius, accepted=f"at most {format_length(most)}",
        )  # fmt: skip
    corner = quarter_turn(radius) * radius + np.array([width / 2 - radius, height / 2 - radius])
    right = np.vstack([corner[::-1] * np.array([1, -1]), corner])
    return _mirrored(right, width, height)


@motif("outline")
def circle(*, width: PieceWidth = 101.6, height: PieceHeight | None = None) -> Polygon:
    """A round sheet.

    Parameters
    ----------
    width : float
        Its diameter: mm, 5 to 3000, default 101.6 (4 in).
    height : float, optional
        mm, 5 to 3000; the width again, or left out.

    Returns
    -------
    Polygon
        The solid piece; its box has its lower left corner at the origin.

    Raises
    ------
    DoesNotFit
        If width and height differ.

    Examples
    --------
    >>> circle(width=40).bounds
    (0.0, 0.0, 40.0, 40.0)
    """
    if height is not None and not math.isclose(height, width, abs_tol=1e-6):
        raise DoesNotFit(
            f"height is {format_length(height)}; a circle {format_length(width)} wide is as high as that. "
            "Make them alike, or choose an oval.",
            parameter="height", value=height, accepted=format_length(width),
        )  # fmt: skip
    return oval(width=width, height=width)


@motif("outline")
def pointed_arch(
    *,
    width: PieceWidth = 101.6,
    height: PieceHeight = 152.4,
    reach: Annotated[float, Share("radius of the two arcs over the width", 0.7, 1.6)] = 1.0,
) -> Polygon:
    """A pointed arch: straight sides, square feet, and a head of two arcs that meet in a point.

    Parameters
    ----------
    width : float
        mm, 5 to 3000, default 101.6 (4 in).
    height : float
        mm, at least that of the head, 5 to 3000, default 152.4 (6 in).
    reach : float
        Radius of the arcs over the width: 0.7 to 1.6, default 1, an equilateral arch; under it a drop arch,
        over it a lancet.

    Returns
    -------
    Polygon
        The solid piece, its lower left corner at the origin.

    Raises
    ------
    DoesNotFit
        If it is lower than its head.

    References
    ----------
    Drop, equilateral and lancet arch by the radius of their arcs: *common practice* of building.

    Examples
    --------
    >>> piece = pointed_arch(width=40, height=60)
    >>> piece.bounds, round(60 - piece.exterior.coords[2][1], 2)  # an equilateral head is √3/2 of the width
    ((0.0, 0.0, 40.0, 60.0), 34.64)
    """
    radius = reach * width
    head = math.sqrt(radius * width - width * width / 4)
    if height < head:
        need = format_length(math.ceil(head * 10) / 10)
        raise DoesNotFit(
            f"height is {format_length(height)}; a pointed arch {format_length(width)} wide with a reach of "
            f"{reach:g} needs at least {need} for its head. Raise height, or lower width or reach.",
            parameter="height", value=height, accepted=f"at least {need}",
        )  # fmt: skip
    sweep = math.asin(head / radius)
    pieces = max(3, math.ceil(sweep / math.sqrt(8 * CHORD_TOLERANCE / radius)))
    arc = pointed_head(width / 2, radius, pieces) + np.array([0, height - head])
    arc[0], arc[-1] = (width / 2, height - head), (0.0, height)
    left = arc[-2::-1] * np.array([-1, 1])
    feet = np.array([(-width / 2, 0.0), (width / 2, 0.0)] if height > head else np.empty((0, 2)))
    return Polygon(np.vstack([feet, arc, left]) + np.array([width / 2, 0]))


def _mirrored(right: Points, width: float, height: float) -> Polygon:
    """Return the piece whose right half, about the middle, runs upward through these points."""
    left = right[::-1] * np.array([-1, 1])
    ring = np.vstack([right, left])
    _, first = np.unique(np.round(ring, 9), axis=0, return_index=True)
    return Polygon(ring[np.sort(first)] + np.array([width, height]) / 2)
