"""Fill rules: from rings to regions."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from canivet.compose.reading._flatten import fill_rings

ring_points = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=8)


@given(st.lists(ring_points, min_size=1, max_size=4), st.sampled_from(["nonzero", "evenodd"]))
@settings(max_examples=60, deadline=None)
def test_a_fill_rule_holds_at_every_point(rings, rule):
    # Derived: the winding number of a ring about a point is the sum of the angles its edges subtend, over 360°.
    arrays = [np.array(ring, float) for ring in rings]
    region = fill_rings(arrays, rule, grid=1e-6)
    assert region.is_valid
    probes = np.random.default_rng(0).uniform(0, 12, (40, 2))
    winding = np.zeros(len(probes))
    for ring in arrays:
        spokes = ring[None] - probes[:, None]
        angles = np.arctan2(spokes[..., 1], spokes[..., 0])
        turns = (np.roll(angles, -1, axis=1) - angles + np.pi) % (2 * np.pi) - np.pi
        winding += turns.sum(axis=1) / (2 * np.pi)
    expected = np.round(winding) != 0 if rule == "nonzero" else np.round(winding) % 2 == 1
    clear = shapely.distance(shapely.points(probes), shapely.union_all(shapely.linestrings(
        [pair for ring in arrays for pair in np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)]))) > 1e-3  # fmt: skip
    assert (shapely.contains_xy(region, *probes.T) == expected)[clear].all()
