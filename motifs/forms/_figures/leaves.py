"""Leaves and blades: one leaf, the frond of a fern, a strip of grass.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve, swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar
from canivet.motifs.forms._strokes import lancet
from canivet.motifs.shapes.lines import along, directions, distances_along, points_at
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

FERN = Build("a fern", (50, 100), least=7, range=(0.32, 0.62))
RACHIS = [(0.5, 1.5), (-3.2, 32), (-2.4, 62), (3.2, 86), (8.6, 100)]
LEAFLET_FROM, LEAFLET_FULL = 0.12, 0.30
"""Share of the stem below the first pair, and at which leaflets are longest: a fern's outline is a lance."""

LANCE = 0.76
"""Power of the way left to the tip by which leaflets shorten: under 1 the outline is a lance, at 1 a triangle."""

LOBES_FROM, LOBE_STEP, LOBE_DEEP = 5.0, 1.05, 0.26
"""Straps of half-width of the broadest leaflets from which all have a lobed edge; step from lobe to lobe and depth of the
notches, as shares of a leaflet's half-width.
"""

LEAFLET_LONG, LEAFLET_ANGLES, LEAFLET_CURL = 26.0, (69.0, 44.0), 0.05
"""Longest leaflet, degrees off the stem at foot and tip, and how far it bends up to its point, as a share of its length."""

LEAFLET_STEP, STEP_STRAPS, STEP_FROM = 8.6, (6.2, 5.6), 0.40
"""Step between pairs at the least, in units, and in straps at the foot and near the tip; the share of the stem from which
steps shrink with the way left to the tip.
"""

END_LEAF, END_HALF = 1.6, 0.17
"""Steps that the leaf at the tip takes, and half its width as a share of its length: it springs where the last pair does, and is
one with it.
"""

LEAFLET_AIR, LEAFLET_SLIM = 0.28, 0.165
"""White between neighbouring leaflets, as a share of the step between them; half a leaflet's width at the most, of its length."""

LEAFLET_SHAPE = (0.58, 0.92, 1, 0.92, 0.78, 0.58, 0.33, 0)
"""Half-width of a leaflet from stem to point, as shares of its most: broad early, and a point no finer than paper likes."""

LEAFLET_LIGHT, LEAFLET_EDGE = (0.16, 0.72, 0.26), 1.0
"""From and to where along a leaflet the light in it runs, and half its width as a share of the leaflet's; the paper beside
it at the least.
"""

GRASS = Build("a strip of grass", (90, 40), least=7, range=(0.45, 100.0))
GROUND, TUFT_STEP = 2.4, 27.0
"""Height of the ground, and about how far apart tufts stand: as wide as they are tall, so that they touch at the tips only."""

BLADES, BLADE_HALF, SHORTER = (6, 9), 2.1, (0.60, 0.84)
"""Blades of a tuft, fewest and most; half the width of one where it is broadest, in hundredths of the height of its tuft;
how high every other one is, from and to, as shares: tall and short by turns.
"""

STAND, BENT = 0.46, 0.7
"""Share of a tuft's room over which its blades stand, each from a root of its own; how often the outermost bow their heads."""

BLADE_SHAPE = (0.60, 0.88, 1.0, 0.86, 0.55, 0.1)
"""Half-width of a blade from root to point, as shares of its most."""

UPRIGHT = ((0.08, 0.30), (0.42, 0.70), (1.0, 1.0))
BENT_OVER = ((0.10, 0.36), (0.34, 0.72), (0.70, 0.86), (1.0, 0.68))
"""Way of a blade from its root: shares of how far out it reaches and how high. A bent one only bows its head."""
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
    edge, side = points_at(line, at, along=run), points_at(-left, at, along=run)
    saw = (np.arange(len(at)) % 8) / 8
    fade = np.clip(np.minimum(at, run[-1] - at) / (2 * step), 0, 1)
    toothed: Points = edge + side * (tooth * saw * fade)[:, None]
    return toothed


def draw_fern(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a frond: leaflets in even pairs that shorten to one leaf at the tip, a light in those with room."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FERN.frame, strap=strap, smallest=smallest)
    hand, bow = float(chance.choice([-1, 1])), some(chance, 0.6)
    stem = pen.limb([(hand * x * bow, y) for x, y in RACHIS], [1.6, 1.3, 0.8, 0.1], point=True)
    run = float(distances_along(stem)[-1])
    foot, tip = (pen.units(straps * strap) for straps in STEP_STRAPS)
    shares = _pairs(run, max(LEAFLET_STEP, foot), tip)
    full, lean = LEAFLET_LONG * some(chance, 0.05), np.array(LEAFLET_ANGLES) + 4 * chance.uniform(-1, 1)
    lobed = LEAFLET_SLIM * full * pen.unit > LOBES_FROM * strap
    for share, room in zip(shares[:-1], np.diff(shares) * run, strict=True):
        at, ahead = along(stem, float(share))
        rise = min(1.0, 0.62 + 0.38 * (share - LEAFLET_FROM) / (LEAFLET_FULL - LEAFLET_FROM))
        long = full * rise * min(1.0, (1 - share) / (1 - LEAFLET_FULL)) ** LANCE * some(chance, 0.02)
        off = float(np.interp(share, [LEAFLET_FROM, 1], lean))
        half = 0.5 * (room * math.sin(math.radians(off)) - max(1.5 * pen.gap, LEAFLET_AIR * room))
        half = max(1.15 * pen.fine, min(half, LEAFLET_SLIM * long))
        heading = math.degrees(math.atan2(ahead[1], ahead[0]))
        spines = [_leaflet_line(at, at + polar(heading + side * off, long), side) for side in (-1, 1)]
        shape = half * swelling(LEAFLET_SHAPE, len(spines[0]))
        if lobed:
            stout = half * pen.unit / strap
            deep = LOBE_DEEP * float(np.clip((stout - 1.4) / 1.6, 0, 1))
            shape = _lobed(shape, round(long / (LOBE_STEP * half * max(1.0, 2.4 / stout))), deep)
        for spine in spines:
            _leaflet(pen, spine, shape)
        if half > 1.15 * pen.slit + max(2.1 * pen.fine, LEAFLET_EDGE):
            pen.cut(*(_light_in(pen, spine, half) for spine in spines))
    last = along(stem, float(shares[-2]))[0]
    end = _leaflet_line(last, stem[-1], 0)
    half = max(1.3 * pen.fine, END_HALF * float(np.hypot(*(stem[-1] - last))))
    _leaflet(pen, end, half * lancet(np.linspace(0, 1, len(end)), 0.38))
    return pen


def _pairs(run: float, step: float, least: float) -> Points:
    """Return the shares of a stem at which pairs spring, and after them where the leaf at the tip does.

    They are even at first, then closer in proportion to the way left.
    """
    shares, at = [LEAFLET_FROM], LEAFLET_FROM * run
    while True:
        at += max(least, step * min(1.0, (1 - at / run) / (1 - STEP_FROM)))
        if at > run - END_LEAF * least:
            return np.array([*shares, at / run])
        shares.append(at / run)


def _leaflet_line(root: Points, tip: Points, side: float) -> Points:
    """Return the middle line of a leaflet, which bends up to its point."""
    chord, t = tip - root, np.linspace(0, 1, 121)[:, None]
    line: Points = root + t * chord + side * 4 * LEAFLET_CURL * t * (1 - t) * np.array([-chord[1], chord[0]])
    return line


def _lobed(half: Points, lobes: int, deep: float) -> Points:
    """Return the half-widths of a leaflet with so many round lobes along its edge, lower towards its point."""
    share = np.linspace(0, 1, len(half))
    notch = 1 - np.abs(np.sin(math.pi * lobes * share)) ** 0.7
    lobed: Points = half * (1 - deep * notch * np.clip(3 * (1 - share), 0, 1))
    return lobed


def _leaflet(pen: Pen, spine: Points, half: Points) -> None:
    """Draw a leaflet about its middle line; it is a strap wide up to its point at the least."""
    left = np.hypot(*(spine[-1] - spine).T)
    aside = directions(spine)[1] * np.maximum(half, np.minimum(pen.fine, 0.3 * left))[:, None]
    pen.outline(np.vstack([spine + aside, (spine - aside)[::-1]]))


def _light_in(pen: Pen, spine: Points, half: float) -> Polygon:
    """Return the light in a leaflet, which follows it."""
    start, end, share = LEAFLET_LIGHT
    white = max(share * half, pen.slit)
    part = spine[int(start * len(spine)) : int(end * len(spine))]
    return pen.streak(part, [0.2 * white, white, white, 0.7 * white, 0.1])


def draw_grass(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a strip of ground with tufts of blades, each from a root of its own, some with their heads bowed."""
    chance = np.random.default_rng(seed)
    frame = (100 * box[0] / box[1], 100.0)
    pen = Pen(box, frame, strap=strap, smallest=smallest)
    pen.crumb *= 1.6
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
    """Draw blades that fan out, each from a root of its own: the tallest off the middle, the outer ones lower and bowed.

    None leans out over the ends of the ground, which is so wide.
    """
    thick = max(1.9 * pen.fine, BLADE_HALF * tall / 100)
    most = int(np.clip(1 + 2 * STAND * room / (1.9 * thick + 1.5 * pen.gap), 3, BLADES[1]))
    count = int(chance.integers(min(BLADES[0], most), most + 1))
    middle = 0.25 * chance.uniform(-1, 1)
    places = np.linspace(-1, 1, count) + 0.2 / count * chance.uniform(-1, 1, count)
    chief = int(np.argmin(abs(places - middle)))
    for k, u in enumerate(places):
        off = u - middle
        share = 1.0 if (k - chief) % 2 == 0 else chance.uniform(*SHORTER)
        high = (tall - root[1]) * (1 - 0.55 * abs(off) ** 1.3) * share
        foot = root + (STAND * room * u, 0)
        own = thick * (1.0 if k == chief else some(chance, 0.12))
        out = np.clip(root[0] + room * (u + 0.03 * chance.uniform(-1, 1)), own, width - own) - foot[0]
        bent = k in (0, count - 1) and chance.uniform() < BENT
        way = [
            foot - (0, 0.4 * root[1]),
            *(
                foot + np.array(at) * (out, high * some(chance, 0.03))
                for at in (BENT_OVER if bent else UPRIGHT)
            ),
        ]
        pen.limb(way, [own * part for part in BLADE_SHAPE], point=True)
