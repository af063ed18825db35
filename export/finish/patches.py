"""``NAME-patches.pdf``: a page for each colour, its patches numbered, the piece faint behind them."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry import Polygon

from canivet.compose.design.values.colours import colour_names
from canivet.compose.finish.finished import Finish, narrow_in_words
from canivet.compose.finish.patches import Patch
from canivet.export.page.marks import Word
from canivet.export.page.pen import Pen
from canivet.export.page.view import PieceView
from canivet.lengths import format_mm
from canivet.sheets import Sheet

from .sheets import open_page

__all__ = ["colour_in_words", "patch_pages"]

_CUT = 0.35
_FAINT = 0.12
_NUMBER = 4.2
_SMALL = 2.6


def colour_in_words(colour: str) -> str:
    """Return a colour's name where it has one, else as it is written.

    Examples
    --------
    >>> colour_in_words("#ffd700"), colour_in_words("#ffd701")
    ('gold', '#ffd701')
    """
    return next((name for name, written in colour_names().items() if written == colour), colour)


def patch_pages(finish: Finish) -> Iterator[tuple[str, Sheet, str]]:
    """Yield a page for each colour as an SVG document, its sheet and its title."""
    cutting = finish.plate.cutting
    for colour in dict.fromkeys(patch.colour for patch in finish.patches):
        own = [patch for patch in finish.patches if patch.colour == colour]
        numbers = {patch.number for patch in own}
        narrow = [one for one in finish.narrow if one.number in numbers]
        title = f"{cutting.title}: {colour_in_words(colour)}"
        page = open_page(
            Polygon(cutting.paper.exterior),
            title,
            ["1 patch" if len(own) == 1 else f"{len(own)} patches", f"colour {colour}",
             f"the largest {_extent(own)}", "seen from behind"],
            [
                "Print on the back of the coloured paper, or lay this page over it. Cut along the heavy "
                "lines; the fine lines are the piece, to lay each patch right.",
                "Glue each behind its openings, the printed side towards you.",
                *(f"Narrow: {said}." for said in narrow_in_words(narrow)),
            ],
            mirrored=True,
            preferred=cutting.sheet,
        )  # fmt: skip
        page.pen.within("piece")
        _outlines(page.pen, page.view, [cutting.paper], _FAINT, "#7a7a7a")
        page.pen.within("patches")
        _outlines(page.pen, page.view, [patch.area for patch in own], _CUT, "#000000")
        _numbered(page.pen, page.view, own, finish)
        yield page.pen.text(), page.sheet, title


def _outlines(pen: Pen, view: PieceView, areas: list[Polygon], width: float, stroke: str) -> None:
    rings = [ring for area in areas for ring in shapely.get_rings(area)]
    pen.lines([view.places(ring.coords).tolist() for ring in rings], width=width, stroke=stroke)


def _numbered(pen: Pen, view: PieceView, patches: list[Patch], finish: Finish) -> None:
    """Set each patch's number in its roomiest opening, where the finished front shows nothing of it."""
    for patch in patches:
        discs = shapely.maximum_inscribed_circle(finish.openings.areas[list(patch.openings)], tolerance=0.1)
        widest = max(discs, key=lambda disc: disc.length)
        size = _NUMBER if widest.length > 0.8 * _NUMBER else _SMALL
        x, y = view.places([widest.coords[0]])[0]
        pen.words(
            [Word(str(patch.number), x, y + 0.32 * size, size)], anchor="middle", weight="bold", halo=True
        )


def _extent(patches: list[Patch]) -> str:
    x0, y0, x1, y1 = max(patches, key=lambda patch: patch.area.area).area.bounds
    return f"{format_mm(x1 - x0, 0)} × {format_mm(y1 - y0, 0)} mm"
