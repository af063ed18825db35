"""In what order openings are cut: the delicate while the sheet is whole, without running about.

Opening i has area a and delicacy w; K = exp(−d/reach) says how near two openings are. When its turn comes it
is supported by the nearby openings still uncut, and the plan wants the sum of w_i·a_j·K_ij over all i before
j as large as possible. K is symmetric, so of any two openings i should come before j exactly when
w_i·a_j > w_j·a_i; that is one order for all pairs at once, descending w/a: the best support of any piece is
known exactly.

That order jumps about. So openings are sorted by it into bands, each is given a short route, and then single
openings and short runs move along the order wherever travel gains more than support loses. What support costs
in travel is raised while it is under its floor and lowered while it is above.

References
----------
W. E. Smith, "Various optimizers for single-stage production", Naval Research Logistics Quarterly 3, 1956 (the
exchange argument).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial import Delaunay, QhullError

from canivet.audit.boundary import Floats, Ints

from ._support import Support, nearness
from ._trip import Trip, along_curve, nearest, shortened

__all__ = ["FLOOR", "Order", "best_order", "measure_order", "plan_order", "short_route", "spanning_length"]

FLOOR = 0.98
"""Share of the way from the worst support to the best that every plan keeps."""

_BANDS = (3, 6, 2, 4, 8)
"""How many bands to begin with; several are tried, and the best kept."""

_WORK = 2000
"""Openings times starts."""

_LARGE = 1000
"""Openings above which one start is enough: there is room to move in everywhere."""

_NEARLY = 0.985
"""Support that the only start of a large piece has to begin with."""

_ROUNDS = 48
_FEW = 300
_STILL, _PATIENCE = 0.999, 16
"""With more than a few openings, a start is given up when so many rounds have not brought it under this share
of its shortest trip."""

_NEIGHBOURS, _FEWER = 12, 6
_RUNS, _FEWER_RUNS = (1, 2, 3, 4, 6), (1, 3)
"""How many openings move together; of a large piece fewer kinds."""

_WAKE = 3
"""Rounds after which every opening is looked at again."""

_TURNS = tuple(np.radians([0, 25, 50, 75, 100, 125, 150]))
"""How the sheet lies under the curve that a single route begins with."""

_SLACK = 3.0
"""Mean steps by which a move may lengthen the trip, if it gains support that is worth it."""

_MARGIN = 0.0004
"""Above the floor, where the price settles."""

_FIRST_PRICE, _HIGH_PRICE = 20.0, 60.0
"""Spanning trees that all support is held to be worth at first; from there it finds its level. It begins high
for a large piece, which has few rounds to win back what the first ones lose."""

_EAGER = 100.0
"""How fast the price follows: 1 % of support short raises it by a third, and no more at once."""


@dataclass(frozen=True, slots=True, eq=False)
class Order:
    """Openings in turn, as rows; their support, 0 to 1; travel, in minimum spanning trees."""

    rows: Ints
    support: float
    travel: float


def best_order(area: Floats, delicacy: Floats) -> Ints:
    """Return the order with the best support of all: descending delicacy over area.

    Examples
    --------
    >>> best_order(np.array([4.0, 1.0, 9.0]), np.array([1.0, 1.0, 1.0])).tolist()
    [1, 0, 2]
    """
    order: Ints = np.argsort(-delicacy / area, kind="stable")
    return order


def measure_order(rows: Ints, at: Floats, area: Floats, delicacy: Floats, *, reach: float) -> Order:
    """Return any order with its support and travel.

    Parameters
    ----------
    rows : (n,) int array
        Which opening comes first, second …
    at : (n, 2) float array
        Where they are, mm.
    area, delicacy : (n,) float array
        Of each.
    reach : float
        mm.

    Returns
    -------
    Order

    Examples
    --------
    >>> at, area = np.array([[0.0, 0.0], [5.0, 0.0], [10.0, 0.0]]), np.array([9.0, 4.0, 1.0])
    >>> measure_order(np.array([2, 1, 0]), at, area, np.ones(3), reach=15).support
    1.0
    >>> measure_order(np.array([0, 1, 2]), at, area, np.ones(3), reach=15).support < 1e-9
    True
    """
    support = Support(nearness(at, reach), area, delicacy)
    return Order(rows, support.of(_turns(rows)), _travel(rows, at, spanning_length(at)))


def plan_order(
    at: Floats,
    area: Floats,
    delicacy: Floats,
    *,
    reach: float,
    floor: float = FLOOR,
    tell: Callable[[float], None] | None = None,
) -> Order:
    """Return a short trip through all openings that keeps support above a floor.

    Parameters
    ----------
    at, area, delicacy, reach
        As for `measure_order`.
    floor : float
        Support to keep, 0 to 1.
    tell : callable, optional
        Told how much of the work is done, 0 to 1.

    Returns
    -------
    Order
        The same for the same openings, every time.
    """
    tell = tell or _silent
    count = len(at)
    if count < 3:
        return measure_order(best_order(area, delicacy), at, area, delicacy, reach=reach)
    tree = spanning_length(at)
    support = Support(nearness(at, reach), area, delicacy)
    ranked = best_order(area, delicacy)
    found = Order(ranked, 1.0, _travel(ranked, at, tree))
    starts = _starts(at, ranked, support)
    for k, bands in enumerate(starts):
        begun = _route(at, bands)
        found = min(
            found, _order_of(begun, at, support, tree), key=lambda one: (one.support < floor, one.travel)
        )
        shortest, settled = np.inf, 0
        for done, (rows, share) in enumerate(_moved(at, begun, support, floor, tree), start=1):
            tell((k + done / _ROUNDS) / len(starts))
            travel = _travel(rows, at, tree)
            if share >= floor and travel < found.travel:
                found = Order(rows, share, travel)
            settled = 0 if share >= floor and travel < _STILL * shortest else settled + 1
            shortest = min(shortest, travel) if share >= floor else shortest
            if count > _FEW and settled >= _PATIENCE and shortest < np.inf:
                break
    return found


def _starts(at: Floats, ranked: Ints, support: Support) -> list[list[Ints]]:
    """Return the bands to begin with: several numbers; of a large piece the fewest that nearly serve."""
    count = len(at)
    if count <= _LARGE:
        tried = _BANDS[: _WORK // count]
        return [np.array_split(ranked, min(bands, max(1, count // 3))) for bands in tried]
    for bands in sorted(_BANDS):
        parts = np.array_split(ranked, bands)
        rough = np.concatenate([band[along_curve(at[band])] for band in parts])
        if support.of(_turns(rough)) >= _NEARLY:
            break
    return [parts]


def short_route(at: Floats) -> Ints:
    """Return a short open way through places, as rows in turn.

    Notes
    -----
    A space-filling curve, then runs moved and loops undone until nothing near gains any more.

    Examples
    --------
    >>> route = short_route(np.array([[0.0, 0], [8, 0], [2, 0], [6, 0], [4, 0]])).tolist()
    >>> route in ([0, 2, 4, 3, 1], [1, 3, 4, 2, 0])
    True
    """
    return _route(at, [np.arange(len(at))], turns=_TURNS)


def spanning_length(at: Floats) -> float:
    """Return the length in mm of the minimum spanning tree, which lies within the Delaunay triangulation."""
    if len(at) < 2:
        return 0.0
    try:
        corners = Delaunay(at).simplices
        pairs = np.vstack([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [0, 2]]])
    except QhullError:  # too few, or all in a line
        rows = np.lexsort(at.T)
        pairs = np.column_stack([rows[:-1], rows[1:]])
    pairs = np.unique(np.sort(pairs, axis=1), axis=0)
    apart = np.hypot(*(at[pairs[:, 0]] - at[pairs[:, 1]]).T)
    return float(minimum_spanning_tree(coo_matrix((apart, pairs.T), shape=(len(at), len(at)))).sum())


def _route(at: Floats, bands: list[Ints], *, turns: Sequence[float] = (0.0,)) -> Ints:
    """Return a short route within each band, band after band: the best of those begun along turned curves."""
    count = min(_NEIGHBOURS, min(len(band) for band in bands) - 1)
    near, apart = np.empty((len(at), count), np.intp), np.empty((len(at), count))
    of = np.empty(len(at), np.intp)
    for k, band in enumerate(bands):
        of[band] = k
        rows, apart[band] = nearest(at[band], count)
        near[band] = band[rows]
    trip = Trip.through(at, near, apart, of)
    begun = [_along_curves(at, bands, turn) for turn in turns]
    return min((shortened(trip, order) for order in begun), key=trip.length)


def _along_curves(at: Floats, bands: list[Ints], turn: float) -> Ints:
    """Return each band along a curve over the turned sheet, begun where the band before ended nearest."""
    across = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    parts: list[Ints] = []
    for band in bands:
        part = band[along_curve(at[band] @ across)]
        if parts:
            ends = np.hypot(*(at[part[[0, -1]]] - at[parts[-1][-1]]).T)
            part = part if ends[0] <= ends[1] else part[::-1]
        parts.append(part)
    return np.concatenate(parts)


def _moved(
    at: Floats, order: Ints, support: Support, floor: float, tree: float
) -> Iterator[tuple[Ints, float]]:
    """Yield orders and their support, as moves shorten the trip and the price of support finds its level."""
    trip = Trip.through(at, *nearest(at, _NEIGHBOURS if len(at) <= _LARGE else _FEWER))
    price, turn = (_FIRST_PRICE if len(at) <= _LARGE else _HIGH_PRICE) * tree, _turns(order)
    awake = np.ones(len(at), bool)
    runs, rounds = (_RUNS, _ROUNDS) if len(at) <= _LARGE else (_FEWER_RUNS, _ROUNDS // 4)
    for k in range(rounds):
        worth = support.moves(turn, price, part=k)
        whole = k % _WAKE == 0
        changed = []
        for size in runs if whole else (1,):
            order, about = trip.move_runs(order, size, awake, worth=worth, slack=_SLACK * tree / len(at))
            changed.append(about)
        # The price moves all the while, so now and then everything is looked at again.
        awake = np.ones(len(at), bool) if (k + 1) % _WAKE == 0 else trip.awake_about(np.concatenate(changed))
        turn = _turns(order)
        share = support.of(turn)
        yield order, share
        price *= float(np.exp(np.clip((floor + _MARGIN - share) * _EAGER, -0.3, 0.3)))


def _order_of(rows: Ints, at: Floats, support: Support, tree: float) -> Order:
    return Order(rows, support.of(_turns(rows)), _travel(rows, at, tree))


def _travel(rows: Ints, at: Floats, tree: float) -> float:
    length = float(np.hypot(*np.diff(at[rows], axis=0).T).sum())
    return length / tree if tree > 0 else 0.0


def _turns(rows: Ints) -> Ints:
    turn = np.empty(len(rows), np.intp)
    turn[rows] = np.arange(len(rows))
    return turn


def _silent(share: float) -> None:
    """Say nothing."""
