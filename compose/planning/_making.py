"""From a piece and its openings to a plan: order, strokes, tools, hours."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from canivet.audit.boundary import Boundary, Flags, Floats, Ints
from canivet.audit.strength import TOLERANCE

from .delicacy import MeasuredOpenings
from .edges.spans import Spans, split_at_corners
from .edges.strokes import Cutter
from .edges.tools import SHARP_DEG, choose_tools, require_tools
from .estimates import Measures, Work, blades_for, grade_of, minutes_of, rests_after, wear_of
from .ordering.order import plan_order
from .settings import PlanSettings
from .steps import CuttingPlan, OpeningPlan, Overrun, Pierce, Stroke

__all__ = ["Task", "make_plan"]

_ARM = 0.9
"""Of the largest disc's radius: an X whose arms end short of the edge."""

_LONGEST_ARM = 8.0
"""mm. A longer slit helps no scissors in (*common practice*)."""

_TIGHT = 5.0
"""mm. Radius under which a curve counts as tight."""


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """What is to be planned.

    Attributes
    ----------
    boundary : Boundary
        Of what lies under the blade: ring 0 its outline, then every opening.
    openings : MeasuredOpenings
        In the order of the boundary's rings.
    density : float
        Openings per 100 cm² of the piece.
    strap : float
        The piece holds at it, mm.
    mirrored : bool
        Whether it is cut from the back.
    layers : int
        Sheets under the blade; `sheets` as many of 90 g/m² as are as thick.
    sheets : float
    title : str
    uncut : (n,) bool array, optional
        Edges of the boundary where there is nothing to cut, as along a crease.
    """

    boundary: Boundary
    openings: MeasuredOpenings
    density: float
    strap: float
    mirrored: bool
    layers: int
    sheets: float
    title: str
    uncut: Flags | None = None


def make_plan(
    task: Task, settings: PlanSettings, *, tell: Callable[[float], None] | None = None
) -> CuttingPlan:
    """Plan a task.

    Raises
    ------
    DoesNotFit
        If it cannot be cut with the tools at hand.
    """
    openings = task.openings
    require_tools(openings.radius, openings.at, settings)
    order = plan_order(openings.at, openings.area, openings.delicacy, reach=settings.reach, tell=tell)
    spans = split_at_corners(task.boundary, uncut=task.uncut)
    cut = _cut(openings, order.rows, spans, settings, task)
    minutes = cut.cutting + cut.handling
    scissors = float(spans.length[choose_tools(spans, openings.radius, settings)].sum())
    length = {"knife": float(spans.length[spans.cut].sum()) - scissors, "scissors": scissors}
    worn = wear_of(length["knife"], settings, task.sheets)
    return CuttingPlan(
        openings=tuple(cut.steps), outline=cut.outline, settings=settings, title=task.title,
        mirrored=task.mirrored, layers=task.layers, support=order.support, travel=order.travel,
        turning=sum(cut.cutter.turned), turning_plain=cut.cutter.turned_plain, cut_length=length,
        minutes=minutes, blades=blades_for(worn, settings), sittings=cut.steps[-1].sitting,
        grade=grade_of(_measures(task, spans, minutes)), overruns=_over_straps(cut.steps, cut.outline,
        task.strap), cutting_minutes=cut.cutting, worn=worn,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """All openings in turn, the outline, and minutes with a tool on the edge and besides."""

    steps: list[OpeningPlan]
    outline: tuple[Stroke, ...]
    cutting: float
    handling: float
    cutter: Cutter


def _cut(openings: MeasuredOpenings, rows: Ints, spans: Spans, settings: PlanSettings, task: Task) -> _Cut:
    """Return every opening cut in turn, the outline before or after them."""
    scissors = choose_tools(spans, openings.radius, settings)
    rings = [int(k) + 1 for k in rows]
    rings = [0, *rings] if settings.outline == "first" else [*rings, 0]
    cutter = Cutter(spans, scissors, settings, rings, mirrored=task.mirrored)
    entered = np.isin(np.arange(len(rows) + 1), spans.ring[scissors])
    pierces = {ring: _pierce(openings, ring - 1) for ring in rings if ring and entered[ring]}
    cuts = [cutter.cut(ring, pierces[ring].at if ring in pierces else None) for ring in rings]
    knife, by_scissors = (_length_on(spans, chosen)[rings] for chosen in (spans.cut & ~scissors, scissors))
    work = Work(
        knife, by_scissors, np.array([len(strokes) for strokes in cuts]),
        np.array([sum(stroke.from_below for stroke in strokes) for strokes in cuts]),
        np.array([ring in pierces for ring in rings]), np.array(cutter.turned),
    )  # fmt: skip
    cutting, handling = minutes_of(work, settings, task.sheets)
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
    found = sorted(
        (stroke.ahead, number, stroke.points[-1])
        for number, strokes in cuts
        for stroke in strokes
        if stroke.ahead is not None and stroke.ahead - stroke.overrun < strap - TOLERANCE
    )
    return tuple(Overrun(number, at, ahead) for ahead, number, at in found)


def _measures(task: Task, spans: Spans, minutes: float) -> Measures:
    cut = spans.cut
    tight = spans.length[cut & ~spans.straight & (spans.radius < _TIGHT)].sum() / spans.length[cut].sum()
    return Measures(
        narrowest=task.openings.narrowest, smallest=float(task.openings.radius.min()), density=task.density,
        tight=float(tight), sharp=int((cut & (spans.turn < -(180 - SHARP_DEG))).sum()), hours=minutes / 60,
    )  # fmt: skip
