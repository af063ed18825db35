"""How long every lattice takes to its SVG text against the least it could take, as ratios within one run.

The floor is that of ``bench_lattice.py`` for as many openings with as many corners. Run it by hand:
``python tests/benchmarks/bench_lattices_all.py [openings ...]``; without numbers 1,000 and 10,000 and, for the
lattices laid by repeats, 100,000. Nothing here is a timed test.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable

import shapely
from bench_lattice import floor, path_text
from shapely.affinity import scale
from shapely.geometry import Polygon

from canivet.motifs.lattices import bars as cell_lattices
from canivet.motifs.lattices import grown as grown_lattices
from canivet.motifs.lattices import holes as hole_lattices
from canivet.motifs.lattices import radial as radial_lattices
from canivet.motifs.lattices import slits as slit_lattices
from canivet.motifs.lattices import spiral as spiral_lattices
from canivet.motifs.lattices import stars as star_lattices
from canivet.motifs.outlines import oval

LAID = [
    *(getattr(cell_lattices, name) for name in cell_lattices.__all__),
    *(getattr(hole_lattices, name) for name in hole_lattices.__all__),
    *(getattr(slit_lattices, name) for name in slit_lattices.__all__),
    *(getattr(star_lattices, name) for name in star_lattices.__all__),
]
GROWN = [
    *(getattr(grown_lattices, name) for name in ("crackle_lattice", "ice_ray_lattice")),
    radial_lattices.sunburst_lattice,
    spiral_lattices.spiral_lattice,
]


def oval_for(lattice: Callable[..., Polygon], openings: int) -> Polygon:
    """Return an oval that takes about that many openings of a lattice drawn with its defaults."""
    sample = oval(width=160, height=240)
    each = sample.area / len(lattice(within=sample).interiors)
    larger = math.sqrt(openings * each / sample.area)
    return scale(oval(width=1600, height=2400), larger / 10, larger / 10, origin=(0, 0))


def best(work: Callable[[], object], rounds: int) -> float:
    """Return the shortest of a few runs, in seconds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def measure(lattice: Callable[..., Polygon], wanted: int) -> tuple[int, float, float]:
    """Return openings, seconds for the floor and seconds for the lattice."""
    within = oval_for(lattice, wanted)
    paper = lattice(within=within)
    openings = len(paper.interiors)
    corners = round(shapely.get_num_coordinates(paper) / openings) - 1
    rounds = 3 if wanted <= 10_000 else 2
    least = best(lambda: floor(within, openings, corners), rounds)
    return openings, least, best(lambda: path_text(lattice(within=within)), rounds)


def main() -> None:
    """Print the table."""
    asked = [int(argument) for argument in sys.argv[1:]]
    print(f"{'lattice':<20}{'openings':>9}{'floor ms':>10}{'to text ms':>12}{'ratio':>7}{'exponent':>10}")
    for lattice in LAID + GROWN:
        before: tuple[int, float] | None = None
        for wanted in asked or ((1000, 10_000, 100_000) if lattice in LAID else (1000, 10_000)):
            openings, least, taken = measure(lattice, wanted)
            grown = (
                ""
                if before is None
                else f"{math.log(taken / before[1]) / math.log(openings / before[0]):.2f}"
            )
            print(
                f"{lattice.__name__:<20}{openings:>9}{least * 1e3:>10.1f}{taken * 1e3:>12.1f}"
                f"{taken / least:>7.2f}{grown:>10}",
                flush=True,
            )
            before = (openings, taken)


if __name__ == "__main__":
    main()
