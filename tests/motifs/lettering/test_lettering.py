"""Letters as a face means them: shaped, ordered, filled, spaced and laid out."""

import subprocess
import sys
import unicodedata
from itertools import pairwise
from pathlib import Path

import fontpkg_alegreya_sans
import numpy as np
import pytest
import shapely
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st
from made_faces import hebrew_face
from PIL import Image, ImageDraw, ImageFont

from canivet.errors import BadValue, DoesNotFit, Unreadable
from canivet.motifs.lettering._outlines import fill_contours
from canivet.motifs.lettering.faces import open_face
from canivet.motifs.lettering.fit import fit_lettering
from canivet.motifs.lettering.layout import (
    letter_on_arc,
    letter_on_line,
    letter_round_oval,
    line_spacing,
)
from canivet.motifs.lettering.shaping import MOST_LETTERS, runs_in_order
from canivet.motifs.lettering.text import shape_text, space_by_eye

DEFAULT = Path(fontpkg_alegreya_sans.__file__).parent / "files" / "AlegreyaSans-Bold.ttf"

# What people are called: our own lists of the letters of some languages, beyond a to z.
LANGUAGES = {
    "Czech": "áčďéěíňóřšťúůýž",
    "Danish": "æøå",
    "Esperanto": "ĉĝĥĵŝŭ",
    "Estonian": "õäöüšž",
    "French": "àâæçéèêëîïôœùûüÿ",
    "German": "äöüß",
    "Greek": "αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰ",
    "Hungarian": "áéíóöőúüű",
    "Icelandic": "áðéíóúýþæö",
    "Latvian": "āčēģīķļņšūž",
    "Lithuanian": "ąčęėįšųūž",
    "Maltese": "ċġħż",
    "Polish": "ąćęłńóśźż",
    "Portuguese": "ãáâàçéêíõóôú",
    "Romanian": "ăâîșț",
    "Russian": "абвгдеёжзийклмнопрстуфхцчшщъыьэюя",
    "Spanish": "áéíñóúü",
    "Turkish": "çğıöşü",
    "Vietnamese": "ăâđêôơưạảấầẩẫậắằẳẵặẹẻẽếềểễệ",
    "Welsh": "âêîôûŵŷ",
}
LATIN_1 = "".join(c for c in map(chr, range(0xC0, 0x100)) if c.isalpha())
SIMPLE = "ABDOPQR0468abdegopq9#&ÅÖéöåøß"


def visual(text: str, face: Path, **options) -> str:
    return "".join(letter.text for letter in shape_text(text, face=face, size=7, **options).each)


# Shaping ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_default_face_has_every_letter_of(language):
    letters = LANGUAGES[language]
    shaped = shape_text(letters, size=10)  # a glyph 0 would be refused
    assert unicodedata.normalize("NFC", "".join(letter.text for letter in shaped.each)) == letters
    assert all(letter.area.is_valid and letter.area.area > 0 for letter in shaped.each)


def test_an_accent_typed_apart_gives_the_same_letter():
    whole, apart = (
        shape_text(t, size=10).area for t in ("Zoë Muñoz", unicodedata.normalize("NFD", "Zoë Muñoz"))
    )
    assert whole.symmetric_difference(apart).area < 1e-9


def test_the_height_is_that_of_a_capital():
    for size in (4, 7, 12, 40):
        low, high = shape_text("H", size=size).area.bounds[1::2]
        assert low == pytest.approx(0, abs=0.01 * size)
        assert high == pytest.approx(size, rel=0.01)


@pytest.mark.parametrize("character", sorted({*"HOgsQ&ß§@38", *LATIN_1[::3], *"ŽğŁαλΩЖф"}))
def test_ink_agrees_with_a_rasteriser_that_did_not_draw_it(character):
    # FreeType, through Pillow, at 1000 px to the em.
    em = 1000
    font = ImageFont.truetype(str(DEFAULT), em, layout_engine=ImageFont.Layout.BASIC)
    image = Image.new("L", (2 * em, 2 * em), 0)
    ImageDraw.Draw(image).text((em // 2, em // 4), character, font=font, fill=255)
    ink = float(np.asarray(image, dtype=float).sum() / 255)
    face = open_face()
    area = shape_text(character, size=face.cap / 10).area.area * 100  # 1000 units to the em
    assert area == pytest.approx(ink, rel=0.01)


@pytest.mark.parametrize("character", SIMPLE)
def test_counters_are_those_of_the_face(character):
    # The face's own contours: those that run the other way round enclose white.
    font = TTFont(DEFAULT)
    glyphs = font.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[font.getBestCmap()[ord(character)]].draw(pen)
    areas, contour = [], []
    for step in pen.value:
        contour.append(step)
        if step[0] == "closePath":
            measure = AreaPen()
            for name, points in contour:
                getattr(measure, name)(*points)
            areas.append(measure.value)
            contour = []
    largest = max(areas, key=abs)
    white = sum(area * largest < 0 for area in areas)
    area = shape_text(character, size=10).area
    assert sum(len(part.interiors) for part in area.geoms) == white


def test_contours_that_overlap_do_not_cancel():
    cross = [[(0, 1), (0, 2), (3, 2), (3, 1)], [(1, 0), (1, 3), (2, 3), (2, 0)]]
    assert fill_contours(cross).area == 5
    ring = [[(0, 0), (0, 3), (3, 3), (3, 0)], [(1, 1), (2, 1), (2, 2), (1, 2)]]
    assert fill_contours(ring).area == 8
    assert fill_contours([]).is_empty


def test_reading_from_right_to_left(tmp_path):
    face = hebrew_face(tmp_path / "oblongs.ttf")
    # Expected by hand from the Unicode Bidirectional Algorithm (UAX 9).
    assert visual("אבג", face) == "גבא"
    assert visual("אב 12", face) == "12 בא"
    assert visual("אב AB", face) == "AB בא"
    assert visual("AB אבג", face) == "AB גבא"
    assert visual("AB אב 12", face) == "AB 12 בא"
    assert visual("AB אב", face, direction="rtl") == "בא AB"
    assert [run.level for run in runs_in_order("A\u200dB א\u200dב")] == [0, 1]  # a joiner stays where it is
    areas = [letter.area.bounds for letter in shape_text("אבג", face=face, size=7).each]
    assert [round((x1 - x0) * 100) for x0, _, x1, _ in areas] == [400, 300, 200]


def test_an_opentype_face_gives_the_same_shapes(tmp_path):
    ttf, otf = hebrew_face(tmp_path / "o.ttf"), hebrew_face(tmp_path / "o.otf", otf=True)
    one, other = (shape_text("AB", face=face, size=7).area for face in (ttf, otf))
    assert one.symmetric_difference(other).area < 1e-6


def test_letters_flow_together_only_where_nothing_is_added_between():
    assert len(shape_text("fi", size=7).each) == 1
    assert len(shape_text("fi", size=7, spacing=0.5).each) == 2


# Refusals -----------------------------------------------------------------------------------------------


def test_a_missing_letter_is_named():
    with pytest.raises(BadValue, match=r"'日' \(U\+65E5 CJK UNIFIED IDEOGRAPH-65E5\)") as caught:
        shape_text("Zoë 日", size=7)
    assert "AlegreyaSans-Bold" in caught.value.message
    assert "Zoë 日" in caught.value.message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no letter"),
        ("   ", "no letter"),
        ("\u200d", "no letter"),
        ("a\x00b", r"U\+0000 at place 2"),
        ("\x1b[31m", r"U\+001B at place 1"),
        ("two\nlines", r"U\+000A at place 4"),
        ("abc\u202edef", "RIGHT-TO-LEFT OVERRIDE"),
        ("\ue000", r"U\+E000"),
        ("\ud800", r"U\+D800"),
        ("x" * 300, "300 characters long"),
        ("x" * (MOST_LETTERS + 1), f"at most {MOST_LETTERS}"),
        ("a" + "\u0301" * 100_000, "characters long"),
    ],
)
def test_what_cannot_be_set_is_refused_in_words(text, said):
    with pytest.raises(BadValue, match=said) as caught:
        shape_text(text, size=7)
    assert len(caught.value.message) < 600
    assert caught.value.message.isprintable()


def test_the_longest_text_is_set():
    assert len(shape_text("x" * MOST_LETTERS, size=7).each) == MOST_LETTERS


@pytest.mark.parametrize("name", ["=1+1", "../../etc", "<b>&amp;", "O'Neill-Smith, 3/25 (2nd)", "%s{0}"])
def test_a_hostile_name_is_lettering_like_any_other(name):
    assert "".join(letter.text for letter in shape_text(name, size=7).each) == name


@given(text=st.text(max_size=40))
def test_any_text_is_set_or_refused(text):
    try:
        area = shape_text(text, size=7).area
    except BadValue:
        return
    assert area.is_valid


@pytest.mark.parametrize("size", [0, -1, 501, float("nan"), float("inf")])
def test_a_height_out_of_range_is_refused(size):
    with pytest.raises(BadValue, match="height above 0 mm and at most 500 mm"):
        shape_text("A", size=size)


def test_a_face_that_is_none_is_refused(tmp_path):
    junk = tmp_path / "junk.ttf"
    junk.write_bytes(b"not a font at all")
    for face in (junk, tmp_path, tmp_path / "missing.otf", "no\0name"):
        with pytest.raises(Unreadable, match="TTF or OTF file"):
            shape_text("A", size=7, face=face)
    torn = tmp_path / "torn.ttf"
    torn.write_bytes(DEFAULT.read_bytes()[:4000])
    with pytest.raises((Unreadable, BadValue)):
        shape_text("A", size=7, face=torn)


def test_a_weight_is_refused_where_there_is_only_one():
    with pytest.raises(BadValue, match="one weight only"):
        shape_text("A", size=7, weight=700)


def test_the_catalogue_does_not_need_the_shaping_engine():
    code = (
        "import sys, canivet.motifs.registry as r; r.catalogue();"
        "print([m for m in ('uharfbuzz', 'fontTools') if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


# Spacing and layout -------------------------------------------------------------------------------------


def test_upright_letters_and_words_stand_as_iso_3098_says(tmp_path):
    # ISO 3098, type B: between letters 0.2h, between words 0.6h.
    line = space_by_eye(shape_text("AB AB", size=10, face=hebrew_face(tmp_path / "o.ttf")))
    boxes = [letter.area.bounds for letter in line.each if not letter.blank]
    gaps = [after[0] - before[2] for before, after in pairwise(boxes)]
    assert gaps == pytest.approx([2, 6, 2], abs=1e-6)


def test_lines_stand_as_iso_3098_says():
    # ISO 3098, type B: between lines 1.9/1.5/1.3h.
    block = fit_lettering("Ene\nEne", shapely.box(0, 0, 200, 200), least=10, most=10)
    first, second = (line.coords[0][1] for line in block.baselines)
    assert first - second == pytest.approx(15)
    assert line_spacing("ÉNE", 10) == pytest.approx(19)
    assert line_spacing("ENE", 10) == pytest.approx(13)


def test_the_default_face_has_the_proportions_of_iso_3098():
    # ISO 3098, type B: lower case 0.7h; a stroke of h/10 at least. Cut paper needs it wider.
    face = open_face()
    assert face.x_height / face.cap == pytest.approx(0.7, rel=0.05)
    stem = shape_text("l", size=10).area.bounds
    assert stem[2] - stem[0] >= 1


@given(text=st.text("ABEHLTVWaegilmnorstvyz", min_size=2, max_size=8), gap=st.floats(0, 2))
def test_no_two_letters_are_nearer_than_the_gap(text, gap):
    line = space_by_eye(shape_text(text, size=7), gap=gap)
    areas = [letter.area for letter in line.each]
    assert all(a.distance(b) >= gap - 1e-4 for a, b in pairwise(areas))
    assert line.baselines[0].length == pytest.approx(line.area.bounds[2], abs=1e-6)


def test_a_line_can_rise():
    level = letter_on_line(space_by_eye(shape_text("HI", size=8)), middle=(10, 20))
    upright = letter_on_line(space_by_eye(shape_text("HI", size=8)), middle=(10, 20), turn_deg=90)
    turned = shapely.affinity.rotate(level.area, 90, origin=(10, 20))
    assert turned.symmetric_difference(upright.area).area < 1e-6


@pytest.mark.parametrize("side", ["top", "foot"])
def test_letters_on_an_arc_stand_on_it(side):
    arched = letter_on_arc(space_by_eye(shape_text("HIHIH", size=6)), centre=(5, -3), radius=40, side=side)
    circle = shapely.Point(5, -3)
    for letter in arched.each:
        near, far = letter.area.distance(circle), letter.area.hausdorff_distance(circle)
        feet = near if side == "top" else far
        assert feet == pytest.approx(40, abs=0.4)
    x = [letter.area.centroid.x for letter in arched.each]
    assert x == sorted(x)  # read from left to right on either side
    assert arched.area.centroid.x == pytest.approx(5, abs=0.3)


def test_letters_round_an_oval_stand_upright_on_it():
    placed = letter_round_oval(space_by_eye(shape_text("HHHHHHHH", size=5)), width=60, height=90)
    for letter in placed.each:
        x0, x1 = letter.shape.bounds[0], letter.shape.bounds[2]
        foot = letter.put(
            shapely.MultiPolygon([shapely.box((x0 + x1) / 2, 0, (x0 + x1) / 2 + 1e-6, 1e-6)])
        ).centroid
        assert (foot.x / 30) ** 2 + (foot.y / 45) ** 2 == pytest.approx(1, abs=0.01)
        normal = np.array([foot.x / 30**2, foot.y / 45**2])
        up = np.array([-np.sin(letter.turn), np.cos(letter.turn)])
        assert normal @ up / np.hypot(*normal) == pytest.approx(1, abs=0.005)


def test_too_long_or_too_tight_a_curve_is_refused():
    line = space_by_eye(shape_text("Ex libris Zoë", size=8))
    with pytest.raises(DoesNotFit, match="three quarters of the way round"):
        letter_on_arc(line, radius=9)
    with pytest.raises(DoesNotFit, match="as tight as a circle of"):
        letter_round_oval(line, width=20, height=200)
    with pytest.raises(BadValue, match="above 0 mm"):
        letter_on_arc(line, radius=0)
    with pytest.raises(BadValue, match="top or foot"):
        letter_on_arc(line, radius=40, side="left")


def test_fitted_lettering_is_as_large_as_there_is_room():
    panel = shapely.box(0, 0, 60, 20)
    fitted = fit_lettering("Jürgen Groß", panel, least=3, most=30)
    assert panel.covers(fitted.area)
    with pytest.raises(DoesNotFit):
        fit_lettering("Jürgen Groß", panel, least=1.02 * fitted.size, most=30)
    again = fit_lettering("Jürgen Groß", panel, least=0.98 * fitted.size, most=30)
    assert again.size == pytest.approx(fitted.size, rel=0.02)


def test_more_lines_make_larger_letters_where_the_panel_is_square():
    panel = shapely.Point(0, 0).buffer(25)
    one, three = (fit_lettering("Ex libris Zoë", panel, least=2, most=30, lines=n) for n in (1, 3))
    assert len(one.baselines) == 1
    assert three.size > 1.3 * one.size
    assert panel.covers(three.area)


def test_what_does_not_fit_is_said_with_what_would():
    with pytest.raises(
        DoesNotFit, match=r"takes \d+(\.\d)? × \d+(\.\d)? mm with the air round it; the panel is 20 × 10 mm"
    ):
        fit_lettering("Jürgen Groß", shapely.box(0, 0, 20, 10), least=4, most=9)
    with pytest.raises(BadValue, match="least must not be above most"):
        fit_lettering("A", shapely.box(0, 0, 20, 10), least=4, most=3)
    with pytest.raises(BadValue, match="takes 1 to 6"):
        fit_lettering("A", shapely.box(0, 0, 20, 10), least=4, most=5, lines=0)
