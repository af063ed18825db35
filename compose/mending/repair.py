"""Mending shapes that came from outside, so that every strap holds and every opening can be cut.

Only what is too thin is thickened, along its middle line; a point may stay a point, a strip becomes a strap.
Openings that no blade could turn in are filled, never widened. All that was done is said, with its place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.again import Measures
from canivet.audit.boundary import GRID, Paper, require_valid
from canivet.doing import doing
from canivet.errors import BadValue, DoesNotFit

from ._smoothing import smooth_paper
from .areas import areas_of, on_grid
from .patching import patched
from .thickening import Seen, thicken_once, trim_beads

__all__ = ["Change", "Repair", "changes_of", "describe_repair", "fill_openings", "repair_paper"]

ROUNDS = 16
"""Thickening in one place may pinch another; most shapes are done after two rounds."""

_SURELY = 1.01
"""A disc this much larger than the smallest leaves no doubt, whatever the last digit."""


@dataclass(frozen=True, slots=True)
class Change:
    """One place where paper was added or taken away: how much (mm²), and where (mm)."""

    area: float
    at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Repair:
    """A mended paper, and all that was done to it. Lengths in mm, areas in mm².

    Attributes
    ----------
    paper : Polygon or MultiPolygon
        What stays; parts that were loose are still loose.
    thickened : tuple of Change
        Paper added where a strap or a limb was too thin, the most first.
    filled : tuple of Change
        Openings closed because they were too small to cut.
    dropped : tuple of Change
        Specks of paper taken out because they were too small to hold.
    smoothed : float
        Area moved by smoothing, paper won and paper lost taken together.
    area_before, area_after : float
        The paper's area as it came and as it went.
    rounds : int
        How often the paper was gone over.
    """

    paper: Paper
    thickened: tuple[Change, ...]
    filled: tuple[Change, ...]
    dropped: tuple[Change, ...]
    smoothed: float
    area_before: float
    area_after: float
    rounds: int


def describe_repair(repair: Repair) -> list[tuple[str, tuple[Change, ...]]]:
    """Return what was done, in words, with the places of each: only what was done at all.

    Examples
    --------
    >>> from shapely import box
    >>> comb = box(0, 0, 20, 10) - box(5, 2, 9, 8) - box(9.4, 2, 14, 8)
    >>> [words for words, _ in describe_repair(repair_paper(comb, strap=1, smallest=0.4))]
    ['thickened']
    """
    done = (
        ("thickened", repair.thickened),
        ("filled, too small to cut", repair.filled),
        ("dropped, too small to hold", repair.dropped),
    )
    return [(words, changes) for words, changes in done if changes]


def repair_paper(
    paper: Paper,
    *,
    strap: float,
    smallest: float,
    thicken: bool = True,
    fill: bool = True,
    drop: bool = True,
    smooth: float = 0.0,
    known: Measures | None = None,
) -> Repair:
    """A shape whose thin places are brought up to the strap and whose pinholes are closed.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm; its parts may be loose.
    strap : float
        The width every strap must have, mm, above 0.
    smallest : float
        Radius of the smallest opening worth cutting, mm, 0 or more.
    thicken : bool
        Bring straps, and limbs that are slender for their width, up to the strap.
    fill : bool
        Close openings into which no disc of radius `smallest` fits.
    drop : bool
        Take out specks: loose parts with less area than a disc as wide as the strap.
    smooth : float
        mm; waves along the edge shorter than about four times this are taken out, corners stay. 0 for none.
    known : Measures, optional
        What was measured of nearly the same paper before; left with what was measured of this one last.
        What is mended is the same without.

    Returns
    -------
    Repair

    Raises
    ------
    BadValue
        If the paper is not valid, or a length is out of range.
    DoesNotFit
        If every part is a speck.

    Notes
    -----
    Discs are grown inside the paper at every sample of its edge (`_medial`). Where a disc is smaller than
    half the strap and thicker paper lies beyond it, the place is a strap and gets its full
    width. Where only an end lies beyond, it is a limb, mended when longer than six times its mean width: a
    pointed one keeps its point, a blunt one becomes a strap. Then small openings are filled, each neck left
    is patched with a disc on its chord, and the result is gone over again, at most sixteen times.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.strength import check_strength
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(9, 4.8, 16, 5.2), box(15, 0, 25, 10)])
    >>> mended = repair_paper(dumbbell, strap=1.2, smallest=0.5)
    >>> check_strength(mended.paper, strap=1.2).holds, round(mended.area_after - mended.area_before)
    (True, 4)
    """
    _require(strap, smallest, smooth)
    before = on_grid(require_valid(paper))
    clean = on_grid(smooth_paper(before, smooth)) if smooth > 0 else before
    kept, dropped = _drop_specks(clean, strap) if drop else (clean, [])
    if kept.is_empty:
        raise DoesNotFit(
            f"every part of the paper is smaller than a disc {strap:g} mm across; nothing is left to hold. "
            "Make the piece larger or the strap narrower.",
            parameter="strap", value=strap,
        )  # fmt: skip
    doing("mending what is thin")
    mended, filled, beads, rounds = _go_over(kept, strap, smallest, thicken, fill, drop, known or Measures())
    return Repair(
        paper=mended,
        thickened=changes_of(_grown(kept, mended, filled)),
        filled=changes_of(filled),
        dropped=changes_of(dropped + beads),
        smoothed=float(before.symmetric_difference(clean).area) if smooth > 0 else 0.0,
        area_before=float(paper.area),
        area_after=float(mended.area),
        rounds=rounds,
    )


def _go_over(
    paper: Paper, strap: float, smallest: float, thicken: bool, fill: bool, drop: bool, known: Measures
) -> tuple[Paper, list[Polygon], list[Polygon], int]:
    """Fill, trim and thicken in turn until nothing changes; also say what was filled and what trimmed."""
    filled: list[Polygon] = []
    beads: list[Polygon] = []
    seen = Seen(known=known)
    rounds, changed = 0, True
    while changed and rounds < ROUNDS:
        rounds, changed = rounds + 1, False
        if thicken and drop:
            paper, trimmed = trim_beads(paper, strap, seen)
            beads += trimmed
        if thicken:
            paper, changed = thicken_once(paper, strap, rounds, seen)
        if fill:
            paper, holes = fill_openings(paper, smallest)
            filled += holes
            changed |= thicken and bool(holes)
    return paper, filled, beads, rounds


def _grown(before: Paper, after: Paper, filled: list[Polygon]) -> list[Polygon]:
    """Return where paper was added, but for the openings that were filled."""
    if after is before:
        return []
    grown = after.difference(before).difference(shapely.union_all(filled))
    return list(shapely.get_parts(areas_of(grown)))


def _require(strap: float, smallest: float, smooth: float) -> None:
    if not 0 < strap <= 1000:
        raise BadValue(
            f"strap is {strap:g} mm; it takes more than 0 mm and at most 1000 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 1000 mm",
        )  # fmt: skip
    for name, value in (("smallest", smallest), ("smooth", smooth)):
        if not 0 <= value <= 1000:
            raise BadValue(
                f"{name} is {value:g} mm; it takes 0 mm to 1000 mm.",
                parameter=name, value=value, accepted="0 mm to 1000 mm",
            )  # fmt: skip


def _drop_specks(paper: Paper, strap: float) -> tuple[Paper, list[Polygon]]:
    parts = shapely.get_parts(paper)
    speck = shapely.area(parts) < np.pi * strap**2 / 4
    return (areas_of(MultiPolygon(list(parts[~speck]))), list(parts[speck])) if speck.any() else (paper, [])


def fill_openings(paper: Paper, smallest: float) -> tuple[Paper, list[Polygon]]:
    """Close the openings no disc of radius `smallest` fits into; what lies within joins the paper."""
    least = max(smallest, 2 * GRID)
    openings = _openings(paper)
    # A disc found inside is proof enough, and found sooner than all places where one fits.
    disc = shapely.distance(shapely.point_on_surface(openings), shapely.boundary(openings))
    openings = openings[disc < _SURELY * least]
    tight = openings[shapely.is_empty(shapely.buffer(openings, -least, quad_segs=16))]
    if len(tight) == 0:
        return paper, []
    return patched(paper, shapely.buffer(tight, GRID)), list(tight)


def _openings(paper: Paper) -> NDArray[np.object_]:
    """Return the areas enclosed by paper, less the loose parts lying in them."""
    parts = shapely.get_parts(paper)
    rings = shapely.get_rings(shapely.orient_polygons(parts))
    holes: NDArray[np.object_] = shapely.polygons(rings[~shapely.is_ccw(rings)])
    within, hole = STRtree(holes).query(shapely.point_on_surface(parts), predicate="within")
    if len(within) == 0:
        return holes
    solid = shapely.polygons(shapely.get_exterior_ring(parts))
    taken = np.unique(hole)
    around = [holes[k].difference(shapely.union_all(solid[within[hole == k]])) for k in taken]
    left = [p for p in shapely.get_parts(around) if isinstance(p, Polygon) and p.area > 0]
    return np.array([*np.delete(holes, taken), *left], dtype=object)


def changes_of(areas: list[Polygon]) -> tuple[Change, ...]:
    """Return the size and place of each area, the largest first; those the grid could hide are left out."""
    found = []
    for area in areas:
        at = area.representative_point()
        found.append(Change(float(area.area), (float(at.x), float(at.y))))
    return tuple(sorted((c for c in found if c.area > GRID), key=lambda c: (-c.area, c.at)))
