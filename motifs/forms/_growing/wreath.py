"""The wreath: leaves on both sides of a ring, the same in the mirror."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import shapely
from shapely.affinity import scale
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import some
from canivet.motifs.forms._strokes import Blade, band, blade, bow, disc, drop, pierced_blade, turned
from canivet.motifs.shapes.lines import along
from canivet.motifs.shapes.openings import Points

from .plant import Plant

__all__ = ["grow_wreath"]

_ROOMY = 38.0
"""A wreath narrower than this many straps has leaves on the outside only, and so stays open."""


def grow_wreath(width: float, height: float, *, strap: float, smallest: float, seed: int) -> Plant:
    """Return a ring of leaves that rises on both sides from the bottom, the same in the mirror."""
    chance = np.random.default_rng(seed)
    plant = Plant(strap, smallest)
    short = min(width, height)
    leaf = strap * (1.3 + 1.02 * math.sqrt(short / strap))
    if short < _ROOMY * strap:
        leaf = 4.4 * strap
    leaf = min(leaf, 0.3 * short)
    a, b = 0.5 * width - 0.62 * leaf, 0.5 * height - 0.62 * leaf
    line = _half_ring(a, b)
    widths = np.linspace(strap * (0.74 + 0.006 * short / strap), 0.54 * strap, len(line))
    half_ring = band(line, widths)
    plant.stems.append(shapely.union_all([half_ring, _mirror(half_ring)]))
    run = float(np.hypot(*np.diff(line, axis=0).T).sum())
    fat = 0.19 * leaf * some(chance, 0.08)
    _knot(plant, b, leaf)
    for hand, size, length in ((-1, 1.0, run), (1, 0.8, run * (1 - 0.5 * leaf / min(a, b)))):
        if hand > 0 and short < _ROOMY * strap:
            continue
        pitch = (1.9 * fat * size + plant.gap) / math.sin(math.radians(46))
        count = max(3, int(0.84 * length / pitch))
        for k in range(count):
            share = 0.1 + 0.82 * k / (count - 1)
            at, unit = along(line, share)
            carrier = float(np.interp(share, np.linspace(0, 1, len(line)), widths))
            ahead = turned(unit, hand * (45 if hand < 0 else 54) * some(chance, 0.06))
            _leaf_pair(plant, at, ahead, leaf * size * some(chance, 0.06), fat * size, carrier, hand)
    return plant


def _half_ring(a: float, b: float) -> Points:
    """Return the right half of an oval from its lowest point to its highest."""
    turn = np.linspace(-np.pi / 2, np.pi / 2, 90)
    return np.column_stack([a * np.cos(turn), b * np.sin(turn)])


def _mirror(shape: Polygon) -> Polygon:
    return scale(shape, -1, 1, origin=(0, 0))


def _leaf_pair(
    plant: Plant, root: Points, unit: Points, length: float, half: float, carrier: float, hand: int
) -> None:
    """Put a leaf on the right of the ring and its mirror image on the left, or neither."""
    for shorter in (1.0, 0.88, 0.76, 0.62):
        size = length * shorter
        if size < carrier + 2.4 * plant.strap:
            return
        leaf = blade(
            bow(root, root + unit * size, 0.08 * hand, late=0.05), half, strap=plant.strap,
            stalk=carrier + 0.4 * plant.strap,
        )  # fmt: skip
        if leaf.outline.bounds[0] < 0.5 * plant.gap:
            continue
        both = shapely.union_all([leaf.outline, _mirror(leaf.outline)])
        cuts = partial(_both_cuts, leaf, plant)
        grip = min(carrier + 1.9 * plant.strap + 0.2 * size, 0.68 * size)
        if plant.sprout(both, np.array([root, root * [-1, 1]]), grip=grip, openings=cuts) >= 0:
            return


def _both_cuts(leaf: Blade, plant: Plant) -> list[Polygon]:
    cuts = pierced_blade(leaf, strap=plant.strap, smallest=plant.smallest)
    return [*cuts, *(_mirror(c) for c in cuts)]


def _knot(plant: Plant, b: float, leaf: float) -> None:
    """Set three berries at the foot of the ring, where the branches spring, and a bud where they meet."""
    radius = max(1.1 * plant.strap, 0.16 * leaf)
    low = disc(np.array([0.0, -b - 0.9 * radius]), radius)
    side = disc(np.array([1.15 * radius, -b + 0.55 * radius]), radius)
    plant.stems.append(shapely.union_all([low, side, _mirror(side)]))
    if 0.62 * leaf > 4.4 * plant.strap:
        top = drop(np.array([0.0, b]), np.array([0.0, b + 0.62 * leaf]), 0.15 * leaf, strap=plant.strap)
        plant.stems += [top, _mirror(top)]
    else:
        plant.stems.append(disc(np.array([0.0, b + 0.5 * radius]), radius))
