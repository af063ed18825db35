"""What folding asks of the paper: layers, thickness, length used up by bends, and creep between layers.

References
----------
Gallivan, B., *How to Fold Paper in Half Twelve Times*, 2002: the length lost to n folds one way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.affinity import affine_transform
from shapely.geometry import Point, Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.stock import Stock

from .fold import Fold
from .steps import Map
from .unfolding import lap_over

__all__ = [
    "KNIFE",
    "SCISSORS",
    "THICKEST",
    "Packet",
    "check_packet",
    "compensate_creep",
    "creep_map",
    "folds_in_length",
    "length_used",
    "measure_packet",
]

KNIFE = 0.6
"""mm of packet up to which a craft knife cuts cleanly in a few strokes (*common practice*)."""

SCISSORS = 1.5
"""mm of packet up to which small scissors cut without the layers sliding (*common practice*)."""

THICKEST = 3.0
"""mm; above it a packet neither lies flat nor can be cut by hand (*common practice*)."""


@dataclass(frozen=True, slots=True)
class Packet:
    """What a fold comes to in a given paper. Lengths in mm.

    Attributes
    ----------
    layers : int
        Cut at once.
    thickness : float
        Of the packet, pressed flat.
    used : float
        Length of paper taken up by all the bends one after another.
    creep : float
        How far the outermost layer's design strays from the innermost's at the worst fold.
    advice : str
        What to cut it with, in a sentence.
    """

    layers: int
    thickness: float
    used: float
    creep: float
    advice: str


def length_used(thickness: float, folds: int) -> float:
    """Return the length of paper in mm that goes into the bends when a strip is halved so many times one way.

    Parameters
    ----------
    thickness : float
        Of the paper, mm.
    folds : int
        How often it is halved.

    Returns
    -------
    float
        π·t/6 · (2ⁿ + 4)(2ⁿ - 1): no shorter strip can be folded so often.

    References
    ----------
    Gallivan, 2002.

    Examples
    --------
    >>> [round(length_used(0.1, n), 3) for n in (1, 2, 3)]
    [0.314, 1.257, 4.398]
    """
    layers = 2.0**folds
    return math.pi * thickness / 6 * (layers + 4) * (layers - 1)


def folds_in_length(length: float, thickness: float) -> int:
    """Return how often a strip can be halved one way before its bends use it up.

    Examples
    --------
    >>> folds_in_length(4000 * 304.8, 0.1386)
    12
    """
    count = 0
    while length_used(thickness, count + 1) <= length:
        count += 1
    return count


def measure_packet(fold: Fold, stock: Stock, *, knife: float = KNIFE, scissors: float = SCISSORS) -> Packet:
    """Return what a fold comes to in a paper, with advice on what cuts it.

    Parameters
    ----------
    fold : Fold
        Any.
    stock : Stock
        Its thickness counts.
    knife, scissors : float
        mm of packet up to which each serves; the habit of the trade, to be set to one's own hand.

    Returns
    -------
    Packet

    Notes
    -----
    A bend of m layers takes up π·t·m(m + 1)/2; summed over m = 1, 2, 4 … this is Gallivan's sum. The
    outermost of m layers goes π·t·(m - 1) further round the bend than the innermost, half of it on either
    side.

    Examples
    --------
    >>> from canivet.motifs.folding.folds import medallion_fold
    >>> packet = measure_packet(medallion_fold(count=4), Stock(thickness=0.1))
    >>> packet.layers, round(packet.thickness, 2)
    (8, 0.8)
    """
    _check_tools(knife, scissors)
    t = stock.thickness
    thickness = fold.layers * t
    bends = fold.folding.thickest
    used = sum(math.pi * t * m * (m + 1) / 2 for m in bends)
    creep = math.pi * t * (max(bends, default=1) - 1) / 2
    return Packet(fold.layers, thickness, used, max(creep, 0.0), _advice(fold.layers, t, knife, scissors))


def check_packet(fold: Fold, stock: Stock, *, thickest: float = THICKEST) -> None:
    """Refuse a fold with too many layers for its paper, or whose bends use up a panel.

    Raises
    ------
    DoesNotFit
        Naming the layers, the packet's thickness and the paper that would do.

    Examples
    --------
    >>> from canivet.motifs.folding.folds import medallion_fold
    >>> check_packet(medallion_fold(count=8), Stock(thickness=0.12))
    """
    packet = measure_packet(fold, stock)
    if packet.thickness > thickest + 1e-9:
        most = thickest / fold.layers
        raise DoesNotFit(
            f"the fold has {fold.layers} layers, {format_length(packet.thickness, 2)} of this paper; a "
            f"packet over {format_length(thickest, 2)} cannot be cut by hand. Give a thickness of "
            f"{format_length(most, 3)} or less and take such paper, or fold fewer times: a lower count, "
            "fewer panels or rows.",
            parameter="layers", value=fold.layers,
            accepted=f"a packet up to {format_length(thickest, 2)} thick",
        )  # fmt: skip
    low_x, low_y, high_x, high_y = fold.wedge.bounds
    room = min(high_x - low_x, high_y - low_y)
    worst = max((math.pi * stock.thickness * m / 2 for m in fold.folding.thickest), default=0.0)
    if worst > room / 2:
        middle = fold.wedge.centroid
        raise DoesNotFit(
            f"the sheet is too small for its folds: a bend takes up {format_length(worst, 2)} of a wedge "
            f"{format_mm(room, 1)} mm across. Take thinner paper or a larger sheet.",
            parameter="sheet", value=room, accepted=f"a wedge over {format_length(2 * worst, 1)} across",
            at=(middle.x - low_x, middle.y - low_y),
        )  # fmt: skip


def creep_map(fold: Fold, stock: Stock) -> Map:
    """Return how the drawing must move in the wedge so that the middle layers come out as they were meant.

    Notes
    -----
    Seen from above the fold ends where the outermost of m layers turns, at R = m·t from the bend's centre. A
    layer that turns at r has (π/2)·r of paper where R is seen; on average r = R/2, so that cuts land (1 -
    π/4)·R too near the crease. Each folded side asks for that much; the affine map that comes nearest to all
    of them is taken.
    """
    middle = fold.wedge.centroid
    shift = (1 - math.pi / 4) * fold.layers / 2 * stock.thickness
    rows = []
    for edge in fold.edges:
        if edge.creased:
            (nx, ny), ends = edge.normal, (edge.line.coords[0], edge.line.coords[-1])
            rows += [(nx, ny, nx * dx, nx * dy, ny * dx, ny * dy) for dx, dy in _from(middle, ends)]
    sides, wanted = np.array(rows), np.full(len(rows), shift)
    # A shift does for one fold or two that meet; between folds that face each other the drawing must shrink.
    moved = np.zeros(6)
    moved[:2] = np.linalg.lstsq(sides[:, :2], wanted, rcond=None)[0]
    if np.abs(sides @ moved - wanted).max() > 1e-9:
        moved = np.linalg.lstsq(sides, wanted, rcond=None)[0]
    e, f, a, b, c, d = moved.tolist()
    x, y = middle.x, middle.y
    return (1 + a, b, c, 1 + d, e - a * x - b * y, f - c * x - d * y)


def _from(middle: Point, ends: Sequence[tuple[float, ...]]) -> list[tuple[float, float]]:
    return [(x - middle.x, y - middle.y) for x, y in ends]


def compensate_creep(fold: Fold, openings: Sequence[Polygon], stock: Stock) -> list[Polygon]:
    """Return the openings moved off the folds by what the bends take, still cut through where they cross.

    Parameters
    ----------
    fold : Fold
        Where they lie.
    openings : sequence of Polygon
        As designed.
    stock : Stock
        Its thickness counts.

    Returns
    -------
    list of Polygon
        For the template only: the piece itself stays as designed.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> moved, = compensate_creep(mirror_fold(width=100), [box(60, 20, 70, 30)], Stock(thickness=0.2))
    >>> round(moved.bounds[0] - 60, 3)
    0.043
    """
    a, b, c, d, e, f = creep_map(fold, stock)
    moved = []
    for opening in openings:
        shape = affine_transform(opening, (a, b, c, d, e, f))
        for edge in fold.edges:
            if edge.creased and opening.distance(edge.line) < 2e-3:
                strip = opening.intersection(edge.line.buffer(0.01, cap_style="flat"))
                shape = shape.union(strip).union(affine_transform(strip, (a, b, c, d, e, f))).convex_hull if (
                    shape.is_empty
                ) else _stretched(shape, strip, (a, b, c, d, e, f))  # fmt: skip
        clipped = lap_over(shape, []).intersection(fold.wedge)
        moved += [part for part in getattr(clipped, "geoms", [clipped]) if part.area > 1e-3]
    return moved


def _stretched(shape: Polygon, strip: Polygon, m: Map) -> Polygon:
    """Join a moved opening with the place where it was cut through the fold."""
    bridge = strip.union(affine_transform(strip, m)).convex_hull
    joined = shape.union(bridge)
    return joined if isinstance(joined, Polygon) else max(joined.geoms, key=lambda part: part.area)


def _advice(layers: int, sheet: float, knife: float, scissors: float) -> str:
    thickness = layers * sheet
    packet = f"The packet is {format_length(thickness, 2)} thick"
    if thickness <= knife + 1e-9:
        return f"{packet}: knife or scissors."
    if thickness <= scissors + 1e-9:
        return f"{packet}: scissors, or a knife in many light strokes."
    thinner = math.floor(scissors / layers * 1000 + 1e-9) / 1000
    return (
        f"{packet}: too thick to cut cleanly. Take paper of {format_length(thinner, 3)} or less, or cut two "
        "packets of half as many layers."
    )


def _check_tools(knife: float, scissors: float) -> None:
    for name, value in (("knife", knife), ("scissors", scissors)):
        if not 0 < value <= 20:
            raise BadValue(
                f"{name} is {format_length(value)}; it takes more than 0 mm and at most 20 mm of packet.",
                parameter=name, value=value, accepted="above 0 mm, at most 20 mm",
            )  # fmt: skip
