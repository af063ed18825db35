"""SVG documents: the bare piece, and the printed page around it."""

from __future__ import annotations

import os
from typing import Any, Literal, get_args

from shapely.geometry import Polygon

from canivet.cutting import Cutting
from canivet.errors import BadValue, suggest
from canivet.export.page.layout import Page, lay_out
from canivet.export.page.marks import Mark, Word
from canivet.export.page.words import clean
from canivet.lengths import format_mm

from .files import write_atomically
from .paths import path_data

__all__ = ["Ink", "checked_bounds", "page_svg", "piece_svg", "write_svg"]

Ink = Literal["solid", "lines"]
"""How a page shows the piece: black where paper stays, or thin outlines with the waste tinted."""

PAPER_BLACK = "#000000"
MARK_GREY = "#707070"
FAINT_GREY = "#b4b4b4"
WASTE_GREY = "#dedede"
_TONES = {"ink": MARK_GREY, "white": "#ffffff", "faint": FAINT_GREY}


def piece_svg(cutting: Cutting) -> str:
    """The bare piece at its own size, as seen from its front, with nothing around it.

    Parameters
    ----------
    cutting : Cutting
        Any stock; the piece is never mirrored here.

    Returns
    -------
    str
        An SVG document. The paper is one ``path`` with id ``paper``, its coordinates the viewBox's own
        millimetres, with no transform on it or above it.

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
    data = path_data(cutting.paper, flip_height=top, dx=-left)
    group.add(_path(document, data, id="paper", fill=PAPER_BLACK, fill_rule="evenodd"))
    return _text_of(document)


def page_svg(cutting: Cutting, *, ink: Ink = "solid") -> str:
    """The page to print and cut from: the piece at true size, and a foot that says what it is.

    Parameters
    ----------
    cutting : Cutting
        With stock that is dark on one face the piece is drawn mirrored, and the page says so.
    ink : {"solid", "lines"}
        ``solid``: paper black, openings white. ``lines``: thin outlines, openings tinted as waste.
        Default ``solid``.

    Returns
    -------
    str
        An SVG document the size of the sheet; the paper is one ``path`` with id ``paper`` as in `piece_svg`.

    Raises
    ------
    BadValue
        If there is no paper in it, or `ink` is not known.
    DoesNotFit
        If the sheet does not take the piece with its margins and foot.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> 'viewBox="0 0 148 210"' in page_svg(Cutting(box(0, 0, 100, 140), strap=1, title="Card"))
    True
    """
    _check_ink(ink)
    checked_bounds(cutting)
    page = lay_out(cutting)
    document = _document(cutting, page.sheet.width, page.sheet.height)
    document.add(document.rect((0, 0), ("100%", "100%"), fill="#ffffff", id="sheet"))
    _draw_piece(document, cutting, page, ink)
    _draw_marks(document, page.foot.marks)
    _draw_words(document, page.foot.words)
    return _text_of(document)


def write_svg(path: str | os.PathLike[str], text: str) -> None:
    """Write an SVG document in UTF-8, whole or not at all.

    Raises
    ------
    CannotWrite
        If it cannot be put there.
    """
    write_atomically(path, ('<?xml version="1.0" encoding="utf-8"?>\n' + text).encode("utf-8"))


def _draw_piece(document: Any, cutting: Cutting, page: Page, ink: Ink) -> None:
    left, _, right, top = cutting.paper.bounds
    mirrored = cutting.stock.faces.mirrored
    place: dict[str, Any] = {
        "flip_height": top,
        "dx": page.left if mirrored else page.left - left,
        "dy": page.top,
        "mirror_width": right if mirrored else None,
    }
    group = document.add(document.g(id="piece"))
    style: dict[str, Any] = {"fill": PAPER_BLACK}
    if ink == "lines":
        outline = path_data(Polygon(cutting.paper.exterior), **place)
        group.add(_path(document, outline, id="waste", fill=WASTE_GREY))
        style = {"fill": "#ffffff", "stroke": MARK_GREY, "stroke_width": 0.15, "stroke_linejoin": "round"}
    group.add(_path(document, path_data(cutting.paper, **place), id="paper", fill_rule="evenodd", **style))


def _draw_marks(document: Any, marks: tuple[Mark, ...]) -> None:
    whole = document.add(document.g(id="marks"))
    for name in dict.fromkeys(mark.group for mark in marks):
        group = whole.add(document.g(id=name))
        for mark in (mark for mark in marks if mark.group == name):
            group.add(_mark(document, mark))


def _mark(document: Any, mark: Mark) -> Any:
    data = "".join(
        "M"
        + "L".join(f"{format_mm(x)} {format_mm(y)}" for x, y in line)
        + ("Z" if line[0] == line[-1] else "")
        for line in mark.lines
    )
    style: dict[str, Any] = {"fill": _TONES[mark.fill] if mark.fill else "none"}
    if mark.stroke:
        style |= {"stroke": _TONES[mark.stroke], "stroke_width": mark.width, "stroke_linejoin": "round"}
    return _path(document, data, **style)


def _draw_words(document: Any, words: tuple[Word, ...]) -> None:
    group = document.add(document.g(id="words", fill=MARK_GREY, font_family="sans-serif"))
    for word in words:
        place = (format_mm(word.x), format_mm(word.y))
        group.add(document.text(word.text, insert=place, font_size=format_mm(word.size)))


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


def _check_ink(ink: str) -> None:
    known = get_args(Ink)
    if ink not in known:
        raise BadValue(
            f"ink is {ink!r}; it takes one of: {', '.join(known)}.{suggest(str(ink), known)}",
            parameter="ink", value=ink, accepted=", ".join(known),
        )  # fmt: skip
