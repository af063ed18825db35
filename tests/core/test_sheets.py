import pytest

from canivet.errors import BadValue
from canivet.sheets import SHEETS, find_sheet, smallest_sheet_for


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [
        # ISO 216, A and B series
        ("A3", 297, 420), ("A4", 210, 297), ("A5", 148, 210), ("A6", 105, 148), ("A7", 74, 105),
        ("B4", 250, 353), ("B5", 176, 250), ("B6", 125, 176),
        # ASME Y14.1; legal is in no standard, common practice
        ("letter", 215.9, 279.4), ("tabloid", 279.4, 431.8), ("ANSI C", 431.8, 558.8), ("ANSI D", 558.8, 863.6),
        ("legal", 215.9, 355.6),
    ],
)  # fmt: skip
def test_sheets_have_their_published_size(name, width, height):
    sheet = find_sheet(name)
    assert (sheet.width, sheet.height) == pytest.approx((width, height), abs=1e-9)


@pytest.mark.parametrize("series", ["A", "B"])
def test_each_iso_sheet_is_half_the_one_above_rounded_down(series):
    # ISO 216
    for number in range(8):
        larger, smaller = SHEETS[f"{series}{number}"], SHEETS[f"{series}{number + 1}"]
        assert smaller.width == larger.height // 2
        assert smaller.height == larger.width


def test_a_free_size_is_a_sheet():
    assert find_sheet("4x6 in").height == pytest.approx(152.4)


def test_names_are_read_whatever_their_case():
    assert find_sheet("ansi c") is SHEETS["ANSI C"]


def test_an_unknown_sheet_is_refused_with_the_nearest():
    with pytest.raises(BadValue, match="Did you mean 'letter'"):
        find_sheet("leter")


def test_the_smallest_sheet_may_lie_on_its_side():
    sheet = smallest_sheet_for(200, 140)
    assert (sheet.name, sheet.width) == ("A5", 210)
    assert smallest_sheet_for(2000, 10) is None


def test_no_sheet_smaller_than_a6_is_named():
    assert smallest_sheet_for(10, 10).name == "A6"
