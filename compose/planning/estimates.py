"""How long it takes, how many blades, when to rest, how difficult it is.

Every constant here is *common practice*, no source.

Each measure of difficulty has its own grade by the thresholds below; the piece has the highest grade that at
least two of them reach, so that one extreme alone does not make a piece hard.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from canivet.audit.boundary import Flags, Floats, Ints
from canivet.lengths import format_mm
from canivet.stock import THICKNESS_BY_GRAMMAGE, Stock

from .settings import PlanSettings
from .steps import Grade

__all__ = [
    "THRESHOLDS",
    "Measures",
    "Work",
    "blades_for",
    "grade_of",
    "minutes_of",
    "rests_after",
    "sheets_under",
    "wear_of",
]

EACH_SHEET = 0.25
"""How much longer cutting takes for every further sheet of 90 g/m² under the blade."""

WEAR = {"mat": 1.0, "cardboard": 1.25, "glass": 2.0}
"""How much sooner a blade is dull on each surface."""

_SOONEST = 0.7
"""Of a sitting: from then on the best place to rest is looked for."""

_FRAIL = 2.0
"""Times the mean: from this delicacy on an opening belongs to a delicate region."""

_REGION = 1 / 3
"""Of the reach: delicate openings so near each other are of one region."""

_BESIDE = 6
"""Openings before and after a rest that should not belong together."""


THRESHOLDS = {
    "narrowest": (2.0, 1.5, 1.0, 0.7),
    "smallest": (1.5, 1.0, 0.6, 0.4),
    "density": (30, 80, 160, 300),
    "tight": (0.10, 0.25, 0.45, 0.65),
    "sharp": (20, 80, 250, 800),
    "hours": (1, 3, 8, 20),
}
"""Where grades 2, 3, 4 and 5 begin. The first two count when they are under it, the others from it on."""


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """What there is to do on each of some rings, as (n,) arrays.

    Attributes
    ----------
    knife, scissors
        mm by tool.
    strokes, corners, pierces
        How many strokes, corners that scissors come back into, and X.
    turned
        Degrees the sheet is turned.
    """

    knife: Floats
    scissors: Floats
    strokes: Ints
    corners: Ints
    pierces: Flags
    turned: Floats


def sheets_under(stock: Stock, layers: int) -> float:
    """Return what lies under the blade, in sheets of 90 g/m².

    Examples
    --------
    >>> sheets_under(Stock.of(grammage=90), 4), round(sheets_under(Stock.of(grammage=120), 1), 2)
    (4.0, 1.33)
    """
    return layers * stock.thickness / THICKNESS_BY_GRAMMAGE[90.0]


def minutes_of(work: Work, settings: PlanSettings, sheets: float = 1.0) -> tuple[Floats, Floats]:
    """Return the minutes each ring takes with a tool on the edge, and in handling besides.

    Cutting takes a quarter longer for each further sheet of 90 g/m² under the blade; handling does not.
    """
    pace = settings.pace
    cutting = work.knife / pace.knife + work.scissors / pace.scissors
    seconds = work.strokes * pace.stroke + work.corners * pace.corner + work.pierces * pace.pierce
    seconds = seconds + work.turned / 90 * pace.turn + pace.opening
    return cutting * (1 + EACH_SHEET * max(sheets - 1, 0)), seconds / 60


def wear_of(knife: float, settings: PlanSettings, sheets: float = 1.0) -> float:
    """Return the metres that so many mm wear a blade by: more on more sheets or a harder surface."""
    return knife / 1000 * max(sheets, 1) * WEAR[settings.surface]


def blades_for(worn: float, settings: PlanSettings) -> int:
    """Return how many blades so many metres wear out; one at least, for the X that scissors want.

    Examples
    --------
    >>> glass = PlanSettings(surface="glass")
    >>> blades_for(wear_of(12_000, PlanSettings()), PlanSettings()), blades_for(wear_of(12_000, glass), glass)
    (3, 5)
    """
    return max(1, math.ceil(worn / settings.blade - 1e-9))


def rests_after(minutes: Floats, at: Floats, delicacy: Floats, sitting: float, reach: float) -> list[int]:
    """Return after how many openings each sitting but the last ends.

    Parameters
    ----------
    minutes, delicacy : (n,) float array
        Of the openings in turn.
    at : (n, 2) float array
        mm.
    sitting : float
        Minutes, at most; an opening that alone takes longer is a sitting of its own.
    reach : float
        mm.

    Notes
    -----
    In the last third of a sitting the rest is put where the openings just cut and those next to come belong
    together least: far apart, or sturdy. Where every place there would leave a delicate region half done, the
    sitting ends sooner, at the last place that does not; a region that takes longer than a sitting is parted.
    """
    whole = ~_half_done(at, delicacy, reach)
    done = np.concatenate([[0.0], np.cumsum(minutes)])
    rests: list[int] = []
    begun = 0
    while done[-1] - done[begun] > sitting:
        latest = max(begun + 1, int(np.searchsorted(done, done[begun] + sitting, "right")) - 1)
        soonest = max(begun + 1, int(np.searchsorted(done, done[begun] + _SOONEST * sitting)))
        places = [*range(min(soonest, latest), latest + 1)]
        good = [k for k in places if whole[k]] or [k for k in range(begun + 1, latest) if whole[k]][-1:]
        places = good or places
        costs = [_torn(k, at, delicacy, reach) for k in places]
        # Of equally good places the latest.
        begun = places[len(costs) - 1 - int(np.argmin(costs[::-1]))]
        rests.append(begun)
    return rests


def _half_done(at: Floats, delicacy: Floats, reach: float) -> Flags:
    """Say of each rest, before the opening of that turn, whether it would part a delicate region."""
    frail = np.flatnonzero(delicacy >= _FRAIL)
    beside = cKDTree(at[frail]).query_pairs(_REGION * reach, output_type="ndarray") if len(frail) else []
    first, second = np.sort(frail[np.asarray(beside, int).reshape(-1, 2)], axis=1).T
    change = np.bincount(first + 1, minlength=len(at) + 2) - np.bincount(second + 1, minlength=len(at) + 2)
    parted: Flags = np.cumsum(change) > 0
    return parted


def _torn(rest: int, at: Floats, delicacy: Floats, reach: float) -> float:
    """Return how much a rest parts: nearness times the lesser delicacy of the openings on either side."""
    before, after = slice(max(0, rest - _BESIDE), rest), slice(rest, rest + _BESIDE)
    apart = np.hypot(*(at[before, None] - at[None, after]).transpose(2, 0, 1))
    lesser = np.minimum(delicacy[before, None], delicacy[None, after])
    return float((np.exp(-apart / reach) * lesser).sum())


@dataclass(frozen=True, slots=True)
class Measures:
    """What a grade is made from.

    Attributes
    ----------
    narrowest : float
        The narrowest strap, mm; infinite where there is none near.
    smallest : float
        Radius of the largest disc in the smallest opening, mm.
    density : float
        Openings per 100 cm² of the piece.
    tight : float
        Share of the length on curves of under 5 mm radius.
    sharp : int
        Corners of waste under 70°.
    hours : float
    """

    narrowest: float
    smallest: float
    density: float
    tight: float
    sharp: int
    hours: float


def grade_of(measures: Measures) -> Grade:
    """Return the grade and what brings a piece there.

    Examples
    --------
    >>> grade_of(Measures(narrowest=3, smallest=4, density=12, tight=0, sharp=0, hours=0.4)).value
    1
    """
    grades = {name: _grade(name, getattr(measures, name)) for name in THRESHOLDS}
    value = sorted(grades.values())[-2]
    words = {
        "narrowest": f"narrowest strap {_mm(measures.narrowest)}",
        "smallest": f"smallest opening {_mm(2 * measures.smallest)} across",
        "density": f"{measures.density:.0f} openings per 100 cm²",
        "tight": f"{100 * measures.tight:.0f} % of the edge on curves under 5 mm radius",
        "sharp": f"{measures.sharp} sharp corners",
        "hours": f"{measures.hours:.1f} hours",
    }
    return Grade(value, tuple(words[name] for name in THRESHOLDS if grades[name] >= value))


def _grade(name: str, measure: float) -> int:
    bounds = THRESHOLDS[name]
    if bounds[0] > bounds[-1]:
        return 1 + sum(measure < bound for bound in bounds)
    return 1 + bisect_right(bounds, measure)


def _mm(length: float) -> str:
    return "wide" if math.isinf(length) else f"{format_mm(length, 2)} mm"
