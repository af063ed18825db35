"""The finished design, as it goes to an exporter."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from xml.sax.saxutils import escape

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

    @property
    def __geo_interface__(self) -> dict[str, Any]:
        """The paper as a mapping of its type and coordinates in mm, as other geometry libraries take it.

        References
        ----------
        The ``__geo_interface__`` protocol for Python; GeoJSON, RFC 7946, 3.1.6 (Polygon).

        Examples
        --------
        >>> from shapely.geometry import box, shape
        >>> card = Cutting(box(0, 0, 90, 60), strap=1, title="Card")
        >>> shape(card).equals(card.paper)
        True
        """
        interface: dict[str, Any] = self.paper.__geo_interface__
        return interface

    def _repr_svg_(self) -> str:
        """The bare piece as seen from its front, for notebooks that show what a name stands for.

        Examples
        --------
        >>> from shapely.geometry import box
        >>> Cutting(box(0, 0, 90, 60), strap=1, title="Card")._repr_svg_().count('id="paper"')
        1
        """
        left, low, right, top = self.paper.bounds
        rings = [self.paper.exterior, *self.paper.interiors] if not self.paper.is_empty else []
        data = "".join(
            "M" + "L".join(f"{x - left:.3f} {top - y:.3f}" for x, y in ring.coords[:-1]) + "Z"
            for ring in rings
        )
        wide, high = f"{right - left:.3f}", f"{top - low:.3f}"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
            f'viewBox="0 0 {wide} {high}"><title>{escape(self.title)}</title>'
            f'<path id="paper" fill-rule="evenodd" d="{data}"/></svg>'
        )
