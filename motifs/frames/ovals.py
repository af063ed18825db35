"""Frames round an oval window: a medallion in a pierced field, a wreath, a mat of lace."""

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
from canivet.motifs.outlines import rectangle
from canivet.motifs.shapes.openings import Shapes

from ._openings import (
    along,
    block,
    disc,
    ellipse,
    gather,
    lay,
    leaf,
    mirrored,
    petal,
    soft,
    stations,
)  # fmt: skip
from ._parts import (
    GroundName,
    Widths,
    fill,
    fitted_count,
    name_place,
    put_together,
    require_side,
    row_border,
    widths,
)
from .frame import Frame, NoRoom, frame

__all__ = ["oval_medallion", "wreath_frame"]


_ROUNDEST = 1.5
"""An oval is at most this many times as long as wide; past it, its ends are too sharp for a ring."""


def ring(x: float, y: float, half_width: float, half_height: float, inward: float = 0.0) -> LineString:
    """Return a line everywhere so far inside an ellipse; it begins and ends at its foot, anticlockwise."""
    angle = np.linspace(-math.pi / 2, 1.5 * math.pi, 721)
    cos, sin = np.cos(angle), np.sin(angle)
    normal = np.column_stack([cos / half_width, sin / half_height])
    normal /= np.hypot(*normal.T)[:, None]
    points = np.column_stack([x + half_width * cos, y + half_height * sin]) - inward * normal
    points[-1] = points[0]
    return LineString(points)


def inside(x: float, y: float, half_width: float, half_height: float, inward: float) -> Polygon:
    """Return what lies so far inside an ellipse; refuse it where the edge would cross itself."""
    least = min(half_width, half_height) ** 2 / max(half_width, half_height)
    if inward > 0.9 * least:
        raise NoRoom("a ring round its window")
    return Polygon(ring(x, y, half_width, half_height, inward))


def _fitting_oval(box: tuple[float, float, float, float]) -> tuple[float, float]:
    """Return the half axes of the largest oval in a box that is not too long for its width."""
    a, b = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
    return min(a, _ROUNDEST * b), min(b, _ROUNDEST * a)


@frame
def oval_medallion(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    ground: GroundName = "ogee-lattice",
    pitch: GroundPitch | None = None,
    panel: PanelShare = 0.1,
) -> Frame:
    """An oval window in a ring of petals, a ground in the spandrels, a row of leaves round all, a name below.

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
        Pattern of the ground, any lattice motif, default ogee-lattice.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.1.

    Returns
    -------
    Frame
        Window and one panel, "name". The same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for an oval over its panel.

    Notes
    -----
    The oval is at most one and a half times as long as it is wide; the ground takes what is over.

    Examples
    --------
    >>> frame = oval_medallion(width=90, height=130)
    >>> round(frame.window.centroid.x, 6), frame.window.centroid.y > 65  # the eye's centre lies high
    (45.0, True)
    """
    w = widths(width, height, strap, smallest, rim)
    outline = rectangle(width=width, height=height)
    deep = max(w.grown(3.6), 2.4 * smallest)
    row = row_border(block(w.rim, w.rim, width - w.rim, height - w.rim), deep, w, length=w.grown(13, 0.3))
    edge = w.rim + deep + w.rail
    panels, eyelets, low = name_place(edge, edge, width - edge, panel * height, w)
    high = height - edge
    x, y = width / 2, (low + high) / 2
    a, b = _fitting_oval((edge, low, width - edge, high))
    require_side("height", height, height - high + low + 0.6 * w.short, "an oval over a name panel")
    long = w.grown(6.0)
    petals = _petals_round(x, y, a, b, long, w)
    window = inside(x, y, a, b, long + w.rail)
    field = block(edge, low, width - edge, high).difference(inside(x, y, a, b, -w.rail))
    ornament = [row, eyelets, petals, fill(field, ground, pitch, w)]
    return put_together(outline, ornament, window, panels, w)


def _petals_round(x: float, y: float, a: float, b: float, length: float, w: Widths) -> Shapes:
    """Lay petals all round inside an oval, wide outward, an even number so that it mirrors both ways."""
    line = ring(x, y, a, b)
    wide = 0.55 * length
    inward = 1 - length / min(a, b)

    def laid(half: int) -> Shapes:
        at, direction = stations(line, 4 * half)
        return lay(petal(length, wide, wide * max(0.4, inward - 0.12)), at, direction + math.pi / 2)

    return fitted_count(round(line.length / (wide + w.strap) / 4), laid, w.gap - 0.01)


@frame
def wreath_frame(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    panel: PanelShare = 0.1,
) -> Frame:
    """A wreath of leaves rising from three berries, held by a leaf from each corner; a name below.

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
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.1.

    Returns
    -------
    Frame
        Window and one panel, "name". The same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for a wreath over its panel, or more than 2.2 times as long as wide.

    Notes
    -----
    Leaves are counted on the inner row, where neighbours stand closest. A leaf that would be a stub
    is left out, and a bare stalk holds the wreath there.

    Examples
    --------
    >>> frame = wreath_frame(width=90, height=130)
    >>> frame.window.convex_hull.area - frame.window.area < 1e-6  # an oval has no dents
    True
    """
    w = widths(width, height, strap, smallest, rim)
    require_side("width", width, height / 2.2, "a wreath on a plate of this height")
    require_side("height", height, width / 2.2, "a wreath on a plate of this width")
    outline = rectangle(width=width, height=height)
    x0, x1 = w.rim, width - w.rim
    panels, eyelets, low = name_place(x0, w.rim, x1, panel * height, w)
    high = height - w.rim
    x, y, reach = width / 2, (low + high) / 2, w.rim / 2
    a, b = _fitting_oval((x0 - reach, low - reach, x1 + reach, high + reach))
    require_side("height", height, height - high + low + 0.65 * w.short, "a wreath over a name panel")
    long = w.grown(8.6, 0.6)
    ring = 2 * (0.64 * long + w.strap / 2) + 2 * w.rail
    leaves = _wreath(x, y, a, b, ring / 2, long, w)
    window = inside(x, y, a, b, ring)
    corners = _held_by_leaves((x0, low, x1, high), ellipse(x, y, a, b), w)
    return put_together(outline, [eyelets, leaves, corners], window, panels, w)


def _wreath(x: float, y: float, a: float, b: float, middle: float, length: float, w: Widths) -> Shapes:
    """Lay leaves in pairs along an oval stem up both sides, three berries at the foot, a drop at the head."""
    stem, lean, wide = w.strap / 2, math.radians(36), 0.36 * length
    across = 0.64 * length + stem
    berry = max(w.smallest, (2 * across - 2 * w.gap) / 6 - 0.01)
    # Measured on the inner leaves' line, since there neighbours stand closest.
    deep = 0.5 * length
    line = ring(x, y, a, b, middle + deep)
    b -= middle
    half = line.length / 2
    first = (berry + w.gap + 0.5 * wide) * (1 - deep / b)

    def laid(count: int) -> Shapes:
        at, way = along(line, np.linspace(first, half - 1.15 * length, count))
        inward = np.column_stack([-np.sin(way), np.cos(way)])
        found = [
            lay(leaf(length, wide), at + inward * (side * 1.5 * stem - deep), way + side * lean)
            for side in (1, -1)
        ]
        return mirrored(gather(*found), x)

    pairs = fitted_count(round(half / (0.5 * length)), laid, w.gap, least=3)
    step = 2 * berry + w.gap
    foot = np.array([(x, y - b), (x, y - b + step), (x, y - b - step)])
    head = lay(
        leaf(length * 0.95, wide * 1.1, belly=1.0), np.array([(x, y + b - length * 0.475)]), math.pi / 2
    )
    return gather(pairs, lay(disc(berry), foot, 0.0), head)


def _held_by_leaves(box: tuple[float, float, float, float], ring: Polygon, w: Widths) -> Shapes:
    """Open the field about a ring, but for a veined leaf from each corner to it.

    Where the ring stands clear of a side, a leaf runs to it from the middle of that side as well.
    """
    x0, y0, x1, y1 = box
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    anchors = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    low_x, low_y, _, _ = ring.bounds
    if low_x > x0:
        anchors += [(x0, y), (x1, y)]
    if low_y > y0:
        anchors += [(x, y0), (x, y1)]
    held, veins = [], []
    for cx, cy in anchors:
        long = shapely.Point(cx, cy).distance(ring.intersection(LineString([(cx, cy), (x, y)])))
        way = np.array([x - cx, y - cy]) / math.hypot(x - cx, y - cy)
        turn = math.atan2(way[1], way[0])
        held.append(LineString([(cx, cy), (x, y)]).buffer(w.rail / 2))
        wide = max(min(0.34 * long, 16 * w.strap), 2 * w.strap + 2.4 * w.smallest)
        if long < 1.8 * wide:
            continue
        held.append(lay(leaf(1.25 * long, wide, belly=1.0), (cx, cy) - 0.12 * long * way, turn)[0])
        veins.append(
            lay(leaf(0.72 * long, wide - 2.1 * w.strap, belly=1.0), (cx, cy) + 0.14 * long * way, turn)
        )
    field = block(*box).difference(shapely.union_all([ring, *held]))
    return gather(soft(field, max(0.5, w.smallest)), *veins)
