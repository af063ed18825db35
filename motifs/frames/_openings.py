"""The openings a frame is made of, and laying them on paper: drops, leaves, eyelets and what lies between."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.outlines import CHORD_TOLERANCE, quarter_turn
from canivet.motifs.shapes.openings import Points, Shapes

from .frame import NoRoom

__all__ = [
    "Floats",
    "along",
    "block",
    "disc",
    "drop",
    "ellipse",
    "gather",
    "largest",
    "lay",
    "leaf",
    "mirrored",
    "no_shapes",
    "petal",
    "sector",
    "soft",
    "stations",
    "tablet",
]

Floats = npt.NDArray[np.floating[Any]]

_QUARTER = 16
"""Sides to a quarter of a disc that is rolled along an edge."""


def no_shapes() -> Shapes:
    """Return no opening at all."""
    return np.empty(0, dtype=object)


def gather(*groups: Polygon | Shapes | Sequence[Polygon]) -> Shapes:
    """Return single openings and groups of them as one array."""
    listed = [one for group in groups for one in ([group] if isinstance(group, Polygon) else group)]
    out = np.empty(len(listed), dtype=object)
    out[:] = listed
    return out


def _steps(radius: float, turn: float) -> int:
    return max(4, math.ceil(abs(turn) / math.sqrt(8 * CHORD_TOLERANCE / max(radius, 0.05))))


def _arc(x: float, y: float, radius: float, start: float, end: float) -> Points:
    angle = np.linspace(start, end, _steps(radius, end - start) + 1)
    return np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)])


def disc(radius: float) -> Points:
    """An eyelet about the origin, the same in the mirror both ways."""
    angle = np.linspace(0, 2 * math.pi, 4 * _steps(radius, math.pi / 2) + 1)[:-1]
    around: Points = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return around


def drop(length: float, width: float) -> Points:
    """A drop along x: round at the origin's end, its point at `length`."""
    r = width / 2
    if length <= width * 1.01:
        around: Points = disc(length / 2) + np.array([length / 2, 0])
        return around
    lean = math.acos(r / (length - r))
    return np.vstack([_arc(r, 0, r, lean, 2 * math.pi - lean), [(length, 0.0)]])


def leaf(length: float, width: float, *, belly: float = 0.85) -> Points:
    """A leaf along x from the origin, pointed at both ends and fullest a little before its middle."""
    u = np.linspace(0, 1, max(9, math.ceil(length * 1.6)))
    half = width / 2 * np.sin(math.pi * u**belly)
    upper = np.column_stack([u * length, half])
    return np.vstack([upper * np.array([1, -1]), upper[-2:0:-1]])


def petal(length: float, near: float, far: float) -> Points:
    """A slot along x from the origin with round ends, `near` wide at its start and `far` wide at its end."""
    a, b = near / 2, far / 2
    lean = math.acos(max(-1.0, min(1.0, (a - b) / max(length - a - b, 1e-6))))
    return np.vstack([_arc(length - b, 0, b, -lean, lean), _arc(a, 0, a, lean, 2 * math.pi - lean)])


def ellipse(x: float, y: float, half_width: float, half_height: float) -> Polygon:
    """A solid ellipse about a point; half axes above zero, or there is no room for it."""
    if min(half_width, half_height) < 1e-6:
        raise NoRoom
    quarter = quarter_turn(max(half_width, half_height)) * (half_width, half_height)
    half = np.vstack([quarter[:-1], quarter[::-1] * (-1, 1)])
    return Polygon(np.vstack([half[:-1], -half[:-1]]) + np.array([x, y]))


def block(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    """A solid oblong; its sides in order and none of an empty box, or there is no room for it."""
    if not (x1 - x0 >= 1e-6 and y1 - y0 >= 1e-6):
        raise NoRoom
    return Polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def tablet(box: Polygon, scoop: float) -> Polygon:
    """An oblong whose corners are scooped out by quarter rounds."""
    if scoop <= 0:
        return box
    corners = [ellipse(x, y, scoop, scoop) for x, y in shapely.get_coordinates(box.exterior)[:4]]
    scooped: Polygon = box.difference(shapely.union_all(corners))
    return scooped


def sector(x: float, y: float, inner: float, outer: float, start: float, end: float) -> Polygon:
    """Part of a ring between two radii and two angles in degrees, anticlockwise."""
    if not 0 < inner < outer or not start < end:
        raise NoRoom
    a, b = math.radians(start), math.radians(end)
    return Polygon(np.vstack([_arc(x, y, outer, a, b), _arc(x, y, inner, b, a)]))


def lay(shape: Points, at: Points, angle: Floats | float) -> Shapes:
    """Lay copies of an opening with its origin at each point, its x axis along each angle (radians)."""
    at = np.atleast_2d(np.asarray(at, dtype=float))
    turn = np.broadcast_to(np.asarray(angle, dtype=float), len(at))
    cos, sin = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x = at[:, :1] + cos * shape[:, 0] - sin * shape[:, 1]
    y = at[:, 1:] + sin * shape[:, 0] + cos * shape[:, 1]
    laid: Shapes = np.atleast_1d(shapely.polygons(np.stack([x, y], axis=-1)))
    return laid


def mirrored(shapes: Shapes, x: float) -> Shapes:
    """Return the shapes and their mirror images about the upright line at `x`."""
    turned = shapely.transform(shapes, lambda points: points * np.array([-1, 1]) + np.array([2 * x, 0]))
    return gather(shapes, turned)


def soft(region: BaseGeometry, radius: float) -> Shapes:
    """Return the parts of a region with their corners rounded from inside; what is too thin goes."""
    core = shapely.buffer(region, -radius, quad_segs=_QUARTER, join_style="mitre")
    rounded = shapely.get_parts(shapely.buffer(core, radius, quad_segs=_QUARTER))
    solid: Shapes = rounded[~shapely.is_empty(rounded)]
    return solid


def largest(parts: Shapes) -> Polygon:
    """Return the largest of several shapes; where there is none, there is no room for it."""
    if not len(parts):
        raise NoRoom
    first: Polygon = max(parts, key=lambda part: part.area)
    return first


def stations(line: LineString, count: int) -> tuple[Points, Floats]:
    """Return evenly spaced points on a line and the direction it takes there, in radians.

    On an open line the points stand half a step from either end; on a ring the first stands where the ring
    begins.
    """
    shift = 0.0 if line.is_ring else 0.5
    return along(line, (np.arange(count) + shift) * line.length / count)


def along(line: LineString, at: Floats) -> tuple[Points, Floats]:
    """Return the points at given distances along a line, and its direction there in radians."""
    length, small = line.length, 0.05
    before, after = at - small, at + small
    if line.is_ring:
        before, after = before % length, after % length
    points = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
    step = shapely.get_coordinates(
        shapely.line_interpolate_point(line, np.clip(after, 0, length))
    ) - shapely.get_coordinates(shapely.line_interpolate_point(line, np.clip(before, 0, length)))
    return points, np.arctan2(step[:, 1], step[:, 0])
