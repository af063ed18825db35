"""What stands in the sky and against it: moon and stars, sun, clouds, mountains.

Numbers are units of the figure's frame, about a hundred to its longer side, unless they are shares.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.affinity import translate
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve, swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, lens, polar
from canivet.motifs.forms._strokes import pointed
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part

__all__ = ["CLOUDS", "MOON", "MOUNTAINS", "SUN", "draw_clouds", "draw_moon", "draw_mountains", "draw_sun"]

# fmt: off
MOON = Build("a moon", (99, 100), least=24, give=0)
MIDDLE, LIMB = (50.0, 50.0), 50.0
HOLLOW, HOLLOW_AT = 39.5, (65.5, 50.0)
"""The round taken out of the moon's: the nearer in radius, the finer the horns; the farther off, the thicker the moon."""

GREAT_STAR, STAR_TILT = 41.2, 4.0
"""Radius of the star in the hollow: its points reach the moon, and two of them out between the horns; how far chance tilts it."""

FACET, FACET_FROM = 0.034, 0.15
"""White in one half of each point: how far it keeps off the ridge, and where it begins, as shares of the radius."""

LESSER_STARS, LESSER_AT, LESSER_TILT = ((153, 3.1), (171, 3.9), (189, 3.3), (207, 3.7)), 31.2, 16.0
"""Lesser stars cut in the moon's broad side, between the drops: where, in degrees, and their radius, unlike each other; how far out;
how far chance tilts them.
"""

LESSER_STRAPS, LESSER_LEAST = 1.8, 4.5
"""Straps, and radii of the smallest opening, in the radius of the least of them: finer ones are flecks."""

STAR_NOTCH = 0.45
"""Inner radius of a star as a share of its outer: 0.38 is drawn by one line without lifting; fatter cuts better."""

MOONBEAMS, MOONBEAM = np.linspace(126, 234, 7), (37.0, 46.5)
"""Degrees at which drops are cut in the moon's broad side, and how far out the middle one begins and all end."""

SUN = Build("a sun", (120, 64), least=15)
SUN_DISC, LONG_RAY, SHORT_RAY = 21.0, 60.0, 43.0
"""Radius of the disc and reach of the rays by turns: rays of one length make a cog."""

SUN_LOW = 8.0
"""Degrees that are left free over the ground at either side: a ray that lies on it is part of it."""

RAY_ROOT, RAY_BELLY, RAY_SHAPE = 18.0, (0.40, 0.28), [(1 - t) ** 1.15 * (0.36 + 3.5 * t) for t in np.linspace(0, 1, 13)]
"""Where a ray springs; half the width of a long and of a short one at its belly, as a share of the room between rays there; how it
swells and tapers: one smooth edge from the disc to the point.
"""

RAY_WALL, RAY_LIGHT, WAVE = (1.1, 1.06), 2.4, 3.5
"""Paper round the light in a long ray, at the least and in straps: it is the ray's own shape, inset; how far off the disc it begins;
how far the wave of a flame swings to either side, in degrees.
"""

SUN_ARC, SUN_ARC_ENDS = (15.2, 1.15), 12.0
"""Radius of the white arc in the disc and half its width; the degree over the ground where it ends in points."""

SOIL, SOIL_LOW = (6.2, 6.0, 5.3, 4.2, 2.8, 1.4, 0.0), -5.0
"""How thick the ground is from its middle out to its thin ends, and where its foot is."""

CLOUDS = Build("a bank of clouds", (130, 61), least=15, give=0.2)
HEADS = (((57, 43), 20.5), ((30, 38), 14.5), ((83, 37), 14.0), ((14, 26.5), 10.5), ((98, 26), 9.5))
"""Middle and radius of each rolling head: one is chief; the others fall away from it to both sides."""

CURL_TURNS, CURL_START, CURL_FROM, CURL_TO, CURL_WHITE = 1.35, 205.0, 0.80, 0.18, 0.10
"""Turns of the curl in a head, the degree at which it begins, the radii it winds between, half the width of its white:
shares of the head's radius. Curls roll outwards, to the left in the left half.
"""

BANK, BANK_FOOT, BANK_WHITE = (((35, 11), 11.5), ((58, 10.5), 13.0), ((81, 11), 11.5)), 14.0, 2.8
"""A nearer bank: middle and radius of its heads, and its foot; how thick the white behind it is, which tapers to both sides."""

BANK_LEAST = 45
"""Straps of width under which there is no nearer bank."""

CLOUD_FILL = [(8, 15.5), (14, 26), (40, 40), (72, 40), (98, 26), (104, 15.5)]
WINDS = (((-8, 15), (110, 15.5), 3.8, -0.006), ((12, 8.8), (122, 8.6), 3.6, 0.006), ((28, 2.8), (98, 2.8), 2.9, 0.0))
"""Bands of mist under the bank: from, to, half the height, bend. Each ends in points, and they touch in the middle only."""

MOUNTAINS = Build("mountains", (130, 70), least=16)
PEAKS = ((28, 43), (58, 69), (97, 54))
VALLEYS = ((0, 5), (41, 31), (79, 34), (130, 5))
"""The far ridge: a chief peak off the middle and two lower ones, of unlike slopes, that run down to the ground."""

SNOW = ((0, 0.40), (0.20, 0.27), (0.34, 0.48), (0.48, 0.33), (0.64, 0.64), (0.76, 0.47), (0.90, 0.86), (1, 0.86))
"""Lower edge of the snow on a peak: across from its left slope to its right one, and down as a share of them: it lies
farther down on the lit side.
"""

SNOW_REACH, SNOW_FINE, SNOW_STOUT, SLOPE = 0.84, 1.2, 0.2, 1.6
"""How far down the snow comes, as a share of the slope; how much farther for every unit of a line's half-width past `SNOW_FINE`;
how wide the paper along the slope is at the least.
"""

CRESTS = (
    [(-2, 9), (16, 18), (36, 21), (58, 14), (76, 8)],
    [(44, 8), (68, 16), (94, 22), (116, 17), (132, 8)],
)
CREST_WHITE = 1.7
"""Lines of the near hills, left and right, which overlap; half the width of the white along each, which tapers to its ends."""

FIRS = ((15, 9.5), (21.5, 6.5), (37, 7.0), (43.5, 10.5), (50, 7.0), (83, 6.5), (89.5, 10.0), (96, 7.5), (113, 7.5))
"""Where firs stand and how high: tall ones and short in groups, with ground between."""

FIR_EDGE = ((0.30, 0), (0.13, 0.42), (0.22, 0.42), (0, 1))
"""Right edge of a fir: across and up as shares of its height."""
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
    """Return a crescent that holds a great star by its points, drops and lesser stars cut in its broad side."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, MOON.frame, strap=strap, smallest=smallest)
    pen.lay(pen.round(MIDDLE, LIMB).difference(pen.round(HOLLOW_AT, HOLLOW)))
    at, tilt = np.array(HOLLOW_AT), STAR_TILT * chance.uniform(-1, 1)
    corners = star(at, GREAT_STAR, turn=180 + tilt)
    pen.slab(corners)
    _facets(pen, at, corners)
    for angle in MOONBEAMS:
        thick = math.cos(math.radians(angle - 180))
        inner = MOONBEAM[0] + 8.0 * (1 - thick)
        pen.cut_drop(MIDDLE + polar(angle, inner), MIDDLE + polar(angle, MOONBEAM[1]), 2.1 + 0.26 * thick**2)
    if min(radius for _, radius in LESSER_STARS) * pen.unit > max(
        LESSER_STRAPS * strap, LESSER_LEAST * smallest
    ):
        hand = int(chance.choice([-1, 1]))
        for angle, radius in LESSER_STARS:
            place = MIDDLE + polar(180 + hand * (angle - 180), LESSER_AT)
            turn = angle + LESSER_TILT * chance.uniform(-1, 1)
            pen.cut_slab(star(place, radius * some(chance, 0.06), turn=turn))
    return pen


def _facets(pen: Pen, at: Points, corners: Points) -> None:
    """Cut one half of each point of a star, so that its other half stands out as a facet."""
    far = float(np.hypot(*(corners[0] - at)))
    middle = pen.round(at, FACET_FROM * far)
    halves = [Polygon(pen.mm([at, corners[k], corners[k + 1]])) for k in range(0, len(corners), 2)]
    pen.cut(*(largest_part(half.buffer(-FACET * far * pen.unit).difference(middle)) for half in halves))


def draw_sun(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a rising sun: rays from a point, long and short by turns."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, SUN.frame, strap=strap, smallest=smallest)
    rays = int(np.clip(4 * round(0.0725 * LONG_RAY * pen.unit / strap) + 1, 5, 13))
    waved, step = chance.uniform() < 0.5, (180 - 2 * SUN_LOW) / rays
    high = shapely.box(-1e4, 0, 1e4, 1e4)
    pen.lay(pen.round((0, 0), SUN_DISC).intersection(high))
    wall = max(RAY_WALL[0], RAY_WALL[1] * pen.units(strap))
    lights = []
    for k in range(rays):
        angle = SUN_LOW + step * (k + 0.5)
        ray = _ray(pen, angle, step, long=k % 2 == 0, waved=waved)
        if k % 2 == 0:
            inset = ray.buffer(-wall * pen.unit).difference(pen.round((0, 0), SUN_DISC + RAY_LIGHT))
            lights.append(largest_part(inset))
    if not any(light.is_empty for light in lights):
        pen.cut(*lights)
    radius, half = SUN_ARC
    arc = [polar(angle, radius) for angle in np.linspace(SUN_ARC_ENDS, 180 - SUN_ARC_ENDS, 25)]
    pen.cut_line(arc, [0.1, half, 1.2 * half, half, 0.1])
    across = np.linspace(0, 1, 90)
    thick = 2 * pointed(0.5 * swelling(SOIL, 90), LONG_RAY * (1 - across), pen.fine)
    right = np.column_stack([LONG_RAY * across, SOIL_LOW + thick])
    pen.slab([*(right[::-1] * (-1, 1)), *right, (LONG_RAY, SOIL_LOW), (-LONG_RAY, SOIL_LOW)])
    return pen


def _ray(pen: Pen, angle: float, step: float, *, long: bool, waved: bool) -> Polygon:
    """Draw a ray: a blade, or where it is short and waved a flame."""
    far, share = (LONG_RAY, RAY_BELLY[0]) if long else (SHORT_RAY, RAY_BELLY[1])
    way = np.linspace(RAY_ROOT, far, 60)
    swing = 0.0 if long or not waved else WAVE * np.sin(np.linspace(0, 2 * np.pi, 60))
    turn = np.radians(angle + swing)
    half = share * math.radians(step) * (RAY_ROOT + 0.34 * (far - RAY_ROOT))
    pen.blade(
        way[:, None] * np.column_stack([np.cos(turn), np.sin(turn)]), [half * part for part in RAY_SHAPE]
    )
    return pen.blacks[-1]


def draw_clouds(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a bank of clouds that curl to either side, a nearer one before it, bands of mist below."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, CLOUDS.frame, strap=strap, smallest=smallest)
    heads = [(np.array(at) + chance.uniform(-1, 1, 2), r * some(chance, 0.06)) for at, r in HEADS]
    for at, radius in heads:
        pen.disc(at, radius)
        _curl(pen, at, radius, 1 if at[0] > heads[0][0][0] - 1 else -1)
    pen.slab(CLOUD_FILL)
    if CLOUDS.frame[0] * pen.unit > BANK_LEAST * strap:
        bank = shapely.union_all([pen.round(at, r * some(chance, 0.05)) for at, r in BANK])
        behind = translate(bank, 0, BANK_WHITE * pen.scale[1]).difference(bank)
        pen.cut(largest_part(behind.intersection(shapely.box(-1e4, BANK_FOOT * pen.scale[1], 1e4, 1e4))))
    for start, end, half, bend in WINDS:
        pen.lay(lens(pen.mm(start), pen.mm(end), half * pen.scale[1], bend))
    return pen


def _curl(pen: Pen, at: Points, radius: float, side: float) -> None:
    """Cut the curl of a head: over its top to the side, and in."""
    share = np.linspace(0, 1, 30)
    far = radius * (CURL_FROM + (CURL_TO - CURL_FROM) * share**0.8)
    curl = [
        at + polar(CURL_START - 360 * CURL_TURNS * s, r) * (side, 1) for s, r in zip(share, far, strict=True)
    ]
    white = CURL_WHITE * radius
    pen.cut_line(curl, [0.1, 0.7 * white, white, white, 0.75 * white, 0.1])


def draw_mountains(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return peaks that run down to the ground, snow in their lit facets, two hills with firs before them."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, MOUNTAINS.frame, strap=strap, smallest=smallest)
    peaks = [(x + 3 * chance.uniform(-1, 1), y * some(chance, 0.05)) for x, y in PEAKS]
    range_ = pen.slab([*_ridge(chance, peaks), (130, 0), (0, 0)])
    inner = range_.buffer(-max(1.1 * strap, SLOPE * pen.unit), join_style="mitre")
    crests = [open_curve(np.array(crest) + (0, 1.2 * chance.uniform(-1, 1))) for crest in CRESTS]
    for crest in crests[::-1]:
        white = max(CREST_WHITE, 1.3 * pen.slit)
        pen.cut_line(crest[2:-2], [0.1, 0.8 * white, white, 0.8 * white, 0.1])
    reach = SNOW_REACH + max(0.0, SNOW_STOUT * (pen.fine - SNOW_FINE))
    for k, peak in enumerate(peaks):
        left, right = (np.array(valley) - peak for valley in VALLEYS[k : k + 2])
        snow = [peak + reach * down * ((1 - across) * left + across * right) for across, down in SNOW]
        pen.cut(largest_part(Polygon(pen.mm([peak, *snow])).intersection(inner)))
    for at, tall in FIRS:
        x, high = at + 1.2 * chance.uniform(-1, 1), tall * some(chance, 0.08)
        right = np.array(FIR_EDGE) * high
        pen.cut_slab(np.vstack([right, right[-2::-1] * [-1, 1]]) + (x, 2.6))
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
