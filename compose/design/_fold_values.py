"""How the values of a folded piece's keys are read; each is told what it is called where it stands."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args

from canivet.errors import BadValue
from canivet.lengths import parse_length, shown
from canivet.motifs.folding.wedge import words
from canivet.motifs.folding.wedge.rings import Border, Ring
from canivet.parameters import Bound, Flag, Seed, read_value
from canivet.sheets import Sheet, find_sheet

__all__ = [
    "read_above_zero",
    "read_border",
    "read_flag",
    "read_length",
    "read_number",
    "read_place",
    "read_rings",
    "read_seed",
    "read_sheet",
    "read_text",
]


def read_length(value: Any, called: str) -> float:
    """Read a length of zero or more, mm."""
    length = parse_length(value, parameter=called)
    if length < 0:
        raise BadValue(
            f"{called} is {shown(value)}; it takes a length of zero or more, such as 1 mm.",
            parameter=called, value=value, accepted="0 mm or more",
        )  # fmt: skip
    return length


def read_above_zero(value: Any, called: str) -> float:
    """Read a length above zero, mm."""
    length = read_length(value, called)
    if length == 0:
        raise BadValue(
            f"{called} is 0 mm; it takes a length above zero.",
            parameter=called, value=value, accepted="above 0 mm",
        )  # fmt: skip
    return length


def read_number(value: Any, called: str) -> int:
    """Read a whole number; which are accepted is the kind's to say."""
    return int(read_value(Bound("count", "a number", "", 0, 10**6, name=called), value))


def read_text(value: Any, called: str) -> str:
    """Read words that are not empty."""
    if not isinstance(value, str) or not value.strip():
        raise BadValue(
            f"{called} is {shown(value)}; it takes words. Give some, or leave {called} out.",
            parameter=called, value=value, accepted="words",
        )  # fmt: skip
    return value


def read_flag(value: Any, called: str) -> bool:
    """Read yes or no."""
    return bool(read_value(_named(Flag("whether or not"), called), value))


def read_seed(value: Any, called: str) -> int:
    """Read which of many drawings it is."""
    return int(read_value(_named(get_args(Seed)[1], called), value))


def _named(bound: Bound, called: str) -> Bound:
    return replace(bound, name=called)


def read_rings(value: Any, called: str) -> tuple[Ring, ...]:
    """Read one ring or a list of them."""
    texts = [value] if isinstance(value, str) else value
    if not isinstance(texts, (list, tuple)) or not texts:
        raise BadValue(
            f"{called} is {shown(value)}; it takes a list of rings, such as "
            '["drops fill", "petals count=2"].',
            parameter=called, value=value, accepted="a list of rings",
        )  # fmt: skip
    return tuple(words.read_ring(_ring_text(text, called), parameter=called) for text in texts)


def _ring_text(value: Any, called: str) -> str:
    if isinstance(value, str):
        return value
    raise BadValue(
        f"{called} holds {shown(value)}; a ring is words, such as {words.RING_EXAMPLE}.",
        parameter=called, value=value, accepted=words.RING_EXAMPLE,
    )  # fmt: skip


def read_border(value: Any, called: str) -> Border:
    """Read how the open edge is cut."""
    return words.read_border(_ring_text(value, called), parameter=called)


def read_place(value: Any, called: str) -> tuple[float, float]:
    """Read two lengths of either sign, mm."""
    if isinstance(value, str):
        return words.read_place(value, parameter=called)
    if isinstance(value, (list, tuple)) and len(value) == 2:
        x, y = (parse_length(one, parameter=called) for one in value)
        return x, y
    raise BadValue(
        f'{called} is {shown(value)}; it takes two lengths, such as "0x10" or ["0 mm", "10 mm"].',
        parameter=called, value=value, accepted="two lengths",
    )  # fmt: skip


def read_sheet(value: Any, called: str) -> Sheet:
    """Read a sheet by its name or size."""
    return find_sheet(value, parameter=called)
