"""Garden flowers upright on their stems: tulip, iris, rose.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.openings import Points

__all__ = ["IRIS", "ROSE", "TULIP", "draw_iris", "draw_rose", "draw_tulip"]

# fmt: off
TULIP = Build("a tulip", (55, 97), least=15)
CUP = 57.0
"""Where the tulip's cup begins: a longer stem is more graceful, a shorter one a pot plant."""

TULIP_PETALS: tuple[tuple[list[Box], tuple[int, ...]], ...] = (
    ([(0, 0), (9.5, 8), (9.8, 24), (0, 41), (-9.8, 24), (-9.5, 8)], (0, 3)),
    ([(0, 0), (11, 1.5), (18.5, 11), (18.5, 27), (21, 42), (13, 36), (6, 22), (3, 6)], (0, 4)),
)
"""The middle petal and the right one, from the cup's foot; points are corners. The outer tip leans out for life."""

TULIP_FLARE = 0.22
"""How far a seed opens or closes the cup: more, and it is about to drop its petals."""

TULIP_LEAVES = ((62, 24, 6.2, 4.0), (45, 25, 5.6, 8.0))
"""Height, reach, half-width and root of each leaf: unequal, so that the stem does not stand in a bracket."""

IRIS = Build("an iris", (56, 100), least=17)
HEART = 66.0
"""Where standards and falls of the iris meet: two thirds up, so that the falls have air below."""

STANDARDS: tuple[tuple[list[Box], tuple[int, ...]], ...] = (
    ([(0, 0), (5.2, 10), (7.5, 22), (0, 34), (-7.5, 22), (-5.2, 10)], (0, 3)),
    ([(0, 0), (8, 5), (17, 14), (17.5, 25), (10, 31), (8.8, 20), (4, 9)], (0, 4)),
)
"""Petals that rise: the middle one, and the right one that bends in over it."""

FALLS: tuple[tuple[list[Box], tuple[int, ...]], ...] = (
    ([(0, 4), (10, 3.5), (20, 1), (27, -7), (27, -17), (22, -21), (16, -14), (10, -6), (0, -4)], (0, 5, 8)),
    ([(0, 5), (6.5, -3), (8.3, -14), (0, -25), (-8.3, -14), (-6.5, -3)], (0, 3)),
)
"""Petals that hang: the right one, heavy at its end, and the one in front."""

SWORDS = ((41, 19, 4.2), (37, 17, 4.0), (22, 23, 3.4))
"""Height, reach and half-width of the iris's leaves; they end below the falls, or they tangle with them."""

ROSE = Build("a rose", (54, 101), least=17)
BLOOM = (0.0, 76.0)
"""Middle of the rose's bloom."""

PETAL = ((-46, 13), (-34, 21.5), (-12, 23.5), (10, 23.2), (33, 21.8), (46, 13))
"""Outer edge of one of its five petals: degrees from its middle, and radius. Not quite even, as petals are not."""

ROLLS = ((3.6, 2, 1.5, 120, 0), (8.2, 3, 1.7, 92, 40), (13.0, 4, 1.7, 70, 15), (18.2, 5, 1.9, 52, 0))
"""Rings of rolled petals: radius, how many, width of the white, degrees each sweeps, degrees set off from before."""

FEW_ROLLS = ((4.6, 2, 2.4, 120, 0), (13.5, 4, 2.8, 72, 40))
"""The same where the bloom is under 14.5 straps in radius: fewer and wider, or it closes up."""

ROLL_IN = 1.5
"""How far a roll winds inward over its length: none, and the bloom is a target."""

SEPALS = ((-146, -1.0), (-34, 1.0), (-114, -1.0), (-66, 1.0))
"""Where sepals spring under the bloom, degrees, and to which side they curl."""

THORNS = ((0.18, 1), (0.42, -1), (0.78, 1))
"""Where on the stem, and on which side."""
# fmt: on


def draw_tulip(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a tulip: a cup of three petals on a swaying stem between two long leaves."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, TULIP.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    _cup(pen, 1 + TULIP_FLARE * chance.uniform(-1, 1))
    pen.mirror(0)
    pen.limb([(hand * 3.5, 0), (hand, 20), (-hand, 40), (0, CUP + 2)], [2.3, 1.7, 1.5, 1.6])
    for (tall, out, half, low), side in zip(TULIP_LEAVES, (hand, -hand), strict=True):
        top = tall * some(chance, 0.08)
        root = hand * (3.3 if side == hand else 2.4)
        pen.veined(
            [(root + side * a * out, b) for a, b in ((0, low), (0.25, 0.3 * top), (0.62, 0.66 * top), (1, 0.9 * top))],
            half,
        )  # fmt: skip
    return pen


def _cup(pen: Pen, flare: float) -> None:
    """Draw the right half of the cup, with its whites."""
    y = CUP
    for k, (petal, corners) in enumerate(TULIP_PETALS):
        pen.mass([(a * (flare if k and b > 20 and a > 15 else 1), y + b) for a, b in petal], corners)
    pen.cut_leaf((0, y + 8), (0, y + 35), 2.2)
    pen.cut_line([(7.5, y + 7), (12.3, y + 20), (11, y + 34)], [0.1, 1.5, 1.3, 0.1])
    pen.cut_line([(12, y + 8), (16, y + 20), (17.2 * flare, y + 36)], [0.1, 1.4, 1.4, 0.1])
    pen.cut_leaf((5.2, y + 10), (4.0, y + 29), 1.3, -0.08)


def draw_iris(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an iris: three standards, three falls with a beard, sword leaves."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, IRIS.frame, strap=strap, smallest=smallest)
    y, wide = HEART, some(chance, 0.09)
    for petal, corners in (*STANDARDS, *FALLS):
        pen.mass([(a * (wide if a > 9 else 1), y + b) for a, b in petal], corners)
    pen.cut_drop((0, y + 1), (0, y - 8.5), 1.6)
    pen.cut_leaf((0, y + 8), (0, y + 29), 2.0)
    pen.cut_line([(7, y + 8.5), (12.3, y + 17), (12, y + 26.5)], [0.1, 1.8, 1.5, 0.1])
    pen.cut_line([(9, y - 0.2), (18 * wide, y - 4.5), (22.6 * wide, y - 15)], [0.1, 1.5, 2.0, 0.1])
    for k in (1, 2):
        pen.cut_leaf((1.8 + 1.2 * k, y - 5 - k), (1.1 * k + 0.6, y - 21 + 3 * k), 0.95, 0.10)
    pen.cut_leaf((3.6, y + 9.5), (3.9, y + 24), 1.0, -0.05)
    pen.mirror(0)
    hand = float(chance.choice([-1, 1]))
    pen.limb([(hand * 2, 0), (hand * 0.5, 25), (0, y - 14)], [1.9, 1.5, 1.6])
    for (tall, out, half), side in zip(SWORDS, (hand, -hand, -hand), strict=True):
        top, root = tall * some(chance, 0.1), hand * 1.8 + side * 0.6
        line = [
            (root + side * a * out, b) for a, b in ((0, 3), (0.36, 0.42 * top), (0.72, 0.78 * top), (1, top))
        ]
        pen.veined(line, half, widest=0.33, veins=False)
    return pen


def draw_rose(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a rose: a bloom of rolled petals, thorns, leaves of five leaflets."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, ROSE.frame, strap=strap, smallest=smallest)
    hand, middle, turn = float(chance.choice([-1, 1])), np.array(BLOOM), chance.uniform(0, 72)
    pen.disc(middle, 17)
    for k in range(5):
        edge = [middle + polar(turn + 72 * k + angle, radius) for angle, radius in PETAL]
        pen.mass([*edge, middle + polar(turn + 72 * k, 4)], [len(PETAL)])
    rolls = ROLLS if 22 * pen.unit > 14.5 * strap else FEW_ROLLS
    for radius, count, white, sweep, shift in rolls:
        for k in range(count):
            start = turn + shift * hand + 360 / count * k
            arc = np.linspace(-0.5, 0.5, 7)
            line = [middle + polar(start + hand * sweep * s, radius + ROLL_IN * s) for s in arc]
            pen.cut_line(line, [0.1, white * 0.55, white * 0.62, 0.1])
    stem = pen.limb([(hand * 4, 0), (hand * 0.5, 20), (-hand * 0.6, 40), (0, 60)], [2.1, 1.6, 1.5, 1.7])
    for angle, side in SEPALS:
        way = [
            middle + polar(angle + side * turned, far)
            for turned, far in ((0, 14), (1, 22), (14, 27), (30, 28))
        ]
        pen.limb(way, [2.4, 2.2, 1.7, 0.1], point=True)
    for share, turned in THORNS:
        at, _ = unit_at(stem, share)
        out = hand * turned
        pen.limb([at, at + (out * 2.4, 0.6), at + (out * 4.2, -0.6)], [1.8, 1.0, 0.2], point=True)
    for share, side, long in ((0.22, -hand, 27), (0.50, hand, 25)):
        _leaflets(pen, unit_at(stem, share)[0], side, long * some(chance, 0.06))
    return pen


def _leaflets(pen: Pen, root: Points, side: float, long: float) -> None:
    """Draw a leaf of five leaflets out to one side."""
    tip, middle = root + (side * 0.86 * long, 0.42 * long), root + (side * 0.45 * long, 0.30 * long)
    pen.limb([root, middle, tip - 0.25 * (tip - middle)], [1.1, 0.9, 0.8])
    ahead = (tip - middle) / np.hypot(*(tip - middle))
    aside = np.array([-ahead[1], ahead[0]])
    pen.veined([middle + 0.4 * (tip - middle), tip, tip + ahead * 0.22 * long], 0.15 * long, widest=0.4)
    for share, size in ((0.26, 0.33), (0.56, 0.38)):
        base = root + share * (tip - root) + (0, 0.03 * long)
        for hand in (-1, 1):
            end = base + (0.5 * ahead + 0.92 * hand * aside) * size * long
            bend = 0.5 * (base + end) - ahead * 0.03 * long
            pen.veined([base, bend, end], 0.125 * long * (size / 0.36), widest=0.45)
