"""The tree: roots, a trunk, branches that grow towards points strewn in its crown, leaves on the twigs."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.motifs.forms._chance import Chance, some
from canivet.motifs.forms._strokes import band, bezier, stroke, turned
from canivet.motifs.shapes.lines import along
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import parts_fitting

from .plant import Plant
from .stems import put_leaf, taper

__all__ = ["branch_half", "grow_tree", "tree_frame"]

_FINEST = 200.0
"""Straps in the height of a tree past which its leaves grow larger and not more: nobody cuts a thousand."""

_STEPS = 400
"""Rounds of growth at the most; a crown is full after some thirty."""

_FINE = 0.54
"""Half a twig's width in straps."""

_DA_VINCI = 2.0
"""Power of the widths at a fork that adds up to the trunk's: 2 keeps the cross-section."""

_TRUNK, _TRUNK_GROWS = 0.9, 0.028
"""Half the trunk's width in straps, and how it grows with the height in straps."""

_LEAFY = {True: 0.72, False: 0.42}
"""From what share of the trunk, of a branch on there are leaves: at the ends only, or the crown fills up."""

_ROOTS = ((-1.0, 1.0), (-0.58, 0.8), (0.62, 0.8), (1.0, 1.0))
"""How far out each root runs, and how high on the trunk it begins: shares of the most."""

_UPWARD = np.array([0.0, 0.12])
"""What the light adds to the pull of the points in the crown: a share of one point's."""


def grow_tree(
    width: float, height: float, *, strap: float, smallest: float, seed: int, frame: tuple[Points, list[int]]
) -> Plant:
    """Return a tree: roots, a trunk that forks again and again into a round crown, leaves on the twigs."""
    chance = np.random.default_rng(seed)
    plant = Plant(strap, smallest)
    size, unit = height / strap, max(strap, height / _FINEST)
    leaf = unit * (2.5 + 0.32 * math.sqrt(height / unit))
    nodes, parents = frame
    nodes = nodes * np.array([width, height])
    tips = _tips_beyond(parents)
    trunk = strap * (_TRUNK + _TRUNK_GROWS * size)
    half = np.maximum(_FINE * strap, branch_half(tips, trunk))
    nodes = _calmed(nodes, parents)
    limbs = _limbs(parents, tips)
    numbers: dict[int, int] = {}
    plant.stems += _bole(nodes, limbs[0], half, width, height, trunk, strap)
    grown = [(limbs[0], -1)]
    numbers.update(dict.fromkeys(limbs[0], -1))
    for limb in sorted(limbs[1:], key=lambda limb: -half[limb[1]]):
        if limb[0] not in numbers:
            continue
        line = _smooth(_tangent(nodes, parents, limb))
        carrier = half[limb[0]]
        thin = np.interp(np.linspace(0, 1, len(line)), np.linspace(0, 1, len(limb)), half[limb])
        thin = np.minimum(thin, half[limb[1]])
        grip = carrier + 1.6 * (plant.gap + half[limb[1]])
        number = plant.sprout(stroke(line, thin), nodes[limb[0]], grip=grip, parent=numbers[limb[0]])
        if number >= 0:
            numbers.update(dict.fromkeys(limb[1:], number))
            grown.append((limb, number))
    for limb, number in grown:
        _leaves_on(plant, chance, _smooth(nodes[limb]), half[limb], leaf, number, _LEAFY[number < 0])
    return plant


def tree_frame(width: float, height: float, *, strap: float, seed: int) -> tuple[Points, list[int]]:
    """Grow nodes towards points strewn in the crown, each point drawing the node nearest to it.

    Returns the nodes as shares of width and height, the lowest first, and the number each of them grew from.

    References
    ----------
    A. Runions, B. Lane and P. Prusinkiewicz, *Modeling trees with a space colonization algorithm*, 2007
    (from memory).
    """
    chance = np.random.default_rng(seed)
    unit = max(strap, height / _FINEST)
    size = math.sqrt(height / unit)
    spread, margin = unit * (1.4 + 0.38 * size), 0.6 * unit * (2.5 + 0.32 * size)
    low, step = 0.34 * height, 0.4 * spread
    middle = np.array([width / 2, 0.5 * (low + height)])
    axes = np.array([width / 2 - margin, 0.5 * (height - low) - margin])
    wanted = _strewn(chance, middle, axes, 0.8 * spread)
    rise = np.arange(0, 0.3 * height, step)
    lean = 0.03 * width * chance.uniform(-1, 1)
    nodes = [np.array([width / 2 + lean * math.sin(3 * y / height), y]) for y in rise]
    parents = list(range(-1, len(nodes) - 1))
    for _ in range(_STEPS):
        grown, grew_from = _reach_out(np.array(nodes), wanted, step)
        if not grown:
            break
        nodes += grown
        parents += grew_from
        wanted = wanted[_distances(wanted, np.array(nodes)).min(axis=1) > 1.15 * step]
        if not len(wanted):
            break
    return np.array(nodes) / (width, height), parents


def _distances(one: Points, other: Points) -> Points:
    """Return how far each point of one is from each of the other, shape (len(one), len(other))."""
    from scipy.spatial.distance import cdist  # imported here: the catalogue is light

    far: Points = cdist(one, other)
    return far


def _reach_out(nodes: Points, wanted: Points, step: float) -> tuple[list[Points], list[int]]:
    """Return a new node beside each that some point draws, and which node each grew from."""
    away = _distances(wanted, nodes)
    nearest = away.argmin(axis=1)
    grown, grew_from = [], []
    for k in np.unique(nearest):
        drawn = nearest == k
        pull = ((wanted[drawn] - nodes[k]) / away[drawn, k][:, None]).sum(axis=0) + _UPWARD
        new = nodes[k] + step * pull / max(1e-9, float(np.hypot(*pull)))
        if np.hypot(*(nodes - new).T).min() >= 0.5 * step:
            grown.append(new)
            grew_from.append(int(k))
    return grown, grew_from


def _strewn(chance: Chance, middle: Points, axes: Points, apart: float) -> Points:
    """Return points in an oval, none nearer to another than `apart`."""
    tries = int(12 * axes.prod() * np.pi / apart**2) + 20
    kept: list[Points] = []
    for _ in range(min(tries, 6000)):
        turn, far = chance.uniform(0, 2 * np.pi), math.sqrt(chance.uniform())
        point = middle + axes * far * np.array([math.cos(turn), math.sin(turn)])
        if not kept or np.hypot(*(np.array(kept) - point).T).min() >= apart:
            kept.append(point)
    return np.array(kept)


def _tips_beyond(parents: list[int]) -> Points:
    """Return how many ends each node carries."""
    tips = np.zeros(len(parents))
    has_child = set(parents)
    for k in range(len(parents) - 1, -1, -1):
        if k not in has_child:
            tips[k] = 1
        if parents[k] >= 0:
            tips[parents[k]] += tips[k]
    return tips


def _calmed(nodes: Points, parents: list[int]) -> Points:
    """Draw each node towards the middle between its parent and its children: steps become curves."""
    up = np.maximum(np.array(parents), 0)
    count = np.bincount(up[1:], minlength=len(nodes))
    for _ in range(4):
        below = np.zeros_like(nodes)
        np.add.at(below, up[1:], nodes[1:])
        inner = count > 0
        inner[0] = False
        moved = nodes.copy()
        moved[inner] = 0.5 * nodes[inner] + 0.25 * nodes[up[inner]] + 0.25 * below[inner] / count[inner, None]
        nodes = moved
    return nodes


def _limbs(parents: list[int], tips: Points) -> list[list[int]]:
    """Return the branches from root to end, each going on along its stoutest child, the trunk first."""
    children: dict[int, list[int]] = {}
    for k, parent in enumerate(parents):
        children.setdefault(parent, []).append(k)
    limbs, waiting = [], [[-1, 0]]
    while waiting:
        limb = waiting.pop(0)
        while limb[-1] in children:
            first, *others = sorted(children[limb[-1]], key=lambda k: (-tips[k], k))
            waiting += [[limb[-1], other] for other in others]
            limb.append(first)
        limbs.append(limb if limb[0] >= 0 else limb[1:])
    return [limb for limb in limbs if len(limb) > 2]


def branch_half(tips: Points, trunk: float) -> Points:
    """Return half the width of a branch that carries so many twigs, where the first is the trunk.

    References
    ----------
    J. P. Richter, *The Notebooks of Leonardo da Vinci*, 1883 (from memory): all branches at every stage, put
    together, are as thick as the trunk, so the squares of their widths add up to that of the trunk's.
    """
    half: Points = trunk * (tips / tips[0]) ** (1 / _DA_VINCI)
    return half


def _tangent(nodes: Points, parents: list[int], limb: list[int]) -> Points:
    """Return the nodes of a branch, begun one node down its parent, so that it leaves it along the grain."""
    below = parents[limb[0]]
    return nodes[limb] if below < 0 else np.vstack([0.5 * (nodes[below] + nodes[limb[0]]), nodes[limb]])


def _smooth(points: Points) -> Points:
    """Round off a line of nodes by cutting its corners twice; both ends stay."""
    for _ in range(2):
        cut = np.empty((2 * len(points) - 2, 2))
        cut[0::2], cut[1::2] = 0.75 * points[:-1] + 0.25 * points[1:], 0.25 * points[:-1] + 0.75 * points[1:]
        points = np.vstack([points[:1], cut, points[-1:]])
    return points


def _bole(
    nodes: Points, limb: list[int], half: Points, width: float, height: float, trunk: float, strap: float
) -> list[Polygon]:
    """Return the trunk up to its end, with the roots it stands on."""
    line = _smooth(nodes[limb])
    thin = np.interp(np.linspace(0, 1, len(line)), np.linspace(0, 1, len(limb)), half[limb])
    foot = line[0]
    parts = [band(line, thin)]
    reach = min(0.3 * width, 0.24 * height)
    for aside, rise in _ROOTS:
        end = foot + np.array([aside * reach, 0.0])
        start = foot + np.array([0.3 * aside * trunk, 0.13 * height * rise])
        low = foot + np.array([0.32 * aside * reach, 0.5 * strap])
        root = bezier(start, start - (0, 0.08 * height * rise), low, end)
        parts.append(stroke(root, _root_widths(root, 0.66 * trunk, strap)))
    floor = shapely.box(foot[0] - width, foot[1] - 0.36 * strap, foot[0] + width, 2 * height)
    return parts_fitting(shapely.union_all(parts).intersection(floor), strap / 2)


def _root_widths(line: Points, base: float, strap: float) -> Points:
    """Return the half-widths of a root that lies on the ground, where its lower half is cut off.

    What is left is a strap high to its round end; half a point would be too slender.
    """
    return taper(len(line), base, 0.74 * strap)


def _leaves_on(
    plant: Plant, chance: Chance, line: Points, half: Points, leaf: float, parent: int, first: float
) -> None:
    """Set leaves along a twig by turns, and one at its end."""
    run = float(np.hypot(*np.diff(line, axis=0).T).sum())
    end, unit = along(line, 1.0)
    put_leaf(
        plant,
        end - unit * plant.strap,
        unit,
        leaf + plant.strap,
        0.24 * leaf,
        carrier=0.5 * plant.strap,
        parent=parent,
        stalk=0.0,
    )
    hand = 1.0
    for share in np.arange(0.95, first, -0.42 * leaf / run):
        at, unit = along(line, float(share))
        carrier = float(np.interp(share, np.linspace(0, 1, len(half)), half))
        if carrier > 1.4 * plant.strap:
            continue
        for side in (hand, -hand):
            put_leaf(
                plant, at, turned(unit, side * 48 * some(chance, 0.15)), leaf * some(chance), 0.22 * leaf,
                bend=0.09 * side, carrier=carrier, parent=parent, stalk=0.0, shorter=(1.0, 0.85, 0.7),
            )  # fmt: skip
        hand = -hand
