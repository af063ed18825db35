"""How a shape stands to the creases of its wedge: clear of them, across them, or too near."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.folding.fold import Edge, Fold
from canivet.motifs.folding.steps import IDENTITY, Map, compose, mirror_across, place
from canivet.motifs.folding.unfolding import SNAP, clearance, lap_over

__all__ = [
    "QUAD",
    "areas",
    "beyond",
    "contact_of",
    "crossed_by",
    "off_border",
    "off_creases",
    "opened_about",
    "reaches_over",
    "strays",
]


_FAR = 1e5


QUAD = 16


_CONTACT = 0.3
"""An opening crosses a crease where it lies along it for more than this many straps."""


def opened_about(shape: Polygon, crossed: Sequence[Edge]) -> BaseGeometry:
    """Return a shape joined with its mirror images across the creases it crosses, as it will open.

    Where two creases meet in a corner of it, that is all the images about the corner.
    """
    if not crossed:
        return shape
    maps = _generated([mirror_across(*_line_of(edge)) for edge in crossed])
    lapped = lap_over(shape, crossed)
    whole = shapely.union_all([place(lapped, m) for m in maps], grid_size=SNAP)
    return shapely.union_all([_without_pinholes(part) for part in shapely.get_parts(whole)])


def _without_pinholes(part: Polygon) -> Polygon:
    """Fill what two edges that do not meet to the last digit leave open between them."""
    if not part.interiors:
        return part
    return Polygon(part.exterior, [ring for ring in part.interiors if Polygon(ring).area > 1e-3])


def off_border(fold: Fold, shape: Polygon, strap: float) -> Polygon | None:
    """Return a shape trimmed where, in the outer panels, it comes too near the border round a corner.

    An edge that is a fold in some layers and the border in others meets its own image across a neighbour at
    twice their angle; below a right angle that image is nearer than the crease between tells.
    """
    if fold.hem:
        return None
    for edge in crossed_by(fold, shape, strap):
        for other in fold.edges if edge.role == "mixed" else ():
            if other is edge or not other.creased or _shares_corner(shape, edge, other) or _wide(edge, other):
                continue
            border = place(edge.line, mirror_across(*_line_of(other)))
            if shape.distance(border) < strap - 1e-6:
                return shape.difference(border.buffer(strap, quad_segs=QUAD))
    return None


def _wide(one: Edge, other: Edge) -> bool:
    """Whether two edges meet at 60° or more, or not at all."""
    if one.line.distance(other.line) > 1e-6:
        return True
    (ax, ay), (bx, by) = one.normal, other.normal
    return -(ax * bx + ay * by) < 0.5 + 1e-6


def off_creases(fold: Fold, shape: Polygon, strap: float) -> list[Polygon]:
    """Trim a shape that crosses a crease at one place and comes near it at another."""
    for edge in crossed_by(fold, shape, strap):
        strip = shape.difference(beyond(edge, clearance(fold, edge, strap)))
        near = [part for part in areas(strip, 1e-9) if contact_of(part, edge) < 1e-4]
        if edge.role == "mixed" and not fold.hem:
            # At the sheet's border there is no mirror image to thicken paper that lies under an overhang.
            contact = shape.buffer(1e-6).intersection(edge.line)
            near = areas(strip.difference(contact.buffer(2 * strap, cap_style="flat")), 1e-6)
        if near:
            grown = shapely.union_all(near).buffer(1e-4, quad_segs=2)
            return sorted(areas(shape.difference(grown)), key=lambda part: -part.area)
    return [shape]


def strays(fold: Fold, shape: Polygon, edge: Edge, strap: float) -> bool:
    """Whether a shape comes too near an edge that it does not rightly cross."""
    if shape.distance(edge.line) >= clearance(fold, edge, strap):
        return False
    contact = contact_of(shape, edge)
    if contact < _CONTACT * strap or _touches_twice(shape, edge):
        return True
    rivals = [other for other in fold.edges if other.creased and other is not edge]
    for other in rivals:
        if contact_of(shape, other) >= _CONTACT * strap and not _shares_corner(shape, edge, other):
            return contact <= contact_of(shape, other)
    return False


def contact_of(shape: Polygon, edge: Edge) -> float:
    return float(shape.buffer(1e-6).intersection(edge.line).length)


def crossed_by(fold: Fold, shape: Polygon, strap: float) -> list[Edge]:
    return [e for e in fold.edges if e.creased and contact_of(shape, e) >= _CONTACT * strap]


def _shares_corner(shape: Polygon, one: Edge, other: Edge) -> bool:
    corner = one.line.intersection(other.line)
    return not corner.is_empty and bool(shape.distance(corner) < 1e-5)


def reaches_over(cell: Polygon, edge: Edge) -> bool:
    return bool(beyond(edge, 0.0).intersection(cell).area < cell.area - 1e-6)


def beyond(edge: Edge, distance: float) -> Polygon:
    """Return the half-plane on the wedge's side of a straight edge, so far in from it."""
    (x, y), (dx, dy) = _line_of(edge)
    nx, ny = edge.normal
    x, y = x + nx * distance, y + ny * distance
    near, far = (x - dx * _FAR, y - dy * _FAR), (x + dx * _FAR, y + dy * _FAR)
    deep = (nx * _FAR, ny * _FAR)
    return Polygon([near, far, (far[0] + deep[0], far[1] + deep[1]), (near[0] + deep[0], near[1] + deep[1])])


def _line_of(edge: Edge) -> tuple[tuple[float, float], tuple[float, float]]:
    nx, ny = edge.normal
    x, y = edge.line.coords[0][:2]
    return (x, y), (ny, -nx)


def _generated(mirrors: Sequence[Map], most: int = 64) -> list[Map]:
    """Return every map that the mirrors make together."""
    found = {_key(IDENTITY): IDENTITY}
    waiting = [IDENTITY]
    while waiting and len(found) < most:
        known = waiting.pop()
        for mirror in mirrors:
            made = compose(mirror, known)
            if _key(made) not in found:
                found[_key(made)] = made
                waiting.append(made)
    return list(found.values())


def _key(m: Map) -> tuple[float, ...]:
    return tuple(round(x, 4) + 0.0 for x in m)


def _touches_twice(shape: Polygon, edge: Edge) -> bool:
    """Whether a shape and its mirror image would close round paper between two places on the crease."""
    contact = shape.buffer(1e-6).intersection(edge.line)
    return sum(bool(part.length > 1e-4) for part in shapely.get_parts(contact)) > 1


def areas(shape: BaseGeometry, least: float = 1e-3) -> list[Polygon]:
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > least]
