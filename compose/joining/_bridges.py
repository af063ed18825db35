"""What a bridge looks like: a stem out of the larger part, a plain bar, or one with a leaf or a bead."""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats

from .candidates import REACH_IN, Candidates, Ground, bridge_bodies

__all__ = ["Style", "draw_bridges"]

Style = Literal["stem", "bar", "leaf", "bead"]

LONG = 5.0
"""Straps of free length a bridge needs before a leaf or a bead sits well on it."""

_SWELL = {"leaf": (0.72, 2.6), "bead": (0.45, 2.4)}
"""Share of the length the swelling takes at most, and its greatest width in straps."""


_STEM = 3.0
"""Straps of free length from which a bridge is drawn as a stem."""

_ROOT, _THINS = 1.3, 1.6
"""How much thicker than a strap a stem is at its root, in straps, and the power by which it thins to one."""

_ALIKE = 0.01
"""Of the area: two parts that differ by less are a pair, and the stem between them has a root in either."""

_BOW = 0.13
"""Of its length: how far a stem bends, upward, or outward where it stands."""

_BARE = (0.2, 0.8)
"""Between these shares of its length a stem keeps clear of the parts that it joins."""


def draw_bridges(ways: Candidates, ground: Ground, style: Style = "bar") -> list[Polygon]:
    """Bars between parts, each at least as wide as the strap, run on into the paper at both ends.

    Parameters
    ----------
    ways : Candidates
        Where they go.
    ground : Ground
        Their width, and what a swelling may not touch.
    style : "stem", "bar", "leaf" or "bead"
        A stem is thickest where it leaves the larger part. What goes beyond a bar is left away where there is
        no room for it.

    Returns
    -------
    list of Polygon
    """
    bars = bridge_bodies(ways.start, ways.end, ground.strap)
    if style == "bar" or len(ways) == 0:
        return list(bars)
    if style == "stem":
        return list(_grown(ways, ground, bars))
    swell = _leaves(ways, ground.strap) if style == "leaf" else _beads(ways, ground.strap)
    fits = (ways.length >= LONG * ground.strap) & _has_room(swell, bars, ground)
    return list(np.where(fits, shapely.union(bars, swell), bars))


def _grown(ways: Candidates, ground: Ground, bars: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return a stem for each bridge with room for one, bent either way; else its bar."""
    laid = bars.copy()
    stem = np.zeros(len(ways), bool)
    for sense in (1, -1):
        stems, bare = _stems(ways, ground, sense)
        fits = ~stem & (ways.length >= _STEM * ground.strap)
        fits &= _grows_free(stems, bare, ways, ground)
        for row in np.flatnonzero(fits):
            others = np.delete(laid, row)
            if not len(others) or shapely.distance(stems[row], others).min() > 0.75 * ground.strap:
                laid[row], stem[row] = stems[row], True
    return laid


def _stems(ways: Candidates, ground: Ground, bent: int) -> tuple[NDArray[np.object_], NDArray[np.object_]]:
    """Return a bent taper for each bridge, its root in the larger part, and the middle of it alone."""
    area = shapely.area(ground.parts)
    from_a = area[ways.a] >= area[ways.b]
    root = np.where(from_a[:, None], ways.start, ways.end)
    way = np.where(from_a[:, None], 1, -1) * (ways.end - ways.start)
    length = np.hypot(*way.T)[:, None]
    unit = way / np.maximum(length, 1e-9)
    aside = np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    middle = shapely.get_coordinates(shapely.box(*shapely.total_bounds(ground.parts)).centroid)[0]
    outward = np.sign(root + way / 2 - middle)[:, 0]
    upright = np.abs(unit[:, 1]) > np.abs(unit[:, 0])
    sense = bent * np.where(upright, np.sign(aside[:, 0]) * outward, np.sign(aside[:, 1]))
    run = REACH_IN * ground.strap / np.maximum(length, 1e-9)
    t = np.linspace(-run[:, 0], 1 + run[:, 0], 49).T
    bow = (sense * _BOW * length[:, 0])[:, None] * 4 * t * (1 - t)
    line = root[:, None] + t[..., None] * way[:, None] + bow[..., None] * aside[:, None]
    at = np.clip(t, 0, 1)
    alike = np.abs(area[ways.a] - area[ways.b]) < _ALIKE * area[ways.a]
    other = np.where(alike[:, None], at**_THINS, 0)
    half = ground.strap / 2 * (1 + _ROOT * np.maximum((1 - at) ** _THINS, other))
    whole = np.array(
        [_thickened(points, wide) for points, wide in zip(line, half, strict=True)], dtype=object
    )
    bare = slice(int(_BARE[0] * 49), int(_BARE[1] * 49))
    return whole, np.array([shapely.LineString(points[bare]) for points in line], dtype=object)


def _thickened(line: Floats, half: Floats) -> Polygon:
    """Return a line made so wide on either side, its ends round."""
    step = np.gradient(line, axis=0)
    normal = np.column_stack([-step[:, 1], step[:, 0]]) / np.hypot(*step.T)[:, None]
    body = Polygon(np.vstack([line + half[:, None] * normal, (line - half[:, None] * normal)[::-1]]))
    ends = shapely.buffer(shapely.points(line[[0, -1]]), half[[0, -1]], quad_segs=16)
    whole: Polygon = shapely.union_all([body.buffer(0), *ends])
    return whole


def _grows_free(
    stems: NDArray[np.object_], bare: NDArray[np.object_], ways: Candidates, ground: Ground
) -> NDArray[np.bool_]:
    """Say which stems keep clear of other parts, of their own but at the ends, and of where none may be."""
    fits: NDArray[np.bool_] = shapely.get_type_id(stems) == shapely.GeometryType.POLYGON
    clear = shapely.buffer(stems, 0.75 * ground.strap)
    row, part = STRtree(ground.parts).query(clear, predicate="intersects")
    fits[row[(part != ways.a[row]) & (part != ways.b[row])]] = False
    for own in (ways.a, ways.b):
        fits &= shapely.distance(ground.parts[own], bare) > 1.2 * ground.strap
    if ground.keep_out is not None:
        fits &= ~shapely.intersects(ground.keep_out, stems)
    if ground.within is not None:
        fits &= shapely.covers(ground.within, stems)
    return fits


def _leaves(ways: Candidates, strap: float) -> NDArray[np.object_]:
    """Return a lens along each bridge, widest a little before its middle, pointed at both ends."""
    share, widest = _SWELL["leaf"]
    t = np.linspace(0, 1, 41)
    profile = np.sin(np.pi * t**0.9) ** 1.1
    half = np.minimum(widest / 2 * strap, 0.16 * ways.length)[:, None]
    along = (0.5 + share * (t - 0.5)) * ways.length[:, None]
    upper = np.stack([along, half * profile], axis=2)
    lower = np.stack([along, -half * profile], axis=2)[:, ::-1]
    return _placed(np.concatenate([upper, lower[:, 1:-1]], axis=1), ways)


def _beads(ways: Candidates, strap: float) -> NDArray[np.object_]:
    """Return a disc on the middle of each bridge."""
    share, widest = _SWELL["bead"]
    radius = np.minimum(widest / 2 * strap, share / 2 * ways.length)
    beads: NDArray[np.object_] = shapely.buffer(
        shapely.points((ways.start + ways.end) / 2), radius, quad_segs=24
    )
    return beads


def _placed(local: Floats, ways: Candidates) -> NDArray[np.object_]:
    unit = (ways.end - ways.start) / np.maximum(ways.length, 1e-9)[:, None]
    normal = np.stack([-unit[:, 1], unit[:, 0]], axis=1)
    points = ways.start[:, None] + local[..., :1] * unit[:, None] + local[..., 1:] * normal[:, None]
    shapes: NDArray[np.object_] = shapely.polygons(points)
    return shapes


def _has_room(swell: NDArray[np.object_], bars: NDArray[np.object_], ground: Ground) -> NDArray[np.bool_]:
    """Say which swellings stand clear of every part, of other bridges, and of where none may be."""
    clear = shapely.buffer(swell, 0.75 * ground.strap)
    fits = np.ones(len(swell), bool)
    row, _ = STRtree(ground.parts).query(clear, predicate="intersects")
    fits[row] = False
    row, other = STRtree(bars).query(clear, predicate="intersects")
    fits[row[row != other]] = False
    if ground.keep_out is not None:
        fits &= ~shapely.intersects(ground.keep_out, swell)
    if ground.within is not None:
        fits &= shapely.covers(ground.within, swell)
    return fits
