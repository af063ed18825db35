"""The page of a marked drawing: which sheet, where the piece lies on it, and the words beside or below it.

Lengths are mm, and y points down from the sheet's upper edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from canivet.audit.strength import StrengthReport
from canivet.errors import DoesNotFit
from canivet.export.page.layout import AIR
from canivet.export.page.marks import BODY, CAP, LEADING, TITLE, TITLE_LEADING, Block, Word
from canivet.export.page.rulers import edge_scales
from canivet.export.page.setup import MARGIN
from canivet.export.page.signs import head_block
from canivet.export.page.words import clean, flow, wrap, wrap_evenly
from canivet.lengths import format_mm
from canivet.sheets import SHEETS, Sheet, usual_sheets
from canivet.stock import Faces

from .callouts import NUMBER
from .explanations import Kind, count_of
from .findings import Findings

__all__ = ["GLYPH", "Key", "MarkedPage", "Text", "lay_out_marked", "set_heading", "set_list"]

GLYPH = 1.35
"""Radius in mm of the little ring beside each number of the list."""

_BAND = 8.0
"""mm, height of the band over a mirror image."""
_OVER_RULERS = 2.2
_COLUMN = 61.0
"""Least width of a column of the list."""
_GUTTER = 6.0
_INDENT = 10.6
_BETWEEN = 2.3
_VERDICT = 3.6
_VERDICT_LEADING = 4.8
_HEAD = 3.1
_BEFORE_HEAD = 1.6
_BOLD = 1.1
"""Bold words over plain ones, at most."""


@dataclass(frozen=True, slots=True)
class Key:
    """A number of the list and the sign of its kind: the middle of the sign and the number's baseline."""

    number: int
    kind: Kind
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Text:
    """Words, bold ones and keys that are placed together, from their own top left corner."""

    width: float
    height: float
    words: tuple[Word, ...] = ()
    strong: tuple[Word, ...] = ()
    keys: tuple[Key, ...] = ()

    def moved(self, dx: float, dy: float) -> Text:
        """Return the same text elsewhere."""
        return replace(
            self,
            words=tuple(replace(word, x=word.x + dx, y=word.y + dy) for word in self.words),
            strong=tuple(replace(word, x=word.x + dx, y=word.y + dy) for word in self.strong),
            keys=tuple(replace(key, x=key.x + dx, y=key.y + dy) for key in self.keys),
        )


@dataclass(frozen=True, slots=True)
class MarkedPage:
    """A sheet as it lies, the upper left corner of the drawing's room on it, and all words in place."""

    sheet: Sheet
    left: float
    top: float
    heading: Text
    listed: Text
    around: Block


def lay_out_marked(
    title: str,
    report: StrengthReport,
    findings: Findings,
    *,
    places: Sequence[str],
    room: tuple[float, float],
    sheet: Sheet | None,
    mirrored: bool,
) -> MarkedPage:
    """Lay heading, drawing and list on the sheet, or on the smallest of the A series that takes them.

    Parameters
    ----------
    title : str
        What the piece is called.
    report, findings
        What is said of it.
    places : sequence of str
        Where each finding is, in words.
    room : (float, float)
        Width and height in mm of what the drawing takes with its rings and numbers.
    sheet : Sheet or None
        None for the smallest, from A5, that takes all.
    mirrored : bool
        Whether the drawing is the mirror image of the piece.

    Raises
    ------
    DoesNotFit
        If the sheet does not take them.
    """
    for tried in [sheet] if sheet else usual_sheets("A5"):
        page = _best_way(tried, title, report, findings, places, room, mirrored)
        if page is not None:
            return page
    width, height = (format_mm(side, 1) for side in room)
    where = f"sheet {sheet}" if sheet else f"any sheet up to {SHEETS['A0']}"
    raise DoesNotFit(
        f"the piece with its marks is {width} × {height} mm; with their list it does not fit {where}. "
        f"{'Take a larger sheet' if sheet else 'Check it in parts'}, or make the piece smaller.",
        parameter="sheet", value=sheet, accepted="a larger sheet" if sheet else "a smaller piece",
    )  # fmt: skip


def _best_way(
    sheet: Sheet,
    title: str,
    report: StrengthReport,
    findings: Findings,
    places: Sequence[str],
    room: tuple[float, float],
    mirrored: bool,
) -> MarkedPage | None:
    """Try the sheet upright and lying, the list below and beside; take what leaves the list most even."""
    for lying in (sheet, sheet.turned()):
        wide = lying.width - 2 * MARGIN
        if wide < _COLUMN:
            continue
        heading = set_heading(title, report, wide, mirrored=mirrored)
        band = (_BAND + AIR) * mirrored
        high = lying.height - 2 * MARGIN - band - heading.height - AIR - _OVER_RULERS
        for across, down in ((wide, high - room[1] - AIR), (wide - room[0] - _GUTTER, high)):
            if room[0] > wide + 1e-6 or room[1] > high + 1e-6 or across < _COLUMN:
                continue
            listed = set_list(findings, places, across, most=down)
            if listed is not None:
                return _placed(lying, heading, listed, room, band, beside=across < wide)
    return None


def _placed(
    sheet: Sheet, heading: Text, listed: Text, room: tuple[float, float], band: float, *, beside: bool
) -> MarkedPage:
    top = MARGIN + band + heading.height + AIR
    if beside:
        left = MARGIN
        listed = listed.moved(MARGIN + room[0] + _GUTTER, top)
    else:
        left = (sheet.width - room[0]) / 2
        listed = listed.moved(MARGIN, top + room[1] + AIR)
    around = edge_scales(sheet, MARGIN, sheet.height - MARGIN)
    if band:
        head = head_block(Faces.DARK_ONE_FACE, sheet.width - 2 * MARGIN, _BAND, told=False)
        around = around.beside(head.moved(MARGIN, MARGIN))
    return MarkedPage(sheet, left, top, heading.moved(MARGIN, MARGIN + band), listed, around)


def set_heading(title: str, report: StrengthReport, width: float, *, mirrored: bool) -> Text:
    """The title, whether the piece holds, and what is to be known of the whole drawing."""
    named = [line for line in wrap(clean(title), TITLE, width, most=2) if line]
    verdict = wrap_evenly(_verdict(report), _VERDICT * _BOLD, width)
    facts = flow(_facts(report, mirrored), BODY, width)
    words, y = [], 0.0
    for line in named:
        words.append(Word(line, 0.0, y + CAP * TITLE, TITLE))
        y += TITLE_LEADING
    strong = [
        Word(line, 0.0, y + CAP * _VERDICT + row * _VERDICT_LEADING, _VERDICT)
        for row, line in enumerate(verdict)
    ]
    y += len(verdict) * _VERDICT_LEADING
    words += [Word(line, 0.0, y + CAP * BODY + row * LEADING) for row, line in enumerate(facts)]
    return Text(width, y + len(facts) * LEADING, tuple(words), tuple(strong))


def _verdict(report: StrengthReport) -> str:
    needs = f"{format_mm(report.strap)} mm"
    if report.slip:
        needs += f" and a slip of {format_mm(report.slip)} mm"
    if report.holds:
        return f"It holds at a strap of {needs}."
    return f"It does not hold at a strap of {needs}: mend it before cutting."


def _facts(report: StrengthReport, mirrored: bool) -> Iterator[str]:
    yield f"{format_mm(report.width, 1)} × {format_mm(report.height, 1)} mm"
    yield f"{report.openings} opening{'s' if report.openings != 1 else ''}"
    if report.pieces > 1:
        yield f"{report.pieces} parts that are not joined"
    if report.weakest:
        yield f"weakest strap {format_mm(report.weakest.width, 2)} mm"
    if mirrored:
        yield "seen from the back, as it is cut"
    yield "places in mm from the lower left corner of this drawing"


def set_list(findings: Findings, places: Sequence[str], width: float, *, most: float) -> Text | None:
    """The findings number by number in as many columns as there is room for; None if higher than `most`."""
    for columns in range(1, 1 + int((width + _GUTTER) / (_COLUMN + _GUTTER))):
        column = min(95.0, (width - (columns - 1) * _GUTTER) / columns)
        entries = list(_entries(findings, places, column))
        height = _least_height(entries, columns)
        if height <= most:
            return _in_columns(entries, column, height)
    return None


def _entries(findings: Findings, places: Sequence[str], width: float) -> Iterator[Text]:
    if not findings.ringed:
        yield Text(width, BODY, (Word("No place needs a mark.", 0.0, CAP * BODY),))
    advised = None
    for number, (finding, place) in enumerate(zip(findings.ringed, places, strict=True), start=1):
        head = None
        if finding.advice != advised:
            head = "Worth knowing" if finding.advice else "To mend"
        advised = finding.advice
        yield _entry(number, finding.kind, finding.told, f"At {place}. {finding.remedy}", head, width)
    if findings.left_over:
        rest = ", ".join(count_of(kind, count) for kind, count in findings.left_over)
        tinted = "; where straps are too narrow the paper is tinted" if findings.chords else ""
        lines = wrap(f"Not ringed: {rest}{tinted}.", BODY, width)
        yield Text(
            width,
            len(lines) * LEADING,
            tuple(Word(line, 0.0, CAP * BODY + row * LEADING) for row, line in enumerate(lines)),
        )


def _entry(number: int, kind: Kind, told: str, remedy: str, head: str | None, width: float) -> Text:
    """One number: what it is in bold, and under it where and what to do; a section's name over the first."""
    strong, y = [], 0.0
    if head:
        y += _BEFORE_HEAD if number > 1 else 0.0
        strong.append(Word(head, 0.0, y + CAP * _HEAD, _HEAD))
        y += LEADING + 1.6
    first = y + CAP * NUMBER
    room = width - _INDENT
    bold = flow(told.split("; "), BODY * _BOLD, room, between="; ")
    plain = flow(_sentences(remedy), BODY, room, between=" ")
    strong += [Word(line, _INDENT, first + row * LEADING) for row, line in enumerate(bold)]
    under = first + len(bold) * LEADING
    words = tuple(Word(line, _INDENT, under + row * LEADING) for row, line in enumerate(plain))
    height = words[-1].y + 0.25 * BODY
    return Text(width, height, words, tuple(strong), (Key(number, kind, 7.6, first),))


def _sentences(text: str) -> list[str]:
    """Split at each full stop that ends a sentence, the first of which says where."""
    sentences = [part if part.endswith(".") else part + "." for part in text.split(". ")]
    return [" ".join(sentences[:2]), *sentences[2:]]


def _least_height(entries: Sequence[Text], columns: int) -> float:
    """Return the least height at which the entries flow into so many columns."""
    whole = sum(entry.height + _BETWEEN for entry in entries)
    height = max([whole / columns, *(entry.height for entry in entries)], default=0.0)
    while len(_flowed(entries, height)) > columns:
        height += 1.0
    return height


def _flowed(entries: Sequence[Text], height: float) -> list[list[tuple[float, Text]]]:
    """Fill columns one after another, none higher than `height`; each entry with its top."""
    columns: list[list[tuple[float, Text]]] = [[]]
    y = 0.0
    for entry in entries:
        if columns[-1] and y + entry.height > height + 1e-6:
            columns.append([])
            y = 0.0
        columns[-1].append((y, entry))
        y += entry.height + _BETWEEN
    return columns


def _in_columns(entries: Sequence[Text], width: float, height: float) -> Text:
    placed = [
        entry.moved(column * (width + _GUTTER), top)
        for column, filled in enumerate(_flowed(entries, height))
        for top, entry in filled
    ]
    return Text(
        max((entry.width for entry in placed), default=0.0),
        height,
        tuple(word for entry in placed for word in entry.words),
        tuple(word for entry in placed for word in entry.strong),
        tuple(key for entry in placed for key in entry.keys),
    )
