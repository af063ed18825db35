"""The plan of a folded piece: what is cut of its packet, through all layers at once.

In a packet an opening that crosses a crease is cut as far as the crease, and along creases there is nothing
to cut. So the packet is planned as a piece of paper with a hair of paper beyond its folded edges, which
closes every such opening, and the edges that lie on creases are left out. How delicate an opening is, and how
dense the lace, is measured on the opened piece: that is what has to hold.
"""

from __future__ import annotations

from collections.abc import Callable

import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Boundary, Flags, Ints, boundary_of
from canivet.errors import DoesNotFit
from canivet.motifs.folding.packet import PacketPlan
from canivet.motifs.shapes.openings import Shapes, openings_in

from ._making import Task, make_plan
from .delicacy import measure_openings
from .estimates import sheets_under
from .plan import density_of
from .settings import PlanSettings
from .steps import CuttingPlan

__all__ = ["packet_paper", "plan_packet_cutting"]

_HAIR = 0.005
"""mm of paper beyond a folded edge: less than a pen draws."""

_ON = 1.5e-3
"""mm. What is no further from a line than the grid's rounding lies on it."""


def packet_paper(packet: PacketPlan) -> Polygon:
    """Return a packet as it is cut: its openings closed along the creases by a hair of paper.

    Returns
    -------
    Polygon
        mm, as the wedge lies.

    Examples
    --------
    >>> from shapely import Point
    >>> from canivet.motifs.folding.folds import quarter_fold
    >>> from canivet.motifs.folding.packet import plan_packet
    >>> moon = plan_packet(quarter_fold(width=60, height=60), Point(45, 45).buffer(5), title="Moon")
    >>> len(packet_paper(moon).interiors)
    1
    """
    waste = shapely.get_parts(shapely.intersection(shapely.union_all(packet.openings), packet.kept))
    waste = waste[(shapely.get_dimensions(waste) == 2) & (shapely.area(waste) > _ON)]
    beyond = [line.buffer(_HAIR, cap_style="square", join_style="mitre") for line in _creases(packet)]
    paper = shapely.difference(shapely.union_all([packet.kept, *beyond]), shapely.union_all(waste))
    # What a crease's end leaves standing beside the packet is a hair too.
    whole = max(shapely.get_parts(paper), key=lambda part: part.area)
    assert isinstance(whole, Polygon)
    return whole


def plan_packet_cutting(
    packet: PacketPlan,
    *,
    settings: PlanSettings | None = None,
    tell: Callable[[float], None] | None = None,
) -> CuttingPlan:
    """Plan how a folded piece is cut in its packet.

    Parameters
    ----------
    packet : PacketPlan
        With at least one opening in its wedge.
    settings : PlanSettings, optional
        Hand, tools, surface, pace, thresholds.
    tell : callable, optional
        Told how much of the plan is made, 0 to 1.

    Returns
    -------
    CuttingPlan
        Its places lie in the wedge; ``ring`` counts the openings of `packet_paper`. Its minutes and blades
        are for all layers at once, its outline is what is cut of the packet's open edge.

    Raises
    ------
    DoesNotFit
        If the packet has no openings, or cannot be cut with the tools at hand.
    """
    paper = packet_paper(packet)
    solid = openings_in(paper)
    if len(solid) == 0:
        raise DoesNotFit(
            "the packet has no openings; there is nothing to put in order. Cut its open edge and unfold it.",
            parameter="paper", accepted="at least one opening",
        )  # fmt: skip
    boundary = boundary_of(paper)
    openings = measure_openings(
        solid, boundary_of(packet.piece), packet.strap, owner=_opened_into(solid, packet.piece)
    )
    task = Task(
        boundary, openings, density_of(packet.piece), packet.strap, False, packet.fold.layers,
        sheets_under(packet.stock, packet.fold.layers), packet.title, _uncut(boundary, packet),
    )  # fmt: skip
    return make_plan(task, settings or PlanSettings(), tell=tell)


def _creases(packet: PacketPlan) -> list[shapely.LineString]:
    """Return the folded edges of a packet, as far as it is kept."""
    edge = packet.kept.exterior
    lines = [side.line.buffer(_ON, cap_style="flat") for side in packet.fold.edges if side.creased]
    found = shapely.get_parts(shapely.line_merge(shapely.intersection(edge, shapely.union_all(lines))))
    return [line for line in found if line.length > 10 * _ON]


def _opened_into(solid: Shapes, piece: Polygon) -> Ints:
    """Return which opening of the piece each opening of the packet is a part of."""
    opened = shapely.STRtree(openings_in(piece))
    inside = shapely.point_on_surface(solid)
    nearest: Ints = opened.nearest(inside)
    return nearest


def _uncut(boundary: Boundary, packet: PacketPlan) -> Flags:
    """Say along which edges there is nothing to cut: creases, and the sides of an oblong sheet.

    An oblong is cut to size before it is folded; any other sheet gets its edge in the packet.
    """
    middle = shapely.points(boundary.points + boundary.steps / 2)
    creases = shapely.union_all(_creases(packet))
    folded: Flags = shapely.dwithin(middle, creases, _HAIR + _ON)
    if not packet.fold.sheet.equals(packet.fold.sheet.envelope):
        return folded
    ends: Flags = shapely.dwithin(middle, packet.fold.wedge.exterior, _HAIR + _ON)
    uncut: Flags = folded | (ends & (boundary.ring == 0))
    return uncut
