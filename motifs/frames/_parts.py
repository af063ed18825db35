"""What frames share: their widths, their keywords, fields, name panels, and putting all together."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
import numpy.typing as npt
import shapely
from shapely import STRtree
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.audit.strength import StrengthReport, check_strength
from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.borders.band import inner_edge
from canivet.motifs.registry import Motif, Names, find_motif
from canivet.motifs.shapes.openings import Points, Shapes
from canivet.motifs.shapes.rounds import fitting
from canivet.parameters import Bound

from ._openings import block, disc, drop, gather, lay, leaf, no_shapes, tablet
from .frame import Frame, NoRoom, Room, TooSmall

__all__ = [
    "ROOMS",
    "BorderName", "GroundName", "Widths", "bordered", "corner_fan", "fill", "fitted_count", "inset",
    "least_side", "name_panel", "name_place", "put_together", "require_side", "row_border", "widths",
]  # fmt: skip


BorderName = Annotated[str, Bound("choice", "ornament of the border", choices=Names("border"))]
GroundName = Annotated[str, Bound("choice", "pattern of the ground", choices=Names("lattice"))]

Index = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

_STANDARD = 101.6
"""mm: the short side of a plate 4 × 6 in, at which proportions were settled by eye."""

_TWIN = 0.05
"""mm between an opening's middle and that of another's mirror image, at which the two are twins."""

_ALIKE = 0.02
"""Two openings whose areas differ by less than this share are a pair, and go or stay together."""

_ROUNDS = 8

_LEAST_PLACE = 1.5
"""mm; radius of the disc that a window and a panel must take: no letter is lower than 3 mm."""

ROOMS = (0.1, 0.13, 0.16, 0.19, 0.22, 0.26, 0.3, 0.35, 0.4)
"""Heights of a name panel that are tried, as shares of the plate's."""

_EDGE = 0.3
"""mm; the narrowest rim a lattice takes. A field is widened by it, so that its ground reaches to the edge."""


@dataclass(frozen=True, slots=True)
class Widths:
    """The widths a frame is drawn with, in mm, and how large its ornament is.

    Attributes
    ----------
    strap, smallest : float
        As asked for.
    rim : float
        Of the outer edge and the main members.
    rail : float
        Of the rules between them: the mean of the two by ratio, so that the three are told apart.
    short : float
        The plate's shorter side.
    """

    strap: float
    smallest: float
    rim: float
    rail: float
    short: float

    @property
    def gap(self) -> float:
        """Return how far apart to draw two curved openings: the strap, and what flattening takes from it."""
        return self.strap + 0.03

    def grown(self, length: float, power: float = 0.5) -> float:
        """Return what suits a plate 4 in wide at this plate's size; ornament grows slower than it."""
        return float(length * (self.short / _STANDARD) ** power)


def widths(width: float, height: float, strap: float, smallest: float, rim: float | None) -> Widths:
    """Settle the three widths of a frame.

    Raises
    ------
    DoesNotFit
        If the rim asked for is narrower than the strap.

    Examples
    --------
    >>> found = widths(101.6, 152.4, 1.0, 0.5, None)
    >>> found.strap, round(found.rail, 2), found.rim
    (1.0, 1.55, 2.4)
    """
    rim = 2.4 * strap if rim is None else rim
    if rim < strap:
        raise DoesNotFit(
            f"rim is {format_length(rim)}; it takes at least the strap of {format_length(strap)}. Widen rim.",
            parameter="rim", value=rim, accepted=f"at least {format_length(strap)}",
        )  # fmt: skip
    return Widths(strap, smallest, rim, math.sqrt(strap * rim), min(width, height))


def require_side(name: str, given: float, least: float, why: str) -> None:
    """Refuse a plate that is too short or too narrow for a frame.

    Raises
    ------
    TooSmall
        Which `frames.frame` turns into a sentence that says what would fit.
    """
    if given < least - 1e-9:
        raise TooSmall(name, given, least, why)


def least_side(w: Widths) -> float:
    """Return what a window or a panel must be wider and higher than, mm."""
    return 2 * max(_LEAST_PLACE, w.smallest)


def inset(region: Polygon, distance: float) -> Polygon:
    """Return the region inside a margin, corners staying sharp.

    Raises
    ------
    NoRoom
        If nothing, or more than one part, is left.
    """
    left = region.buffer(-distance, join_style="mitre")
    if left.is_empty or not isinstance(left, Polygon):
        raise NoRoom("a window inside its border")
    return left


def bordered(outline: Polygon, name: str, band: float | None, w: Widths) -> tuple[Shapes, Polygon]:
    """Draw a border along the outline; return its openings and the region inside a main member along it.

    A band left to the frame is about a tenth of the short side, or as much wider as its ornament needs.
    """
    motif = find_motif(name, family="border", parameter="border")
    own = w.grown(10.5, 0.6)
    tried = [band] if band is not None else [own, 1.1 * own, 1.25 * own, 1.4 * own]
    for taken in tried:
        asked = {"band": taken, "rim": w.rim, "strap": w.strap, "smallest": w.smallest}
        try:
            openings = motif.openings(within=outline, **_taken_by(motif, asked))
            break
        except DoesNotFit:
            if taken == tried[-1]:
                raise
    inside = inset(inner_edge(outline, taken), max(w.rail, w.rim - w.strap))
    return openings, inside


def fill(field: BaseGeometry, name: str, pitch: float | None, w: Widths) -> Shapes:
    """Fill a field with a ground that reaches to its edges; all margins are outside of the field.

    A pitch left to the frame is raised as far as the ground needs, up to twice. A part of the field too small
    for the ground stays solid.
    """
    motif = find_motif(name, family="lattice", parameter="ground")
    own = max(w.grown(6.0, 0.35), w.strap + 3 * w.smallest)
    tried = [pitch] if pitch is not None else [own, 1.25 * own, 1.6 * own, 2 * own]
    parts = [part for part in shapely.get_parts(field) if isinstance(part, Polygon) and not part.is_empty]
    return gather(*(_filled(part, motif, tried, w) for part in parts))


def _filled(part: Polygon, motif: Motif, pitches: Sequence[float], w: Widths) -> Shapes:
    within = part.buffer(_EDGE, join_style="mitre")
    for pitch in pitches:
        asked = {"rim": _EDGE, "strap": w.strap, "smallest": w.smallest, "pitch": pitch}
        try:
            return motif.openings(within=within, **_taken_by(motif, asked))
        except DoesNotFit:
            continue
    return no_shapes()


def _taken_by(motif: Motif, asked: Mapping[str, float]) -> dict[str, float]:
    """Return those keywords that a motif has."""
    return {name: value for name, value in asked.items() if name in motif.parameters}


def name_panel(box: Polygon, w: Widths, *, scoop: float | None = None) -> tuple[Polygon, Shapes]:
    """Draw a tablet for a name: scooped corners, an eyelet in each. Return the panel and the eyelets."""
    x0, y0, x1, y1 = box.bounds
    high = y1 - y0
    scoop = max(min(0.3 * high, 0.12 * (x1 - x0)), 2.5 * w.smallest + w.gap) if scoop is None else scoop
    scoop = min(scoop, 0.42 * high)
    eyelet = (scoop - w.gap) / (1 + math.sqrt(2))
    if eyelet < w.smallest:
        return box, no_shapes()
    at = [(x, y) for x in (x0 + eyelet, x1 - eyelet) for y in (y0 + eyelet, y1 - eyelet)]
    return tablet(box, scoop), lay(disc(eyelet), np.array(at), 0.0)


Panels = dict[str, Polygon]


def name_place(x0: float, low: float, x1: float, high: float, w: Widths) -> tuple[Panels, Shapes, float]:
    """Draw a name's tablet over a level; return it, its eyelets, and the level over its rim.

    At a height of 0 there is no panel, and the level stays.
    """
    if high == 0:
        return {}, no_shapes(), low
    name, eyelets = name_panel(block(x0, low, x1, low + high), w)
    return {"name": name}, eyelets, low + high + w.rim


def row_border(box: Polygon, depth: float, w: Widths, *, length: float) -> Shapes:
    """Lay a row of leaves with an eyelet between each two along the inside of a box, and one in each corner.

    `depth` is how deep the row is, `length` about how long a leaf with its eyelet is.
    """
    x0, y0, x1, y1 = box.bounds
    eye = max(w.smallest, 0.22 * depth)
    found: list[Shapes] = []
    for (ax, ay), (bx, by) in (
        ((x0 + depth, y0 + depth / 2), (x1 - depth, y0 + depth / 2)),
        ((x0 + depth, y1 - depth / 2), (x1 - depth, y1 - depth / 2)),
        ((x0 + depth / 2, y0 + depth), (x0 + depth / 2, y1 - depth)),
        ((x1 - depth / 2, y0 + depth), (x1 - depth / 2, y1 - depth)),
    ):
        line = LineString([(ax, ay), (bx, by)])
        least = 2 * (w.strap + eye) + 3 * depth * 0.5
        count = max(1, min(round(line.length / length), math.floor(line.length / least)))
        step = line.length / count
        angle = math.atan2(by - ay, bx - ax)
        unit = np.array([math.cos(angle), math.sin(angle)])
        long = step - 2 * (w.strap + eye)
        middles = np.array([ax, ay]) + np.outer((np.arange(count) + 0.5) * step, unit)
        found.append(lay(leaf(long, depth, belly=1.0), middles - unit * long / 2, angle))
        between = np.array([ax, ay]) + np.outer(np.arange(1, count) * step, unit)
        if count > 1:
            found.append(lay(disc(eye), between, 0.0))
    corners = [(x, y) for x in (x0 + depth / 2, x1 - depth / 2) for y in (y0 + depth / 2, y1 - depth / 2)]
    found.append(lay(disc(depth / 2), np.array(corners), 0.0))
    return gather(*found)


def corner_fan(corner: Points, turn: float, reach: float, w: Widths) -> Shapes:
    """Lay a quarter fan from a direction on, in radians: an eyelet in the angle and drops about it."""
    hub = 0.28 * reach
    eye = max(w.smallest, (hub - w.gap) / (1 + math.sqrt(2)))
    more = max(2, min(7, round(reach * math.pi / 2 / (w.strap + w.grown(5.5, 0.4)))))
    angles = turn + (np.arange(more) + 0.5) * math.pi / 2 / more
    spread = math.pi / 2 / more
    far = (2 * reach * math.sin(spread / 2) - w.gap) / (1 + math.sin(spread / 2))
    length = reach - hub
    out = np.column_stack([np.cos(angles), np.sin(angles)])
    drops = lay(drop(length, min(far, 0.55 * length)), corner + out * reach, angles + math.pi)
    axis = np.array([math.cos(turn) - math.sin(turn), math.sin(turn) + math.cos(turn)])
    return gather(drops, lay(disc(eye), corner + axis * eye, 0.0))


def put_together(
    outline: Polygon,
    ornament: Sequence[Shapes],
    window: Polygon,
    panels: Mapping[str, Polygon],
    w: Widths,
    arcs: Mapping[str, tuple[float, float, float]] | None = None,
    rooms: Mapping[str, Room] | None = None,
) -> Frame:
    """Cut the ornament out of the outline so that the frame holds, window and panels opened or not.

    An opening nearer than a strap to the edge, to the window, to a panel or to a larger opening is left out,
    and so is one too small to cut; of two as large as each other both are. Whatever is left out takes its
    mirror image with it.

    Raises
    ------
    NoRoom
        If window and panels by themselves are too near to each other or to the edge, or too small to use.
    """
    reserved = gather(window, list(panels.values()))
    if shapely.is_empty(shapely.buffer(reserved, -least_side(w) / 2)).any():
        raise NoRoom("window and panels")
    openings = _clear_of(gather(*ornament), outline, reserved, w)
    for _ in range(_ROUNDS):
        weak = _weak_beside(outline, openings, reserved, w)
        if not weak.any():
            break
        openings = _without(openings, weak, outline)
    else:
        raise NoRoom("its ornament")
    paper: Polygon = shapely.polygons(outline.exterior, shapely.get_exterior_ring(openings))
    usual = {"name": Room("panel", ROOMS)}
    return Frame(paper, window, dict(panels), dict(arcs or {}), rooms=usual if rooms is None else rooms)


def _without(openings: Shapes, which: Flags, outline: Polygon) -> Shapes:
    """Leave out some openings, and what is their mirror image about the upright axis, where there is one."""
    x0, _, x1, _ = outline.bounds
    at = shapely.get_coordinates(shapely.centroid(openings))
    twin = at[which] * (-1, 1) + (x0 + x1, 0)
    apart = np.hypot(*(at[:, None] - twin).T)
    alike = np.isclose(shapely.area(openings), shapely.area(openings[which])[:, None], rtol=_ALIKE)
    left: Shapes = openings[~(which | ((apart < _TWIN) & alike).any(axis=0))]
    return left


def _weak_beside(outline: Polygon, openings: Shapes, reserved: Shapes, w: Widths) -> Flags:
    """Say which openings are at fault where the frame is weak, window and panels open or solid."""
    weak = np.zeros(len(openings), dtype=bool)
    for cut in (gather(openings, reserved), openings):
        report = _audit(outline, cut, w)
        if report.holds:
            continue
        fault = _at_fault(openings, report)
        if not fault.any():
            raise NoRoom("window and panels")
        weak |= fault
    return weak


def fitted_count(first: int, lay_all: Callable[[int], Shapes], gap: float, *, least: int = 1) -> Shapes:
    """Lay as many as asked for, or as many fewer as it takes until all are `gap` apart."""
    shapes = lay_all(max(first, least))
    for count in range(max(first, least), least - 1, -1):
        shapes = lay_all(count)
        if not len(_crowded(shapes, gap)[0]):
            break
    return shapes


def _crowded(shapes: Shapes, gap: float) -> tuple[Index, Index]:
    one, other = STRtree(shapes).query(shapes, predicate="dwithin", distance=gap - 1e-6)
    return one[one < other], other[one < other]


def _clear_of(openings: Shapes, outline: Polygon, reserved: Shapes, w: Widths) -> Shapes:
    gone = ~fitting(openings, w.smallest + 1e-6, sides=2) | ~shapely.within(openings, outline)
    for place in (outline.exterior, *reserved):
        gone |= shapely.distance(openings, place) < w.strap - 1e-6
    openings = _without(openings, gone, outline)
    return _without(openings, _lesser(openings, *_crowded(openings, w.strap)), outline)


def _lesser(openings: Shapes, one: Index, other: Index) -> Flags:
    """Say of each opening whether it is the smaller of a pair, or as large as its fellow."""
    area = shapely.area(openings)
    gone = np.zeros(len(openings), dtype=bool)
    gone[one[area[one] <= area[other] * (1 + _ALIKE)]] = True
    gone[other[area[other] <= area[one] * (1 + _ALIKE)]] = True
    return gone


def _audit(outline: Polygon, openings: Shapes, w: Widths) -> StrengthReport:
    opened = shapely.polygons(outline.exterior, shapely.get_exterior_ring(openings))
    return check_strength(opened, strap=w.strap, smallest=w.smallest)


def _at_fault(openings: Shapes, report: StrengthReport) -> Flags:
    weak = np.zeros(len(openings), dtype=bool)
    area = shapely.area(openings)
    for neck in report.necks:
        ends = shapely.points([neck.start, neck.end])
        touched = np.flatnonzero((shapely.distance(openings[:, None], ends[None]) < 2e-3).any(axis=1))
        weak[touched[area[touched] <= area[touched].min() * (1 + _ALIKE)] if len(touched) else touched] = True
    if not len(openings):
        return weak
    places = [limb.at for limb in report.limbs] + [opening.at for opening in report.small_openings]
    for place in places:
        near = shapely.distance(openings, shapely.points(place))
        weak |= near <= near.min() + 1e-3
    return weak
