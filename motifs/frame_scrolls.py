"""Frames whose lettering lies on a thing at the foot of the window: a ribbon, an open book."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.parameters import Share

from .frame_parts import (
    BAND, BORDER, GROUND, HEIGHT, PANEL, PITCH, RIM, SMALLEST, STRAP, WIDTH,
    Widths, bordered, fill, put_together, require_side, row_border, widths,
)  # fmt: skip
from .frame_shapes import Shapes, block, gather, lay, leaf, mirrored, sector, soft
from .frames import Frame, frame
from .openings import Points
from .outlines import rectangle

__all__ = ["banner", "open_book"]

_SAG = 0.05
"""How far a ribbon hangs through, as a share of the field's width."""


@frame
def banner(
    *,
    width: Annotated[float, WIDTH] = 101.6,
    height: Annotated[float, HEIGHT] = 152.4,
    strap: Annotated[float, STRAP] = 1.2,
    smallest: Annotated[float, SMALLEST] = 0.5,
    rim: Annotated[float, RIM] | None = None,
    border: Annotated[str, BORDER] = "meander",
    band: Annotated[float, BAND] | None = None,
    ground: Annotated[str, GROUND] = "diamond-lattice",
    pitch: Annotated[float, PITCH] | None = None,
    panel: Annotated[float, PANEL] = 0.09,
) -> Frame:
    """A hanging ribbon with folded swallow tails below a window, a ground under it, a border round all."""
    w = widths(width, height, strap, smallest, rim)
    outline = rectangle(width=width, height=height)
    openings, inside = bordered(outline, border, band, w)
    x0, y0, x1, y1 = inside.bounds
    x, wide, deep = width / 2, x1 - x0, max(min(panel * height, 0.13 * (x1 - x0)), 5 * strap)
    half = 0.28 * wide
    radius = (half**2 + (_SAG * wide) ** 2) / (2 * _SAG * wide)
    middle = (x, y0 + w.grown(12.0, 0.7) + w.rail + radius)
    turn = math.degrees(math.asin(half / radius))
    drop = 0.4 * deep
    end = math.degrees(math.asin((0.5 * wide - 1.5 * w.rim) / (radius + w.rail + drop)))
    name = sector(*middle, radius - deep, radius, -90 - turn, -90 + turn)
    ribbon = name.buffer(w.rail, join_style="mitre")
    tails = [_tail(middle, radius, deep, drop, (turn, end), side, w) for side in (-1, 1)]
    low = _lower(middle, radius, deep, drop, (turn, end), w)
    window = _largest(soft(inside.difference(shapely.union_all([ribbon, *tails, low])), 0.4))
    require_side(
        "height",
        height,
        height - (window.bounds[3] - window.bounds[1]) + 0.4 * w.short,
        "a window over its ribbon",
    )
    solid = shapely.union_all([ribbon, *tails, window.buffer(w.rail, quad_segs=24)])
    ground_cells = fill(inside.difference(solid), ground, pitch, w)
    folds = mirrored(_folds(middle, radius, deep, drop, (turn, end), w), x)
    arcs = {"name": (*middle, -(radius - deep / 2))}
    return put_together(outline, [openings, ground_cells, folds], window, {"name": name}, w, arcs)


def _tail(
    middle: tuple[float, float], radius: float, deep: float, drop: float, ends: tuple[float, float],
    side: int, w: Widths,
) -> Polygon:  # fmt: skip
    """Return one end of the ribbon: behind the front and a little lower, cut to a swallow tail."""
    turn, end = ends
    inner, outer = radius - deep - w.rail + drop, radius + w.rail + drop
    back = turn - math.degrees(0.5 * deep / radius)
    first, last = sorted((-90 + side * back, -90 + side * end))
    tail = sector(*middle, inner, outer, first, last)
    notch = math.degrees(0.55 * deep / radius)
    tips = [(inner, end + 1), (outer, end + 1), ((inner + outer) / 2, end - notch)]
    corners = [
        (middle[0] + side * r * math.sin(math.radians(a)), middle[1] - r * math.cos(math.radians(a)))
        for r, a in tips
    ]
    wide = Polygon([corners[0], corners[1], corners[2]])
    cut: Polygon = tail.difference(wide)
    return cut


def _lower(
    middle: tuple[float, float], radius: float, deep: float, drop: float, ends: tuple[float, float], w: Widths
) -> Polygon:
    """Return all that lies below the ribbon, its tails, and the floor that runs on from them."""
    turn, end = ends
    far = 3 * radius
    back = math.degrees(w.rail / radius)
    inner = radius - deep - w.rail
    lower: Polygon = shapely.union_all(
        [
            sector(*middle, inner, far, -90 - turn - back, -90 + turn + back),
            sector(*middle, radius + drop, far, -90 - end, -90 + end),
            sector(*middle, radius + w.rail + drop, far, -90 - 60, -90 + 60),
        ]
    )
    return lower


def _folds(
    middle: tuple[float, float], radius: float, deep: float, drop: float, ends: tuple[float, float], w: Widths
) -> Shapes:
    """Return the slit that parts the left tail from the front, and a leaf along the tail."""
    turn, end = ends
    slit = max(2.1 * w.smallest, 0.9)
    gap = math.degrees((w.rail + 0.0) / radius)
    wide = math.degrees(slit / radius)
    inner, outer = radius - deep - w.rail + drop + w.rail, radius + w.rail - w.strap
    fold = sector(*middle, inner, outer, -90 - turn - gap - wide, -90 - turn - gap)
    notch = math.degrees(0.5 * deep / radius)
    first = turn + gap + wide + math.degrees(w.strap * 1.2 / radius)
    last = end - notch - math.degrees(w.strap * 2 / radius)
    found = [soft(fold, 0.25)]
    line = radius + drop - deep / 2
    long = math.radians(last - first) * line
    if long > 6 * w.smallest + w.strap:
        angle = math.radians(-90 - last)
        at = np.array([(middle[0] + line * math.cos(angle), middle[1] + line * math.sin(angle))])
        way = math.radians(-90 - (first + last) / 2) + math.pi / 2
        found.append(lay(leaf(long, min(0.4 * deep, 0.4 * long), belly=1.0), at, way))
    return gather(*found)


@frame
def open_book(
    *,
    width: Annotated[float, WIDTH] = 101.6,
    height: Annotated[float, HEIGHT] = 152.4,
    strap: Annotated[float, STRAP] = 1.2,
    smallest: Annotated[float, SMALLEST] = 0.5,
    rim: Annotated[float, RIM] | None = None,
    ground: Annotated[str, GROUND] = "hexagon-lattice",
    pitch: Annotated[float, PITCH] | None = None,
    page: Annotated[float, Share("height of a page as a share of the plate's", 0.1, 0.35)] = 0.17,
) -> Frame:
    """A window over an open book whose two pages take lettering, on a ground, a row of leaves round all."""
    w = widths(width, height, strap, smallest, rim)
    outline = rectangle(width=width, height=height)
    deep = max(w.grown(3.6), 2.4 * smallest)
    row = row_border(block(w.rim, w.rim, width - w.rim, height - w.rim), deep, w, length=w.grown(13, 0.3))
    edge = w.rim + deep + w.rail
    inside = block(edge, edge, width - edge, height - edge)
    x, wide = width / 2, width - 2 * edge
    half, high = min(0.42 * wide, 1.7 * page * height), page * height
    rise = 0.14 * half
    slits = 2 if w.short > 75 else 1
    thick = slits * (1.2 * strap + max(2.1 * smallest, 1.1)) + 0.6 * strap
    low = edge + w.grown(6.0, 0.7) + w.rim + thick
    require_side("height", height, low + high + rise + 0.4 * w.short + edge, "a window over its book")
    leaves = [_page(x, low, half, high, rise, side, w) for side in (-1, 1)]
    book = _book(x, low, half, high, rise, thick, w)
    floor = low + 0.3 * high
    under = block(edge, edge, width - edge, floor)
    window = _largest(soft(inside.difference(shapely.union_all([book, under])), 0.4))
    solid = shapely.union_all([book, window.buffer(w.rail, quad_segs=24)])
    ornament = [
        row, fill(inside.difference(solid), ground, pitch, w),
        mirrored(_page_edges(x, low, half, rise, slits, w), x),
    ]  # fmt: skip
    return put_together(outline, ornament, window, {"left page": leaves[0], "right page": leaves[1]}, w)


def _curve(half: float, rise: float, start: float = 0.0, end: float = 1.0) -> Points:
    """Return the line of a page's edge from the spine outward: up in a round, then gently down."""
    u = np.linspace(start, end, 60)
    return np.column_stack([u * half, rise * np.sin(np.pi * u**0.62) * (1.25 - 0.35 * u) + 0.3 * rise * u])


def _page(x: float, low: float, half: float, high: float, rise: float, side: int, w: Widths) -> Polygon:
    line = _curve(half, rise, 0.5 * w.rim / half)
    ring = np.vstack([line, line[::-1] + (0, high)]) * (side, 1) + (x, low)
    return Polygon(ring)


def _book(x: float, low: float, half: float, high: float, rise: float, thick: float, w: Widths) -> Polygon:
    line = _curve(half, rise)
    right = np.vstack([line - (0, thick), line[::-1] + (0, high)])
    halves = [
        Polygon(right * (side, 1) + (x, low)).buffer(w.rail, join_style="mitre", mitre_limit=2)
        for side in (-1, 1)
    ]
    book: Polygon = shapely.union_all(halves)
    return book


def _page_edges(x: float, low: float, half: float, rise: float, slits: int, w: Widths) -> Shapes:
    """Return the slits under the left page that show how thick the book is, each crossed by ties."""
    slit = max(2.1 * w.smallest, 1.1)
    found = []
    for k in range(slits):
        top = -1.2 * (k + 1) * w.strap - k * slit
        count = max(2, round(half / w.grown(15, 0.6))) + k % 2
        cuts = np.linspace(0, 1, count + 1)
        for a, b in zip(cuts[:-1], cuts[1:], strict=True):
            line = _curve(
                half,
                rise,
                a + w.strap / half * (0.55 if a else 0.9),
                b - w.strap / half * (0.55 if b < 1 else 0),
            )
            ring = np.vstack([line + (0, top - slit), line[::-1] + (0, top)]) * (-1, 1) + (x, low)
            found.append(Polygon(ring))
    return gather(found)


def _largest(parts: Shapes) -> Polygon:
    largest: Polygon = max(parts, key=lambda part: part.area)
    return largest
