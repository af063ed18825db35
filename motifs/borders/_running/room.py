"""The room a band offers a flowing border, and how many repeats of one fit it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.borders._refusals import Ornamented
from canivet.motifs.borders.band import Band, lay_band
from canivet.motifs.borders.counting import recount

__all__ = ["THINNING_LOSS", "Proportions", "Room", "check_height", "counts_for", "room_in"]

THINNING_LOSS = 0.012
"""mm added to each strap for what flattening and thinning of curves may take from it."""

_LONGEST = 2.0
"""How much longer than suits it an ornament may be asked for."""

_EDGE = 1e-6

_SPARE = 0.01
"""mm told over what a band needs: on a curve a wider one needs a little more for its straps."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a band offers a flowing border, in mm.

    Attributes
    ----------
    band : Band
        Runs and corners.
    height : float
        Between the rails.
    strap, smallest : float
        As asked, and what flattening may take from them.
    """

    band: Band
    height: float
    strap: float
    smallest: float

    @property
    def ornamented(self) -> Ornamented:
        """Return the band as a refusal names it."""
        return Ornamented(self.band.width, "this ornament")


class Proportions(Protocol):
    """What an ornament says of its own size, in mm."""

    @property
    def least_height(self) -> float:
        """Return the height between the rails at which it can just be cut."""

    @property
    def natural(self) -> float:
        """Return the repeat that suits it."""

    @property
    def shortest(self) -> float:
        """Return the shortest repeat in which it can be cut."""


def longest(ornament: Proportions) -> float:
    """Return the longest repeat an ornament may be asked for, mm."""
    return _LONGEST * ornament.natural


def room_in(within: Polygon, *, band: float, rim: float, strap: float, smallest: float) -> Room:
    """Lay the band, and take the rim and the inner rail off it.

    Raises
    ------
    DoesNotFit
        If the band cannot be laid.
    """
    laid = lay_band(within, band)
    # a curve's chords lean against their normals by half a turn, which narrows a slanting strap by as much
    turns = [np.hypot(*np.diff(run.inward, axis=0).T).max() for run in laid.runs]
    rail = strap * (1 + float(max(turns)) / 2) + laid.slack + THINNING_LOSS
    return Room(
        laid, band - rim - laid.slack - THINNING_LOSS - rail, rail, smallest + laid.slack + THINNING_LOSS
    )


def check_height(room: Room, least: float) -> None:
    """Refuse a band that leaves an ornament less height than it needs.

    Raises
    ------
    DoesNotFit
        With the band that would do.
    """
    if room.height < least - _EDGE:
        raise room.ornamented.too_narrow(room.band.width + least - room.height + _SPARE)


def counts_for(
    room: Room, lengths: list[float], repeat: float, least: float, *, fewest: int = 1
) -> list[int]:
    """Count repeats for each length, all about as long as asked for and as each other; none under `least`.

    Raises
    ------
    DoesNotFit
        If a length does not take as many as `fewest`.
    """
    best: list[int] = []
    cost = math.inf
    for scale in np.geomspace(0.7, 1.4, 57):
        counts = [recount(length, repeat * scale, least=least) for length in lengths]
        if min(counts) < fewest:
            continue
        each = [length / count for length, count in zip(lengths, counts, strict=True)]
        off = [abs(math.log(long / repeat)) for long in each]
        strain = math.log(max(each) / min(each)) + max(off)
        if strain < cost - 1e-9:
            best, cost = counts, strain
    if not best:
        raise room.ornamented.too_short(min(lengths), least * fewest, half=fewest == 1, number=fewest)
    return best
