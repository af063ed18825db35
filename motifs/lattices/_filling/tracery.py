"""What traceried lattices are made of: foils, stars of tiles in contact, ogees and scales."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import about, foil_ratio, largest_part

from .repeat import ROUND, ROW, Repeat, circle
from .trim import inscribed, softened

__all__ = [
    "THIN", "foil_shape", "foils_with_gaps", "mirrored", "notch_ratio", "ogee_cell",
    "scale_cell", "star_faces", "wave_cells",
]  # fmt: skip

THIN = 0.004
"""mm. How far a ring may stray when points it does not need are left out; straps are drawn so much wider."""

_SPECK = 0.05
"""mm. A gap that holds no circle of this radius is none."""


def notch_ratio(points: int, angle: float) -> float:
    """Return how far from the middle the inward corners of a star lie, its points lying at 1.

    Parameters
    ----------
    points : int
        Points of the star.
    angle : float
        Contact angle in radians.

    Examples
    --------
    >>> round(notch_ratio(8, math.radians(67.5)), 6)
    0.541196
    """
    return math.cos(angle) / math.cos(angle - math.pi / points)


def foil_shape(lobes: int, radius: float, cusp: float) -> Polygon:
    """Return a foil about the origin, a lobe upward or sideways; the cusps between its lobes are rounded.

    Parameters
    ----------
    lobes : int
        How many.
    radius : float
        mm, of the circle round it.
    cusp : float
        mm, how wide a cusp ends.
    """
    lobe = foil_ratio(lobes) * radius
    first = 0.0 if lobes == 6 else np.pi / 2  # sixfoils meet lobe to lobe
    middles = about(0, 0, radius - lobe, lobes, turn=first)
    discs = [Polygon(circle(lobe) + middle) for middle in middles]
    body = shapely.union_all([Polygon(middles), *discs])
    # a cusp no narrower than a strap: fill what a disc of that width cannot enter from outside
    reach = cusp / 2 * 1.002 + 2 * THIN
    closed = body.buffer(reach, quad_segs=24).buffer(-reach, quad_segs=24)
    return mirrored(closed)


def mirrored(shape: BaseGeometry) -> Polygon:
    """Return a shape made exactly its own mirror image left to right, in few points."""
    _, low_y, high_x, high_y = shape.bounds
    right = shapely.orient_polygons(shape.intersection(shapely.box(0, low_y - 1, high_x + 1, high_y + 1)))
    ring = shapely.get_coordinates(right.exterior)[:-1]
    ring[ring[:, 0] < 1e-3, 0] = 0.0
    lowest = int(np.lexsort((ring[:, 1], ring[:, 0] > 0))[0])
    ring = np.roll(ring, -lowest, axis=0)
    on_axis = np.flatnonzero(ring[:, 0] == 0)
    top = on_axis[np.argmax(ring[on_axis, 1])]
    half = shapely.get_coordinates(LineString(ring[: top + 1]).simplify(THIN))
    return Polygon(np.vstack([half, half[-2:0:-1] * (-1, 1)]))


def foils_with_gaps(wide: float, high: float, body: Polygon, strap: float, *, square: bool) -> Repeat:
    """Lay foils in rows, and in the gaps between them what a strap leaves of each."""
    size = np.array([wide, high])
    if square:
        middles = size[None] / 2
        tile = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * size / 2
        gaps = [(tile, np.array([0.0, 0.0]))]
    else:
        middles = np.array([(wide / 2, high / 2), (wide, high * 1.5)])
        tile = np.array([(1, -0.5), (1, 0.5), (0, 1), (-1, 0.5), (-1, -0.5), (0, -1)]) * size * (0.5, 2 / 3)
        up, down = np.array([(-0.5, 0), (0.5, 0), (0, 1)]), np.array([(0, 0), (0.5, 1), (-0.5, 1)])
        gaps = [(up * size, np.array([wide, high / 2])), (down * size, np.array([wide / 2, high / 2]))]
        gaps += [(around, at + np.array([wide / 2, high])) for around, at in gaps]
    rows = high * len(middles)
    cells, openings = [], []
    for around, at in gaps:
        gap = _gap(around, body, strap)
        if gap is not None:
            cells.append(translate(shapely.orient_polygons(gap.buffer(strap / 2, quad_segs=24)), *at))
            openings.append(translate(gap, *at))
    between = shapely.union_all(
        [translate(c, i * wide, j * rows) for c in cells for i in (-1, 0, 1) for j in (-1, 0, 1)]
    )
    for middle in middles:
        cells.append(translate(Polygon(tile), *middle).difference(between))
        openings.append(translate(body, *middle))
    return Repeat(wide, rows, _rings(cells), _rings(openings), soft=ROUND / 2, worthy=0.3)


def _rings(shapes: Iterable[Polygon]) -> list[Points]:
    return [shapely.get_coordinates(shape.exterior)[:-1] for shape in shapes]


def _gap(around: Points, body: Polygon, strap: float) -> Polygon | None:
    """Return the rounded opening between foils at the given corners; None where there is no room."""
    foils = shapely.union_all([translate(body, *corner) for corner in around])
    tile = Polygon(around).buffer(-strap / 2)  # gaps on both sides of a line of foils keep apart too
    free = tile.difference(foils.buffer(strap * 1.002 + 2 * THIN + 0.002, quad_segs=24))
    low_x, low_y, high_x, high_y = Polygon(around).bounds
    axis = LineString([((low_x + high_x) / 2, low_y), ((low_x + high_x) / 2, high_y)])
    parts = [part for part in shapely.get_parts(free) if part.intersects(axis) and inscribed(part) > _SPECK]
    if not parts:
        return None
    part = max(parts, key=inscribed)
    soft: Polygon = softened(np.array([part]), 0.3)[0]
    return mirrored(soft)


def star_faces(number: int, angle: float) -> list[Points]:
    """Return the faces of a star pattern in one repeat, stars 1 apart."""
    segments = []
    for middle, sides, inradius, turn in _tiles(number):
        turns = turn + 2 * np.pi * np.arange(2 * sides) / (2 * sides)
        reach = inradius * np.where(np.arange(2 * sides) % 2 == 0, 1.0, notch_ratio(sides, angle))
        ring = middle + reach[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])
        segments.append(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    high = 1.0 if number == 8 else 2 * ROW
    period = np.concatenate(segments)
    shifts = np.array([(i, j * high) for i in range(-2, 3) for j in range(-2, 3)])
    lines = (shifts[:, None, None] + period).reshape(-1, 2, 2)
    # no side is drawn twice, but one point may come out of two sums: round, or rings stay open
    lines = np.round(lines, 9)
    faces = shapely.get_parts(shapely.polygonize(shapely.linestrings(lines)))
    at = shapely.get_coordinates(shapely.centroid(faces)) + 1e-6
    chosen = faces[(at[:, 0] >= 0) & (at[:, 0] < 1) & (at[:, 1] >= 0) & (at[:, 1] < high)]
    return [shapely.get_coordinates(face.exterior)[:-1] for face in shapely.orient_polygons(chosen)]


def _tiles(number: int) -> list[tuple[Points, int, float, float]]:
    """Return the tiles of one repeat: middle, sides, inradius, and the angle of the middle of a side."""
    middles = np.array([(0.5, 0.5)] if number == 8 else [(0.5, ROW), (0.0, 0.0)])
    stars = [(middle, number, 0.5, 0.0) for middle in middles]
    if number == 8:
        # the squares between octagons: a side of the octagon is tan(π/8) of their distance
        return [*stars, (np.array([0.0, 0.0]), 4, math.tan(math.pi / 8) / 2, math.pi / 4)]
    if number == 12:
        side = math.tan(math.pi / 12)
        inradius = side / 2 / math.sqrt(3)
        third = 1 / math.sqrt(3)
        up = [np.array([0.5, third / 2]), np.array([0.0, ROW + third / 2])]
        down = [np.array([0.0, third]), np.array([0.5, ROW + third])]
        return [
            *stars,
            *((m, 3, inradius, -math.pi / 6) for m in up),
            *((m, 3, inradius, math.pi / 6) for m in down),
        ]
    return stars


def ogee_cell(wide: float, height: float, point: float) -> Points:
    """Return an ogee about the origin, counter-clockwise; `height` in widths, `point` in degrees."""
    lean = math.radians(point / 2)
    start, end = np.array([0.5, 0]), np.array([0, height / 2])
    handle = 0.62 * math.hypot(0.5, height / 2) * np.array([-math.sin(lean), math.cos(lean)])
    t = np.linspace(0, 1, 25)[:-1, None]
    curve = (1 - t) ** 3 * start + 3 * t * (1 - t) ** 2 * (start + handle)
    curve = curve + 3 * t**2 * (1 - t) * (end - handle) + t**3 * end
    other = np.vstack([end, curve[:0:-1]]) * (-1, 1)
    half = np.vstack([curve, other])
    return wide * np.vstack([half, -half])


def scale_cell(wide: float, high: float) -> Points:
    """Return a scale that hangs from the row above, about the middle of its half-round."""
    # As flat to the blade at every size: the rise of a chord grows with the scale, and falls with its square.
    steps = math.ceil(24 * max(1.0, math.sqrt(wide / 9)))
    turns = np.linspace(0, np.pi / 2, steps + 1)
    quarter = np.column_stack([np.cos(turns) * wide / 2, -np.sin(turns) * high])
    bottom = np.vstack([(-1, 1) * quarter[:-1], quarter[::-1]])
    right = quarter[1:][::-1] * 0 + (np.array([wide / 2, high]) + quarter[::-1] * (-1, 1))[1:]
    left = right[::-1][1:] * (-1, 1)
    return np.vstack([bottom, right, left[:-1]])


def wave_cells(arcs: int) -> list[Points]:
    """Return what is seen of a wave of diameter 1 about the origin behind those before it, ring by ring.

    Examples
    --------
    >>> round(sum(Polygon(cell).area for cell in wave_cells(3)), 3)
    0.25
    """
    fine = circle(20.0) / 20.0  # sides as short as on a large wave
    before = [(fine / 2 + at) for at in ((-0.5, -0.25), (0.5, -0.25), (0.0, -0.5))]
    seen = Polygon(fine / 2).difference(shapely.union_all([Polygon(one) for one in before]))
    discs = [*(Polygon(fine * (0.5 * (arcs - k) / arcs)) for k in range(arcs)), Polygon()]
    bands = [largest_part(seen.intersection(outer.difference(inner))) for outer, inner in pairwise(discs)]
    return _rings(shapely.orient_polygons(bands))
