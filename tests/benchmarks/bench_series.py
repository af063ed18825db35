"""What a series costs for each plate, against one plate drawn alone; two workers, memory, and an edit watched.

Every figure is a ratio in one run, beside its budget. Run by hand: ``python tests/benchmarks/bench_series.py``;
a number of names behind it makes it shorter or longer, 200 if not given.
"""

from __future__ import annotations

import itertools
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from canivet.compose.design.loading import load_design
from canivet.compose.series.jobs import plan_jobs
from canivet.compose.stages import clear_stages
from canivet.export.plates import make_plate
from canivet.export.series.writing import write_series

HERON = Path(__file__).parents[2] / "gallery" / "saltmere" / "heron.svg"
DESIGN = """
title = "Ex libris {name}"
size = "4x6 in"
frame = "arched-window"
[[silhouette]]
file = "heron.svg"
height = "{height}%"
anchor = "foot"
[[lettering]]
text = "{name}"
panel = "name"
"""
FIRST = (
    "Ada Bran Cleo Dora Edda Finn Greta Hugo Ida Jonas Kaia Lene Milo Nora Otto Petra Quinn Rosa Sven Tilda"
)
LAST = (
    "Aulnay Mohr Núñez Groß Sedge Reed Brook Marsh Alder Heron Willow Thorne Lark Finch Teal Wren Rook Dunlin"
)


def put(folder: Path, count: int) -> Path:
    """Write a design of a series with invented names."""
    (folder / "heron.svg").write_bytes(HERON.read_bytes())
    pairs = [" ".join(pair) for pair in itertools.product(FIRST.split(), LAST.split())]
    names = [f"{pairs[k % len(pairs)]}" for k in range(count)]
    (folder / "names.csv").write_text("\n".join(["name", *names]), encoding="utf-8")
    design = folder / "plate.toml"
    text = DESIGN.format(height=80, name="{name}")
    design.write_text(text + '[series]\nlist = "names.csv"\n', encoding="utf-8")
    return design


def timed_series(count: int, workers: int) -> tuple[float, float, float]:
    """Return seconds a plate, planning among them, seconds of planning, and MB at the most, in a process of
    its own."""
    given = [sys.executable, __file__, "series", str(count), str(workers)]
    said = subprocess.run(given, check=True, capture_output=True, text=True).stdout.split()
    whole, planned, memory = (float(word) for word in said[-3:])
    return whole / count, planned, memory


def run_series(count: int, workers: int) -> None:
    """Draw a series and print seconds in all, seconds of planning, and the most memory, MB."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        design = put(folder, count)
        (folder / "out").mkdir()
        start = time.perf_counter()
        jobs = plan_jobs(load_design(design))
        planned = time.perf_counter() - start
        result = write_series(jobs, folder / "out", title="Ex libris", workers=workers)
        assert all(plate.holds for plate in result.plates)
        whole = time.perf_counter() - start
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(whole, planned, most)


def timed_alone(tries: int = 3) -> float:
    """Return seconds of one plate of the series drawn alone, with nothing kept from before."""
    with tempfile.TemporaryDirectory() as name:
        (job, *_) = plan_jobs(load_design(put(Path(name), 2)))
        make_plate(job, name)  # what is loaded once is no part of it
        spent = []
        for _ in range(tries):
            start = time.perf_counter()
            (Path(name) / "out").mkdir(exist_ok=True)
            _forget()
            write_series([job], Path(name) / "out", title="Alone", workers=1)
            spent.append(time.perf_counter() - start)
            for made in (Path(name) / "out").rglob("*"):
                if made.is_file():
                    made.unlink()
    return min(spent)


def timed_watch() -> tuple[float, float]:
    """Return seconds of a plate's first drawing, and of the next after its silhouette was moved."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        put(folder, 1)
        spent = []
        for height, offset in ((80, 0), (80, 1.5)):
            text = DESIGN.format(height=height, name="Ada Wren")
            text = text.replace('anchor = "foot"', f'anchor = "foot"\noffset = ["{offset} mm", "0 mm"]')
            (folder / "plate.toml").write_text(text, encoding="utf-8")
            (job,) = plan_jobs(load_design(folder / "plate.toml"))
            if not spent:
                make_plate(job, folder)
                _forget()
            start = time.perf_counter()
            assert make_plate(job, folder).holds
            spent.append(time.perf_counter() - start)
    return spent[0], spent[1]


def _forget() -> None:
    """Forget all that is kept between plates."""
    from canivet.export import paths, pdf

    clear_stages()
    for kept in (paths._thinned, paths._largest_disc, pdf._drawn):
        kept.cache_clear()


def main(count: int) -> None:
    alone = timed_alone()
    each, planned, _ = timed_series(count, 1)
    two, *_ = timed_series(count, 2)
    *_, small = timed_series(max(4, count // 10), 1)
    *_, large = timed_series(count, 1)
    first, again = timed_watch()
    print(f"a plate alone: {alone:.2f} s; names measured for a series of {count}: {planned:.2f} s")
    print("what                                              stands at  budget")
    for what, ratio, budget in (
        (f"series of {count}, a plate of it / one drawn alone", each / alone, "0.20"),
        ("one worker / two, a plate", each / two, "1.80"),
        (f"memory of {count} plates / of {max(4, count // 10)}", large / small, "1.00"),
        ("watched, after a silhouette moved / first drawing", again / first, "0.25"),
    ):
        print(f"{what:50s} {ratio:8.2f}  {budget}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["series"]:
        run_series(int(sys.argv[2]), int(sys.argv[3]))
    else:
        main(int(sys.argv[1]) if sys.argv[1:] else 200)
