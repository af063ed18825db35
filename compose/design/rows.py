"""The list a series is made from: a CSV with a heading, and the places in a design that its cells fill.

A text of the design may hold ``{column}``; each row of the list puts its own cell there.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from canivet.errors import BadValue, Unreadable, suggest

from .names import require_words

__all__ = ["MissingColumn", "Row", "columns_in", "fill_text", "read_rows"]

MOST_BYTES = 50_000_000
MOST_ROWS = 100_000

_PLACE = re.compile(r"\{([^{}]*)\}")


class MissingColumn(BadValue):
    """A column that the design asks for and the list does not have."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the list: its number as a spreadsheet counts (the heading is 1), and its cells by column."""

    number: int
    cells: Mapping[str, str]


def read_rows(path: str | Path) -> list[Row]:
    """Read the list of a series.

    Parameters
    ----------
    path : str or Path
        A CSV in UTF-8 with a heading; cells parted by commas, semicolons or tabs.

    Returns
    -------
    list of Row
        Empty lines are left out.

    Raises
    ------
    Unreadable
        If it is missing, is no text, or has no rows.
    BadValue
        If a heading is empty or stands twice, or a row has more cells than the heading.
    """
    path = Path(path)
    text = _read_text(path)
    try:
        lines = list(csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text)))
    except csv.Error as error:
        raise Unreadable(f"{path.name} cannot be read as a table: {error}. Save the list as CSV.") from None
    heading = [cell.strip() for cell in lines[0]] if lines else []
    _require_heading(heading, path.name)
    rows = [
        _row(number, line, heading, path.name)
        for number, line in enumerate(lines[1:], start=2)
        if any(cell.strip() for cell in line)
    ]
    if not rows:
        raise Unreadable(f"{path.name} has a heading and no rows under it. Give one row for each plate.")
    if len(rows) > MOST_ROWS:
        raise Unreadable(
            f"{path.name} has {len(rows)} rows; at most {MOST_ROWS} are made in one go. Split it."
        )
    return rows


def columns_in(text: str) -> list[str]:
    """Return the columns a text asks for.

    Examples
    --------
    >>> columns_in("Ex libris {name}, no. {number}")
    ['name', 'number']
    """
    return [place.strip() for place in _PLACE.findall(text)]


def fill_text(text: str, row: Row) -> str:
    """Return `text` with the row's cells in their places.

    Raises
    ------
    MissingColumn
        If a column is not in the list.
    BadValue
        If a cell holds what cannot be lettered.

    Examples
    --------
    >>> fill_text("Ex libris {name}", Row(2, {"name": "Ana Muñoz"}))
    'Ex libris Ana Muñoz'
    """

    def cell(match: re.Match[str]) -> str:
        column = match[1].strip()
        if column not in row.cells:
            known = ", ".join(row.cells)
            raise MissingColumn(
                f"the design asks for {{{column}}}, but the list has no such column."
                f"{suggest(column, row.cells)} It has: {known}.",
                parameter=column, accepted=known,
            )  # fmt: skip
        return require_words(row.cells[column], row=row.number, column=column)

    return _PLACE.sub(cell, text)


def _read_text(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        raise Unreadable(f"{path} is not there. Check the path of the list.", parameter=str(path)) from None
    except OSError as error:
        raise Unreadable(f"{path} cannot be read: {error.strerror}. Give a CSV file.") from None
    except ValueError:
        raise Unreadable(f"{str(path)!r} holds a null character. Give the name of a CSV file.") from None
    if len(raw) > MOST_BYTES:
        raise Unreadable(
            f"{path.name} is {len(raw)} bytes; a list is under {MOST_BYTES}. Is it another file?"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Unreadable(f"{path.name} is not UTF-8 at line {line}. Save the list as CSV in UTF-8.") from None


def _delimiter(text: str) -> str:
    heading = text.partition("\n")[0]
    return max(",;\t", key=heading.count)


def _require_heading(heading: list[str], name: str) -> None:
    if not any(heading):
        raise Unreadable(f"{name} has no heading. Its first line names the columns, such as name,year.")
    for place, column in enumerate(heading, start=1):
        if not column:
            raise BadValue(f"{name}: column {place} has no name in the heading. Name it.")
        if heading.count(column) > 1:
            raise BadValue(f"{name}: the heading names {column!r} twice. Give each column its own name.")


def _row(number: int, line: list[str], heading: list[str], name: str) -> Row:
    if len(line) > len(heading) and any(cell.strip() for cell in line[len(heading) :]):
        raise BadValue(
            f"{name}, row {number}: {len(line)} cells under {len(heading)} headings. "
            "Quote a cell that holds a comma."
        )
    cells = [*line, *[""] * (len(heading) - len(line))]
    return Row(number, dict(zip(heading, cells, strict=False)))
