"""White round a figure: a margin of clear ground, and a halo that parts it from what it stands before."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from canivet.audit.boundary import Floats, Paper
from canivet.compose.design.loading import LetteringSettings, PlacedSilhouette
from canivet.compose.mending.areas import areas_of, filled
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

from .homing import touch_of

__all__ = ["clear_ground", "halo_round", "level_ties"]

_CALM, _CALMER = 3.0, 0.12
"""mm, and of the figure's larger side. Bays of a margin narrower than twice this are closed, so that its line
is calm: it follows the figure's mass, not its every leaf."""

_STRIP = 3.5
"""mm. Ground narrower than twice this, between two lines round figures or between one and the border, holds
no cell of any form."""

_BESIDE, _THIN = 1.5, 0.42
"""Straps: how far beside a halo slivers are looked for, and the radius of a disc that fits into none."""

_CRUMB = 12.0
"""Square straps: a part no larger, joined to nothing, is dropped."""

_TIE = 1.6
"""Straps: how wide a tie across a halo is."""

_NEAR = 8.0
"""mm beyond a halo within which a level bar looks for paper."""

_SIDES = 16


def clear_ground(area: Paper, margin: float, window: Polygon) -> Paper:
    """Return what is kept clear of ground round a figure, the figure itself included.

    Examples
    --------
    >>> from shapely import box
    >>> round(clear_ground(box(40, 40, 60, 60), 5, box(0, 0, 100, 100)).area) > 30 * 30 - 25
    True
    """
    whole = filled(area)
    x0, y0, x1, y1 = whole.bounds
    calm = max(_CALM, _CALMER * max(x1 - x0, y1 - y0))
    grown = filled(whole.buffer(margin + calm, quad_segs=_SIDES).buffer(-calm, quad_segs=_SIDES))
    ground = window.difference(grown)
    broad = ground.buffer(-_STRIP).buffer(_STRIP, join_style="mitre").intersection(ground)
    return areas_of(window.difference(broad.buffer(1e-6, join_style="mitre")))


def halo_round(
    area: Paper,
    placed: PlacedSilhouette | LetteringSettings,
    paper: Paper,
    within: Polygon,
    *,
    strap: float,
    ties: Sequence[Polygon] = (),
) -> list[Polygon]:
    """Return what is cut away round a figure so that it stands before the rest.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The figure, mm.
    placed : PlacedSilhouette or LetteringSettings
        Its ``halo``; the panel of words stands for them.
    paper : Polygon or MultiPolygon
        All that stays so far, the figure in it.
    within : Polygon
        Where a halo may be cut.
    strap : float
        mm.
    ties : sequence of Polygon
        Bars that hold it already, where the halo is not cut.

    Returns
    -------
    list of Polygon
        The halo, open where the figure is held: where it touches paper beyond `within` at a thick place; else
        at the two places, far from each other, where what it crosses is widest.

    Raises
    ------
    DoesNotFit
        If the halo is wider than half the figure.
    """
    whole = filled(area)
    x0, y0, x1, y1 = whole.bounds
    if placed.halo > min(x1 - x0, y1 - y0) / 2:
        raise DoesNotFit(
            f"{placed.name}: its halo is {format_mm(placed.halo, 1)} mm, and the figure is "
            f"{format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm; a halo is at most half as wide as that. "
            "Lower halo.",
            parameter=placed.name, value=placed.halo,
            accepted=f"at most {format_mm(min(x1 - x0, y1 - y0) / 2, 1)} mm",
        )  # fmt: skip
    ring = whole.buffer(placed.halo, quad_segs=_SIDES).difference(whole).intersection(within)
    held = touch_of(whole, within, strap=strap) > 0
    ties = list(ties) or ([] if held else _ties(whole, ring, paper, placed.halo, strap))
    ring = ring.difference(shapely.union_all(ties))
    crumbs = _crumbs(paper.difference(shapely.union_all([ring, whole, *ties])), ring, strap)
    ring = shapely.union_all([ring, *crumbs])
    return [part for part in shapely.get_parts(ring) if isinstance(part, Polygon)]


def level_ties(panel: Polygon, paper: Paper, halo: float, *, strap: float) -> list[Polygon]:
    """Return level bars from both sides of a panel to the paper beside it; none where either finds none near.

    Examples
    --------
    >>> from shapely import box
    >>> frame = box(0, 0, 100, 60).difference(box(10, 10, 90, 50))
    >>> len(level_ties(box(15, 20, 85, 40), frame, 2, strap=1.2))
    2
    """
    x0, y0, x1, y1 = panel.bounds
    y, half, far = (y0 + y1) / 2, _TIE * strap / 2, halo + _NEAR
    beyond = paper.difference(panel.buffer(halo, join_style="mitre"))
    bars = []
    for strip in (box(x0 - far, y - half, x0, y + half), box(x1, y - half, x1 + far, y + half)):
        met = [
            p.bounds for p in shapely.get_parts(beyond.intersection(strip)) if p.area > _TIE * strap**2 / 4
        ]
        if not met:
            return []
        left = strip.bounds[0] < x0 - 1e-9
        near = max(b[2] for b in met) - strap if left else min(b[0] for b in met) + strap
        bars.append(
            box(near, y - half, x0 + strap, y + half) if left else box(x1 - strap, y - half, near, y + half)
        )
    return bars


def _crumbs(rest: Paper, ring: Paper, strap: float) -> list[Paper]:
    """Return what a halo leaves beside it that is no paper to keep: slivers, and crumbs joined to nothing."""
    near = ring.buffer(_BESIDE * strap)
    beside = rest.intersection(near)
    slivers = beside.difference(beside.buffer(-_THIN * strap).buffer(1.05 * _THIN * strap))
    # What is thin only because the look ended there is no sliver.
    slivers = slivers.difference(near.boundary.buffer(strap))
    left = shapely.get_parts(rest.difference(slivers))
    loose = [part for part in left if part.area < _CRUMB * strap**2]
    return [slivers, *loose]


def _ties(whole: Paper, ring: Paper, paper: Paper, halo: float, strap: float) -> list[Polygon]:
    """Return bars across the halo where it is not cut: over the widest paper it crosses, far apart."""
    crossed = [p for p in shapely.get_parts(shapely.intersection(ring, paper)) if isinstance(p, Polygon)]
    if not crossed:
        return []
    at = np.array([shapely.get_coordinates(p.representative_point())[0] for p in crossed])
    width = np.array([p.area / halo for p in crossed])
    good = width >= min(strap, width.max())
    at, width = at[good], width[good]
    middle = shapely.get_coordinates(whole.centroid)[0]
    # The widest first, then the one that lies farthest round the figure from it.
    first = int(width.argmax())
    turn = np.arctan2(*(at - middle).T[::-1])
    apart = np.abs((turn - turn[first] + math.pi) % (2 * math.pi) - math.pi)
    second = int((apart * np.minimum(width / strap, 2.0)).argmax())
    chosen = [first] if second == first else [first, second]
    return [_bar(at[k], middle, halo, _TIE * strap) for k in chosen]


def _bar(at: Floats, middle: Floats, halo: float, wide: float) -> Polygon:
    """Return a bar across the halo, along the way from the figure's middle."""
    way = (at - middle) / max(float(np.hypot(*(at - middle))), 1e-9)
    ends = np.array([at - way * (halo + wide), at + way * (halo + wide)])
    bar: Polygon = shapely.linestrings(ends).buffer(wide / 2, cap_style="flat")
    return bar
