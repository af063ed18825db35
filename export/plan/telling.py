"""What stands above and below the piece on its cutting page: figures, small maps of the order, and a key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.compose.planning.steps import CuttingPlan
from canivet.export.page.foot import CAUTIONS
from canivet.export.page.marks import BODY, LEADING, Block, Mark, Word, stacked, text_block, title_block
from canivet.export.page.rulers import SCALE_WIDTH, scale_block
from canivet.export.page.signs import says_what_to_do
from canivet.export.page.words import flow, width_of, wrap
from canivet.lengths import counted

from .strokes import DASHES

__all__ = ["foot_block", "head_block", "in_hours"]

_GAP = 3.0
_MAPS = 4
_MAP = 26.0
"""mm, the longer side of a small map."""
_BETWEEN = 4.0
_THINNED = 0.1


def head_block(plan: CuttingPlan, band: Block | None, width: float) -> Block:
    """Return the band of a mirrored page, the title, and what the work amounts to, one under the other."""
    face = "seen from the back, the side that is cut" if plan.mirrored else "seen from the front"
    facts = [
        *([] if band and says_what_to_do(band) else [face]),
        counted(len(plan.openings), "opening"),
        f"about {in_hours(plan.minutes)} in {counted(plan.sittings, 'sitting')}",
        counted(plan.blades, "blade"),
        f"grade {plan.grade.value} of 5" + (f": {plan.grade.because[0]}" if plan.grade.because else ""),
    ]
    if plan.layers > 1:
        facts.insert(-4, f"{plan.layers} layers under the blade")
    return stacked(
        *([band] if band else []),
        title_block(plan.title or "Cutting", width),
        text_block(flow(facts, BODY, width), width),
        gap=_GAP,
    )


def foot_block(plan: CuttingPlan, paper: Polygon, width: float) -> Block:
    """Return small maps of the order, the key to the marks, the scale check and the cautions."""
    maps = _maps(plan, paper)
    room = width - (maps.width + 2 * _GAP if maps.width + 70 <= width else 0)
    key = _key(room, folds=_has_folds(plan, paper))
    upper = beside(maps, key, 2 * _GAP) if maps.width + 70 <= width else stacked(maps, key, gap=_GAP)
    room = width - SCALE_WIDTH - 2 * _GAP
    words = text_block(wrap(" ".join(CAUTIONS), BODY, room), room)
    lower = beside(scale_block(), words, 2 * _GAP)
    return stacked(upper, lower, gap=_GAP)


def in_hours(minutes: float) -> str:
    """Return a time as it is said.

    Examples
    --------
    >>> in_hours(48.2), in_hours(375)
    ('48 min', '6 h 15 min')
    """
    whole = round(minutes)
    return f"{whole} min" if whole < 90 else f"{whole // 60} h {whole % 60:02d} min"


def beside(one: Block, other: Block, gap: float) -> Block:
    """Put two blocks side by side."""
    whole = one.beside(other.moved(one.width + gap, 0.0))
    return replace(whole, width=one.width + gap + other.width)


def _maps(plan: CuttingPlan, paper: Polygon) -> Block:
    """Return the piece small, once for each part of the order: the openings of that part black."""
    count = len(plan.openings)
    stops = np.unique(np.linspace(0, count, min(_MAPS, count) + 1).astype(int)).tolist()
    whole = Block(0.0, 0.0)
    for first, after in pairwise(stops):
        one = _map(plan, paper, first, after)
        whole = beside(whole, one, _BETWEEN) if whole.width else one
    return whole


def _map(plan: CuttingPlan, paper: Polygon, first: int, after: int) -> Block:
    left, low, right, top = paper.bounds
    scale = _MAP / max(right - left, top - low)
    rings = shapely.get_rings(paper)
    chosen = [0, *(1 + one.ring for one in plan.openings[first:after])]
    thin = shapely.simplify(rings[chosen], _THINNED / scale)
    edge = right if plan.mirrored else left
    lines = [tuple((scale * abs(x - edge), scale * (top - y)) for x, y in ring.coords[:]) for ring in thin]
    words = f"{first + 1}–{after}" if after > first + 1 else f"{after}"
    wide, high = scale * (right - left), scale * (top - low)
    marks = (
        Mark("order", (lines[0],), stroke="ink", width=0.2),
        Mark("order", tuple(lines[1:]), stroke=None, fill="ink"),
    )
    label = Word(words, 0.0, high + 1.2 + 0.72 * BODY)
    return Block(max(wide, width_of(words, BODY)), label.y, (label,), marks)


_KEY = (
    ("grey stays, white falls away", "tones"),
    ("knife", "knife"),
    ("scissors", "scissors"),
    ("X: pierce the waste, then scissors", "pierce"),
    ("bar: this stroke frees the waste, so it comes last", "frees"),
    ("tail into the grey: the blade may run on so far, no farther", "overrun"),
)
_FOLDED = ("grey without a line: a fold, or the sheet’s own edge; nothing to cut", "folded")


def _has_folds(plan: CuttingPlan, paper: Polygon) -> bool:
    """Say whether some of the edge is not cut, as in a packet."""
    return bool(sum(plan.cut_length.values()) < 0.99 * paper.length)


def _key(width: float, *, folds: bool) -> Block:
    """Return what the marks mean, a line each."""
    sample = 9.0
    words: list[Word] = []
    marks: list[Mark] = []
    y = 0.0
    for text, kind in (*_KEY, *[_FOLDED] * folds):
        lines = wrap(text, BODY, max(30.0, width - sample))
        marks += _sample(kind, y + 0.36 * BODY)
        words += [Word(line, sample, y + 0.72 * BODY + LEADING * row) for row, line in enumerate(lines)]
        y += LEADING * len(lines)
    return Block(width, y, tuple(words), tuple(marks))


def _sample(kind: str, y: float) -> Sequence[Mark]:
    line = ((0.0, y), (7.0, y))
    if kind == "tones":
        box = ((0.0, y - 1.2), (3.2, y - 1.2), (3.2, y + 1.2), (0.0, y + 1.2), (0.0, y - 1.2))
        moved = tuple((x + 3.8, v) for x, v in box)
        return Mark("key", (box,), fill="faint", width=0.15), Mark("key", (moved,), fill="white", width=0.15)
    if kind == "scissors":
        on, off = (float(length) for length in DASHES.split())
        dashes = [((x, y), (min(7.0, x + on), y)) for x in np.arange(0, 7, on + off).tolist()]
        return (Mark("key", tuple(dashes)),)
    if kind == "pierce":
        return (Mark("key", (((2.4, y - 1.1), (4.6, y + 1.1)), ((2.4, y + 1.1), (4.6, y - 1.1)))),)
    if kind == "frees":
        return (Mark("key", (line, ((7.0, y - 0.9), (7.0, y + 0.9)))),)
    if kind == "folded":
        box = ((0.0, y - 1.2), (7.0, y - 1.2), (7.0, y + 1.2), (0.0, y + 1.2), (0.0, y - 1.2))
        return (Mark("key", (box,), fill="faint", width=0.0),)
    if kind == "overrun":
        corner = ((0.0, y + 1.2), (4.6, y + 1.2), (4.6, y - 1.2))
        return (Mark("key", (corner, ((4.6, y + 1.2), (7.0, y + 1.2)))),)
    return (Mark("key", (line,)),)
