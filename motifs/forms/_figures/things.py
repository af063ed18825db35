"""Things on a table and on a wall: candle, key, lantern.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part

__all__ = [
    "CANDLE", "KEY", "LANTERN",
    "draw_candle", "draw_key", "draw_lantern",
]  # fmt: skip

# fmt: off
CANDLE = Build("a candle", (63, 101), least=18, give=0.08)
FLAME_AT, HALO = (0.0, 70.0), 13.5
"""Middle of the flame, radius of the ring of light: a flame fills half of it."""

FLAME = [(0, 15), (3.4, 6), (5.2, -1), (3.6, -6.5), (0, -8.5), (-3.6, -6.5), (-5.2, -1), (-2.2, 6)]
"""It bends a little, as flames do; its point is a corner."""

BEAMS, BEAM_LONG, BEAM_SHORT, BEAM_SWEEP = (9, 13), 30.5, 23.0, 236.0
"""Rays, at small sizes and at large; how far they reach by turns; the degrees they spread over."""

WAX, WICK_AT, DISH = 6.2, 57.0, [(-25.5, 13), (-16, 9.2), (0, 8.4), (16, 9.2), (25.5, 13), (19, 5.8), (9, 3.8), (-9, 3.8), (-19, 5.8)]
"""Half the candle's width, its height, and its dish."""

DISH_FOOT, DISH_SLOTS = [(-13, 0), (-8.5, 5), (8.5, 5), (13, 0)], 6.2
"""The foot the dish stands on, and the height of the slots cut in the dish."""

DRIP = [(0, -1), (4, -1), (7.3, -5), (8.3, -12), (8.1, -17.5), (6.8, -20.5), (5.4, -17.5), (3, -8)]
"""Wax that has run down one side, from the top of the candle: one smooth edge."""

KEY = Build("a key", (41, 100), least=11, give=0.08)
BOW, FOIL = (0.0, 78.0), 9.6
FOILS = (((90, 11), (180, 11), (0, 11)), ((90, 11), (162, 11.5), (18, 11.5)))
"""Middle of the bow, the radius of its foils, and where they lie by degrees and distance: a trefoil, upright or raised."""

FOIL_HEART = ((180, 5.6), (-62, 4.8), (-24, 5.6), (0, 3.0), (24, 5.6), (62, 4.8))
COLLARS = ((64.5, 5.6), (60.6, 4.2), (27.5, 4.4))
"""Collars on the shaft: height, half-width. One pair below the bow, one above the bit."""

BITS = (
    [(0, 8.5), (14, 8.5), (14, 11.2), (19, 11.2), (19, 22.8), (14, 22.8), (14, 25.5), (0, 25.5)],
    [(0, 8.5), (19, 8.5), (19, 14.2), (14.5, 14.2), (14.5, 16.8), (19, 16.8), (19, 25.5), (0, 25.5)],
)
WARDS = [(5.6, 15), (9.8, 15), (9.8, 11.2), (12.0, 11.2), (12.0, 22.8), (9.8, 22.8), (9.8, 19), (5.6, 19)]
"""The bit, of which chance takes one, and the ward cut through it."""

LANTERN = Build("a lantern", (45, 100), least=16)
LOOP, LOOP_AT = 6.8, (0, 93)
ROOF = [(0, 86), (4.2, 84.5), (7.5, 77), (14, 70.5), (21.5, 68), (21.5, 64.5), (0, 64.5)]
"""Its right half, an ogee with eaves: what makes it a lantern and no box."""

PANE_LOW, PANE_TOP, PANE_SIDE = 18.5, 61.5, 9.6
STUB, TAPER = 37.0, [(0, 53.5), (1.6, 49), (2.9, 45), (2.3, 41.4), (1.0, 39.8), (1.0, 36)]
"""Height of the candle behind the pane, and the right half of its flame."""
# fmt: on


def draw_candle(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a candle in its dish, a ring of light about the flame, rays from it."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CANDLE.frame, strap=strap, smallest=smallest)
    flame = np.array(FLAME_AT)
    pen.ring(flame, HALO, 2.0)
    pen.mass([flame + place for place in FLAME], [0])
    pen.cut_drop(flame + (0, 5.5), flame + (0, -5.5), 2.1)
    beams = BEAMS[100 * pen.unit > 60 * strap]
    for k in range(beams):
        angle, far = 90 + BEAM_SWEEP * (k / (beams - 1) - 0.5), BEAM_SHORT if k % 2 else BEAM_LONG
        way = [
            flame + polar(angle, HALO + 0.5),
            flame + polar(angle, 0.5 * (HALO + far)),
            flame + polar(angle, far),
        ]
        pen.limb(way, [1.7, 1.25, 0.1], point=True)
    # candle, with wax run down one side
    hand = float(chance.choice([-1, 1]))
    top = WICK_AT
    pen.slab(
        [
            (-WAX, 14),
            (-WAX, top - 3),
            (1 - WAX, top - 1.5),
            (0, top - 0.4),
            (WAX - 1, top - 1.5),
            (WAX, top - 3),
            (WAX, 14),
        ]
    )
    pen.limb([(0, top - 2), (0, flame[1] - 7)], [1.0, 1.0])
    low = some(chance)
    pen.mass([(hand * x, top + y * low) for x, y in DRIP])
    pen.cut_line([(-hand * 2.2, 50), (-hand * 2.4, 38), (-hand * 2.0, 24)], [0.1, 1.3, 1.1, 0.1])
    pen.cut_line([(hand * 2.3, 40), (hand * 2.6, 32), (hand * 2.2, 23)], [0.1, 1.1, 0.1])
    # socket, dish, handle
    pen.slab([(-9, 19.5), (9, 19.5), (7.6, 13), (-7.6, 13)])
    pen.mass(DISH, [0, 4])
    pen.slab(DISH_FOOT)
    pen.slab([(-8, 14), (8, 14), (11, 7), (-11, 7)])
    pen.ring((hand * 31.2, 12.0), 7.2, 2.2)
    for k in (-1, 0, 1):
        pen.cut_leaf((k * 6.2 - 2.2, DISH_SLOTS), (k * 6.2 + 2.2, DISH_SLOTS), 1.0)
    return pen


def draw_key(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an upright key: a pierced bow of three foils, a turned shaft, a bit with wards."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, KEY.frame, strap=strap, smallest=smallest)
    c = np.array(BOW)
    four = bool(chance.uniform() < 0.5)
    foils = FOILS[four]
    for a, r in foils:
        pen.disc(c + polar(a, r), FOIL)
    pen.disc(c, 9)
    pen.limb([c - (0, 4), c - (0, 14)], [6.2, 3.2])
    for a, r in foils:
        at = c + polar(a, r + 0.6)
        if four:
            pen.cut_drop(at + polar(a + 180, 6.2), at + polar(a, 4.6), 3.6)
        else:
            pen.cut_mass([at + polar(a + turn, far) for turn, far in FOIL_HEART], [0, 3])
    pen.cut_leaf(c + (0, 0.5), c + (0, -9), 1.5)
    # shaft with collars
    pen.slab([(-2.2, 6), (-2.6, 66), (2.6, 66), (2.2, 6)])
    pen.disc((0, 4.2), 3.4)
    for y, w in COLLARS:
        pen.slab([(-w, y - 1.3), (-w - 0.8, y), (-w, y + 1.3), (w, y + 1.3), (w + 0.8, y), (w, y - 1.3)])
    hand = float(chance.choice([-1, 1]))

    pen.slab([(hand * x, y) for x, y in BITS[int(chance.integers(0, 2))]])
    pen.cut_slab([(hand * x, y) for x, y in WARDS])
    pen.cut_leaf((0, 57), (0, 44.5), 0.9)
    pen.cut_leaf((0, 43), (0, 31), 0.9)
    return pen


def draw_lantern(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a lantern with a lit candle behind its panes."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, LANTERN.frame, strap=strap, smallest=smallest)
    pen.ring(LOOP_AT, LOOP, 2.0)
    pen.slab([(0, 88), (2.8, 88), (3.2, 84), (0, 84)])
    # roof: an ogee, eaves
    pen.mass(ROOF, [0, 4, 5, 6])
    pen.slab([(0, 66), (18, 66), (15.6, 14), (0, 14)])
    pen.slab([(0, 15), (18.5, 15), (20.5, 9.5), (22.5, 4.5), (22.5, 0), (0, 0)])
    for k in range(3):
        x = 3.4 + 4.8 * k
        pen.cut_drop((0.62 * x - 0.3, 79.5 - 2.6 * k), (1.02 * x, 69.5), 1.25)
    pen.cut_leaf((2.6, 7.0), (9.6, 7.0), 1.3)
    pen.cut_leaf((12.0, 7.0), (18.4, 7.0), 1.3)
    bar = max(1.3, 1.08 * pen.units(strap))
    narrow = 45 * pen.unit < 26 * strap
    _pane(pen, 13.0 if narrow else PANE_SIDE - 1.9 * bar, some(chance, 0.14))
    if not narrow:
        middle = 0.5 * (PANE_TOP + PANE_LOW) + 5 * chance.uniform(-1, 1)
        pen.cut_slab(
            [(PANE_SIDE, PANE_LOW), (13.4, PANE_LOW), (14.2, middle - bar), (PANE_SIDE, middle - bar)]
        )
        pen.cut_slab(
            [(PANE_SIDE, middle + bar), (14.4, middle + bar), (15.0, PANE_TOP - 1), (PANE_SIDE, PANE_TOP - 1)]
        )
    pen.mirror(0)
    return pen


def _pane(pen: Pen, half: float, life: float) -> None:
    """Cut the middle pane, a candle with its flame left standing in it."""
    head = [polar(a) * (half, 7) + (0, PANE_TOP - 7) for a in np.linspace(0, 180, 17)]
    pane = Polygon(pen.mm([(-half, PANE_LOW), (half, PANE_LOW), *head]))
    high = STUB * life
    candle = Polygon(pen.mm([(-3.0, PANE_LOW - 3), (-3.0, high), (3.0, high), (3.0, PANE_LOW - 3)]))
    taper: Points = np.array(TAPER) + (0, high - STUB)
    flame = Polygon(pen.mm(np.vstack([taper, taper[:0:-1] * [-1, 1]])))
    pen.cut(largest_part(pane.difference(candle.union(flame.buffer(0.4 * pen.strap)))))
