"""A piece larger than the printer's paper: taken apart over sheets that are trimmed and joined again.

Lengths are mm on a page, y down. Every sheet shows its part and an overlap on to the next; where four sheets
meet there is a cross on each of them, and the crosses are laid on each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.export.page.foot import CAUTIONS, title_of
from canivet.export.page.marks import BODY, CAP, TITLE, Word, text_block
from canivet.export.page.pen import Pen
from canivet.export.page.rulers import edge_scales
from canivet.export.page.setup import USUAL, PageSetup
from canivet.export.page.signs import face_words, head_block, tone_block
from canivet.export.page.tones import INKS, STAYS, STROKE, WHITE
from canivet.export.page.view import PieceView
from canivet.export.page.words import width_of, wrap, wrap_evenly
from canivet.export.paths import path_on_page
from canivet.lengths import format_mm
from canivet.sheets import Sheet

__all__ = ["MOST_TILES", "Tile", "Tiling", "tile_pages", "tile_piece"]

MOST_TILES = 100
"""A hundred sheets make a wall; beyond, a print shop's roll is the better way."""

_HEAD = 7.0
"""mm, height of the band at the head of every tile."""
_ABOVE, _BELOW = 12.0, 13.0
"""mm over the picture for the head and short lines, and under it for short lines and the tile's name."""
_NAME = 6.5
_CROSS = 3.0
_TRIM = (0.6, 3.6)
"""mm outside the picture: where a line to trim by begins and ends."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a tiling: its place in rows and columns from 1, and what it shows of the piece.

    `window` is in the piece's own millimetres as it lies on the table: from its upper left, y down. It may
    reach beyond the piece, which lies in the middle of all tiles.
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
    overlap : float
        What neighbours share.
    corner : (float, float)
        Where the upper left corner of every picture lies on its sheet.
    """

    sheet: Sheet
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    overlap: float
    corner: tuple[float, float]

    def trimmed(self, tile: Tile) -> tuple[float, float, float, float]:
        """Return what is left of a tile's window once it is trimmed in the middle of every overlap."""
        half = self.overlap / 2
        x0, y0, x1, y1 = tile.window
        return (
            x0 + half * (tile.column > 1), y0 + half * (tile.row > 1),
            x1 - half * (tile.column < self.columns), y1 - half * (tile.row < self.rows),
        )  # fmt: skip


def tile_piece(cutting: Cutting, sheet: Sheet, setup: PageSetup = USUAL) -> Tiling:
    """Take a piece apart over sheets, laid whichever way takes fewer.

    Parameters
    ----------
    cutting : Cutting
        Of any size.
    sheet : Sheet
        The printer's paper.
    setup : PageSetup
        Its margin and overlap.

    Returns
    -------
    Tiling
        A sheet that would be empty once it is trimmed is left out.

    Raises
    ------
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
    ways = [_grid(cutting, lying, setup) for lying in (sheet, sheet.turned())]
    found = [way for way in ways if way is not None]
    if not found:
        raise DoesNotFit(
            f"margins of {format_mm(setup.margin)} mm and an overlap of {format_mm(setup.overlap)} mm leave "
            f"no room on {sheet}. Lower them, or take larger paper.",
            parameter="margin", value=setup.margin, accepted="margins that leave room",
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
    wide, high = _picture(lying, setup)
    full = (columns * (wide - setup.overlap) + setup.overlap, rows * (high - setup.overlap) + setup.overlap)
    before = [(side - own) / 2 for side, own in zip(full, view.size, strict=True)]
    every = (
        Tile(row + 1, column + 1, (x, y, x + wide, y + high))
        for row in range(rows)
        for column in range(columns)
        for x, y in [(column * (wide - setup.overlap) - before[0], row * (high - setup.overlap) - before[1])]
    )
    whole = Tiling(lying, rows, columns, (), setup.overlap, (setup.margin, setup.margin + _ABOVE))
    shown = tuple(tile for tile in every if laid.intersects(shapely.box(*whole.trimmed(tile))))
    return replace(whole, tiles=shown)


def tile_pages(cutting: Cutting, tiling: Tiling, setup: PageSetup = USUAL) -> Iterator[tuple[str, Sheet]]:
    """Yield a tiling as SVG pages: the map of the sheets and how to join them, then a page for each tile.

    Parameters
    ----------
    cutting : Cutting
        What was taken apart.
    tiling : Tiling
        From `tile_piece`.
    setup : PageSetup
        As it was given there; its ink.
    """
    view = _view(cutting)
    laid = view.lay(cutting.paper)
    yield _map_page(cutting, tiling, setup, view), tiling.sheet
    for tile in tiling.tiles:
        yield _tile_page(cutting, tiling, setup, tile, laid), tiling.sheet


def _view(cutting: Cutting) -> PieceView:
    return PieceView(cutting.paper, cutting.stock.faces.mirrored)


def _picture(sheet: Sheet, setup: PageSetup) -> tuple[float, float]:
    return sheet.width - 2 * setup.margin, sheet.height - 2 * setup.margin - _ABOVE - _BELOW


def _grid(cutting: Cutting, sheet: Sheet, setup: PageSetup) -> tuple[int, int, Sheet] | None:
    width, height = _view(cutting).size
    wide, high = _picture(sheet, setup)
    if min(wide, high) <= 2 * setup.overlap:
        return None
    count = [
        max(1, math.ceil((side - setup.overlap) / (room - setup.overlap) - 1e-9))
        for side, room in ((height, high), (width, wide))
    ]
    return count[0], count[1], sheet


def _tile_page(cutting: Cutting, tiling: Tiling, setup: PageSetup, tile: Tile, laid: Polygon) -> str:
    sheet, margin = tiling.sheet, setup.margin
    pen = Pen(sheet, f"{cutting.title}: sheet {tile.name}")
    width = sheet.width - 2 * margin
    x0, y0, _, y1 = tile.window
    moved = tiling.corner[0] - x0, tiling.corner[1] - y0
    window = shapely.box(*tile.window)
    pen.within("piece")
    fill, stroked = INKS[setup.ink]
    for part in _areas(laid.intersection(window)) if fill else ():
        pen.shape(path_on_page(shapely.affinity.translate(part, *moved)), fill=fill)
    if stroked:
        pen.lines(_moved(laid.boundary.intersection(window), *moved), width=STROKE)
    pen.within("around")
    pen.block(head_block(cutting.stock.faces, width, _HEAD), margin, margin)
    _draw_joins(pen, tiling, tile, moved)
    low = tiling.corner[1] + (y1 - y0)
    pen.block(edge_scales(sheet, margin, low - tiling.overlap - 1.0))
    _draw_name(pen, cutting, tiling, setup, tile, low + _BELOW - 1.0)
    return pen.text()


def _draw_name(pen: Pen, cutting: Cutting, tiling: Tiling, setup: PageSetup, tile: Tile, y: float) -> None:
    """Set the tile's name large, and beside it its row and column, the title, and what each tone means."""
    left, right = setup.margin, tiling.sheet.width - setup.margin
    pen.words([Word(tile.name, left, y, _NAME, bold=True)])
    beside = left + width_of(tile.name, _NAME, bold=True) + 3.0
    place = f"row {_letter(tile.row)} of {_letter(tiling.rows)}, column {tile.column} of {tiling.columns}"
    room = right - beside
    (line,) = wrap(f"{place} · {title_of(cutting)[:400]}", BODY, room, most=1, face=cutting.face)
    pen.words([Word(line, beside, y)])
    pen.block(tone_block(setup.ink, width=room), beside, y - BODY - CAP * BODY - 0.9)


def _draw_joins(pen: Pen, tiling: Tiling, tile: Tile, moved: tuple[float, float]) -> None:
    """Draw short lines where this sheet is trimmed, and the crosses that are laid on each other."""
    left, top, right, low = (side + by for side, by in zip(tile.window, (*moved, *moved), strict=True))
    near, far = _TRIM
    half = tiling.overlap / 2
    xs = [left + half] * (tile.column > 1) + [right - half] * (tile.column < tiling.columns)
    ys = [top + half] * (tile.row > 1) + [low - half] * (tile.row < tiling.rows)
    trims = [[(x, top - far), (x, top - near)] for x in xs] + [[(x, low + near), (x, low + far)] for x in xs]
    trims += [[(left - far, y), (left - near, y)] for y in ys]
    trims += [[(right + near, y), (right + far, y)] for y in ys]
    crosses = []
    middle_x, middle_y = (left + right) / 2, (top + low) / 2
    for x, y in [(x, y) for x in xs for y in ys] + [(x, middle_y) for x in xs] + [(middle_x, y) for y in ys]:
        crosses += [[(x - _CROSS, y), (x + _CROSS, y)], [(x, y - _CROSS), (x, y + _CROSS)]]
    pen.lines(trims, width=0.25, name="trim")
    # white under black, so that a cross is seen on either
    pen.lines(crosses, width=1.0, name="crosses-ground", stroke=WHITE)
    pen.lines(crosses, width=0.25, name="crosses")


def _map_page(cutting: Cutting, tiling: Tiling, setup: PageSetup, view: PieceView) -> str:
    """Return the page that shows which sheet goes where, and says what to do with them."""
    sheet, margin = tiling.sheet, setup.margin
    pen = Pen(sheet, f"{cutting.title}: which sheet goes where")
    width = sheet.width - 2 * margin
    faces = cutting.stock.faces
    pen.block(head_block(faces, width, _HEAD), margin, margin)
    title = wrap(title_of(cutting)[:1000] or "Cutting", TITLE, width, most=2, face=cutting.face)
    top = margin + _HEAD + 5.0
    pen.words([Word(line, margin, top + CAP * TITLE + 6.0 * k, TITLE) for k, line in enumerate(title)])
    blocks = [
        text_block(_instructions(cutting, tiling, width), width),
        face_words(faces, width),
        tone_block(setup.ink, width=width),
        text_block(wrap(" ".join(CAUTIONS), BODY, width), width),
    ]
    y = sheet.height - margin - 2.2
    for block in reversed(blocks):
        y -= block.height
        pen.block(block, margin, y)
        y -= 3.0
    pen.block(edge_scales(sheet, margin, y))
    top += 6.0 * len(title) + 2.0
    _draw_map(pen, cutting, tiling, setup, view, (margin + 4, top), (width - 8, y - top - 2.0))
    return pen.text()


def _draw_map(
    pen: Pen,
    cutting: Cutting,
    tiling: Tiling,
    setup: PageSetup,
    view: PieceView,
    at: tuple[float, float],
    room: tuple[float, float],
) -> None:
    wide, high = _picture(tiling.sheet, setup)
    full = (
        tiling.columns * (wide - tiling.overlap) + tiling.overlap,
        tiling.rows * (high - tiling.overlap) + tiling.overlap,
    )
    scale = min(room[0] / full[0], room[1] / full[1])
    before = [(side - own) / 2 for side, own in zip(full, view.size, strict=True)]
    left = at[0] + (room[0] - scale * full[0]) / 2 + scale * before[0]
    top = at[1] + scale * before[1]
    small = PieceView(cutting.paper, view.mirrored, scale, left, top)
    pen.shape(small.path(shapely.simplify(cutting.paper, 0.05 / scale)), fill=STAYS)
    grid, words = [], []
    for tile in tiling.tiles:
        x0, y0, x1, y1 = tiling.trimmed(tile)
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
        grid.append([(left + scale * x, top + scale * y) for x, y in corners])
        size = min(9.0, 0.45 * scale * (y1 - y0))
        words.append(
            Word(tile.name, left + scale * (x0 + x1) / 2, top + scale * (y0 + y1) / 2 + size / 3, size)
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
        "Trim each sheet along the short lines on its right and at its foot, lay its crosses on those of the "
        "next, and glue or tape on the overlap. Measure the whole before you cut.",
    ]
    said[0] += f"; {left_out} that would be empty are left out." if left_out else "."
    return [line for sentence in said for line in wrap_evenly(sentence, BODY, width)]


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
