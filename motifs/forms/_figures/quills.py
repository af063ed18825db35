"""Quills: a feather by itself, and one that stands in an inkwell.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import parts_fitting

__all__ = ["FEATHER", "QUILL", "draw_feather", "draw_quill"]

# fmt: off
FEATHER = Build("a feather", (27, 100), least=7, range=(0.22, 0.34))
FEATHER_SHAFT = [(4.6, 0), (0.2, 28), (-1.2, 62), (3.0, 100)]
FEATHER_BARE, FEATHER_VANE = 0.21, ((24.0, 0.50, 0.72), (17.0, 0.50, 0.86))
"""Share of the quill below the vane; the vane's broad and narrow side: size, fullness at root and at tip. Near 1 ends in a point."""

BARB_STEP, BARB_ANGLE, BARB_S = 4.6, 34.0, 0.055
"""Step from slit to slit, degrees of a barb off the shaft, and how far its S swings to either side, as a share of its length."""

SPLITS = ((0.42, 1), (0.66, -1))
"""Where the vane has parted, and on which side: two at the most."""

DOWN = ((0.96, 1, 10.0), (0.94, -1, 8.5), (0.70, 1, 7.0), (0.68, -1, 6.0))
"""Loose barbs below the vane: where on the bare quill, on which side, how long. They tell a feather from a leaf."""

QUILL = Build("a quill in its well", (61, 100), least=18)
WELL = [(-20, 0), (-21.5, 5), (-17.5, 8), (-19.5, 16), (-14, 24), (-8.5, 26.5), (-9, 32), (9, 32), (8.5, 26.5), (14, 24), (19.5, 16), (17.5, 8), (21.5, 5), (20, 0)]
WELL_CORNERS = (0, 1, 2, 6, 7, 11, 12, 13)
SHAFT = [(1, 28), (4, 42), (11, 62), (22, 82), (36, 99)]
"""The quill's shaft: it leans and bends away, and takes two thirds of the height."""

VANE_FROM, VANE = 0.17, ((16.25, 0.6, 0.55), (11.0, 0.6, 0.6))
"""Where on the shaft the vane begins; on its broad and its narrow side: size, how full at the root, how full at the tip."""

BARBS = 3.4
"""Step from slit to slit between barbs."""
# fmt: on


def vane(
    line: Points, aside: Points, bare: float, profile: Sequence[tuple[float, float, float]]
) -> tuple[list[Points], Points]:
    """Return how far a feather's vane reaches to either side of its shaft at each sample, and its outline.

    The vane begins at the share `bare` of the shaft; `profile` says of the side `aside` points to, and of the
    other, its size, how full it is at the root and how full at the tip.
    """
    share = np.clip((np.linspace(0, 1, len(line)) - bare) / (1 - bare), 0, 1)
    sides = [size * share**root * (1 - share) ** tip for size, root, tip in profile]
    inside = share > 0
    left, right = line + aside * sides[0][:, None], line - aside * sides[1][:, None]
    return sides, np.vstack([left[inside], right[inside][::-1]])


def draw_feather(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an upright feather: a pointed vane, barbs of one S-curve, parted along them twice at the most."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FEATHER.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    line = pen.limb([(hand * x, y) for x, y in FEATHER_SHAFT], [1.7, 1.3, 1.0, 0.2], point=True)
    ahead, aside = directions(line)
    aside = aside * hand
    sides, ring = vane(line, aside, FEATHER_BARE, FEATHER_VANE)
    whole = shapely.make_valid(Polygon(pen.mm(ring)))
    if 30 * pen.unit > 12 * strap:
        for at, side in SPLITS:
            k = int((at + 0.06 * chance.uniform(-1, 1)) * (len(line) - 1))
            start, _, knee, end = _barb(line[k], ahead[k], aside[k] * side, 1.25 * sides[side < 0][k])
            wedge = [
                start + 0.25 * (knee - start),
                knee,
                end + ahead[k] * 2.6,
                end - ahead[k] * 0.6,
                knee - ahead[k] * 0.6,
            ]
            whole = whole.difference(Polygon(pen.mm(wedge)).buffer(0.15 * strap))
    pen.lay(*parts_fitting(whole, strap / 2))
    for share_of_bare, side, long in DOWN:
        k = int(share_of_bare * FEATHER_BARE * (len(line) - 1))
        tip = line[k] + (0.55 * ahead[k] + side * 0.84 * aside[k]) * long * some(chance, 0.1)
        knee = 0.5 * (line[k] + tip) - ahead[k] * 0.12 * long
        pen.limb([line[k], knee, tip], [1.3, 1.1, 0.1], point=True)
    step = max(BARB_STEP, pen.units(2.5 * strap + 2.2 * smallest) / math.sin(math.radians(BARB_ANGLE)))
    run = distances_along(line)
    for far in np.arange((FEATHER_BARE + 0.02) * run[-1], 0.93 * run[-1], step):
        k = int(np.searchsorted(run, far))
        for side in (1, -1):
            way = _barb(
                line[k] + aside[k] * side * max(0.7, 1.2 * pen.fine),
                ahead[k],
                aside[k] * side,
                0.80 * sides[side < 0][k],
            )
            if np.hypot(*(way[-1] - way[0])) > 3.2 * pen.slit:
                white = max(0.15 * step, pen.slit)
                pen.cut_line(way, [0.6 * white, white, 0.9 * white, 0.1])
    return pen


def _barb(root: Points, ahead: Points, aside: Points, width: float) -> list[Points]:
    """Return a barb out to that width: an S that leaves the shaft flat and ends along the edge."""
    out = aside + ahead / math.tan(math.radians(BARB_ANGLE)) * 0.62
    end = root + out * width
    across = np.array([-out[1], out[0]]) * (1 if aside[0] * ahead[1] - aside[1] * ahead[0] > 0 else -1)
    return [
        root,
        root + 0.34 * (end - root) - BARB_S * across * width,
        root + 0.70 * (end - root) + 0.3 * BARB_S * across * width,
        end,
    ]


def draw_quill(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a quill in an inkwell."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, QUILL.frame, strap=strap, smallest=smallest)
    hand, lean = float(chance.choice([-1, 1])), some(chance, 0.12)
    pen.mass(WELL, WELL_CORNERS)
    pen.slab([(-11, 31), (11, 31), (11, 34.2), (-11, 34.2)])
    for k in range(-2, 3):
        pen.cut_drop((k * 5.8, 19.5 - 0.25 * k * k), (k * 6.1, 11.5), 1.75)
    for k in (-1, 1):
        pen.cut_leaf((k * 2.5, 4.2), (k * 16, 4.2), 1.1)
    _feather(pen, np.array([(hand * x * lean, y) for x, y in SHAFT]), hand)
    return pen


def _feather(pen: Pen, way: ArrayLike, hand: float) -> None:
    """Draw the quill's shaft and vane, and cut slits between its barbs."""
    line = pen.limb(way, [1.3, 1.3, 1.2, 1.0, 0.3], point=True)
    ahead, aside = directions(line)
    aside = aside * hand
    (broad, narrow), ring = vane(line, aside, VANE_FROM, VANE)
    pen.outline(ring)
    step = max(BARBS, pen.units(2.4 * pen.strap + 2 * pen.smallest))
    run = distances_along(line)
    for far in np.arange(0.24 * run[-1], 0.93 * run[-1], step):
        k = int(np.searchsorted(run, far))
        for side, width in ((1, broad[k]), (-1, narrow[k])):
            start, end = (
                line[k] + aside[k] * side * 2.0,
                line[k] + (aside[k] * side + 1.1 * ahead[k]) * 0.86 * width,
            )
            if np.hypot(*(end - start)) > 4:
                pen.cut_leaf(start, end, 0.24 * step, 0.07 * side * hand, 0.45)
