"""What is cut in a wedge: petals, teeth, windows, hearts, arcs, ferns, lattice and their kin.

Each motif draws one unit in (s, v): s from -1 to 1 across it, mirror-symmetric about 0, v from 0 inside to 1
outside. Units may touch; fitting them into the wedge puts straps between. Proportions are *common practice*.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np
from shapely.geometry import Polygon

from canivet.errors import BadValue, suggest
from canivet.motifs.shapes.openings import Points

__all__ = ["UNITS", "Unit", "find_unit"]

Unit = Callable[[int], list[Points]]
"""Takes how finely it is divided, where that means something, and returns the rings of one unit."""

_T = np.linspace(0, 1, 33)


def petal(divisions: int) -> list[Points]:
    """A petal: pointed at both ends, widest beyond its middle."""
    return _split(_sides(np.sin(np.pi * _T**1.35) ** 0.92), divisions)


def leaf(divisions: int) -> list[Points]:
    """A leaf: pointed at both ends, widest below its middle."""
    return _split(_sides(0.8 * np.sin(np.pi * _T**0.8)), divisions)


def drop(divisions: int) -> list[Points]:
    """A drop: pointed inside, round outside."""
    t = np.linspace(0, 2 * np.pi, 65)[:-1]
    ring = np.column_stack([-np.sin(t) * np.sin(t / 2) ** 1.6, (1 - np.cos(t)) / 2])
    return _split(ring, divisions)


def tooth(divisions: int) -> list[Points]:
    """A tooth: a triangle on its broad side."""
    return _split(np.array([(-1.0, 0.0), (1.0, 0.0), (0.0, 1.0)]), divisions)


def lozenge(divisions: int) -> list[Points]:
    """A lozenge, its corners on the four sides."""
    return _split(np.array([(0.0, 0.0), (1.0, 0.5), (0.0, 1.0), (-1.0, 0.5)]), divisions)


def window(divisions: int) -> list[Points]:
    """A pointed window: straight sides, a lancet head, divided by uprights."""
    rise = np.clip((_T - 0.5) / 0.5, 0, 1)
    return _split(_sides(1 - rise**1.9), divisions)


def arch(divisions: int) -> list[Points]:
    """A round-headed window."""
    rise = np.clip((_T - 0.55) / 0.45, 0, 1)
    return _split(_sides(np.sqrt(1 - rise**2)), divisions)


def heart(divisions: int) -> list[Points]:
    """A heart, its point inside."""
    t = np.linspace(0, 2 * np.pi, 97)[:-1]
    x = 16 * np.sin(t) ** 3
    y = 13 * np.cos(t) - 5 * np.cos(2 * t) - 2 * np.cos(3 * t) - np.cos(4 * t)
    ring = np.column_stack([-x / 16, (y + 17) / 28.95])
    return _split(ring, divisions)


def arc(divisions: int) -> list[Points]:
    """Crescents, one within another, their horns inward."""
    rings = []
    edges = np.linspace(0.0, 1.0, max(1, divisions) * 2 + 1)
    s = np.linspace(-1, 1, 41)
    dome = np.sqrt(np.clip(1 - s**2, 0, None))
    for k in range(max(1, divisions)):
        high, low = 1 - edges[2 * k] * 0.75, 1 - edges[2 * k + 1] * 0.75
        outer = np.column_stack([s * high, high * dome])
        inner = np.column_stack([s * high, low * dome])[::-1]
        rings.append(np.vstack([outer, inner[1:-1]]))
    return rings


def fern(divisions: int) -> list[Points]:
    """A fern: pairs of leaflets that rise from a stem and shorten towards the tip."""
    pairs = max(3, divisions)
    rings = []
    for k in range(pairs):
        foot = 0.43 / pairs + (0.8 - 0.4 / pairs) * k / pairs
        spread = 0.98 * (1 - (k / pairs) ** 2.2 * 0.75) * (0.72 + 0.28 * min(1.0, 2.0 * (k + 1) / pairs))
        side = _leaflet(foot, spread, rise=0.26, thick=0.86 / pairs)
        rings += [side, side[::-1] * np.array([-1, 1])]
    tip = _sides(0.16 * np.sin(np.pi * _T**0.9))
    rings.append(tip * np.array([1, 0.19]) + np.array([0, 0.81]))
    return rings


def lattice(divisions: int) -> list[Points]:
    """A lattice of lozenges, so many rows of them."""
    rows = max(1, divisions)
    half = 1 / (2 * rows)
    rings = []
    for k in range(2 * rows + 1):
        centre = k * half
        across = (-0.5, 0.5) if k % 2 else (-1.0, 0.0, 1.0)
        for s in across:
            low, high = max(0.0, centre - half), min(1.0, centre + half)
            ring = [(s, low), (s + 0.5, centre), (s, high), (s - 0.5, centre)]
            if k == 0:
                ring = [(s + 0.5, 0.0), (s, high), (s - 0.5, 0.0)]
            elif k == 2 * rows:
                ring = [(s, low), (s + 0.5, 1.0), (s - 0.5, 1.0)]
            rings.append(np.clip(np.array(ring), (-1, 0), (1, 1)))
    return rings


def bead(divisions: int) -> list[Points]:
    """A row of round beads, one above the other."""
    count = max(1, divisions)
    t = np.linspace(0, 2 * np.pi, 49)[:-1]
    circle = np.column_stack([np.cos(t), 0.5 + 0.5 * np.sin(t)])
    return [circle * np.array([1, 1 / count]) + np.array([0, k / count]) for k in range(count)]


def tulip(divisions: int) -> list[Points]:
    """A tulip: a middle petal between two that bend outward, on a leafy stem."""
    middle = _sides(0.36 * np.sin(np.pi * _T**1.2) ** 0.9) * np.array([1, 0.62]) + np.array([0, 0.38])
    side = _between(
        [(0.04, 0.32), (0.30, 0.36), (0.62, 0.56), (0.86, 1.0)],
        [(0.86, 1.0), (0.50, 0.86), (0.46, 0.62), (0.04, 0.36)],
    )
    low = _between(
        [(0.06, 0.02), (0.45, 0.0), (0.85, 0.12), (0.95, 0.46)],
        [(0.95, 0.46), (0.62, 0.32), (0.28, 0.26), (0.06, 0.24)],
    )
    rings = [middle, side, side[::-1] * np.array([-1, 1])]
    return rings + ([low, low[::-1] * np.array([-1, 1])] if divisions != 0 else [])


def fan(divisions: int) -> list[Points]:
    """A fan: rays that spread from a point inside to a round head."""
    count = max(2, divisions)
    angles = np.linspace(-0.5, 0.5, count + 1) * 2.3
    rings = []
    for a, b in itertools.pairwise(angles):
        t = np.linspace(a, b, 9)
        outer = np.column_stack([np.sin(t) / math.sin(1.15), np.cos(t)])
        inner = 0.16 * outer[::-1]
        rings.append(np.vstack([inner, outer]))
    return rings


UNITS: dict[str, Unit] = {
    "petals": petal, "leaves": leaf, "drops": drop, "teeth": tooth, "lozenges": lozenge, "windows": window,
    "arches": arch, "hearts": heart, "arcs": arc, "ferns": fern, "lattice": lattice, "beads": bead,
    "tulips": tulip, "fans": fan,
}  # fmt: skip
"""Every motif of a wedge by name."""


def find_unit(name: str) -> Unit:
    """Return the motif of that name.

    Raises
    ------
    BadValue
        If there is none.
    """
    key = str(name).strip().lower()
    if key in UNITS:
        return UNITS[key]
    raise BadValue(
        f"motif is {name!r}; a wedge takes one of: {', '.join(UNITS)}.{suggest(key, UNITS)}",
        parameter="motif", value=name, accepted=", ".join(UNITS),
    )  # fmt: skip


def _sides(half_width: Points) -> Points:
    """Return the ring between a half width and its mirror image, from inside to outside and back."""
    right = np.column_stack([half_width, _T])
    left = right[::-1] * np.array([-1, 1])
    ring = np.vstack([right, left])
    steps = np.abs(np.diff(ring, axis=0, append=ring[:1])).sum(axis=1)
    outline: Points = ring[steps >= 1e-9]
    return outline


def _split(ring: Points, divisions: int) -> list[Points]:
    """Divide a shape by upright bars into an even number of lights, or leave it whole."""
    if divisions < 2:
        return [ring]
    whole = Polygon(ring)
    cuts = np.linspace(-1, 1, divisions + 1)
    rings = []
    for a, b in itertools.pairwise(cuts):
        light = whole.intersection(Polygon([(a, -1), (b, -1), (b, 2), (a, 2)]))
        if light.geom_type == "Polygon" and not light.is_empty:
            rings.append(np.array(light.exterior.coords)[:-1])
    return rings


def _leaflet(foot: float, spread: float, *, rise: float, thick: float) -> Points:
    """Return a leaflet to the right of a stem: a lens along a line that curves upward."""
    t = np.linspace(0, 1, 17)
    spine = np.column_stack([spread * t, foot + rise * t**1.6])
    half = 0.5 * thick * np.sin(np.pi * t**0.75) ** 0.8
    half[[0, -1]] = 0.0
    over, under = spine + np.array([0, 1]) * half[:, None], spine - np.array([0, 1]) * half[:, None]
    return np.vstack([under, over[::-1][1:-1]])


def _between(low: list[tuple[float, float]], high: list[tuple[float, float]]) -> Points:
    """Return the area between two curves, each through four guiding points (Bézier)."""
    t = np.linspace(0, 1, 17)[:, None]
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
    return np.vstack([(weights @ np.array(low))[:-1], (weights @ np.array(high))[:-1]])
