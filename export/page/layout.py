"""The printed page: which sheet, where the piece lies on it, its head, and the foot that says what it is.

Lengths are mm, and on a page y points down from its upper edge.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.sheets import SHEETS, Sheet, sheets_like, usual_sheets
from canivet.stock import Faces

from .fixing import fixing_places
from .foot import foot_block, lacking_characters, short_foot, size_of, title_of
from .marks import TITLE, Block
from .rulers import SCALE_WIDTH, edge_scales
from .setting import lacking_in_words
from .setup import USUAL, PageSetup
from .signs import head_block, head_height, says_what_to_do
from .view import PieceView

__all__ = ["AIR", "Page", "lay_out", "one_sheet_for", "page_remarks"]

AIR = 4.0
"""Least room between the piece and the rule over the foot."""

_UNDER_HEAD = 3.0
_OVER_RULERS = 2.2
_PRINTERS = "A4"
"""The paper of most printers: rather than take a larger sheet, the foot goes to a page of its own."""
_COLUMNS = (62.0, 84.0)
"""mm, widths of a foot that stands beside the piece."""


@dataclass(frozen=True, slots=True)
class Page:
    """A sheet as it lies, with pieces, words and marks in place on it.

    `rest` is the page after it, where the foot has one of its own.
    """

    sheet: Sheet
    pieces: tuple[PieceView, ...]
    block: Block
    rest: Page | None = None

    @property
    def left(self) -> float:
        """Where the first piece's left edge is."""
        return self.pieces[0].left

    @property
    def top(self) -> float:
        """Where the first piece's upper edge is."""
        return self.pieces[0].top

    def leaves(self) -> Iterator[Page]:
        """Yield this page, and the rest of it."""
        yield self
        if self.rest is not None:
            yield self.rest


@dataclass(frozen=True, slots=True)
class _Frame:
    """A sheet with head and foot in place: left, top, right and bottom of what is free for the piece."""

    sheet: Sheet
    room: tuple[float, float, float, float]
    block: Block
    rest: Page | None = None

    @property
    def size(self) -> tuple[float, float]:
        left, top, right, bottom = self.room
        return right - left, bottom - top


_Way = Callable[[Cutting, PageSetup, Sheet], "_Frame | None"]


def lay_out(cutting: Cutting, setup: PageSetup = USUAL) -> Page:
    """Lay the piece in the middle of what head and foot leave of the sheet.

    The sheet is turned where the piece has more room that way. The foot stands beneath the piece; where that
    leaves too little room it stands beside it, or has a page of its own. Without a sheet of its own the
    smallest of the A series that takes piece and foot is used.

    Parameters
    ----------
    cutting : Cutting
        What is printed.
    setup : PageSetup
        Its ink, which the foot explains, and its margin.

    Raises
    ------
    DoesNotFit
        If no way of laying the sheet takes piece, head and margins.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> lay_out(Cutting(box(0, 0, 101.6, 152.4), strap=1.2, title="Heron")).sheet.name
    'A5'
    >>> tall = lay_out(Cutting(box(0, 0, 190, 245), strap=1.2, title="Reeds"))
    >>> tall.sheet.name, tall.rest is None
    ('A4', False)
    """
    for sheet in [cutting.sheet] if cutting.sheet else usual_sheets():
        page = _laid_on(cutting, setup, sheet)
        if page is not None:
            return page
    raise _too_big(cutting, setup)


def one_sheet_for(cuttings: list[Cutting], setup: PageSetup = USUAL) -> Sheet | None:
    """Return the largest of the sheets that these would be printed on, or None if one fits on none.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> sizes = [(60, 90), (101.6, 152.4), (148, 210)]
    >>> one_sheet_for([Cutting(box(0, 0, w, h), strap=1, title="Wren") for w, h in sizes]).name
    'A4'
    """
    try:
        sheets = [lay_out(cutting, setup).sheet for cutting in cuttings]
    except DoesNotFit:
        return None
    largest = max(sheets, key=lambda sheet: sheet.width * sheet.height)
    return largest if largest.width <= largest.height else largest.turned()


def page_remarks(cutting: Cutting, setup: PageSetup = USUAL) -> tuple[str, ...]:
    """Return what of the words given does not stand on the page as it was given, a sentence each.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> page_remarks(Cutting(box(0, 0, 9, 9), strap=1, title="Heron 鷺"))[0].partition(".")[0]
    'the face of the page has no U+9DFA, which is left out of it'
    """
    remarks = []
    lacking = lacking_characters(cutting)
    if lacking:
        remarks.append(
            f"the face of the page has no {lacking_in_words(lacking)}, which is left out of it. "
            "Name a TTF or OTF file that has it as face of the sheet, or spell it otherwise."
        )
    title = title_of(cutting)
    try:
        leaves = list(lay_out(cutting, setup).leaves())
    except DoesNotFit:  # it is tiled, and its map has the title
        return tuple(remarks)
    shown = " ".join(word.text for word in leaves[-1].block.words if word.size == TITLE)
    if shown.endswith("…") and not title.endswith("…"):
        remarks.append(
            f"the title is {len(title)} characters long; the page shows its first {len(shown) - 1}. "
            "Shorten it to have all of it there."
        )
    return tuple(remarks)


def _laid_on(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> Page | None:
    """Lay the piece on one sheet, the foot where it may stay before where it has to go."""
    for way in _ways_for(cutting, sheet):
        page = _best_way_round(cutting, setup, sheet, way)
        if page is not None:
            return page
    return None


def _ways_for(cutting: Cutting, sheet: Sheet) -> tuple[_Way, ...]:
    usual = SHEETS[_PRINTERS]
    asked = cutting.sheet is not None or sheet.width * sheet.height >= usual.width * usual.height
    return (_foot_beneath, _foot_beside, _foot_apart) if asked else (_foot_beneath, _foot_beside)


def _best_way_round(cutting: Cutting, setup: PageSetup, sheet: Sheet, way: _Way) -> Page | None:
    """Lay the sheet whichever way leaves the piece more room; as given where there is little in it."""
    width, height = size_of(cutting)
    best: tuple[float, _Frame] | None = None
    for lying in (sheet, sheet.turned()):
        frame = way(cutting, setup, lying) if lying.width - 2 * setup.margin >= SCALE_WIDTH else None
        if frame is None or width > frame.size[0] + 1e-6 or height > frame.size[1] + 1e-6:
            continue
        ease = min(frame.size[0] / width, frame.size[1] / height)
        if best is None or ease > 1.1 * best[0]:
            best = (ease, frame)
    return _placed(cutting, best[1]) if best else None


def _foot_beneath(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> _Frame | None:
    head = _head(cutting, setup, sheet)
    width = sheet.width - 2 * setup.margin
    return _framed(setup, sheet, head, foot_block(cutting, setup, sheet, width, told=says_what_to_do(head)))


def _foot_apart(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> _Frame | None:
    """A line or two beneath the piece, and the foot on the next page."""
    margin, width = setup.margin, sheet.width - 2 * setup.margin
    foot = foot_block(cutting, setup, sheet, width, told=False)
    if margin + foot.height + _OVER_RULERS > sheet.height - margin:
        return None
    scales = edge_scales(sheet, margin, sheet.height - margin)
    rest = Page(sheet, (), scales.beside(foot.moved(margin, margin)))
    return _framed(setup, sheet, _head(cutting, setup, sheet), short_foot(cutting, setup, width), rest)


def _framed(
    setup: PageSetup, sheet: Sheet, head: Block, foot: Block, rest: Page | None = None
) -> _Frame | None:
    margin = setup.margin
    above = margin + head.height + _UNDER_HEAD
    foot_top = sheet.height - margin - _OVER_RULERS - foot.height
    if foot_top - AIR <= above:
        return None
    block = (
        edge_scales(sheet, margin, foot_top)
        .beside(head.moved(margin, margin))
        .beside(foot.moved(margin, foot_top))
    )
    return _Frame(sheet, (margin, above, sheet.width - margin, foot_top - AIR), block, rest)


def _foot_beside(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> _Frame | None:
    """The foot in a column on the right, where the sheet is high enough for it."""
    margin = setup.margin
    head = _head(cutting, setup, sheet)
    above, low = margin + head.height + _UNDER_HEAD, sheet.height - margin - _OVER_RULERS
    for column in _COLUMNS:
        right = sheet.width - margin - column - AIR
        foot = foot_block(cutting, setup, sheet, column, told=says_what_to_do(head))
        if above + foot.height > low or right - margin < SCALE_WIDTH:
            continue
        scales = edge_scales(sheet, margin, low)
        block = scales.beside(head.moved(margin, margin)).beside(
            foot.moved(sheet.width - margin - column, low - foot.height)
        )
        return _Frame(sheet, (margin, above, right, low), block)
    return None


def _placed(cutting: Cutting, frame: _Frame) -> Page:
    width, height = size_of(cutting)
    left, top, right, bottom = frame.room
    at = (left + (right - left - width) / 2, top + (bottom - top - height) / 2)
    view = PieceView(cutting.paper, cutting.stock.faces.mirrored, left=at[0], top=at[1])
    block = frame.block
    if cutting.stock.faces is Faces.DARK_BOTH_FACES:
        block = block.beside(fixing_places(view, (left, top - _UNDER_HEAD / 2, right, bottom + AIR / 2)))
    return Page(frame.sheet, (view,), block, frame.rest)


def _head(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> Block:
    return head_block(cutting.stock.faces, sheet.width - 2 * setup.margin, head_height(sheet))


def _too_big(cutting: Cutting, setup: PageSetup) -> DoesNotFit:
    width, height = size_of(cutting)
    piece = f"the piece is {format_mm(width, 1)} × {format_mm(height, 1)} mm"
    sheet = cutting.sheet
    if sheet is None:
        largest = usual_sheets()[-1]
        return DoesNotFit(
            f"{piece}; with its margins and foot it fits no sheet up to {largest}. "
            'Have it tiled, with pages = "tiled", or make it smaller.',
            parameter="size", value=(width, height), accepted=_rooms_in_words(cutting, setup, largest),
        )  # fmt: skip
    rooms = _rooms_in_words(cutting, setup, sheet)
    taker = next(
        (other.name for other in sheets_like(sheet) if _laid_on(cutting, setup, other) is not None), None
    )
    smaller = (
        [] if rooms.startswith("no") else ['have it tiled, with pages = "tiled"', "make the piece smaller"]
    )
    if setup.margin > USUAL.margin:
        smaller.append("lower the margin")
    ways = [f"take {taker}"] * (taker is not None) + smaller or ["take a larger sheet"]
    advice = ", ".join(ways[:-1]) + (", or " if ways[:-1] else "") + ways[-1]
    advice = advice[0].upper() + advice[1:]
    beside = f"margins of {format_mm(setup.margin)} mm" if setup.margin != USUAL.margin else "its margins"
    return DoesNotFit(
        f"{piece}; sheet {sheet} takes {rooms} beside {beside}, head and foot. {advice}.",
        parameter="sheet", value=sheet, accepted=rooms,
    )  # fmt: skip


def _rooms_in_words(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> str:
    rooms = []
    for lying in (sheet, sheet.turned()):
        if lying.width - 2 * setup.margin < SCALE_WIDTH:
            continue
        frame = _foot_apart(cutting, setup, lying) or _foot_beneath(cutting, setup, lying)
        if frame is not None:
            rooms.append(f"{format_mm(frame.size[0], 1)} × {format_mm(frame.size[1], 1)} mm")
    rooms = list(dict.fromkeys(rooms))
    return "up to " + " or ".join(rooms) if rooms else "no piece"
