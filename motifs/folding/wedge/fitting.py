"""Openings fitted into a wedge: each clear of the creases it does not cross, whole across those it does.

Motifs draw cells that may touch one another and reach across a crease. Here every cell loses half a strap all
round, seen as it will be when opened, so that any two are a strap apart on the sheet by construction.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.folding.folds import Edge, Fold
from canivet.motifs.folding.steps import IDENTITY, Map, compose, mirror_across, place
from canivet.motifs.folding.unfolding import SNAP, clearance, kept_of, lap_over, parts_of

from .lanes import depth_of

__all__ = ["clip_to_wedge", "fit_cells", "fit_figure", "fit_openings", "fit_spandrels", "opened_about"]

_FAR = 1e5
_QUAD = 16
_SLACK = 0.010
"""mm added to every strap for the chords that rounded corners are drawn in, and for thinning them."""

_THIN = 0.003
"""mm that an outline may stray where points are left out: a hundredth of what a hand wavers."""
_CONTACT = 0.3
"""An opening crosses a crease where it lies along it for more than this many straps."""

_CLEFT = 0.55
"""Half the width, in straps, of tongues of paper that are cut away with the opening they stand in."""

_SOFT = 0.35
"""mm, radius of the inward corners a knife leaves in an opening; sharper ones tear (*common practice*)."""


def clip_to_wedge(fold: Fold, shapes: BaseGeometry | Iterable[BaseGeometry]) -> list[Polygon]:
    """Return what of the shapes lies in the wedge: a figure laid over a fold, folded with it.

    Parameters
    ----------
    fold : Fold
        Its wedge is what remains.
    shapes : geometry, or several
        Areas anywhere, in the wedge's own coordinates.

    Returns
    -------
    list of Polygon

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> half, = clip_to_wedge(mirror_fold(width=100, height=100), Point(50, 50).buffer(10))
    >>> half.bounds[0]
    50.0
    """
    return [
        part
        for whole in parts_of(shapes)
        for part in shapely.get_parts(whole.intersection(fold.wedge))
        if part.geom_type == "Polygon" and part.area > 1e-6
    ]


def fit_cells(
    fold: Fold,
    cells: Iterable[Polygon],
    *,
    strap: float,
    smallest: float,
    rim: float,
    kept: Polygon | None = None,
    soft: float = _SOFT,
    beside: Sequence[Polygon] = (),
) -> list[Polygon]:
    """Return cells as openings: each drawn in by half a strap, fitted to the creases and clear of the rest.

    Parameters
    ----------
    fold : Fold
        Where they lie.
    cells : iterable of Polygon
        Touching at most; one that reaches over a crease crosses it. The earlier wins where two overlap.
    strap, smallest, rim : float
        mm; as for `unfold`.
    kept : Polygon or None
        The part of the wedge that is kept.
    soft : float
        Radius of the corners, mm.
    beside : sequence of Polygon
        Openings that are already there.

    Returns
    -------
    list of Polygon
        They keep to the rules of `unfold`; what is too small to cut is left out.
    """
    drawn = []
    for cell in cells:
        crossed = [e for e in fold.edges if e.creased and _reaches_over(cell, e)]
        for part in clip_to_wedge(fold, cell):
            inner = opened_about(part, crossed).buffer(-(strap + _SLACK) / 2, quad_segs=_QUAD)
            # A cleft would leave a tongue of paper no wider than a strap standing in the opening.
            inner = inner.buffer(_CLEFT * strap, quad_segs=_QUAD).buffer(-_CLEFT * strap, quad_segs=_QUAD)
            drawn.append(inner.intersection(fold.wedge))
    return fit_openings(
        fold, drawn, strap=strap, smallest=smallest, rim=rim, kept=kept, soft=soft, beside=beside
    )  # fmt: skip


def fit_openings(
    fold: Fold,
    shapes: Iterable[BaseGeometry],
    *,
    strap: float,
    smallest: float,
    rim: float,
    kept: Polygon | None = None,
    soft: float = _SOFT,
    beside: Sequence[Polygon] = (),
) -> list[Polygon]:
    """Return shapes in the wedge trimmed until they keep to the rules of `unfold`, the earlier winning.

    Parameters
    ----------
    fold : Fold
        Where they lie.
    shapes : iterable of geometry
        At their own size; parts outside the wedge are cut off.
    strap, smallest, rim, kept, soft, beside
        As for `fit_cells`.

    Returns
    -------
    list of Polygon
    """
    inside = _region(fold, kept_of(fold, kept), rim + _SLACK)
    strap += _SLACK
    waiting = [part for shape in shapes for part in _areas(shape.intersection(inside))][::-1]
    taken = list(beside)
    while waiting:
        shape = waiting.pop()
        near = [other for other in taken if other.distance(shape) < strap]
        free = _areas(
            shape.difference(shapely.union_all(near).buffer(strap, quad_segs=_QUAD)) if near else shape
        )
        found = sorted(
            (opening for part in free for opening in _settled(fold, part, strap, smallest, soft)),
            key=lambda opening: opening.area,
        )
        # Rounding parts a shape at its waist; the parts are not yet a strap from one another.
        taken += found[-1:]
        waiting += found[:-1]
    return taken[len(beside) :]


def fit_figure(
    fold: Fold,
    figure: BaseGeometry,
    *,
    strap: float,
    smallest: float,
    rim: float,
    kept: Polygon | None = None,
    soft: float = 0.2,
    beside: Sequence[Polygon] = (),
) -> list[Polygon]:
    """Return a figure that lies over the fold as openings; paper too thin to stay in it goes with it.

    Parameters
    ----------
    fold : Fold
        What of the figure lies in the wedge is taken.
    figure : geometry
        A silhouette or another motif's shape; paper it encloses would fall out, and goes too.
    strap, smallest, rim, kept, soft, beside
        As for `fit_cells`.

    Returns
    -------
    list of Polygon

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> ring = Point(50, 50).buffer(20) - Point(50, 50).buffer(10)
    >>> [len(part.interiors) for part in fit_figure(mirror_fold(width=100), ring, strap=2, smallest=1, rim=3)]
    [0]
    """
    reach = strap / 2 + _SLACK
    whole = [
        opened_about(part, [edge for edge in fold.edges if edge.creased and _contact(part, edge) > 0])
        for part in clip_to_wedge(fold, figure)
    ]
    shut = shapely.union_all(whole).buffer(reach, quad_segs=_QUAD).buffer(-reach, quad_segs=_QUAD)
    solid = [Polygon(part.exterior) for part in _areas(shut)]
    return fit_openings(
        fold, clip_to_wedge(fold, solid), strap=strap, smallest=smallest, rim=rim, kept=kept, soft=soft,
        beside=beside
    )  # fmt: skip


def fit_spandrels(
    fold: Fold,
    region: Polygon,
    openings: Sequence[Polygon],
    *,
    strap: float,
    smallest: float,
    rim: float,
    kept: Polygon | None = None,
    soft: float = 0.8,
) -> list[Polygon]:
    """Return further openings that fill what the others leave of a region, a strap of paper round each.

    Parameters
    ----------
    fold : Fold
        Where they lie.
    region : Polygon
        The ring they may fill, already a half strap in from its neighbours.
    openings : sequence of Polygon
        Those that are there.
    strap, smallest, rim, kept, soft
        As for `fit_cells`; corners are rounder, since what is left over has no form of its own.
    """
    left = region.intersection(fold.wedge)
    if openings:
        left = left.difference(shapely.union_all(openings).buffer(strap + _SLACK, quad_segs=_QUAD))
    return fit_openings(
        fold, _areas(left), strap=strap, smallest=smallest, rim=rim, kept=kept, soft=soft, beside=openings
    )  # fmt: skip


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


def _settled(fold: Fold, part: Polygon, strap: float, smallest: float, soft: float) -> list[Polygon]:
    """Clear a shape of creases it does not really cross, round it as it opens, keep what can be cut."""
    settled = []
    for cleared in _cleared(fold, part, strap):
        crossed = _crossed(fold, cleared, strap)
        whole = opened_about(cleared, crossed)
        radius = max(soft, smallest)
        rounded = whole.buffer(-radius, quad_segs=8).buffer(radius * 0.9999, quad_segs=8)
        for piece in _areas(rounded.simplify(_THIN).intersection(fold.wedge)):
            # Rounding may have drawn it off a crease that it touched before.
            settled += [
                last for last in _cleared(fold, piece, strap) if _worth_cutting(fold, last, strap, smallest)
            ]
    return settled


def _worth_cutting(fold: Fold, part: Polygon, strap: float, smallest: float) -> bool:
    crossed = _crossed(fold, part, strap)
    whole = opened_about(part, crossed)
    if fold.hem:
        # In the outer panels a hem closes what crosses the panel's border, and half of it is all there is.
        part = opened_about(part, [edge for edge in crossed if edge.role == "fold"])
        if part.buffer(-smallest - _SLACK, quad_segs=8).is_empty:
            return False
    # Paper caught behind a mouth narrower than a strap would hang on that mouth alone.
    shut = whole.buffer(strap / 2 - _SLACK, quad_segs=8).buffer(-strap / 2 + _SLACK, quad_segs=8)
    hollow = any(len(piece.interiors) for piece in _areas(whole) + _areas(shut))
    return not hollow and not whole.buffer(-smallest - _SLACK, quad_segs=8).is_empty


def _cleared(fold: Fold, part: Polygon, strap: float) -> list[Polygon]:
    """Trim a shape off every crease that it touches too briefly, or may not cross besides another."""
    waiting, cleared = [part], []
    while waiting:
        shape = waiting.pop()
        if shape.interiors:
            waiting += _areas(shape.difference(_rib(fold, shape, strap)))
            continue
        stray = next(
            (edge for edge in fold.edges if edge.creased and _strays(fold, shape, edge, strap)), None
        )
        trimmed = _off_border(fold, shape, strap) if stray is None else None
        if trimmed is not None:
            waiting += _areas(trimmed)
        elif stray is None:
            kept = _off_creases(fold, shape, strap)
            waiting += kept[1:] if len(kept) > 1 else []
            cleared += kept[:1]
        else:
            waiting += _areas(shape.intersection(_beyond(stray, clearance(fold, stray, strap) + 1e-4)))
    return cleared


def _off_border(fold: Fold, shape: Polygon, strap: float) -> Polygon | None:
    """Return a shape trimmed where, in the outer panels, it comes too near the border round a corner.

    An edge that is a fold in some layers and the border in others meets its own image across a neighbour at
    twice their angle; below a right angle that image is nearer than the crease between tells.
    """
    if fold.hem:
        return None
    for edge in _crossed(fold, shape, strap):
        for other in fold.edges if edge.role == "mixed" else ():
            if other is edge or not other.creased or _shares_corner(shape, edge, other) or _wide(edge, other):
                continue
            border = place(edge.line, mirror_across(*_line_of(other)))
            if shape.distance(border) < strap - 1e-6:
                return shape.difference(border.buffer(strap, quad_segs=_QUAD))
    return None


def _wide(one: Edge, other: Edge) -> bool:
    """Whether two edges meet at 60° or more, or not at all."""
    if one.line.distance(other.line) > 1e-6:
        return True
    (ax, ay), (bx, by) = one.normal, other.normal
    return -(ax * bx + ay * by) < 0.5 + 1e-6


def _off_creases(fold: Fold, shape: Polygon, strap: float) -> list[Polygon]:
    """Trim a shape that crosses a crease at one place and comes near it at another."""
    for edge in _crossed(fold, shape, strap):
        strip = shape.difference(_beyond(edge, clearance(fold, edge, strap)))
        near = [part for part in _areas(strip, 1e-9) if _contact(part, edge) < 1e-4]
        if edge.role == "mixed" and not fold.hem:
            # At the sheet's border there is no mirror image to thicken paper that lies under an overhang.
            contact = shape.buffer(1e-6).intersection(edge.line)
            near = _areas(strip.difference(contact.buffer(2 * strap, cap_style="flat")), 1e-6)
        if near:
            grown = shapely.union_all(near).buffer(1e-4, quad_segs=2)
            return sorted(_areas(shape.difference(grown)), key=lambda part: -part.area)
    return [shape]


def _strays(fold: Fold, shape: Polygon, edge: Edge, strap: float) -> bool:
    """Whether a shape comes too near an edge that it does not rightly cross."""
    if shape.distance(edge.line) >= clearance(fold, edge, strap):
        return False
    contact = _contact(shape, edge)
    if contact < _CONTACT * strap or _touches_twice(shape, edge):
        return True
    rivals = [other for other in fold.edges if other.creased and other is not edge]
    for other in rivals:
        if _contact(shape, other) >= _CONTACT * strap and not _shares_corner(shape, edge, other):
            return contact <= _contact(shape, other)
    return False


def _contact(shape: Polygon, edge: Edge) -> float:
    return float(shape.buffer(1e-6).intersection(edge.line).length)


def _crossed(fold: Fold, shape: Polygon, strap: float) -> list[Edge]:
    return [e for e in fold.edges if e.creased and _contact(shape, e) >= _CONTACT * strap]


def _shares_corner(shape: Polygon, one: Edge, other: Edge) -> bool:
    corner = one.line.intersection(other.line)
    return not corner.is_empty and bool(shape.distance(corner) < 1e-5)


def _reaches_over(cell: Polygon, edge: Edge) -> bool:
    return bool(_beyond(edge, 0.0).intersection(cell).area < cell.area - 1e-6)


def _beyond(edge: Edge, distance: float) -> Polygon:
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


def _region(fold: Fold, kept: Polygon, rim: float) -> BaseGeometry:
    """Return where openings may lie: inside the rim along every open edge."""
    creases = shapely.union_all([edge.line for edge in fold.edges if edge.creased])
    open_edge = kept.boundary.difference(creases.buffer(1e-4))
    if open_edge.is_empty:
        return kept
    return kept.difference(open_edge.buffer(rim + 1e-4, quad_segs=_QUAD))


def _touches_twice(shape: Polygon, edge: Edge) -> bool:
    """Whether a shape and its mirror image would close round paper between two places on the crease."""
    contact = shape.buffer(1e-6).intersection(edge.line)
    return sum(bool(part.length > 1e-4) for part in shapely.get_parts(contact)) > 1


def _rib(fold: Fold, shape: Polygon, strap: float) -> BaseGeometry:
    """Return a strap of paper that runs outward through the paper which a shape closes round."""
    plan = depth_of(fold)
    middle = Polygon(shape.interiors[0]).centroid
    x, y = plan.origin if plan.round else (middle.x, plan.origin[1] - 1.0)
    reach = 2 * plan.depth / max(np.hypot(middle.x - x, middle.y - y), 1e-6)
    ray = LineString([(x, y), (x + (middle.x - x) * reach, y + (middle.y - y) * reach)])
    return ray.buffer(strap / 2, cap_style="square")


def _areas(shape: BaseGeometry, least: float = 1e-3) -> list[Polygon]:
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > least]
