"""The printed page: which sheet, where the piece lies on it, and the foot that says what it is.

Lengths are mm, and on a page y points down from its upper edge.
"""

from __future__ import annotations

from dataclasses import dataclass

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.sheets import SHEETS, Sheet
from canivet.stock import Stock

from .marks import (
    BODY,
    SCALE_WIDTH,
    TITLE,
    TITLE_LEADING,
    Block,
    Mark,
    face_block,
    face_sign,
    face_words,
    scale_block,
    text_block,
)
from .words import clean, flow, wrap, wrap_evenly

__all__ = ["AIR", "MARGIN", "Page", "lay_out"]

MARGIN = 8.0
"""Kept free all round: printers leave 4 to 5 mm unprinted (common practice)."""
AIR = 4.0
"""Least room between the piece and the rule over the foot."""

_GAP = 3.4
_GUTTER = 7.0
_RULE = 2.2
_USUAL = ("A6", "A5", "A4", "A3", "A2", "A1", "A0")
CAUTIONS = (
    "Cut away from your free hand.",
    "Spent blades go in a rigid container, by local rules.",
    "Mind glass edges.",
    "The maker’s instructions come first.",
)


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet as it lies, the piece's upper left corner on it, and the foot's words and marks in place."""

    sheet: Sheet
    left: float
    top: float
    foot: Block


def lay_out(cutting: Cutting) -> Page:
    """Lay the piece in the middle of what its foot leaves of the sheet.

    The sheet is turned where the piece has more room that way. Without a sheet of its own the smallest of
    the A series that takes piece and foot is used.

    Raises
    ------
    DoesNotFit
        If no way of laying the sheet takes both.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> lay_out(Cutting(box(0, 0, 101.6, 152.4), strap=1.2, title="Heron")).sheet.name
    'A5'
    """
    width, height = _size_of(cutting)
    for sheet in [cutting.sheet] if cutting.sheet else [SHEETS[name] for name in _USUAL]:
        page = _best_way_round(cutting, sheet, width, height)
        if page is not None:
            return page
    raise _too_big(cutting, width, height)


def _best_way_round(cutting: Cutting, sheet: Sheet, width: float, height: float) -> Page | None:
    """Lay the sheet whichever way leaves the piece more room; as given where there is little in it."""
    best: tuple[float, Page] | None = None
    for lying in (sheet, sheet.turned()):
        if lying.width - 2 * MARGIN < SCALE_WIDTH:
            continue
        foot = _foot(cutting, lying)
        wide, high = _room_on(lying, foot)
        if width > wide + 1e-6 or height > high + 1e-6:
            continue
        ease = min(wide / width, high / height)
        if best is None or ease > 1.1 * best[0]:
            best = (ease, _placed(lying, foot, width, height))
    return best[1] if best else None


def _room_on(sheet: Sheet, foot: Block) -> tuple[float, float]:
    return sheet.width - 2 * MARGIN, sheet.height - 2 * MARGIN - foot.height - AIR


def _placed(sheet: Sheet, foot: Block, width: float, height: float) -> Page:
    foot_top = sheet.height - MARGIN - foot.height
    left = (sheet.width - width) / 2
    top = MARGIN + (foot_top - AIR - MARGIN - height) / 2
    return Page(sheet, left, top, foot.moved(MARGIN, foot_top))


def _foot(cutting: Cutting, sheet: Sheet) -> Block:
    """Set the foot in three columns, two or one, as the sheet's width allows, under a fine rule."""
    width = sheet.width - 2 * MARGIN
    if width >= 165:
        body = _three_columns(cutting, sheet, width)
    elif width >= 112:
        body = _two_columns(cutting, sheet, width)
    elif width >= SCALE_WIDTH + 30:
        body = _narrow_columns(cutting, sheet, width)
    else:
        body = _one_column(cutting, sheet, width)
    rule = Mark("rule", (((0.0, 0.0), (width, 0.0)),), stroke="faint", width=0.15)
    moved = body.moved(0.0, _RULE)
    return Block(width, moved.height + _RULE, moved.words, (rule, *moved.marks))


def _three_columns(cutting: Cutting, sheet: Sheet, width: float) -> Block:
    middle = 62.0
    heading = _heading(cutting, sheet, width - middle - SCALE_WIDTH - 2 * _GUTTER)
    faces = face_block(cutting.stock.faces, middle).moved(heading.width + _GUTTER, 0.0)
    scale = scale_block().moved(width - SCALE_WIDTH, 0.0)
    closing = text_block(_notes(cutting, width) + _cautions(width), width)
    return _stacked(width, _together(width, heading, faces, scale), closing)


def _two_columns(cutting: Cutting, sheet: Sheet, width: float) -> Block:
    left = width - SCALE_WIDTH - _GUTTER
    telling = _stacked(left, _heading(cutting, sheet, left), face_block(cutting.stock.faces, left))
    minding = _stacked(SCALE_WIDTH, scale_block(), text_block(_cautions(SCALE_WIDTH), SCALE_WIDTH))
    columns = _together(width, telling, minding.moved(left + _GUTTER, 0.0))
    return _stacked(width, columns, text_block(_notes(cutting, width), width))


def _narrow_columns(cutting: Cutting, sheet: Sheet, width: float) -> Block:
    """Set the heading across, and under it what is measured beside what is looked at."""
    gutter = 5.0
    right = width - SCALE_WIDTH - gutter
    sign = face_sign(cutting.stock.faces)
    looking = _stacked(right, sign, face_words(cutting.stock.faces, right))
    minding = _stacked(SCALE_WIDTH, scale_block(), text_block(_cautions(SCALE_WIDTH), SCALE_WIDTH))
    columns = _together(width, minding, looking.moved(SCALE_WIDTH + gutter, 0.0))
    return _stacked(
        width, _heading(cutting, sheet, width), columns, text_block(_notes(cutting, width), width)
    )


def _one_column(cutting: Cutting, sheet: Sheet, width: float) -> Block:
    return _stacked(
        width,
        _heading(cutting, sheet, width),
        face_block(cutting.stock.faces, width),
        scale_block(),
        text_block(_notes(cutting, width) + _cautions(width), width),
    )


def _notes(cutting: Cutting, width: float) -> list[str]:
    return [line for note in cutting.notes for line in wrap(clean(note), BODY, width) if line]


def _cautions(width: float) -> list[str]:
    """Break the line of cautions between its sentences where that takes no more lines."""
    by_word = wrap_evenly(" ".join(CAUTIONS), BODY, width)
    by_sentence = flow(CAUTIONS, BODY, width, between=" ")
    return by_sentence if len(by_sentence) <= len(by_word) else by_word


def _heading(cutting: Cutting, sheet: Sheet, width: float) -> Block:
    """The title over the facts."""
    piece_width, piece_height = _size_of(cutting)
    facts = [
        f"{format_mm(piece_width, 1)} × {format_mm(piece_height, 1)} mm "
        f"({format_mm(piece_width / 25.4, 2)} × {format_mm(piece_height / 25.4, 2)} in)",
        f"straps {format_mm(cutting.strap, 2)} mm or wider",
        f"paper {cutting.stock.faces.value}",
        _thickness_in_words(cutting.stock),
        f"sheet {clean(sheet.name)}",
    ]
    title = wrap(clean(cutting.title), TITLE, width, most=2)
    head = text_block([line for line in title if line], width, size=TITLE, leading=TITLE_LEADING)
    rest = text_block(flow(facts, BODY, width), width)
    return _stacked(width, head, rest, gap=2.2)


def _thickness_in_words(stock: Stock) -> str:
    grammage = "" if stock.grammage is None else f"{stock.grammage:g} g/m², "
    return f"{grammage}{format_mm(stock.thickness)} mm thick"


def _together(width: float, *blocks: Block) -> Block:
    """Put blocks that are already side by side under one height."""
    return Block(
        width,
        max(block.height for block in blocks),
        tuple(word for block in blocks for word in block.words),
        tuple(mark for block in blocks for mark in block.marks),
    )


def _stacked(width: float, *blocks: Block, gap: float = _GAP) -> Block:
    top, placed = 0.0, []
    for block in (block for block in blocks if block.height):
        placed.append(block.moved(0.0, top))
        top += block.height + gap
    whole = _together(width, *placed)
    return Block(width, top - gap, whole.words, whole.marks)


def _size_of(cutting: Cutting) -> tuple[float, float]:
    left, bottom, right, top = cutting.paper.bounds
    return right - left, top - bottom


def _too_big(cutting: Cutting, width: float, height: float) -> DoesNotFit:
    piece = f"the piece is {format_mm(width, 1)} × {format_mm(height, 1)} mm"
    sheet = cutting.sheet
    if sheet is None:
        largest = SHEETS[_USUAL[-1]]
        return DoesNotFit(
            f"{piece}; with its margins and foot it fits no sheet up to {largest}. "
            "Make it smaller, or cut it in parts.",
            parameter="size", value=(width, height), accepted=_rooms_in_words(cutting, largest),
        )  # fmt: skip
    rooms = _rooms_in_words(cutting, sheet)
    taker = next(
        (name for name in _USUAL if _best_way_round(cutting, SHEETS[name], width, height) is not None), None
    )
    advice = f"Take {taker}, or make the piece smaller." if taker else "Make the piece smaller."
    return DoesNotFit(
        f"{piece}; sheet {sheet} takes {rooms} beside its margins and foot. {advice}",
        parameter="sheet", value=sheet, accepted=rooms,
    )  # fmt: skip


def _rooms_in_words(cutting: Cutting, sheet: Sheet) -> str:
    rooms = []
    for lying in (sheet, sheet.turned()):
        if lying.width - 2 * MARGIN >= SCALE_WIDTH:
            wide, high = _room_on(lying, _foot(cutting, lying))
            if high > 0:
                rooms.append(f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm")
    rooms = list(dict.fromkeys(rooms))
    return "up to " + " or ".join(rooms) if rooms else "no piece"
