"""The cutting plan: its time against the audit's, and its figures beside reading order and chance.

Run by hand: ``python tests/benchmarks/bench_plan.py [time] [figures]``.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import shapely
from bench_audit import lattice
from shapely.geometry import Polygon

from canivet.audit.strength import LOOK, check_strength
from canivet.compose.planning.ordering.order import measure_order
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.reading.silhouette import read_silhouette
from canivet.motifs import find_motif
from canivet.motifs.registry import catalogue

ROOT = Path(__file__).parents[2]


def seconds(work: Callable[[], object], runs: int = 2) -> float:
    """The best of a few runs, in seconds of the processor: what else the machine does is not counted."""
    best = math.inf
    for _ in range(runs):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def crackle(openings: int) -> Polygon:
    """Irregular cells with round corners, about so many, on an oblong sheet."""
    side = 5.0 * math.sqrt(openings)
    sheet = shapely.box(0, 0, side / 1.2, side * 1.2)
    return find_motif("crackle-lattice").draw(within=sheet, pitch=5.0, strap=1.0, rim=2.0)


def measure_time() -> None:
    print(
        f"{'piece':>9} {'openings':>9} {'audit s':>8} {'full s':>8} {'plan s':>8} {'× audit':>8} {'× full':>8}"
    )
    for draw in (lattice, crackle):
        spent = []
        for size in (1_000, 3_000, 10_000):
            paper = draw(size)
            audit = seconds(lambda p=paper: check_strength(p, strap=1.0, smallest=0.5))
            full = seconds(lambda p=paper: check_strength(p, strap=1.0, smallest=0.5, look=LOOK))
            plan = seconds(lambda p=paper: plan_cutting(p, strap=1.0))
            spent.append((len(paper.interiors), plan))
            print(
                f"{draw.__name__:>9} {spent[-1][0]:>9} {audit:>8.2f} {full:>8.2f} {plan:>8.2f} "
                f"{plan / audit:>8.1f} {plan / full:>8.1f}"
            )
        (few, short), (many, long) = spent[0], spent[-1]
        print(f"  exponent {few} to {many} openings: {math.log(long / short, many / few):.2f} (budget 1.15)")


def pieces() -> Iterator[tuple[str, Polygon]]:
    """Every gallery piece with openings, then ten designs drawn by chance."""
    for path in sorted([*(ROOT / "gallery").glob("*/*.svg")]):
        if "packet" in path.name or path.parent.name == "patterns":
            continue
        parts = shapely.get_parts(read_silhouette(path).area)
        if len(parts) == 1 and len(parts[0].interiors) > 10:
            yield path.stem, parts[0]
    rng = np.random.default_rng(2031)
    names = [name for name, motif in catalogue().items() if motif.family == "lattice"]
    for k, name in enumerate(rng.permutation(names)[:10]):
        motif = find_motif(str(name))
        outline = find_motif(["oval", "rectangle", "arch"][k % 3]).draw(
            width=float(rng.uniform(70, 160)), height=float(rng.uniform(90, 220))
        )
        chance = {"seed": int(rng.integers(1000))} if "seed" in motif.parameters else {}
        yield f"{name} {k}", motif.draw(within=outline, strap=float(rng.uniform(0.9, 1.6)), **chance)


def measure_figures() -> None:
    print(
        f"{'piece':>24} {'openings':>8} | {'support':>8} {'travel':>6} {'turning':>8} | {'reading':>14} | {'200 by chance':>14} | grade"
    )
    travels, turns = [], []
    for name, paper in pieces():
        plan = plan_cutting(paper, strap=1.2)
        at = np.array([one.at for one in plan.openings])
        area = np.array([one.area for one in plan.openings])
        delicacy = np.array([one.delicacy for one in plan.openings])
        reading = measure_order(
            np.lexsort((at[:, 0], -(at[:, 1] / 10).round())), at, area, delicacy, reach=15
        )
        rng = np.random.default_rng(1)
        random = [measure_order(rng.permutation(len(at)), at, area, delicacy, reach=15) for _ in range(200)]
        turn = plan.turning / plan.turning_plain
        travels.append(plan.travel)
        turns.append(turn)
        print(
            f"{name:>24} {len(at):>8} | {plan.support:>8.1%} {plan.travel:>6.2f} {turn:>8.2f} | "
            f"{reading.support:>6.1%} · {reading.travel:>5.2f} | "
            f"{np.mean([one.support for one in random]):>6.1%} · {np.mean([one.travel for one in random]):>5.2f} | "
            f"{plan.grade.value}",
            flush=True,
        )
    print(f"travel {np.mean(travels):.2f} on average, {max(travels):.2f} at most (budget 1.7, 2)")
    print(
        f"turning {np.mean(turns):.2f} of the plain choice on average, {max(turns):.2f} at most (budget 0.5)"
    )


def main() -> None:
    asked = sys.argv[1:] or ["time", "figures"]
    if "time" in asked:
        measure_time()
    if "figures" in asked:
        measure_figures()


if __name__ == "__main__":
    main()
