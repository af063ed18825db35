"""A page being drawn: lines, shapes and words in mm, y down."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

import shapely

from canivet.export.paths import path_on_page
from canivet.lengths import format_mm
from canivet.sheets import Sheet

from .marks import Block, Mark, Word
from .tones import BLACK, INKS, STAYS, STROKE, TONES, WHITE, Ink
from .view import PieceView
from .words import clean, width_of

__all__ = ["INK", "STAYS", "Pen"]

INK = BLACK
_HALO = 0.12
"""Of the type size: white round words that stand on a drawing."""

Line = Sequence[tuple[float, float]]


class Pen:
    """Draws one page and gives it as an SVG document."""

    def __init__(self, sheet: Sheet, title: str, description: str = "") -> None:
        from svgwrite import Drawing

        self.sheet = sheet
        width, height = format_mm(sheet.width), format_mm(sheet.height)
        size, view_box = (f"{width}mm", f"{height}mm"), f"0 0 {width} {height}"
        self._document: Any = Drawing(size=size, viewBox=view_box, debug=False)
        self._document.set_desc(title=clean(title) or "Cutting", desc=clean(description) or None)
        self._document.add(self._document.rect((0, 0), (width, height), fill=WHITE, id="sheet"))
        self._group: Any = self._document

    def within(self, name: str) -> None:
        """Begin a group of its own for all that follows."""
        self._group = self._document.add(self._document.g(id=name))

    def shape(self, data: str, *, fill: str, id: str = "") -> None:
        """Fill path data, openings by the even-odd rule."""
        more = {"id": id} if id else {}
        self._group.add(self._document.path(d=data, fill=fill, fill_rule="evenodd", **more))

    def lines(
        self, lines: Iterable[Line], *, width: float, dashes: str = "", name: str = "", stroke: str = INK
    ) -> None:
        """Draw lines of one width, `dashes` as SVG has them."""
        data = "".join("M" + "L".join(f"{x:.7g} {y:.7g}" for x, y in line) for line in lines)
        if not data:
            return
        more = {"stroke_dasharray": dashes} if dashes else {}
        more |= {"id": name} if name else {}
        style = {"fill": "none", "stroke": stroke, "stroke_width": width, "stroke_linejoin": "round"}
        self._group.add(self._document.path(d=data, **style, **more))

    def piece(self, view: PieceView, ink: Ink, *, name: str = "paper") -> None:
        """Draw a piece: black, in lines, or grey in lines; its path says which face it shows."""
        fill, stroked = INKS[ink]
        style: dict[str, Any] = {"fill": fill or "none"}
        style |= {"stroke": INK, "stroke_width": STROKE, "stroke_linejoin": "round"} if stroked else {}
        style |= {"data_face": "back" if view.mirrored else "front"}
        data = view.path(view.paper)
        self._group.add(self._document.path(d=data, id=name, fill_rule="evenodd", **style))

    def block(self, block: Block, x: float = 0.0, y: float = 0.0) -> None:
        """Set a block of words and marks with its upper left corner there, marks grouped by name."""
        moved = block.moved(x, y)
        outside = self._group
        for name, marks in groupby(moved.marks, key=lambda mark: mark.group):
            self._group = outside.add(self._document.g(class_=name))
            for mark in marks:
                self._mark(mark)
        self._group = outside
        self.words(moved.words)

    def _mark(self, mark: Mark) -> None:
        data = "".join(
            "M" + "L".join(f"{format_mm(x)} {format_mm(y)}" for x, y in line)
            + ("Z" if line[0] == line[-1] else "")
            for line in mark.lines
        )  # fmt: skip
        style: dict[str, Any] = {"fill": TONES[mark.fill] if mark.fill else "none"}
        if mark.stroke:
            style |= {"stroke": TONES[mark.stroke], "stroke_width": mark.width, "stroke_linejoin": "round"}
        self._group.add(self._document.path(d=data, **style))

    def words(
        self, words: Iterable[Word], *, anchor: str = "start", weight: str = "normal", halo: bool = False
    ) -> None:
        """Set words; `anchor` says which end or middle stands there, `halo` puts white under them."""
        words = list(words)
        if halo:
            self._grounds(words, anchor, weight == "bold")
        group = self._group.add(self._document.g(fill=INK, text_anchor=anchor, font_weight=weight))
        for word in words:
            style = {"fill": TONES[word.tone]} if word.tone != "ink" else {}
            style |= {"font_weight": "bold"} if word.bold else {}
            style |= {"letter_spacing": format_mm(word.tracking * word.size)} if word.tracking else {}
            place, size = (format_mm(word.x), format_mm(word.y)), format_mm(word.size)
            group.add(self._document.text(word.text, insert=place, font_size=size, **style))

    def _grounds(self, words: Iterable[Word], anchor: str, bold: bool) -> None:
        for word in words:
            wide, pad = width_of(word.text, word.size, bold=bold or word.bold), _HALO * word.size
            left = word.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
            box = shapely.box(left - pad, word.y - 0.7 * word.size - pad, left + wide + pad, word.y + pad)
            self.shape(path_on_page(box), fill=WHITE)

    def text(self) -> str:
        """Return the page as an SVG document."""
        return str(self._document.tostring()) + "\n"
