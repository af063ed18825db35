import math

import pytest
import shapely
from border_checks import (
    anything_in_range,
    assert_cut_as_asked,
    assert_drawn_or_refused_by_name,
    assert_mirrors_itself,
    black_and_white_parts,
    on_every_outline,
    sensible,
)
from hypothesis import given, settings
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon
from support import rings_of

from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.arcade_borders import (
    double_scallop,
    egg_and_dart,
    lace_edge,
    pointed_arcade,
    round_arcade,
)
from canivet.motifs.border_lace import Lace, Scales
from canivet.motifs.border_tracery import CrossedArches, PointedArches
from canivet.motifs.outlines import arch, oval, rectangle

BORDERS = [pointed_arcade, round_arcade, egg_and_dart, lace_edge, double_scallop]


@pytest.mark.parametrize("border", BORDERS)
@pytest.mark.parametrize("size", [(101.6, 152.4), (60, 90)])
def test_a_border_drawn_with_its_defaults_holds_on_every_outline(border, size):
    band = 12 if size[0] > 90 else 9.5
    for within in on_every_outline(*size):
        assert_cut_as_asked(border(within=within, band=band), within, border, band=band)


@pytest.mark.parametrize("border", BORDERS)
@given(request=sensible())
@settings(max_examples=6, deadline=None)
def test_no_sensible_border_is_refused_and_every_one_holds(border, request):
    within, asked = request
    assert_cut_as_asked(border(within=within, **asked), within, border, **asked)


@pytest.mark.parametrize("border", BORDERS)
@given(request=anything_in_range())
@settings(max_examples=12, deadline=None)
def test_any_request_in_range_holds_and_mirrors_or_is_refused_with_its_parameter_named(border, request):
    assert_drawn_or_refused_by_name(border, *request)


@pytest.mark.parametrize("border", BORDERS)
def test_a_border_mirrors_itself_wherever_its_outline_does(border):
    for within in on_every_outline(101.6, 152.4):
        paper = border(within=within)
        assert_mirrors_itself(paper)
        flipped = shapely.transform(within, lambda p, h=within.bounds[3]: p * (1, -1) + (0, h))
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


@pytest.mark.parametrize("border", BORDERS)
def test_a_border_reads_as_cut_paper_and_not_as_wire_or_a_sheet_with_holes(border):
    # common practice: 45–60 % black reads as cut paper, under 35 % as wire, over 70 % as a sheet with holes
    within = rectangle(width=101.6, height=152.4)
    band = within.area - (101.6 - 28) * (152.4 - 28)
    share = 1 - (within.area - border(within=within, band=14).area) / band
    assert 0.45 <= share <= 0.68


@pytest.mark.parametrize("border", BORDERS)
def test_more_repeats_fit_on_a_larger_piece_at_the_same_strap(border):
    small = border(within=rectangle(width=60, height=90), band=9)
    large = border(within=rectangle(width=240, height=360), band=9)
    assert len(large.interiors) > 3 * len(small.interiors)


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


def test_openings_of_the_piece_itself_stay():
    within = rectangle(width=100, height=150).difference(shapely.box(40, 60, 60, 90))
    cut = rings_of(egg_and_dart(within=within))
    assert any(shapely.box(40, 60, 60, 90).equals(opening) for opening in cut)


def test_crossed_arches_leave_pointed_openings_between_columns():
    (opening,) = CrossedArches(10.0, 1.0, 0.3).bay(10.0)
    # two arches of radius r whose columns stand r apart cross at √3/2·r (derived); here at 10.5·√3/2 - strap
    assert opening[:, 1].max() == pytest.approx(10.5 * 3**0.5 / 2 - 1.0, abs=0.6)
    assert Polygon(opening).bounds[0] == pytest.approx(-Polygon(opening).bounds[2])


def test_an_arch_holds_two_lancets_under_a_pierced_head_and_one_where_they_would_be_too_fine():
    assert len(PointedArches(9.0, 1.0, 0.5).bay(10.0)) == 3
    assert len(PointedArches(9.0, 1.0, 0.5).bay(3.5)) == 1


def test_an_arch_too_small_for_two_lancets_is_pointed():
    (light,) = PointedArches(9.0, 1.0, 0.5).bay(3.5)
    top = light[light[:, 1] > 9.0 - 1e-6]
    assert len(top) == 1
    # an equilateral arch is struck with its own width from its springing (common practice of building), which
    # lies √3/2 of that under its point (geometry)
    springing = 9.0 - 2.5 * 3**0.5 / 2
    (low_x, _, high_x, _) = Polygon(light).intersection(LineString([(-2, 8), (2, 8)])).bounds
    assert high_x == pytest.approx(math.sqrt(2.5**2 - (8 - springing) ** 2) - 1.25, abs=0.01)
    assert low_x == pytest.approx(-high_x)


def test_eyelets_follow_the_edge_of_a_scallop_at_one_distance():
    lace = Lace(12.0, 1.0, 0.4)
    edge = Point(0, 12).buffer(12.0, quad_segs=64).exterior
    eyelets = sorted(lace.bay(23.0), key=lambda r: edge.distance(Polygon(r)))[:4]
    # a scallop 24 wide and 12 deep is half round, and eyelets lie a strap inside its edge
    for eyelet in eyelets:
        assert edge.distance(Polygon(eyelet)) == pytest.approx(1.0, abs=0.02)


def test_picots_stand_out_into_the_air_between_scallops():
    (air,) = Lace(12.0, 1.0, 0.4).post(23.0)
    assert Polygon(air).area < Polygon(air).convex_hull.area - 1


def test_scales_of_both_rows_are_a_strap_apart():
    scales = Scales(10.0, 1.0, 0.3)
    (inner, *_), (outer,) = scales.bay(10.0), scales.post(10.0)
    beside = translate(Polygon(outer), 5.0)
    assert Polygon(inner).distance(beside) == pytest.approx(1.0, abs=0.01)


def test_an_egg_is_blunt_at_the_rim():
    within = rectangle(width=101.6, height=152.4)
    eggs = [
        r
        for r in rings_of(egg_and_dart(within=within))
        if abs(r.centroid.y - 7) < 2.5 and 20 < r.centroid.x < 80
    ]
    egg = max(eggs, key=lambda r: r.area / r.convex_hull.area * r.area)
    low_x, low_y, high_x, high_y = egg.bounds
    middle = (low_y + high_y) / 2
    rimward = egg.intersection(shapely.box(low_x, low_y, high_x, middle))
    assert rimward.area > 1.02 * (egg.area - rimward.area)
