"""How long a lattice takes against the least it could take, as ratios within one run.

The floor is what no drawing can do without: the cells as one array, one polygon with holes, one formatted
string. Run it by hand: ``python tests/benchmarks/bench_lattice.py``. Nothing here is a timed test.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.motifs.lattices.bars import diamond_lattice
from canivet.motifs.lattices.courses import hexagon_lattice
from canivet.motifs.outlines import oval

ROUNDS = 7
PITCH, STRAP, TILT = 6.0, 1.2, 58.0


def path_text(paper: Polygon) -> str:
    """Write the paper as one path's data."""
    rings = np.concatenate([[shapely.get_exterior_ring(paper)], shapely.get_rings(paper)[1:]])
    counts = shapely.get_num_coordinates(rings) - 1
    points = shapely.get_coordinates(rings)
    keep = np.ones(len(points), dtype=bool)
    keep[np.cumsum(counts + 1) - 1] = False
    shape_of = {int(n): "M" + "L".join(["%.3f %.3f"] * int(n)) + "Z" for n in np.unique(counts)}
    return "".join([shape_of[n] for n in counts.tolist()]) % tuple(points[keep].ravel().tolist())


def floor(within: Polygon, openings: int, sides: int) -> str:
    """Lay that many cells of so many sides on a grid, make one polygon of them and write it."""
    wide, high = PITCH / math.sin(math.radians(TILT)), PITCH / math.cos(math.radians(TILT))
    side = math.ceil(math.sqrt(openings))
    row, column = np.divmod(np.arange(openings), side)
    turn = np.arange(sides) * 2 * np.pi / sides
    cell = np.column_stack([wide * np.cos(turn), high * np.sin(turn)]) / 2 * (1 - STRAP / PITCH)
    corners = np.stack([column * wide, row * high], axis=1)[:, None] + cell
    return path_text(shapely.polygons(within.exterior, holes=shapely.linearrings(corners)))


def oval_for(openings: int) -> Polygon:
    """Return an oval, two wide to three high, that takes about that many cells."""
    area = openings * PITCH**2 / math.sin(math.radians(2 * TILT))
    width = math.sqrt(area * 4 / math.pi / 1.5)
    return oval(width=width, height=1.5 * width)


def best(work: Callable[[], object]) -> float:
    """Return the shortest of a few runs, in seconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the table."""
    print(f"{'lattice':<18}{'openings':>9}{'floor ms':>10}{'drawn ms':>10}{'to text ms':>12}{'ratio':>7}")
    taken: dict[str, list[tuple[int, float]]] = {}
    for wanted in (10_000, 100_000):
        within = oval_for(wanted)
        for lattice, sides in ((diamond_lattice, 4), (hexagon_lattice, 6)):
            options = {"within": within, "rim": 3.0, "strap": STRAP, "pitch": PITCH}
            openings = len(lattice(**options).interiors)
            least = best(lambda within=within, n=openings, sides=sides: floor(within, n, sides))
            drawn = best(lambda lattice=lattice, options=options: lattice(**options))
            text = best(lambda lattice=lattice, options=options: path_text(lattice(**options)))
            name = lattice.__name__
            taken.setdefault(name, []).append((openings, text))
            print(
                f"{name:<18}{openings:>9}{least * 1e3:>10.1f}{drawn * 1e3:>10.1f}{text * 1e3:>12.1f}"
                f"{text / least:>7.2f}"
            )
    for name, [(few, short), (many, long)] in taken.items():
        print(
            f"{name}: time grows as openings to the power {math.log(long / short) / math.log(many / few):.2f}"
        )


if __name__ == "__main__":
    main()
