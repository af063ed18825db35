"""The finished design, as it goes to an exporter."""

from __future__ import annotations

from dataclasses import dataclass, field

from shapely.geometry import Polygon

from .sheets import Sheet
from .stock import Stock

__all__ = ["Cutting"]


@dataclass(frozen=True, slots=True)
class Cutting:
    """One piece of paper to be cut, with all an exporter needs to know.

    Attributes
    ----------
    paper : Polygon
        What stays, in mm, y up, the piece as seen from its finished front.
    strap : float
        The width in mm it promises to hold at.
    title : str
        What it is called, on the page and in the file's metadata.
    description : str
        A sentence for the file's metadata and for readers who cannot see it.
    stock : Stock
        What it is cut from; its faces decide whether the page is mirrored.
    sheet : Sheet or None
        The sheet it is printed on; None for the smallest that takes it.
    notes : tuple of str
        Further lines for the page's foot.
    face : str or None
        A TTF or OTF file for characters of the page's words that the shipped face lacks.
    """

    paper: Polygon
    strap: float
    title: str
    description: str = ""
    stock: Stock = field(default_factory=Stock)
    sheet: Sheet | None = None
    notes: tuple[str, ...] = ()
    face: str | None = None
