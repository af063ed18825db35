"""Trees by their habit: a broad oak, a pine in tiers.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np

from canivet.motifs.shapes.openings import Points

from .pen import Box, Build, Pen, open_curve, polar, some

__all__ = ["OAK", "PINE", "draw_oak", "draw_pine"]

# fmt: off
OAK = Build("an oak", (104, 98), least=26)
OAK_LOBES = (((0, 77), 19.5), ((-27, 68), 17), ((27, 68), 17), ((-40, 50), 12.5), ((40, 50), 12.5), ((-15, 56), 14), ((15, 56), 14))
"""Clumps of the crown, middle and radius: broader than high, the chief one on top. An oak spreads."""

OAK_BOLE = [(-7, 2), (-5.4, 16), (-6.4, 34), (6.4, 34), (5.4, 16), (7, 2)]
OAK_BOUGHS = ([(-2, 28), (-12, 42), (-34, 48)], [(2, 28), (12, 42), (34, 48)], [(0, 28), (0, 44), (0, 60)])
OAK_ROOTS = (-22.0, -13.0, 14.0, 23.0)
"""Trunk, boughs into the clumps, and how far out the roots run: a stout foot for a broad head."""

LIGHTS, LIGHT = 7, (0.30, 0.74, 0.105)
"""Drops of light in a clump; from and to what share of its radius, and their half-width as a share of it."""

PINE = Build("a pine", (60, 100), least=14)
TIERS, PINE_FOOT, PINE_TIP = 7, 13.0, 97.0
"""Tiers of boughs, height of the lowest, height of the tip."""

BOUGH, DROOP = 28.0, 0.34
"""Reach of the lowest bough and how far boughs hang, as a share of their reach; snow would slide off."""
# fmt: on


def draw_oak(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an oak: clumps of leaves pierced by light over a stout trunk with roots."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, OAK.frame, strap=strap, smallest=smallest)
    pen.slab(OAK_BOLE)
    for line in OAK_BOUGHS:
        pen.limb(line, [4.2, 3.2, 2.2])
    for x in OAK_ROOTS:
        way = [(0.18 * x, 16), (0.30 * x, 6.5), (0.62 * x, 2.6), (x * some(chance, 0.1), 1.2)]
        pen.limb(way, [3.2, 2.4, 1.7, 0.9])
    lobes = [(np.array(at) + 1.6 * chance.uniform(-1, 1, 2), r * some(chance, 0.05)) for at, r in OAK_LOBES]
    for at, radius in lobes:
        _clump(pen, at, radius, chance.uniform(0, 360))
    for at, radius in lobes:
        lights = LIGHTS if radius * pen.unit > 9 * strap else LIGHTS - 2
        inner, outer, half = LIGHT
        for angle in 90 + 360 / lights * np.arange(lights):
            pen.cut_drop(at + polar(angle, inner * radius), at + polar(angle, outer * radius), half * radius)
        pen.cut_round(at, 0.09 * radius)
    return pen


def _clump(pen: Pen, at: Points, radius: float, turn: float) -> None:
    """Draw a clump of leaves: a round with a scalloped edge."""
    pen.disc(at, 0.90 * radius)
    bumps = max(7, round(2 * math.pi * radius / max(8.5, pen.units(6 * pen.strap))))
    for angle in turn + 360 / bumps * np.arange(bumps):
        pen.disc(at + polar(angle, 0.80 * radius), 0.80 * math.pi * radius / bumps * 0.62)


def draw_pine(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a pine: tiers of hanging boughs, drops of light between their needles."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, PINE.frame, strap=strap, smallest=smallest)
    tiers = int(np.clip(round(100 * pen.unit / (6.5 * strap)), 4, TIERS))
    pen.slab([(-2.6, 0), (-1.9, 30), (-0.8, 90), (0.8, 90), (1.9, 30), (2.6, 0)])
    step = (PINE_TIP - PINE_FOOT) / (tiers + 0.35)
    for k in range(tiers):
        y, reach = PINE_FOOT + step * k, BOUGH * (1 - k / (tiers + 0.6)) ** 0.9
        for side in (-1, 1):
            long = reach * some(chance, 0.06)
            _bough(pen, y, step, side, long)
    pen.slab([(-3.2, PINE_TIP - 1.15 * step), (0, 101), (3.2, PINE_TIP - 1.15 * step)])
    pen.mass([(-13, 0), (0, 3.4), (13, 0), (0, -1.2)], [0, 2])
    return pen


def _bough(pen: Pen, y: float, step: float, side: float, long: float) -> None:
    """Draw a bough to one side: a bow that hangs, its lower edge in needles."""
    drop = DROOP * long
    top = open_curve(
        [
            (0, y + 1.25 * step),
            (side * 0.45 * long, y + 0.62 * step - 0.2 * drop),
            (side * long, y - 0.55 * drop),
        ]
    )
    count = max(2, round(long / max(4.6, pen.units(3.0 * pen.strap))))
    low = [(side * long, y - 0.55 * drop)]
    for k in range(count, 0, -1):
        x = long * (k - 0.55) / count
        base = y - 0.42 * drop * (x / long) ** 1.4
        low += (
            [(side * (x + 0.30 * long / count), base + 0.05 * step), (side * x, base - 0.30 * step)]
            if k < count
            else [(side * x, base - 0.2 * step)]
        )
    pen.slab([*top, *low, (0, y + 0.1 * step)])
    for k in range(count - 1):
        x = long * (k + 0.62) / count
        base = y - 0.30 * drop * (x / long) ** 1.4
        pen.cut_drop(
            (side * (x - 0.3), base + 0.62 * step * (1 - 0.5 * x / long)),
            (side * (x + 0.5), base + 0.06 * step),
            0.13 * long / count + 0.35,
        )
