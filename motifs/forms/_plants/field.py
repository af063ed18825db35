"""Plants of field and roadside: thistle, poppy, sunflower, an ear of wheat.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.lines import distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.phyllotaxis import golden_places

__all__ = [
    "POPPY", "SUNFLOWER", "THISTLE", "WHEAT", "draw_poppy", "draw_sunflower", "draw_thistle", "draw_wheat",
]  # fmt: skip

# fmt: off
THISTLE = Build("a thistle", (57, 92), least=17)
HEAD = 64.0
"""Height of the thistle's head; the tuft stands on it."""

URN = [(-5, -8), (0, -10), (5, -8), (10.6, 0), (8.3, 8.5), (0, 9.5), (-8.3, 8.5), (-10.6, 0)]
"""The head about its middle: broader than high, or it is an acorn."""

TUFT, TUFT_STEP, TUFT_LONG = 9, 10.5, 27.0
"""Spikes of the tuft, the degrees between them, how far the middle one reaches."""

SCALES = (3, 4, 3)
"""Drops in each row of the head, by turns, so that they sit in each other's gaps."""

THISTLE_LEAVES = ((0.16, -1, 30), (0.30, 1, 28), (0.60, -1, 21))
"""Where on the stem, on which side, how long: shorter upward."""

SPINES = ((0.24, 0.33), (0.42, 0.36), (0.60, 0.30), (0.78, 0.20))
"""Where on a leaf its lobes spring, and how long they are as a share of it."""

POPPY = Build("a poppy", (60, 97), least=17)
POPPY_EYE, POPPY_TURN = (-4.0, 76.0), 45.0
"""Middle of the open flower, off the axis to make room for the bud; how its petals are turned."""

CRUMPLED = ((-45, 13.5), (-38, 20.5), (-16, 22.8), (0, 21.4), (18, 23.2), (38, 20), (45, 13.5), (0, 3))
"""Edge of one of four petals: degrees from its middle, and radius. Two swells and a dip look crumpled."""

PLEATS = ((0, 11.5, 19.2, 1.5), (-21, 12, 19.5, 1.4), (21, 12, 19.5, 1.4))
"""Drops in a petal: degrees, from and to which radius, half-width."""

BUD = [(0, 7.5), (4.6, 2), (3.4, -5), (0, -8), (-3.4, -5), (-4.6, 2)]
BUD_AT = (24.0, 51.0)
"""The bud and where it nods: below the flower and well out, so that its stem makes a crook."""

WHEAT = Build("an ear of wheat", (41, 112), least=12)
EAR, ROW = 0.44, 6.2
"""Share of the stem that bears grains; straps from one row of them to the next at the least."""

GRAIN_LONG, GRAIN_ANGLE, GRAIN_HALF = 1.75, 38.0, 0.36
"""Length of a grain in pitches, degrees it leans out, half its width in pitches: fat grains, or it is barley."""

GRAIN_LIGHT = (0.25, 0.15)
"""The light in a grain: half its length as a share of the grain's, half its width in pitches; smaller where it has less room."""

AWN, AWN_ANGLE, AWNS_FROM = 2.6, 20.0, 9.5
"""Length of an awn past its grain in pitches, degrees it leans out, and the straps in a pitch from which there are awns:
all or none.
"""

WHEAT_LEAVES = ((-1, 12, 40, 20), (1, 25, 33, 18))
"""On which side a leaf springs, how high, how far it rises and reaches."""

SUNFLOWER = Build("a sunflower", (58, 100), least=18)
SEED_DISC, RAY_FLORETS, RAY_LONG = 15.0, 21, 13.0
"""Radius of the seeds' disc, petals round it, how long they are."""
# fmt: on


def draw_thistle(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a thistle: a scaly head under a tuft, spined leaves along the stem."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, THISTLE.frame, strap=strap, smallest=smallest)
    hand, root = float(chance.choice([-1, 1])), np.array([0, HEAD - 1])
    pen.mass([(a, HEAD + b) for a, b in URN])
    angles = 90 + TUFT_STEP * (np.arange(TUFT) - (TUFT - 1) / 2)
    for angle in angles:
        far = TUFT_LONG - 0.09 * abs(angle - 90) + 1.4 * chance.uniform(-1, 1)
        pen.limb([root + polar(angle, 5), root + polar(angle, far)], [2.0, 1.8, 1.6, 0.2], point=True)
    for row, count in enumerate(SCALES):
        y = HEAD - 4.2 + 4.9 * row
        for x in 4.9 * (np.arange(count) - (count - 1) / 2):
            pen.cut_drop((0.93 * x, y + 2.6), (0.8 * x, y - 1.4), 1.25)
    for angle in angles[:-1] + TUFT_STEP / 2:
        pen.cut_leaf(root + polar(angle, 12.0), root + polar(angle, 19), 0.7)
    line = [(hand * 4, 0), (hand * 0.5, 22), (-hand * 0.8, 40), (0, HEAD - 7)]
    stem = pen.limb(line, [2.2, 1.7, 1.5, 1.7])
    for share, side, long in THISTLE_LEAVES:
        _spined(pen, unit_at(stem, share)[0], hand * side, long * some(chance, 0.1))
    return pen


def _spined(pen: Pen, root: Points, side: float, long: float) -> None:
    """Draw a leaf whose lobes end in spines, rising and bending out."""
    way: tuple[Box, ...] = ((0, 0), (0.36, 0.28), (0.72, 0.44), (1, 0.36))
    rib = pen.limb([root + (side * a * long, b * long) for a, b in way], [1.2, 2.4, 2.0, 0.8], point=True)
    for share, size in SPINES:
        at, ahead = unit_at(rib, share)
        reach = size * long
        for hand in (-1, 1):
            aside = np.array([-ahead[1], ahead[0]]) * hand * reach
            knee, tip = at + ahead * 0.25 * reach + 0.45 * aside, at + ahead * 0.62 * reach + 0.78 * aside
            pen.limb([at - ahead, knee, tip], [2.6, 1.7, 0.4], point=True)
    pen.cut_line(rib[int(0.12 * len(rib)) : int(0.84 * len(rib)) : 4], [0.1, 0.95, 0.8, 0.1])


def draw_poppy(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a poppy: an open flower and a nodding bud, feathered leaves."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, POPPY.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    middle = np.array([hand * POPPY_EYE[0], POPPY_EYE[1]])
    _flower(pen, middle, POPPY_TURN + 12 * chance.uniform(-1, 1))
    pen.limb([(hand * 3, 0), (hand * 1.5, 22), (-hand * 2.5, 44), middle - (0, 12)], [2.0, 1.5, 1.3, 1.3])
    bud = np.array([hand * BUD_AT[0], BUD_AT[1] + 2.5 * chance.uniform(-1, 1)])
    crook = [
        (hand * 2.6, 8),
        (hand * 10, 32),
        bud + (-hand * 7, 7),
        bud + (-hand * 1.5, 12),
        bud + (hand * 0.6, 6),
    ]
    pen.limb(crook, [1.4, 1.2, 1.0, 1.0])
    pen.mass([bud + place for place in BUD], [3])
    pen.cut_leaf(bud + (0, 4.5), bud + (0, -5), 1.1)
    for low, side, long in ((9, -hand, 27), (20, -hand, 20), (15, hand, 19)):
        _feathered(pen, np.array([hand * (2.0 if low < 14 else 1.4), low]), side, long * some(chance, 0.1))
    return pen


def _flower(pen: Pen, middle: Points, turn: float) -> None:
    """Draw four petals about an eye with eight anthers."""
    pen.disc(middle, 9.5)
    for quarter in turn + 90 * np.arange(4):
        ring = [middle + polar(quarter + angle, radius) for angle, radius in CRUMPLED]
        pen.mass(ring, [len(CRUMPLED) - 1])
    pen.cut_round(middle, 1.9)
    for quarter in turn + 90 * np.arange(4):
        pen.cut_leaf(middle + polar(quarter + 45, 10.5), middle + polar(quarter + 43, 19), 1.1)
        for angle, inner, outer, half in PLEATS:
            pen.cut_drop(middle + polar(quarter + angle, inner), middle + polar(quarter + angle, outer), half)
    for angle in turn + 45 * np.arange(8) + 22.5:
        pen.cut_drop(middle + polar(angle, 4.6), middle + polar(angle, 8.4), 0.95)


def _feathered(pen: Pen, root: Points, side: float, long: float) -> None:
    """Draw a leaf parted to its rib."""
    way: tuple[Box, ...] = ((0, 0), (0.42, 0.34), (1, 0.46))
    rib = pen.limb([root + (side * a * long, b * long) for a, b in way], [1.1, 1.3, 0.7], point=True)
    for share, size in ((0.28, 0.34), (0.5, 0.30), (0.72, 0.2)):
        at, ahead = unit_at(rib, share)
        reach = size * long
        for hand in (-1, 1):
            aside = np.array([-ahead[1], ahead[0]]) * hand
            tip = at + (0.75 * ahead + 0.66 * aside) * reach
            pen.leaf(at - 0.5 * ahead, tip, 0.16 * reach + 0.4, -0.1 * hand)


def draw_wheat(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an ear of wheat: grains in two rows, awns on all of them or on none, two long leaves."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, WHEAT.frame, strap=strap, smallest=smallest)
    hand, bow = float(chance.choice([-1, 1])), some(chance, 0.35)
    way: list[Box] = [(-2, 0), (-2.4, 25), (-1.4, 52), (0.4 * bow, 78), (1.8 * bow, 92)]
    stem = pen.limb([(hand * a, b) for a, b in way], [1.7, 1.3, 1.1, 1.0])
    pen.trim([(-20, -20), (20, -20), (20, hand * 1.5), (-20, -hand * 1.5)])
    run = float(distances_along(stem)[-1])
    rows = int(np.clip(round(EAR * run / pen.units(ROW * strap)), 3, 7))
    pitch = EAR * run / (rows - 0.5)
    awns = pitch > pen.units(AWNS_FROM * strap)
    for k in range(2 * rows - 1):
        side = hand if k % 2 == 0 else -hand
        at, ahead = unit_at(stem, 1 - EAR + k * pitch / 2 / run)
        _grain(pen, at, ahead, side, pitch, AWN * some(chance, 0.04) if awns else 0.0)
    end, ahead = unit_at(stem, 1.0)
    _grain(pen, end - 0.2 * pitch * ahead, ahead, 0, pitch, AWN if awns else 0.0)
    for side, low, tall, out in WHEAT_LEAVES:
        root, high = stem[int(np.searchsorted(stem[:, 1], low))], tall * some(chance, 0.08)
        bent = [(0, 0), (0.34 * out, 0.64 * high), (0.70 * out, 0.86 * high), (out, 0.52 * high)]
        blade = pen.limb([root + (side * hand * a, b) for a, b in bent], [0.6, 2.6, 2.6, 0.1], point=True)
        white = max(0.8, pen.slit)
        pen.cut_line(blade[int(0.28 * len(blade)) : int(0.7 * len(blade))], [0.1, white, white, 0.1])
    return pen


def _grain(pen: Pen, root: Points, ahead: Points, side: float, pitch: float, awn: float) -> None:
    """Draw a grain to one side of the stem, or at its end where the side is 0, with an awn so many pitches long."""
    up = math.degrees(math.atan2(ahead[1], ahead[0]))
    tip = root + polar(up + side * GRAIN_ANGLE, GRAIN_LONG * pitch)
    pen.leaf(root, tip, GRAIN_HALF * pitch, -0.10 * side, 0.5)
    room = min(1.0, GRAIN_HALF / GRAIN_LIGHT[1] - 2.2 * pen.fine / (GRAIN_LIGHT[1] * pitch))
    reach, half = GRAIN_LIGHT[0] * room * (tip - root), GRAIN_LIGHT[1] * room * pitch
    pen.cut_leaf(0.5 * (root + tip) - reach, 0.5 * (root + tip) + reach, half, -0.06 * side)
    if awn:
        far = tip + polar(up + side * AWN_ANGLE, awn * pitch)
        start = root + 0.62 * (tip - root)
        pen.limb([start, tip + 0.06 * (far - tip), far], [1.7 * pen.fine, 1.3 * pen.fine, 0.1], point=True)


def draw_sunflower(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a sunflower: seeds by the golden angle in a ring of petals, broad leaves on the stem."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, SUNFLOWER.frame, strap=strap, smallest=smallest)
    middle, hand, turn = np.array([0.0, 71.0]), float(chance.choice([-1, 1])), chance.uniform(0, 360)
    pen.disc(middle, SEED_DISC + 2.5)
    florets = RAY_FLORETS if 58 * pen.unit > 30 * strap else 13
    half = math.pi * SEED_DISC / florets * 0.92
    for angle in turn + 360 / florets * np.arange(florets):
        far = SEED_DISC + RAY_LONG * some(chance, 0.07)
        pen.leaf(middle + polar(angle, SEED_DISC - 1), middle + polar(angle, far), half, 0.05, 0.42)
    size = max(1.05, pen.slit)
    room = (2 * size + 2.05 * pen.fine) ** 2 * math.sqrt(3) / 2
    count = int(np.clip(0.74 * math.pi * (SEED_DISC - 1.5) ** 2 / room, 5, 89))
    room = math.pi * (SEED_DISC - size - 0.5) ** 2 / count
    for at in golden_places(count, room):
        pen.cut_round(middle + at, size)
    for angle in turn + 360 / florets * np.arange(florets):
        pen.cut_leaf(
            middle + polar(angle, SEED_DISC + 3.2), middle + polar(angle, SEED_DISC + 9.5), 0.36 * half
        )
    stem = pen.limb([(hand * 4, 0), (hand, 20), (-hand, 40), middle - (0, 12)], [2.4, 1.9, 1.7, 1.8])
    for share, side, long in ((0.22, hand, 27), (0.48, -hand, 25)):
        root = unit_at(stem, share)[0]
        tip = root + (side * long * 0.94, 0.36 * long * some(chance, 0.2))
        pen.veined([root, 0.5 * (root + tip) + (0, 3.4), tip], 0.26 * long, stalk=4.0, widest=0.36)
    return pen
