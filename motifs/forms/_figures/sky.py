"""What stands in the sky and against it: moon and stars, sun, clouds, mountains.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import LineString

from canivet.motifs.shapes.openings import Points

from .pen import FINEST, Box, Build, Pen, open_curve, polar, some

__all__ = ["CLOUDS", "MOON", "MOUNTAINS", "SUN", "draw_clouds", "draw_moon", "draw_mountains", "draw_sun"]

# fmt: off
MOON = Build("a moon", (90, 100), least=24, give=0)
MIDDLE, LIMB = (50.0, 50.0), 50.0
HOLLOW, HOLLOW_AT = 39.5, (65.5, 51.0)
"""The round taken out of the moon's: the nearer in radius, the finer the horns; the farther off, the thicker the moon."""

ORBIT_FROM = (-3.0, 50.0)
ORBITS = ((45.0, (0.0,), 9.2), (61.5, (-17.5, 17.5), 8.6), (79.0, (-21.0, 0.0, 21.0), 7.6))
"""Arcs about a point left of the moon: radius, degrees at which a star sits, radius of that star. They fan out of it."""

ORBITS_OF_A_SMALL_ONE, SMALL_MOON = 2, 48
"""Arcs drawn where the moon is under so many straps: three would close up."""

STAR_NOTCH = 0.45
"""Inner radius of a star as a share of its outer: 0.38 is drawn by one line without lifting; fatter cuts better."""

MOONBEAMS = np.linspace(126, 234, 7)
"""Degrees at which drops are cut in the moon's broad side."""

SUN = Build("a sun", (120, 64), least=15)
SUN_DISC, LONG_RAY, SHORT_RAY = 21.0, 60.0, 43.0
"""Radius of the disc and reach of the rays by turns: rays of one length make a cog."""

RAY_BELLY = {True: (38.0, 0.40), False: (30.0, 0.30)}
"""Where a long (short) ray is broadest, and half of that as a share of the step between rays: it swells before it tapers."""

RINGS = ((17.2, 11.8), (7.5, 0.0))
"""White half rings of the disc, from and to what radius; beams break the outer one."""

CLOUDS = Build("a bank of clouds", (109, 61), least=15)
HEADS = (((67, 41), 20.5), ((38, 35), 14.5), ((90, 28), 12.5), ((21, 26), 11))
"""Middle and radius of each rolling head: one is chief, off the middle; the others fall away from it."""

CURL_TURNS, CURL_FROM, CURL_TO, CURL_WHITE = 1.35, 0.76, 0.20, 0.10
"""Turns of the curl in a head, the radii it winds between, half the width of its white: shares of the head's radius."""

CLOUD_FILL = [(22, 12), (22, 28), (44, 40), (70, 36), (88, 28), (92, 14), (60, 8.5)]
WINDS = (
    ([(96, 15.5), (76, 13), (54, 9.5), (28, 8), (2, 9.5)], 2.2),
    ([(34, 13), (52, 8), (68, 4.5), (86, 3), (104, 4.5)], 2.2),
    ([(6, 16.8), (60, 16.4), (110, 16.8)], 2.0),
)
"""Streaks of wind that part from the bank's foot, and half their width: they run out in points, or the bank is a loaf."""

MOUNTAINS = Build("mountains", (130, 70), least=20)
PEAKS = ((27, 45), (61, 69), (101, 56))
VALLEYS = ((0, 25), (41, 34), (82, 36), (130, 28))
"""The far ridge: a chief peak off the middle and two lower ones, of unlike slopes."""

CREST = ((0, 16), (18, 22.5), (40, 15), (64, 21), (90, 13.5), (112, 19), (130, 14))
"""The near ridge, which rolls; mist lies on it."""

SNOW = ((0.34, 1.2), (0.62, 1.1), (0.90, 1.1), (0.64, 3.4))
"""Edge of the snow on a slope: how far down, how far in from it. It runs down in tongues."""

SNOW_INSET, SNOW_LIGHT, SNOW_SHADE = 2.3, 1.0, 0.62
"""Paper kept along the slope, and how far down snow reaches on the lit side and the other."""

MIST, MISTS = 4.8, (3, 4)
"""How thick the mist is at most; into how many banks it is broken, small and large."""

FIR, FIR_STEP = 9.5, 8.5
"""Height of the firs along the foot, and the step between them."""
# fmt: on


def star(at: ArrayLike, radius: float, *, turn: float = 90.0, points: int = 5) -> Points:
    """Return the corners of a star, its first point at that angle."""
    angle = np.radians(turn + 180 / points * np.arange(2 * points))
    far = np.where(np.arange(2 * points) % 2, STAR_NOTCH, 1.0) * radius
    corners: Points = np.asarray(at, dtype=float) + np.column_stack(
        [far * np.cos(angle), far * np.sin(angle)]
    )
    return corners


def draw_moon(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a crescent with stars on arcs between its horns."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, MOON.frame, strap=strap, smallest=smallest)
    pen.lay(pen.round(MIDDLE, LIMB).difference(pen.round(HOLLOW_AT, HOLLOW)))
    room, tilt = pen.round(HOLLOW_AT, HOLLOW + 1.5), 4 * chance.uniform(-1, 1)
    small = 100 * pen.unit < SMALL_MOON * strap
    for radius, angles, size in ORBITS[:ORBITS_OF_A_SMALL_ONE] if small else ORBITS:
        arc = [np.array(ORBIT_FROM) + polar(angle + tilt, radius) for angle in np.linspace(-72, 72, 60)]
        line = LineString(pen.mm(arc)).buffer(1.04 * FINEST * strap).intersection(room)
        pen.lay(*shapely.get_parts(line))
        for angle in angles:
            at = np.array(ORBIT_FROM) + polar(angle + tilt + 3 * chance.uniform(-1, 1), radius)
            far = max(size * (1.12 if small else 1), pen.units(2.6 * strap))
            pen.slab(star(at, far, turn=90 + 20 * chance.uniform(-1, 1)))
    for angle in MOONBEAMS:
        thick = math.cos(math.radians(angle - 180))
        inner = 35.4 + 8.8 * (1 - thick)
        pen.cut_drop(MIDDLE + polar(angle, inner), MIDDLE + polar(angle, 46.5), 2.1 + 0.26 * thick**2)
    return pen


def draw_sun(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a rising sun: rays from a point, long and short by turns."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, SUN.frame, strap=strap, smallest=smallest)
    rays = int(np.clip(2 * round(0.145 * LONG_RAY * pen.unit / strap) + 1, 7, 15))
    waved, step = chance.uniform() < 0.5, 180 / rays
    high = shapely.box(-1e4, 0, 1e4, 1e4)
    pen.lay(pen.round((0, 0), SUN_DISC).intersection(high))
    for k in range(rays):
        _ray(pen, step * (k + 0.5), step, long=k % 2 == 0, waved=waved)
    for k in range(0, rays, 2):
        half = 0.32 * RAY_BELLY[True][0] * math.sin(math.radians(step / 2))
        pen.cut_leaf(polar(step * (k + 0.5), 23.5), polar(step * (k + 0.5), 50), half)
    beams = max(3, rays // 2)
    outer, inner = RINGS[0]
    for k in range(beams):
        arc = np.linspace(180 / beams * k + 4, 180 / beams * (k + 1) - 4, 9)
        pen.cut_slab([polar(a, outer) for a in arc] + [polar(a, inner) for a in arc[::-1]])
    pen.cut_slab([polar(a, RINGS[1][0]) for a in np.linspace(14, 166, 16)])
    pen.slab([(-60, -5), (60, -5), (60, -1), (30, 1.2), (-30, 1.2), (-60, -1)])
    return pen


def _ray(pen: Pen, angle: float, step: float, *, long: bool, waved: bool) -> None:
    """Draw a ray: a blade, or where it is short and waved a flame."""
    out, fat = RAY_BELLY[long]
    far = LONG_RAY if long else SHORT_RAY
    if long or not waved:
        edge = [(0.42, 18), (0.30, 24), (fat, out)]
        right = [polar(angle - step * a, r) for a, r in edge]
        left = [polar(angle + step * a, r) for a, r in edge[::-1]]
        pen.slab([*right, polar(angle, far), *left])
        return
    half = 0.74 * SUN_DISC * math.sin(math.radians(step / 2))
    way = [polar(angle, 18), polar(angle + 3.5, 27), polar(angle - 3.5, 35), polar(angle, far)]
    pen.limb(way, [half, 0.8 * half, 0.55 * half, 0.1], point=True)


def draw_clouds(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a bank of clouds: rolling heads with curls, and streaks of wind below."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CLOUDS.frame, strap=strap, smallest=smallest)
    heads = [
        (np.array([x + 0.8 * chance.uniform(-1, 1), y + 1.5 * chance.uniform(-1, 1)]), r * some(chance, 0.07))
        for (x, y), r in HEADS
    ]
    for at, radius in heads:
        pen.disc(at, radius)
    pen.slab(CLOUD_FILL)
    for line, half in WINDS:
        pen.limb(line, [1.0, half, half, 1.4, 0.1], point=True)
    for at, radius in heads:
        wind = np.linspace(0, 1, 26)
        curl = [
            at + polar(35 + 360 * CURL_TURNS * s, radius * (CURL_FROM + (CURL_TO - CURL_FROM) * s))
            for s in wind
        ]
        white = CURL_WHITE * radius
        pen.cut_line(curl, [0.1, 0.85 * white, white, white, 0.8 * white, 0.1])
    return pen


def draw_mountains(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return ridges one before another, snow on the far one, mist and firs on the near."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, MOUNTAINS.frame, strap=strap, smallest=smallest)
    peaks = [(x + 4 * chance.uniform(-1, 1), y * some(chance, 0.06)) for x, y in PEAKS]
    pen.slab([*_ridge(chance, peaks), (130, 0), (0, 0)])
    for k, peak in enumerate(peaks):
        _snow(pen, peak, VALLEYS[k + 1], SNOW_LIGHT)
        _snow(pen, peak, VALLEYS[k], SNOW_SHADE)
    crest = np.array(CREST, dtype=float)
    crest[:, 1] += 1.6 * chance.uniform(-1, 1, len(crest))
    line = open_curve(crest)
    large = 130 * pen.unit > 60 * strap
    for a, b in itertools.pairwise(np.linspace(2, 128, MISTS[large] + 1)):
        x = np.linspace(a + 1.6, b - 1.6, 20)
        low = np.interp(x, *line.T) + 1.6
        thick = MIST * np.sin(np.pi * np.linspace(0, 1, 20)) ** 0.7
        pen.cut_slab(np.vstack([np.column_stack([x, low]), np.column_stack([x, low + thick])[-2:0:-1]]))
    for at in np.arange(9, 124, max(FIR_STEP, pen.units(2.2 * strap) + 5)):
        tall = min(FIR, float(np.interp(at, *line.T)) - 4.5) * some(chance, 0.15)
        if tall > 5:
            right = np.array([(2.9, 0), (1.6, 0.4 * tall), (2.1, 0.4 * tall), (0, tall)])
            pen.cut_slab(np.vstack([right, right[-2::-1] * [-1, 1]]) + (at, 2.6))
    return pen


def _ridge(chance: np.random.Generator, peaks: list[Box]) -> list[Box]:
    """Return the far ridge from left to right, each slope broken twice, as rock is."""
    turns = [VALLEYS[0], *(p for pair in zip(peaks, VALLEYS[1:], strict=True) for p in pair)]
    line: list[Box] = [turns[0]]
    for (x0, y0), (x1, y1) in itertools.pairwise(turns):
        for share, shift in ((0.36, 1.6), (0.68, -1.6)):
            line.append((x0 + share * (x1 - x0), y0 + share * (y1 - y0) + shift * some(chance, 0.5)))
        line.append((x1, y1))
    return line


def _snow(pen: Pen, peak: Box, valley: Box, reach: float) -> None:
    """Cut the snow on the slope from a peak towards a valley."""
    (x, y), dx, dy = peak, valley[0] - peak[0], peak[1] - valley[1]
    inset = -math.copysign(SNOW_INSET, dx)
    edge = [(x + dx * down * reach + inset * into, y - dy * down * reach) for down, into in SNOW]
    tongues = [(0.40, 0.80), (0.26, 0.56), (0.12, 0.72)]
    inner = [(x + a * dx * reach, y - b * dy * reach) for a, b in tongues]
    pen.cut_slab([(x + 0.03 * dx, y - (4.6 if reach == SNOW_LIGHT else 6.8)), *edge, *inner])
