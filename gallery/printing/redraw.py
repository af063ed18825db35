"""Draw every kind of page small, and a large border taken apart over sheets and put together again.

``python gallery/printing/redraw.py``. The border is 24 × 36 in; the sheets are A4 and letter.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pypdfium2
from PIL import Image
from shapely import box

from canivet.audit.strength import LOOK, check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.cutting import Cutting
from canivet.export.marked.writing import write_marked
from canivet.export.packet.page import write_packet_page
from canivet.export.page.setup import PageSetup
from canivet.export.pdf import pdf_bytes
from canivet.export.printing.tiles import Tiling, tile_piece
from canivet.motifs.registry import find_motif
from canivet.sheets import SHEETS
from canivet.stock import Faces, Stock

HERE = Path(__file__).parent
TABLE = "#5b6b73"
"""What pages lie on."""

GAP = 14
PER_MM = 1.5
"""Pixels to a mm of the pages."""


def border_of(sheet: str) -> Cutting:
    """Return a border of 24 × 36 in, its window open."""
    width, height = 24 * 25.4, 36 * 25.4
    within = find_motif("rectangle").draw(width=width, height=height)
    drawn = find_motif("guilloche").draw(within=within, band=60, strap=2.5)
    paper = drawn.difference(box(75, 75, width - 75, height - 75))
    return Cutting(paper, 2.5, "A border for the reading room", sheet=SHEETS[sheet])


def pictures(data: bytes, per_mm: float = PER_MM) -> list[Image.Image]:
    """Return every page of a PDF, drawn by an engine that did not make it."""
    document = pypdfium2.PdfDocument(data)
    drawn = [page.render(scale=per_mm * 25.4 / 72).to_pil().convert("RGB") for page in document]
    document.close()
    return drawn


def laid_out(pages: Sequence[Image.Image], columns: int) -> Image.Image:
    """Lay pages on a table, row by row."""
    rows = [pages[k : k + columns] for k in range(0, len(pages), columns)]
    width = max(sum(page.width + GAP for page in row) for row in rows) + GAP
    height = sum(max(page.height for page in row) + GAP for row in rows) + GAP
    table = Image.new("RGB", (width, height), TABLE)
    top = GAP
    for row in rows:
        left = GAP
        for page in row:
            table.paste(page, (left, top))
            left += page.width + GAP
        top += max(page.height for page in row) + GAP
    return table


def put_together(tiles: Sequence[Image.Image], tiling: Tiling) -> Image.Image:
    """Trim every tile in the middle of its overlaps and lay it in its place."""
    edges = [tiling.trimmed(tile) for tile in tiling.tiles]
    size = max(edge[2] for edge in edges), max(edge[3] for edge in edges)
    whole = Image.new("RGB", tuple(round(side * PER_MM) for side in size), "white")  # type: ignore[arg-type]
    for tile, page, (x0, y0, x1, y1) in zip(tiling.tiles, tiles, edges, strict=True):
        dx, dy = (corner - side for corner, side in zip(tiling.corner, tile.window[:2], strict=True))
        x0, y0 = max(x0, 0.0), max(y0, 0.0)
        own = [round(side * PER_MM) for side in (x0 + dx, y0 + dy, x1 + dx, y1 + dy)]
        whole.paste(page.crop(tuple(own)), (round(x0 * PER_MM), round(y0 * PER_MM)))  # type: ignore[arg-type]
    return whole.crop((0, 0, round(24 * 25.4 * PER_MM), round(36 * 25.4 * PER_MM)))


def every_kind() -> list[Image.Image]:
    """Return one of each kind of page."""
    lattice, oval = find_motif("asanoha-lattice"), find_motif("oval").draw(width=110, height=150)
    paper = lattice.draw(within=oval, strap=1.4)
    pages: list[Image.Image] = []
    for faces in Faces:
        piece = Cutting(paper, 1.4, "An oval of hemp leaves", stock=Stock.of(faces), sheet=SHEETS["A4"])
        pages += pictures(pdf_bytes(piece, PageSetup("tint" if faces is Faces.PLAIN else "solid")))
    wide = find_motif("rectangle").draw(width=205, height=176)
    beside = Cutting(find_motif("diamond-lattice").draw(within=wide, pitch=12, strap=2), 2, "A wide trellis")
    pages += pictures(pdf_bytes(beside, PageSetup("lines")))
    tall = find_motif("rectangle").draw(width=190, height=245)
    apart = Cutting(find_motif("diamond-lattice").draw(within=tall, pitch=12, strap=2), 2, "A tall trellis")
    pages += pictures(pdf_bytes(apart))
    small = [
        Cutting(lattice.draw(within=find_motif(shape).draw(width=w, height=h), strap=1.2), 1.2, shape.title())
        for shape, w, h in (("oval", 60, 90), ("arch", 70, 100), ("circle", 80, 80), ("rectangle", 90, 60))
    ]
    pages += pictures(pdf_bytes(small, PageSetup(pages="together")))
    for name in ("rose-window", "five-point-star"):
        plan = compose_plate(load_design(HERE.parent / "folded" / f"{name}.toml")).packet
        assert plan is not None
        pages += _written("packet.pdf", lambda path, plan=plan: write_packet_page(path, plan))
    plate = compose_plate(load_design(HERE.parent / "saltmere" / "heronry.toml")).cutting
    report = check_strength(plate.paper, strap=1.6, look=LOOK)
    pages += _written(
        "marked.pdf",
        lambda path: write_marked(path, plate.paper, report, title=plate.title, mirrored=True),
    )
    return pages


def _written(name: str, write: object) -> list[Image.Image]:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        write(path)  # type: ignore[operator]
        return pictures(path.read_bytes())


def save(picture: Image.Image, name: str) -> None:
    """Keep a picture in sixteen greys."""
    picture.convert("L").quantize(16).save(HERE / name, optimize=True)
    print(name, picture.size)


if __name__ == "__main__":
    for sheet in ("A4", "letter"):
        border = border_of(sheet)
        setup = PageSetup("tint", "tiled")
        pages = pictures(pdf_bytes(border, setup))
        tiling = tile_piece(border, SHEETS[sheet], setup)
        small = [page.resize((page.width // 2, page.height // 2), Image.Resampling.LANCZOS) for page in pages]
        save(laid_out(small, 8), f"border-apart-{sheet.lower()}.png")
        whole = put_together(pages[1:], tiling)
        save(whole.resize((whole.width // 2, whole.height // 2), Image.Resampling.LANCZOS),
             f"border-together-{sheet.lower()}.png")  # fmt: skip
    save(laid_out(every_kind(), 5), "pages.png")
