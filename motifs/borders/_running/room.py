"""The room a band offers a flowing border, and how many repeats of one fit it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.borders.band import Band, lay_band, recount

__all__ = ["FLAT", "Proportions", "Room", "check_depth", "check_repeat", "counts_for", "room_in"]

FLAT = 0.012
"""mm added to each strap for what flattening and thinning of curves may take from it."""

_LONGEST = 2.0
"""How much longer than suits it an ornament may be asked for."""

_EDGE = 1e-6


@dataclass(frozen=True, slots=True)
class Room:
    """What a band offers a flowing border, in mm.

    Attributes
    ----------
    band : Band
        Runs and corners.
    depth : float
        Between the rails.
    strap, smallest : float
        As asked, and what flattening may take from them.
    """

    band: Band
    depth: float
    strap: float
    smallest: float


class Proportions(Protocol):
    """What an ornament says of its own size, in mm."""

    @property
    def least_depth(self) -> float:
        """Return the depth between the rails at which it can just be cut."""

    @property
    def natural(self) -> float:
        """Return the repeat that suits it."""

    @property
    def least(self) -> float:
        """Return the shortest repeat in which it can be cut."""


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
    rail = strap * (1 + float(max(turns)) / 2) + laid.slack + FLAT
    return Room(laid, band - rim - laid.slack - FLAT - rail, rail, smallest + laid.slack + FLAT)


def check_depth(room: Room, least: float) -> None:
    """Refuse a band that leaves an ornament less depth than it needs.

    Raises
    ------
    DoesNotFit
        With the band that would do.
    """
    if room.depth < least - _EDGE:
        wide = room.band.runs[0].band
        accepted = f"at least {format_length(wide + least - room.depth + 0.01, 2)}"
        raise DoesNotFit(
            f"band is {format_length(wide)}; this ornament with the straps asked for needs {accepted}. "
            "Widen band, or lower rim, strap or smallest.",
            parameter="band", value=wide, accepted=accepted,
        )  # fmt: skip


def check_repeat(flow: Proportions, repeat: float | None, depth: float) -> None:
    """Refuse a repeat that the ornament cannot be drawn in.

    Raises
    ------
    DoesNotFit
        With the range it takes.
    """
    least, most = flow.least, _LONGEST * flow.natural
    if repeat is None or least <= repeat <= most:
        return
    accepted = f"{format_mm(least, 2)} to {format_mm(most, 2)} mm"
    raise DoesNotFit(
        f"repeat is {format_length(repeat)}; this ornament, {format_length(depth, 2)} deep between its "
        f"rails, takes {accepted}. {'Raise' if repeat < least else 'Lower'} repeat, or leave it out.",
        parameter="repeat", value=repeat, accepted=accepted,
    )  # fmt: skip


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
        raise _too_short(room, min(lengths), least * fewest)
    return best


def _too_short(room: Room, length: float, least: float) -> DoesNotFit:
    wide = room.band.runs[0].band
    return DoesNotFit(
        f"band is {format_length(wide)}; half a side of {format_length(length, 1)} inside it does not take a "
        f"repeat of this ornament, which needs at least {format_length(least, 1)}. Narrow band, lower strap "
        "or smallest, or enlarge the piece.",
        parameter="band", value=wide, accepted=f"half sides of at least {format_length(least, 1)} inside it",
    )  # fmt: skip
