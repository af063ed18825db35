"""The plan of a whole piece, checked from its JSON alone and against what shapely says."""

import json

import numpy as np
import pytest
import shapely
from checker import check_plan
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity, box
from shapely.geometry import MultiPolygon, Point, Polygon

from canivet.compose.planning.estimates import rests_after
from canivet.compose.planning.ordering.order import measure_order, short_route
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.planning.settings import Pace, PlanSettings
from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.stock import Faces, Stock

PIECES = [
    "saltmere/heronry.svg", "folded/rose-window.svg", "folded/night-moth.svg", "folded/ribbon.svg",
    "crackle-lattice", "star-lattice",
]  # fmt: skip


def planned(paper, **options):
    plan = plan_cutting(paper, **options)
    check_plan(json.loads(json.dumps(plan.to_json())), paper)
    return plan


@pytest.mark.parametrize("name", PIECES)
def test_a_plan_reaches_its_figures_and_beats_reading_order_and_chance(piece, name):
    plan = planned(piece(name), strap=1.1)
    assert plan.support >= 0.98
    assert plan.travel <= 2
    assert plan.turning <= 0.52 * plan.turning_plain
    at = np.array([one.at for one in plan.openings])
    area, delicacy = (np.array([getattr(one, n) for one in plan.openings]) for n in ("area", "delicacy"))
    reading = np.lexsort((at[:, 0], -(at[:, 1] / 10).round()))
    rng = np.random.default_rng(7)
    others = [reading, short_route(at), *(rng.permutation(len(at)) for _ in range(20))]
    for order in others:
        measured = measure_order(order, at, area, delicacy, reach=15)
        assert measured.support < plan.support
    assert measure_order(reading, at, area, delicacy, reach=15).travel > plan.travel


def random_openings(seed: int) -> Polygon:
    """A sheet with slots, discs, stars and squares in the fields of a grid, turned anyhow."""
    rng = np.random.default_rng(seed)
    columns, rows = rng.integers(1, 6, 2)
    holes = []
    for x, y in np.ndindex(int(columns), int(rows)):
        size = rng.uniform(1, 9)
        kind = rng.integers(4)
        shape = [
            Point(0, 0).buffer(size, quad_segs=int(rng.integers(3, 30))),
            box(-size, -size / 4, size, size / 4),
            Polygon([(size * (1 if k % 2 else 0.45) * np.cos(k * np.pi / 5), size * (1 if k % 2 else 0.45) * np.sin(k * np.pi / 5)) for k in range(10)]),
            box(-size / 1.5, -size / 1.5, size / 1.5, size / 1.5).buffer(0.3 * size, quad_segs=6),
        ][kind]  # fmt: skip
        holes.append(
            affinity.translate(affinity.rotate(shape, rng.uniform(0, 360)), 24 * x + 12, 24 * y + 12)
        )
    return box(0, 0, 24 * columns, 24 * rows) - shapely.union_all(holes)


@settings(max_examples=12, deadline=None)
@given(
    st.integers(0, 2**32 - 1), st.sampled_from(["both", "knife"]), st.sampled_from(["right", "left"]),
    st.sampled_from(["first", "last"]), st.booleans(), st.sampled_from([0.0, 0.3, 1.0]),
)  # fmt: skip
def test_every_plan_cuts_its_piece_whole_and_once(seed, tools, hand, outline, mirrored, overrun):
    asked = PlanSettings(tools=tools, hand=hand, outline=outline, overrun=overrun)
    plan = planned(random_openings(seed), settings=asked, mirrored=mirrored)
    if tools == "knife":
        assert plan.cut_length["scissors"] == 0


def test_the_checker_finds_what_is_wrong(piece):
    paper = piece("folded/night-moth.svg")
    good = plan_cutting(paper).to_json()
    for break_it in (
        lambda p: p["openings"].pop(),
        lambda p: p["openings"][3]["strokes"].pop(),
        lambda p: p["openings"][3]["strokes"][0].update(frees=True),
        lambda p: p["openings"][0].update(at_mm=[-5, -5]),
        lambda p: p["cut_length_mm"].update(knife=1.0),
        lambda p: p["openings"][0]["strokes"][0].update(
            sheet_angle_deg=p["openings"][0]["strokes"][0]["sheet_angle_deg"] + 90
        ),
        lambda p: p.update(sittings=9),
    ):
        plan = json.loads(json.dumps(good))
        break_it(plan)
        with pytest.raises(AssertionError):
            check_plan(plan, paper)


def test_pierces_stand_where_shapely_puts_the_largest_disc(piece):
    paper = piece("folded/rose-window.svg")
    plan = plan_cutting(paper)
    pierced = [one for one in plan.openings if one.pierce]
    assert len(pierced) > 10
    for one in pierced:
        waste = Polygon(paper.interiors[one.ring])
        radius = shapely.maximum_inscribed_circle(waste, tolerance=0.001).length
        assert Point(one.pierce.at).distance(waste.exterior) == pytest.approx(radius, abs=0.02)
        assert one.pierce.arm == pytest.approx(min(0.9 * radius, 8), abs=0.02)


def test_small_openings_go_to_the_knife_and_large_round_ones_to_scissors():
    paper = (
        box(0, 0, 60, 30)
        - Point(10, 15).buffer(2)
        - Point(30, 15).buffer(7, quad_segs=32)
        - box(45, 10, 55, 20)
    )
    tools = {round(one.at[0]): {s.tool for s in one.strokes} for one in plan_cutting(paper).openings}
    assert tools == {10: {"knife"}, 30: {"scissors"}, 50: {"knife"}}


@pytest.mark.parametrize(("hand", "mirrored", "anticlockwise"), [
    ("right", False, True), ("left", False, False), ("right", True, False), ("left", True, True),
])  # fmt: skip
def test_scissors_keep_the_line_on_the_side_of_the_hand(hand, mirrored, anticlockwise):
    # Inside an opening the line is on the right of who goes round anticlockwise; seen from the back, clockwise.
    paper = box(0, 0, 40, 40) - Point(20, 20).buffer(9, quad_segs=32)
    plan = plan_cutting(paper, settings=PlanSettings(hand=hand), mirrored=mirrored)
    (run,) = plan.openings[0].strokes
    assert shapely.is_ccw(shapely.linearrings(run.points)) == anticlockwise


def test_a_sharp_corner_is_cut_into_from_both_sides():
    lens = Point(0, 0).buffer(40, quad_segs=64) & Point(70, 0).buffer(40, quad_segs=64)
    paper = box(20, -30, 50, 30) - lens
    strokes = plan_cutting(paper).openings[0].strokes
    tips = [(35.0, y) for y in (19.365, -19.365)]
    assert sum(stroke.from_below for stroke in strokes) == 2
    for tip in tips:
        into = [s.from_below for s in strokes if np.hypot(*np.subtract(s.points[-1], tip)) < 0.3]
        assert sorted(into) == [False, True]
        assert not any(np.hypot(*np.subtract(s.points[0], tip)) < 1 for s in strokes)


def test_a_blade_ends_where_paper_juts_out_or_where_there_is_more_of_it():
    # A slot whose left end is 0.5 mm from the edge of the piece: long strokes are drawn away from it.
    paper = box(0, 0, 40, 20) - box(0.5, 8, 30, 11)
    strokes = plan_cutting(paper, strap=0.4).openings[0].strokes
    for stroke in strokes[:2]:
        assert stroke.points[-1][0] > stroke.points[0][0]
    # An L has a corner of waste past 180°: both strokes that may end there do, and score nothing.
    ell = box(0, 0, 40, 40) - Polygon([(10, 10), (30, 10), (30, 16), (16, 16), (16, 30), (10, 30)])
    ends = [s for s in plan_cutting(ell).openings[0].strokes if s.ahead is None]
    assert all(np.allclose(s.points[-1], (16, 16)) for s in ends)


def test_where_paper_is_thin_at_both_ends_the_cut_meets_in_the_middle():
    paper = box(0, 0, 20, 40) - box(0.6, 10, 19.4, 20)
    plan = plan_cutting(paper, strap=0.5)
    level = [s for s in plan.openings[0].strokes if abs(s.points[0][1] - s.points[-1][1]) < 1e-6]
    assert sorted(s.points[-1][0] for s in level) == pytest.approx([10, 10, 10, 10])
    assert all(s.ahead is None for s in level)


def test_every_overrun_that_leaves_less_than_the_strap_is_reported():
    paper = box(0, 0, 40, 40) - box(5, 5, 20, 20) - box(21, 5, 36, 20)
    plan = planned(paper, strap=1.0)
    thin = [
        (one.number, stroke.points[-1], stroke.ahead)
        for one in plan.openings for stroke in one.strokes
        if stroke.ahead is not None and stroke.ahead - 0.3 < 0.998
    ]  # fmt: skip
    assert thin
    assert sorted((o.number, o.at, o.ahead) for o in plan.overruns) == sorted(thin)
    assert plan_cutting(paper, settings=PlanSettings(overrun=0), strap=1.0).overruns == ()


def test_long_parallel_edges_go_first_and_a_short_end_frees_the_slot():
    paper = box(0, 0, 60, 30) - box(10, 10, 50, 13)
    lengths = [round(s.length) for s in plan_cutting(paper).openings[0].strokes]
    assert lengths == [40, 40, 3, 3]


def test_the_freeing_cut_is_the_one_with_the_widest_paper_beside_it():
    paper = box(0, 0, 60, 30) - box(1.5, 10, 40, 13)
    last = plan_cutting(paper).openings[0].strokes[-1]
    assert last.frees
    assert last.points[0][0] == last.points[-1][0] == 40


def test_mirrored_plans_turn_the_sheet_the_other_way():
    paper = box(0, 0, 60, 30) - box(10, 10, 50, 13) - Polygon([(5, 2), (50, 4), (50, 6)])
    front, back = (plan_cutting(paper, mirrored=m) for m in (False, True))
    for a, b in zip(front.openings[0].strokes, back.openings[0].strokes, strict=True):
        assert (a.sheet_angle + b.sheet_angle) % 360 == pytest.approx(0, abs=1e-6) or a.sheet_angle % 180 == 0


def test_a_cutting_brings_its_own_side_strap_and_title(piece):
    paper = piece("folded/night-moth.svg")
    cutting = Cutting(paper, strap=1.4, title="Moth", stock=Stock.of(Faces.DARK_ONE_FACE))
    plan = plan_cutting(cutting)
    assert (plan.title, plan.mirrored) == ("Moth", True)
    assert plan_cutting(cutting, mirrored=False).mirrored is False


def test_more_layers_and_harder_surfaces_take_more_time_and_blades(piece):
    paper = piece("folded/ribbon.svg")
    plain, packet = plan_cutting(paper), plan_cutting(paper, layers=8)
    # A quarter more of the cutting time for each further layer; eight times the wear.
    assert packet.cutting_minutes == pytest.approx(plain.cutting_minutes * (1 + 7 * 0.25))
    assert packet.minutes - packet.cutting_minutes == pytest.approx(plain.minutes - plain.cutting_minutes)
    assert packet.worn == pytest.approx(8 * plain.worn)
    assert plan_cutting(paper, settings=PlanSettings(surface="glass")).worn == pytest.approx(2 * plain.worn)


def test_a_quicker_hand_is_done_sooner(piece):
    paper = piece("folded/ribbon.svg")
    quick = PlanSettings(pace=Pace(knife=240, scissors=300))
    assert plan_cutting(paper, settings=quick).cutting_minutes == pytest.approx(
        plan_cutting(paper).cutting_minutes / 2
    )


def test_sittings_end_where_the_least_belongs_together(piece):
    plan = planned(piece("star-lattice"), settings=PlanSettings(sitting=30))
    assert plan.sittings >= 4
    at = np.array([one.at for one in plan.openings])
    delicacy = np.array([one.delicacy for one in plan.openings])

    def torn(k):
        """What a rest after k openings parts: nearness times the lesser delicacy, six openings either way."""
        return sum(
            np.exp(-np.hypot(*(at[i] - at[j])) / 15) * min(delicacy[i], delicacy[j])
            for i in range(k - 6, k) for j in range(k, k + 6)
        )  # fmt: skip

    rests = [k for k in range(1, len(at)) if plan.openings[k - 1].sitting != plan.openings[k].sitting]
    usual = np.median([torn(k) for k in range(6, len(at) - 6)])
    assert np.mean([torn(k) for k in rests if 6 <= k < len(at) - 6]) < usual


def test_no_rest_parts_delicate_openings_that_lie_together_while_there_is_another_place():
    rng = np.random.default_rng(5)
    at, minutes = rng.uniform(0, 200, (120, 2)), np.full(120, 1.0)
    delicacy = np.full(120, 0.8)
    at[18:26] = 50 + rng.uniform(0, 2, (8, 2))  # a frail corner, cut in turns 19 to 26
    delicacy[18:26] = 4.0
    rests = rests_after(minutes, at, delicacy, 24.0, 15.0)
    assert not any(18 < rest < 26 for rest in rests)
    assert rests[0] <= 18
    gaps = np.diff([0, *rests, 120])
    assert gaps.max() <= 24
    # A frail region that takes longer than a sitting is parted all the same.
    delicacy[:] = 4.0
    at[:] = rng.uniform(0, 3, (120, 2))
    assert len(rests_after(minutes, at, delicacy, 24.0, 15.0)) >= 4


def test_grades_rise_from_a_first_piece_to_lace(piece):
    windows = box(0, 0, 100, 140) - shapely.union_all([box(15, y, 85, y + 20) for y in (15, 45, 75, 105)])
    assert plan_cutting(windows).grade.value == 1
    assert plan_cutting(piece("folded/rose-window.svg")).grade.value in (2, 3)
    assert plan_cutting(piece("star-lattice")).grade.value >= 4


@pytest.mark.parametrize(("paper", "said"), [
    (MultiPolygon([box(0, 0, 9, 9) - box(2, 2, 4, 4), box(20, 0, 29, 9)]), "in 2 parts; .* Join them first"),
    (box(0, 0, 20, 20), "no openings"),
])  # fmt: skip
def test_what_is_no_piece_with_openings_is_refused(paper, said):
    with pytest.raises(DoesNotFit, match=said):
        plan_cutting(paper)


def test_scissors_alone_are_refused_for_a_hole_they_cannot_enter():
    paper = box(0, 0, 60, 30) - Point(10, 15).buffer(1) - Point(35, 15).buffer(9, quad_segs=32)
    with pytest.raises(DoesNotFit, match=r"one at \(10, 15\) mm takes 1 mm\. Take the knife") as caught:
        plan_cutting(paper, settings=PlanSettings(tools="scissors"))
    assert caught.value.at == pytest.approx((10, 15), abs=0.02)
    large = box(0, 0, 60, 30) - Point(35, 15).buffer(9, quad_segs=32)
    assert planned(large, settings=PlanSettings(tools="scissors")).cut_length["knife"] == 0


@pytest.mark.parametrize("options", [
    {"layers": 0}, {"layers": 65}, {"layers": 1.5}, {"layers": True}, {"strap": 0}, {"strap": float("nan")},
])  # fmt: skip
def test_values_out_of_range_are_refused_by_name(options):
    with pytest.raises(BadValue, match=next(iter(options))):
        plan_cutting(box(0, 0, 30, 30) - box(9, 9, 19, 19), **options)
