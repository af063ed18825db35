"""Raised letters welded to each other, with no rail: a link from each to the next, bars at the ends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Point, box
from shapely.ops import substring

from canivet.audit.boundary import GRID, Paper
from canivet.motifs.lettering._held.holding import MARGIN, bar_along, lay_band
from canivet.motifs.lettering._outlines import as_multi
from canivet.motifs.lettering.text import Letter, Letters

__all__ = ["weld_lines"]

_SUNK = 0.6
"""Widths of a bar that it runs on into a letter."""

_LEVELS = 41
"""Levels at which a link between two letters is tried."""

_LOW = 0.25
"""mm that a link may be longer for each mm that it lies nearer the foot, where a reader overlooks it."""

_STOUT = 0.12
"""Letter heights: the bars at the ends of a line are at least so wide, since all hangs on them."""

Side = Literal["left", "right"]
Band = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class _Stout:
    """A letter in place, and its stout area in the letter's own frame."""

    letter: Letter
    body: MultiPolygon


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    """A line of text: what its feet stand on, and its words."""

    guide: LineString
    words: list[list[_Stout]]


def weld_lines(letters: Letters, bodies: Sequence[MultiPolygon], strap: float) -> list[Paper]:
    """Return what joins letters: a link between neighbours, a bar from word to word, bars out at both ends.

    Parameters
    ----------
    letters : Letters
        In place.
    bodies : sequence of MultiPolygon
        The stout areas of those that are no spaces, each in its letter's own frame.
    strap : float
        mm.

    Returns
    -------
    list of Paper
        Where it stands in the piece. The bars at the ends follow the line as far as its guide goes.

    Notes
    -----
    A link is level and lies where the two letters are near each other, by preference at the foot. Bars lie at
    the foot; the ends have a second one at the height of the small letters if the letters at both ends meet
    it. They pass under signs that hang in the air, such as quotation marks, to the letter beside them.
    """
    wide = strap + MARGIN
    found: list[Paper] = []
    for line in _lines(letters, bodies):
        for word in line.words:
            found += [_link(one, other, wide) for one, other in pairwise(word) if not _joined(one, other)]
        for before, after in pairwise(line.words):
            found.append(_between(line.guide, _standing(before[::-1], wide), _standing(after, wide), wide))
        first, last = _standing(line.words[0], wide), _standing(line.words[-1][::-1], wide)
        found += _ends(line.guide, first, last, letters, wide)
    return found


def _lines(letters: Letters, bodies: Sequence[MultiPolygon]) -> list[_Line]:
    """Return the lines of text with their words."""
    lines = [_Line(guide, []) for guide in letters.guides]
    left = iter(bodies)
    apart, before = True, lines[0]
    for one in letters.each:
        if one.blank:
            apart = True
            continue
        line = min(lines, key=lambda line: line.guide.distance(Point(one.at)))
        if apart or line is not before:
            line.words.append([])
        line.words[-1].append(_Stout(one, next(left)))
        apart, before = False, line
    return [line for line in lines if line.words]


def _joined(one: _Stout, other: _Stout) -> bool:
    """Whether the face itself joins them, as in Arabic."""
    return one.letter.joined and other.letter.joined


def _link(one: _Stout, other: _Stout, wide: float) -> Paper:
    """Return a level bar from a letter to the next; nothing if they are welded as they stand."""
    body = one.body
    beside = as_multi(one.letter.bring(other.letter.put(other.body)))
    shared = shapely.get_parts(body.intersection(beside))
    if len(shared) and np.ptp(shapely.bounds(shared)[:, [1, 3]], axis=1).max() >= wide:
        return MultiPolygon()
    low, high = (f(body.bounds[k], beside.bounds[k]) for f, k in ((max, 1), (min, 3)))
    best: tuple[float, Paper] | None = None
    levels = np.linspace(low, high - wide, _LEVELS) if high - low > wide else [(low + high - wide) / 2]
    for bottom in levels:
        band = (float(bottom), float(bottom) + wide)
        start, end = _edge(body, band, "right", wide), _edge(beside, band, "left", wide)
        if start is None or end is None:
            continue
        cost = max(0.0, end - start) + _LOW * abs(band[0])
        if best is None or cost < best[0] - 10 * GRID:
            best = (cost, box(min(start, end), band[0], max(start, end), band[1]))
    bar = best[1] if best else bar_along(shapely.shortest_line(body, beside), wide)
    return one.letter.put(as_multi(bar))


def _between(guide: LineString, one: _Stout, other: _Stout, wide: float) -> Paper:
    """Return a bar at the foot from a word to the next; a link where they do not both stand on it."""
    foot = (0.0, wide)
    start, end = _edge(one.body, foot, "right", wide), _edge(other.body, foot, "left", wide)
    if start is None or end is None:
        return _link(one, other, wide)
    return _bar(guide, (one.letter, start), (other.letter, end), foot)


def _standing(word: Sequence[_Stout], wide: float) -> _Stout:
    """Return the first letter that stands on the foot; the first one where none does."""
    return next((one for one in word if _edge(one.body, (0.0, wide), "left", wide) is not None), word[0])


def _ends(guide: LineString, first: _Stout, last: _Stout, letters: Letters, wide: float) -> list[Paper]:
    """Return the bars from the first and the last letter out to either side."""
    stout = max(wide, _STOUT * letters.size)
    bands = ((0.0, stout), (letters.x_height - stout, letters.x_height))
    left = {band: x for band in bands if (x := _edge(first.body, band, "left", wide)) is not None}
    right = {band: x for band in bands if (x := _edge(last.body, band, "right", wide)) is not None}
    both = left.keys() & right.keys()
    left = {band: left[band] for band in both or left} or _at_middle(first, stout)
    right = {band: right[band] for band in both or right} or _at_middle(last, stout)
    bars = [_bar(guide, None, (first.letter, x), band) for band, x in left.items()]
    return bars + [_bar(guide, (last.letter, x), None, band) for band, x in right.items()]


def _at_middle(one: _Stout, wide: float) -> dict[Band, float]:
    """Return the band through the middle of a sign that no other meets, and how far along that is."""
    x, y = one.body.centroid.x, one.body.centroid.y
    return {(y - wide / 2, y + wide / 2): x}


def _edge(body: MultiPolygon, band: Band, side: Side, wide: float) -> float | None:
    """Return how far a bar in a level band runs to be sunk into a letter from one side; None if it misses."""
    x0, _, x1, _ = body.bounds
    met = shapely.bounds(shapely.get_parts(box(x0 - 1, band[0], x1 + 1, band[1]).intersection(body)))
    # A tip that only looks into the band is no hold.
    met = met[met[:, 3] - met[:, 1] > 0.6 * (band[1] - band[0])]
    if len(met) == 0:
        return None
    return float(met[:, 0].min() + _SUNK * wide) if side == "left" else float(met[:, 2].max() - _SUNK * wide)


def _bar(
    guide: LineString, start: tuple[Letter, float] | None, end: tuple[Letter, float] | None, band: Band
) -> Paper:
    """Return a bar along a guide from one letter to another, or on over the guide's own end."""
    s0 = 0.0 if start is None else _station(guide, *start)
    s1 = float(guide.length) if end is None else _station(guide, *end)
    return lay_band(substring(guide, s0, s1), band) if s1 - s0 > GRID else MultiPolygon()


def _station(guide: LineString, letter: Letter, x: float) -> float:
    """Return how far along a guide a place on a letter's own baseline is."""
    (x0, y0), turn = letter.at, letter.turn
    return float(guide.project(Point(x0 + x * math.cos(turn), y0 + x * math.sin(turn))))
