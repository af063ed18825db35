"""The packet's page: the wedge at true size to draw from, how to fold, and what will open.

Lengths are mm. Shapes are set on the page with y up and turned over once, as they are written.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from canivet.errors import DoesNotFit
from canivet.export.files import write_atomically
from canivet.export.page.foot import CAUTIONS
from canivet.export.page.marks import BODY, CAP, LEADING, Block, Word, text_block, title_block
from canivet.export.page.rulers import SCALE_WIDTH, edge_scales
from canivet.export.page.setup import MARGIN
from canivet.export.page.signs import tone_block
from canivet.export.page.tones import BLACK, STAYS, STROKE, WHITE
from canivet.export.page.words import clean, flow, width_of, wrap, wrap_evenly
from canivet.export.pdf import document_bytes
from canivet.export.svg import write_svg
from canivet.lengths import format_mm
from canivet.motifs.folding.packet import PacketPlan, StepPicture, describe_edge
from canivet.sheets import Sheet, usual_sheets
from canivet.stock import Faces

from ._pen import Onto, Pen, draw_arrow, new_document

__all__ = ["packet_svg", "write_packet", "write_packet_page"]


_SHEETS = usual_sheets("A4", "A1")
_CELL = 31.0
_PICTURE = 21.0
_GUTTER = 9.0
_LABEL = 6.5
_OVER_RULERS = 2.2
_BESIDE = 58.0
_WIDEST_BESIDE = 74.0
"""mm beside the wedge for what is small, at least and at most."""
_VIEW, _UNDER_VIEW = 48.0, 9.0
"""mm, side of the opened piece, and room under it for its scale."""
_PATTERN = 26.0
_WIDEST_CELL = 48.0

_HOW = (
    "The wedge on the left is at true size. To get it on to the packet, trace it; or cut this page out round "
    "it, lay it on fold to fold and open edge to open edge, and glue or staple it in what is white: that is "
    "waste.",
)

_FACES = {
    Faces.DARK_ONE_FACE: "Begin with the white face up: draw on it; the dark face is the front.",
    Faces.DARK_BOTH_FACES: "Draw on this page, fixed over the packet; either face may begin uppermost.",
    Faces.PLAIN: "Either face may begin uppermost.",
}


@dataclass(frozen=True, slots=True)
class _Layout:
    """Where things lie on the page, from its upper left corner, y down."""

    sheet: Sheet
    head: Block
    strip: float
    wedge: tuple[float, float]
    view: tuple[float, float, float]
    pattern: tuple[float, float, float]
    beside: Block
    foot: Block


def packet_svg(plan: PacketPlan, *, sheet: Sheet | None = None) -> str:
    """The page to draw and cut a packet from, at true size.

    Parameters
    ----------
    plan : PacketPlan
        From `plan_packet`.
    sheet : Sheet or None
        The page; None for the plan's own, or the smallest A size, from A4, that takes it.

    Returns
    -------
    str
        An SVG document. What is kept of the wedge is one ``path`` with id ``wedge``, in the page's own
        millimetres.

    Raises
    ------
    DoesNotFit
        If the sheet is too small for the wedge at true size.

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import quarter_fold
    >>> from canivet.motifs.folding.packet import plan_packet
    >>> plan = plan_packet(quarter_fold(), Point(90, 90).buffer(9), title="Moon")
    >>> 'viewBox="0 0 210 297"' in packet_svg(plan)
    True
    """
    page = _lay_out(plan, sheet)
    document = new_document(plan, page.sheet)
    pen = Pen(document, page.sheet.height)
    pen.words(page.head.words)
    _draw_strip(pen, plan, page)
    _draw_wedge(pen, plan, *page.wedge)
    _draw_view(pen, plan, page.view)
    _draw_pattern(pen, plan, page.pattern)
    pen.within("around")
    pen.marks(page.beside)
    pen.marks(page.foot)
    pen.marks(edge_scales(page.sheet, MARGIN, page.sheet.height - MARGIN))
    return str(document.tostring()) + "\n"


def write_packet(
    base: str | os.PathLike[str], plan: PacketPlan, *, face: str | None = None
) -> Iterator[Path]:
    """Write the page of a packet as ``base.svg`` and ``base.pdf``; yield each path.

    Parameters
    ----------
    base : path-like
        A file's path without its ending.
    plan : PacketPlan
        As for `packet_svg`.
    face : str or None
        As for `document_bytes`.

    Raises
    ------
    CannotWrite, DoesNotFit, MissingLibrary
        As `packet_svg`, `write_svg` and `document_bytes` do.
    """
    for suffix in (".svg", ".pdf"):
        path = Path(os.fspath(base) + suffix)
        write_packet_page(path, plan, face=face)
        yield path


def write_packet_page(path: str | os.PathLike[str], plan: PacketPlan, *, face: str | None = None) -> None:
    """Write the page of a packet as its file's ending asks: ``.pdf``, or an SVG.

    Parameters
    ----------
    path : path-like
        Where to.
    plan, face
        As for `write_packet`.

    Raises
    ------
    CannotWrite, DoesNotFit, MissingLibrary
        As `packet_svg`, `write_svg` and `document_bytes` do.
    """
    text, sheet = packet_svg(plan), _lay_out(plan, None).sheet
    if Path(path).suffix.lower() != ".pdf":
        write_svg(path, text)
        return
    told = f"Template for a {plan.fold.name} of {plan.fold.layers} layers"
    write_atomically(path, document_bytes([(text, sheet)], titles=[plan.title], subject=told, face=face))


def _lay_out(plan: PacketPlan, sheet: Sheet | None) -> _Layout:
    sheet = sheet or plan.sheet
    sheets = [sheet] if sheet else _SHEETS
    for one in sheets:
        for lying in (one, one.turned()):
            page = _laid_on(plan, lying)
            if page is not None:
                return page
    low_x, low_y, high_x, high_y = plan.fold.wedge.bounds
    size = f"{format_mm(high_x - low_x, 1)} × {format_mm(high_y - low_y, 1)} mm"
    named = str(sheet) if sheet else str(_SHEETS[-1])
    raise DoesNotFit(
        f"sheet is {named}; the template of a wedge {size} with its pictures does not fit on it at true "
        "size. Take a larger page, or make the fold smaller.",
        parameter="sheet", value=named, accepted="a page that takes the wedge at true size",
    )  # fmt: skip


def _laid_on(plan: PacketPlan, sheet: Sheet) -> _Layout | None:
    """Lay the wedge at true size under the head, small pictures beside it, and how to fold at the foot."""
    width = sheet.width - 2 * MARGIN
    if width < 2 * SCALE_WIDTH + 20:
        return None
    head = _head(plan, width).moved(MARGIN, MARGIN)
    foot = _foot(plan, width)
    foot = foot.moved(MARGIN, sheet.height - MARGIN - _OVER_RULERS - foot.height)
    top = MARGIN + head.height + 6.0
    strip = foot.words[0].y - 6.0 - _strip_height(plan, width)
    low_x, low_y, high_x, high_y = plan.fold.wedge.bounds
    wide, high = high_x - low_x + 2 * _LABEL, high_y - low_y + 2 * _LABEL
    right, room = width - wide - _GUTTER, strip - 6.0 - top
    if high > room or right < _BESIDE:
        return None
    beside = _how_block(min(right, _WIDEST_BESIDE))
    if _VIEW + _UNDER_VIEW + _PATTERN + 8.0 + beside.height > room:
        return None
    left = MARGIN + wide + _GUTTER
    across = (right - wide) / 2 if right > 2.5 * wide else 0.0
    left, middle = left + across / 2, MARGIN + _LABEL + across / 2
    patterned = top + _VIEW + _UNDER_VIEW
    return _Layout(
        sheet, head, strip, (middle, top + (room - high) / 2 + _LABEL), (left, top, _VIEW),
        (left, patterned, _PATTERN), beside.moved(left, patterned + _PATTERN + 8.0), foot,
    )  # fmt: skip


def _how_block(width: float) -> Block:
    """Say how the wedge comes to lie on the folded sheet."""
    lines = [line for sentence in _HOW for line in wrap(sentence, BODY, width)]
    return text_block(lines, width)


def _head(plan: PacketPlan, width: float) -> Block:
    fold, piece = plan.fold, plan.piece
    low_x, low_y, high_x, high_y = fold.sheet.bounds
    p0, q0, p1, q1 = piece.bounds
    grammage = f"{plan.stock.grammage:g} g/m², " if plan.stock.grammage else ""
    facts = [
        fold.name, f"{fold.layers} layers",
        f"fold a sheet {format_mm(high_x - low_x, 1)} × {format_mm(high_y - low_y, 1)} mm",
        f"opens to {format_mm(p1 - p0, 1)} × {format_mm(q1 - q0, 1)} mm",
        f"straps {format_mm(plan.strap, 2)} mm or wider", f"paper {plan.stock.faces.value}",
        f"{grammage}{format_mm(plan.stock.thickness)} mm thick",
    ]  # fmt: skip
    title = title_block(plan.title, width, most=1)
    rest = text_block(flow(facts, BODY, width), width).moved(0.0, title.height + 2.2)
    return Block(width, title.height + 2.2 + rest.height, title.words + rest.words)


def _foot(plan: PacketPlan, width: float) -> Block:
    """Set the tones beside the notes, and the cautions under both."""
    right = width - SCALE_WIDTH - _GUTTER
    tones = tone_block("tint", "solid", width=SCALE_WIDTH).moved(0.0, 3.0)
    notes = [
        line for note in (_FACES[plan.stock.faces], *plan.notes) for line in wrap(clean(note), BODY, right)
    ]
    told = text_block(notes, right).moved(SCALE_WIDTH + _GUTTER, 3.0)
    under = 3.0 + max(tones.height, told.height) + 3.4
    cautions = text_block(wrap_evenly(" ".join(CAUTIONS), BODY, width), width).moved(0.0, under)
    height = under + cautions.height
    return Block(width, height, (*tones.words, *told.words, *cautions.words), tones.marks)


def _cells(plan: PacketPlan, width: float) -> tuple[int, float]:
    """Return how many pictures stand in a row, and how wide each one's cell is: rows as even as can be."""
    count = len(plan.pictures)
    rows = math.ceil(count / int(width // _CELL))
    columns = math.ceil(count / rows)
    return columns, min(width / columns, _WIDEST_CELL)


def _strip_height(plan: PacketPlan, width: float) -> float:
    columns, cell = _cells(plan, width)
    rows = math.ceil(len(plan.pictures) / columns)
    lines = max(len(wrap(f"{9}. {picture.words}", BODY, cell - 4)) for picture in plan.pictures)
    return rows * (_PICTURE + 5.0 + LEADING * lines)


def _draw_strip(pen: Pen, plan: PacketPlan, page: _Layout) -> None:
    """Draw how to fold, picture by picture, to one scale as long as that can be seen."""
    pen.within("steps")
    width = page.sheet.width - 2 * MARGIN
    columns, cell = _cells(plan, width)
    each = _strip_height(plan, width) / math.ceil(len(plan.pictures) / columns)
    first = _fit(plan.pictures[0].packet, _PICTURE)
    for k, picture in enumerate(plan.pictures):
        left = MARGIN + (k % columns) * cell
        top = page.strip + (k // columns) * each
        last = k == len(plan.pictures) - 1
        scale = min(_fit(picture.packet, _PICTURE), 2.6 * first)
        _draw_step(pen, picture, left, top, scale, plan if last else None)
        lines = wrap(f"{k + 1}. {picture.words}", BODY, cell - 4)
        pen.words([Word(line, left, top + _PICTURE + 4.2 + LEADING * row) for row, line in enumerate(lines)])


def _fit(shape: BaseGeometry, side: float) -> float:
    low_x, low_y, high_x, high_y = shape.bounds
    return float(side / max(high_x - low_x, high_y - low_y))


def _draw_step(
    pen: Pen, picture: StepPicture, left: float, top: float, scale: float, plan: PacketPlan | None
) -> None:
    low_x, low_y, high_x, high_y = picture.packet.bounds
    middle = ((low_x + high_x) / 2, (low_y + high_y) / 2)
    to = Onto(scale, middle, (left + _PICTURE / 2, pen.height - top - _PICTURE / 2))
    pen.area(to(picture.packet), fill=STAYS, stroke=BLACK, stroke_width=0.25, stroke_linejoin="round")
    if plan is not None:
        pen.area(to(plan.kept), fill=STAYS, stroke=BLACK, stroke_width=0.25, stroke_linejoin="round")
        pen.area(to(shapely.union_all(list(plan.openings))), fill=WHITE, stroke=BLACK, stroke_width=0.15)
    for line, valley in picture.lines:
        pen.crease(to(line), valley=valley, scale=0.55, width=0.22)
    if picture.turn is not None:
        draw_arrow(pen, to(picture.turn))


def _draw_wedge(pen: Pen, plan: PacketPlan, left: float, top: float) -> None:
    """Draw the wedge at true size: waste tinted, folds heavy, open edges fine, each with its name."""
    pen.within("template")
    low_x, _, _, high_y = plan.fold.wedge.bounds
    to = Onto(1.0, (low_x, high_y), (left, pen.height - top))
    paper = plan.kept.difference(shapely.union_all(list(plan.openings)))
    pen.area(to(plan.fold.wedge), fill=WHITE, id="waste")
    parts = shapely.get_parts(paper)
    whole = max(parts, key=lambda part: part.area)
    style: dict[str, Any] = {
        "fill": STAYS, "stroke": BLACK, "stroke_width": STROKE, "stroke_linejoin": "round",
    }  # fmt: skip
    pen.area(to(whole), id="wedge", **style)
    for part in parts:
        if part is not whole:
            pen.area(to(part), **style)
    pen.within("edges")
    middle = plan.fold.wedge.centroid
    for edge in plan.fold.edges:
        line = to(edge.line)
        width = {"fold": 0.6, "mixed": 0.6, "open": 0.15}[edge.role]
        dashes: dict[str, Any] = {"stroke_dasharray": "4 1"} if edge.role == "mixed" else {}
        pen.line(line, width=width, class_=edge.role, **dashes)
        _name_edge(pen, edge.line, describe_edge(edge), to, (middle.x, middle.y))


def _name_edge(pen: Pen, line: LineString, text: str, to: Onto, inside: tuple[float, float]) -> None:
    """Write what an edge is along its outside, shortened where the edge is."""
    length = line.length
    if width_of(text, BODY) > length:
        text = text.partition(":")[0].partition(",")[0]
    at = line.interpolate(0.5, normalized=True)
    before, after = line.interpolate(0.45, normalized=True), line.interpolate(0.55, normalized=True)
    dx, dy = after.x - before.x, after.y - before.y
    angle = math.degrees(math.atan2(dy, dx))
    outward = np.array([dy, -dx]) / math.hypot(dx, dy)
    if (at.x - inside[0]) * outward[0] + (at.y - inside[1]) * outward[1] < 0:
        outward = -outward
    angle = 90 - (90 - angle) % 180  # read from below or, where it stands upright, from the right
    up = np.array([-math.sin(math.radians(angle)), math.cos(math.radians(angle))])
    away = 1.5 if float(up @ outward) > 0 else 1.5 + 0.72 * BODY
    x, y = shapely.get_coordinates(to(at))[0] + outward * away
    pen.word_along(text, float(x), float(y), angle)


def _draw_view(pen: Pen, plan: PacketPlan, view: tuple[float, float, float]) -> None:
    """Draw the opened piece small, black where paper stays, and say how small."""
    pen.within("finished")
    left, top, side = view
    low_x, low_y, _high_x, high_y = plan.piece.bounds
    smaller = max(1, math.ceil(1 / _fit(plan.piece, side)))
    to = Onto(1 / smaller, (low_x, high_y), (left, pen.height - top))
    pen.area(to(plan.piece), fill=BLACK)
    under = top + (high_y - low_y) / smaller + 1.6 + CAP * BODY
    pen.words([Word(f"opened, 1 : {smaller}" if smaller > 1 else "opened, at true size", left, under)])


def _draw_pattern(pen: Pen, plan: PacketPlan, place: tuple[float, float, float]) -> None:
    """Draw the opened sheet's creases, with what their lines mean."""
    pen.within("creases")
    left, top, side = place
    low_x, _low_y, high_x, high_y = plan.fold.sheet.bounds
    scale = _fit(plan.fold.sheet, side)
    to = Onto(scale, (low_x, high_y), (left, pen.height - top))
    pen.area(to(plan.fold.sheet), fill="none", stroke=BLACK, stroke_width=0.2)
    for crease in plan.fold.creases:
        pen.crease(to(crease.line), valley=crease.valley, scale=0.55, width=0.2)
    beside = left + (high_x - low_x) * scale + 5.0
    for row, (name, valley) in enumerate((("valley fold", True), ("mountain fold", False))):
        y = top + 4.0 + row * 5.0
        pen.crease(LineString([(beside, pen.height - y), (beside + 13, pen.height - y)]), valley=valley)
        pen.words([Word(name, beside + 15, y + 0.9)])
    pen.words(
        [Word("the creases, opened,", beside, top + 16.0), Word("as you began", beside, top + 16.0 + LEADING)]
    )
