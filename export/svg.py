"""SVG documents: the bare piece, and the printed page around it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

from shapely.geometry import MultiPolygon, Polygon

from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export.page.layout import Page, lay_out
from canivet.export.page.pen import Pen
from canivet.export.page.setup import USUAL, PageSetup
from canivet.export.page.tones import BLACK, WHITE, Ink
from canivet.export.page.typeset import outline_words
from canivet.export.page.words import clean
from canivet.lengths import format_mm

from .files import write_atomically
from .parts import Part
from .paths import leaner, path_data

__all__ = ["Ink", "checked_bounds", "draw_page", "page_svg", "piece_svg", "write_svg"]


def piece_svg(cutting: Cutting, parts: Sequence[Part] = ()) -> str:
    """The bare piece at its own size, as seen from its front, with nothing around it.

    Parameters
    ----------
    cutting : Cutting
        Any stock; the piece is never mirrored here.
    parts : sequence of Part
        What the piece was put together from, by role: a group of each stands, hidden, over the paper in the
        group ``parts``. Shown instead of the paper they make the same picture, and each can be moved.

    Returns
    -------
    str
        An SVG document. The paper is one ``path`` with id ``paper``, its coordinates the viewBox's own
        millimetres, with no transform on it or above it; it has no more points than an accuracy of 5 µm asks.

    Raises
    ------
    BadValue
        If there is no paper in it.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> 'd="M10 6L10 0L0 0L0 6Z"' in piece_svg(Cutting(box(0, 0, 10, 6), strap=1, title="Card"))
    True
    """
    left, _, right, top = checked_bounds(cutting)
    height = top - cutting.paper.bounds[1]
    document = _document(cutting, right - left, height)
    group = document.add(document.g(id="piece"))
    data = path_data(leaner(cutting.paper, strap=cutting.strap), flip_height=top, dx=-left)
    group.add(_path(document, data, id="paper", fill=BLACK, fill_rule="evenodd"))
    if parts:
        whole = document.add(document.g(id="parts", display="none"))
        whole.set_desc(
            title="Parts", desc="The piece by its parts: show this and hide the paper to move them"
        )
    for part in parts:
        own = whole.add(document.g(id=part.name))
        own.set_desc(title=part.title)
        for stays, areas in groupby(part.areas, key=itemgetter(0)):
            together = MultiPolygon([area for _, area in areas])  # they may overlap: it is only written out
            data = path_data(together, flip_height=top, dx=-left)
            own.add(_path(document, data, fill=BLACK if stays else WHITE, fill_rule="evenodd"))
    return _text_of(document)


def page_svg(cutting: Cutting, setup: PageSetup = USUAL) -> str:
    """The page to print and cut from: the piece at true size, and a foot that says what it is.

    Where the foot has a page of its own, that is not in it.

    Parameters
    ----------
    cutting : Cutting
        Where the back is printed the piece is drawn mirrored, and the page says so.
    setup : PageSetup
        Its ink and margin; openings are white in every ink.

    Returns
    -------
    str
        An SVG document the size of the sheet; the paper is one ``path`` with id ``paper`` as in `piece_svg`,
        and the words are outlines, each line with what it says as its label.

    Raises
    ------
    BadValue
        If there is no paper in it.
    DoesNotFit
        If the sheet does not take the piece with its margins and foot.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> 'viewBox="0 0 148 210"' in page_svg(Cutting(box(0, 0, 100, 140), strap=1, title="Card"))
    True
    """
    checked_bounds(cutting)
    page = lay_out(cutting, setup)
    drawn = draw_page(page, ink=setup.ink, title=cutting.title, description=cutting.description)
    return outline_words(drawn, face=cutting.face)


def draw_page(page: Page, *, ink: Ink, title: str, description: str = "") -> str:
    """Draw a page that is laid out: its pieces, marks and words.

    Parameters
    ----------
    page : Page
        With every piece, mark and word in place.
    ink : {"solid", "lines", "tint"}
        As in `page_svg`.
    title, description : str
        Of the document.

    Returns
    -------
    str
        An SVG document whose words are plain ``text`` elements, to be set by `outline_words` or
        `document_bytes`.
    """
    pen = Pen(page.sheet, title, description)
    for view in page.pieces:
        pen.within("piece")
        pen.piece(view, ink)
    pen.within("around")
    pen.block(page.block)
    return pen.text()


def write_svg(path: str | os.PathLike[str], text: str) -> None:
    """Write an SVG document in UTF-8, whole or not at all, what words it still has as outlines.

    Raises
    ------
    CannotWrite
        If it cannot be put there.
    """
    whole = '<?xml version="1.0" encoding="utf-8"?>\n' + outline_words(text)
    write_atomically(path, whole.encode("utf-8"))


def _path(document: Any, data: str, **style: Any) -> Any:
    return document.path(d=data, **style)


def _document(cutting: Cutting, width: float, height: float) -> Any:
    from svgwrite import Drawing

    size = (f"{format_mm(width)}mm", f"{format_mm(height)}mm")
    view_box = f"0 0 {format_mm(width)} {format_mm(height)}"
    document = Drawing(size=size, viewBox=view_box, debug=False)
    document.set_desc(title=clean(cutting.title) or "Cutting", desc=clean(cutting.description) or None)
    return document


def _text_of(document: Any) -> str:
    return str(document.tostring()) + "\n"


def checked_bounds(cutting: Cutting) -> tuple[float, float, float, float]:
    """Return the paper's left, lower, right and upper bound in mm, or raise `BadValue` if there is none."""
    paper = cutting.paper
    if not isinstance(paper, Polygon) or paper.is_empty:
        raise BadValue(
            f"paper is {'empty' if paper.is_empty else 'a ' + paper.geom_type}; it takes one polygon. "
            "Join the parts before writing.",
            parameter="paper", value=paper.geom_type, accepted="one polygon, not empty",
        )  # fmt: skip
    left, lower, right, upper = paper.bounds
    return left, lower, right, upper
