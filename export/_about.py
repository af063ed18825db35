"""What a PDF says of itself: its title, maker, dates and language, and how it asks to be printed.

References
----------
ISO 32000-1: 14.3.2 (metadata streams), 14.9.2 (natural language), Table 150 (viewer preferences). ISO 16684-1
(XMP).
"""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import escape

from canivet import __version__

__all__ = ["FIXED_DATE", "LANGUAGE", "PREFERENCES", "PRODUCER", "subject_of", "xmp_packet"]

FIXED_DATE = "D:20000101000000Z"
"""Any date: it stands in every file, so that the same design makes the same bytes."""

_SAME_DATE = "2000-01-01T00:00:00Z"

PRODUCER = f"canivet {__version__}"
LANGUAGE = "en"
"""Of the words on the pages."""

PREFERENCES = {"/PrintScaling": "/None", "/Duplex": "/Simplex"}
"""True size, and nothing on the back of a sheet that is to be cut."""


def xmp_packet(title: str, subject: str) -> bytes:
    """Return the metadata stream of a document.

    Parameters
    ----------
    title, subject : str
        As in its information dictionary, which says the same.

    Examples
    --------
    >>> b"<rdf:li xml:lang=\'x-default\'>Reed &amp; rush</rdf:li>" in xmp_packet("Reed & rush", "")
    True
    """
    told = "".join(
        f"<dc:{name}><rdf:Alt><rdf:li xml:lang='x-default'>{escape(text)}</rdf:li></rdf:Alt></dc:{name}>"
        for name, text in (("title", title), ("description", subject))
        if text
    )
    return (
        "<?xpacket begin='\ufeff' id='W5M0MpCehiHzreSzNTczkc9d'?>\n"
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'>"
        "<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
        "<rdf:Description rdf:about='' xmlns:dc='http://purl.org/dc/elements/1.1/' "
        "xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmlns:pdf='http://ns.adobe.com/pdf/1.3/'>"
        f"<dc:format>application/pdf</dc:format>{told}"
        f"<dc:language><rdf:Bag><rdf:li>{LANGUAGE}</rdf:li></rdf:Bag></dc:language>"
        f"<xmp:CreatorTool>canivet</xmp:CreatorTool><xmp:CreateDate>{_SAME_DATE}</xmp:CreateDate>"
        f"<xmp:ModifyDate>{_SAME_DATE}</xmp:ModifyDate><pdf:Producer>{PRODUCER}</pdf:Producer>"
        "</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end='r'?>"
    ).encode()


def subject_of(path: Path) -> str | None:
    """Return the subject of a PDF of our own, or None of any other file and where there is none.

    Examples
    --------
    >>> subject_of(Path("nothing-there.pdf")) is None
    True
    """
    if not path.is_file():
        return None
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        about = PdfReader(path).metadata
        made_by, subject = (about.producer, about.subject) if about else (None, None)
    except (PyPdfError, OSError, ValueError):
        return None
    return subject or "" if (made_by or "").startswith("canivet ") else None
