"""A frame like a monument: pillars, a gable, and a stepped plinth that carries the name."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from canivet.motifs.bounds import (
    GroundPitch,
    PanelShare,
    PlateHeight,
    PlateRim,
    PlateStrap,
    PlateWidth,
    Smallest,
)
from canivet.motifs.shapes.openings import Shapes

from ._openings import block, ellipse, gather, soft
from ._parts import GroundName, Widths, fill, name_place, put_together, require_side, widths
from .frame import Frame, frame

__all__ = ["plinth"]

_WIDEST_OPEN = 25.0
"""mm; a bracket wider than this is filled with the ground, since its rail alone would be a whip."""

_BRACKET = 0.3
"""Radius of the brackets under a cornice, as a share of the window's width."""


@frame
def plinth(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    ground: GroundName = "diamond-lattice",
    pitch: GroundPitch | None = None,
    panel: PanelShare = 0.15,
) -> Frame:
    """A window between pillars of lozenges under a gable of rays, on a stepped plinth that carries the name.

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
        Pattern of the ground, any lattice motif, default diamond-lattice.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.15.

    Returns
    -------
    Frame
        Window and one panel, "name", in the die of the plinth. The same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for plinth, window and gable.

    Notes
    -----
    The joints of the upper course stand over the middles of the bricks below. A bracket wider than 25 mm is
    filled with the ground; a smaller one is open.

    Examples
    --------
    >>> frame = plinth(width=90, height=150)
    >>> frame.panels["name"].bounds[3] < frame.window.bounds[1]
    True
    """
    w = widths(width, height, strap, smallest, rim)
    step, deep = max(w.grown(4.0, 0.7), w.rim), max(2.2 * smallest, w.grown(3.4))
    base, head = w.rim + 2 * (deep + w.rail), w.rim + deep + w.rail
    gable, die, shaft = 0.25 * width, panel * height, w.grown(8.2, 0.9)
    left, right = 2 * step + w.rim, width - 2 * step - w.rim
    panels, eyelets, foot = name_place(left, base, right, die, w)
    top = height - gable - head
    require_side("height", height, height - top + foot + 0.5 * width, "a window between plinth and gable")
    first, second = w.rim + deep, w.rim + 2 * deep + w.rail
    outline = _stele(width, height, step, (first + w.rail, base), (top, gable))
    light = block(left + shaft + w.rail, foot, right - shaft - w.rail, top)
    window, corners = _bracketed(light, w)
    wide = (light.bounds[2] - light.bounds[0]) * _BRACKET
    brackets = corners if wide < _WIDEST_OPEN else fill(shapely.union_all(corners), ground, pitch, w)
    bricks = max(2, round(width / (3 * deep + w.strap)))
    dentils = round((width - 2 * step) / (max(0.75 * deep, 2.2 * smallest) + w.strap))
    ornament = [
        eyelets, brackets,
        _bricks(w.rim, width - w.rim, w.rim, first, w, bricks),
        _bricks(step + w.rim, width - step - w.rim, first + w.rail, second, w, bricks - 1),
        _bricks(step + w.rim, width - step - w.rim, top + w.rim, top + w.rim + deep, w, dentils),
        _pillar(block(left, foot, left + shaft, top), w),
        _pillar(block(right - shaft, foot, right, top), w),
        _rays(outline, top + head, w),
    ]  # fmt: skip
    return put_together(outline, ornament, window, panels, w)


def _bracketed(light: Polygon, w: Widths) -> tuple[Polygon, Shapes]:
    """Round the upper corners of a window by brackets, each pierced where there is room."""
    x0, y0, x1, y1 = light.bounds
    radius = _BRACKET * (x1 - x0)
    below = block(x0, y0, x1, y1 - radius)
    window: Polygon = shapely.union_all(
        [below, block(x0 + radius, y0, x1 - radius, y1)]
        + [ellipse(x, y1 - radius, radius, radius) for x in (x0 + radius, x1 - radius)]
    )
    corners = light.difference(window.buffer(w.rail, quad_segs=48))
    return window, soft(corners, min(0.3, w.smallest))


def _stele(
    width: float, height: float, step: float, base: tuple[float, float], head: tuple[float, float]
) -> Polygon:
    """Return the solid plinth, shaft, cornice and gable; the lowest course and the apex give the size."""
    (first, second), (top, gable) = base, head
    right = [
        (width, 0), (width, first), (width - step, first), (width - step, second),
        (width - 2 * step, second), (width - 2 * step, top), (width - step, top),
        (width - step, height - gable), (width / 2, height),
    ]  # fmt: skip
    left = [(width - x, y) for x, y in right[-2::-1]]
    return Polygon([*right, *left])


def _bricks(x0: float, x1: float, y0: float, y1: float, w: Widths, count: int) -> Shapes:
    """Lay a course of so many oblong openings."""
    long = (x1 - x0 + w.strap) / count - w.strap
    starts = x0 + np.arange(count) * (long + w.strap)
    bricks: Shapes = shapely.box(starts, y0, starts + long, y1)
    return bricks


def _pillar(shaft: Polygon, w: Widths) -> Shapes:
    """Fill a pillar with upright lozenges, in as many columns as its width takes."""
    x0, y0, x1, y1 = shaft.bounds
    columns = max(1, round((x1 - x0) / w.grown(4.2, 0.25)))
    wide = (x1 - x0) / columns
    rows = max(2, round((y1 - y0) / (2.1 * wide)))
    long = (y1 - y0) / rows
    across = x0 + wide * (np.arange(columns) + 0.5)
    up = y0 + long * (np.arange(rows) + 0.5)
    bars = [
        LineString([(x + a * wide / 2, y), (x, y + b * long / 2)])
        for x in across for y in up for a in (-1, 1) for b in (-1, 1)
    ]  # fmt: skip
    web = shapely.union_all(shapely.buffer(np.array(bars, dtype=object), w.strap / 2, cap_style="square"))
    return gather(shapely.get_parts(shaft.difference(web)))


def _rays(outline: Polygon, base: float, w: Widths) -> Shapes:
    """Lay rays from a half sun in the middle of the gable's foot out to its edges."""
    x0, _, x1, y1 = outline.bounds
    x = (x0 + x1) / 2
    field = outline.buffer(-w.rim, join_style="mitre").intersection(block(x0, base, x1, y1))
    hub = 0.3 * (y1 - base)
    count = 2 * max(3, round(math.pi * hub * 1.6 / 2 / w.grown(5.0, 0.3))) + 1
    angles = np.arange(1, count) * math.pi / count
    reach = x1 - x0
    lines = [LineString([(x, base), (x + reach * math.cos(a), base + reach * math.sin(a))]) for a in angles]
    web = shapely.union_all(shapely.buffer(np.array(lines, dtype=object), w.strap / 2))
    rays = soft(field.difference(web).difference(ellipse(x, base, hub, hub)), min(0.3, w.smallest))
    sun = ellipse(x, base, hub - w.rail, hub - w.rail).intersection(field)
    return gather(rays, soft(sun, min(0.3, w.smallest)))
