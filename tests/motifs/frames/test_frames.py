from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import a_few_of
from shapely.affinity import scale
from shapely.geometry import Polygon
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import parse_length
from canivet.motifs import catalogue, find_motif

NAMES = [name for name, motif in catalogue().items() if motif.family == "frame"]
STRAP, SMALLEST = 1.2, 0.5


def natural(name, scale=1.0):
    """The size a frame is drawn at when none is asked, larger or smaller by a scale."""
    sides = catalogue()[name].parameters
    return sides["width"].default * scale, sides["height"].default * scale


def proportion(name):
    width, height = natural(name)
    return height / width


LYING = [name for name in NAMES if proportion(name) < 1]
TALL = [name for name in NAMES if proportion(name) > 2]
UPRIGHT = [name for name in NAMES if name not in LYING + TALL]


@cache
def drawn(name, scale=1.0):
    width, height = natural(name, scale)
    return catalogue()[name].draw(width=width, height=height)


def opened(frame, *places):
    holes = [*frame.paper.interiors, *(place.exterior for place in places)]
    return Polygon(frame.paper.exterior, holes)


def assert_holds(paper, *, strap=STRAP, smallest=SMALLEST):
    assert_one_piece(paper)
    report = check_strength(paper, strap=strap, smallest=smallest)
    assert report.holds, (report.necks[:3], report.limbs[:3], report.small_openings[:3])


def assert_a_good_frame(frame, width, height, *, strap=STRAP, smallest=SMALLEST):
    assert np.allclose(frame.paper.bounds, (0, 0, width, height), atol=1e-6)
    places = [frame.window, *frame.panels.values()]
    asked = {"strap": strap, "smallest": smallest}
    for chosen in ([], [frame.window], list(frame.panels.values()), places):
        assert_holds(opened(frame, *chosen), **asked)
    openings = shapely.polygons(shapely.get_rings(frame.paper)[1:])
    for k, place in enumerate(places):
        assert place.is_valid
        assert frame.paper.contains(place)
        assert place.distance(frame.paper.exterior) >= strap - 1e-6
        assert shapely.distance(openings, place).min() >= strap - 1e-6
        assert all(place.distance(other) >= strap - 1e-6 for other in places[:k])


def test_there_are_as_many_arrangements_as_the_readme_says_and_each_says_what_appears_on_paper():
    readme = (Path(__file__).parents[3] / "README.md").read_text(encoding="utf-8")
    assert f", {len(NAMES)} frames" in readme
    assert len({catalogue()[name].summary for name in NAMES}) == len(NAMES)
    for name in NAMES:
        known = catalogue()[name].parameters
        assert {"width", "height", "strap", "smallest", "rim"} <= set(known), name
        assert all(bound.meaning for bound in known.values())


@pytest.mark.parametrize("name", NAMES)
def test_a_frame_holds_with_window_and_panels_solid_or_opened(name):
    assert_a_good_frame(drawn(name), *natural(name))


@settings(max_examples=4, deadline=None)
@given(
    name=st.sampled_from(UPRIGHT),
    width=st.floats(60, 250),
    ratio=st.floats(1.33, 1.6),
    strap=st.floats(1.0, 1.5),
)
def test_an_upright_frame_holds_at_any_size_and_is_never_refused(name, width, ratio, strap):
    frame = catalogue()[name].draw(width=width, height=ratio * width, strap=strap, smallest=SMALLEST)
    assert_a_good_frame(frame, width, ratio * width, strap=strap)


@settings(max_examples=3, deadline=None)
@given(
    name=st.sampled_from(NAMES),
    width=st.floats(60, 400),
    ratio=st.floats(0.5, 3.5),
    strap=st.floats(0.8, 2.0),
    smallest=st.floats(0.4, 1.0),
)
def test_a_frame_of_any_proportion_holds_or_is_refused_with_what_would_fit(
    name, width, ratio, strap, smallest
):
    height = min(max(ratio * width, 40), 500)
    try:
        frame = catalogue()[name].draw(width=width, height=height, strap=strap, smallest=smallest)
    except DoesNotFit as refusal:
        assert refusal.parameter
        assert refusal.accepted
        return
    assert_a_good_frame(frame, width, height, strap=strap, smallest=smallest)


@a_few_of(4, name=[name for name in NAMES if name not in LYING])
def test_a_frame_mirrors_itself_about_its_upright_axis(name):
    width, _ = natural(name)
    frame = drawn(name)
    for shape in (frame.paper, frame.window):
        mirrored = scale(shape, -1, 1, origin=(width / 2, 0))
        unlike = shape.symmetric_difference(mirrored)
        assert unlike.buffer(-0.01).is_empty  # nothing differs by more than 0.02 mm, what flattening leaves


@a_few_of(4, name=NAMES)
def test_a_series_of_sizes_keeps_the_straps_and_counts_more_repeats(name):
    counts, narrowest = [], []
    for grown in (0.62 if name not in TALL else 0.9, 1.0, 1.45):
        frame = drawn(name, grown)
        counts.append(len(frame.paper.interiors))
        whole = opened(frame, frame.window, *frame.panels.values())
        narrowest.append(check_strength(whole, strap=STRAP).weakest.width)
    assert counts == sorted(counts)
    assert counts[-1] > counts[0]
    assert all(STRAP - 2e-3 <= width < 1.7 * STRAP for width in narrowest), narrowest


@a_few_of(4, name=NAMES)
def test_three_widths_are_clearly_different(name):
    """The rim along the edge is 2.4 straps and the narrowest strap one: nothing is drawn at one width."""
    frame = drawn(name)
    openings = shapely.polygons(shapely.get_rings(frame.paper)[1:])
    rim = shapely.distance(openings, frame.paper.exterior).min()
    assert rim > 1.5 * STRAP


@a_few_of(4, name=UPRIGHT)
def test_more_paper_lies_in_the_lower_half(name):
    _, height = natural(name)
    frame = drawn(name)
    whole = opened(frame, frame.window)
    assert whole.centroid.y < height / 2
    assert frame.window.centroid.y > 0.49 * height  # a gable takes its room above


@a_few_of(4, name=NAMES)
def test_a_frame_is_the_same_every_time(name):
    width, height = natural(name)
    assert catalogue()[name].draw(width=width, height=height).paper.equals_exact(drawn(name).paper, 0)


def test_a_bent_panel_follows_its_arc():
    for name in ("banner", "lace-edge-oval"):
        frame = catalogue()[name].draw(width=101.6, height=152.4)
        x, y, radius = frame.arcs["name"]
        panel = frame.panels["name"]
        low = min(panel.exterior.coords, key=lambda point: abs(point[0] - x) + point[1])
        deep = panel.intersection(shapely.LineString([(x, 0), (x, 152.4)])).length
        assert y + radius == pytest.approx(low[1] + deep / 2, abs=0.1)


def test_the_band_and_border_are_the_makers_to_choose():
    plain = catalogue()["arched-window"].draw(width=120, height=180)
    keyed = catalogue()["arched-window"].draw(width=120, height=180, border="meander", band=14)
    assert keyed.window.bounds[0] > plain.window.bounds[0]
    assert_a_good_frame(keyed, 120, 180)


def test_a_frame_that_is_not_known_is_refused_with_the_nearest():
    with pytest.raises(BadValue, match="Did you mean 'plinth'"):
        find_motif("plynth", family="frame", parameter="frame")
    assert find_motif("Arched window").name == "arched-window"


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        ("tall-narrow", 60, 90),
        ("landscape-plate", 100, 100),
        ("plinth", 152.4, 101.6),
        ("wreath-frame", 40, 150),
    ],
)
def test_a_plate_of_the_wrong_proportion_is_told_what_would_fit(name, width, height):
    with pytest.raises(DoesNotFit, match=r"needs at least .* mm\. Raise") as caught:
        catalogue()[name].draw(width=width, height=height)
    side = caught.value.parameter
    least = parse_length(caught.value.accepted.removeprefix("at least "))
    assert least > caught.value.value
    asked = {"width": width, "height": height, side: least}
    assert_a_good_frame(catalogue()[name].draw(**asked), asked["width"], asked["height"])


@a_few_of(4, name=UPRIGHT)
def test_straps_that_leave_no_room_are_refused_with_a_plate_that_would_take_them(name):
    asked = {"width": 40, "height": 60, "strap": 3.5, "smallest": 1.0}
    with pytest.raises(DoesNotFit) as caught:
        catalogue()[name].draw(**asked)
    message = str(caught.value)
    assert "40" in message or "60" in message
    assert "at least" in message or "plate of" in message


def test_settings_out_of_range_are_refused_at_the_door():
    with pytest.raises(BadValue, match=r"panel is 0\.5"):
        catalogue()["plinth"].draw(width=100, height=150, panel=0.5)
    with pytest.raises(DoesNotFit, match="rim is 1 mm"):
        catalogue()["plinth"].draw(width=100, height=150, rim=1.0, strap=1.2)


@pytest.mark.parametrize(
    ("asked", "spine"),
    [
        ({"width": 50, "height": 180}, 0.02),
        ({"width": 50, "height": 180, "rim": 14.0, "strap": 1.0}, 0.45),
        ({"width": 36, "height": 150, "strap": 1.0, "rim": 6.0}, 0.01),
        ({"width": 36, "height": 150, "strap": 1.0, "rim": 9.0}, 0.4),
    ],
)
def test_a_spine_too_narrow_or_too_wide_is_refused_with_those_that_would_do(asked, spine):
    with pytest.raises(DoesNotFit, match=rf"^spine is {spine:g}; .* takes .* to ") as caught:
        find_motif("tall-narrow").draw(spine=spine, **asked)
    assert caught.value.parameter == "spine"
    low, high = (float(word) for word in caught.value.accepted.split(" to "))
    assert low < high
    assert not low <= spine <= high
    for share in (low, high):
        drawn = find_motif("tall-narrow").draw(spine=share, **asked)
        assert_a_good_frame(drawn, asked["width"], asked["height"], strap=asked.get("strap", STRAP))
        assert drawn.panels["name"].bounds[2] < drawn.window.bounds[0]


def test_a_plate_too_narrow_for_any_spine_is_refused_with_one_that_takes_it():
    with pytest.raises(DoesNotFit, match=r"no room for a name beside its window\. A plate of"):
        find_motif("tall-narrow").draw(width=30, height=150, strap=1.0, rim=8.0, spine=0.2)


def test_a_panel_beside_a_spine_is_refused_and_not_ignored():
    draw = find_motif("tall-narrow").draw
    with pytest.raises(DoesNotFit, match=r"panel is 0\.12 and spine is 0\.3; .* Leave out panel") as caught:
        draw(panel=0.12, spine=0.3)
    assert caught.value.parameter == "panel"
    assert draw(panel=0.0, spine=0.3).panels["name"].equals(draw(spine=0.3).panels["name"])
    assert draw().panels["name"].equals(draw(panel=0.12).panels["name"])


@pytest.mark.parametrize("motto", [0.0, 0.3, 1.0])
def test_a_lying_plate_without_ground_over_its_words_gives_them_its_room(motto):
    bare, crested = (find_motif("landscape-plate").draw(crest=crest, motto=motto) for crest in (0.0, 0.28))
    assert_a_good_frame(bare, 152.4, 101.6)
    head, lower = (max(panel.bounds[3] for panel in drawn.panels.values()) for drawn in (bare, crested))
    assert head > lower + 10


@pytest.mark.parametrize("size", [(30.5, 30.0), (45.7, 30.5), (62.0, 48.0)])
def test_a_lying_plate_too_small_for_its_words_is_refused_in_a_sentence(size):
    with pytest.raises(DoesNotFit, match="mm"):
        find_motif("landscape-plate").draw(width=size[0], height=size[1])
