"""Rings, borders and places in words, as a design file and the command line write them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from canivet.errors import BadValue, suggest
from canivet.lengths import parse_length

from .ornaments import find_unit
from .rings import Border, Ring

__all__ = ["RING_EXAMPLE", "read_border", "read_place", "read_ring"]

RING_EXAMPLE = "petals, or petals count=2 at=between fill"

_RING: Mapping[str, Callable[[str], Any]] = {
    "share": float, "count": int, "divisions": int, "width": float, "at": str,
}  # fmt: skip
_RING_FLAGS = ("fill", "turned")


def read_ring(text: str, *, parameter: str = "ring") -> Ring:
    """Read a ring such as ``petals count=2 at=between fill``.

    Parameters
    ----------
    text : str
        The motif first, then what it is told.
    parameter : str
        What the text is called where it was given, for the error.

    Raises
    ------
    BadValue
        If a word is not known or a value cannot be read.

    Examples
    --------
    >>> read_ring("petals count=2 fill").count
    2
    """
    name, given = _read_words(text, parameter, _RING, _RING_FLAGS)
    find_unit(name)
    if given.get("at", "fold") not in ("fold", "between"):
        raise BadValue(
            f"at is {given['at']!r} in {parameter}; it takes fold or between.",
            parameter="at", value=given["at"], accepted="fold, between",
        )  # fmt: skip
    return Ring(name.lower(), **given)


def read_border(text: str, *, parameter: str = "border") -> Border:
    """Read a border such as ``scallops count=2 depth=5mm``.

    Raises
    ------
    BadValue
        As `read_ring`.

    Examples
    --------
    >>> read_border("scallops depth=0.5cm").depth
    5.0
    """
    name, given = _read_words(text, parameter, {"count": int, "depth": parse_length}, ())
    return Border(name.lower(), **given)


def _read_words(
    text: str, parameter: str, values: Mapping[str, Callable[[str], Any]], flags: tuple[str, ...]
) -> tuple[str, dict[str, Any]]:
    """Return the first word, and what the others say."""
    words = text.split()
    if not words:
        raise BadValue(
            f"{parameter} is empty; it takes a name first, such as {RING_EXAMPLE}.", parameter=parameter
        )
    given: dict[str, Any] = {}
    for word in words[1:]:
        key, equals, value = word.partition("=")
        if key in flags and not equals:
            given[key] = True
        elif key in values and value:
            given[key] = _read_value(key, value, parameter, values[key])
        else:
            known = [*(f"{name}=…" for name in values), *flags]
            raise BadValue(
                f"{parameter} has {word!r}; after the name it takes: "
                f"{', '.join(known)}.{suggest(key, [*values, *flags])}",
                parameter=parameter, value=word, accepted=", ".join(known),
            )  # fmt: skip
    return words[0], given


def _read_value(key: str, value: str, parameter: str, read: Callable[[str], Any]) -> Any:
    try:
        return read(value)
    except BadValue:
        raise
    except ValueError:
        raise BadValue(
            f"{key} is {value!r} in {parameter}; it takes a number.",
            parameter=key, value=value, accepted="a number",
        ) from None  # fmt: skip


def read_place(text: str, *, parameter: str = "at") -> tuple[float, float]:
    """Read a place such as ``0x10`` or ``-5x12 mm``: two lengths, of either sign.

    Raises
    ------
    BadValue
        If it is not two lengths joined by ``x``.

    Examples
    --------
    >>> read_place("0x10"), read_place("-1 x 2.5 cm")
    ((0.0, 10.0), (-10.0, 25.0))
    """
    across, joined, up = re.sub("[×X]", "x", text).partition("x")
    if not (joined and across.strip() and up.strip()):
        accepted = "two lengths joined by x, such as 0x10 or -5x12 mm"
        raise BadValue(
            f"{parameter} is {text!r}; it takes {accepted}.",
            parameter=parameter, value=text, accepted=accepted,
        )  # fmt: skip
    if across.strip()[-1] in "0123456789.":
        # One unit, at the end, is that of both.
        across += re.findall(r"[^\W\d_]*[\"″]?\s*\Z", up)[0]
    return parse_length(across, parameter=parameter), parse_length(up, parameter=parameter)
