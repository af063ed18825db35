"""A cartouche: a panel in scrolls that swell and roll up, a leaf sprung from each, shells at crest and foot.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import closed_curve, open_curve, swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, lens, polar
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points

__all__ = ["CARTOUCHE", "draw_cartouche"]

# fmt: off
CARTOUCHE = Build("a cartouche", (116, 82), least=20)

PANEL = [(0, 17.4), (25, 17.4), (35, 16.7), (40.2, 12.9), (42.2, 6.2), (42.6, 0)]
"""Quarter of the panel, from the middle of its head to that of its end: long calm sides, round ends."""

LINE_AT, LINE, LINE_TIES = 2.2, 1.25, (16.5, 163.5, 90.0)
"""Paper outside of the white line that edges the panel, the width of the line, and where ties break it:
degrees, and the same below. Without it the panel is a slab.
"""

CROWN_WAY = [(0, 25.4), (9, 27.0), (19, 27.6), (29, 25.6), (38, 21.8)]
CROWN_HALF = (1.2, 1.6, 2.7, 3.5, 3.3, 2.6, 2.3, 2.1, 1.8, 1.4, 1.0)
"""The scroll over the panel, from the shell to where it begins to roll, and half its width along all of it:
fine under the shell, fat at the shoulder, fine again into the volute. One width all along would be a pipe.
"""

ROLL, ROLL_AT, ROLL_STEP, ROLL_END = 9.8, (47.6, 31.4), 6.6, 2.4
"""A rolled end: its radius, its middle, how much nearer it comes in a turn, the radius at which it ends."""

EYE = 2.2
"""Half-widths of a scroll's end that its eye measures: a full stop to the line."""

SIDE_WAY, SIDE_HALF = [(48.6, 20.4), (52.6, 15.6), (55.4, 8.6), (56.2, 0)], (1.2, 2.0, 3.0, 3.4)
"""The scroll at the side, from the corner to its middle, and half its width: fat farthest out."""

SPRIG = (
    ((37.0, 23.6), (33.6, 31.6), (36.2, 37.8), 2.3),
    ((34.5, 24.6), (28.6, 31.6), (28.0, 36.8), 2.3),
    ((31.5, 25.4), (24.0, 29.6), (19.6, 33.4), 2.0),
)
"""The leaf sprung from the crown's shoulder: root, bend, point and half the width of each lobe."""

BRACT = ((51.2, 20.2), (54.8, 19.6), (58.6, 17.4), 2.2)
"""The leaf at the corner, where side and roll part, written like a lobe of the sprig."""

STEM = [(5.6, 16.8), (2.6, 18.6), (1.8, 21.2), (2.6, 25.6)]
"""Half the tie from the panel to the shell: it flares at its foot, as a stem does at its root, so that no
white beside it ends in a crack.
"""

HUSK = [(41.6, 5.4), (43.6, 2.5), (47.4, 3.3), (50.6, 2.3), (53.4, 5.0)]
"""Half the tie from the panel's end to the side scroll: a bud between two flares."""

CHANNEL, CHANNEL_FROM = 0.27, 0.7
"""Half the white channel along a scroll, over the half-width there, and how fat a scroll is where it begins,
over its fattest: the white swells with the black.
"""

SHELL_AT, SHELL, LOBES = (0.0, 25.6), (15.6, 0.78), ((7, 66.0), (5, 66.0), (3, 50.0))
"""Root of the shell on crest and foot; how far its middle lobe reaches, and the outermost as a share; lobes,
and the degrees to either side over which they spread, at large sizes and at small.
"""

PALMETTE = 0.25
"""Half a lobe's width over its reach, at the most: three lobes as broad as they have room for would be a
ball.
"""

RICH, PLAIN = 78.0, 52.0
"""Straps to the longer side from which all is drawn, and under which only what is bold."""

ROSETTE, ROSETTE_EYE, PETALS = (9.8, 12.6), 1.6, (8, 6, 5, 4)
"""Radius of the rosette between sprays and by itself, of its eye, and its petals: as many as have room."""

PETAL_LEAST = (1.5, 0.9)
"""Half a petal's width at the least, in units and in straps: a rosette of needles is a star."""

SPRAY = [(13.0, 0.0), (29.6, 0.0)]
SPRAY_LEAF, SPRAY_TILT, SPRAY_LESS = (9.6, 1.5), 47.0, 0.42
"""The stem of a laurel spray; length and half-width of its lowest leaf; the degrees at which leaves leave it;
how much less the last one is. Pairs are counted by the room they want.
"""
# fmt: on


def draw_cartouche(box: Box, *, strap: float, smallest: float, seed: int, field: str) -> Pen:
    """Return a panel with its edge and its field, in scrolls with leaves; shells at crest and foot."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CARTOUCHE.frame, strap=strap, smallest=smallest)
    pen.crumb *= 1.3
    straps = CARTOUCHE.frame[0] * pen.unit / strap
    panel = _panel(pen)
    pen.lay(panel)
    roll, size = ROLL * some(chance, 0.05), some(chance, 0.05)
    lobes = LOBES[0] if straps > RICH else LOBES[1] if straps > PLAIN else LOBES[2]
    for up in (1, -1):
        _shell(pen, *lobes, up, size)
        _crown(pen, roll, up, straps)
    _side(pen)
    pen.mirror(0)
    _edge(pen, panel, straps)
    if field != "plain":
        _rosette(pen, ROSETTE[straps <= PLAIN])
        if straps > PLAIN:
            _sprays(pen)
    return pen


def _panel(pen: Pen) -> Polygon:
    """Return the panel, mm."""
    quarter = np.array(PANEL)
    right = np.vstack([quarter, (quarter * (1, -1))[-2::-1]])
    ring = np.vstack([right, (right * (-1, 1))[-2:0:-1]])
    return Polygon(closed_curve(pen.mm(ring))).buffer(0)


def _edge(pen: Pen, panel: Polygon, straps: float) -> None:
    """Cut the line along the panel's edge, in as many pieces as ties leave of it."""
    if straps < PLAIN:
        return
    outer = max(LINE_AT * pen.unit, 1.15 * pen.strap)
    wide = max(LINE * pen.unit, 2.25 * pen.smallest)
    ring = panel.buffer(-outer, quad_segs=24).difference(panel.buffer(-outer - wide, quad_segs=24))
    ties = []
    for angle in LINE_TIES:
        for turn in (angle, -angle):
            far = polar(turn, 60.0)
            ties.append(
                shapely.LineString([(0, 0), tuple(pen.mm(far))]).buffer(0.85 * pen.strap, cap_style="flat")
            )
    parts = shapely.get_parts(ring.difference(shapely.union_all(ties)))
    pen.cut(*parts)


def _crown(pen: Pen, roll: float, up: int, straps: float) -> None:
    """Draw the scroll over the panel, or under it, with its volute, its leaf and its channel."""
    turned = np.array([1, up])
    half = np.array(STEM)
    pen.mass(np.vstack([half, half[::-1] * (-1, 1)]) * turned, [0, 3, 4, 7])
    way = np.array([*CROWN_WAY, *_roll(pen, roll)]) * turned
    pen.limb(way, CROWN_HALF)
    pen.disc(way[-1], max(EYE * CROWN_HALF[-1], 1.3 * pen.fine))
    _lobes(pen, SPRIG if straps > PLAIN else SPRIG[1:2], turned, pierced=straps > PLAIN)
    _channel(pen, way, CROWN_HALF)


def _side(pen: Pen) -> None:
    """Draw the scroll at the side, its leaves at both corners, and the husk that ties it to the panel."""
    way = np.array([*SIDE_WAY, *((x, -y) for x, y in SIDE_WAY[-2::-1])])
    pen.limb(way, [*SIDE_HALF, *SIDE_HALF[-2::-1]])
    for up in (1, -1):
        _lobes(pen, (BRACT,), np.array([1, up]), pierced=False)
    half = np.array(HUSK)
    pen.mass(np.vstack([half, half[::-1] * (1, -1)]), [0, 4, 5, 9])
    _channel(pen, way, [*SIDE_HALF, *SIDE_HALF[-2::-1]])


def _channel(pen: Pen, way: Points, halves: Sequence[float]) -> None:
    """Cut a channel where a scroll is fat: it swells and tapers as the scroll does."""
    line = open_curve(way)
    wide = swelling(halves, len(line))
    (fat,) = np.nonzero(wide > CHANNEL_FROM * wide.max())
    at = np.linspace(fat[0], fat[-1], 7).astype(int)
    pen.cut_line(line[at], [0.05, *(CHANNEL * wide[at[1:-1]]), 0.05])


def _lobes(
    pen: Pen,
    lobes: tuple[tuple[tuple[float, float], tuple[float, float], tuple[float, float], float], ...],
    turned: Points,
    *,
    pierced: bool,
) -> None:
    """Draw the lobes of an acanthus leaf: each swells from its root and runs out to a point, with a vein."""
    for root, bend, point, half in lobes:
        way = np.array([root, bend, point]) * turned
        pen.limb(way, [0.8 * half, half, 0.72 * half, 0.1], point=True)
        if pierced:
            line = open_curve(way)
            vein = line[int(0.3 * len(line)) : int(0.86 * len(line))]
            pen.cut_line(vein[:: max(1, len(vein) // 6)], [0.05, 0.36 * half, 0.3 * half, 0.05])


def _shell(pen: Pen, lobes: int, fan: float, up: float, size: float) -> None:
    """Draw the right half of a shell: round lobes that fan out of one root, a drop of light in each.

    Three lobes are a palmette: what parts them is cut down to the root.
    """
    root, (far, least) = np.array(SHELL_AT), SHELL
    step = 2 * fan / (lobes - 1)
    for k in range(lobes // 2 + 1):
        out = size * far * (1 - (1 - least) * (2 * k / (lobes - 1)) ** 1.5)
        ahead, half = polar(90 - step * k), min(0.46 * out * np.radians(step), PALMETTE * out)
        end, aside = root + ahead * (out - half), polar(-step * k)
        if lobes == 3:
            way = np.array([root, root + 0.5 * (end - root), end])
            pen.limb(way * (1, up), [0.5 * half, 0.6 * half, half])
            continue
        pen.disc(end * (1, up), half)
        sides = (root - 1.2 * aside, end - half * aside, end + half * aside, root + 1.2 * aside)
        pen.slab([p * (1, up) for p in sides])
        start = root + 0.26 * (end - root)
        pen.cut_drop(start * (1, up), (end + 0.34 * half * ahead) * (1, up), 0.42 * half)


def _roll(pen: Pen, radius: float) -> Points:
    """Return the way of a strap as it rolls up, from its lowest point inward, as far as it has room."""
    step, end = max(ROLL_STEP, 2.1 * pen.fine + 1.5 * pen.gap), max(ROLL_END, 2.4 * pen.fine + 0.5 * pen.gap)
    turns = max(0.62, (radius - end) / step)
    t = np.linspace(0, 1, 24)
    angle, far = np.radians(-90 + 360 * turns * t), radius - step * turns * t
    way: Points = np.array(ROLL_AT) + far[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])
    return way


def _rosette(pen: Pen, radius: float) -> None:
    """Cut the rosette in the middle of the field: an eye, and petals that are round outside."""
    strap = 1.06 * pen.units(pen.strap)
    for petals in PETALS:
        lean = np.sin(np.pi / petals)
        half = (radius * lean - 0.5 * strap) / (1 + lean)
        if half > max(PETAL_LEAST[0], PETAL_LEAST[1] * strap, 1.2 * pen.slit):
            break
    pen.cut_round((0, 0), ROSETTE_EYE)
    eye = max(ROSETTE_EYE, pen.slit)
    end = np.array([0.0, radius - half])
    root = (0.0, max(eye + strap, 0.5 * strap / lean))
    body = shapely.union_all([pen.round(root, 0.01), pen.round(end, half)]).convex_hull
    pen.cut(*(rotate(body, 360 * k / petals, origin=(0, 0)) for k in range(petals)))


def _sprays(pen: Pen) -> None:
    """Cut a spray of laurel to either side of the rosette: leaves in pairs, smaller to its end, one there."""
    stem, strap = open_curve(np.array(SPRAY)), pen.units(pen.strap)
    long, half = SPRAY_LEAF[0], max(SPRAY_LEAF[1], 1.1 * pen.slit)
    ahead, run = directions(stem)[0], distances_along(stem)
    step = (2 * half + 1.15 * strap) / np.sin(np.radians(SPRAY_TILT))
    pairs = max(2, int(run[-1] / step))
    for k in range(pairs + 1):
        at = int(np.searchsorted(run, min(k * step, run[-1] - 1e-6)))
        size = 1 - SPRAY_LESS * k / pairs
        facing = np.degrees(np.arctan2(ahead[at, 1], ahead[at, 0]))
        group = []
        for turn in (SPRAY_TILT, -SPRAY_TILT) if k < pairs else (0.0,):
            root = stem[at] + polar(facing + turn, 0.3 + 0.8 * strap)
            leaf = lens(
                pen.mm(root), pen.mm(root + polar(facing + turn, long * size)), half * size**0.5 * pen.unit,
                -0.08 * np.sign(turn), 0.45,
            )  # fmt: skip
            group += [leaf, shapely.transform(leaf, lambda xy: xy * (-1, 1))]
        pen.cut(*group)
