"""Lettering as large as its panel allows: in several lines, and only as large as holds."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon, box

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm

from .layout import MeasuredLine, letter_on_line, line_spacing, measure_line
from .refused import TooLong
from .shaping import require_text
from .text import BETWEEN_LETTERS, Letters, require_size, shape_text, space_by_eye

__all__ = ["AIR", "block_of", "fit_lettering", "fit_size", "fit_what_holds", "lay_out"]

AIR = 0.12
"""Letter heights of white kept round a block of lettering: it should not touch its frame for the eye."""

MOST_LINES = 6

_SHRINK = 0.97
"""Stout letters are larger than the face's; where that takes them over the edge, this share is tried next."""

_LESS = 0.94
"""And this, where a letter has lost its form."""

_TRIES = 8

Made = TypeVar("Made")

_CLOSE = 0.005
"""Sizes are found to this share."""

Bands = Callable[[Letters, float], Sequence[tuple[float, float]]]
"""Gives the rails at a height, as `fit_lettering` is told of them."""


class _Moved(NamedTuple):
    """A height at which a block finds a place, and how it is moved there; mm."""

    size: float
    dx: float
    dy: float


def fit_size(make: Callable[[float], Made | None], *, least: float, most: float) -> Made | None:
    """Return what `make` gives at the largest size between `least` and `most` at which it gives anything."""
    best = make(most)
    if best is not None:
        return best
    best = make(least)
    if best is None:
        return None
    low, high = least, most
    while high - low > _CLOSE * low:
        half = (low + high) / 2
        made = make(half)
        low, high, best = (half, high, made) if made is not None else (low, half, best)
    return best


def fit_what_holds(
    fit: Callable[..., Letters],
    make: Callable[[Letters], Made],
    most: float,
    *,
    least: float = 0.0,
    again: bool = False,
) -> tuple[Letters, Made]:
    """Set letters as large as there is room, and smaller where making them hold takes them over the edge.

    Parameters
    ----------
    fit : callable
        Gives the lettering, with `most` as the largest height it may take.
    make : callable
        Makes it hold, or raises `DoesNotFit`, with a place where it reaches over the edge.
    most : float
        Largest height of letters, mm.
    least : float
        The least that `fit` takes, mm.
    again : bool
        Whether letters that lose their form are tried once more a little lower: a nook that closes at one
        height may be clear at the next.

    Returns
    -------
    Letters, and what `make` made of them

    Raises
    ------
    DoesNotFit
        If they hold at no height tried; for letters that lose their form, with how much room there is.
    """
    asked = most
    for tries in range(_TRIES):
        letters = fit(most=most)
        try:
            return letters, make(letters)
        except DoesNotFit as error:
            lower = (_LESS if error.at is None else _SHRINK) * letters.size
            if error.at is None and not (again and tries == 0 and lower >= least):
                raise _no_room(error, letters, asked) from None
            if tries == _TRIES - 1 or letters.size <= least:
                raise
            most = max(lower, least)
    raise AssertionError("the last try returns or raises")


def _no_room(error: DoesNotFit, letters: Letters, most: float) -> DoesNotFit:
    """Add to a refusal how much room there is, where it is the panel that keeps the letters small."""
    if letters.size > 0.99 * most:
        return error
    return DoesNotFit(
        f"{error.message} The panel has room for {format_mm(letters.size, 1)} mm: make it larger or the text "
        "shorter.",
        parameter=error.parameter, value=error.value, accepted=error.accepted, at=error.at,
    )  # fmt: skip


def fit_lettering(
    text: str,
    panel: Polygon,
    *,
    least: float,
    most: float,
    lines: int = 1,
    margin: float = 0.0,
    gap: float = 0.0,
    between: float = 0.0,
    bands: Bands | None = None,
    stands: bool = False,
    face: str | Path | None = None,
    weight: float | None = None,
    width: float = 1.0,
    small_capitals: bool = False,
) -> Letters:
    """Lettering as large as a panel allows, in as many lines as suit it, centred.

    Parameters
    ----------
    text : str
        1 to 120 characters; a line break in it is kept, others are made between words.
    panel : Polygon
        mm; any shape, the letters stay inside it.
    least, most : float
        Letter heights to choose from, mm.
    lines : int
        At most so many lines, 1 to 6, default 1.
    margin : float
        Kept clear along the edge of the panel, mm, default 0.
    gap : float
        Least distance between two letters, mm, default 0.
    between : float
        At least so much between the foot of a line and the head of the next, mm, default 0.
    bands : callable, optional
        Gives the rails of letters at a height, bottom and top of each above the baseline, mm: they need room
        too. It is given the letters 1 mm high, all lines on the first one's place, and the height.
    stands : bool
        Whether the last line stands on ground that fills the panel below it: then there is no margin at its
        feet, and the white over the heads is no higher than half a letter.
    face, weight, width, small_capitals
        As for `shape_text`; narrow letters stand closer.

    Returns
    -------
    Letters

    Raises
    ------
    DoesNotFit
        If it does not fit at `least`, with what would.
    BadValue
        If the text cannot be set, or a number is out of range.

    Notes
    -----
    Heights are tried by measure: letters, their spacing and rails scale, so only the block that is chosen is
    drawn. Spaced by eye; lines stand 1.9, 1.5 or 1.3 letter heights apart (ISO 3098, type B). Between layouts
    that fit, the largest letters win, then the fewest lines.

    Examples
    --------
    >>> from shapely import box
    >>> name = fit_lettering("Ex libris Zoë", box(0, 0, 60, 40), least=4, most=20, lines=2)
    >>> len(name.baselines), box(0, 0, 60, 40).covers(name.area)
    (2, True)
    """
    require_size(least, parameter="least")
    require_size(most, parameter="most")
    if least > most:
        raise BadValue(
            f"least is {format_mm(least)} mm and most is {format_mm(most)} mm; least must not be above most.",
            parameter="least", value=least, accepted=f"at most {format_mm(most)} mm",
        )  # fmt: skip
    if not (isinstance(lines, int) and 1 <= lines <= MOST_LINES):
        raise BadValue(
            f"lines is {lines!r}; it takes 1 to {MOST_LINES}.", parameter="lines", value=lines,
            accepted=f"1 to {MOST_LINES}",
        )  # fmt: skip
    move = (
        partial(_moved_standing, panel, margin)
        if stands
        else partial(_moved_inside, panel.buffer(-margin) if margin > 0 else panel)
    )
    setting: dict[str, Any] = {
        "face": face, "weight": weight, "width": width, "small_capitals": small_capitals,
    }  # fmt: skip
    measured = []
    for rows in lay_out(require_text(text, lines=True), lines):
        set_ = [measure_line(row, **setting) for row in rows]
        together = block_of([line.letters for line in set_])
        measured.append(_Measured(rows, set_, together, gap, between, None if stands else bands))
    best: tuple[_Moved, _Measured] | None = None
    for block in measured:
        moved = fit_size(partial(_moved, move, block), least=least, most=most)
        if moved is not None and (best is None or moved.size > best[0].size * (1 + 2 * _CLOSE)):
            best = moved, block
    if best is None:
        raise _too_long(text, panel, [block.taken(least).hull for block in measured], least, margin)
    (size, dx, dy), block = best
    return _block(block.rows, size, gap=gap, between=between, **setting).moved(dx, dy)


_UNBROKEN = r"[^\s-]+-+(?=\w)|\S+\s*?(?:\s|$)"
"""What is not broken over two lines: a word with the space after it, or its part up to a hyphen."""


def lay_out(text: str, lines: int) -> list[tuple[str, ...]]:
    """Return the text in 1, 2 … lines, broken between words where the lines come out most alike.

    Examples
    --------
    >>> lay_out("Ex libris Zoë Ruñ", 2)
    [('Ex libris Zoë Ruñ',), ('Ex libris', 'Zoë Ruñ')]
    """
    given = tuple(row.strip() for row in text.split("\n") if row.strip())
    if len(given) > 1:
        return [given]
    words = re.findall(_UNBROKEN, text)
    found = []
    for count in range(1, min(lines, len(words)) + 1):
        breaks = combinations(range(1, len(words)), count - 1)
        ways = [
            tuple("".join(words[i:j]).strip() for i, j in zip((0, *cut), (*cut, len(words)), strict=True))
            for cut in breaks
        ]
        found.append(min(ways, key=lambda rows: max(len(row) for row in rows)))
    return found


def _block(
    rows: Sequence[str], size: float, *, gap: float, between: float, face: str | Path | None,
    weight: float | None, width: float, small_capitals: bool,
) -> Letters:  # fmt: skip
    """Set lines under each other, centred on x = 0, the foot of the last on y = 0."""
    apart = _apart(rows, size, between)
    set_ = []
    for k, row in enumerate(rows):
        shaped = shape_text(
            row, size=size, face=face, weight=weight, width=width, small_capitals=small_capitals
        )
        line = space_by_eye(shaped, gap=gap, white=BETWEEN_LETTERS * width)
        set_.append(letter_on_line(line, middle=(0.0, (len(rows) - 1 - k) * apart)))
    return block_of(set_)


def block_of(lines: Sequence[Letters]) -> Letters:
    """Return several lines in place as one lettering."""
    return replace(
        lines[0], text=re.sub(r"(?<=\w-) ", "", " ".join(line.text for line in lines)),
        each=tuple(one for line in lines for one in line.each),
        baselines=tuple(b for line in lines for b in line.baselines),
        guides=tuple(g for line in lines for g in line.guides),
    )  # fmt: skip


class _Taken(NamedTuple):
    """What letters and rails take at a height, and where the eye sees the foot and the head of the block."""

    hull: Polygon
    low: float
    high: float
    size: float


@dataclass(frozen=True, slots=True, eq=False)
class _Measured:
    """Lines under each other, measured at any height from letters 1 mm high: nothing is drawn anew."""

    rows: Sequence[str]
    lines: Sequence[MeasuredLine]
    letters: Letters
    gap: float
    between: float
    bands: Bands | None

    def taken(self, size: float) -> _Taken:
        """Return what the lines take at a height, with their rails; the last baseline lies on y = 0."""
        apart = _apart(self.rows, size, self.between)
        tops = [(len(self.lines) - 1 - k) * apart for k in range(len(self.lines))]
        reach = [
            size * line.reach(self.gap / size) + (0.0, top)
            for line, top in zip(self.lines, tops, strict=True)
        ]
        points = np.concatenate(reach)
        rails = self.bands(self.letters, size) if self.bands else []
        low = min([0.0, *(bottom for bottom, _ in rails)])
        high = tops[0] + max([size, *(top for _, top in rails)])
        left, right = points[:, 0].min(), points[:, 0].max()
        corners = [(left, low), (left, high), (right, low), (right, high)]
        return _Taken(shapely.multipoints(np.vstack([points, corners])).convex_hull, low, high, size)


def _moved(move: Callable[[_Taken], _Moved | None], block: _Measured, size: float) -> _Moved | None:
    """Return how a block at a height is moved into its place, where it finds one."""
    return move(block.taken(size))


def _apart(rows: Sequence[str], size: float, between: float) -> float:
    """Return the distance from one baseline to the next."""
    return max(line_spacing("".join(rows[1:]) or rows[0], size), size + between)


def _moved_inside(clear: Polygon, taken: _Taken) -> _Moved | None:
    """Return by how much the block is moved to lie inside the clear area; None if it does not fit there."""
    if clear.is_empty:
        return None
    x0, y0, x1, y1 = clear.bounds
    a0, b0, a1, b1 = taken.hull.bounds
    if a1 - a0 > x1 - x0 or b1 - b0 > y1 - y0:
        return None
    hull = taken.hull.buffer(AIR * taken.size)
    middle = clear.centroid
    # The eye centres letters and rails, whatever hangs below or stands above them.
    seen = (taken.low + taken.high) / 2
    for lift in _LIFTS:
        dx, dy = middle.x - (a0 + a1) / 2, middle.y - seen + lift * (y1 - y0)
        if clear.covers(affinity.translate(hull, dx, dy)):
            return _Moved(taken.size, dx, dy)
    return None


def _moved_standing(panel: Polygon, margin: float, taken: _Taken) -> _Moved | None:
    """Return by how much it is moved to have air on all sides but the one it stands on, inside the panel."""
    a0, b0, a1, b1 = taken.hull.bounds
    x0, y0, x1, y1 = panel.bounds
    room = (y1 - y0) - (b1 - b0)
    air = AIR * taken.size + margin
    if a1 - a0 > x1 - x0 or room < 0:
        return None
    hull = taken.hull.buffer(air).intersection(box(a0 - air, b0, a1 + air, b1 + air))
    dx, high = panel.centroid.x - (a0 + a1) / 2, max(air, _sky(room, taken.size))
    for lift in (0.0, *(lift for lift in _LIFTS if lift)):
        dy = y1 - high - b1 + lift * (y1 - y0)
        if panel.covers(affinity.translate(hull, dx, dy)):
            return _Moved(taken.size, dx, dy)
    return None


def _sky(room: float, size: float) -> float:
    """Return the white over the heads of letters that stand on ground, given the room there is in all."""
    share, letters, most = _SKY
    return min(share * room, max(letters * size, most * room))


_SKY = (0.6, 0.5, 0.4)
"""Of the room that is left, at most; of their height, or of the room where that is more."""

_LIFTS = (0.0, 0.03, -0.03, 0.06, -0.06, 0.1, -0.1, 0.15, -0.15, 0.2, -0.2)
"""Shares of the panel's height a block may be moved by from the middle, nearest first."""


def _too_long(text: str, panel: Polygon, taken: Sequence[Polygon], least: float, margin: float) -> TooLong:
    round_it = 2 * (margin + AIR * least)
    a0, b0, a1, b1 = min((area.bounds for area in taken), key=lambda b: b[2] - b[0])
    x0, y0, x1, y1 = panel.bounds
    return TooLong(
        text, least, takes=(a1 - a0 + round_it, b1 - b0 + round_it), room=(x1 - x0, y1 - y0),
        boxed=panel.area > 0.99 * (x1 - x0) * (y1 - y0),
    )  # fmt: skip
