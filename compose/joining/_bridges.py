"""What a bridge looks like: a plain bar, or one with a leaf or a bead at its middle."""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats

from .candidates import Candidates, Ground, bridge_bodies

__all__ = ["draw_bridges"]

LONG = 5.0
"""Straps of free length a bridge needs before a leaf or a bead sits well on it."""

_SWELL = {"leaf": (0.72, 2.6), "bead": (0.45, 2.4)}
"""Share of the length the swelling takes at most, and its greatest width in straps."""


def draw_bridges(
    ways: Candidates, ground: Ground, style: Literal["bar", "leaf", "bead"] = "bar"
) -> list[Polygon]:
    """Bars between parts, each as wide as the strap, run on into the paper at both ends.

    Parameters
    ----------
    ways : Candidates
        Where they go.
    ground : Ground
        Their width, and what a swelling may not touch.
    style : "bar", "leaf" or "bead"
        A leaf or a bead is left away where there is no room for it.

    Returns
    -------
    list of Polygon
    """
    bars = bridge_bodies(ways.start, ways.end, ground.strap)
    if style == "bar" or len(ways) == 0:
        return list(bars)
    swell = _leaves(ways, ground.strap) if style == "leaf" else _beads(ways, ground.strap)
    fits = (ways.length >= LONG * ground.strap) & _has_room(swell, bars, ground)
    return list(np.where(fits, shapely.union(bars, swell), bars))


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
