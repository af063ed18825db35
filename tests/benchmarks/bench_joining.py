"""What joining and mending cost: in length of bridge over the least possible, in area, and in time per audit.

Times are given as multiples of one audit of the finished piece in the same run, for a bare number of seconds
says more about the machine. Run by hand: ``python tests/benchmarks/bench_joining.py``.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import TypeVar

import networkx as nx
import numpy as np
from scipy.ndimage import gaussian_filter
from scipy.optimize import Bounds, LinearConstraint, milp
from shapely import MultiPolygon, Point, Polygon, STRtree, affinity, box
from skimage import data, measure

from canivet.audit.strength import check_strength
from canivet.compose.joining.parts import join_parts
from canivet.compose.mending.repair import repair_paper

STRAP, SMALLEST = 1.2, 0.5
T = TypeVar("T")


def timed(work: Callable[[], T]) -> tuple[T, float]:
    start = time.perf_counter()
    result = work()
    return result, time.perf_counter() - start


def scene(count: int, seed: int = 1) -> MultiPolygon:
    """Strew discs, lenses and blocks over a square that grows with their number."""
    rng = np.random.default_rng(seed)
    side = 20 * math.sqrt(count)
    parts: list[Polygon] = []
    while len(parts) < count:
        disc = Point(0, 0).buffer(rng.uniform(2.5, 8))
        shape = (disc, affinity.scale(disc, 1, 0.5), box(*disc.bounds))[rng.integers(0, 3)]
        placed = affinity.translate(affinity.rotate(shape, rng.uniform(0, 90)), *rng.uniform(0, side, 2))
        if not parts or len(STRtree(parts).query(placed, predicate="dwithin", distance=0.4)) == 0:
            parts.append(placed)
    return MultiPolygon(parts)


def horse(height: float) -> Polygon:
    """The outline of the horse that comes with scikit-image."""
    blurred = gaussian_filter(np.pad(~data.horse(), 3).astype(float), 1.0)
    outline = max(measure.find_contours(blurred, 0.5), key=len) * (height / 328)
    return Polygon(np.column_stack([outline[:, 1], -outline[:, 0]])).simplify(0.03)


def bench_joining() -> None:
    print("parts  tree/bound  doubled/bound  single left  joining, in audits  seconds")
    spent: dict[int, float] = {}
    for count in (5, 50, 500):
        parts = scene(count)
        joined, took = timed(lambda parts=parts: join_parts(parts, strap=STRAP, smallest=SMALLEST))  # type: ignore[misc]
        _, audit = timed(lambda joined=joined: check_strength(joined.paper, strap=STRAP))  # type: ignore[misc]
        tree = join_parts(parts, strap=STRAP, smallest=SMALLEST, holds="single").tree_length
        spent[count] = took
        print(
            f"{count:5d}  {tree / joined.bound:10.2f}  {joined.total_length / joined.bound:13.2f}  "
            f"{joined.single_holds_left:11d}  {took / audit:18.1f}  {took:7.2f}"
        )
    print(f"exponent 50 to 500: {math.log10(spent[500] / spent[50]):.2f}")


def least_doubled(parts: MultiPolygon) -> float:
    """Return the least length of any bridges that hold every part twice, where they may cross as they like.

    By integer programming (scipy's HiGHS) over the two shortest candidates of each pair of neighbours that do not
    end side by side; ways of parting the drawing that a solution leaves to one bridge are added until there are
    none. No choice that keeps bridges clear of each other can be shorter with the same candidates.
    """
    # Here, since older checkouts, for which compare_checkouts strews the same parts, have not all of these.
    from canivet.compose.joining._spanning import _MERGED, _Holds, span
    from canivet.compose.joining.candidates import Ground, find_candidates, neighbourhood
    from canivet.compose.joining.parts import _parts
    from canivet.compose.mending.thickening import MARGIN

    came, _ = _parts(parts)
    ground = Ground(came, STRAP + 2 * MARGIN, None, None, None)
    ways = find_candidates(ground, finer=1, seen=neighbourhood(ground))
    tree, _ = span(ways, len(came), ground.strap, 2 * SMALLEST)
    holds = _Holds(ways, tree, ground, 2 * SMALLEST)
    kept: list[int] = []
    for pair in sorted(set(zip(ways.a.tolist(), ways.b.tolist(), strict=True))):
        rows = np.flatnonzero((ways.a == pair[0]) & (ways.b == pair[1]))
        first, *rest = rows[np.argsort(ways.length[rows])].tolist()
        apart = [row for row in rest if holds._nearness(first, np.array([row])).min() <= _MERGED]
        kept += [first, *apart[:1]]
    a, b, length = ways.a[kept], ways.b[kept], ways.length[kept]
    cuts = [(a == part) | (b == part) for part in range(len(came))]
    while True:
        twice = LinearConstraint(np.array(cuts, float), lb=2)
        found = milp(length, constraints=twice, integrality=np.ones(len(kept)), bounds=Bounds(0, 1))
        held = nx.MultiGraph()
        held.add_nodes_from(range(len(came)))
        held.add_edges_from([(a[k], b[k]) for k in np.flatnonzero(found.x > 0.5)])
        sides = [*nx.connected_components(held)][1:]
        for ends in nx.bridges(nx.Graph(held)):
            if held.number_of_edges(*ends) == 1:
                rest = nx.Graph(held)
                rest.remove_edge(*ends)
                sides.append(nx.node_connected_component(rest, ends[0]))
        if not sides:
            return float(found.fun)
        cuts += [np.isin(a, [*side]) != np.isin(b, [*side]) for side in sides]


def bench_least() -> None:
    print("50 parts, another scene each: doubled/bound  least possible/bound, crossings allowed")
    for seed in (1, 2, 3):
        parts = scene(50, seed)
        joined = join_parts(parts, strap=STRAP, smallest=SMALLEST)
        print(f"{joined.total_length / joined.bound:44.2f}  {least_doubled(parts) / joined.bound:19.2f}")


def bench_mending() -> None:
    print("horse, mm high  strap  necks before  area %  fattened all over %  mending, in audits")
    for height, strap in ((80.0, 1.5), (50.0, 1.5), (80.0, 2.5)):
        shape = horse(height)
        before = check_strength(shape, strap=strap, smallest=SMALLEST)
        mended, took = timed(lambda: repair_paper(shape, strap=strap, smallest=SMALLEST))  # noqa: B023
        after, audit = timed(lambda: check_strength(mended.paper, strap=strap, smallest=SMALLEST))  # noqa: B023
        assert after.holds
        thinnest = before.weakest.width if before.weakest else strap
        fat = shape.buffer(max(0.0, strap - thinnest) / 2)
        print(
            f"{height:14.0f}  {strap:5.1f}  {len(before.necks):12d}  "
            f"{100 * (mended.area_after / shape.area - 1):6.2f}  {100 * (fat.area / shape.area - 1):19.2f}  "
            f"{took / audit:18.1f}"
        )


if __name__ == "__main__":
    bench_joining()
    bench_least()
    bench_mending()
