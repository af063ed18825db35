"""What raised and cut-out letters share: thin places widened, counters, marks kept clear, refusals."""

from __future__ import annotations

import math
from collections import Counter as Counting
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Polygon

from canivet.audit.boundary import GRID, Floats, Paper, boundary_of
from canivet.audit.limbs import find_limbs
from canivet.audit.necks import find_necks
from canivet.audit.strength import TOLERANCE
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.lettering._outlines import as_multi
from canivet.motifs.lettering.text import Letter, Letters
from canivet.motifs.shapes.openings import Shapes

__all__ = [
    "GROWTH",
    "MARGIN",
    "CannotHold",
    "Counter",
    "bar_along",
    "counters_of",
    "lay_band",
    "lift_marks",
    "losing_form",
    "losing_its_form",
    "mend_breaks",
    "on_grid",
    "over_the_edge",
    "remarks_on",
    "require_widths",
    "union",
    "widen",
]

GROWTH = 0.1
"""Letter heights a stroke or a counter may be widened by on one side; beyond that it is another letter."""

_ROUNDS = 10

_THINNING = 0.002
"""mm. Offsets leave far more points than a blade can follow."""

MARGIN = 4 * GRID
"""mm added to a width, so that chords and snapping leave it."""

_BREAK = 0.02
"""Letter heights: parts of a letter nearer than this were meant as one."""

_OVER = 0.5
"""Share of its width that a part may lie over another and still be beside it."""

_CRUMB = 0.03
"""Letter heights: a counter with a smaller inscribed circle is an accident of the drawing, and filled."""

_STEP = 1.06
"""From one height tried to the next."""

_TALLEST = 8.0
"""How many times the height asked for is still tried."""

_TOGETHER = 6
"""Heights tried for all letters together, once each holds alone."""


class CannotHold(Exception):
    """A letter loses its form at this height. Never leaves the lettering modules."""


@dataclass(frozen=True, slots=True)
class Counter:
    """The white enclosed by a letter: its area, and the radius (mm) and centre of the largest disc in it."""

    area: Polygon
    radius: float
    centre: tuple[float, float]


def counters_of(shape: Paper, size: float) -> list[Counter]:
    """Return the counters of a letter, leaving out those too small to be meant."""
    found = []
    for part in shapely.get_parts(shape):
        for ring in part.interiors:
            area = Polygon(ring)
            circle = shapely.maximum_inscribed_circle(area, tolerance=0.002 * size)
            x, y = shapely.get_coordinates(circle)[0]
            if circle.length > _CRUMB * size:
                found.append(Counter(area, float(circle.length), (float(x), float(y))))
    return found


def on_grid(area: Paper) -> Paper:
    """Return a valid area with its points on the micrometre grid."""
    snapped = shapely.set_precision(shapely.simplify(shapely.make_valid(area), _THINNING), GRID)
    return as_multi(snapped)


def widen(area: Paper, width: float) -> Paper:
    """Bring strokes and straps that are thinner than `width` up to it, and leave all else alone.

    What a disc of that width cannot reach is thin. Where there is a neck or a limb in it, it is thickened
    by what it lacks; points and corners stay as they are.
    """
    for turn in range(_ROUNDS):
        boundary = boundary_of(area)
        necks = find_necks(boundary, width).under(width - TOLERANCE)
        limbs = find_limbs(boundary, width)
        if len(necks) == 0 and not limbs:
            break
        places = shapely.points([*necks.middle, *(limb.at for limb in limbs)])
        if turn >= _ROUNDS // 2 and not limbs:
            grown = shapely.buffer(places, width / 2 + MARGIN, quad_segs=12)
        else:
            widths = np.concatenate([necks.width, [limb.width for limb in limbs]])
            grown = _thickened(area, width, places, widths)
        area = on_grid(shapely.union_all([area, *grown]))
    return area


def _thickened(area: Paper, width: float, places: Shapes, widths: Floats) -> Shapes:
    """Return the thin stretches at the given places, each thickened by what it lacks there."""
    reach = width / 2
    thick = shapely.buffer(shapely.buffer(area, -0.98 * reach, quad_segs=12), 0.985 * reach, quad_segs=12)
    thin = shapely.get_parts(shapely.difference(area, thick))
    thin = thin[shapely.area(thin) > GRID]
    if len(thin) == 0:
        return np.array(shapely.buffer(places, reach + MARGIN, quad_segs=12))
    which, place = shapely.STRtree(places).query(thin, predicate="dwithin", distance=10 * GRID)
    lacking = np.zeros(len(thin))
    np.maximum.at(lacking, which, (width - widths[place]) / 2 + MARGIN)
    missed = np.setdiff1d(np.arange(len(places)), place)
    chosen = lacking > 0
    return np.concatenate(
        [
            shapely.buffer(thin[chosen], lacking[chosen], quad_segs=12),
            shapely.buffer(places[missed], reach + MARGIN, quad_segs=12),
        ]
    )


def bar_along(line: LineString, wide: float) -> Polygon:
    """Return a bar along a line, run on into what it joins."""
    (ax, ay), (bx, by) = line.coords
    length = max(line.length, GRID)
    ux, uy = (bx - ax) / length, (by - ay) / length
    over = 0.6 * wide
    longer = LineString([(ax - over * ux, ay - over * uy), (bx + over * ux, by + over * uy)])
    bar: Polygon = longer.buffer(wide / 2, cap_style="flat")
    return bar


def lay_band(line: LineString, band: tuple[float, float]) -> Paper:
    """Return a rail along a line: the band from `band[0]` to `band[1]` to the left of it."""
    points = shapely.get_coordinates(line)
    closed = bool(np.hypot(*(points[0] - points[-1])) < GRID)
    if closed:
        points = points[:-1]
        ahead = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    else:
        ahead = np.gradient(points, axis=0)
    ahead /= np.hypot(*ahead.T)[:, None]
    left = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    low, high = points + band[0] * left, points + band[1] * left
    if closed:
        return on_grid(Polygon(high)).symmetric_difference(on_grid(Polygon(low)))
    return on_grid(Polygon(np.vstack([low, high[::-1]])))


def mend_breaks(shape: MultiPolygon, size: float) -> MultiPolygon:
    """Return a letter with the hair's breadths closed that some faces leave between strokes, as in a k."""
    close = _BREAK * size / 2
    parts = shapely.get_parts(shape)
    pairs = shapely.STRtree(parts).query(parts, predicate="dwithin", distance=2 * close)
    if not (pairs[0] < pairs[1]).any():
        return shape
    closed = shape.buffer(1.2 * close, quad_segs=12).buffer(-1.2 * close, quad_segs=12)
    return as_multi(closed.union(shape))


def lift_marks(shape: Paper, gap: float) -> tuple[list[Polygon], int]:
    """Move marks off the body and off each other until `gap` lies between; also say how many moved.

    The largest part is the body. Marks above it go up, marks below it down; what stands beside the body, as
    the second stroke of a Cyrillic Ы, moves aside, and so do marks beside each other. What lies within
    another part, as the bar of a Θ, stays.
    """
    parts = sorted(shapely.get_parts(shape), key=lambda p: -p.area)
    body, marks = parts[0], parts[1:]
    middle = (body.bounds[1] + body.bounds[3]) / 2
    marks.sort(key=lambda p: abs(p.centroid.y - middle))
    placed, moved = [body], 0
    for mark in marks:
        if any(Polygon(other.exterior).contains(mark) for other in placed):
            placed.append(mark)
            continue
        up = 1 if mark.centroid.y >= middle else -1
        level = [k for k, other in enumerate(placed) if _side_by_side(other, mark)]
        here = _moved_clear(mark, [o for k, o in enumerate(placed) if k not in level], gap, up)
        for k in level:
            short = gap - here.distance(placed[k])
            if short > GRID:
                side = 1 if here.centroid.x >= placed[k].centroid.x else -1
                # The body stays, two marks share the way.
                share = 1.0 if k == 0 else 0.5
                lift = 0.0 if k == 0 else here.centroid.y - mark.centroid.y
                placed[k] = affinity.translate(placed[k], -side * (1 - share) * short, lift)
                here = affinity.translate(here, side * share * short, 0)
        moved += not here.equals(mark)
        placed.append(here)
    return placed, moved


def _moved_clear(mark: Polygon, others: Sequence[Polygon], gap: float, up: int) -> Polygon:
    """Move a mark up (1) or down (-1) until it is clear of others."""
    here = mark
    for _ in range(12):
        short = gap - min((here.distance(other) for other in others), default=math.inf)
        if short <= GRID:
            break
        here = affinity.translate(here, 0, up * (short + GRID))
    return here


def _side_by_side(one: Polygon, other: Polygon) -> bool:
    """Whether two parts stand on one level, as the two dots of an umlaut do, and one beside the other."""
    x0, low, x1, high = one.bounds
    a0, below, a1, above = other.bounds
    shared = min(x1, a1) - max(x0, a0)
    level = low < other.centroid.y < high or below < one.centroid.y < above
    return bool(level and shared < _OVER * min(x1 - x0, a1 - a0))


def losing_form(
    kind: str, letters: Letters, strap: float, smallest: float,
    alone: Callable[[Letter, Letters], object], together: Callable[[float], object],
) -> DoesNotFit:  # fmt: skip
    """Return the error that says at what height the same letters would hold.

    Parameters
    ----------
    kind : str
        What the letters are: raised or cut-out.
    alone : callable
        Makes one letter of a lettering, or raises `CannotHold`.
    together : callable
        Makes all of it so many times as large, or raises `CannotHold`.
    """
    return losing_its_form(kind, letters, strap, smallest, _least_height(letters, alone, together))


def losing_its_form(
    kind: str, letters: Letters, strap: float, smallest: float, would: float | None = None
) -> DoesNotFit:
    """Return the error of letters too small for their strap, and the height that would do if it is known."""
    accepted = f"{format_mm(would, 1)} mm" if would is not None else None
    do = f"Give them {accepted} of height" if accepted else "Give them more height"
    return DoesNotFit(
        f"{letters.text!r} is {format_mm(letters.size, 2)} mm high; {kind} letters lose their form there "
        f"with a strap of {format_mm(strap)} mm and openings of {format_mm(smallest)} mm radius. {do}, "
        "or take a narrower strap, smaller openings or another face.",
        parameter="size", value=letters.size, accepted=accepted,
    )  # fmt: skip


def _least_height(
    letters: Letters, alone: Callable[[Letter, Letters], object], together: Callable[[float], object]
) -> float | None:
    """Return the least height tried (mm, rounded up) at which the same letters hold, one by one and together.

    Letters are tried one by one first, since one alone mostly sets the height and costs little.
    """
    scale = 1.0
    kinds = {one.text: k for k, one in enumerate(letters.each) if not one.blank}
    for k in kinds.values():
        while not _holds(_one_scaled, letters, k, scale, alone):
            scale *= _STEP
            if scale > _TALLEST:
                return None
    for _ in range(_TOGETHER):
        height = math.ceil(letters.size * scale * 10 - 1e-9) / 10
        if _holds(together, height / letters.size):
            return height
        scale *= _STEP
    return None


def _one_scaled(letters: Letters, k: int, scale: float, alone: Callable[[Letter, Letters], object]) -> object:
    larger = letters.scaled(scale)
    return alone(larger.each[k], larger)


def _holds(make: Callable[..., object], *given: object) -> bool:
    try:
        make(*given)
    except (CannotHold, DoesNotFit):
        return False
    return True


def over_the_edge(panel: Paper, letters: Letters, shapes: Sequence[Paper]) -> None:
    """Refuse letters that do not stand inside the panel."""
    over = shapely.union_all(list(shapes)).difference(panel)
    if over.area <= GRID:
        return
    at = over.representative_point()
    raise DoesNotFit(
        f"{letters.text!r} at a letter height of {format_mm(letters.size, 2)} mm reaches over the edge of "
        "its panel. Lower the height or make the panel larger.",
        parameter="size", value=letters.size, at=(float(at.x), float(at.y)),
    )  # fmt: skip


def require_widths(strap: float, smallest: float) -> None:
    """Refuse a strap or a smallest opening that is out of range."""
    if not 0 < strap <= 1000:
        raise BadValue(
            f"strap is {strap:g} mm; it takes more than 0 mm and at most 1000 mm.",
            parameter="strap", value=strap, accepted="above 0 mm, at most 1000 mm",
        )  # fmt: skip
    if not 0 <= smallest <= 1000:
        raise BadValue(
            f"smallest is {smallest:g} mm; it takes 0 mm to 1000 mm.",
            parameter="smallest", value=smallest, accepted="0 mm to 1000 mm",
        )  # fmt: skip


def remarks_on(done: Iterable[Sequence[str]]) -> tuple[str, ...]:
    """Return what was done, each thing once, with the number of letters it was done to."""
    count = Counting(word for words in done for word in set(words))
    return tuple(f"{word} in {n} letter{'s' if n > 1 else ''}" for word, n in sorted(count.items()))


def union(shapes: Sequence[Paper]) -> Paper:
    """Return shapes as one area on the grid."""
    return on_grid(shapely.union_all(list(shapes)))
