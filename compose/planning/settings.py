"""What the cutter works with: hand, tools, surface, pace, and from where on scissors are worth taking up.

Every default is *common practice*, no source: where to start until a log of one's own pieces says better.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Annotated, Any, Literal

from canivet.errors import BadValue, CanivetError, suggest
from canivet.parameters import Choice, Length, Share, parameters_of, read_value

__all__ = ["Hand", "Outline", "Pace", "PlanSettings", "Surface", "Tools", "read_settings"]

Hand = Literal["right", "left"]
Tools = Literal["both", "knife", "scissors"]
Surface = Literal["mat", "glass", "cardboard"]
Outline = Literal["last", "first"]


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast a hand works, one sheet of 90 g/m² under the blade.

    Attributes
    ----------
    knife, scissors : float
        mm a minute along the edge.
    stroke, corner, pierce : float
        Seconds to set the tool down for a stroke, to work scissors out of a sharp corner, to cut an X.
    turn : float
        Seconds for each quarter turn of the sheet.
    opening : float
        Seconds to find the next opening and lift the waste out of the last.
    """

    knife: Annotated[float, Share("mm a minute with the knife", 20, 5000)] = 120.0
    scissors: Annotated[float, Share("mm a minute with scissors", 20, 5000)] = 150.0
    stroke: Annotated[float, Share("seconds a stroke", 0, 60)] = 2.0
    corner: Annotated[float, Share("seconds a sharp corner, by scissors", 0, 60)] = 4.0
    pierce: Annotated[float, Share("seconds an X", 0, 120)] = 8.0
    turn: Annotated[float, Share("seconds a quarter turn of the sheet", 0, 60)] = 2.0
    opening: Annotated[float, Share("seconds an opening, to find it and lift the waste out", 0, 120)] = 6.0

    def __post_init__(self) -> None:
        _check(self)


@dataclass(frozen=True, slots=True)
class PlanSettings:
    """Everything a cutting plan depends on besides the paper. Lengths in mm.

    Raises
    ------
    BadValue
        If a value is out of its bounds.

    Examples
    --------
    >>> PlanSettings(tools="knife").hand
    'right'
    >>> PlanSettings(overrun=4)
    Traceback (most recent call last):
    canivet.errors.BadValue: overrun is 4 mm; it takes 0 mm to 2 mm (how far the knife goes on past a stroke).
    """

    hand: Annotated[Hand, Choice("the hand that holds the tool", "right", "left")] = "right"
    tools: Annotated[Tools, Choice("tools at hand", "both", "knife", "scissors")] = "both"
    surface: Annotated[Surface, Choice("what lies under the sheet", "mat", "glass", "cardboard")] = "mat"
    outline: Annotated[Outline, Choice("when the outline is cut", "last", "first")] = "last"
    scissors_from: Annotated[
        float, Length("radius of the largest disc in an opening from which on scissors enter", 1, 50)
    ] = 4.0
    scissors_curve: Annotated[float, Length("radius of the tightest curve that scissors follow", 0.5, 50)] = (
        3.0
    )
    overrun: Annotated[float, Length("how far the knife goes on past a stroke", 0, 2)] = 0.3
    reach: Annotated[float, Length("how far the fingers that hold the sheet down reach", 1, 200)] = 15.0
    sitting: Annotated[float, Share("minutes of a sitting", 5, 600)] = 60.0
    blade: Annotated[
        float, Share("metres a knife blade lasts on one sheet of 90 g/m² on a mat", 0.1, 100)
    ] = 5.0
    pace: Pace = field(default_factory=Pace)

    def __post_init__(self) -> None:
        _check(self)


def read_settings(table: Any, base: PlanSettings | None = None) -> tuple[PlanSettings, list[str]]:
    """Read the ``[plan]`` table of a design, and return it with all that is wrong in it, each with its place.

    What the table does not say is as in `base`, or by default.
    """
    base = base or PlanSettings()
    if not isinstance(table, Mapping):
        return base, ["plan is not a table. Write [plan] on a line of its own, and its keys under it."]
    known = [one.name for one in fields(PlanSettings)]
    given = dict(table)
    pace = given.pop("pace", {})
    values, faults = _read(PlanSettings, given, "plan", known)
    if not isinstance(pace, Mapping):
        faults.append("plan.pace is not a table. Write [plan.pace], and its keys under it.")
        pace = {}
    paced, unpaced = _read(Pace, pace, "plan.pace", [one.name for one in fields(Pace)])
    return replace(base, **values, pace=replace(base.pace, **paced)), faults + unpaced


def _read(
    of: type, table: Mapping[str, Any], place: str, known: list[str]
) -> tuple[dict[str, Any], list[str]]:
    bounds = parameters_of(of)
    values, faults = {}, []
    for key, value in table.items():
        if key not in bounds:
            hint = suggest(str(key), known)
            faults.append(f"{place}.{key} is not known.{hint} Known here: {', '.join(known)}.")
            continue
        try:
            values[key] = read_value(bounds[key], value)
        except CanivetError as error:
            faults.append(f"{place}.{error.message}")
    return values, faults


def _check(settings: Pace | PlanSettings) -> None:
    for name, bound in parameters_of(type(settings)).items():
        bound.check(getattr(settings, name), default=bound.default)
    if isinstance(settings, PlanSettings) and not isinstance(settings.pace, Pace):
        raise BadValue(f"pace is {settings.pace!r}; it takes a Pace.", parameter="pace", value=settings.pace)
