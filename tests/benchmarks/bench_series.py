"""What a series costs for each plate, against one plate drawn alone; workers, clusters, memory, and an edit watched.

Every figure is a ratio in one run, beside its budget. What one process does is taken in processor time. Of two
workers it is given in seconds passed, beside what a bare loop in two processes brings on this machine in the same
run, which is all that can be had, and in processor time, which says what two add. Run by hand:
``python tests/benchmarks/bench_series.py``; a number of names behind it makes it shorter or longer, 200 if not
given, and the word ``alone`` behind that leaves the clusters out.
"""

from __future__ import annotations

import itertools
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import joblib
from joblib.externals.loky import get_reusable_executor

from canivet.audit.again import forget_measures
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


@dataclass(frozen=True)
class Spent:
    """Seconds passed and seconds of processor for a plate, planning among them; of planning; MB at the most.

    `own` is the processor time of this process alone, without what it loads before it begins.
    """

    wall: float
    processor: float
    own: float
    planned: float
    memory: float


def timed_series(count: int, how: str) -> Spent:
    """Draw a series in a process of its own: with ``1`` or ``2`` workers, or in a cluster named in `CLUSTERS`."""
    given = [sys.executable, __file__, "series", str(count), how]
    before = os.times()
    said = subprocess.run(given, check=True, capture_output=True, text=True).stdout.split()
    after = os.times()
    processor = sum(after[2:4]) - sum(before[2:4])  # of that process and all that it started and saw end
    whole, own, planned, memory = (float(word) for word in said[-4:])
    return Spent(whole / count, processor / count, own / count, planned, memory)


CLUSTERS = {
    "cluster": {"n_workers": 2, "threads_per_worker": 1},
    "threads": {"n_workers": 1, "threads_per_worker": 8, "processes": False},
}


@contextmanager
def workers_for(how: str) -> Iterator[int]:
    """Set up what plates are drawn in, and yield how many workers to ask for."""
    if how not in CLUSTERS:
        yield int(how)
        get_reusable_executor().shutdown(wait=True)  # so that their processor time is counted
        return
    from distributed import Client, LocalCluster

    with (
        LocalCluster(**CLUSTERS[how], dashboard_address=None) as cluster,
        Client(cluster),
        joblib.parallel_config(backend="dask"),
    ):
        yield -1


def run_series(count: int, how: str) -> None:
    """Draw a series and print seconds in all, of this process, and of planning, and the most memory, MB."""
    with tempfile.TemporaryDirectory() as name, workers_for(how) as workers:
        folder = Path(name)
        design = put(folder, count)
        (folder / "out").mkdir()
        start, busy = time.perf_counter(), time.process_time()
        jobs = plan_jobs(load_design(design))
        planned = time.perf_counter() - start
        result = write_series(jobs, folder / "out", title="Ex libris", workers=workers)
        assert all(plate.holds for plate in result.plates)
        whole, own = time.perf_counter() - start, time.process_time() - busy
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(whole, own, planned, most)


def timed_alone(tries: int = 3) -> float:
    """Return processor seconds of one plate of the series drawn alone, with nothing kept from before."""
    with tempfile.TemporaryDirectory() as name:
        (job, *_) = plan_jobs(load_design(put(Path(name), 2)))
        make_plate(job, name)  # what is loaded once is no part of it
        spent = []
        for _ in range(tries):
            start = time.process_time()
            (Path(name) / "out").mkdir(exist_ok=True)
            _forget()
            write_series([job], Path(name) / "out", title="Alone", workers=1)
            spent.append(time.process_time() - start)
            for made in (Path(name) / "out").rglob("*"):
                if made.is_file():
                    made.unlink()
    return sorted(spent)[tries // 2]


_LOOP = """
import time
start = time.perf_counter()
total = 0
for k in range(10_000_000):
    total += k * k
print(time.perf_counter() - start)
"""


def loops_per_second(processes: int) -> float:
    """Return how many bare loops a second are done in so many processes at a time."""
    started = [
        subprocess.Popen([sys.executable, "-c", _LOOP], stdout=subprocess.PIPE, text=True)
        for _ in range(processes)
    ]
    return processes / max(float(one.communicate()[0]) for one in started)


def bare_gain(tries: int = 3) -> float:
    """Return what two processes gain over one in a bare loop: what this machine has to give just now."""
    gains = sorted(loops_per_second(2) / loops_per_second(1) for _ in range(tries))
    return gains[tries // 2]


@dataclass(frozen=True)
class Watched:
    """Seconds of processor of a plate's first drawing, and of the next, after its silhouette was moved.

    Of the next, `shown` is until its quick picture is there, `again` until all its files are.
    """

    first: float
    shown: float
    again: float


def timed_watch() -> Watched:
    """Draw a plate, move its silhouette, and draw it again as ``make --watch`` does, a quick picture first."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        put(folder, 1)

        def drawn(offset: float, quick: bool) -> tuple[float, float]:
            text = DESIGN.format(height=80, name="Ada Wren")
            text = text.replace('anchor = "foot"', f'anchor = "foot"\noffset = ["{offset} mm", "0 mm"]')
            (folder / "plate.toml").write_text(text, encoding="utf-8")
            start = time.process_time()
            shown: list[float] = []
            (job,) = plan_jobs(load_design(folder / "plate.toml"))
            tell = (lambda _: shown.append(time.process_time() - start)) if quick else None
            assert make_plate(job, folder, tell_quick=tell).holds
            return (*shown, 0.0)[0], time.process_time() - start

        drawn(0, quick=True)  # what is loaded once is no part of it
        _forget()
        _, first = drawn(0, quick=False)
        return Watched(first, *drawn(1.5, quick=True))


def _forget() -> None:
    """Forget all that is kept between plates."""
    from canivet.export import _page_content

    clear_stages()
    forget_measures()
    for kept in (_page_content._drawn, _page_content._deflated_once):
        kept.cache_clear()


def main(count: int, *, clusters: bool) -> None:
    alone = timed_alone()
    gain = bare_gain()
    one, two = timed_series(count, "1"), timed_series(count, "2")
    gain = (gain + bare_gain()) / 2
    few = max(4, count // 10)
    small = timed_series(few, "1")
    spread = {how: timed_series(count, how) for how in CLUSTERS} if clusters else {}
    watched = sorted((timed_watch() for _ in range(3)), key=lambda one: one.again / one.first)[1]
    print(f"a plate alone: {alone:.2f} s; names measured for a series of {count}: {one.planned:.2f} s")
    print(
        f"load of the machine, over the last quarter of an hour: {os.getloadavg()[2]:.1f} on {os.cpu_count()} cores"
    )
    print("what                                              stands at  budget")
    for what, ratio, budget in (
        (f"series of {count}, a plate of it / one drawn alone", one.own / alone, "0.20"),
        ("one worker / two, a plate", one.wall / two.wall, "1.80"),
        ("a bare loop in two processes / in one", gain, ""),
        ("the same in processor time", one.processor / two.processor, "0.95"),
        *(
            (f"Dask, {how} / two workers, a plate, processor time", spent.processor / two.processor, "1.00")
            for how, spent in spread.items()
        ),
        (f"memory of {count} plates / of {few}", one.memory / small.memory, "1.00"),
        ("watched, a silhouette moved: picture shown / first", watched.shown / watched.first, ""),
        ("watched, the same: all files / first drawing", watched.again / watched.first, "0.25"),
    ):
        print(f"{what:50s} {ratio:8.2f}  {budget}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["series"]:
        run_series(int(sys.argv[2]), sys.argv[3])
    else:
        with_clusters = bool(find_spec("distributed")) and "alone" not in sys.argv[2:]
        main(int(sys.argv[1]) if sys.argv[1:] else 200, clusters=with_clusters)
