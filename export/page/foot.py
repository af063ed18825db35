"""The foot of a page: what the piece is, which tone goes, and what to mind."""

from __future__ import annotations

from functools import lru_cache

from canivet.cutting import Cutting
from canivet.lengths import format_mm
from canivet.sheets import Sheet
from canivet.stock import Stock

from .marks import BODY, TITLE, TITLE_LEADING, Block, Mark, stacked, text_block
from .rulers import CHECK, edge_scales
from .setting import lacking_in_words, set_line
from .setup import PageSetup
from .signs import face_words, tone_block
from .tones import ink_share
from .words import clean, flow, with_real_quotes, wrap, wrap_evenly

__all__ = ["CAUTIONS", "foot_block", "lacking_characters", "short_foot", "size_of", "title_of"]

_GAP = 2.6
_GUTTER = 7.0
_RULE = 2.2
_UNDER_TITLE = 2.4
_TWO_COLUMNS = 112.0
_NEXT = "what to know is on the next page"
CAUTIONS = (
    "Cut away from your free hand.",
    "Spent blades go in a rigid container, by local rules.",
    "Mind glass edges.",
    "The maker’s instructions come first.",
)


def foot_block(cutting: Cutting, setup: PageSetup, sheet: Sheet, width: float, *, told: bool) -> Block:
    """Set title, facts and what to mind under a fine rule, in two columns where there is room for them.

    Parameters
    ----------
    cutting, setup
        What is printed, and how.
    sheet : Sheet
        As it lies.
    width : float
        Room for the foot, mm.
    told : bool
        Whether the head already says what to do.
    """
    column = (width - _GUTTER) / 2 if width >= _TWO_COLUMNS else width
    facts = text_block(flow(_facts(cutting, setup, sheet), BODY, column, face=cutting.face), column)
    minding = stacked(
        tone_block(setup.ink, width=column), text_block(_cautions(column), column), gap=_GAP, width=column
    )
    if not told:
        facts = stacked(face_words(cutting.stock.faces, column), facts, gap=_GAP, width=column)
    if column < width:
        body = Block(width, facts.height, facts.words, facts.marks).beside(
            minding.moved(column + _GUTTER, 0.0)
        )
    else:
        body = stacked(facts, minding, gap=_GAP, width=width)
    notes = text_block(_notes(cutting, setup, sheet, width), width)
    title = text_block(_title(cutting, width), width, size=TITLE, leading=TITLE_LEADING)
    return _under_a_rule(
        width, stacked(title, stacked(body, notes, gap=_GAP, width=width), gap=_UNDER_TITLE, width=width)
    )


def short_foot(cutting: Cutting, setup: PageSetup, width: float) -> Block:
    """The tones, and under them the title and the size in a line: the rest is on a page of its own."""
    wide, high = size_of(cutting)
    size = f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm"
    title = wrap(title_of(cutting)[:1000], BODY, max(width / 2, width - 60), most=1, face=cutting.face)
    said = text_block(flow([*title, size, _NEXT], BODY, width, face=cutting.face), width)
    return _under_a_rule(width, stacked(tone_block(setup.ink, width=width), said, gap=1.6, width=width))


def size_of(cutting: Cutting) -> tuple[float, float]:
    """Return the width and height of a piece, mm."""
    left, bottom, right, top = cutting.paper.bounds
    return right - left, top - bottom


def title_of(cutting: Cutting) -> str:
    """Return what a piece is called, as it is set."""
    return with_real_quotes(clean(cutting.title))


def lacking_characters(cutting: Cutting) -> tuple[str, ...]:
    """Return the characters of its title and notes that no face at hand has."""
    given = (title_of(cutting)[:1000], *(clean(note) for note in cutting.notes))
    lacking = (set_line(text, face=cutting.face).lacking for text in given)
    return tuple(dict.fromkeys(character for characters in lacking for character in characters))


def _under_a_rule(width: float, told: Block) -> Block:
    told = told.moved(0.0, _RULE)
    rule = Mark("rule", (((0.0, 0.0), (width, 0.0)),), width=0.15)
    return Block(width, told.height + _RULE, told.words, (rule, *told.marks))


def _title(cutting: Cutting, width: float) -> list[str]:
    # Far more than two lines take: what is longer is shortened anyway, and need not be measured.
    lines = wrap(title_of(cutting)[:1000], TITLE, width, most=2, face=cutting.face)
    return [line for line in lines if line]


def _facts(cutting: Cutting, setup: PageSetup, sheet: Sheet) -> list[str]:
    width, height = size_of(cutting)
    return [
        f"{format_mm(width, 1)} × {format_mm(height, 1)} mm "
        f"({format_mm(width / 25.4, 2)} × {format_mm(height / 25.4, 2)} in)",
        f"straps {format_mm(cutting.strap, 2)} mm or wider",
        f"paper {cutting.stock.faces.value}",
        _thickness_in_words(cutting.stock),
        f"sheet {clean(sheet.name)}",
        f"ink on {100 * ink_share(cutting.paper, setup.ink):.0f} % of it",
    ]


def _notes(cutting: Cutting, setup: PageSetup, sheet: Sheet, width: float) -> list[str]:
    notes = [with_real_quotes(clean(note)) for note in cutting.notes]
    lacking = lacking_characters(cutting)
    notes += [f"Left out, not in the face: {lacking_in_words(lacking)}."] if lacking else []
    notes += [] if edge_scales(sheet, setup.margin, 0.0).words else [CHECK]
    return [line for note in notes for line in wrap(note, BODY, width, face=cutting.face) if line]


@lru_cache(maxsize=64)  # plates of a series have the same
def _cautions(width: float) -> list[str]:
    """Break the line of cautions between its sentences where that takes no more lines."""
    by_word = wrap_evenly(" ".join(CAUTIONS), BODY, width)
    by_sentence = flow(CAUTIONS, BODY, width, between=" ")
    return by_sentence if len(by_sentence) <= len(by_word) else by_word


def _thickness_in_words(stock: Stock) -> str:
    grammage = "" if stock.grammage is None else f"{stock.grammage:g} g/m², "
    return f"{grammage}{format_mm(stock.thickness)} mm thick"
