"""Words for a page: cleaned, measured without any font at hand, and broken into lines."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

__all__ = ["clean", "flow", "width_of", "wrap", "wrap_evenly"]

_END_OF_CYRILLIC = "\u0530"
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_UNSEEN = re.compile(
    "[\x7f-\x84\x86-\x9f\xad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff\ufdd0-\ufdef]"
)
"""Codes that draw nothing and could hide or reorder the words around them."""

_EM_BY_CHARACTERS = {
    "iIjl'‘’ı": 0.35,
    " .,ft/\\ſ": 0.4,
    'r:;|!()[]-"·ľ': 0.46,
    "csz°`´“”": 0.55,
    "kvxyLFJ": 0.61,
    "abdeghnopquETYP0123456789$£€²³_*{}–?¿«»§": 0.65,
    "ABKRSVXZC": 0.7,
    "&DGHNOQUw<>=+~#^×≥≤±": 0.84,
    "mMΜф": 0.98,
    "W@%—…ÆŒæœĦЖЩШЮЫФМщшюж": 1.1,
}
_EM = {character: em for characters, em in _EM_BY_CHARACTERS.items() for character in characters}
"""Advance in ems, no less than in the wider sans-serif faces in use, so that words stay in their room."""

_EM_WIDE = 1.3
_EM_LETTER = 0.84  # a Latin, Greek or Cyrillic letter not listed above
_EM_OTHER = 1.1


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


def width_of(text: str, size: float) -> float:
    """Return the room in mm to allow for `text` set at `size` mm in an unknown sans-serif face.

    Examples
    --------
    >>> width_of("mm", 10) > width_of("ll", 10)
    True
    """
    return size * sum(_em_of(character) for character in text)


def wrap(text: str, size: float, width: float, most: int | None = None) -> list[str]:
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
    >>> wrap("a heron among reeds", 4, 24)
    ['a heron', 'among', 'reeds']
    >>> wrap("a heron among reeds", 4, 24, most=1)
    ['a heron…']
    """
    return flow(text.split(" "), size, width, between=" ", most=most)


def wrap_evenly(text: str, size: float, width: float) -> list[str]:
    """Break `text` as `wrap` does, then even the lines out so that no word is left alone on the last.

    Examples
    --------
    >>> wrap("the dark face is the front", 3, 40), wrap_evenly("the dark face is the front", 3, 40)
    (['the dark face is the', 'front'], ['the dark face', 'is the front'])
    """
    lines = wrap(text, size, width)
    narrower = width
    while len(lines) > 1 and narrower > 0.5 * width:
        narrower -= 0.5 * size
        tried = wrap(text, size, narrower)
        if len(tried) > len(lines):
            break
        lines = tried
    return lines


def flow(
    items: Iterable[str], size: float, width: float, *, between: str = " · ", most: int | None = None
) -> list[str]:
    """Set items in a row with `between` them, and break the row only between items where it can be."""
    lines: list[str] = []
    for item in items:
        joined = lines[-1] + between + item if lines else item
        if item and width_of(joined, size) <= width and lines:
            lines[-1] = joined
        elif item:
            lines.extend(_pieces_of(item, size, width))
    if most is None or len(lines) <= most:
        return lines
    return [*lines[: most - 1], _shortened(lines[most - 1], size, width)]


def _pieces_of(item: str, size: float, width: float) -> Sequence[str]:
    """Break one item at its spaces, and a word that is wider than the line wherever it must be."""
    if width_of(item, size) <= width:
        return [item]
    if " " in item:
        return wrap(item, size, width)
    pieces = [""]
    for character in item:
        if pieces[-1] and width_of(pieces[-1] + character, size) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def _shortened(line: str, size: float, width: float) -> str:
    """End `line` in an ellipsis, after a whole word unless that would lose more than half of it."""
    kept = line
    while kept and width_of(kept + "…", size) > width:
        kept = kept[:-1]
    space = kept.rfind(" ")
    if kept != line and line[len(kept)] != " " and space > len(line) / 2:
        kept = kept[:space]
    return kept.rstrip(" ·,;:.") + "…"


@lru_cache(maxsize=4096)
def _em_of(character: str) -> float:
    known = _EM.get(character)
    if known is not None:
        return known
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return _EM_WIDE
    base = unicodedata.normalize("NFD", character)[0]
    return _EM.get(base, _EM_LETTER if base.isalpha() and base < _END_OF_CYRILLIC else _EM_OTHER)
