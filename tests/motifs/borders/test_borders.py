import numpy as np
import pytest
from shapely.affinity import scale
from strategies import PLAIN
from support import assert_one_piece, rings_of

from canivet.audit.strength import check_strength
from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.borders.arcades import scallop
from canivet.motifs.borders.keys import meander
from canivet.motifs.outlines import arch, rectangle

BORDERS = [meander, scallop]


@pytest.mark.parametrize("border", BORDERS)
@pytest.mark.parametrize("outline", PLAIN)
def test_a_border_mirrors_itself_wherever_its_outline_does(border, outline):
    paper = border(within=outline(width=101.6, height=152.4))
    assert paper.symmetric_difference(scale(paper, -1, 1, origin=(50.8, 0))).area < 1e-3
    upside_down = paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 76.2))).area
    assert (upside_down < 1e-3) == (outline is not arch)


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_key_has_one_hook_and_two_elbows_for_each_further_turn(turns):
    paper = meander(within=rectangle(width=200, height=200), band=26, strap=1.2, turns=turns)
    sides = 4 * sum(_openings_on_one_side(paper, 26))
    corners = 4 * 4 * turns
    assert len(paper.interiors) == sides + corners
    keys, spare = divmod(sides, 2 * turns - 1)
    assert spare == 0
    assert keys % 8 == 0


def _openings_on_one_side(paper, band):
    return [26 < ring.centroid.x < 174 and ring.centroid.y < band for ring in rings_of(paper)]


def test_a_wide_band_is_drawn_with_stouter_arms_and_not_with_whips():
    paper = meander(within=rectangle(width=200, height=200), band=40, rim=6, strap=1.2)
    assert check_strength(paper, strap=5).holds


def _arms(paper):
    """Length over width of the arm in each hook: what its box keeps, a bent strip of even width."""
    for hook in rings_of(paper):
        arm = hook.envelope.difference(hook)
        if len(hook.exterior.coords) == 13 and arm.geom_type == "Polygon":
            # length × width is its area, length + width half its outline: two equations (geometry)
            half = arm.length / 2
            width = (half - np.sqrt(half**2 - 4 * arm.area)) / 2
            yield arm.area / width**2


@pytest.mark.parametrize(
    ("band", "turns", "repeat"), [(10, 1, 16), (20, 1, 33), (30, 1, 53), (20, 2, 29), (30, 2, 46)]
)
def test_no_arm_hangs_further_than_about_ten_times_its_width(band, turns, repeat):
    # common practice, no source
    within = rectangle(width=250, height=250)
    for more in np.arange(1, 2, 0.1):
        try:
            paper, refusal = meander(within=within, band=band, turns=turns, repeat=repeat * more), None
        except DoesNotFit as error:
            paper, refusal = None, error
        assert refusal is None or (more > 1 and "hang too far" in str(refusal))
        if paper is not None:
            arms = list(_arms(paper))
            assert arms
            assert max(arms) < 10.05


def test_more_fit_on_a_larger_piece_at_the_same_strap():
    small = meander(within=rectangle(width=60, height=90))
    large = meander(within=rectangle(width=300, height=450))
    assert len(large.interiors) > 3 * len(small.interiors)
    for paper in (small, large):
        assert check_strength(paper, strap=1.2).weakest.width == pytest.approx(1.2, abs=0.003)


@pytest.mark.parametrize("petals", range(2, 8))
def test_a_half_round_has_the_petals_asked_for_and_a_corner_half_as_many_again(petals):
    within = rectangle(width=160, height=160)
    paper = scallop(within=within, band=20, petals=petals, repeat=30)
    plain = scallop(within=within, band=20, petals=petals - 1 if petals > 2 else 3, repeat=30)
    fans, corners = 4 * (round((160 - 40 + 2) / 30) - 1), 4
    other = petals - 1 if petals > 2 else 3
    gained = fans * (petals - other) + corners * (3 * petals // 2 - 3 * other // 2)
    assert len(paper.interiors) - len(plain.interiors) == gained


@pytest.mark.parametrize(
    ("border", "asked", "parameter", "says"),
    [
        (meander, {"band": 5, "rim": 2}, "band", "needs at least"),
        (meander, {"band": 10, "turns": 3}, "band", "3 turns of the key"),
        (meander, {"repeat": 3}, "repeat", "Raise repeat"),
        (meander, {"repeat": 60}, "repeat", "hang too far"),
        (meander, {"band": 30}, "band", "leaves no window"),
        (scallop, {"band": 5}, "band", "needs at least"),
        (scallop, {"repeat": 3}, "repeat", "Raise repeat"),
        (scallop, {"repeat": 90}, "repeat", "Lower repeat"),
        (scallop, {"petals": 9, "strap": 2}, "band", "9 petals"),
        (scallop, {"petals": 10}, "petals", "2 to 9"),
        (meander, {"turns": 4}, "turns", "1 to 3"),
        (meander, {"strap": 0.2}, "strap", "0.3 mm to 20 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(border, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        border(within=rectangle(width=60, height=90), **asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("border", BORDERS)
def test_a_band_is_accepted_at_the_width_the_refusal_names(border):
    within = rectangle(width=90, height=90)
    with pytest.raises(DoesNotFit) as caught:
        border(within=within, band=4)
    least = float(caught.value.accepted.removeprefix("at least ").removesuffix(" mm"))
    border(within=within, band=least + 0.01)
    with pytest.raises(DoesNotFit):
        border(within=within, band=least - 0.02)


def test_petals_that_straps_leave_no_room_are_left_out_of_the_fan():
    within = rectangle(width=50, height=50)
    paper = scallop(within=within, band=3, rim=0.5, strap=1.25, petals=2, smallest=0.125)
    assert_one_piece(paper)
    assert check_strength(paper, strap=0.5, smallest=0.125).holds  # the rim is the narrowest
