"""What hangs on a single hold.

A neck whose two ends lie on one ring of the boundary cuts the paper in two when it goes (Jordan's curve
theorem: the stretch of ring between the ends, closed by the chord, is a closed curve with paper on both
sides). Ends on two different rings leave a way round, and nothing drops.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry import LineString, Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.stock import Stock

from .boundary import Boundary, Flags, Floats, Ints, Paper, boundary_of, cross
from .necks import Necks
from .sag import measure_sag

__all__ = [
    "Chord",
    "Droop",
    "Drops",
    "hanging_areas",
    "hanging_outlines",
    "hanging_part",
    "measure_droop",
    "outlines_of",
    "stretches",
    "tear_risk",
    "what_drops",
]

_NODE = 1e-6
"""mm"""


class Chord(Protocol):
    """Anything with the two ends of a neck, in mm."""

    @property
    def start(self) -> tuple[float, float]:
        """One end."""

    @property
    def end(self) -> tuple[float, float]:
        """The other."""


@dataclass(frozen=True, slots=True)
class Droop:
    """How far a part may droop when the sheet is held level by all but it: an estimate, advice only.

    Attributes
    ----------
    at : (float, float)
        The middle of its neck, mm.
    reach : float
        mm from the neck to the farthest point of the part.
    load : float
        The part's mean width over the neck's.
    sag : float or None
        mm; None where it is more than the formula may say.
    advice : str
        The same as a sentence.
    """

    at: tuple[float, float]
    reach: float
    load: float
    sag: float | None
    advice: str

    def to_json(self) -> dict[str, Any]:
        """Return plain values, rounded to a micrometre."""
        return {
            "at_mm": [round(self.at[0], 3), round(self.at[1], 3)],
            "reach_mm": round(self.reach, 3),
            "load": round(self.load, 3),
            "droop_mm": None if self.sag is None else round(self.sag, 3),
            "advice": self.advice,
        }


def hanging_areas(necks: Necks) -> Floats:
    """Return the paper in mm² that drops when each neck goes; 0 where nothing does.

    Parameters
    ----------
    necks : Necks
        From `canivet.audit.necks`.

    Returns
    -------
    (n,) float array
        The side with less paper where the neck parts its piece in two, openings taken off.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.necks import measure_necks
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(10, 4, 15, 6), box(15, 0, 21, 10)])
    >>> hanging_areas(measure_necks(dumbbell, limit=3)).max().item()
    70.0
    """
    area = np.zeros(len(necks))
    single = np.flatnonzero(necks.same_ring)
    if len(single) == 0:
        return area
    area[single] = what_drops(necks.take(single)).area
    return area


def measure_droop(paper: Paper, neck: Chord, *, stock: Stock, stiffness: float | None = None) -> Droop | None:
    """Estimate how far the part that hangs on a neck droops; None where nothing hangs on it.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    neck : Neck or WeakNeck
        Found on this paper.
    stock : Stock
        Its grammage must be known.
    stiffness : float, optional
        N·m per metre of width; else as `canivet.audit.sag.stiffness_of` has it.

    Returns
    -------
    Droop or None

    Raises
    ------
    BadValue
        If the grammage is not known, or a number is not above 0.

    Notes
    -----
    The part is reckoned as a strip as wide as its neck, as long as it reaches, that carries the part's weight
    spread evenly. A part that widens is stiffer than that, and one that is heavy at its end droops more.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.necks import weakest_neck
    >>> lollipop = union_all([box(0, 0, 20, 20), box(20, 9, 25, 11), box(25, 7, 31, 13)])
    >>> measure_droop(lollipop, weakest_neck(lollipop), stock=Stock.of(grammage=75)).advice
    'droops by less than 0.1 mm when held level'
    """
    part = hanging_part(paper, neck)
    chord = LineString([neck.start, neck.end])
    if part.is_empty or chord.length == 0:
        return None
    reach = float(shapely.distance(shapely.points(shapely.get_coordinates(part)), chord).max())
    load = part.area / reach / chord.length
    at = chord.centroid.coords[0]
    try:
        sag = measure_sag(reach, stock=stock, held="one end", load=load, stiffness=stiffness)
    except DoesNotFit as refused:
        return Droop(at, reach, load, None, refused.message)
    return Droop(at, reach, load, sag, f"droops by {_in_words(sag)} when held level")


def tear_risk(necks: Necks, hanging: Floats) -> Floats:
    """Return hanging area over neck width, mm: what pulls over what holds. Infinite where width is 0."""
    with np.errstate(divide="ignore", invalid="ignore"):
        risk: Floats = np.where(hanging > 0, hanging / necks.width, 0.0)
    return risk


def hanging_part(paper: Paper, neck: Chord) -> Polygon:
    """Return the part of the paper that drops when a neck goes; empty where nothing does.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        Valid, in mm.
    neck : Neck or WeakNeck
        Found on this paper.

    Returns
    -------
    Polygon
        The side with less paper where the neck parts its piece in two, with the openings in it.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.necks import weakest_neck
    >>> lollipop = union_all([box(0, 0, 20, 20), box(20, 9, 25, 11), box(25, 7, 31, 13)])
    >>> part = hanging_part(lollipop, weakest_neck(lollipop))
    >>> part.area, part.bounds
    (46.0, (20.0, 7.0, 31.0, 13.0))
    """
    chord = LineString([neck.start, neck.end])
    boundary = boundary_of(paper)
    rings = shapely.linearrings(boundary.points, indices=boundary.ring)
    # Noded to a nanometre: the foot of a neck lies on its segment only as far as rounding allows.
    lines = shapely.union_all([*rings, chord], grid_size=_NODE)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    sides = faces[shapely.distance(faces, chord.centroid) <= _NODE]
    if len(sides) < 2:
        return Polygon()
    part: Polygon = sides[int(shapely.area(sides).argmin())]
    return part


def _in_words(sag: float) -> str:
    """Write an estimate as no finer than it is."""
    return "less than 0.1 mm" if sag < 0.1 else f"about {format_mm(sag, 1)} mm"


def hanging_outlines(necks: Necks) -> NDArray[np.object_]:
    """Return the outline of what drops when each neck goes, openings filled; all must be single holds."""
    return outlines_of(necks, what_drops(necks))


def outlines_of(necks: Necks, drops: Drops) -> NDArray[np.object_]:
    """Return the outlines that go with what drops."""
    outlines = _loops(necks, drops.ahead)
    # Round the opening that a neck reaches into, the loop is what is left out of the rest of the piece.
    for k in np.flatnonzero(drops.around):
        outlines[k] = Polygon(drops.shell[k], [outlines[k].exterior])
    return outlines


def _loop_areas(b: Boundary, vertex: Ints, segment: Ints, foot: Floats) -> tuple[Floats, Floats]:
    """Return the signed areas of the two loops the chord makes of its ring, out of running sums."""
    centre = b.points.mean(axis=0)  # far from the origin the sums would lose their small digits
    xy, foot = b.points - centre, foot - centre
    running = np.concatenate([[0.0], np.cumsum(cross(xy, xy[b.after]))])
    low, high = b.first[b.ring[vertex]], b.first[b.ring[vertex] + 1]
    whole = running[high] - running[low]
    between = running[segment] - running[vertex]
    between += np.where(segment < vertex, whole, 0.0)  # the way from vertex on to segment passes the seam
    twice = between + cross(xy[segment], foot) + cross(foot, xy[vertex])
    return twice / 2, (whole - twice) / 2


@dataclass(frozen=True, slots=True, eq=False)
class Drops:
    """For each single hold: which way on its ring goes round what drops, the paper in it, ring and shell.

    Where `around` is true that way goes round all but what drops: the neck reaches into an opening, and the
    rest of the piece drops from what stands in it.
    """

    ahead: Flags
    around: Flags
    area: Floats
    ring: NDArray[np.object_]
    shell: NDArray[np.object_]

    def take(self, rows: Ints) -> Drops:
        """Return the chosen rows, in that order."""
        return Drops(self.ahead[rows], self.around[rows], self.area[rows], self.ring[rows], self.shell[rows])


def what_drops(single: Necks) -> Drops:
    """Return which of the two sides of each single hold has less paper.

    With the paper on the left, the loop that runs round paper is the positive one. On a shell both are, and
    the smaller outline need not have less paper in it.
    """
    b = single.boundary
    forth, back = _loop_areas(b, single.vertex, single.segment, single.end)
    ahead = (back <= 0) | ((forth > 0) & (forth <= back))
    rings = shapely.linearrings(b.points, indices=b.ring)
    shell = shapely.is_ccw(rings)
    piece = np.cumsum(shell) - 1
    solid = shapely.polygons(rings)
    paper = np.bincount(piece, np.where(shell, 1, -1) * shapely.area(solid))
    own = b.ring[single.vertex]
    here = np.where(ahead, forth, back) - _openings_within(single, ahead, solid, shell, piece)
    here = np.maximum(here, 0)
    there = paper[piece[own]] - here
    other = (there < here) & (there > 0)
    return Drops(
        ahead ^ other, other & ~shell[own], np.where(other, there, here), rings[own], rings[shell][piece[own]]
    )


def _openings_within(
    single: Necks, ahead: Flags, solid: NDArray[np.object_], shell: Flags, piece: Ints
) -> Floats:
    """Return the area of the openings within each loop: those of its own piece, but not its own ring."""
    taken = np.zeros(len(single))
    own = single.boundary.ring[single.vertex]
    openings = np.flatnonzero(~shell)
    count = np.bincount(piece[openings], minlength=int(shell.sum()))
    others = count[piece[own]] - np.where(shell[own], 0, 1)
    rows = np.flatnonzero(others)
    if len(rows) == 0:
        return taken
    tree = STRtree(shapely.point_on_surface(solid[openings]))
    loop, opening = tree.query(_loops(single.take(rows), ahead[rows]), predicate="intersects")
    row, ring = rows[loop], openings[opening]
    counts = (ring != own[row]) & (piece[ring] == piece[own[row]])
    np.add.at(taken, row[counts], shapely.area(solid)[ring[counts]])
    return taken


def stretches(necks: Necks, ahead: Flags) -> tuple[Ints, Ints]:
    """Return the first and the last row of the stretch of ring from one end of each neck to the other.

    On the way on it goes from the vertex to the start of the segment, on the way back from that one's end to
    the vertex. Where the last row is before the first it runs past the seam of its ring.
    """
    start = np.where(ahead, necks.vertex, necks.boundary.after[necks.segment])
    return start, np.where(ahead, necks.segment, necks.vertex)


def _loops(necks: Necks, ahead: Flags) -> NDArray[np.object_]:
    """Return the part of its ring that each neck cuts off, on the way on or on the way back, as a polygon."""
    b = necks.boundary
    start, stop = stretches(necks, ahead)
    count = (stop - start) % (b.first[b.ring[start] + 1] - b.first[b.ring[start]]) + 1
    loops = np.full(len(necks), Polygon())
    some = np.flatnonzero(count >= 2)
    rows, which = b.along(start[some], count[some])
    ends = np.cumsum(count[some])
    points = np.insert(b.points[rows], ends, necks.end[some], axis=0)
    rings = shapely.linearrings(points, indices=np.insert(which, ends, np.arange(len(some))))
    loops[some] = shapely.polygons(rings)
    return loops
