"""Discs laid where paper is too narrow, and the one loop that looks, mends and looks again.

Both serve joining and composing alike; mending a shape from outside lays the same discs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry import Polygon

from canivet.audit.again import Measures
from canivet.audit.boundary import Floats, Paper, boundary_of
from canivet.audit.strength import TOLERANCE
from canivet.motifs.shapes.openings import openings_in

from .areas import areas_of, each_on_grid, on_grid

__all__ = ["discs_on", "discs_until_wide", "mended_until_sound", "patched"]

_QUARTER = 16
"""Chords to a quarter of a disc."""

_WINDOW = 8.0
"""Straps about a weak place that are looked over while it is patched: a tip of 20° is a strap wide within
three."""

_STEPS = 8
"""Discs laid one beside the other before the whole is looked over again."""

Seen = TypeVar("Seen")


def discs_on(places: ArrayLike, radius: ArrayLike, *, at_corners: bool = False) -> NDArray[np.object_]:
    """Discs in chords, no narrower anywhere than asked.

    Parameters
    ----------
    places : (n, 2) array
        Their middles, mm.
    radius : float or (n,) array
        mm, to the middle of each chord.
    at_corners : bool
        Measure the radius to the corners instead, for a disc with width to spare.

    Returns
    -------
    (n,) array of Polygon

    Examples
    --------
    >>> from shapely import Point
    >>> bool(discs_on([(3, 4)], 2.0)[0].covers(Point(3, 4).buffer(2)))
    True
    """
    to_corners = radius if at_corners else np.asarray(radius) / np.cos(np.pi / (4 * _QUARTER))
    discs: NDArray[np.object_] = shapely.buffer(shapely.points(places), to_corners, quad_segs=_QUARTER)
    return discs


def patched(
    paper: Paper, patches: Sequence[shapely.Geometry] | NDArray[np.object_], *, within: Paper | None = None
) -> Paper:
    """Return paper with patches laid on it, as far as they lie within, on the grid where they lie.

    Openings that no patch meets stay as they were, to the last digit: what was found out of them holds.

    Examples
    --------
    >>> from shapely import box
    >>> patched(box(0, 0, 9, 9), [box(8, 0, 12, 9)], within=box(0, 0, 10, 9)).bounds
    (0.0, 0.0, 10.0, 9.0)
    """
    if isinstance(paper, Polygon) and len(patches):
        solid = Polygon(paper.exterior)
        laid = shapely.union_all(patches)
        laid = laid if within is None else laid.intersection(within)
        if solid.covers(laid):
            narrower = _openings_patched(paper, laid)
            if narrower is not None:
                return narrower
    whole = shapely.union_all([paper, *patches])
    return on_grid(whole if within is None else whole.intersection(within))


def _openings_patched(paper: Polygon, laid: shapely.Geometry) -> Polygon | None:
    """Return paper with patches laid into its openings; None where one comes to lie loose in an opening."""
    openings = openings_in(paper)
    met = shapely.intersects(openings, laid)
    left = shapely.get_parts(each_on_grid(shapely.difference(openings[met], laid)))
    left = left[(shapely.get_type_id(left) == shapely.GeometryType.POLYGON) & (shapely.area(left) > 0)]
    if shapely.get_num_interior_rings(left).any():
        return None
    rings = shapely.get_exterior_ring(np.concatenate([openings[~met], left]))
    narrower: Polygon = shapely.polygons(paper.exterior, rings)
    return narrower if narrower.is_valid else None


def discs_until_wide(
    paper: Paper,
    places: Floats,
    *,
    strap: float,
    disc: Callable[[Floats], NDArray[np.object_]],
    within: Paper | None = None,
    allowed: Callable[[Floats], Floats] = np.asarray,
) -> NDArray[np.object_]:
    """Discs on weak necks, and on those that show beside them once they are laid.

    Where a strap tapers it is too thin again just beside a disc. That is looked for in windows about the
    places, and only there, so that the whole need not be looked over for each disc.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        mm.
    places : (n, 2) array
        Middles of necks under the strap.
    strap : float
        The width every neck must have, mm.
    disc : callable
        Draws the discs on some places, as `discs_on` does.
    within : Polygon or MultiPolygon, optional
        What discs are cut off at when they are laid.
    allowed : callable, optional
        Returns those of some places where a disc may be laid; all of them if not given.

    Returns
    -------
    (m,) array of Polygon

    Examples
    --------
    Two wedges that meet in a thin neck: discs are laid on it and on either side.

    >>> from shapely import Polygon
    >>> paper = Polygon([(-9, -2), (0, -0.2), (9, -2), (9, 2), (0, 0.2), (-9, 2)])
    >>> discs = discs_until_wide(paper, np.zeros((1, 2)), strap=1.2, disc=lambda at: discs_on(at, 0.66))
    >>> from canivet.audit.necks import find_necks
    >>> len(discs) > 1, len(find_necks(boundary_of(patched(paper, discs)), 1.2).under(1.2 - TOLERANCE))
    (True, 0)
    """
    if len(places) == 0:
        return np.empty(0, dtype=object)
    window, core = (_about(places, far) for far in (_WINDOW * strap, (_WINDOW - 1) * strap))
    shapely.prepare(core)
    near = areas_of(paper.intersection(window))
    laid, known = [disc(places)], Measures()
    for _ in range(_STEPS):
        near = patched(near, laid[-1], within=within)
        middle = known.find_necks(boundary_of(near), strap).under(strap - TOLERANCE).middle
        found = allowed(middle[shapely.contains_xy(core, middle)])
        if len(found) == 0:
            break
        laid.append(disc(found))
    return np.concatenate(laid)


def _about(places: Floats, far: float) -> shapely.Geometry:
    low, high = (places - far).T, (places + far).T
    return shapely.union_all(shapely.box(*low, *high))


def mended_until_sound(
    paper: Paper,
    look: Callable[[Paper], Seen],
    mend: Callable[[Paper, Seen], Paper | None],
    *,
    rounds: int,
) -> tuple[Paper, Seen]:
    """Look, mend what is seen, and look again, until nothing is left to mend.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        mm.
    look : callable
        Tells what is wrong with a paper: an audit, or the part of one that matters.
    mend : callable
        Returns the paper with what was seen mended; None where nothing is, or may be, mended.
    rounds : int
        The most times to mend: a patch seldom leaves another weak place, so this only bounds it.

    Returns
    -------
    paper : Polygon or MultiPolygon
        As it was last mended.
    seen : whatever `look` returns
        Of that paper.

    Examples
    --------
    >>> from shapely import box
    >>> def widened(paper, width):
    ...     return box(0, 0, width + 1, 1) if width < 3 else None
    >>> paper, width = mended_until_sound(box(0, 0, 1, 1), lambda paper: paper.area, widened, rounds=8)
    >>> paper.area == width == 3
    True
    """
    seen = look(paper)
    for _ in range(rounds):
        mended = mend(paper, seen)
        if mended is None:
            break
        paper, seen = mended, look(mended)
    return paper, seen
