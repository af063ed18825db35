"""The marked drawing: a page on which each weak place of a cutting is ringed, numbered and explained."""

from __future__ import annotations

import io
import os
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.audit.strength import LOOK, StrengthReport, check_strength
from canivet.cutting import Cutting
from canivet.export._about import subject_of
from canivet.export._cairo import load_cairosvg
from canivet.export.drawing import require_writable
from canivet.export.files import write_atomically
from canivet.export.page.typeset import outline_words
from canivet.export.page.words import clean
from canivet.export.pdf import document_bytes
from canivet.export.svg import write_svg
from canivet.lengths import format_mm
from canivet.sheets import Sheet

from .callouts import Callout, place_in_margins, place_numbers
from .findings import Findings, gather_findings, loose_parts
from .ink import (
    Frame,
    draw_block,
    draw_callouts,
    draw_findings,
    draw_keys,
    draw_piece,
    draw_text,
    draw_thin,
    mark_shape,
)
from .layout import MarkedPage, lay_out_marked

__all__ = ["is_marked_drawing", "mark_weak_places", "write_marked", "write_marked_plate"]

SUBJECT = "Marked drawing:"
"""How the subject of its PDF begins."""

_ROUND_PIECE = (8.0, 14.0, 24.0, 40.0)
"""mm left free round the piece for numbers; more where they find no place."""

_EDGE = 1.0


def mark_weak_places(
    paper: Paper, report: StrengthReport, *, title: str, sheet: Sheet | None = None, mirrored: bool = False
) -> str:
    """A page with the piece pale, every weak place ringed and numbered, and what to do about each.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        What was audited, in mm.
    report : StrengthReport
        From `check_strength` on it; with `look` above 1 it also tells of single holds and sharp corners.
    title : str
        What the piece is called.
    sheet : Sheet or None
        The page; None for the smallest of the A series, from A5, that takes piece and list.
    mirrored : bool
        Whether to draw the mirror image, as the page to cut from does for stock dark on one face.

    Returns
    -------
    str
        An SVG document, its words plain ``text`` until it is written. The piece is at true size,
        the paper one ``path`` with id ``paper``; each place has
        a group ``finding-1``, ``finding-2`` … whose class is its kind.

    Raises
    ------
    DoesNotFit
        If the sheet does not take piece and list.

    Notes
    -----
    A plain ring is a neck under the strap, a double ring a single hold, a dashed ring a limb, a square an
    opening too small to cut, a triangle a sharp corner, a lozenge on hatching a loose part.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.strength import check_strength
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(10, 4.6, 14, 5.4), box(14, 0, 22, 10)])
    >>> page = mark_weak_places(dumbbell, check_strength(dumbbell, strap=1), title="Dumbbell")
    >>> page.count('id="finding-'), "2 single holds" in page
    (1, True)
    """
    return _marked(paper, report, title=title, sheet=sheet, mirrored=mirrored)[0]


def write_marked(
    path: str | os.PathLike[str],
    paper: Paper,
    report: StrengthReport,
    *,
    title: str,
    sheet: Sheet | None = None,
    mirrored: bool = False,
    dpi: float = 200,
) -> None:
    """Write the marked drawing as its file's ending asks: ``.svg``, ``.pdf`` or ``.png``.

    Parameters
    ----------
    path : path-like
        Where to.
    paper, report, title, sheet, mirrored
        As for `mark_weak_places`.
    dpi : float
        Pixels per inch of a ``.png``. Default 200.

    Raises
    ------
    BadValue
        If the ending is none of these.
    CannotWrite
        If the file cannot be put there.
    DoesNotFit
        If the sheet does not take piece and list.
    MissingLibrary
        For a PDF or PNG, if cairo is not installed.
    """
    require_writable(path)
    svg, page = _marked(paper, report, title=title, sheet=sheet, mirrored=mirrored)
    match Path(path).suffix.lower():
        case ".svg":
            write_svg(path, svg)
        case ".pdf":
            drawn = document_bytes([(svg, page.sheet)], titles=[title], subject=_described(report))
            write_atomically(path, drawn)
        case _:
            write_atomically(path, _png(svg, page, dpi))


def write_marked_plate(path: str | os.PathLike[str], cutting: Cutting, report: StrengthReport) -> None:
    """Write the marked drawing of a plate, audited once more with a look at its single holds.

    Parameters
    ----------
    path : path-like
        Where to; its ending asks for SVG, PDF or PNG.
    cutting : Cutting
        The plate; drawn as its page is, so mirrored for stock dark on one face.
    report : StrengthReport
        How it was audited: its strap, slip and smallest opening are taken again.

    Raises
    ------
    CannotWrite, DoesNotFit, MissingLibrary
        As `write_marked`.
    """
    widely = check_strength(
        cutting.paper, strap=report.strap, slip=report.slip, smallest=report.smallest, look=LOOK
    )
    write_marked(path, cutting.paper, widely, title=cutting.title, mirrored=cutting.stock.faces.mirrored)


def is_marked_drawing(path: Path) -> bool:
    """Say whether a file is a marked drawing of our own, which a later run may take away.

    Examples
    --------
    >>> is_marked_drawing(Path("nothing-there.pdf"))
    False
    """
    return (subject_of(path) or "").startswith(SUBJECT)


def _marked(
    paper: Paper, report: StrengthReport, *, title: str, sheet: Sheet | None, mirrored: bool
) -> tuple[str, MarkedPage]:
    findings = gather_findings(paper, report)
    at_origin = Frame.of(paper, mirrored=mirrored)
    area, callouts = _numbered(paper, findings, at_origin)
    x0, y0, x1, y1 = area.bounds
    places = [_place(at_origin, finding.at, paper) for finding in findings.ringed]
    page = lay_out_marked(
        title, report, findings, places=places, room=(x1 - x0, y1 - y0), sheet=sheet, mirrored=mirrored
    )
    dx, dy = page.left - x0, page.top - y0
    document = _document(page, title, _described(report))
    frame = at_origin.moved(dx, dy)
    draw_piece(document, paper, loose_parts(paper), frame)
    draw_thin(document, paper, findings.chords, frame)
    draw_findings(document, findings.ringed, frame)
    draw_callouts(document, [callout.moved(dx, dy) for callout in callouts], findings.ringed)
    draw_text(document, page.heading, page.listed)
    draw_keys(document, page.listed.keys)
    draw_block(document, page.around)
    return str(document.tostring()) + "\n", page


def _numbered(paper: Paper, findings: Findings, frame: Frame) -> tuple[Polygon, list[Callout]]:
    """Place the numbers round a piece that lies at the origin; return the room all takes, and them."""
    rings = [mark_shape(found.kind, frame.point(found.at), found.radius) for found in findings.ringed]
    lying = frame.shape(paper)
    outermost = shapely.box(*shapely.total_bounds([lying, *rings]))
    for free in _ROUND_PIECE:
        area = outermost.buffer(free, join_style="mitre")
        callouts = place_in_margins(rings, area) or place_numbers(rings, lying, area)
        if callouts is not None:
            break
    callouts = callouts or []
    taken = [outermost, *(callout.room for callout in callouts), *(callout.line for callout in callouts)]
    return shapely.box(*shapely.total_bounds(taken)).buffer(_EDGE, join_style="mitre"), callouts


def _place(frame: Frame, at: tuple[float, float], paper: Paper) -> str:
    """Say where a place is in the drawing as it lies, from its lower left corner."""
    _, bottom, _, top = paper.bounds
    x, y = frame.point(at)
    return f"{format_mm(x, 1)}, {format_mm(top - bottom - y, 1)}"


def _described(report: StrengthReport) -> str:
    verdict = "holds" if report.holds else "does not hold"
    return f"{SUBJECT} {verdict} at a strap of {format_mm(report.needed)} mm."


def _document(page: MarkedPage, title: str, description: str) -> Any:
    from svgwrite import Drawing

    width, height = format_mm(page.sheet.width), format_mm(page.sheet.height)
    document = Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False)
    document.set_desc(title=clean(title) or "Cutting", desc=description)
    document.add(document.rect((0, 0), (width, height), fill="#ffffff", id="sheet"))
    return document


def _png(svg: str, page: MarkedPage, dpi: float) -> bytes:
    """Return the page as a picture that knows its resolution."""
    width, height = (round(side * dpi / 25.4) for side in (page.sheet.width, page.sheet.height))
    set_in_type = outline_words(svg).encode("utf-8")
    drawn = load_cairosvg().svg2png(bytestring=set_in_type, output_width=width, output_height=height)
    from PIL import Image

    out = io.BytesIO()
    Image.open(io.BytesIO(drawn)).convert("RGB").save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()
