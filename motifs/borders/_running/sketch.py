"""The openings of a flowing border, worked out flat on a few repeats and sorted by where they go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes.openings import Points

from .openings import clipped, mended, openings_from
from .room import Proportions, Room

__all__ = ["Flow", "Sketch", "sketch_flat", "thinned"]

_THIN = 0.003
"""mm a thinned curve may stray: a third of the flattening tolerance."""

_EDGE = 1e-6

_ON = 1e-6
"""mm from a mirror line that a corner still lies on it."""

_SHIFTS = (0.01, -0.1, 0.1, -0.2, 0.2, -0.3, 0.3, 0.4, 0.5)
"""Repeats by which the line between two of them may be moved, so that no opening lies in the middle of it."""

_ASIDE = 0.04
"""Repeats that the middle of an opening is to lie off such a line, at least."""


class Flow(Proportions, Protocol):
    """A flowing ornament on a strip from t = 0 to t = height."""

    @property
    def soft(self) -> float:
        """How round openings are, as a share of their inscribed circles."""

    @property
    def period(self) -> int:
        """After how many repeats it is the same again: 1, or 2 where every other one is turned over."""

    def arm(self, repeat: float, count: int, ring: bool, /) -> BaseGeometry:
        """Return the paper from x = 0, where it starts, to x = repeat·count, the middle of the side.

        A ring starts at its foot with a mirror image on the other hand, any other side at a corner block.
        """

    def corner(self, repeat: float, /) -> BaseGeometry:
        """Return the paper of the corner, both coordinates outward; its mirror image is added."""


@dataclass(slots=True)
class Sketch:
    """Openings drawn flat, sorted by where they go.

    Attributes
    ----------
    corner : list of ndarray
        Those that reach into the corner block, both coordinates outward.
    start : list of ndarray
        Those that lie across x = 0, where a ring begins.
    repeats : list of list of ndarray
        Those of each repeat drawn, from the beginning of that repeat.
    middle : list of ndarray
        Those that lie across the middle of the side, about it.
    """

    corner: list[Points] = field(default_factory=list)
    start: list[Points] = field(default_factory=list)
    repeats: list[list[Points]] = field(default_factory=list)
    middle: list[Points] = field(default_factory=list)


def sketch_flat(room: Room, flow: Flow, repeat: float, count: int) -> Sketch:
    """Work out the openings of a strip of `count` repeats and sort them."""
    high, end = room.height, repeat * count
    reach = min(end, 1.5 * repeat)
    bent = bool(room.band.corners)
    arm = flow.arm(repeat, count, not bent).intersection(box(0, -high, end, 2 * high))
    arm = arm.union(_mirrored(arm.intersection(box(end - reach, -high, end, 2 * high)), end))
    if bent:
        region, paper = _bent(arm, flow.corner(repeat), high, end + reach)
    else:
        paper = arm.union(_mirrored(arm.intersection(box(0, -high, reach, 2 * high)), 0))
        region = box(-reach, 0, end + reach, high)
    parts = [part for part in shapely.get_parts(region.difference(paper)) if _whole(part, reach, end, bent)]
    soft = openings_from(parts, share=flow.soft, strap=room.strap, smallest=room.smallest)
    soft = mended(soft, room)
    return _sorted(soft, room.strap, room.smallest, repeat, count, bent)


def _bent(
    arm: BaseGeometry, block: BaseGeometry, high: float, reach: float
) -> tuple[BaseGeometry, BaseGeometry]:
    """Return region and paper about a corner: the arm along -u, its mirror image along -v."""
    arm = affine_transform(arm, (-1, 0, 0, 1, 0, 0))
    region = shapely.union_all([box(-reach, 0, high, high), box(0, -reach, high, high)])
    return region, shapely.union_all([arm, transposed(arm), block, transposed(block)])


def _whole(part: Polygon, reach: float, end: float, bent: bool) -> bool:
    """Say whether an opening is all there, and not the mirror image of another one."""
    low_x, low_y, high_x, high_y = part.bounds
    if bent:
        inside = low_x > -end - reach + _EDGE
        return bool(inside and high_y > _EDGE and (low_y > -_EDGE or high_x > _EDGE))
    return bool(low_x > -reach + _EDGE and high_x > _EDGE and high_x < end + reach - _EDGE)


def _sorted(
    openings: Sequence[Polygon], strap: float, smallest: float, repeat: float, count: int, bent: bool
) -> Sketch:
    """Sort openings by where they lie; those beside a mirror line keep half a strap from it."""
    sketch = Sketch(repeats=[[] for _ in range(count)])
    end = repeat * count
    between: list[Polygon] = []
    if bent:
        openings = [affine_transform(o, (-1, 0, 0, 1, 0, 0)) for o in openings]  # x counts from the corner
    for opening in openings:
        low, _, high, _ = opening.bounds
        if bent and low < -_EDGE:
            opening = affine_transform(opening, (-1, 0, 0, 1, 0, 0))
            _sort_block(sketch, opening, strap, smallest)
        elif low < end < high:
            sketch.middle.append(_even(opening, end, across=True) - (end, 0.0))
        elif not bent and low < 0 < high:
            sketch.start.append(_even(opening, 0.0, across=True))
        elif low >= -_EDGE and high <= end + _EDGE:
            # a corner's diagonal is a mirror line too, and runs past the inner corner
            slant = strap * 2**0.5 * 0.5 if bent else 0.0
            inner = 0.0 if bent else strap / 2
            far = end - strap / 2
            clear = Polygon([(max(inner, slant), 0), (far, 0), (far, 1e3), (inner, 1e3), (inner, slant)])
            kept = clipped(opening, clear, smallest)
            if kept is not None:
                between.append(kept)
    _deal_out(sketch, between, repeat)
    return sketch


def _deal_out(sketch: Sketch, openings: list[Polygon], repeat: float) -> None:
    """Say of openings which repeat each belongs to, those alike in each to the same of theirs."""
    places = np.array([opening.centroid.x / repeat for opening in openings])
    for shift in _SHIFTS:
        aside = np.abs(places + shift - np.round(places + shift))
        if len(aside) and aside.min() >= _ASIDE:
            break
    else:
        shift = _SHIFTS[0]
    last = len(sketch.repeats) - 1
    for opening, place in zip(openings, places, strict=True):
        index = int(np.clip((place + shift) // 1, 0, last))
        sketch.repeats[index].append(thinned(opening) - (index * repeat, 0.0))


def _sort_block(sketch: Sketch, opening: Polygon, strap: float, smallest: float) -> None:
    """Keep an opening across the diagonal as it is, and of two beside it the upper one and its image."""
    x, y = shapely.get_coordinates(opening).T
    if (x - y).min() < -_EDGE and (x - y).max() > _EDGE:
        sketch.corner.append(_even(opening, 0.0, across=False))
        return
    if opening.centroid.x > opening.centroid.y:
        return
    off = strap / 2 * 2**0.5
    clear = Polygon([(-1e3, -1e3 + off), (1e3, 1e3 + off), (-1e3, 1e3 + off)])
    kept = clipped(opening, clear, smallest)
    if kept is not None:
        ring = thinned(kept)
        sketch.corner += [ring, ring[:, ::-1]]


def _even(opening: Polygon, line: float, *, across: bool) -> Points:
    """Return the corners of an opening that mirrors itself: those of one half, thinned, and their images."""
    low_x, low_y, high_x, high_y = opening.bounds
    reach = 2 * (high_x - low_x + high_y - low_y)
    if across:
        side = box(line - reach, low_y - 1, line, high_y + 1)
    else:
        a, b = low_x - reach, high_x + reach
        side = Polygon([(a, a), (b, b), (a, b)])
    parts = shapely.get_parts(opening.simplify(_THIN).intersection(side))
    ring = _corners_of(max(parts, key=lambda part: part.area))
    away = ring[:, 0] - (line if across else ring[:, 1])
    path = np.roll(ring, -int(np.argmax(np.abs(away))), axis=0)
    on = np.flatnonzero(np.abs(np.roll(away, -int(np.argmax(np.abs(away))))) < _ON)
    # round the far side from where it leaves the line to where it comes back
    path = np.vstack([path[on[-1] :], path[: on[0] + 1]]) if len(on) > 1 else path
    image = path * (-1, 1) + (2 * line, 0) if across else path[:, ::-1]
    return np.vstack([path, image[-2:0:-1]])


def _corners_of(opening: Polygon) -> Points:
    """Return the corners of an opening, first not repeated."""
    ring: Points = shapely.get_coordinates(opening.exterior)[:-1]
    return ring


def thinned(opening: Polygon) -> Points:
    """Return the corners of an opening without those a straight line does as well for."""
    return _corners_of(opening.simplify(_THIN))


def _mirrored(shape: BaseGeometry, at: float) -> BaseGeometry:
    return affine_transform(shape, (-1, 0, 0, 1, 2 * at, 0))


def transposed(shape: BaseGeometry) -> BaseGeometry:
    """Return its mirror image about the diagonal."""
    return affine_transform(shape, (0, 1, 1, 0, 0, 0))
