"""A page round a piece seen from behind or before, with words above and below: shared by all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.export.page.marks import BODY, Block, stacked, text_block, title_block
from canivet.export.page.pen import Pen
from canivet.export.page.rulers import SCALE_WIDTH, scale_block
from canivet.export.page.setup import MARGIN
from canivet.export.page.signs import head_block, head_height
from canivet.export.page.view import PieceView
from canivet.export.page.words import clean, flow, with_real_quotes, wrap
from canivet.lengths import format_mm
from canivet.sheets import Sheet, usual_sheets
from canivet.stock import Faces

__all__ = ["PiecePage", "open_page", "words_block"]

_GAP = 3.0


@dataclass(frozen=True, slots=True)
class PiecePage:
    """A page begun: its pen, where the piece lies on it, and its sheet."""

    pen: Pen
    view: PieceView
    sheet: Sheet


def open_page(
    paper: Polygon,
    title: str,
    facts: Sequence[str],
    notes: Sequence[str],
    *,
    mirrored: bool,
    around: float = 0.0,
    preferred: Sheet | None = None,
) -> PiecePage:
    """Begin a page with a piece at true size: its title and facts above, notes and rulers below.

    Parameters
    ----------
    paper : Polygon
        What is to lie on the page, mm as seen from the front.
    title : str
    facts : sequence of str
        Short ones, set in a row.
    notes : sequence of str
        Sentences under the piece, each on a line of its own.
    mirrored : bool
        Whether it is seen from behind; a band says so.
    around : float
        mm left free round the piece.
    preferred : Sheet, optional
        Taken where it has room, else the smallest of the A series that has.

    Raises
    ------
    DoesNotFit
        If no sheet has room.
    """
    x0, y0, x1, y1 = paper.bounds
    width, height = x1 - x0, y1 - y0
    for sheet in [*([preferred] if preferred else []), *usual_sheets("A5")]:
        for lying in (sheet, sheet.turned()):
            wide = lying.width - 2 * MARGIN
            head = _head(title, facts, wide, head_height(lying), mirrored=mirrored)
            foot = _foot(notes, wide)
            high = lying.height - 2 * MARGIN - head.height - foot.height - 2 * _GAP
            if width + 2 * around > wide or height + 2 * around > high:
                continue
            top = MARGIN + head.height + _GAP + (high - height) / 2
            pen = Pen(lying, title)
            pen.block(head, MARGIN, MARGIN)
            pen.block(foot, MARGIN, lying.height - MARGIN - foot.height)
            return PiecePage(pen, PieceView(paper, mirrored, left=(lying.width - width) / 2, top=top), lying)
    raise DoesNotFit(
        f"the piece is {format_mm(width, 1)} × {format_mm(height, 1)} mm; no sheet up to A0 takes it with "
        f"what is said on the page {clean(title)!r}. Make the piece smaller.",
        parameter="size", value=(width, height), accepted="a piece that fits on A0",
    )  # fmt: skip


def words_block(lines: Sequence[str], width: float) -> Block:
    """Set sentences, each on lines of its own."""
    broken = [row for line in lines for row in wrap(with_real_quotes(clean(line)), BODY, width) if row]
    return text_block(broken, width)


def _head(title: str, facts: Sequence[str], width: float, height: float, *, mirrored: bool) -> Block:
    return stacked(
        head_block(Faces.PLAIN, width, height, told=False) if mirrored else Block(0.0, 0.0),
        title_block(title, width),
        text_block(flow(facts, BODY, width), width),
        gap=_GAP,
    )


def _foot(notes: Sequence[str], width: float) -> Block:
    beside = width - SCALE_WIDTH - 2 * _GAP >= 70
    scale = scale_block()
    words = words_block(notes, width - SCALE_WIDTH - 2 * _GAP if beside else width)
    if not beside:
        return stacked(words, scale, gap=_GAP)
    return scale.beside(words.moved(SCALE_WIDTH + 2 * _GAP, 0.0))
