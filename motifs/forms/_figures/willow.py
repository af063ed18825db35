"""A willow in its curtains: boughs that rise and part, and strands that fall from their crowns.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.forms._chance import Chance
from canivet.motifs.forms._drawing.curves import open_curve
from canivet.motifs.forms._drawing.pen import Box, Build, Pen
from canivet.motifs.forms._strokes import bezier
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["WILLOW", "draw_willow"]


# fmt: off
WILLOW = Build("a willow", (104, 100), least=22)
MIDDLE = 52.0
"""Middle of the crown."""

CROWNS, PARTS = ((15.0, 82.0), (38.0, 91.5), (62.5, 95.5), (89.0, 83.0)), (0.0, 0.24, 0.47, 0.75, 1.0)
"""Where boughs bend over and their strands begin: four, of several heights, so that the outline is lobed; and
how the curtain is shared out among them, from left to right.
"""

FEW_CROWNS, FEW_PARTS, FEW = ((18.0, 84.0), (53.0, 95.0), (87.0, 85.0)), (0.0, 0.34, 0.66, 1.0), 12
"""The same with three, where there are fewer strands than that."""

LIFE = 1.6
"""How far a crown may stand from its place, by chance: no two willows alike, and no dome."""

BOUGHS = (
    (1, [(49.4, 37), (44.6, 53), (42.4, 68), (41.0, 84)], (2.7, 2.3, 1.8, 1.3, 1.0)),
    (0, [(45.2, 50.0), (37, 64), (29.0, 74.5), (22.0, 80.6)], (2.0, 1.7, 1.4, 1.1, 0.9)),
    (2, [(51.8, 37), (57.8, 53), (61.6, 68), (63.0, 85)], (2.7, 2.3, 1.8, 1.3, 1.0)),
    (3, [(56.9, 50.0), (67, 64), (75.5, 74.5), (83.0, 81.0)], (2.0, 1.7, 1.4, 1.1, 0.9)),
)
FEW_BOUGHS = (
    (0, [(49.4, 37), (42.4, 55), (34, 70), (25.5, 78.4)], (2.7, 2.3, 1.8, 1.3, 1.0)),
    (1, [(42.6, 55), (43.5, 72), (47.0, 87)], (2.0, 1.6, 1.3, 1.0)),
    (2, [(51.8, 37), (60.4, 55), (70, 70), (79.5, 79.4)], (2.7, 2.3, 1.8, 1.3, 1.0)),
)
"""Limbs and what forks from them, each curved and tapering: the crown in which it ends, its way up to that,
half-widths.
"""

TRUNK = [(25, 2.6), (34, 5.4), (39.6, 11.5), (42.0, 22), (45.2, 32), (47.4, 41), (53.6, 41), (52.6, 32), (51.0, 22), (51.6, 12), (56.8, 5.6), (67, 3.0)]
TRUNK_CORNERS = (0, 5, 6, 11)
"""The trunk, from root to root: it leans, and its foot runs out into the ground in one curve."""

GROUND = [(0, 0.8), (20, 3.4), (48, 4.6), (82, 3.6), (104, 0.8), (80, 0), (24, 0)]

EDGE = (3.6, 100.4)
"""How far out the outermost strands hang."""

STEEP = 6.0
"""A bough that ends so far under its crown comes up to it from below."""

SHOULDER = ((0.40, 0.04), (0.78, 0.30), (0.965, 0.90))
"""How a strand bends over: how far out, as a share of its way, and how far down, over the same."""

FALL = 9.0
"""How far below that it hangs straight."""

STEM, LEAF, LEAF_HALF, LEAF_AWAY = 0.55, 7.4, 1.0, 25.0
"""Half a strand's stem; a leaf's length and half-width; the degrees by which it stands off."""

LEAF_STRAPS = 3.7
"""Straps to a leaf's length at the least: a shorter one is a saw's tooth."""

LEAF_STEP, LEAF_FREE = 1.2, 1.0
"""How far from leaf to leaf, over a leaf's length; how far from the next stem, in steps of the curtain, the
first one is.
"""

HEM = ((0.0, 13.0), (0.14, 7.0), (0.28, 17.0), (0.34, 36.0), (0.40, 60.0), (0.50, 58.0), (0.58, 54.0), (0.66, 36.0), (0.76, 22.0), (0.92, 8.0), (1.0, 14.0))
"""How high strands end along the curtain: low at both sides, and parted before the trunk."""

LOWEST = 8.0
"""No strand comes lower: one that stands on the ground is a post."""

RAGGED = 6.0
"""How far a strand may end from there, by turns and by chance."""

AIR = 1.4
"""White between a leaf and the stem it points to, over the least that is left anywhere: what nearly touches is a clot."""

TIE_TURN, TIE_DROP, TIE_STEP, TIE_FREE = 0.382, 2.5, 62.0, 0.40
"""Ties are leaves so long that they reach the next strand and lie along it: by what share of their step they
are set off from gap to gap, so that they nowhere make a belt; how far down one runs, in steps of the curtain;
how far apart two are; and the share of the shorter strand, from its end, that hangs free.
"""

CRUMB = 1.7
"""How much larger than usual a light must be that strands, trunk and boughs leave between them: no specks in
a fork.
"""

# fmt: on


@dataclass(frozen=True, slots=True)
class _Curtain:
    """Sizes of a curtain in units: from strand to strand, a leaf, half a stem."""

    step: float
    leaf: float
    half: float
    stem: float


@dataclass(frozen=True, slots=True)
class _Taken:
    """Room at one side of a strand, between two heights, that a tie takes: no leaf stands there."""

    strand: int
    hand: int
    low: float
    high: float


def draw_willow(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a willow: boughs that part and bend over, leafy strands that fall from them, a leaning trunk."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, WILLOW.frame, strap=strap, smallest=smallest)
    pen.crumb *= CRUMB
    pen.mass(GROUND, [0, 4])
    pen.mass(TRUNK, TRUNK_CORNERS)
    curtain = _sizes(pen)
    places = np.linspace(0, 1, int((EDGE[1] - EDGE[0]) / curtain.step) + 1)
    few = len(places) < FEW
    crowns, parts = np.array(FEW_CROWNS if few else CROWNS), FEW_PARTS if few else PARTS
    crowns = crowns + chance.uniform(-LIFE, LIFE, crowns.shape) * (1, 0.8)
    hangs = EDGE[0] + places * (EDGE[1] - EDGE[0])
    for crown, way, halves in FEW_BOUGHS if few else BOUGHS:
        (*rise, (x, y)), (_, top) = way, crowns[crown]
        # a bough that comes up under its crown has a strand before it: in one line, they are not two
        x = float(hangs[np.abs(hangs - x).argmin()]) if top - y > STEEP else x
        pen.limb([*rise, (x, y), crowns[crown] - (0, 0.4)], halves)
    owner = np.clip(np.searchsorted(parts, places, side="right") - 1, 0, len(crowns) - 1)
    wood = shapely.union_all(pen.blacks)
    strands = _strands(places, crowns[owner], chance)
    taken: list[_Taken] = []
    first = chance.uniform()
    for k, pair in enumerate(pairwise(strands)):
        taken += _ties(pen, curtain, pair, k, (first + k * TIE_TURN) % 1)
    for k, strand in enumerate(strands):
        _strand(pen, curtain, strand, wood, [one for one in taken if one.strand == k])
    if chance.uniform() < 0.5:
        pen.flip(MIDDLE)
    return pen


def _sizes(pen: Pen) -> _Curtain:
    """Return the sizes of a curtain whose leaves are leaves: the stouter the strap, the fewer strands."""
    stem = max(STEM, pen.fine)
    leaf = max(LEAF, LEAF_STRAPS * pen.units(pen.strap))
    half = max(LEAF_HALF, pen.units(0.8 * pen.strap))
    reach = leaf * np.sin(np.radians(LEAF_AWAY)) + half
    return _Curtain(reach + stem + AIR * max(pen.gap, 2.2 * pen.slit), leaf, half, stem)


def _strands(places: Points, crowns: Points, chance: Chance) -> list[Points]:
    """Return the ways of the strands from left to right, each from the crown that it falls from to its end."""
    low, high = EDGE
    turns = 0.5 * (-1.0) ** np.arange(len(places))
    ends = np.interp(places, *np.array(HEM).T) + RAGGED * (chance.uniform(-0.5, 0.5, len(places)) + turns)
    ways = []
    for share, end, crown in zip(places, np.maximum(ends, LOWEST), crowns, strict=True):
        x = low + share * (high - low)
        far = x - crown[0]
        bend = [(crown[0] + out * far, crown[1] - down * abs(far)) for out, down in SHOULDER]
        fall = [(x, y) for y in (bend[-1][1] - FALL, end) if y < bend[-1][1] - 1]
        ways.append(open_curve(np.array([crown, *bend, *fall])))
    return ways


def _strand(pen: Pen, curtain: _Curtain, way: Points, wood: BaseGeometry, taken: list[_Taken]) -> None:
    """Draw a strand: a stem, leaves by turns, and one at its end."""
    run, (ahead, aside) = distances_along(way), directions(way)
    last = run[-1] - curtain.leaf
    to = int(np.searchsorted(run, max(last + 0.5 * curtain.leaf, 0.5 * run[-1])))
    pen.limb(way[np.linspace(0, to, 14).astype(int)], [1.5 * curtain.stem, curtain.stem, curtain.stem])
    step, turn = LEAF_STEP * curtain.leaf, np.radians(LEAF_AWAY)
    free = np.abs(way[:, 0] - way[0, 0]) >= 0.8 * abs(way[-1, 0] - way[0, 0])
    begin = max(float(run[free.argmax()]), LEAF_FREE * curtain.step)
    # at the same heights in every strand, to the left and to the right by turns: so leaves reach into each other's gaps
    for half in range(int(200 / step)):
        i = int(np.searchsorted(-way[:, 1], -0.5 * step * half))
        if i >= len(way) or not begin < run[i] < last - 0.3 * curtain.leaf:
            continue
        hand, y = 1 if half % 2 else -1, way[i, 1]
        if any(one.hand == hand and one.low < y < one.high for one in taken):
            continue
        tip = way[i] + curtain.leaf * (np.cos(turn) * ahead[i] + hand * np.sin(turn) * aside[i])
        if shapely.intersects_xy(wood, pen.mm([way[i], tip])).any():
            continue  # a leaf on a bough is a lump
        pen.leaf(way[i], tip, curtain.half, -0.07 * hand, widest=0.5)
    i = int(np.searchsorted(run, last))
    pen.leaf(way[i], way[i] + 1.15 * curtain.leaf * ahead[-1], curtain.half)


def _ties(pen: Pen, curtain: _Curtain, pair: tuple[Points, Points], k: int, shift: float) -> list[_Taken]:
    """Let leaves of one strand of a pair reach the other, at heights set off from gap to gap; return their room."""
    turned = k % 2
    one, other = pair[::-1] if turned else pair
    top = min(one[:, 1].max(), other[:, 1].max()) - 1.5 * curtain.step
    foot, drop = max(one[-1, 1], other[-1, 1]), TIE_DROP * curtain.step
    low = max(foot + TIE_FREE * (top - foot), foot + drop + curtain.leaf)
    taken = []
    for y in np.arange(low + shift * min(TIE_STEP, max(top - low, 0.0)), top, TIE_STEP):
        start, end = _at_height(one, y), _at_height(other, y - drop)
        way = bezier(start, start - (0, 0.3 * drop), end + (0, 0.45 * drop), end)
        pen.limb(
            way[np.linspace(0, len(way) - 1, 9).astype(int)],
            [0.6 * curtain.stem, 1.15 * curtain.half, 0.6 * curtain.stem],
        )
        room = (y - 0.9 * drop, y + 1.1 * curtain.leaf)
        taken += [_Taken(k, 1, *room), _Taken(k + 1, -1, *room)]
    return taken


def _at_height(way: Points, y: float) -> Points:
    """Return the last point of a falling line at some height."""
    return np.array([np.interp(y, way[::-1, 1], way[::-1, 0]), y])
