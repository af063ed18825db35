"""A lattice of spirals, those of a seed-head: arms that wind out from an eye, and ties from arm to arm."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags, Floats, Ints
from canivet.motifs.bounds import LatticeRim, Roundness, Smallest, Spacing, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.motifs.shapes.phyllotaxis import GOLDEN_ANGLE, golden_places
from canivet.motifs.shapes.rounds import disc

from ._filling.clip import clipped_singly
from ._filling.region import Across, Up, check_pitch, inset_region, middle_of, pierce_or_refuse
from ._filling.trim import drawn_in
from ._filling.voronoi import voronoi_cells

__all__ = ["spiral_lattice", "sunflower"]

_ARM = 1.6
"""Straps: how wide an arm is against a tie, so that spirals are seen before cells (by eye)."""

_EYE, _FIRST = 1.05, 8
"""Pitches: radius of the eye; and how many seeds give way to it, which follow no spiral yet."""

_BEYOND = 2.0
"""Pitches that cells are laid beyond the region, so that those it cuts are whole ones."""

_REST = 0.5
"""Of a cell: less than this inside the region is joined to the next along its arm."""

_WORTHY = 0.35
"""Of a usual opening's breadth: a slimmer rest at the edge stays closed."""

_REACH = 0.15
"""Pitches that ties run on, since arms that are smoothed draw back from where they met; what is left over is
no edge of a cell."""

_SMOOTHED = 2
"""Times that an arm's corners are cut."""

_LEAST = 0.36
"""Radius of the circle inscribed in about the smallest cell, in pitches."""


@motif("lattice")
def spiral_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Spacing = 7.0,
    across: Across = 0.5,
    up: Up = 0.5,
    roundness: Roundness = 0.25,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A seed-head: stout arms that wind out from a round eye, with kites between them from tie to tie.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two cells: mm, 0.3 to 20, default 1.2; the arms are stouter.
    pitch : float
        About how far the middles of cells lie apart: mm, 2 to 200, default 7.
    across : float
        Where the middle lies across the region, 0 left and 1 right: −0.5 to 1.5, default 0.5.
    up : float
        Where the middle lies up the region, 0 foot and 1 head: −0.5 to 1.5, default 0.5.
    roundness : float
        How round the corners of cells are: 0 to 1, default 0.25.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    Each seed lies a golden angle (137.5°) on from the one before and so far out that all have as much room;
    a cell is what lies nearest to its seed. Cells that touch are a Fibonacci number of seeds apart, and every
    other of these numbers winds the same way: edges of one way are the arms, all others ties.

    References
    ----------
    H. Vogel, A better way to construct the sunflower head, Mathematical Biosciences 44, 1979.

    Examples
    --------
    >>> paper = spiral_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, 80 < len(paper.interiors) < 130
    ('Polygon', True)
    """
    check_pitch(pitch, strap, smallest, inradius=_LEAST)
    region = inset_region(within, rim)
    middle = middle_of(region, across, up, strap)
    cells, seeds = _cells(region, middle, pitch)
    eye = disc(float(middle[0]), float(middle[1]), _EYE * pitch, sides=32)
    arms, ties = _arms_and_ties(cells, seeds, region, eye, pitch)
    faces = shapely.get_parts(shapely.polygonize([shapely.union_all([arms, *ties])]))
    faces = faces[shapely.intersects(faces, region)]
    openings = shapely.difference(drawn_in(faces, strap / 2), _along(faces, arms, _ARM * strap / 2))
    usual = float(np.median(2 * shapely.area(openings) / np.maximum(shapely.length(openings), 1e-9)))
    rings = clipped_singly(
        openings, region, least=max(smallest, _WORTHY * usual), strap=strap, soft=roundness
    )
    return pierce_or_refuse(within, region, [rings])


def sunflower(radius: float, pitch: float) -> Points:
    """Return the seeds of a sunflower about the origin, one to every cell of a honeycomb of that pitch.

    Examples
    --------
    >>> seeds = sunflower(20, 5)
    >>> len(seeds), round(float(np.hypot(*seeds.T).max()))
    (59, 20)
    """
    area = math.sqrt(3) / 2 * pitch**2
    return golden_places(math.ceil(math.pi * radius**2 / area), area, turn=GOLDEN_ANGLE / 2)


def _cells(region: Polygon | MultiPolygon, middle: Points, pitch: float) -> tuple[Shapes, Ints]:
    """Return the cells over a region and beyond its edge, and the number of each one's seed."""
    field = shapely.box(*region.bounds).buffer(_BEYOND * pitch, join_style="mitre")
    corners = shapely.get_coordinates(field.exterior)
    seeds = middle + sunflower(float(np.hypot(*(corners - middle).T).max()), pitch)
    low_x, low_y, high_x, high_y = field.bounds
    number = np.flatnonzero(((seeds > (low_x, low_y)) & (seeds < (high_x, high_y))).all(axis=1))
    number = number[number >= _FIRST]
    cells = voronoi_cells(seeds[number], field)
    cell, seed = STRtree(shapely.points(seeds[number])).query(cells, predicate="contains")
    return cells[cell], number[seed]


def _arms_and_ties(
    cells: Shapes, seeds: Ints, region: BaseGeometry, eye: Polygon, pitch: float
) -> tuple[BaseGeometry, Shapes]:
    """Return the eye's edge with the smoothed edges of cells that wind one way, and the others, made longer.

    A tie is left out where the cell on one side of it is a rest: that is joined to the cell on the other.
    """
    one, other = STRtree(cells).query(cells, predicate="dwithin", distance=1e-6)
    one, other = one[one < other], other[one < other]
    edges = shapely.difference(shapely.intersection(cells[one], cells[other]), eye)
    long = shapely.length(edges) > 1e-6
    one, other, edges = one[long], other[long], edges[long]
    winds = _winds_with_arms(np.abs(seeds[one] - seeds[other]))
    arms = shapely.get_parts(shapely.line_merge(shapely.union_all(edges[winds])))
    smooth = [LineString(_smoothed(shapely.get_coordinates(arm))) for arm in arms]
    one, other, edges = one[~winds], other[~winds], edges[~winds]
    left_out = _before_rests(one, other, shapely.length(edges), cells, region)
    ends = shapely.get_coordinates(edges[~left_out]).reshape(-1, 2, 2)
    ahead = ends[:, 1] - ends[:, 0]
    ahead *= _REACH * pitch / np.hypot(*ahead.T)[:, None]
    ties: Shapes = shapely.linestrings(np.stack([ends[:, 0] - ahead, ends[:, 1] + ahead], axis=1))
    return shapely.union_all([*smooth, eye.exterior]), ties


def _winds_with_arms(apart: Ints) -> Flags:
    """Say of which numbers of seeds the spirals wind as the arms do: every other Fibonacci number from 3 on.

    Examples
    --------
    >>> _winds_with_arms(np.array([3, 5, 8, 13, 21, 34])).tolist()
    [True, False, True, False, True, False]
    """
    numbers = [1, 3]
    while numbers[-1] < apart.max(initial=0):
        numbers.append(3 * numbers[-1] - numbers[-2])
    winds: Flags = np.isin(apart, numbers[1:])
    return winds


def _smoothed(line: Points) -> Points:
    """Cut the corners of a line, its ends kept.

    References
    ----------
    G. Chaikin, An algorithm for high-speed curve generation, Computer Graphics and Image Processing 3, 1974.
    """
    for _ in range(_SMOOTHED):
        cut = [point for a, b in pairwise(line) for point in (0.75 * a + 0.25 * b, 0.25 * a + 0.75 * b)]
        line = np.array([line[0], *cut[1:-1], line[-1]])
    return line


def _before_rests(one: Ints, other: Ints, length: Floats, cells: Shapes, region: BaseGeometry) -> Flags:
    """Say which ties to leave out: of each rest the longest to a cell that is none."""
    shapely.prepare(region)
    share = shapely.area(shapely.intersection(cells, region)) / shapely.area(cells)
    tie = np.tile(np.arange(len(one)), 2)
    rest, host = np.concatenate([one, other]), np.concatenate([other, one])
    open_to = (share[rest] > 0) & (share[rest] < _REST) & (share[host] >= _REST)
    tie, rest = tie[open_to], rest[open_to]
    order = np.lexsort((-length[tie], rest))
    _, first = np.unique(rest[order], return_index=True)
    left_out = np.zeros(len(one), dtype=bool)
    left_out[tie[order[first]]] = True
    return left_out


def _along(faces: Shapes, lines: BaseGeometry, reach: float) -> Shapes:
    """Return what lies so near to those sides of each face that are on some lines."""
    ends, own = shapely.get_coordinates(shapely.get_exterior_ring(faces), return_index=True)
    same = own[1:] == own[:-1]
    sides, own = np.stack([ends[:-1], ends[1:]], axis=1)[same], own[:-1][same]
    shapely.prepare(lines)
    on = shapely.dwithin(lines, shapely.points(sides.mean(axis=1)), 1e-6)
    bands = np.full(len(faces), Polygon(), dtype=object)
    which, own = np.unique(own[on], return_inverse=True)
    runs = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(sides[on]), indices=own))
    bands[which] = shapely.buffer(runs, reach, quad_segs=8)
    return bands
