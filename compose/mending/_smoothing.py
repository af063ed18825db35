"""Taking the tremor out of an outline that came from a scanner or a coarse drawing."""

from __future__ import annotations

import numpy as np
import shapely
from scipy.ndimage import gaussian_filter1d
from shapely.geometry import LinearRing, Polygon

from canivet.audit.boundary import Floats, Paper, cross

from .areas import areas_of

__all__ = ["smooth_paper"]

CORNER = np.radians(50)
"""A turn this sharp within the smoothing length on either side is a corner, and stays."""

_TRUE = 0.005
"""mm by which a calmed edge may stray from its samples: under a tenth of what a hand can follow."""

_STEPS = 6
"""Samples to one smoothing length; more changes nothing that can be seen."""


def smooth_paper(paper: Paper, smooth: float) -> Paper:
    """A shape with calm edges: waves shorter than about four times `smooth` are gone, corners are kept.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    smooth : float
        The smoothing length, mm, above 0.

    Returns
    -------
    Polygon or MultiPolygon
        Rings shorter than twelve smoothing lengths are left as they are.

    Notes
    -----
    Each ring is sampled evenly and low-passed along its length with a Gaussian of that standard deviation,
    once forth and once against its own shrinkage: 2G − G². A wave of length 2π·smooth keeps 85 % of its
    height, one of 4·smooth half of it, one of 2·smooth a hundredth.

    Examples
    --------
    >>> from shapely import Point
    >>> disc = Point(0, 0).buffer(20)
    >>> abs(smooth_paper(disc, 0.5).area / disc.area - 1) < 1e-3
    True
    """
    parts = [Polygon(_ring(p.exterior, smooth), [_ring(h, smooth) for h in p.interiors])
             for p in shapely.get_parts(paper)]  # fmt: skip
    whole = shapely.union_all([shapely.make_valid(p) for p in parts])
    return areas_of(whole.simplify(_TRUE))


def _ring(ring: LinearRing, smooth: float) -> Floats:
    """Return the calmed points of one ring."""
    if ring.length < 12 * smooth:
        return np.asarray(ring.coords)
    count = int(np.ceil(ring.length / smooth * _STEPS))
    corners = shapely.get_coordinates(ring)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    at = np.arange(count) / count * along[-1]
    points = np.column_stack([np.interp(at, along, corners[:, axis]) for axis in (0, 1)])
    sigma = smooth * count / ring.length
    once = gaussian_filter1d(points, sigma, axis=0, mode="wrap")
    calm = 2 * once - gaussian_filter1d(once, sigma, axis=0, mode="wrap")
    hold = _cornered(once, sigma)[:, None]
    closed = calm * (1 - hold) + points * hold
    return np.vstack([closed, closed[:1]])


def _cornered(once: Floats, sigma: float) -> Floats:
    """Return 1 at corners, falling to 0 within two smoothing lengths: how much of the old line to keep."""
    reach = max(1, round(1.5 * sigma))
    before, after = once - np.roll(once, reach, axis=0), np.roll(once, -reach, axis=0) - once
    turn = np.abs(np.arctan2(cross(before, after), (before * after).sum(axis=1)))
    peak = (turn > CORNER) & (turn >= np.maximum(np.roll(turn, 1), np.roll(turn, -1)))
    spread = gaussian_filter1d(peak.astype(float), sigma, mode="wrap") * sigma * np.sqrt(2 * np.pi)
    return np.asarray(np.clip(spread, 0, 1))
