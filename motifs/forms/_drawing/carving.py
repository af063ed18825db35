"""Carving: what was drawn in black and white becomes one piece of paper that holds.

Black is joined, its inward corners rounded, and thickened where it is too thin. White is laid on it in the
order in which it was drawn: each opening keeps a strap off every edge and off every opening before it, and
is left out, with its like, where too little of it would be left to be worth the knife.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.strength import StrengthReport, check_strength
from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.forms._box import faults_in, fit_to_box, natural_box, require_box, without_pinholes
from canivet.motifs.forms._strokes import rounded
from canivet.motifs.shapes.rounds import closed, parts_fitting

from .pen import Box, Build, Pen

__all__ = ["Draw", "carve", "draw_figure"]

Draw = Callable[[Box], Pen]
"""Given a box of width and height in mm, the pen that has drawn in it."""

_SPARE = 1.03
"""Straps to work with for each asked for: what a last stretch into the box may take."""

_SNUG, _SHY = 1.015, 0.996
"""What is drawn fills its box but for so much, and is aimed at a little less: stretching widens straps."""

_FILLET = 0.42
"""Straps of radius in an inward corner of the outline: rounder melts, sharper tears."""

_POINTED = 4.0
"""Half-widths past which the end of a point is cut off: 29° and more stay whole."""

_TIP = 12.0
"""Straps: what is thin for longer is a line to be thickened, no point to be taken back."""

_EDGE = 0.014
"""Share of the shorter side kept round an opening at the least: in a large figure a strap is a hair."""

_WORTH = 0.5
"""Share of an opening, as drawn, that must be left of it."""

_TRIALS = 8
"""How often a figure is drawn until it fits its box, and mended until it holds, at the most."""


def draw_figure(
    build: Build, draw: Draw, width: float, height: float, *, strap: float, smallest: float,
    detail: float = 1.0, flip: bool = False, lying: bool = False,
) -> Polygon:  # fmt: skip
    """Draw a figure as large as it fits a box of its proportions, and carve it.

    Parameters
    ----------
    build : Build
        What its box may be.
    draw : callable
        See `Draw`.
    width, height : float
        Of the box to fill: mm.
    strap, smallest : float
        mm.
    detail : float
        How many of its openings are cut, those first drawn first: a share.
    flip : bool
        Whether it looks the other way.
    lying : bool
        Whether it lies in a wide box, its foot to the left.

    Returns
    -------
    Polygon
        The paper, its box at the origin.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.
    """
    if lying and width > height:
        upright = draw_figure(build, draw, height, width, strap=strap, smallest=smallest, detail=detail)
        return shapely.transform(upright, lambda xy: xy[:, ::-1])
    _require(build, width, height, strap)
    if build.give == 0:
        pen, across, up = _rigid(draw, build, width, height)
    else:
        across, up = natural_box(width, height, broadest=build.broadest, slenderest=build.slenderest)
        pen = _fitted(draw, across, up)
    pen.pierce_leaves()
    pen.keep(detail)
    paper = carve(pen, across, up, strap=strap, smallest=smallest)
    if paper is None:
        raise DoesNotFit(
            f"strap is {format_length(strap)}; {build.what}, {format_length(across)} by {format_length(up)}, "
            f"does not hold with it. Lower strap or widen the box.",
            parameter="strap", value=strap, accepted=f"less than {format_length(strap)}",
        )  # fmt: skip
    return (
        shapely.transform(paper, lambda xy: np.column_stack([across - xy[:, 0], xy[:, 1]])) if flip else paper
    )


def _require(build: Build, width: float, height: float, strap: float) -> None:
    """Refuse a box in which the shorter side of the figure would be under its least."""
    least = build.least * strap
    if build.range:
        across, up = least, least
    else:
        across, up = least * max(1.0, build.slenderest), least * max(1.0, 1 / build.broadest)
    require_box(build.what, strap, {"width": (width, across), "height": (height, up)})


def _fitted(draw: Draw, width: float, height: float) -> Pen:
    """Draw until what is drawn nearly fills the box: lines have a width of their own, so it takes a few."""
    w, h = width, height
    pen = draw((w, h))
    for _ in range(_TRIALS):
        x0, y0, x1, y1 = shapely.total_bounds(pen.blacks)
        ratio = np.array([width / (x1 - x0), height / (y1 - y0)])
        if ratio.min() >= 1 and ratio.max() < _SNUG:
            break
        w, h = np.array([w, h]) * ratio * _SHY
        pen = draw((w, h))
    return pen


def _rigid(draw: Draw, build: Build, width: float, height: float) -> tuple[Pen, float, float]:
    """Draw with rounds true and nothing stretched, as large as fits; return the pen, and the box it fills."""
    frame, size = np.array(build.frame), min(width / build.frame[0], height / build.frame[1])
    pen = draw((size * frame[0], size * frame[1]))
    for _ in range(_TRIALS):
        x0, y0, x1, y1 = shapely.total_bounds(pen.blacks)
        ratio = min(width / (x1 - x0), height / (y1 - y0))
        if 1 <= ratio < _SNUG:
            break
        size *= ratio * _SHY
        pen = draw((size * frame[0], size * frame[1]))
    return pen, ratio * (x1 - x0), ratio * (y1 - y0)


def carve(pen: Pen, width: float, height: float, *, strap: float, smallest: float) -> Polygon | None:
    """Return the paper of what was drawn, stretched into the box; None where not even the outline holds."""
    joined = _in_one(closed(shapely.union_all(pen.blacks), _FILLET * strap, sides=12), strap)
    if joined is None:
        return None
    solid, origin, ratio = fit_to_box(_plain(joined, pen.crumb), width, height)
    solid = _thickened(solid, strap, smallest, pen.crumb, (width, height))
    if solid is None:
        return None
    groups = [
        [shapely.transform(white, lambda xy: (xy - origin) * ratio) for white in group]
        for group in pen.whites
    ]
    edge = max(_SPARE * strap, _EDGE * min(width, height))
    kept = _laid(solid, groups, edge, _SPARE * strap, smallest)
    while True:
        openings = [o for group in kept for o in group]
        paper = Polygon(solid.exterior, [*solid.interiors, *(o.exterior for o in openings)])
        report = check_strength(paper, strap=strap, smallest=smallest)
        if report.holds:
            return paper
        if not kept:
            return None
        kept = _without_faults(kept, report)


def _in_one(black: BaseGeometry, strap: float) -> Polygon | None:
    """Return black as one piece; None where a part of it is loose, and no crumb in which no strap fits."""
    main, *loose = parts_fitting(black, strap / 2)
    return None if loose else main


def _plain(solid: Polygon, crumb: float) -> Polygon:
    """Return the solid with openings filled that no such disc fits, and without needless points."""
    return without_pinholes(solid, crumb).simplify(0.006)


def _thickened(solid: Polygon, strap: float, smallest: float, crumb: float, box: Box) -> Polygon | None:
    """Return the outline with points too slender taken back, and what else is too thin made thicker."""
    for _ in range(_TRIALS):
        report = check_strength(solid, strap=strap, smallest=smallest)
        if report.holds:
            return solid
        grown = _in_one(_mended(solid, report, strap), strap)
        if grown is None:
            return None
        solid = fit_to_box(_plain(grown, crumb), *box)[0]
    return None


def _mended(solid: Polygon, report: StrengthReport, strap: float) -> BaseGeometry:
    """Lay a round on every neck too thin, take slender points back, thicken lines that are too fine."""
    half = 0.5 * _SPARE * strap
    patches = [shapely.Point(neck.at).buffer(1.12 * half) for neck in report.necks]
    ends = np.array([shapely.Point(limb.at) for limb in report.limbs], dtype=object)
    stout = solid.buffer(-half, quad_segs=8).buffer(half, join_style="mitre", mitre_limit=_POINTED)
    places = shapely.union_all([*ends, *patches])
    thin = [p for p in shapely.get_parts(solid.difference(stout.buffer(1e-3))) if p.distance(places) < half]
    tips = [part for part in thin if _is_tip(part, stout, strap)]
    patches += [part.buffer(0.3 * half, quad_segs=8) for part in thin if part not in tips]
    if not thin:
        patches += [end.buffer(1.12 * half) for end in ends]
    cut = [tip.buffer(2e-3) for tip in tips if shapely.distance(ends, tip).min(initial=np.inf) < half]
    bare = solid.difference(shapely.union_all(cut)) if cut else solid
    return closed(shapely.union_all([bare, *patches]), _FILLET * strap, sides=8)


def _is_tip(part: Polygon, stout: Polygon, strap: float) -> bool:
    """Say whether a thin part is the end of something: joined on one side only, and not long."""
    x0, y0, x1, y1 = part.bounds
    joints = shapely.get_parts(part.buffer(0.01 * strap).intersection(stout))
    return len(joints) <= 1 and max(x1 - x0, y1 - y0) < _TIP * strap


def _laid(
    solid: Polygon, groups: list[list[Polygon]], edge: float, strap: float, smallest: float
) -> list[list[Polygon]]:
    """Lay openings on the solid one group after another, each clear of the edges and of those before it."""
    room = solid.buffer(-edge, quad_segs=12)
    shapely.prepare(room)
    kept: list[list[Polygon]] = []
    taken: list[Polygon] = []
    for group in groups:
        laid: list[Polygon] = []
        for white in group:
            part = _cleared(white, room, [*taken, *laid], strap, smallest)
            if part is None:
                break
            laid += part
        else:
            kept.append(laid)
            taken += laid
    return kept


def _cleared(
    white: Polygon, room: Polygon, taken: list[Polygon], strap: float, smallest: float
) -> list[Polygon] | None:
    """Return what is left of an opening, or None where that is too little."""
    left = white if room.covers(white) else white.intersection(room)
    near = [other for other in taken if shapely.dwithin(other, white, strap)]
    if near:
        left = left.difference(shapely.union_all(shapely.buffer(near, strap, quad_segs=8)))
    parts = rounded(left, 0.8 * smallest, smallest)[:1]
    return parts if parts and parts[0].area > _WORTH * white.area else None


def _without_faults(kept: list[list[Polygon]], report: StrengthReport) -> list[list[Polygon]]:
    """Strike the group nearest to each fault."""
    places = shapely.points(faults_in(report))
    away = np.array([shapely.distance(places, shapely.union_all(group)) for group in kept])
    struck = set(away.argmin(axis=0).tolist())
    return [group for k, group in enumerate(kept) if k not in struck]
