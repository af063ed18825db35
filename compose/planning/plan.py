"""The plan of a whole piece: order, strokes, tools, hours."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Boundary, Flags, Floats, Ints, Paper, boundary_of
from canivet.audit.strength import TOLERANCE
from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.stock import Faces, Stock

from .delicacy import MeasuredOpenings, measure_openings
from .estimates import Measures, Work, blades_for, grade_of, minutes_of, rests_after, sheets_under, wear_of
from .order import plan_order
from .settings import PlanSettings
from .spans import Spans, split_at_corners
from .steps import CuttingPlan, OpeningPlan, Overrun, Pierce, Stroke
from .strokes import Cutter
from .tools import SHARP_DEG, choose_tools, require_tools

__all__ = ["plan_cutting"]

_ARM = 0.9
"""Of the largest disc's radius: an X whose arms end short of the edge."""

_LONGEST_ARM = 8.0
"""mm. A longer slit helps no scissors in (*common practice*)."""

_TIGHT = 5.0
"""mm. Radius under which a curve counts as tight."""

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
    settings = settings or PlanSettings()
    piece = _piece(paper, strap, mirrored, layers, title)
    whole, boundary = _one_part(piece.paper)
    solid = shapely.polygons(shapely.get_rings(whole)[1:])
    openings = measure_openings(solid, boundary, piece.strap)
    require_tools(openings.radius, openings.at, settings)
    order = plan_order(openings.at, openings.area, openings.delicacy, reach=settings.reach, tell=tell)
    spans = split_at_corners(boundary)
    cut = _cut(openings, order.rows, spans, settings, piece)
    minutes = cut.cutting + cut.handling
    scissors = float(spans.length[choose_tools(spans, openings.radius, settings)].sum())
    length = {"knife": float(spans.length.sum()) - scissors, "scissors": scissors}
    worn = wear_of(length["knife"], settings, piece.sheets)
    return CuttingPlan(
        openings=tuple(cut.steps), outline=cut.outline, settings=settings, title=piece.title,
        mirrored=piece.mirrored, layers=layers, support=order.support, travel=order.travel,
        turning=sum(cut.cutter.turned), turning_plain=cut.cutter.turned_plain, cut_length=length,
        minutes=minutes, blades=blades_for(worn, settings), sittings=cut.steps[-1].sitting,
        grade=grade_of(_measures(whole, openings, spans, minutes)), overruns=_over_straps(cut.steps,
        cut.outline, piece.strap), cutting_minutes=cut.cutting, worn=worn,
    )  # fmt: skip


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


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """All openings in turn, the outline, and minutes with a tool on the edge and besides."""

    steps: list[OpeningPlan]
    outline: tuple[Stroke, ...]
    cutting: float
    handling: float
    cutter: Cutter


def _cut(openings: MeasuredOpenings, rows: Ints, spans: Spans, settings: PlanSettings, piece: _Piece) -> _Cut:
    """Return every opening cut in turn, the outline before or after them."""
    scissors = choose_tools(spans, openings.radius, settings)
    rings = [int(k) + 1 for k in rows]
    rings = [0, *rings] if settings.outline == "first" else [*rings, 0]
    cutter = Cutter(spans, scissors, settings, rings, mirrored=piece.mirrored)
    entered = np.isin(np.arange(len(rows) + 1), spans.ring[scissors])
    pierces = {ring: _pierce(openings, ring - 1) for ring in rings if ring and entered[ring]}
    cuts = [cutter.cut(ring, pierces[ring].at if ring in pierces else None) for ring in rings]
    knife, by_scissors = (_length_on(spans, chosen)[rings] for chosen in (~scissors, scissors))
    work = Work(
        knife, by_scissors, np.array([len(strokes) for strokes in cuts]),
        np.array([sum(stroke.from_below for stroke in strokes) for strokes in cuts]),
        np.array([ring in pierces for ring in rings]), np.array(cutter.turned),
    )  # fmt: skip
    cutting, handling = minutes_of(work, settings, piece.sheets)
    minutes = cutting + handling
    inner = slice(1, None) if settings.outline == "first" else slice(0, -1)
    rests = rests_after(
        minutes[inner], openings.at[rows], openings.delicacy[rows], settings.sitting, settings.reach
    )
    sitting = 1 + np.searchsorted(np.array(rests, int), np.arange(len(rows)), "right")
    steps = [
        _step(turn, k, openings, int(sitting[turn]), pierces.get(k + 1), strokes)
        for turn, (k, strokes) in enumerate(zip(rows.tolist(), cuts[inner], strict=True))
    ]
    return _Cut(steps, cuts[rings.index(0)], float(cutting.sum()), float(handling.sum()), cutter)


def _length_on(spans: Spans, chosen: Flags) -> Floats:
    """Return the mm of chosen spans on each ring."""
    rings = int(spans.ring[-1]) + 1
    on: Floats = np.bincount(spans.ring[chosen], spans.length[chosen], minlength=rings).astype(float)
    return on


def _step(
    turn: int,
    k: int,
    openings: MeasuredOpenings,
    sitting: int,
    pierce: Pierce | None,
    strokes: tuple[Stroke, ...],
) -> OpeningPlan:
    x, y = openings.at[k].tolist()
    return OpeningPlan(
        number=turn + 1, ring=k, at=(x, y), radius=float(openings.radius[k]), area=float(openings.area[k]),
        delicacy=float(openings.delicacy[k]), sitting=sitting, pierce=pierce, strokes=strokes,
    )  # fmt: skip


def _pierce(openings: MeasuredOpenings, k: int) -> Pierce:
    x, y = openings.at[k].tolist()
    return Pierce((x, y), min(_ARM * float(openings.radius[k]), _LONGEST_ARM))


def _over_straps(
    steps: Sequence[OpeningPlan], outline: tuple[Stroke, ...], strap: float
) -> tuple[Overrun, ...]:
    """Return the overruns that leave less than the strap of what lies ahead of them, the worst first."""
    cuts = [(0, outline), *((step.number, step.strokes) for step in steps)]
    found = [
        Overrun(number, stroke.points[-1], stroke.ahead)
        for number, strokes in cuts
        for stroke in strokes
        if stroke.ahead is not None and stroke.ahead - stroke.overrun < strap - TOLERANCE
    ]
    return tuple(sorted(found, key=lambda o: (o.ahead, o.number, o.at)))


def _measures(whole: Polygon, openings: MeasuredOpenings, spans: Spans, minutes: float) -> Measures:
    tight = spans.length[~spans.straight & (spans.radius < _TIGHT)].sum() / spans.length.sum()
    return Measures(
        narrowest=openings.narrowest, smallest=float(openings.radius.min()),
        density=len(openings.at) / Polygon(whole.exterior).area * 1e4, tight=float(tight),
        sharp=int((spans.turn < -(180 - SHARP_DEG)).sum()), hours=minutes / 60,
    )  # fmt: skip
