"""Rulers to measure the print by: along two edges of the page, or where there is room."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from canivet.sheets import Sheet

from .marks import BODY, CAP, Block, Mark, Point, Word
from .words import width_of

__all__ = ["CHECK", "SCALE_WIDTH", "edge_scales", "scale_block"]

SCALE_WIDTH = 50.8
_TICK = 1.5

CHECK = "50 mm · 2 in: measure both rulers; print at 100 %"
_IN_MARGIN = 1.3
"""mm of the rulers' lines outside the margin's inner edge: still inside what printers can reach."""
_SMALL_TICK = 0.9


@lru_cache(maxsize=64)  # plates of a series have the same
def edge_scales(sheet: Sheet, margin: float, foot: float) -> Block:
    """A ruler along the lower edge and one along the left: a printer may stretch a page either way.

    Each is a line with ticks to 50 mm on the side of the piece and to 2 in on the side of the edge.

    Parameters
    ----------
    sheet : Sheet
        As it lies.
    margin : float
        mm; how far from the edges they stand, and where the lower one begins, from the left.
    foot : float
        Where the other begins, from above; lower where it would not fit.

    Notes
    -----
    The inch is 25.4 mm. Both scales start from one tick, so that the 0.8 mm between their ends is seen at a
    glance. They lie in the margin's inner part, 5 mm from the edge where the margin is 8 mm: printers leave
    up to 5 mm (common practice).

    Examples
    --------
    >>> from canivet.sheets import SHEETS
    >>> marks = edge_scales(SHEETS["A5"], 8, 180).marks
    >>> [mark.group for mark in marks]
    ['scale-50-mm', 'scale-2-in', 'scale-50-mm-upright', 'scale-2-in-upright']
    """
    low = sheet.height - margin + _IN_MARGIN
    metric = _ruler(50.0, 10.0, low, -_SMALL_TICK)
    inches = _ruler(SCALE_WIDTH, 12.7, low, _SMALL_TICK)
    flat = [tuple(tuple((margin + x, y) for x, y in line) for line in lines) for lines in (metric, inches)]
    foot = min(sheet.height - margin, max(foot, margin + SCALE_WIDTH))

    def upright(lines: Iterable[tuple[Point, ...]]) -> tuple[tuple[Point, ...], ...]:
        return tuple(tuple((sheet.height - y, foot - x) for x, y in line) for line in lines)

    marks = (
        Mark("scale-50-mm", flat[0]),
        Mark("scale-2-in", flat[1]),
        Mark("scale-50-mm-upright", upright(metric)),
        Mark("scale-2-in-upright", upright(inches)),
    )
    beside = margin + SCALE_WIDTH + 2.0
    room = sheet.width - margin - beside
    words = (Word(CHECK, beside, low + CAP * BODY / 2),) if width_of(CHECK, BODY) <= room else ()
    return Block(sheet.width, sheet.height, words, marks)


def scale_block() -> Block:
    """A line of 50 mm and one of 2 in, to be measured on the print with a ruler.

    Notes
    -----
    The inch is 25.4 mm. Both lines start from one edge, so that the 0.8 mm between them is seen at a glance.

    Examples
    --------
    >>> [mark.lines[0][-1][0] - mark.lines[0][0][0] for mark in scale_block().marks]
    [50.0, 50.8]
    """
    top = CAP * BODY + 1.1
    metric = top + _TICK
    inch = metric + 0.9
    label = inch + _TICK + 1.1 + CAP * BODY
    words = (
        Word("measure this: 50 mm", 0.0, CAP * BODY),
        Word("and this: 2 in (print at 100 %)", 0.0, label),
    )
    marks = (
        Mark("scale-50-mm", _ruler(50.0, 10.0, metric, -_TICK)),
        Mark("scale-2-in", _ruler(50.8, 12.7, inch, _TICK)),
    )
    return Block(SCALE_WIDTH, label, words, marks)


def _ruler(length: float, step: float, y: float, tick: float) -> tuple[tuple[Point, ...], ...]:
    """A base line with a long tick at each end and shorter ones at each step."""
    count = round(length / step)
    inner = [index * step for index in range(1, count)]
    ticks = [((x, y), (x, y + 0.6 * tick)) for x in inner]
    ends = [((x, y), (x, y + tick)) for x in (0.0, length)]
    return (((0.0, y), (length, y)), *ends, *ticks)
