import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from canivet.compose.design.names import LONGEST_NAME, file_stem, require_words, table_cell
from canivet.errors import BadValue


@pytest.mark.parametrize(
    ("words", "stem"),
    [
        ("Ana Muñoz", "0002-ana-muñoz"),
        ("../../etc/passwd", "0002-etc-passwd"),
        ("..", "0002"),
        ("CON", "0002-con"),
        ("a\x00b\nc", "0002-a-b-c"),
        ("C:\\Windows\\x", "0002-c-windows-x"),
        ("=HYPERLINK(1)", "0002-hyperlink-1"),
        ("Straße", "0002-strasse"),
        ("לילה כהן", "0002-לילה-כהן"),
        ("\u202egnp.exe", "0002-gnp-exe"),
        ("  .hidden ", "0002-hidden"),
        ("e\u0301", "0002-é"),
    ],
)
def test_any_name_makes_a_safe_file_name(words, stem):
    assert file_stem(words, number=2) == stem


@given(st.text(max_size=400), st.integers(1, 99999))
def test_no_text_makes_a_path_or_a_name_too_long(words, number):
    stem = file_stem(words, number=number)
    assert re.match(r"\d{4,}", stem)
    assert len(stem.encode()) <= LONGEST_NAME + 8
    assert not set(stem) & set('/\\:*?"<>|.\0\n\r\t ')
    assert stem.isprintable()


@given(st.text(max_size=50))
def test_two_rows_never_share_a_name(words):
    assert file_stem(words, number=2) != file_stem(words, number=3)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("a\x00b", "U+0000"),
        ("a\x1bb", "U+001B"),
        ("\u202egnp", "U+202E"),
        ("a\ufeffb", "U+FEFF"),
        ("\ud800", "U+D800"),
    ],
)
def test_what_cannot_be_seen_is_refused_with_row_and_column(words, code):
    with pytest.raises(BadValue, match=rf"row 7, column 'name': character \d is {re.escape(code)}"):
        require_words(words, row=7, column="name")


def test_three_hundred_letters_are_refused_with_row_and_column():
    with pytest.raises(BadValue, match="row 7, column 'name': 300 characters; at most 200"):
        require_words("x" * 300, row=7, column="name")
    assert len(require_words("x" * 200, row=7, column="name")) == 200


def test_names_are_composed_and_their_spaces_made_plain():
    assert require_words(" Rene\u0301e\u00a0 d'Or\n", row=2, column="name") == "Renée d'Or"
    assert "\u200c" in require_words("می\u200cخواهم", row=2, column="name")


@pytest.mark.parametrize("words", ["=1+1", "+1", "-1", "@x", "\t=1"])
def test_a_formula_stays_text_in_a_spreadsheet(words):
    assert table_cell(words) == "'" + words
