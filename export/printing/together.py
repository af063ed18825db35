"""Pieces laid together on the printer's paper, with marks to part them by. Lengths are mm, y down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely.affinity import rotate

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.page.foot import CAUTIONS, size_of, title_of
from canivet.export.page.marks import BODY, CAP, Word, text_block
from canivet.export.page.pen import Pen
from canivet.export.page.rulers import SCALE_WIDTH, edge_scales
from canivet.export.page.setup import USUAL, PageSetup
from canivet.export.page.signs import head_block, tone_block
from canivet.export.page.view import PieceView
from canivet.export.page.words import wrap
from canivet.lengths import format_mm
from canivet.sheets import Sheet

__all__ = ["GAP", "Laid", "Spread", "lay_together", "together_pages"]

GAP = 8.0
"""mm between two pieces, for marks, a title, and a handle to hold while cutting."""

_MARK = (0.5, 3.0)
_HEAD = 7.0
_ABOVE, _BELOW = _HEAD + 5.0, 16.0
"""mm over the pieces for the head, and under them for the last titles, the tones and the cautions."""
_LEFT = 4.0
"""mm left of the pieces, so that their marks stay clear of the ruler in the margin."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece on a sheet: which of those given, its upper left corner, and whether it lies on its side."""

    piece: int
    left: float
    top: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Spread:
    """Pieces over sheets.

    Attributes
    ----------
    sheet : Sheet
        The printer's paper, as it lies.
    sheets : tuple of tuple of Laid
        What lies on each.
    waste : float
        Share of the paper that no piece's oblong takes, 0 to 1.
    """

    sheet: Sheet
    sheets: tuple[tuple[Laid, ...], ...]
    waste: float


def lay_together(
    sizes: Sequence[tuple[float, float]],
    sheet: Sheet,
    setup: PageSetup = USUAL,
    *,
    gap: float = GAP,
    grain: bool = True,
) -> Spread:
    """Lay pieces side by side on as few sheets as can be found.

    Parameters
    ----------
    sizes : sequence of (float, float)
        Width and height of each piece, mm.
    sheet : Sheet
        The printer's paper; laid whichever way takes fewer sheets.
    setup : PageSetup
        Its margin.
    gap : float
        mm between pieces, 0 to 50. Default 8.
    grain : bool
        Keep every piece upright to the paper's grain; False lets pieces lie on their side. Default True.

    Returns
    -------
    Spread

    Raises
    ------
    BadValue
        If there are no pieces, or gap is out of its range.
    DoesNotFit
        If a piece is larger than the sheet inside its margins.

    Notes
    -----
    Oblongs are packed by the maximal-rectangles rule (J. Jylänki, "A Thousand Ways to Pack the Bin", 2010),
    best short side first, as the library `rectpack` has it; pieces are never nested in each other's openings.

    Examples
    --------
    >>> from canivet.sheets import SHEETS
    >>> [len(on) for on in lay_together([(60, 90)] * 9, SHEETS["A4"]).sheets]
    [4, 4, 1]
    """
    if not sizes:
        raise BadValue("sizes is empty; give at least one piece.", parameter="sizes", value=sizes)
    if not 0 <= gap <= 50:
        raise BadValue(
            f"gap is {format_mm(gap)} mm; it takes 0 mm to 50 mm.",
            parameter="gap", value=gap, accepted="0 mm to 50 mm",
        )  # fmt: skip
    ways = [_packed(sizes, lying, gap, setup.margin, turning=not grain) for lying in (sheet, sheet.turned())]
    found = [way for way in ways if way is not None]
    if not found:
        widest = max(sizes, key=max)
        wide, high = _room(sheet, setup.margin)
        room = f"{format_mm(wide)} × {format_mm(high)} mm" if min(wide, high) > 0 else "no piece"
        raise DoesNotFit(
            f"a piece is {format_mm(widest[0], 1)} × {format_mm(widest[1], 1)} mm; sheet {sheet} takes up to "
            f"{room} beside its margins, head and foot. Take larger paper, or have large pieces tiled.",
            parameter="sheet", value=sheet, accepted=f"up to {room}",
        )  # fmt: skip
    return min(found, key=lambda spread: len(spread.sheets))


def _room(sheet: Sheet, margin: float) -> tuple[float, float]:
    return sheet.width - 2 * margin - _LEFT, sheet.height - 2 * margin - _ABOVE - _BELOW


def _packed(
    sizes: Sequence[tuple[float, float]], sheet: Sheet, gap: float, margin: float, *, turning: bool
) -> Spread | None:
    import rectpack

    room = _room(sheet, margin)
    if min(room) <= 0 or sheet.width - 2 * margin < SCALE_WIDTH:
        return None
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline, pack_algo=rectpack.MaxRectsBssf,
        sort_algo=rectpack.SORT_LSIDE, rotation=turning,
    )  # fmt: skip
    # whole micrometres, so that what fits exactly fits
    micro = [tuple(round(1000 * (side + gap)) for side in size) for size in sizes]
    for k, (wide, high) in enumerate(micro):
        packer.add_rect(wide, high, rid=k)
    packer.add_bin(*(round(1000 * (side + gap)) for side in room), count=len(sizes))
    packer.pack()
    placed = packer.rect_list()
    if len(placed) < len(sizes):
        return None
    on: dict[int, list[Laid]] = {}
    for number, x, y, wide, high, k in placed:
        turned = (wide, high) != micro[k]
        on.setdefault(number, []).append(
            Laid(k, margin + _LEFT + x / 1000, margin + _ABOVE + y / 1000, turned)
        )
    covered = sum(wide * high for wide, high in sizes)
    sheets = tuple(tuple(sorted(on[number], key=lambda laid: laid.piece)) for number in sorted(on))
    return Spread(sheet, sheets, 1 - covered / (len(sheets) * sheet.width * sheet.height))


def together_pages(
    cuttings: Sequence[Cutting], spread: Spread, setup: PageSetup = USUAL
) -> Iterator[tuple[str, Sheet]]:
    """Yield a spread as SVG pages, with marks at the corners of every piece to part them by.

    Parameters
    ----------
    cuttings : sequence of Cutting
        As they were laid; all for stock of one kind of faces. Each is asked for when its sheet is drawn.
    spread : Spread
        From `lay_together`.
    setup : PageSetup
        As it was given there; its ink.
    """
    for number in range(len(spread.sheets)):
        yield _page(cuttings, spread, setup, number), spread.sheet


def _page(cuttings: Sequence[Cutting], spread: Spread, setup: PageSetup, number: int) -> str:
    sheet, margin, laid = spread.sheet, setup.margin, spread.sheets[number]
    name = f"sheet {number + 1} of {len(spread.sheets)}"
    here = [cuttings[one.piece] for one in laid]
    pen = Pen(sheet, f"{here[0].title}: {name}")
    pen.within("piece")
    marks: list[list[tuple[float, float]]] = []
    for cutting, one in zip(here, laid, strict=True):
        marks += _draw_piece(pen, cutting, one, setup)
    pen.within("around")
    pen.lines(marks, width=0.25, name="cut-marks")
    width = sheet.width - 2 * margin
    pen.block(head_block(here[0].stock.faces, width, _HEAD), margin, margin)
    top = sheet.height - margin - _BELOW + 4.6
    pen.block(edge_scales(sheet, margin, top))
    tones = tone_block(setup.ink, width=SCALE_WIDTH)
    pen.block(tones, margin, top)
    room = width - SCALE_WIDTH - 6
    said = f"{name[0].upper()}{name[1:]}, waste {100 * spread.waste:.0f} %."
    words = wrap(" ".join([said, *CAUTIONS]), BODY, room, most=3)
    pen.block(text_block(words, room), margin + SCALE_WIDTH + 6, top)
    return pen.text()


def _draw_piece(pen: Pen, cutting: Cutting, laid: Laid, setup: PageSetup) -> list[list[tuple[float, float]]]:
    """Draw one piece and its name; return the marks at its corners."""
    paper = rotate(cutting.paper, 90, origin=(0, 0)) if laid.turned else cutting.paper
    view = PieceView(paper, cutting.stock.faces.mirrored, left=laid.left, top=laid.top)
    pen.piece(view, setup.ink, name=f"paper-{laid.piece + 1}")
    wide, high = view.size
    right, low = laid.left + wide, laid.top + high
    size = " × ".join(format_mm(side, 1) for side in size_of(cutting)) + " mm"
    for told in (f"{title_of(cutting)[:400]} · {size}", title_of(cutting)[:400]):
        lines = wrap(told, BODY, wide - 2.0, most=1, face=cutting.face)
        if not lines[0].endswith("…"):
            break
    pen.words([Word(lines[0], laid.left + 1.0, low + 1.2 + CAP * BODY)])
    near, far = _MARK
    return [
        line
        for x, out_x in ((laid.left, -1), (right, 1))
        for y, out_y in ((laid.top, -1), (low, 1))
        for line in (
            [(x + near * out_x, y), (x + far * out_x, y)],
            [(x, y + near * out_y), (x, y + far * out_y)],
        )
    ]
