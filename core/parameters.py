"""What a motif may be asked for, written once: as annotations on its signature.

A motif is a plain function whose keyword-only parameters are annotated with a bound, as in
``strap: Annotated[float, Length("narrowest paper left", 0.3, 20)] = 1.2``.
From that one place come the check at the door, the keys of the design file, the help
of the command line and the table in the documentation.
"""

from __future__ import annotations

import functools
import inspect
import math
import typing
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, ParamSpec, TypeVar

from .errors import BadValue, suggest
from .lengths import as_float, format_mm, parse_length, shown

__all__ = [
    "Angle",
    "Bound",
    "Choice",
    "Count",
    "Flag",
    "Length",
    "Seed",
    "Share",
    "checked",
    "parameters_of",
    "read_value",
]


@dataclass(frozen=True, slots=True)
class Bound:
    """What one parameter takes.

    Attributes
    ----------
    name : str
        Filled in from the signature.
    kind : str
        ``length``, ``count``, ``share``, ``angle``, ``choice`` or ``flag``.
    unit : str
        ``mm``, ``°`` or empty.
    least, most : float or None
        Both ends belong to the range.
    choices : sequence of str
        For a choice.
    default : object
        Filled in from the signature; None where the motif works it out.
    meaning : str
        One phrase: what it is on paper.
    """

    kind: str
    meaning: str
    unit: str = ""
    least: float | None = None
    most: float | None = None
    choices: Sequence[str] = ()
    name: str = ""
    default: Any = None

    @property
    def accepted(self) -> str:
        """Return the range in words."""
        if self.kind == "choice":
            return "one of: " + ", ".join(self.choices)
        if self.kind == "flag":
            return "true or false"
        unit = f" {self.unit}" if self.unit == "mm" else self.unit
        whole = "a whole number from " if self.kind == "count" else ""
        return f"{whole}{_plain(self.least)}{unit} to {_plain(self.most)}{unit}"

    def check(self, value: Any, *, default: Any = None) -> Any:
        """Return `value` as the function wants it, or raise `BadValue`. Nothing is clamped or rounded."""
        if value is None and default is None:
            return None
        if self.kind == "choice":
            if value in self.choices:
                return value
            raise self._refused(value, suggest(value, self.choices) if isinstance(value, str) else "")
        if self.kind == "flag":
            if isinstance(value, bool):
                return value
            raise self._refused(value)
        if isinstance(value, bool) or (
            not isinstance(value, (int, float)) and not hasattr(value, "__float__")
        ):
            raise self._refused(value)
        number = as_float(value)
        assert self.least is not None
        assert self.most is not None
        if not math.isfinite(number) or not self.least <= number <= self.most:
            raise self._refused(value)
        if self.kind == "count":
            if number != int(number):
                raise self._refused(value)
            return int(number)
        return number

    def _refused(self, value: Any, hint: str = "") -> BadValue:
        number = as_float(value) if isinstance(value, (int, float)) else math.nan
        told = f"{format_mm(number)} mm" if self.unit == "mm" and math.isfinite(number) else shown(value)
        return BadValue(
            f"{self.name} is {told}; it takes {self.accepted} ({self.meaning}).{hint}",
            parameter=self.name, value=value, accepted=self.accepted,
        )  # fmt: skip


def Length(meaning: str, least: float, most: float) -> Bound:  # noqa: N802 - reads as a type in signatures
    """Return the bound of a length in mm, both ends allowed: ``Annotated[float, Length(…)]``."""
    return Bound("length", meaning, "mm", least, most)


def Count(meaning: str, least: int, most: int) -> Bound:  # noqa: N802
    """Return the bound of a whole number, both ends allowed."""
    return Bound("count", meaning, "", least, most)


def Share(meaning: str, least: float = 0.0, most: float = 1.0) -> Bound:  # noqa: N802
    """Return the bound of a plain ratio, both ends allowed."""
    return Bound("share", meaning, "", least, most)


def Angle(meaning: str, least: float, most: float) -> Bound:  # noqa: N802
    """Return the bound of an angle in degrees, both ends allowed."""
    return Bound("angle", meaning, "°", least, most)


def Choice(meaning: str, *choices: str) -> Bound:  # noqa: N802
    """Return the bound of one word out of a few."""
    return Bound("choice", meaning, choices=choices)


def Flag(meaning: str) -> Bound:  # noqa: N802
    """Return the bound of yes or no."""
    return Bound("flag", meaning)


Seed = Annotated[
    int, Bound("count", "which of the many drawings; the same number, the same drawing", "", 0, 2**31)
]
"""The one source of chance a motif may have."""

P = ParamSpec("P")
R = TypeVar("R")


def parameters_of(function: Callable[..., Any]) -> dict[str, Bound]:
    """Return what each bounded keyword of `function` takes, in the order of its signature.

    Keywords without a `Bound` (such as the outline a motif fills) are left out.
    """
    function = inspect.unwrap(function)
    hints = typing.get_type_hints(function, include_extras=True)
    found = {}
    for name, parameter in inspect.signature(function).parameters.items():
        bound = _bound_in(hints.get(name))
        if bound is not None:
            default = None if parameter.default is inspect.Parameter.empty else parameter.default
            fields = ("kind", "meaning", "unit", "least", "most", "choices")
            found[name] = Bound(**{f: getattr(bound, f) for f in fields}, name=name, default=default)
    return found


def checked(function: Callable[P, R]) -> Callable[P, R]:
    """Make a function check its bounded keywords before its body runs."""
    bounds: dict[str, Bound] = {}

    @functools.wraps(function)
    def inner(*args: P.args, **kwargs: P.kwargs) -> R:
        if not bounds:
            bounds.update(parameters_of(function))
        for name, bound in bounds.items():
            if name in kwargs:
                kwargs[name] = bound.check(kwargs[name], default=bound.default)
        return function(*args, **kwargs)

    return inner


def read_value(bound: Bound, text: Any) -> Any:
    """Read a value as written in a design file or on the command line, and check it.

    Raises
    ------
    BadValue
        If it cannot be read or is out of range.
    """
    if bound.kind == "length":
        return bound.check(parse_length(text, parameter=bound.name))
    if bound.kind == "choice" or not isinstance(text, str):
        return bound.check(text)
    if bound.kind == "flag":
        words: Mapping[str, bool] = {"true": True, "yes": True, "false": False, "no": False}
        return bound.check(words.get(text.strip().lower(), text))
    try:
        number = float(text.strip().removesuffix("°"))
    except ValueError:
        return bound.check(text)  # raises, in the bound's own words
    return bound.check(number)


def _bound_in(hint: Any) -> Bound | None:
    """Find the Bound in ``Annotated[...]`` or in ``Annotated[...] | None``."""
    for candidate in (hint, *typing.get_args(hint)):
        for extra in getattr(candidate, "__metadata__", ()):
            if isinstance(extra, Bound):
                return extra
    return None


def _plain(value: float | None) -> str:
    return "" if value is None else format_mm(value)
