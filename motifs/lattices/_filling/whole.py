"""Filling a region with openings that stay whole: what the edge would cut gives way to a smaller copy.

A rest of a round or pointed opening looks broken off. So one that the edge passes through is replaced by the
largest copy of itself that fits into what is left of it, and where paper is dark beside the edge for want of
any, beads are strung there. Copies lie inside the openings they stand for, so the spacing holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import MultiPolygon, Polygon

from canivet.audit.boundary import Flags, Floats, Ints
from canivet.motifs.shapes.openings import Points, Shapes, rings_from
from canivet.motifs.shapes.rounds import largest_parts

from .grading import kept_sizes, least_kept
from .region import beside_edge, pierce_or_refuse
from .repeat import circle
from .sound import holds_circle
from .trim import ROUND_OUT, inscribed, lie_inside, softened

__all__ = ["Kind", "fill_with_whole"]

_COPY = 0.4
"""Of its size: a copy smaller than this is no longer seen as one of the row."""

_HEAD, _FOOT = 0.9, 0.6
"""How round the corners of an opening that a level edge halves are made, so that it ends like a drop; and up
to what share of its height, since its point stays."""

_BEAD = 0.5
"""Of the radius of the chief opening: smaller beads are crumbs."""

_STRUNG = 3
"""How often beads are strung in what is still dark, beside those strung before."""

_ALIKE = 1e-3
"""Beads of which neither is larger by more than this share are twins, and go or stay together."""

_HALF = 0.3
"""Of its area: what is left of an opening is a form of its own, an arch, from this share on."""

_EVEN = 2e-3
"""Of its area, by which a rest that mirrors itself may differ from its mirror image."""

_BULGING = 0.98
"""Of its convex hull, that a rest must fill: what goes round a hole of the piece does not."""

_EXACT, _MOVED = 1e-4, 2e-3
"""Of the size of shapes: how exactly the largest circle in one is found; and of its radius, how much smaller
one may be that is as good."""


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """Openings of one form, and where they lie.

    Attributes
    ----------
    shape : ndarray
        Corners about the middle, shape (m, 2), counter-clockwise; it mirrors itself about both axes.
    places : ndarray
        Where the middles lie, shape (n, 2); they must reach beyond the region.
    least : float
        Of its size: the smallest copy that takes the place of one. Default 0.4.
    cut : "copied", "halved" or "dropped"
        What becomes of one that the edge passes through: a smaller copy takes its place, for which the shape
        must lie inside the ellipse as wide and as high as it is; or one does unless the rest mirrors itself
        about its upright axis, which is then rounded; or it is left out.
    """

    shape: Points
    places: Points
    cut: Literal["copied", "halved", "dropped"] = "copied"
    least: float = _COPY


def fill_with_whole(
    within: Polygon,
    region: Polygon | MultiPolygon,
    kinds: Sequence[Kind],
    *,
    strap: float,
    smallest: float,
    grade: float = 0.0,
    toward: str = "foot",
    beads: bool = True,
) -> Polygon:
    """Pierce the piece with openings that lie a strap apart, smaller ones and beads along the region's edge.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own stay.
    region : Polygon or MultiPolygon
        Where openings may lie.
    kinds : sequence of Kind
        The chief one first.
    strap, smallest : float
        mm; a kind that cannot be cut at all is left out.
    grade, toward
        How much smaller openings get, and where; they shrink about their own middles.
    beads : bool
        Whether beads are strung where paper is dark beside the edge.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If not one opening is left.
    """
    kinds = [kind for kind in kinds if inscribed(Polygon(kind.shape)) >= smallest * (1 - 1e-4)]
    if not kinds:
        return pierce_or_refuse(within, region, [])
    reach = max(float(np.hypot(*kind.shape.T).max()) for kind in kinds)
    edge: list[Shapes] = []
    rings = []
    for kind in kinds:
        inside, beside = beside_edge(kind.places, region, reach=reach, deep=2 * reach + strap)
        radius = inscribed(Polygon(kind.shape))
        kept = kept_sizes(radius, kind.places[inside], region, smallest, grade, toward)
        rings.append(rings_from(kind.places[inside][:, None] + kept[:, None, None] * kind.shape))
        edge += _beside(kind, kind.places[beside], region, smallest)
    chief = inscribed(Polygon(kinds[0].shape))
    bead = max(smallest, _BEAD * chief)
    rim = region.difference(region.buffer(-reach))
    for _ in range(_STRUNG if beads else 0):
        edge.append(_beads(np.concatenate(edge), rim, bead, strap, chief))
    found = _graded(np.concatenate(edge), region, smallest, grade, toward)
    return pierce_or_refuse(within, region, [*rings, shapely.get_exterior_ring(found)])


def _beside(kind: Kind, places: Points, region: Polygon | MultiPolygon, smallest: float) -> list[Shapes]:
    """Return the openings of a kind near the edge that stay whole, and what stands for the others."""
    if not len(places):
        return []
    laid: Shapes = shapely.polygons(places[:, None] + kind.shape)
    whole = lie_inside(laid, region)
    if kind.cut == "dropped":
        return [laid[whole]]
    cut, places = laid[~whole], places[~whole]
    shapely.prepare(region)
    rest = largest_parts(shapely.intersection(cut, region))
    formed = (
        _is_form(rest, cut, places, smallest) if kind.cut == "halved" else np.zeros(len(rest), dtype=bool)
    )
    return [laid[whole], _drops(rest[formed], places[formed]), _copies(kind, rest[~formed], smallest)]


def _drops(arches: Shapes, middles: Points) -> Shapes:
    """Round the foot of arches that are left of openings about some middles, not their points."""
    about = shapely.points(middles)
    tall = shapely.hausdorff_distance(arches, about)
    tips = shapely.difference(arches, shapely.buffer(about, _FOOT * tall))
    drops: Shapes = largest_parts(shapely.union(softened(arches, _HEAD), tips))
    return drops


def _is_form(rest: Shapes, cut: Shapes, places: Points, smallest: float) -> Flags:
    """Say which rests mirror themselves about the upright axis of what they are left of."""
    large = shapely.area(rest) > _HALF * shapely.area(cut)
    large &= shapely.area(rest) > _BULGING * shapely.area(shapely.convex_hull(rest))
    form: Flags = large & holds_circle(rest, smallest)
    # the middle of what differs from its mirror image by so little lies no further off the axis
    lean = np.abs(shapely.get_x(shapely.centroid(rest[form])) - places[form, 0]) * shapely.area(rest[form])
    form[form] = lean <= _EVEN * shapely.area(cut[form]) * np.ptp(shapely.bounds(cut[form])[:, ::2], axis=1)
    points, own = shapely.get_coordinates(rest[form], return_index=True)
    points[:, 0] = 2 * places[form][own, 0] - points[:, 0]
    other = shapely.set_coordinates(rest[form].copy(), points)
    form[form] = shapely.area(shapely.symmetric_difference(rest[form], other)) < _EVEN * shapely.area(
        cut[form]
    )
    return form


def _copies(kind: Kind, rest: Shapes, smallest: float) -> Shapes:
    """Return the largest copy of a kind's shape in each rest, where one is worth cutting.

    The rest is squeezed until the ellipse round the shape is a circle, and the circle inscribed in it.
    """
    shape = kind.shape
    wide, high = np.ptp(shape, axis=0)
    squeezed = shapely.transform(rest, lambda points: points * (1, wide / high))
    least = max(kind.least, smallest / inscribed(Polygon(shape)))
    squeezed = squeezed[holds_circle(squeezed, least * wide / 2 * (1 - _MOVED))]
    middles, radii, owner = _circles_inside(squeezed)
    sizes = radii / (wide / 2)
    worth = (sizes >= least) & (np.bincount(owner, minlength=len(squeezed))[owner] == 1)
    at = (middles / (1, wide / high))[worth]
    copies: Shapes = _solids(at[:, None] + sizes[worth][:, None, None] * shape)
    return copies


def _beads(openings: Shapes, rim: Polygon | MultiPolygon, least: float, strap: float, most: float) -> Shapes:
    """Return a bead for each dark place along the rim that has room for one, the larger of two too near."""
    dark = rim.difference(shapely.union_all(shapely.buffer(openings, strap * ROUND_OUT, quad_segs=16)))
    rooms = shapely.get_parts(shapely.buffer(dark, -least * (1 - 1e-9)))
    rooms = shapely.buffer(rooms[~shapely.is_empty(rooms)], least)
    middles, radii, _ = _circles_inside(shapely.intersection(rooms, dark))
    radii = np.minimum(radii, most)
    found = shapely.buffer(shapely.points(middles), radii + strap / 2)
    one, other = STRtree(found).query(found, predicate="intersects")
    worth = radii >= least * (1 - 1e-4)
    worth[one[(one != other) & (radii[one] <= radii[other] * (1 + _ALIKE))]] = False
    return _solids(middles[worth][:, None] + radii[worth][:, None, None] * circle(most) / most)


def _circles_inside(shapes: Shapes) -> tuple[Points, Floats, Ints]:
    """Return the middle and the radius of the largest circle in each shape, and which shape it is in.

    Where it can be moved it lies half-way; where there are several as large, all are given: so the two sides
    of a piece come out alike.
    """
    solid = np.flatnonzero(shapely.area(shapes) > 0)
    if not len(solid):
        return np.empty((0, 2)), np.empty(0), solid
    size = float(np.sqrt(shapely.area(shapes[solid]).max()))
    most = shapely.length(shapely.maximum_inscribed_circle(shapes[solid], tolerance=_EXACT * size))
    cores, which = shapely.get_parts(shapely.buffer(shapes[solid], -most * (1 - _MOVED)), return_index=True)
    middles = shapely.centroid(cores[~shapely.is_empty(cores)])
    owner = solid[which[~shapely.is_empty(cores)]]
    radii = shapely.distance(middles, shapely.boundary(shapes[owner])) * (1 - 1e-6)
    return shapely.get_coordinates(middles), radii, owner


def _graded(
    openings: Shapes, region: Polygon | MultiPolygon, smallest: float, grade: float, toward: str
) -> Shapes:
    """Make openings smaller about their own middles."""
    if grade == 0 or not len(openings):
        return openings
    middles = shapely.get_coordinates(shapely.centroid(openings))
    # never more than the radius: where that is enough by far it need not be known
    radii = shapely.area(openings) / shapely.length(openings)
    slight = radii * least_kept(grade) < 1.01 * smallest
    radii[slight] = shapely.length(shapely.maximum_inscribed_circle(openings[slight], tolerance=0.01))
    kept = kept_sizes(radii, middles, region, smallest, grade, toward)
    points, own = shapely.get_coordinates(openings, return_index=True)
    smaller: Shapes = shapely.set_coordinates(
        openings.copy(), middles[own] + kept[own, None] * (points - middles[own])
    )
    return smaller


def _solids(corners: Points) -> Shapes:
    solids: Shapes = shapely.polygons(corners) if len(corners) else np.empty(0, dtype=object)
    return solids
