"""What every border of the catalogue promises. A new one is in these tests as soon as it is entered."""

import numpy as np
import pytest
import shapely
from border_checks import (
    assert_cut_as_asked,
    assert_drawn_or_refused_by_name,
    assert_mirrors_itself,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from shapely.affinity import rotate
from strategies import (
    OUTLINES,
    PLAIN,
    any_border_request,
    any_value,
    on_every_outline,
    sensible_border_request,
)
from support import rings_of

from canivet.errors import DoesNotFit
from canivet.motifs import catalogue
from canivet.motifs.outlines import arch, pointed_arch, rectangle

BORDERS = {name: one.draw for name, one in catalogue().items() if one.family == "border"}
ONE_WAY = {"cable", "guilloche", "interlace", "knotwork"}
"""Strands that are laid over one another all lean the same way: they turn onto themselves, and never mirror."""

FLOWING = [outline for outline in OUTLINES if outline is not pointed_arch]
"""Outlines with no corner but square ones, which every border turns."""

SENSIBLE = {"meander": {"strap": st.floats(1, 1.3)}}
"""A key is three straps and two slots high, and the narrowest band asked for has room for no stouter ones."""

FEWEST = {"greek-fret": 4}
"""Its white runs on as one line from stem to stem: on a small oval there are four."""

SHARED = ("band", "rim", "strap", "repeat", "smallest")


def settings_of_its_own(name):
    known = catalogue()[name].parameters
    return {key: any_value(bound) for key, bound in known.items() if key not in SHARED}


@across(times=2, name=BORDERS, outline=range(len(OUTLINES) + 1), size=[(101.6, 152.4), (60, 90)])
def test_a_border_holds_on_every_outline_whose_corners_it_turns(name, outline, size):
    within = on_every_outline(*size)[outline]
    asked = {"band": 12 if size[0] > 90 else 9.5}
    try:
        paper = BORDERS[name](within=within, **asked)
    except DoesNotFit as refusal:
        assert OUTLINES[outline] is pointed_arch
        assert "a border turns square corners" in refusal.message
        return
    assert_cut_as_asked(paper, within, BORDERS[name], **asked)
    assert paper.bounds == within.bounds
    assert len(paper.interiors) >= FEWEST.get(name, 8)


@pytest.mark.parametrize("name", BORDERS)
@given(data=st.data())
@settings(max_examples=4, deadline=None)
def test_no_sensible_border_is_refused_and_every_one_holds(name, data):
    within, asked = data.draw(sensible_border_request(outlines=FLOWING, **SENSIBLE.get(name, {})))
    assert_cut_as_asked(BORDERS[name](within=within, **asked), within, BORDERS[name], **asked)


@pytest.mark.parametrize("name", BORDERS)
@given(data=st.data())
@settings(max_examples=6, deadline=None)
def test_any_request_in_range_holds_or_is_refused_with_its_parameter_named(name, data):
    within, asked = data.draw(any_border_request(outlines=PLAIN, **settings_of_its_own(name)))
    assert_drawn_or_refused_by_name(BORDERS[name], within, asked, mirrors=name not in ONE_WAY)


@across(name=[name for name in BORDERS if name not in ONE_WAY], outline=FLOWING)
def test_a_border_mirrors_itself_wherever_its_outline_does(name, outline):
    paper = BORDERS[name](within=outline(width=101.6, height=152.4))
    assert_mirrors_itself(paper)
    if outline is rectangle:
        assert_mirrors_itself(paper, upright=False)


@pytest.mark.parametrize("name", BORDERS)
def test_a_square_border_turns_onto_itself_and_mirrors_itself_about_its_diagonals(name):
    paper = BORDERS[name](within=rectangle(width=120, height=120))
    assert paper.symmetric_difference(rotate(paper, 90, origin=(60, 60))).area < 2e-3
    over = paper.symmetric_difference(shapely.transform(paper, lambda points: points[:, ::-1])).area
    assert over < 2e-3 if name not in ONE_WAY else over > 100


@pytest.mark.parametrize("name", BORDERS)
def test_openings_of_the_piece_itself_stay(name):
    window = shapely.box(40, 60, 60, 90)
    paper = BORDERS[name](within=rectangle(width=100, height=150).difference(window))
    assert window.equals(max(rings_of(paper), key=lambda opening: opening.area))


@pytest.mark.parametrize("name", BORDERS)
def test_more_repeats_fit_on_a_larger_piece_at_the_same_strap(name):
    small, large = (
        BORDERS[name](within=rectangle(width=side, height=1.5 * side), band=10) for side in (60, 150)
    )
    # a fret is one white line past many hooks, all of it straight: its corners tell how many
    count = shapely.get_num_coordinates if name == "greek-fret" else shapely.get_num_interior_rings
    assert count(large) > 1.5 * count(small)


@pytest.mark.parametrize("name", BORDERS)
def test_an_arch_is_bordered_along_its_foot_as_along_its_head(name):
    within = arch(width=80, height=120)
    _, low, _, high = np.array([ring.bounds for ring in rings_of(BORDERS[name](within=within))]).T
    assert low.min() < 12
    assert high.max() > 108


@across(name=BORDERS, wrong=[1.0, 400.0])
def test_the_ends_of_the_range_a_refused_repeat_is_told_are_themselves_no_longer_refused_for_it(name, wrong):
    within = rectangle(width=200, height=260)
    with pytest.raises(DoesNotFit) as caught:
        BORDERS[name](within=within, band=13.37, strap=1.03, repeat=wrong)
    assert caught.value.parameter == "repeat"
    least, most = map(float, caught.value.accepted.removesuffix(" mm").split(" to "))
    try:
        BORDERS[name](within=within, band=13.37, strap=1.03, repeat=least if wrong < least else most)
    except DoesNotFit as refusal:
        assert refusal.parameter != "repeat", refusal
