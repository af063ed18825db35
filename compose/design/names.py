"""Names out of a list, made safe: as file names, as words on paper, and in a table.

A list of owners comes from outside and may hold anything: ``../``, control characters, three hundred
letters, a formula. A name is either used, and then safely, or refused with its row and column.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from canivet.errors import BadValue
from canivet.lengths import format_mm

__all__ = ["LONGEST_NAME", "LONGEST_WORDS", "file_stem", "find_unseen", "require_words", "table_cell"]

LONGEST_NAME = 60
"""Bytes of a file's stem. File systems take 255 for the whole name; a person reads far fewer."""

LONGEST_WORDS = 200
"""Characters of one cell that is to be cut out of paper."""

_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
_SHAPING = {"\u200c", "\u200d"}
"""The joiners that Persian and the Indian scripts are spelled with; other unseen characters are refused."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def file_stem(words: str, *, number: int, digits: int = 4) -> str:
    """Return a file name for words of any kind: safe on every system, and unlike any other row's.

    Parameters
    ----------
    words : str
        Any text.
    number : int
        The row's number; it goes first, so that names sort as the list does and no two are alike.
    digits : int
        How many digits to write it with.

    Examples
    --------
    >>> file_stem("Zoë Müller-Ibáñez", number=7)
    '0007-zoë-müller-ibáñez'
    >>> file_stem("../../etc/passwd", number=12), file_stem("???", number=13)
    ('0012-etc-passwd', '0013')
    """
    shortened = plain_stem(words, instead="")
    return f"{number:0{digits}d}-{shortened}" if shortened else f"{number:0{digits}d}"


def size_marks(sizes: Sequence[tuple[float, float]]) -> list[str]:
    """Return what each size adds to a file name: nothing if there is one, else no two alike.

    Examples
    --------
    >>> size_marks([(60, 90)]), size_marks([(60, 90), (101.6, 152.4)])
    ([''], ['-60x90mm', '-101.6x152.4mm'])
    >>> size_marks([(60, 90), (60.04, 90)])
    ['-60x90mm', '-60.04x90mm']
    """
    if len(sizes) == 1:
        return [""]
    for digits in (1, 2, 3):
        marks = [f"-{format_mm(width, digits)}x{format_mm(height, digits)}mm" for width, height in sizes]
        if len(set(marks)) == len(sizes):
            return marks
    raise BadValue(
        "two sizes are the same to a micrometre. Take one of them out.", parameter="size", value=sizes
    )


def plain_stem(words: str, *, instead: str) -> str:
    """Return words as part of a file name: letters and digits of any script, the rest dashes.

    Examples
    --------
    >>> [plain_stem(words, instead="plate") for words in ("My Plate (2)", "心", "?")]
    ['my-plate-2', '心', 'plate']
    """
    composed = unicodedata.normalize("NFC", words).casefold()
    kept = "".join(c if c.isalnum() or unicodedata.category(c).startswith("M") else "-" for c in composed)
    plain = re.sub("-+", "-", kept).strip("-")
    return plain.encode()[:LONGEST_NAME].decode(errors="ignore").strip("-") or instead


def require_words(words: str, *, row: int, column: str) -> str:
    """Return words that may be lettered on paper, composed (NFC) and with plain single spaces.

    Raises
    ------
    BadValue
        Naming row and column, if there is a character that cannot be seen (control characters, marks that
        turn the reading direction about), or they are too long.

    Examples
    --------
    >>> require_words("  Ana   Mun\u0303oz ", row=2, column="name")
    'Ana Muñoz'
    """
    composed = unicodedata.normalize("NFC", words)
    unseen = find_unseen(composed)
    if unseen:
        raise BadValue(
            f"row {row}, column {column!r}: {unseen} Take it out of the list.",
            parameter=column, value=words, accepted="letters, marks, digits, punctuation and spaces",
        )  # fmt: skip
    text = " ".join(composed.split())
    if len(text) > LONGEST_WORDS:
        raise BadValue(
            f"row {row}, column {column!r}: {len(text)} characters; at most {LONGEST_WORDS} can be lettered. "
            "Shorten it.",
            parameter=column, value=words, accepted=f"up to {LONGEST_WORDS} characters",
        )  # fmt: skip
    return text


def find_unseen(words: str) -> str:
    """Return a sentence about the first character that cannot be seen, or nothing; line breaks are none.

    Such are control characters, private and unassigned ones, and those that turn the reading direction about
    (Unicode's bidirectional controls).

    Examples
    --------
    >>> find_unseen("Ana\\u202eMu\\u00f1oz"), find_unseen("Ana\\nMu\\u00f1oz")
    ('character 4 is U+202E, which cannot be seen or cut.', '')
    """
    for place, character in enumerate(words, start=1):
        if character in "\t\n\r\v\f" or character in _SHAPING:
            continue
        if unicodedata.category(character) in _UNSEEN:
            return f"character {place} is U+{ord(character):04X}, which cannot be seen or cut."
    return ""


def table_cell(words: str) -> str:
    """Return words as they may stand in a CSV that someone will open in a spreadsheet.

    A cell that would be taken for a formula gets an apostrophe before it, which spreadsheets show as text.

    Examples
    --------
    >>> table_cell("=1+1"), table_cell("Ana")
    ("'=1+1", 'Ana')
    """
    return f"'{words}" if words.startswith(_FORMULA) else words
