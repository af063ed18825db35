"""The page: everything inside its margins, nothing over anything else, at any size."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from made_faces import hebrew_face
from shapely import MultiLineString, STRtree
from shapely.geometry import LineString, Point, Polygon, box

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.page.layout import Page, lay_out, page_remarks
from canivet.export.page.marks import BODY, CAP, TITLE, Word
from canivet.export.page.rulers import edge_scales, scale_block
from canivet.export.page.setup import MARGIN, PageSetup
from canivet.export.page.signs import face_sign, head_block
from canivet.export.page.words import width_of
from canivet.motifs.lettering.faces import open_regular
from canivet.sheets import SHEETS, Sheet, find_sheet
from canivet.stock import Faces, Stock

sides = st.one_of(st.floats(20, 90), st.floats(20, 500))
titles = st.one_of(
    st.text(max_size=200), st.sampled_from(["Heron", "m" * 90, "a heron among the reeds " * 9, ""])
)
sheets = st.sampled_from([None, *(SHEETS[name] for name in ("A6", "A5", "A4", "A3", "A2", "letter", "B5"))])
notes = st.lists(st.text(max_size=150), max_size=3).map(tuple)


UNPRINTED = 5.0
"""mm that printers may leave free (common practice)."""


def room_of(word: Word) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a line of type, descenders included."""
    wide = width_of(word.text, word.size, bold=word.bold, tracking=word.tracking)
    return word.x, word.y - CAP * word.size, word.x + wide, word.y + 0.22 * word.size


def lines_of(page: Page, *, without: str = " ") -> MultiLineString:
    marks = (mark for mark in page.block.marks if not mark.group.startswith(without))
    return MultiLineString([line for mark in marks for line in mark.lines])


def assert_well_laid(page: Page, width: float, height: float) -> None:
    sheet = box(0, 0, page.sheet.width, page.sheet.height)
    inside = sheet.buffer(-MARGIN, join_style="mitre").buffer(1e-6, join_style="mitre")
    piece = box(page.left, page.top, page.left + width, page.top + height)
    words = [box(*room_of(word)) for word in page.block.words]
    marks = lines_of(page, without="head")
    assert inside.contains(piece)
    for word, room in zip(page.block.words, words, strict=True):
        reach = sheet.buffer(-UNPRINTED) if word.text.startswith("50 mm") else inside.buffer(0.1)
        assert reach.contains(room), word.text
        assert room.distance(piece) >= 3, word.text
        assert room.distance(marks) > 0.3, word.text
    # The rulers stand in the margin, within what printers reach.
    assert sheet.buffer(-UNPRINTED).contains(marks)
    assert inside.contains(lines_of(page, without="scale"))
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
    said = " ".join(word.text for word in page.block.words)
    rulers = {f"scale-{length}{way}" for length in ("50-mm", "2-in") for way in ("", "-upright")}
    assert rulers | {"face-sign", "head", "tones", "rule"} <= {mark.group for mark in page.block.marks}
    for words in (
        "Wren",
        "12 × 12 mm",
        "1.2 mm or wider",
        f"paper {faces.value}",
        "black stays",
        "white is cut away",
        "ink on 100 % of it",
        "50 mm · 2 in: measure both rulers; print at 100 %",
    ):
        assert words in said
    for words in ("free hand", "rigid container", "local rules", "glass edges", "instructions come first"):
        assert words in said
    assert ("MIRROR IMAGE" in said) == faces.mirrored
    assert ("TEMPLATE" in said) == (faces is Faces.DARK_BOTH_FACES)
    assert (faces is Faces.DARK_BOTH_FACES) == ("Fix this page over the dark sheet" in said)
    assert "A note." in said


def test_the_bookplate_fits_the_next_usual_sheet() -> None:
    """A bookplate is often cut at 4 × 6 in (common practice); 148 × 210 mm is A5 (ISO 216)."""
    sheet = lay_out(Cutting(box(0, 0, 101.6, 152.4), 1.2, "Heron among reeds")).sheet
    assert (sheet.width, sheet.height) == (148, 210)


def test_the_piece_stands_in_the_middle_of_its_room() -> None:
    page = lay_out(Cutting(box(0, 0, 80, 100), 1.2, "Wren", sheet=SHEETS["A4"]))
    head = max(y for mark in page.block.marks if mark.group == "head" for line in mark.lines for _, y in line)
    assert page.left == pytest.approx((210 - 80) / 2)
    assert page.top - head - 3 == pytest.approx(rule_of(page) - 4 - (page.top + 100))


def rule_of(page: Page) -> float:
    return next(mark for mark in page.block.marks if mark.group == "rule").lines[0][0][1]


def test_the_sheet_is_turned_for_a_wide_piece_and_left_for_a_tall_one() -> None:
    lying = [
        lay_out(Cutting(box(0, 0, w, h), 1, "", sheet=SHEETS["A4"])).sheet for w, h in ((200, 60), (60, 200))
    ]
    assert [(sheet.width, sheet.height) for sheet in lying] == [(297, 210), (210, 297)]


def test_a_piece_fits_until_it_meets_the_margins_and_not_beyond() -> None:
    """210 mm less two margins of 8 mm; common practice is to keep 5 mm at least."""
    assert lay_out(Cutting(box(0, 0, 194, 195), 1, "Wren", sheet=SHEETS["A4"])).left == 8
    with pytest.raises(DoesNotFit) as caught:
        lay_out(Cutting(box(0, 0, 194.1, 195), 1, "Wren", sheet=SHEETS["A4"]))
    message = caught.value.message
    assert "the piece is 194.1 × 195 mm; sheet A4 (210 × 297 mm) takes up to 194 × " in message
    assert message.endswith('Take A3, have it tiled, with pages = "tiled", or make the piece smaller.')


def test_the_size_an_error_offers_is_one_that_fits() -> None:
    with pytest.raises(DoesNotFit) as caught:
        lay_out(Cutting(box(0, 0, 300, 300), 1, "Wren", sheet=SHEETS["A5"]))
    offered = str(caught.value.accepted).removeprefix("up to ").removesuffix(" mm").split(" mm or ")
    assert len(offered) == 2
    for size in offered:
        width, height = (float(side) - 0.1 for side in size.split(" × "))
        lay_out(Cutting(box(0, 0, width, height), 1, "Wren", sheet=SHEETS["A5"]))


def test_a_piece_for_no_sheet_at_all_is_refused() -> None:
    with pytest.raises(DoesNotFit, match=r"fits no sheet up to A0 .* Have it tiled, .* or make it smaller"):
        lay_out(Cutting(box(0, 0, 900, 900), 1, "Wall"))


def test_a_sheet_too_small_for_the_scale_check_is_refused() -> None:
    with pytest.raises(DoesNotFit, match=r"takes no piece beside its margins, head and foot\. Take A6"):
        lay_out(Cutting(box(0, 0, 10, 10), 1, "Wren", sheet=find_sheet("50x60")))


@pytest.mark.parametrize("title", ["heron " * 100, "heron " * 833 + "a", "m" * 5000])
def test_a_long_title_is_shortened_and_that_is_said(title: str) -> None:
    cutting = Cutting(box(0, 0, 60, 60), 1, title, sheet=SHEETS["A4"])
    large = [word.text for word in lay_out(cutting).block.words if word.size == TITLE]
    assert len(large) == 2
    assert large[1].endswith("…")
    (remark,) = page_remarks(cutting)
    assert f"the title is {len(title.strip())} characters long; the page shows its first " in remark
    assert remark.endswith("Shorten it to have all of it there.")


def test_a_title_that_fits_needs_no_remark() -> None:
    assert page_remarks(Cutting(box(0, 0, 60, 60), 1, "The heron’s reeds…")) == ()


def test_what_the_face_lacks_is_left_out_and_named_on_the_page_and_beside_it() -> None:
    cutting = Cutting(box(0, 0, 60, 60), 1, "Heron 鷺", notes=("沼 is a marsh",))
    page = lay_out(cutting)
    said = " ".join(word.text for word in page.block.words)
    assert "Left out, not in the face: U+9DFA, U+6CBC." in said
    (remark,) = page_remarks(cutting)
    assert remark.startswith("the face of the page has no U+9DFA, U+6CBC, which is left out of it. Name a")


def test_a_named_face_has_what_the_shipped_one_lacks(tmp_path: Path) -> None:
    face = str(hebrew_face(tmp_path / "oblongs.ttf"))
    assert page_remarks(Cutting(box(0, 0, 60, 60), 1, "Heron אבג", face=face)) == ()


def test_no_note_is_lost() -> None:
    notes = tuple(f"note number {number} of a long list of notes on what to cut first" for number in range(9))
    page = lay_out(Cutting(box(0, 0, 60, 60), 1, "Wren", notes=notes))
    said = " ".join(word.text for word in page.block.words)
    assert all(note in said for note in notes)


def test_the_scale_lines_are_fifty_millimetres_and_two_inches() -> None:
    """1 in is 25.4 mm exactly."""
    lengths = [mark.lines[0][1][0] - mark.lines[0][0][0] for mark in scale_block().marks]
    assert lengths == [50.0, 2 * 25.4]
    ends = [np.array(mark.lines[0]) for mark in edge_scales(SHEETS["A5"], 8, 180).marks]
    assert [np.abs(np.ptp(end, axis=0)).round(9).tolist() for end in ends] == [
        [50, 0], [50.8, 0], [0, 50], [0, 50.8],
    ]  # fmt: skip


@pytest.mark.parametrize("faces", Faces)
def test_the_sign_for_the_face_is_no_mirror_image_of_itself(faces: Faces) -> None:
    sign = face_sign(faces)
    points = {(round(x, 6), round(y, 6)) for mark in sign.marks for line in mark.lines for x, y in line}
    turned = {(round(sign.width - x, 6), y) for x, y in points}
    assert points != turned


@pytest.mark.parametrize(("faces", "front"), [(Faces.DARK_ONE_FACE, "white"), (Faces.PLAIN, "ink")])
def test_the_letter_is_reversed_on_the_printed_sheet_and_right_on_the_front(faces: Faces, front: str) -> None:
    """The stem of an F is on its left; in a mirror image, on its right."""
    letters = [
        (mark.fill, Polygon(line)) for mark in face_sign(faces).marks for line in mark.lines if len(line) == 11
    ]  # fmt: skip
    (back, printed), (dark, finished) = sorted(letters, key=lambda letter: letter[1].centroid.x)
    assert (back, dark) == ("ink", front)
    assert printed.centroid.x - shapely.box(*printed.bounds).centroid.x > 0.3
    assert finished.centroid.x - shapely.box(*finished.bounds).centroid.x < -0.3


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
    assert fits is not None
    assert 4 <= rule_of(fits) - (fits.top + tallest) < 4.25


def test_words_are_large_enough_to_read(make_cutting: Callable[..., Cutting]) -> None:
    """x-height of 0.2° of arc at 40 cm, 1.4 mm (Legge & Bigelow, J. Vision 2011)."""
    face = open_regular()
    page = lay_out(make_cutting())
    least = min(word.size for word in page.block.words)
    assert least == BODY
    assert least * face.x_height / face.font.face.upem >= 1.4
    assert pytest.approx(face.cap / face.font.face.upem, abs=0.003) == CAP


@pytest.mark.parametrize("faces", Faces)
def test_every_page_says_which_tone_is_cut_away(faces: Faces) -> None:
    cutting = Cutting(box(0, 0, 60, 60), 1, "Wren", stock=Stock.of(faces))
    for ink, stays, goes in (
        ("solid", "black stays", "white is cut away"),
        ("tint", "grey stays", "white is cut away"),
        ("lines", "", "what a line inside the outline holds is cut away"),
    ):
        said = " ".join(word.text for word in lay_out(cutting, PageSetup(ink)).block.words)  # type: ignore[arg-type]
        assert stays in said
        assert goes in said


def test_the_heads_of_the_three_stocks_are_told_apart_by_their_grey() -> None:
    """Black, white in a heavy frame, striped: the share of ink in the band differs by an eighth at least."""
    shares = []
    for faces in Faces:
        head = [mark for mark in head_block(faces, 190, 10).marks if mark.group == "head"]
        frame = shapely.union_all([Polygon(line) for mark in head for line in mark.lines]).envelope
        inked = [Polygon(line) for mark in head if mark.fill == "ink" for line in mark.lines]
        drawn = [
            LineString(line).buffer(mark.width / 2) for mark in head if mark.stroke for line in mark.lines
        ]
        shares.append(shapely.union_all([*inked, *drawn]).area / frame.area)
    assert np.diff(sorted(shares)).min() > 1 / 8, shares


@pytest.mark.parametrize("outline", [box(0, 0, 60, 80), Point(40, 40).buffer(40)])
def test_a_template_is_fixed_in_the_waste(outline: Polygon) -> None:
    openings = [Point(30, 30).buffer(9), Point(30, 55).buffer(6), Point(12, 40).buffer(1.5)]
    paper = Polygon(outline.exterior, [opening.exterior for opening in openings])
    page = lay_out(Cutting(paper, 1, "Wren", stock=Stock.of(Faces.DARK_BOTH_FACES), sheet=SHEETS["A4"]))
    marks = [MultiLineString(mark.lines) for mark in page.block.marks if mark.group == "fix"]
    assert len(marks) == 6
    laid = page.pieces[0].lay(paper)
    assert all(mark.distance(laid) > 0.25 for mark in marks)
    inside = [mark for mark in marks if Polygon(laid.exterior).contains(mark)]
    assert len(inside) == 2, "the two openings that are large enough"


@pytest.mark.parametrize("faces", [Faces.PLAIN, Faces.DARK_ONE_FACE])
def test_what_is_printed_on_goes_behind(faces: Faces) -> None:
    page = lay_out(Cutting(box(0, 0, 60, 60), 1, "Wren", stock=Stock.of(faces)))
    assert page.pieces[0].mirrored
    assert not any(mark.group == "fix" for mark in page.block.marks)


def test_the_foot_stands_beside_the_piece_or_on_its_own_page_rather_than_force_a_larger_sheet() -> None:
    def laid(width: float, height: float) -> tuple[str, bool, bool]:
        page = lay_out(Cutting(box(0, 0, width, height), 1, "Wren"))
        assert_well_laid(page, width, height)
        (rule,) = [mark for mark in page.block.marks if mark.group == "rule"]
        return page.sheet.name, rule.lines[0][0][0] > page.left + width, page.rest is not None

    assert laid(180, 200) == ("A4", False, False)
    assert laid(205, 176) == ("A4", True, False)
    assert laid(190, 245) == ("A4", False, True)


def test_a_foot_on_its_own_page_loses_nothing_and_the_piece_says_which_tone_goes() -> None:
    page = lay_out(Cutting(box(0, 0, 190, 245), 1, "Wren", notes=("A note.",)))
    assert page.rest is not None
    assert page.rest.rest is None
    first, second = (" ".join(word.text for word in leaf.block.words) for leaf in page.leaves())
    for words in ("MIRROR IMAGE", "white is cut away", "190 × 245 mm", "what to know is on the next page"):
        assert words in first
    for words in ("Wren", "straps 1 mm or wider", "rigid container", "A note.", "Cut on this side"):
        assert words in second
    assert "MIRROR" not in second, "nothing on it is mirrored"


@pytest.mark.parametrize(
    ("sheet", "size", "taken"),
    [("letter", (190, 300), "legal"), ("letter", (250, 300), "tabloid"), ("B5", (200, 250), "B4"),
     ("A5", (190, 200), "A4"), ("8x10 in", (190, 225), "letter")],
)  # fmt: skip
def test_advice_names_a_sheet_of_the_makers_own_system(
    sheet: str, size: tuple[float, float], taken: str
) -> None:
    with pytest.raises(DoesNotFit, match=f"Take {taken}, have it tiled"):
        lay_out(Cutting(box(0, 0, *size), 1, "Wren", sheet=find_sheet(sheet)))
    lay_out(Cutting(box(0, 0, *size), 1, "Wren", sheet=find_sheet(taken)))


@pytest.mark.parametrize("margin", [4, 20, 35])
def test_the_margin_asked_for_is_kept(margin: float) -> None:
    page = lay_out(Cutting(box(0, 0, 90, 90), 1, "Wren", sheet=SHEETS["A4"]), PageSetup(margin=margin))
    inside = box(margin, margin, 210 - margin, 297 - margin)
    assert inside.buffer(1e-6).contains(lines_of(page, without="scale"))
    assert page.left >= margin
    widest = lay_out(
        Cutting(box(0, 0, 210 - 2 * margin, 175), 1, "Wren", sheet=SHEETS["A4"]), PageSetup(margin=margin)
    )
    assert widest.left == pytest.approx(margin)


def test_margins_that_leave_nothing_are_refused_with_what_to_do() -> None:
    with pytest.raises(DoesNotFit, match=r"takes no piece beside margins of 60 mm.* or lower the margin"):
        lay_out(Cutting(box(0, 0, 20, 20), 1, "Wren", sheet=SHEETS["A6"]), PageSetup(margin=60))
    with pytest.raises(BadValue, match="margin is 200 mm; it takes 4 mm to 60 mm"):
        PageSetup(margin=200)
