"""Frames with an upright window: under an arch, inside two rules, and on a plinth."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, Polygon

from canivet.motifs.borders.counting import recount_together
from canivet.motifs.bounds import (
    BorderWidth,
    GroundPitch,
    PanelShare,
    PlateHeight,
    PlateRim,
    PlateStrap,
    PlateWidth,
    Smallest,
)
from canivet.motifs.outlines import arch, rectangle
from canivet.motifs.shapes.openings import Shapes

from ._openings import block, disc, drop, ellipse, gather, largest, lay, soft, stations
from ._parts import (
    BorderName,
    GroundName,
    Widths,
    bordered,
    corner_fan,
    fill,
    fitted_count,
    name_place,
    put_together,
    require_side,
    widths,
)
from .frame import Frame, frame

__all__ = [
    "arched_window",
    "double_rule",
]

_HEAVY = 3.6
"""Straps: the outer rule of the double rule. With no other ornament it is what the plate is black with."""

_LEAST_ARCH = 6.0
"""mm; width of the narrowest arch."""


@frame
def arched_window(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    border: BorderName = "scallop",
    band: BorderWidth | None = None,
    ground: GroundName = "fish-scale-lattice",
    pitch: GroundPitch | None = None,
    panel: PanelShare = 0.15,
) -> Frame:
    """A round-headed window in an arch of drops, a ground in the spandrels, a border, a name at the foot.

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
    border : str
        Ornament of the border, any border motif, default scallop.
    band : float, optional
        Width of the border: mm, 3 to 80; left out, about a tenth of the short side, or as much wider as its
        ornament needs.
    ground : str
        Pattern of the ground, any lattice motif, default fish-scale-lattice.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.15.

    Returns
    -------
    Frame
        Window and one panel, "name". The same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for its arch, or the border does not fit.

    Notes
    -----
    Where a plate lies, the arch is no wider than its height lets it be, and the ground fills either side.

    Examples
    --------
    >>> frame = arched_window(width=90, height=130)
    >>> frame.paper.bounds, frame.window.within(frame.paper)
    ((0.0, 0.0, 90.0, 130.0), True)
    """
    w = widths(width, height, strap, smallest, rim)
    outline = rectangle(width=width, height=height)
    openings, inside = bordered(outline, border, band, w)
    x0, y0, x1, y1 = inside.bounds
    panels, eyelets, low = name_place(x0, y0, x1, panel * height, w)
    middle = (x0 + x1) / 2
    high = y1 - low
    require_side("height", height, height - high + 0.55 * (x1 - x0) * min(1, height / width), "its arch")
    span = min(x1 - x0, 1.2 * high)
    vault = affinity.translate(arch(width=span, height=high), middle - span / 2, low)
    ring = w.grown(5.2)
    depth = ring + w.rail
    block(2 * depth + _LEAST_ARCH, depth + _LEAST_ARCH, span, high)  # refuses where there is no room
    window = affinity.translate(
        arch(width=span - 2 * depth, height=high - depth), middle - span / 2 + depth, low
    )
    field = block(x0, low, x1, y1).difference(vault.buffer(w.rail))
    spandrels = fill(field, ground, pitch, w)
    stones = _arch_of_drops(vault, ring, w)
    return put_together(outline, [openings, eyelets, stones, spandrels], window, panels, w)


def _arch_of_drops(vault: Polygon, length: float, w: Widths) -> Shapes:
    """Lay drops along the inside of an arch, their points to its middle; none along its foot."""
    ring = shapely.get_coordinates(vault.exterior)[:-1]
    low = ring[:, 1].min()
    head = ring[ring[:, 1] > low + 1e-6]
    line = LineString([(ring[:, 0].max(), low), *head, (ring[:, 0].min(), low)])
    wide = 0.62 * length

    def laid(count: int) -> Shapes:
        at, direction = stations(line, count)
        return lay(drop(length, wide), at, direction + math.pi / 2)

    return fitted_count(round(line.length / (wide + w.strap)), laid, w.strap)


@frame
def double_rule(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    panel: PanelShare = 0.165,
) -> Frame:
    """Two rules tied by pierced beads, a fan of drops in each corner, a name panel between the lower two.

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
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 3.6 straps. The rules
        between are as much wider than the strap as they are narrower than the rim.
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.165.

    Returns
    -------
    Frame
        Window, its upper corners rounded by the fans, and one panel, "name". The same in the mirror
        about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too small for its corners.

    Notes
    -----
    Fans have two to seven drops and rules as many beads as keep them about alike on all sides.

    Examples
    --------
    >>> small, large = double_rule(width=60, height=90), double_rule(width=148, height=210)
    >>> len(small.paper.interiors) < len(large.paper.interiors)
    True
    """
    w = widths(width, height, strap, smallest, _HEAVY * strap if rim is None else rim)
    outline = rectangle(width=width, height=height)
    gap = max(w.grown(4.6), 2 * (w.strap + w.smallest) + 0.4)
    inner = w.rim + gap + w.rail
    reach = w.grown(21, 0.8)
    fans = _corner_fans(width, height, reach, w)
    corners = [ellipse(x, y, reach, reach) for x in (w.rim, width - w.rim) for y in (w.rim, height - w.rim)]
    rounds = shapely.union_all(corners)
    ties = _tied_channel(width, height, gap, reach, w)
    keep = rounds.buffer(w.rail, quad_segs=48)
    low = inner + max(panel * height, reach - inner + w.rim) if panel else inner - w.rim
    require_side("width", width, 2 * (w.rim + reach + w.rail) + 18, "a name panel between its corners")
    require_side("height", height, low + w.rim + 2 * reach, "a window over its name panel")
    place = block(inner, inner, width - inner, low).difference(keep) if panel else None
    panels = {} if place is None else {"name": largest(soft(place, 0.3))}
    window = largest(soft(block(inner, low + w.rim, width - inner, height - inner).difference(keep), 0.3))
    return put_together(outline, [fans, ties], window, panels, w)


def _corner_fans(width: float, height: float, reach: float, w: Widths) -> Shapes:
    """Lay a quarter fan in each corner: an eyelet in the angle and drops about it."""
    found: list[Shapes] = []
    for x, y, turn in ((0, 0, 0), (width, 0, 90), (width, height, 180), (0, height, 270)):
        way = math.radians(turn)
        cos, sin = math.cos(way), math.sin(way)
        corner = np.array([x, y]) + w.rim * np.array([cos - sin, sin + cos])
        found.append(corner_fan(corner, way, reach, w))
    return gather(*found)


def _tied_channel(width: float, height: float, gap: float, reach: float, w: Widths) -> Shapes:
    """Open the channel between the rules but for beads that tie them, each with an eyelet."""
    bead = gap / 2 + 0.25 * w.strap
    eye = bead - w.gap
    found: list[Shapes] = []
    sides = [width - 2 * (w.rim + reach), height - 2 * (w.rim + reach)]
    counts = recount_together(sides, w.grown(15), least=2.5 * gap, most=10 * gap, multiple=2) or [2, 2]
    corners = shapely.union_all(
        [
            ellipse(x, y, reach + w.rail, reach + w.rail)
            for x in (w.rim, width - w.rim)
            for y in (w.rim, height - w.rim)
        ]
    )
    a, b = w.rim, w.rim + gap
    for side in (
        block(a, a, width - a, b), block(a, height - b, width - a, height - a),
        block(a, a, b, height - a), block(width - b, a, width - a, height - a),
    ):  # fmt: skip
        x0, y0, x1, y1 = side.bounds
        level = x1 - x0 > y1 - y0
        mid = gap / 2
        first, last = (x0 + reach, x1 - reach) if level else (y0 + reach, y1 - reach)
        count = counts[0 if level else 1]
        at = first + (last - first) * np.arange(1, count) / count
        points = np.column_stack(
            [at, np.full(len(at), y0 + mid)] if level else [np.full(len(at), x0 + mid), at]
        )
        discs = shapely.union_all(shapely.buffer(shapely.points(points), bead, quad_segs=24))
        slots = soft(side.difference(discs).difference(corners), min(0.3, w.smallest))
        found += [slots, lay(disc(eye), points, 0.0)]
    return gather(*found)
