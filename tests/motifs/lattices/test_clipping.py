"""Shapes clipped to a region, drawn in and joined by the array are what the geometry library makes of each one."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import seeds
from support import random_paper

from canivet.motifs.lattices._filling.clipping import clipped_to
from canivet.motifs.lattices._filling.convex import clipped_once, drawn_in_plainly
from canivet.motifs.lattices._filling.sharing import joined_tiles
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


@settings(max_examples=20, deadline=None)
@given(seeds, seeds)
def test_what_is_known_of_many_shapes_at_once_is_true_and_is_most(region, shapes):
    region, shapes = random_paper(region), strewn(shapes, 300)
    clipped, known = clipped_once(region, shapes)
    whole = shapely.intersection(shapes, region)
    assert shapely.area(clipped[known]) == pytest.approx(shapely.area(whole[known]), abs=1e-9)
    cut = known & (shapely.area(whole) > 0)
    assert shapely.hausdorff_distance(clipped[cut], whole[cut]).max(initial=0) < 1e-9
    assert shapely.is_valid(clipped).all()
    single = shapely.get_num_geometries(whole) == 1
    assert known[single].mean() > 0.9


@pytest.mark.parametrize("corner", [(4.0, 4.0), (1.0, 2.5)])
def test_an_edge_through_a_corner_of_a_shape_is_left_to_the_library(corner):
    x, y = corner
    boxes = shapely.box(np.zeros(40), 0, x, y)
    region = shapely.Polygon([(-9, y + 9 + x), (-9, -9), (x + y + 9, -9)])
    clipped, known = clipped_once(region, boxes)
    assert (shapely.area(clipped)[known] == x * y).all()
    assert shapely.area(clipped_to(region, boxes)) == pytest.approx(x * y, abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(seeds, st.floats(0.05, 1.5))
def test_a_convex_shape_is_drawn_in_as_a_buffer_draws_it_in(seed, distance):
    rng = np.random.default_rng(seed)
    hulls = shapely.convex_hull(shapely.multipoints(rng.uniform(0, 5, (400, 5, 2)).tolist()))
    moved, plain = drawn_in_plainly(hulls, np.full(400, distance))
    asked = shapely.buffer(hulls, -distance, join_style="mitre")
    apart = shapely.hausdorff_distance(shapely.boundary(moved[plain]), shapely.boundary(asked[plain]))
    assert apart.max(initial=0) < 1e-9
    assert shapely.equals(moved[~plain], hulls[~plain]).all()
    assert plain.sum() > 0 or distance > 0.5


@pytest.mark.parametrize("lean", [0.0, 1.0])
def test_tiles_joined_are_their_union_whole_sides_or_not(lean):
    # groups of three: two along a whole side, and one above that shares part of a side with both where it leans
    at = np.arange(20) * 9.0
    tiles = np.stack(
        [
            shapely.box(at, 0, at + 3, 2),
            shapely.box(at + 3, 0, at + 6, 2),
            shapely.box(at + lean, 2, at + 3 + lean, 5),
        ],
        axis=1,
    ).ravel()
    joined = joined_tiles(tiles, np.repeat(np.arange(20), 3))
    union = shapely.union_all(tiles.reshape(20, 3), axis=1)
    assert shapely.area(shapely.symmetric_difference(joined, union)).max() < 3e-4
    assert shapely.is_valid(joined).all()
    assert (shapely.get_num_coordinates(joined) - 1 == (6 if lean == 0 else 8)).all()


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
