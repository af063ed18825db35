"""How stems are clothed: sprigs, branches and clusters of berries, grown in a box.

Every form grows upright in a frame `width × height` from `chance` alone. Leaves are counted from the square
root of size and strap, so that a larger form has both more of them and larger ones.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

import numpy as np
import shapely
from scipy.sparse.csgraph import connected_components
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import Chance, some
from canivet.motifs.forms._strokes import (
    Blade,
    bezier,
    blade,
    bow,
    disc,
    drop,
    pierced_blade,
    rounded,
    stroke,
    turned,
)
from canivet.motifs.shapes.lines import along
from canivet.motifs.shapes.openings import Points

from .plant import Plant

__all__ = ["grow_berries", "grow_branch", "grow_sprig", "put_leaf", "taper"]

_SHORTER = (1.0, 0.86, 0.73, 0.6)
"""A leaf that finds no room is tried this much shorter before it is left out."""

_BERRY, _BUNCH = 0.58, 0.68
"""Radius of a berry, to the root of the cluster's height times the strap; and how broad the bunch is beside
its leaves, of the whole width."""

_HEAD, _FULLEST = 0.81, 0.74
"""Of its height: where the bunch begins under the leaves; of the bunch, from the tip: where it is fullest."""

_SLENDER, _ROUND, _WITHIN = 0.55, 0.85, 0.6
"""How the bunch runs out to its tip: at 1 straight; how round its shoulders are; and how many radii the
middles of berries stay inside its outline."""

_ASLANT, _UNLIKE = (8.0, 22.0), 0.05
"""Degrees that rows of berries lie aslant, since level ones look stacked; and how unlike in size they are."""

_WELD = 1.3
"""Straps: how wide two berries hold on to each other, at least."""


def taper(count: int, base: float, end: float, power: float = 1.25) -> Points:
    """Return half-widths that run from `base` to `end`, quickest at first."""
    widths: Points = end + (base - end) * (1 - np.linspace(0, 1, count)) ** power
    return widths


def put_leaf(
    plant: Plant,
    root: Points,
    unit: Points,
    length: float,
    half: float,
    *,
    bend: float = 0.0,
    carrier: float = 0.0,
    parent: int = -1,
    stalk: float = 0.08,
    widest: float = 0.42,
    teeth: float = 0.0,
    pierced: bool = True,
    shorter: tuple[float, ...] = _SHORTER,
) -> int:
    """Put a leaf on a stem of half-width `carrier`, shorter where there is no room for the whole of it.

    Returns its number, or -1 where none found room.
    """
    for share in shorter:
        size, fat = length * share, half * (0.4 + 0.6 * share)
        if size < carrier + 2.6 * plant.strap:
            return -1
        # Most leaves that have no room have none at the tip: seen at once, before the leaf is drawn.
        axis = shapely.linestrings([root + unit * 0.7 * size, root + unit * size])
        if not plant.is_clear(axis, 0.8 * plant.gap):
            continue
        line = bow(root, root + unit * size, bend, late=0.05)
        petiole = carrier + max(stalk * size, 0.4 * plant.strap)
        leaf = blade(line, fat, strap=plant.strap, stalk=petiole, widest=widest, teeth=teeth)
        cut = _piercing(plant, leaf) if pierced else tuple
        grip = min(carrier + 1.6 * plant.strap + 0.12 * size, 0.6 * size)
        number = plant.sprout(leaf.outline, root, grip=grip, openings=cut, parent=parent)
        if number >= 0:
            return number
    return -1


def _piercing(plant: Plant, leaf: Blade) -> Callable[[], Sequence[Polygon]]:
    return partial(pierced_blade, leaf, strap=plant.strap, smallest=plant.smallest)


def _end_leaf(plant: Plant, line: Points, length: float, half: float, parent: int = -1) -> None:
    """Grow the leaf a stem ends in; it overlaps the stem by two straps."""
    end, _ = along(line, 1.0)
    leaf = _leaf_at_end(plant, line, length, half)
    plant.sprout(leaf.outline, end, grip=3 * plant.strap, openings=_piercing(plant, leaf), parent=parent)


def _leaf_at_end(plant: Plant, line: Points, length: float, half: float) -> Blade:
    end, unit = along(line, 1.0)
    start = end - unit * min(2 * plant.strap, 0.3 * length)
    return blade(
        bow(start, end + unit * length, 0.03), half, strap=plant.strap, stalk=1.5 * plant.strap, widest=0.42
    )


def grow_sprig(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Plant:
    """Return a stem in a gentle curve with leaves to either side by turns, and one at its end."""
    chance = np.random.default_rng(seed)
    plant = Plant(strap, smallest, frame=width)
    side = chance.choice([-1.0, 1.0])
    middle, sway = width / 2, side * width * 0.11 * some(chance, 0.4)
    top = 0.24 * height * some(chance, 0.12)
    line = bezier(
        (middle - sway, 0), (middle - 0.4 * sway, 0.3 * height),
        (middle + 1.5 * sway, 0.55 * height), (middle + 0.1 * sway, height - top),
    )  # fmt: skip
    size = height / strap
    widths = taper(len(line), strap * (0.78 + 0.011 * size), 0.53 * strap)
    plant.stems.append(stroke(line, widths))
    slim = float(np.clip(0.40 * (25 / size) ** 0.25, 0.2, 0.42))
    _end_leaf(plant, line, top, 0.5 * slim * top * 1.1)
    reach = 0.5 * width
    pitch = (slim * 0.62 * width + plant.gap) / math.sin(math.radians(56))
    stretch = 0.78 * (height - top)
    pairs = max(2, round(stretch / max(pitch, 3 * strap)))
    for k in range(2 * pairs):
        share = 0.15 + 0.78 * (k + 0.5 * chance.uniform(-0.25, 0.25)) / (2 * pairs - 1)
        at, unit = along(line, share)
        hand = side if k % 2 else -side
        angle = (60 - 16 * share) * some(chance, 0.07)
        full = 0.78 + 0.34 * math.sin(math.pi * min(1.0, share * 1.15) ** 0.8) - 0.36 * share
        length = reach * full / math.sin(math.radians(angle)) * some(chance, 0.06)
        half = min(0.5 * slim * length * some(chance), 0.5 * (pitch * 0.9 - plant.gap) + 0.3 * strap)
        carrier = float(np.interp(share, np.linspace(0, 1, len(widths)), widths))
        put_leaf(plant, at, turned(unit, hand * angle), length, half, bend=0.09 * hand, carrier=carrier)
    return plant


def grow_branch(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Plant:
    """Return a bough with twigs by turns, leaves along them, and buds."""
    chance = np.random.default_rng(seed)
    plant = Plant(strap, smallest, frame=width)
    side = chance.choice([-1.0, 1.0])
    middle, sway = width / 2, side * width * 0.13 * some(chance, 0.2)
    size = height / strap
    leaf = min(1.75 * math.sqrt(height * strap), 0.45 * width)
    line = bezier(
        (middle - 1.5 * sway, 0), (middle - 0.2 * sway, 0.2 * height),
        (middle + 2.2 * sway, 0.55 * height), (middle - 0.2 * sway, height - 0.75 * leaf),
    )  # fmt: skip
    widths = taper(len(line), strap * (0.95 + 0.012 * size), 0.54 * strap, 1.1)
    plant.stems.append(stroke(line, widths))
    fat = 0.2 * leaf * some(chance)
    _end_leaf(plant, line, 0.9 * leaf, fat)
    twigs = int(np.clip(round(height / (1.15 * leaf)), 2, 9))
    grown: list[tuple[Points, Points, int]] = []
    for k in range(twigs):
        share = 0.16 + 0.66 * (k + chance.uniform(-0.15, 0.15)) / max(1, twigs - 1)
        hand = -side if k % 2 else side
        grown += _twig(plant, chance, line, widths, share, hand, width, leaf, fat)
    for twig, thin, number in grown:
        _leaf_up(plant, chance, twig, thin, leaf, fat, number, first=0.25)
    _leaf_up(plant, chance, line, widths, leaf, fat, -1, first=0.1)
    return plant


def _twig(
    plant: Plant, chance: Chance, line: Points, widths: Points, share: float, hand: float, width: float,
    leaf: float, fat: float,
) -> Iterator[tuple[Points, Points, int]]:  # fmt: skip
    """Yield a twig to one side that reaches nearly to the edge of the box, if it finds room."""
    at, unit = along(line, share)
    angle = hand * (52 - 10 * share) * some(chance, 0.1)
    ahead = turned(unit, angle)
    edge = width if ahead[0] > 0 else 0.0
    room = min(abs(edge - at[0]) / max(0.35, abs(ahead[0])), 0.9 * width) - 0.6 * leaf
    carrier = float(np.interp(share, np.linspace(0, 1, len(widths)), widths))
    for shorter in (1.0, 0.85, 0.7, 0.55, 0.4):
        length = room * shorter * (1 - 0.3 * share) * some(chance, 0.05)
        if length < carrier + 0.5 * leaf:
            return
        twig = bow(at, at + ahead * length, 0.1 * hand, late=0.05)
        base = min(carrier, plant.strap * (0.62 + 0.004 * length / plant.strap))
        thin = taper(len(twig), base, 0.53 * plant.strap)
        end = _leaf_at_end(plant, twig, 0.8 * leaf * some(chance), fat)
        shape = shapely.union_all([stroke(twig, thin), end.outline])
        grip = 1.15 * (carrier + 0.7 * plant.strap + plant.gap) / abs(math.sin(math.radians(angle)))
        number = plant.sprout(shape, at, grip=grip, openings=_piercing(plant, end))
        if number >= 0:
            yield twig, thin, number
            return


def _leaf_up(
    plant: Plant, chance: Chance, line: Points, widths: Points, leaf: float, fat: float, parent: int,
    *, first: float,
) -> None:  # fmt: skip
    """Set leaves along a twig by turns, one at its end, and a bud here and there."""
    run = float(np.hypot(*np.diff(line, axis=0).T).sum())
    places = max(1, round(run * (0.92 - first) / (0.36 * leaf)))
    hand = 1.0 if chance.uniform() < 0.5 else -1.0
    for k in range(places):
        share = first + (0.92 - first) * (k + 0.3 * chance.uniform(-0.5, 0.5)) / max(1, places - 1)
        at, unit = along(line, min(share, 0.96))
        carrier = float(np.interp(share, np.linspace(0, 1, len(widths)), widths))
        size = leaf * (1.0 - 0.18 * share) * some(chance, 0.1)
        angle, half = 50 * some(chance, 0.12), fat * some(chance)
        for side in (hand, -hand):
            leaf_put = put_leaf(
                plant, at, turned(unit, side * angle), size, half, bend=0.1 * side, carrier=carrier,
                parent=parent,
            )  # fmt: skip
            if leaf_put < 0:
                _bud(plant, at, turned(unit, side * 48), carrier, parent)
            elif chance.uniform() < 0.7:
                break
        hand = -hand


def _bud(plant: Plant, at: Points, unit: Points, carrier: float, parent: int) -> None:
    length = carrier + 3.4 * plant.strap
    shape = drop(at, at + unit * length, 0.95 * plant.strap, strap=plant.strap)
    plant.sprout(shape, at, grip=carrier + 1.4 * plant.strap, parent=parent)


def grow_berries(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Plant:
    """Return a hanging bunch: a stalk from the top with leaves, and rows of berries in each other's gaps."""
    chance = np.random.default_rng(seed)
    plant = Plant(strap, smallest, frame=width)
    side = chance.choice([-1.0, 1.0])
    natural = max(1.7 * strap, _BERRY * math.sqrt(height * strap))
    most = max(2, round(_BUNCH * width / (2 * natural)))
    berry = _BUNCH * width / (2 * most)
    head = _HEAD * height
    middle, sway = width / 2, side * width * 0.05 * some(chance, 0.4)
    stalk = [
        (middle + 1.6 * sway, height), (middle + sway, 0.6 * height + 0.4 * head),
        (middle, 0.3 * height + 0.7 * head), (middle, head - berry),
    ]  # fmt: skip
    line = bezier(*stalk)
    stout = strap * (0.8 + 0.009 * height / strap)
    widths = taper(len(line), stout, 0.7 * strap)
    plant.stems.append(stroke(line, widths))
    _berry_leaves(plant, chance, line, widths, width, height, side)
    leaves = shapely.union_all([sprout.shape for sprout in plant.sprouts])
    # two of the smallest circles as far apart share a chord a little wider than a strap
    apart = 2 * math.sqrt(((1 - _UNLIKE) * berry) ** 2 - (_WELD * strap / 2) ** 2)
    places = _bunch(chance, (middle, berry), berry, head, apart)
    places = places[shapely.distance(shapely.points(places), leaves) > 1.05 * berry + plant.gap]
    places = _held(places, 2.1 * berry)
    if len(places) < 3:
        places = _strung((middle, berry), head - 2 * berry, apart)
    top = places[np.argmax(places[:, 1] - 0.7 * np.abs(places[:, 0] - middle))]
    line = bezier(stalk[0], stalk[1], stalk[2], top)
    plant.stems[0] = stroke(line, taper(len(line), stout, 0.7 * strap))
    for at in places:
        radius = berry * some(chance, _UNLIKE)
        # the berry that the stalk ends in has no light, which would part the two
        light = tuple if (at == top).all() else partial(_shine, at, berry, plant)
        plant.sprout(disc(at, radius), at, grip=1.1 * berry, openings=light)
    return plant


def _bunch(chance: Chance, tip: tuple[float, float], berry: float, head: float, apart: float) -> Points:
    """Return the middles of berries set close above a tip, their rows aslant, in the outline of a bunch."""
    turn = math.radians(chance.uniform(*_ASLANT)) * chance.choice([-1, 1])
    count = 2 + math.ceil(2 * head / apart)
    i, j = np.meshgrid(np.arange(-count, count + 1), np.arange(-count, count + 1))
    x, y = apart * (i + j / 2), apart * (j * math.sqrt(3) / 2)
    across = x * math.cos(turn) - y * math.sin(turn)
    up = x * math.sin(turn) + y * math.cos(turn)
    share = (up + berry) / head
    inside = (share > 0) & (up < head - 2 * berry)
    full = np.clip(share, 0, 1)
    shoulder = np.clip((full - _FULLEST) / (1 - _FULLEST), 0, 1)
    half = _BUNCH * tip[0] * (full / _FULLEST) ** _SLENDER * np.sqrt(1 - _ROUND * shoulder**2)
    inside &= (np.abs(across) < half - _WITHIN * berry) | ((i == 0) & (j == 0))
    found: Points = np.column_stack([across[inside], up[inside]]) + tip
    return found


def _strung(tip: tuple[float, float], high: float, apart: float) -> Points:
    """Return the middles of berries one above the other by turns, where a bunch has no room for more."""
    count = max(2, 1 + math.floor(high / (0.8 * apart)))
    k = np.arange(count)
    found: Points = np.column_stack([tip[0] + 0.3 * apart * (-1.0) ** k, tip[1] + 0.8 * apart * k])
    return found


def _held(places: Points, reach: float) -> Points:
    """Return the most places that hang together and have two others within reach, the lowest needing one."""
    while len(places) > 2:
        near = np.hypot(*(places[:, None] - places).transpose(2, 0, 1)) < reach
        _, part = connected_components(near)
        stays = (near.sum(axis=1) > 2) | ((places[:, 1] == places[:, 1].min()) & (near.sum(axis=1) > 1))
        stays &= part == np.bincount(part).argmax()
        if stays.all():
            break
        places = places[stays]
    return places


def _berry_leaves(
    plant: Plant, chance: Chance, line: Points, widths: Points, width: float, height: float, side: float
) -> None:
    for k, hand in enumerate((side, -side)):
        share = 0.1 + 0.07 * k
        at, unit = along(line, share)
        ahead = turned(unit, hand * 76 * some(chance, 0.06))
        length = min(0.5 * width / abs(ahead[0]), 0.62 * height) * some(chance, 0.05)
        put_leaf(
            plant, at, ahead, length, 0.21 * length, bend=-0.12 * hand,
            carrier=float(widths[0]), widest=0.45, stalk=0.02,
        )  # fmt: skip


def _shine(centre: Points, radius: float, plant: Plant) -> tuple[Polygon, ...]:
    """Return the light on a berry: a lens up on one side, where there is room for it."""
    inner = min(radius - 1.08 * plant.strap, 0.66 * radius)
    thick = max(2.3 * plant.smallest, 0.5 * inner)
    if inner < 0.75 * thick:
        return ()
    whole = shapely.Point(centre).buffer(inner, quad_segs=16)
    shade = shapely.Point(centre - thick * np.array([0.8, 0.6])).buffer(inner, quad_segs=16)
    return tuple(rounded(whole.difference(shade), 0.9 * plant.smallest, plant.smallest)[:1])
