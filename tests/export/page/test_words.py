"""Words that stay readable, in their room, and harmless to XML."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_faces import hebrew_face
from PIL import ImageFont, features

from canivet.export.page.setting import set_line
from canivet.export.page.words import clean, flow, width_of, with_real_quotes, wrap, wrap_evenly

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
    assert flow(["101.6 × 152.4 mm", "straps 1.2 mm"], 2.7, 30) == ["101.6 × 152.4 mm", "straps 1.2 mm"]


def test_a_shortened_title_ends_after_a_whole_word() -> None:
    (line,) = wrap("a heron among reeds and rushes", 4.4, 32, most=1)
    assert line == "a heron among…"


@pytest.mark.parametrize(
    "words", ["Heron among reeds", "AVATAR To. fjord", "½ × 152.4 mm – “Zoë”", "Привет Ωμέγα"]
)
def test_words_are_as_wide_as_another_library_measures_them(words: str) -> None:
    """HarfBuzz through Pillow's own raqm where it has it; else FreeType's advances, without kerning."""
    path = (
        Path(import_module("fontpkg_alegreya_sans").__file__ or "").parent / "files/AlegreyaSans-Regular.ttf"
    )
    raqm = features.check("raqm")
    engine = ImageFont.Layout.RAQM if raqm else ImageFont.Layout.BASIC
    width = ImageFont.truetype(str(path), 1000, layout_engine=engine).getlength(
        words, features=["lnum"] if raqm else None
    )
    spaces = words.count(" ") * 1000 * (0.22 - 0.165)  # wider here than the face has them
    assert width_of(words, 1000) - spaces == pytest.approx(width, rel=0.002 if raqm else 0.05)


def test_a_space_keeps_its_room_before_a_figure() -> None:
    """The face draws a 1 up to the word before, and its space is narrow."""
    assert width_of("of 1", 10) >= width_of("of", 10) + 2.2 + width_of("1", 10) - 0.01


def test_what_the_face_lacks_is_named_and_nothing_stands_for_it() -> None:
    line = set_line("A 鷺 at 沼")
    assert line.lacking == ("鷺", "沼")
    assert 0 not in {glyph.glyph for glyph in line.glyphs}
    assert "".join(glyph.text for glyph in line.glyphs).split() == ["A", "at"]


def test_a_named_face_helps_out_only_for_what_the_shipped_one_lacks(tmp_path: Path) -> None:
    face = str(hebrew_face(tmp_path / "oblongs.ttf"))
    line = set_line("A אב", face=face)
    assert line.lacking == ()
    assert [glyph.face.name for glyph in line.glyphs if glyph.text.strip()] == [
        "AlegreyaSans-Regular", "oblongs", "oblongs",
    ]  # fmt: skip


def test_hebrew_runs_from_right_to_left_and_its_figures_do_not(tmp_path: Path) -> None:
    """Expected by hand from the Unicode Bidirectional Algorithm (UAX 9)."""
    face = str(hebrew_face(tmp_path / "oblongs.ttf"))
    for written, seen in (("אבג", "גבא"), ("אב 12", "12 בא"), ("AB אבג", "AB גבא"), ("אב AB", "AB בא")):
        glyphs = sorted(set_line(written, face=face).glyphs, key=lambda glyph: glyph.x)
        assert "".join(glyph.text for glyph in glyphs) == seen


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("the heron's reed", "the heron’s reed"),
        ('"Ex libris"', "“Ex libris”"),
        ("'tis the pike", "’tis the pike"),
        ("she said 'wait' twice", "she said ‘wait’ twice"),
        ("a 4\" square, 6' long", "a 4\" square, 6' long"),
        ('(the "Moor")', "(the “Moor”)"),
        ("nothing to change", "nothing to change"),
    ],
)
def test_apostrophes_and_quotation_marks_are_those_of_print(given: str, printed: str) -> None:
    assert with_real_quotes(given) == printed
    assert with_real_quotes(printed) == printed
