"""Words that stay readable, in their room, and harmless to XML."""

from __future__ import annotations

import string
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from canivet.export.page.words import clean, flow, width_of, wrap, wrap_evenly

anything = st.text(st.characters(exclude_categories=()), max_size=80)


@given(anything)
@settings(max_examples=300, deadline=None)
def test_any_text_becomes_one_line_that_xml_takes(text: str) -> None:
    cleaned = clean(text)
    element = ElementTree.Element("title")
    element.text = cleaned
    assert ElementTree.fromstring(ElementTree.tostring(element)).text == (cleaned or None)
    assert not set(cleaned) & set("\t\n\r\x00\x1b\u202e")
    assert clean(cleaned) == cleaned


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("Heron\x00\x08 & <reeds>", "Heron & <reeds>"),
        ("  two\nlines\tand tabs ", "two lines and tabs"),
        ("Zaunko\u0308nig", "Zaunkönig"),
        ("サギと葦", "サギと葦"),
        ("\u202egnirts desrever", "gnirts desrever"),
        ("lone \ud800 half", "lone half"),
        ("\x7f\ufffe\ufeff", ""),
    ],
)
def test_what_no_reader_sees_is_dropped_and_the_rest_kept(given: str, kept: str) -> None:
    assert clean(given) == kept


@given(anything.map(clean), st.floats(12, 200), st.integers(1, 4))
@settings(max_examples=200, deadline=None)
def test_no_line_is_wider_than_its_room(text: str, width: float, most: int) -> None:
    lines = wrap(text, 2.7, width, most)
    assert len(lines) <= most
    assert all(width_of(line, 2.7) <= width + 1e-9 for line in lines)


@given(anything.map(clean), st.floats(12, 200))
@settings(max_examples=200, deadline=None)
def test_wrapping_loses_no_character(text: str, width: float) -> None:
    squeezed = text.replace(" ", "")
    assert "".join(wrap(text, 2.7, width)).replace(" ", "") == squeezed
    even = wrap_evenly(text, 2.7, width)
    assert "".join(even).replace(" ", "") == squeezed
    assert len(even) == len(wrap(text, 2.7, width))


def test_facts_are_broken_between_and_not_within() -> None:
    assert flow(["101.6 × 152.4 mm", "straps 1.2 mm"], 2.7, 40) == ["101.6 × 152.4 mm", "straps 1.2 mm"]


def test_a_shortened_title_ends_after_a_whole_word() -> None:
    (line,) = wrap("a heron among reeds and rushes", 4.4, 46, most=1)
    assert line == "a heron among…"


def test_letters_take_no_more_than_the_room_allowed_for_them() -> None:
    """Measured with the face this system takes for sans-serif, whichever that is."""
    cairo = pytest.importorskip("cairocffi")
    context = cairo.Context(cairo.ImageSurface(cairo.FORMAT_A8, 8, 8))
    context.select_font_face("sans-serif")
    context.set_font_size(1000)
    for character in string.ascii_letters + string.digits + "×·²°()/%,.’…–éßøłЖдяΩα":
        advance = context.text_extents(character)[4]
        assert advance <= width_of(character, 1000), character
