"""Trees by their habit: a broad oak, a pine in tiers.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.lines import distances_along, points_at
from canivet.motifs.shapes.openings import Points

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
TIERS, PINE_FOOT, PINE_TIP = 7, 15.0, 99.0
"""Tiers of boughs at the most, height of the lowest, height of the tip."""

BOUGH, DROOP = 29.0, 0.30
"""Reach of the lowest bough and how far its point hangs, as a share of its reach; snow would slide off."""

LIGHT_OF_BOUGH = 0.105
"""Half the width of the light in a bough, in steps between tiers."""

NEEDLE, NEEDLE_DEEP = 4.4, 0.55
"""Step between the teeth of a bough's lower edge at the least, and how deep they are, as a share of it."""

BOLE = [(-4.4, 0.5), (-2.6, 5), (-1.9, 14), (-1.3, 50), (-0.7, 90), (0.7, 90), (1.3, 50), (1.9, 14), (2.6, 5), (4.4, 0.5)]
"""The trunk, which flares into the ground."""

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
    """Return a pine: tiers of boughs that hang to a point, needles along their lower edge, a light in each."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, PINE.frame, strap=strap, smallest=smallest)
    tiers = int(np.clip(round(100 * pen.unit / (8.5 * strap)), 4, TIERS))
    pen.slab(BOLE)
    pen.leaf((-17, 1.2), (17, 1.2), 1.8)
    step = (PINE_TIP - PINE_FOOT) / (tiers + 0.5)
    for k in range(tiers):
        y, reach = PINE_FOOT + step * k, BOUGH * (1 - k / (tiers + 0.4)) ** 0.85
        for side in (-1, 1):
            _bough(pen, y, step, side, reach * some(chance, 0.07))
    top = PINE_TIP - 1.2 * step
    pen.slab([(-0.16 * step - 1, top), (0, 101), (0.16 * step + 1, top)])
    return pen


def _bough(pen: Pen, y: float, step: float, side: float, long: float) -> None:
    """Draw a bough to one side: it leaves the trunk, hangs, and ends in one point."""
    tip = np.array([side * long, y - DROOP * long])
    high, low = np.array([0, y + 0.98 * step]), np.array([0, y + 0.12 * step])
    top = open_curve([high, (side * 0.42 * long, y + 0.46 * step - 0.10 * long), tip])
    under = open_curve([low, (side * 0.50 * long, y - 0.09 * long), tip])
    pen.slab([*top, *_needles(pen, under[::-1], side)])
    middle = [0.55 * unit_at(top, s)[0] + 0.45 * unit_at(under, s)[0] for s in (0.16, 0.32, 0.48, 0.64)]
    white = LIGHT_OF_BOUGH * step
    pen.cut_line(middle, [0.1, white, 0.8 * white, 0.1])


def _needles(pen: Pen, line: Points, side: float) -> Points:
    """Return a bough's lower edge with teeth that hang outward; its point stays as it is."""
    run = distances_along(line)
    count = max(3, round(run[-1] / max(NEEDLE, pen.units(3.4 * pen.strap))))
    at = np.linspace(0, run[-1], 2 * count + 1)
    edge = points_at(line, at, run=run)
    deep = NEEDLE_DEEP * run[-1] / count
    edge[4:-1:2] += np.linspace(0.5, 1, count - 2)[:, None] * (side * 0.45 * deep, -deep)
    saw: Points = np.delete(edge, 1, axis=0)
    return saw
