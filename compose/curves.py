"""Words on a curve: the arc or oval that a text of some length takes in its panel."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering.fit import AIR, fit_size
from canivet.motifs.lettering.layout import Side, letter_round_oval
from canivet.motifs.lettering.text import Letters, require_size, space_by_eye

__all__ = ["ROUND", "Along", "all_the_way_round", "fit_curve"]


Along = Literal["line", "arc", "oval"]


_TRIES = 8


ROUND = 5.2
"""Radians of a ring that raised letters may take: a sixth of it stays to hold what is within."""


_RISE = 0.22
"""Share of the panel's height that an arc rises by, where no curve is given."""


_BOW = 0.2
"""Share of its own length that it rises by at most: a short word stands on a gentle curve too."""


def fit_curve(
    panel: Polygon, set_: Callable[..., Letters], *, along: Along, side: Side,
    curve: tuple[float, float] | None, centre: tuple[float, float] | None,
    least: float, most: float, margin: float, gap: float,
) -> Letters:  # fmt: skip
    """Return the largest letters that stand on the curve inside the panel."""
    require_size(least, parameter="least")
    require_size(most, parameter="most")
    clear = panel.buffer(-margin)

    def attempt(size: float) -> Letters | None:
        set_line = set_(size=size)
        line = space_by_eye(set_line, gap=gap)
        for way in _curves(panel, line, along, side, curve, centre):
            placed = _spread(set_line, way, side, gap)
            if placed is not None and clear.covers(placed.area.buffer(AIR * size)):
                return placed
        return None

    if least > most:
        raise BadValue(
            f"least is {format_mm(least)} mm and most is {format_mm(most)} mm; least must not be above most.",
            parameter="least", value=least, accepted=f"at most {format_mm(most)} mm",
        )  # fmt: skip
    placed = fit_size(attempt, least=least, most=most)
    if placed is None:
        x0, y0, x1, y1 = panel.bounds
        text = set_(size=least).text
        raise DoesNotFit(
            f"{text!r} at a letter height of {format_mm(least, 2)} mm does not fit round the {along} in a "
            f"panel of {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm. Make the panel larger, "
            "shorten the text, or lower least.",
            parameter="least", value=least,
        )  # fmt: skip
    return placed


def _spread(
    line: Letters, way: tuple[tuple[float, float], float, float], side: Side, gap: float
) -> Letters | None:
    """Put a line on a curve, drawn apart until its letters keep their distance; None if it is too tight."""
    wanted = gap
    for _ in range(_TRIES):
        spaced = space_by_eye(line, gap=wanted)
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
) -> list[tuple[tuple[float, float], float, float]]:  # fmt: skip
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


def all_the_way_round(letters: Letters) -> DoesNotFit:
    """Return the refusal of words that go nearly all the way round."""
    return DoesNotFit(
        f"{letters.text!r} goes nearly all the way round its ring; too little would hold what is within. "
        "Lower most or shorten the text.",
        parameter="most", value=letters.size,
    )  # fmt: skip
