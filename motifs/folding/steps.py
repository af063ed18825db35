"""Folding flat, one step after another: where every layer ends up, and which way each crease goes.

A step folds the whole packet along one line: what lies to the left of the line is turned over onto the right.
Followed layer by layer, the steps give the crease pattern of the opened sheet, each crease a valley or a
mountain as it was really folded, and with it the maps that carry the packet back onto the sheet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

__all__ = [
    "IDENTITY",
    "Crease",
    "Folding",
    "Layer",
    "Map",
    "Stage",
    "Step",
    "compose",
    "determinant",
    "fold_flat",
    "invert",
    "mirror_across",
    "place",
]

Map: TypeAlias = tuple[float, float, float, float, float, float]
"""x' = a·x + b·y + e, y' = c·x + d·y + f, as (a, b, c, d, e, f)."""

IDENTITY: Map = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

_FAR = 1e5
"""mm; a half-plane is drawn as a square with sides twice this, beyond any sheet."""

_SLIVER = 1e-6
"""mm² or mm; less than this is two edges that failed to meet to the last digit."""


@dataclass(frozen=True, slots=True)
class Step:
    """One fold: a point on the line, its direction, and whether the left side comes over or goes behind."""

    at: tuple[float, float]
    along: tuple[float, float]
    over: bool = True


@dataclass(frozen=True, slots=True)
class Stage:
    """Steps that are told and pictured together, with the words for them."""

    words: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Layer:
    """One thickness of the packet: its shape as it lies, and the map that brought it there from the sheet."""

    shape: Polygon
    from_sheet: Map

    @property
    def face_up(self) -> bool:
        """Whether the face that lay uppermost before folding still does."""
        return determinant(self.from_sheet) > 0


@dataclass(frozen=True, slots=True)
class Crease:
    """A fold line on the opened sheet."""

    line: LineString
    valley: bool


@dataclass(frozen=True, slots=True)
class Folding:
    """What came of folding.

    Attributes
    ----------
    layers : tuple of Layer
        In no order of height.
    creases : tuple of Crease
        On the opened sheet.
    packets : tuple of geometry
        The packet's outline before the first stage and after each.
    thickest : tuple of int
        For each step, the most layers that one point of its line bends together.
    """

    layers: tuple[Layer, ...]
    creases: tuple[Crease, ...]
    packets: tuple[BaseGeometry, ...]
    thickest: tuple[int, ...]


def compose(outer: Map, inner: Map) -> Map:
    """Return the map that does `inner` first, then `outer`."""
    a, b, c, d, e, f = outer
    p, q, r, s, u, v = inner
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, a * u + b * v + e, c * u + d * v + f)


def determinant(m: Map) -> float:
    """Return 1 for a turn or shift, -1 where the paper is turned over."""
    return m[0] * m[3] - m[1] * m[2]


def invert(m: Map) -> Map:
    """Return the way back.

    Examples
    --------
    >>> there = mirror_across((1, 2), (3, 1))
    >>> [round(x, 9) + 0.0 for x in compose(there, invert(there))]
    [1.0, 0.0, 0.0, 1.0, 0.0, 0.0]
    """
    a, b, c, d, e, f = m
    k = determinant(m)
    return (d / k, -b / k, -c / k, a / k, (b * f - d * e) / k, (c * e - a * f) / k)


def mirror_across(at: tuple[float, float], along: tuple[float, float]) -> Map:
    """Return the reflection across the line through `at` in the direction `along`."""
    length = math.hypot(*along)
    x, y = along[0] / length, along[1] / length
    a, b, d = 2 * x * x - 1, 2 * x * y, 2 * y * y - 1
    return (a, b, b, d, at[0] - a * at[0] - b * at[1], at[1] - b * at[0] - d * at[1])


def place(shape: BaseGeometry, m: Map) -> BaseGeometry:
    """Return the shape moved by the map."""
    return affine_transform(shape, m)


def fold_flat(sheet: Polygon, stages: Sequence[Stage]) -> Folding:
    """Fold a sheet flat and say where every layer and every crease is.

    Parameters
    ----------
    sheet : Polygon
        The sheet as it lies, mm.
    stages : sequence of Stage
        In order.

    Returns
    -------
    Folding

    Examples
    --------
    Twice in half: four layers; the first crease is a valley, of the second one half is a mountain (Maekawa).

    >>> once = Stage("in half", (Step((0, 0), (0, 1)),))
    >>> again = Stage("and again", (Step((0, 0), (1, 0)),))
    >>> folded = fold_flat(shapely.box(-1, -1, 1, 1), [once, again])
    >>> len(folded.layers), sorted(crease.valley for crease in folded.creases)
    (4, [False, True, True])
    """
    layers = [Layer(sheet, IDENTITY)]
    creases: list[Crease] = []
    packets: list[BaseGeometry] = [sheet]
    thickest = []
    for stage in stages:
        for step in stage.steps:
            layers, bent = _fold(layers, step)
            creases += [crease for crease, _ in bent]
            thickest.append(_most_together([line for _, line in bent], step))
        packets.append(shapely.union_all([layer.shape for layer in layers], grid_size=1e-6))
    return Folding(tuple(layers), tuple(creases), tuple(packets), tuple(thickest))


def _fold(layers: Sequence[Layer], step: Step) -> tuple[list[Layer], list[tuple[Crease, LineString]]]:
    """Return the layers after a step, and each new crease on the sheet with its place in the packet."""
    left, right = _half_planes(step)
    mirror = mirror_across(step.at, step.along)
    folded: list[Layer] = []
    bent: list[tuple[Crease, LineString]] = []
    for layer in layers:
        moved, kept = _areas(layer.shape.intersection(left)), _areas(layer.shape.intersection(right))
        folded += [Layer(part, layer.from_sheet) for part in kept]
        through = compose(mirror, layer.from_sheet)
        folded += [Layer(_as_polygon(place(part, mirror)), through) for part in moved]
        if moved and kept:
            bent += [(_crease(line, layer, step), line) for line in _line_within(layer.shape, step)]
    return folded, bent


def _crease(line: LineString, layer: Layer, step: Step) -> Crease:
    return Crease(LineString(place(line, invert(layer.from_sheet)).coords), layer.face_up == step.over)


def _half_planes(step: Step) -> tuple[Polygon, Polygon]:
    at, along = np.array(step.at, float), np.array(step.along, float)
    along = along / np.hypot(*along) * _FAR
    left = np.array([-along[1], along[0]])
    near, far = at - along, at + along
    return Polygon([near, far, far + left, near + left]), Polygon([near, far, far - left, near - left])


def _line_within(shape: Polygon, step: Step) -> list[LineString]:
    at, along = np.array(step.at, float), np.array(step.along, float)
    along = along / np.hypot(*along) * _FAR
    line = LineString([at - along, at + along]).intersection(shape)
    return [part for part in shapely.get_parts(line) if part.length > _SLIVER]


def _most_together(lines: Sequence[LineString], step: Step) -> int:
    """Return how many of the lines lie over one another where most of them do."""
    along = np.array(step.along, float)
    ends = sorted(
        event
        for line in lines
        for low, high in [sorted(float(np.dot(p, along)) for p in line.coords[:: len(line.coords) - 1])]
        for event in ((low + 1e-6, 1), (high - 1e-6, -1))
    )
    return int(max(np.cumsum([turn for _, turn in ends]), default=0))


def _areas(shape: BaseGeometry) -> list[Polygon]:
    return [part for part in shapely.get_parts(shape) if part.area > _SLIVER]


def _as_polygon(shape: BaseGeometry) -> Polygon:
    assert isinstance(shape, Polygon)
    return shape
