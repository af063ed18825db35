"""Twelve drawings seen by engines that had no part in making them: whichever of them this machine has.

PDF: pdfium, MuPDF, poppler, Ghostscript. SVG: resvg, cairosvg, librsvg, Chromium. Run as a script it says which
were found and what each measured: ``python tests/export/test_outside_engines.py``.
"""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pypdf
import pytest
import shapely
from PIL import Image

from canivet.cutting import Cutting
from canivet.export.page.layout import lay_out
from canivet.export.page.setup import PageSetup
from canivet.export.page.tones import STROKE, ink_share
from canivet.export.pdf import pdf_bytes
from canivet.export.printing.together import lay_together
from canivet.export.svg import piece_svg
from canivet.motifs.registry import find_motif
from canivet.sheets import SHEETS
from canivet.stock import Faces, Stock

DPI = 200
PER_MM = DPI / 25.4
"""1 unit of a PDF is 1/72 in (ISO 32000-1, 8.3.2.3); 1 in of an SVG is 96 px (SVG 2 / CSS Values and Units)."""

Grey = np.ndarray[Any, Any]

DRAWN = [
    ("scallop", "rectangle"), ("guilloche", "oval"), ("meander", "rectangle"), ("leaf-and-berry", "circle"),
    ("diamond-lattice", "arch"), ("asanoha-lattice", "pointed-arch"), ("fish-scale-lattice", "oval"),
    ("ice-ray-lattice", "rectangle"), ("round-holes", "circle"), ("star-lattice", "rounded-rectangle"),
    ("foil-lattice", "arch"), ("crackle-lattice", "oval"),
]  # fmt: skip


@cache
def drawing(motif: str, outline: str) -> Cutting:
    sides = {"circle": (100, 100), "rounded-rectangle": (110, 140)}.get(outline, (100, 140))
    within = find_motif(outline).draw(width=sides[0], height=sides[1])
    paper = find_motif(motif).draw(within=within, strap=1.4)
    faces = list(Faces)[len(motif) % 3]
    return Cutting(paper, 1.4, f"{motif}, {outline}", stock=Stock.of(faces), sheet=SHEETS["A4"])


def grey_of(data: bytes) -> Grey:
    return np.asarray(Image.open(io.BytesIO(data)).convert("L")).astype(float)


def run(command: list[str], *, cwd: Path) -> None:
    subprocess.run(command, cwd=cwd, check=True, capture_output=True, timeout=120)


def by_pdfium(data: bytes, _: Path) -> Grey:
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    picture = np.array(document[0].render(scale=DPI / 72, grayscale=True).to_pil().convert("L"))
    document.close()
    return picture.astype(float)


def by_mupdf(data: bytes, _: Path) -> Grey:
    import pymupdf

    pixels = pymupdf.open(stream=data, filetype="pdf")[0].get_pixmap(dpi=DPI, colorspace=pymupdf.csGRAY)
    return (
        np.frombuffer(pixels.samples, np.uint8)
        .reshape(pixels.height, pixels.stride)[:, : pixels.width]
        .astype(float)
    )


def by_poppler(data: bytes, folder: Path) -> Grey:
    (folder / "page.pdf").write_bytes(data)
    run(["pdftoppm", "-r", str(DPI), "-gray", "-png", "-singlefile", "page.pdf", "page"], cwd=folder)
    return grey_of((folder / "page.png").read_bytes())


def by_ghostscript(data: bytes, folder: Path) -> Grey:
    (folder / "page.pdf").write_bytes(data)
    run(["gs", "-q", "-dNOPAUSE", "-dBATCH", "-sDEVICE=pnggray", "-dGraphicsAlphaBits=4", f"-r{DPI}",
         "-sOutputFile=page.png", "page.pdf"], cwd=folder)  # fmt: skip
    return grey_of((folder / "page.png").read_bytes())


def by_resvg(svg: str, _: Path) -> Grey:
    import resvg_py

    return grey_of(bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, zoom=DPI / 96, background="white")))


def by_cairosvg(svg: str, _: Path) -> Grey:
    import cairosvg

    return grey_of(cairosvg.svg2png(bytestring=svg.encode(), scale=DPI / 96, background_color="white"))


def by_librsvg(svg: str, folder: Path) -> Grey:
    (folder / "piece.svg").write_text(svg, encoding="utf-8")
    run(
        ["rsvg-convert", "-d", str(DPI), "-p", str(DPI), "-b", "white", "-o", "piece.png", "piece.svg"],
        cwd=folder,
    )
    return grey_of((folder / "piece.png").read_bytes())


def by_chromium(svg: str, folder: Path) -> Grey:
    (folder / "piece.html").write_text(f"<body style='margin:0'>{svg}", encoding="utf-8")
    run([str(shutil.which("chromium")), "--headless", "--no-sandbox", "--hide-scrollbars", "--disable-gpu",
         f"--force-device-scale-factor={DPI / 96}", "--window-size=900,900", f"--user-data-dir={folder / 'profile'}",
         "--screenshot=piece.png", str(folder / "piece.html")], cwd=folder)  # fmt: skip
    return grey_of((folder / "piece.png").read_bytes())


PDF_ENGINES: dict[str, tuple[bool, Callable[[bytes, Path], Grey]]] = {
    "pdfium": (find_spec("pypdfium2") is not None, by_pdfium),
    "MuPDF": (find_spec("pymupdf") is not None, by_mupdf),
    "poppler": (shutil.which("pdftoppm") is not None, by_poppler),
    "Ghostscript": (shutil.which("gs") is not None, by_ghostscript),
}
SVG_ENGINES: dict[str, tuple[bool, Callable[[str, Path], Grey]]] = {
    "resvg": (find_spec("resvg_py") is not None, by_resvg),
    "cairosvg": (find_spec("cairosvg") is not None, by_cairosvg),
    "librsvg": (shutil.which("rsvg-convert") is not None, by_librsvg),
    "Chromium": (shutil.which("chromium") is not None and "CANIVET_CHROMIUM" in os.environ, by_chromium),
}
"""Chromium takes seconds for each drawing: it is asked where CANIVET_CHROMIUM is set."""


def engines(known: dict[str, Any]) -> list[Any]:
    missing = "is not on this machine"
    return [
        pytest.param(name, marks=[] if there else pytest.mark.skip(reason=f"{name} {missing}"))
        for name, (there, _) in known.items()
    ]


def inked(grey: Grey) -> tuple[float, tuple[float, float, float, float]]:
    """Return the area covered in mm², a grey counting by its darkness, and the bounds in mm, y down."""
    rows, columns = np.nonzero(grey < 128)
    bounds = columns.min(), rows.min(), columns.max() + 1, rows.max() + 1
    return float((255 - grey).sum() / 255 / PER_MM**2), tuple(float(side / PER_MM) for side in bounds)  # type: ignore[return-value]


def seen_in_pdf(engine: str, cutting: Cutting, folder: Path) -> tuple[float, tuple[float, ...]]:
    """Area and bounds of the piece alone, on its page in solid black."""
    page = lay_out(cutting)
    (view,) = page.pieces
    grey = PDF_ENGINES[engine][1](pdf_bytes(cutting), folder)
    wide, high = view.size
    x0, y0 = int((view.left - 1.5) * PER_MM), int((view.top - 1.5) * PER_MM)
    x1, y1 = int((view.left + wide + 1.5) * PER_MM), int((view.top + high + 1.5) * PER_MM)
    laid = view.lay(cutting.paper)
    window = grey[y0:y1, x0:x1].copy()
    if cutting.stock.faces is Faces.DARK_BOTH_FACES:  # the marks to fix it by are no part of the piece
        rows, columns = np.nonzero(window < 250)
        points = shapely.points((columns + x0 + 0.5) / PER_MM, (rows + y0 + 0.5) / PER_MM)
        far = shapely.distance(points, laid) > 0.3
        window[rows[far], columns[far]] = 255
    area, bounds = inked(window)
    return area, tuple(side + offset / PER_MM for side, offset in zip(bounds, (x0, y0, x0, y0), strict=True))


@pytest.mark.parametrize("engine", engines(PDF_ENGINES))
@pytest.mark.parametrize(("motif", "outline"), DRAWN)
def test_a_pdf_engine_sees_the_piece_at_true_size(
    engine: str, motif: str, outline: str, tmp_path: Path
) -> None:
    cutting = drawing(motif, outline)
    area, bounds = seen_in_pdf(engine, cutting, tmp_path)
    expected = lay_out(cutting).pieces[0].lay(cutting.paper)
    assert area == pytest.approx(expected.area, rel=0.006)
    assert bounds == pytest.approx(expected.bounds, abs=1.6 / PER_MM)


@pytest.mark.parametrize("engine", engines(SVG_ENGINES))
@pytest.mark.parametrize(("motif", "outline"), DRAWN)
def test_an_svg_engine_sees_the_piece_at_true_size(
    engine: str, motif: str, outline: str, tmp_path: Path
) -> None:
    cutting = drawing(motif, outline)
    area, bounds = inked(SVG_ENGINES[engine][1](piece_svg(cutting), tmp_path))
    x0, y0, x1, y1 = cutting.paper.bounds
    assert area == pytest.approx(cutting.paper.area, rel=0.006)
    assert bounds == pytest.approx((0, 0, x1 - x0, y1 - y0), abs=1.6 / PER_MM)


@pytest.mark.parametrize(
    "engine", engines({k: v for k, v in SVG_ENGINES.items() if k in ("resvg", "cairosvg")})
)
@pytest.mark.parametrize(("motif", "outline"), DRAWN)
def test_an_engine_that_knows_one_fill_rule_only_sees_the_same(
    engine: str, motif: str, outline: str, tmp_path: Path
) -> None:
    """SVG 2, 13.4.2, fill-rule: non-zero is what is taken where nothing is said."""
    svg = piece_svg(drawing(motif, outline))
    draw = SVG_ENGINES[engine][1]
    assert 'fill-rule="evenodd"' in svg
    apart = np.abs(draw(svg, tmp_path) - draw(svg.replace(' fill-rule="evenodd"', ""), tmp_path))
    assert apart.max() <= 8, "no more than an engine's rounding of an edge"


@pytest.mark.parametrize("pages", ["one each", "tiled", "together"])
def test_two_readers_agree_on_the_boxes_and_qpdf_finds_nothing_wrong(pages: str) -> None:
    """ISO 32000-1, 14.11.2: a trim box inside the crop box inside the media box."""
    large = Cutting(
        shapely.box(0, 0, 250, 300) - shapely.box(20, 20, 230, 280), 2, "Large", sheet=SHEETS["A4"]
    )
    pieces = [drawing(*DRAWN[0]), drawing(*DRAWN[0])] if pages == "together" else [large]
    pieces = [drawing(*DRAWN[1])] if pages == "one each" else pieces
    data = pdf_bytes(pieces, PageSetup(pages=pages))  # type: ignore[arg-type]
    one = pypdf.PdfReader(io.BytesIO(data))
    with pikepdf.open(io.BytesIO(data)) as other:
        assert other.check_pdf_syntax() == []
        assert len(one.pages) == len(other.pages)
        for page, again in zip(one.pages, other.pages, strict=True):
            for name in ("/MediaBox", "/CropBox", "/TrimBox"):
                sides = [float(side) for side in page[name]]
                assert sides == pytest.approx([float(side) for side in again.obj[name]], abs=1e-6)
                assert sorted(sides[2:]) == pytest.approx([210 * 72 / 25.4, 297 * 72 / 25.4], abs=1e-3)


def test_pieces_nested_on_a_sheet_have_the_area_of_them_all(tmp_path: Path) -> None:
    """Ink by pixels inside the places they were laid at, and the waste told against those places."""
    sizes = [(60, 90), (80, 50), (40, 40), (90, 60)]
    pieces = [
        Cutting(
            shapely.box(0, 0, wide, high) - shapely.Point(wide / 2, high / 2).buffer(12 + k), 2, f"Card {k}",
            stock=Stock.of(Faces.DARK_ONE_FACE), sheet=SHEETS["A4"],
        )
        for k, (wide, high) in enumerate(sizes)
    ]  # fmt: skip
    setup = PageSetup(pages="together")
    spread = lay_together(sizes, SHEETS["A4"], setup)
    (laid,) = spread.sheets
    grey = by_pdfium(pdf_bytes(pieces, setup), tmp_path)
    seen = 0.0
    for one in laid:
        wide, high = sizes[one.piece]
        rows = slice(round(one.top * PER_MM), round((one.top + high) * PER_MM))
        seen += inked(grey[rows, round(one.left * PER_MM) : round((one.left + wide) * PER_MM)])[0]
    assert seen == pytest.approx(sum(piece.paper.area for piece in pieces), rel=0.005)
    taken = sum(wide * high for wide, high in sizes)
    assert spread.waste == pytest.approx(1 - taken / (210 * 297), abs=1e-9)


@pytest.mark.parametrize("ink", ["solid", "lines", "tint"])
@pytest.mark.parametrize(("motif", "outline"), DRAWN[4:7])
def test_the_share_of_ink_told_is_the_share_of_pixels(
    ink: str, motif: str, outline: str, tmp_path: Path
) -> None:
    cutting = Cutting(
        drawing(motif, outline).paper, 1.4, "Ink", stock=Stock.of(Faces.DARK_ONE_FACE), sheet=SHEETS["A4"]
    )
    view = lay_out(cutting).pieces[0]
    grey = by_pdfium(pdf_bytes(cutting, PageSetup(ink)), tmp_path)  # type: ignore[arg-type]
    wide, high = view.size
    window = grey[
        int((view.top - 1) * PER_MM) : int((view.top + high + 1) * PER_MM),
        int((view.left - 1) * PER_MM) : int((view.left + wide + 1) * PER_MM),
    ]
    share = inked(window)[0] / shapely.Polygon(cutting.paper.exterior).area
    assert share == pytest.approx(ink_share(cutting.paper, ink), abs=0.012)  # type: ignore[arg-type]


def screened(grey: Grey, dpi: int, lines: float) -> Grey:
    """Print a picture by a screen of round dots at 45°: ink where the tone is darker than the screen there."""
    y, x = np.indices(grey.shape) * (lines / dpi)
    u, v = (x + y) / np.sqrt(2), (x - y) / np.sqrt(2)
    threshold = 0.5 + 0.25 * (np.cos(2 * np.pi * u) + np.cos(2 * np.pi * v))
    return (255 - grey) / 255 > threshold


def test_the_lightest_stroke_comes_out_of_a_cheap_laser_printer_unbroken() -> None:
    """A screen of 106 lines to the inch at 600 dpi (common practice); every line of a page is black."""
    import pypdfium2

    paper = shapely.box(0, 0, 60, 60) - shapely.box(10, 10, 50, 50)
    cutting = Cutting(paper, 2, "Card", stock=Stock.of(Faces.DARK_ONE_FACE), sheet=SHEETS["A5"])
    view = lay_out(cutting).pieces[0]
    document = pypdfium2.PdfDocument(pdf_bytes(cutting, PageSetup("lines")))
    dpi = 600
    grey = np.array(document[0].render(scale=dpi / 72, grayscale=True).to_pil().convert("L")).astype(float)
    document.close()
    printed = screened(grey, dpi, 106)
    row = slice(int((view.top + 15) * dpi / 25.4), int((view.top + 45) * dpi / 25.4))
    edge = int((view.left + 10) * dpi / 25.4)
    across = printed[row, edge - 6 : edge + 7].sum(axis=1)
    assert across.min() >= 0.6 * STROKE * dpi / 25.4, "no gap anywhere along it"
    pale = np.full_like(grey, 255.0)
    pale[row, edge - 2 : edge + 2] = 200
    broken = screened(pale, dpi, 106)[row, edge - 6 : edge + 7].sum(axis=1)
    assert broken.min() == 0, "a grey hairline would come out as a row of dots"


if __name__ == "__main__":
    for kind, known in (("PDF", PDF_ENGINES), ("SVG", SVG_ENGINES)):
        for engine_name, (there, draw) in known.items():
            if not there:
                print(f"{kind}: {engine_name} is not on this machine")
                continue
            errors, off = [], []
            with tempfile.TemporaryDirectory() as scratch:
                for names in DRAWN:
                    piece = drawing(*names)
                    if kind == "PDF":
                        found, bounds = seen_in_pdf(engine_name, piece, Path(scratch))
                        meant = lay_out(piece).pieces[0].lay(piece.paper).bounds
                    else:
                        found, bounds = inked(draw(piece_svg(piece), Path(scratch)))
                        low = piece.paper.bounds
                        meant = (0.0, 0.0, low[2] - low[0], low[3] - low[1])
                    errors.append(abs(found / piece.paper.area - 1))
                    off.append(float(np.abs(np.subtract(bounds, meant)).max()))
            print(f"{kind}: {engine_name}: area within {max(errors):.3%}, edges within {max(off):.3f} mm")
    sys.exit(0)
