"""A plate put together is made to hold: patched where parts merely meet, joined where they are loose."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import LinearRing, Polygon

from canivet.audit.again import Measures, measured_before
from canivet.audit.boundary import Floats, Paper
from canivet.audit.strength import StrengthReport, check_strength
from canivet.compose.design.loading import Design
from canivet.compose.joining.candidates import REACH_IN
from canivet.compose.joining.parts import Bridge, Held, hold_together
from canivet.compose.mending.areas import filled, on_grid
from canivet.compose.mending.patching import discs_on, discs_until_wide, mended_until_sound, patched
from canivet.doing import doing
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.shapes.openings import openings_in

from .openings import Openings
from .stages import stage

__all__ = ["HeldPlate", "hold_with_words", "make_hold"]

_PATCHES = 8
"""Rounds of patching before the whole is gone over."""

_GENEROUS = 1.1
"""A patch is this much wider than the strap: where one tapers, an exact disc leaves a weak place."""


@dataclass(frozen=True, slots=True, eq=False)
class HeldPlate:
    """A plate that was made to hold, as far as it can: its audit, the bridges laid, and what was done.

    `known` is what its last audit measured, for another audit of nearly the same.
    """

    paper: Paper
    report: StrengthReport
    bridges: tuple[Bridge, ...]
    remarks: tuple[str, ...]
    known: Measures


def hold_with_words(
    design: Design,
    outline: Polygon,
    openings: Openings,
    figures: list[Paper],
    *,
    drawn: Callable[[Openings], Paper],
) -> HeldPlate:
    """Make a plate hold: first all but its words, which the plates of a series share; then words are cut in.

    Words hold in their panels by themselves. Where the whole does not, it is mended as a whole.

    Parameters
    ----------
    design, outline, figures
        As for `make_hold`.
    openings : Openings
        All that is cut away.
    drawn : callable
        Gives the paper that openings leave.
    """
    words = np.char.startswith(openings.roles, "lettering")
    without = drawn(Openings(openings.areas[~words], openings.roles[~words]))
    clear = [placed.keep_clear for placed in design.silhouette]
    widths = (design.strap, design.slip, design.smallest_opening)
    base = stage(
        "held", partial(make_hold, design, without, outline, figures),
        without, outline, figures, clear, design.join, design.repair, widths,
    )  # fmt: skip
    if not words.any():
        return base
    if base.report.holds:
        whole = base.paper.difference(shapely.union_all(openings.areas[words]))
        known = base.known.copy()
        report = _audit(design, whole, known)
        if report.holds and isinstance(whole, Polygon):
            return replace(base, paper=whole, report=report, known=known)
    return make_hold(design, drawn(openings), outline, figures)


def make_hold(design: Design, paper: Paper, outline: Polygon, figures: list[Paper]) -> HeldPlate:
    """Audit the whole; patch what is weak, join what is loose, and audit again.

    Parameters
    ----------
    design : Design
        How wide straps are, and what may be mended.
    paper : Polygon or MultiPolygon
        The plate as it was put together, mm.
    outline : Polygon
        What no mending leaves.
    figures : list of Polygon or MultiPolygon
        Its silhouettes where they stand, in the order of the design.

    Returns
    -------
    HeldPlate
        Its report says whether it holds.
    """
    doing("looking where it is weak")
    remarks: list[str] = []
    bridges: tuple[Bridge, ...] = ()
    known = measured_before("held", outline, design.needed)
    whole, report = _patched(design, paper, outline, figures, known)
    if not (report.holds and isinstance(whole, Polygon)):
        held = _held(design, whole, outline, figures, known)
        whole = on_grid(held.paper.intersection(outline))
        report, bridges = _audit(design, whole, known), held.joined.bridges
        if bridges:
            remarks.append(
                f"{shapely.get_num_geometries(paper)} parts joined by {len(bridges)} bridges, "
                f"{format_mm(held.joined.total_length, 1)} mm in all"
            )
        for part in held.doubtful:
            where = f"({format_mm(part.at[0], 1)}, {format_mm(part.at[1], 1)})"
            remarks.append(
                f"the part of {format_mm(part.area, 1)} mm² at {where} is smaller than the bridges that hold "
                "it; take it out of the drawing if it is dust"
            )
    changed = 0.0 if whole is paper else _area_between(whole, paper)
    if changed > 0.05:
        remarks.append(f"mended where parts meet: {changed:.1f} mm² changed")
    return HeldPlate(whole, report, bridges, tuple(remarks), known.copy())


def _area_between(one: Paper, other: Paper) -> float:
    """Return the area that lies in one of two papers alone; openings that both have are left aside."""
    if not (isinstance(one, Polygon) and isinstance(other, Polygon)) or one.exterior != other.exterior:
        return float(one.symmetric_difference(other).area)
    own, others = openings_in(one), openings_in(other)
    here, there = (shapely.to_wkb(shapely.normalize(openings)) for openings in (own, others))
    alone, others_alone = own[~np.isin(here, there)], others[~np.isin(there, here)]
    return float(shapely.union_all(alone).symmetric_difference(shapely.union_all(others_alone)).area)


def _held(design: Design, paper: Paper, outline: Polygon, figures: list[Paper], known: Measures) -> Held:
    """Join what is loose and mend it, as far as the design allows."""
    clear = [f for f, placed in zip(figures, design.silhouette, strict=True) if placed.keep_clear]
    # A bridge may end on the figure's edge, since it too is held; it may not cross what is open in it.
    deep = (REACH_IN + _GENEROUS / 2) * design.needed
    keep_out = shapely.union_all([filled(figure).buffer(-deep) for figure in clear]) if clear else None
    try:
        return hold_together(
            paper, strap=design.needed, smallest=design.smallest_opening, holds=design.join.holds,
            style=design.join.style, direction_deg=design.join.direction, keep_out=keep_out, within=outline,
            thicken=design.repair.thicken, fill=design.repair.fill, drop=design.repair.drop,
            known=known,
        )  # fmt: skip
    except DoesNotFit as error:
        if not clear:
            raise
        raise DoesNotFit(
            f"{error.message} Or take keep_clear off.", parameter="keep_clear", at=error.at
        ) from None


def _audit(design: Design, paper: Paper, known: Measures | None = None) -> StrengthReport:
    return check_strength(
        paper, strap=design.strap, slip=design.slip, smallest=design.smallest_opening, known=known
    )


def _patched(
    design: Design, paper: Paper, outline: Polygon, figures: list[Paper], known: Measures
) -> tuple[Paper, StrengthReport]:
    """Lay a disc on each weak neck and fill the openings too small to cut: enough where parts merely meet.

    Going over the whole plate as `repair_paper` does would cost ten times as much. What `repair` forbids is
    left as it is within the silhouettes.
    """
    thin = shapely.union_all([] if design.repair.thicken else figures)
    open_ = shapely.union_all([] if design.repair.fill else [filled(figure) for figure in figures])

    disc = partial(discs_on, radius=_GENEROUS * design.needed / 2, at_corners=True)

    def mend(paper: Paper, report: StrengthReport) -> Paper | None:
        necks = _outside(thin, [neck.at for neck in report.necks])
        small = _outside(open_, [opening.at for opening in report.small_openings])
        if not (len(necks) or len(small)):
            return None
        discs = discs_until_wide(
            paper, necks, strap=design.needed, disc=disc, within=outline, allowed=partial(_outside, thin)
        )
        tight = [Polygon(ring) for ring in _rings_at(paper, small)]
        return patched(paper, [*discs, *tight], within=outline)

    return mended_until_sound(paper, partial(_audit, design, known=known), mend, rounds=_PATCHES)


def _outside(area: Paper, places: ArrayLike) -> Floats:
    """Return the places that do not lie in an area."""
    at = np.reshape(np.asarray(places, float), (-1, 2))
    return np.asarray(at[~shapely.intersects_xy(area, at)])


def _rings_at(paper: Paper, places: Floats) -> list[LinearRing]:
    """Return the openings that hold the given places."""
    rings = [ring for part in shapely.get_parts(paper) for ring in part.interiors]
    if not rings or not len(places):
        return []
    _, which = shapely.STRtree([Polygon(ring) for ring in rings]).query(shapely.points(places), "within")
    return [rings[k] for k in sorted(set(which.tolist()))]
