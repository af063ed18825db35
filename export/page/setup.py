"""How a piece is printed: its ink, how pages are shared out, and what is left free round them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from canivet.errors import BadValue, suggest
from canivet.lengths import format_mm

from .tones import Ink, check_ink

__all__ = ["MARGIN", "OVERLAP", "USUAL", "PageSetup", "Pages"]

Pages = Literal["one each", "tiled", "together"]
"""``one each``: a page for every piece. ``tiled``: a piece larger than the sheet is taken apart over several.
``together``: pieces lie side by side on as few sheets as can be found."""

MARGIN = 8.0
"""Kept free all round but for the rulers: printers leave 4 to 5 mm unprinted (common practice)."""

OVERLAP = 10.0
"""mm that neighbouring tiles share: enough to glue on."""

_MARGINS = (4.0, 60.0)
_OVERLAPS = (3.0, 50.0)


@dataclass(frozen=True, slots=True)
class PageSetup:
    """How a piece is printed. Lengths in mm.

    Attributes
    ----------
    ink : {"solid", "lines", "tint"}
        ``solid``: paper black. ``lines``: outlines alone. ``tint``: outlines, and paper grey.
    pages : {"one each", "tiled", "together"}
        As `Pages` says.
    margin : float
        Left free along every edge of the sheet, 4 to 60; only the rulers stand in it.
    overlap : float
        Shared by neighbouring tiles, 3 to 50.

    Raises
    ------
    BadValue
        If a value is none of these.

    Examples
    --------
    >>> PageSetup(margin=12).ink
    'solid'
    """

    ink: Ink = "solid"
    pages: Pages = "one each"
    margin: float = MARGIN
    overlap: float = OVERLAP

    def __post_init__(self) -> None:
        check_ink(self.ink)
        known = get_args(Pages)
        if self.pages not in known:
            raise BadValue(
                f"pages is {self.pages!r}; it takes one of: {', '.join(known)}.{suggest(self.pages, known)}",
                parameter="pages", value=self.pages, accepted=", ".join(known),
            )  # fmt: skip
        for name, (least, most) in (("margin", _MARGINS), ("overlap", _OVERLAPS)):
            value = getattr(self, name)
            if not least <= value <= most:
                accepted = f"{least:g} mm to {most:g} mm"
                raise BadValue(
                    f"{name} is {format_mm(value)} mm; it takes {accepted}.",
                    parameter=name, value=value, accepted=accepted,
                )  # fmt: skip


USUAL = PageSetup()
"""One page for each piece, in solid black."""
