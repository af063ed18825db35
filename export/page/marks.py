"""What stands beside the piece on its page: words and marks, placed together in blocks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from .words import clean, with_real_quotes, wrap

__all__ = [
    "BODY",
    "CAP",
    "LEADING",
    "TITLE",
    "TITLE_LEADING",
    "Block",
    "Mark",
    "Point",
    "Word",
    "stacked",
    "text_block",
    "title_block",
]

Point = tuple[float, float]

BODY = 3.1
"""Type size in mm. The face's x-height, 0.46 of it, is 1.43 mm: 1.4 mm is the least that reads easily at
40 cm (Legge & Bigelow, J. Vision 2011)."""
LEADING = 3.7
TITLE = 5.2
TITLE_LEADING = 6.0

CAP = 0.642
"""Height of a capital over the type size, in the shipped face."""


@dataclass(frozen=True, slots=True)
class Word:
    """A line of type: its baseline's left end in mm, y down, its size, weight and tone.

    `tracking` is added after each letter, in ems.
    """

    text: str
    x: float
    y: float
    size: float = BODY
    bold: bool = False
    tone: str = "ink"
    tracking: float = 0.0


@dataclass(frozen=True, slots=True)
class Mark:
    """Lines or filled shapes of one group; `fill` and `stroke` are ``ink``, ``white``, ``faint`` or None."""

    group: str
    lines: tuple[tuple[Point, ...], ...]
    stroke: str | None = "ink"
    fill: str | None = None
    width: float = 0.2


@dataclass(frozen=True, slots=True)
class Block:
    """Words and marks that are placed together, from their own top left corner, y down."""

    width: float
    height: float
    words: tuple[Word, ...] = ()
    marks: tuple[Mark, ...] = ()

    def moved(self, dx: float, dy: float) -> Block:
        """Return the same block elsewhere on the page."""
        words = tuple(replace(word, x=word.x + dx, y=word.y + dy) for word in self.words)
        marks = tuple(replace(mark, lines=_moved(mark.lines, dx, dy)) for mark in self.marks)
        return replace(self, words=words, marks=marks)

    def scaled(self, factor: float) -> Block:
        """Return a block of marks alone, larger or smaller."""
        marks = tuple(replace(mark, lines=_times(mark.lines, factor)) for mark in self.marks)
        return Block(factor * self.width, factor * self.height, (), marks)

    def beside(self, other: Block) -> Block:
        """Return both as one, each where it is."""
        width, height = max(self.width, other.width), max(self.height, other.height)
        return Block(width, height, self.words + other.words, self.marks + other.marks)


def stacked(*blocks: Block, gap: float, width: float | None = None) -> Block:
    """Put blocks one under the other; empty ones take no room.

    Parameters
    ----------
    blocks : Block
        From the top down.
    gap : float
        mm between them.
    width : float, optional
        mm; the widest block's if not given.

    Examples
    --------
    >>> stacked(Block(4, 2), Block(9, 0), Block(6, 3), gap=1)
    Block(width=9, height=6.0, words=(), marks=())
    """
    top, whole = 0.0, Block(0.0, 0.0)
    for block in (block for block in blocks if block.height):
        whole = whole.beside(block.moved(0.0, top))
        top += block.height + gap
    across = max((block.width for block in blocks), default=0.0) if width is None else width
    return Block(across, max(0.0, top - gap), whole.words, whole.marks)


def text_block(
    lines: Iterable[str], width: float, *, size: float = BODY, leading: float = LEADING, top: float = 0.0
) -> Block:
    """Lines of type one under the other, the capitals of the first reaching up to `top`."""
    first = top + CAP * size
    words = tuple(Word(line, 0.0, first + leading * row, size) for row, line in enumerate(lines))
    return Block(width, words[-1].y if words else 0.0, words)


def title_block(title: str, width: float, *, most: int = 2) -> Block:
    """Set a title over what it names, on so many lines at most."""
    lines = wrap(with_real_quotes(clean(title)), TITLE, width, most=most)
    return text_block(lines, width, size=TITLE, leading=TITLE_LEADING)


def _moved(lines: Iterable[tuple[Point, ...]], dx: float, dy: float) -> tuple[tuple[Point, ...], ...]:
    return tuple(tuple((x + dx, y + dy) for x, y in line) for line in lines)


def _times(lines: Iterable[tuple[Point, ...]], factor: float) -> tuple[tuple[Point, ...], ...]:
    return tuple(tuple((factor * x, factor * y) for x, y in line) for line in lines)
