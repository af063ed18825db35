"""Folk symmetry: a tree of hearts and flowers, a pair of birds about a tree; one half drawn, and its mirror.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.openings import Points

__all__ = ["BIRD_PAIR", "HEART_TREE", "draw_bird_pair", "draw_heart_tree"]

# fmt: off
HEART_RIGHT = [(0, 0.62), (0.34, 0.98), (0.82, 0.86), (1, 0.38), (0.72, -0.28), (0, -1)]
"""The right half of a heart of half-width 1, from its notch to its point: full shoulders, a long point."""

FOLK_TULIP = [(-0.05, 0), (0.12, 0.34), (0.55, 0.46), (1.05, 0.56), (0.74, 0.22), (1.12, 0)]
"""Half of a folk tulip of length 1: along, aside. Its side points lean out."""

HEART_TREE = Build("a tree of hearts", (84, 108), least=26)
BOUGHS: dict[str, tuple[list[Box], list[float]]] = {
    "low": ([(0, 24), (10, 30), (22, 30), (30, 23), (27, 15), (20.5, 16)], [1.7, 1.5, 1.3, 1.1, 1.0, 1.1]),
    "mid": ([(0, 38), (9, 47), (20, 50), (30, 52)], [1.6, 1.4, 1.2, 1.0]),
    "top": ([(0, 55), (5, 64), (12, 70), (20, 72)], [1.5, 1.3, 1.1, 1.0]),
    "side": ([(22, 30), (29, 33), (34, 33)], [1.2, 1.0]),
}
"""Boughs of the right half: the lowest curls in, the others rise, so that the whole is a heart again."""

ROSES = (((19.5, 16.5), 6.2, 6), ((33.5, 53), 8.4, 8))
TULIPS = (((19, 71.8), 28, 14.5), ((33, 33), -6, 9.5), ((0, 80), 90, 18))
"""Round flowers and tulips: where, which way they look, how large. The chief one crowns the trunk."""

TREE_LEAVES = (("low", 0.10, -62, 9.0), ("mid", 0.34, -58, 10.0), ("mid", 0.52, 58, 11.0), ("low", 0.30, 62, 9.0), ("top", 0.62, -58, 9.0), ("top", 0.50, 62, 8.0))
"""Bough, where on it, degrees from it, how long: on both sides, where boughs turn."""

HEARTS = (((0, 46.5), 5.4), ((0, 10.8), 10.8))
"""The heart on the trunk and the one it springs from: half-width."""

BIRD_PAIR = Build("a pair of birds", (117, 93), least=24)
PAIR_BIRD = [
    (10.5, 51), (15, 54.6), (19, 59.4), (26, 59), (30.5, 52.5), (37, 43), (46, 37.5), (57.5, 45), (59, 40), (54, 29), (45, 22.5),
    (34, 18.5), (24, 18.5), (16.5, 25.5), (13.8, 36), (14.8, 46),
]
"""The right bird, which looks in: beak, crown, nape, back, tail, belly, breast. Its tail cocks up and closes the picture."""

PAIR_LIFT = (1, 1, 1, 1, *[0] * 11, 0.6)
PAIR_WING = (
    ([(24.5, 40), (33, 32), (43, 29), (51, 33)], [0.1, 1.5, 1.6, 0.1]),
    ([(27, 44), (35, 36.8), (45, 33.6), (53.5, 38.5)], [0.1, 1.3, 1.4, 0.1]),
    ([(22, 35.5), (28, 27.5), (38, 24.2), (46, 26.6)], [0.1, 1.5, 1.5, 0.1]),
)
PAIR_LEGS, PAIR_GROUND = (25.5, 31.0), [(0, 9.5), (20, 8.8), (36, 8.4), (50, 5.5), (57, 1.2), (44, 2.0), (22, 1.0), (0, 0)]
PAIR_GRASS = ((44, 12, -16), (48, 9.5, -34), (40, 9, -6))
PAIR_LEAVES = ((18, 10.5, 46), (30.5, 10.5, 46), (43, 8.5, 50))
"""Leaves on the stem between the birds: height, length, degrees. Steep, for there is little room."""

PAIR_BOUGH, PAIR_FLOWER = [(0, 56), (8, 65), (19, 69), (27, 68)], ((30.5, 69.5), 7.0)
PAIR_CROWN = (74, 20)
"""Where the tulip over the birds begins, and how tall it is."""
# fmt: on


def _heart(at: ArrayLike, half: float) -> Points:
    """Return the points of a heart about a place; its notch is the first and its point the sixth."""
    right = np.array(HEART_RIGHT)
    whole = np.vstack([right, right[-2:0:-1] * [-1, 1]])
    return np.asarray(at, dtype=float) + half * whole


def _tulip(pen: Pen, root: ArrayLike, angle: float, size: float) -> None:
    """Draw a folk tulip: three points, two slits and a drop."""
    foot = np.asarray(root, dtype=float)

    def at(along: float, aside: float) -> Points:
        return foot + polar(angle, along * size) + polar(angle + 90, aside * size)

    left = [at(a, b) for a, b in FOLK_TULIP]
    pen.mass([*left, *(at(a, -b) for a, b in FOLK_TULIP[-2:0:-1])], [0, 3, 4, 5, 6, 7])
    pen.cut_drop(at(0.84, 0), at(0.24, 0), 0.115 * size)
    for side in (-1, 1):
        pen.cut_leaf(at(0.22, side * 0.24), at(0.80, side * 0.40), 0.085 * size, -0.06 * side)


def _rose(pen: Pen, at: ArrayLike, radius: float, petals: int) -> None:
    """Draw a round flower, a drop in each petal."""
    middle = np.asarray(at, dtype=float)
    angles = 90 + 360 / petals * np.arange(petals)
    pen.disc(middle, 0.62 * radius)
    for angle in angles:
        pen.disc(middle + polar(angle, 0.66 * radius), 0.36 * radius)
    pen.cut_round(middle, 0.17 * radius)
    for angle in angles:
        pen.cut_drop(
            middle + polar(angle, 0.36 * radius), middle + polar(angle, 0.86 * radius), 0.15 * radius
        )


def draw_heart_tree(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a tree that springs from a heart, tulips and round flowers on scrolled boughs."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, HEART_TREE.frame, strap=strap, smallest=smallest)
    rise = 3 * chance.uniform(-1, 1)
    lines = {
        name: pen.limb([(x, y + (rise if name == "mid" and x > 15 else 0)) for x, y in line], halves)
        for name, (line, halves) in BOUGHS.items()
    }
    for (x, y), radius, petals in ROSES:
        many = int(chance.choice([6, 8])) if petals > 6 else petals
        _rose(pen, (x, y + (rise if y > 40 else 0)), radius * some(chance, 0.06), many)
    for name, share, angle, long in TREE_LEAVES:
        at, ahead = unit_at(lines[name], share)
        aim = float(np.degrees(np.arctan2(ahead[1], ahead[0]))) + angle
        tip = at + polar(aim, long * some(chance, 0.1))
        bend = 0.5 * (at + tip) + polar(aim - 90 * float(np.sign(angle)), 0.06 * long)
        pen.veined([at, bend, tip], 0.24 * long, stalk=1.2, veins=False)
    pen.limb([(0, 12), (0, 40), (0, 82)], [2.3, 1.8, 1.5])
    for root, angle, size in TULIPS:
        _tulip(pen, root, angle, size)
    for middle, half in HEARTS:
        pen.mass(_heart(middle, half), [0, 5])
    pen.cut_mass(_heart(HEARTS[0][0], 2.6), [0, 5])
    pen.cut_drop((4.9, 15.5), (4.9, 9.0), 1.7)
    pen.cut_leaf((0, 12.5), (0, 4.2), 1.2)
    pen.mirror(0)
    return pen


def draw_bird_pair(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return two birds that face each other about a small tree, on one piece of ground."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BIRD_PAIR.frame, strap=strap, smallest=smallest)
    lift = 2.5 * chance.uniform(-1, 1)
    pen.mass([(x, y + share * lift) for (x, y), share in zip(PAIR_BIRD, PAIR_LIFT, strict=True)], [0, 7, 8])
    pen.cut_round((20.5, 53.2 + lift), 1.25)
    for feather in PAIR_WING:
        pen.cut_line(*feather)
    for k in range(4):
        at = np.array([18.4 + 0.36 * k * k, 42 - 5.0 * k])
        pen.cut_drop(at + (-0.3, 1.6), at + (0.5, -1.9), 1.15)
    for x in PAIR_LEGS:
        pen.limb([(x + 0.6, 21), (x - 0.3, 14), (x, 8)], [1.6, 1.0, 1.2])
    pen.mass(PAIR_GROUND, [0, 4, 7])
    for x in (8.5, 18.0, 27.5):
        pen.cut_leaf((x - 3.0, 4.8), (x + 3.0, 4.8), 1.1)
    for x, tall, lean in PAIR_GRASS:
        root = np.array([x, 4.0])
        tip = root + polar(90 + lean, tall * some(chance, 0.2) + 3)
        pen.limb([root, 0.5 * (root + tip) + (-0.8, 0.4), tip], [1.6, 1.2, 0.1], point=True)
    for y, long, angle in PAIR_LEAVES:
        pen.leaf((0, y), polar(angle, long * some(chance, 0.08)) + (0, y), 1.7, 0.1)
    pen.limb(PAIR_BOUGH, [1.5, 1.3, 1.1, 1.0])
    _rose(pen, *PAIR_FLOWER, 6)
    pen.limb([(0, 8), (0, 40), (0, 80)], [2.2, 1.7, 1.4])
    _tulip(pen, (0, PAIR_CROWN[0]), 90, PAIR_CROWN[1])
    pen.mirror(0)
    return pen
