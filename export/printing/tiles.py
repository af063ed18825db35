"""A piece larger than the printer's paper: taken apart over sheets that are trimmed and joined again.

Lengths are mm on a page, y down. Every sheet shows its part and an overlap on to the next; where four sheets
meet there is a cross on each of them, and the crosses are laid on each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.page.layout import CAUTIONS, MARGIN
from canivet.export.page.marks import BODY, TITLE, Word, text_block
from canivet.export.page.pen import INK, Pen
from canivet.export.page.rulers import scale_block
from canivet.export.page.signs import face_block
from canivet.export.page.view import PieceView
from canivet.export.page.words import clean, wrap
from canivet.export.paths import path_data
from canivet.lengths import format_mm
from canivet.sheets import Sheet

__all__ = ["MOST_TILES", "OVERLAP", "Tile", "Tiling", "tile_pages", "tile_piece"]

OVERLAP = 10.0
"""mm that neighbours share: enough to glue on."""

MOST_TILES = 100
"""A hundred sheets make a wall; beyond, a print shop's roll is the better way."""

_LABEL = 5.0
"""mm under the picture for the tile's name."""

_CROSS = 3.0


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a tiling: its place in rows and columns from 1, and what it shows of the piece.

    `window` is in the piece's own millimetres as it lies on the table: from its upper left, y down.
    """

    row: int
    column: int
    window: tuple[float, float, float, float]

    @property
    def name(self) -> str:
        """Return its row's letter and its column, ``B3``."""
        return f"{_letter(self.row)}{self.column}"


@dataclass(frozen=True, slots=True)
class Tiling:
    """A piece over several sheets.

    Attributes
    ----------
    sheet : Sheet
        The printer's paper, as it lies.
    rows, columns : int
        Of the whole grid.
    tiles : tuple of Tile
        Those that show something, row by row.
    overlap, margin : float
        What neighbours share, and what is left free round the picture on each sheet.
    """

    sheet: Sheet
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    overlap: float
    margin: float


def tile_piece(cutting: Cutting, sheet: Sheet, *, overlap: float = OVERLAP, margin: float = MARGIN) -> Tiling:
    """Take a piece apart over sheets, laid whichever way takes fewer.

    Parameters
    ----------
    cutting : Cutting
        Of any size.
    sheet : Sheet
        The printer's paper.
    overlap : float
        mm that neighbours share, 3 to 50. Default 10.
    margin : float
        mm left free round the picture, 3 to 50. Default 8.

    Returns
    -------
    Tiling

    Raises
    ------
    BadValue
        If overlap or margin is out of its range.
    DoesNotFit
        If the margins leave no room, or more than `MOST_TILES` sheets would be needed.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.sheets import SHEETS
    >>> tiling = tile_piece(Cutting(box(0, 0, 300, 300), strap=2, title="Large"), SHEETS["A4"])
    >>> tiling.rows, tiling.columns, [tile.name for tile in tiling.tiles]
    (2, 2, ['A1', 'A2', 'B1', 'B2'])
    """
    _check("overlap", overlap)
    _check("margin", margin)
    ways = [_grid(cutting, lying, overlap, margin) for lying in (sheet, sheet.turned())]
    found = [way for way in ways if way is not None]
    if not found:
        raise DoesNotFit(
            f"margins of {format_mm(margin)} mm and an overlap of {format_mm(overlap)} mm leave no room on "
            f"{sheet}. Lower them, or take larger paper.",
            parameter="margin", value=margin, accepted="margins that leave room",
        )  # fmt: skip
    rows, columns, lying = min(found, key=lambda way: way[0] * way[1])
    if rows * columns > MOST_TILES:
        raise DoesNotFit(
            f"the piece would take {rows * columns} sheets of {sheet.name}; at most {MOST_TILES} are tiled. "
            "Take larger paper, or have the PDF of one page printed from a roll.",
            parameter="sheet", value=sheet, accepted=f"at most {MOST_TILES} sheets",
        )  # fmt: skip
    view = _view(cutting)
    laid = view.lay(cutting.paper)
    shapely.prepare(laid)
    wide, high = _picture(lying, margin)
    every = (
        Tile(row + 1, column + 1, (x, y, x + wide, y + high))
        for row in range(rows)
        for column in range(columns)
        for x, y in [(column * (wide - overlap), row * (high - overlap))]
    )
    tiles = tuple(tile for tile in every if laid.intersects(shapely.box(*tile.window)))
    return Tiling(lying, rows, columns, tiles, overlap, margin)


def tile_pages(cutting: Cutting, tiling: Tiling, *, lines: bool = False) -> list[tuple[str, Sheet]]:
    """Return a tiling as SVG pages: the map of the sheets and how to join them, then a page for each tile.

    Parameters
    ----------
    cutting : Cutting
        What was taken apart.
    tiling : Tiling
        From `tile_piece`.
    lines : bool
        Thin outlines instead of solid black. Default False.

    Returns
    -------
    list of (str, Sheet)
    """
    view = _view(cutting)
    laid = view.lay(cutting.paper)
    edges = laid.boundary
    pages = [_map_page(cutting, tiling, view)]
    pages += [_tile_page(cutting, tiling, tile, laid, edges, lines=lines) for tile in tiling.tiles]
    return [(page, tiling.sheet) for page in pages]


def _view(cutting: Cutting) -> PieceView:
    return PieceView(cutting.paper, cutting.stock.faces.mirrored)


def _picture(sheet: Sheet, margin: float) -> tuple[float, float]:
    return sheet.width - 2 * margin, sheet.height - 2 * margin - _LABEL


def _grid(cutting: Cutting, sheet: Sheet, overlap: float, margin: float) -> tuple[int, int, Sheet] | None:
    width, height = _view(cutting).size
    wide, high = _picture(sheet, margin)
    if min(wide, high) <= 2 * overlap:
        return None
    count = [
        max(1, math.ceil((side - overlap) / (room - overlap) - 1e-9))
        for side, room in ((height, high), (width, wide))
    ]
    return count[0], count[1], sheet


def _tile_page(
    cutting: Cutting, tiling: Tiling, tile: Tile, laid: Polygon, edges: BaseGeometry, *, lines: bool
) -> str:
    pen = Pen(tiling.sheet, f"{cutting.title}: sheet {tile.name}")
    left, top, right, low = tile.window
    dx, dy = tiling.margin - left, tiling.margin - top
    window = shapely.box(*tile.window)
    if lines:
        pen.lines(_moved(edges.intersection(window), dx, dy), width=0.25)
    else:
        for part in _areas(laid.intersection(window)):
            upright = shapely.affinity.affine_transform(part, [1, 0, 0, -1, dx, -dy])
            pen.shape(path_data(upright, flip_height=0), fill=INK)
    _draw_joins(pen, tiling, tile, (dx, dy))
    mirror = "mirror image, print on the back; " if cutting.stock.faces.mirrored else ""
    words = f"{tile.name} of {_name_of_last(tiling)}: {mirror}{clean(cutting.title)}; print at 100 %"
    foot = tiling.margin + (low - top) + _LABEL - 0.8
    pen.words([Word(wrap(words, BODY, right - left, most=1)[0], tiling.margin, foot)])
    return pen.text()


def _draw_joins(pen: Pen, tiling: Tiling, tile: Tile, moved: tuple[float, float]) -> None:
    """Draw short lines where this sheet is trimmed, and the crosses that are laid on each other."""
    left, top, right, low = (side + by for side, by in zip(tile.window, (*moved, *moved), strict=True))
    trims, crosses = [], []
    half = tiling.overlap / 2
    xs = [left + half] * (tile.column > 1) + [right - half] * (tile.column < tiling.columns)
    ys = [top + half] * (tile.row > 1) + [low - half] * (tile.row < tiling.rows)
    trims += [[(x, top - 4), (x, top - 0.5)] for x in xs] + [[(x, low + 0.5), (x, low + 4)] for x in xs]
    trims += [[(left - 4, y), (left - 0.5, y)] for y in ys] + [[(right + 0.5, y), (right + 4, y)] for y in ys]
    middle_x, middle_y = (left + right) / 2, (top + low) / 2
    for x, y in [(x, y) for x in xs for y in ys] + [(x, middle_y) for x in xs] + [(middle_x, y) for y in ys]:
        crosses += [[(x - _CROSS, y), (x + _CROSS, y)], [(x, y - _CROSS), (x, y + _CROSS)]]
    pen.lines(trims, width=0.25, name="trim")
    # white under black, so that a cross is seen on either
    pen.lines(crosses, width=1.0, name="crosses-ground", stroke="#ffffff")
    pen.lines(crosses, width=0.25, name="crosses")


def _map_page(cutting: Cutting, tiling: Tiling, view: PieceView) -> str:
    """Return the page that shows which sheet goes where, and says what to do with them."""
    sheet, margin = tiling.sheet, max(tiling.margin, MARGIN)
    pen = Pen(sheet, f"{cutting.title}: which sheet goes where")
    width = sheet.width - 2 * margin
    title = wrap(clean(cutting.title) or "Cutting", TITLE, width, most=2)
    pen.words([Word(line, margin, margin + 4 + 5.4 * k, TITLE) for k, line in enumerate(title)])
    blocks = [
        text_block(_instructions(cutting, tiling, width), width),
        face_block(cutting.stock.faces, width),
    ]
    blocks += [scale_block(), text_block(wrap(" ".join(CAUTIONS), BODY, width), width)]
    y = sheet.height - margin
    for block in reversed(blocks):
        y -= block.height
        pen.block(block, margin, y)
        y -= 3.5
    room = (width, y - (margin + 5.4 * len(title) + 6))
    _draw_map(pen, cutting, tiling, view, (margin, margin + 5.4 * len(title) + 5), room)
    return pen.text()


def _draw_map(
    pen: Pen,
    cutting: Cutting,
    tiling: Tiling,
    view: PieceView,
    at: tuple[float, float],
    room: tuple[float, float],
) -> None:
    wide, high = _picture(tiling.sheet, tiling.margin)
    full = (
        tiling.columns * (wide - tiling.overlap) + tiling.overlap,
        tiling.rows * (high - tiling.overlap) + tiling.overlap,
    )
    scale = min(room[0] / full[0], room[1] / full[1])
    left = at[0] + (room[0] - scale * full[0]) / 2
    small = PieceView(cutting.paper, view.mirrored, scale, left, at[1])
    pen.shape(small.path(shapely.simplify(cutting.paper, 0.05 / scale)), fill="#9a9a9a")
    half = tiling.overlap / 2
    grid, words = [], []
    for tile in tiling.tiles:
        x0, y0, x1, y1 = tile.window
        x0, x1 = x0 + half * (tile.column > 1), x1 - half * (tile.column < tiling.columns)
        y0, y1 = y0 + half * (tile.row > 1), y1 - half * (tile.row < tiling.rows)
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
        grid.append([(left + scale * x, at[1] + scale * y) for x, y in corners])
        size = min(9.0, 0.45 * scale * (y1 - y0))
        words.append(
            Word(tile.name, left + scale * (x0 + x1) / 2, at[1] + scale * (y0 + y1) / 2 + size / 3, size)
        )
    pen.lines(grid, width=0.35)
    pen.words(words, anchor="middle", weight="bold", halo=True)


def _instructions(cutting: Cutting, tiling: Tiling, width: float) -> list[str]:
    """Say how many sheets there are and how they are joined."""
    wide, high = _view(cutting).size
    left_out = tiling.rows * tiling.columns - len(tiling.tiles)
    said = [
        f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm on {len(tiling.tiles)} sheets of "
        f"{tiling.sheet.name}, rows A to {_letter(tiling.rows)}, columns 1 to {tiling.columns}",
        "Trim each sheet along the short lines at its edges on the right and below, lay its crosses on those "
        "of the next, and glue or tape on the overlap. Measure the whole before you cut.",
    ]
    said[0] += f"; {left_out} that would be empty are left out." if left_out else "."
    return [line for sentence in said for line in wrap(sentence, BODY, width)]


def _areas(shape: BaseGeometry) -> Iterator[Polygon]:
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon" and part.area > 0:
            yield part


def _moved(shape: BaseGeometry, dx: float, dy: float) -> list[list[tuple[float, float]]]:
    return [
        [(x + dx, y + dy) for x, y in part.coords]
        for part in shapely.get_parts(shapely.line_merge(shape))
        if isinstance(part, LineString) and part.length > 0
    ]


def _letter(row: int) -> str:
    """Return a row's letters: A to Z, then AA.

    Examples
    --------
    >>> [_letter(row) for row in (1, 26, 27)]
    ['A', 'Z', 'AA']
    """
    letters = ""
    while row:
        row, last = divmod(row - 1, 26)
        letters = chr(ord("A") + last) + letters
    return letters


def _name_of_last(tiling: Tiling) -> str:
    return f"{_letter(tiling.rows)}{tiling.columns}"


def _check(name: str, value: float) -> None:
    if not 3 <= value <= 50:
        raise BadValue(
            f"{name} is {format_mm(value)} mm; tiles take 3 mm to 50 mm.",
            parameter=name, value=value, accepted="3 mm to 50 mm",
        )  # fmt: skip
