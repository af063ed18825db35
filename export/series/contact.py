"""A contact sheet: every plate of a series small, with its words beneath."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import BinaryIO

import svgwrite
from shapely.geometry import Polygon

from canivet.cutting import Cutting
from canivet.export.page.words import clean, width_of
from canivet.export.paths import path_data
from canivet.export.pdf import document_bytes
from canivet.sheets import SHEETS

from .joined_pdf import join_pdfs

__all__ = ["thumbnail_path", "thumbnail_size", "write_contact_sheet"]

PAGE = (SHEETS["A4"].width, SHEETS["A4"].height)
MARGIN = 12.0
COLUMNS, ROWS = 5, 4
"""As many plates to a page, where nothing else is asked."""

HEAD = 9.0
_HEADING = 4.0
"""mm, height of the words at the head of a page."""

_GAP = 5.0
_WORDS = 2.3
"""mm, height of the words under a plate."""

_FINE = 0.25
"""mm of detail a thumbnail may lose: under a tenth of that once it is small."""


def thumbnail_path(cutting: Cutting) -> str:
    """Return the piece as seen from its front, simplified, as ``width height pathdata`` in mm."""
    paper = cutting.paper
    if isinstance(paper, Polygon):
        left, bottom, right, top = paper.bounds
        coarse = paper.simplify(_FINE)
        return f"{right - left:.3f} {top - bottom:.3f} {path_data(coarse, flip_height=top, dx=-left)}"
    raise TypeError("a plate that holds is one Polygon")


def thumbnail_size(path: Path) -> tuple[float, float]:
    """Return the size in mm of a plate whose `thumbnail_path` was written there."""
    width, height = path.read_text(encoding="utf-8").split(" ", 2)[:2]
    return float(width), float(height)


def write_contact_sheet(
    path: str | Path,
    plates: Sequence[Path],
    captions: Sequence[tuple[str, str]],
    *,
    title: str,
    columns: int = COLUMNS,
) -> None:
    """Write a PDF with every plate small.

    Parameters
    ----------
    path : path
        Where to.
    plates : sequence of Path
        Files written from `thumbnail_path`.
    captions : sequence of (str, str)
        The words under each, and its file.
    title : str
        At the head of each page.
    columns : int
        Plates to a row, 1 to 10, default 5; four rows to a page.

    Raises
    ------
    CannotWrite
        If it cannot be put there.
    MissingLibrary
        If cairo is not installed.
    """
    join_pdfs(path, _pages(plates, captions, title, columns), title=f"{clean(title)}, contact sheet")


def _pages(
    plates: Sequence[Path], captions: Sequence[tuple[str, str]], title: str, columns: int
) -> Iterator[BinaryIO]:
    each = columns * ROWS
    pages = -(-len(plates) // each)
    for page in range(pages):
        chosen = slice(page * each, (page + 1) * each)
        count = f" · {page + 1} of {pages}" if pages > 1 else ""
        head = _short(clean(title), _HEADING, PAGE[0] - 2 * MARGIN - width_of(count, _HEADING)) + count
        svg = _page(plates[chosen], captions[chosen], head, columns)
        yield io.BytesIO(document_bytes([(svg, SHEETS["A4"])], titles=[head], subject=""))


def _page(paths: Sequence[Path], captions: Sequence[tuple[str, str]], head: str, columns: int) -> str:
    wide, high = PAGE
    drawing = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False)
    drawing.add(_words(drawing, head, MARGIN, MARGIN + 3, _HEADING))
    cell_wide = (wide - 2 * MARGIN + _GAP) / columns
    cell_high = (high - 2 * MARGIN - HEAD + _GAP) / ROWS
    for place, (path, (words, file)) in enumerate(zip(paths, captions, strict=True)):
        row, column = divmod(place, columns)
        x, y = MARGIN + column * cell_wide, MARGIN + HEAD + row * cell_high
        room = (cell_wide - _GAP, cell_high - _GAP - 2 * _WORDS - 3)
        _thumbnail(drawing, path.read_text(encoding="utf-8"), x, y, room)
        foot = y + room[1] + _WORDS + 1.5
        drawing.add(_words(drawing, _short(clean(words), _WORDS, room[0]), x, foot, _WORDS))
        drawing.add(
            _words(drawing, _short(file, _WORDS * 0.8, room[0]), x, foot + _WORDS + 0.8, _WORDS * 0.8)
        )
    text: str = drawing.tostring()
    return text


def _thumbnail(drawing: svgwrite.Drawing, kept: str, x: float, y: float, room: tuple[float, float]) -> None:
    """Place one plate in its room, standing on the room's foot, centred."""
    wide, high, data = kept.split(" ", 2)
    scale = min(room[0] / float(wide), room[1] / float(high))
    left, top = x + (room[0] - scale * float(wide)) / 2, y + room[1] - scale * float(high)
    place = f"translate({left:.3f} {top:.3f}) scale({scale:.5f})"
    drawing.add(drawing.path(data, fill="#1d1c1a", fill_rule="evenodd", transform=place))


def _words(drawing: svgwrite.Drawing, text: str, x: float, y: float, size: float) -> svgwrite.text.Text:
    return drawing.text(text, insert=(x, y), font_size=size, fill="#000000")


def _short(text: str, size: float, room: float) -> str:
    while len(text) > 1 and width_of(text, size) > room:
        text = text[:-2].rstrip() + "…"
    return text
