"""A frame whose mat is lace: an oval window in a field of scallops."""

from __future__ import annotations

import math

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
from canivet.motifs.shapes.openings import Points, Shapes

from ._openings import along, disc, drop, ellipse, gather, largest, lay, sector, soft, stations
from ._parts import GroundName, Widths, fill, fitted_count, put_together, require_side, widths
from .frame import Frame, frame
from .ovals import inside, ring

__all__ = ["lace_edge_oval"]


@frame
def lace_edge_oval(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    ground: GroundName = "diamond-lattice",
    pitch: GroundPitch | None = None,
    panel: PanelShare = 0.1,
) -> Frame:
    """An oval mat of lace: a fan of drops in each scallop, a round of eyelets, a bent name panel at the foot.

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
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.1.

    Returns
    -------
    Frame
        Window and one panel, "name", that hangs on an arc across the oval. The same in the mirror about
        an upright axis.

    Raises
    ------
    DoesNotFit
        If the oval is too small for its panel, or too long for its width.

    Notes
    -----
    The number of scallops is a multiple of four, so that one stands on each axis and the size is
    exact. Where five drops would be too small to cut, a fan has three.

    Examples
    --------
    >>> frame = lace_edge_oval(width=90, height=130)
    >>> [round(side, 3) + 0 for side in frame.paper.bounds]
    [0.0, 0.0, 90.0, 130.0]
    """
    w = widths(width, height, strap, smallest, rim)
    x, y = width / 2, height / 2
    radius, count = _scallops(width, height, w)
    a, b = width / 2 - radius, height / 2 - radius
    centres, way = stations(ring(x, y, a, b), count)
    outline: Polygon = shapely.union_all(
        [ellipse(x, y, a, b), *(ellipse(cx, cy, radius, radius) for cx, cy in centres)]
    )
    eye = max(smallest, 0.2 * radius)
    bead = max(smallest, w.grown(1.5))
    eyelets = _eyelets_round(x, y, a, b, eye + w.rail + bead, bead, w)
    inward = eye + 2 * w.rail + 2 * bead
    shorter = "width" if width < height else "height"
    # an inner line crosses itself where it lies deeper than the oval's sharpest bend is round
    round_enough = math.sqrt(max(a, b) * inward / 0.8)
    require_side(shorter, w.short, 2 * (round_enough + radius), "so long an oval")
    oval = inside(x, y, a, b, inward)
    a, b = a - inward, b - inward
    deep = panel * min(height, 1.2 * width)
    least = w.short - 2 * min(a, b) + 1.9 * deep
    require_side(shorter, w.short, least, "an oval with a name panel")
    bend = 2.2 * a
    foot = y - 0.72 * b + bend
    fans = [_lace(c, angle - math.pi / 2, radius, eye, w) for c, angle in zip(centres, way, strict=True)]
    lace = [*fans, _valley_drops(x, y, width, height, radius, count, w), eyelets]
    if not panel:
        return put_together(outline, lace, oval, {}, w)
    name = oval.intersection(sector(x, foot, bend - deep, bend, -150, -30))
    below = oval.intersection(sector(x, foot, bend + w.rail, 3 * bend, -150, -30))
    window = oval.difference(sector(x, foot, bend - deep - w.rim, 3 * bend, -150, -30))
    name, window = (largest(soft(part, 0.4)) for part in (name, window))
    ornament_below = fill(below, ground, pitch, w)
    arc = (x, foot, -(bend - deep / 2))
    return put_together(outline, [*lace, ornament_below], window, {"name": name}, w, {"name": arc})


def _scallops(width: float, height: float, w: Widths) -> tuple[float, int]:
    """Return radius and number of scallops so that they overlap a little and one stands on each axis."""
    radius, count = w.grown(9.0), 8
    for _ in range(6):
        length = ring(0, 0, width / 2 - radius, height / 2 - radius).length
        count = 4 * max(2, round(length / 4 / (1.75 * w.grown(9.0))))
        radius = 0.565 * length / count
    return radius, count


def _lace(centre: Points, out: float, radius: float, eye: float, w: Widths) -> Shapes:
    """Lay a fan of drops in a scallop about an eyelet."""
    near, far = eye + w.gap, radius - w.rail
    count = 5 if 2 * far * math.sin(math.radians(13)) > w.gap + 2.6 * w.smallest else 3
    step = math.radians(165 / count)
    wide = (2 * far * math.sin(step / 2) - w.gap) / (1 + math.sin(step / 2))
    angles = out + (np.arange(count) - (count - 1) / 2) * step
    at = centre + far * np.column_stack([np.cos(angles), np.sin(angles)])
    drops = lay(drop(far - near, min(wide, 0.6 * (far - near))), at, angles + math.pi)
    return gather(drops, lay(disc(eye), centre, 0.0))


def _valley_drops(
    x: float, y: float, width: float, height: float, radius: float, count: int, w: Widths
) -> Shapes:
    """Lay a drop under the valley between each two scallops, its point outward."""
    line = ring(x, y, width / 2 - radius, height / 2 - radius)
    at, way = along(line, (np.arange(count) + 0.5) * line.length / count)
    valley = math.sqrt(radius**2 - (line.length / count / 2) ** 2)
    out = np.column_stack([np.sin(way), -np.cos(way)])
    long = valley - w.rim + 0.24 * radius
    return lay(drop(long, max(2.1 * w.smallest, 0.42 * long)), at - out * 0.24 * radius, way - math.pi / 2)


def _eyelets_round(x: float, y: float, a: float, b: float, inward: float, eye: float, w: Widths) -> Shapes:
    line = ring(x, y, a, b, inward)

    def laid(quarter: int) -> Shapes:
        return lay(disc(eye), stations(line, 4 * quarter)[0], 0.0)

    return fitted_count(round(line.length / 4 / (2 * eye + 1.15 * w.strap)), laid, w.gap)
