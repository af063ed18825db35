"""Letters measured against what is outside the project: ISO 3098, and other engines' readings of the same faces.

ISO 3098, type B (letter height h): small letters 0.7 h, 0.2 h between letters, 0.6 h between words, 1.3 h from
line to line of capitals, 1.5 h with small letters, 1.9 h with marks on capitals. A text face is drawn, not
constructed: its small letters are held to a tenth of h about the standard's. Whole letters are compared with
FreeType's (through Pillow), the heights with those each face states of itself (OpenType, table OS/2).
"""

import itertools

import numpy as np
import pytest
import shapely
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFont

from canivet.motifs.lettering.faces import DEFAULT_FACE, NAMED_FACES, open_face, shipped_file
from canivet.motifs.lettering.fit import fit_lettering
from canivet.motifs.lettering.text import shape_text, space_by_eye

FILES = {"sans": shipped_file(DEFAULT_FACE)} | {
    name: shipped_file((face.package, face.raised[0][0]))
    for name, face in NAMED_FACES.items()
    if name != "sans"
}
TALL = 400
"""Pixels of a capital in FreeType's rendering."""


def height(text, **how):
    _x0, y0, _x1, y1 = shape_text(text, **how).area.bounds
    return y1 - y0


@pytest.mark.parametrize("name", NAMED_FACES)
def test_small_letters_are_about_seven_tenths_of_the_capitals(name):
    assert height("x", face=name, size=10) == pytest.approx(7, abs=1)


@pytest.mark.parametrize("name", FILES)
def test_heights_are_those_the_face_states_of_itself(name):
    stated = TTFont(FILES[name])["OS/2"]
    ours = open_face(FILES[name])
    assert ours.x_height / ours.cap == pytest.approx(stated.sxHeight / stated.sCapHeight, abs=0.02)


def test_stems_stand_a_fifth_of_their_height_apart_and_words_three_fifths():
    letters = [
        one.area for one in space_by_eye(shape_text("HH HH", face="sans", size=10)).each if not one.blank
    ]
    gaps = [shapely.distance(a, b) for a, b in itertools.pairwise(letters)]
    assert gaps == pytest.approx([2, 6, 2], abs=0.2)


@pytest.mark.parametrize(("text", "apart"), [("HEN\nOWL", 1.3), ("Hen\nOwl", 1.5), ("HÉN\nÖWL", 1.9)])
def test_lines_are_as_far_apart_as_their_letters_ask(text, apart):
    letters = fit_lettering(text, shapely.box(0, 0, 60, 60), least=5, most=8, lines=2)
    feet = sorted({round(line.bounds[1], 6) for line in letters.baselines})
    assert (feet[1] - feet[0]) / letters.size == pytest.approx(apart, rel=1e-6)


@pytest.mark.parametrize("name", FILES)
def test_strokes_and_counters_are_those_another_engine_draws(name):
    """Ink, counters and the width of the upright of each letter, within a pixel along its edge."""
    cap = open_face(FILES[name]).cap / TTFont(FILES[name])["head"].unitsPerEm
    font = ImageFont.truetype(str(FILES[name]), round(TALL / cap))
    per_mm = font.size * cap / 10
    for sign in "BRegoaH&":
        ours = shape_text(sign, face=FILES[name], size=10).area
        ink = rendered(sign, font)
        assert ink.sum() / per_mm**2 == pytest.approx(ours.area, abs=ours.length / per_mm), sign
        holes = [shapely.Polygon(ring) for part in ours.geoms for ring in part.interiors]
        slip = max((hole.length for hole in holes), default=0) / per_mm
        assert counters(ink, per_mm) == pytest.approx(sorted(hole.area for hole in holes), abs=slip), sign
    upright = shape_text("H", face=FILES[name], size=10).area
    level = upright.intersection(shapely.LineString([(-5, 2.5), (50, 2.5)]))
    row = rendered("H", font)[int(0.75 * TALL)]
    runs = np.diff(np.flatnonzero(np.diff(np.concatenate([[0], row, [0]]))))[::2]
    assert runs / per_mm == pytest.approx([part.length for part in level.geoms], abs=2 / per_mm)


def rendered(sign, font):
    x0, y0, x1, y1 = font.getbbox(sign)
    page = Image.new("L", (x1 - x0, y1 - y0))
    ImageDraw.Draw(page).text((-x0, -y0), sign, fill=255, font=font)
    return (np.asarray(page) > 127).astype(int)


def counters(ink, per_mm):
    """Areas of the white that the ink closes in, mm², smallest first: its pixels united row by row."""
    runs = [
        shapely.box(start, row, end, row + 1)
        for row, line in enumerate(ink)
        for start, end in np.flatnonzero(np.diff(np.concatenate([[0], line, [0]]))).reshape(-1, 2)
    ]
    solid = shapely.get_parts(shapely.union_all(runs))
    return sorted(shapely.Polygon(ring).area / per_mm**2 for part in solid for ring in part.interiors)
