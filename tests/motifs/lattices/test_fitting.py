"""Cells give way to fill a box with whole ones, yet no more than the eye lets pass."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import Polygon
from support import rings_of

from canivet.motifs.outlines import rectangle
from canivet.motifs.registry import catalogue

UNLIKE = {"diamond-lattice", "basket-lattice", "star-lattice"}
"""Diamonds give way in their tilt; baskets and stars have no one cell that repeats straight across and up."""

MOST = {"triangle-lattice": 0.08, "asanoha-lattice": 0.08, "slots": 0.1}
"""Squash that patterns of 60° need, since their width and their rows hang together, and what slots bear."""

FITTED = [
    n for n, m in catalogue().items() if m.family == "lattice" and "fit" in m.parameters and n not in UNLIKE
]
BOXES = [(round(w, 1), round(h, 1)) for w, h in np.random.default_rng(2).uniform(45, 75, (4, 2))]


def proportions(paper: Polygon) -> float:
    """From one cell of the commonest kind to the next alike, across over up: measured in the drawing."""
    rings = rings_of(paper)
    looks = np.array([(ring.area, *np.subtract(ring.bounds[2:], ring.bounds[:2])) for ring in rings]).round(1)
    _, kind, counts = np.unique(looks, axis=0, return_inverse=True, return_counts=True)
    at = np.array([ring.centroid.coords[0] for ring in rings])[kind.ravel() == counts.argmax()]
    x, y = (at[:, None] - at[None]).reshape(-1, 2).T
    return float(x[(abs(y) < 0.02) & (x > 0.5)].min() / y[(abs(x) < 0.02) & (y > 0.5)].min())


@pytest.mark.parametrize("name", FITTED)
def test_cells_are_squashed_by_no_more_than_a_twentieth(name: str) -> None:
    motif = catalogue()[name]
    even = {"grade": 0} if "grade" in motif.parameters else {}
    for width, height in BOXES:
        fitted, plain = (
            motif.draw(within=rectangle(width=width, height=height), fit=f, **even) for f in (True, False)
        )
        squash = math.log(proportions(fitted) / proportions(plain))
        assert abs(squash) < MOST.get(name, 0.05) + 1e-3, (width, height)
