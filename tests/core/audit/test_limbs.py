import numpy as np
import pytest
import shapely
from shapely import affinity, box
from shapely.geometry import Polygon

from canivet.audit.boundary import boundary_of
from canivet.audit.limbs import _sides, _thin_pieces, measure_limbs

BLOCK = box(0, 0, 20, 20)


def with_spike(width, length):
    return BLOCK.union(box(19, 10 - width / 2, 20 + length, 10 + width / 2))


@pytest.mark.parametrize("angle", [0, 30, 77])
def test_a_thin_bar_on_a_block_is_a_limb(angle):
    paper = affinity.rotate(with_spike(0.6, 12), angle)
    (limb,) = measure_limbs(paper, strap=1.2)
    assert limb.width == pytest.approx(0.6, rel=0.1)
    assert limb.length == pytest.approx(12, rel=0.1)


def test_a_thin_tongue_into_an_opening_is_a_limb():
    paper = box(0, 0, 30, 20) - (box(3, 3, 27, 17) - box(3, 9.7, 15, 10.3))
    (limb,) = measure_limbs(paper, strap=1.2)
    assert limb.length == pytest.approx(12, rel=0.1)


def test_a_bar_as_wide_as_the_strap_is_none():
    assert measure_limbs(with_spike(1.2, 12), strap=1.2) == []


def test_a_short_stub_is_none():
    assert measure_limbs(with_spike(0.8, 1.0), strap=1.2) == []


@pytest.mark.parametrize(("apex_deg", "limbs"), [(60, 0), (30, 0), (22, 0), (12, 1), (6, 1)])
def test_a_leaf_may_end_in_a_point_but_not_in_a_needle(apex_deg, limbs):
    reach = 3 / np.tan(np.radians(apex_deg / 2))
    paper = box(0, 0, 20, 20).union(Polygon([(20, 7), (20 + reach, 10), (20, 13)]))
    assert len(measure_limbs(paper, strap=1.2)) == limbs


def test_a_strap_between_two_thick_places_is_audited_as_a_neck_and_not_here():
    paper = shapely.union_all([box(0, 0, 10, 10), box(9, 4.7, 21, 5.3), box(20, 0, 30, 10)])
    assert measure_limbs(paper, strap=1.2) == []


def test_a_piece_thin_all_over_is_one_limb():
    (limb,) = measure_limbs(box(0, 0, 40, 0.8), strap=1.2)
    assert limb.length > 35


def test_curves_drawn_in_chords_are_no_limbs():
    disc = shapely.Point(0, 0).buffer(20, quad_segs=90) - shapely.Point(3, 0).buffer(9, quad_segs=7)
    assert measure_limbs(disc, strap=1.2) == []


@pytest.mark.parametrize(("share", "limbs"), [(0.95, 1), (0.999, 0)])
def test_a_bar_a_twentieth_under_the_strap_is_a_limb_and_one_of_its_width_is_none(share, limbs):
    assert len(measure_limbs(with_spike(1.2 * share, 14), strap=1.2)) == limbs


@pytest.mark.parametrize("strap", [0.6, 1.2, 2.5])
def test_openings_that_turn_too_little_to_be_looked_at_hold_no_limb(strap):
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    rng = np.random.default_rng(7)
    waves = rng.uniform(0, 1, (300, 5, 1)) ** 3 * np.cos(
        np.arange(2, 7)[:, None] * turn + rng.uniform(0, 7, (300, 5, 1))
    )
    radius = rng.uniform(2, 6, (300, 1)) * np.exp(0.4 * waves.sum(axis=1))
    cells = shapely.polygons(np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=2))
    left_out = [cell for cell in cells if len(_sides(boundary_of(box(-99, -99, 99, 99) - cell))[0]) == 1]
    assert 50 < len(left_out) < 250
    rings = shapely.get_exterior_ring(left_out)
    outside = np.ones(len(rings), bool)
    assert len(_thin_pieces(rings, outside, strap, slender=0.0)[0]) == 0
    assert len(_thin_pieces(shapely.get_exterior_ring(cells), np.ones(300, bool), strap, slender=0.0)[0]) > 0
