"""The list a series is made from: a CSV with a heading, and the places in a design that its cells fill.

A text of the design may hold ``{column}``; each row of the list puts its own cell there.
"""

from __future__ import annotations

import csv
import io
import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from canivet.errors import BadValue, Unreadable, suggest
from canivet.lengths import shown
from canivet.sources import read_text

from .limits import LIST_BYTES, MOST_COLUMNS, MOST_ROWS
from .names import require_words

__all__ = ["MissingColumn", "Row", "columns_in", "fill_text", "read_rows", "tell_faults"]

MOST_FAULTS = 20
"""Faults of a list told at once; more are counted."""

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
        If a heading is empty or stands twice, or rows have more or fewer cells than it: all of them, by row.
    """
    path = Path(path)
    text = read_text(path, most=LIST_BYTES, kind="a list", wanted="a list as CSV")
    lines = _lines(text, path.name)
    heading = [cell.strip() for cell in next(lines, [])]
    _require_heading(heading, path.name)
    count = text.rstrip().count("\n")
    if count > MOST_ROWS:
        raise Unreadable(
            f"{path.name} has {count} rows; at most {MOST_ROWS} are made in one go. Split it.",
            parameter=path.name, value=count, accepted=f"up to {MOST_ROWS} rows",
        )  # fmt: skip
    filled = [(number, line) for number, line in enumerate(lines, start=2) if any(map(str.strip, line))]
    if not filled:
        raise Unreadable(f"{path.name} has a heading and no rows under it. Give one row for each plate.")
    faults = [fault for number, line in filled for fault in _faults_in(number, line, heading)]
    if faults:
        raise BadValue(f"{path.name}: {tell_faults(faults)}", parameter=path.name, value=len(faults))
    return [Row(number, dict(zip(heading, line, strict=False))) for number, line in filled]


def tell_faults(faults: Sequence[str]) -> str:
    """Return faults one to a line, the first twenty of them, and how many more there are.

    Examples
    --------
    >>> tell_faults(["row 2: no name"]), tell_faults(["a"] * 23)[-12:]
    ('row 2: no name', '… and 3 more')
    """
    if len(faults) == 1:
        return faults[0]
    told = "".join(f"\n  {fault}" for fault in faults[:MOST_FAULTS])
    return told + (f"\n  … and {len(faults) - MOST_FAULTS} more" if len(faults) > MOST_FAULTS else "")


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


def _lines(text: str, name: str) -> Iterator[list[str]]:
    """Yield the cells of each line; a quote that is not closed on its own line is refused, with the line.

    So a row's number is its line's, and no quote that was forgotten can swallow the rows after it.
    """
    table = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    for number in itertools.count(1):
        try:
            line = next(table)
        except StopIteration:
            return
        except csv.Error as error:
            raise _torn(text, name, number, str(error)) from None
        if table.line_num != number:
            raise _torn(text, name, number, "unexpected end")
        yield line


def _torn(text: str, name: str, number: int, said: str) -> Unreadable:
    """Return what is wrong with the quotes of a line."""
    line = text.splitlines()[number - 1] if number <= text.count("\n") + 1 else ""
    told = {
        "unexpected end": 'a quote (") is opened and not closed on its line. Close it, or write "" for one '
        "that is meant; a name cannot run over two lines",
        "expected after": 'something stands between the end of a cell in quotes and the next cell. Write "" '
        "for a quote that is meant",
    }
    words = next((told[key] for key in told if key in said), f"cannot be read as a table ({said})")
    return Unreadable(f"{name}, line {number}: {words}. It begins {shown(line[:60])}.", parameter=name)


def _delimiter(text: str) -> str:
    heading = text.partition("\n")[0]
    return max(",;\t", key=heading.count)


def _require_heading(heading: list[str], name: str) -> None:
    if not any(heading):
        raise Unreadable(f"{name} has no heading. Its first line names the columns, such as name,year.")
    if len(heading) > MOST_COLUMNS:
        raise Unreadable(
            f"{name} has {len(heading)} columns; at most {MOST_COLUMNS} are read. Take out those that the "
            "design does not ask for.",
            parameter=name, value=len(heading), accepted=f"up to {MOST_COLUMNS} columns",
        )  # fmt: skip
    for place, column in enumerate(heading, start=1):
        if not column:
            raise BadValue(f"{name}: column {place} has no name in the heading. Name it.")
        if column in heading[: place - 1]:
            raise BadValue(f"{name}: the heading names {shown(column)} twice. Give each column its own name.")


def _faults_in(number: int, line: list[str], heading: list[str]) -> Iterator[str]:
    """Say what is amiss with a row's cells, counted against the heading."""
    if len(line) > len(heading) and any(cell.strip() for cell in line[len(heading) :]):
        yield (
            f"row {number}: {len(line)} cells under {len(heading)} headings. Quote a cell that holds a comma."
        )
    if len(line) < len(heading):
        cells = "1 cell" if len(line) == 1 else f"{len(line)} cells"
        yield (
            f"row {number}: {cells} under {len(heading)} headings, so column {shown(heading[len(line)])} is "
            "missing. Fill it, or end the row with the marks that part empty cells."
        )
