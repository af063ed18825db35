import json

import pytest
import shapely
from shapely import Point, box
from shapely.geometry import MultiPolygon

from canivet.audit.strength import check_strength
from canivet.errors import BadValue

FRAME = box(0, 0, 100, 80) - box(2, 2, 98, 78)


def test_a_frame_holds_up_to_its_own_width():
    assert check_strength(FRAME, strap=2.0).holds
    assert not check_strength(FRAME, strap=2.01).holds


def test_a_slip_of_the_hand_takes_twice_its_width():
    assert check_strength(FRAME, strap=1.6, slip=0.2).holds
    assert not check_strength(FRAME, strap=1.6, slip=0.21).holds


def test_loose_parts_do_not_hold():
    report = check_strength(MultiPolygon([box(0, 0, 9, 9), box(20, 0, 29, 9)]), strap=1)
    assert (report.holds, report.pieces) == (False, 2)


def test_an_opening_too_small_to_cut_is_found_with_its_radius():
    report = check_strength(
        box(0, 0, 20, 20) - box(8, 8, 8.8, 14) - Point(14, 10).buffer(2), strap=1, smallest=0.5
    )
    (opening,) = report.small_openings
    # a slot's largest inscribed circle has half its width as radius; derived
    assert opening.radius == pytest.approx(0.4, abs=0.002)
    assert not report.holds
    assert check_strength(box(0, 0, 20, 20) - box(8, 8, 9, 14), strap=1, smallest=0.5).holds


def test_weak_necks_come_with_the_likeliest_to_tear_first():
    paper = shapely.union_all([
        box(0, 0, 30, 30), box(30, 5, 34, 5.8), box(34, 0, 40, 10), box(30, 20, 34, 20.6), box(34, 18, 37, 22),
    ])  # fmt: skip
    necks = check_strength(paper, strap=1).necks
    assert [n.risk for n in necks] == sorted((n.risk for n in necks), reverse=True)
    assert necks[0].width == pytest.approx(0.8)
    assert all(n.single_hold for n in necks)


def test_the_json_says_the_same_in_plain_values():
    report = check_strength(FRAME, strap=2.5, smallest=0.5)
    plain = json.loads(json.dumps(report.to_json()))
    assert set(plain) >= {
        "holds", "pieces", "openings", "size_mm", "weakest_strap_mm", "weakest_at_mm", "necks", "limbs",
        "small_openings", "cut_length_mm",
    }  # fmt: skip
    assert (plain["holds"], plain["pieces"], plain["openings"]) == (False, 1, 1)
    assert plain["size_mm"] == [100, 80]
    assert plain["weakest_strap_mm"] == 2
    assert set(plain["necks"][0]) == {"width_mm", "at_mm", "single_hold", "hanging_mm2"}
    assert plain["cut_length_mm"] == pytest.approx(2 * 180 + 2 * (96 + 76))


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("strap", 0), ("strap", -1), ("strap", float("nan")), ("slip", -0.1), ("smallest", 2000),
        ("strap", 10**400), ("slip", -(10**5000)), ("look", 10**400),
    ],
    ids=lambda given: given if isinstance(given, str) else f"{float(given):g}" if abs(given) < 1e9 else "huge",
)  # fmt: skip
def test_lengths_out_of_range_are_refused(name, value):
    with pytest.raises(BadValue, match=f"{name} is"):
        check_strength(FRAME, **{"strap": 1, name: value})


def test_openings_in_a_square_lattice_are_counted_by_euler():
    # Euler: faces = E - V + C; a 10 × 5 square lattice of straps has 66 crossings and 115 straps → 50 openings
    bars = [box(x - 0.5, 0, x + 0.5, 50) for x in range(0, 101, 10)] + [
        box(0, y - 0.5, 100, y + 0.5) for y in range(0, 51, 10)
    ]
    vertices, edges = 11 * 6, 10 * 6 + 11 * 5
    assert check_strength(shapely.union_all(bars), strap=0.5).openings == edges - vertices + 1 == 50


STEM = shapely.union_all([box(0, 0, 40, 12), box(19, 11, 21, 30), Point(20, 34).buffer(6)])


def test_a_single_hold_wide_enough_for_the_promise_is_still_told():
    report = check_strength(STEM, strap=1.2, look=3)
    assert report.holds
    (hold,) = report.single_holds
    assert hold.width == pytest.approx(2.0, abs=0.01)
    assert hold.hanging == pytest.approx(Point(20, 34).buffer(6).area + 2 * 16, rel=0.06)
    assert check_strength(STEM, strap=1.2).single_holds == ()


def test_the_slip_left_is_half_of_what_the_narrowest_neck_has_to_spare():
    report = check_strength(FRAME, strap=1.4)
    assert report.slip_left == pytest.approx(0.3)
    assert check_strength(FRAME, strap=1.4, slip=report.slip_left).holds
    assert check_strength(FRAME, strap=2.6).slip_left == pytest.approx(-0.3)


def test_sharp_corners_near_an_edge_are_told_where_one_looks():
    paper = box(0, 0, 40, 40) - shapely.Polygon([(20, 1.3), (24, 14), (16, 14)])
    report = check_strength(paper, strap=1.2, look=2)
    assert [round(c.angle) for c in report.sharp_corners] == [35]
    assert report.holds


@pytest.mark.parametrize("look", [0.9, 21, float("nan")])
def test_how_wide_to_look_is_bounded(look):
    with pytest.raises(BadValue, match="look is"):
        check_strength(FRAME, strap=1, look=look)


@pytest.mark.parametrize(("paper", "told"), [(15, True), (80, False)])
def test_what_is_wider_than_a_few_tens_of_straps_is_not_told_as_the_weakest_strap(paper, told):
    frame = box(0, 0, 200, 200) - box(paper, paper, 200 - paper, 200 - paper)
    weakest = check_strength(frame, strap=1).weakest
    assert (weakest is not None) == told
    assert weakest is None or weakest.width == pytest.approx(paper)
