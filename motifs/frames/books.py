"""A frame whose lettering lies on the pages of an open book below the window."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.motifs.bounds import (
    GroundPitch,
    PanelShare,
    PlateHeight,
    PlateRim,
    PlateStrap,
    PlateWidth,
    Smallest,
)
from canivet.motifs.outlines import rectangle
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.parameters import Share

from ._openings import block, gather, largest, mirrored, soft
from ._parts import GroundName, Widths, fill, name_place, put_together, require_side, row_border, widths
from .frame import Frame, NoRoom, Room, frame

__all__ = ["open_book"]

_PAGES = (0.17, 0.2, 0.24, 0.28, 0.32, 0.35)
"""Heights of a page that are tried for its words, as shares of the plate's."""

_WORDS = np.array([5.0, 3.0, 7.0, 4.0, 6.0, 2.5, 5.5, 3.5, 6.5, 4.5, 3.0])
"""Lengths of words in a line of print, to one another."""


@frame
def open_book(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    ground: GroundName = "hexagon-lattice",
    pitch: GroundPitch | None = None,
    page: Annotated[float, Share("height of a page as a share of the plate's", 0.1, 0.35)] = 0.17,
    panel: PanelShare = 0.0,
) -> Frame:
    """A window over an open book whose two pages take lettering, on a ground, a row of leaves round all.

    Parameters
    ----------
    width : float
        mm, 30 to 1000, default 101.6 (4 in).
    height : float
        mm, 30 to 1000, default 152.4 (6 in).
    strap : float
        Narrowest paper left anywhere: mm, 0.3 to 20, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    rim : float, optional
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 2.4 straps. The rules
        between are as much wider than the strap as they are narrower than the rim.
    ground : str
        Pattern of the ground, any lattice motif, default hexagon-lattice.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.
    page : float
        Height of a page as a share of the plate's: 0.1 to 0.35, default 0.17.
    panel : float
        Height of a name panel under the book as a share of the plate's: 0 to 0.4, 0 for none, default 0.

    Returns
    -------
    Frame
        Window and two panels, "left page" and "right page", and "name" where it is asked for. The same in
        the mirror about an upright axis. A page without words takes lines of print.

    Raises
    ------
    DoesNotFit
        If the plate is too low for a window over its book.

    Notes
    -----
    Two rows of slits show the thickness of the pages, one on a plate under 75 mm.

    Examples
    --------
    >>> left, right = open_book(width=100, height=150).panels.values()
    >>> abs(left.area - right.area) < 1e-6 and left.bounds[2] < right.bounds[0]
    True
    """
    w = widths(width, height, strap, smallest, rim)
    outline = rectangle(width=width, height=height)
    deep = max(w.grown(3.6), 2.4 * smallest)
    row = row_border(block(w.rim, w.rim, width - w.rim, height - w.rim), deep, w, length=w.grown(13, 0.3))
    edge = w.rim + deep + w.rail
    panels, eyelets, floor = name_place(edge, edge, width - edge, panel * height, w)
    inside = block(edge, floor, width - edge, height - edge)
    x, wide = width / 2, width - 2 * edge
    half, high = min(0.42 * wide, 1.7 * page * height), page * height
    rise = 0.14 * half
    slits = 2 if w.short > 75 else 1
    thick = slits * (1.2 * strap + max(2.1 * smallest, 1.1)) + 0.6 * strap
    low = floor + w.grown(6.0, 0.7) + w.rim + thick
    require_side("height", height, low + high + rise + 0.4 * w.short + edge, "a window over its book")
    leaves = [_page(x, low, half, high, rise, side, w) for side in (-1, 1)]
    book = _book(x, low, half, high, rise, thick, w)
    under = block(edge, floor, width - edge, low + 0.3 * high)
    window = largest(soft(inside.difference(shapely.union_all([book, under])), 0.4))
    solid = shapely.union_all([book, window.buffer(w.rail, quad_segs=24)])
    ornament = [
        row, eyelets, fill(inside.difference(solid), ground, pitch, w),
        mirrored(_page_edges(x, low, half, rise, slits, w), x),
    ]  # fmt: skip
    pages = {"left page": leaves[0], "right page": leaves[1]}
    drawn = put_together(outline, ornament, window, pages | panels, w)
    rooms = dict.fromkeys(pages, Room("page", _PAGES, {})) | dict(drawn.rooms)
    print_ = {
        name: _print(x, low, half, high, rise, side, w) for name, side in zip(pages, (-1, 1), strict=True)
    }
    return replace(drawn, rooms=rooms, fillings=print_)


def _print(
    x: float, low: float, half: float, high: float, rise: float, side: int, w: Widths
) -> tuple[Polygon, ...]:
    """Return lines of print on a page: rows of slits as long as words, the last line half as long."""
    slit, between = max(2.1 * w.smallest, 1.1), 1.4 * w.strap
    first, last = 1.6 * w.rim / half, 1 - 1.1 * w.rim / half
    count = max(1, math.floor((high - 2 * w.rim + between) / (slit + between)))
    foot = (high - count * slit - (count - 1) * between) / 2
    found = []
    for k in range(count):
        end = last if k else first + 0.55 * (last - first)
        lengths = np.roll(_WORDS, 3 * k)[: max(1, round((end - first) * half / w.grown(6.2, 0.5)))]
        room = (end - first) * half - (len(lengths) - 1) * w.gap
        stops = first + np.cumsum(lengths / lengths.sum() * room + w.gap) / half
        starts = np.concatenate([[first], stops[:-1]])
        for a, b in zip(starts, stops - w.gap / half, strict=True):
            line = _curve(half, rise, a, b) + np.array([0, foot + k * (slit + between)])
            ring = np.vstack([line, line[::-1] + np.array([0, slit])]) * (side, 1) + (x, low)
            found.append(Polygon(ring if side > 0 else ring[::-1]))
    return tuple(found)


def _curve(half: float, rise: float, start: float = 0.0, end: float = 1.0) -> Points:
    """Return the line of a page's edge from the spine outward: up in a round, then gently down."""
    if not 0 <= start < end <= 1 or half <= 0:
        raise NoRoom("a book")
    u = np.linspace(start, end, 60)
    return np.column_stack([u * half, rise * np.sin(np.pi * u**0.62) * (1.25 - 0.35 * u) + 0.3 * rise * u])


def _page(x: float, low: float, half: float, high: float, rise: float, side: int, w: Widths) -> Polygon:
    line = _curve(half, rise, 0.5 * w.rim / half)
    ring = np.vstack([line, line[::-1] + np.array([0, high])]) * (side, 1) + (x, low)
    return Polygon(ring)


def _book(x: float, low: float, half: float, high: float, rise: float, thick: float, w: Widths) -> Polygon:
    line = _curve(half, rise)
    right = np.vstack([line - (0, thick), line[::-1] + np.array([0, high])])
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
        for a, b in pairwise(cuts):
            line = _curve(
                half,
                rise,
                a + w.strap / half * (0.55 if a else 0.9),
                b - w.strap / half * (0.55 if b < 1 else 0),
            )
            ring = np.vstack([line + np.array([0, top - slit]), line[::-1] + np.array([0, top])]) * (
                -1,
                1,
            ) + (x, low)
            found.append(Polygon(ring))
    return gather(found)
