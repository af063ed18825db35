"""Many PDF pages bound into one document, a page at a time, so that memory does not grow with it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

from canivet.errors import Unreadable
from canivet.export._about import FIXED_DATE, LANGUAGE, PREFERENCES, PRODUCER, xmp_packet
from canivet.export.files import file_in_place
from canivet.export.page.words import clean

if TYPE_CHECKING:
    import pikepdf

__all__ = ["is_whole", "join_pdfs"]

Page = str | Path | BinaryIO

_CATALOG, _PAGES, _INFO = 1, 2, 3

_INHERITED = ("/Resources", "/MediaBox", "/CropBox", "/Rotate")
"""What a page takes from the nodes above it where it has none of its own (ISO 32000-1, 7.7.3.4)."""


def join_pdfs(path: str | Path, pages: Iterable[Page], *, title: str, names: Sequence[str] = ()) -> None:
    """Bind PDFs into one document that prints at true size, on one side of the paper.

    Parameters
    ----------
    path : path
        The document.
    pages : iterable of path or binary file
        In order.
    title : str
        The document's title.
    names : sequence of str
        What each of `pages` is called in the document's outline; empty for no outline.

    Raises
    ------
    CannotWrite
        If it cannot be put there.
    Unreadable
        If a page is missing or damaged.

    Notes
    -----
    Each page's objects are copied out as they are read, streams as they lie, and only their places are kept
    for the table at the end. The libraries at hand hold every page until they save: with a thousand plates
    that is 80 MB and grows.

    References
    ----------
    ISO 32000-1, 7.5: the body, the cross-reference table and the trailer of a file. Table 150: PrintScaling
    None.
    """
    with file_in_place(path) as file:
        _bind(_Body(file), pages, clean(title), [clean(name) for name in names])


class _Body:
    """The numbered objects of a document on their way into a file."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._digest = hashlib.md5(usedforsecurity=False)
        self._length = 0
        self._places: dict[int, int] = {}
        self._last = _INFO
        self._write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")

    def number(self) -> int:
        """Return a number not given to any object yet."""
        self._last += 1
        return self._last

    def add(self, number: int, *parts: bytes) -> None:
        """Write an object."""
        self._places[number] = self._length
        self._write(b"%d 0 obj\n" % number, *parts, b"\nendobj\n")

    def close(self) -> None:
        """Write the table of places and the trailer."""
        start, count = self._length, self._last + 1
        name = self._digest.hexdigest().encode()
        self._write(b"xref\n0 %d\n0000000000 65535 f \n" % count)
        for number in range(1, count):
            self._write(b"%010d 00000 n \n" % self._places[number])
        self._write(
            b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R " % (count, _CATALOG, _INFO),
            b"/ID [ <%b> <%b> ] >>\nstartxref\n%d\n%%%%EOF\n" % (name, name, start),
        )

    def _write(self, *parts: bytes) -> None:
        for part in parts:
            self._file.write(part)
            self._digest.update(part)
            self._length += len(part)


def _bind(body: _Body, pages: Iterable[Page], title: str, names: Sequence[str]) -> None:
    import pikepdf

    numbers: list[int] = []
    first = []
    for page in pages:
        first.append(len(numbers))
        with _opened(page) as source:
            numbers += [_copy_page(body, one.obj) for one in source.pages]
    kids = b" ".join(b"%d 0 R" % number for number in numbers)
    body.add(_PAGES, b"<< /Type /Pages /Count %d /Kids [ %b ] >>" % (len(numbers), kids))
    told = xmp_packet(title, "")
    about = body.number()
    body.add(
        about, b"<< /Type /Metadata /Subtype /XML /Length %d >>\nstream\n" % len(told), told, b"\nendstream"
    )
    wanted = " ".join(f"{name} {value}" for name, value in PREFERENCES.items()).encode()
    more = b"/Lang (%b) /Metadata %d 0 R /ViewerPreferences << %b >>" % (LANGUAGE.encode(), about, wanted)
    if names:
        whose = [numbers[k] for k in first]
        more += b" /Outlines %d 0 R /PageMode /UseOutlines" % _add_outline(body, names, whose)
    body.add(_CATALOG, b"<< /Type /Catalog /Pages %d 0 R %b >>" % (_PAGES, more))
    date, producer = (text.encode() for text in (FIXED_DATE, PRODUCER))
    info = (pikepdf.String(title).unparse(), producer, date, date)
    body.add(_INFO, b"<< /Title %b /Producer (%b) /CreationDate (%b) /ModDate (%b) >>" % info)
    body.close()


def _add_outline(body: _Body, names: Sequence[str], pages: Sequence[int]) -> int:
    """Add an outline with an entry for each name, in one row (ISO 32000-1, 12.3.3); return its number."""
    import pikepdf

    outline = body.number()
    entries = [body.number() for _ in names]
    for k, (entry, name, page) in enumerate(zip(entries, names, pages, strict=True)):
        beside = b"/Prev %d 0 R " % entries[k - 1] if k else b""
        beside += b"/Next %d 0 R " % entries[k + 1] if k + 1 < len(entries) else b""
        title = pikepdf.String(name or "Plate").unparse()
        there = (title, outline, beside, page)
        body.add(entry, b"<< /Title %b /Parent %d 0 R %b/Dest [ %d 0 R /Fit ] >>" % there)
    ends = (entries[0], entries[-1], len(entries))
    body.add(outline, b"<< /Type /Outlines /First %d 0 R /Last %d 0 R /Count %d >>" % ends)
    return outline


def is_whole(page: str | Path) -> bool:
    """Whether a file is there and is a PDF of one page or more."""
    try:
        with _opened(page) as source:
            return len(source.pages) > 0
    except Unreadable:
        return False


def _opened(page: Page) -> pikepdf.Pdf:
    import pikepdf

    try:
        return pikepdf.open(page)
    except (OSError, pikepdf.PdfError) as error:
        raise Unreadable(
            f"the page {page} cannot be read: {error}. Take it away to have it drawn again."
        ) from None


def _copy_page(body: _Body, page: pikepdf.Dictionary) -> int:
    """Copy a page and all it leads to, each object once; return its number."""
    own = {key: value for key, value in page.items() if key != "/Parent"}
    for key in _INHERITED:
        above: pikepdf.Object = page
        while key not in own and "/Parent" in above:
            above = above.Parent
            if key in above:
                own[key] = above[key]
    numbers: dict[tuple[int, int], int] = {}
    found: list[pikepdf.Object] = []

    def refer(thing: pikepdf.Object) -> int:
        if thing.objgen not in numbers:
            numbers[thing.objgen] = body.number()
            found.append(thing)
        return numbers[thing.objgen]

    number = body.number()
    numbers[page.objgen] = number
    entries = b" ".join(_entries(own.items(), refer))
    body.add(number, b"<< /Parent %d 0 R %b >>" % (_PAGES, entries))
    while found:
        thing = found.pop()
        body.add(numbers[thing.objgen], *_object(thing, refer))
    return number


def _object(thing: pikepdf.Object, refer: Any) -> Iterator[bytes]:
    """Yield an indirect object's parts; a stream's data as it lies, compressed or not."""
    import pikepdf

    if not isinstance(thing, pikepdf.Stream):
        yield _value(thing, refer, here=True)
        return
    data = thing.read_raw_bytes()
    rest = ((key, value) for key, value in thing.stream_dict.items() if key != "/Length")
    yield b"<< /Length %d %b >>\nstream\n" % (len(data), b" ".join(_entries(rest, refer)))
    yield data
    yield b"\nendstream"


def _entries(items: Any, refer: Any) -> Iterator[bytes]:
    import pikepdf

    for key, value in items:
        yield pikepdf.Name(key).unparse() + b" " + _value(value, refer)


def _value(thing: Any, refer: Any, *, here: bool = False) -> bytes:
    """Return a value as it stands in a file; what is indirect by its new number, unless it is meant here."""
    import pikepdf

    match thing:
        case None:
            return b"null"
        case bool():
            return b"true" if thing else b"false"
        case int():
            return b"%d" % thing
        case Decimal():
            return format(thing, "f").encode()
    if thing.is_indirect and not here:
        return b"%d 0 R" % refer(thing)
    if isinstance(thing, pikepdf.Array):
        return b"[ " + b" ".join(_value(one, refer) for one in thing) + b" ]"
    if isinstance(thing, pikepdf.Dictionary):
        return b"<< " + b" ".join(_entries(thing.items(), refer)) + b" >>"
    written: bytes = thing.unparse()
    return written
