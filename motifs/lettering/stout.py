"""One raised letter made stout: strokes thickened, counters opened, marks lifted and tied on short stems."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from canivet.audit.boundary import GRID, Paper
from canivet.errors import BadValue
from canivet.motifs.shapes.rounds import inscribed_radius

from ._held.holding import (
    GROWTH,
    MARGIN,
    CannotHold,
    Counter,
    counters_of,
    lift_marks,
    mend_breaks,
    on_grid,
    union,
    widen,
)
from ._outlines import as_multi
from ._standing.grounds import STANDS
from ._standing.hairs import gripped, hold_marks, is_dot, stem_to
from .text import Letter, Letters

__all__ = ["Rails", "StoutLetter", "rail_bands", "raise_letter"]

Rails = Literal["foot", "both", "bars", "none"]

_RAIL = (1.15, 0.15)
"""A rail is this many straps wide, or this share of the letter height, whichever is more."""

_GAIN = 0.3
"""Share of its area a letter may gain; beyond that it stands out from its neighbours as a blot."""

_SMALL = 0.1
"""Square letter heights: what is smaller is a dot or an accent, which may gain more."""

_MARK = 1.6
"""A dot is at least so many straps across, so that it reads on its hair."""


_WHITE = 0.7
"""Straps of white between a mark and its letter, at least."""

_OPEN = 0.03
"""mm a counter is opened beyond the least, so that it is still open once the letter stands among others."""


@dataclass(frozen=True, slots=True, eq=False)
class StoutLetter:
    """One letter in its own frame; `stem` is there where it hangs in the air, and would hold it."""

    shape: MultiPolygon
    counters: MultiPolygon
    done: tuple[str, ...]
    stem: Polygon | None = None


def rail_bands(letters: Letters, strap: float, rails: Rails) -> list[tuple[float, float]]:
    """Return the bottom and top of each rail, measured from the baseline; no rail for "none"."""
    wide = max(_RAIL[0] * strap, _RAIL[1] * letters.size)
    sunk = STANDS * letters.size
    foot = (sunk - wide, sunk)
    if rails == "none":
        return []
    if rails == "foot":
        return [foot]
    if rails == "both":
        heads = [one.shape.bounds[3] for one in letters.each if not one.blank]
        low = letters.size - sunk
        tall = max((head for head in heads if head < 1.3 * letters.size), default=low)
        return [foot, (low, max(low + wide, tall))]
    if rails == "bars":
        thin = max(1.02 * strap, 0.1 * letters.size)
        return [(sunk - thin, sunk), (letters.x_height - sunk, letters.x_height - sunk + thin)]
    raise BadValue(
        f"rails is {rails!r}; it takes foot, both, bars or none.",
        parameter="rails", value=rails, accepted="foot, both, bars, none",
    )  # fmt: skip


def raise_letter(
    letter: Letter,
    size: float,
    strap: float,
    smallest: float,
    bars: Sequence[tuple[float, float]],
    lean: int = 1,
) -> StoutLetter:
    """Make one letter stout enough, its dots leaning right (1), left (-1) or not; each is made once."""
    made = _raise_shape(letter.shape.wkb, size, strap, smallest, tuple(bars), lean)
    if made is None:
        raise CannotHold
    return made


@lru_cache(maxsize=1024)
def _raise_shape(
    wkb: bytes, size: float, strap: float, smallest: float, bars: tuple[tuple[float, float], ...], lean: int
) -> StoutLetter | None:
    letter = Letter("", mend_breaks(as_multi(shapely.from_wkb(wkb)), size), 0.0)
    try:
        return _raise(letter, size, strap, smallest, bars, lean)
    except CannotHold:
        return None


def _raise(
    letter: Letter, size: float, strap: float, smallest: float, bars: Sequence[tuple[float, float]], lean: int
) -> StoutLetter:
    """Make one letter stout enough, in its own frame, and tie its loose parts.

    Raises
    ------
    CannotHold
        If it would lose its form.
    """
    wide = strap + MARGIN
    done = []
    parts, lifted = lift_marks(_stout_marks(letter.shape, size, strap), max(smallest, _WHITE * strap))
    if lifted:
        done.append("marks lifted")
    whole = []
    inside: list[list[Counter]] = []
    for part in parts:
        body, counters = _stout(part, size, wide, smallest)
        whole.append(body)
        inside.append(counters)
        if body.difference(part).area > 0.01 * size**2:
            done.append("thin strokes thickened")
    rails = [_flat_rail(letter, band) for band in bars]
    hangs = not any(gripped(p, rail) for p in whole for rail in rails)
    kept = [counter for counters in inside for counter in counters]
    within = [bar for bar in (_bar_within(part, kept, wide) for part in whole) if bar is not None]
    firm = [*([whole[0]] if hangs else rails), *within]
    held = hold_marks(whole, firm, wide, smallest, lean)
    shape = union([*held.parts, *within, *held.hairs])
    stem = stem_to(whole[0], shapely.union_all(rails), wide) if hangs and rails else None
    # A mark that was moved takes its own counter along.
    white = [
        affinity.translate(counter.area, *np.subtract(now.bounds[:2], was.bounds[:2]))
        for was, now, counters in zip(whole, held.parts, inside, strict=True)
        for counter in counters
    ]
    counters = as_multi(shapely.difference(white, union([*within, *held.parts])))
    return StoutLetter(as_multi(shape), counters, tuple(done), stem)


def _stout(part: Polygon, size: float, wide: float, smallest: float) -> tuple[Paper, list[Counter]]:
    """Open the counters of one part that are too small, move their walls outward, thicken what is thin."""
    counters = [_opened(counter, size, smallest) for counter in counters_of(part, size)]
    holes = shapely.union_all([c.area for c in counters])
    solid = Polygon(part.exterior)
    walls = shapely.union_all([c.area.buffer(wide, quad_segs=12) for c in counters])
    grown = widen(on_grid(solid.union(walls).difference(holes)), wide)
    radius = smallest / 2
    closed = grown.buffer(radius, quad_segs=12).buffer(-radius, quad_segs=12)
    closed = on_grid(closed.union(grown))
    _require_form(part, closed, counters, size)
    return closed, counters


def _opened(counter: Counter, size: float, smallest: float) -> Counter:
    lacking = smallest + _OPEN - counter.radius
    if lacking <= 0:
        return counter
    if lacking > GROWTH * size:
        raise CannotHold
    return Counter(counter.area.buffer(lacking, quad_segs=16), counter.radius + lacking, counter.centre)


def _require_form(part: Polygon, made: Paper, counters: list[Counter], size: float) -> None:
    """Refuse a letter that has lost a counter or closed a nook, or has grown into another."""
    holes = int(shapely.get_num_interior_rings(shapely.get_parts(made)).sum())
    added = shapely.get_parts(shapely.difference(made, part))
    lost = [shapely.maximum_inscribed_circle(a, tolerance=0.01 * size).length for a in added if a.area > 0]
    if holes != len(counters) or max(lost, default=0) > GROWTH * size:
        raise CannotHold
    if part.area > _SMALL * size**2 and made.area > (1 + _GAIN) * part.area:
        raise CannotHold
    x0, y0, x1, y1 = part.bounds
    a0, b0, a1, b1 = made.bounds
    if max(x0 - a0, y0 - b0, a1 - x1, b1 - y1) > 1.2 * GROWTH * size:
        raise CannotHold


def _stout_marks(shape: MultiPolygon, size: float, strap: float) -> Paper:
    """Enlarge dots and accents that would not be seen on their stems."""
    parts = sorted(shapely.get_parts(shape), key=lambda p: -p.area)
    marks = []
    for part in parts[1:]:
        lacking = _MARK * strap / 2 - inscribed_radius(Polygon(part.exterior), tolerance=GRID)
        if lacking > 0 and is_dot(part):
            if lacking > GROWTH * size:
                raise CannotHold
            part = part.buffer(lacking, quad_segs=12)
        marks.append(part)
    return MultiPolygon([parts[0], *marks]) if marks else shape


def _flat_rail(letter: Letter, band: tuple[float, float]) -> Polygon:
    x0, _, x1, _ = letter.shape.bounds
    wide = x1 - x0
    return box(x0 - wide - 1, band[0], x1 + wide + 1, band[1])


def _bar_within(part: Paper, counters: Sequence[Counter], wide: float) -> Polygon | None:
    """Return a level bar through a part that lies in a counter, as in a Θ, to the walls on both sides."""
    for counter in counters:
        if counter.area.contains(part):
            x0, _, x1, _ = counter.area.bounds
            y = part.centroid.y
            return box(x0 - wide / 2, y - wide / 2, x1 + wide / 2, y + wide / 2).intersection(
                counter.area.buffer(wide / 2)
            )
    return None
