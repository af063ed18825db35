"""Paint laid over paint: what is dark in the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from canivet.crossings import TooIntricate, check_crossings

from ._flatten import MOST_VERTICES, parts_of

__all__ = ["lay_paint"]

MOST_LAYERS = 10_000_000
"""Pairs of coats that lie one over the other; three thousand coats over each other are as many."""


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
        _require_few_layers(np.array([region for _, region in coats]))
    rounds = [(nothing, region) if dark else (region, nothing) for dark, region in coats]
    while len(rounds) > 1:
        pairs = zip(rounds[::2], rounds[1::2], strict=False)
        rounds = [_join(a, b, grid) for a, b in pairs] + rounds[len(rounds) // 2 * 2 :]
    return parts_of(rounds[0][1]) if rounds else nothing


def _ring_numbers(coats: Sequence[tuple[bool, BaseGeometry]]) -> NDArray[np.int_]:
    parts = shapely.get_parts([region for _, region in coats])
    rings = shapely.get_rings(parts)
    return np.repeat(np.arange(len(rings)), shapely.get_num_coordinates(rings))


def _require_few_layers(regions: NDArray[np.object_]) -> None:
    """Estimate from five hundred coats how many pairs of them lie one over the other."""
    sample = regions[:: max(1, len(regions) // 500)]
    tree = shapely.STRtree(regions)
    met = sum(tree.query(few).shape[1] for few in np.array_split(sample, len(sample) // 20 + 1))
    if met * len(regions) / len(sample) > MOST_LAYERS:
        raise TooIntricate("its shapes lie one over the other too often")


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
