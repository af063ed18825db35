"""Leaves and blades: one leaf, the frond of a fern, a strip of grass.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve, swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar
from canivet.motifs.forms._strokes import bezier, pointed
from canivet.motifs.shapes.lines import along, directions, distances_along, points_at
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import closed

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
RACHIS, RACHIS_HALF = [(1.2, -1.5), (-3.0, 30), (-2.4, 62), (3.2, 86), (8.6, 100)], (1.8, 1.4, 1.15, 0.8, 0.1)
"""The stem and half its width: it tapers from its foot, which is cut aslant, and runs out to a point."""

LEAFLET_FROM, LEAFLET_FULL = 0.14, 0.31
"""Share of the stem below the first pair, and at which leaflets are longest: a fern's outline is a lance."""

LANCE = 0.86
"""Power of the way left to the tip by which leaflets shorten: under 1 the outline is a lance, at 1 a triangle."""

LOBE_STEP, LOBE_DEEP, LOBE_LEAST, LOBE_LEAN = (0.95, 2.3), 0.62, (1.5, 3.2), 1.25
"""Step from lobe to lobe, as a share of a leaflet's half-width there, so that lobes lessen to its point, and in straps at the least;
how deep the notches between them go, as a share of it; half-widths, in those of the finest line, from which there are notches and
at which they are that deep; power by which lobes lean forward: 1 for upright ones.
"""

LEAFLET_LONG, LEAFLET_ANGLES, LEAFLET_CURL = 26.0, (70.0, 40.0), 0.05
"""Longest leaflet, degrees off the stem at foot and tip, and how far it bends up to its point, as a share of its length."""

LEAFLET_STEP, STEP_STRAPS, STEP_FROM = 7.6, (6.0, 3.7), 0.36
"""Step between pairs at the least, in units, and in straps at the foot and near the tip; the share of the stem from which
steps shrink with the way left to the tip.
"""

BARE_TIP = 1.15
"""How many of the last steps, in which the stem runs out, are bare: then its point is one more leaflet."""

LEAFLET_AIR, LEAFLET_SLIM = 0.22, 0.165
"""White between neighbouring leaflets, as a share of the step between them; half a leaflet's width at the most, of its length."""

LEAFLET_SHAPE = (0.34, 0.82, 1, 0.95, 0.80, 0.60, 0.34, 0)
"""Half-width of a leaflet from stem to point, as shares of its most: drawn in at the stem, then full, then straight to its point."""

GRASS = Build("a strip of grass", (90, 40), least=7, range=(0.45, 100.0))
GROUND, MOUND, TUFT_STEP = (1.0, 1.4), 3.4, 78.0
"""Height of the ground at its ends, in hundredths of the height and in straps at the least; how much higher it is under a tuft; about
how far apart tufts stand: a tuft is not quite as wide as it is tall.
"""

TUFT_ROOM, CELL, FORK, FOOT = 0.86, 1.1, (0.36, 0.5), (1.0, 8.0)
"""Share of its room that a tuft fills where others stand beside it; radius in straps of the least white that blades enclose;
radius of the forks in which they part, in hundredths of the height and in straps at the least: a sharp one tears; radius at their feet and how high
those reach.
"""

BLADES, BLADES_BY, CHIEF, BURR = (5, 15), 0.92, 6, 0.62
"""Blades of a tuft, fewest and most; how many for the root of its height in straps: a larger one has more, not merely bigger;
how many are drawn in any case, while others are left out that do not stand clear from that share of their way on.
"""

BROAD, SLIM, FINE = (2.1, 1.9), (1.3, 1.4), (0.75, 1.0)
"""Half-width of the three kinds of blade: in hundredths of the height, and at the least in those of the finest line."""

BLADE_SHAPE = (0.72, 0.90, 1.0, 0.86, 0.60, 0.31, 0.0)
"""Half-width of a blade from root to point, as shares of its most: drawn in at the root, then straight to its point."""

UPRIGHT, BOWED, EAR = range(3)
WAYS = (
    ((0.24, 0.34), (0.55, 0.70), (1.0, 1.0)),
    ((0.48, 0.92), (0.94, 1.74), (1.0, 0.46)),
    ((0.20, 0.40), (0.46, 0.86), (1.0, 1.0)),
)
"""How each kind of blade goes from its root: the hull of its curve, across and up as shares of the way to its tip. A bowed one goes
over in a round and hangs.
"""

TUFTS = (
    (
        (0.02, -0.14, 1.00, BROAD, UPRIGHT), (-0.17, -0.80, 0.70, BROAD, UPRIGHT), (0.19, 0.84, 0.60, BROAD, UPRIGHT),
        (0.05, 0.50, 0.88, FINE, EAR), (-0.22, -0.94, 0.27, SLIM, BOWED), (0.23, 0.94, 0.31, SLIM, BOWED),
        (-0.13, -0.26, 0.80, SLIM, UPRIGHT), (0.16, 0.66, 0.74, SLIM, UPRIGHT), (0.19, 0.10, 0.44, FINE, UPRIGHT),
        (-0.16, -0.58, 0.90, FINE, EAR), (-0.24, -0.74, 0.13, FINE, UPRIGHT),
        (0.26, 0.76, 0.15, FINE, UPRIGHT), (-0.20, -0.96, 0.52, FINE, UPRIGHT),
    ),
    (
        (-0.03, 0.24, 1.00, BROAD, UPRIGHT), (-0.19, -0.76, 0.62, BROAD, UPRIGHT), (0.16, 0.90, 0.66, BROAD, UPRIGHT),
        (0.13, 0.62, 0.90, FINE, EAR), (-0.23, -0.94, 0.28, SLIM, BOWED), (0.20, 0.94, 0.26, SLIM, BOWED),
        (-0.15, -0.12, 0.80, SLIM, UPRIGHT), (-0.16, -0.48, 0.92, FINE, EAR), (0.08, 0.22, 0.46, FINE, UPRIGHT),
        (0.23, 0.72, 0.13, FINE, UPRIGHT), (-0.26, -0.72, 0.15, FINE, UPRIGHT),
        (-0.20, -0.92, 0.46, FINE, UPRIGHT), (0.18, 0.98, 0.46, FINE, UPRIGHT), (-0.13, -0.06, 0.46, FINE, UPRIGHT),
    ),
    (
        (0.04, 0.12, 1.00, FINE, EAR), (-0.16, -0.66, 0.76, BROAD, UPRIGHT), (0.19, 0.80, 0.66, BROAD, UPRIGHT),
        (-0.02, -0.22, 0.84, BROAD, UPRIGHT), (0.23, 0.94, 0.26, SLIM, BOWED), (-0.21, -0.94, 0.34, SLIM, BOWED),
        (0.15, 0.50, 0.88, FINE, EAR), (0.06, 0.20, 0.50, SLIM, UPRIGHT),
        (0.26, 0.80, 0.16, FINE, UPRIGHT), (-0.23, -0.80, 0.14, FINE, UPRIGHT),
        (-0.14, -0.48, 0.94, FINE, EAR), (0.21, 0.98, 0.46, FINE, UPRIGHT), (-0.18, -0.90, 0.58, FINE, UPRIGHT),
    ),
)
"""Blades of each tuft, those first without which it is none: where one springs and where its tip is, across in shares of half
the tuft's room, up in shares of its height; which width; which kind. Of a bowed one, up is where it is highest.
"""

EAR_LONG, EAR_LEAST, GRAIN, GRAIN_OFF, GRAIN_LONG, EAR_END, STALK = 0.30, 5, 0.85, 25.0, 3.3, 1.2, (1.3, 1.0)
"""Share of its stalk that an ear takes, and its fewest grains: with less it is a blade; half a grain's width, in hundredths of the
height; degrees it stands off; its length in widths, and
of the one at the end as a share of that; half the stalk's width from its root up, in those of the finest line.
"""

SPROUT, SPROUT_FINEST = ((1.0, 12.0), (6.6, 7.6)), 0.9
"""Tips of the low blades at either end of the ground of a single tuft, from their roots: across and up; half-width of the finest line
from which there are none.
"""
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
    edge, side = points_at(line, at, run=run), points_at(-left, at, run=run)
    saw = (np.arange(len(at)) % 8) / 8
    fade = np.clip(np.minimum(at, run[-1] - at) / (2 * step), 0, 1)
    toothed: Points = edge + side * (tooth * saw * fade)[:, None]
    return toothed


def draw_fern(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a frond: leaflets in even pairs, lobed where there is room, that shorten until the stem is a point."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FERN.frame, strap=strap, smallest=smallest)
    hand, bow = float(chance.choice([-1, 1])), some(chance, 0.6)
    line = open_curve(np.array(RACHIS) * (hand * bow, 1))
    pen.blade(line, RACHIS_HALF)
    x, y = line[0]
    pen.trim([(x - 9, y - 5), (x - 9, y + 1.5 - hand), (x + 9, y + 1.5 + hand), (x + 9, y - 5)])
    run = float(distances_along(line)[-1])
    foot, tip = (pen.units(straps * strap) for straps in STEP_STRAPS)
    shares = _pairs(run, max(LEAFLET_STEP, foot), tip)
    full, lean = LEAFLET_LONG * some(chance, 0.05), np.array(LEAFLET_ANGLES) + 4 * chance.uniform(-1, 1)
    for share, room in zip(shares[:-1], np.diff(shares) * run, strict=True):
        at, ahead = along(line, float(share))
        rise = min(1.0, 0.62 + 0.38 * (share - LEAFLET_FROM) / (LEAFLET_FULL - LEAFLET_FROM))
        long = full * rise * min(1.0, (1 - share) / (1 - LEAFLET_FULL)) ** LANCE * some(chance, 0.02)
        off = float(np.interp(share, [LEAFLET_FROM, 1], lean))
        half = 0.5 * (room * math.sin(math.radians(off)) - max(1.3 * pen.gap, LEAFLET_AIR * room))
        half = max(1.1 * pen.fine, min(half, LEAFLET_SLIM * long))
        heading = math.degrees(math.atan2(ahead[1], ahead[0]))
        for side in (-1, 1):
            spine = _leaflet_line(at, at + polar(heading + side * off, long), side)
            _leaflet(pen, spine, _lobed(pen, spine, half * swelling(LEAFLET_SHAPE, len(spine))))
    return pen


def _pairs(run: float, step: float, least: float) -> Points:
    """Return the shares of a stem at which pairs spring, and after them where one more would.

    They are even at first, then closer in proportion to the way left.
    """
    shares, at = [LEAFLET_FROM], LEAFLET_FROM * run
    while True:
        at += max(least, step * min(1.0, (1 - at / run) / (1 - STEP_FROM)))
        shares.append(min(at / run, 1.0))
        if at > run - BARE_TIP * least:
            return np.array(shares)


def _leaflet_line(root: Points, tip: Points, side: float) -> Points:
    """Return the middle line of a leaflet, which bends up to its point."""
    chord, t = tip - root, np.linspace(0, 1, 161)[:, None]
    line: Points = root + t * chord + side * 4 * LEAFLET_CURL * t * (1 - t) * np.array([-chord[1], chord[0]])
    return line


def _lobed(pen: Pen, spine: Points, half: Points) -> Points:
    """Return the half-widths of a leaflet with lobes that lean forward and lessen to its point."""
    share, least = LOBE_STEP
    steps = np.diff(distances_along(spine)) / np.maximum(share * half, pen.units(least * pen.strap))[1:]
    phase = np.concatenate([[0.0], np.cumsum(steps)]) % 1.0
    lobe = np.abs(np.sin(math.pi * phase**LOBE_LEAN)) ** 0.6
    lobed: Points = half * (1 - LOBE_DEEP * (1 - lobe) * np.interp(half / pen.fine, LOBE_LEAST, (0, 1)))
    return lobed


def _leaflet(pen: Pen, spine: Points, half: Points) -> None:
    """Draw a leaflet about its middle line; it is a strap wide up to its point at the least."""
    left = np.hypot(*(spine[-1] - spine).T)
    aside = directions(spine)[1] * pointed(half, left, pen.fine)[:, None]
    pen.outline(np.vstack([spine + aside, (spine - aside)[::-1]]))


def draw_grass(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a strip of ground with tufts: blades of three widths from few roots, some bowed, and ears of grass."""
    chance = np.random.default_rng(seed)
    frame = (100 * box[0] / box[1], 100.0)
    pen = Pen(box, frame, strap=strap, smallest=smallest)
    pen.crumb = max(1.6 * pen.crumb, CELL * strap)
    width, ground = frame[0], max(GROUND[0], pen.units(GROUND[1] * strap))
    tufts = max(1, round(width / max(TUFT_STEP, pen.units(15 * strap))))
    tallest = int(chance.integers(0, tufts))
    room = 0.5 * width / tufts
    astray, fill = (0.1, TUFT_ROOM) if tufts > 1 else (0.0, 1.0)
    roots = [room * (2 * k + 1 + astray * chance.uniform(-1, 1)) for k in range(tufts)]
    talls = [100.0 if k == tallest else 100 * chance.uniform(0.62, 0.86) for k in range(tufts)]
    x = np.linspace(0, width, 120)
    swell = np.exp(-(((x - np.array(roots)[:, None]) / (0.42 * room)) ** 2)).sum(axis=0)
    pen.slab([*np.column_stack([x, ground + MOUND * swell]), (width, 0), (0, 0)])
    for root, tall in zip(roots, talls, strict=True):
        _tuft(pen, chance, np.array([root, ground + 0.5 * MOUND]), tall, fill * room)
    if tufts == 1 and pen.fine < SPROUT_FINEST:
        for end, side in ((0.0, 1), (width, -1)):
            _sprout(pen, chance, np.array([end, 0.5 * ground]), side)
    radius = max(FORK[0] * pen.unit, FORK[1] * strap)
    whole = closed(shapely.union_all(pen.blacks), radius, sides=12)
    wider, low = closed(whole, FOOT[0] * pen.unit, sides=12), FOOT[1] * pen.unit
    rounds = [part for part in shapely.get_parts(wider.difference(whole)) if part.bounds[3] < low]
    whole = closed(shapely.union_all([whole, *rounds]), 0.1 * radius, sides=4)
    pen.blacks = list(shapely.get_parts(whole.intersection(shapely.box(0, 0, box[0], 2 * box[1]))))
    return pen


def _sprout(pen: Pen, chance: np.random.Generator, root: Points, side: float) -> None:
    """Draw low blades that lean to one side."""
    half = max(FINE[0], pen.fine)
    for k, (out, up) in enumerate(SPROUT):
        way = np.array([side * out * some(chance, 0.1), up * some(chance, 0.15)])
        foot = root + (side * 1.05 * half * (1 + 1.9 * k), 0)
        line = bezier(foot, foot + way * (0.1, 0.4), foot + way * (0.4, 0.75), foot + way)
        if not _stands_free(pen, line):
            return
        pen.blade(line, [half * part for part in BLADE_SHAPE])


def _tuft(pen: Pen, chance: np.random.Generator, root: Points, tall: float, room: float) -> None:
    """Draw one of the tufts, so many of its blades as it has room for, or its mirror image."""
    blades = TUFTS[int(chance.integers(len(TUFTS)))]
    hand = float(chance.choice([-1, 1]))
    count = int(np.clip(round(BLADES_BY * math.sqrt(tall * pen.unit / pen.strap)), *BLADES))
    for k, (at, out, up, (half, least), kind) in enumerate(blades[:count]):
        foot = root + (hand * room * at, 0)
        across = hand * room * (out - at + 0.025 * chance.uniform(-1, 1))
        way = np.array([across, up * (some(chance, 0.04) if k else 1) * tall - root[1]])
        first, second, end = (foot + way * np.array(shares) for shares in WAYS[kind])
        line = bezier(foot, first, second, end)
        if k >= CHIEF and not _stands_free(pen, line):
            continue
        if kind != EAR or not _ear(pen, line, tall):
            wide = max(half * tall / 100, least * pen.fine)
            pen.blade(line, [wide * part for part in BLADE_SHAPE])


def _stands_free(pen: Pen, line: Points) -> bool:
    """Say whether the upper part of a blade would stand clear of all that is drawn, and not be a burr on it."""
    upper = shapely.LineString(pen.mm(line[int(BURR * len(line)) :]))
    clear = (pen.fine + 1.2 * pen.gap) * pen.unit
    return bool(shapely.distance(upper, pen.blacks).min() > clear)


def _ear(pen: Pen, line: Points, tall: float) -> bool:
    """Draw a stalk with an ear, grains by turns to either side and one at the end; or say that it has no room."""
    half = max(GRAIN * tall / 100, 1.15 * pen.fine)
    long = 2 * GRAIN_LONG * half
    step = 0.5 * (2 * half + pen.gap) / math.sin(math.radians(GRAIN_OFF))
    run = float(distances_along(line)[-1])
    count = int((EAR_LONG * run - long) / step) + 1
    if count < EAR_LEAST:
        return False
    pen.limb(line[: int((1 - 0.5 * long / run) * len(line))], [share * pen.fine for share in STALK])
    for k in range(count + 1):
        at, ahead = along(line, 1 - (long + step * k) / run)
        off = GRAIN_OFF * (1 if k % 2 else -1) if k else 0
        heading = math.degrees(math.atan2(ahead[1], ahead[0])) + off
        pen.leaf(at, at + polar(heading, long if k else EAR_END * long), half)
    return True
