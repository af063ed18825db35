"""Openings between what is drawn: rounded, kept a strap apart, and narrow places mended."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import numpy as np
import shapely
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.audit.strength import StrengthReport, check_strength
from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import fits, inscribed_about

from .room import THINNING_LOSS, Room
from .strokes import softened

__all__ = ["clipped", "mended", "openings_from", "spaced"]

_ROUNDEST = 0.9
"""mm; corners of openings are rounded no more than this, however large they are."""

_EDGE = 1e-6


def openings_from(parts: Iterable[Polygon], *, share: float, strap: float, smallest: float) -> list[Polygon]:
    """Round what lies between the paper, drop what is too small to cut, and keep all a strap apart."""
    found: list[Polygon] = []
    for part in parts:
        if fits(part, smallest):
            found += softened(Polygon(part.exterior), min(inscribed_about(part) * share, _ROUNDEST))
    return spaced(found, strap=strap, smallest=smallest)


def spaced(openings: Iterable[Polygon], *, strap: float, smallest: float) -> list[Polygon]:
    """Draw openings back until any two are a strap apart; drop what is then too small.

    Of two that are alike, mirror images mostly, both give way by half; otherwise the smaller does.
    """
    kept: list[Polygon] = []
    for opening in sorted(_parted(list(openings), strap, smallest), key=lambda o: -round(o.area, 6)):
        near = [o for o in kept if shapely.dwithin(o, opening, strap - _EDGE)]
        rest: BaseGeometry | None = opening
        if near:
            taken = shapely.union_all([o.buffer(strap, quad_segs=24) for o in near])
            rest = _largest(opening.difference(taken), min(0.3 * strap, smallest))
        if rest is not None and fits(rest, smallest):
            kept.append(rest)
    return kept


def _parted(openings: list[Polygon], strap: float, smallest: float) -> list[Polygon]:
    """Keep openings of one size half a strap from the line midway between them."""
    bounds: list[Polygon | None] = list(openings)
    for i, j in combinations(range(len(openings)), 2):
        one, other = openings[i], openings[j]
        alike = abs(one.area - other.area) < 0.02 * one.area
        if not alike or not shapely.dwithin(one, other, strap - _EDGE):
            continue
        a, b = shapely.get_coordinates([one.centroid, other.centroid])
        for k, side in ((i, _half_plane(a, b, strap)), (j, _half_plane(b, a, strap))):
            body = bounds[k]
            bounds[k] = None if body is None else _largest(body.intersection(side), smallest * 0.6)
    return [body for body in bounds if body is not None]


def _half_plane(near: Points, far: Points, strap: float) -> Polygon:
    """Return all that is nearer to one point than to another, less half a strap."""
    away = (far - near) / np.hypot(*(far - near))
    edge = (near + far) / 2 - away * strap / 2
    along = np.array([-away[1], away[0]]) * 1e3
    return Polygon([edge + along, edge - along, edge - along - away * 1e3, edge + along - away * 1e3])


def clipped(opening: Polygon, clear: Polygon, smallest: float) -> Polygon | None:
    """Return what of an opening lies in the clear, or None where that is too small to cut."""
    if clear.contains(opening):
        return opening
    best = _largest(opening.intersection(clear), smallest * 0.6)
    return best if best is not None and fits(best, smallest) else None


def _largest(shape: BaseGeometry, radius: float) -> Polygon | None:
    """Return the largest part of what is left of an opening, its corners rounded."""
    parts = [p for q in shapely.get_parts(shape) if q.area > 0 for p in softened(q, radius)]
    return max(parts, key=lambda part: part.area, default=None)


def mended(openings: list[Polygon], room: Room, *, tries: int = 3) -> list[Polygon]:
    """Widen what came out thinner than a strap, by a disc of paper on each narrow chord.

    Parameters
    ----------
    openings : list of Polygon
        As drawn flat.
    room : Room
        What straps they must keep.
    tries : int
        How often narrow places are looked for again; 0 only to refuse them.

    Returns
    -------
    list of Polygon

    Raises
    ------
    DoesNotFit
        If that does not help, or nothing is left to cut.
    """
    strap = room.strap - THINNING_LOSS
    for _ in range(tries):
        report = _flat_report(openings, strap)
        if report is None or not (report.necks or report.limbs):
            break
        patch = shapely.union_all([Point(neck.at).buffer(0.54 * room.strap) for neck in report.necks])
        whole = [
            _largest(o.difference(patch), 0.2 * room.strap) if o.intersects(patch) else o for o in openings
        ]
        openings = [o for o in whole if o is not None and fits(o, room.smallest)]
    else:
        report = _flat_report(openings, strap)
    if report is None or report.necks or report.limbs:
        wide = room.band.width
        what = "no opening worth cutting is left" if report is None else "parts come out thinner than that"
        raise DoesNotFit(
            f"band is {format_length(wide)}; with a strap of {format_length(strap, 2)} in this ornament, "
            f"{format_length(room.height, 2)} high between its rails, {what}. Widen band, lower strap or "
            "smallest, or ask for another repeat.",
            parameter="band", value=wide, accepted="a wider band, or a narrower strap",
        )  # fmt: skip
    return openings


def _flat_report(openings: list[Polygon], strap: float) -> StrengthReport | None:
    """Audit openings as drawn flat, or return None where there are none."""
    if not openings:
        return None
    low_x, low_y, high_x, high_y = shapely.total_bounds(openings)
    sheet = box(low_x - strap, low_y - strap, high_x + strap, high_y + strap)
    return check_strength(shapely.polygons(sheet.exterior, holes=[o.exterior for o in openings]), strap=strap)
