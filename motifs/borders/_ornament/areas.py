"""Openings of a border drawn as areas: split, softened, thinned and made exactly alike left and right."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.shapes import rounds
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import disc, inscribed_radius, largest_part

__all__ = [
    "CHORD_LOSS",
    "Cut",
    "both",
    "box",
    "circle",
    "diagonal",
    "hung",
    "lens",
    "mirrored",
    "polygon",
    "rhomb",
    "softened",
    "stretched",
    "stroke",
    "worth_ring",
]

Cut = Callable[..., list[Points]]
"""What makes rings of an area: `Ornament.cut` or `Ornament.cut_corner`."""

CHORD_LOSS = 0.01
"""mm added to each strap for the flattening and thinning of the arcs drawn here."""

_SEGMENTS = 48
"""Sides to a quarter circle: under 0.005 mm off up to a radius of 35 mm."""

_THIN = 0.003
"""mm that thinning may move an edge: a third of `CHORD_LOSS`: two edges of a strap and its arcs."""


def box(left: float, low: float, right: float, high: float) -> BaseGeometry:
    """Return an upright oblong, empty where its sides cross."""
    return shapely.box(left, low, right, high) if left < right and low < high else Polygon()


def circle(x: float, y: float, radius: float) -> BaseGeometry:
    """Return a disc, empty where the radius is not above 0."""
    return disc(x, y, radius, sides=_SEGMENTS)


def stretched(wide: float, tall: float) -> Polygon:
    """Return an ellipse about the origin with these half axes."""
    turn = np.linspace(0, 2 * np.pi, 4 * _SEGMENTS, endpoint=False)
    return Polygon(np.column_stack([wide * np.cos(turn), tall * np.sin(turn)]))


def polygon(*corners: tuple[float, float]) -> Polygon:
    """Return the polygon with these corners."""
    return Polygon(corners)


def rhomb(x: float, y: float, half: float, tall: float) -> Polygon:
    """Return a rhomb on its point about a place, empty where half its width or height is not above 0."""
    if half <= 0 or tall <= 0:
        return Polygon()
    return polygon((x - half, y), (x, y - tall), (x + half, y), (x, y + tall))


def hung(area: BaseGeometry, height: float) -> BaseGeometry:
    """Return what stands on the rail of a strip so high as it hangs from its rim."""
    turned: BaseGeometry = shapely.transform(area, lambda points: points * (1, -1) + (0, height))
    return turned


def lens(x: float, low: float, high: float, wide: float) -> BaseGeometry:
    """Return an upright lens: two equal arcs that meet in a point below and above."""
    tall = high - low
    if wide <= 0 or tall <= wide:
        return circle(x, (low + high) / 2, min(wide, tall) / 2)
    radius = (tall * tall + wide * wide) / (4 * wide)
    away, middle = radius - wide / 2, (low + high) / 2
    return circle(x - away, middle, radius).intersection(circle(x + away, middle, radius))


def stroke(points: Iterable[tuple[float, float]], width: float, *, sharp: bool = True) -> BaseGeometry:
    """Return a line of paper drawn along points, mitred or rounded at its joints and flat at its ends."""
    join = "mitre" if sharp else "round"
    line = LineString(list(points))
    return line.buffer(width / 2, cap_style="flat", join_style=join, mitre_limit=10, quad_segs=_SEGMENTS)


def softened(body: BaseGeometry, share: float) -> Polygon:
    """Round the corners of an opening from inside, by a share of its inscribed circle."""
    return rounds.softened(body, share, sides=_SEGMENTS // 2)


def both(area: BaseGeometry) -> BaseGeometry:
    """Return an area and its mirror image about y = x."""
    return area.union(shapely.transform(area, lambda points: points[:, ::-1]))


def mirrored(area: BaseGeometry, *, smallest: float, soft: float = 0.0) -> list[Points]:
    """Return the corners of every opening of an area that mirrors itself about x = 0.

    Parameters
    ----------
    area : geometry
        Everything that is cut away, in mm.
    smallest : float
        mm; openings that hold no circle of this radius are left solid.
    soft : float
        How round their corners are, as a share of the inscribed circle, 0 to 1.

    Returns
    -------
    list of ndarray
        Rings, shape (m, 2); each is its own mirror image or comes with it.

    Examples
    --------
    >>> pair = mirrored(box(-3, 0, -1, 2).union(box(1, 0, 3, 2)), smallest=0.5)
    >>> len(pair), np.array_equal(np.sort(pair[0][:, 0]), np.sort(-pair[1][:, 0]))
    (2, True)
    """
    rings: list[Points] = []
    for part in shapely.get_parts(area):
        if part.geom_type != "Polygon" or part.bounds[2] < 1e-6:
            continue
        if part.bounds[0] > -1e-6:
            ring = worth_ring(part, smallest, soft)
            rings += [r for r in ring for r in (r, r[::-1] * np.array([-1, 1]))]
        else:
            rings += [_alike(r) for r in worth_ring(part, smallest, soft)]
    return rings


def diagonal(area: BaseGeometry, *, smallest: float, soft: float = 0.0) -> list[Points]:
    """Return the corners of every opening of an area that mirrors itself about the line y = x."""
    c = math.sqrt(0.5)
    turn = np.array([(c, c), (-c, c)])
    upright = shapely.transform(area, lambda points: points @ turn)
    return [ring @ turn.T for ring in mirrored(upright, smallest=smallest, soft=soft)]


def worth_ring(area: BaseGeometry, smallest: float, soft: float) -> list[Points]:
    """Return the ring of an area's largest opening, softened and thinned; nothing if too small to cut."""
    body = softened(largest_part(area), soft)
    if inscribed_radius(body) < smallest:
        return []
    ring: Points = shapely.get_coordinates(Polygon(body.exterior).simplify(_THIN).exterior)[:-1]
    return [ring]


def _alike(ring: Points) -> Points:
    """Make a ring that crosses x = 0 twice exactly its own mirror image."""
    x, y = Polygon(ring).bounds[2] + 1, np.abs(ring[:, 1]).max() + 1
    right = largest_part(Polygon(ring).intersection(shapely.box(0, -y, x, y)))
    half = shapely.get_coordinates(shapely.orient_polygons(right).exterior)[:-1]
    beside = half[:, 0] > 1e-6
    # counter-clockwise, the right half leaves the axis at its lower end and comes back at its upper
    half = np.roll(half, -int(np.flatnonzero(beside & ~np.roll(beside, 1))[0]), axis=0)
    half = half[: int(beside.sum())]
    axis = np.array([(0.0, _on_axis(ring, low)) for low in (True, False)])
    left = half[::-1] * np.array([-1, 1])
    return np.vstack([axis[:1], half, axis[1:], left])


def _on_axis(ring: Points, low: bool) -> float:
    """Return the lower or upper end of what a ring has of the line x = 0."""
    y = np.abs(ring[:, 1]).max() + 1
    cut = Polygon(ring).intersection(shapely.LineString([(0, -y), (0, y)]))
    return float(cut.bounds[1] if low else cut.bounds[3])
