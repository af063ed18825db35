"""The plan of a whole piece: order, strokes, tools, hours."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Boundary, Paper, boundary_of
from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.stock import Faces, Stock

from ._making import Task, make_plan
from .delicacy import measure_openings
from .estimates import sheets_under
from .settings import PlanSettings
from .steps import CuttingPlan

__all__ = ["plan_cutting"]

_MOST_LAYERS = 64

_STRAP = 1.2
"""mm, for a paper that does not say what it holds at."""


def plan_cutting(
    paper: Paper | Cutting,
    *,
    settings: PlanSettings | None = None,
    strap: float | None = None,
    mirrored: bool | None = None,
    layers: int = 1,
    title: str = "",
    tell: Callable[[float], None] | None = None,
) -> CuttingPlan:
    """Plan how a piece is cut.

    Parameters
    ----------
    paper : Polygon or Cutting
        What stays, mm, in one part, with at least one opening.
    settings : PlanSettings, optional
        Hand, tools, surface, pace, thresholds.
    strap : float, optional
        The width it holds at, mm; a cutting's own, else 1.2.
    mirrored : bool, optional
        Whether it is cut from the back; as a cutting's faces have it, else not.
    layers : int
        Sheets under the blade, 1 to 64: those of a packet.
    title : str
        A cutting's own, else this.
    tell : callable, optional
        Told how much of the plan is made, 0 to 1, for a piece that takes a while.

    Returns
    -------
    CuttingPlan
        The same for the same piece, every time.

    Raises
    ------
    BadValue
        If the paper is not valid, or a value is out of range.
    DoesNotFit
        If it is in several parts, has no openings, or cannot be cut with the tools at hand.

    Examples
    --------
    The small opening comes before the large one.

    >>> from shapely import box
    >>> plan = plan_cutting(box(0, 0, 30, 20) - box(14, 5, 25, 15) - box(5, 5, 9, 9))
    >>> [round(opening.area) for opening in plan.openings], round(sum(s.length for s in plan.strokes()))
    ([16, 110], 158)
    """
    piece = _piece(paper, strap, mirrored, layers, title)
    whole, boundary = _one_part(piece.paper)
    solid = shapely.polygons(shapely.get_rings(whole)[1:])
    task = Task(
        boundary, measure_openings(solid, boundary, piece.strap), density_of(whole), piece.strap,
        piece.mirrored, layers, piece.sheets, piece.title,
    )  # fmt: skip
    return make_plan(task, settings or PlanSettings(), tell=tell)


def density_of(whole: Polygon) -> float:
    """Return the openings per 100 cm² of a piece."""
    return float(len(whole.interiors) / Polygon(whole.exterior).area * 1e4)


@dataclass(frozen=True, slots=True)
class _Piece:
    paper: Paper
    strap: float
    mirrored: bool
    sheets: float
    title: str


def _piece(
    paper: Paper | Cutting, strap: float | None, mirrored: bool | None, layers: int, title: str
) -> _Piece:
    """Return what is planned, a cutting's own words and widths where nothing else is said."""
    if isinstance(layers, bool) or not isinstance(layers, int) or not 1 <= layers <= _MOST_LAYERS:
        raise BadValue(
            f"layers is {layers}; it takes a whole number from 1 to {_MOST_LAYERS} (sheets under the blade).",
            parameter="layers", value=layers, accepted=f"1 to {_MOST_LAYERS}",
        )  # fmt: skip
    stock = Stock(Faces.PLAIN)
    if isinstance(paper, Cutting):
        stock, title = paper.stock, title or paper.title
        strap = paper.strap if strap is None else strap
        paper = paper.paper
    strap = _STRAP if strap is None else strap
    if not 0 < strap <= 1000:
        raise BadValue(
            f"strap is {strap:g} mm; it takes more than 0 mm and at most 1000 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 1000 mm",
        )  # fmt: skip
    from_back = stock.faces.mirrored if mirrored is None else mirrored
    return _Piece(paper, strap, from_back, sheets_under(stock, layers), title)


def _one_part(paper: Paper) -> tuple[Polygon, Boundary]:
    boundary = boundary_of(paper)
    parts = shapely.get_parts(paper)
    if len(parts) > 1:
        raise DoesNotFit(
            f"the paper is in {len(parts)} parts; a plan is for one piece. Join them first (canivet join), "
            "or plan each alone.",
            parameter="paper", value=len(parts), accepted="one part",
        )  # fmt: skip
    whole: Polygon = parts[0]
    if not whole.interiors:
        raise DoesNotFit(
            "the piece has no openings; there is nothing to put in order. Cut round its outline.",
            parameter="paper", accepted="at least one opening",
        )  # fmt: skip
    if len(boundary.first) - 2 != len(whole.interiors):
        raise DoesNotFit(
            "an opening is smaller than a thousandth of a millimetre; no blade cuts it. Fill it "
            "(canivet join fills what is too small to cut).",
            parameter="paper", accepted="openings a blade can cut",
        )  # fmt: skip
    return whole, boundary
