"""What every lattice is tried on, and what must be true of it."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from hypothesis import strategies as st
from shapely.affinity import scale
from shapely.geometry import Polygon
from strategies import any_value
from support import assert_one_piece, rings_of

from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.parameters import parameters_of

__all__ = [
    "anything", "assert_alike", "assert_cut_as_asked", "assert_drawn_or_refused", "assert_mirrored", "darkest_spot", "open_share",
    "sensible",
]  # fmt: skip

Lattice = Callable[..., Polygon]

MICROMETRE = 0.001
"""mm; the grid the audit snaps to."""


def assert_cut_as_asked(paper: Polygon, within: Polygon, lattice: Lattice, asked: dict[str, Any]) -> None:
    strap, rim, smallest = (_value(lattice, asked, name) for name in ("strap", "rim", "smallest"))
    assert_one_piece(paper)
    assert paper.exterior.equals(within.exterior)
    report = check_strength(paper, strap=min(strap, rim), smallest=smallest * 0.999)
    assert report.holds, (report.weakest, report.limbs, report.small_openings)
    openings = np.array(rings_of(paper), dtype=object)
    assert shapely.distance(openings, within.exterior).min() >= rim - MICROMETRE
    _, near = shapely.STRtree(openings).query(openings, predicate="dwithin", distance=strap - 2 * MICROMETRE)
    assert len(near) == len(openings), "two openings are nearer than a strap"


def assert_drawn_or_refused(lattice: Lattice, within: Polygon, asked: dict[str, Any]) -> None:
    paper, refusal = _drawn_or_refused(lattice, within, asked)
    if paper is not None:
        assert_cut_as_asked(paper, within, lattice, asked)
        return
    assert refusal is not None
    assert refusal.parameter in {"pitch", "rim", "toward"}
    assert str(refusal).startswith(str(refusal.parameter))
    assert refusal.accepted


def _drawn_or_refused(
    lattice: Lattice, within: Polygon, asked: dict[str, Any]
) -> tuple[Polygon | None, DoesNotFit | None]:
    try:
        return lattice(within=within, **asked), None
    except DoesNotFit as refusal:
        return None, refusal


def assert_mirrored(paper: Polygon, *, level: bool) -> None:
    """Left and right alike, and head and foot where `level`."""
    middle = paper.envelope.centroid
    assert_alike(paper, scale(paper, -1, 1, origin=middle))
    if level:
        assert_alike(paper, scale(paper, 1, -1, origin=middle))


def assert_alike(paper: Polygon, other: Polygon) -> None:
    """The same but for slivers under two hundredths of a millimetre: rings are thinned from another vertex on."""
    misfit = paper.symmetric_difference(other).buffer(-0.01)
    assert misfit.is_empty, misfit.centroid


def usual_pitch(lattice: Lattice) -> float:
    """The pitch a lattice takes by itself; 15 mm where that follows the strap."""
    return float(parameters_of(lattice)["pitch"].default or 15)


@st.composite
def sensible(draw: st.DrawFn, lattice: Lattice, **own: st.SearchStrategy[Any]) -> dict[str, Any]:
    """Settings a maker would choose, its cells no smaller than they are by themselves: none may be refused."""
    known = parameters_of(lattice)
    asked = {name: draw(own.get(name, any_value(bound))) for name, bound in known.items()}
    if "pitch" in known:
        usual = usual_pitch(lattice)
        asked["pitch"] = draw(st.floats(usual, max(14.0, 1.5 * usual)))
    asked["strap"] = draw(st.floats(0.9, 1.6))
    asked["rim"] = draw(st.floats(1.5, 5))
    if asked.get("toward") == "vignette":  # these pieces go round none
        asked["toward"] = "edge"
    del asked["smallest"]
    return asked


@st.composite
def anything(draw: st.DrawFn, lattice: Lattice) -> dict[str, Any]:
    """Settings from nearly the whole range; past it the piece is refused for want of room."""
    asked = {name: draw(any_value(bound)) for name, bound in parameters_of(lattice).items()}
    if "pitch" in asked:
        asked["pitch"] = draw(st.floats(0.7 * usual_pitch(lattice), 60))
    asked["strap"] = draw(st.floats(0.3, 6))
    asked["rim"] = draw(st.floats(0.3, 25))
    asked["smallest"] = draw(st.floats(0.1, 4))
    return asked


def open_share(paper: Polygon, wide: float, high: float, periods: tuple[int, int]) -> float:
    """Share that is open of a patch of whole periods about the middle."""
    x, y = paper.envelope.centroid.coords[0]
    half = np.array(periods) * (wide, high)
    patch = shapely.box(x - half[0], y - half[1], x + half[0], y + half[1])
    return 1 - paper.intersection(patch).area / patch.area


def darkest_spot(paper: Polygon, region: Polygon) -> float:
    """Radius of the largest disc of paper that reaches into the region by half its radius at least, in mm."""
    for radius in np.arange(0.5, 5, 0.1):
        if not paper.buffer(-radius).intersects(region.buffer(-radius / 2)):
            return float(radius)
    return 5.0


def _value(lattice: Lattice, asked: dict[str, Any], name: str) -> float:
    return asked.get(name, inspect.signature(lattice).parameters[name].default)
