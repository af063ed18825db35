"""The printed page: which sheet, where the piece lies on it, its head, and the foot that says what it is.

Lengths are mm, and on a page y points down from its upper edge.
"""

from __future__ import annotations

from dataclasses import dataclass

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.sheets import SHEETS, Sheet
from canivet.stock import Faces, Stock

from .fixing import fixing_places
from .marks import BODY, TITLE, TITLE_LEADING, Block, Mark, text_block
from .rulers import CHECK, SCALE_WIDTH, edge_scales
from .setting import lacking_in_words, set_line
from .signs import face_words, head_block, says_what_to_do, tone_block
from .tones import Ink, ink_share
from .view import PieceView
from .words import clean, flow, with_real_quotes, wrap, wrap_evenly

__all__ = ["AIR", "CAUTIONS", "MARGIN", "Page", "lay_out", "page_remarks"]

MARGIN = 8.0
"""Kept free all round but for the rulers: printers leave 4 to 5 mm unprinted (common practice)."""
AIR = 4.0
"""Least room between the piece and the rule over the foot."""

_UNDER_HEAD = 3.0
_OVER_RULERS = 2.2
_GAP = 2.6
_GUTTER = 7.0
_RULE = 2.2
_UNDER_TITLE = 2.4
_USUAL = ("A6", "A5", "A4", "A3", "A2", "A1", "A0")
CAUTIONS = (
    "Cut away from your free hand.",
    "Spent blades go in a rigid container, by local rules.",
    "Mind glass edges.",
    "The maker’s instructions come first.",
)


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet as it lies, with pieces, words and marks in place on it."""

    sheet: Sheet
    pieces: tuple[PieceView, ...]
    block: Block

    @property
    def left(self) -> float:
        """Where the first piece's left edge is."""
        return self.pieces[0].left

    @property
    def top(self) -> float:
        """Where the first piece's upper edge is."""
        return self.pieces[0].top


def lay_out(cutting: Cutting, *, ink: Ink = "solid") -> Page:
    """Lay the piece in the middle of what head and foot leave of the sheet.

    The sheet is turned where the piece has more room that way. Without a sheet of its own the smallest of
    the A series that takes piece and foot is used.

    Parameters
    ----------
    cutting : Cutting
        What is printed.
    ink : {"solid", "lines", "tint"}
        How it is drawn, which the foot explains. Default ``solid``.

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
        page = _best_way_round(cutting, ink, sheet, width, height)
        if page is not None:
            return page
    raise _too_big(cutting, ink, width, height)


def page_remarks(cutting: Cutting) -> tuple[str, ...]:
    """Return what of the words given does not stand on the page as it was given, a sentence each.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> page_remarks(Cutting(box(0, 0, 9, 9), strap=1, title="Heron 鷺"))[0].partition(".")[0]
    'the face of the page has no U+9DFA, which is left out of it'
    """
    remarks = []
    lacking = _lacking(cutting)
    if lacking:
        remarks.append(
            f"the face of the page has no {lacking_in_words(lacking)}, which is left out of it. "
            "Name a TTF or OTF file that has it as face of the sheet, or spell it otherwise."
        )
    title = _title_of(cutting)
    shown = " ".join(word.text for word in lay_out(cutting).block.words if word.size == TITLE)
    if shown.endswith("…") and not title.endswith("…"):
        remarks.append(
            f"the title is {len(title)} characters long; the page shows its first {len(shown) - 1}. "
            "Shorten it to have all of it there."
        )
    return tuple(remarks)


def _best_way_round(cutting: Cutting, ink: Ink, sheet: Sheet, width: float, height: float) -> Page | None:
    """Lay the sheet whichever way leaves the piece more room; as given where there is little in it."""
    best: tuple[float, Page] | None = None
    for lying in (sheet, sheet.turned()):
        if lying.width - 2 * MARGIN < SCALE_WIDTH:
            continue
        head, foot = _head(cutting, lying), _foot(cutting, ink, lying)
        wide, high = _room_on(lying, head, foot)
        if width > wide + 1e-6 or height > high + 1e-6:
            continue
        ease = min(wide / width, high / height)
        if best is None or ease > 1.1 * best[0]:
            best = (ease, _placed(cutting, lying, head, foot))
    return best[1] if best else None


def _room_on(sheet: Sheet, head: Block, foot: Block) -> tuple[float, float]:
    taken = head.height + _UNDER_HEAD + AIR + foot.height + _OVER_RULERS
    return sheet.width - 2 * MARGIN, sheet.height - 2 * MARGIN - taken


def _placed(cutting: Cutting, sheet: Sheet, head: Block, foot: Block) -> Page:
    width, height = _size_of(cutting)
    above = MARGIN + head.height + _UNDER_HEAD
    foot_top = sheet.height - MARGIN - _OVER_RULERS - foot.height
    left, top = (sheet.width - width) / 2, above + (foot_top - AIR - above - height) / 2
    view = PieceView(cutting.paper, cutting.stock.faces.mirrored, left=left, top=top)
    block = (
        edge_scales(sheet, MARGIN, foot_top)
        .beside(head.moved(MARGIN, MARGIN))
        .beside(foot.moved(MARGIN, foot_top))
    )
    if cutting.stock.faces is Faces.DARK_BOTH_FACES:
        window = MARGIN, above - _UNDER_HEAD / 2, sheet.width - MARGIN, foot_top - AIR / 2
        block = block.beside(fixing_places(view, window))
    return Page(sheet, (view,), block)


def _head(cutting: Cutting, sheet: Sheet) -> Block:
    """A twenty-eighth of the sheet high, so that it is seen as well on every size."""
    height = min(16.0, max(6.0, sheet.height / 28))
    return head_block(cutting.stock.faces, sheet.width - 2 * MARGIN, height)


def _foot(cutting: Cutting, ink: Ink, sheet: Sheet) -> Block:
    """Set title, facts and what to mind under a fine rule, in two columns where the sheet is wide enough."""
    width = sheet.width - 2 * MARGIN
    column = (width - _GUTTER) / 2 if width >= 112 else width
    facts = text_block(flow(_facts(cutting, ink, sheet), BODY, column, face=cutting.face), column)
    minding = _stacked(column, tone_block(ink, width=column), text_block(_cautions(column), column))
    if not says_what_to_do(_head(cutting, sheet)):
        facts = _stacked(column, face_words(cutting.stock.faces, column), facts)
    if column < width:
        body = Block(width, facts.height, facts.words, facts.marks).beside(
            minding.moved(column + _GUTTER, 0.0)
        )
    else:
        body = _stacked(width, facts, minding)
    notes = text_block(_notes(cutting, sheet, width), width)
    title = text_block(_title(cutting, width), width, size=TITLE, leading=TITLE_LEADING)
    told = _stacked(width, title, _stacked(width, body, notes), gap=_UNDER_TITLE).moved(0.0, _RULE)
    rule = Mark("rule", (((0.0, 0.0), (width, 0.0)),), width=0.15)
    return Block(width, told.height + _RULE, told.words, (rule, *told.marks))


def _title_of(cutting: Cutting) -> str:
    return with_real_quotes(clean(cutting.title))


def _title(cutting: Cutting, width: float) -> list[str]:
    # Far more than two lines take: what is longer is shortened anyway, and need not be measured.
    title = _title_of(cutting)
    lines = wrap(title[:1000], TITLE, width, most=2, face=cutting.face)
    return [line for line in lines if line]


def _facts(cutting: Cutting, ink: Ink, sheet: Sheet) -> list[str]:
    width, height = _size_of(cutting)
    return [
        f"{format_mm(width, 1)} × {format_mm(height, 1)} mm "
        f"({format_mm(width / 25.4, 2)} × {format_mm(height / 25.4, 2)} in)",
        f"straps {format_mm(cutting.strap, 2)} mm or wider",
        f"paper {cutting.stock.faces.value}",
        _thickness_in_words(cutting.stock),
        f"sheet {clean(sheet.name)}",
        f"ink on {100 * ink_share(cutting.paper, ink):.0f} % of it",
    ]


def _notes(cutting: Cutting, sheet: Sheet, width: float) -> list[str]:
    notes = [with_real_quotes(clean(note)) for note in cutting.notes]
    lacking = _lacking(cutting)
    notes += [f"Left out, not in the face: {lacking_in_words(lacking)}."] if lacking else []
    notes += [] if edge_scales(sheet, MARGIN, 0.0).words else [CHECK]
    return [line for note in notes for line in wrap(note, BODY, width, face=cutting.face) if line]


def _lacking(cutting: Cutting) -> tuple[str, ...]:
    """Return the characters of its title and notes that no face at hand has."""
    given = (_title_of(cutting)[:1000], *(clean(note) for note in cutting.notes))
    lacking = (set_line(text, face=cutting.face).lacking for text in given)
    return tuple(dict.fromkeys(character for characters in lacking for character in characters))


def _cautions(width: float) -> list[str]:
    """Break the line of cautions between its sentences where that takes no more lines."""
    by_word = wrap_evenly(" ".join(CAUTIONS), BODY, width)
    by_sentence = flow(CAUTIONS, BODY, width, between=" ")
    return by_sentence if len(by_sentence) <= len(by_word) else by_word


def _thickness_in_words(stock: Stock) -> str:
    grammage = "" if stock.grammage is None else f"{stock.grammage:g} g/m², "
    return f"{grammage}{format_mm(stock.thickness)} mm thick"


def _stacked(width: float, *blocks: Block, gap: float = _GAP) -> Block:
    top, whole = 0.0, Block(width, 0.0)
    for block in (block for block in blocks if block.height):
        whole = whole.beside(block.moved(0.0, top))
        top += block.height + gap
    return Block(width, max(0.0, top - gap), whole.words, whole.marks)


def _size_of(cutting: Cutting) -> tuple[float, float]:
    left, bottom, right, top = cutting.paper.bounds
    return right - left, top - bottom


def _too_big(cutting: Cutting, ink: Ink, width: float, height: float) -> DoesNotFit:
    piece = f"the piece is {format_mm(width, 1)} × {format_mm(height, 1)} mm"
    sheet = cutting.sheet
    if sheet is None:
        largest = SHEETS[_USUAL[-1]]
        return DoesNotFit(
            f"{piece}; with its margins and foot it fits no sheet up to {largest}. "
            "Make it smaller, or cut it in parts.",
            parameter="size", value=(width, height), accepted=_rooms_in_words(cutting, ink, largest),
        )  # fmt: skip
    rooms = _rooms_in_words(cutting, ink, sheet)
    taker = next(
        (name for name in _USUAL if _best_way_round(cutting, ink, SHEETS[name], width, height) is not None),
        None,
    )
    advice = f"Take {taker}, or make the piece smaller." if taker else "Make the piece smaller."
    return DoesNotFit(
        f"{piece}; sheet {sheet} takes {rooms} beside its margins and foot. {advice}",
        parameter="sheet", value=sheet, accepted=rooms,
    )  # fmt: skip


def _rooms_in_words(cutting: Cutting, ink: Ink, sheet: Sheet) -> str:
    rooms = []
    for lying in (sheet, sheet.turned()):
        if lying.width - 2 * MARGIN >= SCALE_WIDTH:
            wide, high = _room_on(lying, _head(cutting, lying), _foot(cutting, ink, lying))
            if high > 0:
                rooms.append(f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm")
    rooms = list(dict.fromkeys(rooms))
    return "up to " + " or ".join(rooms) if rooms else "no piece"
