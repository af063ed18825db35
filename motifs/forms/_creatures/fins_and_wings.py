"""A butterfly with its wings spread, and a fish that rests on water weeds.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar, unit_at
from canivet.motifs.shapes.openings import Points

__all__ = ["BUTTERFLY", "FISH", "draw_butterfly", "draw_fish"]

# fmt: off
BUTTERFLY = Build("a butterfly", (92, 74), least=16)
FORE_WING = [(1, 44), (6, 54), (18, 66), (32, 73.5), (41.5, 74.5), (45.5, 69.5), (42.5, 57), (35, 46), (22, 40), (1, 38)]
"""From the shoulder along the leading edge to the tip and back: the tip high and forward, or the insect sags."""

HIND_WING = [(1, 41), (14, 40.5), (28, 41), (35, 34), (35.5, 24), (29, 14), (23, 9), (17, 12), (9, 22), (1, 34)]
TAILED_WING = [(1, 41), (14, 40.5), (28, 41), (35, 34), (35, 24.5), (30.5, 17), (29.5, 9), (27, 2), (24.4, 7.5), (22.6, 13), (15, 14), (8, 23), (1, 34)]
"""Hind wings, round and with a tail; chance says which."""

FORE_CELLS = ((45, 7, 44, 2.4), (32.5, 7, 40, 2.5), (56, 8, 38, 1.7), (18, 8, 34, 2.2))
HIND_CELLS = ((-20, 7, 26.5, 2.5), (0, 7, 25.5, 2.3), (-40, 7, 26, 2.4), (-60, 8, 21, 1.9))
"""White between veins: degrees, from and to what distance of the shoulder, half-width. They fan out as veins do."""

FORE_SPOTS = ((45, 50), (32.5, 46.5), (18, 39.5), (56, 43))
HIND_SPOTS = ((-20, 31.5), (0, 30.5), (-40, 31))
SPOT = 1.35
"""Spots along the margin, one before each cell: degrees, distance; their radius."""

SHOULDERS = ((2.0, 44.0), (2.0, 38.5))
BUTTERFLY_BODY = [(0, 57.5), (2.4, 55), (2.0, 51.5), (3.0, 46), (2.4, 40), (2.6, 32), (0, 20)]
FEELER = [(0.4, 56), (4, 66), (10, 73), (13, 74.5)]

FISH = Build("a fish", (110, 71), least=16)
FISH_BODY = [
    (101, 42), (93, 49), (80, 54.5), (64, 56.5), (46, 53), (30, 46.5), (24, 44.5), (13, 53.5), (4, 57), (9, 46), (10.5, 41), (7, 34),
    (2.5, 26), (13, 30), (24, 38.5), (30, 36.5), (46, 30), (66, 27.5), (84, 31), (95, 37),
]
"""Mouth, back, tail, belly: deepest before the middle, thin before the tail, so that it seems to swim."""

BACK_FIN = [(78, 53), (68, 63.5), (54, 67.5), (47, 64.5), (42, 50)]
BELLY_FIN = [(64, 30), (58, 20.5), (49, 18), (50, 32)]
FISH_BEND = 6.0
"""How far the tail swings up or down as `bend` goes from 0 to 1; its spine is a parabola from the gills."""

SCALES, SCALE_STEP, SCALE = 7, 7.2, 2.35
"""Columns of scales, the step between them, half a scale's height at the gills; they shrink to the tail."""

WEEDS = (
    ([(74, 4), (77, 13), (72, 21), (74, 30)], True), ([(20, 4), (16, 14), (21, 24), (18, 34)], True),
    ([(81, 4), (87, 13), (85, 21), (90, 27)], False), ([(27, 4), (32, 12), (29, 19), (34, 27)], False),
    ([(97, 4), (101, 11), (98, 18), (102, 25)], False),
)
"""Weeds, and whether they reach up to the fish: one to the belly and one to the tail carry it."""
# fmt: on


def draw_butterfly(box: Box, *, strap: float, smallest: float, seed: int, spread: float) -> Pen:
    """Return a butterfly from above, the same in the mirror; `spread` is how far its fore wings are raised."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BUTTERFLY.frame, strap=strap, smallest=smallest)
    tailed = chance.uniform() < 0.5
    turn = 7 * (spread - 0.5) + 2 * chance.uniform(-1, 1)
    shoulder = np.array(SHOULDERS[0])
    pen.mass(_turned(FORE_WING, shoulder, turn), [0, 9])
    pen.mass(TAILED_WING if tailed else HIND_WING, [0, 7, 12] if tailed else [0, 9])
    pen.limb(FEELER, [0.8, 0.7, 0.9])
    for middle, tilt, cells, spots in (
        (shoulder, turn, FORE_CELLS, FORE_SPOTS),
        (np.array(SHOULDERS[1]), 0.0, HIND_CELLS, HIND_SPOTS),
    ):
        for angle, near, far, half in cells:
            pen.cut_drop(middle + polar(angle + tilt, near), middle + polar(angle + tilt, far), half)
        for angle, far in spots:
            pen.cut_round(middle + polar(angle + tilt, far), SPOT)
    pen.mass(BUTTERFLY_BODY, [0, 6])
    pen.mirror(0)
    pen.slab([(-1.5, 24), (-1.5, 56), (1.5, 56), (1.5, 24)])
    return pen


def _turned(points: ArrayLike, about: Points, angle: float) -> Points:
    """Return points turned about one of them, the more the farther out, so that the root stays."""
    out = np.asarray(points, dtype=float) - about
    far = np.hypot(*out.T)
    turn = np.radians(angle) * np.clip(far / 25, 0, 1)
    c, s = np.cos(turn), np.sin(turn)
    moved: Points = about + np.column_stack([c * out[:, 0] - s * out[:, 1], s * out[:, 0] + c * out[:, 1]])
    return moved


def draw_fish(box: Box, *, strap: float, smallest: float, seed: int, bend: float) -> Pen:
    """Return a fish that rests on weeds; `bend` is how far its tail swings up."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FISH.frame, strap=strap, smallest=smallest)
    swing = FISH_BEND * (bend - 0.5) + chance.uniform(-1, 1)

    def bent(points: ArrayLike) -> Points:
        """Bend the spine behind the gills."""
        xy = np.array(points, dtype=float).reshape(-1, 2)
        xy[:, 1] += swing * (np.clip(80 - xy[:, 0], 0, None) / 78) ** 2
        return xy

    pen.mass(bent(FISH_BODY), (0, 8, 12))
    pen.mass(bent(BACK_FIN), (0, 3, 4))
    pen.mass(bent(BELLY_FIN), (0, 2, 3))
    pen.cut_round((92, 44.2), 1.7)
    pen.cut_line([(83.5, 50), (80.5, 43), (83, 34.5)], [0.1, 1.3, 0.1])
    for middle in _scales():
        at, half = middle[:2], middle[2]
        arc = [(-0.6, 1), (1.0, 0.55), (1.5, 0), (1.0, -0.55), (-0.6, -1)]
        pen.cut_line(bent([at + (a, b * half) for a, b in arc]), [0.1, 0.95, 1.15, 0.95, 0.1])
    pen.cut_line(bent([(23, 43.0), (15, 46.5), (8.5, 52.6)]), [0.1, 1.2, 0.1])
    pen.cut_line(bent([(23, 40.0), (14.5, 36.5), (7.5, 30.2)]), [0.1, 1.2, 0.1])
    for k in range(4):
        start, end = bent([(70 - 7.0 * k, 56.0 - 0.4 * k), (64.5 - 5.5 * k, 61.6 + 0.9 * k)])
        pen.cut_leaf(start, end, 0.95)
    for k in range(2):
        start, end = bent([(59 - 4.5 * k, 29.5), (55.8 - 3.4 * k, 22.4)])
        pen.cut_leaf(start, end, 0.9)
    pen.mass([(0, 2.5), (26, 6.5), (60, 5.2), (88, 6.6), (110, 2.5), (80, 0), (30, 0)], [0, 4])
    for line, carries in WEEDS:
        _weed(pen, chance, bent(line) if carries else np.array(line), carries)
    return pen


def _scales() -> list[Points]:
    """Return the middle of each scale and half its height, by turns in each other's gaps."""
    scales = []
    for column in range(SCALES):
        rows = (3 if column % 2 == 0 else 2) - (column > 4)
        for k in np.arange(rows) - (rows - 1) / 2:
            x, y = 75.5 - SCALE_STEP * column, 42.4 - 0.1 * column + k * (6.6 - 0.35 * column)
            scales.append(np.array([x, y, SCALE - 0.13 * column]))
    return scales


def _weed(pen: Pen, chance: np.random.Generator, line: Points, carries: bool) -> None:
    """Draw a weed with a leaf to either side, up to the fish or to a point."""
    stem = pen.limb(line, [1.7, 1.4, 1.2, 1.1 if carries else 0.3], point=not carries)
    for share, side in ((0.42, 1), (0.66, -1)):
        at, _ = unit_at(stem, share)
        pen.leaf(at, at + polar(90 - side * 52, 7.0 * some(chance, 0.15)), 1.25, -0.12 * side)
