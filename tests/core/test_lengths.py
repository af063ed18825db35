import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canivet.errors import BadValue
from canivet.lengths import format_mm, parse_length, parse_size


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1.2 mm", 1.2), ("1.2mm", 1.2), ("12", 12), (12, 12), (0.5, 0.5), ("4 in", 101.6), ('4"', 101.6),
        ("2.5 cm", 25), ("72 pt", 25.4), (" .5 mm ", 0.5), ("-3mm", -3), ("1e1 mm", 10), ("4 IN", 101.6),
    ],
)  # fmt: skip
def test_a_length_is_read_in_its_unit(text, mm):
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mm",
        "1.2 furlong",
        "1 2 mm",
        "1.2.3",
        "nan",
        "inf mm",
        "1e999",
        "10001 mm",
        True,
        None,
        [1],
        "1mm;",
    ],
)
def test_what_is_no_length_is_refused_with_what_is(text):
    with pytest.raises(BadValue) as caught:
        parse_length(text, parameter="strap")
    assert caught.value.message.startswith("strap is ")
    assert "mm" in caught.value.message
    assert caught.value.value == text


def test_a_decimal_comma_is_refused_and_the_point_is_shown():
    with pytest.raises(BadValue, match=r"decimal comma.*'1\.2 mm'"):
        parse_length("1,2 mm")


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1e300])
def test_numbers_that_are_no_size_are_refused(bad):
    with pytest.raises(BadValue):
        parse_length(bad)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("4x6 in", (101.6, 152.4)), ("4 in x 6 in", (101.6, 152.4)), ("100x150", (100, 150)),
        ("10 cm × 150 mm", (100, 150)), ("4inx6in", (101.6, 152.4)),
    ],
)  # fmt: skip
def test_a_size_is_two_lengths(text, size):
    assert parse_size(text) == pytest.approx(size, abs=1e-12)


@pytest.mark.parametrize("text", ["4", "4x", "x6", "4x6x8", "0x6 in", "-4x6 in", "4,5x6 in", "nanx6", 46])
def test_what_is_no_size_is_refused(text):
    with pytest.raises(BadValue, match="size is"):
        parse_size(text)


@given(st.floats(-9999, 9999))
def test_a_formatted_length_reads_back_to_a_micrometre(value):
    text = format_mm(value)
    assert text != "-0"
    assert parse_length(text) == pytest.approx(value, abs=0.00051)


def test_inch_marks_are_read_in_sizes_as_in_lengths():
    assert parse_size('4"x6"') == parse_size("4x6″") == parse_size("4x6 in") == (101.6, 152.4)
    assert parse_length('4"') == 101.6


@pytest.mark.parametrize("digits", [400, 5000])  # Python writes out no more than 4300
@pytest.mark.parametrize("sign", [1, -1])
def test_a_whole_number_past_the_range_of_floats_is_refused(sign, digits):
    with pytest.raises(BadValue, match="strap is a whole number of over 300 digits; a length is a finite"):
        parse_length(sign * 10**digits, parameter="strap")
    with pytest.raises(BadValue, match="it takes two lengths joined by x"):
        parse_size(sign * 10**digits)
