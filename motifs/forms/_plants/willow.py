"""A willow in its curtains: boughs that rise and part, and strands that fall from their crowns.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from canivet.motifs.forms._chance import Chance
from canivet.motifs.forms._drawing.curves import open_curve
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, lens
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import closed, largest_part

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
    (1, [(48.5, 29), (46.9, 41), (44.6, 53), (42.4, 68), (41.0, 84)], (2.3, 2.8, 2.3, 1.7, 1.3, 1.0)),
    (0, [(47.0, 41.0), (43.4, 53.0), (37, 64), (29.0, 74.5), (22.0, 80.6)], (2.1, 2.1, 1.7, 1.4, 1.1, 0.9)),
    (2, [(49.9, 29), (53.2, 41), (57.2, 53), (61.6, 68), (63.0, 85)], (2.3, 2.8, 2.3, 1.7, 1.3, 1.0)),
    (3, [(53.2, 41.0), (58.8, 53.0), (67, 64), (75.5, 74.5), (83.0, 81.0)], (2.1, 2.1, 1.7, 1.4, 1.1, 0.9)),
)
FEW_BOUGHS = (
    (0, [(48.5, 29), (46.6, 41), (42.0, 55), (34, 70), (25.5, 78.4)], (2.3, 2.8, 2.3, 1.7, 1.3, 1.0)),
    (1, [(42.6, 55), (43.5, 72), (47.0, 87)], (2.0, 1.6, 1.3, 1.0)),
    (2, [(49.9, 29), (53.6, 41), (60.0, 55), (70, 70), (79.5, 79.4)], (2.3, 2.8, 2.3, 1.7, 1.3, 1.0)),
)
"""Limbs and what forks from them, each curved and tapering: the crown in which it ends, its way up to that,
half-widths.
"""

TRUNK = [(25, 2.6), (34, 5.4), (39.6, 11.5), (42.4, 22), (43.6, 29), (44.1, 35), (43.9, 42), (56.2, 42), (54.0, 35), (52.4, 29), (51.2, 22), (51.6, 12), (56.8, 5.6), (67, 3.0)]
TRUNK_CORNERS = (0, 6, 7, 13)
"""The trunk, from root to root: it leans, and its foot runs out into the ground in one curve."""

FORK = 2.4
"""Radius of the hollow where limbs part: no kink in a fork."""

GROUND = [(0, 0.8), (20, 3.4), (48, 4.6), (82, 3.6), (104, 0.8), (80, 0), (24, 0)]

EDGE = (3.6, 100.4)
"""How far out the outermost strands hang."""

STEEP = 6.0
"""A bough that ends so far under its crown comes up to it from below."""

SHOULDER = ((0.36, 0.07), (0.68, 0.34), (0.90, 0.86))
"""How a strand bends over: how far out, as a share of its way, and how far down, over the same."""

FALL = 9.0
"""How far below that it hangs."""

SWAY, SWAY_LONG, SWAY_FROM = 1.7, 78.0, 84.0
"""How far strands sway aside as they fall, how high one swing out and back is, and where it begins."""

STEM, LEAF, LEAF_HALF, LEAF_AWAY, LEAF_BOW = 0.5, 8.6, 0.9, 24.0, 0.05
"""Half a strand's stem; a leaf's length and half-width; the degrees by which it stands off; how far it bows
back towards its strand, over its length.
"""

LEAF_STRAPS = 4.6
"""Straps to a leaf's length at the least: a shorter one is a saw's tooth."""

LEAF_FREE, LEAF_BEND = 1.6, 0.85
"""How far from the crown the first leaf is, in half-widths of a stem; to what share of its way aside a strand
bends over, its leaves all on the outer side.
"""

HEM = ((0.0, 13.0), (0.14, 7.0), (0.28, 17.0), (0.34, 36.0), (0.40, 60.0), (0.50, 58.0), (0.58, 54.0), (0.66, 36.0), (0.76, 22.0), (0.92, 8.0), (1.0, 14.0))
"""How high strands end along the curtain: low at both sides, and parted before the trunk."""

LOWEST = 8.0
"""No strand comes lower: one that stands on the ground is a post."""

RAGGED = 8.0
"""How far a strand may end from there, by turns and by chance."""

AIR = 0.6
"""White between a leaf and the stem it points to, over the least that is left anywhere: what nearly touches is a clot."""

CLEAR, SHORTEST, BEFORE = 1.0, 1.0, 2.6
"""White between a strand and a bough over which it falls, over the least there is anywhere; leaves to a
strand's length, from where it is clear of its bough, at the least; how far under its crown it is so at
the most, in steps of the curtain.
"""

LEAN, LEAN_FREE, LEAN_LEAST = 3.2, 1.2, 4.0
"""A strand leans with its end on a longer neighbour: over so many steps of the curtain it comes across; so
many leaves of the neighbour hang below; and so many it is long at the least.
"""

CRUMB = 1.7
"""How much larger than usual a light must be that strands, trunk and boughs leave between them: no specks in
a fork.
"""

# fmt: on


@dataclass(frozen=True, slots=True)
class _Curtain:
    """Sizes of a curtain in units: from strand to strand, a leaf, half a stem, white kept at the least."""

    step: float
    leaf: float
    half: float
    stem: float
    air: float


@dataclass(frozen=True, slots=True)
class _Strand:
    """The way of a strand from its crown down, units, which crown, and whether its end leans on a neighbour."""

    way: Points
    crown: int
    leans: bool = False


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
    pen.blacks = [largest_part(closed(shapely.union_all(pen.blacks), FORK * pen.unit, sides=24))]
    owner = np.clip(np.searchsorted(parts, places, side="right") - 1, 0, len(crowns) - 1)
    ways = [_clear_of(pen, curtain, way) for way in _ways(places, crowns[owner], chance)]
    strands = _leaning(
        curtain, [_Strand(way, k) for way, k in zip(ways, owner, strict=True) if way is not None]
    )
    _draw_strands(pen, curtain, strands)
    if chance.uniform() < 0.5:
        pen.flip(MIDDLE)
    return pen


def _sizes(pen: Pen) -> _Curtain:
    """Return the sizes of a curtain whose leaves are leaves: the stouter the strap, the fewer strands."""
    stem = max(STEM, pen.fine)
    leaf = max(LEAF, LEAF_STRAPS * pen.units(pen.strap))
    half = max(LEAF_HALF, pen.units(0.8 * pen.strap))
    reach, air = leaf * np.sin(np.radians(LEAF_AWAY)) + half, max(pen.gap, 2.2 * pen.slit)
    return _Curtain(reach + stem + AIR * air, leaf, half, stem, air)


def _ways(places: Points, crowns: Points, chance: Chance) -> list[Points]:
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
        way = open_curve(np.array([crown, *bend, *fall]))
        # one sway for all, by height, so that neighbours keep their distance; outward first, to either side
        swing = np.sin(2 * np.pi * (SWAY_FROM - way[:, 1]) / SWAY_LONG) * np.clip((x - MIDDLE) / 24, -1, 1)
        way[:, 0] += SWAY * swing * np.clip((crown[1] - way[:, 1]) / 14, 0, 1)
        ways.append(way)
    return ways


def _clear_of(pen: Pen, curtain: _Curtain, way: Points) -> Points | None:
    """Return a strand's way to where it would fall on a bough, or None where little would be left of it."""
    near = pen.blacks[0].buffer((curtain.stem + CLEAR * curtain.air) * pen.unit)
    on = shapely.intersects_xy(near, pen.mm(way))
    free = int(on.argmin())
    if on.all() or way[0, 1] - way[free, 1] > BEFORE * curtain.step:
        return None
    again = np.flatnonzero(on[free:])
    end = free + int(again[0]) if len(again) else len(way)
    if end - free < 2:
        return None
    run = distances_along(way[:end])
    return way[:end] if run[-1] - run[free] > SHORTEST * curtain.leaf else None


def _leaning(curtain: _Curtain, strands: list[_Strand]) -> list[_Strand]:
    """Let strands come across to a longer neighbour from the same crown, and end on it."""
    leant = list(strands)
    for k, strand in enumerate(strands):
        way, (x, y) = strand.way, strand.way[-1]
        outer = 1 if x > MIDDLE else -1
        for one in (k + outer, k - outer):
            if not 0 <= one < len(strands) or leant[one].leans or strand.crown != strands[one].crown:
                continue
            to = strands[one].way
            if to[-1, 1] > y - LEAN_FREE * curtain.leaf or way[0, 1] - y < LEAN_LEAST * curtain.leaf:
                continue
            if (to[-1, 0] - to[0, 0]) * (x - way[0, 0]) < 0:
                continue  # it hangs on the other side of the bough
            down = np.clip(1 - (way[:, 1] - y) / (LEAN * curtain.step), 0, 1)
            across = np.interp(way[:, 1], to[::-1, 1], to[::-1, 0]) - way[:, 0]
            moved = way + np.column_stack([across * down**2 * (3 - 2 * down), np.zeros(len(way))])
            leant[k] = _Strand(moved, strand.crown, leans=True)
            break
    return leant


def _draw_strands(pen: Pen, curtain: _Curtain, strands: list[_Strand]) -> None:
    """Draw the stems, a leaf at the end of each, and leaves at both sides by turns wherever there is room."""
    wood, stems, ends = pen.blacks[0], [], []
    for strand in strands:
        way, run = strand.way, distances_along(strand.way)
        to = len(way) - 1 if strand.leans else int(np.searchsorted(run, run[-1] - 0.5 * curtain.leaf))
        pen.limb(way[np.linspace(0, to, 18).astype(int)], [1.5 * curtain.stem, curtain.stem, curtain.stem])
        stems.append(pen.blacks[-1])
    for strand in strands:
        way, run = strand.way, distances_along(strand.way)
        i = int(np.searchsorted(run, run[-1] - curtain.leaf))
        if not strand.leans:
            ends.append(pen.leaf(way[i], way[-1] + 0.15 * (way[-1] - way[i]), curtain.half))
    taken = [wood, *stems, *ends]
    for turned in (False, True):  # what room is left after the first round is at the outside and in the crown
        for k, strand in enumerate(strands):
            _leafed(pen, curtain, strand, taken, k + 1, turned=turned)


def _leafed(
    pen: Pen, curtain: _Curtain, strand: _Strand, taken: list[BaseGeometry], own: int, *, turned: bool
) -> None:
    """Draw a strand's leaves, each where it is clear of what is taken, its own stem apart; they are then taken.

    With `turned` left and right change places, and each stands half its length further down.
    """
    way = strand.way
    run, (ahead, aside) = distances_along(way), directions(way)
    last = run[-1] - (0.7 if strand.leans else 1.25) * curtain.leaf
    step, turn = curtain.leaf, np.radians(LEAF_AWAY)
    # at the same heights in every strand, to the left and to the right by turns: so leaves reach into each other's gaps
    shift = -way[-1, 1] - run[-1]
    for count in range(int(np.ceil((run[0] + shift) / step)), int(np.floor((last + shift) / step)) + 1):
        at = count * step - shift + (0.5 * step if turned else 0)
        if at > last or at < LEAF_FREE * curtain.stem:
            continue
        i, hand = int(np.searchsorted(run, at)), 1 if count % 2 != turned else -1
        if abs(way[i, 0] - way[0, 0]) < LEAF_BEND * abs(way[-1, 0] - way[0, 0]):
            hand = 1 if way[-1, 0] > way[0, 0] else -1
        tip = way[i] + curtain.leaf * (np.cos(turn) * ahead[i] + hand * np.sin(turn) * aside[i])
        blade = lens(pen.mm(way[i]), pen.mm(tip), curtain.half * pen.unit, LEAF_BOW * hand)
        outer = blade.difference(taken[own].buffer(0.5 * curtain.air * pen.unit))
        others = np.array([one for k, one in enumerate(taken) if k != own], dtype=object)
        if outer.is_empty or shapely.dwithin(others, outer, curtain.air * pen.unit).any():
            continue  # on a bough or against a neighbour it is a lump
        pen.leaf(way[i], tip, curtain.half, LEAF_BOW * hand, widest=0.5)
        taken.append(outer)
