"""A fold worked out: where its layers come to lie, and the edges of its wedge."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon, box

from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.outlines import quarter_turn

from .steps import Crease, Folding, Map, Stage, Step, fold_flat, invert, place

__all__ = [
    "Edge",
    "Fold",
    "Role",
    "WedgeDrawing",
    "halved_upward",
    "made",
    "medallion_stages",
    "no_hem",
    "pleats",
    "sector",
    "triangles",
]


Role = Literal["fold", "open", "mixed"]
"""A wedge's edge is a fold in every layer, an open edge in every layer, or some of each."""


_NEAR = 1e-5
"""mm; two places nearer than this are one."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One side of the wedge, run counter-clockwise, and what it is in the packet."""

    line: LineString
    role: Role

    @property
    def normal(self) -> tuple[float, float]:
        """Return the unit vector into the wedge, for a straight edge."""
        (x0, y0), (x1, y1) = self.line.coords[0], self.line.coords[-1]
        length = math.hypot(x1 - x0, y1 - y0)
        return (y0 - y1) / length, (x1 - x0) / length

    @property
    def creased(self) -> bool:
        """Whether some layer is folded here, so that an opening may cross."""
        return self.role != "open"


@dataclass(frozen=True, slots=True, eq=False)
class Fold:
    """A sheet and the way it is folded. Lengths in mm.

    Attributes
    ----------
    name, symmetry : str
        What it is called, and the symmetry it makes: ``D5``, or the group's symbol.
    sheet : Polygon
        What is folded.
    wedge : Polygon
        What is drawn, as it lies in the packet; convex.
    edges : tuple of Edge
        Its sides, counter-clockwise.
    elements : tuple of Map
        One for each layer: carries the wedge to its place on the sheet. The first leaves it where it is.
    stages : tuple of Stage
        How it is folded.
    folding : Folding
        Layers, creases and the packet after each stage.
    hem : float
        Paper beyond the panels that stands out of the packet and is never cut; 0 for none.
    """

    name: str
    symmetry: str
    sheet: Polygon
    wedge: Polygon
    edges: tuple[Edge, ...]
    elements: tuple[Map, ...]
    stages: tuple[Stage, ...]
    folding: Folding
    hem: float = 0.0

    @property
    def layers(self) -> int:
        """Return how many thicknesses are cut at once."""
        return len(self.elements)

    @property
    def creases(self) -> tuple[Crease, ...]:
        """Return the crease pattern of the opened sheet."""
        return self.folding.creases

    def unfolded(self, shape: Polygon) -> list[Polygon]:
        """Return the copies of a shape in the wedge, one a layer, where they lie on the opened sheet."""
        return [_as_polygon(place(shape, m)) for m in self.elements]


@dataclass(frozen=True, slots=True, eq=False)
class WedgeDrawing:
    """What is cut out of the wedge, and what is kept of it where the open edge is shaped."""

    openings: tuple[Polygon, ...]
    kept: Polygon | None = None


def halved_upward(height: float) -> Stage:
    """Return the fold in half along the length."""
    return Stage("Fold in half along its length, top down to bottom.", (Step((0, height / 2), (1, 0)),))


def pleats(count: int, width: float, *, across: bool) -> tuple[Step, ...]:
    """Return the folds of a strip to and fro, from its far end."""
    steps = []
    for k in range(count - 1, 0, -1):
        over = (count - k) % 2 == 1
        if across:
            steps.append(Step((k * width, 0.0), (0.0, -1.0), over))
        else:
            steps.append(Step((0.0, k * width), (1.0, 0.0), over))
    return tuple(steps)


def medallion_stages(count: int) -> list[Stage]:
    """Halve while the count is even, then pleat what is left of it as a fan."""
    stages = [Stage("Fold in half, left over right.", (Step((0, 0), (0, 1)),))]
    left, span = count, math.pi
    while left % 2 == 0:
        left, span = left // 2, span / 2
        stages.append(Stage("Fold in half again about the middle.", (_ray(math.pi / 2 - span),)))
    if left > 1:
        each = span / left
        fan = [_ray(math.pi / 2 - k * each, over=(left - k) % 2 == 1) for k in range(left - 1, 0, -1)]
        stages.append(Stage(f"Fold to and fro about the middle into {left} equal parts.", tuple(fan)))
    return stages


def _ray(angle: float, *, over: bool = True) -> Step:
    """Return the fold along a ray from the origin that turns over what lies clockwise of it."""
    return Step((0.0, 0.0), (-math.cos(angle), -math.sin(angle)), over)


def triangles(group: str, count: int, side: float) -> Fold:
    """Fold a hexagon, `count` triangles to a side, to one triangle, and for p6mm to a sixth of that."""
    high = side * math.sqrt(3) / 2
    hexagon = Polygon([(count * side * c, count * side * s) for c, s in _sixths()])
    rows = [Step((0.0, k * high), (1.0, 0.0), k % 2 == 1) for k in range(count - 1, 0, -1)]
    rows += [Step((0.0, k * high), (-1.0, 0.0), k % 2 == 1) for k in range(1 - count, 1)]
    stages = [Stage("Fold along the level lines to and fro into one row.", tuple(rows))]
    stages.append(Stage("Fold to and fro into one triangle.", _row_of_triangles(count, side, high)))
    triangle = Polygon([(0, 0), (side, 0), (side / 2, high)])
    if group == "p3m1":
        return made("hexagon of triangles", group, hexagon, triangle, stages)
    middle = (side / 2, high / 3)
    stages.append(Stage("Fold the triangle in half.", (Step((side / 2, 0), (0.0, -1.0)),)))
    fan = (Step(middle, (side / 4, -high / 6)), Step(middle, (side / 2, high / 3), over=False))
    stages.append(Stage("Fold to and fro about the triangle’s middle into three.", fan))
    return made("hexagon of triangles", group, hexagon, Polygon([(0, 0), (side / 2, 0), middle]), stages)


def _row_of_triangles(count: int, side: float, high: float) -> tuple[Step, ...]:
    """Return the folds that bring a row of triangles onto the one at the origin, from both ends.

    Lines fall and rise by turns; each is taken in the direction that has the far end of the row on its left.
    """
    steps = []
    for k in range(2 * count, 0, -1):
        foot = ((k + 1) // 2 * side, 0.0)
        steps.append(Step(foot, (side / 2, -high)) if k % 2 else Step(foot, (-side / 2, -high), over=False))
    for k in range(2 * count, -1, -1):
        foot = (-(k // 2) * side, 0.0)
        steps.append(Step(foot, (-side / 2, high)) if k % 2 else Step(foot, (side / 2, high), over=False))
    return tuple(steps)


def _sixths() -> list[tuple[float, float]]:
    half = math.sqrt(3) / 2
    return [(1.0, 0.0), (0.5, half), (-0.5, half), (-1.0, 0.0), (-0.5, -half), (0.5, -half)]


def sector(radius: float, angle: float) -> Polygon:
    """Return the sector to the right of the upright, its arc drawn in chords."""
    count = max(3, math.ceil(angle / (math.pi / 2) * (len(quarter_turn(radius)) - 1)))
    turns = math.pi / 2 - angle + angle * np.arange(count + 1) / count
    arc = radius * np.column_stack([np.cos(turns), np.sin(turns)])
    arc[-1] = (0.0, radius)
    return Polygon([(0.0, 0.0), *arc])


def made(
    name: str,
    symmetry: str,
    core: Polygon,
    wedge: Polygon,
    stages: Sequence[Stage],
    *,
    hem: tuple[float, float] = (0.0, 0.0),
) -> Fold:
    """Fold the sheet and read off its elements, and what each side of the wedge is."""
    folding = fold_flat(core, stages)
    elements = sorted((invert(layer.from_sheet) for layer in folding.layers), key=_away)
    edges = _edges(wedge, elements, folding.creases)
    low_x, low_y, high_x, high_y = core.bounds
    hemmed = max(hem) > 0
    if hemmed and not any(edge.role == "mixed" for edge in edges):
        raise no_hem(name, max(hem))
    sheet = box(low_x - hem[0], low_y - hem[1], high_x + hem[0], high_y + hem[1]) if hemmed else core
    return Fold(
        name=name, symmetry=symmetry, sheet=sheet, wedge=wedge, edges=edges, elements=tuple(elements),
        stages=tuple(stages), folding=folding, hem=max(hem),
    )  # fmt: skip


def no_hem(name: str, hem: float) -> DoesNotFit:
    """Return the refusal of a hem where no fold ends at the sheet's border."""
    return DoesNotFit(
        f"hem is {format_length(hem)}; in a {name} no fold ends at the sheet's border, so that nothing can "
        "stand out past one. Leave hem at 0.",
        parameter="hem", value=hem, accepted="0 mm",
    )  # fmt: skip


def _away(m: Map) -> float:
    """Return how far a map is from leaving things where they are."""
    return round(abs(m[0] - 1) + abs(m[1]) + abs(m[2]) + abs(m[3] - 1) + abs(m[4]) + abs(m[5]), 9)


def _edges(wedge: Polygon, elements: Sequence[Map], creases: Sequence[Crease]) -> tuple[Edge, ...]:
    """Sort the sides of the wedge by what they are in the packet; the chords of an arc make one side."""
    lines = shapely.union_all([crease.line for crease in creases])
    corners = shapely.get_coordinates(shapely.orient_polygons(wedge).exterior)
    edges: list[Edge] = []
    for start, end in itertools.pairwise(corners):
        middle = Point((start + end) / 2)
        folded = [lines.distance(place(middle, m)) < _NEAR for m in elements]
        role: Role = "fold" if all(folded) else "mixed" if any(folded) else "open"
        if edges and role == "open" and edges[-1].role == "open" and _bends_little(edges[-1].line, end):
            edges[-1] = Edge(LineString([*edges[-1].line.coords, end]), role)
        else:
            edges.append(Edge(LineString([start, end]), role))
    return tuple(edges)


def _bends_little(line: LineString, end: np.ndarray) -> bool:
    before, last = np.array(line.coords[-2]), np.array(line.coords[-1])
    one, two = last - before, np.asarray(end) - last
    return float(one @ two) > 0.95 * math.hypot(*one) * math.hypot(*two)


def _as_polygon(shape: object) -> Polygon:
    assert isinstance(shape, Polygon)
    return shape
