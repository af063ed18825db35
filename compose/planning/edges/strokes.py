"""How each edge is cut: knife strokes that turn the sheet little, and runs of the scissors.

The knife is drawn towards the cutter, and goes a little past the end of its stroke. That is harmless where
paper juts out into the waste there; else it scores what lies ahead. So a stroke ends where there is paper
enough, may be drawn either way where both ends have it, and is cut from both corners to the middle where
neither has. Of those that may be drawn either way the sheet decides: long strokes first, each time the one
that turns it least, then the short ends, and last the one that frees the waste, where the paper beside it is
widest. The last two give way where the sheet would be turned more than half as much as by going round every
ring.

Scissors keep the line on the side of the hand, and cannot turn in a sharp corner: they begin a little way off
it, and come back into it from below.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely.geometry import LineString

from canivet.audit.boundary import Flags, Floats, Ints
from canivet.compose.planning.settings import PlanSettings
from canivet.compose.planning.steps import Place, Stroke

from ._ahead import AHEAD, Paper
from ._turning import Draws, headings_apart, least_turning, sequences_of
from .spans import OVER, STRAIGHT, Spans
from .tools import SHARP_DEG

__all__ = ["Cutter"]

_THIN = 3.0
"""Overruns. With less paper ahead than this, more than a third of it would be scored."""

_HALVES = 2.0
"""mm. A span shorter than this is not cut from both ends."""

_LONG = 0.34
"""Of the longest knife stroke of an opening: what is shorter is an end, and comes last."""

_PARALLEL = 20.0
"""Degrees between long strokes that make an opening one with ends."""

_MOST_TURNING = 0.5
"""Of the plain choice's. Where the sheet would be turned more, short ends come as they lie, and where that
does not do, any stroke may free the waste."""

_WIDEST = 0.75
"""Of the widest paper beside any of its last strokes: what has this much may free the waste."""

_OFF = 3.0
"""mm. How far from a sharp corner scissors begin (*common practice*: a little way off)."""


@dataclass(frozen=True, slots=True, eq=False)
class _Knife:
    """The knife strokes of a piece: what they may be, and over which half of which span each goes."""

    draws: Draws
    span: Ints
    half: Ints


class Cutter:
    """Turns the spans of a piece into strokes, ring by ring in the order they are cut.

    Parameters
    ----------
    spans : Spans
        Of the whole piece.
    scissors : (m,) bool array
        Which of them are cut with scissors.
    settings : PlanSettings
    rings : list of int
        In the order they are cut; 0 is the outline.
    mirrored : bool
        Whether the sheet is cut from its back.

    Attributes
    ----------
    turned : list of float
        Degrees the sheet is turned for each of the rings, in their order.
    turned_plain : float
        Degrees if each were cut round its ring, always the same way.
    """

    def __init__(
        self, spans: Spans, scissors: Flags, settings: PlanSettings, rings: list[int], *, mirrored: bool
    ) -> None:
        self.settings, self.mirrored, self.spans = settings, mirrored, spans
        self._points: list[Place] = list(map(tuple, spans.boundary.points.tolist()))
        self._walk, self._first, self._end = spans.walk.tolist(), spans.first.tolist(), spans.end.tolist()
        self._heads = np.searchsorted(spans.ring, np.arange(int(spans.ring[-1]) + 2)).tolist()
        self._closed = (spans.next == np.arange(len(spans))) & (spans.turn == 0)
        self._scissors, self._turn = scissors.tolist(), spans.turn.tolist()
        self._cut = spans.cut.tolist()
        self._straight, self._length = spans.straight.tolist(), spans.length.tolist()
        self._leaving, self._arriving = _degrees(spans.leaving), _degrees(spans.arriving)
        knife = spans.cut & ~scissors
        self._look_ahead(knife)
        self.turned_plain = self._plain_turning(knife, rings)
        for strict in (2, 1, 0):
            self._plan_knife(knife, rings, ends_last=strict > 1, widest=_WIDEST if strict else 0.0)
            if sum(self.turned) <= _MOST_TURNING * self.turned_plain:
                break

    def cut(self, ring: int, enter: Place | None = None) -> tuple[Stroke, ...]:
        """Return the strokes that cut one ring, the last of them freeing what falls away.

        Parameters
        ----------
        ring : int
            0 for the outline; of that there may be nothing to cut.
        enter : (float, float), optional
            Where scissors come in.
        """
        own = list(range(self._heads[ring], self._heads[ring + 1]))
        strokes = [*self._knife_strokes(ring, own), *self._runs(own, enter)]
        return (*strokes[:-1], *map(_freeing, strokes[-1:]))

    # The knife

    def _look_ahead(self, knife: Flags) -> None:
        """Measure the paper ahead of every knife stroke at both ends, and beside it."""
        spans, paper = self.spans, Paper(self.spans.boundary)
        start = spans.boundary.points[spans.walk[spans.first[:-1]]]
        finish = spans.boundary.points[spans.end]
        # Over a crease, or the sheet's own edge, a blade goes out of the paper.
        after = spans.cut[spans.next]
        before = np.ones(len(spans), bool)
        before[spans.next] = spans.cut
        forth = knife & after & (spans.turn[spans.next] < 0)
        back = knife & before & (spans.turn < 0)
        self._ahead = np.full((2, len(spans)), np.inf)
        self._ahead[0, forth] = paper.ahead(finish[forth], spans.arriving[forth])
        self._ahead[1, back] = paper.ahead(start[back], -spans.leaving[back])
        row = spans.walk[(spans.first[:-1] + spans.first[1:]) // 2]
        single = spans.first[1:] - spans.first[:-1] == 1
        at = np.where(single[:, None], (start + finish) / 2, spans.boundary.points[row])
        along = np.where(spans.straight[:, None], spans.leaving, _unit(spans.boundary.steps[row]))
        self._beside = np.full(len(spans), AHEAD)
        self._beside[knife] = paper.ahead(at[knife], np.stack([-along[:, 1], along[:, 0]], axis=1)[knife])
        self._ahead_forth, self._ahead_back = self._ahead.tolist()

    def _plan_knife(self, knife: Flags, rings: list[int], *, ends_last: bool, widest: float) -> None:
        """Choose the order and the direction of all knife strokes."""
        found = self._knife_of(np.flatnonzero(knife & ~self._closed), ends_last=ends_last, widest=widest)
        offered = sequences_of(found.draws)
        cut = [ring for ring in rings if ring in offered]
        chosen, before = least_turning([offered[ring] for ring in cut])
        self._order: dict[int, list[int]] = {}
        turned = dict.fromkeys(rings, 0.0)
        for ring, k, turn in zip(cut, chosen, before, strict=True):
            self._order[ring] = offered[ring].draws[k].tolist()
            turned[ring] = turn + float(offered[ring].turned[k])
        self.turned = list(turned.values())
        self._of_span, self._half_of = found.span.tolist(), found.half.tolist()
        self._begins, self._ends = found.draws.begins.tolist(), found.draws.ends.tolist()
        self._held = self._held_headings(rings)

    def _held_headings(self, rings: list[int]) -> dict[int, float]:
        """Return how the blade heads when it comes to each ring: rings without corners are begun so."""
        held, heading = {}, 0.0
        for ring in rings:
            held[ring] = heading
            if ring in self._order:
                draw = self._order[ring][-1]
                heading = self._begins[draw // 2] + 180 if draw % 2 else self._ends[draw // 2]
        return held

    def _knife_of(self, spans: Ints, *, ends_last: bool, widest: float) -> _Knife:
        """Return in how many strokes each span is cut, which ways they may be drawn, and which come last."""
        thin, length = _THIN * self.settings.overrun, self.spans.length[spans]
        forth, back = self._ahead[0, spans], self._ahead[1, spans]
        neither = (forth < thin) & (back < thin)
        halved = neither & (length >= _HALVES)
        # Where neither end has paper enough and the span is short: to the end that has more.
        may_forth = (forth >= thin) | (neither & (forth >= back))
        may_back = (back >= thin) | (neither & (forth < back))
        rows = np.repeat(np.arange(len(spans)), 1 + halved)
        half = np.where(halved[rows], 1 + np.append(False, rows[1:] == rows[:-1]), 0) if len(rows) else rows
        span = spans[rows]
        begins, ends = np.array(self._leaving)[span], np.array(self._arriving)[span]
        for k in np.flatnonzero((half > 0) & ~self.spans.straight[span]).tolist():
            begins[k], ends[k] = _headings(
                _half(self._edge(int(span[k])), self._length[span[k]], int(half[k]))
            )
        if len(span) == 0:
            none = np.zeros(0, bool)
            return _Knife(Draws(span, begins, ends, none, none, none, none), span, half)
        size, ring = length[rows] / (1 + halved[rows]), self.spans.ring[span]
        long = size >= _LONG * _most(size, ring)[ring]
        late = ends_last & ~long & _with_parallels(begins + self._bend(span) / 2, ring, long)
        last = late | ~np.isin(ring, ring[late])
        beside = np.where(last, self._beside[span], 0.0)
        frees = last & (beside >= widest * _most(beside, ring)[ring])
        draws = Draws(
            ring, begins, ends, np.where(half > 0, half == 1, may_forth[rows]),
            np.where(half > 0, half == 2, may_back[rows]), late, frees,
        )  # fmt: skip
        return _Knife(draws, span, half)

    def _bend(self, spans: Ints) -> Floats:
        """Return how far each span turns from its beginning to its end, degrees."""
        bend: Floats = (np.array(self._arriving) - np.array(self._leaving))[spans]
        return (bend + 180) % 360 - 180

    def _plain_turning(self, knife: Flags, rings: list[int]) -> float:
        """Return the turns of the plain choice: round each ring, always the same way."""
        spans = [k for ring in rings for k in range(self._heads[ring], self._heads[ring + 1]) if knife[k]]
        begins, ends = np.array(self._leaving)[spans], np.array(self._arriving)[spans]
        return float(headings_apart(ends[:-1], begins[1:]).sum())

    def _knife_strokes(self, ring: int, own: list[int]) -> Iterator[Stroke]:
        for draw in self._order.get(ring, ()):
            yield self._drawn(draw // 2, forth=draw % 2 == 0)
        for k in own:
            if self._closed[k] and self._cut[k] and not self._scissors[k]:
                points = _begun_along(self._edge(k), self._held[ring])
                angle = self._sheet_angle(_heading(points[0], points[1]))
                yield Stroke("knife", tuple(points), angle, self.settings.overrun)

    def _drawn(self, row: int, *, forth: bool) -> Stroke:
        k, half = self._of_span[row], self._half_of[row]
        points = self._edge(k)
        if half:
            points = _half(points, self._length[k], half)
        if not forth:
            points.reverse()
        heading = self._begins[row] if forth else self._ends[row] + 180
        ahead = self._ahead_forth[k] if forth else self._ahead_back[k]
        scored = not half and self.settings.overrun > 0 and ahead <= AHEAD
        return Stroke(
            "knife",
            tuple(points),
            self._sheet_angle(heading),
            self.settings.overrun,
            ahead if scored else None,
        )

    def _sheet_angle(self, heading: float) -> float:
        seen = 180 - heading if self.mirrored else heading
        return (-90 - seen) % 360

    def _edge(self, k: int) -> list[Place]:
        points = self._points
        return [points[row] for row in self._walk[self._first[k] : self._first[k + 1]]] + [
            points[self._end[k]]
        ]

    # Scissors

    def _runs(self, own: list[int], enter: Place | None) -> Iterator[Stroke]:
        """Yield the runs of the scissors over the spans of one ring that are theirs."""
        # The paper is on the left of every span; a right hand wants it on its right, as seen where it cuts.
        forth = (self.settings.hand == "right") == self.mirrored
        for chain in self._chains(own):
            spans = chain if forth else chain[::-1]
            joints = [self._joint(spans[i - 1], spans[i], forth) for i in range(len(spans))]
            whole = len(chain) == len(own)
            edges = [self._edge(k) if forth else self._edge(k)[::-1] for k in spans]
            yield from _runs_over(edges, joints, whole=whole, enter=enter)

    def _chains(self, own: list[int]) -> list[list[int]]:
        """Return the stretches of a ring that scissors cut, each as spans in the order of the ring."""
        ours = [self._scissors[k] for k in own]
        if all(ours):
            return [own]
        if not any(ours):
            return []
        begin = ours.index(False)
        chains: list[list[int]] = [[]]
        for k in own[begin:] + own[:begin]:
            if self._scissors[k]:
                chains[-1].append(k)
            elif chains[-1]:
                chains.append([])
        return [chain for chain in chains if chain]

    def _joint(self, before: int, after: int, forth: bool) -> bool:
        """Say whether the corner between two spans is one of waste too sharp to turn in."""
        sharp: bool = self._turn[after if forth else before] < -(180 - SHARP_DEG)
        return sharp


def _runs_over(
    edges: list[list[Place]], sharp: list[bool], *, whole: bool, enter: Place | None
) -> Iterator[Stroke]:
    """Yield runs over edges end to end: from sharp corner to sharp corner, and back into each from below."""
    if whole and True in sharp:
        begin = sharp.index(True)
        edges, sharp = edges[begin:] + edges[:begin], sharp[begin:] + sharp[:begin]
    elif whole:
        line = edges[0] + [point for edge in edges[1:] for point in edge[1:]]
        yield Stroke("scissors", tuple(_begun_near(line, enter)))
        return
    run: list[Place] = []
    for edge, corner in zip(edges, sharp, strict=True):
        if corner:
            if run:
                yield Stroke("scissors", tuple(run))
            off = min(_OFF, _long(edge) / 2)
            back, run = _parted(edge, off)
            yield Stroke("scissors", tuple(back[::-1]), from_below=True)
        else:
            run = run + edge[1:] if run else edge
    yield Stroke("scissors", tuple(run))


def _begun_near(line: list[Place], enter: Place | None) -> list[Place]:
    """Return a closed line begun at its point nearest to where scissors come in."""
    if enter is None or line[0] != line[-1]:
        return line
    k = min(range(len(line) - 1), key=lambda i: math.dist(line[i], enter))
    return line[k:-1] + line[: k + 1]


def _half(points: list[Place], length: float, half: int) -> list[Place]:
    """Return the first or the second half of a line, in its own direction."""
    first, second = _parted(points, length / 2)
    return first if half == 1 else second


def _parted(points: list[Place], where: float) -> tuple[list[Place], list[Place]]:
    """Return a line in two parts, the first so long."""
    gone = 0.0
    for k in range(1, len(points)):
        step = math.dist(points[k - 1], points[k])
        if gone + step >= where and step > 0:
            share = (where - gone) / step
            (x0, y0), (x1, y1) = points[k - 1], points[k]
            cut = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
            return [*points[:k], cut], [cut, *points[k:]]
        gone += step
    return points, points[-1:]


def _long(points: list[Place]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _begun_along(points: list[Place], heading: float) -> list[Place]:
    """Return a ring without corners begun where it runs in a heading."""
    step = np.diff(np.array(points), axis=0)
    runs = np.degrees(np.arctan2(step[:, 1], step[:, 0]))
    k = int(headings_apart(runs, np.array(heading)).argmin())
    return points[k:-1] + points[: k + 1]


def _freeing(last: Stroke) -> Stroke:
    """Return a stroke as the one that lets the waste drop."""
    return Stroke(last.tool, last.points, last.sheet_angle, last.overrun, last.ahead, True, last.from_below)


def _most(value: Floats, ring: Ints) -> Floats:
    """Return the greatest value on each ring."""
    most = np.zeros(int(ring.max()) + 1)
    np.maximum.at(most, ring, value)
    return most


def _with_parallels(heading: Floats, ring: Ints, long: Flags) -> Flags:
    """Say of each row whether two of the long ones on its ring run side by side."""
    level = heading[long] % 180
    # Each once more half a turn on, so that 179° and 1° meet.
    level, of = np.concatenate([level, level + 180]), np.tile(ring[long], 2)
    rows = np.lexsort((level, of))
    near = (np.diff(level[rows]) <= _PARALLEL) & (np.diff(of[rows]) == 0)
    found: Flags = np.isin(ring, of[rows][1:][near])
    return found


def _headings(points: list[Place]) -> tuple[float, float]:
    """Return how a line heads where it begins and ends: as its chord where it is straight."""
    line, chord = LineString(points), LineString([points[0], points[-1]])
    if line.hausdorff_distance(chord) <= STRAIGHT:
        return (_heading(points[0], points[-1]),) * 2
    reach = min(OVER, line.length / 2)
    begun, left = line.interpolate(reach), line.interpolate(line.length - reach)
    return _heading(points[0], (begun.x, begun.y)), _heading((left.x, left.y), points[-1])


def _heading(a: Place, b: Place) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _degrees(directions: Floats) -> list[float]:
    headings: list[float] = np.degrees(np.arctan2(directions[:, 1], directions[:, 0])).tolist()
    return headings


def _unit(vectors: Floats) -> Floats:
    size = np.hypot(*vectors.T)[:, None]
    unit: Floats = vectors / np.where(size > 0, size, 1.0)
    return unit
