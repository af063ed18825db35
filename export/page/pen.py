"""A page being drawn: lines, shapes and words in mm, y down."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from canivet.export.page.marks import Block, Word
from canivet.export.page.words import clean
from canivet.lengths import format_mm
from canivet.sheets import Sheet

__all__ = ["INK", "STAYS", "Pen"]

INK = "#000000"
STAYS = "#c8c8c8"
"""Paper that stays, pale enough for black lines and figures on it: about 11 : 1."""

Line = Sequence[tuple[float, float]]


class Pen:
    """Draws one page and gives it as an SVG document."""

    def __init__(self, sheet: Sheet, title: str) -> None:
        from svgwrite import Drawing

        self.sheet = sheet
        width, height = format_mm(sheet.width), format_mm(sheet.height)
        size, view_box = (f"{width}mm", f"{height}mm"), f"0 0 {width} {height}"
        self._document: Any = Drawing(size=size, viewBox=view_box, debug=False)
        self._document.set_desc(title=clean(title))
        self._document.add(self._document.rect((0, 0), ("100%", "100%"), fill="#ffffff", id="sheet"))

    def shape(self, data: str, *, fill: str, id: str = "") -> None:
        """Fill path data, openings by the even-odd rule."""
        more = {"id": id} if id else {}
        self._document.add(self._document.path(d=data, fill=fill, fill_rule="evenodd", **more))

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
        self._document.add(self._document.path(d=data, **style, **more))

    def block(self, block: Block, x: float, y: float) -> None:
        """Set a block of words and marks with its upper left corner there."""
        moved = block.moved(x, y)
        for mark in moved.marks:
            closed = [line for line in mark.lines if mark.fill and line[0] == line[-1]]
            if mark.fill:
                data = "".join(
                    "M" + "L".join(f"{px:.7g} {py:.7g}" for px, py in line) + "Z" for line in closed
                )
                self.shape(data, fill={"white": "#ffffff", "faint": STAYS}.get(mark.fill, INK))
            if mark.stroke:
                self.lines(mark.lines, width=mark.width)
        self.words(moved.words)

    def words(
        self, words: Iterable[Word], *, anchor: str = "start", weight: str = "normal", halo: bool = False
    ) -> None:
        """Set words; `anchor` says which end or middle stands there, `halo` puts white round them."""
        words = list(words)
        if halo:
            self._set(words, anchor, weight, fill="#ffffff", stroke="#ffffff", stroke_width=1.2)
        self._set(words, anchor, weight, fill=INK)

    def _set(self, words: Iterable[Word], anchor: str, weight: str, **style: Any) -> None:
        group = self._document.add(
            self._document.g(font_family="sans-serif", text_anchor=anchor, font_weight=weight, **style)
        )
        for word in words:
            place = (format_mm(word.x), format_mm(word.y))
            group.add(self._document.text(word.text, insert=place, font_size=format_mm(word.size)))

    def text(self) -> str:
        """Return the page as an SVG document."""
        return str(self._document.tostring()) + "\n"
