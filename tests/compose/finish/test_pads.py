"""Pads of foam: never seen up to the angle stated, near enough to all paper, and few."""

import math

import pytest
import shapely
from pad_checks import fewest, share_hidden
from shapely import box

from canivet.audit.sag import longest_for_sag, measure_sag
from canivet.compose.finish.pads import place_pads
from canivet.errors import DoesNotFit
from canivet.motifs.registry import find_motif
from canivet.stock import Stock

SPAN = longest_for_sag(0.5, stock=Stock.of(grammage=90))
ASKED = {"side": 3.0, "raise_": 4.0, "viewed_deg": 20.0}


def window(width=84, height=110, bar=10):
    """A frame with a cross in it: bars a pad hides behind, and four panes."""
    x, y, half = width / 2, height / 2, bar / 2
    cross = box(x - half, 0, x + half, height) | box(0, y - half, width, y + half)
    return box(0, 0, width, height) - (box(bar, bar, width - bar, height - bar) - cross)


@pytest.fixture(scope="module")
def paper():
    return window()


@pytest.fixture(scope="module")
def laid(paper):
    return place_pads(paper, **ASKED, span=SPAN)


def test_no_ray_at_the_viewing_angle_meets_a_pad(paper, laid):
    assert share_hidden(paper, laid, ASKED["viewed_deg"]) == 1.0


def test_rays_from_far_aside_do(paper, laid):
    assert share_hidden(paper, laid, 75) < 0.95


def test_every_part_is_within_the_span_of_a_pad_along_the_paper(laid):
    assert laid.farthest <= SPAN
    assert not laid.overhangs


def test_the_span_is_what_beam_theory_lets_sink_by_no_more_than_was_asked():
    # cantilever sag δ = w·L⁴/(8·B): beam theory
    assert measure_sag(SPAN, stock=Stock.of(grammage=90)) == pytest.approx(0.5)


def test_there_is_at_most_one_pad_more_than_any_choice_needs(paper, laid):
    # covering fewer points never takes more pads, so this is a lower bound for k-centre at this radius (HiGHS)
    least = fewest(paper, laid)
    assert least <= len(laid.pads) <= least + 1


def test_a_limb_too_thin_for_a_pad_is_named_with_its_length():
    limb = box(0, 0, 20, 20) | box(20, 9, 90, 11)
    found = place_pads(limb, **ASKED, span=SPAN).overhangs
    assert len(found) == 1
    assert found[0].at[0] > 89
    assert found[0].length == pytest.approx(90 - 20 + 3, abs=3)


@pytest.mark.parametrize("limb", [18, 22, 24, 60])
def test_paper_is_no_farther_from_a_pad_than_is_said_or_it_is_told_with_its_length(limb):
    # a limb of 2 mm goes out of a square: from the nearest pad it is as far to its end as the crow flies
    laid = place_pads(box(0, 0, 30, 30) | box(30, 14, 30 + limb, 16), **ASKED, span=25)
    end = 30 + limb, 15
    nearest = min(math.dist(pad.at, end) for pad in laid.pads)
    said = max([laid.farthest, *(one.length for one in laid.overhangs)])
    assert said == pytest.approx(nearest, abs=1.5)
    assert bool(laid.overhangs) == (nearest > 25 + 3)


def test_distance_is_measured_round_openings():
    # a slot cuts the way across: the pads on one side do not hold the other
    slit = box(0, 0, 60, 20) - box(8, 9.5, 60, 10.5)
    whole = box(0, 0, 60, 20)
    assert len(place_pads(slit, **ASKED, span=40).pads) > len(place_pads(whole, **ASKED, span=40).pads)


def test_where_no_pad_hides_what_would_do_is_said():
    lattice = find_motif("diamond-lattice").draw(within=box(0, 0, 60, 60), pitch=6, strap=1.2)
    with pytest.raises(DoesNotFit, match="no place for any pad") as caught:
        place_pads(lattice, **ASKED, span=SPAN)
    assert "mm wide" in caught.value.accepted


def test_a_square_pad_takes_a_slanting_bar_by_lying_on_its_corner():
    bar = shapely.affinity.rotate(box(0, 0, 60, 6.6), 45)
    assert {pad.turn_deg for pad in place_pads(bar, **ASKED, span=SPAN).pads} == {45.0}
