"""How long the audit takes, as ratios in one run: to the floor, to a raster audit, and with size; its memory.

The floor is what no lattice can do without: cells by numpy, ``Polygon(shell, holes)``, one formatted string.
Memory is the highest a fresh process comes to while it audits, over what it has with the paper read.
Run by hand: ``python tests/benchmarks/bench_audit.py``.
"""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely
from scipy import ndimage
from shapely.geometry import Polygon

from canivet.audit import strength
from canivet.audit.again import Measures
from canivet.audit.necks import measure_necks
from canivet.audit.strength import LOOK, check_strength
from canivet.motifs import find_motif

ROOT = Path(__file__).parents[2]


def seconds(work: Callable[[], object], runs: int = 3) -> float:
    """The best of a few runs: what the work needs, without what else the machine was doing."""
    best = math.inf
    for _ in range(runs):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def lattice(openings: int, pitch: float = 5.0) -> Polygon:
    """An oval honeycomb with about so many openings."""
    width = pitch * math.sqrt(openings / 1.5 * math.sqrt(3) / 2 / (math.pi / 4))
    oval = find_motif("oval").draw(width=width, height=1.5 * width)
    return find_motif("hexagon-lattice").draw(within=oval, pitch=pitch, strap=1.0, rim=2.0)


def fringe(holds: int) -> Polygon:
    """A strip with so many knobs on stems along its edge, each a single hold beside the others."""
    stems = [shapely.box(6 * k + 2, 11, 6 * k + 4, 20) for k in range(holds)]
    knobs = [shapely.Point(6 * k + 3, 22).buffer(2.6) for k in range(holds)]
    return shapely.union_all([shapely.box(0, 0, 6 * holds, 12), *stems, *knobs])


def chain(links: int) -> Polygon:
    """Beads on a bar: as many single holds, each within what hangs on the next."""
    beads = [shapely.Point(8 * k, 0).buffer(3) for k in range(links)]
    return shapely.union_all([*beads, shapely.box(0, -1, 8 * (links - 1), 1)])


def megabytes(paper: Polygon) -> float:
    """The most memory an audit takes over the paper alone, by Linux's account of a process of its own."""
    code = """
import re, sys
import shapely
from canivet.audit.strength import check_strength

def most():
    return int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1]) / 1024

paper = shapely.from_wkb(sys.stdin.buffer.read())
check_strength(shapely.Point(0, 0).buffer(9) - shapely.Point(0, 0).buffer(5), strap=1.0, smallest=0.5)
before = most()
check_strength(paper, strap=1.0, smallest=0.5)
print(most() - before)
"""
    told = subprocess.run(
        [sys.executable, "-c", code], input=shapely.to_wkb(paper), check=True, capture_output=True
    )
    return float(told.stdout)


def share_of_single_holds(paper: Polygon, runs: int = 9) -> float:
    """An audit over one that does not look for single holds: processor time, taken turn about, the middle ratio."""
    search, ratios = strength.single_holds, []
    for _ in range(runs):
        spent = []
        for looks in (search, lambda necks: (necks.take(np.arange(0)), np.empty(0))):
            strength.single_holds = looks
            start = time.process_time()
            check_strength(paper, strap=1.2, look=LOOK)
            spent.append(time.process_time() - start)
        ratios.append(spent[0] / spent[1])
    strength.single_holds = search
    return statistics.median(ratios)


def floor(paper: Polygon) -> str:
    """Build the same paper from its bare coordinates and write it out."""
    rings = [np.asarray(ring.coords) + 0.0 for ring in paper.interiors]
    again = Polygon(paper.exterior, rings)
    flat = shapely.get_coordinates(again).ravel()
    return "%.3f " * len(flat) % tuple(flat)


def raster_width(paper: Polygon, pixel: float) -> float:
    """The narrowest paper by a distance transform between openings, as a raster audit has it."""
    x0, y0, x1, y1 = paper.bounds
    x, y = np.meshgrid(np.arange(x0 - 1, x1 + 1, pixel), np.arange(y0 - 1, y1 + 1, pixel))
    shapely.prepare(paper)
    inside = shapely.contains_xy(paper, x, y)
    label, _ = ndimage.label(~inside)
    distance, nearest = ndimage.distance_transform_edt(inside, return_indices=True)
    owner = label[tuple(nearest)]
    meets = (owner[:, 1:] != owner[:, :-1]) & inside[:, 1:] & inside[:, :-1]
    return float((distance[:, 1:] + distance[:, :-1])[meets].min() * pixel)


def main() -> None:
    sizes = (1_000, 10_000, 100_000)
    times = []
    print(f"{'openings':>9} {'vertices':>9} {'audit s':>8} {'× floor':>8} {'necks s':>8} {'MB':>6}")
    for size in sizes:
        paper = lattice(size)
        base = seconds(lambda p=paper: floor(p))
        audit = seconds(lambda p=paper: check_strength(p, strap=1.0, smallest=0.5), runs=2)
        necks = seconds(lambda p=paper: measure_necks(p, limit=1.05), runs=2)
        times.append(audit)
        count = len(shapely.get_coordinates(paper))
        print(
            f"{len(paper.interiors):>9} {count:>9} {audit:>8.3f} {audit / base:>8.1f} {necks:>8.3f} "
            f"{megabytes(paper):>6.0f}"
        )
    print(
        f"exponent 10k to 100k openings: {math.log10(times[2] / times[1]):.2f} (budget 1.10); × floor: budget 5"
    )

    print(
        f"{'openings':>9} {'audit s':>8} {'again s':>8} {'again / audit':>13}   one disc laid, then looked at again"
    )
    for size in sizes:
        paper = lattice(size)
        known = Measures()
        check_strength(paper, strap=1.0, smallest=0.5, known=known)
        laid = paper.union(paper.representative_point().buffer(2))
        full = seconds(lambda p=laid: check_strength(p, strap=1.0, smallest=0.5), runs=2)
        again = seconds(
            lambda p=laid, k=known: check_strength(p, strap=1.0, smallest=0.5, known=k.copy()), runs=2
        )
        print(f"{len(laid.interiors):>9} {full:>8.3f} {again:>8.3f} {again / full:>13.2f}")

    small = lattice(150)
    exact = seconds(lambda: measure_necks(small, limit=1.5))
    raster = seconds(lambda: raster_width(small, 0.05), runs=1)
    print(
        f"raster audit at 0.05 mm over ours, {len(small.interiors)} openings: {raster / exact:.0f} × (budget 20)"
    )

    for draw, sizes, budget in ((fringe, (200, 800), 1.3), (chain, (100, 400), 1.3)):
        drawn = [draw(size) for size in sizes]
        spent = [
            seconds(lambda paper=paper: check_strength(paper, strap=1.2, look=LOOK), runs=2)
            for paper in drawn
        ]
        print(
            f"exponent {sizes[0]} to {sizes[1]} single holds, {draw.__name__}: "
            f"{math.log(spent[1] / spent[0], sizes[1] / sizes[0]):.2f} (budget {budget}); {spent[1]:.2f} s; "
            f"with over without looking for them: {share_of_single_holds(drawn[1]):.2f} (budget 1.10)"
        )

    bare = seconds(lambda: run("import shapely, cairosvg, numpy"))
    with tempfile.TemporaryDirectory() as folder:
        design = ROOT / "gallery/saltmere/heronry.toml"
        code = f"import sys; sys.argv = ['canivet', 'make', r'{design}', '-o', r'{folder}']; from canivet.cli.main import main; main()"
        plate = seconds(lambda: run(code))
    print(
        f"gallery plate, cold start to SVG, PDF and PNG: {plate:.1f} s; bare imports {bare:.1f} s (budget 2 × bare + 1 s for the PDF)"
    )


def run(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)


if __name__ == "__main__":
    main()
