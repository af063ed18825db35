"""What can go wrong, in few kinds, each with the facts a caller needs to mend it.

A message says what was given, what is accepted, and what to do. The same facts stay on the error
as data, so that a program need not read the sentence.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

__all__ = [
    "BadValue",
    "CanivetError",
    "CannotWrite",
    "DoesNotFit",
    "MissingLibrary",
    "Unreadable",
    "suggest",
]


class CanivetError(Exception):
    """Base of every error canivet raises on purpose.

    Attributes
    ----------
    message : str
        The whole sentence, ready to show.
    parameter : str or None
        What the fault is in: a parameter, a key of the design file, a file.
    value : object
        What was given.
    accepted : str or None
        What would be accepted.
    at : tuple of float or None
        The place on the piece in mm, where there is one.
    exit_code : int
        1 where the work cannot be done, 2 where the request itself is wrong.
    """

    exit_code = 1

    def __init__(
        self,
        message: str,
        *,
        parameter: str | None = None,
        value: object = None,
        accepted: str | None = None,
        at: tuple[float, float] | None = None,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.parameter = parameter
        self.value = value
        self.accepted = accepted
        self.at = at


class BadValue(CanivetError, ValueError):
    """A value of the wrong form or outside its bounds, or a name that is not known."""

    exit_code = 2


class DoesNotFit(CanivetError):
    """Every value is sound by itself, but together they cannot be drawn."""


class Unreadable(CanivetError):
    """A file that is missing, or cannot be understood, or holds nothing to cut."""


class CannotWrite(CanivetError):
    """A drawing that could not be put where it was asked for."""


class MissingLibrary(CanivetError):
    """A system library is not there; the message says what to install."""


def suggest(name: str, known: Iterable[str]) -> str:
    """Return `` Did you mean 'x'?`` for the known name nearest by its whole or first word, or nothing.

    Examples
    --------
    >>> suggest("meandre", ["meander", "scallop"])
    " Did you mean 'meander'?"
    >>> suggest("diamnd", ["brick-lattice", "diamond-lattice"])
    " Did you mean 'diamond-lattice'?"
    >>> suggest("qqq", ["meander", "scallop"])
    ''
    """
    # A name of several words is often meant by its first.
    heads = {one.split("-")[0]: one for one in reversed(list(known))}
    whole = {**heads, **{one: one for one in known}}
    near = difflib.get_close_matches(name, whole, n=1, cutoff=0.6)
    return f" Did you mean '{whole[near[0]]}'?" if near else ""
