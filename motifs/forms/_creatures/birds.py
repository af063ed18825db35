"""Birds on a bough: one in profile, and an owl that looks at us.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares. All look
to the right.
"""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.rounds import largest_part

__all__ = ["BIRD", "OWL", "draw_bird", "draw_owl"]

# fmt: off
BIRD = Build("a bird", (105, 73), least=15)
BIRD_BODY = [
    (86.5, 65.5), (79.5, 70), (72.5, 76), (62.5, 73.5), (54, 63.5), (42, 56), (26, 47.5), (-1, 34), (8.5, 33.2),
    (2, 25.5), (27, 34.5), (40, 30), (54, 27.5), (68, 32.5), (76.5, 44), (78.5, 56), (79, 63),
]
"""Beak, brow, crown, nape, back, tail, belly, breast, throat. A full breast before a long tail: its whole charm."""

BIRD_CORNERS = (0, 7, 8, 9)
"""Points of the beak and of the forked tail; all else flows."""

BIRD_LIFT = (0, 0.7, 1, 1, 0.4, *[0] * 10, 0.6, 0.9)
"""How much of the head's lift each point of the body takes: the beak turns up with it."""

BIRD_RISE = 5.0
"""How far a lift from 0 to 1 raises the head."""

BIRD_WING = (
    ([(60.5, 59), (50, 49.5), (36, 45), (22, 41)], [0.1, 1.4, 1.4, 0.1]),
    ([(63, 55), (54, 42), (38, 39.5), (20, 37.5)], [0.1, 1.3, 1.5, 0.1]),
    ([(56.5, 60.5), (48, 54.5), (38, 50)], [0.1, 1.4, 0.1]),
)
"""Long feathers that sweep from the shoulder to the tail: they say which way it would fly."""

BIRD_BREAST = ((72.5, 53, -1.5, -6, -16, 5, 1.35), (67, 48, -2, -6, -11.5, 4, 1.2))
"""Rows of drops down the breast: where, how far each goes on (x, x growing, y), how many, half-width."""

BIRD_LEGS = (51.5, 58.5)
BIRD_BOUGH = [(0, 10), (22, 12.5), (48, 15.5), (74, 15), (100, 20)]
BIRD_LEAVES = ((0.12, 1, 13), (0.24, -1, 15), (0.40, -1, 13), (0.72, 1, 15), (0.66, -1, 14), (0.86, -1, 12), (0.90, 1, 12))
"""Where on the bough, on which side, how long. None near the feet, where they would be taken for toes."""

OWL = Build("an owl", (64, 92), least=15)
OWL_SIDE = [(0, 85), (8, 86), (17.5, 93.5), (18.5, 82), (20.5, 72), (23.5, 56), (22.5, 40), (16.5, 25), (8, 19), (0, 18)]
"""Its right half from the brow: tuft, cheek, shoulder, wing, foot. Broadest at the shoulder, as a sleeper is."""

OWL_TUFT = 3.0
"""How far tufts from 0 to 1 rise."""

OWL_EYE, EYE, PUPIL = (8.6, 73.5), 6.2, 3.1
"""Middle of the right eye, its radius, and the pupil's: great eyes close together make the owl."""

LID = ((-1.5, 0.10), (0, 0.30), (1.5, 0.72))
"""Edge of the lid across the eye, from its inner side to its outer, in radii of the eye off its middle: it looks stern."""

OWL_WING = (
    ([(18.2, 60), (19.5, 46), (15.5, 30), (11.5, 23)], [0.1, 1.2, 1.2, 0.1]),
    ([(15.0, 45), (14.6, 38), (11.2, 29.5)], [0.1, 0.9, 0.1]),
)
OWL_TAIL = (((0, 22), (0, -7.5), 3.4), ((2.0, 21), (4.6, -4.4), 2.6))
"""Feathers of the tail, the middle one and the right one: root, point, half-width."""

OWL_LEG, OWL_TOES, TOE, OWL_PERCH = 9.7, (6.6, 9.7, 12.8), 1.9, 11.0
"""Where a leg comes down, and its toes, which clasp the bough from above, clear of the tail; their radius; height of the bough there."""

OWL_ROWS, OWL_STEP, OWL_ROW, OWL_BREAST = (3, 4, 3, 2, 3, 2), 7.0, 6.3, 55.0
"""Feathers of the breast in each row, from the top; step from one to the next and from row to row; height of the first. None is near
the hem or the wing, where it would be cut off.
"""

OWL_DISC = ((-64, 0.1), (-22, 0.62), (16, 0.8), (46, 0.5), (66, 0.1))
"""Rim of the face beside an eye: degrees about it and half its white; `OWL_RIM` is its radius in radii of the eye."""

OWL_RIM, OWL_BROW = 1.42, (((0, 83.2), (0, 78.4), 1.15), ((4.3, 84.0), (3.6, 79.8), 1.05))
"""Drops of light on the brow, the middle one and the right one: point, end, half-width."""

OWL_LEAVES = ((0.15, 236), (0.20, 112), (0.83, -46), (0.91, 58))
"""Where leaves spring from the owl's bough and at what angle: none where its end would cut into one."""
# fmt: on


def draw_bird(box: Box, *, strap: float, smallest: float, seed: int, lift: float) -> Pen:
    """Return a bird in profile on a bough with leaves; `lift` is how high it holds its head."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BIRD.frame, strap=strap, smallest=smallest)
    up = BIRD_RISE * (lift - 0.5)
    body = [(x, y + share * up) for (x, y), share in zip(BIRD_BODY, BIRD_LIFT, strict=True)]
    body[0] = (body[0][0], body[0][1] + 1.6 * up)
    pen.mass(body, BIRD_CORNERS)
    pen.cut_round((73.2, 67.6 + up), 1.25)
    for feather in BIRD_WING:
        pen.cut_line(*feather)
    for x, y, dx, bow, dy, count, half in BIRD_BREAST:
        for t in np.linspace(0, 1, count):
            at = np.array([x + dx * t + bow * t * t, y + dy * t])
            pen.cut_drop(at + (-0.3, 1.5), at + (-2.6 - 1.1 * t, -3.5), half)
    for x in BIRD_LEGS:
        pen.limb([(x + 1, 31), (x - 0.6, 22), (x + 0.2, 16.5)], [1.9, 1.0, 1.2])
    bough = pen.limb(BIRD_BOUGH, [2.8, 2.5, 2.2, 1.8, 1.0], point=True)
    for share, hand, long in BIRD_LEAVES:
        at, _ = unit_at(bough, share)
        tip = at + polar(18 + hand * 44 * some(chance, 0.25), long * some(chance, 0.15))
        pen.veined([at, 0.5 * (at + tip) + (0, -0.6 * hand), tip], 2.9, stalk=2.0)
    return pen


def draw_owl(box: Box, *, strap: float, smallest: float, seed: int, tufts: float) -> Pen:
    """Return an owl on a bough, the same in the mirror but for the bough; `tufts` is how high its ears stand."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, OWL.frame, strap=strap, smallest=smallest)
    side = list(OWL_SIDE)
    side[2] = (side[2][0], side[2][1] + OWL_TUFT * (tufts - 0.5))
    pen.mass(side, [0, 2, 9])
    pen.slab([(0, 20), (0, 84.5), (8, 84.5), (14, 70), (14, 30), (0, 20)])
    _eye(pen)
    pen.cut_line([(2.6, 70), (3.2, 64.5), (0.6, 60)], [0.1, 0.8, 0.1])
    for feather in OWL_WING:
        pen.cut_line(*feather)
    for row, count in enumerate(OWL_ROWS):
        y = OWL_BREAST - OWL_ROW * row
        for x in OWL_STEP * (np.arange(count) - (count - 1) / 2):
            if x > -0.1:
                pen.cut_drop((x, y + 3), (x * 0.97, y - 2.2), 1.7 - 0.08 * row)
    for x in OWL_TOES:
        pen.leaf((OWL_LEG, 22), (0.8 * x + 0.2 * OWL_LEG, OWL_PERCH), 2.1, 0.0, 0.6)
        pen.disc((x, OWL_PERCH), TOE)
    for root, point, half in OWL_TAIL:
        pen.leaf(root, point, half, 0.0, 0.55)
        way = np.array(point) - root
        pen.cut_leaf(root + 0.62 * way, root + 0.88 * way, 0.36 * half)
    for point, end, half in OWL_BROW:
        pen.cut_drop(point, end, half)
    rim = [np.array(OWL_EYE) + polar(angle, OWL_RIM * EYE) for angle, _ in OWL_DISC]
    pen.cut_line(rim, [half for _, half in OWL_DISC])
    for x in 0.5 * (np.array(OWL_TOES[1:]) + OWL_TOES[:-1]):
        pen.cut_leaf((x, OWL_PERCH + 0.9), (x, OWL_PERCH - 3.4), 0.4)
    pen.mirror(0)
    bough = pen.limb([(-30, 8), (-12, 9.5), (8, 8.6), (30, 12)], [2.4, 2.2, 2.0, 1.1])
    long = 12 * some(chance, 0.12)
    for share, heading in OWL_LEAVES:
        at, _ = unit_at(bough, share)
        out = polar(heading + 5 * chance.uniform(-1, 1), long)
        bent = at + 0.5 * out + 0.05 * out[::-1] * (-1, 1)
        pen.veined([at, bent, at + out], 2.8, stalk=1.6, halves=True)
    return pen


def _eye(pen: Pen) -> None:
    """Cut the right eye: white about a pupil that looks out from under a heavy lid."""
    at = np.array(OWL_EYE) + (-0.6, 0)
    pupil = max(PUPIL, pen.units(1.2 * pen.strap))
    brow = [at + (x * EYE, y * EYE) for x, y in LID]
    lid = Polygon(pen.mm([*brow, at + (1.5 * EYE, 2 * EYE), at + (-1.5 * EYE, 2 * EYE)]))
    pen.cut(largest_part(pen.round(OWL_EYE, EYE).difference(pen.round(at, pupil)).difference(lid)))
