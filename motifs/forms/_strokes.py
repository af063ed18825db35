"""Stems and blades: the two lines every natural form is drawn with.

Both are a middle line with a half-width at each of its points. Half-widths never pass under half a strap,
save in the last stretch before a point, and a point is never more slender than `POINT` allows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon

from canivet.motifs.shapes import rounds
from canivet.motifs.shapes.lines import along, directions, distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits, opened

__all__ = [
    "POINT",
    "Blade",
    "band",
    "bezier",
    "blade",
    "bow",
    "disc",
    "drop",
    "lancet",
    "pierced_blade",
    "pointed",
    "rounded",
    "side_veins",
    "stroke",
    "turned",
]

POINT = 0.26
"""mm of half-width per mm at the least: a point of 29°. The audit lets pass 19°; a point of paper much finer
than this curls."""

_FLOOR = 1.05
"""Share of half a strap that a stem keeps: what closing, flattening and snapping may take, and some more."""

_EASED, _PASSING = 1.05, 4
"""Share of the finest half-width to which a point swells, since it comes near it only by and by; power by
which the greater of two half-widths takes over: the higher, the sharper the bend."""

_STEP = 0.5
"""mm from one sample to the next on short lines: chords within 0.01 mm of a bend of 3 mm radius."""

_MOST = 100
"""Samples on a line, at the most."""


def bezier(start: ArrayLike, lift: ArrayLike, arrive: ArrayLike, end: ArrayLike) -> Points:
    """Return points along a cubic Bézier curve, shape (n, 2), about `_STEP` apart."""
    hull = np.array([np.asarray(p, dtype=float) for p in (start, lift, arrive, end)])
    length = float(np.hypot(*np.diff(hull, axis=0).T).sum())
    t = np.linspace(0, 1, int(np.clip(np.ceil(length / _STEP), 16, _MOST)))[:, None]
    u = 1 - t
    curve: Points = u**3 * hull[0] + 3 * u**2 * t * hull[1] + 3 * u * t**2 * hull[2] + t**3 * hull[3]
    return curve


def bow(start: Points, end: Points, bend: float, late: float = 0.0) -> Points:
    """Return points along a bow from `start` to `end`.

    `bend` is its rise to the left as a share of its length; `late` moves the top of the bow towards the end.
    """
    chord = end - start
    aside = np.array([-chord[1], chord[0]]) * bend * 4 / 3
    first, second = start + chord * (0.33 + late) + aside, start + chord * (0.67 + late) + aside
    return bezier(start, first, second, end)


def stroke(line: Points, half: Points) -> Polygon:
    """Return the band round a line, `half` wide on either side at each point, its ends round."""
    sides = _sides(line, half)
    body = Polygon(np.vstack([sides[0], sides[1][::-1]]))
    if not body.is_valid:
        body = band(line, half)
    return shapely.union_all([body, disc(line[0], half[0]), disc(line[-1], half[-1])])


def disc(at: Points, radius: float) -> Polygon:
    """Return a round of that radius, drawn in chords outside the circle's own."""
    return rounds.disc(at[0], at[1], max(radius, 1e-6), sides=16)


def lancet(share: Points, widest: float) -> Points:
    """Return a leaf's half-width at each share of its length: 1 at `widest`, straight-sided to the tip."""
    swell = widest / (1 - widest)
    profile: Points = (share / widest) ** swell * (1 - share) / (1 - widest)
    return profile


@dataclass(frozen=True, slots=True)
class Blade:
    """A leaf with a stalk: its middle line, half-width at each point, and outline."""

    line: Points
    half: Points
    outline: Polygon


def pointed(half: Points, left: Points, finest: float) -> Points:
    """Return half-widths, never under the finest, that run out to a point without a shoulder.

    `left` is the way left to the point at each. The finest swells from nothing, as a lancet does, and passes
    over into the half-width asked for without a kink.
    """
    floor = _EASED * finest * -np.expm1(-POINT * left / finest)
    eased: Points = (np.maximum(half, 0) ** _PASSING + floor**_PASSING) ** (1 / _PASSING)
    return np.maximum(eased, 1e-3)


def blade(
    line: Points, half: float, *, strap: float, stalk: float = 0.0, widest: float = 0.42, teeth: float = 0.0
) -> Blade:
    """Return a leaf along a line: a stalk of one strap, a swelling, a point.

    Parameters
    ----------
    line : ndarray
        From the root, which lies inside the parent, to the tip.
    half : float
        Half its greatest width, mm.
    strap : float
        Width of the stalk, mm.
    stalk : float
        Length of the stalk, mm.
    widest : float
        Where the leaf is widest, as a share of its length past the stalk.
    teeth : float
        How far apart the teeth of its edge are, mm; 0 for a smooth one.
    """
    run = distances_along(line)
    share = np.clip((run - stalk) / (run[-1] - stalk), 0, 1)
    swell = half * lancet(share, widest)
    if teeth > 0:
        swell = swell * (1 - 0.24 * _saw((run[-1] - run) / teeth))
    point = np.maximum(POINT * (run[-1] - run), 1e-4)
    widths = np.maximum(swell, np.minimum(_FLOOR * strap / 2, point))
    left, right = _sides(line, widths)
    outline = Polygon(np.vstack([left, right[-2::-1]]))
    if not outline.is_valid:
        outline = band(line, widths)
    return Blade(line, widths, shapely.union_all([outline, disc(line[0], widths[0])]))


def _saw(phase: Points) -> Points:
    """Return 0 at each tooth's point and 1 in the notch before it."""
    part = phase % 1.0
    saw: Points = np.where(part < 0.8, part / 0.8, (1 - part) / 0.2)
    return saw


def pierced_blade(leaf: Blade, *, strap: float, smallest: float, veined: bool = True) -> list[Polygon]:
    """Return the openings a leaf has room for: none, a slit, two halves beside a rib, or `veined` halves."""
    widest = float(leaf.half.max())
    edge = 1.1 * strap + 0.1 * max(0.0, widest - strap)
    inner = leaf.outline.buffer(-edge, quad_segs=8)
    if inner.is_empty:
        return []
    room = widest - edge - 0.6 * strap
    if room > 2.3 * smallest:
        rib = band(leaf.line, np.linspace(0.62 + 0.05 * widest / strap, 0.53, len(leaf.line)) * strap)
        branched = veined and room > 3.6 * smallest
        veins = side_veins(leaf, strap=strap, smallest=smallest) if branched else []
        plain = rounded(inner.difference(rib), 0.8 * smallest, smallest)
        openings = rounded(inner.difference(shapely.union_all([rib, *veins])), 0.8 * smallest, smallest)
        if len(openings) >= 4 and _open(openings) > 0.6 * _open(plain):
            return openings
        if len(plain) == 2:
            return plain
    cut = inner.intersection(band(leaf.line, np.clip(0.3 * leaf.half, 1.06 * smallest, None)))
    return rounded(cut, 0.9 * smallest, smallest)[:1]


def _open(openings: list[Polygon]) -> float:
    return float(shapely.area(openings).sum())


def side_veins(leaf: Blade, *, strap: float, smallest: float, angle: float = 46) -> list[Polygon]:
    """Return veins from a leaf's rib forward to both edges, tapering outward."""
    reach = 1.7 * float(leaf.half.max())
    run = float(np.hypot(*np.diff(leaf.line, axis=0).T).sum())
    pitch = max(1.9 * strap + 2.4 * smallest, 0.75 * math.sqrt(run * strap)) / math.sin(math.radians(angle))
    count = int(0.8 * run / pitch)
    veins = []
    for k in range(count):
        at, unit = along(leaf.line, 0.17 + (k + 0.5) * pitch / run)
        for hand in (-1, 1):
            line = bow(at, at + turned(unit, hand * angle) * reach, -0.1 * hand)
            veins.append(band(line, np.linspace(0.62, 0.53, len(line)) * strap))
    return veins


def turned(unit: Points, angle: float) -> Points:
    """Return a direction turned to the left by so many degrees."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([c * unit[0] - s * unit[1], s * unit[0] + c * unit[1]])


def rounded(area: Polygon, radius: float, smallest: float) -> list[Polygon]:
    """Return the parts of an area worth cutting, their corners rounded, the largest first."""
    calm = opened(area, radius, sides=12, back=1.0)
    parts = [p for p in shapely.get_parts(calm) if p.geom_type == "Polygon" and not p.is_empty]
    parts = [Polygon(p.exterior).simplify(0.004) for p in parts]
    worth = [p for p in parts if fits(p, 1.01 * smallest + 0.005, sides=4)]
    return sorted(worth, key=lambda p: -p.area)


def drop(root: Points, end: Points, half: float, *, strap: float) -> Polygon:
    """Return a bud: a stalk that swells into a drop, pointed at the end."""
    return blade(
        bow(root, end, 0.04), half, strap=strap, stalk=0.3 * float(np.hypot(*(end - root))), widest=0.36
    ).outline


def _sides(line: Points, half: Points) -> tuple[Points, Points]:
    aside = directions(line)[1] * half[:, None]
    return line + aside, line - aside


def band(line: Points, half: Points) -> Polygon:
    """Return the band round a line made of short hulls: slower than `stroke`, but sound however it bends."""
    angle = np.linspace(0, 2 * np.pi, 25)[:-1]
    circle = np.column_stack([np.cos(angle), np.sin(angle)])
    rounds = line[:, None] + half[:, None, None] * circle
    pairs = np.concatenate([rounds[:-1], rounds[1:]], axis=1)
    return shapely.union_all(shapely.convex_hull(shapely.multipoints(pairs)))
