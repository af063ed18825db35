"""How difficult a piece is, from 1 for a first piece to 5.

Each measure has its own grade by the thresholds below; the piece has the highest grade that at least two of them
reach, so that one extreme alone does not make a piece hard. The thresholds are *common practice*, no source.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from canivet.lengths import format_mm

from .steps import Grade

__all__ = ["THRESHOLDS", "Measures", "grade_of"]

THRESHOLDS = {
    "narrowest": (2.0, 1.5, 1.0, 0.7),
    "smallest": (1.5, 1.0, 0.6, 0.4),
    "density": (30, 80, 160, 300),
    "tight": (0.10, 0.25, 0.45, 0.65),
    "sharp": (20, 80, 250, 800),
    "hours": (1, 3, 8, 20),
}
"""Where grades 2, 3, 4 and 5 begin. The first two count when they are under it, the others from it on."""


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
