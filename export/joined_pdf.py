"""Many PDF pages bound into one document, a page at a time, so that memory stays flat."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from canivet.errors import CannotWrite

from .words import clean

__all__ = ["join_pdfs"]

FIXED_DATE = "D:20000101000000Z"
"""Any fixed date: the same pages give the same bytes."""


def join_pdfs(path: str | Path, pages: Sequence[str | Path], *, title: str) -> None:
    """Bind single-page PDFs into one document that prints at true size.

    Parameters
    ----------
    path : path
        The document; written beside and renamed.
    pages : sequence of path
        Single-page PDFs, in order.
    title : str
        The document's title.

    Raises
    ------
    CannotWrite
        If it cannot be put there.

    References
    ----------
    ISO 32000-1, Table 150: PrintScaling None.
    """
    import pikepdf

    path = Path(path)
    handle, beside = tempfile.mkstemp(suffix=".pdf", prefix=f".{path.stem}-", dir=path.parent)
    os.close(handle)
    try:
        # Sources stay open until the document is written: their pages are copied from file to file.
        with pikepdf.new() as document:
            for page in pages:
                with pikepdf.open(page) as source:
                    document.pages.extend(source.pages)
            document.Root.ViewerPreferences = pikepdf.Dictionary(PrintScaling=pikepdf.Name.None_)
            document.docinfo["/Title"] = clean(title)
            document.docinfo["/CreationDate"] = FIXED_DATE
            document.save(beside, deterministic_id=True)
        Path(beside).replace(path)
    except OSError as error:
        raise CannotWrite(
            f"cannot write {path}: {error.strerror}. Choose another folder.", value=path
        ) from None
    finally:
        Path(beside).unlink(missing_ok=True)
