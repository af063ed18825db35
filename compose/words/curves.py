"""Words on a curve: the arc or oval that a text of some length takes in its panel."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import Literal

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering.fit import AIR, block_of, fit_size, lay_out
from canivet.motifs.lettering.layout import Side, letter_round_oval, line_spacing
from canivet.motifs.lettering.shaping import require_text
from canivet.motifs.lettering.text import BETWEEN_LETTERS, Letters, require_size, space_by_eye

__all__ = ["Along", "band_in", "fit_curve", "part_beside"]


Along = Literal["line", "rising", "arc", "oval"]


Way = tuple[tuple[float, float], float, float]
"""An oval that feet stand on: centre, width and height."""

_TRIES = 8

_LARGER = 1.01
"""More lines are taken only where they are larger by this share."""

_SEEN = 0.44
"""Letter heights from the feet to the middle of what the eye sees: capitals, and the rail below them."""


_ROUND = 5.2
"""Radians of a ring that raised letters may take: a sixth of it stays to hold what is within."""


_RISE = 0.22
"""Share of the panel's height that an arc rises by, where no curve is given."""


_BOW = 0.2
"""Share of its own length that it rises by at most: a short word stands on a gentle curve too."""


def fit_curve(
    panel: Polygon, text: str, set_: Callable[..., Letters], *, along: Along, side: Side,
    curve: tuple[float, float] | None, centre: tuple[float, float] | None, bend: float | None,
    least: float, most: float, lines: int, margin: float, gap: float, between: float, width: float,
) -> Letters:  # fmt: skip
    """Return the largest letters that stand on the curve inside the panel; on arcs in several lines."""
    require_size(least, parameter="least")
    require_size(most, parameter="most")
    clear = panel.buffer(-margin)
    clean = require_text(text, lines=True)
    white = BETWEEN_LETTERS * width

    def attempt(rows: Sequence[str], size: float) -> Letters | None:
        given = [set_(row, size=size) for row in rows]
        longest = max((space_by_eye(line, gap=gap, white=white) for line in given), key=_length)
        if bend is not None and centre is not None:
            ways = [_bent(bend, centre, size)]
        else:
            ways = _curves(panel, longest, along, side, curve, centre)
        for way in ways:
            placed = _stacked(given, rows, way, side, gap, between, white)
            if placed is not None and clear.covers(placed.area.buffer(AIR * size)):
                return placed
        return None

    if least > most:
        raise BadValue(
            f"least is {format_mm(least)} mm and most is {format_mm(most)} mm; least must not be above most.",
            parameter="least", value=least, accepted=f"at most {format_mm(most)} mm",
        )  # fmt: skip
    placed: Letters | None = None
    for rows in lay_out(clean, lines) if along == "arc" else [(" ".join(clean.split()),)]:
        made = fit_size(partial(attempt, rows), least=least, most=most)
        if made is not None and (placed is None or made.size > _LARGER * placed.size):
            placed = made
    if placed is None:
        x0, y0, x1, y1 = panel.bounds
        raise DoesNotFit(
            f"{clean!r} at a letter height of {format_mm(least, 2)} mm does not fit round the {along} in a "
            f"panel of {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm. Make the panel larger, "
            "shorten the text, or lower least.",
            parameter="least", value=least,
        )  # fmt: skip
    return placed


def _length(line: Letters) -> float:
    return line.advance


def _bent(bend: float, centre: tuple[float, float], size: float) -> Way:
    """Return where feet stand so that letters are seen in the middle of a bent panel."""
    feet = abs(bend) - math.copysign(_SEEN * size, bend)
    return centre, 2 * feet, 2 * feet


def _stacked(
    lines: Sequence[Letters], rows: Sequence[str], way: Way, side: Side, gap: float, between: float,
    white: float,
) -> Letters | None:  # fmt: skip
    """Put lines on curves side by side, the first the outermost over a top, the innermost along a foot."""
    centre, wide, high = way
    size = lines[0].size
    apart = max(line_spacing("".join(rows[1:]) or rows[0], size), size + between)
    sense = 1 if side == "top" else -1
    placed = []
    for k, line in enumerate(lines):
        out = 2 * sense * apart * ((len(lines) - 1) / 2 - k)
        if min(wide, high) + out <= 0:
            return None
        one = _spread(line, (centre, wide + out, high + out), side, gap, white)
        if one is None:
            return None
        placed.append(one)
    return block_of(placed)


def _spread(line: Letters, way: Way, side: Side, gap: float, white: float) -> Letters | None:
    """Put a line on a curve, drawn apart until its letters keep their distance; None if it is too tight."""
    wanted = gap
    for _ in range(_TRIES):
        spaced = space_by_eye(line, gap=wanted, white=white)
        try:
            placed = letter_round_oval(spaced, centre=way[0], width=way[1], height=way[2], side=side)
        except DoesNotFit:
            return None
        solid = np.array([one.area for one in placed.each if not (one.blank or one.joined)], dtype=object)
        short = gap - float(shapely.distance(solid[:-1], solid[1:]).min()) if len(solid) > 1 else 0.0
        if short <= 0.01 * gap:
            return placed
        wanted += 1.2 * short
    return None


def _curves(
    panel: Polygon, line: Letters, along: Along, side: Side,
    curve: tuple[float, float] | None, centre: tuple[float, float] | None,
) -> list[Way]:  # fmt: skip
    """Return the ovals the feet may stand on, the likeliest first: centre, width and height."""
    x0, y0, x1, y1 = panel.bounds
    middle = centre or ((x0 + x1) / 2, (y0 + y1) / 2)
    if curve is not None:
        return [(middle, *curve)]
    wide, high = x1 - x0, y1 - y0
    if along == "oval":
        if panel.interiors:
            a0, b0, a1, b1 = panel.interiors[0].bounds
            slack = min((wide - (a1 - a0)) / 2, (high - (b1 - b0)) / 2) - line.size
            inset = [slack * share for share in (0.5, 0.4, 0.6, 0.3, 0.7)]
            if side == "top":
                return [(middle, a1 - a0 + 2 * d, b1 - b0 + 2 * d) for d in inset]
            return [(middle, wide - 2 * d, high - 2 * d) for d in inset]
        drawn_in = [(1.6 * line.size if side == "top" else 0.6 * line.size) + d for d in (0, 1, 2, 3)]
        return [(middle, wide - 2 * d, high - 2 * d) for d in drawn_in if min(wide, high) > 2 * d]
    rise = min(_RISE * high, _BOW * line.advance)
    radius = (line.advance / 2) ** 2 / (2 * rise) + rise / 2
    sense = 1 if side == "top" else -1
    seen = sense * (y0 + y1) / 2
    # The block reaches from the feet of its ends to the heads of its middle.
    shifts = [share * high for share in (0, 0.04, -0.04, 0.08, -0.08)]
    ways = []
    for shift in shifts:
        crown = seen + (rise - (line.size if side == "top" else -line.size)) / 2 + shift
        ways.append(((middle[0], sense * (crown - radius)), 2 * radius, 2 * radius))
    return ways


_AIR = 0.8
"""Letter heights of open panel left before and after raised letters on a ring."""


def _all_the_way_round(letters: Letters) -> DoesNotFit:
    """Return the refusal of words that go nearly all the way round."""
    return DoesNotFit(
        f"{letters.text!r} goes nearly all the way round its ring; too little would hold what is within. "
        "Lower most or shorten the text.",
        parameter="most", value=letters.size,
    )  # fmt: skip


def band_in(panel: Polygon, depth: float) -> Polygon:
    """Return the band between the oval that fills a panel and one that lies so deep within it."""
    x0, y0, x1, y1 = panel.bounds
    middle, a, b = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0) / 2, (y1 - y0) / 2
    disc = Point(0, 0).buffer(1, quad_segs=64)
    outer, inner = (
        affinity.translate(affinity.scale(disc, a - d, b - d, origin=(0, 0)), *middle) for d in (0.0, depth)
    )
    ring: Polygon = outer.difference(inner)
    return ring


def part_beside(panel: Polygon, letters: Letters) -> Polygon:
    """Return the part of a ring that the text takes: the rest stays paper and holds what is within."""
    x, y = Polygon(panel.interiors[0]).centroid.coords[0]
    line = shapely.get_coordinates(letters.baselines[0]) - (x, y)
    angles = np.unwrap(np.arctan2(line[:, 1], line[:, 0]))
    ends = angles[[0, -1]]
    pad = _AIR * letters.size / np.hypot(*line[[0, -1]].T)
    sense = math.copysign(1.0, float(ends[1] - ends[0]))
    if abs(ends[1] - ends[0]) + pad.sum() > _ROUND:
        raise _all_the_way_round(letters)
    around = np.linspace(ends[0] - sense * pad[0], ends[1] + sense * pad[1], 181)
    far = 2 * float(np.ptp(np.array(panel.bounds).reshape(2, 2), axis=0).max())
    rim = np.column_stack([x + far * np.cos(around), y + far * np.sin(around)])
    part = panel.intersection(Polygon([(x, y), *rim]))
    if not isinstance(part, Polygon):
        raise _all_the_way_round(letters)
    return part
