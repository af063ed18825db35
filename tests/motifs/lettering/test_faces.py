"""Faces that come in a file: what cannot be read, or draws nothing, is said by name."""

import os
import random
from importlib import import_module
from pathlib import Path

import pytest
import shapely
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from canivet.errors import BadValue, CanivetError, Unreadable
from canivet.motifs.lettering.cut_out import cut_letter
from canivet.motifs.lettering.cuts import cuts_of
from canivet.motifs.lettering.faces import DEFAULT_FACE, NAMED_FACES, open_face
from canivet.motifs.lettering.text import shape_text


def nothing(_pen):
    pass


def write_face(path: Path, draw=nothing) -> Path:
    """A face with the letters A and H, drawn as asked."""
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "A", "H"])
    builder.setupCharacterMap({ord("A"): "A", ord("H"): "H"})
    pen = TTGlyphPen(None)
    draw(pen)
    glyph = pen.glyph()
    builder.setupGlyf(dict.fromkeys((".notdef", "A", "H"), glyph))
    builder.setupHorizontalMetrics(dict.fromkeys((".notdef", "A", "H"), (600, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Specimen", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200)
    builder.setupPost()
    builder.save(path)
    return path


def square(pen):
    for k, place in enumerate([(0, 0), (0, 700), (500, 700), (500, 0)]):
        (pen.lineTo if k else pen.moveTo)(place)
    pen.closePath()


def line(pen):
    pen.moveTo((0, 0))
    pen.lineTo((0, 700))
    pen.lineTo((0, 300))
    pen.closePath()


def scribble(pen):
    chance = random.Random(1)
    for k in range(4000):
        (pen.lineTo if k else pen.moveTo)((chance.randrange(9000), chance.randrange(9000)))
    pen.closePath()


def long_curve(pen):
    for _ in range(40):
        pen.moveTo((0, 0))
        for _ in range(40):
            pen.qCurveTo((30_000, 30_000), (0, 10), (30_000, 0), (0, 0))
        pen.closePath()


def test_a_face_of_one_square_letter_is_set(tmp_path):
    area = shape_text("A", face=write_face(tmp_path / "square.ttf", square), size=7).area
    assert area.area == pytest.approx(35)


@pytest.mark.parametrize("draw", [nothing, line], ids=["no contour", "a contour that encloses nothing"])
def test_a_face_that_has_a_letter_and_draws_nothing_for_it_says_so(tmp_path, draw):
    with pytest.raises(Unreadable, match=r"the face 'empty' draws nothing for 'A' .*Take another face"):
        shape_text("A", face=write_face(tmp_path / "empty.ttf", draw), size=7)


@pytest.mark.parametrize(
    ("draw", "words"), [(scribble, "cross each other too often"), (long_curve, "too many points")]
)
def test_a_letter_more_intricate_than_any_is_refused_before_it_takes_for_ever(tmp_path, draw, words):
    with pytest.raises(Unreadable, match=f"the face 'wild' has a broken letter .*{words}"):
        shape_text("A", face=write_face(tmp_path / "wild.ttf", draw), size=7)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_face_that_is_no_ordinary_file_is_refused(tmp_path):
    os.mkfifo(tmp_path / "pipe.ttf")
    with pytest.raises(Unreadable, match=r"is a pipe, not an ordinary file. Give a TTF or OTF file"):
        open_face(tmp_path / "pipe.ttf")
    with pytest.raises(Unreadable, match="is not there"):
        open_face(tmp_path / "none.ttf")
    with (tmp_path / "vast.ttf").open("wb") as file:
        file.truncate(60_000_001)
    with pytest.raises(Unreadable, match="larger than 60 MB"):
        open_face(tmp_path / "vast.ttf")


def test_a_face_with_bytes_changed_is_set_or_refused(tmp_path):
    package, file = DEFAULT_FACE
    whole = (Path(import_module(package).__file__).parent / file).read_bytes()
    chance = random.Random(11)
    for k in range(60):
        broken = bytearray(whole)
        for _ in range(chance.choice([1, 5, 50, 500])):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        path = tmp_path / f"{k}.ttf"
        path.write_bytes(broken[: chance.choice([len(broken), len(broken) // 2, 300])])
        try:
            assert shape_text("Heron &", face=path, size=7).area.is_valid
        except CanivetError as error:
            assert error.message.endswith(".")


@pytest.mark.parametrize("name", NAMED_FACES)
def test_a_face_by_name_has_capitals_of_the_height_asked_for_and_can_be_cut(name):
    letters = shape_text("HEx", face=name, size=10)
    assert letters.each[0].area.bounds[3] == pytest.approx(10, abs=0.05)
    assert letters.each[0].area.bounds[1] == pytest.approx(0, abs=0.05)
    for cut in cuts_of(name, "cut out"):
        made = shape_text("Rose", face=cut.face, weight=cut.weight, width=cut.width, size=10)
        assert all(cut_letter(one, 10, 1.0, 0.4).shape.area for one in made.each)


@pytest.mark.parametrize("name", ["sans", "book"])
def test_small_capitals_are_drawn_as_such_and_lower_than_capitals(name):
    plain, small = (shape_text("Hh", face=name, size=10, small_capitals=on) for on in (False, True))
    tall, low = (line.each[1].area.bounds[3] for line in (plain, small))
    assert tall > 10 > low > 6
    # Of a width with its stem as drawn, not a capital made smaller: strokes nearly as thick as a capital's.
    cap, own = (2 * shapely.maximum_inscribed_circle(one.area).length for one in small.each)
    assert own > 0.85 * cap > 0.85 * own


def test_a_face_without_small_capitals_says_so():
    with pytest.raises(BadValue, match=r"small capitals, and the face Marcellus-Regular has none\. Take"):
        shape_text("Rose", face="roman", size=10, small_capitals=True)
