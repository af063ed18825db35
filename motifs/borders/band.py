"""The band a border runs in: a strip along a closed outline, straightened out for drawing.

A band is a ring of runs and corners. A *run* is a smooth stretch, straight or curved, with a coordinate
`s` along it and `t` across it, 0 on the band's inner edge and `band` on the outline. A *corner* is the square
block where two straight ends meet. A border draws its repeat once in (s, t), lays copies along each run, and
draws one block for the corners.

Distances along a run are measured on whichever edge of the band is the shorter. Laying out then only ever
stretches, so a strap drawn at a width is at least that wide on paper.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.outlines import CHORD_TOLERANCE
from canivet.motifs.shapes.openings import Points, densified

__all__ = [
    "SHARPEST_CURVE", "SQUARE", "Band", "Corner", "Run", "check_holes", "clean_ring", "inner_edge",
    "lay_band", "run_along", "turning", "usual_band",
]  # fmt: skip

SHARPEST_CURVE = math.radians(30)
"""A turn at one vertex past this is a corner; a curve flattened any coarser would show its facets anyway."""

_USUAL = 1 / 9
"""Band over the short side where none is asked for: a border, neither an edging nor a frame."""

_BANDS = (9.0, 80.0)
"""mm, between which it grows with the piece: in a narrower one an ornament with usual straps has no room."""

SQUARE = math.radians(0.5)
"""How far from square a corner may be: 0.1 mm across a 10 mm band, less than a hand's slip."""


@dataclass(frozen=True, slots=True)
class Run:
    """A smooth stretch of a band.

    Attributes
    ----------
    outer : ndarray
        Points on the outline, counter-clockwise, shape (n, 2).
    inward : ndarray
        From each of them towards its fellow on the inner edge, per mm of band.
    along : ndarray
        Distance of each from the start of the run, on the band's shorter edge.
    band : float
        Width of the band in mm.
    closed : bool
        Whether it runs right round and ends where it began.
    slack : float
        What flattening may take from a strap laid on this run, in mm; 0 where it is straight. Draw straps
        wider by so much.
    """

    outer: Points
    inward: Points
    along: Points
    band: float
    closed: bool
    slack: float

    @property
    def length(self) -> float:
        """Return its length in mm, on the band's shorter edge."""
        return float(self.along[-1])

    @property
    def foot(self) -> float:
        """Return where along a ring its foot lies, on the upright axis; 0 on a run with ends.

        A ring begins at the vertex nearest to there, which may be far off on a long straight side.
        """
        if not self.closed:
            return 0.0
        x = self.outer[:, 0] - (self.outer[:, 0].min() + self.outer[:, 0].max()) / 2
        crossing = np.flatnonzero((x[:-1] <= 0) & (x[1:] > 0))
        share = x[crossing] / (x[crossing] - x[crossing + 1])
        height = self.outer[crossing, 1] + share * (self.outer[crossing + 1, 1] - self.outer[crossing, 1])
        lowest = int(np.argmin(height))
        i = crossing[lowest]
        return float(self.along[i] + share[lowest] * (self.along[i + 1] - self.along[i]))

    @property
    def step(self) -> float:
        """Return how long a side of an opening may be in mm before it must bend with the band."""
        turns = np.hypot(*np.diff(self.inward, axis=0).T)
        sharpest = float(np.max(turns / np.diff(self.along)))
        return math.inf if self.slack == 0 else math.sqrt(8 * CHORD_TOLERANCE / sharpest)

    def place(self, s: Points, t: Points) -> Points:
        """Return the points of the paper at `s` along and `t` out from the inner edge, shape (…, 2).

        Beyond the ends of an open run they go straight on, in mm whatever its distances were rescaled to.
        """
        if self.closed:
            s = np.mod(s, self.length)
        beyond = s - np.clip(s, 0.0, self.length)
        s = s - beyond
        index = np.clip(np.searchsorted(self.along, s, side="right") - 1, 0, len(self.along) - 2)
        share = ((s - self.along[index]) / (self.along[index + 1] - self.along[index]))[..., None]
        outer = self.outer[index] + share * (self.outer[index + 1] - self.outer[index])
        inward = self.inward[index] + share * (self.inward[index + 1] - self.inward[index])
        placed: Points = outer + (self.band - t)[..., None] * inward
        if np.any(beyond):
            ahead = np.diff(self.outer[[0, 1, -2, -1]], axis=0)[[0, 2]]
            ahead = ahead / np.hypot(*ahead.T)[:, None]
            placed = placed + beyond[..., None] * np.where(beyond[..., None] < 0, ahead[0], ahead[1])
        return placed

    def lay(
        self,
        shape: Points,
        at: npt.NDArray[np.floating[Any]],
        *,
        rise: float,
        mirrored: npt.NDArray[np.bool_] | None = None,
    ) -> Points:
        """Lay copies of one opening along the run.

        Parameters
        ----------
        shape : ndarray
            Its corners, shape (m, 2): along the run from the middle of the repeat, and outward.
        at : ndarray
            Where the middle of each repeat lies along the run, shape (k,).
        rise : float
            How far out from the inner edge the shape begins, in mm.
        mirrored : ndarray of bool, optional
            Which copies face the other way.

        Returns
        -------
        ndarray
            Corners on the paper, shape (k, m', 2); sides are split where they must follow a curve.
        """
        shape = densified(shape, self.step)
        sign = np.ones(len(at)) if mirrored is None else np.where(mirrored, -1.0, 1.0)
        s = at[:, None] + sign[:, None] * shape[:, 0]
        return self.place(s, np.broadcast_to(shape[:, 1] + rise, s.shape))

    def lay_rigid(self, shape: Points, at: Points, *, rise: float) -> Points:
        """Lay copies of one opening as they are, each turned as the band runs there; returns shape (k, m, 2).

        What is a circle stays one. Its middle height is kept, so that it lies between the rails as it should.
        """
        low, high = shape[:, 1].min(), shape[:, 1].max()
        across = np.array([self.place(at, np.full(len(at), t + rise)) for t in (low, high)])
        up = across[1] - across[0]
        up = up / np.hypot(*up.T)[:, None]
        along = np.column_stack([up[:, 1], -up[:, 0]])
        x, y = shape[:, 0], shape[:, 1] - (low + high) / 2
        laid: Points = across.mean(axis=0)[:, None] + along[:, None] * x[:, None] + up[:, None] * y[:, None]
        return laid


@dataclass(frozen=True, slots=True)
class Corner:
    """The square block of a band where it turns: its inner corner, and two axes that point out."""

    at: Points
    axes: Points

    def lay(self, shape: Points, *, rise: float) -> Points:
        """Lay one opening, both its coordinates running outward from `rise`; returns shape (1, m, 2)."""
        laid: Points = (self.at + (shape + rise) @ self.axes)[None]
        return laid


@dataclass(frozen=True, slots=True)
class Band:
    """Runs and corners in order, counter-clockwise; corner `i` lies where run `i` begins."""

    runs: tuple[Run, ...]
    corners: tuple[Corner, ...]

    @property
    def width(self) -> float:
        """Return its width in mm."""
        return self.runs[0].band

    @property
    def slack(self) -> float:
        """Return the most that flattening may take from a strap on any of its runs, in mm."""
        return max(run.slack for run in self.runs)


def usual_band(within: Polygon, band: float | None) -> float:
    """Return a band as asked for, or as wide as suits the piece: a share of its short side.

    Examples
    --------
    >>> usual_band(shapely.box(0, 0, 90, 150), None), usual_band(shapely.box(0, 0, 90, 150), 8.0)
    (10.0, 8.0)
    """
    if band is not None:
        return band
    low_x, low_y, high_x, high_y = within.bounds
    return float(np.clip(min(high_x - low_x, high_y - low_y) * _USUAL, *_BANDS))


def inner_edge(within: Polygon, band: float) -> Polygon:
    """Return the window inside a band along the outline, solid and without holes.

    Parameters
    ----------
    within : Polygon
        The piece.
    band : float
        mm.

    Raises
    ------
    DoesNotFit
        If the band leaves no window, or more than one.

    Examples
    --------
    >>> inner_edge(shapely.box(0, 0, 40, 60), 10).bounds
    (10.0, 10.0, 30.0, 50.0)
    """
    window = Polygon(within.exterior).buffer(-band, join_style="mitre")
    if window.geom_type != "Polygon" or window.is_empty:
        low_x, low_y, high_x, high_y = within.bounds
        left = "parts its window in two" if not window.is_empty else "leaves no window"
        raise DoesNotFit(
            f"band is {format_length(band)}; on a piece {format_mm(high_x - low_x)} × "
            f"{format_mm(high_y - low_y)} mm it {left}. Narrow band or enlarge the piece.",
            parameter="band", value=band, accepted="a band narrow enough to leave a window",
        )  # fmt: skip
    return window


def lay_band(within: Polygon, band: float) -> Band:
    """Lay a band along the outline and take it apart into runs and corners.

    Parameters
    ----------
    within : Polygon
        A piece with smooth curves and square corners; holes of its own must lie inside the window.
    band : float
        mm.

    Raises
    ------
    DoesNotFit
        If the band leaves no window, the outline curves too tightly for it, or it turns in some other way
        than by a square corner.
    """
    window = inner_edge(within, band)
    check_holes(within, window, band)
    ring = clean_ring(within)
    side = np.roll(ring, -1, axis=0) - ring
    turn = turning(ring)
    at = np.flatnonzero(np.abs(turn) > SHARPEST_CURVE)
    if not len(at):
        return Band((_closed_run(ring, band, within),), ())
    _check_corners(ring, turn, at, band)
    length = np.hypot(*side.T)
    unit = side / length[:, None]
    ends = [*at[1:], at[0] + len(ring)]
    runs = [_open_run(ring, unit, int(i), int(j), band) for i, j in zip(at, ends, strict=True)]
    corners = [
        Corner(ring[i] + band * (unit[i] - unit[i - 1]), np.array([unit[i - 1], -unit[i]])) for i in at
    ]
    return Band(tuple(runs), tuple(corners))


def clean_ring(within: Polygon) -> Points:
    """Return the outline's vertices counter-clockwise, none of them on a straight side or repeated."""
    ring: Points = shapely.get_coordinates(within.exterior.simplify(1e-6))[:-1]
    return ring if within.exterior.is_ccw else ring[::-1]


def turning(ring: Points) -> Points:
    """Return by how much a ring turns at each of its vertices, in radians; to the left is above zero."""
    side = np.roll(ring, -1, axis=0) - ring
    before = np.roll(side, 1, axis=0)
    turn: Points = np.arctan2(
        before[:, 0] * side[:, 1] - before[:, 1] * side[:, 0], (before * side).sum(axis=1)
    )
    return turn


def check_holes(within: Polygon, window: Polygon, band: float) -> None:
    """Refuse a band that an opening of the piece lies in.

    Raises
    ------
    DoesNotFit
        If one does not lie inside the window.
    """
    if within.interiors and not all(window.contains(Polygon(hole)) for hole in within.interiors):
        raise DoesNotFit(
            f"band is {format_length(band)}; an opening of the piece already lies in it. "
            "Narrow band or move the opening.",
            parameter="band", value=band, accepted="a band clear of the openings there are",
        )  # fmt: skip


def _check_corners(ring: Points, turn: Points, at: npt.NDArray[np.intp], band: float) -> None:
    for i in at:
        if abs(turn[i] - math.pi / 2) > SQUARE:
            x, y = ring[i]
            raise DoesNotFit(
                f"band is {format_length(band)}, and the outline turns by {math.degrees(turn[i]):.0f}° at "
                f"{format_mm(x, 1)}, {format_mm(y, 1)} mm; a border turns square corners (90°) and flows "
                "round curves. Round that corner or choose another outline.",
                parameter="band", value=band, accepted="an outline with square corners",
                at=(float(x), float(y)),
            )  # fmt: skip


def _closed_run(ring: Points, band: float, within: Polygon) -> Run:
    """Begin at the foot of the upright axis, so that what is laid evenly is laid evenly about both axes."""
    low_x, low_y, high_x, _ = within.bounds
    first = int(np.argmin(np.hypot(ring[:, 0] - (low_x + high_x) / 2, ring[:, 1] - low_y)))
    ring = np.roll(ring, -first, axis=0)
    side = np.roll(ring, -1, axis=0) - ring
    inward = _normals(np.vstack([side[-1:], side]))
    return run_along(np.vstack([ring, ring[:1]]), np.vstack([inward, inward[:1]]), band, closed=True)


def _open_run(ring: Points, unit: Points, i: int, j: int, band: float) -> Run:
    """Take the run from corner i to corner j, a band's width short of either."""
    points = ring[np.arange(i, j + 1) % len(ring)].copy()
    ahead, behind = unit[i], unit[(j - 1) % len(ring)]
    spare = np.hypot(*(points[[1, -1]] - points[[0, -2]]).T) - band * (1 if len(points) > 2 else 2)
    if spare.min() <= 0:
        x, y = points[0 if spare[0] <= spare[1] else -1]
        raise DoesNotFit(
            f"band is {format_length(band)}; the straight side at {format_mm(x, 1)}, {format_mm(y, 1)} mm is "
            "too short for it to turn a square corner. Narrow band or lengthen the side.",
            parameter="band", value=band, accepted="a band narrower than the straight sides",
            at=(float(x), float(y)),
        )  # fmt: skip
    points[0] += band * ahead
    points[-1] -= band * behind
    side = np.diff(points, axis=0)
    inward = _normals(np.vstack([side[:1], side, side[-1:]]))
    return run_along(points, inward, band, closed=False)


def _normals(sides: Points) -> Points:
    """Return the inward direction at each vertex between consecutive sides.

    Longer sides weigh more: where a straight side flows into an arc the normal there is the straight side's.
    """
    total = sides[:-1] + sides[1:]
    left = np.column_stack([-total[:, 1], total[:, 0]])
    normals: Points = left / np.hypot(*left.T)[:, None]
    return normals


def run_along(outer: Points, inward: Points, band: float, *, closed: bool) -> Run:
    """Measure a run from its points on the outline and the unit normals there, into the piece.

    Raises
    ------
    DoesNotFit
        If the outline curves too tightly for the band.
    """
    chord = np.diff(outer, axis=0)
    inner = np.diff(outer + band * inward, axis=0)
    tight = np.flatnonzero((inner * chord).sum(axis=1) <= 0)
    if len(tight):
        x, y = outer[tight[0]]
        raise DoesNotFit(
            f"band is {format_length(band)}; the outline curves too tightly for it near {format_mm(x, 1)}, "
            f"{format_mm(y, 1)} mm. Narrow band.",
            parameter="band", value=band, accepted="a band narrower than the curve's radius",
            at=(float(x), float(y)),
        )  # fmt: skip
    along = np.minimum(np.hypot(*chord.T), np.hypot(*inner.T))
    turn = float(np.hypot(*np.diff(inward, axis=0).T).max())
    slack = 0.0 if turn < 1e-9 else 2 * CHORD_TOLERANCE + band * turn**2 / 4
    return Run(outer, inward, np.concatenate([[0.0], np.cumsum(along)]), band, closed, slack)
