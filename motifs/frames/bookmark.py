"""A bookmark: a rose in its round head, a tall window, a name under it or beside it, a fringe."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Annotated

import numpy as np
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.bounds import PanelShare, PlateHeight, PlateRim, PlateStrap, PlateWidth, Smallest
from canivet.motifs.outlines import arch
from canivet.motifs.shapes.openings import Shapes
from canivet.parameters import Share

from ._openings import Floats, block, disc, drop, ellipse, gather, lay, petal, soft
from ._parts import ROOMS, Widths, least_side, name_place, put_together, require_side, widths
from .frame import Frame, NoRoom, Room, frame

__all__ = ["tall_narrow"]

_SPINES = (0.26, 0.32, 0.38)
"""Shares of the width for a name that rises beside the window: it goes there where it is too long to lie."""

_WIDEST = 0.45
"""And the most: a window narrower than the name beside it would be seen as the lesser of the two."""

_USUAL = 0.12
"""Height of a name that lies under the window, as a share of the plate's: a line of letters with air."""


@frame
def tall_narrow(
    *,
    width: PlateWidth = 50.0,
    height: PlateHeight = 180.0,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    panel: PanelShare | None = None,
    spine: Annotated[float, Share("width of a name panel beside the window as a share", 0, _WIDEST)] = 0.0,
) -> Frame:
    """A bookmark: a rose in its round head with an eye for a cord, a tall window, a name, a fringe of drops.

    Parameters
    ----------
    width : float
        mm, 30 to 1000, default 50.0.
    height : float
        mm, 30 to 1000, default 180.0.
    strap : float
        Narrowest paper left anywhere: mm, 0.3 to 20, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    rim : float, optional
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 2.4 straps. The rules
        between are as much wider than the strap as they are narrower than the rim.
    panel : float, optional
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none; left out, 0.12, or none
        beside a spine.
    spine : float
        Width of a name panel that stands beside the window instead, as a share of the plate's: 0 to 0.45, 0
        for none, default 0. The name rises in it from foot to head.

    Returns
    -------
    Frame
        Window and one panel, "name". Without a spine the same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for its window, about two and a half times its width; if a spine, or what it
        leaves of the window, is too narrow to use; or if a spine and a panel are asked for.

    Examples
    --------
    >>> tall_narrow(width=60, height=90)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    canivet.errors.DoesNotFit: height is 90 mm; a tall window needs at least ...
    """
    w = widths(width, height, strap, smallest, rim)
    require_side("height", height, 1.2 * width, "a tall window")
    outline = arch(width=width, height=height)
    x, radius = width / 2, width / 2 - w.rim
    centre = height - width / 2
    rose = _rose(x, centre, radius, w)
    low = centre - radius
    x0, x1 = w.rim, width - w.rim
    spare = block(x0, low, x1, centre).difference(ellipse(x, centre, radius + w.rail, radius + w.rail))
    corners = soft(spare, max(0.4, smallest))
    fringe = w.rim + 0.11 * height
    if panel is None:
        panel = 0.0 if spine else _USUAL
    elif panel and spine:
        raise _two_places(panel, spine)
    below = max(panel * height, 6.0) if panel else 0.0
    panels, eyelets, top = name_place(x0, fringe + w.rim, x1, below, w)
    window = block(x0, top, x1, low - w.rim)
    require_side("height", height, height - (low - top - w.rim) + 0.8 * width, "a tall window")
    if spine:
        panels["name"], window = _beside(window, spine, width, w)
    ornament = [rose, corners, eyelets, _fringe(x0, x1, w.rim, fringe, w)]
    rising = Room("spine", _SPINES, {"panel": 0.0, "spine": 0.0})
    lying = Room("panel", ROOMS, then={"spine": _SPINES[0]})
    drawn = put_together(outline, ornament, window, panels, w, rooms={"name": rising if spine else lying})
    return replace(drawn, rising=frozenset({"name"} if spine else ()))


def _two_places(panel: float, spine: float) -> DoesNotFit:
    return DoesNotFit(
        f"panel is {panel:g} and spine is {spine:g}; a name lies under the window or rises beside it. "
        "Leave out panel, or set spine to 0.",
        parameter="panel", value=panel, accepted="none beside a spine",
    )  # fmt: skip


def _beside(window: Polygon, spine: float, width: float, w: Widths) -> tuple[Polygon, Polygon]:
    """Part a window from a place on its left, a main member between the two; return the place first."""
    x0, y0, x1, y1 = window.bounds
    least, most = least_side(w), x1 - x0 - w.rim - least_side(w)
    if not least < spine * width < most:
        low = math.floor(100 * least / width + 1) / 100
        high = min(math.ceil(100 * most / width - 1) / 100, _WIDEST)
        if low > high:
            raise NoRoom("a name beside its window")
        raise DoesNotFit(
            f"spine is {spine:g}; on a plate {format_mm(width, 1)} mm wide a name beside the window takes "
            f"{low:g} to {high:g}. {'Raise' if spine < low else 'Lower'} spine, or set it to 0 for none.",
            parameter="spine", value=spine, accepted=f"{low:g} to {high:g}",
        )  # fmt: skip
    middle = x0 + spine * width
    return block(x0, y0, middle, y1), block(middle + w.rim, y0, x1, y1)


def _rose(x: float, y: float, radius: float, w: Widths) -> Shapes:
    """Lay petals round an eyelet for a cord, and a bead in the dip between the heads of each two."""
    eye = max(1.5, 0.13 * radius)
    count = min(24, max(6, 2 * round(math.pi * radius / (w.strap + w.grown(10.0, 0.4)))))
    half = math.pi / count
    near = max(eye + w.rail, (w.gap + 1.2 * w.smallest) / 2 / math.sin(half))
    wide = bead = head = 0.0
    for head in np.arange(radius, near + 4 * w.smallest, -0.05):
        # a head as wide as its wedge lets it be, touching the circle of radius `head`
        wide = (2 * head * math.sin(half) - w.gap) / (1 + math.sin(half))
        bead = max(w.smallest, 0.3 * wide)
        middle = head - wide / 2
        dip = math.hypot((radius - bead) * math.cos(half) - middle, (radius - bead) * math.sin(half))
        if dip >= wide / 2 + bead + w.gap:
            break
    turn = math.pi / 2 + 2 * half * np.arange(count)
    out, between = _directions(turn), _directions(turn + half)
    petals = lay(drop(head - near, wide), np.array([(x, y)]) + out * head, turn + math.pi)
    beads = lay(disc(bead), np.array([(x, y)]) + between * (radius - bead), 0.0)
    return gather(petals, beads, lay(disc(eye), np.array([(x, y)]), 0.0))


def _directions(angles: Floats) -> Floats:
    return np.column_stack([np.cos(angles), np.sin(angles)])


def _fringe(x0: float, x1: float, y0: float, y1: float, w: Widths) -> Shapes:
    """Hang petals side by side, wide at the foot, the middle ones longest; an eyelet over the short ones."""
    count = max(3, 2 * round((x1 - x0) / (w.strap + w.grown(4.6, 0.3)) / 2) + 1)
    step = (x1 - x0 + w.gap) / count
    wide = step - w.gap
    middles = x0 + wide / 2 + step * np.arange(count)
    share = 1 - 0.4 * np.abs(np.linspace(-1, 1, count)) ** 1.5
    found: list[Shapes] = []
    for m, part in zip(middles, share, strict=True):
        long = (y1 - y0) * part
        found.append(
            lay(petal(long, wide, max(0.75 * wide, 2.1 * w.smallest)), np.array([(m, y0)]), math.pi / 2)
        )
        rest = y1 - y0 - long - w.gap
        eye = min(wide, rest) / 2
        if eye >= w.smallest and rest > 0:
            found.append(lay(disc(eye), np.array([(m, y1 - eye)]), 0.0))
    return gather(*found)
