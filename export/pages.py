"""Which pages pieces are printed on: one for each, tiles of a large one, or several together on one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.export.page.foot import size_of
from canivet.export.page.layout import lay_out
from canivet.export.page.setup import USUAL, PageSetup
from canivet.export.printing.tiles import tile_pages, tile_piece
from canivet.export.printing.together import lay_together, together_pages
from canivet.sheets import SHEETS, Sheet

from .svg import checked_bounds, draw_page

__all__ = ["PageDocument", "documents_together", "page_documents"]

_PRINTERS = "A4"
"""What is taken for the printer's paper where none is named."""


@dataclass(frozen=True, slots=True)
class PageDocument:
    """A page as an SVG document whose words are plain ``text``, its sheet, and what it is called."""

    svg: str
    sheet: Sheet
    title: str


def page_documents(cuttings: Sequence[Cutting], setup: PageSetup = USUAL) -> Iterator[PageDocument]:
    """Yield the pages that pieces are printed on.

    Parameters
    ----------
    cuttings : sequence of Cutting
        In order.
    setup : PageSetup
        With ``tiled`` a piece that its sheet does not take has a page that shows which tile goes where, and
        the tiles; without a sheet of its own it is tiled on A4. With ``together`` all lie on the sheet of
        the first, or on A4.

    Raises
    ------
    BadValue
        If one has no paper.
    DoesNotFit
        If a sheet does not take what is to lie on it.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> wall = Cutting(box(0, 0, 250, 200), strap=2, title="Wall")
    >>> [page.title for page in page_documents([wall], PageSetup(pages="tiled"))]
    ['Wall: which sheet goes where', 'Wall: sheet A1', 'Wall: sheet A2']
    """
    for cutting in cuttings:
        checked_bounds(cutting)
    if setup.pages == "together" and len(cuttings) > 1:
        sizes = [size_of(cutting) for cutting in cuttings]
        yield from documents_together(sizes, cuttings, cuttings[0].sheet, setup)
        return
    for cutting in cuttings:
        yield from _of_one(cutting, setup)


def documents_together(
    sizes: Sequence[tuple[float, float]], cuttings: Sequence[Cutting], sheet: Sheet | None, setup: PageSetup
) -> Iterator[PageDocument]:
    """Yield the sheets on which pieces of these sizes lie together, each piece asked for when it is drawn."""
    spread = lay_together(sizes, sheet or SHEETS[_PRINTERS], setup)
    for number, (svg, lying) in enumerate(together_pages(cuttings, spread, setup), start=1):
        yield PageDocument(svg, lying, f"Sheet {number} of {len(spread.sheets)}")


def _of_one(cutting: Cutting, setup: PageSetup) -> Iterator[PageDocument]:
    if setup.pages == "tiled":
        sheet = cutting.sheet or SHEETS[_PRINTERS]
        if not _fits(cutting, sheet, setup):
            tiling = tile_piece(cutting, sheet, setup)
            names = ["which sheet goes where", *(f"sheet {tile.name}" for tile in tiling.tiles)]
            for name, (svg, lying) in zip(names, tile_pages(cutting, tiling, setup), strict=True):
                yield PageDocument(svg, lying, f"{cutting.title}: {name}")
            return
    for number, page in enumerate(lay_out(cutting, setup).leaves(), start=1):
        svg = draw_page(page, ink=setup.ink, title=cutting.title, description=cutting.description)
        yield PageDocument(
            svg, page.sheet, cutting.title if number == 1 else f"{cutting.title}: what to know"
        )


def _fits(cutting: Cutting, sheet: Sheet, setup: PageSetup) -> bool:
    try:
        lay_out(replace(cutting, sheet=sheet), setup)
    except DoesNotFit:
        return False
    return True
