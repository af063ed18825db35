"""The forms every book of ornament begins with: leaf, fern, feather, blossom, grass.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import Polygon

from canivet.motifs.forms._strokes import directions
from canivet.motifs.shapes.lines import distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part

from .pen import Box, Build, Pen, closed_curve, lens, open_curve, polar, some, unit_at, vane

__all__ = [
    "BLOSSOM", "FEATHER", "FERN", "GRASS", "LEAF", "draw_blossom", "draw_feather", "draw_fern", "draw_grass",
    "draw_leaf",
]  # fmt: skip

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
LEAFLET_FROM, LEAFLET_FULL = 0.13, 0.30
"""Share of the stem below the first pair, and at which leaflets are longest: a fern's outline is a lance."""

LEAFLET_LONG, LEAFLET_ANGLES, PAIRS = 25.0, (74.0, 42.0), 13
"""Longest leaflet, degrees off the stem at foot and tip, pairs at a usual size: they shorten and lean in evenly to a fine tip."""

LOBES, LOBE = 5, 0.34
"""Lobes along a leaflet and how deep they cut."""

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

BLOSSOM = Build("a blossom", (100, 100), least=7, give=0)
PETAL_EDGE = [(0, 12), (0.50, 22), (0.90, 33), (1.0, 41), (0.80, 47.2), (0.42, 49.7), (0, 50)]
"""Right edge of a petal: across as a share of its half-width, and how far out. One outline for all."""

BACK_REACH, BACK_WIDE = 47.0, 0.66
"""Reach of the whorl behind, which shows between the petals, and its width as a share of theirs."""

GRASS = Build("a strip of grass", (90, 40), least=7, range=(0.45, 100.0))
GROUND, TUFT_STEP = 2.6, 27.0
"""Height of the ground, and about how far apart tufts stand: as wide as they are tall, so that they touch at the tips only."""

BLADES, FAN, BENT = (7, 11), 50.0, 0.3
"""Blades of a tuft, fewest and most; degrees to which the outer ones lean; how many are bent over."""
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
    """Return a frond: lobed leaflets in even pairs that shorten to a fine tip."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FERN.frame, strap=strap, smallest=smallest)
    hand, bow = float(chance.choice([-1, 1])), some(chance, 0.6)
    stem = pen.limb([(hand * x * bow, y) for x, y in RACHIS], [1.5, 1.2, 0.9, 0.1], point=True)
    run = float(distances_along(stem)[-1])
    pairs = int(np.clip(round((1 - LEAFLET_FROM) * run / max(6.4, pen.units(4.2 * strap))), 3, PAIRS))
    shares = LEAFLET_FROM + (0.97 - LEAFLET_FROM) * (1 - (1 - np.arange(pairs) / pairs) ** 1.25)
    pitch = np.diff([*shares, 0.985]) * run
    for share, room in zip(shares, pitch, strict=True):
        at, ahead = unit_at(stem, float(share))
        rise = min(1.0, 0.6 + 0.4 * share / LEAFLET_FULL)
        long = LEAFLET_LONG * rise * min(1.0, (1 - share) / (1 - LEAFLET_FULL)) ** 0.85 * some(chance, 0.03)
        lean = LEAFLET_ANGLES[0] + (LEAFLET_ANGLES[1] - LEAFLET_ANGLES[0]) * share
        half = 0.5 * (room * math.sin(math.radians(lean)) - 0.8 * pen.gap)
        for side in (-1, 1):
            angle = math.degrees(math.atan2(ahead[1], ahead[0])) + side * lean
            if long > pen.units(2.2 * strap):
                _leaflet(pen, at, at + polar(angle, long), max(half, 1.4 * pen.fine), side)
    return pen


def _leaflet(pen: Pen, root: Points, tip: Points, half: float, side: float) -> None:
    """Draw a lobed leaflet that bends up to its tip, a slit along its rib where it has room."""
    chord = tip - root
    long = float(np.hypot(*chord))
    aside = np.array([-chord[1], chord[0]]) / long
    t = np.linspace(0, 1, 61)
    spine = root + t[:, None] * chord - (side * 0.20 * long * t * (1 - t))[:, None] * aside
    lobes = LOBES if long > 5 * half and half > 2.3 * pen.fine else 0
    swell = np.clip(t / 0.12, 0.55, 1) * np.clip(1 - t, 0, 1) ** 0.55
    if lobes:
        swell *= 1 - LOBE * (1 - np.abs(np.sin(math.pi * lobes * t)) ** 0.7)
    width = np.maximum(half * swell, np.minimum(pen.fine, 0.3 * long * (1 - t)))
    ring = np.vstack([spine + width[:, None] * aside, (spine - width[:, None] * aside)[::-1]])
    pen.outline(ring)


def draw_feather(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an upright feather: a pointed vane, barbs of one S-curve, parted along them twice at the most."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FEATHER.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    line = pen.limb([(hand * x, y) for x, y in FEATHER_SHAFT], [1.7, 1.3, 1.0, 0.2], point=True)
    ahead, aside = directions(line)
    aside = aside * hand
    sides, ring = vane(line, aside, FEATHER_BARE, FEATHER_VANE)
    whole = largest_part(shapely.make_valid(Polygon(pen.mm(ring))))
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
            whole = largest_part(whole.difference(Polygon(pen.mm(wedge)).buffer(0.15 * strap)))
    pen.lay(whole)
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


def draw_blossom(box: Box, *, petals: int, strap: float, smallest: float, seed: int) -> Pen:
    """Return a blossom: one petal outline, two drops in each, a second whorl behind; symmetric as D_n."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BLOSSOM.frame, strap=strap, smallest=smallest)
    room = math.tan(math.pi / petals)
    half = min(19.0, 38 * room * (0.70 + 0.08 * chance.uniform(-1, 1)))
    point = chance.uniform(0.0, 2.4)
    right = [(x * half, y + (point if x == 0 and y > 40 else 0)) for x, y in PETAL_EDGE]
    petal = Polygon(
        pen.mm(closed_curve(right + [(-x, y) for x, y in right[-2:0:-1]], [0, 6] if point > 0.8 else [0]))
    )
    reach = BACK_REACH * some(chance, 0.05)
    back = lens(pen.mm((0, 6)), pen.mm((0, reach)), max(BACK_WIDE * half * pen.unit, strap), 0.0, 0.62)
    core = max(17.0, 1.3 * pen.fine / math.sin(math.pi / petals))
    pen.lay(*_about(back, petals, 0.5), *_about(petal, petals), pen.round((0, 0), core))
    pupil = max(4.8, pen.slit)
    pen.cut_round((0, 0), pupil)
    bead = max(1.9, 1.05 * pen.slit)
    if (
        core > pupil + 2.4 * pen.fine + 2 * bead
        and (pupil + 2.1 * pen.fine + bead) * math.sin(math.pi / petals) > bead + pen.fine
    ):
        pen.cut(*_about(pen.round((0, pupil + 2.1 * pen.fine + bead), bead), petals))
    inner, outer = max(18.0, pupil + 4.4 * pen.fine + 2 * bead), 46.0
    wide = 0.19 * half
    if 0.28 * half > max(wide, pen.slit) + 1.05 * pen.fine:
        side = lens(
            pen.mm((0.16 * half, inner)),
            pen.mm((0.40 * half, outer - 1.5)),
            max(wide, pen.slit) * pen.unit,
            -0.10,
            0.62,
        )
        other = shapely.transform(side, lambda xy: xy * [-1, 1])
        pen.cut(*_about(side, petals), *_about(other, petals))
    else:
        pen.cut(
            *_about(
                lens(
                    pen.mm((0, inner)), pen.mm((0, outer - 2)), max(0.34 * half, pen.slit) * pen.unit, 0, 0.6
                ),
                petals,
            )
        )
    pen.cut(
        *_about(
            lens(pen.mm((0, reach - 14)), pen.mm((0, reach - 4)), max(1.1, pen.slit) * pen.unit), petals, 0.5
        )
    )
    return pen


def _about(shape: Polygon, count: int, shift: float = 0.0) -> list[Polygon]:
    """Return a shape turned about the middle so many times, from a share of a turn on."""
    return [rotate(shape, 360 / count * (k + shift), origin=(0, 0)) for k in range(count)]


def draw_grass(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a strip of ground with tufts of seven to eleven arcs from one root, some bent over."""
    chance = np.random.default_rng(seed)
    frame = (100 * box[0] / box[1], 100.0)
    pen = Pen(box, frame, strap=strap, smallest=smallest)
    width, ground = frame[0], max(100 * GROUND / GRASS.frame[1], 2.6 * pen.fine)
    x = np.linspace(0, width, 60)
    waves = 2 * np.pi * (x / width * max(1, round(width / 90)) + chance.uniform())
    top = ground * (1 + 0.2 * np.sin(waves))
    pen.slab([*zip(x, top, strict=True), (width, 0), (0, 0)])
    tufts = max(1, round(width / max(100 * TUFT_STEP / GRASS.frame[1], pen.units(13 * strap))))
    tallest = int(chance.integers(0, tufts))
    for k in range(tufts):
        root = np.array([width * (k + 0.5 + 0.12 * chance.uniform(-1, 1)) / tufts, 0.5 * ground])
        tall = 100.0 if k == tallest else 100 * chance.uniform(0.55, 0.88)
        _tuft(pen, chance, root, tall, 0.51 * width / tufts, width)
    return pen


def _tuft(
    pen: Pen, chance: np.random.Generator, root: Points, tall: float, room: float, width: float
) -> None:
    """Draw arcs that fan from one root: the tallest in the middle, the outer ones lower and leaning out.

    None leans out over the ends of the ground, which is so wide.
    """
    most = int(np.clip(2 * room / (5.4 * pen.fine + 0.9 * pen.gap), BLADES[0] - 2, BLADES[1]))
    count = int(chance.integers(min(BLADES[0], most), most + 1))
    for k, u in enumerate(np.linspace(-1, 1, count)):
        high = (
            (tall - root[1]) * (1 - 0.52 * abs(u) ** 1.3) * (1.0 if k == count // 2 else some(chance, 0.09))
        )
        out = room * 0.92 * np.sign(u) * abs(u) ** 0.85
        thick = max(1.5 * pen.fine, 0.020 * tall)
        foot = root + (1.2 * pen.fine * u * count / 2, 0)
        foot = np.array([np.clip(foot[0], thick, width - thick), max(foot[1], 1.25 * thick)])
        out = np.clip(foot[0] + out, 0.5 * thick, width - 0.5 * thick) - foot[0]
        bent = abs(u) > 0.3 and chance.uniform() < BENT
        if bent:
            way = [
                foot,
                foot + (0.30 * out, 0.60 * high),
                foot + (0.68 * out, 0.82 * high),
                foot + (out, 0.62 * high),
            ]
        else:
            way = [
                foot,
                foot + (0.22 * out, 0.45 * high),
                foot + (0.60 * out, 0.80 * high),
                foot + (out, high),
            ]
        pen.limb(way, [1.25 * thick, thick, 0.8 * thick, 0.1], point=True)
