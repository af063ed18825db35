"""Drawings out: SVG, PDF and PNG, and the printed page around the piece.

Importing this package loads nothing heavy; names below are fetched when first asked for, and cairo and what
joins and stamps files only when something is rendered.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

_HOMES = {
    "SUFFIXES": "drawing",
    "Ink": "svg",
    "MadePlate": "plates",
    "PageSetup": "page.setup",
    "make_plate": "plates",
    "mark_weak_places": "marked.writing",
    "page_svg": "svg",
    "path_data": "paths",
    "pdf_bytes": "pdf",
    "piece_svg": "svg",
    "png_bytes": "png",
    "require_folder": "files",
    "require_writable": "drawing",
    "write_atomically": "files",
    "write_drawing": "drawing",
    "write_marked": "marked.writing",
    "write_pdf": "pdf",
    "write_plate": "drawing",
    "write_png": "png",
    "write_svg": "svg",
}

if TYPE_CHECKING:
    from canivet.export.marked.writing import mark_weak_places, write_marked
    from canivet.export.page.setup import PageSetup

    from .drawing import SUFFIXES, require_writable, write_drawing, write_plate
    from .files import require_folder, write_atomically
    from .paths import path_data
    from .pdf import pdf_bytes, write_pdf
    from .plates import MadePlate, make_plate
    from .png import png_bytes, write_png
    from .svg import Ink, page_svg, piece_svg, write_svg

__all__ = [
    "SUFFIXES",
    "Ink",
    "MadePlate",
    "PageSetup",
    "make_plate",
    "mark_weak_places",
    "page_svg",
    "path_data",
    "pdf_bytes",
    "piece_svg",
    "png_bytes",
    "require_folder",
    "require_writable",
    "write_atomically",
    "write_drawing",
    "write_marked",
    "write_pdf",
    "write_plate",
    "write_png",
    "write_svg",
]


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{home}"), name)


def __dir__() -> list[str]:
    """List the public names too that are not fetched yet."""
    return sorted([*globals(), *__all__])
