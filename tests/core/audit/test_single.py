"""Which of several necks is told as the hold of a part, against a comparison of each with each."""

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import Point, box
from strategies import seeds
from support import random_paper

from canivet.audit import single
from canivet.audit.holds import hanging_areas, hanging_outlines
from canivet.audit.necks import measure_necks
from canivet.audit.strength import check_strength


def chain(links):
    beads = [Point(8 * k, 0).buffer(3) for k in range(links)]
    return shapely.union_all([*beads, box(0, -1, 8 * (links - 1), 1)])


def test_paddles_side_by_side_are_told_apart_and_two_places_on_one_stem_are_not():
    paddles = [box(x, 11, x + 2, 20).union(Point(x + 1, 24).buffer(5)) for x in (5, 17, 29)]
    report = check_strength(shapely.union_all([box(0, 0, 40, 12), *paddles]), strap=1.2, look=3)
    assert sorted(round(hold.at[0]) for hold in report.single_holds) == [6, 18, 30]


def test_a_hold_on_what_stands_in_an_opening_is_told_beside_the_one_at_its_root():
    """The frame hangs on the block, and a knob of about the frame's weight hangs on the block too."""
    frame = box(0, 0, 100, 100) - box(2, 2, 98, 98)
    knob = shapely.union_all([box(69, 49.5, 72, 50.5), box(72, 36, 97, 64)])
    block = shapely.union_all([box(1, 49.5, 10, 50.5), box(10, 20, 70, 80)])
    holds = check_strength(shapely.union_all([frame, block, knob]), strap=0.9, look=2).single_holds
    assert {round(hold.at[0]) for hold in holds} == {10, 70}
    assert sorted(round(hold.hanging) for hold in holds) == [25 * 28 + 2, 784 + 8]


def test_a_chain_tells_of_one_hold_in_each_doubling_of_what_hangs():
    holds = check_strength(chain(40), strap=1.2, look=3).single_holds
    assert all(hold.width == pytest.approx(2) for hold in holds)
    # 20 links hang at most, from either end: at 1, 2 or 3, 4 to 7 and 8 to 20 of them, or near it
    assert 8 <= len(holds) <= 12


def test_along_a_chain_no_outline_is_built(monkeypatch):
    monkeypatch.setattr(single, "outlines_of", lambda *_: pytest.fail("an outline was built"))
    assert check_strength(chain(40), strap=1.2, look=3).single_holds


def hung_frame(seed):
    """A frame on a stem from a plate, a block on a bar in its window, and a knob on that or on the plate."""
    rng = np.random.default_rng(seed)
    side, band, stem = rng.uniform(20, 40), rng.uniform(1, 3), rng.uniform(1, 3)
    window = box(band, band, side - band, side - band)
    frame = box(0, 0, side, side) - window
    wide, bar = rng.uniform(3, side / 2), rng.uniform(0.6, 2)
    block = box(side / 3, side / 3, side / 3 + wide, side / 3 + wide)
    bars = [box(-5, side / 2, 1, side / 2 + stem), box(side / 3, 0.5, side / 3 + bar, side / 3 + 1)]
    x, y = ((side / 3 + wide, side / 3), (side, 1.0))[rng.integers(2)]
    knob = [box(x - 1, y, x + 2, y + bar), box(x + 2, y, x + rng.uniform(3, 8), y + 3)]
    return shapely.union_all([box(-50, -9, -5, side + 9), frame, block, *bars, *knob])


@settings(max_examples=120, deadline=None)
@given(st.one_of(seeds.map(random_paper), seeds.map(hung_frame)))
@example(random_paper(130))  # a narrow neck before the chord of a wide one
@example(hung_frame(43))  # the bar in the window and the stem hold the same
def test_single_holds_are_those_that_a_comparison_of_each_with_each_keeps(paper):
    necks = measure_necks(paper, limit=3.0)
    necks = necks.take(np.flatnonzero(necks.same_ring & (necks.width < 3.0)))
    hanging = hanging_areas(necks)
    necks = necks.take(np.flatnonzero(hanging > 2 * necks.width**2))
    hanging = hanging_areas(necks)
    outlines, width = hanging_outlines(necks), necks.width
    kept: list[int] = []
    order = sorted(range(len(necks)), key=lambda k: (-hanging[k] / width[k], width[k], *necks.middle[k]))
    for k in order:
        pairs = [(k, j) if hanging[k] < hanging[j] else (j, k) for j in kept]
        if not any(
            hanging[o] <= 2 * hanging[i] and outlines[o].distance(Point(necks.middle[i])) <= width[i]
            for i, o in pairs
        ):
            kept.append(k)
    told = check_strength(paper, strap=1.0, look=3).single_holds
    assert [hold.at for hold in told] == [tuple(necks.middle[k]) for k in kept]
