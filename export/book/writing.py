"""The pattern book as pages: an index of thumbnails, then a page for every motif."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import svgwrite
from shapely.geometry import Polygon

from canivet.errors import BadValue
from canivet.export.files import write_atomically
from canivet.export.page.tones import BLACK
from canivet.export.page.typeset import outline_words
from canivet.export.page.words import width_of, wrap
from canivet.export.paths import path_data
from canivet.export.pdf import document_bytes
from canivet.motifs.registry import Motif
from canivet.sheets import SHEETS, Sheet

from .samples import STRAP, Sample, Shown, show_motif

__all__ = ["write_book"]

_MARGIN = 16.0
_NAME, _TEXT, _SMALL = 8.0, 3.3, 2.7
"""mm, type sizes: a name is read across the table, the rest in the hand."""
_LEADING = 1.36
_GUTTER = 8.0
_TOP = 38.0
"""mm from the upper edge to the sample."""

_COLUMNS, _ROWS = 5, 6
_THUMB = 24.0
"""mm, side of a thumbnail's place in the index."""

_FINE = 0.12
"""mm of detail that a thumbnail may lose, once it is small."""

_PLURAL = {
    "outline": "Outlines",
    "border": "Borders",
    "lattice": "Lattices",
    "form": "Forms",
    "frame": "Frames",
}
_TITLE = "Pattern book"


@dataclass(frozen=True, slots=True)
class _Entry:
    """A motif in the index: its name, a thumbnail, and the page it is on."""

    shown: Shown
    page: int


def write_book(
    path: str | Path,
    motifs: Sequence[Motif],
    *,
    sheet: Sheet = SHEETS["A4"],
    tell: Callable[[str], None] | None = None,
) -> None:
    """Write the pattern book: every motif at true size on a page of its own, behind an index.

    Parameters
    ----------
    path : path
        ``.pdf``, or ``.html`` for one page to leaf through on a screen.
    motifs : sequence of Motif
        In order, those of a family together.
    sheet : Sheet
        What it is printed on. Default A4.
    tell : callable, optional
        Told the name of each motif before it is drawn: all of them take a minute or two.

    Raises
    ------
    BadValue
        If the file is to be neither PDF nor HTML, or there is no motif.
    CannotWrite
        If it cannot be put there.
    MissingLibrary
        If cairo is not installed.
    """
    target = Path(path)
    ending = target.suffix.lower()
    if ending not in (".pdf", ".html"):
        raise BadValue(
            f"{target.name} is neither PDF nor HTML. Call the book NAME.pdf or NAME.html.",
            parameter="output", value=target.name, accepted=".pdf or .html",
        )  # fmt: skip
    if not motifs:
        raise BadValue("there are no motifs to show. Name at least one.", parameter="motifs")
    shown = []
    for motif in motifs:
        if tell:
            tell(motif.name)
        shown.append(show_motif(motif))
    leaves = math.ceil(len(shown) / (_COLUMNS * _ROWS))
    entries = [_Entry(one, leaves + k) for k, one in enumerate(shown, start=1)]
    each = _COLUMNS * _ROWS
    pages = [_index_page(entries[k : k + each], k // each, sheet) for k in range(0, len(entries), each)]
    pages += [_motif_page(entry, sheet) for entry in entries]
    titles = [_TITLE] * leaves + [one.motif.name for one in shown]
    if ending == ".pdf":
        printed = [(page, sheet) for page in pages]
        write_atomically(target, document_bytes(printed, titles=titles, subject="Every motif at true size"))
    else:
        write_atomically(target, _html(pages, titles, entries).encode("utf-8"))


def _index_page(entries: Sequence[_Entry], leaf: int, sheet: Sheet) -> str:
    drawing = _blank(sheet)
    _write(drawing, _TITLE if leaf == 0 else f"{_TITLE}, index", _MARGIN, _MARGIN + 6, _NAME, bold=True)
    told = f"straps of {STRAP:g} mm · motifs at true size on their pages"
    _write(drawing, told, _MARGIN, _MARGIN + 13, _TEXT)
    across = (sheet.width - 2 * _MARGIN) / _COLUMNS
    down = (sheet.height - _TOP - _MARGIN) / _ROWS
    family = ""
    for k, entry in enumerate(entries):
        x, y = _MARGIN + across * (k % _COLUMNS), _TOP + down * (k // _COLUMNS)
        if entry.shown.main is not None:
            _draw_within(drawing, entry.shown.main.paper.simplify(_FINE), (x, y, _THUMB, _THUMB))
        motif = entry.shown.motif
        _write(drawing, motif.name.replace("-", " "), x, y + _THUMB + 4.2, _SMALL, bold=True)
        said = f"page {entry.page}"
        if motif.family != family:
            family = motif.family
            said = f"{_PLURAL[family]} · {said}"
        _write(drawing, said, x, y + _THUMB + 7.8, _SMALL)
    text: str = drawing.tostring()
    return text


def _motif_page(entry: _Entry, sheet: Sheet) -> str:
    """Return the page of one motif: the sample at its left, words at its right, variations at its foot."""
    drawing, shown = _blank(sheet), entry.shown
    motif, right = shown.motif, sheet.width - _MARGIN
    _write(drawing, motif.name.replace("-", " "), _MARGIN, _MARGIN + 6, _NAME, bold=True)
    said = f"{motif.family} · {entry.page}"
    _write(drawing, said, right - width_of(said, _TEXT), _MARGIN + 6, _TEXT)
    y = _MARGIN + 12.5
    for line in wrap(motif.summary, _TEXT, right - _MARGIN, most=2):
        _write(drawing, line, _MARGIN, y, _TEXT)
        y += _LEADING * _TEXT
    if shown.main is None:
        for line in wrap(shown.fault, _TEXT, right - _MARGIN, most=4):
            _write(drawing, line, _MARGIN, y + 8, _TEXT)
            y += _LEADING * _TEXT
        return str(drawing.tostring())
    x0, y0, x1, y1 = shown.main.paper.bounds
    _draw(drawing, shown.main.paper, _MARGIN, _TOP)
    foot = _TOP + (y1 - y0)
    _write(drawing, f"{shown.main.said}, true size", _MARGIN, foot + 4.6, _SMALL)
    left = _MARGIN + (x1 - x0) + _GUTTER
    _column(drawing, shown, left, right - left, sheet.height - _MARGIN - 76)
    _variations(drawing, shown.variations, max(foot + 12, sheet.height - _MARGIN - 74), sheet)
    text: str = drawing.tostring()
    return text


def _column(drawing: Any, shown: Shown, x: float, width: float, lowest: float) -> None:
    """Write what the motif suits, and what it takes, down a column."""
    y = _TOP + _SMALL
    for said in shown.suits:
        for line in wrap(said, _TEXT, width, most=4):
            _write(drawing, line, x, y, _TEXT)
            y += _LEADING * _TEXT
        y += 0.6 * _TEXT
    y += _TEXT
    for name, bound in shown.motif.parameters.items():
        if name == "within":
            continue
        lines = wrap(f"{bound.meaning}: {bound.accepted}", _SMALL, width, most=3)
        if y + (len(lines) + 1) * _LEADING * _SMALL > lowest:
            _write(drawing, f"more: canivet motifs {shown.motif.name}", x, y, _SMALL)
            return
        usual = "" if bound.default is None else f" = {_usual(bound.default)}"
        _write(drawing, f"{name}{usual}", x, y, _SMALL, bold=True)
        for line in lines:
            y += _LEADING * _SMALL
            _write(drawing, line, x, y, _SMALL)
        y += 1.75 * _SMALL


def _usual(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value).lower()


def _variations(drawing: Any, variations: Sequence[Sample], top: float, sheet: Sheet) -> None:
    """Lay variations side by side at true size, on one foot."""
    foot = sheet.height - _MARGIN - 5.0
    x = _MARGIN
    for one in variations:
        x0, y0, x1, y1 = one.paper.bounds
        if foot - (y1 - y0) < top - 10 or x + (x1 - x0) > sheet.width - _MARGIN:
            continue
        _draw(drawing, one.paper, x, foot - (y1 - y0))
        _write(drawing, one.said, x, foot + 4.6, _SMALL)
        x += (x1 - x0) + _GUTTER


def _blank(sheet: Sheet) -> Any:
    drawing = svgwrite.Drawing(
        size=(f"{sheet.width}mm", f"{sheet.height}mm"),
        viewBox=f"0 0 {sheet.width} {sheet.height}",
        debug=False,
    )
    drawing.add(drawing.rect((0, 0), (sheet.width, sheet.height), fill="#ffffff"))
    return drawing


def _draw(drawing: Any, paper: Polygon, x: float, y: float, scale: float = 1.0) -> None:
    """Put a paper with its upper left corner at a place."""
    x0, _, _, y1 = paper.bounds
    data = path_data(paper, flip_height=y1, dx=-x0)
    placed = f"translate({x:.3f} {y:.3f})" + ("" if scale == 1 else f" scale({scale:.6f})")
    drawing.add(drawing.path(data, fill=BLACK, fill_rule="evenodd", transform=placed))


def _draw_within(drawing: Any, paper: Polygon, room: tuple[float, float, float, float]) -> None:
    """Put a paper small in the middle of a room (x, y, width, height), on its foot."""
    x, y, wide, high = room
    x0, y0, x1, y1 = paper.bounds
    scale = min(wide / (x1 - x0), high / (y1 - y0))
    _draw(drawing, paper, x + (wide - scale * (x1 - x0)) / 2, y + high - scale * (y1 - y0), scale)


def _write(drawing: Any, text: str, x: float, y: float, size: float, *, bold: bool = False) -> None:
    style = {"font_weight": "bold"} if bold else {}
    drawing.add(drawing.text(text, insert=(f"{x:.3f}", f"{y:.3f}"), font_size=size, fill=BLACK, **style))


def _html(pages: Sequence[str], titles: Sequence[str], entries: Sequence[_Entry]) -> str:
    """Return one page with all of it, and a list of names to go by."""
    names = "".join(
        f'<li><a href="#page-{e.page}">{titles[e.page - 1].replace("-", " ")}</a></li>' for e in entries
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{_TITLE}</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><style>'
        "body{margin:0;background:#e9e6e0;font:16px/1.5 sans-serif;color:#1d1c1a}"
        "nav ul{columns:9em;list-style:none;margin:0;padding:1em 1.5em}a{color:inherit}"
        "section{width:fit-content;margin:1.5em auto;background:#fff;box-shadow:0 1px 5px #0003}"
        "section svg{display:block;max-width:100vw;height:auto}</style></head><body>"
        f"<nav><ul>{names}</ul></nav>{''.join(_sections(pages))}</body></html>\n"
    )


def _sections(pages: Sequence[str]) -> Iterator[str]:
    for number, page in enumerate(pages, start=1):
        svg = outline_words(page)
        yield f'<section id="page-{number}">{svg[svg.index("<svg") :]}</section>'
