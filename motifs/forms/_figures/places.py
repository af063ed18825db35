"""Places: a row of houses, a church, a ship under sail.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from .pen import Box, Build, Pen, polar, some

__all__ = ["CHURCH", "HOUSES", "SHIP", "draw_church", "draw_houses", "draw_ship"]

Line = list[tuple[float, float]]

# fmt: off
HOUSES = Build("a row of houses", (130, 58), least=20)
STREET, HOUSE_LEAST = 4.5, 17.0
"""Height of the street; straps in the width of a house at the least, by which they are counted: three to five."""

GABLES = ("gable", "steps", "bell", "gable", "hip")
EAVES, EAVES_SPREAD, PITCH = 33.0, 8.0, 0.72
"""Height of the eaves, how far it varies along the row, and the rise of a gable as a share of the house's width."""

WINDOW, WINDOW_TALL = 0.27, 0.72
"""Half a window's width in its bay, and its height in its storey: more wall than window, or it is a crate."""

CHURCH = Build("a church", (108, 104), least=26)
SPIRE = [(19.5, 57), (26.5, 67), (31, 91), (35.5, 67), (42.5, 57)]
"""A broach that breaks into a needle: as tall as the tower, so that the whole reaches up."""

TOWER, NAVE = [(20, 4), (20, 55), (42, 55), (42, 4)], [(40, 4), (40, 30), (88, 30), (88, 4)]
CHURCH_ROOF = [(40, 29), (40, 49), (83, 49), (91, 28), (40, 28)]
BUTTRESSES, LANCETS = (55.5, 71.5, 87.0), (48.6, 63.5, 79.5)
LANCET_RISE = 1.6
"""Rise of a lancet's head in half-widths: 1 is round, 1.73 stands on two arcs about its springing."""

TILES, TILE_ROWS = 5, 3
YEW = [(-1.2, 3), (-1.0, 10), (-6.5, 15), (-6.3, 27), (0, 41), (6.3, 27), (6.5, 15), (1.0, 10), (1.2, 3)]
YEW_AT = 101.0
"""The tree beside it, clear of the wall: it says how large the church is."""

SHIP = Build("a ship", (98, 100), least=40)
HULL = [(14, 33), (17, 31.5), (30, 29), (31, 26), (50, 23.2), (72, 25), (84, 29.5), (89, 31.5), (83, 20), (76, 9), (24, 9), (18, 20)]
"""Stern castle, waist, bow: the sheer sinks to the middle and springs to the bow."""

MASTS = ((33, 90), (61, 96))
SAILS = ((33, 34, 57, 11.6), (33, 60, 78, 8.4), (61, 34, 60, 12.6), (61, 63, 82, 8.8))
"""Where each sail hangs: mast, foot, head, half-width. Topsails are three quarters as broad as the courses."""

BELLY = 4.0
"""How far a sail bellies forward."""

JIB = [(73, 76), (98, 38.5), (91, 36.8), (83.5, 40.5), (81, 52)]
STAYS = ([(61, 94), (98.5, 38)], [(15, 32), (23, 58), (33, 87)], [(33, 88), (46, 86), (61, 91)])
"""Ropes that tie mast to mast, stern and bowsprit: what holds the sails holds the paper."""

PORTS, WAVES = 6, 5
# fmt: on


def draw_houses(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a row of gabled houses, no two alike, on one street."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, HOUSES.frame, strap=strap, smallest=smallest)
    pen.slab([(0, 0), (130, 0), (130, STREET), (0, STREET)])
    count = int(np.clip(round(130 * pen.unit / (HOUSE_LEAST * strap)), 3, 5))
    widths = chance.uniform(0.85, 1.15, count)
    edges = 3 + 124 * np.concatenate([[0], np.cumsum(widths) / widths.sum()])
    order = chance.permutation(len(GABLES))[:count]
    heights = EAVES + EAVES_SPREAD * chance.permutation(np.linspace(-1, 1, count))
    for k in range(count):
        _house(pen, chance, edges[k], edges[k + 1], float(heights[k]), GABLES[order[k]])
    return pen


def _house(pen: Pen, chance: np.random.Generator, x0: float, x1: float, eaves: float, kind: str) -> None:
    w, m = x1 - x0, 0.5 * (x0 + x1)
    x0, x1 = x0 - 0.4, x1 + 0.4
    half = 0.5 * (x1 - x0)
    pen.slab([(x0, 2), (x0, eaves), (x1, eaves), (x1, 2)])
    peak = eaves + PITCH * w
    if kind == "gable":
        pen.slab([(x0 - 1.2, eaves - 0.8), (m, peak), (x1 + 1.2, eaves - 0.8)])
    elif kind == "steps":
        n = 4
        ring = []
        for k in range(n):
            xa, y = x0 + half * k / n * 0.92, eaves + (peak - eaves) * (k + 1) / n * 0.92
            ring += [(xa, y - (peak - eaves) / n * 0.92), (xa, y)]
        pen.slab([*ring, *[(2 * m - a, b) for a, b in ring[::-1]]])
    elif kind == "bell":
        right = [
            (x1, eaves),
            (x1, eaves + 0.10 * w),
            (m + 0.30 * w, eaves + 0.22 * w),
            (m + 0.24 * w, eaves + 0.46 * w),
            (m + 0.16 * w, eaves + 0.60 * w),
            (m, peak),
        ]
        pen.mass([(x0, eaves), *right, *[(2 * m - a, b) for a, b in right[-2:0:-1]]], [0, 1])
    else:
        pen.slab(
            [
                (x0 - 1.2, eaves - 0.6),
                (x0 + 0.22 * w, eaves + 0.40 * w),
                (x1 - 0.22 * w, eaves + 0.40 * w),
                (x1 + 1.2, eaves - 0.6),
            ]
        )
    if kind in ("gable", "hip"):
        cx = m + (0.24 * w if chance.uniform() < 0.5 else -0.24 * w)
        pen.slab(
            [
                (cx - 1.9, eaves),
                (cx - 1.9, eaves + 0.62 * w),
                (cx - 2.4, eaves + 0.62 * w),
                (cx - 2.4, eaves + 0.70 * w),
                (cx + 2.4, eaves + 0.70 * w),
                (cx + 2.4, eaves + 0.62 * w),
                (cx + 1.9, eaves + 0.62 * w),
                (cx + 1.9, eaves),
            ]
        )
    # a light in the gable
    if kind in ("gable", "bell", "steps"):
        pen.cut_round((m, eaves + 0.26 * w), 0.085 * w) if kind != "gable" else pen.cut_drop(
            (m, eaves + 0.42 * w), (m, eaves + 0.10 * w), 0.10 * w
        )
    # windows by rows; the door below
    cols = 3 if w > 27 and w * pen.unit > 15 * pen.strap else 2
    rows = 2 if eaves > 28 else 1
    gap = w / (cols + 0.35)
    top = eaves - 4.2
    door = int(chance.integers(0, cols))
    arched = chance.uniform() < 0.5
    tall = (top - STREET - 1.0) / (rows + 1)
    for row in range(rows + 1):
        base = top - tall * (row + 1) + 0.26 * tall
        for c in range(cols):
            x = m + (c - (cols - 1) / 2) * gap
            hw, h = WINDOW * gap, WINDOW_TALL * tall
            if row == rows and c == door:
                _arch(pen, x, STREET, hw * 1.05, base + h - STREET, arched=True)
            elif row == rows:
                _light(pen, x, base + 0.1 * h, hw, 0.9 * h, arched)
            else:
                _light(pen, x, base, hw, h, arched)


def _light(pen: Pen, x: float, y: float, hw: float, h: float, arched: bool) -> None:
    """A window of two lights over each other where they have room, of one where not."""
    bar = 0.53 * pen.units(pen.strap)
    if h > 4 * pen.slit + 2 * bar + 3 and hw * pen.unit > 1.5 * pen.strap:
        split = y + 0.55 * h
        pen.cut_slab([(x - hw, y), (x + hw, y), (x + hw, split - bar), (x - hw, split - bar)])
        _arch(pen, x, split + bar, hw, y + h - split - bar, arched=arched)
    else:
        _arch(pen, x, y, hw, h, arched=arched)


def _arch(pen: Pen, x: float, y: float, hw: float, h: float, *, arched: bool) -> None:
    if not arched or h < 1.1 * hw:
        pen.cut_slab([(x - hw, y), (x + hw, y), (x + hw, y + h), (x - hw, y + h)])
        return
    ring = [np.array([x, y + h - hw]) + polar(a, hw) for a in np.linspace(0, 180, 13)]
    pen.cut_slab([(x - hw, y), (x + hw, y), *ring])


def _pointed(x: float, y: float, hw: float, h: float) -> list[tuple[float, float]]:
    """Return a lancet: two arcs about its springing."""
    rise = LANCET_RISE * hw
    s = np.linspace(0, 1, 8)
    right = [(x + hw * np.cos(a), y + h - rise + rise * np.sin(a) ** 0.8) for a in np.radians(90 * s)]
    left = [(2 * x - a, b) for a, b in right[-2::-1]]
    return [(x - hw, y), (x + hw, y), *right, *left]


def draw_church(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a village church: a tower with a spire, a nave with lancets, a tree beside it."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CHURCH.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))

    def p(points: Iterable[Box]) -> Line:
        return [(52 + hand * (a - 52), b) for a, b in points]

    # ground
    pen.mass(p([(0, 1.5), (20, 5.6), (52, 6.4), (90, 5.6), (108, 1.5), (84, 0), (24, 0)]), [0, 4])
    # tower and spire
    pen.slab(p(TOWER))
    pen.slab(p([(17.5, 54), (17.5, 57.5), (44.5, 57.5), (44.5, 54)]))
    pen.slab(p(SPIRE))
    pen.disc(p([(31, 90.5)])[0], 1.5)
    pen.slab(p([(30.0, 90), (30.0, 100), (32.0, 100), (32.0, 90)]))
    pen.slab(p([(27.4, 94.6), (27.4, 96.6), (34.6, 96.6), (34.6, 94.6)]))
    pen.slab(p([(18.2, 4), (18.2, 26), (21, 29), (21, 4)]))
    pen.slab(p([(43.8, 4), (43.8, 26), (41, 29), (41, 4)]))
    # nave: roof with a ridge, wall, buttresses
    pen.slab(p(NAVE))
    pen.slab(p(CHURCH_ROOF))
    for x in BUTTRESSES:
        pen.slab(p([(x - 1.4, 4), (x - 1.4, 20), (x, 24), (x + 1.4, 20), (x + 1.4, 4)]))
    # openings: belfry, clock, door, lancets, courses of the roof
    for x in (26.6, 35.4):
        pen.cut_slab(p(_pointed(x, 40, 2.5, 11)))
    pen.cut_round(p([(31, 32.5)])[0], 3.6)
    pen.cut_slab(p(_pointed(31, 6.3, 4.4, 16)))
    for x in LANCETS:
        pen.cut_slab(p(_pointed(x - 2.9, 10.5, 2.1, 13)))
        pen.cut_slab(p(_pointed(x + 2.9, 10.5, 2.1, 13)))
        pen.cut_round(p([(x, 25.6)])[0], 1.3)
    for row in range(TILE_ROWS):
        y = 33.4 + 4.9 * row
        x0, x1 = 45.0, 85.8 - 1.9 * row
        for k in range(TILES):
            a = x0 + (x1 - x0) * (k + (0.35 if row % 2 else 0.05)) / TILES
            b = a + (x1 - x0) / TILES * 0.68
            if b < x1 + 1:
                pen.cut_leaf(p([(a, y)])[0], p([(b, y)])[0], 1.15, -0.05 * hand)
    pen.cut_drop(p([(31, 82)])[0], p([(31, 63)])[0], 1.7)
    # a yew beside it
    x, tall = YEW_AT, some(chance, 0.1)
    pen.mass(p([(x + dx, y * (tall if y > 20 else 1)) for dx, y in YEW]), [0, 1, 4, 7, 8])
    for dx, y0, y1 in ((0, 14, 34), (-3.4, 16, 26), (3.4, 16, 26)):
        pen.cut_drop(p([(x + dx * 0.5, y1)])[0], p([(x + dx, y0)])[0], 1.2)
    return pen


def draw_ship(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a ship under full sail on a running sea."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, SHIP.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))

    def p(points: Iterable[Box]) -> Line:
        return [(50 + hand * (a - 50), b) for a, b in points]

    def one(x: float, y: float) -> Box:
        return p([(x, y)])[0]

    # hull: stern castle to the left, stem and bowsprit to the right
    pen.mass(p(HULL), [0, 3, 7, 9, 10])
    pen.limb(p([(80, 27), (91, 33), (100, 38.5)]), [1.7, 1.4, 1.0])
    # masts
    for x, y in MASTS:
        pen.slab(p([(x - 1.5, 20), (x - 0.9, y), (x + 0.9, y), (x + 1.5, 20)]))
    # sails: bellied forward, pierced by seams; yards
    for x, y0, y1, w in SAILS:
        top, low = w * 0.80, w
        belly = BELLY * some(chance, 0.25)
        pen.mass(
            p(
                [
                    (x - top, y1),
                    (x + top, y1),
                    (x + low + belly, 0.45 * y0 + 0.55 * y1),
                    (x + low + 1.5, y0),
                    (x + 0.2 * belly, y0 + 3.0),
                    (x - low + 0.5, y0),
                    (x - low * 0.80 + belly * 0.6, 0.5 * (y0 + y1)),
                ]
            ),
            [0, 1, 3, 5],
        )
        pen.limb(p([(x - top - 2.0, y1 + 0.4), (x + top + 2.0, y1 + 0.4)]), [0.9, 1.3, 0.9])
        for s in (-0.62, -0.24, 0.24, 0.66):
            a = one(x + s * top * 0.92, y1 - 3.4)
            b = one(x + s * low * 0.88 + 1.0, y0 + 4.8 + (0.6 if abs(s) < 0.3 else 0))
            pen.cut_leaf(a, b, 0.095 * w, 0.07 * hand)
    # headsails
    pen.mass(p(JIB), [0, 1, 3])
    for stay in STAYS:
        pen.limb(p(stay), [0.7, 0.7])
    pen.cut_leaf(one(79, 63.5), one(92.5, 41), 1.7, 0.03)
    # stays that hold the masts to each other, a pennant from each
    for x, y in MASTS:
        pen.mass(
            p([(x, y + 2.5), (x + 6, y + 3.2), (x + 13, y + 1), (x + 7, y - 0.4), (x, y - 2)]), [0, 2, 4]
        )
    # ports and a wale
    for k in range(PORTS):
        pen.cut_round(one(29 + 8.6 * k, 17.6 + 0.22 * (k - 2.5) ** 2), 1.5)
    pen.cut_line(p([(23, 24.5), (40, 21.6), (60, 20.8), (78, 23.6)]), [0.1, 0.7, 0.7, 0.1])
    # the sea: crests that curl, one behind another
    step = 104 / WAVES
    for k in range(WAVES):
        at = step * k - 2.0
        pen.mass(
            p(
                [
                    (at - 3, 0),
                    (at - 2, 6),
                    (at + 0.30 * step, 12.6),
                    (at + 0.62 * step, 13.8),
                    (at + 0.84 * step, 10.4),
                    (at + 0.72 * step, 8.4),
                    (at + 0.80 * step, 5.8),
                    (at + 1.1 * step, 4.6),
                    (at + 1.2 * step, 0),
                ]
            ),
            [0, 5, 8],
        )
        pen.cut_line(
            p([(at + 0.12 * step, 5.6), (at + 0.36 * step, 9.2), (at + 0.60 * step, 9.9)]), [0.1, 1.0, 0.1]
        )
    pen.slab(p([(0, 0), (100, 0), (100, 4), (0, 4)]))
    for k in range(WAVES):
        at = step * k + 3.0
        pen.cut_leaf(one(at, 2.4), one(at + 0.7 * step, 2.4), 0.8)
    return pen
