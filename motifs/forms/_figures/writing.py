"""What is written with and read: a feather, a quill in its inkwell, a book.

Numbers are units of the figure's frame, about a hundred to its height, unless they are shares.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._drawing.curves import open_curve, swelling
from canivet.motifs.forms._drawing.pen import Box, Build, Pen, lens, polar
from canivet.motifs.forms._strokes import bezier, stroke
from canivet.motifs.shapes.lines import directions, distances_along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part, parts_fitting

__all__ = ["BOOK", "FEATHER", "QUILL", "draw_book", "draw_feather", "draw_quill"]

# fmt: off
FEATHER = Build("a feather", (27, 100), least=7, range=(0.22, 0.34))
FEATHER_SHAFT = [(4.6, 0), (0.2, 28), (-1.2, 62), (3.0, 100)]
FEATHER_BARE, FEATHER_VANE = 0.21, ((24.0, 0.50, 0.72), (17.0, 0.50, 0.86))
"""Share of the quill below the vane; the vane's broad and narrow side: size, fullness at root and at tip. Near 1 ends in a point."""

BARB_STEP, BARB_ANGLE, BARB_S = 4.6, 34.0, 0.055
"""Step from slit to slit, degrees of a barb off the shaft, and how far its S swings to either side, as a share of its length."""

SPLITS = ((0.42, 1), (0.66, -1))
"""Where the vane has parted, and on which side: two at the most."""

DOWN = ((0.96, 1, 10.0), (0.94, -1, 8.5), (0.70, 1, 7.0), (0.68, -1, 6.0))
"""Loose barbs below the vane: where on the bare quill, on which side, how long. They tell a feather from a leaf."""

QUILL = Build("a quill in its well", (61, 100), least=18)
WELL = [(-20, 0), (-21.5, 5), (-17.5, 8), (-19.5, 16), (-14, 24), (-8.5, 26.5), (-9, 32), (9, 32), (8.5, 26.5), (14, 24), (19.5, 16), (17.5, 8), (21.5, 5), (20, 0)]
WELL_CORNERS = (0, 1, 2, 6, 7, 11, 12, 13)
SHAFT = [(1, 28), (4, 42), (11, 62), (22, 82), (36, 99)]
"""The quill's shaft: it leans and bends away, and takes two thirds of the height."""

VANE_FROM, VANE = 0.17, ((16.25, 0.6, 0.55), (11.0, 0.6, 0.6))
"""Where on the shaft the vane begins; on its broad and its narrow side: size, how full at the root, how full at the tip."""

BARBS = 3.4
"""Step from slit to slit between barbs."""

BOOK = Build("a book", (116, 76), least=17)
PAGE, PAGE_LOW, PAGE_HIGH = 52.0, 15.0, 41.0
"""Width of a page, its foot at the spine and its height."""

PAGE_CURVE, PAGE_RISE = [(0, 0), (0.13, 1.15), (0.52, 1.32), (1, 0.26)], 9.5
"""How a page lies, from the spine outward, as the hull of its curve: across in pages, up in `PAGE_RISE`. It swells out of the spine
and runs out nearly level; every line of it is this curve.
"""

EDGE, COVER, COVER_WHITE = (1.2, 2.1), (2.3, 2.6), 1.1
"""Paper round a page and width of the cover, at the least and in half-widths of the finest line; the white between them."""

LEAVES, GUTTER, GUTTER_WHITE, SPINE_END = 34.0, (2.1, 2.4), 0.55, 0.03
"""Straps of width of a page from which another edge of its leaves shows below it; half the paper along the spine, at the least and in
half-widths of the finest line; half the white down the middle of it, tied twice, where there is room; how far from that paper lines under the page begin, as a share
of the page.
"""

TEXT_MARGIN, TEXT_STEP, TEXT_HALF, WEIGHT = (5.4, 6.0, 4.6), 4.9, 0.8, 2.2
"""Black over, under and beside the print; step from line to line at the least, and half a line's thickness; half the black between
two lines, in half-widths of the finest line.
"""

RAGGED, LAST_LINE, HEADING, WORDS = 0.16, 0.5, 0.44, (0.36, 0.62)
"""How much shorter a line may be than the longest, how long the last one is, and the heading in the middle; where a line is tied between
two words, by turns: the black between lines would else be whips.
"""

HILL = [(0, 2.6), (0.25, 5.2), (0.52, 7.4), (0.80, 5.0), (1, 3.6)]
"""The hill in the picture, which the tree stands on, from the spine to the edge: shares of the page, and height."""

TREE_AT, TRUNK_HALF, CROWN_UP, CROWN = 0.50, (3.6, 2.0, 1.6, 1.6), 26.0, (18.0, 11.6)
"""Where the tree stands, as a share of the page; half its trunk's width from foot to crown; height of the crown's middle, and how
far its leaves reach, across and up.
"""

CROWN_LEAF, CROWN_LIGHTS = (0.44, 0.33), ((0.28, 0.68, 1.4), 15.0)
"""Length of a leaf as a share of the crown's reach, and half its width as a share of that; the lights in the crown: from and to where
on the way out, and half their width; straps of the crown's reach from which there are all, and at half of which there are few.
"""

LIGHTS_AT = ((30, 90, 150), (-18, 18, 54, 90, 126, 162, 198))
"""Degrees at which lights lie, few and all: none over the trunk."""

RIBBON = [(0, 14), (1.0, 6), (-0.6, 0), (1.2, -7)]
"""The ribbon that hangs out of the spine; its end is forked."""
# fmt: on


def vane(
    line: Points, aside: Points, bare: float, profile: Sequence[tuple[float, float, float]]
) -> tuple[list[Points], Points]:
    """Return how far a feather's vane reaches to either side of its shaft at each sample, and its outline.

    The vane begins at the share `bare` of the shaft; `profile` says of the side `aside` points to, and of the
    other, its size, how full it is at the root and how full at the tip.
    """
    share = np.clip((np.linspace(0, 1, len(line)) - bare) / (1 - bare), 0, 1)
    sides = [size * share**root * (1 - share) ** tip for size, root, tip in profile]
    inside = share > 0
    left, right = line + aside * sides[0][:, None], line - aside * sides[1][:, None]
    return sides, np.vstack([left[inside], right[inside][::-1]])


def draw_feather(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an upright feather: a pointed vane, barbs of one S-curve, parted along them twice at the most."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, FEATHER.frame, strap=strap, smallest=smallest)
    hand = float(chance.choice([-1, 1]))
    line = pen.limb([(hand * x, y) for x, y in FEATHER_SHAFT], [1.7, 1.3, 1.0, 0.2], point=True)
    ahead, aside = directions(line)
    aside = aside * hand
    sides, ring = vane(line, aside, FEATHER_BARE, FEATHER_VANE)
    whole = shapely.make_valid(Polygon(pen.mm(ring)))
    if 30 * pen.unit > 12 * strap:
        for at, side in SPLITS:
            k = int((at + 0.06 * chance.uniform(-1, 1)) * (len(line) - 1))
            start, _, knee, end = _barb(line[k], ahead[k], aside[k] * side, 1.25 * sides[side < 0][k])
            wedge = [
                start + 0.25 * (knee - start),
                knee,
                end + ahead[k] * 2.6,
                end - ahead[k] * 0.6,
                knee - ahead[k] * 0.6,
            ]
            whole = whole.difference(Polygon(pen.mm(wedge)).buffer(0.15 * strap))
    pen.lay(*parts_fitting(whole, strap / 2))
    for share_of_bare, side, long in DOWN:
        k = int(share_of_bare * FEATHER_BARE * (len(line) - 1))
        tip = line[k] + (0.55 * ahead[k] + side * 0.84 * aside[k]) * long * some(chance, 0.1)
        knee = 0.5 * (line[k] + tip) - ahead[k] * 0.12 * long
        pen.limb([line[k], knee, tip], [1.3, 1.1, 0.1], point=True)
    step = max(BARB_STEP, pen.units(2.5 * strap + 2.2 * smallest) / math.sin(math.radians(BARB_ANGLE)))
    run = distances_along(line)
    for far in np.arange((FEATHER_BARE + 0.02) * run[-1], 0.93 * run[-1], step):
        k = int(np.searchsorted(run, far))
        for side in (1, -1):
            way = _barb(
                line[k] + aside[k] * side * max(0.7, 1.2 * pen.fine),
                ahead[k],
                aside[k] * side,
                0.80 * sides[side < 0][k],
            )
            if np.hypot(*(way[-1] - way[0])) > 3.2 * pen.slit:
                white = max(0.15 * step, pen.slit)
                pen.cut_line(way, [0.6 * white, white, 0.9 * white, 0.1])
    return pen


def _barb(root: Points, ahead: Points, aside: Points, width: float) -> list[Points]:
    """Return a barb out to that width: an S that leaves the shaft flat and ends along the edge."""
    out = aside + ahead / math.tan(math.radians(BARB_ANGLE)) * 0.62
    end = root + out * width
    across = np.array([-out[1], out[0]]) * (1 if aside[0] * ahead[1] - aside[1] * ahead[0] > 0 else -1)
    return [
        root,
        root + 0.34 * (end - root) - BARB_S * across * width,
        root + 0.70 * (end - root) + 0.3 * BARB_S * across * width,
        end,
    ]


def draw_quill(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return a quill in an inkwell."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, QUILL.frame, strap=strap, smallest=smallest)
    hand, lean = float(chance.choice([-1, 1])), some(chance, 0.12)
    pen.mass(WELL, WELL_CORNERS)
    pen.slab([(-11, 31), (11, 31), (11, 34.2), (-11, 34.2)])
    for k in range(-2, 3):
        pen.cut_drop((k * 5.8, 19.5 - 0.25 * k * k), (k * 6.1, 11.5), 1.75)
    for k in (-1, 1):
        pen.cut_leaf((k * 2.5, 4.2), (k * 16, 4.2), 1.1)
    _feather(pen, np.array([(hand * x * lean, y) for x, y in SHAFT]), hand)
    return pen


def _feather(pen: Pen, way: ArrayLike, hand: float) -> None:
    """Draw the quill's shaft and vane, and cut slits between its barbs."""
    line = pen.limb(way, [1.3, 1.3, 1.2, 1.0, 0.3], point=True)
    ahead, aside = directions(line)
    aside = aside * hand
    (broad, narrow), ring = vane(line, aside, VANE_FROM, VANE)
    pen.outline(ring)
    step = max(BARBS, pen.units(2.4 * pen.strap + 2 * pen.smallest))
    run = distances_along(line)
    for far in np.arange(0.24 * run[-1], 0.93 * run[-1], step):
        k = int(np.searchsorted(run, far))
        for side, width in ((1, broad[k]), (-1, narrow[k])):
            start, end = (
                line[k] + aside[k] * side * 2.0,
                line[k] + (aside[k] * side + 1.1 * ahead[k]) * 0.86 * width,
            )
            if np.hypot(*(end - start)) > 4:
                pen.cut_leaf(start, end, 0.24 * step, 0.07 * side * hand, 0.45)


def _on_page(across: ArrayLike, up: ArrayLike = 0.0) -> Points:
    """Return places on the right page: shares of its width from the spine, and units above its foot."""
    hull = np.array(PAGE_CURVE, dtype=float)
    curve = bezier(*hull)
    share = np.asarray(across, dtype=float)
    slope = (hull[3, 1] - hull[2, 1]) / (hull[3, 0] - hull[2, 0])
    lie = PAGE_RISE * (np.interp(share, *curve.T) + slope * np.maximum(share - 1, 0))
    return np.column_stack([PAGE * share, PAGE_LOW + lie + np.asarray(up)])


def _strip(pen: Pen, start: float, end: float, low: float, high: float) -> Polygon:
    """Return a strip of the right page, mm."""
    share = np.linspace(start, end, 48)
    return Polygon(pen.mm(np.vstack([_on_page(share, low), _on_page(share, high)[::-1]])))


def _cut_on(pen: Pen, side: float, shape: Polygon) -> None:
    """Cut what was drawn for the right page on the page of that side."""
    pen.cut(shapely.transform(shape, lambda xy: xy * (side, 1)))


def draw_book(box: Box, *, strap: float, smallest: float, seed: int) -> Pen:
    """Return an open book: print on a black page, a picture on a white one, a cover, a ribbon."""
    chance = np.random.default_rng(seed)
    pen = Pen(box, BOOK.frame, strap=strap, smallest=smallest)
    edge, cover = max(EDGE[0], EDGE[1] * pen.fine), max(COVER[0], COVER[1] * pen.fine)
    white, spine = max(COVER_WHITE, 2.1 * pen.slit), max(GUTTER[0], GUTTER[1] * pen.fine)
    leaves = 1 + (PAGE * pen.unit > LEAVES * strap)
    low, out = -leaves * (edge + white), 1 + white / PAGE
    pen.lay(_strip(pen, 0, out + cover / PAGE, low - cover, PAGE_HIGH + edge))
    pen.mirror(0)
    inner, outer = spine / PAGE, 1 - edge / PAGE
    hand = float(chance.choice([-1, 1]))
    for line in _print(pen, chance, inner, outer):
        _cut_on(pen, hand, line)
    left = _strip(pen, inner, outer, 0, PAGE_HIGH).difference(shapely.union_all(_picture(pen, chance)))
    for part in sorted(shapely.get_parts(left), key=lambda part: -part.area):
        _cut_on(pen, -hand, part)
    for side in (1, -1):
        start = inner + SPINE_END
        foot, wall = _strip(pen, start, out, low, low + white), _strip(pen, 1, out, low, PAGE_HIGH - edge)
        _cut_on(pen, side, largest_part(foot.union(wall)))
        for k in range(1, leaves):
            _cut_on(pen, side, _strip(pen, start, outer, -k * (edge + white), white - k * (edge + white)))
    if GUTTER[0] > 2.1 * pen.fine + GUTTER_WHITE:
        ends, tie = np.linspace(PAGE_LOW + low + 2.5, PAGE_LOW + PAGE_HIGH - 4.0, 4), 2.2 * pen.fine
        for down, up in itertools.pairwise(ends):
            pen.cut_leaf((0, down + tie), (0, up - tie), GUTTER_WHITE)
    pen.limb([(hand * x * some(chance, 0.3), y) for x, y in RIBBON], [1.9, 1.9, 2.3, 3.2])
    x, y = hand * RIBBON[-1][0], RIBBON[-1][1]
    pen.trim([(x - 8, y - 1.5), (x, y + 2.2), (x + 8, y - 1.5), (x + 8, y - 9), (x - 8, y - 9)])
    return pen


def _print(pen: Pen, chance: np.random.Generator, inner: float, outer: float) -> list[Polygon]:
    """Return the white lines of a black page: a heading, and lines of two words that end by chance."""
    top, foot, beside = TEXT_MARGIN
    half = max(TEXT_HALF, 1.05 * pen.slit)
    room = PAGE_HIGH - top - foot - 2 * half
    lines = max(3, 1 + int(room / max(TEXT_STEP, 2 * half + 2 * WEIGHT * pen.fine)))
    longest = outer - inner - 2 * beside / PAGE
    fulls = longest * (1 - RAGGED * chance.uniform(0, 1, lines))
    fulls[[0, -1]] = np.array([HEADING, LAST_LINE * some(chance, 0.2)]) * longest
    ups = PAGE_HIGH - top - half - room / (lines - 1) * np.arange(lines)
    apart, start = half + 1.2 * pen.fine, inner + beside / PAGE
    drawn = []
    for k, (full, up) in enumerate(zip(fulls, ups, strict=True)):
        tie = start + WORDS[k % 2] * some(chance, 0.1) * longest
        first = start + (longest - full) / 2 if k == 0 else start
        words = [(first, first + full)]
        if k and tie - start > 4 * half / PAGE and first + full - tie > 4 * half / PAGE:
            words = [(first, tie - apart / PAGE), (tie + apart / PAGE, first + full)]
        for begins, ends in words:
            way = pen.mm(_on_page(np.linspace(begins + half / PAGE, ends - half / PAGE, 48), up))
            drawn.append(shapely.LineString(way).buffer(half * pen.unit, quad_segs=12))
    return drawn


def _picture(pen: Pen, chance: np.random.Generator) -> list[Polygon]:
    """Return the picture of a page: a tree on a hill."""
    across, up = open_curve(np.array(HILL) * (PAGE, 1)).T
    hill = Polygon(pen.mm(np.vstack([_on_page(across / PAGE, up), _on_page(across / PAGE, -3.0)[::-1]])))
    foot = _on_page([TREE_AT], 0.0)[0]
    middle, reach = foot + (0, CROWN_UP), np.array(CROWN)
    trunk = open_curve(pen.mm([foot + (-0.4, 4.0), foot + (0.6, 12.0), middle]))
    wide = np.maximum(swelling(TRUNK_HALF, len(trunk)), 1.1 * pen.fine) * pen.unit

    def crown_at(angle: float, share: float) -> Points:
        return pen.mm(middle + share * reach * polar(angle))

    long, slim = CROWN_LEAF
    half = max(slim * long * reach[1], 1.3 * pen.fine)
    count = max(7, int(math.pi * reach.sum() * (1 - 0.5 * long) / (2 * half + 0.6 * pen.gap)))
    crown = [Polygon([crown_at(angle, 1 - 0.55 * long) for angle in np.linspace(0, 360, 73)[:-1]])]
    for angle in 360 / count * (np.arange(count) + chance.uniform()):
        tip = crown_at(angle, some(chance, 0.04))
        crown.append(lens(crown_at(angle, 1 - long), tip, half * pen.unit, widest=0.4))
    (start, end, light), least = CROWN_LIGHTS
    broad = float(reach[1]) * pen.unit / pen.strap
    lights = [
        lens(crown_at(angle, start), crown_at(angle, end), max(light, 1.3 * pen.slit) * pen.unit, widest=0.6)
        for angle in LIGHTS_AT[int(broad > least)]
        if broad > 0.5 * least
    ]
    return [hill, stroke(trunk, wide), shapely.union_all(crown).difference(shapely.union_all(lights))]
