"""Outlines of single letters as areas: curves cut into chords, contours filled as a face means them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from fontTools.pens.basePen import BasePen
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Flags, Floats
from canivet.crossings import check_crossings

__all__ = ["ChordPen", "as_multi", "fill_contours"]

Point = tuple[float, float]

_MOST_POINTS = 20_000
"""Of one letter; a character of brush strokes has some two thousand."""


class ChordPen(BasePen):  # type: ignore[misc]
    """Takes a letter's outline from a face and keeps it as closed rings of chords.

    Parameters
    ----------
    tolerance : float
        Font units between a chord and its curve, at most.

    Attributes
    ----------
    overfull : bool
        Whether the letter has more than twenty thousand points; what came after them was not kept. Nothing is
        raised for it, since the shaping engine, which calls the pen, would swallow that.

    Notes
    -----
    A quadratic curve cut into n equal steps of its parameter strays from its chords by |p0 - 2 p1 + p2| /
    (4 n²) at most; a cubic by √3/18 … bounded here by 3/4 · max |second difference| / n². Points lie on the
    curve, so a letter comes out a hair smaller and never larger where it bulges.
    """

    def __init__(self, tolerance: float) -> None:
        super().__init__(None)
        self.tolerance = tolerance
        self.rings: list[list[Point]] = []
        self._count = 0

    def _moveTo(self, pt: Point) -> None:  # noqa: N802
        self.rings.append([pt])

    def _lineTo(self, pt: Point) -> None:  # noqa: N802
        self._add(np.array([pt], dtype=float))

    def _qCurveToOne(self, pt1: Point, pt2: Point) -> None:  # noqa: N802
        if self.overfull:
            return
        curve = np.array([self._getCurrentPoint(), pt1, pt2], dtype=float)
        bend = float(np.hypot(*(curve[0] - 2 * curve[1] + curve[2])))
        t = self._steps(bend / 4)
        points = (1 - t) ** 2 * curve[0] + 2 * t * (1 - t) * curve[1] + t**2 * curve[2]
        self._add(points)

    def _curveToOne(self, pt1: Point, pt2: Point, pt3: Point) -> None:  # noqa: N802
        if self.overfull:
            return
        curve = np.array([self._getCurrentPoint(), pt1, pt2, pt3], dtype=float)
        bend = float(np.hypot(*np.diff(curve, n=2, axis=0).T).max())
        t = self._steps(3 * bend / 4)
        points = (
            (1 - t) ** 3 * curve[0] + 3 * t * (1 - t) ** 2 * curve[1]
            + 3 * t**2 * (1 - t) * curve[2] + t**3 * curve[3]
        )  # fmt: skip
        self._add(points)

    def _closePath(self) -> None:  # noqa: N802
        pass

    def _endPath(self) -> None:  # noqa: N802
        pass

    @property
    def overfull(self) -> bool:
        """Whether there were more points than are kept."""
        return self._count > _MOST_POINTS

    def _add(self, points: Floats) -> None:
        self._count += len(points)
        if not self.overfull:
            self.rings[-1] += [(float(x), float(y)) for x, y in points]

    def _steps(self, bend: float) -> Floats:
        n = min(_MOST_POINTS + 1, max(1, math.ceil(math.sqrt(bend / self.tolerance))))
        return np.linspace(0, 1, n + 1)[1:, None]


def fill_contours(rings: list[list[Point]]) -> MultiPolygon:
    """Return the area that contours enclose by the non-zero rule, which TrueType and OpenType faces use.

    Parameters
    ----------
    rings : list of list of (x, y)
        As a pen left them; they may cross themselves and each other.

    Returns
    -------
    MultiPolygon
        Empty for a space, and for contours that enclose nothing.

    Raises
    ------
    TooIntricate
        If the contours cross more than twenty thousand times.

    Examples
    --------
    Two squares drawn the same way round that overlap are one area, not a hole:

    >>> fill_contours([[(0, 0), (0, 2), (2, 2), (2, 0)], [(1, 0), (1, 2), (3, 2), (3, 0)]]).area
    6.0
    """
    closed = [np.array([*ring, ring[0]], dtype=float) for ring in rings if len(set(ring)) > 2]
    if not closed:
        return MultiPolygon()
    check_crossings(*(np.concatenate([ring[cut] for ring in closed]) for cut in (slice(-1), slice(1, None))))
    lines = shapely.union_all([shapely.linestrings(ring) for ring in closed])
    faces = shapely.get_parts(shapely.polygonize([lines]))
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    if not len(faces):
        return MultiPolygon()
    turns = sum((_turns_round(ring, inside) for ring in closed), np.zeros(len(inside), int))
    return as_multi(shapely.union_all(faces[turns != 0]))


def as_multi(area: Any) -> MultiPolygon:
    """Return the polygons of any geometry as one MultiPolygon."""
    parts: NDArray[np.object_] = shapely.get_parts(area)
    return MultiPolygon([part for part in parts if isinstance(part, Polygon) and not part.is_empty])


def _turns_round(ring: Floats, points: Floats) -> NDArray[np.int_]:
    """Return how often the ring winds round each point."""
    a, b = ring[:-1, None], ring[1:, None]
    side = (b[..., 0] - a[..., 0]) * (points[:, 1] - a[..., 1]) - (points[:, 0] - a[..., 0]) * (
        b[..., 1] - a[..., 1]
    )
    up: Flags = (a[..., 1] <= points[:, 1]) & (b[..., 1] > points[:, 1]) & (side > 0)
    down: Flags = (a[..., 1] > points[:, 1]) & (b[..., 1] <= points[:, 1]) & (side < 0)
    turns: NDArray[np.int_] = up.sum(axis=0) - down.sum(axis=0)
    return turns
