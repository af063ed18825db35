"""What a marked drawing points at: the weak places of a cutting, gathered, merged where close, and in order.

Lengths are mm in the paper's own coordinates, y up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.audit.limbs import Limb
from canivet.audit.strength import SmallOpening, StrengthReport, WeakNeck

from .explanations import Kind, Thing, tell
from .merging import Point, Ring, ring_places, spread_order

__all__ = ["ADVICE", "MOST", "Finding", "Findings", "Line", "gather_findings", "loose_parts"]

Line = tuple[Point, Point]

MOST = 24
"""Places ringed on one page; more would hide the piece."""

ADVICE: dict[Kind, int] = {"weakest": 1, "hold": 5, "corner": 3}
"""What does not keep a piece from holding, and how many places of it are ringed at most."""

_WIDEST: dict[Kind, float] = {"single": 7.0, "hold": 7.0, "corner": 3.0}
_USUALLY_WIDEST = 4.5
"""Radius of a ring round several places of one kind. Both ends of a stem are one place to mend."""

_AT_LEAST = 3
_LONGEST_SHOWN = 8.0
"""mm. A ring goes round the whole of an opening or limb up to this size, round the middle of a longer one."""

_BUMP = 2.0
"""What hangs on a neck counts from this many squares of the neck's width; less is a bump on an edge."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One numbered place: its kind, the ring round it, what is drawn in it, and what is said of it.

    Attributes
    ----------
    kind : Kind
        What it is.
    at : (float, float)
        The middle of its ring.
    radius : float
        Of the ring, mm.
    count : int
        How many places it stands for.
    chords : tuple of Line
        Lines across straps; for loose parts, the gaps to what is next.
    dots : tuple of Point
        The corners.
    told, remedy : str
        What it is and its measure against what is needed; what to do.
    """

    kind: Kind
    at: Point
    radius: float
    count: int
    chords: tuple[Line, ...]
    dots: tuple[Point, ...]
    told: str
    remedy: str

    @property
    def advice(self) -> bool:
        """Whether it is only worth knowing."""
        return self.kind in ADVICE


@dataclass(frozen=True, slots=True)
class Findings:
    """The places to ring, in order of gravity; how many are left over; lines across straps not ringed."""

    ringed: tuple[Finding, ...]
    left_over: tuple[tuple[Kind, int], ...]
    chords: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class _Place:
    """One thing found, and the points that its ring goes round."""

    points: tuple[Point, ...]
    thing: Thing


def gather_findings(paper: Paper, report: StrengthReport, *, most: int = MOST) -> Findings:
    """Gather what a report says of a paper into places to ring, the gravest first.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        What was audited.
    report : StrengthReport
        From `check_strength` on it; `look` above 1 adds what is worth knowing.
    most : int
        Rings at most, 1 or more.

    Returns
    -------
    Findings
        Loose parts come first, then what is under the strap: single holds, the likeliest to tear first, then
        other necks, the narrowest first; then limbs, openings too small, and what is only worth knowing. Each
        kind has its few places even where another has very many.

    Examples
    --------
    >>> from shapely import box, union_all
    >>> from canivet.audit.strength import check_strength
    >>> dumbbell = union_all([box(0, 0, 10, 10), box(10, 4.6, 14, 5.4), box(14, 0, 22, 10)])
    >>> found = gather_findings(dumbbell, check_strength(dumbbell, strap=1))
    >>> [(f.kind, f.at, f.count) for f in found.ringed]
    [('single', (12.0, 5.0), 2)]
    """
    places = dict(_places(paper, report))
    rings: dict[Kind, list[Ring]] = {}
    for kind, found in places.items():
        widest = _WIDEST.get(kind, _USUALLY_WIDEST)
        mended = [ring for other, done in rings.items() if other not in ADVICE for ring in done]
        made = ring_places([place.points for place in found], widest=widest, most=most)
        # What lies in a ring already drawn is looked at anyway; a second ring there would only confuse.
        rings[kind] = [ring for ring in made if kind not in ADVICE or not any(map(ring.meets, mended))]
    allowed = _share_out({kind: len(made) for kind, made in rings.items()}, most)
    ringed = [
        _finding(kind, ring, [places[kind][row] for row in ring.rows], paper, report)
        for kind, made in rings.items()
        for ring in made[: allowed[kind]]
    ]
    shown = {kind: sum(finding.count for finding in ringed if finding.kind == kind) for kind in places}
    left = [(kind, len(found) - shown[kind]) for kind, found in places.items() if len(found) > shown[kind]]
    drawn = {chord for finding in ringed for chord in finding.chords}
    every = ((neck.start, neck.end) for neck in report.necks)
    return Findings(tuple(ringed), tuple(left), tuple(chord for chord in every if chord not in drawn))


def loose_parts(paper: Paper) -> list[Polygon]:
    """Return every part but the largest, the largest of them first."""
    parts = shapely.get_parts(paper)
    return [parts[k] for k in np.argsort(-shapely.area(parts), kind="stable")[1:]]


def _places(paper: Paper, report: StrengthReport) -> Iterator[tuple[Kind, list[_Place]]]:
    """Yield every kind with its places, both in order of gravity."""
    enough = [neck for neck in report.single_holds if neck not in report.necks]
    weakest = [report.weakest] if report.holds and report.weakest and report.weakest not in enough else []
    yield "loose", [_Place((_point_in(part),), part) for part in loose_parts(paper)]
    yield "single", _of_necks([neck for neck in report.necks if _hangs(neck)])
    yield "neck", _of_necks(_narrowest_first([neck for neck in report.necks if not _hangs(neck)]))
    yield "limb", [_Place(_extent_of_limb(limb), limb) for limb in report.limbs]
    yield "opening", _of_openings(paper, report.small_openings)
    yield "weakest", _of_necks(weakest)
    yield "hold", _of_necks(enough)
    yield "corner", [_Place((corner.at,), corner) for corner in report.sharp_corners]


def _point_in(part: Polygon) -> Point:
    point = part.representative_point()
    return float(point.x), float(point.y)


def _hangs(neck: WeakNeck) -> bool:
    return neck.hanging > _BUMP * neck.width**2


def _of_necks(necks: Sequence[WeakNeck]) -> list[_Place]:
    return [_Place((neck.start, neck.end), neck) for neck in necks]


def _narrowest_first(necks: Sequence[WeakNeck]) -> list[WeakNeck]:
    """Sort necks by width; of many equal ones take some from all over the piece first."""
    ordered = sorted(necks, key=lambda neck: (round(neck.width, 2), neck.at))
    alike = [list(group) for _, group in groupby(ordered, key=lambda neck: round(neck.width, 2))]
    return [group[row] for group in alike for row in spread_order(len(group))]


def _extent_of_limb(limb: Limb) -> tuple[Point, ...]:
    x, y = limb.at
    half = min(limb.length, _LONGEST_SHOWN) / 2
    return (x - half, y), (x + half, y), (x, y - half), (x, y + half)


def _of_openings(paper: Paper, openings: Sequence[SmallOpening]) -> list[_Place]:
    """Ring the whole of each opening, or where it is widest if it is long."""
    if not openings:
        return []
    rings = [Polygon(ring) for part in shapely.get_parts(paper) for ring in part.interiors]
    row, ring = STRtree(rings).query_nearest(shapely.points([o.at for o in openings]), all_matches=False)
    places = []
    for opening, shape in zip(openings, (rings[k] for k in ring[np.argsort(row)]), strict=True):
        whole = 2 * shapely.minimum_bounding_radius(shape) <= _LONGEST_SHOWN
        points = shape.convex_hull.exterior.coords[:-1] if whole else [opening.at]
        places.append(_Place(tuple((x, y) for x, y in points), opening))
    return places


def _share_out(waiting: dict[Kind, int], most: int) -> dict[Kind, int]:
    """Give every kind a few rings first, then the rest by gravity; advice never more than its share."""
    allowed: dict[Kind, int] = dict.fromkeys(waiting, 0)
    for share in (_AT_LEAST, most):
        for kind, count in waiting.items():
            wanted = min(count, share, ADVICE.get(kind, most)) - allowed[kind]
            allowed[kind] += max(0, min(wanted, most - sum(allowed.values())))
    return allowed


def _finding(kind: Kind, ring: Ring, places: list[_Place], paper: Paper, report: StrengthReport) -> Finding:
    things = [place.thing for place in places]
    chords = tuple((thing.start, thing.end) for thing in things if isinstance(thing, WeakNeck))
    gap = 0.0
    if kind == "loose":
        chords = tuple(_gap(thing, paper) for thing in things if isinstance(thing, Polygon))
        gap = min(float(np.hypot(*np.subtract(end, start))) for start, end in chords)
    dots = tuple(place.points[0] for place in places) if kind == "corner" else ()
    told, remedy = tell(kind, things, report, gap=gap)
    return Finding(kind, ring.at, ring.radius, len(places), chords, dots, told, remedy)


def _gap(part: Polygon, paper: Paper) -> Line:
    """Return the shortest line from a part to any other."""
    others = [other for other in shapely.get_parts(paper) if not other.equals(part)]
    nearest = others[int(shapely.distance(others, part).argmin())]
    start, end = shapely.get_coordinates(shapely.shortest_line(part, nearest)).tolist()
    return (start[0], start[1]), (end[0], end[1])
