"""The page: everything inside its margins, nothing over anything else, at any size."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiLineString, STRtree
from shapely.geometry import Polygon, box

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.export.page.layout import AIR, MARGIN, Page, lay_out
from canivet.export.page.marks import CAP, Word, face_sign, scale_block
from canivet.export.page.words import width_of
from canivet.sheets import SHEETS, Sheet, find_sheet
from canivet.stock import Faces, Stock

sides = st.one_of(st.floats(20, 90), st.floats(20, 500))
titles = st.one_of(
    st.text(max_size=200), st.sampled_from(["Heron", "m" * 90, "a heron among the reeds " * 9, ""])
)
sheets = st.sampled_from([None, *(SHEETS[name] for name in ("A6", "A5", "A4", "A3", "A2", "letter", "B5"))])
notes = st.lists(st.text(max_size=150), max_size=3).map(tuple)


def room_of(word: Word) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a line of type, descenders included."""
    return (
        word.x,
        word.y - CAP * word.size,
        word.x + width_of(word.text, word.size),
        word.y + 0.22 * word.size,
    )


def assert_well_laid(page: Page, width: float, height: float) -> None:
    inside = box(MARGIN, MARGIN, page.sheet.width - MARGIN, page.sheet.height - MARGIN).buffer(1e-6)
    piece = box(page.left, page.top, page.left + width, page.top + height)
    words = [box(*room_of(word)) for word in page.foot.words]
    marks = MultiLineString([line for mark in page.foot.marks for line in mark.lines])
    assert inside.contains(piece)
    for word, room in zip(page.foot.words, words, strict=True):
        # Descenders of the last line may hang into the margin, as they do on any page.
        assert inside.buffer(0.7).contains(room), word.text
        assert room.distance(piece) >= AIR, word.text
        assert room.distance(marks) > 0.3, word.text
    assert inside.contains(marks)
    one, other = STRtree(words).query(words, predicate="intersects")
    assert np.all(
        shapely.area(shapely.intersection(np.array(words)[one], np.array(words)[other]))[one != other] == 0
    )


@given(sides, sides, titles, sheets, st.sampled_from(Faces), notes)
@settings(max_examples=100, deadline=None)
def test_nothing_overlaps_and_all_is_inside_the_margins(
    width: float, height: float, title: str, sheet: Sheet | None, faces: Faces, notes: tuple[str, ...]
) -> None:
    cutting = Cutting(box(0, 0, width, height), 1.2, title, "", Stock.of(faces), sheet, notes)
    if sheet is None or _fits(cutting):
        assert_well_laid(lay_out(cutting), width, height)


def _fits(cutting: Cutting) -> bool:
    try:
        lay_out(cutting)
    except DoesNotFit:
        return False
    return True


@pytest.mark.parametrize("name", ["A7", "A6", "A5", "A4", "A3", "A2", "letter", "legal", "tabloid", "4x6 in"])
@pytest.mark.parametrize("faces", Faces)
def test_every_sheet_carries_all_it_should_say(name: str, faces: Faces) -> None:
    sheet = find_sheet(name)
    page = lay_out(Cutting(box(0, 0, 12, 12), 1.2, "Wren", "", Stock.of(faces), sheet, ("A note.",)))
    assert_well_laid(page, 12, 12)
    said = " ".join(word.text for word in page.foot.words)
    assert {"scale-50-mm", "scale-2-in", "face-sign"} <= {mark.group for mark in page.foot.marks}
    for words in (
        "Wren",
        "12 × 12 mm",
        "1.2 mm or wider",
        f"paper {faces.value}",
        "measure this: 50 mm",
        "2 in",
    ):
        assert words in said
    for words in ("free hand", "rigid container", "local rules", "glass edges", "instructions come first"):
        assert words in said
    assert ("Mirror image" in said) == (faces is Faces.DARK_ONE_FACE)
    assert "A note." in said


def test_the_bookplate_fits_the_next_usual_sheet() -> None:
    """A bookplate is often cut at 4 × 6 in (common practice); 148 × 210 mm is A5 (ISO 216)."""
    sheet = lay_out(Cutting(box(0, 0, 101.6, 152.4), 1.2, "Heron among reeds")).sheet
    assert (sheet.width, sheet.height) == (148, 210)


def test_the_piece_stands_in_the_middle_of_its_room() -> None:
    page = lay_out(Cutting(box(0, 0, 80, 100), 1.2, "Wren", sheet=SHEETS["A4"]))
    rule = next(mark for mark in page.foot.marks if mark.group == "rule").lines[0][0][1]
    assert page.left == pytest.approx((210 - 80) / 2)
    assert page.top - MARGIN == pytest.approx(rule - AIR - (page.top + 100))


def test_the_sheet_is_turned_for_a_wide_piece_and_left_for_a_tall_one() -> None:
    lying = [
        lay_out(Cutting(box(0, 0, w, h), 1, "", sheet=SHEETS["A4"])).sheet for w, h in ((200, 60), (60, 200))
    ]
    assert [(sheet.width, sheet.height) for sheet in lying] == [(297, 210), (210, 297)]


def test_a_piece_fits_until_it_meets_the_margins_and_not_beyond() -> None:
    """210 mm less two margins of 8 mm; common practice is to keep 5 mm at least."""
    assert lay_out(Cutting(box(0, 0, 194, 190), 1, "Wren", sheet=SHEETS["A4"])).left == 8
    with pytest.raises(DoesNotFit) as caught:
        lay_out(Cutting(box(0, 0, 194.1, 190), 1, "Wren", sheet=SHEETS["A4"]))
    message = caught.value.message
    assert "the piece is 194.1 × 190 mm; sheet A4 (210 × 297 mm) takes up to 194 × " in message
    assert message.endswith("Take A3, or make the piece smaller.")


def test_the_size_an_error_offers_is_one_that_fits() -> None:
    with pytest.raises(DoesNotFit) as caught:
        lay_out(Cutting(box(0, 0, 300, 300), 1, "Wren", sheet=SHEETS["A5"]))
    offered = str(caught.value.accepted).removeprefix("up to ").removesuffix(" mm").split(" mm or ")
    assert len(offered) == 2
    for size in offered:
        width, height = (float(side) - 0.1 for side in size.split(" × "))
        lay_out(Cutting(box(0, 0, width, height), 1, "Wren", sheet=SHEETS["A5"]))


def test_a_piece_for_no_sheet_at_all_is_refused() -> None:
    with pytest.raises(DoesNotFit, match=r"fits no sheet up to A0 .* Make it smaller, or cut it in parts"):
        lay_out(Cutting(box(0, 0, 900, 900), 1, "Wall"))


def test_a_sheet_too_small_for_the_scale_check_is_refused() -> None:
    with pytest.raises(DoesNotFit, match=r"takes no piece beside its margins and foot\. Take A6"):
        lay_out(Cutting(box(0, 0, 10, 10), 1, "Wren", sheet=find_sheet("50x60")))


def test_a_long_title_is_shortened_and_says_so() -> None:
    page = lay_out(Cutting(box(0, 0, 60, 60), 1, "heron " * 100, sheet=SHEETS["A4"]))
    large = [word.text for word in page.foot.words if word.size > 3]
    assert len(large) == 2
    assert large[1].endswith("…")


def test_no_note_is_lost() -> None:
    notes = tuple(f"note number {number} of a long list of notes on what to cut first" for number in range(9))
    page = lay_out(Cutting(box(0, 0, 60, 60), 1, "Wren", notes=notes))
    said = " ".join(word.text for word in page.foot.words)
    assert all(note in said for note in notes)


def test_the_scale_lines_are_fifty_millimetres_and_two_inches() -> None:
    """1 in is 25.4 mm exactly."""
    lengths = [mark.lines[0][1][0] - mark.lines[0][0][0] for mark in scale_block().marks]
    assert lengths == [50.0, 2 * 25.4]


@pytest.mark.parametrize("faces", Faces)
def test_the_sign_for_the_face_is_no_mirror_image_of_itself(faces: Faces) -> None:
    sign = face_sign(faces)
    points = {(round(x, 6), round(y, 6)) for mark in sign.marks for line in mark.lines for x, y in line}
    turned = {(round(sign.width - x, 6), y) for x, y in points}
    assert points != turned


def test_the_letter_is_reversed_on_the_white_sheet_and_right_on_the_dark_one() -> None:
    """The stem of an F is on its left; in a mirror image, on its right."""
    letters = [
        (mark.fill, Polygon(line)) for mark in face_sign(Faces.DARK_ONE_FACE).marks for line in mark.lines
        if len(line) == 11
    ]  # fmt: skip
    stems = {fill: letter.centroid.x - shapely.box(*letter.bounds).centroid.x for fill, letter in letters}
    assert stems["ink"] > 0.3
    assert stems["white"] < -0.3


def test_the_piece_keeps_its_distance_from_the_foot() -> None:
    """4 mm of white, so that no mark is taken for part of the drawing."""
    fits, tallest, over = None, 100.0, 210.0
    while over - tallest > 0.25:
        middle = (tallest + over) / 2
        try:
            fits = lay_out(Cutting(box(0, 0, 100, middle), 1, "Wren", sheet=SHEETS["A5"]))
            tallest = middle
        except DoesNotFit:
            over = middle
    page = fits
    assert page is not None
    rule = next(mark for mark in page.foot.marks if mark.group == "rule").lines[0][0][1]
    assert 4 <= rule - (page.top + tallest) < 4.25


def test_words_are_large_enough_to_read(make_cutting: Callable[..., Cutting]) -> None:
    """x-height of 0.2° of arc at 40 cm, 1.4 mm (Legge & Bigelow, J. Vision 2011); x-height 0.519 of the size
    in a narrow-bodied sans-serif (from memory)."""
    page = lay_out(make_cutting())
    assert min(word.size for word in page.foot.words) * 0.519 >= 1.4
