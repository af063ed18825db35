"""Lengths as people write them, and as millimetres.

Only mm, cm, in and pt are known: a cutter's ruler and a printer's. A bare number is millimetres. A decimal
comma is refused and never guessed at, since reading ``1,2 mm`` as 12 mm would ruin a sheet.
"""

from __future__ import annotations

import math
import re

from .errors import BadValue

__all__ = [
    "MM_PER_UNIT",
    "as_float",
    "counted",
    "format_inches",
    "format_length",
    "format_mm",
    "parse_length",
    "parse_size",
    "shown",
]

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72}
"""Millimetres per unit; the inch is 25.4 mm exactly, the point 1/72 in (ISO 32000-1)."""

LONGEST = 10_000.0
"""Ten metres: no sheet of paper is longer, and a slip of the keyboard often is."""

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_UNIT = r"[^\W\d_]*|\"|″"
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*({_UNIT})\s*\Z")
_SIZE = re.compile(
    rf"\s*({_NUMBER})\s*([^\W\d_]*?|\"|″)\s*[x×]\s*({_NUMBER})\s*({_UNIT})\s*\Z", re.IGNORECASE
)
_ACCEPTED = "a number with mm, cm, in or pt, such as 1.2 mm or 4 in"


def parse_length(text: str | float, *, parameter: str = "length") -> float:
    """Read a length and return it in millimetres.

    Parameters
    ----------
    text : str or float
        A number with a unit, ``"1.2 mm"`` or ``"0.5in"``; a bare number is millimetres.
    parameter : str
        What to call the value in an error.

    Returns
    -------
    float
        Millimetres, finite, of either sign.

    Raises
    ------
    BadValue
        If there is no number, the unit is unknown, a comma is used, or it is over ten metres.

    Examples
    --------
    >>> parse_length("4 in"), parse_length("1.2mm"), parse_length(3)
    (101.6, 1.2, 3.0)
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        raise _bad(parameter, text)
    if not isinstance(text, str):
        return _checked(as_float(text), parameter, text)
    if "," in text:
        raise BadValue(
            f"{parameter} is {shown(text)}; a decimal comma is not read. Write a point: "
            f"{shown(text.replace(',', '.'))}.",
            parameter=parameter, value=text, accepted=_ACCEPTED,
        )  # fmt: skip
    match = _LENGTH.match(text)
    if match is None:
        raise _bad(parameter, text)
    value = float(match[1]) * _unit(match[2], parameter, text)
    return _checked(round(value, 9) if abs(value) < LONGEST else value, parameter, text)


def as_float(number: float) -> float:
    """Return a number as a float; a whole number past the range of floats as infinity of its sign.

    Examples
    --------
    >>> as_float(3), as_float(-(10**400))
    (3.0, -inf)
    """
    try:
        return float(number)
    except OverflowError:
        return math.inf if number > 0 else -math.inf


def parse_size(text: str, *, parameter: str = "size") -> tuple[float, float]:
    """Read a width and height such as ``4x6 in`` and return both in millimetres.

    Raises
    ------
    BadValue
        If it is not two lengths joined by ``x``, or either is not above zero.

    Examples
    --------
    >>> parse_size("4x6 in")
    (101.6, 152.4)
    >>> parse_size("100 mm x 150 mm") == parse_size("100x150")
    True
    """
    accepted = "two lengths joined by x, such as 4x6 in or 100x150 mm"
    match = _SIZE.match(text) if isinstance(text, str) else None
    if match is None:
        if isinstance(text, str) and "," in text:
            parse_length(text, parameter=parameter)  # raises the sentence about the comma
        raise BadValue(
            f"{parameter} is {shown(text)}; it takes {accepted}.",
            parameter=parameter, value=text, accepted=accepted,
        )  # fmt: skip
    first_unit = match[2] or match[4]
    for unit in (match[2], match[4]):
        if unit:
            _unit(unit, parameter, text)
    width = parse_length(f"{match[1]} {first_unit}", parameter=parameter)
    height = parse_length(f"{match[3]} {match[4] or first_unit}", parameter=parameter)
    if width <= 0 or height <= 0:
        raise BadValue(
            f"{parameter} is {shown(text)}; both sides must be above zero. Give {accepted}.",
            parameter=parameter, value=text, accepted=accepted,
        )  # fmt: skip
    return width, height


def format_mm(value: float, digits: int = 3) -> str:
    """Write a number of millimetres with no trailing zeros and no ``-0``.

    Examples
    --------
    >>> format_mm(1.20), format_mm(-0.0001), format_mm(12)
    ('1.2', '0', '12')
    """
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def format_length(value: float, digits: int = 3) -> str:
    """Write a length with its unit, such as ``1.2 mm``."""
    return f"{format_mm(value, digits)} mm"


def format_inches(value: float, parts: int = 16) -> str:
    """Write a number of millimetres in inches and the nearest sixteenth, as a ruler shows them.

    Examples
    --------
    >>> format_inches(190.5), format_inches(57.15), format_inches(0.4), format_inches(25.4)
    ('7 1/2 in', '2 1/4 in', '0 in', '1 in')
    """
    whole, part = divmod(round(value / 25.4 * parts), parts)
    common = math.gcd(part, parts)
    fraction = f"{part // common}/{parts // common}" if part else ""
    return f"{' '.join(word for word in (str(whole) if whole or not part else '', fraction) if word)} in"


def counted(count: int, word: str) -> str:
    """Write a number with what it counts.

    Examples
    --------
    >>> counted(3, "blade"), counted(1, "blade")
    ('3 blades', '1 blade')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"


def _unit(unit: str, parameter: str, text: str) -> float:
    if unit in ('"', "″"):
        unit = "in"
    factor = MM_PER_UNIT.get(unit.lower() or "mm")
    if factor is None:
        raise BadValue(
            f"{parameter} is {shown(text)}; the unit {shown(unit)} is not known. Use mm, cm, in or pt.",
            parameter=parameter, value=text, accepted=_ACCEPTED,
        )  # fmt: skip
    return factor


def _checked(value: float, parameter: str, given: object) -> float:
    if not math.isfinite(value) or abs(value) > LONGEST:
        raise BadValue(
            f"{parameter} is {shown(given)}; a length is a finite number up to {LONGEST:g} mm. "
            "Check the number and its unit.",
            parameter=parameter, value=given, accepted=_ACCEPTED,
        )  # fmt: skip
    return value


def _bad(parameter: str, text: object) -> BadValue:
    return BadValue(
        f"{parameter} is {shown(text)}; it takes {_ACCEPTED}.",
        parameter=parameter, value=text, accepted=_ACCEPTED,
    )  # fmt: skip


def as_words(given: object) -> str:
    """Return words as they are, and anything else as an error would show it.

    Examples
    --------
    >>> as_words("A4"), as_words(4)
    ('A4', '4')
    """
    return given if isinstance(given, str) else shown(given)


_VAST = "a whole number of over 300 digits"


def shown(given: object) -> str:
    """Return what was given as an error may show it: short, however long it is.

    Examples
    --------
    >>> shown("4 in"), shown(10**5000)
    ("'4 in'", 'a whole number of over 300 digits')
    >>> shown([10**5000])
    'values with a whole number of over 300 digits'
    """
    if isinstance(given, int) and math.isinf(as_float(given)):
        return _VAST
    try:
        text = repr(given) if isinstance(given, str) else str(given)
    except ValueError:  # Python does not write out whole numbers of over 4,300 digits
        return f"values with {_VAST}"
    return text if len(text) <= 60 else text[:57] + "…"
