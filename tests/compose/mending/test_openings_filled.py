"""Openings too small to cut are those that paper encloses, less the loose parts that lie in them."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point

from canivet.compose.mending.repair import fill_openings


def rings_in_rings(seed: int) -> MultiPolygon:
    """Rings one inside the other about several middles, some with two dots in the innermost."""
    rng = np.random.default_rng(seed)
    parts = []
    for k in range(5):
        radius = 20.0
        while radius > 5:
            inner = radius - rng.uniform(1, 3)
            parts.append(Point(50 * k, 0).buffer(radius) - Point(50 * k, 0).buffer(inner))
            radius = inner - rng.uniform(0.1, 2)
        if rng.random() < 0.5:
            parts += [Point(50 * k + x, 0).buffer(0.4) for x in (-0.8, 0.8)]
    return MultiPolygon(parts)


@pytest.mark.parametrize("seed", range(8))
def test_openings_round_loose_parts_are_those_an_overlay_finds(seed):
    paper = rings_in_rings(seed)
    solid = shapely.polygons(shapely.get_exterior_ring(shapely.get_parts(paper)))
    between = shapely.get_parts(shapely.union_all(solid) - paper)
    closed, filled = fill_openings(paper, smallest=50)  # larger than any
    assert len(filled) == len(between) > 5
    assert sorted(shapely.area(filled)) == pytest.approx(sorted(shapely.area(between)))
    assert closed.symmetric_difference(shapely.union_all(solid)).area < 1e-3 * closed.area
    for opening in filled:
        assert opening.intersection(paper).area < 1e-9
