import pytest
import shapely
from border_checks import (
    assert_cut_as_asked,
    assert_drawn_or_refused_by_name,
    assert_mirrors_itself,
    black_and_white_parts,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from strategies import any_border_request, on_every_outline, sensible_border_request
from support import rings_of

from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.borders.arcades import (
    double_scallop,
    egg_and_dart,
    lace_edge,
    pointed_arcade,
    round_arcade,
)
from canivet.motifs.borders.keys import greek_fret
from canivet.motifs.borders.straight import (
    bead_and_bar,
    dentil,
    diamond_chain,
    ray,
    stepped,
    zigzag,
)
from canivet.motifs.outlines import arch, oval, rectangle

STRAIGHT = [zigzag, stepped, diamond_chain, dentil, bead_and_bar, greek_fret, ray]
ARCADES = [pointed_arcade, round_arcade, egg_and_dart, lace_edge, double_scallop]
BORDERS = [*STRAIGHT, *ARCADES]


@across(border=BORDERS, outline=range(6), size=[(101.6, 152.4), (60, 90)])
def test_a_border_drawn_with_its_defaults_holds_on_every_outline(border, outline, size):
    band = 12 if size[0] > 90 else 9.5
    within = on_every_outline(*size)[outline]
    assert_cut_as_asked(border(within=within, band=band), within, border, band=band)


@pytest.mark.parametrize("border", BORDERS)
@given(request=sensible_border_request(repeat=st.none() | st.floats(6, 14)))
@settings(max_examples=3, deadline=None)
def test_no_sensible_border_is_refused_and_every_one_holds(border, request):
    within, asked = request
    assert_cut_as_asked(border(within=within, **asked), within, border, **asked)


@pytest.mark.parametrize("border", BORDERS)
@given(request=any_border_request())
@settings(max_examples=6, deadline=None)
def test_any_request_in_range_holds_and_mirrors_or_is_refused_with_its_parameter_named(border, request):
    assert_drawn_or_refused_by_name(border, *request)


@across(times=2, border=BORDERS, outline=range(6))
def test_a_border_mirrors_itself_wherever_its_outline_does(border, outline):
    within = on_every_outline(101.6, 152.4)[outline]
    paper = border(within=within)
    assert_mirrors_itself(paper)
    flipped = shapely.transform(within, lambda p: p * (1, -1) + (0, within.bounds[3]))
    if within.symmetric_difference(flipped).area < 1e-6:
        assert_mirrors_itself(paper, upright=False)


@pytest.mark.parametrize("border", BORDERS)
def test_a_square_border_mirrors_itself_about_its_diagonals(border):
    paper = border(within=rectangle(width=120, height=120))
    turned = shapely.transform(paper, lambda points: points[:, ::-1])
    assert paper.symmetric_difference(turned).area < 2e-3


@pytest.mark.parametrize("border", BORDERS)
def test_a_renderer_sees_one_part_of_paper_and_as_many_openings_as_were_cut(border):
    paper = border(within=arch(width=70, height=105), band=10)
    assert black_and_white_parts(paper) == (1, len(paper.interiors))


@pytest.mark.parametrize(
    ("border", "band", "most"), [*((b, 12, 0.65) for b in STRAIGHT), *((b, 14, 0.68) for b in ARCADES)]
)
def test_a_border_reads_as_cut_paper_and_not_as_wire_or_a_sheet_with_holes(border, band, most):
    # common practice: 45–60 % black reads as cut paper, under 35 % as wire, over 70 % as a sheet with holes
    within = rectangle(width=101.6, height=152.4)
    area = within.area - (101.6 - 2 * band) * (152.4 - 2 * band)
    share = 1 - (within.area - border(within=within, band=band).area) / area
    assert 0.45 <= share <= most


@pytest.mark.parametrize("border", BORDERS)
def test_more_repeats_fit_on_a_larger_piece_at_the_same_strap(border):
    small = border(within=rectangle(width=60, height=90), band=9)
    large = border(within=rectangle(width=180, height=270), band=9)
    assert len(large.interiors) > 2.5 * len(small.interiors)


@pytest.mark.parametrize("border", BORDERS)
def test_the_same_request_gives_the_same_bytes(border):
    assert len({shapely.to_wkb(border(within=oval(width=80, height=120))) for _ in range(2)}) == 1


@pytest.mark.parametrize("border", BORDERS)
@pytest.mark.parametrize("within", [rectangle(width=90, height=90), oval(width=90, height=120)])
def test_a_band_is_accepted_at_the_width_the_refusal_names(border, within):
    with pytest.raises(DoesNotFit) as caught:
        border(within=within, band=3.5)
    least = float(caught.value.accepted.removeprefix("at least ").removesuffix(" mm"))
    paper = border(within=within, band=least + 0.02)
    assert_cut_as_asked(paper, within, border, band=least + 0.02)
    with pytest.raises(DoesNotFit):
        border(within=within, band=least - 0.05)


@pytest.mark.parametrize("border", BORDERS)
@pytest.mark.parametrize(
    ("asked", "parameter", "says"),
    [
        ({"band": 3.5}, "band", "needs at least"),
        ({"repeat": 1.5}, "repeat", "Raise repeat"),
        ({"repeat": 300}, "repeat", "Lower repeat"),
        ({"band": 31}, "band", "leaves no window"),
        ({"strap": 0.2}, "strap", "0.3 mm to 20 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(border, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        border(within=rectangle(width=60, height=90), **asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("border", [zigzag, egg_and_dart])
def test_openings_of_the_piece_itself_stay(border):
    within = rectangle(width=100, height=150).difference(shapely.box(40, 60, 60, 90))
    cut = rings_of(border(within=within))
    assert any(shapely.box(40, 60, 60, 90).equals(opening) for opening in cut)
