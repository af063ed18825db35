"""Words for a page: cleaned, measured in the face they are set in, and broken into lines.

Where a function takes `face`, it is a further TTF or OTF file for characters that the shipped face lacks.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

from .setting import set_line

__all__ = ["clean", "flow", "width_of", "with_real_quotes", "wrap", "wrap_evenly"]

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_UNSEEN = re.compile(
    "[\x7f-\x84\x86-\x9f\xad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff\ufdd0-\ufdef]"
)
"""Codes that draw nothing and could hide or reorder the words around them."""


def clean(text: str) -> str:
    """The same words on one line, without what XML 1.0 forbids or no reader could see.

    References
    ----------
    Extensible Markup Language (XML) 1.0, production 2 (Char).

    Examples
    --------
    >>> clean("Heron\\x00 &\\n  reeds")
    'Heron & reeds'
    """
    text = _UNSEEN.sub("", _NOT_XML.sub("", text.replace("\x0b", " ").replace("\x0c", " ")))
    return " ".join(unicodedata.normalize("NFC", text).split())


def with_real_quotes(text: str) -> str:
    """The same words with the quotation marks and apostrophes of print; those after a figure stay.

    Examples
    --------
    >>> with_real_quotes('the "old" pike of a 4" pool')
    'the “old” pike of a 4" pool'
    """
    text = re.sub(r'(?<!\S)"(?=\S)|(?<=[(\[“‘—–])"', "“", text)
    text = re.sub(r'(?<=[^\s\d])"', "”", text)
    text = re.sub(r"(?<!\S)'(?=[^']*\w'(?!\w))", "‘", text)
    return re.sub(r"(?<!\d)'", "’", text)


def width_of(
    text: str, size: float, *, bold: bool = False, face: str | None = None, tracking: float = 0.0
) -> float:
    """Return the width in mm of `text` set at `size` mm.

    Examples
    --------
    >>> width_of("mm", 10) > width_of("ll", 10)
    True
    """
    return size * set_line(text, bold=bold, face=face, tracking=tracking).width


def wrap(
    text: str, size: float, width: float, most: int | None = None, *, face: str | None = None
) -> list[str]:
    """Break `text` into lines no wider than `width`; past `most` lines it is shortened with an ellipsis.

    Parameters
    ----------
    text : str
        Cleaned words.
    size, width : float
        Type size and room, both in mm.
    most : int or None
        Lines at most; None for as many as it takes.

    Examples
    --------
    >>> wrap("a heron among reeds", 4, 18)
    ['a heron', 'among', 'reeds']
    >>> wrap("a heron among reeds", 4, 18, most=1)
    ['a heron…']
    """
    return flow(text.split(" "), size, width, between=" ", most=most, face=face)


def wrap_evenly(text: str, size: float, width: float, *, face: str | None = None) -> list[str]:
    """Break `text` as `wrap` does, then even the lines out so that no word is left alone on the last.

    Examples
    --------
    >>> wrap("the dark face is the front", 3, 27), wrap_evenly("the dark face is the front", 3, 27)
    (['the dark face is the', 'front'], ['the dark face', 'is the front'])
    """
    lines = wrap(text, size, width, face=face)
    narrower = width
    while len(lines) > 1 and narrower > 0.5 * width:
        narrower -= 0.5 * size
        tried = wrap(text, size, narrower, face=face)
        if len(tried) > len(lines):
            break
        lines = tried
    return lines


def flow(
    items: Iterable[str],
    size: float,
    width: float,
    *,
    between: str = " · ",
    most: int | None = None,
    face: str | None = None,
) -> list[str]:
    """Set items in a row with `between` them, and break the row only between items where it can be."""
    lines: list[str] = []
    for item in items:
        joined = lines[-1] + between + item if lines else item
        if item and width_of(joined, size, face=face) <= width and lines:
            lines[-1] = joined
        elif item:
            lines.extend(_pieces_of(item, size, width, face))
    if most is None or len(lines) <= most:
        return lines
    return [*lines[: most - 1], _shortened(lines[most - 1], size, width, face)]


def _pieces_of(item: str, size: float, width: float, face: str | None) -> Sequence[str]:
    """Break one item at its spaces, and a word that is wider than the line wherever it must be."""
    if width_of(item, size, face=face) <= width:
        return [item]
    if " " in item:
        return wrap(item, size, width, face=face)
    pieces = [""]
    for character in item:
        if pieces[-1] and width_of(pieces[-1] + character, size, face=face) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def _shortened(line: str, size: float, width: float, face: str | None) -> str:
    """End `line` in an ellipsis, after a whole word unless that would lose more than half of it."""
    kept = line
    while kept and width_of(kept + "…", size, face=face) > width:
        kept = kept[:-1]
    space = kept.rfind(" ")
    if kept != line and line[len(kept)] != " " and space > len(line) / 2:
        kept = kept[:space]
    return kept.rstrip(" ·,;:.") + "…"
