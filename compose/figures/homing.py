"""Silhouettes that float in their window brought home: moved, enlarged a little, or given ground to stand on.

A figure hung on thin wires across its window is the commonest fault of a plate. So one that touches the edge
of its window nowhere, or hardly, is lowered on to it if that is near; else its own ground, where it ends
bluntly at both sides as a bank, a stretch of water or a branch does, is drawn on to the sides of the window;
or a low rise is drawn under a figure that stands low. Only then is it enlarged by up to a tenth or moved to
another edge: hung by one side it looks stuck there by chance. Where none of these helps bridges hold it, and
that is told.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.compose.mending.areas import areas_of, filled
from canivet.lengths import format_mm

Span = tuple[float, float]
"""mm; foot and head of a figure on an upright line."""

__all__ = ["bring_home", "stand_inside", "touch_of"]

_NEAR = 0.1
"""Of the figure's larger side: how far it may be moved, and how much it may be enlarged."""

_THICK = 2.0
"""Straps: a touch at least so long is a thick one."""

_LOW = 0.5
"""Of the window's height: a figure whose foot is lower than this may be given ground."""

_MIDDLE, _SIDE = 1.6, 3.0
"""Straps: how thick the ground is under the figure, and where it meets the window's sides."""

_SAG = 0.05
"""Of the window's width: how much the ground falls from the figure to the sides."""

_MELTED, _RAISED = 0.02, 0.35
"""Of a figure: so much may lie over the edge of its window; of the window's height, how far it is raised."""

_BLUNT = 1.8
"""Straps: an end at least so thick is no point, and is drawn on; a beak or the tip of a leaf is not."""

_AT_TIP, _SQUARE = 0.3, 0.55
"""Straps inside its tip, and the share of its thickness that an end must have there: no round one has it."""

_BACK = 1.5
"""Straps: how far inside an end its thickness and its direction are taken."""

_BANK = 5.0
"""Straps: how high a bank is where it is drawn on."""

_FAR = 0.3
"""Of the window's width: how far an end may be drawn on."""

_THINS = 0.6
"""What is left of an end's thickness where it reaches the window, of what is over two straps."""

_HALF, _LOWER = 0.45, 0.6
"""Of the figure's height from below: where its ground is looked for, and how high it begins at most."""

_STEADY = 0.3
"""Of the figure's width: how far beside its middle it may stand and not seem to tip."""

_STEEP, _LEVELS, _ALIKE = 0.5, 6.0, 1.5
"""Slope at most of what is drawn on; straps within which it levels out; and how much thicker an end may be a
little farther in and still have a direction of its own."""


def touch_of(area: Paper, window: Polygon, *, strap: float) -> float:
    """Return how much of the window's edge a figure covers at thick places, in straps; thin ones are wires.

    Examples
    --------
    >>> from shapely import box
    >>> window = box(0, 0, 100, 100)
    >>> touch_of(box(40, -1, 60, 30), window, strap=1.0), touch_of(box(40, 5, 60, 30), window, strap=1.0)
    (20.0, 0.0)
    """
    lines = shapely.get_parts(shapely.line_merge(shapely.intersection(window.exterior, filled(area))))
    long = shapely.length(lines) / strap
    return float(long[long >= _THICK].sum())


def bring_home(area: Paper, window: Polygon, *, strap: float, name: str) -> tuple[Paper, list[str]]:
    """Return a figure that is held by its window, and what was done for it.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The figure where it was put, mm.
    window : Polygon
        The opening it stands in; beyond it is paper.
    strap : float
        mm.
    name : str
        What the figure is called.

    Returns
    -------
    Polygon or MultiPolygon, list of str

    Examples
    --------
    >>> from shapely import box
    >>> window = box(0, 0, 100, 100)
    >>> bring_home(box(40, 1, 60, 30), window, strap=1.0, name="stone")[1]
    ['stone: moved by 1.1 mm to touch the edge of its window']
    >>> area, said = bring_home(box(40, 20, 60, 60), window, strap=1.0, name="stone")
    >>> said, area.bounds[0] < 0 < 100 < area.bounds[2]
    (['stone: ground drawn under it to both sides of its window'], True)
    """
    if touch_of(area, window, strap=strap):
        return area, []
    for attempt in (_lowered, _drawn_on, _grounded, _enlarged, _moved):
        found, said = attempt(area, window, strap)
        if found is not None and touch_of(found, window, strap=strap):
            return found, [f"{name}: {said}"]
    return area, [
        f"{name}: it floats in its window, and only bridges hold it. Let it stand on the edge, or reach it."
    ]


def stand_inside(area: Paper, window: Polygon, *, name: str) -> tuple[Paper, list[str]]:
    """Return a figure raised out of the curved foot of its window, where it would melt into what lies below.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The figure, put on the lowest place of the window, mm.
    window : Polygon
        The opening it stands in.
    name : str
        What the figure is called.

    Returns
    -------
    Polygon or MultiPolygon, list of str
        Where its ends lie on the window's sides; as it was where it lies inside, or nowhere would.

    Examples
    --------
    >>> from shapely import Point, box
    >>> oval = Point(0, 0).buffer(50)
    >>> area, said = stand_inside(box(-30, -50, 30, -30), oval, name="bank")
    >>> round(area.bounds[1]), said
    (-44, ['bank: raised by 6 mm, where its foot finds room between the sides of its window'])
    """
    whole = filled(area)
    if whole.difference(window).area <= _MELTED * whole.area:
        return area, []
    high = window.bounds[3] - window.bounds[1]
    for up in np.linspace(0, _RAISED * high, 61)[1:].tolist():
        raised = affinity.translate(whole, 0, up)
        if raised.difference(window).area <= _MELTED * whole.area:
            told = "where its foot finds room between the sides of its window"
            return affinity.translate(area, 0, up), [f"{name}: raised by {format_mm(up, 0)} mm, {told}"]
    return area, []


def _lowered(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Let it down on to the edge below it, and a strap into it, where it then stands firmly."""
    x0, y0, x1, y1 = area.bounds
    if not window.contains(area.centroid):
        return None, ""
    steps = np.linspace(0, _NEAR * max(x1 - x0, y1 - y0), 25)[1:]
    for down in steps.tolist():
        let_down = affinity.translate(area, 0, -down - strap)
        if touch_of(let_down, window, strap=strap) and _steady(let_down, window):
            return let_down, f"moved by {format_mm(down + strap, 1)} mm to touch the edge of its window"
    return None, ""


def _steady(area: Paper, window: Polygon) -> bool:
    """Say whether a figure touches its window on both sides of its middle, or near below it."""
    touched = shapely.intersection(window.exterior, filled(area)).bounds
    middle, (x0, _, x1, _) = filled(area).centroid.x, area.bounds
    give = _STEADY * (x1 - x0)
    return bool(touched[0] - give <= middle <= touched[2] + give)


def _drawn_on(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Draw its own ground or branch on from blunt ends, thinning, to both sides of the window."""
    ends = [_drawn_on_one_side(area, window, strap, side) for side in (-1, 1)]
    if any(end is None for end in ends):
        return None, ""
    whole = areas_of(shapely.union_all([area, *ends]))
    return whole, "what it stands on drawn on to both sides of its window"


def _drawn_on_one_side(area: Paper, window: Polygon, strap: float, side: int) -> Polygon | None:
    """Return a taper from the low end at one side into the window's edge; none where it ends in a point."""
    x0, y0, x1, y1 = filled(area).bounds
    low = areas_of(shapely.intersection(filled(area), shapely.box(x0, y0, x1, y0 + _HALF * (y1 - y0))))
    tip, edge = (low.bounds[2], window.bounds[2]) if side > 0 else (low.bounds[0], window.bounds[0])
    near, far = _end_of(filled(area), tip, side * strap)
    if near is None or abs(edge - tip) > _FAR * (window.bounds[2] - window.bounds[0]):
        return None
    near, far = _its_ground(near, y0, strap), far and _its_ground(far, y0, strap)
    slope = _slope(near, far, 2 * _BACK * strap)
    start = tip - side * _BACK * strap
    run = abs(edge - start) + 2 * strap
    t = np.linspace(0, 1, 25)
    thick = near[1] - near[0]
    thin = 2 * strap + _THINS * max(0.0, thick - 2 * strap)
    # It sets out the way the end points, and levels out within a few straps, as ground does.
    middle = (near[0] + near[1]) / 2 + slope * _LEVELS * strap * (1 - np.exp(-t * run / (_LEVELS * strap)))
    half = (thick + (thin - thick) * t * (2 - t)) / 2
    x = start + side * run * t
    around = np.vstack([np.column_stack([x, middle + half]), np.column_stack([x, middle - half])[::-1]])
    taper = shapely.intersection(Polygon(around), window.buffer(strap))
    return taper if isinstance(taper, Polygon) else None


def _end_of(area: Paper, tip: float, ahead: float) -> tuple[Span | None, Span | None]:
    """Return the foot and head of what ends at an upright line, a little behind it and farther in.

    Nothing where it does not end there, or in a point: about as thick at its tip as behind it is blunt.
    """
    strap = abs(ahead)
    ends = _crossed_at(area, tip - _AT_TIP * ahead)
    if not ends:
        return None, None
    foot, head = max(ends, key=lambda span: span[1] - span[0])
    near, far = (_meeting(_crossed_at(area, tip - k * _BACK * ahead), (foot, head)) for k in (1, 3))
    if near is None or _meeting(_crossed_at(area, tip + _AT_TIP * ahead), (foot, head)) is not None:
        return None, None
    thick = near[1] - near[0]
    blunt = thick >= _BLUNT * strap and head - foot >= _SQUARE * thick
    return (near, far) if blunt else (None, None)


def _crossed_at(area: Paper, x: float) -> list[Span]:
    """Return the foot and head of each low part of a figure on an upright line."""
    _, y0, _, y1 = area.bounds
    line = shapely.LineString([(x, y0 - 1), (x, y1 + 1)])
    spans = [part.bounds[1::2] for part in shapely.get_parts(shapely.intersection(area, line))]
    return [(foot, head) for foot, head in spans if foot < y0 + _LOWER * (y1 - y0)]


def _meeting(spans: list[Span], other: Span) -> Span | None:
    """Return the span that shares most with another."""
    shared = [min(head, other[1]) - max(foot, other[0]) for foot, head in spans]
    return spans[int(np.argmax(shared))] if max(shared, default=0) > 0 else None


def _its_ground(end: Span, foot: float, strap: float) -> Span:
    """Return what of an end is ground: of a bank the lowest of it, without the reeds that grow there."""
    low, high = end
    return (low, min(high, low + _BANK * strap)) if low < foot + strap else end


def _slope(near: Span, far: Span | None, apart: float) -> float:
    """Return how an end rises outward, where it is about as thick a little farther in; else it is level."""
    if far is None or far[1] - far[0] > _ALIKE * (near[1] - near[0]):
        return 0.0
    rise = (sum(near) - sum(far)) / 2 / apart
    return float(np.clip(rise, -_STEEP, _STEEP))


def _moved(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Move it straight to the nearest edge, and a strap into it."""
    inner, edge = shapely.get_coordinates(shapely.shortest_line(area, window.exterior))
    gap = float(np.hypot(*(edge - inner)))
    x0, y0, x1, y1 = area.bounds
    if not window.contains(area.centroid) or gap > _NEAR * max(x1 - x0, y1 - y0):
        return None, ""
    if gap < 1e-9:
        return None, ""
    by = (edge - inner) * (1 + strap / gap)
    return affinity.translate(
        area, *by
    ), f"moved by {format_mm(gap + strap, 1)} mm to touch the edge of its window"


def _enlarged(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Enlarge it about its middle, no more than it takes."""
    for more in np.linspace(0.02, _NEAR, 9).tolist():
        grown = affinity.scale(area, 1 + more, 1 + more)
        if touch_of(grown, window, strap=strap):
            return grown, f"enlarged by {100 * more:.0f} % to touch the edge of its window"
    return None, ""


def _grounded(area: Paper, window: Polygon, strap: float) -> tuple[Paper | None, str]:
    """Draw ground under it, a low rise from side to side that sinks a little towards them."""
    x0, y0, x1, y1 = window.bounds
    foot = area.bounds[1]
    if not y0 < foot < y0 + _LOW * (y1 - y0):
        return None, ""
    middle = (area.bounds[0] + area.bounds[2]) / 2
    x = np.linspace(x0 - strap, x1 + strap, 65)
    away = (x - middle) / (x1 - x0)
    top = foot + strap / 2 - 4 * _SAG * (x1 - x0) * away**2
    share = np.minimum(1, 2 * np.abs(away))
    low = top - strap * (_MIDDLE + (_SIDE - _MIDDLE) * share)
    ground = Polygon(np.concatenate([np.column_stack([x, top]), np.column_stack([x, low])[::-1]]))
    beyond = shapely.intersection(ground, window.buffer(strap))
    return areas_of(shapely.union(area, beyond)), "ground drawn under it to both sides of its window"
