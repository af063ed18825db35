"""Mending imported shapes: what is too thin, what is too small, and saying what was done."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter
from shapely import MultiPolygon, Point, Polygon, affinity, box, union_all
from skimage import data, measure
from support import assert_one_piece

from canivet.audit.boundary import Paper
from canivet.audit.necks import measure_necks
from canivet.audit.strength import check_strength
from canivet.compose.mending import thickening
from canivet.compose.mending.repair import Repair, repair_paper
from canivet.errors import BadValue, DoesNotFit

STRAP, SMALLEST = 1.2, 0.5


def star(points: int, outer: float, inner: float) -> Polygon:
    turn = np.arange(2 * points) * np.pi / points
    radius = np.where(np.arange(2 * points) % 2, inner, outer)
    return Polygon(np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]))


def hairy(seed: int) -> Polygon:
    """A disc with spines, strips and slots of every thickness."""
    rng = np.random.default_rng(seed)
    shape: Polygon = Point(0, 0).buffer(rng.uniform(5, 9))
    for _ in range(rng.integers(3, 14)):
        wide, long, tip = rng.uniform(0.02, 1.5), rng.uniform(1, 14), rng.choice([0.0, 1.0])
        spine = Polygon(
            [(3, -wide / 2), (3, wide / 2), (6 + long, tip * wide / 2), (6 + long, -tip * wide / 2)]
        )
        turned = affinity.rotate(spine, rng.uniform(0, 360), origin=(0, 0))
        shape = shape.difference(turned) if rng.random() < 0.25 else shape.union(turned)
    return max(shapely.get_parts(shape), key=lambda part: part.area)


DUMBBELL = union_all([box(0, 0, 10, 10), box(9, 4.8, 16, 5.2), box(15, 0, 25, 10)])
BODY = Point(0, 0).buffer(5)
SHAPES: dict[str, Paper] = {
    "thin strap between blocks": DUMBBELL,
    "whip": union_all([BODY, box(0, -0.2, 20, 0.2)]),
    "needle": union_all([BODY, Polygon([(0, -0.5), (0, 0.5), (25, 0)])]),
    "line and nothing else": box(0, 0, 20, 0.6),
    "hair thin cross": union_all([box(-10, -0.05, 10, 0.05), box(-0.05, -10, 0.05, 10)]),
    "comb": union_all([box(0, 0, 20, 3)] + [box(k, 2, k + 0.5, 6) for k in range(0, 20, 2)]),
    "bead on a thread": union_all([BODY, box(0, -0.2, 15, 0.2), Point(15, 0).buffer(0.45)]),
    "ring thin on one side": Point(0, 0).buffer(10) - Point(0.5, 0).buffer(9.4),
    "frame of uneven rims": box(0, 0, 20, 20) - box(0.4, 0.4, 19.5, 19.3),
    "sharp star": star(16, 20, 4),
    "corners touching": MultiPolygon([box(0, 0, 10, 10), box(10, 10, 20, 20)]),
    "opening touching the outline": Polygon(
        [(0, 0), (10, 0), (20, 0), (20, 20), (0, 20)], [[(10, 0), (15, 8), (5, 8)]]
    ),
    "pinholes": box(0, 0, 30, 30)
    - MultiPolygon([Point(3 * k, 3 * k).buffer(0.1 * k + 0.02) for k in range(1, 9)]),
    "repeated and collinear points": Polygon(
        [(0, 0), (0, 0), (5, 0), (5, 0), (10, 0), (10, 10), (5, 10), (5, 10), (0, 10)]
    ),
    "slot thinner than a hair": box(0, 0, 20, 10) - box(5, 4.99995, 15, 5.00005),
    "steps": union_all([box(k, 0, k + 1.01, 12 - k) for k in range(10)]),
}


def assert_mended(repair: Repair) -> None:
    for part in shapely.get_parts(repair.paper):
        report = check_strength(part, strap=STRAP, smallest=SMALLEST)
        assert report.holds, (report.necks[:1], report.limbs[:1], report.small_openings[:1])


@pytest.mark.parametrize("name", SHAPES)
def test_every_part_holds_once_mended(name: str) -> None:
    assert_mended(repair_paper(SHAPES[name], strap=STRAP, smallest=SMALLEST))


@given(st.integers(0, 10_000))
@settings(max_examples=25, deadline=None)
def test_hairy_shapes_end_as_one_part_that_holds(seed: int) -> None:
    repair = repair_paper(hairy(seed), strap=STRAP, smallest=SMALLEST)
    assert_one_piece(repair.paper)
    assert_mended(repair)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_nothing_is_lost_but_what_is_said_to_be_dropped(seed: int) -> None:
    shape = hairy(seed)
    repair = repair_paper(shape, strap=STRAP, smallest=SMALLEST)
    lost = shape.difference(repair.paper).area
    snapping = 0.001 * shape.length
    assert lost <= sum(change.area for change in repair.dropped) + snapping


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_the_areas_add_up(seed: int) -> None:
    shape = hairy(seed)
    repair = repair_paper(shape, strap=STRAP, smallest=SMALLEST)
    won = sum(change.area for change in repair.thickened + repair.filled)
    lost = sum(change.area for change in repair.dropped)
    assert repair.area_after - repair.area_before == pytest.approx(won - lost, abs=0.3)
    # what is told of the areas is what shapely measures of the shapes themselves
    assert repair.area_before == pytest.approx(shape.area, abs=0.3)
    assert repair.area_after == pytest.approx(repair.paper.area)
    assert repair.paper.difference(shape).area == pytest.approx(won, abs=0.3)


@given(st.integers(0, 10_000))
@settings(max_examples=10, deadline=None)
def test_eroding_to_just_under_the_strap_neither_parts_nor_opens_the_paper(seed: int) -> None:
    # An audit that knows nothing of necks. Derived: while no neck is narrower, erosion only shrinks.
    paper = repair_paper(hairy(seed), strap=STRAP, smallest=SMALLEST).paper
    eroded = paper.buffer(-0.998 * (STRAP - 0.002) / 2, quad_segs=32)
    assert_one_piece(eroded, "eroded, it")
    assert len(eroded.interiors) == len(paper.interiors)


@pytest.mark.parametrize("name", SHAPES)
def test_a_mended_shape_is_left_alone(name: str) -> None:
    once = repair_paper(SHAPES[name], strap=STRAP, smallest=SMALLEST)
    twice = repair_paper(once.paper, strap=STRAP, smallest=SMALLEST)
    assert twice.thickened == twice.filled == twice.dropped == ()
    assert twice.paper.equals(once.paper)


def test_a_horse_gains_less_than_half_a_percent() -> None:
    # Fattening it everywhere by what its thinnest place lacks would add 6 % (measured).
    blurred = gaussian_filter(np.pad(~data.horse(), 3).astype(float), 1.0)
    outline = max(measure.find_contours(blurred, 0.5), key=len) * (50 / 328)
    horse = Polygon(np.column_stack([outline[:, 1], -outline[:, 0]])).simplify(0.03)
    assert check_strength(horse, strap=1.5).necks
    repair = repair_paper(horse, strap=1.5, smallest=SMALLEST)
    assert check_strength(repair.paper, strap=1.5, smallest=SMALLEST).holds
    assert 0 < repair.area_after / repair.area_before - 1 < 0.004


def test_points_stout_enough_stay_as_they_are() -> None:
    shape = star(9, 20, 7)
    repair = repair_paper(shape, strap=STRAP, smallest=SMALLEST)
    assert repair.thickened == ()
    assert repair.area_after == pytest.approx(shape.area, rel=1e-4)


def test_a_needle_is_thickened_and_keeps_its_point() -> None:
    paper = repair_paper(SHAPES["needle"], strap=STRAP, smallest=SMALLEST).paper
    across = [paper.intersection(box(x, -5, x + 0.01, 5)).area / 0.01 for x in (10.0, 20.0, 24.0, 24.8)]
    assert across[:2] == pytest.approx([STRAP, STRAP], abs=0.02)
    assert STRAP > across[2] > across[3]
    assert paper.bounds[2] == pytest.approx(25, abs=0.1)


def test_a_whip_with_a_square_end_becomes_a_strap_to_its_end() -> None:
    paper = repair_paper(SHAPES["whip"], strap=STRAP, smallest=SMALLEST).paper
    across = [paper.intersection(box(x, -5, x + 0.01, 5)).area / 0.01 for x in (8.0, 14.0, 19.6)]
    assert across == pytest.approx([STRAP] * 3, abs=0.02)


def test_a_strap_gets_its_width_and_no_more() -> None:
    repair = repair_paper(DUMBBELL, strap=STRAP, smallest=SMALLEST)
    # Derived: five millimetres of strap, 0.8 mm wider.
    assert repair.area_after - repair.area_before == pytest.approx(4.0, abs=0.1)
    assert len(repair.thickened) == 2
    assert measure_necks(repair.paper, limit=3).width.min() == pytest.approx(STRAP, abs=0.015)


def test_small_openings_are_filled_with_their_places_told_and_large_ones_kept() -> None:
    repair = repair_paper(SHAPES["pinholes"], strap=STRAP, smallest=SMALLEST)
    assert len(repair.filled) == 4
    assert len(shapely.get_rings(repair.paper)) == 1 + 4
    assert not any(SHAPES["pinholes"].intersects(Point(change.at)) for change in repair.filled)


def test_a_slot_is_filled_and_never_widened() -> None:
    sheet = box(0, 0, 20, 10) - box(5, 4.9, 15, 5.1)
    repair = repair_paper(sheet, strap=STRAP, smallest=SMALLEST)
    assert repair.paper.equals(box(0, 0, 20, 10))
    assert repair.filled[0].area == pytest.approx(2.0, abs=0.01)


def test_a_loose_part_in_too_tight_an_opening_grows_fast() -> None:
    sheet = MultiPolygon([box(0, 0, 20, 20) - box(5, 5, 15, 15), box(5.2, 5.2, 14.8, 14.8)])
    assert repair_paper(sheet, strap=STRAP, smallest=SMALLEST).paper.equals(box(0, 0, 20, 20))


def test_specks_are_dropped_and_told() -> None:
    dust = [box(40 + k, 0, 40.3 + k, 0.3) for k in range(5)]
    repair = repair_paper(MultiPolygon([box(0, 0, 30, 30), *dust]), strap=STRAP, smallest=SMALLEST)
    assert [change.area for change in repair.dropped] == pytest.approx([0.09] * 5, rel=0.01)
    assert repair.paper.equals(box(0, 0, 30, 30))


def test_a_speck_that_is_to_stay_is_thickened_instead() -> None:
    both = MultiPolygon([box(0, 0, 30, 30), box(40, 0, 40.3, 0.3)])
    kept = repair_paper(both, strap=STRAP, smallest=SMALLEST, drop=False)
    assert kept.dropped == ()
    assert shapely.get_num_geometries(kept.paper) == 2


def test_each_step_can_be_left_out() -> None:
    shape = union_all([DUMBBELL]) - Point(3, 3).buffer(0.2)
    bare = repair_paper(shape, strap=STRAP, smallest=SMALLEST, thicken=False, fill=False, drop=False)
    assert (bare.thickened, bare.filled, bare.dropped, bare.smoothed) == ((), (), (), 0.0)
    assert bare.area_after == pytest.approx(shape.area, abs=0.01)
    assert repair_paper(shape, strap=STRAP, smallest=SMALLEST, thicken=False).filled
    assert repair_paper(shape, strap=STRAP, smallest=SMALLEST, fill=False).filled == ()


def test_parts_that_meet_when_thickened_become_one() -> None:
    lines = MultiPolygon([box(0, 0, 20, 0.5), box(0, 0.9, 20, 1.4)])
    repair = repair_paper(lines, strap=STRAP, smallest=SMALLEST)
    assert_one_piece(repair.paper)
    assert_mended(repair)


def test_a_hair_below_the_grid_is_no_paper() -> None:
    hair = union_all([box(0, 0, 10, 10), box(10, 5, 20, 5.0001), box(20, 0, 30, 10)])
    paper = repair_paper(hair, strap=STRAP, smallest=SMALLEST).paper
    assert paper.equals(MultiPolygon([box(0, 0, 10, 10), box(20, 0, 30, 10)]))


def test_far_from_the_origin_the_same_is_done() -> None:
    near = repair_paper(hairy(7), strap=STRAP, smallest=SMALLEST)
    far = repair_paper(affinity.translate(hairy(7), 1e5, -1e5), strap=STRAP, smallest=SMALLEST)
    assert far.area_after == pytest.approx(near.area_after, rel=1e-3)
    assert_mended(far)


def test_smoothing_takes_out_the_tremor_and_keeps_the_corners() -> None:
    turn = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    radius = 20 + 0.1 * np.sin(126 * turn)  # waves of 1 mm
    wavy = Polygon(np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]))
    repair = repair_paper(wavy, strap=STRAP, smallest=SMALLEST, smooth=0.6)
    away = np.hypot(*shapely.get_coordinates(repair.paper).T) - 20
    assert np.abs(away).max() < 0.01
    assert repair.smoothed > 1

    square = repair_paper(box(0, 0, 20, 20), strap=STRAP, smallest=SMALLEST, smooth=0.6).paper
    assert shapely.hausdorff_distance(square, box(0, 0, 20, 20)) < 0.15


def test_the_same_shape_gives_the_same_paper() -> None:
    first, second = (repair_paper(hairy(3), strap=STRAP, smallest=SMALLEST) for _ in range(2))
    assert first.paper.wkb == second.paper.wkb
    assert first == second


def test_a_paper_of_nothing_but_specks_is_refused() -> None:
    with pytest.raises(DoesNotFit, match=r"every part of the paper is smaller than a disc 1\.2 mm across"):
        repair_paper(box(0, 0, 0.5, 0.5), strap=STRAP, smallest=SMALLEST)


def test_a_bow_tie_is_refused() -> None:
    with pytest.raises(BadValue, match="not a valid polygon"):
        repair_paper(Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]), strap=STRAP, smallest=SMALLEST)


@pytest.mark.parametrize(
    ("bad", "good"),
    [
        ({"strap": 0.0}, {"strap": 0.001}),
        ({"strap": 1000.1}, {"strap": 1000.0}),
        ({"smallest": -0.1}, {"smallest": 0.0}),
        ({"smooth": -0.1}, {"smooth": 0.0}),
        ({"smooth": float("nan")}, {"smooth": 1.0}),
    ],
)
def test_lengths_are_held_to_their_bounds(bad: dict[str, float], good: dict[str, float]) -> None:
    base = {"strap": STRAP, "smallest": SMALLEST}
    with pytest.raises(BadValue, match=f"{next(iter(bad))} is "):
        repair_paper(box(0, 0, 2000, 2000), **{**base, **bad})
    assert repair_paper(box(0, 0, 2000, 2000), **{**base, **good}).paper.area > 0


def test_a_large_lattice_is_mended_about_its_weak_places_alone(monkeypatch):
    monkeypatch.setattr(thickening, "_MANY", 1000)
    cells = [box(x, y, x + 3, y + 3) for x in range(2, 220, 4) for y in range(2, 220, 4)]
    lattice = Polygon(box(0, 0, 222, 222).exterior, [cell.exterior for cell in cells])
    weak = lattice - box(101.2, 100, 101.9, 104)
    mended = repair_paper(weak, strap=1.0, smallest=0.3)
    assert check_strength(mended.paper, strap=1.0, smallest=0.3).holds
    changed = mended.paper.symmetric_difference(weak).buffer(-0.002)
    assert changed.distance(Point(101.5, 102)) < 5
    assert changed.within(Point(101.5, 102).buffer(12))


def test_a_point_that_holds_stays_a_point_while_mending_goes_on_elsewhere():
    pointed = union_all([Point(-30, 0).buffer(5), Polygon([(-34.9, -0.5), (-34.9, 0.5), (-38.1, 0)])])
    assert check_strength(pointed, strap=STRAP).holds
    paper = union_all([pointed, box(-26, -2, 0, 2), box(-1, -0.4, 10, 0.4), box(9, -5, 20, 5)])
    mended, changed = thickening.thicken_once(paper, STRAP, thickening._POINTWISE + 2, thickening.Seen())
    assert changed
    added = mended.difference(paper)
    assert added.area > 1
    assert added.intersection(pointed.envelope).area < 0.01
