"""A willow in its curtains.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from canivet.audit.boundary import Flags
from canivet.motifs.forms._chance import Chance
from canivet.motifs.forms._drawing.pen import Box, Build, Pen
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["WILLOW", "draw_willow"]


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
CROWN_AT, CROWN_HALF = 52.0, 48.0
"""Middle of the crown, half its width: about as broad as the tree is high."""

FALL = ((0, 0.12, 97.0, 1.0), (0.18, 0.56, 95.5, 7.0), (0.34, 0.86, 84.0, 13.0), (0.52, 0.97, 62.0, 11.0), (0.75, 1.0, 34.0, 4.0), (1, 1.03, 2.0, 0.0))
"""Way of a strand, over the dome and down: share of the way; how far out, as a share of its place in the curtain, -1 to 1; how
high there in the middle of the tree; how much lower at its edge.
"""

DOME = [(40, 92.0), (52, 95.2), (64, 92.0)]
"""The top, where all strands begin: one round, no parting."""

LEAF_STEP, TIE_STEP = 7.0, 29.0
"""How far from leaf to leaf; how far apart a strand is tied to the next one by a leaf across."""

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
    places = _places(pen)
    parted = np.interp(np.abs(places), PARTING, (1, 0))
    low, high = np.array(HEM)[:, None] * (1 - parted) + np.array(HEM_PARTED)[:, None] * parted
    hems = chance.uniform(low, high)
    hems[[int(np.abs(places - u).argmin()) for u in STANDS]] = 3.0
    _hang(pen, places, hems, chance)
    if chance.uniform() < 0.5:
        pen.flip(CROWN_AT)
    return pen


def _way(u: float) -> Points:
    """Return the way of the strand at that place of the curtain, from the top to the ground."""
    from scipy.interpolate import PchipInterpolator  # imported here: the catalogue is light

    at, out, high, lower = np.array(FALL).T
    x, y, down = (PchipInterpolator(at, column)(_SHARES) for column in (out, high, lower))
    return np.column_stack([CROWN_AT + x * u * CROWN_HALF, y - down * u * u])


def _pitch(u: float, half: float) -> Points:
    """Return how far it is from strand to strand, across them, on the way of the one at that place."""
    aside = directions(_way(u))[1]
    apart: Points = np.abs(((_way(u + half) - _way(u - half)) * aside).sum(axis=1))
    return apart


def _places(pen: Pen) -> Points:
    """Return the places of strands in the curtain, -1 to 1, as many as have room."""
    step = max(STRAND_STEP, STRAND_ROOM * _room(pen))
    return np.linspace(-1, 1, 2 * round(CROWN_HALF / step) + 1)


def _hang(pen: Pen, places: Points, hems: Points, chance: Chance) -> None:
    """Draw the curtain: its strands down to heights of their own, ties between them."""
    pen.limb(DOME, [1.2, 1.8, 1.2])
    half = 0.5 * (places[1] - places[0])
    ways = [_way(u) for u in places]
    ways = [way[way[:, 1] > hem] for way, hem in zip(ways, hems, strict=True)]
    pitches = [_pitch(u, half)[: len(way)] for u, way in zip(places, ways, strict=True)]
    for k, (way, pitch) in enumerate(zip(ways, pitches, strict=True)):
        _strand(pen, way, pitch, k)
    first = chance.uniform()
    for k, pair in enumerate(pairwise(ways)):
        pitch = min(pitches[k : k + 2], key=len)
        shift = (first + k * TIE_TURN) % 1
        _tie(pen, pair if k % 2 else pair[::-1], pitch, shift)


def _room(pen: Pen) -> float:
    """Return the step from which two strands have a light between them."""
    return 2 * pen.fine + max(pen.gap, 2.1 * pen.slit)


def _first(run: Points, there: Flags) -> float:
    """Return how far along a line something first is, or all its length where it is nowhere."""
    return float(run[there.argmax()] if there.any() else run[-1])


def _strand(pen: Pen, way: Points, pitch: Points, k: int) -> None:
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
        saw = leafy * (1 - (left / LEAF_STEP + 0.5 * (k % 2) + shift) % 1.0)
        out = opens * np.minimum(LEAF_OUT * pitch, most - base) * saw
        half = np.minimum(opens * (base + out) + (1 - opens) * CLOSED * pitch, point)
        edges.append(way + hand * half[:, None] * aside + LEAF_DOWN * out[:, None] * ahead)
    pen.outline(np.vstack([edges[0], edges[1][::-1]]))


def _tie(pen: Pen, pair: tuple[Points, Points], pitch: Points, shift: float) -> None:
    """Tie a strand to the one beside it by leaves across, the lowest so far above the end of the shorter."""
    run = distances_along(pair[0][: len(pitch)])
    free = _first(run, pitch > max(BY_TURNS) * _room(pen)) + TIE_FREE
    for at in np.arange(run[-1] - TIE_DROP - 0.6 * shift * TIE_STEP, free, -TIE_STEP):
        start, end = np.searchsorted(run, (at, at + TIE_DROP))
        pen.leaf(pair[0][start], pair[1][min(end, len(pitch) - 1)], TIE_HALF)
