"""Paint laid in order."""

from __future__ import annotations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon

from canivet.compose.reading._paint import lay_paint


@given(st.lists(st.tuples(st.booleans(), st.integers(0, 9), st.integers(0, 9)), max_size=12))
@settings(max_examples=60, deadline=None)
def test_paint_laid_in_pairs_is_paint_laid_in_order(coats):
    regions = [(dark, shapely.box(x, y, x + 4, y + 3)) for dark, x, y in coats]
    slow = MultiPolygon()
    for dark, region in regions:
        slow = shapely.union(slow, region) if dark else shapely.difference(slow, region)
    assert lay_paint(regions, grid=1e-6).symmetric_difference(slow).area < 1e-6
