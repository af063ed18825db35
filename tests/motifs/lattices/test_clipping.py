"""Shapes clipped to the pieces of a region are those clipped to all of it; and which openings are worth cutting."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import seeds
from support import random_paper

from canivet.motifs.lattices._filling.clipping import clipped_to
from canivet.motifs.lattices._filling.sound import holds_circle
from canivet.motifs.shapes.rounds import inscribed_radius


def strewn(seed, count, spread=50.0):
    """So many triangles of about 3 mm, some of them far outside of anything."""
    rng = np.random.default_rng(seed)
    at = rng.uniform(-spread, spread, (count, 1, 2))
    turns = rng.uniform(0, 2 * np.pi, (count, 1)) + np.arange(3) * 2 * np.pi / 3
    return shapely.polygons(at + 2 * np.stack([np.cos(turns), np.sin(turns)], axis=-1))


@settings(max_examples=20, deadline=None)
@given(seeds, seeds, st.sampled_from([1, 7, 300]), st.booleans())
def test_a_shape_is_clipped_to_the_piece_about_it_as_to_the_whole_region(region, shapes, count, outlines):
    region, shapes = random_paper(region), strewn(shapes, count)
    shapes = shapely.get_exterior_ring(shapes) if outlines else shapes
    clipped = clipped_to(region, shapes)
    whole = shapely.intersection(shapes, region)
    assert shapely.hausdorff_distance(clipped, whole)[~shapely.is_empty(whole)] == pytest.approx(0, abs=1e-9)
    assert (shapely.is_empty(clipped) == shapely.is_empty(whole)).all()
    assert shapely.length(clipped) == pytest.approx(shapely.length(whole), abs=1e-9)
    assert shapely.area(clipped) == pytest.approx(shapely.area(whole), abs=1e-9)


def test_nothing_and_empty_shapes_are_clipped_to_nothing():
    region = shapely.box(0, 0, 9, 9)
    assert len(clipped_to(region, np.empty(0, dtype=object))) == 0
    mixed = clipped_to(region, np.array([shapely.Polygon(), shapely.box(8, 8, 12, 12)], dtype=object))
    assert shapely.area(mixed).tolist() == [0, 1]


@pytest.mark.parametrize("fine", [False, True])
def test_a_circle_fits_an_opening_up_to_the_one_inscribed_in_it(fine):
    # crescents: neither their area over outline nor their centroid tells how large a circle fits
    sides = 64 if fine else 12
    discs = [shapely.Point(0, 0).buffer(5, quad_segs=sides), shapely.Point(3, 0).buffer(4.5, quad_segs=sides)]
    crescent = discs[0].difference(discs[1])
    radius = inscribed_radius(crescent, tolerance=1e-5)
    shapes = np.array([crescent] * 4)
    # a disc of four sides to its quarter reaches 2 % less far on the hollow side
    assert holds_circle(shapes, radius * np.array([0.5, 0.999, 1.04, 2.0])).tolist() == [
        True,
        True,
        False,
        False,
    ]
