"""How dots and accents of raised letters are held: on a slanted hair, or set down on their letter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from canivet.audit.boundary import GRID, Floats, Paper, shrunk
from canivet.motifs.lettering._held.holding import CannotHold, bar_along

__all__ = ["LEAN", "Held", "gripped", "hold_marks", "is_dot", "stem_to"]

LEAN, _BASE = 0.45, 0.3
"""Widths of a hair: how far a dot moves aside, and how far to the other side its hair begins."""

_SLANT = math.radians(24)
"""How far a hair leans from the upright, as a pen held for writing leaves it (by eye)."""

_SLENDER = 1.4
"""Times as long as wide, from which a mark is a stroke, as an acute is."""

_UPRIGHT = math.radians(15)
"""A stroke that leans less stands where it is, as that of a ! does."""

_END, _ASIDE = 0.3, 0.4
"""Share of its width from the lower end of a stroke, where it is held; mm of height that are worth moving it
aside by one."""

_SET_DOWN = 0.3
"""Widths of a hair that a mark set down on its letter stands in it."""

_STARTS = 9
"""Places across a mark at which a hair is tried."""

_PINCH = 0.25
"""Square widths of white that a mark set down may close in one place."""


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """The parts of a letter, marks where they stand now, and the hairs that hold them."""

    parts: tuple[Paper, ...]
    hairs: tuple[Polygon, ...]


def hold_marks(
    parts: Sequence[Paper], firm: Sequence[Paper], wide: float, slit: float, lean: int = 1
) -> Held:
    """Hold each part of a letter that stands on nothing.

    Parameters
    ----------
    parts : sequence of Polygon or MultiPolygon
        The body first, mm, in the letter's own frame.
    firm : sequence of Polygon or MultiPolygon
        What holds already: rails, or the body.
    wide : float
        Of a hair, mm.
    slit : float
        White narrower than this is not cut, mm.
    lean : 1, -1 or 0
        To which side dots move and hairs lean: right, left, or neither, where there is no room.

    Returns
    -------
    Held

    Raises
    ------
    CannotHold
        If a part finds nothing to hold it.

    Notes
    -----
    A dot moves aside a little and leans on a hair, so that white shows under it; an acute or a grave
    stands by its lower end on a high place of its letter and flies from there. A mark with a point below,
    as a caron, is set down on its letter. All else gets a slanted hair where that is shortest.
    """
    made = list(parts)
    held = [*firm, *(p for p in parts if any(gripped(p, one) for one in firm))]
    loose = [k for k, p in enumerate(parts) if not any(p is one for one in held)]
    hairs: list[Polygon] = []
    letter = shapely.union_all(held)
    while loose:
        ground = shapely.union_all(held)
        nearest = min(loose, key=lambda k: float(made[k].distance(ground)))
        loose.remove(nearest)
        # By preference on the letter itself, not on another mark of it.
        mark, hair = _held(made[nearest], letter, ground, wide, slit, lean)
        made[nearest] = mark
        held += [mark, *hair]
        hairs += hair
    return Held(tuple(made), tuple(hairs))


def gripped(part: Paper, rail: Paper) -> bool:
    """Whether a part stands in a rail, not merely near it."""
    return bool(part.intersection(rail).area > GRID) and bool(shrunk(part, 10 * GRID)[0].intersects(rail))


def is_dot(part: Polygon) -> bool:
    """Whether a mark is about as broad as long, and full."""
    lengths = _extents(part)
    full = not part.interiors and part.area > 0.6 * lengths.prod()
    return bool(full and lengths.max() < _SLENDER * lengths.min())


def stem_to(part: Paper, ground: Paper, wide: float) -> Polygon | None:
    """Return the shorter of the stems down and up from the middle of a part to what holds it.

    Where there is nothing above or below, as between the two strokes of a quotation mark, the way is across.
    """
    x, y = part.centroid.x, part.centroid.y
    ways = []
    for down in (True, False):
        end = ground.bounds[1] - 1 if down else ground.bounds[3] + 1
        strip = box(x - wide / 2, min(y, end), x + wide / 2, max(y, end)).intersection(ground)
        levels = [piece.bounds for piece in shapely.get_parts(strip) if piece.area > GRID]
        if levels:
            near = max(b[3] for b in levels) - 0.6 * wide if down else min(b[1] for b in levels) + 0.6 * wide
            ways.append(box(x - wide / 2, min(y, near), x + wide / 2, max(y, near)))
    if not ways and not ground.is_empty:
        ways.append(bar_along(shapely.shortest_line(part, ground), wide))
    return min(ways, key=lambda way: way.area, default=None)


def _held(
    mark: Paper, letter: Paper, ground: Paper, wide: float, slit: float, lean: int
) -> tuple[Paper, list[Polygon]]:
    """Return one mark where it is held, and its hair if it needs one."""
    above = mark.centroid.y > letter.bounds[3]
    single = shapely.get_parts(mark)
    dot = len(single) == 1 and is_dot(single[0])
    if above and dot:
        leaning = _leaning_dot(mark, letter, wide, lean)
        if leaning is not None:
            return leaning
    axis = _axis(mark)
    if above and axis is not None and abs(axis) > _UPRIGHT:
        flying = _flying_stroke(mark, letter, wide, axis)
        if flying is not None:
            return flying
    elif above and not dot:
        down = _set_down(mark, letter, wide, slit)
        if down is not None:
            return down, []
    hair = _slanted(mark, ground, wide, lean)
    if hair is None:
        hair = stem_to(mark, ground, wide)
    if hair is None:
        raise CannotHold
    return mark, [hair]


def _leaning_dot(dot: Paper, ground: Paper, wide: float, lean: int) -> tuple[Paper, list[Polygon]] | None:
    """Return a dot moved aside, on a hair that leans; None where there is no letter under it."""
    x, y = dot.centroid.x, dot.centroid.y
    below = box(x - 0.3 * wide, ground.bounds[1] - 1, x + 0.3 * wide, y).intersection(ground)
    if below.is_empty:
        return None
    top = below.bounds[3]
    under = top - 0.5 * wide
    row = LineString([(ground.bounds[0] - 1, under), (ground.bounds[2] + 1, under)]).intersection(ground)
    span = next((p.bounds for p in shapely.get_parts(row) if p.bounds[0] <= x <= p.bounds[2]), None)
    if span is None:
        return None
    least, most = span[0] + wide / 2, span[2] - wide / 2
    base = float(np.clip(x - lean * _BASE * wide, least, most)) if least < most else (least + most) / 2
    moved = affinity.translate(dot, lean * LEAN * wide, 0)
    line = LineString([(base, under), (moved.centroid.x, y)])
    return moved, [line.buffer(wide / 2, cap_style="flat")]


def _flying_stroke(
    stroke: Paper, letter: Paper, wide: float, axis: float
) -> tuple[Paper, list[Polygon]] | None:
    """Return an acute or a grave with its lower end over the nearest high place of its letter, on a hair."""
    x0, _, x1, y1 = stroke.bounds
    foot = x0 + _END * (x1 - x0) if axis > 0 else x1 - _END * (x1 - x0)
    start = _inside(stroke, foot)
    xs = np.linspace(x0 - 0.5 * wide, x1 + 0.5 * wide, 41)
    lines = shapely.linestrings([[(x, letter.bounds[1] - 1), (x, y1)] for x in xs])
    tops = shapely.bounds(shapely.intersection(lines, letter))[:, 3]
    tops = np.where(np.isfinite(tops), tops, -np.inf)
    worth = tops - _ASIDE * np.abs(xs - foot)
    # Half a hair in from the edge of what it stands on.
    firm = np.array(
        [
            letter.buffer(-0.45 * wide).distance(shapely.Point(x, t - 0.5 * wide))
            for x, t in zip(xs, tops, strict=True)
        ]
    )
    worth = np.where(firm < 0.1 * wide, worth, -np.inf)
    if not start or not np.isfinite(worth).any():
        return None
    x, top = xs[int(worth.argmax())], tops[int(worth.argmax())]
    moved = affinity.translate(stroke, x - foot, 0)
    end = (x, top - 0.6 * wide)
    hair = LineString([end, (x, float(start[0][1]))]).buffer(wide / 2, cap_style="flat")
    return moved, [hair]


def _set_down(mark: Paper, ground: Paper, wide: float, slit: float) -> Paper | None:
    """Return a mark lowered until it stands on its letter; None where that would close white beside it."""
    gap = _fall(mark, ground)
    if gap is None or gap > 2 * wide:
        return None
    down = affinity.translate(mark, 0, -(gap + _SET_DOWN * wide))
    both = shapely.union_all([down, ground])
    holes = sum(len(p.interiors) for p in shapely.get_parts(shapely.union_all([mark, ground])))
    if sum(len(p.interiors) for p in shapely.get_parts(both)) != holes:
        return None
    shared = shapely.get_parts(down.intersection(ground))
    if len(shared) != 1 or shared[0].bounds[2] - shared[0].bounds[0] > 2.2 * wide:
        return None
    closed = both.buffer(slit / 2 + 0.1 * wide).buffer(-slit / 2 - 0.1 * wide).difference(both)
    near = closed.intersection(down.buffer(wide))
    lost = max((p.area for p in shapely.get_parts(near)), default=0.0)
    return down if lost < _PINCH * wide**2 else None


def _fall(mark: Paper, ground: Paper) -> float | None:
    """Return how far a mark falls until it touches its letter; None where it would not."""
    x0, _, x1, y1 = mark.bounds
    xs = np.linspace(x0, x1, 25)[1:-1]
    lines = shapely.linestrings([[(x, ground.bounds[1] - 1), (x, y1 + 1)] for x in xs])
    low = shapely.bounds(shapely.intersection(lines, mark))[:, 1]
    high = shapely.bounds(shapely.intersection(lines, ground.intersection(box(x0, -1e4, x1, y1))))[:, 3]
    falls = (low - high)[np.isfinite(low) & np.isfinite(high)]
    return float(falls.min()) if len(falls) and falls.min() >= 0 else None


def _slanted(mark: Paper, ground: Paper, wide: float, lean: int) -> Polygon | None:
    """Return the shortest hair that leans, from any place across a mark to what holds it."""
    axis = _axis(mark)
    up = 1 if mark.centroid.y > ground.centroid.y else -1
    against = lean if axis is None else -math.copysign(1, axis)
    angles = [share * against * _SLANT for share in (1, 0.5, 0, -0.5)]
    x0, y0, x1, y1 = mark.bounds
    reach = 4 * (y1 - y0) + 8 * wide
    best: tuple[float, Polygon] | None = None
    for angle in angles:
        way = np.array([-up * math.sin(angle), -up * math.cos(angle)])
        for x in np.linspace(x0, x1, _STARTS + 2)[1:-1]:
            for start in _inside(mark, float(x)):
                ray = LineString([start, start + reach * way])
                free = ray.difference(mark).difference(ground)
                met = ray.intersection(ground)
                if met.is_empty:
                    continue
                far = float(shapely.Point(start).distance(met))
                cost = float(shapely.Point(start + far * way).distance(mark))
                cost += 0.05 * far
                end = start + (far + 0.6 * wide) * way
                hair = LineString([start, end]).buffer(wide / 2, cap_style="flat")
                if hair.difference(shapely.union_all([mark, ground])).area > 3 * wide * max(
                    free.length, wide
                ):
                    continue
                if best is None or cost < best[0]:
                    best = (cost, hair)
    return best[1] if best else None


def _inside(mark: Paper, x: float) -> list[Floats]:
    """Return a point within each stretch of a mark at one place across it."""
    _, y0, _, y1 = mark.bounds
    cut = LineString([(x, y0 - 1), (x, y1 + 1)]).intersection(mark)
    return [
        np.array([x, (b[1] + b[3]) / 2]) for b in (p.bounds for p in shapely.get_parts(cut)) if b[3] > b[1]
    ]


def _axis(mark: Paper) -> float | None:
    """Return how far a slender mark leans from the upright, rightward above zero; None for other marks."""
    lengths = _extents(mark)
    if lengths.max() < _SLENDER * lengths.min() or mark.area < 0.55 * lengths.prod():
        return None
    way = np.diff(shapely.get_coordinates(mark.minimum_rotated_rectangle)[:3], axis=0)[lengths.argmax()]
    dx, dy = way if way[1] >= 0 else -way
    angle = math.atan2(dx, dy)
    return angle if abs(angle) < math.radians(75) else None


def _extents(mark: Paper) -> Floats:
    """Return the two sides of the smallest rectangle round a mark."""
    sides = np.diff(shapely.get_coordinates(mark.minimum_rotated_rectangle)[:3], axis=0)
    lengths: Floats = np.hypot(*sides.T)
    return lengths
