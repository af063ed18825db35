"""``NAME-framing.pdf``: every size a framer asks for, in mm and inches, with a drawing and a section."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely import box

from canivet.compose.finish.finished import Finish
from canivet.compose.finish.mounting import Mounted, Size
from canivet.export.page.marks import BODY, LEADING, Word, stacked, title_block
from canivet.export.page.pen import Pen
from canivet.export.page.setup import MARGIN
from canivet.export.paths import path_on_page
from canivet.lengths import format_inches, format_mm
from canivet.sheets import SHEETS, Sheet

from .sheets import words_block

__all__ = ["framing_page", "framing_rows"]

_DRAWING = (82.0, 96.0)
"""mm of the page for the drawing from the front."""

_THICKER = 5.0
"""Times at most that the section shows what lies in the frame thicker than it is."""

_KIND = {
    "matted": "behind a mat", "panes": "between two panes", "float": "floating on a ground",
    "raised": "raised on pads over a ground", "flat": "laid flat on a ground",
}  # fmt: skip
_TONES = {"mat": "#ececec", "ground": "#f6f6f6", "piece": "#bdbdbd", "frame": "#9a9a9a"}


def framing_rows(finish: Finish) -> Iterator[tuple[str, str, str]]:
    """Yield what there is to make, and its size in mm and in inches to the nearest sixteenth.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from canivet.compose.design.finishing import MountSettings
    >>> from canivet.compose.finish.mounting import lay_mount
    >>> mount = MountSettings(kind="matted", mat={"size": "16x20 in"})
    >>> laid = lay_mount(mount, (304.8, 406.4), thickness=0.12)
    >>> list(framing_rows(SimpleNamespace(mounted=laid, settings=mount)))[1]
    ('mat opening', '292.1 × 393.7 mm', '11 1/2 × 15 1/2 in')
    """
    laid, settings = finish.mounted, finish.settings
    assert laid is not None
    assert settings is not None
    yield "piece", *_both(laid.piece)
    if laid.opening is not None:
        yield "mat opening", *_both(laid.opening)
    called = (
        "panes" if settings.kind == "panes" else "mat, board and glass" if settings.mat else "board and glass"
    )
    yield (
        called if settings.glass or settings.kind == "panes" else called.removesuffix(" and glass"),
        *_both(laid.board),
    )
    if settings.mat is not None:
        for side, wide in zip(("left", "right", "top", "foot"), laid.borders, strict=True):
            yield f"mat, {side}", *_one(wide)
        yield "mat", f"{settings.mat.ply} ply, {settings.mat.colour}", ""
    if settings.covers > 0:
        yield "mat over the piece", *_one(settings.covers)
    else:
        yield "shows round the piece", *_one(-settings.covers)
    if laid.frame is not None:
        yield "seen in the frame", *_both(laid.sight)
        yield "frame, outside", *_both(laid.frame)
    for name, thick in laid.depth:
        yield f"depth: {name}", *_one(thick)
    yield "depth in all", *_one(laid.rebate_depth)
    if laid.clearance:
        yield "air before the paper", *_one(laid.clearance)


def framing_page(finish: Finish) -> tuple[str, Sheet, str]:
    """Return the framer's sheet as an SVG document, its sheet of paper and its title."""
    laid, settings, cutting = finish.mounted, finish.settings, finish.plate.cutting
    assert laid is not None
    assert settings is not None
    title, sheet = f"{cutting.title}: for the framer", SHEETS["A4"]
    wide = sheet.width - 2 * MARGIN
    pen = Pen(sheet, title)
    head = stacked(
        title_block(title, wide),
        words_block([f"A paper cutting {_KIND[settings.kind]}. Sizes are width × height."], wide),
        gap=3.0,
    )
    pen.block(head, MARGIN, MARGIN)
    top = MARGIN + head.height + 8
    _front(pen, laid, settings.covers, MARGIN, top)
    low = _table(pen, list(framing_rows(finish)), MARGIN + _DRAWING[0] + 12, top)
    low = max(low, top + _DRAWING[1] + 8) + 10
    keeping = (
        "Paper for keeping: mat, ground and backing of board to ISO 9706 or better (pH 7.5 to 10, a reserve "
        "of 20 g/kg of calcium carbonate), and a glue that comes off again."
    )
    notes = [
        *(f"{said[0].upper()}{said[1:]}." for said in laid.remarks),
        *([keeping] if settings.kind != "panes" else []),
        "Sizes follow from the piece as drawn; measure it before anything is cut. What the maker of a "
        "material says, and local rules, come first. Broken glass is never picked up by hand.",
    ]
    foot = words_block(notes, wide)
    low = _section(pen, laid, MARGIN, low, room=sheet.height - MARGIN - foot.height - 4 - low)
    pen.block(foot, MARGIN, low + 4)
    return pen.text(), sheet, title


def _both(size: Size) -> tuple[str, str]:
    inches = " × ".join(format_inches(side).removesuffix(" in") for side in size)
    return f"{format_mm(size.width, 1)} × {format_mm(size.height, 1)} mm", f"{inches} in"


def _one(length: float) -> tuple[str, str]:
    inches = format_inches(length)
    return f"{format_mm(length, 1)} mm", "under 1/16 in" if length and inches == "0 in" else inches


def _front(pen: Pen, laid: Mounted, covers: float, left: float, top: float) -> None:
    """Draw frame, mat, opening and piece from the front, to scale with each other."""
    outer = laid.frame or laid.board
    scale = min(_DRAWING[0] / outer.width, _DRAWING[1] / outer.height)
    off = (outer.width - laid.board.width) / 2
    x0, y0 = laid.corner

    def drawn(x: float, y: float, size: Size) -> shapely.Geometry:
        """Lay a rectangle whose lower left corner stands there on the board."""
        a, d = left + scale * (off + x), top + scale * (outer.height - off - y)
        return box(a, d - scale * size.height, a + scale * size.width, d)

    lip = (laid.board.width - laid.sight.width) / 2
    areas = [("frame", drawn(-off, -off, outer))] if laid.frame else []
    areas += [("mat" if laid.opening else "ground", drawn(lip, lip, laid.sight))]
    if laid.opening:
        areas += [("ground", drawn(x0 + covers, y0 + covers, laid.opening))]
    seen = Size(*laid.piece).grown(-max(0.0, covers) if laid.opening else 0.0)
    areas += [("piece", drawn(x0 + max(0.0, covers), y0 + max(0.0, covers), seen))]
    pen.within("front")
    for tone, area in areas:
        pen.shape(path_on_page(area), fill=_TONES[tone])
        pen.lines([list(area.exterior.coords)], width=0.25)
    wide, high = left + scale * outer.width, top + scale * outer.height
    pen.lines([[(left, high + 3), (wide, high + 3)], [(wide + 3, top), (wide + 3, high)]], width=0.18)
    pen.words([Word(f"{format_mm(outer.width, 1)}", (left + wide) / 2, high + 7, BODY)], anchor="middle")
    pen.words([Word(f"{format_mm(outer.height, 1)}", wide + 4.2, (top + high) / 2, BODY)])


def _table(pen: Pen, rows: list[tuple[str, str, str]], left: float, top: float) -> float:
    pen.within("sizes")
    y = top
    for row, cells in enumerate(rows):
        y = top + (row + 1) * (LEADING + 0.9)
        pen.words([Word(cells[0], left, y)], weight="bold" if " all" in cells[0] else "normal")
        pen.words([Word(cells[1], left + 68, y)], anchor="end")
        pen.words([Word(cells[2], left + 99, y)], anchor="end")
    return y


def _section(pen: Pen, laid: Mounted, left: float, top: float, *, room: float) -> float:
    """Draw what lies in the rebate from the side, front above, as many times thicker as there is room."""
    times = min(_THICKER, (room - 8) / sum(thick for _, thick in laid.depth))
    times = math.floor(10 * times) / 10
    pen.within("section")
    where = "in the frame" if laid.frame else "together"
    said = f"What lies {where}, from the front (thickness {format_mm(times, 1)} times its size)"
    pen.words([Word(said, left, top)])
    y, lines, words = top + 4, [], []
    for name, thick in laid.depth:
        high = max(0.4, times * thick)
        lines.append([(left, y), (left + 60, y), (left + 60, y + high), (left, y + high), (left, y)])
        words.append((name, thick, y + high / 2))
        y += high
    pen.lines(lines, width=0.22)
    at = top + 5
    for name, thick, middle in words:
        at = max(at + LEADING, middle + 1)
        pen.lines([[(left + 60, middle), (left + 68, at - 1)]], width=0.15)
        pen.words([Word(f"{name}, {format_mm(thick, 2)} mm", left + 70, at)])
    return max(y, at) + 2
