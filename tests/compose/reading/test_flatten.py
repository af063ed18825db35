"""Fill rules, paint laid in order, dashes and strokes: the plane geometry beneath the reader."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon

from canivet.compose.reading._flatten import Subpath, cut_dashes, fill_rings, lay_paint, widen

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


@given(st.lists(st.tuples(st.booleans(), st.integers(0, 9), st.integers(0, 9)), max_size=12))
@settings(max_examples=60, deadline=None)
def test_paint_laid_in_pairs_is_paint_laid_in_order(coats):
    regions = [(dark, shapely.box(x, y, x + 4, y + 3)) for dark, x, y in coats]
    slow = MultiPolygon()
    for dark, region in regions:
        slow = shapely.union(slow, region) if dark else shapely.difference(slow, region)
    assert lay_paint(regions, grid=1e-6).symmetric_difference(slow).area < 1e-6


def test_dashes_leave_the_share_of_the_line_that_is_on():
    circle = np.column_stack([f(np.linspace(0, 2 * np.pi, 200)[:-1]) for f in (np.cos, np.sin)])
    pieces = cut_dashes(Subpath(circle, closed=True), [0.03, 0.01], 0.0)
    length = sum(shapely.linestrings(piece.points).length for piece in pieces)
    assert length / shapely.linearrings(circle).length == pytest.approx(0.75, abs=0.005)


@pytest.mark.parametrize(("dashes", "offset", "count"), [([5, 3], 2, 5), ([100, 1], 0, 1), ([5, 3], 6, 5)])
def test_a_dash_that_runs_through_the_start_of_a_ring_is_one(dashes, offset, count):
    # Derived: a ring of 40 holds five periods of 8, so however they are shifted there are five dashes and no seam.
    square = Subpath(np.array([[0, 0], [10, 0], [10, 10], [0, 10]], float), closed=True)
    pieces = cut_dashes(square, dashes, offset)
    assert len(pieces) == count
    assert len(shapely.get_parts(shapely.union_all(widen(pieces, width=1, tolerance=0.01)))) == count
    if count > 1:
        assert [shapely.linestrings(p.points).length for p in pieces] == pytest.approx([5] * 5)


@pytest.mark.parametrize(("limit", "extra"), [(4.0, 0.5), (1.0, 0.0)])
def test_a_square_corner_is_mitred_within_the_limit_and_bevelled_past_it(limit, extra):
    # Derived: a right angle has a mitre of √2 widths; its mitre adds a triangle of a half unit to the bevel's.
    corner = Subpath(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]), closed=False)
    bands = widen([corner], width=2, mitre_limit=limit, tolerance=0.01)
    assert shapely.union_all(bands).area == pytest.approx(39.5 + extra, abs=0.03)
