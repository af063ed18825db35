"""Leaves and blades: one leaf, the frond of a fern, a strip of grass.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["FERN", "GRASS", "LEAF", "draw_fern", "draw_grass", "draw_leaf"]

# fmt: off
LEAF = Build("a leaf", (55, 100), least=7, range=(0.35, 0.8))
LEAF_EDGE = [(0, 15), (12, 16), (24, 28), (27.5, 44), (23, 64), (11, 84), (0, 100)]
"""Right edge from stalk to tip, at its broadest below the middle: the tip is long, the foot round."""

TOOTH, TOOTH_STEP = 0.9, 5.0
"""How far a tooth of the margin stands out and the step between teeth, at the least; both grow no faster than the leaf."""

VEIN_STEP, VEIN_ANGLE, VEIN_STOP = 9.0, 44.0, 0.84
"""Step between side veins, degrees off the rib, and the share of the way to the margin at which they stop."""

FERN = Build("a fern", (50, 100), least=7, range=(0.32, 0.7))
RACHIS = [(-2.5, 0), (-2, 30), (-1, 65), (4, 100)]
LEAFLET_FROM, LEAFLET_FULL = 0.13, 0.34
"""Share of the stem below the first pair, and at which leaflets are longest: a fern's outline is a lance."""

LEAFLET_LONG, LEAFLET_ANGLES, PAIRS = 25.0, (70.0, 46.0), 15
"""Longest leaflet, degrees off the stem at foot and tip, pairs at the most."""

LEAFLET_STEP, STEP_FROM = 7.8, 0.5
"""Step between pairs at the least, and the share of the stem from which steps shrink with the way left to the tip."""

END_HALF = 0.12
"""Half the width of the leaflet at the end, as a share of its length."""

LEAFLET_AIR, LEAFLET_SLIM = 0.24, 0.14
"""White between neighbouring leaflets, as a share of the step between them; half a leaflet's width at the most, of its length."""

TOOTH_DEEP, TOOTH_AHEAD = 0.42, 0.5
"""How deep the teeth of a leaflet are, as a share of its half-width; how far they point ahead, as a share of their step."""

GRASS = Build("a strip of grass", (90, 40), least=7, range=(0.45, 100.0))
GROUND, TUFT_STEP = 2.4, 27.0
"""Height of the ground, and about how far apart tufts stand: as wide as they are tall, so that they touch at the tips only."""

BLADES, BLADE_HALF, SHORTER = (6, 9), 2.2, 0.82
"""Blades of a tuft, fewest and most; half the width of one where it is broadest, in hundredths of the height of its tuft;
how high every other one is, as a share: tall and short by turns.
"""

STAND, BENT = 0.5, 0.6
"""Share of a tuft's room over which its blades stand, each from a root of its own; how many outer ones are bent over."""

UPRIGHT = ((0.05, 0.28), (0.45, 0.72), (1.0, 1.0))
BENT_OVER = ((0.10, 0.32), (0.46, 0.62), (0.82, 0.62), (1.0, 0.42))
"""Way of a blade from its root: shares of how far out it reaches and how high."""
# fmt: on


def draw_leaf(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a leaf with a fine margin and white veins that taper and stop short; the same in the mirror."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, LEAF.frame, strap=strap, smallest=smallest)
    low, wide = 6 * chance.uniform(-1, 1), some(chance, 0.04)
    edge = [(x * wide, y + low * math.sin(math.pi * y / 100) if 15 < y < 100 else y) for x, y in LEAF_EDGE]
    line = open_curve(pen.mm(edge)) / pen.scale
    step = max(TOOTH_STEP, pen.units(2.4 * strap))
    tooth = max(TOOTH, 0.25 * pen.units(strap)) if 55 * pen.unit > 14 * strap else 0.0
    pen.slab(_toothed(line, step, tooth * some(chance, 0.3)))
    pen.limb([(0, 0), (0, 16), (0, 60)], [2.2, 1.6, 1.2])
    rib = max(1.5, 1.15 * pen.fine)
    pitch = max(VEIN_STEP, pen.units(3.0 * strap + 4 * smallest)) * some(chance, 0.1)
    angle = math.radians(VEIN_ANGLE * some(chance, 0.1))
    for y in np.arange(20, 94, pitch):
        root = np.array([rib * (1.15 - 0.5 * y / 100), y])
        ahead = np.array([math.sin(angle), math.cos(angle)])
        far = np.interp(y + 0.55 * np.interp(y, line[:, 1], line[:, 0]), line[:, 1], line[:, 0]) / ahead[0]
        tip = root + ahead * VEIN_STOP * max(far - root[0], 0)
        white = max(min(0.17 * pitch, 1.8), pen.slit)
        middle = 0.5 * (root + tip) + (0.06 * far, -0.03 * far)
        if np.hypot(*(tip - root)) > 3.5 * white:
            pen.cut_line([root, middle, tip], [0.4 * white, white, 0.8 * white, 0.1])
    pen.mirror(0)
    return pen


def _toothed(line: Points, step: float, tooth: float) -> Points:
    """Return an edge from foot to tip with teeth that point forward, closed along the axis."""
    run, left = distances_along(line), directions(line)[1]
    at = np.linspace(0, run[-1], 8 * max(2, round(run[-1] / step)) + 1)
    edge = np.column_stack([np.interp(at, run, line[:, k]) for k in (0, 1)])
    side = np.column_stack([np.interp(at, run, -left[:, k]) for k in (0, 1)])
    saw = (np.arange(len(at)) % 8) / 8
    fade = np.clip(np.minimum(at, run[-1] - at) / (2 * step), 0, 1)
    toothed: Points = edge + side * (tooth * saw * fade)[:, None]
    return toothed


def draw_fern(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a frond: toothed leaflets in even pairs that shorten to a fine tip."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FERN.frame, strap=strap, smallest=smallest)
    hand, bow = float(chance.choice([-1, 1])), some(chance, 0.6)
    stem = pen.limb([(hand * x * bow, y) for x, y in RACHIS], [1.6, 1.3, 0.8, 0.1], point=True)
    pen.trim([(-20, -20), (20, -20), (20, 2.5), (-20, -2.5)])
    run = float(distances_along(stem)[-1])
    shares = _pairs(run, max(LEAFLET_STEP, pen.units(5.0 * strap)), pen.units(4.2 * strap))
    last = unit_at(stem, float(shares[-1]))[0]
    pen.leaf(last, stem[-1], max(1.1 * pen.fine, END_HALF * float(np.hypot(*(stem[-1] - last)))), 0.0, 0.4)
    full, lean = LEAFLET_LONG * some(chance, 0.05), np.array(LEAFLET_ANGLES) + 5 * chance.uniform(-1, 1)
    for share, room in zip(shares[:-1], np.diff(shares) * run, strict=True):
        at, ahead = unit_at(stem, float(share))
        rise = min(1.0, 0.62 + 0.38 * (share - LEAFLET_FROM) / (LEAFLET_FULL - LEAFLET_FROM))
        long = full * rise * min(1.0, (1 - share) / (1 - LEAFLET_FULL)) * some(chance, 0.02)
        off = float(np.interp(share, [LEAFLET_FROM, 1], lean))
        half = 0.5 * (room * math.sin(math.radians(off)) - max(1.3 * pen.gap, LEAFLET_AIR * room))
        half = max(1.1 * pen.fine, min(half, LEAFLET_SLIM * long))
        for side in (-1, 1):
            angle = math.degrees(math.atan2(ahead[1], ahead[0])) + side * off
            _leaflet(pen, at, at + polar(angle, long), half, side)
    return pen


def _pairs(run: float, step: float, least: float) -> Points:
    """Return the shares of a stem at which pairs spring, and the end leaflet after them.

    They are even at first, then closer in proportion to the way left.
    """
    shares, at = [], LEAFLET_FROM * run
    step = max(step, run * (1 - LEAFLET_FROM) / PAIRS)
    while at < run - 1.9 * least:
        shares.append(at / run)
        at += max(least, step * min(1.0, (1 - at / run) / (1 - STEP_FROM)))
    return np.array(shares)


def _leaflet(pen: Pen, root: Points, tip: Points, half: float, side: float) -> None:
    """Draw a leaflet that bends up to its point, its edge in teeth where it has room."""
    chord = tip - root
    long = float(np.hypot(*chord))
    aside = np.array([-chord[1], chord[0]]) / long
    teeth = round(long / max(3.4, pen.units(3.4 * pen.strap))) if half > 1.9 * pen.fine else 0
    t = np.linspace(0, 1, 10 * max(teeth, 6) + 1)
    saw = (t * teeth) % 1.0 if teeth else np.ones_like(t)
    taper = half * np.interp(t, [0, 0.16, 0.3, 1], [0.6, 0.96, 1, 0])
    deep = TOOTH_DEEP * np.clip(taper / pen.fine - 1, 0, 1)
    width = np.maximum(taper * (1 - deep * (1 - saw)), np.minimum(pen.fine, 0.3 * long * (1 - t)))
    ahead = (TOOTH_AHEAD / max(teeth, 1)) * saw * deep / TOOTH_DEEP if teeth else 0 * t
    spine = root + t[:, None] * chord - (side * 0.24 * long * t * (1 - t))[:, None] * aside
    edges = [spine + ahead[:, None] * chord + way * width[:, None] * aside for way in (1, -1)]
    pen.outline(np.vstack([edges[0], edges[1][::-1]]))


def draw_grass(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a strip of ground with tufts of blades, each from a root of its own, some bent over."""
    chance = np.random.default_rng(seed)
    frame = (100 * box[0] / box[1], 100.0)
    pen = Pen(box, frame, strap=strap, smallest=smallest)
    width, ground = frame[0], max(100 * GROUND / GRASS.frame[1], 2.6 * pen.fine)
    tufts = max(1, round(width / max(100 * TUFT_STEP / GRASS.frame[1], pen.units(13 * strap))))
    tallest = int(chance.integers(0, tufts))
    roots = [width * (k + 0.5 + 0.1 * chance.uniform(-1, 1)) / tufts for k in range(tufts)]
    x = np.linspace(0, width, 80)
    off = (x - np.array(roots)[:, None]) / (0.3 * width / tufts)
    swell: Points = np.exp(-(off**2)).sum(axis=0)
    pen.slab([*np.column_stack([x, 0.72 * ground * (1 + 0.7 * swell)]), (width, 0), (0, 0)])
    for k, root in enumerate(roots):
        tall = 100.0 if k == tallest else 100 * chance.uniform(0.6, 0.85)
        _tuft(pen, chance, np.array([root, 0.9 * ground]), tall, 0.5 * width / tufts, width)
    return pen


def _tuft(
    pen: Pen, chance: np.random.Generator, root: Points, tall: float, room: float, width: float
) -> None:
    """Draw blades side by side: the tallest off the middle, the outer ones lower and leaning out.

    None leans out over the ends of the ground, which is so wide.
    """
    thick = max(1.6 * pen.fine, BLADE_HALF * tall / 100)
    stand = STAND * room
    most = int(np.clip(1 + 2 * stand / (2 * thick + 1.2 * pen.gap), 3, BLADES[1]))
    count = int(chance.integers(min(BLADES[0], most), most + 1))
    middle = 0.2 * chance.uniform(-1, 1)
    chief = int(np.argmin(abs(np.linspace(-1, 1, count) - middle)))
    for k, u in enumerate(np.linspace(-1, 1, count)):
        off = u - middle
        high = (tall - root[1]) * (1 - 0.5 * abs(off)) * (1.0 if (k - chief) % 2 == 0 else SHORTER)
        foot = root + (stand * u, 0)
        out = np.clip(foot[0] + (room - stand) * u, thick, width - thick) - foot[0]
        bent = k in (0, count - 1) and chance.uniform() < BENT
        rise = BENT_OVER if bent else UPRIGHT
        way = [
            foot - (0, 0.2 * root[1]),
            *(foot + np.array(at) * (out, high * some(chance, 0.03)) for at in rise),
        ]
        pen.limb(way, [0.8 * thick, thick, 0.8 * thick, 0.1], point=True)
