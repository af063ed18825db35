"""Trees that hang: a willow in its curtains, a clump of birches.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from canivet.audit.boundary import Flags
from canivet.motifs.forms._chance import Chance, some
from canivet.motifs.forms._drawing.curves import swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen
from canivet.motifs.forms._strokes import band, rounded
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["BIRCH", "WILLOW", "draw_birch", "draw_willow"]


@dataclass(frozen=True, slots=True)
class Curtain:
    """Strands that fall over a dome.

    Attributes
    ----------
    middle, half : float
        Middle of the crown, and half its width.
    fall : tuple
        Way of a strand, over the dome and down: share of the way; how far out, as a share of its place in
        the curtain, -1 to 1; how high there in the middle of the tree; how much lower at its edge.
    dome : list of tuple
        The top, where all strands begin: one round, no parting.
    leaf_step : float
        How far from leaf to leaf.
    tie_step : float
        How far apart a strand is tied to the next one by a leaf across.
    """

    middle: float
    half: float
    fall: tuple[tuple[float, float, float, float], ...]
    dome: list[Box]
    leaf_step: float
    tie_step: float

    def way(self, u: float) -> Points:
        """Return the way of the strand at that place, from the top to the ground."""
        from scipy.interpolate import PchipInterpolator  # imported here: the catalogue is light

        at, out, high, lower = np.array(self.fall).T
        x, y, down = (PchipInterpolator(at, column)(_SHARES) for column in (out, high, lower))
        return np.column_stack([self.middle + x * u * self.half, y - down * u * u])

    def pitch(self, u: float, half: float) -> Points:
        """Return how far it is from strand to strand, across them, on the way of the one at that place."""
        aside = directions(self.way(u))[1]
        apart: Points = np.abs(((self.way(u + half) - self.way(u - half)) * aside).sum(axis=1))
        return apart


# fmt: off
STRAND_STEP, STRAND_ROOM = 4.6, 2.0
"""Step between strands at the least, in units, and as a share of the room that a strand and a light want."""

STRAND_HALF, LEAF_OUT, LEAF_DOWN = 0.17, 0.19, 1.5
"""Half a strand's width and how far its leaves stand out, as shares of the step; how far a leaf's point hangs below where it
stands out, as a share of that.
"""

BY_TURNS = (1.0, 1.3)
"""Room that a strand wants before it hangs by itself, by turns: so that lights begin high and low."""

CLOSED, SLIT = 0.62, 7.0
"""Half a strand's width where it is one with its neighbours, as a share of the step; how far a light takes to open."""

TIE_TURN, TIE_DROP, TIE_HALF, TIE_FREE = 0.382, 13.0, 1.0, 22.0
"""By what share of their step ties are set off from light to light, so that they nowhere make a belt; how far down the leaf
across runs, half its width; how far below the beginning of a light the first one is: a light is long, or there is none.
"""

CRUMB = 1.35
"""How much larger than usual a light must be that strands, trunk and boughs leave between them: no crumbs in the crown."""

STRAND_POINT = 0.36
"""Half-width for each unit before the end of a strand: its last leaf."""

WILLOW = Build("a willow", (104, 100), least=22)
WILLOW_CURTAIN = Curtain(
    52.0, 48.0,
    ((0, 0.12, 97.0, 1.0), (0.18, 0.56, 95.5, 7.0), (0.34, 0.86, 84.0, 13.0), (0.52, 0.97, 62.0, 11.0), (0.75, 1.0, 34.0, 4.0), (1, 1.03, 2.0, 0.0)),
    [(40, 92.0), (52, 95.2), (64, 92.0)], leaf_step=7.0, tie_step=29.0,
)
"""About as broad as the tree is high."""

HEM, HEM_PARTED, PARTING = (6.0, 24.0), (34.0, 47.0), (0.22, 0.42)
"""Where strands end at the sides, from and to, and before the trunk; the place in the curtain at which one becomes the other."""

STANDS = (-0.72, 0.80)
"""Places in the curtain at which a strand comes down to the ground and holds the others: one to a side."""

WILLOW_BOLE, WILLOW_HALVES = [(43.8, 7.0), (43.4, 16), (46, 29), (51, 47)], (6.6, 4.8, 4.2, 4.6)
FORK = (51.5, 47)
WILLOW_BOUGHS = ([(49, 36), (42, 52), (34, 68), (25, 82)], [(50, 40), (60, 54), (70, 69), (80, 82)])
WILLOW_ROOTS = ([(43, 20), (38.8, 9.5), (33, 5), (25, 2)], [(44.5, 20), (48.4, 9.5), (54.5, 5), (65, 2.4)])
"""The trunk leans, short and stout; its boughs go up into the curtain."""

WILLOW_GROUND = [(0, 0.8), (20, 3.4), (48, 4.6), (82, 3.6), (104, 0.8), (80, 0), (24, 0)]

BIRCH = Build("a birch", (66, 100), least=20)
BIRCH_CURTAIN = Curtain(
    36.0, 31.0,
    ((0, 0.14, 97.0, 0.6), (0.2, 0.60, 94.5, 8.0), (0.4, 0.90, 82.0, 14.0), (0.6, 1.0, 62.0, 10.0), (0.8, 0.99, 40.0, 4.0), (1, 0.95, 14.0, 0.0)),
    [(32, 94.2), (36, 95.4), (40, 94.2)], leaf_step=5.0, tie_step=24.0,
)
"""Slender: it hangs close about its stems."""

BIRCH_HEM = (20.0, 43.0)
"""Where its twigs end, from and to: well above the ground, so that the stems are seen."""

BIRCH_STEMS = (([(31, 6), (29, 22), (25, 46), (21, 66)], 0.9), ([(37, 6), (37, 30), (35, 60), (36, 88)], 1.0), ([(42.4, 6), (45, 24), (48, 44), (51, 60)], 0.86))
BIRCH_HALF, BARK_HALF, THREE = 2.6, 1.2, 3.4
"""Stems of a clump, with the girth of each; half the width of one at the foot at the least, and half its white in straps; the
half-width from which there is room for two stems only.
"""

BARK_EDGE, BAR, BAR_STEP = 1.0, 0.42, 3.3
"""Black at either edge of the white, half a bar's width, and the step from bar to bar, at the least: every third goes across."""

BIRCH_GROUND = [(6, 0.9), (20, 3.0), (36, 6.4), (54, 3.0), (66, 0.9), (54, 0), (20, 0)]
# fmt: on

_SHARES = np.linspace(0, 1, 241)


def draw_willow(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a willow: a domed crown that falls in leafy strands, tied each to the next, round a leaning trunk."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, WILLOW.frame, strap=strap, smallest=smallest)
    pen.crumb *= CRUMB
    pen.mass(WILLOW_GROUND, [0, 4])
    pen.limb(WILLOW_BOLE, WILLOW_HALVES)
    pen.disc(FORK, 5.4)
    for root in WILLOW_ROOTS:
        pen.limb(root, [3.0, 2.6, 1.8, 0.1], point=True)
    for bough in WILLOW_BOUGHS:
        pen.limb(bough, [3.0, 2.3, 1.7, 1.1])
    places = _places(pen, WILLOW_CURTAIN)
    parted = np.interp(np.abs(places), PARTING, (1, 0))
    low, high = np.array(HEM)[:, None] * (1 - parted) + np.array(HEM_PARTED)[:, None] * parted
    hems = chance.uniform(low, high)
    hems[[int(np.abs(places - u).argmin()) for u in STANDS]] = 3.0
    _hang(pen, WILLOW_CURTAIN, places, hems, chance)
    if chance.uniform() < 0.5:
        pen.flip(WILLOW_CURTAIN.middle)
    return pen


def draw_birch(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a clump of birches: slender stems of white bark, twigs that hang about them."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BIRCH.frame, strap=strap, smallest=smallest)
    pen.crumb *= CRUMB
    pen.mass(BIRCH_GROUND, [0, 4])
    places = _places(pen, BIRCH_CURTAIN)
    _hang(pen, BIRCH_CURTAIN, places, chance.uniform(*BIRCH_HEM, len(places)), chance)
    half = max(BIRCH_HALF, 2.1 * pen.fine + max(BARK_HALF * pen.units(strap), 1.4 * pen.slit))
    for stem, girth in BIRCH_STEMS if half < THREE else BIRCH_STEMS[::2]:
        halves = [1.25 * half * girth, half * girth, 0.85 * half * girth, 0.1]
        line = pen.limb(stem, halves, point=True)
        _bark(pen, line, swelling(halves, len(line)), chance)
    if chance.uniform() < 0.5:
        pen.flip(BIRCH_CURTAIN.middle)
    return pen


def _places(pen: Pen, curtain: Curtain) -> Points:
    """Return the places of strands in a curtain, as many as have room."""
    step = max(STRAND_STEP, STRAND_ROOM * _room(pen))
    return np.linspace(-1, 1, 2 * round(curtain.half / step) + 1)


def _hang(pen: Pen, curtain: Curtain, places: Points, hems: Points, chance: Chance) -> None:
    """Draw a curtain: its strands down to heights of their own, ties between them."""
    pen.limb(curtain.dome, [1.2, 1.8, 1.2])
    half = 0.5 * (places[1] - places[0])
    ways = [curtain.way(u) for u in places]
    ways = [way[way[:, 1] > hem] for way, hem in zip(ways, hems, strict=True)]
    pitches = [curtain.pitch(u, half)[: len(way)] for u, way in zip(places, ways, strict=True)]
    for k, (way, pitch) in enumerate(zip(ways, pitches, strict=True)):
        _strand(pen, way, pitch, k, curtain.leaf_step)
    first = chance.uniform()
    for k, pair in enumerate(pairwise(ways)):
        pitch = min(pitches[k : k + 2], key=len)
        shift = (first + k * TIE_TURN) % 1
        _tie(pen, pair if k % 2 else pair[::-1], pitch, shift, curtain.tie_step)


def _room(pen: Pen) -> float:
    """Return the step from which two strands have a light between them."""
    return 2 * pen.fine + max(pen.gap, 2.1 * pen.slit)


def _first(run: Points, there: Flags) -> float:
    """Return how far along a line something first is, or all its length where it is nowhere."""
    return float(run[there.argmax()] if there.any() else run[-1])


def _strand(pen: Pen, way: Points, pitch: Points, k: int, step: float) -> None:
    """Draw a strand: one with its neighbours where it has no room, then leaves by turns, their points down."""
    run, (ahead, aside) = distances_along(way), directions(way)
    left = run[-1] - run
    shut = _first(run, pitch > BY_TURNS[k % 2] * _room(pen))
    opens = np.clip((run - shut) / SLIT, 0, 1)
    most = np.maximum(0.5 * (pitch - 1.4 * max(pen.gap, 2 * pen.slit)), pen.fine)
    base = np.clip(STRAND_HALF * pitch, pen.fine, most)
    leafy = np.clip(pitch / _room(pen) - 1, 0, 0.3) / 0.3
    point = np.inf if way[-1, 1] < HEM[0] - 1 else np.maximum(STRAND_POINT * left, 0.02)
    edges = []
    for hand, shift in ((1, 0.0), (-1, 0.5)):
        saw = leafy * (1 - (left / step + 0.5 * (k % 2) + shift) % 1.0)
        out = opens * np.minimum(LEAF_OUT * pitch, most - base) * saw
        half = np.minimum(opens * (base + out) + (1 - opens) * CLOSED * pitch, point)
        edges.append(way + hand * half[:, None] * aside + LEAF_DOWN * out[:, None] * ahead)
    pen.outline(np.vstack([edges[0], edges[1][::-1]]))


def _tie(pen: Pen, pair: tuple[Points, Points], pitch: Points, shift: float, step: float) -> None:
    """Tie a strand to the one beside it by leaves across, the lowest so far above the end of the shorter."""
    run = distances_along(pair[0][: len(pitch)])
    free = _first(run, pitch > max(BY_TURNS) * _room(pen)) + TIE_FREE
    for at in np.arange(run[-1] - TIE_DROP - 0.6 * shift * step, free, -step):
        start, end = np.searchsorted(run, (at, at + TIE_DROP))
        pen.leaf(pair[0][start], pair[1][min(end, len(pitch) - 1)], TIE_HALF)


def _bark(pen: Pen, line: Points, half: Points, chance: Chance) -> None:
    """Cut the white of a stem: what is inside its edges, crossed and bitten into by bars."""
    inner = half - max(2.1 * pen.fine, BARK_EDGE)
    run = distances_along(line)
    has = (inner > pen.slit) & (run > 2.5)
    if has.sum() < 6:
        return
    aside = directions(line)[1]
    white = band(pen.mm(line[has]), inner[has] * pen.unit)
    bars, at, k = [], float(run[has][0]) + 3 * pen.fine + pen.slit, 0
    while at < run[has][-1]:
        i = int(np.searchsorted(run, at))
        across = k % 3 == 2
        start = line[i] + (1 if k % 2 else -1) * half[i] * aside[i]
        end = line[i] - (1 if k % 2 else -1) * (half[i] if across else 0.2 * inner[i]) * aside[i]
        way = np.linspace(start, end, 12)
        thick = max(1.08 * pen.fine, BAR) * (np.ones(12) if across else np.sqrt(np.linspace(1, 0.02, 12)))
        bars.append(band(pen.mm(way), thick * pen.unit))
        at += max(BAR_STEP, 3.8 * pen.fine + 2.4 * pen.slit) * some(chance, 0.15)
        k += 1
    for part in rounded(white.difference(shapely.union_all(bars)), 0.8 * pen.smallest, pen.smallest):
        pen.cut(part)
