"""PDF pages at true size, the same bytes every time."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

from canivet.compose.stages import remembered
from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export.page.setup import USUAL, PageSetup
from canivet.export.page.typeset import lift_words
from canivet.export.page.words import clean
from canivet.sheets import Sheet

from ._about import FIXED_DATE, LANGUAGE, PREFERENCES, PRODUCER, xmp_packet
from ._cairo import load_cairosvg
from ._page_content import POINTS_PER_MM, embed_words, lay_pieces, lift_pieces
from .files import write_atomically
from .pages import page_documents

if TYPE_CHECKING:
    from pypdf import PageObject, PdfWriter

__all__ = ["document_bytes", "pdf_bytes", "write_pdf"]


def write_pdf(
    path: str | os.PathLike[str], cuttings: Cutting | Sequence[Cutting], setup: PageSetup = USUAL
) -> None:
    """Write the printed page of each cutting, at true size, into one PDF.

    Parameters
    ----------
    path : path-like
        Where to.
    cuttings : Cutting or sequence of Cutting
        In this order.
    setup : PageSetup
        How they are printed; see `canivet.export.pages.page_documents`.

    Raises
    ------
    BadValue
        If there is no cutting, or one has no paper.
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
    write_atomically(path, pdf_bytes(cuttings, setup))


def pdf_bytes(cuttings: Cutting | Sequence[Cutting], setup: PageSetup = USUAL) -> bytes:
    """Return what `write_pdf` writes; the same cuttings give the same bytes."""
    pieces = [cuttings] if isinstance(cuttings, Cutting) else list(cuttings)
    if not pieces:
        raise BadValue(
            "cuttings is empty; a PDF takes at least one. Give a cutting.", parameter="cuttings", value=pieces
        )
    pages = list(page_documents(pieces, setup))
    return document_bytes(
        [(page.svg, page.sheet) for page in pages],
        titles=[page.title for page in pages],
        subject=pieces[0].description,
        face=pieces[0].face,
    )


def document_bytes(
    pages: Sequence[tuple[str, Sheet]], *, titles: Sequence[str], subject: str, face: str | None = None
) -> bytes:
    """Return a PDF of SVG pages, each at the size of its sheet, that asks not to be scaled in printing.

    Parameters
    ----------
    pages : sequence of (str, Sheet)
        SVG documents at true size, and what each is printed on. Their words are plain ``text`` elements, as
        `canivet.export.page.typeset` takes them; they are set as text, with the letters embedded.
    titles : sequence of str
        One for each page. The document is called by the first, and has an outline where there are several.
    subject : str
        What the document is.
    face : str or None
        A TTF or OTF file for characters that the shipped face lacks. Default None.

    Raises
    ------
    MissingLibrary
        If cairo is not installed.
    """
    load_cairosvg()
    from pypdf import PdfWriter

    writer = PdfWriter()
    drawn = []
    for svg, sheet in pages:
        bare, lines = lift_words(svg, face=face)
        rest, pieces = lift_pieces(bare)
        page = _add_page(writer, sheet, _drawn(rest))
        if pieces:
            lay_pieces(writer, page, pieces, sheet)
        drawn.append((page, sheet, lines))
    embed_words(writer, drawn)
    _describe(writer, [clean(title) or "Cutting" for title in titles], clean(subject))
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@remembered(most=8)
def _drawn(svg: str) -> bytes:
    """Draw a page by cairo; what stands round the piece is drawn once for all plates of a series."""
    drawn: bytes = load_cairosvg().svg2pdf(bytestring=svg.encode("utf-8"))
    return drawn


def _add_page(writer: PdfWriter, sheet: Sheet, data: bytes) -> PageObject:
    from pypdf import PdfReader
    from pypdf.generic import FloatObject, NameObject, RectangleObject

    class Side(FloatObject):
        """A length kept to the millionth of a point; pypdf would drop that digit above 1000."""

        def myrepr(self) -> str:
            return f"{self:.6f}"

    page = writer.add_page(PdfReader(io.BytesIO(data)).pages[0])
    sides = [Side(side * POINTS_PER_MM) for side in (0, 0, sheet.width, sheet.height)]
    for name in ("/MediaBox", "/CropBox", "/TrimBox"):
        page[NameObject(name)] = RectangleObject(sides)
    return page


def _describe(writer: PdfWriter, titles: Sequence[str], subject: str) -> None:
    from pypdf.generic import DecodedStreamObject, DictionaryObject, NameObject, TextStringObject

    more = f" and {len(set(titles)) - 1} more" if len(set(titles)) > 1 else ""
    title = titles[0] + more
    writer.metadata = {
        "/Title": title,
        "/Subject": subject,
        "/Producer": PRODUCER,
        "/CreationDate": FIXED_DATE,
        "/ModDate": FIXED_DATE,
    }
    preferences = {NameObject(name): NameObject(value) for name, value in PREFERENCES.items()}
    root = writer.root_object
    root[NameObject("/ViewerPreferences")] = DictionaryObject(preferences)
    root[NameObject("/Lang")] = TextStringObject(LANGUAGE)
    about = DecodedStreamObject()
    about.set_data(xmp_packet(title, subject))
    about.update({NameObject("/Type"): NameObject("/Metadata"), NameObject("/Subtype"): NameObject("/XML")})
    root[NameObject("/Metadata")] = writer._add_object(about)
    if len(titles) > 1:
        for number, title in enumerate(titles):
            writer.add_outline_item(title=title, page_number=number)
