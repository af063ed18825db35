"""The table of steps: a line and a box to tick for every opening, by sitting. Lengths are mm, y down."""

from __future__ import annotations

from itertools import groupby

from shapely.geometry import Polygon

from canivet.compose.planning.steps import CuttingPlan, OpeningPlan, Stroke
from canivet.export.page.marks import BODY, LEADING, Word
from canivet.export.page.pen import Pen
from canivet.export.page.setup import MARGIN
from canivet.lengths import counted
from canivet.sheets import Sheet

__all__ = ["list_pages"]

_ROW = LEADING + 0.7
_BOX = 2.4
_COLUMN = 44.0
"""Least width of a column."""

Row = tuple[str, str]
"""What is done, and the words of the row; a heading has nothing to tick."""


def list_pages(plan: CuttingPlan, paper: Polygon, sheet: Sheet) -> list[str]:
    """Return the pages of the table as SVG documents.

    Parameters
    ----------
    plan : CuttingPlan
        Whose steps.
    paper : Polygon
        The piece; places are counted from its lower left as it lies before the cutter.
    sheet : Sheet
        What the pages are printed on.

    Returns
    -------
    list of str
    """
    rows = _rows(plan, paper)
    width = sheet.width - 2 * MARGIN
    columns = max(1, int(width // _COLUMN))
    top = MARGIN + 9.0
    deep = int((sheet.height - MARGIN - top) // _ROW)
    filled = _columns(rows, deep)
    pages = []
    for first in range(0, len(filled), columns):
        number = first // columns + 1
        pen = Pen(sheet, f"{plan.title or 'Cutting'}: steps, page {number}")
        said = f"{plan.title or 'Cutting'}: the steps in order; places in mm from the left and from the foot."
        pen.words([Word(said, MARGIN, MARGIN + 3.5, 2.9)])
        for k, column in enumerate(filled[first : first + columns]):
            _draw_column(pen, column, MARGIN + k * (width / columns), top)
        pages.append(pen.text())
    return pages


def _rows(plan: CuttingPlan, paper: Polygon) -> list[Row]:
    rows: list[Row] = []
    outline = ("tick", f"outline: {_with_what(plan.outline)}")
    if plan.settings.outline == "first":
        rows.append(outline)
    for sitting, own in groupby(plan.openings, key=lambda one: one.sitting):
        rows.append(("heading", f"Sitting {sitting}"))
        rows += [("tick", _in_words(plan, paper, one)) for one in own]
    if plan.settings.outline == "last":
        rows.append(outline)
    return rows


def _in_words(plan: CuttingPlan, paper: Polygon, one: OpeningPlan) -> str:
    left, low, right, _ = paper.bounds
    x = right - one.at[0] if plan.mirrored else one.at[0] - left
    return f"{one.number}: {_with_what(one.strokes)}; {x:.0f}, {one.at[1] - low:.0f}"


def _with_what(strokes: tuple[Stroke, ...]) -> str:
    knife = sum(stroke.tool == "knife" for stroke in strokes)
    runs = len(strokes) - knife
    said = [counted(knife, "stroke")] if knife else []
    return ", ".join([*said, *([counted(runs, "scissors run")] if runs else [])])


def _columns(rows: list[Row], deep: int) -> list[list[Row]]:
    """Fill columns; a heading never stands last in one."""
    filled: list[list[Row]] = [[]]
    for k, row in enumerate(rows):
        full = len(filled[-1]) >= deep
        last = len(filled[-1]) == deep - 1 and row[0] == "heading" and k + 1 < len(rows)
        if full or last:
            filled.append([])
        filled[-1].append(row)
    return filled


def _draw_column(pen: Pen, column: list[Row], x: float, top: float) -> None:
    boxes = []
    for k, (kind, words) in enumerate(column):
        foot = top + k * _ROW + 0.72 * BODY
        if kind == "heading":
            pen.words([Word(words, x, foot, BODY * 1.15)], weight="bold")
            continue
        y = foot - 0.36 * BODY - _BOX / 2
        boxes.append([(x, y), (x + _BOX, y), (x + _BOX, y + _BOX), (x, y + _BOX), (x, y)])
        pen.words([Word(words, x + _BOX + 1.6, foot)])
    pen.lines(boxes, width=0.2, name=f"boxes-{x:.0f}")
