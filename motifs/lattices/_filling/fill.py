"""Filling a region with cells that are trimmed at its edge, alike or graded."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Flags, Floats
from canivet.motifs.shapes.openings import Points, Rings, Shapes, rings_from

from .grading import kept_sizes
from .region import beside_edge, grid, pierce_or_refuse
from .repeat import Repeat
from .sound import holds_circle, sound_openings
from .trim import (
    WORTHY,
    drawn_in,
    inscribed,
    softened,
    trim_cells,
)

__all__ = ["fill_with_cells", "fill_with_repeat", "fill_with_shapes"]

_JOINED = 0.85
"""Openings graded under this share of their size stand apart on a dark ground, which no rest need enliven."""


def fill_with_repeat(
    within: Polygon,
    region: Polygon | MultiPolygon,
    repeat: Repeat,
    at: tuple[float, float],
    *,
    strap: float,
    smallest: float,
    grade: float = 0.0,
    toward: str = "foot",
) -> Polygon:
    """Pierce the piece with a repeat laid over a region inside it, trimmed at the region's edge.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own stay.
    region : Polygon or MultiPolygon
        Where openings may lie.
    repeat : Repeat
        What is laid.
    at : tuple of float
        Where the lower left corner of one repeat lies.
    strap, smallest : float
        mm.
    grade, toward
        How much smaller openings get, and where; they shrink about their own middles, at 1 to little over
        half their size, and no farther than `smallest`. One that would not stay inside itself keeps its size.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    drawn = _drawn(repeat, strap)
    reach = max((float(np.ptp(cell, axis=0).max()) for cell in repeat.cells), default=0.0)
    origins = _origins(region, repeat, at, reach)
    cells = []
    for cell, opening in drawn:
        centre = shapely.get_coordinates(opening.centroid)[0]
        outline, shape = (shapely.get_coordinates(p.exterior)[:-1] - centre for p in (cell, opening))
        cells.append((outline, shape, origins + centre))
    return fill_with_cells(
        within, region, cells, strap=strap, smallest=smallest, grade=grade, toward=toward,
        soft=repeat.soft, formed=len(repeat.openings) > 0, worthy=repeat.worthy, joins=repeat.joins,
    )  # fmt: skip


def fill_with_cells(
    within: Polygon,
    region: Polygon | MultiPolygon,
    cells: Sequence[tuple[Points, Points, Points]],
    *,
    strap: float,
    smallest: float,
    grade: float = 0.0,
    toward: str = "foot",
    soft: float = 0.0,
    formed: bool = False,
    worthy: float = WORTHY,
    joins: bool = True,
) -> Polygon:
    """Pierce the piece with copies of a few cells that fill the plane, trimmed at the edge of a region.

    Parameters
    ----------
    within, region, strap, smallest, grade, toward
        As for `fill_with_repeat`.
    cells : sequence of (ndarray, ndarray, ndarray)
        Each a cell with the edges it shares with its neighbours, shape (m, 2), what is cut from it where it
        stays whole, shape (k, 2), both about its own centre, and the centres where it is laid, shape (n, 2);
        those must reach so far beyond the region that the region is filled.
    soft, formed, worthy
        As for `trim_cells`.
    joins : bool
        Whether rests at the edge may be given to a neighbour; else they stay closed.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    kinds = [
        (*cell, radius) for cell in cells if (radius := inscribed(Polygon(cell[1]))) >= smallest * (1 - 1e-4)
    ]
    reach = max((float(np.ptp(outline, axis=0).max()) for outline, _, _ in cells), default=0.0)
    farthest = max((float(np.hypot(*outline.T).max()) for outline, _, _ in cells), default=0.0)
    # a cell beside one that the edge passes through lies no deeper
    deep = min(2 * reach, 3 * farthest)
    openings: list[Rings] = []
    edge: list[tuple[Shapes, Shapes, Floats, Floats]] = []
    joining: list[Flags] = []
    lies = _split_beside(kinds, region, reach=farthest, deep=deep)
    for (outline, shape, places, radius), (inside, beside) in zip(kinds, lies, strict=True):
        shrinks = grade if grade and _shrinks_inward(shape) else 0.0
        shrunk = kept_sizes(radius, places, region, smallest, shrinks, toward)
        openings.append(rings_from(_laid(shape, places[inside], shrunk[inside])))
        sizes = shrunk[beside]
        joining.append((sizes > _JOINED) & joins)
        solids = _solids(_laid(shape, places[beside], sizes))
        outlines = _solids(_laid(outline, places[beside], np.ones(len(sizes))))
        edge.append((outlines, solids, strap / 2 + (1 - sizes) * radius, sizes * radius))
    if edge:
        near, bodies, insets, whole = (np.concatenate(column) for column in zip(*edge, strict=True))
        openings.append(
            trim_cells(
                near,
                bodies,
                region,
                inset=insets,
                smallest=smallest,
                whole=whole,
                soft=soft,
                formed=formed,
                worthy=worthy,
                joining=np.concatenate(joining),
                drawn=None if formed or grade else bodies,
            )
        )
    return pierce_or_refuse(within, region, openings)


def _split_beside(
    kinds: Sequence[tuple[Points, Points, Points, float]], region: Polygon | MultiPolygon, **asked: float
) -> list[tuple[Flags, Flags]]:
    """Say of the places of each kind which lie inside and which at the edge, all looked at at once."""
    if not kinds:
        return []
    inside, beside = beside_edge(np.concatenate([places for _, _, places, _ in kinds]), region, **asked)
    ends = np.cumsum([len(places) for _, _, places, _ in kinds])[:-1]
    return list(zip(np.split(inside, ends), np.split(beside, ends), strict=True))


def _shrinks_inward(shape: Points) -> bool:
    """Say whether an opening made smaller about the origin stays inside itself: no side looks away."""
    step = np.roll(shape, -1, axis=0) - shape
    turn = shape[:, 0] * step[:, 1] - shape[:, 1] * step[:, 0]
    return bool((turn * np.sign(turn.sum()) > -1e-9).all())


def _laid(shape: Points, places: Points, sizes: Floats) -> Points:
    laid: Points = places[:, None] + sizes[:, None, None] * shape
    return laid


def fill_with_shapes(
    within: Polygon,
    region: Polygon | MultiPolygon,
    cells: Shapes,
    *,
    strap: float,
    smallest: float,
    soft: float = 0.0,
    openings: Shapes | None = None,
) -> Polygon:
    """Pierce the piece with cells of which no two are alike, trimmed at the edge of a region inside it.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own stay.
    region : Polygon or MultiPolygon
        Where openings may lie.
    cells : ndarray of Polygon
        Disjoint, with the edges they share with their neighbours; they cover the region.
    strap, smallest : float
        mm.
    soft : float
        How round the openings are; see `softened`.
    openings : ndarray of Polygon, optional
        What is cut from each cell; the cell drawn in by half a strap and softened where left out.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    bodies = softened(drawn_in(cells, strap / 2), soft) if openings is None else openings
    sound = (shapely.get_type_id(bodies) == 3) & (shapely.get_num_interior_rings(bodies) == 0)
    size = np.hypot(*(shapely.bounds(cells)[:, 2:] - shapely.bounds(cells)[:, :2]).T)
    reach = float(size.max())
    middles = shapely.get_coordinates(shapely.centroid(cells))
    inside, beside = beside_edge(middles, region, reach=reach, deep=2 * reach)
    inside &= sound & holds_circle(bodies, smallest)
    whole = np.full(
        int(beside.sum()),
        float(np.median(shapely.area(bodies) / np.maximum(shapely.length(bodies), 1e-9))) * 2,
    )
    insets = np.full(len(whole), strap / 2)
    trimmed = trim_cells(
        cells[beside], bodies[beside], region, inset=insets, smallest=smallest, whole=whole, soft=soft,
        sound=sound_openings(bodies[beside], smallest * (1 - 1e-4), insets),
    )  # fmt: skip
    return pierce_or_refuse(within, region, [shapely.get_exterior_ring(bodies[inside]), trimmed])


def _drawn(repeat: Repeat, strap: float) -> list[tuple[Polygon, Polygon]]:
    """Return each cell with what is cut out of it, those a strap leaves nothing of left out."""
    cells = shapely.polygons([shapely.linearrings(cell) for cell in repeat.cells])
    if len(repeat.openings):
        drawn: Shapes = shapely.polygons([shapely.linearrings(opening) for opening in repeat.openings])
    else:
        drawn = drawn_in(cells, strap / 2)
    return [(c, d) for c, d in zip(cells, drawn, strict=True) if d.geom_type == "Polygon" and not d.is_empty]


def _origins(region: Polygon | MultiPolygon, repeat: Repeat, at: tuple[float, float], reach: float) -> Points:
    low_x, low_y, high_x, high_y = region.bounds
    step = (repeat.wide, repeat.high)
    offset = ((at[0] - (low_x + high_x) / 2) / step[0], (at[1] - (low_y + high_y) / 2) / step[1])
    return grid(region, step, offset, max(*step) + 2 * reach)


def _solids(corners: Points) -> Shapes:
    solids: Shapes = shapely.polygons(corners) if len(corners) else np.empty(0, dtype=object)
    return solids
