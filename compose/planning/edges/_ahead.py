"""How far paper goes on from a place in a direction."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import STRtree

from canivet.audit.boundary import Boundary, Floats, cross

__all__ = ["AHEAD", "Paper"]

AHEAD = 4.0
"""mm. Paper that goes on this far is as good as any."""

_CLEAR = 0.01
"""mm. A look begins so far from its place, so as not to meet the edges that end there."""


class Paper:
    """A boundary that can be looked across from many places at once."""

    def __init__(self, boundary: Boundary) -> None:
        self.boundary = boundary
        self.tree = STRtree(boundary.segments())

    def ahead(self, at: Floats, direction: Floats) -> Floats:
        """Return how far it is from each place to the next edge in a direction, at most `AHEAD`, in mm.

        Parameters
        ----------
        at : (n, 2) float array
            mm.
        direction : (n, 2) float array
            Of length 1.

        Returns
        -------
        (n,) float array
        """
        found = np.full(len(at), AHEAD)
        if len(at) == 0:
            return found
        rays = shapely.linestrings(np.stack([at + direction * _CLEAR, at + direction * AHEAD], axis=1))
        row, segment = self.tree.query(rays, predicate="intersects")
        along, start = self.boundary.steps[segment], self.boundary.points[segment]
        across = cross(direction[row], along)
        with np.errstate(divide="ignore", invalid="ignore"):
            far = cross(start - at[row], along) / across
        level = np.abs(across) < 1e-12  # an edge in line with the look: met where it begins
        ends = np.stack([start, start + along], axis=1) - at[row][:, None]
        far = np.where(level, np.hypot(ends[..., 0], ends[..., 1]).min(axis=1), far)
        np.minimum.at(found, row, np.clip(far, _CLEAR, AHEAD))
        return found
