"""The ways words may be set: raised or cut out, as written or in capitals, in one cut of a face or other."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from shapely.geometry import Polygon

from canivet.motifs.lettering.cuts import Cut, cuts_of
from canivet.motifs.lettering.layout import Side
from canivet.motifs.lettering.raised import Rails

from .curves import Along

__all__ = ["Case", "Chosen", "Mode", "Setting", "spelt", "ways_to_set"]

Mode = Literal["raised", "cut out"]

Case = Literal["as needed", "as written", "capitals", "small capitals"]


@dataclass(frozen=True, slots=True)
class Chosen:
    """How words are set, chosen beforehand: in capitals or as written, in which cut, how high (mm)."""

    capitals: bool
    cut: Cut
    size: float


@dataclass(frozen=True, slots=True)
class Setting:
    """How words are set in their panel, in whatever cut and height; each as for `place_lettering`."""

    strap: float
    smallest: float
    mode: Mode
    along: Along
    lines: int
    rails: Rails
    side: Side
    curve: tuple[float, float] | None = None
    centre: tuple[float, float] | None = None
    bend: float | None = None
    small_capitals: bool = False

    @property
    def raised(self) -> bool:
        """Return whether letters are paper, in an opening."""
        return self.mode == "raised"

    def on_band(self, panel: Polygon) -> bool:
        """Say whether letters get a band of their own round the edge of their panel."""
        return self.raised and self.along == "oval" and not panel.interiors


def ways_to_set(
    letters: Case, face: str | Path | None, mode: Mode, narrowest: float, *, weight: float | None = None
) -> list[tuple[bool, Cut]]:
    """Return how words may be set, in the order it is tried: in capitals or as written, and the cut."""
    spelt = {"capitals": [True], "as needed": [False, True]}.get(letters, [False])
    cuts = cuts_of(face, mode, weight=weight, narrowest=narrowest)
    return [(capitals, cut) for capitals in spelt for cut in cuts]


def spelt(text: str, capitals: bool) -> str:
    """Return words as they are spelt in one way of setting them."""
    return text.upper() if capitals else text
