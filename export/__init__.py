"""Drawings out: SVG, PDF and PNG, and the printed page around the piece.

Importing this package loads neither cairo nor what joins and stamps files; each is fetched when needed.
"""

from canivet.export.marked.writing import mark_weak_places, write_marked

from .drawing import SUFFIXES, require_writable, write_drawing, write_plate
from .files import require_folder, write_atomically
from .paths import path_data
from .pdf import pdf_bytes, write_pdf
from .png import png_bytes, write_png
from .svg import Ink, page_svg, piece_svg, write_svg

__all__ = [
    "SUFFIXES",
    "Ink",
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
