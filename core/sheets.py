"""Sheets as paper is sold, by name or by size.

References
----------
ISO 216 (A and B series, trimmed sizes); ASME Y14.1 (inch sheets, called ANSI A to E). Legal and the
bookplate's 4×6 in are in neither standard: *common practice*.
"""

from __future__ import annotations

from dataclasses import dataclass

from .errors import BadValue, suggest
from .lengths import as_words, format_mm, parse_size, shown

__all__ = ["SHEETS", "Sheet", "find_sheet", "sheets_like", "smallest_sheet_for", "usual_sheets"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper: its name and trimmed size in mm.

    Examples
    --------
    >>> Sheet("A4", 210, 297).turned().width
    297
    """

    name: str
    width: float
    height: float

    def turned(self) -> Sheet:
        """Return the sheet lying on its other side."""
        return Sheet(self.name, self.height, self.width)

    def holds(self, width: float, height: float, margin: float = 0.0) -> bool:
        """Say whether a piece of this size fits inside the margins, as the sheet lies."""
        slack = 1e-6
        return width <= self.width - 2 * margin + slack and height <= self.height - 2 * margin + slack

    def __str__(self) -> str:
        return f"{self.name} ({format_mm(self.width)} × {format_mm(self.height)} mm)"


def _iso(letter: str, width: int, height: int, numbers: range) -> dict[str, Sheet]:
    """Halve the long side again and again, rounding down to whole millimetres (ISO 216)."""
    made = {}
    for number in numbers:
        made[f"{letter}{number}"] = Sheet(f"{letter}{number}", float(width), float(height))
        width, height = height // 2, width
    return made


def _inches(**sizes: tuple[float, float]) -> dict[str, Sheet]:
    return {
        name.replace("_", " "): Sheet(name.replace("_", " "), w * 25.4, h * 25.4)
        for name, (w, h) in sizes.items()
    }


SHEETS: dict[str, Sheet] = {
    **_iso("A", 841, 1189, range(0, 9)),
    **_iso("B", 1000, 1414, range(0, 9)),
    **_inches(
        letter=(8.5, 11), legal=(8.5, 14), tabloid=(11, 17),
        ANSI_A=(8.5, 11), ANSI_B=(11, 17), ANSI_C=(17, 22), ANSI_D=(22, 34), ANSI_E=(34, 44),
    ),
}  # fmt: skip
"""Every sheet known by name, upright."""

_BY_FOLDED_NAME = {name.casefold(): sheet for name, sheet in SHEETS.items()}
_USUAL = ("A6", "A5", "A4", "A3", "A2", "A1", "A0")


def find_sheet(name: str, *, parameter: str = "sheet") -> Sheet:
    """Return the sheet of that name, or of that free size such as ``"4x6 in"``.

    Raises
    ------
    BadValue
        If it is neither a known name nor a size.

    Examples
    --------
    >>> find_sheet("a5").height
    210.0
    >>> find_sheet("4x6 in").width
    101.6
    """
    text = " ".join(as_words(name).split())
    known = _BY_FOLDED_NAME.get(text.casefold())
    if known is not None:
        return known
    if text[:1].isdigit() or text[:1] in ".+-":
        width, height = parse_size(text, parameter=parameter)
        return Sheet(text, width, height)
    raise BadValue(
        f"{parameter} is {shown(name)}; it takes a name (A0–A8, B0–B8, letter, legal, tabloid, ANSI A–E) "
        f"or a size such as 4x6 in.{suggest(text, SHEETS)}",
        parameter=parameter, value=name, accepted="a sheet's name or a size",
    )  # fmt: skip


_SYSTEMS = (
    _USUAL,
    ("B6", "B5", "B4", "B3", "B2", "B1", "B0"),
    ("letter", "legal", "tabloid", "ANSI C", "ANSI D", "ANSI E"),
)


def sheets_like(sheet: Sheet) -> tuple[Sheet, ...]:
    """Return the usual sheets of the same system, small to large: A sizes, B sizes, or those in inches.

    A size of one's own counts with the inches where it was given in them, else with the A sizes.

    Examples
    --------
    >>> [other.name for other in sheets_like(SHEETS["letter"])][:3]
    ['letter', 'legal', 'tabloid']
    >>> sheets_like(find_sheet("9x12 in"))[0].name, sheets_like(find_sheet("20x30 cm"))[0].name
    ('letter', 'A6')
    """
    inches = sheet.name.startswith(("letter", "legal", "tabloid", "ANSI")) or sheet.name.endswith(("in", '"'))
    known = 2 if inches else 1 if sheet.name in SHEETS and sheet.name[0] == "B" else 0
    return tuple(SHEETS[name] for name in _SYSTEMS[known])


def usual_sheets(first: str = "A6", last: str = "A0") -> tuple[Sheet, ...]:
    """Return the sheets of the A series that are printed on, small to large.

    Examples
    --------
    >>> [sheet.name for sheet in usual_sheets("A4", "A2")]
    ['A4', 'A3', 'A2']
    """
    return tuple(SHEETS[name] for name in _USUAL[_USUAL.index(first) : _USUAL.index(last) + 1])


def smallest_sheet_for(width: float, height: float, *, margin: float = 0.0) -> Sheet | None:
    """Return the smallest sheet from A6 to A0, lying either way, that takes the piece, or None.

    Examples
    --------
    >>> str(smallest_sheet_for(101.6, 152.4, margin=15))
    'A5 (148 × 210 mm)'
    """
    for upright in usual_sheets():
        for sheet in (upright, upright.turned()):
            if sheet.holds(width, height, margin):
                return sheet
    return None
