"""Trimming cells at the edge of a region, so that no rest too small to cut is left there as a dark wedge.

Cells share their edges, like tiles. Each opening is its cell drawn in by half a strap, and clipped to the
region. Where an outline cuts a cell so that little is left of it, the rest is given to the neighbour it
shares the longest edge with *before* the two are drawn in: one somewhat larger opening instead of an opening
and a blot. Drawing in rolls a disc as wide as the strap round the outside, so whatever shape a joined cell
has, the paper about it is nowhere thinner.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import Flags, Floats, Ints, shrunk
from canivet.motifs.shapes.openings import Rings, Shapes
from canivet.motifs.shapes.rounds import inscribed_radius, largest_parts

from .clipping import clipped_to
from .convex import drawn_in_plainly
from .sharing import BESIDE, HAIR, joined_tiles, shared_edges
from .sound import FINE, holds_circle, sound_openings

__all__ = [
    "ROUND_OUT",
    "drawn_in",
    "inscribed",
    "lie_inside",
    "softened",
    "trim_cells",
]


WORTHY = 0.42
"""A rest looks like a leftover where its inscribed circle is under this share of a whole cell's. Half a cell
has about half and does not."""

_ROUNDS = 3
"""How many cells deep rests may lie before one has a neighbour that stays."""

_PARTED = -2
"""The home of a cell that was halved: none that another could follow."""

_SHARED = 0.01
"""mm. Cells that share less of an edge only touch."""

_LARGEST = 1.45
"""No cell takes in a rest that makes it larger than this many whole ones."""

_STOUT = 0.6
"""An opening with a form of its own grows by nothing thinner than this share of it, and not at all unless it
comes out larger by `_GAIN`."""

_GAIN = 1.2

_MOSTLY = 0.7
"""An opening that keeps this share of itself is still known for what it is."""

_NOTICED = 0.15
"""A dark spot under this share of a cell passes for the pattern's own ground."""

_KEPT = 0.72
"""What share of an opening must be left when its corners are rounded: a square turned into a circle keeps
0.785, and one that loses more was not round to begin with."""

_TOUCH = 5e-7
"""mm. How far adding up may put a cell that just touches the region's edge beyond it."""

_ALIKE = 0.02
"""Two neighbours are equally near when the edges shared with them differ by no more than this share."""

_QUARTER = 16
"""Sides to a quarter of the disc that is rolled."""

_WIDE = 1.5
"""mm. A corner rounded by a larger disc than this may come out past its shape by as much as matters, since
the disc is flattened."""

ROUND_OUT = 1 / np.cos(np.pi / 4 / _QUARTER)
"""What a disc must be larger so that its flattened edge still clears the true one."""


def inscribed(shape: BaseGeometry) -> float:
    """Return the radius of the largest circle inside a shape, in mm; 0 for an empty one."""
    if shape.is_empty:
        return 0.0
    low_x, low_y, high_x, high_y = shape.bounds
    return inscribed_radius(shape, tolerance=1e-4 * max(high_x - low_x, high_y - low_y))


def drawn_in(cells: Shapes, distance: float | Floats) -> Shapes:
    """Move the edges of cells inward; a corner that points into its cell comes out rounded.

    Examples
    --------
    >>> drawn_in(np.array([shapely.box(0, 0, 4, 4)]), 1.0)[0].area
    4.0
    """
    inward = np.broadcast_to(np.asarray(distance, dtype=float), cells.shape)
    moved, plain = drawn_in_plainly(cells, inward)
    others, inward = cells[~plain], inward[~plain]
    straight = shapely.area(shapely.convex_hull(others)) <= shapely.area(others) * (1 + 1e-12)
    moved[~plain] = shapely.buffer(others, -inward * np.where(straight, 1.0, ROUND_OUT), quad_segs=_QUARTER)
    return moved


def softened(shapes: Shapes, share: float) -> Shapes:
    """Round the corners of openings from inside; at 1 a stout shape comes out all but round.

    Parameters
    ----------
    shapes : ndarray of Polygon
        Openings.
    share : float
        Radius of the corners, as a share of twice the area over the outline, which in a circle is its radius;
        less where that would round a slender shape away.
    """
    left = np.flatnonzero(~shapely.is_empty(shapes))
    out = shapes.copy()
    for give in (1.0, 0.8, 0.6, 0.4, 0.2):
        if share <= 0 or not len(left):
            break
        radius = give * share * 2 * shapely.area(shapes[left]) / shapely.length(shapes[left])
        core = shapely.buffer(shapes[left], -radius, quad_segs=_QUARTER)
        soft = shapely.simplify(shapely.buffer(core, radius * 0.999, quad_segs=_QUARTER), FINE)
        wide = radius > _WIDE
        soft[wide] = shapely.intersection(soft[wide], shapes[left][wide])
        fit = (shapely.get_type_id(core) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(core)
        fit &= shapely.get_type_id(soft) == shapely.GeometryType.POLYGON
        fit &= shapely.area(soft) > _KEPT * shapely.area(shapes[left])
        out[left[fit]] = soft[fit]
        left = left[~fit]
    return out


def trim_cells(
    cells: Shapes,
    openings: Shapes,
    region: Polygon | MultiPolygon,
    *,
    inset: Floats,
    smallest: float,
    whole: Floats,
    soft: float = 0.0,
    formed: bool = False,
    worthy: float = WORTHY,
    joining: Flags | None = None,
    sound: Flags | None = None,
    drawn: Shapes | None = None,
) -> Rings:
    """Return the openings of cells near the edge of a region, clipped to it and joined where little is left.

    Parameters
    ----------
    cells : ndarray of Polygon
        Whole cells with the edges they share with their neighbours, shape (n,); every neighbour of a cell the
        region's edge passes through must be among them.
    openings : ndarray of Polygon
        What is cut from each where it stays whole.
    region : Polygon or MultiPolygon
        Where openings may lie.
    inset : ndarray
        How far each cell is drawn in where it is clipped, in mm; at least half a strap.
    smallest : float
        mm; radius of the smallest opening worth cutting.
    whole : ndarray
        mm; radius of the circle inscribed in each opening where it stays whole.
    soft : float
        How round clipped openings are made; see `softened`.
    formed : bool
        Whether openings have a form of their own, not their cell's: then one that loses little to the edge is
        clipped as it is, and small rests stay closed rather than spoil the form of a neighbour.
    worthy : float
        A rest is a leftover where its inscribed circle is under this share of a whole opening's.
    joining : ndarray of bool, optional
        Which cells may be joined to another; the leftovers of others stay closed. All may where left out.
    sound : ndarray of bool, optional
        Which openings are worth cutting where they stay whole, see `sound_openings`. All are where left out.
    drawn : ndarray of Polygon, optional
        The cells drawn in, where they are known; found here where left out.

    Returns
    -------
    ndarray of LinearRing
        Disjoint, a strap apart and within the region.
    """
    if not len(cells):
        return np.empty(0, dtype=object)
    shapely.prepare(region)
    inside = lie_inside(openings, region)
    inside &= True if sound is None else sound
    beside = np.flatnonzero(~inside)
    clipped = np.full(len(beside), Polygon(), dtype=object)
    if formed:
        clipped = clipped_to(region, openings[beside])
    anew = shapely.area(clipped) <= _MOSTLY * shapely.area(openings[beside])
    fresh = beside[anew]
    bodies = drawn_in(cells[fresh], inset[fresh]) if drawn is None else drawn[fresh]
    clipped[anew] = clipped_to(region, bodies)
    rest = np.full(len(cells), Polygon(), dtype=object)
    rest[beside] = clipped
    present = inside | ~shapely.is_empty(rest)
    present[~present] = _reach_into(cells[~present], region)
    cells, openings, inside, rest = cells[present], openings[present], inside[present], rest[present]
    inset, whole = inset[present], whole[present]
    joins = np.ones(len(cells), dtype=bool) if joining is None else joining[present]
    good = inside | holds_circle(rest, np.maximum(smallest, worthy * whole))
    cells, taken = _give_away(cells, good, joins, region, worth=_NOTICED if formed else 0.0)
    joined = np.flatnonzero(taken > 0)
    grown = clipped_to(region, drawn_in(cells[joined], inset[joined]))
    tongue = np.maximum(smallest, _STOUT * whole[joined] if formed else 0.0) * 0.9
    rest[joined] = _without_tongues(grown, tongue, sharp=not formed)
    if formed:
        gain = shapely.area(rest[joined]) / shapely.area(openings[joined])
        taken[joined[inside[joined] & (gain < _GAIN)]] = 0
    untouched = inside & (taken == 0)
    ragged = ~untouched & (taken >= 0)
    # of each the largest part alone: the paper between two parts of one may be thin
    clipped = softened(largest_parts(rest[ragged]), soft)
    particular = formed | ~joins[ragged]
    least = np.maximum(smallest, np.where(particular, worthy * whole[ragged], 0.0))
    kept = sound_openings(clipped, least, inset[ragged])
    rings: Rings = shapely.get_exterior_ring(np.concatenate([openings[untouched], clipped[kept]]))
    return rings


def lie_inside(openings: Shapes, region: BaseGeometry) -> Flags:
    """Say which openings lie in the region, a touch by rounding allowed."""
    grown = region.buffer(_TOUCH, join_style="mitre")
    shapely.prepare(grown)
    inside: Flags = shapely.covers(grown, openings)
    return inside


def _reach_into(cells: Shapes, region: BaseGeometry) -> Flags:
    """Say which cells have more than a micrometre within the region."""
    reaches: Flags = shapely.intersects(region, cells)
    reaches[reaches] = shapely.intersects(region, shrunk(cells[reaches], 1e-3))
    return reaches


def _give_away(
    cells: Shapes, good: Flags, joins: Flags, region: BaseGeometry, *, worth: float
) -> tuple[Shapes, Ints]:
    """Join each cell that is not good to the neighbour it shares most edge with.

    Where two neighbours are equally near, as on an axis of symmetry, each takes the half on its own side. A
    cell between others that are themselves given away follows one of them.

    Returns
    -------
    cells : ndarray of Polygon
        As grown.
    taken : ndarray of int
        How many rests each took in; -1 for one given away.
    """
    home = np.where(good, np.arange(len(cells)), -1)
    pairs = _shared_edges(cells, np.flatnonzero(~good & joins), region, worth)
    low_x, low_y, high_x, high_y = region.bounds
    middle = shapely.Point((low_x + high_x) / 2, (low_y + high_y) / 2)
    away, asked = np.zeros(len(cells)), np.unique(pairs[1])
    away[asked] = shapely.distance(shapely.centroid(cells[asked]), middle)
    gifts: dict[int, list[BaseGeometry]] = {}
    for _ in range(_ROUNDS):
        settled: dict[int, int] = {}
        for giver, hosts in _nearest(pairs, home, away).items():
            halves = [cells[giver]] if len(hosts) == 1 else _halves(cells[giver], *cells[hosts])
            for host, half in zip(hosts, halves, strict=True):
                gifts.setdefault(int(home[host]), []).append(half)
            settled[giver] = int(home[hosts[0]]) if len(hosts) == 1 else _PARTED
        home[list(settled)] = list(settled.values())
    taken = np.where(good | (home == -1), 0, -1)
    grown = cells.copy()
    if gifts:
        joining = np.array(list(gifts))
        taken[joining] = [len(parts) for parts in gifts.values()]
        tiles = np.array([tile for host, parts in gifts.items() for tile in (cells[host], *parts)])
        grown[joining] = joined_tiles(tiles, np.repeat(np.arange(len(joining)), taken[joining] + 1))
    return grown, taken


def _shared_edges(
    cells: Shapes, loose: Ints, region: BaseGeometry, worth: float
) -> tuple[Ints, Ints, Floats]:
    """Return each loose cell with each of its neighbours, and how much edge the two share in the region."""
    if not len(loose):
        return loose, loose, np.empty(0)
    boxes = shapely.bounds(cells[loose]) + BESIDE * np.array([-1, -1, 1, 1])
    first, host = STRtree(cells).query(shapely.box(*boxes.T))
    giver = loose[first]
    size = shapely.area(cells)
    able = (giver != host) & (size[giver] >= worth * size[host])
    giver, host = giver[able], host[able]
    # most of those about only touch in a corner; only the others need be clipped
    beside = shared_edges(cells, cells, giver, host) > _SHARED
    giver, host = giver[beside], host[beside]
    within, share = cells.copy(), np.ones(len(cells))
    ragged = np.union1d(giver, host)
    within[ragged] = clipped_to(region, cells[ragged])
    share[ragged] = shapely.area(within[ragged]) / size[ragged]
    given, own = share[giver] * size[giver], size[host]
    fits = (given <= (_LARGEST - share[host]) * own) & (given >= worth * own)
    giver, host = giver[fits], host[fits]
    shared = shared_edges(within, cells, giver, host)
    real = shared > _SHARED
    return giver[real], host[real], shared[real]


def _nearest(pairs: tuple[Ints, Ints, Floats], home: Ints, away: Floats) -> dict[int, list[int]]:
    """Return for each cell without a home the neighbour to join, or the two that are equally near.

    Of two that share as much edge the one nearer to the middle of the region is taken, so that the choice is
    the same on both sides of an axis of symmetry; only on the axis itself do two remain.
    """
    giver, host, shared = pairs
    open_to = (home[giver] == -1) & (home[host] >= 0)
    giver, host, shared = giver[open_to], host[open_to], shared[open_to]
    giver, host, _ = _best(giver, host, shared, _ALIKE * shared + 1e-6)
    giver, host, _ = _best(giver, host, -away[host], np.full(len(giver), 1e-6))
    hosts: dict[int, list[int]] = {}
    for row in np.lexsort((host, giver)):
        hosts.setdefault(int(giver[row]), []).append(int(host[row]))
    return {g: near for g, near in hosts.items() if len(near) <= 2}


def _best(giver: Ints, host: Ints, worth: Floats, slack: Floats) -> tuple[Ints, Ints, Floats]:
    """Keep of each giver's hosts the one worth most, and any worth as much but for the slack."""
    most = np.full(giver.max(initial=0) + 1, -np.inf)
    np.maximum.at(most, giver, worth)
    keep = worth >= most[giver] - slack
    return giver[keep], host[keep], worth[keep]


def _halves(cell: Polygon, one: Polygon, other: Polygon) -> list[BaseGeometry]:
    """Split a cell half-way between two others."""
    a, b = shapely.get_coordinates([one.centroid, other.centroid])
    middle, along = (a + b) / 2, (b - a) / np.hypot(*(b - a))
    across = np.array([-along[1], along[0]])
    far = 2 * cell.length + float(np.hypot(*(middle - shapely.get_coordinates(cell.centroid)[0])))
    ends = middle + far * np.array([across, -across])
    return [
        cell.intersection(Polygon([*ends, ends[1] + s * far * along, ends[0] + s * far * along]))
        for s in (-1, 1)
    ]


def _without_tongues(shapes: Shapes, radius: Floats, *, sharp: bool) -> Shapes:
    """Take off whatever a disc of that radius cannot reach from inside; corners stay where `sharp`."""
    core = largest_parts(shapely.buffer(shapes, -radius, quad_segs=_QUARTER))
    join = "mitre" if sharp else "round"
    full = shapely.buffer(core, radius + HAIR, join_style=join, mitre_limit=3, quad_segs=_QUARTER)
    kept = shapes.copy()
    cut = ~shapely.covers(full, shapes)
    kept[cut] = shapely.intersection(shapes[cut], full[cut])
    return kept
