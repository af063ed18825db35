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

from canivet.motifs.folding.fold import Fold
from canivet.motifs.folding.unfolding import clearance, kept_of, parts_of

from ._creases import (
    QUAD,
    areas,
    beyond,
    contact_of,
    crossed_by,
    off_border,
    off_creases,
    opened_about,
    reaches_over,
    strays,
)
from .lanes import depth_of

__all__ = [
    "clip_to_wedge",
    "fit_cells",
    "fit_figure",
    "fit_openings",
    "fit_spandrels",
]

_SLACK = 0.010
"""mm added to every strap for the chords that rounded corners are drawn in, and for thinning them."""

_THIN = 0.003
"""mm that an outline may stray where points are left out: a hundredth of what a hand wavers."""

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
        crossed = [e for e in fold.edges if e.creased and reaches_over(cell, e)]
        for part in clip_to_wedge(fold, cell):
            inner = opened_about(part, crossed).buffer(-(strap + _SLACK) / 2, quad_segs=QUAD)
            # A cleft would leave a tongue of paper no wider than a strap standing in the opening.
            inner = inner.buffer(_CLEFT * strap, quad_segs=QUAD).buffer(-_CLEFT * strap, quad_segs=QUAD)
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
    waiting = [part for shape in shapes for part in areas(shape.intersection(inside))][::-1]
    taken = list(beside)
    while waiting:
        shape = waiting.pop()
        near = [other for other in taken if other.distance(shape) < strap]
        free = areas(
            shape.difference(shapely.union_all(near).buffer(strap, quad_segs=QUAD)) if near else shape
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
        opened_about(part, [edge for edge in fold.edges if edge.creased and contact_of(part, edge) > 0])
        for part in clip_to_wedge(fold, figure)
    ]
    shut = shapely.union_all(whole).buffer(reach, quad_segs=QUAD).buffer(-reach, quad_segs=QUAD)
    solid = [Polygon(part.exterior) for part in areas(shut)]
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
        left = left.difference(shapely.union_all(openings).buffer(strap + _SLACK, quad_segs=QUAD))
    return fit_openings(
        fold, areas(left), strap=strap, smallest=smallest, rim=rim, kept=kept, soft=soft, beside=openings
    )  # fmt: skip


def _settled(fold: Fold, part: Polygon, strap: float, smallest: float, soft: float) -> list[Polygon]:
    """Clear a shape of creases it does not really cross, round it as it opens, keep what can be cut."""
    settled = []
    for cleared in _cleared(fold, part, strap):
        crossed = crossed_by(fold, cleared, strap)
        whole = opened_about(cleared, crossed)
        radius = max(soft, smallest)
        rounded = whole.buffer(-radius, quad_segs=8).buffer(radius * 0.9999, quad_segs=8)
        for piece in areas(rounded.simplify(_THIN).intersection(fold.wedge)):
            # Rounding may have drawn it off a crease that it touched before.
            settled += [
                last for last in _cleared(fold, piece, strap) if _worth_cutting(fold, last, strap, smallest)
            ]
    return settled


def _worth_cutting(fold: Fold, part: Polygon, strap: float, smallest: float) -> bool:
    crossed = crossed_by(fold, part, strap)
    whole = opened_about(part, crossed)
    if fold.hem:
        # In the outer panels a hem closes what crosses the panel's border, and half of it is all there is.
        part = opened_about(part, [edge for edge in crossed if edge.role == "fold"])
        if part.buffer(-smallest - _SLACK, quad_segs=8).is_empty:
            return False
    # Paper caught behind a mouth narrower than a strap would hang on that mouth alone.
    shut = whole.buffer(strap / 2 - _SLACK, quad_segs=8).buffer(-strap / 2 + _SLACK, quad_segs=8)
    hollow = any(len(piece.interiors) for piece in areas(whole) + areas(shut))
    return not hollow and not whole.buffer(-smallest - _SLACK, quad_segs=8).is_empty


def _cleared(fold: Fold, part: Polygon, strap: float) -> list[Polygon]:
    """Trim a shape off every crease that it touches too briefly, or may not cross besides another."""
    waiting, cleared = [part], []
    while waiting:
        shape = waiting.pop()
        if shape.interiors:
            waiting += areas(shape.difference(_rib(fold, shape, strap)))
            continue
        stray = next((edge for edge in fold.edges if edge.creased and strays(fold, shape, edge, strap)), None)
        trimmed = off_border(fold, shape, strap) if stray is None else None
        if trimmed is not None:
            waiting += areas(trimmed)
        elif stray is None:
            kept = off_creases(fold, shape, strap)
            waiting += kept[1:] if len(kept) > 1 else []
            cleared += kept[:1]
        else:
            waiting += areas(shape.intersection(beyond(stray, clearance(fold, stray, strap) + 1e-4)))
    return cleared


def _region(fold: Fold, kept: Polygon, rim: float) -> BaseGeometry:
    """Return where openings may lie: inside the rim along every open edge."""
    creases = shapely.union_all([edge.line for edge in fold.edges if edge.creased])
    open_edge = kept.boundary.difference(creases.buffer(1e-4))
    if open_edge.is_empty:
        return kept
    return kept.difference(open_edge.buffer(rim + 1e-4, quad_segs=QUAD))


def _rib(fold: Fold, shape: Polygon, strap: float) -> BaseGeometry:
    """Return a strap of paper that runs outward through the paper which a shape closes round."""
    plan = depth_of(fold)
    middle = Polygon(shape.interiors[0]).centroid
    x, y = plan.origin if plan.round else (middle.x, plan.origin[1] - 1.0)
    reach = 2 * plan.depth / max(np.hypot(middle.x - x, middle.y - y), 1e-6)
    ray = LineString([(x, y), (x + (middle.x - x) * reach, y + (middle.y - y) * reach)])
    return ray.buffer(strap / 2, cap_style="square")
