"""Pieces of coloured paper behind openings: how far each may reach, so that it is glued and never seen.

A patch is the openings of one colour grown by a glue margin and kept under paper. It ends a little short of
every opening of another colour or of none, since a hand wavers; where two colours share a strap each takes
its half, up to the line that is as far from the one's openings as from the other's. Neighbours of one colour
whose margins meet are one patch.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import Voronoi, cKDTree
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats, Ints, Paper
from canivet.compose.mending.areas import areas_of
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.shapes.openings import Shapes

__all__ = ["CLEAR", "LEAST_GLUE", "NarrowGlue", "Patch", "lay_patches"]

CLEAR = 0.5
"""mm that a patch ends short of an opening it is not for: a hand-cut line wavers by some tenths (*common
practice*)."""

_ARCS = 16
_CHORDS = (CLEAR + 0.005) / math.cos(math.pi / (4 * _ARCS))
"""mm that corners are rounded by: neither chords nor what a buffer smooths take of what is to be clear."""

LEAST_GLUE = 0.8
"""mm of paper to glue by; less is told with its place."""

_STEP = 0.4
"""mm between points along openings, from which the line between two colours is found."""

_SMOOTH = 0.05
"""mm by which that line may be straightened."""

_TOGETHER = 2.5
"""mm: narrow places no farther apart are told as one."""

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """One piece of coloured paper.

    Attributes
    ----------
    number : int
        From 1, over all colours.
    colour : str
        ``#rrggbb``.
    area : Polygon
        mm, where it lies on the piece, seen from its front.
    openings : tuple of int
        Rows of the openings that it fills.
    """

    number: int
    colour: str
    area: Polygon
    openings: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NarrowGlue:
    """Where there is too little paper to glue a patch by: how wide, how long (mm), where, and which patch."""

    width: float
    length: float
    at: tuple[float, float]
    number: int


def lay_patches(
    openings: Shapes, of: Ints, paper: Polygon, *, colours: Sequence[str], margins: Sequence[float]
) -> tuple[tuple[Patch, ...], tuple[NarrowGlue, ...]]:
    """Return the patches of a piece, and where they are too narrow to glue.

    Parameters
    ----------
    openings : (n,) array of Polygon
        mm.
    of : (n,) int array
        Which of the kinds each is to be; -1 for none.
    paper : Polygon
        What stays, mm.
    colours, margins : sequence
        Of each kind: its colour, and how far a patch is to reach past its openings, mm.

    Returns
    -------
    tuple of Patch, and tuple of NarrowGlue
        Colour by colour, from the top down; narrow places the narrowest first.

    Raises
    ------
    DoesNotFit
        If a kind's margin nowhere leaves enough to glue by.

    Examples
    --------
    Two colours with 2 mm of paper between them: each takes half.

    >>> from shapely import box
    >>> paper = box(0, 0, 30, 20) - box(5, 5, 14, 15) - box(16, 5, 25, 15)
    >>> holes = np.array([box(5, 5, 14, 15), box(16, 5, 25, 15)], dtype=object)
    >>> laid, _ = lay_patches(holes, np.array([0, 1]), paper, colours=["#ff0000", "#0000ff"], margins=[3, 3])
    >>> [tuple(round(side, 1) for side in patch.area.bounds) for patch in laid]
    [(2.0, 2.0, 15.0, 18.0), (15.0, 2.0, 28.0, 18.0)]
    """
    kinds = np.array([colours.index(colour) for colour in colours])
    colour_of = np.where(of >= 0, kinds[of], -1)
    reach = np.where(of >= 0, np.asarray(margins, float)[of], 0.0)
    shown = sorted({int(k) for k in colour_of if k >= 0})
    grown = {
        k: shapely.union_all(shapely.buffer(openings[colour_of == k], reach[colour_of == k])) for k in shown
    }
    lands = _lands(openings, colour_of, reach, grown) if len(shown) > 1 else {}
    room = Polygon(paper.exterior).buffer(-_CHORDS, quad_segs=_ARCS)
    patches: list[Patch] = []
    for k in shown:
        kept_from = _kept_from(openings[colour_of != k], grown[k])
        others = shapely.union_all([lands[o].intersection(grown[o]) for o in lands if o != k])
        whole = grown[k].intersection(room).difference(others).difference(kept_from)
        whole = shapely.union_all([whole, *openings[colour_of == k]])
        own = np.flatnonzero(colour_of == k)
        for part in _in_reading_order(whole):
            inside = own[shapely.intersects(openings[own], part)]
            if len(inside):
                solid = _without_idle_holes(
                    part, openings[colour_of != k], [grown[o] for o in shown if o != k]
                )
                number = len(patches) + 1
                patches.append(Patch(number, colours[k], solid, tuple(inside.tolist())))
    narrow = _narrow(openings, of, patches)
    return tuple(patches), narrow


def _lands(openings: Shapes, colour_of: Ints, reach: Floats, grown: dict[int, Paper]) -> dict[int, Paper]:
    """Return for each colour what lies nearer to its openings than to another's, where margins meet."""
    tree = shapely.STRtree(openings)
    near = [
        np.intersect1d(
            np.flatnonzero(colour_of == k),
            tree.query(shapely.union_all([area for o, area in grown.items() if o != k]).buffer(reach.max())),
        )
        for k in grown
    ]
    rows = np.concatenate(near)
    if not len(rows):
        return {}
    lines = shapely.segmentize(shapely.boundary(openings[rows]), _STEP)
    points, line = shapely.get_coordinates(lines, return_index=True)
    points, first = np.unique(points.round(4), axis=0, return_index=True)
    colours = colour_of[rows[line[first]]]
    cells = _cells(points)
    shown = np.unique(colours)
    lands = np.array([shapely.coverage_union_all(cells[colours == k]) for k in shown])
    return dict(zip(shown.tolist(), shapely.coverage_simplify(lands, _SMOOTH), strict=True))


def _cells(points: Floats) -> Shapes:
    """Return of each point what lies nearest to it, as polygons that share their corners exactly."""
    low, high = points.min(axis=0), points.max(axis=0)
    middle, far = (low + high) / 2, 10 * (high - low).max()
    around = middle + far * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    diagram = Voronoi(np.vstack([points, around]))
    regions = [diagram.regions[k] for k in diagram.point_region[: len(points)]]
    cells: Shapes = shapely.polygons([shapely.linearrings(diagram.vertices[region]) for region in regions])
    return cells


def _kept_from(foreign: Shapes, grown: Paper) -> Paper:
    """Return what a patch may not touch: openings that are not its own, and a little round them."""
    near = foreign[shapely.STRtree(foreign).query(grown.buffer(CLEAR), predicate="intersects")]
    kept: Paper = shapely.union_all(shapely.buffer(near, _CHORDS, quad_segs=_ARCS))
    return kept


def _in_reading_order(whole: Paper) -> list[Polygon]:
    parts = list(shapely.get_parts(areas_of(whole)))
    return sorted(parts, key=lambda part: (-round(part.bounds[3]), part.bounds[0]))


def _without_idle_holes(part: Polygon, foreign: Shapes, others: Sequence[Paper]) -> Polygon:
    """Fill holes of a patch that keep nothing free: they would be cut for nothing."""
    holes = shapely.polygons(np.asarray(shapely.get_rings(part)[1:], dtype=object))
    if not len(holes):
        return part
    wanted = np.zeros(len(holes), bool)
    wanted[shapely.STRtree(holes).query(foreign, predicate="intersects")[1]] = True
    for other in others:
        wanted |= shapely.area(shapely.intersection(holes, other)) > _ROUNDING
    return Polygon(part.exterior, [hole.exterior for hole in holes[wanted]])


def _narrow(openings: Shapes, of: Ints, patches: Sequence[Patch]) -> tuple[NarrowGlue, ...]:
    """Measure along every opening how much of its patch is glued, and tell where it is too little."""
    found: list[NarrowGlue] = []
    widest = dict.fromkeys({int(k) for k in of if k >= 0}, 0.0)
    for patch in patches:
        rows = np.array(patch.openings)
        lines = shapely.segmentize(shapely.boundary(openings[rows]), _STEP)
        points, line = shapely.get_coordinates(lines, return_index=True)
        width = shapely.distance(shapely.points(points), _prepared_boundary(patch.area))
        for k in {int(k) for k in of[rows]}:
            widest[k] = max(widest[k], float(width[of[rows][line] == k].max()))
        found += _clustered(points, _lengths_about(points, line), width, patch.number)
    for k, width in widest.items():
        if width < LEAST_GLUE:
            raise DoesNotFit(
                f"patch.{k + 1}: its margin nowhere fits: at most {format_mm(width, 2)} mm of paper is there "
                f"to glue by, and {format_mm(LEAST_GLUE)} mm are wanted. Make the straps wider (strap), or "
                "let its neighbours have the same colour.",
                parameter=f"patch.{k + 1}.margin", value=width, accepted=f"at least {LEAST_GLUE} mm of paper",
            )  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.width, one.at)))


def _prepared_boundary(area: Polygon) -> shapely.Geometry:
    boundary = shapely.boundary(area)
    shapely.prepare(boundary)
    return boundary


def _lengths_about(points: Floats, line: Ints) -> Floats:
    """Return how much of its line is nearest to each point: half of the steps before and after it."""
    steps = np.where(line[1:] == line[:-1], np.hypot(*np.diff(points, axis=0).T), 0.0)
    lengths: Floats = (np.append(steps, 0.0) + np.append(0.0, steps)) / 2
    return lengths


def _clustered(points: Floats, lengths: Floats, width: Floats, number: int) -> list[NarrowGlue]:
    narrow = width < LEAST_GLUE - 1e-3
    if not narrow.any():
        return []
    at, wide = points[narrow], width[narrow]
    pairs = cKDTree(at).query_pairs(_TOGETHER, output_type="ndarray")
    links = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(len(at), len(at)))
    count, group = connected_components(links, directed=False)
    told = []
    for k in range(count):
        own = np.flatnonzero(group == k)
        worst = own[int(np.argmin(wide[own]))]
        along = float(lengths[narrow][own].sum())
        told.append(NarrowGlue(float(wide[worst]), along, tuple(at[worst].tolist()), number))
    return told
