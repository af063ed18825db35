"""PDF pages, measured in renderings and read by an engine that did not draw them."""

from __future__ import annotations

import hashlib
import io
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args
from xml.etree import ElementTree

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
import resvg_py
import shapely
from made_faces import hebrew_face
from PIL import Image
from pypdf import PdfReader
from scipy import ndimage
from shapely import affinity
from shapely.geometry import box

from canivet.cutting import Cutting
from canivet.errors import BadValue, CannotWrite, DoesNotFit
from canivet.export import page_svg, pdf_bytes, write_pdf
from canivet.export.page.layout import lay_out
from canivet.export.page.setup import PageSetup
from canivet.export.page.tones import Ink, ink_share
from canivet.export.pdf import document_bytes
from canivet.sheets import Sheet, find_sheet
from canivet.stock import Faces

Grey = np.ndarray[Any, Any]
Render = Callable[..., Grey]
Make = Callable[..., Cutting]

DPI = 1200
PER_MM = DPI / 25.4

SHEETS_IN_MM = {
    # ISO 216
    "A3": (297, 420), "A4": (210, 297), "A5": (148, 210), "A6": (105, 148), "A7": (74, 105),
    "B4": (250, 353), "B5": (176, 250), "B6": (125, 176),
    # ASME Y14.1; legal and 4 × 6 in are not in the standard
    "letter": (8.5 * 25.4, 11 * 25.4), "tabloid": (11 * 25.4, 17 * 25.4),
    "legal": (8.5 * 25.4, 14 * 25.4), "4x6 in": (4 * 25.4, 6 * 25.4),
}  # fmt: skip


@pytest.mark.parametrize(("name", "size"), SHEETS_IN_MM.items())
def test_the_page_box_is_the_sheet(make_cutting: Make, name: str, size: tuple[float, float]) -> None:
    """1 unit is 1/72 in (ISO 32000-1); the box is read from the file's own bytes."""
    data = pdf_bytes(make_cutting(box(0, 0, 12, 12), sheet=find_sheet(name)))
    ((width, height),) = re.findall(rb"/MediaBox \[ 0\.0+ 0\.0+ ([\d.]+) ([\d.]+) \]", data)
    assert float(width) == pytest.approx(size[0] * 72 / 25.4, abs=1e-6)
    assert float(height) == pytest.approx(size[1] * 72 / 25.4, abs=1e-6)


def test_a4_is_the_size_it_is_known_by(make_cutting: Make) -> None:
    """A4 MediaBox 595.2756 × 841.8898 (ISO 216, ISO 32000-1)."""
    page = pdfium.PdfDocument(pdf_bytes(make_cutting(box(0, 0, 90, 90), sheet=find_sheet("A4"))))[0]
    assert [round(side, 4) for side in page.get_size()] == [595.2756, 841.8898]


def test_a_turned_sheet_turns_its_page_box(make_cutting: Make) -> None:
    reader = PdfReader(io.BytesIO(pdf_bytes(make_cutting(box(0, 0, 200, 60), sheet=find_sheet("A4")))))
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx([841.889764, 595.275591])


def test_the_reader_is_asked_not_to_scale_when_printing(make_cutting: Make) -> None:
    """/ViewerPreferences /PrintScaling /None (ISO 32000-1, Table 150), as read by PDFium."""
    document = pdfium.PdfDocument(pdf_bytes(make_cutting()))
    assert not pdfium_c.FPDF_VIEWERREF_GetPrintScaling(document)
    document.close()


def test_titles_reach_the_files_metadata(make_cutting: Make) -> None:
    document = pdfium.PdfDocument(pdf_bytes(make_cutting(title="Zaunkönig\x00 & サギ")))
    metadata = document.get_metadata_dict()
    assert metadata["Title"] == "Zaunkönig & サギ"
    assert metadata["CreationDate"] == metadata["ModDate"] == "D:20000101000000Z"
    document.close()


def test_several_cuttings_make_several_pages_each_with_its_name(make_cutting: Make) -> None:
    cuttings = [
        make_cutting(box(0, 0, side, side), title=name) for side, name in ((20, "Wren"), (120, "Heron"))
    ]
    document = pdfium.PdfDocument(pdf_bytes(cuttings))
    widths = [document.get_page_size(index)[0] * 25.4 / 72 for index in range(len(document))]
    assert widths == pytest.approx([105, 148])
    assert [mark.get_title() for mark in document.get_toc()] == ["Wren", "Heron"]
    assert document.get_metadata_dict()["Title"] == "Wren and 1 more"
    document.close()


def test_the_same_design_makes_the_same_bytes_in_another_run() -> None:
    program = (
        "import hashlib; from shapely.geometry import box; from canivet.cutting import Cutting; "
        "from canivet.export import pdf_bytes; "
        "print(hashlib.sha256(pdf_bytes(Cutting(box(0, 0, 60, 60), 1.2, 'Wren'))).hexdigest())"
    )
    mine = hashlib.sha256(pdf_bytes(Cutting(box(0, 0, 60, 60), 1.2, "Wren"))).hexdigest()
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == mine
    assert hashlib.sha256(pdf_bytes(Cutting(box(0, 0, 60, 61), 1.2, "Wren"))).hexdigest() != mine


def piece_window(cutting: Cutting) -> tuple[float, float, float, float]:
    page = lay_out(cutting)
    left, bottom, right, top = cutting.paper.bounds
    return page.left, page.top, page.left + right - left, page.top + top - bottom


@pytest.mark.parametrize("faces", Faces)
def test_paper_is_one_black_part_with_every_opening_in_it(
    make_cutting: Make, render: Render, faces: Faces
) -> None:
    cutting = make_cutting(faces=faces)
    left, top, right, bottom = piece_window(cutting)
    grey = render(pdf_bytes(cutting), DPI, (left - 1, top - 1, right + 1, bottom + 1))
    _, black = ndimage.label(grey < 128, np.ones((3, 3)))
    _, white = ndimage.label(grey >= 128)
    assert black == 1
    assert white - 1 == len(cutting.paper.interiors)


def test_ink_covers_what_the_page_says_it_does(make_cutting: Make, render: Render) -> None:
    """By pixel count inside the outline; a grey pixel counts by its darkness."""
    cutting = make_cutting()
    left, top, right, bottom = piece_window(cutting)
    for ink in get_args(Ink):
        grey = render(pdf_bytes(cutting, PageSetup(ink)), DPI, (left, top, right, bottom))
        assert np.mean(1 - grey / 255.0) == pytest.approx(ink_share(cutting.paper, ink), abs=0.003), ink


def test_the_lightest_stroke_outlives_a_laser_printer(make_cutting: Make) -> None:
    """A screen of 106 lines to the inch at 600 dots (common practice) breaks a grey hairline into dots."""
    per_mm, pitch = 600 / 25.4, 600 / 106
    y, x = np.mgrid[0:400, 0:400]
    along, across = (x + y) / np.sqrt(2), (x - y) / np.sqrt(2)
    screen = 0.5 + (np.cos(2 * np.pi * along / pitch) + np.cos(2 * np.pi * across / pitch)) / 4

    def printed(stroke: str, width: float) -> float:
        """The share of a line's length that is inked right across."""
        dark = 1 - int(stroke[1:3], 16) / 255
        dots = max(1, int(width * per_mm))
        inked = np.full((400, dots), dark) > np.clip(screen[:, 200 : 200 + dots], 1e-6, 1 - 1e-6)
        return float(inked.all(axis=1).mean())

    for ink in get_args(Ink):
        root = ElementTree.fromstring(page_svg(make_cutting(), PageSetup(ink)))
        strokes = {
            (e.get("stroke", ""), float(e.get("stroke-width", 0))) for e in root.iter() if e.get("stroke")
        }
        lines = [(tone, width) for tone, width in strokes if tone != "#ffffff"]
        assert lines
        assert min(width for _, width in lines) >= 0.15
        assert all(printed(*line) == 1 for line in lines), lines
    assert printed("#707070", 0.15) < 0.9, "the check itself: a grey hairline does not come through"


@pytest.mark.parametrize("faces", Faces)
def test_the_rendering_is_the_polygon_mirrored_unless_it_is_a_template(
    make_cutting: Make, render: Render, faces: Faces
) -> None:
    """Every pixel's middle is looked up in the polygon itself; only pixels on an edge may differ."""
    cutting = make_cutting(faces=faces)
    window = piece_window(cutting)
    grey = render(pdf_bytes(cutting), DPI, window)
    rows, columns = grey.shape
    x = (np.arange(columns) + 0.5) / PER_MM
    y = window[3] - window[1] - (np.arange(rows) + 0.5) / PER_MM
    seen = affinity.scale(cutting.paper, -1, 1, origin=(15, 0)) if faces.mirrored else cutting.paper
    shapely.prepare(seen)
    expected = shapely.contains_xy(seen, *np.meshgrid(x, y))
    edge = seen.length * PER_MM / grey.size
    assert np.mean(expected != (grey < 128)) < 0.6 * edge
    assert np.mean(expected[:, ::-1] != (grey < 128)) > 0.05, "the test piece is its own mirror image"


@pytest.mark.parametrize(("group", "length"), [("scale-50-mm", 50.0), ("scale-2-in", 50.8)])
@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("sheet", ["A7", "A5", "letter"])
def test_the_rulers_measure_what_they_say_both_ways(
    make_cutting: Make, render: Render, group: str, length: float, sheet: str, upright: bool
) -> None:
    """50 mm, and 2 in of 25.4 mm, from the middle of one end tick to the middle of the other."""
    cutting = make_cutting(box(0, 0, 12, 12), sheet=find_sheet(sheet))
    name = f"{group}-upright" if upright else group
    (mark,) = [mark for mark in lay_out(cutting).block.marks if mark.group == name]
    x, y = np.array([point for line in mark.lines for point in line]).T
    x, y = (y, x) if upright else (x, y)
    base = y[0]
    tip = y[np.argmax(np.abs(y - base))]
    near = base + 0.75 * (tip - base)  # beyond the short ticks, only the two at the ends are met
    upper, lower = min(near, tip), max(near, tip)
    window = (x.min() - 1, upper + 0.05, x.max() + 1, lower - 0.05)
    window = (window[1], window[0], window[3], window[2]) if upright else window
    grey = render(pdf_bytes(cutting), DPI, window)
    dark = (255.0 - grey).sum(axis=1 if upright else 0)
    ticks, count = ndimage.label(dark > 0.3 * dark.max())
    assert count == 2
    first, last = (middle for (middle,) in ndimage.center_of_mass(dark, ticks, [1, 2]))
    assert (last - first) / PER_MM == pytest.approx(length, abs=1 / PER_MM)


@pytest.mark.parametrize("sheet", ["A7", "A6", "A4", "A2"])
def test_all_printing_keeps_off_the_unprintable_edge_and_off_the_piece(
    make_cutting: Make, render: Render, sheet: str
) -> None:
    """Printers leave up to 5 mm unprinted (common practice)."""
    cutting = make_cutting(box(0, 0, 12, 12), sheet=find_sheet(sheet), title="Gypsy jug quay " * 12)
    grey = render(pdf_bytes(cutting), 150)
    per_mm = 150 / 25.4
    inked = np.argwhere(grey < 200)
    edges = inked.min(axis=0), np.array(grey.shape) - 1 - inked.max(axis=0)
    assert np.min(edges) / per_mm >= 5 - 1 / per_mm
    left, top, right, bottom = (round(side * per_mm) for side in piece_window(cutting))
    around = grey[top - 18 : bottom + 18, left - 18 : right + 18].copy()
    around[16:-16, 16:-16] = 255
    assert around.min() > 250


def test_words_can_be_read_and_are_not_mirrored(make_cutting: Make) -> None:
    document = pdfium.PdfDocument(pdf_bytes(make_cutting(faces=Faces.DARK_ONE_FACE)))
    text = document[0].get_textpage()
    said = re.sub(r"\s+", "", text.get_text_range())
    for words in ("Heron among reeds", "30 × 24 mm", "MIRROR IMAGE", "50 mm · 2 in: measure both rulers"):
        assert words.replace(" ", "") in said
    head = [text.get_charbox(index)[0] for index in range(6)]
    assert text.get_text_range(0, 6) == "MIRROR"
    assert head == sorted(head)


def test_no_font_of_this_machine_is_used(make_cutting: Make) -> None:
    """Only Type 3 fonts, which bring their own drawings (ISO 32000-1, 9.6.5)."""
    page = PdfReader(io.BytesIO(pdf_bytes(make_cutting(title="Zaunkönig 鷺")))).pages[0]
    fonts = [font.get_object() for font in page["/Resources"]["/Font"].values()]
    assert {font["/Subtype"] for font in fonts} == {"/Type3"}
    assert "<text" not in page_svg(make_cutting(title="Zaunkönig 鷺"))


def test_words_are_drawn_alike_in_svg_and_pdf(make_cutting: Make, render: Render) -> None:
    """The outlines by resvg against the embedded letters by PDFium, kerned, accented, white on black."""
    cutting = make_cutting(title="AVATAR Ǻngström «Τάξη» Њ ½", sheet=find_sheet("A5"))
    dpi = 96 * 4
    by_pdfium = render(pdf_bytes(cutting), dpi).astype(float)
    drawn = resvg_py.svg_to_bytes(svg_string=page_svg(cutting), dpi=96, zoom=4, background="white")
    by_resvg = np.array(Image.open(io.BytesIO(bytes(drawn))).convert("L")).astype(float)
    rows, columns = (min(pair) for pair in zip(by_pdfium.shape, by_resvg.shape, strict=True))
    one, other = (ndimage.gaussian_filter(grey[:rows, :columns], 2) for grey in (by_pdfium, by_resvg))
    assert np.abs(one - other).max() < 40
    assert np.abs(one - other).mean() < 0.3


def test_pieces_drawn_small_lie_in_the_pdf_where_the_page_has_them(render: Render) -> None:
    """A page of moved and scaled paths by resvg against what PDFium draws of the PDF."""
    ring = "M0 0L60 0L60 90L0 90ZM10 10L10 70L50 70Z"
    page = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="148mm" height="210mm" viewBox="0 0 148 210">'
        '<rect id="sheet" width="148" height="210" fill="#ffffff"/><g id="piece">'
        f'<path d="{ring}" fill="#000000" fill-rule="evenodd" transform="translate(12.5 20.25) scale(0.333333)"/>'
        f'<path d="{ring}" fill="#000000" fill-rule="evenodd" transform="translate(70 110) scale(1.000000)"/>'
        '</g><rect x="80" y="20" width="30" height="4" fill="#000000"/></svg>'
    )
    data = document_bytes([(page, find_sheet("A5"))], titles=["Small"], subject="")
    by_pdfium = render(data, 96 * 2).astype(float)
    drawn = resvg_py.svg_to_bytes(svg_string=page, dpi=96, zoom=2, background="white")
    by_resvg = np.array(Image.open(io.BytesIO(bytes(drawn))).convert("L")).astype(float)
    rows, columns = (min(pair) for pair in zip(by_pdfium.shape, by_resvg.shape, strict=True))
    one, other = (ndimage.gaussian_filter(grey[:rows, :columns], 2) for grey in (by_pdfium, by_resvg))
    assert np.abs(one - other).max() < 40
    assert 0.8 < one.mean() / 255 < 0.95
    assert b"".join(PdfReader(io.BytesIO(data)).pages[0].get_contents().get_data().split()).count(b"f*") == 2


def test_a_search_finds_hebrew_and_what_no_face_has_is_not_there(make_cutting: Make, tmp_path: Path) -> None:
    face = str(hebrew_face(tmp_path / "oblongs.ttf"))
    cutting = replace(make_cutting(title="AB אבג 鷺"), face=face)
    document = pdfium.PdfDocument(pdf_bytes(cutting))
    text = document[0].get_textpage()
    assert {"א", "ב", "ג"} <= set(text.get_text_range())
    assert "鷺" not in text.get_text_range()
    left = {text.get_text_range(k, 1): text.get_charbox(k)[0] for k in range(text.count_chars())}
    assert left["ג"] < left["ב"] < left["א"]


def test_no_two_letters_stand_on_each_other(make_cutting: Make) -> None:
    document = pdfium.PdfDocument(pdf_bytes(make_cutting(sheet=find_sheet("A6"))))
    text = document[0].get_textpage()
    letters = [
        text.get_charbox(index)
        for index in range(text.count_chars())
        if text.get_text_range(index, 1).strip()
    ]
    # The letters of a ligature are one drawing and share its box.
    letters = [room for room, before in zip(letters, [None, *letters], strict=False) if room != before]
    rooms = shapely.box(*np.array(letters).T)
    pairs = shapely.STRtree(rooms).query(rooms, predicate="intersects")
    one, other = pairs[:, pairs[0] < pairs[1]]
    shared = shapely.area(shapely.intersection(rooms[one], rooms[other]))
    assert np.all(shared < 0.15 * np.minimum(shapely.area(rooms[one]), shapely.area(rooms[other])))


def test_a_file_is_written_and_a_failure_leaves_none(make_cutting: Make, tmp_path: Path) -> None:
    write_pdf(tmp_path / "page.pdf", make_cutting())
    assert (tmp_path / "page.pdf").read_bytes() == pdf_bytes(make_cutting())
    with pytest.raises(DoesNotFit):
        write_pdf(tmp_path / "large.pdf", make_cutting(sheet=Sheet("tiny", 60, 60)))
    with pytest.raises(CannotWrite):
        write_pdf(tmp_path / "no" / "page.pdf", make_cutting())
    with pytest.raises(BadValue, match="cuttings is empty; a PDF takes at least one"):
        write_pdf(tmp_path / "none.pdf", [])
    assert [path.name for path in tmp_path.iterdir()] == ["page.pdf"]


def test_the_document_says_what_it_is_and_is_printed_on_one_side(
    make_cutting: Callable[..., Cutting],
) -> None:
    """ISO 32000-1, 14.3.2 and Table 150; read by qpdf, which did not write it."""
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf_bytes(make_cutting(title="Zaunkönig & Reiher")))) as document:
        assert document.check_pdf_syntax() == []
        assert document.Root.Lang == "en"
        assert document.Root.ViewerPreferences.Duplex == "/Simplex"
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
        with document.open_metadata() as about:
            assert about["dc:title"] == "Zaunkönig & Reiher"
            assert about["pdf:Producer"] == str(document.docinfo["/Producer"])
