"""A contact sheet: every plate of a series small, to one scale, each owner's together, with name and size."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

from shapely.geometry import Polygon

from canivet.cutting import Cutting
from canivet.export.page.marks import CAP
from canivet.export.page.tones import BLACK, WHITE
from canivet.export.page.words import clean, width_of, with_real_quotes, wrap
from canivet.export.paths import coarsened, path_data
from canivet.export.pdf import document_bytes
from canivet.lengths import format_mm
from canivet.sheets import SHEETS, Sheet

from .joined_pdf import join_pdfs

__all__ = ["Thumbnail", "thumbnail_path", "thumbnail_size", "write_contact_sheet"]

MARGIN = 12.0
_HEADING = 4.4
_UNDER_HEADING = 9.0
"""mm from the top margin to the first plates."""

_TALLEST = 52.0
"""mm: four rows of the tallest plate, or so, on a page."""

_BETWEEN = 4.0
_GROUPS = 9.0
_ROWS = 7.0
"""mm between plates of one owner, between owners, and between rows."""

_MOST_IN_A_ROW = 8

_WORDS = 2.9
"""mm, size of the words under a plate: read in the hand."""
_LINE = 3.6

_FINE = 0.25
"""mm of detail a thumbnail may lose: under a tenth of that once it is small."""


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """A plate on a contact sheet: whose it is, by row and name, and the file of its `thumbnail_path`."""

    row: int
    owner: str
    path: Path


@dataclass(frozen=True, slots=True)
class _Group:
    """One owner's plates side by side: their sizes on the page, and what stands under them."""

    plates: tuple[tuple[Path, float, float, str], ...]
    words: tuple[str, ...]

    @property
    def cells(self) -> list[float]:
        """Return the width of each plate's cell: as wide as the plate, and as the words under it."""
        return [max(wide, width_of(size, _WORDS)) for _, wide, _, size in self.plates]

    @property
    def width(self) -> float:
        return sum(self.cells) + _BETWEEN * (len(self.plates) - 1)

    @property
    def height(self) -> float:
        return max(high for _, _, high, _ in self.plates) + (1 + len(self.words)) * _LINE + 1.0


def thumbnail_path(cutting: Cutting) -> str:
    """Return the piece as seen from its front, simplified, as ``width height pathdata`` in mm."""
    paper = cutting.paper
    if isinstance(paper, Polygon):
        left, bottom, right, top = paper.bounds
        coarse = coarsened(paper, _FINE)
        return f"{right - left:.3f} {top - bottom:.3f} {path_data(coarse, flip_height=top, dx=-left)}"
    raise TypeError("a plate that holds is one Polygon")


def thumbnail_size(path: Path) -> tuple[float, float]:
    """Return the size in mm of a plate whose `thumbnail_path` was written there."""
    width, height = path.read_text(encoding="utf-8").split(" ", 2)[:2]
    return float(width), float(height)


def write_contact_sheet(
    path: str | Path, plates: Sequence[Thumbnail], *, title: str, sheet: Sheet = SHEETS["A4"]
) -> None:
    """Write a PDF with every plate small, all of them to one scale.

    Parameters
    ----------
    path : path
        Where to.
    plates : sequence of Thumbnail
        In order; those of one owner that follow each other stand together.
    title : str
        At the head of each page.
    sheet : Sheet
        What it is printed on. Default A4.

    Raises
    ------
    CannotWrite
        If it cannot be put there.
    MissingLibrary
        If cairo is not installed.
    """
    scale = _scale(plates, sheet)
    pages = list(_pages(plates, sheet, scale))
    bound = (
        _bound(page, title, scale, sheet, f"{k} of {len(pages)}") for k, page in enumerate(pages, start=1)
    )
    names = [page[0][0].words[0] for page in pages] if len(pages) > 1 else []
    join_pdfs(path, bound, title=f"{clean(title)}, contact sheet", names=names)


def _scale(plates: Sequence[Thumbnail], sheet: Sheet) -> float:
    """Return the one scale, to a tenth in ``1 : n``, at which rows and every owner's plates fit."""
    smaller = 1.0
    for sizes in (([thumbnail_size(one.path) for one in owned]) for _, owned in _owned(plates)):
        room = sheet.width - 2 * MARGIN - _BETWEEN * (len(sizes) - 1)
        smaller = max(
            smaller, sum(wide for wide, _ in sizes) / room, max(high for _, high in sizes) / _TALLEST
        )
    return math.ceil(10 * smaller - 1e-9) / 10


def _owned(plates: Sequence[Thumbnail]) -> Iterator[tuple[str, list[Thumbnail]]]:
    """Yield each owner with the plates that follow each other, no more of them than stand in a row."""
    held: list[Thumbnail] = []
    for plate in plates:
        if held and ((plate.row, plate.owner) != (held[0].row, held[0].owner) or len(held) == _MOST_IN_A_ROW):
            yield held[0].owner, held
            held = []
        held.append(plate)
    if held:
        yield held[0].owner, held


def _pages(plates: Sequence[Thumbnail], sheet: Sheet, smaller: float) -> Iterator[list[list[_Group]]]:
    """Fill pages with rows of groups."""
    width, height = sheet.width - 2 * MARGIN, sheet.height - 2 * MARGIN - _UNDER_HEADING
    page: list[list[_Group]] = []
    taken = 0.0
    for row in _rows((_group(owner, owned, smaller) for owner, owned in _owned(plates)), width):
        high = max(group.height for group in row)
        if page and taken + high > height:
            yield page
            page, taken = [], 0.0
        page.append(row)
        taken += high + _ROWS
    if page:
        yield page


def _rows(groups: Iterator[_Group], width: float) -> Iterator[list[_Group]]:
    row: list[_Group] = []
    for group in groups:
        if row and sum(one.width + _GROUPS for one in row) + group.width > width:
            yield row
            row = []
        row.append(group)
    if row:
        yield row


def _group(owner: str, owned: Sequence[Thumbnail], smaller: float) -> _Group:
    plates = []
    for one in owned:
        wide, high = thumbnail_size(one.path)
        size = f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm"
        plates.append((one.path, wide / smaller, high / smaller, size))
    bare = _Group(tuple(plates), ())
    name = with_real_quotes(clean(owner)) or "Plate"
    return _Group(bare.plates, tuple(wrap(name[:400], _WORDS, max(bare.width, 24.0), most=2)))


def _bound(rows: list[list[_Group]], title: str, smaller: float, sheet: Sheet, number: str) -> BinaryIO:
    svg = _page(rows, title, smaller, sheet, number)
    return io.BytesIO(document_bytes([(svg, sheet)], titles=[title], subject="Contact sheet"))


def _page(rows: list[list[_Group]], title: str, smaller: float, sheet: Sheet, number: str) -> str:
    import svgwrite

    size, view = (f"{sheet.width}mm", f"{sheet.height}mm"), f"0 0 {sheet.width} {sheet.height}"
    drawing = svgwrite.Drawing(size=size, viewBox=view, debug=False)
    drawing.add(drawing.rect((0, 0), (sheet.width, sheet.height), id="sheet", fill=WHITE))
    plates = drawing.add(drawing.g(id="piece"))
    told = f"all at 1 : {format_mm(smaller, 1)}" + ("" if number == "1 of 1" else f" · {number}")
    beside = width_of(told, _WORDS)
    room = sheet.width - 2 * MARGIN - beside - 6.0
    (head,) = wrap(with_real_quotes(clean(title))[:400] or "Series", _HEADING, room, most=1)
    baseline = MARGIN + CAP * _HEADING
    drawing.add(_words(drawing, head, MARGIN, baseline, _HEADING))
    drawing.add(_words(drawing, told, sheet.width - MARGIN - beside, baseline, _WORDS))
    top = MARGIN + _UNDER_HEADING
    for row in rows:
        foot = top + max(high for group in row for _, _, high, _ in group.plates)
        left = MARGIN
        for group in row:
            _draw_group(drawing, plates, group, left, foot)
            left += group.width + _GROUPS
        top += max(group.height for group in row) + _ROWS
    text: str = drawing.tostring()
    return text


def _draw_group(drawing: Any, plates: Any, group: _Group, left: float, foot: float) -> None:
    """Stand an owner's plates on one line among all `plates`, the name under them, its size under each."""
    for k, line in enumerate(group.words):
        drawing.add(_words(drawing, line, left, foot + 1.0 + _LINE * (k + 1), _WORDS, bold=True))
    sized = foot + 1.0 + _LINE * (len(group.words) + 1)
    for (path, wide, high, size), cell in zip(group.plates, group.cells, strict=True):
        full, _, data = path.read_text(encoding="utf-8").split(" ", 2)
        place = f"translate({left:.3f} {foot - high:.3f}) scale({wide / float(full):.6f})"
        plates.add(drawing.path(data, fill=BLACK, fill_rule="evenodd", transform=place))
        drawing.add(_words(drawing, size, left, sized, _WORDS))
        left += cell + _BETWEEN


def _words(drawing: Any, text: str, x: float, y: float, size: float, *, bold: bool = False) -> Any:
    style = {"font_weight": "bold"} if bold else {}
    return drawing.text(text, insert=(f"{x:.3f}", f"{y:.3f}"), font_size=size, fill=BLACK, **style)
