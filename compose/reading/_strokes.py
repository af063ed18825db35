"""From drawn lines to the bands that a pen leaves along them, whole or in dashes.

References
----------
Strokes, dashes and mitres as in SVG 2, chapter 13, *Painting*.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from canivet.crossings import TooIntricate

from ._flatten import Points, Subpath

__all__ = ["MOST_DASHES", "cut_dashes", "require_few_overlaps", "widen"]

MOST_DASHES = 5_000

MOST_OVERLAPS = 1_000_000
"""Pairs of lines nearer each other than the pen is wide: a scribble of a thousand lines has as many."""


def require_few_overlaps(paths: Sequence[Subpath], *, width: float) -> None:
    """Estimate from five hundred lines how often the bands that a pen leaves along them overlap.

    Raises
    ------
    TooIntricate
        If that is more than a million times: a band over itself takes time and memory by it.

    Notes
    -----
    Points nearer each other than a hundredth of the pen's width count for nothing, as in the buffer.

    Examples
    --------
    >>> hatching = np.column_stack([np.arange(3000.0) / 9, np.arange(3000) % 2 * 99.0])
    >>> require_few_overlaps([Subpath(hatching, closed=False)], width=1)
    >>> require_few_overlaps([Subpath(hatching, closed=False)], width=900)
    Traceback (most recent call last):
    canivet.crossings.TooIntricate: its strokes overlap too often
    """
    drawn = [path.points for path in paths if len(path.points) > 1]
    if sum(map(len, drawn)) ** 2 <= MOST_OVERLAPS:
        return
    lines = [shapely.get_coordinates(shapely.simplify(shapely.linestrings(p), width / 100)) for p in drawn]
    starts, ends = (np.concatenate([line[cut] for line in lines]) for cut in (slice(-1), slice(1, None)))
    low, high = np.minimum(starts, ends) - width / 2, np.maximum(starts, ends) + width / 2
    boxes = shapely.box(*low.T, *high.T)
    sample = boxes[:: max(1, len(boxes) // 500)]
    tree = shapely.STRtree(boxes)
    met = sum(tree.query(few).shape[1] for few in np.array_split(sample, len(sample) // 20 + 1))
    if met * len(boxes) / len(sample) > MOST_OVERLAPS:
        raise TooIntricate("its strokes overlap too often")


def widen(
    paths: Sequence[Subpath],
    *,
    width: float,
    cap: str = "butt",
    join: str = "miter",
    mitre_limit: float = 4.0,
    tolerance: float,
) -> list[BaseGeometry]:
    """Return the bands that a pen of this width leaves along the paths.

    Parameters
    ----------
    paths : sequence of Subpath
        In the pen's own units.
    width : float
        Width of the pen.
    cap : ``"butt"``, ``"round"`` or ``"square"``
        How an open end is finished.
    join : ``"miter"``, ``"round"`` or ``"bevel"``
        How a corner is finished; any other word draws a mitre.
    mitre_limit : float
        Mitre length over width past which a corner is bevelled.
    tolerance : float
        How far a round may stray from its circle.

    Notes
    -----
    Corners are bevelled by the buffer and each mitre that keeps the limit is laid on top, since a buffer
    would cut a longer one short and SVG wants it bevelled.

    Examples
    --------
    >>> square = Subpath(np.array([[0, 0], [10, 0], [10, 10], [0, 10]], float), closed=True)
    >>> bands = widen([square], width=2, tolerance=0.01)
    >>> round(shapely.union_all(bands).area, 6)  # 12 × 12 less 8 × 8
    80.0
    """
    radius = width / 2
    segments = _segments_per_quarter(radius, tolerance)
    bands: list[BaseGeometry] = []
    for points, closed in paths:
        line = points[np.r_[True, (np.diff(points, axis=0) != 0).any(axis=1)]]
        if closed and len(line) > 1 and (line[0] == line[-1]).all():
            line = line[:-1]
        if len(line) < 2:
            bands.extend(_dot(line, radius, cap, segments))
            continue
        ring = closed and len(line) > 2
        shape = shapely.linearrings(line) if ring else shapely.linestrings(line)
        bands.append(shapely.buffer(
            shape, radius, quad_segs=segments, cap_style=_CAPS.get(cap, "flat"),
            join_style="round" if join == "round" else "bevel",
        ))  # fmt: skip
        if join not in ("round", "bevel"):
            bands.extend(_mitres(line, ring, radius, mitre_limit))
    return bands


_CAPS = {"butt": "flat", "round": "round", "square": "square"}


def _segments_per_quarter(radius: float, tolerance: float) -> int:
    if radius <= tolerance:
        return 2
    return int(np.clip(np.ceil(np.pi / 4 / np.arccos(1 - tolerance / radius)), 2, 128))


def _dot(point: Points, radius: float, cap: str, segments: int) -> list[BaseGeometry]:
    """A path that goes nowhere shows only its caps."""
    if not len(point) or cap not in ("round", "square"):
        return []
    return [shapely.buffer(shapely.points(point[0]), radius, quad_segs=segments, cap_style=cap)]


def _mitres(line: Points, ring: bool, radius: float, limit: float) -> list[BaseGeometry]:
    corners = np.vstack([line[-1], line, line[0]]) if ring else line
    steps = np.diff(corners, axis=0)
    steps /= np.hypot(*steps.T)[:, None]
    before, after, at = steps[:-1], steps[1:], corners[1:-1]
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    straightness = (before * after).sum(axis=1)
    # Mitre length over width is 1 / sin(half the angle between the legs), whose square is (1 + cos turn) / 2.
    half_sine = np.sqrt(np.clip((1 + straightness) / 2, 0, 1))
    sharp = (np.abs(turn) > 0.05) & (half_sine * limit >= 1)
    before, after, at, turn = before[sharp], after[sharp], at[sharp], turn[sharp]
    side = np.where(turn > 0, 1.0, -1.0)[:, None] * radius
    one, two = (np.column_stack([d[:, 1], -d[:, 0]]) * side for d in (before, after))
    tip = (one + two) / (2 * half_sine[sharp, None] ** 2)
    quads = np.stack([at, at + one, at + tip, at + two], axis=1)
    return list(shapely.polygons(quads))


def cut_dashes(path: Subpath, dashes: Sequence[float], offset: float) -> list[Subpath]:
    """Return the pieces of a path that dashes of these lengths leave, on and off in turn.

    Raises
    ------
    TooIntricate
        If there would be more than five thousand.

    Examples
    --------
    >>> line = Subpath(np.array([[0.0, 0.0], [10.0, 0.0]]), closed=False)
    >>> [piece.points[:, 0].tolist() for piece in cut_dashes(line, [3, 2], 0)]
    [[0.0, 3.0], [5.0, 8.0]]
    """
    points = np.vstack([path.points, path.points[:1]]) if path.closed else path.points
    along = np.r_[0.0, np.hypot(*np.diff(points, axis=0).T).cumsum()]
    pattern = np.asarray(dashes, float)
    pattern = np.tile(pattern, 2) if len(pattern) % 2 else pattern
    period = pattern.sum()
    if along[-1] / period * len(pattern) > MOST_DASHES:
        raise TooIntricate("its dashes are too many")
    marks = np.r_[0.0, pattern.cumsum()]
    shift = offset % period
    repeats = np.arange(int((along[-1] + shift) // period) + 1)[:, None] * period - shift
    starts, ends = ((repeats + marks[k::2][: len(pattern) // 2]).ravel() for k in (0, 1))
    shown = (ends >= 0) & (starts <= along[-1])
    # A dash of no length shows its caps; one that only touches an end of the line with its own shows nothing.
    shown &= (ends == starts) | ((ends > 0) & (starts < along[-1]))
    spans = np.clip(np.column_stack([starts, ends])[shown], 0, along[-1])
    on = [_stretch(points, along, start, end) for start, end in spans]
    if path.closed and on and (on[0][0] == points[0]).all() and (on[-1][-1] == points[0]).all():
        if len(on) == 1:
            return [path]
        on[0] = np.vstack([on.pop(), on[0]])  # a dash that runs through the start is one
    return [Subpath(dash, closed=False) for dash in on]


def _stretch(points: Points, along: Points, start: float, end: float) -> Points:
    inside = points[(along > start) & (along < end)]
    tips = np.column_stack([np.interp((start, end), along, points[:, k]) for k in (0, 1)])
    return np.vstack([tips[:1], inside, tips[1:]])
