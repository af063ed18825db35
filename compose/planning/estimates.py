"""How long it takes, how many blades, when to rest.

Every constant here is *common practice*, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from canivet.audit.boundary import Floats
from canivet.stock import THICKNESS_BY_GRAMMAGE, Stock

from .settings import PlanSettings
from .steps import Pierce, Stroke

__all__ = ["Work", "blades_for", "minutes_of", "rests_after", "sheets_under", "work_of"]

EACH_SHEET = 0.25
"""How much longer cutting takes for every further sheet of 90 g/m² under the blade."""

WEAR = {"mat": 1.0, "cardboard": 1.25, "glass": 2.0}
"""How much sooner a blade is dull on each surface."""

_SOONEST = 0.7
"""Of a sitting: from then on the best place to rest is looked for."""

_BESIDE = 6
"""Openings before and after a rest that should not belong together."""


@dataclass(frozen=True, slots=True)
class Work:
    """What there is to do: mm by tool, and how many strokes, corners into which scissors come back, and X."""

    knife: float
    scissors: float
    strokes: int
    corners: int
    pierces: int


def work_of(strokes: Sequence[Stroke], pierce: Pierce | None = None) -> Work:
    """Return the work in some strokes and the X before them."""
    knife = math.fsum(stroke.length for stroke in strokes if stroke.tool == "knife")
    scissors = math.fsum(stroke.length for stroke in strokes if stroke.tool == "scissors")
    corners = sum(stroke.from_below for stroke in strokes)
    return Work(knife, scissors, len(strokes), corners, 0 if pierce is None else 1)


def sheets_under(stock: Stock, layers: int) -> float:
    """Return what lies under the blade, in sheets of 90 g/m².

    Examples
    --------
    >>> sheets_under(Stock.of(grammage=90), 4), round(sheets_under(Stock.of(grammage=120), 1), 2)
    (4.0, 1.33)
    """
    return layers * stock.thickness / THICKNESS_BY_GRAMMAGE[90.0]


def minutes_of(work: Work, turned: float, settings: PlanSettings, sheets: float = 1.0) -> float:
    """Return the minutes some work takes, with so many degrees of turning, one opening at a time.

    Cutting itself takes a quarter longer for each further sheet under the blade; the rest does not.
    """
    pace = settings.pace
    cutting = work.knife / pace.knife + work.scissors / pace.scissors + work.pierces * pace.pierce / 60
    slower = 1 + EACH_SHEET * max(sheets - 1, 0)
    handling = (
        work.strokes * pace.stroke + work.corners * pace.corner + turned / 90 * pace.turn + pace.opening
    )
    return cutting * slower + handling / 60


def blades_for(knife: float, settings: PlanSettings, sheets: float = 1.0) -> int:
    """Return how many blades so many mm of knife cut take; one at least, for the X that scissors want.

    Examples
    --------
    >>> blades_for(12_000, PlanSettings()), blades_for(12_000, PlanSettings(surface="glass"))
    (3, 5)
    """
    worn = knife / 1000 * max(sheets, 1) * WEAR[settings.surface]
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
    together least: far apart, or sturdy.
    """
    done = np.concatenate([[0.0], np.cumsum(minutes)])
    rests: list[int] = []
    begun = 0
    while done[-1] - done[begun] > sitting:
        latest = max(begun + 1, int(np.searchsorted(done, done[begun] + sitting, "right")) - 1)
        soonest = max(begun + 1, int(np.searchsorted(done, done[begun] + _SOONEST * sitting)))
        places = range(min(soonest, latest), latest + 1)
        costs = [_torn(k, at, delicacy, reach) for k in places]
        # Of equally good places the latest.
        begun = places[len(costs) - 1 - int(np.argmin(costs[::-1]))]
        rests.append(begun)
    return rests


def _torn(rest: int, at: Floats, delicacy: Floats, reach: float) -> float:
    """Return how much a rest parts: nearness times the lesser delicacy of the openings on either side."""
    before, after = slice(max(0, rest - _BESIDE), rest), slice(rest, rest + _BESIDE)
    apart = np.hypot(*(at[before, None] - at[None, after]).transpose(2, 0, 1))
    lesser = np.minimum(delicacy[before, None], delicacy[None, after])
    return float((np.exp(-apart / reach) * lesser).sum())
