"""The strength report: does a cutting hold at its strap width, and where would it give way?

The promise, at width w:

1. the paper is one valid Polygon;
2. its narrowest neck is at least w;
3. no limb is thinner than w, tapering tips aside;
4. every opening can be cut: a disc of the stated radius fits into it;
5. with a hand slip s, all this holds at w + 2s, since either edge of a strap may stray by s.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from canivet.errors import BadValue
from canivet.lengths import as_float

from .again import Measures
from .boundary import GRID, Boundary, Floats, Paper, boundary_of_valid, require_valid
from .corners import SharpCorner, find_sharp_corners
from .holds import hanging_areas, tear_risk
from .limbs import Limb
from .necks import Neck, Necks, count_pairs
from .single import single_holds

__all__ = [
    "LOOK",
    "REACH",
    "TOLERANCE",
    "SmallOpening",
    "StrengthReport",
    "WeakNeck",
    "check_strength",
    "small_openings",
]

_WIDEST = 20.0
"""Straps. What is wider than this is no strap, and where the narrowest of it lies tells a cutter nothing."""

_MOST_PAIRS = 5e6
"""Where nothing is near the strap's width, how far to look for the narrowest: a few seconds."""

LOOK = 3.0
"""How wide to look for single holds where they are told, in straps."""

REACH = 1.05
"""Of the width that is looked for: how wide necks are measured at first. What was measured so wide before
serves the audit."""

TOLERANCE = 2 * GRID
"""mm. Both ends of a neck are snapped to the grid, so a strap drawn to 1.2 may measure 1.198."""


@dataclass(frozen=True, slots=True)
class WeakNeck:
    """A neck under the strap width: its width, the two ends and the middle (mm), and what hangs on it."""

    width: float
    start: tuple[float, float]
    end: tuple[float, float]
    at: tuple[float, float]
    hanging: float
    risk: float

    @property
    def single_hold(self) -> bool:
        """Whether a part drops when it goes."""
        return self.hanging > 0


@dataclass(frozen=True, slots=True)
class SmallOpening:
    """An opening too small to cut: the radius of its largest inscribed circle (mm), and where."""

    radius: float
    at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class StrengthReport:
    """What the audit found. Lengths in mm, areas in mm².

    Attributes
    ----------
    strap, slip, smallest : float
        What was asked for.
    pieces, openings : int
        Parts of paper, and openings in them.
    width, height : float
        The size of the whole.
    weakest : WeakNeck or None
        The narrowest neck of all; None for a shape that has none within some twenty straps, or none near the
        strap's width and an outline too rough to search from side to side.
    necks : tuple of WeakNeck
        Those under the needed width, the likeliest to tear first.
    limbs : tuple of Limb
        Projections too thin for their length.
    small_openings : tuple of SmallOpening
        Openings that cannot be cut.
    single_holds : tuple of WeakNeck
        Necks whose loss drops a part, as wide as was looked for, the likeliest to tear first. They may be
        wide enough and still be where the piece gives way.
    sharp_corners : tuple of SharpCorner
        Where a blade that runs on past a corner leaves less than the strap. Advice; no part of the promise.
    cut_length : float
        All edges together.
    area : float
        Of the paper, mm².
    """

    strap: float
    slip: float
    smallest: float
    pieces: int
    openings: int
    width: float
    height: float
    weakest: WeakNeck | None
    necks: tuple[WeakNeck, ...]
    limbs: tuple[Limb, ...]
    small_openings: tuple[SmallOpening, ...]
    single_holds: tuple[WeakNeck, ...]
    sharp_corners: tuple[SharpCorner, ...]
    cut_length: float
    area: float

    @property
    def slip_left(self) -> float | None:
        """Return how far the hand may stray before the narrowest neck is under the strap; None without necks.

        Below zero where it is under the strap already.
        """
        if self.weakest is None:
            return None
        left = (self.weakest.width - self.strap) / 2
        return 0.0 if -TOLERANCE / 2 <= left < 0 else left

    @property
    def needed(self) -> float:
        """Return the width every neck must have: the strap, and a slip on either side."""
        return self.strap + 2 * self.slip

    @property
    def holds(self) -> bool:
        """Whether the promise is kept."""
        return self.pieces == 1 and not (self.necks or self.limbs or self.small_openings)

    def to_json(self) -> dict[str, Any]:
        """Return the report as plain values, lengths rounded to a micrometre."""
        weakest = self.weakest
        return {
            "holds": self.holds,
            "pieces": self.pieces,
            "openings": self.openings,
            "size_mm": [_r(self.width), _r(self.height)],
            "strap_mm": _r(self.strap),
            "slip_mm": _r(self.slip),
            "weakest_strap_mm": _r(weakest.width) if weakest else None,
            "weakest_at_mm": _at(weakest.at) if weakest else None,
            "slip_left_mm": None if self.slip_left is None else _r(self.slip_left),
            "necks": [_neck_json(n) for n in self.necks],
            "limbs": [
                {"length_mm": _r(m.length), "width_mm": _r(m.width), "at_mm": _at(m.at)} for m in self.limbs
            ],
            "small_openings": [{"radius_mm": _r(o.radius), "at_mm": _at(o.at)} for o in self.small_openings],
            "single_holds": [{**_neck_json(n), "risk_mm": _r(n.risk)} for n in self.single_holds],
            "sharp_corners": [
                {"angle_deg": _r(c.angle), "ahead_mm": _r(c.ahead), "at_mm": _at(c.at)}
                for c in self.sharp_corners
            ],
            "area_mm2": _r(self.area),
            "cut_length_mm": _r(self.cut_length),
        }  # fmt: skip


def check_strength(
    paper: Paper,
    *,
    strap: float,
    slip: float = 0.0,
    smallest: float = 0.0,
    look: float = 1.0,
    known: Measures | None = None,
) -> StrengthReport:
    """Audit a paper against the promise that it holds at `strap`.

    Parameters
    ----------
    paper : Polygon or MultiPolygon
        What stays, in mm; valid.
    strap : float
        The width every strap must have, mm, above 0.
    slip : float
        How far the hand may stray from the line, mm, 0 or more.
    smallest : float
        Radius of the smallest opening worth cutting, mm; 0 for any.
    look : float
        How wide to look for single holds, in straps, 1 to 20. Wider takes longer.
    known : Measures, optional
        What an earlier audit of nearly the same paper measured; this one measures about what changed, and
        leaves there what it found. The report is the same without.

    Returns
    -------
    StrengthReport

    Raises
    ------
    BadValue
        If the paper is not valid, or a length is out of range.

    Examples
    --------
    >>> from shapely import box
    >>> frame = box(0, 0, 100, 80) - box(2, 2, 98, 78)
    >>> report = check_strength(frame, strap=1.5)
    >>> report.holds, report.weakest.width
    (True, 2.0)
    >>> check_strength(frame, strap=1.5, slip=0.3).holds
    False
    """
    _require_lengths(strap=strap, slip=slip, smallest=smallest)
    if not 1 <= look <= 20:
        raise BadValue(
            f"look is {as_float(look):g}; it takes 1 to 20 straps.",
            parameter="look",
            value=look,
            accepted="1 to 20",
        )
    paper = _whole(require_valid(paper))
    needed, known = strap + 2 * slip, known or Measures()
    x0, y0, x1, y1 = paper.bounds
    boundary = boundary_of_valid(paper)
    necks = _find_at_least_one(boundary, look * needed, known)
    weak = _with_what_hangs(necks.under(needed - TOLERANCE))
    weakest = _with_what_hangs(necks.take(np.arange(min(1, len(necks)))))
    return StrengthReport(
        strap=strap, slip=slip, smallest=smallest,
        pieces=int(shapely.get_num_geometries(paper)),
        openings=int(shapely.get_num_interior_rings(shapely.get_parts(paper)).sum()),
        width=x1 - x0, height=y1 - y0,
        weakest=weakest[0] if weakest else None,
        necks=tuple(sorted(weak, key=lambda n: (-n.risk, n.width, n.at))),
        limbs=tuple(known.find_limbs(boundary, needed)),
        small_openings=tuple(small_openings(paper, smallest)),
        single_holds=tuple(_weigh(*single_holds(necks.under(look * needed)))),
        sharp_corners=tuple(find_sharp_corners(boundary, strap)) if look > 1 else (),
        cut_length=float(paper.length),
        area=float(paper.area),
    )  # fmt: skip


def small_openings(paper: Paper, smallest: float) -> list[SmallOpening]:
    """Return the openings into which no disc of radius `smallest` fits, the smallest first."""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(paper)))
    solid: NDArray[np.object_] = shapely.polygons(rings[~shapely.is_ccw(rings)])
    if smallest <= 0 or len(solid) == 0:
        return []
    # No point lies deeper than the inscribed circle's radius, so area over outline is never above it.
    doubtful = solid[shapely.area(solid) <= smallest * shapely.length(solid)]
    doubtful = doubtful[_depth(doubtful) < smallest]
    tight = doubtful[shapely.is_empty(shapely.buffer(doubtful, -(smallest - TOLERANCE), quad_segs=8))]
    found = []
    for opening in tight:
        circle = shapely.maximum_inscribed_circle(opening, tolerance=GRID)
        if circle.length >= smallest - TOLERANCE:
            continue  # GEOS sometimes draws a sound opening in to nothing
        x, y = shapely.get_coordinates(circle)[0]
        found.append(SmallOpening(float(circle.length), (float(x), float(y))))
    return sorted(found, key=lambda o: (o.radius, o.at))


def _depth(solid: NDArray[np.object_]) -> Floats:
    """Return how far from its edge some point well inside each area lies: its inscribed radius, or less."""
    return np.asarray(shapely.distance(shapely.point_on_surface(solid), shapely.boundary(solid)))


def _find_at_least_one(boundary: Boundary, limit: float, known: Measures) -> Necks:
    """Look as wide as asked, then wider, until there is a neck, or looking further would cost too much."""
    reach = REACH * limit
    extent = float(np.ptp(boundary.points, axis=0).max())
    necks = known.find_necks(boundary, reach)
    furthest = min(2 * extent, _WIDEST * limit)
    while len(necks) == 0 and reach < furthest and count_pairs(boundary, 2 * reach) < _MOST_PAIRS:
        reach *= 2
        necks = known.find_necks(boundary, reach)
    return necks


def _with_what_hangs(necks: Necks) -> list[WeakNeck]:
    return _weigh(necks, hanging_areas(necks))


def _weigh(necks: Necks, hanging: Floats) -> list[WeakNeck]:
    risk = tear_risk(necks, hanging)
    return [_weak(*row) for row in zip(necks, hanging, risk, strict=True)]


def _weak(neck: Neck, hanging: float, risk: float) -> WeakNeck:
    return WeakNeck(neck.width, neck.start, neck.end, neck.middle, float(hanging), float(risk))


def _whole(paper: Paper) -> Paper:
    """Return a MultiPolygon of one part as that part."""
    parts = shapely.get_parts(paper)
    return parts[0] if len(parts) == 1 else paper


def _neck_json(neck: WeakNeck) -> dict[str, Any]:
    return {
        "width_mm": _r(neck.width),
        "at_mm": _at(neck.at),
        "single_hold": neck.single_hold,
        "hanging_mm2": _r(neck.hanging),
    }


def _require_lengths(*, strap: float, slip: float, smallest: float) -> None:
    if not 0 < strap <= 1000:
        raise BadValue(
            f"strap is {as_float(strap):g} mm; it takes more than 0 mm and at most 1000 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 1000 mm",
        )  # fmt: skip
    for name, value in (("slip", slip), ("smallest", smallest)):
        if not 0 <= value <= 1000:
            raise BadValue(
                f"{name} is {as_float(value):g} mm; it takes 0 mm to 1000 mm.",
                parameter=name, value=value, accepted="0 mm to 1000 mm",
            )  # fmt: skip


def _r(value: float) -> float:
    return round(float(value), 3)


def _at(place: tuple[float, float]) -> list[float]:
    return [_r(place[0]), _r(place[1])]
