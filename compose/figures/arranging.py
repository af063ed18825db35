"""One silhouette several times: a pair, a ring, a row, scattered, along an edge; and windows that mirror."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon

from canivet.audit.boundary import Paper
from canivet.compose.design.loading import PlacedSilhouette
from canivet.compose.mending.areas import areas_of, filled
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

__all__ = ["arrange", "mirrored_about"]

_LEAST_APART = 0.5
"""mm between copies that lean towards each other in a corner."""

_TRIES = 400
"""Places tried for each copy that is scattered."""


def arrange(area: Paper, placed: PlacedSilhouette, window: Polygon, *, apart: float) -> Paper:
    """Return all copies of a silhouette that an arrangement asks for, as one area.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The silhouette where it was put, mm.
    placed : PlacedSilhouette
        Its ``arrange``, ``count``, ``spacing`` and ``seed``.
    window : Polygon
        What it is arranged in.
    apart : float
        mm between copies where no spacing is given, and the least between copies that are scattered.

    Returns
    -------
    Polygon or MultiPolygon
        As it was where nothing is asked.

    Raises
    ------
    DoesNotFit
        If more are asked than find room, with how many do.

    Examples
    --------
    >>> from shapely import box
    >>> placed = PlacedSilhouette(file="leaf.svg", arrange="row", count=3, spacing="2 mm")
    >>> arrange(box(45, 0, 55, 10), placed, box(0, 0, 100, 50), apart=1.2).bounds
    (33.0, 0.0, 67.0, 10.0)
    """
    if not placed.arrange:
        return area
    spacing = apart if placed.spacing is None else placed.spacing
    copies = {
        "pair": _pair, "ring": _ring, "row": _row, "scatter": _scatter, "along": _along,
    }[placed.arrange](area, placed, window, spacing)  # fmt: skip
    for copy in copies:
        if not window.buffer(1e-6).contains(filled(copy).centroid):
            raise _no_room(placed, _fitting(copies, window))
    return areas_of(shapely.union_all(copies))


def mirrored_about(area: Paper, window: Polygon, symmetry: str) -> Paper:
    """Return an area with its images about the window's upright axis, or about both of its axes.

    Examples
    --------
    >>> from shapely import box
    >>> len(mirrored_about(box(0, 0, 1, 1), box(0, 0, 10, 10), "quarter").geoms)
    4
    """
    x, y = _middle(window)
    images = [area]
    if symmetry in ("mirror", "quarter"):
        images.append(affinity.scale(area, -1, 1, origin=(x, y)))
    if symmetry == "quarter":
        images += [affinity.scale(image, 1, -1, origin=(x, y)) for image in images]
    return areas_of(shapely.union_all(images)) if symmetry else area


def _pair(area: Paper, _: PlacedSilhouette, window: Polygon, spacing: float) -> list[Paper]:
    """Return the silhouette and its image about the window's upright axis, no nearer than the spacing."""
    x, _y = _middle(window)
    left = (area.bounds[0] + area.bounds[2]) / 2 <= x
    near = area.bounds[2] if left else area.bounds[0]
    short = spacing / 2 - abs(x - near) * (1 if left == (near <= x) else -1)
    if short > 0:
        area = affinity.translate(area, -short if left else short)
    return [area, affinity.scale(area, -1, 1, origin=(x, 0))]


def _ring(area: Paper, placed: PlacedSilhouette, window: Polygon, spacing: float) -> list[Paper]:
    """Return copies turned about the window's middle; a silhouette in the middle is first moved out."""
    centre = _middle(window)
    own = filled(area).centroid
    if math.dist((own.x, own.y), centre) < 0.2 * _size(area):
        x0, _, x1, y1 = area.bounds
        reach = min(window.bounds[2] - window.bounds[0], window.bounds[3] - window.bounds[1]) / 2
        area = affinity.translate(area, centre[0] - (x0 + x1) / 2, centre[1] + reach - spacing - y1)
    turned = [affinity.rotate(area, 360 * k / placed.count, origin=centre) for k in range(placed.count)]
    if placed.count > 1 and turned[0].distance(turned[1]) < spacing - 1e-6:
        most = next(
            n for n in range(placed.count, 0, -1)
            if n == 1 or area.distance(affinity.rotate(area, 360 / n, origin=centre)) >= spacing - 1e-6
        )  # fmt: skip
        raise _no_room(placed, most)
    return turned


def _row(area: Paper, placed: PlacedSilhouette, window: Polygon, spacing: float) -> list[Paper]:
    """Return copies side by side, the row's middle where the one would be."""
    step = area.bounds[2] - area.bounds[0] + spacing
    most = max(1, int((window.bounds[2] - window.bounds[0] + spacing) / step + 1e-9))
    if placed.count > most:
        raise _no_room(placed, most)
    first = -(placed.count - 1) / 2
    return [affinity.translate(area, step * (first + k)) for k in range(placed.count)]


def _scatter(area: Paper, placed: PlacedSilhouette, window: Polygon, spacing: float) -> list[Paper]:
    """Return copies strewn evenly: each where it is farthest from those before, of many places tried."""
    rng = np.random.default_rng(placed.seed)
    own = filled(area).centroid
    home = affinity.translate(area, -own.x, -own.y)
    room = window.buffer(-spacing)
    x0, y0, x1, y1 = room.bounds
    copies: list[Paper] = []
    for _ in range(placed.count):
        best: tuple[float, Paper] | None = None
        for x, y, turn in rng.uniform((x0, y0, -25), (x1, y1, 25), (_TRIES, 3)).tolist():
            copy = affinity.translate(affinity.rotate(home, turn, origin=(0, 0)), x, y)
            if not room.contains(copy):
                continue
            clear = min((copy.distance(other) for other in copies), default=math.inf)
            middle = -math.dist((x, y), _middle(window)) if math.isinf(clear) else clear
            if clear >= spacing and (best is None or middle > best[0]):
                best = (middle, copy)
                if len(copies) == 0:
                    break
        if best is None:
            raise _no_room(placed, len(copies))
        copies.append(best[1])
    return copies


def _along(area: Paper, placed: PlacedSilhouette, window: Polygon, spacing: float) -> list[Paper]:
    """Return copies that stand on the window's edge, evenly, their feet turned outward."""
    most = min(placed.count, int(window.exterior.length / (area.bounds[2] - area.bounds[0] + spacing)))
    # In corners they lean towards each other: what length allows may still be too many.
    for count in range(most, 1, -1):
        copies = _stood_along(area, window, count)
        near = zip(copies, [*copies[1:], copies[0]], strict=True)
        if min(one.distance(other) for one, other in near) >= min(spacing, _LEAST_APART):
            break
    else:
        count, copies = 1, [area]
    if count < placed.count:
        raise _no_room(placed, count)
    return copies


def _stood_along(area: Paper, window: Polygon, count: int) -> list[Paper]:
    """Return copies on the window's edge, the first in the middle of its foot."""
    x0, y0, x1, _ = area.bounds
    home = affinity.translate(area, -(x0 + x1) / 2, -y0)
    edge = window.exterior if window.exterior.is_ccw else shapely.reverse(window.exterior)
    start = edge.project(Point(_middle(window)[0], window.bounds[1]))
    copies: list[Paper] = []
    for k in range(count):
        at = (start + k * edge.length / count) % edge.length
        here, ahead = edge.interpolate(at), edge.interpolate((at + 0.5) % edge.length)
        turn = math.degrees(math.atan2(ahead.y - here.y, ahead.x - here.x))
        copies.append(affinity.translate(affinity.rotate(home, turn, origin=(0, 0)), here.x, here.y))
    return copies


def _fitting(copies: list[Paper], window: Polygon) -> int:
    return sum(window.buffer(1e-6).contains(filled(copy).centroid) for copy in copies)


def _no_room(placed: PlacedSilhouette, fit: int) -> DoesNotFit:
    spacing = "" if placed.spacing is None else f", {format_mm(placed.spacing, 1)} mm apart"
    return DoesNotFit(
        f"{placed.name}: {placed.count} are to stand {_PLACES[placed.arrange]}{spacing}; there is room for "
        f"{max(fit, 0)}. Lower count or spacing, or make it smaller.",
        parameter=placed.name, value=placed.count, accepted=f"at most {max(fit, 0)}",
    )  # fmt: skip


_PLACES = {
    "pair": "in a pair", "ring": "in a ring", "row": "in a row", "scatter": "scattered",
    "along": "along the window's edge",
}  # fmt: skip


def _size(area: Paper) -> float:
    x0, y0, x1, y1 = area.bounds
    return float(max(x1 - x0, y1 - y0))


def _middle(window: Polygon | MultiPolygon) -> tuple[float, float]:
    x0, y0, x1, y1 = window.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2
