"""How each edge is cut: knife strokes that turn the sheet little, and runs of the scissors.

The knife is drawn towards the cutter, and goes a little past the end of its stroke. That is harmless where paper
juts out into the waste there; else it scores what lies ahead. So a stroke ends where there is paper enough, may
be drawn either way where both ends have it, and is cut from both corners to the middle where neither has. Of
those that may be drawn either way the sheet decides: long strokes first, each time the one that turns it least,
then the short ends, and last the one that frees the waste, where the paper beside it is widest.

Scissors keep the line on the side of the hand, and cannot turn in a sharp corner: they begin a little way off it,
and come back into it from below.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from canivet.audit.boundary import Flags, Floats, Ints

from ._ahead import AHEAD, Paper
from .settings import PlanSettings
from .spans import Spans
from .steps import Place, Stroke
from .tools import SHARP_DEG

__all__ = ["Cutter"]

_THIN = 3.0
"""Overruns. With less paper ahead than this, more than a third of it would be scored."""

_HALVES = 2.0
"""mm. A span shorter than this is not cut from both ends."""

_LONG = 0.5
"""Of the longest knife stroke of an opening; those over it come before those under it."""

_WIDEST = 0.9
"""Of the widest paper beside any of its last strokes: what has this much may free the waste."""

_OFF = 3.0
"""mm. How far from a sharp corner scissors begin (*common practice*: a little way off)."""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A knife stroke before its direction is chosen: a whole span, or its half from one corner to the middle."""

    span: int
    half: int = 0
    forth: bool = True
    back: bool = True


class Cutter:
    """Turns spans into strokes, opening by opening, and keeps count of how the sheet is turned.

    Parameters
    ----------
    spans : Spans
        Of the whole piece.
    scissors : (m,) bool array
        Which of them are cut with scissors.
    settings : PlanSettings
    mirrored : bool
        Whether the sheet is cut from its back.

    Attributes
    ----------
    turning, turning_plain : float
        Degrees so far.
    """

    def __init__(self, spans: Spans, scissors: Flags, settings: PlanSettings, *, mirrored: bool) -> None:
        self.settings, self.mirrored, self.spans = settings, mirrored, spans
        self.turning = self.turning_plain = 0.0
        self._drawn: float | None = None
        self._drawn_plain: float | None = None
        self._points: list[Place] = list(map(tuple, spans.boundary.points.tolist()))
        self._heads = np.searchsorted(spans.ring, np.arange(int(spans.ring[-1]) + 2)).tolist()
        self._scissors = scissors.tolist()
        self._closed: list[bool] = ((spans.next == np.arange(len(spans))) & (spans.turn == 0)).tolist()
        self._length, self._next = spans.length.tolist(), spans.next.tolist()
        self._turn = spans.turn.tolist()
        self._leaving, self._arriving = _degrees(spans.leaving), _degrees(spans.arriving)
        self._look_ahead(~scissors)

    def _look_ahead(self, knife: Flags) -> None:
        """Measure the paper ahead of every knife stroke at both ends, and beside it."""
        spans, paper = self.spans, Paper(self.spans.boundary)
        start = spans.boundary.points[spans.walk[spans.first[:-1]]]
        finish = spans.boundary.points[spans.end]
        forth = knife & (spans.turn[spans.next] < 0)
        back = knife & (spans.turn < 0)
        ahead = np.full((2, len(spans)), np.inf)
        ahead[0, forth] = paper.ahead(finish[forth], spans.arriving[forth])
        ahead[1, back] = paper.ahead(start[back], -spans.leaving[back])
        middle = (spans.first[:-1] + spans.first[1:]) // 2
        row = spans.walk[middle]
        single = spans.first[1:] - spans.first[:-1] == 1
        at = np.where(single[:, None], (start + finish) / 2, spans.boundary.points[row])
        along = np.where(spans.straight[:, None], spans.leaving, _unit(spans.boundary.steps[row]))
        beside = np.full(len(spans), AHEAD)
        left = np.stack([-along[:, 1], along[:, 0]], axis=1)
        beside[knife] = paper.ahead(at[knife], left[knife])
        self._ahead_forth, self._ahead_back = ahead.tolist()
        self._beside = beside.tolist()

    def cut(self, ring: int, enter: Place | None = None) -> tuple[Stroke, ...]:
        """Return the strokes that cut one ring, the last of them freeing what falls away.

        Parameters
        ----------
        ring : int
            0 for the outline.
        enter : (float, float), optional
            Where scissors come in.
        """
        own = range(self._heads[ring], self._heads[ring + 1])
        knife = [k for k in own if not self._scissors[k]]
        strokes = [*self._knife(knife), *self._runs(list(own), enter)]
        self._count_plain(knife)
        last = strokes[-1]
        strokes[-1] = Stroke(
            last.tool, last.points, last.sheet_angle, last.overrun, last.ahead, True, last.from_below
        )
        return tuple(strokes)

    # The knife

    def _knife(self, spans: list[int]) -> Iterator[Stroke]:
        pieces = [piece for k in spans for piece in self._pieces(k)]
        if not pieces:
            return
        reach = [self._size(piece) for piece in pieces]
        bound = _LONG * max(reach)
        long = [p for p, size in zip(pieces, reach, strict=True) if size >= bound]
        short = [p for p, size in zip(pieces, reach, strict=True) if size < bound]
        if short:
            yield from self._draw_all(long, keep=False)
        yield from self._draw_all(short or long, keep=not any(self._scissors[k] for k in spans))

    def _pieces(self, k: int) -> list[_Piece]:
        """Return in how many strokes a span is cut, and which ways they may be drawn."""
        if self._closed[k] or self.settings.overrun == 0:
            return [_Piece(k)]
        thin = _THIN * self.settings.overrun
        forth, back = self._ahead_forth[k], self._ahead_back[k]
        if forth >= thin or back >= thin:
            return [_Piece(k, 0, forth >= thin, back >= thin)]
        if self._length[k] >= _HALVES:
            return [_Piece(k, 1, True, False), _Piece(k, 2, False, True)]
        return [_Piece(k, 0, forth >= back, back > forth)]

    def _size(self, piece: _Piece) -> float:
        return self._length[piece.span] / (2 if piece.half else 1)

    def _draw_all(self, pieces: list[_Piece], *, keep: bool) -> Iterator[Stroke]:
        """Yield strokes, each the one that turns the sheet least; with `keep` the last has paper beside it."""
        left = list(pieces)
        widest = max(self._beside[p.span] for p in left)
        strong = {k for k, p in enumerate(pieces) if self._beside[p.span] >= _WIDEST * widest}
        rest = list(range(len(pieces)))
        while rest:
            last_strong = keep and len(rest) > 1 and sum(k in strong for k in rest) == 1
            allowed = [k for k in rest if not (last_strong and k in strong)]
            turn, k, forth = min(
                (self._turn_for(pieces[k], forth), k, not forth)
                for k in allowed
                for forth in _ways(pieces[k])
            )
            rest.remove(k)
            yield self._draw(pieces[k], not forth, turn)

    def _turn_for(self, piece: _Piece, forth: bool) -> float:
        """Return how far the sheet is turned to draw a piece one way."""
        if self._drawn is None or self._closed[piece.span]:
            return 0.0
        return _apart(self._drawn, self._begins(piece, forth))

    def _begins(self, piece: _Piece, forth: bool) -> float:
        k = piece.span
        return self._leaving[k] if forth else self._arriving[k] + 180

    def _draw(self, piece: _Piece, forth: bool, turn: float) -> Stroke:
        k = piece.span
        points = self._edge(k)
        if self._closed[k]:
            points = self._begun_along(points)
        elif piece.half:
            points = _half(points, self._length[k], piece.half)
        if not forth:
            points.reverse()
        if self._closed[k]:
            begins = _heading(points[0], points[1])
            turn = 0.0 if self._drawn is None else _apart(self._drawn, begins)
            ends = begins
        else:
            begins = self._begins(piece, forth)
            ends = self._arriving[k] if forth else self._leaving[k] + 180
            if piece.half and not self.spans.straight[k]:
                ends = _heading(points[-2], points[-1])
        self.turning += turn
        self._drawn = ends
        ahead = self._ahead_forth[k] if forth else self._ahead_back[k]
        harmless = piece.half or self._closed[k] or math.isinf(ahead) or self.settings.overrun == 0
        return Stroke(
            "knife", tuple(points), self._sheet_angle(begins), self.settings.overrun,
            None if harmless else ahead,
        )  # fmt: skip

    def _begun_along(self, points: list[Place]) -> list[Place]:
        """Return a ring without corners begun where it runs as the last stroke did."""
        if self._drawn is None:
            return points
        step = np.diff(np.array(points), axis=0)
        heading = np.degrees(np.arctan2(step[:, 1], step[:, 0]))
        k = int(np.abs((heading - self._drawn + 180) % 360 - 180).argmin())
        return points[k:-1] + points[: k + 1]

    def _count_plain(self, knife: list[int]) -> None:
        """Count the turns of the plain choice: round the ring, always the same way."""
        for k in knife:
            if self._drawn_plain is not None:
                self.turning_plain += _apart(self._drawn_plain, self._leaving[k])
            self._drawn_plain = self._arriving[k]

    def _sheet_angle(self, heading: float) -> float:
        seen = 180 - heading if self.mirrored else heading
        return (-90 - seen) % 360

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
        return self._turn[after if forth else before] < -(180 - SHARP_DEG)

    def _edge(self, k: int) -> list[Place]:
        return [self._points[row] for row in self.spans.rows(k).tolist()]


def _runs_over(
    edges: list[list[Place]], sharp: list[bool], *, whole: bool, enter: Place | None
) -> Iterator[Stroke]:
    """Yield runs over edges end to end: one from corner to corner, and back into each sharp one from below."""
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
    return sum(math.dist(a, b) for a, b in zip(points, points[1:], strict=False))


def _ways(piece: _Piece) -> list[bool]:
    return [way for way, may in ((True, piece.forth), (False, piece.back)) if may]


def _heading(a: Place, b: Place) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _apart(a: float, b: float) -> float:
    """Return the smaller angle between two headings."""
    return abs((a - b + 180) % 360 - 180)


def _degrees(directions: Floats) -> list[float]:
    headings: list[float] = np.degrees(np.arctan2(directions[:, 1], directions[:, 0])).tolist()
    return headings


def _unit(vectors: Floats) -> Floats:
    size = np.hypot(*vectors.T)[:, None]
    unit: Floats = vectors / np.where(size > 0, size, 1.0)
    return unit
