"""The band a border runs in, with corners of any angle and posts where the outline bends.

`lay_band` turns square corners only. Here a corner of another angle, such as the apex of a pointed arch, is
mitred: the runs end at its inner corner, and the kite that is left takes one opening of its own. A closed
band that bends round corners, such as that of a rounded rectangle, is counted out from bend to bend, so that
a post stands in the middle of each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import LineString, Point, Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.outlines import CHORD_TOLERANCE
from canivet.motifs.shapes.lines import distances_along
from canivet.motifs.shapes.openings import Points, densified
from canivet.motifs.shapes.rounds import largest_part

from .band import (
    SHARPEST_CURVE,
    SQUARE,
    Corner,
    Run,
    check_holes,
    clean_ring,
    inner_edge,
    lay_band,
    run_along,
    turning,
)

__all__ = ["Circuit", "Mitre", "bent_round", "fine_step", "lay_circuit", "lay_corner"]

_TURNS = (math.radians(25), math.radians(125))
"""What a corner may turn by: under this a curve, past this its mitre is a spike."""


@dataclass(frozen=True, slots=True)
class Mitre:
    """The kite of a band at a corner that is not square: its inner corner, one foot, its point, the other."""

    kite: Points

    def opening(self, *, strap: float, rim: float) -> Polygon:
        """Return what is left of the kite a strap away from either run and a rim away from the outline."""
        inner, before, tip, after = self.kite
        body = Polygon(self.kite)
        for ends, keep in (
            ((inner, before), strap),
            ((inner, after), strap),
            ((before, tip), rim),
            ((tip, after), rim),
        ):
            body = body.difference(LineString(ends).buffer(keep, cap_style="square", join_style="mitre"))
        return largest_part(body)


@dataclass(frozen=True, slots=True)
class Circuit:
    """Runs and what lies where each begins, counter-clockwise.

    Attributes
    ----------
    runs : tuple of Run
        In order.
    turns : tuple of Corner, Mitre or None
        Where run `i` begins; None where a closed run flows on.
    joints : ndarray
        Distances along a closed run where a post must stand.
    """

    runs: tuple[Run, ...]
    turns: tuple[Corner | Mitre | None, ...]
    joints: Points

    @property
    def slack(self) -> float:
        """Return the most that flattening may take from a strap on any of its runs, in mm."""
        return max(run.slack for run in self.runs)

    @property
    def closed(self) -> bool:
        """Return whether it is one run without corners."""
        return self.runs[0].closed

    def lay_corner(self, index: int, shape: Points, *, rise: float) -> Points:
        """Lay one opening round the square corner where run `index` begins; returns shape (1, m, 2).

        Both coordinates run outward from `rise`; where one is negative the opening lies on the run beside it.
        """
        corner = self.turns[index]
        assert isinstance(corner, Corner)
        return lay_corner(corner, self.runs[index - 1], self.runs[index], shape, rise=rise)

    def stretched(self, counts: Sequence[int], repeat: float, over: Sequence[tuple[float, float]]) -> Circuit:
        """Return the circuit with distances so rescaled that every repeat is as long as the shortest.

        Parameters
        ----------
        counts : sequence of int
            Repeats on each run, or from joint to joint.
        repeat : float
            mm; no repeat is shorter than this, so that scaling only ever stretches what is laid.
        over : sequence of (float, float)
            How far beyond each end of a run its outermost posts stand, in mm.
        """
        if self.closed:
            knots = np.append(self.joints, self.joints[0] + self.runs[0].length)
            return replace(self, runs=(_rescaled(self.runs[0], knots, repeat * np.cumsum([0, *counts])),))
        runs = [
            replace(run, along=run.along * ((count * repeat - sum(ends)) / run.length))
            for run, count, ends in zip(self.runs, counts, over, strict=True)
        ]
        return replace(self, runs=tuple(runs))


def lay_circuit(within: Polygon, band: float) -> Circuit:
    """Lay a band along an outline with smooth curves and outward corners of any angle.

    Parameters
    ----------
    within : Polygon
        The piece; holes of its own must lie inside the window.
    band : float
        mm.

    Returns
    -------
    Circuit

    Raises
    ------
    DoesNotFit
        If the band leaves no window, the outline curves too tightly for it, or has a corner that turns
        inward or too sharply.

    Examples
    --------
    >>> circuit = lay_circuit(Polygon([(0, 0), (90, 0), (45, 78)]), 8)
    >>> [type(turn).__name__ for turn in circuit.turns]
    ['Mitre', 'Mitre', 'Mitre']
    """
    ring = clean_ring(within)
    turn = turning(ring)
    sharp = np.flatnonzero(np.abs(turn) > SHARPEST_CURVE)
    if np.all(np.abs(turn[sharp] - math.pi / 2) <= SQUARE):
        laid = lay_band(within, band)
        joints = _bends(laid.runs[0]) if laid.runs[0].closed else np.zeros(1)
        return Circuit(laid.runs, laid.corners or (None,), joints)
    window = inner_edge(within, band)
    check_holes(within, window, band)
    _check_turns(ring, turn, sharp, band)
    return _mitred(ring, turn, sharp, window, band)


def fine_step(run: Run) -> float:
    """Return how long a side may be in mm before it must bend with the band, on whichever edge shows most.

    `Run.step` goes by the edge distances are measured on; across a wide band on a tight curve the other edge
    is several times as long, and a chord of it strays so much further.
    """
    if run.slack == 0:
        return math.inf
    turn = np.hypot(*np.diff(run.inward, axis=0).T)
    inner = run.outer + run.band * run.inward
    far = np.maximum(*(np.hypot(*np.diff(edge, axis=0).T) for edge in (run.outer, inner)))
    sharpest = float(np.max(turn * far / np.diff(run.along) ** 2))
    return math.sqrt(8 * CHORD_TOLERANCE / sharpest)


def lay_corner(corner: Corner, before: Run, after: Run, shape: Points, *, rise: float) -> Points:
    """Lay one opening round a square corner, coordinates outward from `rise`; returns shape (1, m, 2)."""
    fine = densified(_split(shape + rise), min(fine_step(before), fine_step(after)))
    return bent_round(corner, before, after, fine)[None]


def bent_round(corner: Corner, before: Run, after: Run, outward: Points) -> Points:
    """Return where points beside a square corner lie; a negative coordinate is a distance along that run."""
    x, y = outward.T
    laid: Points = corner.at + outward @ corner.axes
    on_before, on_after = x < 0, y < 0
    laid[on_before] = before.place(before.length + x[on_before], y[on_before])
    laid[on_after] = after.place(-y[on_after], x[on_after])
    return laid


def _split(ring: Points) -> Points:
    """Give a ring a corner wherever it crosses x = 0 or y = 0: what lies beyond is stretched on its own."""
    ring = np.where(np.abs(ring) < 1e-9, 0.0, ring)
    for axis in (0, 1):
        ahead = np.roll(ring, -1, axis=0)
        here, there = ring[:, axis], ahead[:, axis]
        crosses = np.flatnonzero(here * there < 0)
        share = here[crosses] / (here[crosses] - there[crosses])
        points = ring[crosses] + share[:, None] * (ahead[crosses] - ring[crosses])
        points[:, axis] = 0.0
        ring = np.insert(ring, crosses + 1, points, axis=0)
    return ring


def _check_turns(ring: Points, turn: Points, sharp: npt.NDArray[np.intp], band: float) -> None:
    for i in sharp:
        if not _TURNS[0] <= turn[i] <= _TURNS[1]:
            x, y = ring[i]
            way = "inward" if turn[i] < 0 else f"by {math.degrees(turn[i]):.0f}°"
            raise DoesNotFit(
                f"band is {format_length(band)}, and the outline turns {way} at {format_mm(x, 1)}, "
                f"{format_mm(y, 1)} mm; this border turns outward corners of up to "
                f"{math.degrees(_TURNS[1]):.0f}° and flows round curves. Round that corner or choose another "
                "outline.",
                parameter="band", value=band, accepted="an outline whose corners all turn outward",
                at=(float(x), float(y)),
            )  # fmt: skip


def _mitred(ring: Points, turn: Points, sharp: npt.NDArray[np.intp], window: Polygon, band: float) -> Circuit:
    """Cut the ring at its corners, each run from the foot of one inner corner to that of the next."""
    inner = shapely.get_coordinates(window.exterior)
    side = np.roll(ring, -1, axis=0) - ring
    unit = side / np.hypot(*side.T)[:, None]
    runs: list[Run] = []
    feet: list[tuple[Points, Points]] = []
    at = [_inner_corner(ring[i], unit[i - 1], unit[i], turn[i], inner, band) for i in sharp]
    for k, i in enumerate(sharp):
        j = sharp[(k + 1) % len(sharp)] + (len(ring) if k + 1 == len(sharp) else 0)
        outer, inward = _between(ring[np.arange(i, j + 1) % len(ring)], at[k], at[(k + 1) % len(at)], band)
        runs.append(run_along(outer, inward, band, closed=False))
        feet.append((outer[0], outer[-1]))
    turns: list[Corner | Mitre | None] = []
    for k, i in enumerate(sharp):
        if abs(turn[i] - math.pi / 2) <= SQUARE:
            turns.append(Corner(at[k], np.array([unit[i - 1], -unit[i]])))
        else:
            turns.append(Mitre(np.array([at[k], feet[k - 1][1], ring[i], feet[k][0]])))
    return Circuit(tuple(runs), tuple(turns), np.zeros(1))


def _inner_corner(
    tip: Points, before: Points, after: Points, turn: float, inner: Points, band: float
) -> Points:
    """Return the corner of the window that faces a corner of the outline."""
    expected = tip + band * (after - before) / math.sin(turn)
    nearest: Points = inner[np.argmin(np.hypot(*(inner - expected).T))]
    return nearest


def _between(points: Points, start: Points, end: Points, band: float) -> tuple[Points, Points]:
    """Return a run's points from the foot of one inner corner to that of the next, and its normals."""
    line = LineString(points)
    first, last = line.project(Point(start)), line.project(Point(end))
    along = distances_along(points)
    # a vertex close beside a foot has a normal of its own, and the two would cross before the inner edge
    gap = 0.3 * float(np.diff(along).min())
    kept = (along > first + gap) & (along < last - gap)
    if first >= last:
        x, y = points[0]
        raise DoesNotFit(
            f"band is {format_length(band)}; the side at {format_mm(x, 1)}, {format_mm(y, 1)} mm is too "
            "short for it to turn both its corners. Narrow band or enlarge the piece.",
            parameter="band", value=band, accepted="a band narrower than the sides", at=(float(x), float(y)),
        )  # fmt: skip
    ends = shapely.get_coordinates(line.interpolate([first, last]))
    outer = np.vstack([ends[:1], points[kept], ends[1:]])
    side = np.diff(outer, axis=0)
    total = side[:-1] + side[1:]
    left = np.column_stack([-total[:, 1], total[:, 0]])
    inward = np.vstack([start - ends[0], left, end - ends[1]])
    return outer, inward / np.hypot(*inward.T)[:, None]


def _bends(run: Run) -> Points:
    """Return the middles of the bends between straight sides of a closed run; else its foot and head."""
    length = np.hypot(*np.diff(run.outer, axis=0).T)
    straight = np.flatnonzero(length > run.band)
    middles = []
    for i, j in zip(straight, np.roll(straight, -1), strict=True):
        lies_on = run.length if j <= i else 0.0
        begin, end = run.along[i + 1], run.along[j] + lies_on
        if end - begin > 1e-6:
            middles.append((begin + end) / 2 % run.length)
    return np.sort(np.array(middles)) if len(middles) > 1 else np.array([0.0, run.length / 2])


def _rescaled(run: Run, knots: Points, to: Points) -> Run:
    """Return a closed run that begins at its first joint, its distances stretched from knot to knot."""
    at = np.unique(np.concatenate([run.along[:-1], np.mod(knots[:-1], run.length)]))
    at = np.append(at[at >= knots[0] - 1e-9], at[at < knots[0] - 1e-9] + run.length)
    at = at[np.append(True, np.diff(at) > 1e-7)]
    at = np.append(at, at[0] + run.length)
    zero = np.zeros(len(at))
    outer, inner = run.place(at, zero + run.band), run.place(at, zero)
    return replace(run, outer=outer, inward=(inner - outer) / run.band, along=np.interp(at, knots, to))
