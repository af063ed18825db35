"""Beasts on their ground: a sitting hare, a standing deer, a cat that sits and looks at us.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares. All look to the
right.
"""

from __future__ import annotations

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar

__all__ = ["CAT", "DEER", "HARE", "draw_cat", "draw_deer", "draw_ground", "draw_hare"]

# fmt: off
HARE = Build("a hare", (79, 96), least=17)
HARE_BODY = [
    (73.5, 59.6), (72, 63.5), (66.0, 69.0), (57.5, 71.0), (50, 68), (45, 59), (35, 53), (24, 45), (15.5, 32), (14, 18), (18, 8.5),
    (26, 6), (42, 6), (50, 8), (53.5, 16), (56.5, 28), (60, 38), (61.5, 47), (60.5, 53.5), (67.5, 55.6),
]
"""Muzzle, brow, nape, back, rump, belly, breast, chin. The back is one long bow from ear to tail."""

HARE_EARS: tuple[tuple[list[Box], list[float]], ...] = (([(55, 68), (47.5, 81), (45, 95)], [2.3, 4.1, 0.6]), ([(60.5, 69), (59, 82), (61, 94)], [2.0, 3.7, 0.6]))
EAR_CUTS = (((53, 72.5), (46.3, 88), 1.7, 0.05), ((59.8, 73.5), (60.2, 87.5), 1.5, 0.04))
"""Ears and the white in them: a quarter of the whole height, and it is no rabbit."""

EAR_SWEEP = 10.0
"""How far back ears at 0 are swept from where they stand at 1, at the tip."""

HARE_LEGS: tuple[tuple[list[Box], list[float]], ...] = (([(55, 34), (56, 20), (55.5, 10), (58.5, 6.6)], [5.2, 3.0, 2.0, 1.9]), ([(58, 38), (62, 22), (62.5, 11), (66.5, 6.6)], [4.4, 2.6, 1.9, 1.8]))
HARE_TAIL = [(15, 24), (10, 26.5), (6.5, 22), (9, 17.5), (15, 16)]
HARE_CUTS = (
    ([(44, 15), (46.5, 26), (39, 35.5), (28, 34), (22.5, 24.5), (25.5, 16)], [0.1, 1.4, 1.7, 1.6, 1.2, 0.1]),
    ([(55.5, 60), (49, 55.5), (40, 48), (30, 42)], [0.1, 1.4, 1.5, 0.1]),
    ([(29, 14.5), (33, 19), (37, 24)], [0.1, 1.3, 0.1]),
)
"""The haunch, a bow that shows its spring; a line along the back; a tuck in the haunch."""

DEER = Build("a deer", (86, 108), least=19)
DEER_BODY = [
    (14, 57), (20, 61.5), (32, 60.5), (44, 59.5), (52, 63), (57.5, 72), (61, 80), (66.5, 83.5), (73.5, 80.5), (82, 74.5), (83.5, 71.5),
    (80.5, 69.6), (72.5, 71.5), (69, 69.5), (66.5, 59), (63, 46), (56, 40), (44, 40.5), (32, 42), (24, 39.5), (15, 44), (12.5, 51),
]
"""Rump, back, neck, brow, muzzle, throat, breast, belly. The neck is as long as half the back: a proud head."""

DEER_LEGS = (
    ([(18.5, 50), (16.5, 36), (22, 25.5), (19, 14), (19.5, 5.5)], [8.0, 5.2, 2.2, 1.4, 1.7]),
    ([(24, 47), (25.5, 35), (31.5, 25.5), (29.5, 14), (30.5, 5.5)], [7.0, 4.6, 2.0, 1.4, 1.7]),
    ([(57, 48), (54.5, 34), (53.5, 22), (52, 13), (52.5, 5.5)], [6.5, 3.4, 2.0, 1.4, 1.7]),
    ([(61, 48), (61.5, 34), (63.5, 22), (62.5, 13), (63.5, 5.5)], [5.5, 3.2, 2.0, 1.4, 1.7]),
)
"""Hind legs bent at the hock, forelegs straight: heavy above, fine below, a little stouter at the hoof."""

ANTLER = (
    ([(65.5, 82.5), (60, 90), (58, 99), (64, 108)], [1.7, 1.5, 1.3, 0.5]),
    ([(61.3, 87.5), (66, 91.5), (70.5, 92.5)], [1.4, 1.1, 0.4]),
    ([(58.6, 94.5), (53, 99), (50.5, 105)], [1.4, 1.1, 0.4]),
    ([(58.8, 101), (63, 101.5), (67, 100.5)], [1.3, 1.0, 0.4]),
)
"""The beam and its tines, each a strap at least and a point."""

DEER_CUTS = (
    ([(64.5, 76.5), (61.5, 66), (58, 57), (51, 52)], [0.1, 1.4, 1.8, 0.1]),
    ([(58.2, 70), (54.5, 62.5), (47, 56.2)], [0.1, 1.3, 0.1]),
    ([(24, 47), (21, 42.5), (20, 36.5)], [0.1, 1.5, 0.1]),
    ([(60.5, 53), (59, 45), (58, 38)], [0.1, 1.5, 0.1]),
)
"""Neck, mane, haunch and shoulder: lines that follow the muscle."""

DAPPLES = ((46, 55.6, -7.2, 4), (45, 48.4, -6.6, 3))
"""Rows of drops along the flank: where, step, how many."""

CAT = Build("a cat", (60, 93), least=16)
CAT_BODY = [
    (41, 68), (33, 64), (25, 54), (17.5, 40), (13.5, 24), (15.5, 10), (22, 5.5), (40, 5), (50, 6), (52, 12), (52.5, 26), (53.5, 40),
    (54, 54), (53, 66),
]
"""Nape, back, haunch, paws, breast: a pear that leans on its straight forelegs."""

CAT_HEAD = [(47, 84), (40.5, 84), (33.5, 93.5), (32.3, 82), (31.5, 74.5), (35.5, 67.5), (46.5, 64), (57.5, 67.5), (61.5, 74.5), (60.7, 82), (59.5, 93.5), (52.5, 84)]
CAT_FACE = 46.5
"""The axis of the face, which is the same in the mirror."""

CAT_TAIL: list[Box] = [(20, 8), (8, 9), (3.4, 17), (5.5, 27), (10.5, 33)]
TAIL_CURL = (0, 0, 0, 4.0, 9.0)
"""The tail behind it, and how far each point of it rises as `curl` goes from 0 to 1."""

CAT_CUTS = (
    ([(39.5, 9.5), (42.5, 20), (36, 31), (26, 29), (21.5, 19), (25, 11)], [0.1, 1.3, 1.7, 1.6, 1.1, 0.1]),
    ([(47.5, 40), (46.5, 24), (46, 9.5)], [0.1, 0.9, 0.9]),
)
"""The haunch, and the line between the forelegs."""

RUFF = ((46.5, 58.5, 3), (45.6, 52, 2), (46, 46, 1))
"""Rows of drops on the breast: where, how many."""

TUFTS, BLADES, BLADE, FAN = (0.07, 0.93), 3, 13.0, 26.0
"""Where on the ground its tufts stand, blades of each, how tall, degrees between them. At the ends: the feet stay clear."""
# fmt: on


def draw_ground(pen: Pen, chance: np.random.Generator, width: float, high: float) -> None:
    """Draw a low rise from side to side with tufts, on which feet stand at `high`."""
    crest = [(0, 2.6), (width * 0.25, high - 0.4), (width * 0.6, high - 0.2), (width, 3.0)]
    pen.mass([*crest, (width * 0.8, 0.6), (width * 0.4, 0.0), (width * 0.15, 0.8)], [0, 3])
    for share in TUFTS:
        for k in np.arange(BLADES) - (BLADES - 1) / 2:
            root = np.array([share * width, 2.4])
            lean, tall = 90 - FAN * k * some(chance, 0.3) - 4, (BLADE - 3 * abs(k)) * some(chance, 0.2)
            tip = root + polar(lean, tall)
            pen.limb([root, root + 0.55 * (tip - root) + (0, 1.0), tip], [1.5, 1.1, 0.3], point=True)


def draw_hare(box: Box, *, strap: float, smallest: float, seed: int, ears: float) -> Pen:
    """Return a sitting hare; `ears` is how far they stand up."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, HARE.frame, strap=strap, smallest=smallest)
    back = EAR_SWEEP * (0.8 - ears) + 2 * chance.uniform(-1, 1)

    def swept(point: Box) -> Box:
        share = (point[1] - 68) / 27
        return point[0] - back * share, point[1] - 0.1 * abs(back) * share

    pen.mass(HARE_BODY)
    for line, halves in HARE_EARS:
        pen.limb([swept(point) for point in line], halves, point=True)
    for line, halves in HARE_LEGS:
        pen.limb(line, halves)
    pen.limb([(24, 8.5), (36, 6.8), (47, 6.8)], [4, 2.6, 2.2])
    pen.mass(HARE_TAIL)
    pen.cut_leaf((61.6, 64), (66.4, 64), 1.35, 0.14)
    for start, end, half, bend in EAR_CUTS:
        pen.cut_leaf(swept(start), swept(end), half, bend)
    for cut in HARE_CUTS:
        pen.cut_line(*cut)
    for t in np.linspace(0, 1, 5):
        at = np.array([58 - 10.5 * t, 53.5 - 9.5 * t])
        pen.cut_drop(at + (0.6, 1.0), at + (-1.3, -4.6), 1.25)
    for k in range(3):
        at = np.array([57 - 5.8 * k, 44.3 - 4.4 * k])
        pen.cut_drop(at + (0.4, 0.8), at + (-0.9, -4.6), 1.2)
    draw_ground(pen, chance, 78, 6)
    return pen


def draw_deer(box: Box, *, strap: float, smallest: float, seed: int, antlers: float) -> Pen:
    """Return a standing deer; `antlers` is how much of their full height they have."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, DEER.frame, strap=strap, smallest=smallest)
    pen.mass(DEER_BODY)
    pen.leaf((14.5, 57), (7, 50), 2.6, -0.15)
    pen.leaf((63, 81), (51.5, 84), 2.8, -0.12)
    for line, halves in DEER_LEGS:
        pen.limb(line, halves)
    if antlers > 0:
        grown, foot = 0.45 + 0.55 * antlers, np.array(ANTLER[0][0][0])
        for line, halves in ANTLER:
            pen.limb(
                foot + grown * (np.array(line) - foot) * (1 + 0.04 * chance.uniform(-1, 1)),
                halves,
                point=True,
            )
    pen.cut_leaf((69.6, 77.6), (73.4, 76.4), 1.1)
    for cut in DEER_CUTS:
        pen.cut_line(*cut)
    for x, y, step, count in DAPPLES:
        for k in range(count):
            at = np.array([x + step * k, y + 0.5 * k])
            pen.cut_drop(at + (1.8, 0.8), at + (-2.4, -1.0), 1.35)
    draw_ground(pen, chance, 86, 6)
    return pen


def draw_cat(box: Box, *, strap: float, smallest: float, seed: int, curl: float) -> Pen:
    """Return a sitting cat; `curl` is how far its tail rises."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CAT.frame, strap=strap, smallest=smallest)
    pen.mass(CAT_BODY)
    pen.mass(CAT_HEAD, [2, 10])
    tail = [
        (x, y + rise * (curl - 0.5) * some(chance, 0.2))
        for (x, y), rise in zip(CAT_TAIL, TAIL_CURL, strict=True)
    ]
    pen.limb(tail, [3.4, 3.0, 2.7, 2.4, 1.8])
    for side in (-1, 1):
        pen.cut_leaf((CAT_FACE + side * 3.6, 76.2), (CAT_FACE + side * 10.4, 78), 1.5, 0.10 * side)
    pen.cut_leaf((CAT_FACE - 2.3, 71.8), (CAT_FACE + 2.3, 71.8), 1.0, -0.18)
    for side in (-1, 1):
        pen.cut_mass(
            [(CAT_FACE + side * a, b) for a, b in ((12.0, 89), (11.8, 83.2), (8.4, 84.3))], [0, 1, 2]
        )
    for cut in CAT_CUTS:
        pen.cut_line(*cut)
    for x, y, count in RUFF:
        for dx in 5.0 * (np.arange(count) - (count - 1) / 2):
            pen.cut_drop((x + dx, y + 2.2), (x + 0.8 * dx, y - 2.2), 1.2)
    for t in np.linspace(0, 1, 4):
        at = np.array([36.5 - 11.5 * t, 58.5 - 17 * t])
        pen.cut_line([at, at + (4.0, -3.6), at + (5.6, -8)], [0.1, 1.2, 0.1])
    draw_ground(pen, chance, 64, 5.6)
    return pen
