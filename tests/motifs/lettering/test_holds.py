"""Raised and cut-out letters hold, keep their form, or are refused with what would do."""

import re

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from shapely import Point, box
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.compose.words.lettering import place_lettering
from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.lettering.cut_out import cut_letters
from canivet.motifs.lettering.raised import raise_letters
from canivet.motifs.lettering.text import shape_text, space_by_eye

SETTINGS = [(4.0, 0.6, 0.25), (7.0, 1.0, 0.4), (12.0, 1.2, 0.5)]
"""Letter height, strap and smallest radius: fine work, everyday work, and a beginner's."""


def line_in_panel(text, size, gap):
    """Set a line in a panel with room round it."""
    line = space_by_eye(shape_text(text, size=size), gap=gap)
    x0, y0, x1, y1 = line.area.bounds
    room = 0.5 * size + 2
    return line.moved(room - x0, room - y0), box(0, 0, x1 - x0 + 2 * room, y1 - y0 + 2 * room)


def raised_paper(text, size, strap, smallest, rails="foot"):
    line, panel = line_in_panel(text, size, 2 * smallest)
    raised = raise_letters(panel, line, strap=strap, smallest=smallest, rails=rails)
    return panel.buffer(5, join_style="mitre").difference(shapely.union_all(raised.openings)), raised


def cut_paper(text, size, strap, smallest):
    line, panel = line_in_panel(text, size, strap)
    cut = cut_letters(panel, line, strap=strap, smallest=smallest)
    return panel.difference(shapely.union_all(cut.openings)), cut


@across(rails=["foot", "both", "bars", "none"], name=["Ex libris", "Zoë Muñoz", "Jürgen Groß", "Ἑλένη"])
def test_raised_names_hold_by_every_kind_of_rail(name, rails):
    size, strap, smallest = SETTINGS[1]
    paper, _ = raised_paper(name, size, strap, smallest, rails)
    assert_one_piece(paper)
    assert check_strength(paper, strap=strap, smallest=smallest).holds


@pytest.mark.parametrize("text", ["Zoë", "Ana Muñoz", "“Illinois” 3/25", "d’Or", "Лебедь"])
def test_welded_letters_hold_each_other_without_a_rail(text):
    line, panel = line_in_panel(text, 9, 0.8)
    raised = raise_letters(panel, line, strap=1.2, smallest=0.4, rails="none")
    solid = [one.area for one in line.each if not one.blank]
    left, _, right, _ = shapely.total_bounds(solid)
    foot = line.each[0].at[1]
    # Between the outermost letters the paper is one piece by itself, and nothing runs beneath them but tails.
    _, _, _, top = panel.bounds
    assert_one_piece(raised.paper.intersection(box(left, 0.1, right, top - 0.1)))
    beneath = raised.paper.intersection(box(left, foot - 5, right, foot - 0.2))
    assert beneath.difference(shapely.union_all(solid).buffer(0.9)).area < 0.2
    assert_one_piece(panel.buffer(5).difference(shapely.union_all(raised.openings)))
    assert len(raised.openings) > 1


@pytest.mark.parametrize("along", ["arc", "oval"])
def test_welded_letters_hold_on_a_curve(along):
    panel = box(0, 0, 70, 32) if along == "arc" else Point(0, 0).buffer(40).difference(Point(0, 0).buffer(25))
    placed = place_lettering(
        panel, "Ana Muñoz", strap=1.0, smallest=0.4, rails="none", along=along, least=3, most=8
    )
    assert_one_piece(placed.paper)
    assert check_strength(placed.paper, strap=1.0, smallest=0.4).holds


@across(name=["Ex libris", "Zoë Muñoz", "Jürgen Groß"], setting=SETTINGS)
def test_cut_names_hold_at_every_size(name, setting):
    size, strap, smallest = setting
    paper, cut = cut_paper(name, size, strap, smallest)
    assert_one_piece(paper)
    assert check_strength(paper, strap=strap, smallest=smallest).holds
    assert not any(opening.interiors for opening in cut.openings)


@pytest.mark.parametrize("text", ["ijäöüéñçßÅ", "İŞğłŻ", "“A-b’s” : ; ! ?", "3/25 = 12%"])
def test_every_dot_accent_and_sign_is_held(text):
    paper, raised = raised_paper(text, 12, 1.2, 0.5)
    assert_one_piece(paper)
    letters = shape_text(text, size=12)
    parts = sum(len(letter.shape.geoms) for letter in letters.each)
    assert parts > len([one for one in letters.each if not one.blank])  # there was something to hold
    assert raised.paper.area > letters.area.area * 0.9


@pytest.mark.parametrize("text", ["k", "к", "Ы", "“", "%"])
def test_strokes_that_stand_side_by_side_stay_on_their_level(text):
    """The default face draws a k in two parts, a hair's breadth apart."""
    size = 9.0
    for paper, made in (raised_paper(text, size, 1.0, 0.4, "none"), cut_paper(text, size, 1.0, 0.4)):
        assert check_strength(paper, strap=1.0, smallest=0.4).holds
        meant = line_in_panel(text, size, 0.8)[0].area
        shape = shapely.union_all(made.openings) if hasattr(made, "bridges") else made.paper
        _, low, _, high = meant.bounds
        left, _, right, _ = meant.bounds
        part = shape.intersection(box(left - 1, low - 3, right + 1, high + 3))
        if hasattr(made, "bridges"):
            assert part.bounds[1] == pytest.approx(low, abs=0.35)
            assert part.bounds[3] == pytest.approx(high, abs=0.35)
        # Nearly all of the letter is where the face has it; a part moved up or down would not be.
        assert part.intersection(meant).area > (0.75 if text in "“%" else 0.82) * meant.area


def test_the_bar_of_a_theta_stays_in_it():
    _, raised = raised_paper("Θ", 9, 1.0, 0.4)
    line, _ = line_in_panel("Θ", 9, 0.8)
    bar = min(line.area.geoms, key=lambda part: part.area)
    assert raised.paper.intersection(bar).area > 0.99 * bar.area
    # The white round it, and the counter in two halves.
    assert len(raised.openings) == 3


@pytest.mark.parametrize(("character", "above"), [("b", True), ("d", True), ("p", False), ("P", False)])
def test_a_bowl_is_bridged_once_where_its_stem_runs_on_and_stays_joined_at_the_other_end(character, above):
    cut = cut_letters(box(-10, -10, 20, 20), shape_text(character, size=9), strap=1.2, smallest=0.5)
    (bridge,) = cut.bridges
    ((_, low, _, high),) = [opening.bounds for opening in cut.openings]  # one piece, stem and bowl
    assert (bridge.centroid.y > (low + high) / 2) == above


@pytest.mark.parametrize(
    ("character", "count"),
    [
        ("O", 2),
        ("o", 2),
        ("D", 2),
        ("B", 2),
        ("A", 1),
        ("g", 3),
        ("8", 2),
        ("e", 1),
        ("a", 1),
        ("Đ", 2),
        ("E", 0),
    ],
)
def test_a_bowl_stands_on_two_bridges_and_a_low_counter_on_one(character, count):
    paper, cut = cut_paper(character, 12, 1.2, 0.5)
    assert len(cut.bridges) == count
    for bridge in cut.bridges:
        x0, _, x1, _ = bridge.bounds
        assert x1 - x0 >= 1.2
        assert paper.covers(bridge.buffer(-0.01))


@pytest.mark.parametrize(
    ("character", "counters"), [("O", 1), ("B", 2), ("g", 2), ("8", 2), ("e", 1), ("E", 0)]
)
def test_each_counter_of_a_raised_letter_stays_open(character, counters):
    _, raised = raised_paper(character, 9, 1.0, 0.4)
    _, panel = line_in_panel(character, 9, 0.8)
    # The white round it, and the counters; that of a lower bowl is among them.
    assert len(raised.openings) == 1 + counters
    assert all(panel.covers(opening.buffer(-0.01)) for opening in raised.openings)


def test_a_stroke_thinner_than_the_strap_is_thickened_and_said():
    _, raised = raised_paper("noon", 7, 1.2, 0.4)
    assert any(remark.startswith("thin strokes thickened") for remark in raised.remarks)
    _, plain = raised_paper("noon", 14, 0.8, 0.4)
    assert plain.remarks == ()


def test_a_hairline_is_widened_and_said():
    _, cut = cut_paper("gag", 7, 0.7, 0.45)
    assert any(remark.startswith("hairlines widened") for remark in cut.remarks)


@pytest.mark.parametrize("make", [raised_paper, cut_paper])
def test_too_low_letters_are_refused_with_a_height_that_would_do(make):
    with pytest.raises(DoesNotFit, match="lose their form") as caught:
        make("Zoë", 3, 1.2, 0.5)
    height = float(re.search(r"Give them ([\d.]+) mm", caught.value.message)[1])
    assert 3 < height < 15
    paper, _ = make("Zoë", height, 1.2, 0.5)
    assert check_strength(paper, strap=1.2, smallest=0.5).holds


def test_letters_over_the_edge_are_refused_with_the_place():
    line, panel = line_in_panel("Zoë", 9, 1.2)
    for make in (raise_letters, cut_letters):
        with pytest.raises(DoesNotFit, match="reaches over the edge") as caught:
            make(panel, line.moved(8, 0), strap=1.2, smallest=0.4)
        assert caught.value.at[0] > panel.bounds[2] - 1.3


def test_widths_and_words_out_of_range_are_refused():
    line, panel = line_in_panel("Zoë", 9, 1)
    for make in (raise_letters, cut_letters):
        with pytest.raises(BadValue, match="strap is 0 mm"):
            make(panel, line, strap=0, smallest=0.4)
        with pytest.raises(BadValue, match="smallest is -1 mm"):
            make(panel, line, strap=1, smallest=-1)
    with pytest.raises(BadValue, match="foot, both, bars or none"):
        raise_letters(panel, line, strap=1, smallest=0.4, rails="head")


LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZäéñößřłĐøαβλЖя379-.'"


def assert_holds_or_is_refused(make, text, size, strap, smallest, *more):
    """A refusal is of letters that lose their form, and must not be of ones of a height that is plenty."""
    try:
        paper, _ = make(text, size, strap, smallest, *more)
    except DoesNotFit as refused:
        reason = refused.message
    else:
        assert_one_piece(paper)
        assert check_strength(paper, strap=strap, smallest=smallest).holds
        return
    assert "lose their form" in reason
    assert size < 14 * strap, f"{text!r} at {size} mm with a strap of {strap} mm"


@settings(max_examples=12, deadline=None)
@given(
    text=st.text(LETTERS, min_size=1, max_size=4),
    kind=st.sampled_from(SETTINGS),
    larger=st.floats(0.8, 2),
    rails=st.sampled_from(["foot", "both", "bars", "none"]),
)
def test_any_raised_word_holds_or_is_refused_with_a_reason(text, kind, larger, rails):
    size, strap, smallest = kind
    assert_holds_or_is_refused(raised_paper, text, size * larger, strap, smallest, rails)


@settings(max_examples=12, deadline=None)
@given(
    text=st.text(LETTERS, min_size=1, max_size=4),
    kind=st.sampled_from(SETTINGS),
    larger=st.floats(0.8, 2),
)
def test_any_cut_word_holds_or_is_refused_with_a_reason(text, kind, larger):
    size, strap, smallest = kind
    assert_holds_or_is_refused(cut_paper, text, size * larger, strap, smallest)


@pytest.mark.parametrize("strap", [1.0, 1.2])
def test_the_dot_of_a_raised_i_is_one_and_a_half_straps_across(strap):
    _, dot, raised = raised_dot(strap)
    assert 2 * shapely.maximum_inscribed_circle(dot).length < 1.5 * 1.2
    white = shapely.union_all(raised.openings)
    best = max(
        white.distance(Point(dot.centroid.x + dx, dot.centroid.y + dy))
        for dx in (-0.6, -0.5, 0, 0.5, 0.6) for dy in (-0.1, 0, 0.1, 0.2, 0.3, 0.4)
    )  # fmt: skip
    assert best >= 0.74 * strap


@pytest.mark.parametrize("strap", [1.0, 1.2])
def test_white_shows_on_both_sides_under_the_dot_of_a_raised_i(strap):
    """Or it would be an l with a knob."""
    stem, dot, raised = raised_dot(strap)
    middle = (stem.bounds[3] + dot.centroid.y) / 2 + 0.1
    across = box(stem.bounds[0] - 0.5, middle - 0.05, stem.bounds[2] + 0.9, middle + 0.05)
    held = raised.paper.intersection(across)
    assert strap <= held.bounds[2] - held.bounds[0] < 1.25 * strap
    assert len(shapely.get_parts(across.difference(held))) == 2


def test_the_ground_below_letters_is_whole_but_for_wells_round_tails():
    line, panel = line_in_panel("Hogarth", 9, 1.0)
    raised = raise_letters(panel, line, strap=1.0, smallest=0.4)
    g = next(one for one in line.each if one.text == "g")
    below = box(panel.bounds[0], panel.bounds[1], panel.bounds[2], line.baselines[0].bounds[1] - 0.05)
    dug = below.difference(raised.paper)
    assert dug.area > 1
    assert box(g.area.bounds[0] - 2, -99, g.area.bounds[2] + 2, 99).covers(dug)
    assert raised.paper.covers(g.area.intersection(below).buffer(-0.05))


def raised_dot(strap):
    line, panel = line_in_panel("i", 8, 0.8)
    stem, dot = sorted(line.area.geoms, key=lambda part: part.centroid.y)
    return stem, dot, raise_letters(panel, line, strap=strap, smallest=0.4)


@pytest.mark.parametrize("letter", ["l", "I", "T"])
@pytest.mark.parametrize(("share", "drawn"), [(0.09, True), (0.11, False)])
def test_a_stroke_is_widened_by_a_tenth_of_its_height_on_either_side_and_no_more(letter, share, drawn):
    size = 10.0
    line, panel = line_in_panel(letter, size, 1.0)
    stem = shapely.maximum_inscribed_circle(line.area).length  # half the width the face draws it
    asked = {"strap": 0.5, "smallest": stem + share * size}
    if drawn:
        assert len(cut_letters(panel.buffer(4, join_style="mitre"), line, **asked).openings) == 1
        return
    with pytest.raises(DoesNotFit, match="lose their form"):
        cut_letters(panel.buffer(4, join_style="mitre"), line, **asked)
