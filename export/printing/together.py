"""Pieces laid together on the printer's paper, with marks to part them by. Lengths are mm, y down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.affinity import affine_transform, rotate

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.page.layout import CAUTIONS, MARGIN
from canivet.export.page.marks import BODY, Word, text_block
from canivet.export.page.pen import INK, Pen
from canivet.export.page.rulers import scale_block
from canivet.export.page.view import PieceView
from canivet.export.page.words import clean, wrap
from canivet.lengths import format_mm
from canivet.sheets import Sheet

__all__ = ["GAP", "Laid", "Spread", "lay_together", "together_pages"]

GAP = 8.0
"""mm between two pieces, for marks and a handle to hold while cutting."""

_MARK = 3.0
_FOOT = 14.0
"""mm at the foot of every sheet for the scale check, what lies on it, and the cautions."""


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
    cuttings: Sequence[Cutting], sheet: Sheet, *, gap: float = GAP, margin: float = MARGIN, grain: bool = True
) -> Spread:
    """Lay pieces side by side on as few sheets as can be found.

    Parameters
    ----------
    cuttings : sequence of Cutting
        Of one size or several.
    sheet : Sheet
        The printer's paper; laid whichever way takes fewer sheets.
    gap : float
        mm between pieces, 0 to 50. Default 8.
    margin : float
        mm left free along the edges, 3 to 50. Default 8.
    grain : bool
        Keep every piece upright to the paper's grain; False lets pieces lie on their side. Default True.

    Returns
    -------
    Spread

    Raises
    ------
    BadValue
        If there are no pieces, or gap or margin is out of its range.
    DoesNotFit
        If a piece is larger than the sheet inside its margins.

    Notes
    -----
    Oblongs are packed by the maximal-rectangles rule (J. Jylänki, "A Thousand Ways to Pack the Bin", 2010),
    best short side first, as the library `rectpack` has it; pieces are never nested in each other's openings.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.sheets import SHEETS
    >>> plates = [Cutting(box(0, 0, 60, 90), strap=1, title=f"No {k}") for k in range(9)]
    >>> [len(on) for on in lay_together(plates, SHEETS["A4"]).sheets]
    [4, 4, 1]
    """
    if not cuttings:
        raise BadValue("cuttings is empty; give at least one piece.", parameter="cuttings", value=cuttings)
    for name, value, least in (("gap", gap, 0), ("margin", margin, 3)):
        if not least <= value <= 50:
            raise BadValue(
                f"{name} is {format_mm(value)} mm; it takes {least} mm to 50 mm.",
                parameter=name, value=value, accepted=f"{least} mm to 50 mm",
            )  # fmt: skip
    sizes = [PieceView(cutting.paper, mirrored=False).size for cutting in cuttings]
    ways = [_packed(sizes, lying, gap, margin, turning=not grain) for lying in (sheet, sheet.turned())]
    found = [way for way in ways if way is not None]
    if not found:
        widest = max(sizes, key=max)
        room = f"{format_mm(sheet.width - 2 * margin)} × {format_mm(sheet.height - 2 * margin - _FOOT)} mm"
        raise DoesNotFit(
            f"a piece is {format_mm(widest[0], 1)} × {format_mm(widest[1], 1)} mm; sheet {sheet} takes up to "
            f"{room} beside its margins and foot. Take larger paper, or have large pieces tiled.",
            parameter="sheet", value=sheet, accepted=f"up to {room}",
        )  # fmt: skip
    return min(found, key=lambda spread: len(spread.sheets))


def _packed(
    sizes: Sequence[tuple[float, float]], sheet: Sheet, gap: float, margin: float, *, turning: bool
) -> Spread | None:
    import rectpack

    room = sheet.width - 2 * margin, sheet.height - 2 * margin - _FOOT
    if min(room) <= 0:
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
        on.setdefault(number, []).append(Laid(k, margin + x / 1000, margin + y / 1000, turned))
    covered = sum(wide * high for wide, high in sizes)
    sheets = tuple(tuple(sorted(on[number], key=lambda laid: laid.piece)) for number in sorted(on))
    return Spread(sheet, sheets, 1 - covered / (len(sheets) * sheet.width * sheet.height))


def together_pages(
    cuttings: Sequence[Cutting], spread: Spread, *, margin: float = MARGIN, lines: bool = False
) -> list[tuple[str, Sheet]]:
    """Return a spread as SVG pages, with marks at the corners of every piece to part them by.

    Parameters
    ----------
    cuttings : sequence of Cutting
        As they were laid; all for stock of one kind of faces.
    spread : Spread
        From `lay_together`.
    margin : float
        As it was given there.
    lines : bool
        Thin outlines instead of solid black. Default False.

    Returns
    -------
    list of (str, Sheet)
    """
    count = len(spread.sheets)
    return [
        (_page(cuttings, spread, laid, margin, f"sheet {k} of {count}", lines=lines), spread.sheet)
        for k, laid in enumerate(spread.sheets, start=1)
    ]


def _page(
    cuttings: Sequence[Cutting],
    spread: Spread,
    laid: Sequence[Laid],
    margin: float,
    name: str,
    *,
    lines: bool,
) -> str:
    sheet = spread.sheet
    pen = Pen(sheet, f"{cuttings[laid[0].piece].title}: {name}")
    marks: list[list[tuple[float, float]]] = []
    for one in laid:
        marks += _draw_piece(pen, cuttings[one.piece], one, lines=lines)
    pen.lines(marks, width=0.25, name="cut-marks")
    mirrored = cuttings[laid[0].piece].stock.faces.mirrored
    said = (
        f"{name}; {'mirror image, print on the back; ' if mirrored else ''}waste {100 * spread.waste:.0f} %"
    )
    scale = scale_block()
    top = sheet.height - margin - scale.height
    pen.block(scale, margin, top)
    room = sheet.width - 2 * margin - scale.width - 6
    words = wrap(" ".join([said + ".", *CAUTIONS]), BODY, room, most=3)
    pen.block(text_block(words, room), margin + scale.width + 6, top)
    return pen.text()


def _draw_piece(pen: Pen, cutting: Cutting, laid: Laid, *, lines: bool) -> list[list[tuple[float, float]]]:
    """Draw one piece and its name; return the marks at its corners."""
    paper = rotate(cutting.paper, 90, origin=(0, 0)) if laid.turned else cutting.paper
    view = PieceView(paper, cutting.stock.faces.mirrored, left=laid.left, top=laid.top)
    if lines:
        flipped = affine_transform(paper.boundary, view.matrix)
        pen.lines([list(part.coords) for part in shapely.get_parts(flipped)], width=0.25)
    else:
        pen.shape(view.path(paper), fill=INK)
    wide, high = view.size
    right, low = laid.left + wide, laid.top + high
    title = wrap(clean(cutting.title), 2.2, wide, most=1)[0]
    pen.words([Word(title, laid.left, low + 2.6, 2.2)])
    return [
        line
        for x, out_x in ((laid.left, -1), (right, 1))
        for y, out_y in ((laid.top, -1), (low, 1))
        for line in (
            [(x + 0.5 * out_x, y), (x + _MARK * out_x, y)],
            [(x, y + 0.5 * out_y), (x, y + _MARK * out_y)],
        )
    ]
