"""A large piece over several sheets."""

import io
import re

import numpy as np
import pypdfium2
import pytest
from shapely import box

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.page.pen import INK, Pen
from canivet.export.page.setup import PageSetup
from canivet.export.page.view import PieceView
from canivet.export.page.words import width_of
from canivet.export.pdf import document_bytes
from canivet.export.printing.tiles import tile_pages, tile_piece
from canivet.motifs.registry import find_motif
from canivet.sheets import SHEETS, Sheet
from canivet.stock import Faces, Stock

DPI = 100


@pytest.fixture(scope="module")
def border():
    """A border of 24 x 36 in, its window open."""
    width, height = 24 * 25.4, 36 * 25.4
    within = find_motif("rectangle").draw(width=width, height=height)
    drawn = find_motif("guilloche").draw(within=within, band=60, strap=2.5)
    return Cutting(drawn.difference(box(75, 75, width - 75, height - 75)), strap=2.5, title="A border")


def pages_of(pages):
    pages = list(pages)
    data = document_bytes(pages, titles=["tiles"] * len(pages), subject="")
    document = pypdfium2.PdfDocument(io.BytesIO(data))
    return [np.asarray(page.render(scale=DPI / 72).to_pil().convert("L")) for page in document]


@pytest.mark.parametrize("name", ["A4", "letter"])
def test_tiles_put_together_again_are_the_piece_pixel_by_pixel(border, name):
    tiling = tile_piece(border, SHEETS[name])
    view = PieceView(border.paper, border.stock.faces.mirrored)
    width, height = view.size
    whole_sheet = Sheet("whole", width, height)
    pen = Pen(whole_sheet, "whole")
    pen.shape(view.path(border.paper), fill=INK)
    (whole,) = pages_of([(pen.text(), whole_sheet)])
    found = np.full(whole.shape, 255, np.uint8)

    def px(mm):
        return round(mm * DPI / 25.4)

    for tile, picture in zip(tiling.tiles, pages_of(tile_pages(border, tiling))[1:], strict=True):
        x0, y0, x1, y1 = tiling.trimmed(tile)
        x0, y0 = max(x0, 0.0), max(y0, 0.0)
        dx, dy = tiling.corner[0] - tile.window[0], tiling.corner[1] - tile.window[1]
        wide, high = min(px(x1), found.shape[1]) - px(x0), min(px(y1), found.shape[0]) - px(y0)
        if wide > 0 and high > 0:
            own = picture[px(y0 + dy) : px(y0 + dy) + high, px(x0 + dx) : px(x0 + dx) + wide]
            found[px(y0) : px(y0) + high, px(x0) : px(x0) + wide] = own
    wrong = (found < 128) != (whole < 128)
    # half a pixel of rounding along every edge, and the crosses where sheets meet
    edge = border.paper.length * DPI / 25.4
    assert wrong.sum() <= 0.6 * edge + 400 * len(tiling.tiles)
    assert (found < 128).sum() * (25.4 / DPI) ** 2 == pytest.approx(border.paper.area, rel=0.01)


def test_sheets_that_would_be_empty_are_left_out_and_said(border):
    tiling = tile_piece(border, SHEETS["A4"])
    assert len(tiling.tiles) < tiling.rows * tiling.columns
    left_out = tiling.rows * tiling.columns - len(tiling.tiles)
    assert f"{left_out} that would be empty are left out" in " ".join(
        re.findall(r">([^<]+)</text>", next(tile_pages(border, tiling))[0])
    )


def test_every_tile_says_which_it_is_and_the_map_shows_it(border):
    tiling = tile_piece(border, SHEETS["A4"])
    first, *rest = (svg for svg, _ in tile_pages(border, tiling))
    for tile, svg in zip(tiling.tiles, rest, strict=True):
        assert f">{tile.name}</text>" in svg
        assert f">row {tile.name[0]} of {chr(64 + tiling.rows)}, column {tile.column} of" in svg
        assert ">MIRROR IMAGE</text>" in svg
        assert ">white is cut away</text>" in svg
        assert f">{tile.name}</text>" in first


def test_neighbours_share_the_overlap_and_their_crosses_meet(border):
    tiling = tile_piece(border, SHEETS["A4"], PageSetup(overlap=12))
    by_place = {(tile.row, tile.column): tile for tile in tiling.tiles}
    one, right = by_place[1, 1], by_place[1, 2]
    assert one.window[2] - right.window[0] == pytest.approx(12)

    def crosses(tile, svg):
        data = re.search(r'd="([^"]*)"[^>]*id="crosses"', svg)[1]
        lines = np.array(re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", data), float)
        middles = (lines[::2, :2] + lines[::2, 2:]) / 2 - tiling.corner + np.array(tile.window[:2])
        return {tuple(middle) for middle in middles.round(2).tolist()}

    pages = {
        tile: svg for tile, (svg, _) in zip(tiling.tiles, [*tile_pages(border, tiling)][1:], strict=True)
    }
    shared = crosses(one, pages[one]) & crosses(right, pages[right])
    assert len(shared) == 2


def test_a_piece_that_fits_is_one_tile():
    card = Cutting(
        box(0, 0, 100, 150), strap=1, title="Card", stock=Stock.of(Faces.DARK_BOTH_FACES, grammage=90)
    )
    tiling = tile_piece(card, SHEETS["A4"])
    assert (tiling.rows, tiling.columns) == (1, 1)
    _, (svg, _) = tile_pages(card, tiling)
    assert ">TEMPLATE</text>" in svg


@pytest.mark.parametrize(
    ("asked", "error", "says"),
    [
        ({"overlap": 2}, BadValue, "overlap is 2 mm; it takes 3 mm to 50 mm"),
        ({"margin": 61}, BadValue, "margin is 61 mm; it takes 4 mm to 60 mm"),
        ({"sheet": "A7", "margin": 40}, DoesNotFit, "leave no room on A7"),
        ({"sheet": "A7"}, DoesNotFit, "would take .* sheets of A7; at most 100"),
    ],
)
def test_what_cannot_be_tiled_is_refused_with_what_to_do(border, asked, error, says):
    sheet = SHEETS[asked.get("sheet", "A4")]
    rest = {name: value for name, value in asked.items() if name != "sheet"}
    with pytest.raises(error, match=says):
        tile_piece(border, sheet, PageSetup(**rest))


@pytest.mark.parametrize("ink", ["solid", "lines", "tint"])
def test_a_tile_shows_its_part_in_the_ink_asked_for_and_no_edge_of_its_own(border, ink):
    setup = PageSetup(ink)
    tiling = tile_piece(border, SHEETS["A4"], setup)
    _, (svg, _), *_ = tile_pages(border, tiling, setup)
    piece = svg[svg.index('id="piece"') : svg.index('id="around"')]
    assert ('fill="#000000"' in piece) == (ink == "solid")
    assert ('fill="#c8c8c8"' in piece) == (ink == "tint")
    assert ('stroke="#000000"' in piece) == (ink != "solid")
    if ink == "lines":
        _, _, x1, y1 = (side + by for side, by in zip(tiling.tiles[0].window, tiling.corner * 2, strict=True))
        lines = [np.array(re.findall(r"([\d.]+) ([\d.]+)", part), float)
                 for part in re.search(r'd="([^"]*)"', piece)[1].split("M")[1:]]  # fmt: skip
        for line in lines:
            along = np.ptp(line, axis=0)
            assert not (np.isclose(line[:, 0], x1).all() and along[1] > 1)
            assert not (np.isclose(line[:, 1], y1).all() and along[0] > 1)


def test_margins_asked_for_stay_free_on_every_tile_but_for_the_rulers(border):
    setup = PageSetup(margin=25)
    tiling = tile_piece(border, SHEETS["A4"], setup)
    for picture in pages_of(tile_pages(border, tiling, setup)):
        rows, columns = np.nonzero(picture < 128)
        free = 20 * DPI / 25.4  # lines to trim by reach 3.6 mm into the margin
        high, wide = picture.shape
        assert min(rows.min(), columns.min(), high - rows.max(), wide - columns.max()) > free


def test_the_piece_lies_in_the_middle_of_its_tiles(border):
    tiling = tile_piece(border, SHEETS["letter"])
    width, height = PieceView(border.paper, mirrored=False).size
    x0, y0, x1, y1 = (
        min(tile.window[0] for tile in tiling.tiles), min(tile.window[1] for tile in tiling.tiles),
        max(tile.window[2] for tile in tiling.tiles), max(tile.window[3] for tile in tiling.tiles),
    )  # fmt: skip
    assert x0 + x1 == pytest.approx(width)
    assert y0 + y1 == pytest.approx(height)


def test_a_title_of_five_thousand_characters_breaks_neither_map_nor_tile():
    wall = Cutting(box(0, 0, 250, 300) - box(20, 20, 230, 280), strap=2, title="heron " * 833)
    tiling = tile_piece(wall, SHEETS["A4"])
    for svg, sheet in tile_pages(wall, tiling):
        for size, x, text in re.findall(
            r'<text[^>]*font-size="([\d.]+)"[^>]*x="([\d.]+)"[^>]*>([^<]*)<', svg
        ):
            assert float(x) + width_of(text, float(size)) < sheet.width - 4
