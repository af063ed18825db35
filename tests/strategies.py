"""What property tests draw: seeds, pieces, and requests of every kind. A new family of motifs joins here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st
from shapely.geometry import Polygon

from canivet.motifs import catalogue
from canivet.motifs.outlines import arch, circle, oval, rectangle
from canivet.parameters import Bound

__all__ = [
    "OUTLINES",
    "PLAIN",
    "any_border_request",
    "any_value",
    "on_every_outline",
    "pieces",
    "seeds",
    "sensible_border_request",
]

PLAIN = [rectangle, oval, arch]
"""Straight sides, a ring, and both."""

OUTLINES = [
    *PLAIN,
    *(
        one.draw
        for one in catalogue().values()
        if one.family == "outline" and one.draw not in (*PLAIN, circle)
    ),
]
"""Those of the catalogue that may be higher than they are wide."""

seeds = st.integers(0, 2**32 - 1)


def on_every_outline(width: float, height: float) -> list[Polygon]:
    """One piece of each outline, the circle last."""
    return [*(outline(width=width, height=height) for outline in OUTLINES), circle(width=width)]


@st.composite
def pieces(
    draw: st.DrawFn,
    least: float = 60,
    most: float = 200,
    ratio: tuple[float, float] = (1, 1.6),
    outlines: Sequence[Any] = PLAIN,
) -> Polygon:
    """A piece so wide in mm, its height so many widths."""
    outline = draw(st.sampled_from(outlines))
    width = draw(st.floats(least, most))
    return outline(width=width, height=width * draw(st.floats(*ratio)))


@st.composite
def sensible_border_request(
    draw: st.DrawFn, outlines: Sequence[Any] = OUTLINES, **own: st.SearchStrategy[Any]
) -> tuple[Polygon, dict[str, Any]]:
    """A piece, and a request that any border must meet."""
    within = draw(pieces(60, 200, (1, 1.5), outlines))
    band = draw(st.floats(8, min(16, 0.13 * within.bounds[2] + 3.5)))
    asked = {"band": band, "rim": draw(st.floats(1.6, 2.2)), "strap": draw(st.floats(1, 1.6))}
    return within, asked | {name: draw(values) for name, values in own.items()}


@st.composite
def any_border_request(
    draw: st.DrawFn, outlines: Sequence[Any] = OUTLINES, **own: st.SearchStrategy[Any]
) -> tuple[Polygon, dict[str, Any]]:
    """A piece, and a request that may well not fit."""
    within = draw(pieces(50, 200, (1, 1.6), outlines))
    return within, {
        "band": draw(st.floats(3, 60)),
        "rim": draw(st.floats(0.3, 6)),
        "strap": draw(st.floats(0.3, 4)),
        "repeat": draw(st.none() | st.floats(2, 80)),
        "smallest": draw(st.floats(0.1, 2)),
    } | {name: draw(values) for name, values in own.items()}


def any_value(bound: Bound) -> st.SearchStrategy[Any]:
    """Any value a parameter takes, counts kept low."""
    if bound.kind == "choice":
        return st.sampled_from(bound.choices)
    if bound.kind == "flag":
        return st.booleans()
    assert bound.least is not None
    assert bound.most is not None
    if bound.kind == "count":
        highest = 2**20 if bound.name == "seed" else 6
        return st.integers(int(bound.least), min(int(bound.most), highest))
    numbers = st.floats(bound.least, bound.most)
    return st.none() | numbers if bound.default is None else numbers
