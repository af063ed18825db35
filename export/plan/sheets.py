"""The cutting page: the piece at true size from the side that is cut, numbered in order, and its steps.

After the page at true size come parts of it enlarged, where numbers found no room, then the table of steps
with boxes to tick. Lengths are mm on a page, y down.
"""

from __future__ import annotations

import os
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.compose.planning.steps import CuttingPlan
from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.export.files import write_atomically
from canivet.export.page.marks import Block, Word
from canivet.export.page.pen import STAYS, Pen
from canivet.export.page.setup import MARGIN
from canivet.export.page.signs import head_block as face_band
from canivet.export.page.signs import head_height
from canivet.export.page.view import PieceView
from canivet.export.paths import path_on_page
from canivet.export.pdf import document_bytes
from canivet.lengths import format_mm
from canivet.sheets import Sheet, usual_sheets
from canivet.stock import Faces

from .listing import list_pages
from .numbering import FIGURE, Number, place_numbers
from .strokes import draw_strokes
from .telling import foot_block, head_block

__all__ = ["cutting_pages", "write_cutting_pages"]

ROUND = 15.0
"""mm left round the piece at true size, for numbers on leader lines."""

_GAP = 3.0
_EDGE = 5.0
"""mm round an enlarged part."""

_SCALES = (2.0, 3.0, 4.0)
_MOST_PARTS = 24


def write_cutting_pages(path: str | os.PathLike[str], plan: CuttingPlan, cutting: Cutting) -> None:
    """Write the cutting page, its enlarged parts and the table of steps as one PDF at true size.

    Raises
    ------
    CannotWrite
        If the file cannot be put there.
    DoesNotFit
        If no sheet takes the piece with its numbers.
    MissingLibrary
        If cairo is not installed.
    """
    pages = cutting_pages(plan, cutting)
    titles = [f"{plan.title or 'Cutting'}: cutting plan, page {k}" for k in range(1, len(pages) + 1)]
    write_atomically(path, document_bytes(pages, titles=titles, subject="In what order to cut, and how"))


def cutting_pages(plan: CuttingPlan, cutting: Cutting) -> list[tuple[str, Sheet]]:
    """Return the pages of a cutting plan as SVG documents, each with the sheet it is printed on.

    Parameters
    ----------
    plan : CuttingPlan
        Of this cutting's paper.
    cutting : Cutting
        Paper, title, stock; its sheet where that has room for the numbers too, else the smallest of the A
        series that has.

    Returns
    -------
    list of (str, Sheet)
        The piece at true size, then parts enlarged where numbers found no place, then the steps.

    Raises
    ------
    DoesNotFit
        If no sheet takes the piece with its numbers.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.compose.planning.plan import plan_cutting
    >>> card = Cutting(box(0, 0, 60, 40) - box(5, 5, 25, 30) - box(30, 5, 50, 30), strap=2, title="Card")
    >>> pages = cutting_pages(plan_cutting(card), card)
    >>> [sheet.name for _, sheet in pages], "Card: cutting page" in pages[0][0]
    (['A5', 'A5'], True)
    """
    sheet, view, head, foot = _laid_out(plan, cutting)
    width, height = _size(cutting.paper)
    around = shapely.box(
        view.left - ROUND, view.top - ROUND, view.left + width + ROUND, view.top + height + ROUND
    )
    numbers = _numbered(plan, view, around, range(len(plan.openings)))
    pen = Pen(sheet, f"{plan.title or 'Cutting'}: cutting page")
    pen.block(head, MARGIN, MARGIN)
    _draw(pen, plan, view, numbers)
    pen.block(foot, MARGIN, sheet.height - MARGIN - foot.height)
    missing = [k for k, number in enumerate(numbers) if number is None]
    parts = _parts(plan, cutting.paper, sheet, missing) if missing else []
    return [
        (pen.text(), sheet),
        *((_part_page(plan, part, sheet, k, len(parts)), sheet) for k, part in enumerate(parts, start=1)),
        *((page, sheet) for page in list_pages(plan, cutting.paper, sheet)),
    ]


def _laid_out(plan: CuttingPlan, cutting: Cutting) -> tuple[Sheet, PieceView, Block, Block]:
    """Find the sheet, and lay head, piece with room round it, and foot on it."""
    width, height = _size(cutting.paper)
    room = ""
    for sheet in [*([cutting.sheet] if cutting.sheet else []), *usual_sheets("A5")]:
        for lying in (sheet, sheet.turned()):
            wide = lying.width - 2 * MARGIN
            head, foot = (
                head_block(plan, _band(plan, cutting, lying), wide),
                foot_block(plan, cutting.paper, wide),
            )
            high = lying.height - 2 * MARGIN - head.height - foot.height - 2 * _GAP - 2 * ROUND
            if width <= lying.width - 2 * _EDGE - 2 * ROUND and height <= high:
                left = (lying.width - width) / 2
                top = MARGIN + head.height + _GAP + ROUND + (high - height) / 2
                return lying, PieceView(cutting.paper, plan.mirrored, left=left, top=top), head, foot
            room = f"{format_mm(lying.width - 2 * _EDGE - 2 * ROUND, 0)} × {format_mm(high, 0)} mm"
    raise DoesNotFit(
        f"the piece is {format_mm(width, 1)} × {format_mm(height, 1)} mm; sheet {sheet} takes up to {room} "
        "with numbers round it. The page beside the table needs no sheet: write an .html.",
        parameter="sheet", value=sheet, accepted=f"up to {room}",
    )  # fmt: skip


def _band(plan: CuttingPlan, cutting: Cutting, sheet: Sheet) -> Block | None:
    """Return the band that printed pages have, where the plan is mirrored too."""
    if not plan.mirrored:
        return None
    faces = cutting.stock.faces if cutting.stock.faces.mirrored else Faces.PLAIN
    return face_band(faces, sheet.width - 2 * MARGIN, head_height(sheet))


def _numbered(plan: CuttingPlan, view: PieceView, around: Polygon, rows: Any) -> list[Number | None]:
    """Give every opening of `rows` its number's place."""
    rings = shapely.get_rings(view.paper)
    own = [plan.openings[k] for k in rows]
    wastes = [view.lay(shapely.polygons(rings[1 + one.ring])) for one in own]
    at = view.places([one.at for one in own])
    outline = view.lay(Polygon(view.paper.exterior))
    return place_numbers(wastes, at, [str(one.number) for one in own], around=around, outline=outline)


def _draw(pen: Pen, plan: CuttingPlan, view: PieceView, numbers: list[Number | None]) -> None:
    pen.shape(view.path(view.paper), fill=STAYS, id="paper")
    draw_strokes(pen, plan, view.places, view.scale)
    _draw_numbers(pen, [number for number in numbers if number is not None])


def _draw_numbers(pen: Pen, numbers: list[Number]) -> None:
    pen.lines([number.leader for number in numbers if number.leader], width=0.15)
    for number in numbers:
        word = Word(number.text, number.x, number.y + FIGURE * number.size / 2, number.size)
        pen.words([word], anchor="middle", weight="bold", halo=number.leader is None)  # over an X, too


# ---------------------------------------------------------------- parts enlarged


def _parts(
    plan: CuttingPlan, paper: Polygon, sheet: Sheet, missing: list[int]
) -> list[tuple[PieceView, list[Number]]]:
    """Enlarge the parts of the piece whose numbers found no place, as little as gives them all one."""
    tried: list[tuple[int, int, list[tuple[PieceView, list[Number]]]]] = []
    for scale in _SCALES:
        found, lost = _at_scale(plan, paper, sheet, missing, scale)
        tried.append((lost, len(tried), found))
        if not lost or len(found) > _MOST_PARTS:
            break
    return min(tried)[2][:_MOST_PARTS]


def _at_scale(
    plan: CuttingPlan, paper: Polygon, sheet: Sheet, missing: list[int], scale: float
) -> tuple[list[tuple[PieceView, list[Number]]], int]:
    window = _window(sheet)
    left, top, right, low = window.bounds
    step = (right - left) / scale, (low - top) / scale
    flat = PieceView(paper, plan.mirrored)
    at = flat.places([one.at for one in plan.openings])
    tile = np.floor(at / step).astype(int)
    found, lost = [], 0
    for column, row in sorted({tuple(tile[k]) for k in missing}, key=lambda t: (t[1], t[0])):
        view = PieceView(
            paper, plan.mirrored, scale, left - column * step[0] * scale, top - row * step[1] * scale
        )
        own = np.flatnonzero((tile == (column, row)).all(axis=1)).tolist()
        numbers = _numbered(plan, view, window, own)
        lost += numbers.count(None)
        found.append((view, [number for number in numbers if number is not None]))
    return found, lost


def _window(sheet: Sheet) -> Polygon:
    return shapely.box(MARGIN, MARGIN + 8.0, sheet.width - MARGIN, sheet.height - MARGIN)


def _part_page(plan: CuttingPlan, part: tuple[PieceView, list[Number]], sheet: Sheet, k: int, of: int) -> str:
    view, numbers = part
    pen = Pen(sheet, f"{plan.title or 'Cutting'}: part {k} of {of}, enlarged")
    window = _window(sheet)
    seen = view.lay(view.paper).intersection(window)
    for one in shapely.get_parts(seen):
        pen.shape(path_on_page(one), fill=STAYS)
    with_strokes = window.buffer(0.01)
    draw_strokes(pen, plan, view.places, view.scale, within=with_strokes)
    _draw_numbers(pen, numbers)
    pen.lines([list(window.exterior.coords)], width=0.2)
    way = ", mirror image" if plan.mirrored else ""
    words = (
        f"Part {k} of {of}{way}, {view.scale:g} times its size: not to cut from. "
        "An opening across the edge is numbered once."
    )
    pen.words([Word(words, MARGIN, MARGIN + 4.5, 2.9)])
    return pen.text()


def _size(paper: Polygon) -> tuple[float, float]:
    left, low, right, top = paper.bounds
    return right - left, top - low
