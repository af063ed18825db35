"""From the cut wedge to the opened piece, and the errors of those who cut through what held.

Folding never lengthens a way: a path on the opened sheet, followed into the packet, is as long there,
turning back at every crease it meets. So two openings that are a strap apart in the wedge are a strap apart
on the sheet; and an opening is a strap from its own mirror images if it keeps half a strap from every crease
it does not cross. One that does cross a crease meets its image there and opens whole.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

import numpy as np
import shapely
from shapely import STRtree
from shapely.affinity import translate
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.boundary import GRID
from canivet.audit.strength import StrengthReport, check_strength
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_length, format_mm

from .fold import Edge, Fold
from .weak import DoesNotHold, opens_in_one

__all__ = ["CutAreas", "check_openings", "kept_of", "lap_over", "parts_of", "unfold"]

CutAreas: TypeAlias = BaseGeometry | Iterable[BaseGeometry]
"""What is cut away: one geometry of any number of areas, or several."""

SNAP = 1e-5
"""mm to which copies are rounded before they are joined across their creases."""

_LAP = 2.5 * GRID
"""mm by which an opening is carried over a crease it touches; more than a drawing may be off."""

_DUST = 0.01
"""mm²; what two cuts leave between them at the sheet's border is no part of the piece under this."""

_LOOSE = 2 * GRID
"""mm that a drawing may be off before it is refused: two roundings to the grid."""


def unfold(
    fold: Fold,
    openings: CutAreas,
    *,
    strap: float = 1.2,
    smallest: float = 0.4,
    rim: float | None = None,
    edge: Polygon | None = None,
) -> Polygon:
    """The opened piece: every opening of the wedge repeated through the whole fold.

    Parameters
    ----------
    fold : Fold
        How the sheet was folded.
    openings : geometry, or several
        Inside the wedge, in mm. One that reaches a crease is cut through it and opens whole.
    strap : float
        Narrowest paper left, mm, above 0, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting once opened, mm, 0 or more, default 0.4.
    rim : float or None
        Least paper along an open edge, mm; None for a strap.
    edge : Polygon or None
        The part of the wedge that is kept, where the open edge is cut to a shape; None for all of it.

    Returns
    -------
    Polygon
        One piece; it holds at the strap.

    Raises
    ------
    BadValue
        If the drawing leaves the wedge, or a length is out of range.
    DoesNotFit
        If a cut runs along a whole crease, openings would meet or come too near once opened, or paper would
        fall out. The place is in the wedge, or on the piece where it says so.
    DoesNotHold
        If it opens in one, every opening clear of creases and edges, but does not hold at the strap.

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import quarter_fold
    >>> piece = unfold(quarter_fold(width=60, height=60), Point(45, 45).buffer(5))
    >>> len(piece.interiors)
    4
    """
    rim = strap if rim is None else rim
    _check_lengths(strap, smallest, rim)
    parts = parts_of(openings)
    kept = kept_of(fold, edge)
    check_openings(fold, parts, strap=strap, rim=rim, kept=kept)
    outline = _outline(fold, kept if edge is not None else None)
    paper = _pierced(outline, _opened(fold, parts, outline))
    report = check_strength(paper, strap=strap, smallest=smallest)
    if not report.holds:
        raise _does_not_hold(paper, report)
    return paper


def lap_over(part: Polygon, edges: Iterable[Edge]) -> Polygon:
    """Return an opening carried a hair over the creases it touches, so that it truly joins its mirror image.

    A drawing that ends on a crease to the last digit but one would leave a thread of paper standing there.
    """
    for edge in edges:
        if part.distance(edge.line) < _LOOSE:
            strip = part.intersection(edge.line.buffer(2 * _LAP, cap_style="flat"))
            x, y = edge.normal
            joined = shapely.union_all([part, translate(strip, -x * _LAP, -y * _LAP)], grid_size=SNAP)
            part = max(shapely.get_parts(joined), key=lambda piece: piece.area)
    return part


def parts_of(openings: CutAreas) -> list[Polygon]:
    """Return the openings as separate polygons, those that touch made one.

    Raises
    ------
    BadValue
        If one is not a valid area.
    """
    given = [openings] if isinstance(openings, BaseGeometry) else list(openings)
    for shape in given:
        if not isinstance(shape, (Polygon, MultiPolygon)) and not shape.is_empty:
            raise BadValue(
                f"openings hold a {shape.geom_type}; they take areas only. Draw each opening as a closed "
                "shape.",
                parameter="openings", value=shape.geom_type, accepted="Polygon or MultiPolygon",
            )  # fmt: skip
        if not shape.is_valid:
            raise BadValue(
                f"openings hold an area that is not valid: {shapely.is_valid_reason(shape)}. Redraw it "
                "without crossing itself.",
                parameter="openings", accepted="valid areas",
            )  # fmt: skip
    whole = shapely.union_all(given, grid_size=SNAP)
    return [part for part in shapely.get_parts(whole) if part.area > 1e-6]


def kept_of(fold: Fold, edge: Polygon | None) -> Polygon:
    """Return the part of the wedge that is kept.

    Raises
    ------
    DoesNotFit
        If the shaped edge leaves nothing, or parts the wedge.
    """
    if edge is None:
        return fold.wedge
    kept = fold.wedge.intersection(edge)
    if not isinstance(kept, Polygon) or kept.is_empty or kept.interiors:
        raise DoesNotFit(
            "edge leaves no single part of the wedge. Give the kept part as one area that reaches the "
            "creases.",
            parameter="edge", accepted="one area that covers the wedge but for its open edge",
        )  # fmt: skip
    return kept


def check_openings(fold: Fold, parts: list[Polygon], *, strap: float, rim: float, kept: Polygon) -> None:
    """Refuse openings in the wedge that could not hold once opened, each with the place.

    Raises
    ------
    BadValue
        If one leaves the wedge.
    DoesNotFit
        If one runs along a whole crease, or comes too near a crease, an open edge or another.
    """
    _check_within(fold, parts)
    for edge in fold.edges:
        if edge.creased:
            _check_crease_holds(fold, edge, parts, strap, kept)
            _check_clear_of_crease(fold, edge, parts, least=clearance(fold, edge, strap))
    _check_clear_of_open(fold, parts, rim, kept)
    _check_apart(fold, parts, strap)


def clearance(fold: Fold, edge: Edge, strap: float) -> float:
    """Return how far an opening that does not cross an edge with a crease must stay from it, in mm.

    Where the edge is the sheet's own border in some layer there is no image to share the strap with, but
    there may be a hem.
    """
    return strap / 2 if edge.role == "fold" else max(strap / 2, strap - fold.hem)


def _check_within(fold: Fold, parts: list[Polygon]) -> None:
    for part in parts:
        outside = part.difference(fold.wedge.buffer(_LOOSE, join_style="mitre"))
        if not outside.is_empty:
            at = _from_corner(_place(outside), fold.wedge)
            raise BadValue(
                f"openings leave the wedge at {_in_words(at)}; all that is cut lies within it. Move the "
                "shape, or cut off what lies beyond the fold.",
                parameter="openings", accepted="areas inside the wedge", at=at,
            )  # fmt: skip


def _check_crease_holds(fold: Fold, edge: Edge, parts: list[Polygon], strap: float, kept: Polygon) -> None:
    """A crease that is cut from end to end lets the piece fall in two."""
    crease = edge.line.intersection(kept)
    left = crease.difference(shapely.union_all(parts).buffer(_LOOSE))
    if crease.length > strap and left.length < strap / 2:
        middle = edge.line.interpolate(0.5, normalized=True)
        at = _from_corner((middle.x, middle.y), fold.wedge)
        raise DoesNotFit(
            f"openings cut along the whole crease at {_in_words(at)} of the wedge; that fold is all that "
            f"joins the layers there. Leave at least {format_length(strap / 2)} of it standing.",
            parameter="openings", accepted="some of every crease left uncut", at=at,
        )  # fmt: skip


def _check_clear_of_crease(fold: Fold, edge: Edge, parts: list[Polygon], *, least: float) -> None:
    distance = np.array([part.distance(edge.line) for part in parts])
    for k in np.flatnonzero((distance > _LOOSE) & (distance < least - _LOOSE)):
        at = _from_corner(_nearest(parts[k], edge.line), fold.wedge)
        raise DoesNotFit(
            f"openings would meet after unfolding: one stays {format_length(float(distance[k]), 2)} from "
            f"the crease at {_in_words(at)} of the wedge, next to its own mirror image. Keep "
            f"{format_length(least, 2)} from the crease, or cross it.",
            parameter="openings", value=float(distance[k]),
            accepted=f"at least {format_length(least, 2)}, or 0",
            at=at,
        )  # fmt: skip


def _check_clear_of_open(fold: Fold, parts: list[Polygon], rim: float, kept: Polygon) -> None:
    creases = shapely.union_all([edge.line for edge in fold.edges if edge.creased])
    open_edge = kept.boundary.difference(creases.buffer(_LOOSE))
    for part in parts:
        if (distance := part.distance(open_edge)) < rim - _LOOSE:
            at = _from_corner(_nearest(part, open_edge), fold.wedge)
            raise DoesNotFit(
                f"openings come within {format_length(distance, 2)} of the open edge at {_in_words(at)} of "
                f"the wedge; the rim there is {format_length(rim, 2)}. Move the opening in, or narrow rim.",
                parameter="openings", value=distance, accepted=f"at least {format_length(rim, 2)}", at=at,
            )  # fmt: skip


def _check_apart(fold: Fold, parts: list[Polygon], strap: float) -> None:
    if not parts:
        return
    one, other = STRtree(parts).query(parts, predicate="dwithin", distance=strap - _LOOSE)
    for i, j in zip(one.tolist(), other.tolist(), strict=True):
        if i < j:
            at = _from_corner(_nearest(parts[i], parts[j]), fold.wedge)
            gap = parts[i].distance(parts[j])
            raise DoesNotFit(
                f"two openings are {format_length(gap, 2)} apart at {_in_words(at)} of the wedge; the strap "
                f"between them needs {format_length(strap, 2)}. Move them apart, or join them.",
                parameter="openings", value=gap, accepted=f"at least {format_length(strap, 2)}", at=at,
            )  # fmt: skip


def _outline(fold: Fold, kept: Polygon | None) -> Polygon:
    """Return the piece's outline: the whole sheet of panels, or what the cut leaves of every layer."""
    if kept is None and fold.hem:
        return fold.sheet
    whole = shapely.union_all(fold.unfolded(fold.wedge if kept is None else kept), grid_size=SNAP)
    parts = [part for part in shapely.get_parts(whole) if part.area > _DUST]
    if len(parts) != 1:
        at = _from_corner(_place(min(parts, key=lambda part: part.area)), whole)
        raise DoesNotFit(
            f"edge cuts along a whole crease: the opened piece falls apart at {_in_words(at)} of the piece. "
            "Let the kept part reach every crease.",
            parameter="edge", accepted="a kept part that reaches every crease", at=at,
        )  # fmt: skip
    (whole,) = parts
    if whole.interiors:
        return Polygon(whole.exterior, [ring for ring in whole.interiors if Polygon(ring).area > 1e-3])
    return whole


def _opened(fold: Fold, parts: list[Polygon], outline: Polygon) -> list[Polygon]:
    """Return the openings of the piece, joined across the creases they cross.

    Raises
    ------
    DoesNotFit
        If one closes round paper, which would fall out.
    """
    lapped = [lap_over(part, [edge for edge in fold.edges if edge.creased]) for part in parts]
    copies = [copy for part in lapped for copy in fold.unfolded(part)]
    # Simplifying smooths the steps of a few micrometres that lapping leaves where an outline meets a crease.
    whole = shapely.union_all(copies, grid_size=SNAP).simplify(_LAP / 2)
    opened = [part for part in shapely.get_parts(shapely.set_precision(whole, GRID)) if part.area > 1e-3]
    for opening in opened:
        for ring in opening.interiors:
            inner = Polygon(ring)
            if inner.area > 1e-3:
                at = _from_corner(_place(inner), outline)
                raise DoesNotFit(
                    f"openings meet after unfolding and close round paper at {_in_words(at)} of the piece, "
                    "which would "
                    "fall out. Stop the opening half a strap short of one of the creases it crosses.",
                    parameter="openings", accepted="openings that hold no island", at=at,
                )  # fmt: skip
    return [Polygon(opening.exterior) for opening in opened]


def _pierced(outline: Polygon, openings: list[Polygon]) -> Polygon:
    shapely.prepare(outline)
    inside = shapely.contains_properly(outline, np.array(openings, dtype=object))
    biting = [opening for opening, within in zip(openings, inside, strict=True) if not within]
    holes = [opening for opening, within in zip(openings, inside, strict=True) if within]
    whole = (
        outline.difference(shapely.union_all(biting, grid_size=SNAP), grid_size=SNAP) if biting else outline
    )
    parts = [part for part in shapely.get_parts(whole) if part.area > _DUST]
    if len(parts) != 1:
        at = _place(min(parts, key=lambda part: part.area)) if len(parts) else outline.bounds[:2]
        at = _from_corner(at, outline)
        raise DoesNotFit(
            f"openings cut the piece in {len(parts)} at its border, at {_in_words(at)} of the piece. Let "
            "openings cross a fold at one place each.",
            parameter="openings", accepted="openings that leave one piece", at=at,
        )  # fmt: skip
    rings = [*parts[0].interiors, *(hole.exterior for hole in holes)]
    return Polygon(parts[0].exterior, rings)


def _does_not_hold(paper: Polygon, report: StrengthReport) -> DoesNotFit:
    """Return the fault of a piece that is weak, or hangs together by less than a hair."""
    if report.necks:
        neck = report.necks[0]
        fault, at = f"a neck of {format_length(neck.width)}", neck.at
    elif report.limbs:
        limb = report.limbs[0]
        fault, at = (
            f"a limb {format_length(limb.width)} wide and {format_length(limb.length, 1)} long",
            limb.at,
        )
    else:
        small = report.small_openings[0]
        fault, at = f"an opening of radius {format_length(small.radius)}", small.at
    at = _from_corner(at, paper)
    message = (
        f"the opened piece does not hold: {fault} at {_in_words(at)} of the piece; it needs straps of "
        f"{format_length(report.strap)} and openings of radius {format_length(report.smallest)}. Move or "
        "leave out that opening."
    )
    accepted = f"straps of {format_length(report.strap)} everywhere"
    if not opens_in_one(report):
        return DoesNotFit(message, parameter="openings", accepted=accepted, at=at)
    return DoesNotHold(message, paper=paper, report=report, parameter="openings", accepted=accepted, at=at)


def _check_lengths(strap: float, smallest: float, rim: float) -> None:
    if not 0 < strap <= 50:
        raise BadValue(
            f"strap is {format_length(strap)}; it takes more than 0 mm and at most 50 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 50 mm",
        )  # fmt: skip
    if not 0 <= smallest <= 50:
        raise BadValue(
            f"smallest is {format_length(smallest)}; it takes 0 mm to 50 mm.",
            parameter="smallest", value=smallest, accepted="0 mm to 50 mm",
        )  # fmt: skip
    if not strap <= rim <= 200:
        raise BadValue(
            f"rim is {format_length(rim)}; it takes a strap ({format_length(strap)}) to 200 mm.",
            parameter="rim", value=rim, accepted=f"{format_length(strap)} to 200 mm",
        )  # fmt: skip


def _nearest(one: BaseGeometry, other: BaseGeometry) -> tuple[float, float]:
    x, y = shapely.get_coordinates(shapely.shortest_line(one, other)).mean(axis=0)
    return float(x), float(y)


def _place(shape: BaseGeometry) -> tuple[float, float]:
    point = shape.representative_point()
    return point.x, point.y


def _from_corner(at: tuple[float, ...], area: BaseGeometry) -> tuple[float, float]:
    """Return a place of the wedge or the piece as it is told: counted from that area's lower left corner."""
    return at[0] - area.bounds[0], at[1] - area.bounds[1]


def _in_words(at: tuple[float, float]) -> str:
    return f"({format_mm(at[0], 1)}, {format_mm(at[1], 1)}) mm"
