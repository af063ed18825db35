"""Places: a row of houses, a church, a ship under sail.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

import numpy as np

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, polar
from canivet.motifs.shapes.arches import pointed_head

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

WALL_OVER, GABLE_STEPS, BROAD_HOUSE = 0.4, 4, 27.0
"""How far walls overlap, steps of a stepped gable, and the width from which a house has three windows abreast."""

BELL = ((0.30, 0.22), (0.24, 0.46), (0.16, 0.60))
"""Right edge of a bell gable past its shoulder, from its middle and its eaves: shares of the house's width."""

CHIMNEY, CHIMNEY_ASIDE = (0.62, 0.70), 0.24
"""Where a chimney's cap begins and ends above the eaves, and how far off the middle it stands: shares of the width."""

CHURCH = Build("a church", (108, 104), least=26)
SPIRE = [(19.5, 57), (26.5, 67), (31, 91), (35.5, 67), (42.5, 57)]
"""A broach that breaks into a needle: as tall as the tower, so that the whole reaches up."""

CHURCHYARD = [(0, 1.5), (20, 5.6), (52, 6.4), (90, 5.6), (108, 1.5), (84, 0), (24, 0)]
TOWER_PARTS = (
    [(17.5, 54), (17.5, 57.5), (44.5, 57.5), (44.5, 54)],
    [(30.0, 90), (30.0, 100), (32.0, 100), (32.0, 90)],
    [(27.4, 94.6), (27.4, 96.6), (34.6, 96.6), (34.6, 94.6)],
    [(18.2, 4), (18.2, 26), (21, 29), (21, 4)],
    [(43.8, 4), (43.8, 26), (41, 29), (41, 4)],
)
"""The cornice under the spire, the cross on it, and the tower's two buttresses."""

TOWER, NAVE = [(20, 4), (20, 55), (42, 55), (42, 4)], [(40, 4), (40, 30), (88, 30), (88, 4)]
CHURCH_ROOF = [(40, 29), (40, 49), (83, 49), (91, 28), (40, 28)]
BUTTRESSES, LANCETS = (55.5, 71.5, 87.0), (48.6, 63.5, 79.5)
LANCET_RISE = 1.6
"""Rise of a lancet's head in half-widths: 1 is round; at 1.73 either arc is struck from the other's foot."""

TILES, TILE_ROWS = 5, 3
YEW = [(-1.2, 3), (-1.0, 10), (-6.5, 15), (-6.3, 27), (0, 41), (6.3, 27), (6.5, 15), (1.0, 10), (1.2, 3)]
YEW_AT = 101.0
"""The tree beside it, clear of the wall: it says how large the church is."""

SHIP = Build("a ship", (98, 100), least=40)
HULL = [(14, 33), (17, 31.5), (30, 29), (31, 26), (50, 23.2), (72, 25), (84, 29.5), (89, 31.5), (83, 20), (76, 9), (24, 9), (18, 20)]
"""Stern castle, waist, bow: the sheer sinks to the middle and springs to the bow."""

BOWSPRIT, WALE = [(80, 27), (91, 33), (100, 38.5)], [(23, 24.5), (40, 21.6), (60, 20.8), (78, 23.6)]
MASTS = ((33, 90), (61, 96))
SAILS = ((33, 34, 57, 11.6), (33, 60, 78, 8.4), (61, 34, 60, 12.6), (61, 63, 82, 8.8))
"""Where each sail hangs: mast, foot, head, half-width. Topsails are three quarters as broad as the courses."""

BELLY, SEAMS = 4.0, (-0.62, -0.24, 0.24, 0.66)
"""How far a sail bellies forward, and where across it its seams run."""

JIB = [(73, 76), (98, 38.5), (91, 36.8), (83.5, 40.5), (81, 52)]
STAYS = ([(61, 94), (98.5, 38)], [(15, 32), (23, 58), (33, 87)], [(33, 88), (46, 86), (61, 91)])
"""Ropes that tie mast to mast, stern and bowsprit: what holds the sails holds the paper."""

PENNANT = ((0, 2.5), (6, 3.2), (13, 1), (7, -0.4), (0, -2))
"""From the masthead, streaming forward as the wind blows."""

PORTS, WAVES = 6, 5
CREST = ((0.30, 12.6), (0.62, 13.8), (0.84, 10.4), (0.72, 8.4), (0.80, 5.8), (1.1, 4.6))
"""A wave from its back over its lip to the trough before it: across as a share of the step between waves, and height."""
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
    """Draw one house of the row, between its neighbours' walls, which it overlaps a little."""
    w, m = x1 - x0, 0.5 * (x0 + x1)
    x0, x1 = x0 - WALL_OVER, x1 + WALL_OVER
    pen.slab([(x0, 2), (x0, eaves), (x1, eaves), (x1, 2)])
    _gable(pen, kind, (x0, x1), (m, w), eaves)
    if kind in ("gable", "hip"):
        aside = CHIMNEY_ASIDE * w
        x = m + (aside if chance.uniform() < 0.5 else -aside)
        low, high = eaves + CHIMNEY[0] * w, eaves + CHIMNEY[1] * w
        right = [(1.9, eaves), (1.9, low), (2.4, low), (2.4, high)]
        pen.slab([*[(x - a, y) for a, y in right], *[(x + a, y) for a, y in right[::-1]]])
    if kind == "gable":
        pen.cut_drop((m, eaves + 0.42 * w), (m, eaves + 0.10 * w), 0.10 * w)
    elif kind in ("bell", "steps"):
        pen.cut_round((m, eaves + 0.26 * w), 0.085 * w)
    _windows(pen, chance, m, w, eaves)


def _gable(pen: Pen, kind: str, walls: Box, middle: Box, eaves: float) -> None:
    """Draw what stands on the walls: a plain or stepped gable, a bell gable or a hipped roof."""
    (x0, x1), (m, w) = walls, middle
    peak = eaves + PITCH * w
    if kind == "gable":
        pen.slab([(x0 - 1.2, eaves - 0.8), (m, peak), (x1 + 1.2, eaves - 0.8)])
    elif kind == "steps":
        left = _steps(x0, 0.5 * (x1 - x0), eaves, peak - eaves)
        pen.slab([*left, *[(2 * m - a, b) for a, b in left[::-1]]])
    elif kind == "bell":
        right = [
            (x1, eaves),
            (x1, eaves + 0.10 * w),
            *[(m + a * w, eaves + b * w) for a, b in BELL],
            (m, peak),
        ]
        pen.mass([(x0, eaves), *right, *[(2 * m - a, b) for a, b in right[-2:0:-1]]], [0, 1])
    else:
        ridge = eaves + 0.40 * w
        foot = eaves - 0.6
        pen.slab([(x0 - 1.2, foot), (x0 + 0.22 * w, ridge), (x1 - 0.22 * w, ridge), (x1 + 1.2, foot)])


def _steps(x0: float, half: float, eaves: float, high: float) -> Line:
    """Return the left edge of a stepped gable: its top step is as broad as it leaves off rising."""
    ring: Line = []
    for k in range(GABLE_STEPS):
        x, y = x0 + half * k / GABLE_STEPS * 0.92, eaves + high * (k + 1) / GABLE_STEPS * 0.92
        ring += [(x, y - high / GABLE_STEPS * 0.92), (x, y)]
    return ring


def _windows(pen: Pen, chance: np.random.Generator, m: float, w: float, eaves: float) -> None:
    """Cut windows in rows and a door among the lowest, all round-headed or all square."""
    cols = 3 if w > BROAD_HOUSE and w * pen.unit > 15 * pen.strap else 2
    rows = 2 if eaves > 28 else 1
    gap = w / (cols + 0.35)
    top = eaves - 4.2
    door, arched = int(chance.integers(0, cols)), chance.uniform() < 0.5
    tall = (top - STREET - 1.0) / (rows + 1)
    hw, h = WINDOW * gap, WINDOW_TALL * tall
    for row in range(rows + 1):
        base = top - tall * (row + 1) + 0.26 * tall
        for c in range(cols):
            x = m + (c - (cols - 1) / 2) * gap
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
    """Return a lancet: two equal arcs about places on its springing line that meet in a point."""
    rise = LANCET_RISE * hw
    # an arc of radius hw + away about a middle so far on the other side is as high as the rise over the axis
    away = (rise**2 - hw**2) / (2 * hw)
    right = pointed_head(hw, hw + away, 7) + (x, y + h - rise)
    left = [(2 * x - a, b) for a, b in right[-2::-1]]
    return [(x - hw, y), (x + hw, y), *right, *left]


def draw_church(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a village church: a tower with a spire, a nave with lancets, a tree beside it."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CHURCH.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    pen.mass(CHURCHYARD, [0, 4])
    for part in (TOWER, *TOWER_PARTS[:1], SPIRE):
        pen.slab(part)
    pen.disc((31, 90.5), 1.5)
    for part in (*TOWER_PARTS[1:], NAVE, CHURCH_ROOF):
        pen.slab(part)
    for x in BUTTRESSES:
        pen.slab([(x - 1.4, 4), (x - 1.4, 20), (x, 24), (x + 1.4, 20), (x + 1.4, 4)])
    _church_lights(pen)
    _tiles(pen)
    pen.cut_drop((31, 82), (31, 63), 1.7)
    _yew(pen, some(chance, 0.1))
    if hand < 0:
        pen.flip(52)
    return pen


def _church_lights(pen: Pen) -> None:
    """Cut the belfry's openings, the clock, the door, and pairs of lancets with a round over each."""
    for x in (26.6, 35.4):
        pen.cut_slab(_pointed(x, 40, 2.5, 11))
    pen.cut_round((31, 32.5), 3.6)
    pen.cut_slab(_pointed(31, 6.3, 4.4, 16))
    for x in LANCETS:
        pen.cut_slab(_pointed(x - 2.9, 10.5, 2.1, 13))
        pen.cut_slab(_pointed(x + 2.9, 10.5, 2.1, 13))
        pen.cut_round((x, 25.6), 1.3)


def _tiles(pen: Pen) -> None:
    """Cut the courses of the nave's roof, every other one set off by a third of a tile."""
    for row in range(TILE_ROWS):
        y = 33.4 + 4.9 * row
        x0, x1 = 45.0, 85.8 - 1.9 * row
        for k in range(TILES):
            a = x0 + (x1 - x0) * (k + (0.35 if row % 2 else 0.05)) / TILES
            b = a + (x1 - x0) / TILES * 0.68
            if b < x1 + 1:
                pen.cut_leaf((a, y), (b, y), 1.15, -0.05)


def _yew(pen: Pen, tall: float) -> None:
    """Draw the tree beside the church."""
    x = YEW_AT
    pen.mass([(x + dx, y * (tall if y > 20 else 1)) for dx, y in YEW], [0, 1, 4, 7, 8])
    for dx, y0, y1 in ((0, 14, 34), (-3.4, 16, 26), (3.4, 16, 26)):
        pen.cut_drop((x + dx * 0.5, y1), (x + dx, y0), 1.2)


def draw_ship(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a ship under full sail on a running sea."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, SHIP.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    pen.mass(HULL, [0, 3, 7, 9, 10])
    pen.limb(BOWSPRIT, [1.7, 1.4, 1.0])
    for x, y in MASTS:
        pen.slab([(x - 1.5, 20), (x - 0.9, y), (x + 0.9, y), (x + 1.5, 20)])
    for sail in SAILS:
        _sail(pen, *sail, belly=BELLY * some(chance, 0.25))
    _rig(pen)
    for k in range(PORTS):
        pen.cut_round((29 + 8.6 * k, 17.6 + 0.22 * (k - 2.5) ** 2), 1.5)
    pen.cut_line(WALE, [0.1, 0.7, 0.7, 0.1])
    _sea(pen)
    if hand < 0:
        pen.flip(50)
    return pen


def _sail(pen: Pen, x: float, foot: float, head: float, low: float, *, belly: float) -> None:
    """Draw a sail that bellies forward, hung from its yard, and cut its seams."""
    top = low * 0.80
    ring = [
        (x - top, head),
        (x + top, head),
        (x + low + belly, 0.45 * foot + 0.55 * head),
        (x + low + 1.5, foot),
        (x + 0.2 * belly, foot + 3.0),
        (x - low + 0.5, foot),
        (x - low * 0.80 + belly * 0.6, 0.5 * (foot + head)),
    ]
    pen.mass(ring, [0, 1, 3, 5])
    pen.limb([(x - top - 2.0, head + 0.4), (x + top + 2.0, head + 0.4)], [0.9, 1.3, 0.9])
    for s in SEAMS:
        a = (x + s * top * 0.92, head - 3.4)
        b = (x + s * low * 0.88 + 1.0, foot + 4.8 + (0.6 if abs(s) < 0.3 else 0))
        pen.cut_leaf(a, b, 0.095 * low, 0.07)


def _rig(pen: Pen) -> None:
    """Draw the jib, the stays that hold the masts to each other, and a pennant from each mast."""
    pen.mass(JIB, [0, 1, 3])
    for stay in STAYS:
        pen.limb(stay, [0.7, 0.7])
    pen.cut_leaf((79, 63.5), (92.5, 41), 1.7, 0.03)
    for x, y in MASTS:
        pen.mass([(x + dx, y + dy) for dx, dy in PENNANT], [0, 2, 4])


def _sea(pen: Pen) -> None:
    """Draw crests that curl, one behind another, a white under each, and ripples along their foot."""
    step = 104 / WAVES
    for k in range(WAVES):
        at = step * k - 2.0
        crest = [(at - 3, 0), (at - 2, 6), *[(at + a * step, y) for a, y in CREST], (at + 1.2 * step, 0)]
        pen.mass(crest, [0, 5, 8])
        white = [(at + 0.12 * step, 5.6), (at + 0.36 * step, 9.2), (at + 0.60 * step, 9.9)]
        pen.cut_line(white, [0.1, 1.0, 0.1])
    pen.slab([(0, 0), (100, 0), (100, 4), (0, 4)])
    for k in range(WAVES):
        at = step * k + 3.0
        pen.cut_leaf((at, 2.4), (at + 0.7 * step, 2.4), 0.8)
