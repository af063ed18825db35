import pytest
import shapely
from shapely.affinity import scale
from shapely.geometry import LineString, Polygon
from strategies import PLAIN
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.borders._ornament.areas import CHORD_LOSS
from canivet.motifs.borders._ornament.keys import _HOOKS, _KEYS, Fretwork
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


@pytest.mark.parametrize("levels", [2, 3, 4])
def test_a_key_comes_out_as_it_went_in_turned_half_round(levels):
    # frieze group p2 (International Tables for Crystallography, Vol. E): half turns, and no mirror
    *wound, _, _ = _KEYS[levels]
    turned = [(levels + 1 - x, levels - y) for x, y in reversed(wound)]
    assert turned == wound
    assert [(levels + 1 - x, y) for x, y in reversed(wound)] != wound


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_key_is_one_line_that_stands_on_the_rail_with_both_feet_of_every_repeat(turns):
    key = Fretwork.fitted(15.0, strap=0.8, levels=turns + 1, hooked=False, smallest=0.4)
    cut = shapely.union_all([Polygon(ring) for ring in key.half_side(key.natural, 3)])
    paper = shapely.box(0, 0, 3 * key.natural, key.levels * key.row).difference(cut)
    line = shapely.get_parts(paper.buffer(-1e-6))
    # a line for each repeat, and the one that came down from the repeat before
    assert len([part for part in line if part.area > key.line**2]) == 3 + 1
    feet = paper.intersection(LineString([(0, 1e-3), (3 * key.natural, 1e-3)]))
    assert len(shapely.get_parts(feet)) == 2 * 3 + 1


def test_posts_to_the_rim_stand_about_three_repeats_apart():
    key = Fretwork.fitted(9.0, strap=0.8, levels=2, hooked=False, smallest=0.4)
    for count in (3, 6, 8, 12):
        cut = shapely.union_all([Polygon(ring) for ring in key.half_side(key.natural, count)])
        under = LineString([(0, 8.9), (count * key.natural, 8.9)]).intersection(cut)
        assert len(shapely.get_parts(under)) == round(count / 3)


def test_a_wide_band_is_drawn_with_stouter_lines_and_not_with_wires():
    paper = meander(within=rectangle(width=200, height=200), band=40, rim=6, strap=1.2)
    assert check_strength(paper, strap=2.5 * 1.2).holds


@pytest.mark.parametrize("band", [10, 20, 30])
def test_a_hook_of_a_fret_is_ten_times_as_long_as_wide_at_the_most_or_thirteen_drawn_out(band):
    # common practice, no source
    fret = Fretwork.fitted(band - 4, strap=1.2, levels=2, hooked=True, smallest=0.5)
    for repeat, most in ((fret.natural, 10), (fret.longest, 13.2)):
        for path in _HOOKS[2]:
            hook = fret._drawn(path, repeat)
            assert hook.area / fret.line < most * fret.line + 1e-6


def test_more_fit_on_a_larger_piece_at_the_same_strap():
    small = meander(within=rectangle(width=60, height=90), band=10)
    large = meander(within=rectangle(width=300, height=450), band=10)
    assert len(large.interiors) > 3 * len(small.interiors)
    for paper in (small, large):
        assert check_strength(paper, strap=1.2).weakest.width == pytest.approx(1.2 + CHORD_LOSS, abs=0.002)


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
        (meander, {"band": 10, "turns": 3}, "band", "turns inward 3 times"),
        (meander, {"repeat": 3}, "repeat", "Raise repeat"),
        (meander, {"repeat": 60}, "repeat", "Lower repeat"),
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
