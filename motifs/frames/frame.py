"""Plate frames: outline, border, window, name panel and ground of a plate in one arrangement.

A frame is a plain function with keyword-only parameters, `width`, `height`, `strap` and `smallest` among
them, that returns a `Frame`. Straps, rails and rims are millimetres at every size; repeats are counted anew,
and an ornament that no longer fits is left out or the size refused.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import wraps
from typing import Any, ParamSpec

from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.registry import motif
from canivet.parameters import parameters_of

__all__ = ["Frame", "NoRoom", "Room", "TooSmall", "frame"]

P = ParamSpec("P")

_TRIES = 12
"""How many sizes are tried to say what would fit."""


class TooSmall(DoesNotFit):
    """A side of the plate that is too short for the frame; `least` is a first guess at what would fit."""

    def __init__(self, side: str, given: float, least: float, why: str) -> None:
        super().__init__(f"{why} needs at least {least:g} mm", parameter=side, value=given)
        self.side, self.given, self.least, self.why = side, given, least, why


class NoRoom(DoesNotFit):
    """The straps asked for leave no room for a part of the frame, or too little paper beside it."""

    def __init__(self, what: str = "its parts") -> None:
        super().__init__(f"no room for {what}", parameter="strap")
        self.what = what


@dataclass(frozen=True)
class Room:
    """How a panel may be made roomier for its words, and how it is left out where it has none.

    Attributes
    ----------
    key : str
        Of the frame's settings, that gives the panel its room.
    values : tuple of float
        To try, from the least room to the most.
    without : mapping of str to float
        Settings under which the panel is not drawn.
    then : mapping of str to float
        Settings that give it another place, where there is one, for words too long for this one.
    """

    key: str
    values: tuple[float, ...]
    without: Mapping[str, float] = field(default_factory=lambda: {"panel": 0.0})
    then: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Frame:
    """A frame for a plate. Lengths in mm, the lower left corner of its box at the origin.

    Attributes
    ----------
    paper : Polygon
        All that the frame draws; window and panels are left as solid paper.
    window : Polygon
        Where silhouettes go. The paper holds whether it is opened or not.
    panels : mapping of str to Polygon
        Places for lettering by name, such as "name" or "left page"; solid too, and free to be opened.
    arcs : mapping of str to (float, float, float)
        For a panel that is bent: the centre of its bend and the radius of its middle line, above zero where
        the panel arches up, below zero where it hangs down.
    rising : frozenset of str
        Panels whose words rise from foot to head.
    rooms : mapping of str to Room
        For each panel the frame can have, drawn or not.
    bare : mapping of str to float
        Settings for a plate without any words.
    fillings : mapping of str to tuple of Polygon
        Openings for a panel that stays, drawn or not, where it has no words.
    """

    paper: Polygon
    window: Polygon
    panels: Mapping[str, Polygon]
    arcs: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    rising: frozenset[str] = frozenset()
    rooms: Mapping[str, Room] = field(default_factory=dict)
    bare: Mapping[str, float] = field(default_factory=lambda: {"panel": 0.0})
    fillings: Mapping[str, tuple[Polygon, ...]] = field(default_factory=dict)


def frame(function: Callable[P, Frame]) -> Callable[P, Frame]:
    """Enter a function in the catalogue as a frame; what is too small is told with a size that fits."""

    @wraps(function)
    def sized(*args: P.args, **kwargs: P.kwargs) -> Frame:
        try:
            return function(*args, **kwargs)
        except TooSmall as refusal:
            raise _with_what_fits(function, kwargs, refusal) from None
        except NoRoom as refusal:
            raise _with_a_size_that_fits(function, kwargs, refusal) from None

    return motif("frame")(sized)


def _with_what_fits(
    function: Callable[..., Frame], asked: Mapping[str, Any], refusal: TooSmall
) -> DoesNotFit:
    """Find the least side that the frame can be drawn at, the rest as asked, and say so.

    What a plate needs grows with it, so the first figure is only where to start.
    """
    name, size = refusal.side, refusal.least
    for _ in range(_TRIES):
        size = math.ceil(2 * size - 1e-9) / 2
        try:
            function(**{**asked, name: size})
        except TooSmall as again:
            size = max(1.03 * size, again.least) if again.side == name else 1.15 * size
        except DoesNotFit:
            size *= 1.15
        else:
            accepted = f"at least {format_length(size)}"
            return DoesNotFit(
                f"{name} is {format_length(refusal.given)}; {refusal.why} needs {accepted}. "
                f"Raise {name} or choose another frame.",
                parameter=name, value=refusal.given, accepted=accepted,
            )  # fmt: skip
    return _with_a_size_that_fits(function, asked, NoRoom(refusal.why))


def _with_a_size_that_fits(
    function: Callable[..., Frame], asked: Mapping[str, Any], refusal: NoRoom
) -> DoesNotFit:
    """Find a larger plate of about the same proportion that the frame can be drawn at, and say so."""
    values: dict[str, Any] = {name: bound.default for name, bound in parameters_of(function).items()}
    values |= asked
    width, height, strap = values["width"], values["height"], values["strap"]
    given = (
        f"strap is {format_length(strap)}; on a plate of {format_mm(width, 1)} × {format_mm(height, 1)} mm "
        f"it leaves no room for {refusal.what}."
    )
    for k in range(1, _TRIES + 1):
        wider, higher = math.ceil(width * 1.15**k), math.ceil(height * 1.15**k)
        try:
            function(**{**asked, "width": wider, "height": higher})
        except DoesNotFit:
            continue
        return DoesNotFit(
            f"{given} A plate of {wider} × {higher} mm takes it. Lower strap or rim, or enlarge the plate.",
            parameter="strap", value=strap, accepted=f"a plate of {wider} × {higher} mm",
        )  # fmt: skip
    return DoesNotFit(
        f"{given} Lower strap or rim, or choose another frame.",
        parameter="strap", value=strap, accepted="a narrower strap or another frame",
    )  # fmt: skip
