"""From drawn lines to plain regions: rings filled by a rule, strokes widened, paint laid over paint.

Everything here is shapely and numpy; nothing knows where the lines came from.

References
----------
Fill rules, strokes, dashes and mitres as in SVG 2, chapter 13, *Painting*.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = [
    "FillRule",
    "Subpath",
    "TooIntricate",
    "check_crossings",
    "cut_dashes",
    "fill_rings",
    "lay_paint",
    "parts_of",
    "widen",
]

Points = NDArray[np.float64]
FillRule = Literal["nonzero", "evenodd"]

MOST_CROSSINGS = 20_000
"""Places where edges may cross: no hand cuts as many, and past ten times as many noding takes minutes."""

MOST_VERTICES = 1_000_000
"""Vertices of a picture while it is put together; a plate that a hand can cut has some tens of thousands."""

MOST_DASHES = 5_000


class TooIntricate(Exception):
    """The lines cross, or are broken, so often that no hand could cut them."""


class Subpath(NamedTuple):
    """One run of points, joined back to its start or not."""

    points: Points
    closed: bool


def parts_of(geometry: BaseGeometry) -> MultiPolygon:
    """Return the polygons of any geometry, its loose lines and points left out.

    Examples
    --------
    >>> mixed = shapely.geometrycollections([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)])
    >>> len(parts_of(mixed).geoms)
    1
    """
    found = shapely.get_parts(shapely.get_parts(geometry))
    return MultiPolygon([p for p in found if isinstance(p, Polygon) and not p.is_empty])


def fill_rings(rings: Sequence[Points], rule: FillRule, *, grid: float) -> MultiPolygon:
    """Return the region that filling these rings paints.

    Parameters
    ----------
    rings : sequence of (n, 2) arrays
        Each is closed back to its first point.
    rule : ``"nonzero"`` or ``"evenodd"``
        How a region crossed by several rings is decided.
    grid : float
        The rings' own unit; only where rings cross or touch are points rounded to it.

    Raises
    ------
    TooIntricate
        If the rings cross more than twenty thousand times.

    Examples
    --------
    >>> square = np.array([[0, 0], [4, 0], [4, 4], [0, 4]], float)
    >>> fill_rings([square, square / 2 + 1], "evenodd", grid=1e-6).area
    12.0
    >>> fill_rings([square, square / 2 + 1], "nonzero", grid=1e-6).area
    16.0
    """
    clean = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not clean:
        return MultiPolygon()
    lines = np.array([shapely.linearrings(ring) for ring in clean])
    areas = shapely.polygons(lines)
    if not shapely.is_valid(areas).all() or _any_touch(lines):
        return _fill_crossing(clean, lines, rule, grid)
    return _fill_nested(lines, areas, rule)


def _without_repeats(ring: Points) -> Points:
    if len(ring) < 3:
        return ring[:0]
    kept: Points = ring[(ring != np.roll(ring, 1, axis=0)).any(axis=1)]
    return kept


def _any_touch(lines: NDArray[np.object_]) -> bool:
    if len(lines) == 1:
        return False
    first, second = shapely.STRtree(lines).query(lines)
    ahead = first < second
    return bool(shapely.intersects(lines[first[ahead]], lines[second[ahead]]).any())


def _fill_nested(lines: NDArray[np.object_], areas: NDArray[np.object_], rule: FillRule) -> MultiPolygon:
    """Fill simple rings that keep clear of each other: whoever lies within whom decides."""
    inner, outer = shapely.STRtree(areas).query(shapely.get_point(lines, 0), predicate="within")
    turn = np.where(shapely.is_ccw(lines), 1, -1) if rule == "nonzero" else np.ones(len(lines), int)
    around = np.zeros(len(lines), int)
    np.add.at(around, inner, turn[outer])
    filled, beyond = (_is_filled(w, rule) for w in (around + turn, around))
    shells, holes = np.flatnonzero(filled & ~beyond), filled < beyond
    smallest = dict.fromkeys(map(int, shells), ())  # type: dict[int, tuple[int, ...]]
    size = shapely.area(areas)
    for hole in np.flatnonzero(holes):
        around_it = [j for j in outer[inner == hole] if int(j) in smallest]
        shell = int(min(around_it, key=size.__getitem__))
        smallest[shell] = (*smallest[shell], int(hole))
    return MultiPolygon(
        [shapely.polygons(lines[s], holes=lines[list(h)] if h else None) for s, h in smallest.items()]
    )


def _fill_crossing(
    rings: list[Points], lines: NDArray[np.object_], rule: FillRule, grid: float
) -> MultiPolygon:
    """Fill rings that cross: cut the plane along them and ask each face how often it is wound about."""
    starts = np.concatenate(rings)
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    tree = shapely.STRtree(check_crossings(starts, ends))
    noded = shapely.get_parts(shapely.union_all(lines, grid_size=grid))
    faces = shapely.get_parts(shapely.polygonize(noded))
    if not len(faces):
        return MultiPolygon()
    winding = _winding(_well_inside(faces, 4 * grid), starts, ends, tree)
    kept = faces[_is_filled(winding, rule)]
    return parts_of(shapely.union_all(kept, grid_size=grid))


def _well_inside(faces: NDArray[np.object_], clearance: float) -> Points:
    """Return a point in each face, clear of the rounding of its edges wherever the face is wide enough."""
    points = shapely.point_on_surface(faces)
    close = np.flatnonzero(shapely.distance(points, shapely.boundary(faces)) < clearance)
    if len(close):
        spokes = shapely.maximum_inscribed_circle(faces[close], tolerance=clearance)
        points[close] = shapely.get_point(spokes, 0)
    found: Points = shapely.get_coordinates(points)
    return found


def check_crossings(starts: Points, ends: Points) -> NDArray[np.object_]:
    """Return the edges as lines, after estimating from five hundred of them how often they cross.

    Raises
    ------
    TooIntricate
        If that is more than twenty thousand times.

    Examples
    --------
    >>> len(check_crossings(np.zeros((3, 2)), np.eye(3, 2)))
    3
    """
    edges: NDArray[np.object_] = shapely.linestrings(np.stack([starts, ends], axis=1))
    if len(edges) ** 2 <= MOST_CROSSINGS:
        return edges
    tree = shapely.STRtree(edges)
    sample = np.arange(0, len(edges), max(1, len(edges) // 500))
    met = 0
    for few in np.array_split(sample, len(sample) // 5):  # a hopeless tangle shows after some edges
        which, other = tree.query(edges[few])
        met += _cross(starts[few[which]], ends[few[which]], starts[other], ends[other])
        if met > 2 * MOST_CROSSINGS:
            break
    if max(met, met * len(edges) / len(sample)) / 2 > MOST_CROSSINGS:
        raise TooIntricate("its lines cross each other too often")
    return edges


def _cross(a: Points, b: Points, c: Points, d: Points) -> int:
    """Count the pairs of edges ab and cd that cross within both; meeting at an end does not count."""

    def side(p: Points, q: Points, r: Points) -> NDArray[np.float64]:
        return np.sign((q[:, 0] - p[:, 0]) * (r[:, 1] - p[:, 1]) - (q[:, 1] - p[:, 1]) * (r[:, 0] - p[:, 0]))

    return int(((side(a, b, c) * side(a, b, d) < 0) & (side(c, d, a) * side(c, d, b) < 0)).sum())


def _winding(points: Points, starts: Points, ends: Points, tree: shapely.STRtree) -> NDArray[np.int_]:
    """Count signed crossings of a ray that leaves each point to the right."""
    far = np.column_stack(
        [np.full(len(points), max(starts[:, 0].max(), points[:, 0].max()) + 1), points[:, 1]]
    )
    which, edge = tree.query(shapely.linestrings(np.stack([points, far], axis=1)))
    (px, py), a, b = points[which].T, starts[edge], ends[edge]
    side = (b[:, 0] - a[:, 0]) * (py - a[:, 1]) - (px - a[:, 0]) * (b[:, 1] - a[:, 1])
    up = (a[:, 1] <= py) & (py < b[:, 1]) & (side > 0)
    down = (b[:, 1] <= py) & (py < a[:, 1]) & (side < 0)
    total = np.zeros(len(points), int)
    np.add.at(total, which, up.astype(int) - down)
    return total


def _is_filled(winding: NDArray[np.int_], rule: FillRule) -> NDArray[np.bool_]:
    return np.not_equal(winding if rule == "nonzero" else winding % 2, 0)


def widen(
    paths: Sequence[Subpath],
    *,
    width: float,
    cap: str = "butt",
    join: str = "miter",
    mitre_limit: float = 4.0,
    tolerance: float,
) -> list[BaseGeometry]:
    """Return the bands that a pen of this width leaves along the paths.

    Parameters
    ----------
    paths : sequence of Subpath
        In the pen's own units.
    width : float
        Width of the pen.
    cap : ``"butt"``, ``"round"`` or ``"square"``
        How an open end is finished.
    join : ``"miter"``, ``"round"`` or ``"bevel"``
        How a corner is finished; any other word draws a mitre.
    mitre_limit : float
        Mitre length over width past which a corner is bevelled.
    tolerance : float
        How far a round may stray from its circle.

    Notes
    -----
    Corners are bevelled by the buffer and each mitre that keeps the limit is laid on top, since a buffer
    would cut a longer one short and SVG wants it bevelled.

    Examples
    --------
    >>> square = Subpath(np.array([[0, 0], [10, 0], [10, 10], [0, 10]], float), closed=True)
    >>> bands = widen([square], width=2, tolerance=0.01)
    >>> round(shapely.union_all(bands).area, 6)  # 12 × 12 less 8 × 8
    80.0
    """
    radius = width / 2
    segments = _segments_per_quarter(radius, tolerance)
    bands: list[BaseGeometry] = []
    for points, closed in paths:
        line = points[np.r_[True, (np.diff(points, axis=0) != 0).any(axis=1)]]
        if closed and len(line) > 1 and (line[0] == line[-1]).all():
            line = line[:-1]
        if len(line) < 2:
            bands.extend(_dot(line, radius, cap, segments))
            continue
        ring = closed and len(line) > 2
        shape = shapely.linearrings(line) if ring else shapely.linestrings(line)
        bands.append(shapely.buffer(
            shape, radius, quad_segs=segments, cap_style=_CAPS.get(cap, "flat"),
            join_style="round" if join == "round" else "bevel",
        ))  # fmt: skip
        if join not in ("round", "bevel"):
            bands.extend(_mitres(line, ring, radius, mitre_limit))
    return bands


_CAPS = {"butt": "flat", "round": "round", "square": "square"}


def _segments_per_quarter(radius: float, tolerance: float) -> int:
    if radius <= tolerance:
        return 2
    return int(np.clip(np.ceil(np.pi / 4 / np.arccos(1 - tolerance / radius)), 2, 128))


def _dot(point: Points, radius: float, cap: str, segments: int) -> list[BaseGeometry]:
    """A path that goes nowhere shows only its caps."""
    if not len(point) or cap not in ("round", "square"):
        return []
    return [shapely.buffer(shapely.points(point[0]), radius, quad_segs=segments, cap_style=cap)]


def _mitres(line: Points, ring: bool, radius: float, limit: float) -> list[BaseGeometry]:
    corners = np.vstack([line[-1], line, line[0]]) if ring else line
    steps = np.diff(corners, axis=0)
    steps /= np.hypot(*steps.T)[:, None]
    before, after, at = steps[:-1], steps[1:], corners[1:-1]
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    straightness = (before * after).sum(axis=1)
    # Mitre length over width is 1 / sin(half the angle between the legs), whose square is (1 + cos turn) / 2.
    half_sine = np.sqrt(np.clip((1 + straightness) / 2, 0, 1))
    sharp = (np.abs(turn) > 0.05) & (half_sine * limit >= 1)
    before, after, at, turn = before[sharp], after[sharp], at[sharp], turn[sharp]
    side = np.where(turn > 0, 1.0, -1.0)[:, None] * radius
    one, two = (np.column_stack([d[:, 1], -d[:, 0]]) * side for d in (before, after))
    tip = (one + two) / (2 * half_sine[sharp, None] ** 2)
    quads = np.stack([at, at + one, at + tip, at + two], axis=1)
    return list(shapely.polygons(quads))


def cut_dashes(path: Subpath, dashes: Sequence[float], offset: float) -> list[Subpath]:
    """Return the pieces of a path that dashes of these lengths leave, on and off in turn.

    Raises
    ------
    TooIntricate
        If there would be more than five thousand.

    Examples
    --------
    >>> line = Subpath(np.array([[0.0, 0.0], [10.0, 0.0]]), closed=False)
    >>> [piece.points[:, 0].tolist() for piece in cut_dashes(line, [3, 2], 0)]
    [[0.0, 3.0], [5.0, 8.0]]
    """
    points = np.vstack([path.points, path.points[:1]]) if path.closed else path.points
    along = np.r_[0.0, np.hypot(*np.diff(points, axis=0).T).cumsum()]
    pattern = np.asarray(dashes, float)
    pattern = np.tile(pattern, 2) if len(pattern) % 2 else pattern
    period = pattern.sum()
    if along[-1] / period * len(pattern) > MOST_DASHES:
        raise TooIntricate("its dashes are too many")
    marks = np.r_[0.0, pattern.cumsum()]
    shift = offset % period
    repeats = np.arange(int((along[-1] + shift) // period) + 1)[:, None] * period - shift
    starts, ends = ((repeats + marks[k::2][: len(pattern) // 2]).ravel() for k in (0, 1))
    shown = (ends >= 0) & (starts <= along[-1])
    # A dash of no length shows its caps; one that only touches an end of the line with its own shows nothing.
    shown &= (ends == starts) | ((ends > 0) & (starts < along[-1]))
    spans = np.clip(np.column_stack([starts, ends])[shown], 0, along[-1])
    on = [_stretch(points, along, start, end) for start, end in spans]
    if path.closed and on and (on[0][0] == points[0]).all() and (on[-1][-1] == points[0]).all():
        if len(on) == 1:
            return [path]
        on[0] = np.vstack([on.pop(), on[0]])  # a dash that runs through the start is one
    return [Subpath(dash, closed=False) for dash in on]


def _stretch(points: Points, along: Points, start: float, end: float) -> Points:
    inside = points[(along > start) & (along < end)]
    tips = np.column_stack([np.interp((start, end), along, points[:, k]) for k in (0, 1)])
    return np.vstack([tips[:1], inside, tips[1:]])


def lay_paint(coats: Sequence[tuple[bool, BaseGeometry]], *, grid: float) -> MultiPolygon:
    """Return what is dark when coats of paint, dark or light, are laid one over the other.

    Parameters
    ----------
    coats : sequence of (dark, region)
        Bottom first.
    grid : float
        Points are rounded to it where regions meet.

    Raises
    ------
    TooIntricate
        If the coats cross too often or the picture grows past a million vertices.

    Notes
    -----
    A coat takes away a region and adds another. Two coats in a row are one: take away both regions, add the
    first less what the second took, and the second. That rule is associative, so the coats are joined in
    pairs like the rounds of a tournament, and the whole costs little more than its last rounds.

    Examples
    --------
    >>> lay_paint([(True, shapely.box(0, 0, 4, 4)), (False, shapely.box(1, 1, 3, 3))], grid=1e-6).area
    12.0
    """
    nothing = MultiPolygon()
    if len(coats) > 1:
        ends, ring = shapely.get_coordinates([region for _, region in coats]), _ring_numbers(coats)
        along = ring[1:] == ring[:-1]
        check_crossings(ends[:-1][along], ends[1:][along])
    rounds = [(nothing, region) if dark else (region, nothing) for dark, region in coats]
    while len(rounds) > 1:
        pairs = zip(rounds[::2], rounds[1::2], strict=False)
        rounds = [_join(a, b, grid) for a, b in pairs] + rounds[len(rounds) // 2 * 2 :]
    return parts_of(rounds[0][1]) if rounds else nothing


def _ring_numbers(coats: Sequence[tuple[bool, BaseGeometry]]) -> NDArray[np.int_]:
    parts = shapely.get_parts([region for _, region in coats])
    rings = shapely.get_rings(parts)
    return np.repeat(np.arange(len(rings)), shapely.get_num_coordinates(rings))


_Coat = tuple[BaseGeometry, BaseGeometry]


def _join(under: _Coat, over: _Coat, grid: float) -> _Coat:
    (taken, added), (taken_over, added_over) = under, over
    left = _apart(shapely.difference, added, taken_over, grid)
    result = _apart(shapely.union, taken, taken_over, grid), _apart(shapely.union, left, added_over, grid)
    if sum(map(shapely.get_num_coordinates, result)) > MOST_VERTICES:
        raise TooIntricate("its shapes overlap too often")
    return result


def _apart(
    operation: Callable[..., BaseGeometry], one: BaseGeometry, two: BaseGeometry, grid: float
) -> BaseGeometry:
    """Do the operation, unless one of the two is empty and nothing can change."""
    if two.is_empty:
        return one
    if one.is_empty:
        return two if operation is shapely.union else one
    result: BaseGeometry = operation(one, two, grid_size=grid)
    return result if result.geom_type in ("Polygon", "MultiPolygon") else parts_of(result)
