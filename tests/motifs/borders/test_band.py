import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.motifs.borders.band import inner_edge, lay_band
from canivet.motifs.borders.counting import recount, recount_together
from canivet.motifs.outlines import arch, oval, rectangle
from canivet.motifs.shapes.openings import densified, inset_convex


def ring_at(run, t, steps=400):
    s = np.linspace(0, run.length, steps, endpoint=not run.closed)
    return run.place(s, np.full(steps, float(t)))


def test_a_rectangle_has_four_runs_and_four_corners_a_band_short_of_its_sides():
    band = lay_band(rectangle(width=100, height=60), 10)
    assert sorted(run.length for run in band.runs) == pytest.approx([40, 40, 80, 80])
    assert sorted(map(tuple, np.round([c.at for c in band.corners]).tolist())) == [
        (10, 10), (10, 50), (90, 10), (90, 50),
    ]  # fmt: skip
    assert band.slack == 0


def test_an_oval_is_one_run_that_begins_at_its_foot():
    band = lay_band(oval(width=80, height=120), 10)
    assert (len(band.runs), band.corners, band.runs[0].closed) == (1, (), True)
    assert band.runs[0].place(np.array([0.0]), np.array([10.0])) == pytest.approx(np.array([[40.0, 0.0]]))


def test_an_arch_turns_its_two_feet_and_flows_round_its_head():
    band = lay_band(arch(width=80, height=120), 10)
    assert (len(band.runs), len(band.corners)) == (2, 2)
    # the inner edge: two legs from the band up to the spring, and half a circle of radius 30
    assert max(run.length for run in band.runs) == pytest.approx(2 * 70 + np.pi * 30, abs=0.05)


@pytest.mark.parametrize("outline", [oval(width=80, height=120), arch(width=80, height=120)])
@pytest.mark.parametrize("t", [0, 4, 10])
def test_points_across_the_band_lie_at_their_distance_from_the_outline(outline, t):
    for run in lay_band(outline, 10).runs:
        away = shapely.distance(outline.exterior, shapely.points(ring_at(run, t)))
        assert away == pytest.approx(np.full(len(away), 10 - t), abs=run.slack / 2 + 1e-9)


def test_a_hollow_side_is_measured_on_the_outline_so_that_nothing_shrinks():
    bays = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    reach = 100 + 8 * np.cos(4 * bays)
    piece = Polygon(np.column_stack([reach * np.cos(bays), reach * np.sin(bays)]))
    run = lay_band(piece, 12).runs[0]
    for t in (0, 12):
        ring = ring_at(run, t, 4000)
        steps = np.hypot(*np.diff(np.vstack([ring, ring[:1]]), axis=0).T)
        assert steps.min() >= run.length / 4000 * 0.999


@pytest.mark.parametrize(
    ("piece", "band", "says"),
    [
        (rectangle(width=40, height=60), 20, "leaves no window"),
        (oval(width=40, height=120), 10, "curves too tightly"),
        (arch(width=80, height=48), 10, "too short"),
        (Polygon([(0, 0), (90, 0), (45, 80)]), 6, "square corners"),
        (Polygon([(0, 0), (90, 0), (90, 90), (45, 90), (45, 45), (0, 45)]), 6, "square corners"),
        (rectangle(width=90, height=90).difference(shapely.box(2, 40, 6, 44)), 10, "already lies in it"),
        (shapely.box(0, 0, 90, 90).difference(shapely.box(30, 15, 60, 90)), 10, "parts its window|square"),
    ],
)
def test_a_band_that_cannot_be_laid_is_refused_by_name(piece, band, says):
    with pytest.raises(DoesNotFit, match=says) as caught:
        lay_band(piece, band)
    assert caught.value.parameter == "band"
    assert str(caught.value).startswith(f"band is {band} mm")


def test_the_window_is_the_outline_moved_in_by_the_band():
    assert inner_edge(rectangle(width=40, height=60), 7).equals(shapely.box(7, 7, 33, 53))


@given(length=st.floats(20, 2000), repeat=st.floats(2, 50), multiple=st.sampled_from([1, 2, 4]))
def test_a_count_is_a_multiple_and_no_neighbouring_one_comes_nearer(length, repeat, multiple):
    count = recount(length, repeat, multiple=multiple)
    assert count >= multiple
    assert count % multiple == 0
    off = abs(np.log(length / count / repeat))
    for other in (count - multiple, count + multiple):
        assert other <= 0 or abs(np.log(length / other / repeat)) >= off - 1e-9


@given(length=st.floats(20, 2000), repeat=st.floats(2, 50), least=st.floats(1, 60))
def test_no_repeat_comes_out_shorter_than_the_least(length, repeat, least):
    count = recount(length, repeat, least=least)
    assert count == 0 or length / count >= least * (1 - 1e-6)
    assert count > 0 or length < least * (1 + 1e-6)


def test_sides_agree_on_a_repeat_better_than_each_for_itself():
    alone = [side / recount(side, 9, multiple=2) for side in (80, 130)]
    counts = recount_together([80, 130], 9, least=5, most=20, multiple=2)
    together = [side / count for side, count in zip((80, 130), counts, strict=True)]
    assert max(together) / min(together) < max(alone) / min(alone)


def test_sides_too_short_for_one_repeat_have_no_count():
    assert recount_together([3, 100], 9, least=5, most=20) == []


def test_an_inset_rhombus_is_the_same_rhombus_smaller():
    rhombus = np.array([(4, 0), (0, 3), (-4, 0), (0, -3)], dtype=float)
    # inradius 4·3/5 = 2.4 (derived), so an inset of 0.6 leaves three quarters
    assert inset_convex(rhombus, 0.6) == pytest.approx(rhombus * 0.75)


@given(step=st.floats(0.3, 20))
def test_splitting_sides_keeps_the_shape_and_the_longest_side(step):
    ring = np.array([(0, 0), (10, 0), (10, 4), (0, 4)], dtype=float)
    split = densified(ring, step)
    assert Polygon(split).equals(Polygon(ring))
    assert np.hypot(*np.diff(np.vstack([split, split[:1]]), axis=0).T).max() <= step + 1e-9
