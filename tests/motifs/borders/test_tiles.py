import numpy as np
import pytest
import shapely
from border_checks import (
    assert_cut_as_asked,
    assert_mirrors_itself,
    black_and_white_parts,
)
from sampling import across
from strategies import OUTLINES, on_every_outline
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


@across(times=2, border=BORDERS, outline=range(len(OUTLINES) + 1))
def test_a_border_mirrors_itself_wherever_its_outline_does(border, outline):
    within = on_every_outline(101.6, 152.4)[outline]
    paper = border(within=within)
    assert_cut_as_asked(paper, within, border)
    assert_mirrors_itself(paper)
    flipped = shapely.transform(within, lambda p: p * (1, -1) + (0, within.bounds[3]))
    if within.symmetric_difference(flipped).area < 1e-6:
        assert_mirrors_itself(paper, upright=False)


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


def corners_of_long_openings(paper):
    """Corners of what runs past many hooks or teeth, all of it straight: they tell how many."""
    long = [ring for ring in rings_of(paper) if max(np.ptp(np.reshape(ring.bounds, (2, 2)), axis=0)) > 12]
    return sum(shapely.get_num_coordinates(ring) for ring in long)


@pytest.mark.parametrize("border", BORDERS)
def test_more_repeats_fit_on_a_larger_piece_at_the_same_strap(border):
    small = border(within=rectangle(width=60, height=90), band=9)
    large = border(within=rectangle(width=180, height=270), band=9)
    count = corners_of_long_openings if border in (greek_fret, dentil) else shapely.get_num_interior_rings
    assert count(large) >= 2 * count(small)


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
