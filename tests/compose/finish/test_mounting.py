"""The sizes of mat, glass and frame, against worked examples of the trade."""

import pytest

from canivet.compose.design.finishing import MountSettings
from canivet.compose.finish.mounting import AIR, lay_mount
from canivet.errors import CanivetError, DoesNotFit
from canivet.lengths import format_inches
from canivet.sheets import SHEETS

IN = 25.4


def laid(piece, **told):
    return lay_mount(MountSettings(**told), (piece[0] * IN, piece[1] * IN), thickness=0.12)


@pytest.mark.parametrize(
    ("piece", "opening"), [((8, 10), (7.5, 9.5)), ((11, 14), (10.5, 13.5)), ((16, 20), (15.5, 19.5))]
)
def test_a_mat_covers_a_quarter_of_an_inch_a_side(piece, opening):
    # common practice, no source: 8×10 → 7.5×9.5 in, 11×14 → 10.5×13.5, 16×20 → 15.5×19.5
    found = laid(piece, kind="matted", mat="2 in").opening
    assert [side / IN for side in found] == pytest.approx(opening)


def test_an_eighth_covers_less():
    # common practice, no source: some take 1/8 in
    found = laid((8, 10), kind="matted", mat="2 in", overlap="0.125 in").opening
    assert [side / IN for side in found] == pytest.approx((7.75, 9.75))


def test_the_border_is_half_of_what_the_opening_leaves():
    # derived: (16 − 11.5)/2 and (20 − 15.5)/2
    found = laid((12, 16), kind="matted", mat={"size": "16x20 in"})
    assert [side / IN for side in found.borders] == pytest.approx([2.25] * 4)
    assert format_inches(found.borders.left) == "2 1/4 in"


def test_a_weighted_foot_takes_from_the_top_of_a_mat_of_given_size_and_adds_to_one_of_given_border():
    given = laid((12, 16), kind="matted", mat={"size": "16x20 in", "foot": "2.5 in"}).borders
    assert (given.top / IN, given.foot / IN) == pytest.approx((2.0, 2.5))
    added = laid((12, 16), kind="matted", mat={"border": "2 in", "foot": "2.5 in"})
    assert added.board.height / IN == pytest.approx(15.5 + 2 + 2.5)


def test_a_reveal_leaves_the_whole_edge_to_be_seen_inside_the_mat():
    found = laid((4, 6), kind="raised", mat="2 in", reveal="0.5 in")
    assert [side / IN for side in found.opening] == pytest.approx((5, 7))
    assert [place / IN for place in found.corner] == pytest.approx((2.5, 2.5))


def test_a_float_without_a_mat_shows_its_reveal_inside_the_frame():
    found = laid((4, 6), kind="float", reveal="0.5 in", moulding={"width": "20 mm", "rebate": "6 mm"})
    assert [side / IN for side in found.sight] == pytest.approx((5, 7))
    assert found.frame.width == pytest.approx(found.board.width + 2 * (1.6 + 14))


def test_panes_are_as_large_as_the_piece_and_its_reveal():
    # ISO 216: A5 is 148 × 210 mm
    sheet = SHEETS["A5"]
    found = lay_mount(MountSettings(kind="panes", reveal=12), (sheet.width, sheet.height), thickness=0.12)
    assert tuple(found.board) == (172, 234)
    assert found.panes == 2


def test_between_panes_it_is_said_that_paper_touches_glass_and_reads_reversed():
    said = " ".join(laid((4, 6), kind="panes").remarks)
    assert "touches the glass" in said
    assert "reversed" in said


@pytest.mark.parametrize("kind", ["matted", "float", "raised", "flat"])
@pytest.mark.parametrize(
    "mat", [None, {"border": "2 in"}, {"border": "2 in", "ply": 2}, {"border": "2 in", "ply": 8}]
)
@pytest.mark.parametrize("edge", ["usual", "reveal"])
def test_elsewhere_glass_stays_a_board_of_four_ply_off_the_paper(kind, mat, edge):
    # Library of Congress, guide to matting and framing works on paper: window mat or spacer, board of 4 ply at least
    told = {"kind": kind, "mat": mat} | ({"reveal": 8} if edge == "reveal" else {})
    if kind == "matted" and mat is None:
        with pytest.raises(ValueError, match="mat is missing"):
            MountSettings(**told)
        return
    found = laid((4, 6), **told)
    assert found.clearance >= AIR - 1e-9
    ahead = [name for name, _ in found.depth]
    assert ahead[0] == "glass"
    assert found.rebate_depth >= found.clearance


def test_a_raise_of_five_mm_behind_a_thin_mat_asks_for_a_spacer_and_a_deeper_frame():
    low, high = (laid((4, 6), kind=kind, mat="2 in", reveal=8) for kind in ("flat", "raised"))
    assert low.spacer < high.spacer
    assert high.rebate_depth - low.rebate_depth == pytest.approx(5.0, abs=1.5)


def test_a_moulding_too_shallow_is_said():
    found = laid((4, 6), kind="raised", moulding={"width": 20, "depth": 8})
    assert any("deeper" in said for said in found.remarks)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"kind": "matted", "mat": {"size": "7x9 in"}}, "larger than what the mat has room for"),
        ({"kind": "matted", "mat": "2 mm", "moulding": {"width": 30, "rebate": 12}}, "larger than the frame"),
        ({"kind": "matted", "mat": "2 in", "overlap": "4 in"}, "nothing of it would show"),
    ],
)
def test_what_cannot_be_framed_is_refused_with_its_sizes(told, said):
    with pytest.raises(DoesNotFit, match=said) as caught:
        laid((8, 10), **told)
    assert caught.value.parameter.startswith("mount")
    assert caught.value.accepted


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"kind": "matted", "mat": 50, "overlap": 5, "reveal": 5}, "Take one out"),
        ({"kind": "panes", "mat": 50}, "mat does not go with panes"),
        ({"kind": "flat", "raise": 5}, 'raise is for kind = "raised"'),
        ({"kind": "raised", "raise": 0}, "raise is 0; it takes a height above 0 mm"),
        ({"kind": "float", "overlap": 5}, "leaves its edges free"),
        ({"kind": "flat", "ground": "crimsom"}, "Did you mean 'crimson'"),
        (
            {"kind": "flat", "ground": {"colour": "red", "file": "a.png"}},
            "takes one of colour, file and wash",
        ),
        ({"kind": "matted", "mat": {"colour": "ivory"}}, "one of the two"),
        ({"kind": "flat", "moulding": {"width": 5, "rebate": 6}}, "make it less"),
    ],
)
def test_what_does_not_go_together_is_a_sentence(told, said):
    with pytest.raises((ValueError, CanivetError), match=said):
        MountSettings(**told)


def test_the_named_colours_are_those_of_css():
    # CSS Color Module Level 4: 148 names, as the tinycss2 package (a CSS parser) has them
    import tinycss2.color3

    from canivet.compose.design.values.colours import colour_names

    names = colour_names()
    assert len(names) == 148
    for name, written in names.items():
        parsed = (
            (0x66 / 255, 0x33 / 255, 0x99 / 255)
            if name == "rebeccapurple"  # added by Level 4; the module of Level 3 has it not
            else tinycss2.color3.parse_color(name)[:3]
        )
        assert written == "#{:02x}{:02x}{:02x}".format(*(round(255 * part) for part in parsed))
