"""PDF pages at true size, the same bytes every time."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

from canivet import __version__
from canivet.cutting import Cutting
from canivet.errors import BadValue

from .cairo import load_cairosvg
from .files import write_atomically
from .page import lay_out
from .svg import Ink, page_svg
from .words import clean

if TYPE_CHECKING:
    from pypdf import PdfWriter

__all__ = ["pdf_bytes", "write_pdf"]

POINTS_PER_MM = 72 / 25.4
"""A PDF unit is 1/72 in (ISO 32000-1, 8.3.2.3)."""

_FIXED_DATE = "D:20000101000000Z"
"""Stands in every file, so that the same design makes the same bytes."""


def write_pdf(
    path: str | os.PathLike[str], cuttings: Cutting | Sequence[Cutting], *, ink: Ink = "solid"
) -> None:
    """Write the printed page of each cutting, at true size, into one PDF.

    Parameters
    ----------
    path : path-like
        Where to.
    cuttings : Cutting or sequence of Cutting
        One page each, in this order.
    ink : {"solid", "lines"}
        As in `page_svg`. Default ``solid``.

    Raises
    ------
    BadValue
        If there is no cutting, or one has no paper, or `ink` is not known.
    CannotWrite
        If the file cannot be put there.
    DoesNotFit
        If a sheet does not take its piece.
    MissingLibrary
        If cairo is not installed.

    Notes
    -----
    The file asks the reader not to scale when printing (``/PrintScaling /None``, ISO 32000-1, Table 150).
    """
    write_atomically(path, pdf_bytes(cuttings, ink=ink))


def pdf_bytes(cuttings: Cutting | Sequence[Cutting], *, ink: Ink = "solid") -> bytes:
    """Return what `write_pdf` writes; the same cuttings give the same bytes."""
    pages = [cuttings] if isinstance(cuttings, Cutting) else list(cuttings)
    if not pages:
        raise BadValue(
            "cuttings is empty; a PDF takes at least one. Give a cutting.", parameter="cuttings", value=pages
        )
    drawn = [page_svg(cutting, ink=ink) for cutting in pages]  # first: it says what does not fit
    cairosvg = load_cairosvg()
    from pypdf import PdfWriter

    writer = PdfWriter()
    for cutting, svg in zip(pages, drawn, strict=True):
        _add_page(writer, cutting, cairosvg.svg2pdf(bytestring=svg.encode("utf-8")))
    _describe(writer, pages)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _add_page(writer: PdfWriter, cutting: Cutting, data: bytes) -> None:
    from pypdf import PdfReader
    from pypdf.generic import FloatObject, NameObject, RectangleObject

    class Side(FloatObject):
        """A length kept to the millionth of a point; pypdf would drop that digit above 1000."""

        def myrepr(self) -> str:
            return f"{self:.6f}"

    page = writer.add_page(PdfReader(io.BytesIO(data)).pages[0])
    sheet = lay_out(cutting).sheet
    sides = [Side(side * POINTS_PER_MM) for side in (0, 0, sheet.width, sheet.height)]
    for name in ("/MediaBox", "/CropBox", "/TrimBox"):
        page[NameObject(name)] = RectangleObject(sides)


def _describe(writer: PdfWriter, pages: Sequence[Cutting]) -> None:
    from pypdf.generic import DictionaryObject, NameObject

    titles = [clean(cutting.title) or "Cutting" for cutting in pages]
    more = f" and {len(set(titles)) - 1} more" if len(set(titles)) > 1 else ""
    writer.metadata = {
        "/Title": titles[0] + more,
        "/Subject": clean(pages[0].description),
        "/Producer": f"canivet {__version__}",
        "/CreationDate": _FIXED_DATE,
        "/ModDate": _FIXED_DATE,
    }
    preferences = {NameObject("/PrintScaling"): NameObject("/None")}
    writer.root_object[NameObject("/ViewerPreferences")] = DictionaryObject(preferences)
    if len(pages) > 1:
        for number, title in enumerate(titles):
            writer.add_outline_item(title=title, page_number=number)
