"""A packet's page being drawn: y up, turned over once as it is written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.export.page.marks import BODY, Block, Word
from canivet.export.page.tones import BLACK, TONES, WHITE
from canivet.export.page.words import clean
from canivet.export.paths import path_data
from canivet.lengths import format_mm
from canivet.motifs.folding.packet import PacketPlan
from canivet.sheets import Sheet

__all__ = ["MOUNTAIN", "VALLEY", "Onto", "Pen", "draw_arrow", "new_document"]


VALLEY = "1.8 1.1"
"""Dashes of a valley fold (Yoshizawa 1954; Randlett 1961)."""


MOUNTAIN = "2.4 0.8 0.35 0.8"
"""Dash and dot of a mountain fold (the same)."""


class Pen:
    """Puts shapes and words on the document; shapes are given with y up from the page's lower edge."""

    def __init__(self, document: Any, height: float) -> None:
        self.document = document
        self.height = height
        self.group = document

    def within(self, name: str) -> None:
        """Begin a group of its own."""
        self.group = self.document.add(self.document.g(id=name))

    def area(self, shape: BaseGeometry, **style: Any) -> None:
        data = "".join(path_data(part, flip_height=self.height) for part in shapely.get_parts(shape))
        if data:
            self.group.add(self.document.path(d=data, fill_rule="evenodd", **style))

    def line(self, line: BaseGeometry, *, width: float = 0.2, stroke: str = BLACK, **style: Any) -> None:
        for part in shapely.get_parts(line):
            xy = shapely.get_coordinates(part)
            data = "M" + "L".join(f"{format_mm(x)} {format_mm(self.height - y)}" for x, y in xy)
            style = {"fill": "none", "stroke_linejoin": "round", "stroke_linecap": "butt", **style}
            self.group.add(self.document.path(d=data, stroke=stroke, stroke_width=width, **style))

    def crease(self, line: BaseGeometry, *, valley: bool, scale: float = 1.0, width: float = 0.25) -> None:
        dashes = [float(dash) * scale for dash in (VALLEY if valley else MOUNTAIN).split()]
        name = "valley" if valley else "mountain"
        self.line(
            line, width=width, stroke_dasharray=" ".join(format_mm(dash) for dash in dashes), class_=name
        )

    def words(self, words: Sequence[Word], *, fill: str = BLACK) -> None:
        for word in words:
            place = (format_mm(word.x), format_mm(word.y))
            self.group.add(
                self.document.text(
                    word.text,
                    insert=place,
                    font_size=format_mm(word.size),
                    fill=fill,
                )
            )

    def word_along(self, text: str, x: float, y: float, angle: float, size: float = BODY) -> None:
        """Write words centred at a place (y up), turned so that they can be read."""
        turn = f"rotate({format_mm(-angle, 2)} {format_mm(x)} {format_mm(self.height - y)})"
        self.group.add(
            self.document.text(
                text, insert=(format_mm(x), format_mm(self.height - y)), font_size=format_mm(size),
                fill=BLACK,
                text_anchor="middle", transform=turn,
            )
        )  # fmt: skip

    def marks(self, block: Block) -> None:
        """Put a block's marks and words, both placed from the page's upper left corner, y down."""
        for mark in block.marks:
            if mark.fill:
                for line in mark.lines:
                    self.area(Polygon([(x, self.height - y) for x, y in line]), fill=TONES[mark.fill])
            for line in mark.lines:
                flipped = LineString([(x, self.height - y) for x, y in line])
                self.line(flipped, width=mark.width, stroke=TONES[mark.stroke or "ink"])
        self.words(block.words)


class Onto:
    """Scales a shape about a point of its own and sets that point on the page, y up."""

    def __init__(self, scale: float, about: tuple[float, float], at: tuple[float, float]) -> None:
        self.scale, self.about, self.at = scale, np.array(about), np.array(at)

    def __call__(self, shape: BaseGeometry) -> BaseGeometry:
        moved: BaseGeometry = shapely.transform(shape, lambda xy: (xy - self.about) * self.scale + self.at)
        return moved


def draw_arrow(pen: Pen, way: BaseGeometry) -> None:
    """Draw a bent arrow along the way the paper is turned."""
    start, end = shapely.get_coordinates(way)
    along = end - start
    length = float(np.hypot(*along))
    if length < 1.5:
        return
    side = np.array([-along[1], along[0]]) / length
    side = side if side[1] >= 0 else -side
    bend = (start + end) / 2 + side * 0.35 * length
    t = np.linspace(0, 1, 17)[:, None]
    curve = (1 - t) ** 2 * start + 2 * t * (1 - t) * bend + t**2 * end
    pen.line(LineString(curve[:-1]), width=0.3, stroke=BLACK)
    head = end - bend
    head = head / np.hypot(*head)
    wing = np.array([-head[1], head[0]])
    pen.area(Polygon([end, end - 1.7 * head + 0.75 * wing, end - 1.7 * head - 0.75 * wing]), fill=BLACK)


def new_document(plan: PacketPlan, sheet: Sheet) -> Any:
    from svgwrite import Drawing

    size = (f"{format_mm(sheet.width)}mm", f"{format_mm(sheet.height)}mm")
    document = Drawing(
        size=size, viewBox=f"0 0 {format_mm(sheet.width)} {format_mm(sheet.height)}", debug=False
    )
    document.set_desc(
        title=clean(plan.title) or "Packet",
        desc=f"Template for a {plan.fold.name} of {plan.fold.layers} layers",
    )
    document.add(
        document.rect((0, 0), (format_mm(sheet.width), format_mm(sheet.height)), fill=WHITE, id="sheet")
    )
    return document
