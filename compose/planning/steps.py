"""What a cutting plan is made of: strokes, the openings they free, and the figures of the whole.

Places are in mm on the piece as seen from its finished front, y up. Sheet angles are as seen from the side
that is cut: where `CuttingPlan.mirrored` is true that is the back, and left is right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from .settings import PlanSettings

__all__ = ["CuttingPlan", "Grade", "OpeningPlan", "Overrun", "Pierce", "Place", "Stroke"]

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """One movement of a tool along the edge: a draw of the knife, or one run of the scissors.

    Attributes
    ----------
    tool : "knife" or "scissors"
    points : tuple of (float, float)
        The edge it cuts, in the direction it is cut.
    sheet_angle : float or None
        Degrees, 0 to 360, by which the sheet is turned anticlockwise from upright so that a knife stroke
        begins straight towards the cutter; None for scissors.
    overrun : float
        mm that the blade goes on past the end, straight on.
    ahead : float or None
        mm of paper in front of the blade at the end of the stroke, up to the next edge and no further than
        4 mm; None where nothing is scored: the overrun lies in waste, or there is none.
    frees : bool
        Whether the waste drops with it.
    from_below : bool
        For scissors: the run against the hand, with the sheet held so that the blades come from below.
    """

    tool: Literal["knife", "scissors"]
    points: tuple[Place, ...]
    sheet_angle: float | None = None
    overrun: float = 0.0
    ahead: float | None = None
    frees: bool = False
    from_below: bool = False

    @property
    def length(self) -> float:
        """Return how much edge it cuts, mm."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))

    def to_json(self) -> dict[str, Any]:
        """Return plain values, rounded to a micrometre and a tenth of a degree."""
        return {
            "tool": self.tool,
            "points_mm": [_at(p) for p in self.points],
            "sheet_angle_deg": None if self.sheet_angle is None else round(self.sheet_angle, 1) % 360,
            "frees": self.frees,
            "overrun_mm": _r(self.overrun),
            "ahead_mm": None if self.ahead is None else _r(self.ahead),
            "from_below": self.from_below,
        }


@dataclass(frozen=True, slots=True)
class Pierce:
    """An X cut in the waste so that scissors can enter: its middle, and how far each arm reaches (mm)."""

    at: Place
    arm: float


@dataclass(frozen=True, slots=True)
class OpeningPlan:
    """One opening and how it is cut.

    Attributes
    ----------
    number : int
        Its turn, from 1.
    ring : int
        Which of ``paper.interiors`` it is.
    at : (float, float)
        The middle of the largest disc in it: where its number stands.
    radius : float
        Of that disc, mm.
    area : float
        mm².
    delicacy : float
        How easily the paper round it tears, against the other openings of the piece.
    sitting : int
        From 1.
    pierce : Pierce or None
        Where scissors enter.
    strokes : tuple of Stroke
        In the order they are cut; exactly one frees the waste.
    """

    number: int
    ring: int
    at: Place
    radius: float
    area: float
    delicacy: float
    sitting: int
    pierce: Pierce | None
    strokes: tuple[Stroke, ...]

    @property
    def length(self) -> float:
        """Return its perimeter, mm."""
        return sum(stroke.length for stroke in self.strokes)

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {
            "number": self.number,
            "at_mm": _at(self.at),
            "radius_mm": _r(self.radius),
            "area_mm2": _r(self.area),
            "delicacy": round(self.delicacy, 4),
            "sitting": self.sitting,
            "pierce_mm": None if self.pierce is None else _at(self.pierce.at),
            "pierce_arm_mm": None if self.pierce is None else _r(self.pierce.arm),
            "strokes": [stroke.to_json() for stroke in self.strokes],
        }


@dataclass(frozen=True, slots=True)
class Overrun:
    """An overrun that scores a strap: after which opening's stroke (0 for the outline), where, how wide."""

    number: int
    at: Place
    ahead: float

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {"number": self.number, "at_mm": _at(self.at), "ahead_mm": _r(self.ahead)}


@dataclass(frozen=True, slots=True)
class Grade:
    """How difficult a piece is, 1 to 5, and why: the measures that put it there."""

    value: int
    because: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """Return plain values."""
        return {"value": self.value, "because": list(self.because)}


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """The whole plan.

    Attributes
    ----------
    openings : tuple of OpeningPlan
        In cutting order.
    outline : tuple of Stroke
        The edge of the piece, cut last unless the settings ask for it first.
    settings : PlanSettings
        What it was made for.
    title : str
        Of the piece.
    mirrored : bool
        Whether the sheet is cut from its back.
    layers : int
        Sheets of paper under the blade: 1, or those of a packet.
    support : float
        Share of the way from the worst possible order to the best, 0 to 1.
    travel : float
        From opening to opening, in lengths of the minimum spanning tree of `at`.
    turning, turning_plain : float
        Degrees the sheet is turned between knife strokes, and would be if every opening were cut round its
        ring, always the same way. What a curve takes within its stroke is in neither.
    cut_length : dict
        mm by tool, ``knife`` and ``scissors``.
    minutes : float
        In all; `cutting_minutes` of them with a tool on the edge.
    blades : int
    sittings : int
    grade : Grade
    overruns : tuple of Overrun
        Every overrun that leaves less of a strap than it is to hold at, the narrowest first.
    cutting_minutes : float
    worn : float
        Metres of knife edge, as on one sheet of 90 g/m² on a mat: what blades are counted by.
    """

    openings: tuple[OpeningPlan, ...]
    outline: tuple[Stroke, ...]
    settings: PlanSettings
    title: str
    mirrored: bool
    layers: int
    support: float
    travel: float
    turning: float
    turning_plain: float
    cut_length: dict[str, float]
    minutes: float
    blades: int
    sittings: int
    grade: Grade
    overruns: tuple[Overrun, ...]
    cutting_minutes: float = 0.0
    worn: float = 0.0

    def strokes(self) -> Iterator[Stroke]:
        """Yield every stroke in the order it is cut."""
        if self.settings.outline == "first":
            yield from self.outline
        for opening in self.openings:
            yield from opening.strokes
        if self.settings.outline == "last":
            yield from self.outline

    def to_json(self) -> dict[str, Any]:
        """Return the plan as plain values: lengths to a micrometre, angles to a tenth of a degree.

        Examples
        --------
        >>> from shapely import box
        >>> from canivet.compose.planning.plan import plan_cutting
        >>> plan = plan_cutting(box(0, 0, 20, 12) - box(4, 4, 8, 8) - box(12, 4, 16, 8)).to_json()
        >>> [opening["number"] for opening in plan["openings"]]
        [1, 2]
        """
        return {
            "title": self.title,
            "mirrored": self.mirrored,
            "layers": self.layers,
            "openings": [opening.to_json() for opening in self.openings],
            "outline": [stroke.to_json() for stroke in self.outline],
            "outline_when": self.settings.outline,
            "reach_mm": _r(self.settings.reach),
            "support": round(self.support, 4),
            "travel_mst": round(self.travel, 3),
            "turning_deg": round(self.turning, 1),
            "turning_plain_deg": round(self.turning_plain, 1),
            "cut_length_mm": {tool: _r(length) for tool, length in self.cut_length.items()},
            "minutes": round(self.minutes, 1),
            "blades": self.blades,
            "sittings": self.sittings,
            "grade": self.grade.to_json(),
            "overruns": [overrun.to_json() for overrun in self.overruns],
        }


def _r(value: float) -> float:
    return round(float(value), 3)


def _at(place: Place) -> list[float]:
    return [_r(place[0]), _r(place[1])]
