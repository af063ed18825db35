"""A blossom seen from above, the same after every turn by one petal.

Numbers are units of the figure's frame, a hundred across, unless they are shares.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.affinity import rotate
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import closed_curve
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, lens, polar
from canivet.motifs.shapes.rounds import largest_part

__all__ = ["BLOSSOM", "draw_blossom"]

# fmt: off
BLOSSOM = Build("a blossom", (100, 100), least=7, give=0)
PETAL_EDGE = ((0, 12), (0.96, 22), (1.0, 33), (0.93, 41.5), (0.70, 48), (0.42, 50), (0.16, 49), (0, 46))
"""Half of a petal's edge: across as a share of its sector, and how far out. Two arcs and a notch; one outline for all."""

SEPAL_REACH, SEPAL_WIDE = 49.0, 11.8
"""Reach of the sepals, whose points show between the petals, and half their width by radian of a sector."""

EYE, PUPIL, BEAD = 17.5, 5.0, 1.9
"""Radius of the eye where openings of the petals begin, of its middle, and of the beads round that."""

PETAL_DROP = (0.30, 0.50, 43.5, 0.225)
"""The pair of openings in a petal: at root and at tip how far off its axis, how far out, half how wide: shares of its sector."""
# fmt: on


def draw_blossom(box: Box, *, petals: int, strap: float, smallest: float, seed: int) -> Pen:
    """Return a blossom: notched petals, sepals between them, openings that follow both; symmetric as D_n."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BLOSSOM.frame, strap=strap, smallest=smallest)
    sector, notch = 180 / petals, 2.2 * chance.uniform(-1, 1)
    edge = [
        polar(90 - sector * across, far + (notch if across == 0 and far > 40 else 0))
        for across, far in PETAL_EDGE
    ]
    ring = [*edge, *([-x, y] for x, y in edge[-2:0:-1])]
    petal = Polygon(pen.mm(closed_curve(ring, [0, len(edge) - 1])))
    pen.lay(*_about(petal, petals), pen.round((0, 0), 30))
    half = SEPAL_WIDE * math.radians(sector)
    if half > 1.9 * pen.fine:
        sepal = lens(pen.mm((0, 20)), pen.mm((0, SEPAL_REACH)), half * pen.unit, 0.0, 0.56)
        pen.lay(*_about(sepal, petals, 0.5))
    _blossom_eye(pen, petals)
    _petal_openings(pen, petals, PETAL_DROP[2] + 0.8 * notch, some(chance, 0.1))
    joint = lens(pen.mm((0, EYE + 2)), pen.mm((0, 40)), max(1.3, pen.slit) * pen.unit, 0.0, 0.62)
    pen.cut(*_about(joint, petals, 0.5))
    return pen


def _blossom_eye(pen: Pen, petals: int) -> None:
    """Cut the eye: a round, and beads about it where they find room."""
    pupil, bead = max(PUPIL, pen.slit), max(BEAD, 1.05 * pen.slit)
    far = pupil + 2.1 * pen.fine + bead
    pen.cut_round((0, 0), pupil)
    if far + bead + 2.1 * pen.fine < EYE and far * math.sin(math.pi / petals) > bead + pen.fine:
        pen.cut(*_about(pen.round((0, far), bead), petals))


def _petal_openings(pen: Pen, petals: int, far: float, wide: float) -> None:
    """Cut a pair of drops that bow out with the petal's edge, or one where a pair would not fit."""
    root, tip, _, half = PETAL_DROP
    sector = 180 / petals
    across = 36 * math.radians(sector)
    start, end = polar(90 - sector * root, EYE), polar(90 - sector * 0.8 * tip, far)
    whole = lens(pen.mm(start), pen.mm(end), max(half * wide * across, pen.slit) * pen.unit, -0.09, 0.62)
    room = Polygon(pen.mm([(0, 0), polar(90 - sector, 60), polar(90, 60)])).buffer(-pen.fine * pen.unit)
    side = largest_part(whole.intersection(room))
    if side.area < 0.8 * whole.area or half * across < pen.slit:
        one = lens(pen.mm((0, EYE)), pen.mm((0, far - 1)), 0.42 * across * pen.unit, 0.0, 0.66)
        pen.cut(*_about(one, petals))
        return
    other = shapely.transform(side, lambda xy: xy * [-1, 1])
    pen.cut(*_about(side, petals), *_about(other, petals))


def _about(shape: Polygon, count: int, shift: float = 0.0) -> list[Polygon]:
    """Return a shape turned about the middle so many times, from a share of a turn on."""
    return [rotate(shape, 360 / count * (k + shift), origin=(0, 0)) for k in range(count)]
