import math

import numpy as np
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
from shapely.geometry import Polygon
from support import rings_of

from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.border_chevrons import Steps
from canivet.motifs.border_frets import Fret
from canivet.motifs.outlines import arch, oval, rectangle
from canivet.motifs.straight_borders import (
    bead_and_bar,
    dentil,
    diamond_chain,
    greek_fret,
    ray,
    stepped,
    zigzag,
)

BORDERS = [zigzag, stepped, diamond_chain, dentil, bead_and_bar, greek_fret, ray]


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
    band = within.area - (101.6 - 24) * (152.4 - 24)
    share = 1 - (within.area - border(within=within).area) / band
    assert 0.45 <= share <= 0.65


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
    cut = rings_of(zigzag(within=within))
    assert any(shapely.box(40, 60, 60, 90).equals(opening) for opening in cut)


@pytest.mark.parametrize("repeat", [7.0, 9.5, 13.0])
def test_a_hanging_pyramid_is_the_standing_one_turned_over_and_keeps_its_wall(repeat):
    steps = Steps(8.6, 1.2, 0.5)
    (standing,), (hanging,) = steps.bay(repeat), steps.post(repeat)
    assert Polygon(hanging).equals(Polygon(standing * (1, -1) + (0, 8.6)))
    # derived: walls between level and upright sides alike are the same width, so the nearest points are that far apart
    beside = translate(Polygon(hanging), repeat / 2)
    assert Polygon(standing).distance(beside) == pytest.approx(steps.wall, abs=1e-9)


def test_the_hooks_of_a_fret_are_each_other_turned_half_round():
    hook, other = Fret(8.6, 1.2, 0.5).bay(12.0)
    assert Polygon(other).symmetric_difference(Polygon((0, 8.6) - hook)).area < 1e-9
    assert Polygon(hook).distance(Polygon(other)) >= 1.2


@pytest.mark.parametrize("side", [80, 110])
def test_a_fret_faces_about_in_the_middle_of_each_side(side):
    paper = greek_fret(within=rectangle(width=side, height=side))
    hooks = [r for r in rings_of(paper) if 12 < r.centroid.x < side - 12 and r.centroid.y < 12]
    assert len(hooks) % 4 == 0  # pairs, as many on either side of the middle
    left = [r for r in hooks if r.centroid.x < side / 2]
    assert len(left) == len(hooks) / 2


def test_the_wedges_of_a_sun_narrow_towards_it():
    within = rectangle(width=150, height=150)
    wedges = [r for r in rings_of(ray(within=within)) if abs(r.centroid.x - 75) < 1 and r.centroid.y < 12]
    # sides that lean towards each other make a wedge; a bar would be as wide below as above
    upper, lower = (
        wedge.intersection(shapely.box(0, low, 150, low + 0.2)).area
        for wedge in wedges[:1]
        for low in (wedges[0].bounds[1] + 0.5, wedges[0].bounds[3] - 0.7)
    )
    assert upper > 1.2 * lower


def test_beads_are_round_on_a_straight_side():
    paper = bead_and_bar(within=rectangle(width=101.6, height=152.4))
    corner = min(rings_of(paper), key=lambda r: math.dist(r.centroid.coords[0], (6, 6)))
    width, height = np.ptp(shapely.get_coordinates(corner), axis=0)
    assert width == pytest.approx(height)
    # a circle encloses π/4 of its box (geometry)
    assert corner.area / (width * height) == pytest.approx(math.pi / 4, rel=2e-3)
