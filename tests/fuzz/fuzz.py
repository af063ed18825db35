"""Hostile and clumsy inputs by the thousand: ``python tests/fuzz/fuzz.py [--minutes 5] [--workers 1]``.

Each input is made from a seed of its own. What was tried is kept in a record, ``.fuzz`` unless ``--record`` names
another folder: the next run tries again what went wrong, then goes on after the last seed. What went wrong lies
there with its files; ``--group NAME --seed N`` makes one input again, ``--table`` prints the table and tries nothing.
"""

from __future__ import annotations

import argparse
import importlib
import os
import pkgutil
import random
import shutil
import sys
import time
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

for _threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")  # before numpy is loaded: a process that is forked has one thread

from fuzz_designs import designs, plates  # noqa: E402
from fuzz_groups import GROUPS, Try  # noqa: E402
from fuzz_record import Record, Row, print_table  # noqa: E402

import canivet  # noqa: E402
from canivet.motifs.registry import catalogue  # noqa: E402

EVERY: dict[str, tuple[Try, int]] = {
    **GROUPS,
    "designs": (designs, 16),
    "plates": (plates, 1),
}
"""Every group, and how many of it are tried in a round."""


def main() -> int:
    """Try inputs of every group until the time is over; print the table; say whether all were right."""
    asked = _asked()
    record = Record(asked.record)
    names = [asked.group] if asked.group else list(EVERY)
    if asked.seed is not None:
        row = _try(record, names[0], asked.seed)
        print(f"{row.outcome}, {row.seconds:.1f} s, {row.megabytes:.0f} MB: {row.told}")
        return int(row.outcome == "wrong")
    before = record.rows()
    if not asked.table:
        _load_all()
        _try_all(record, before, names, asked.workers, time.monotonic() + 60 * asked.minutes)
    rows = record.rows()
    print_table(rows, EVERY, record.revision)
    wrong = [row for row in rows if row.outcome == "wrong"]
    for row in wrong:
        print(
            f"wrong: {row.group}, seed {row.seed}: {row.told}; its files are in {_folder(record, row.group, row.seed)}"
        )
    return int(bool(wrong))


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="fuzz.py")
    parser.add_argument("--minutes", type=float, default=5.0, help="how long, 5 by default; hours if asked")
    parser.add_argument("--workers", type=int, default=1, help="how many at once, 1 by default")
    parser.add_argument("--group", choices=EVERY, help="this one only")
    parser.add_argument("--seed", type=int, help="with --group: this input only")
    parser.add_argument("--table", action="store_true", help="print the table of what was tried, and stop")
    parser.add_argument("--record", type=Path, default=Path(__file__).parents[2] / ".fuzz")
    asked = parser.parse_args()
    if asked.seed is not None and not asked.group:
        parser.error("--seed goes with --group")
    return asked


def _load_all() -> None:
    """Load all there is, so that no forked process need load it again."""
    for module in pkgutil.walk_packages(canivet.__path__, "canivet."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    catalogue()


def _try_all(record: Record, before: list[Row], names: list[str], workers: int, end: float) -> None:
    """Go on from where the record ends, in so many processes, until the time is over."""
    again = [(row.group, row.seed) for row in before if row.outcome == "wrong" and row.group in names]
    last = {name: max((row.seed for row in before if row.group == name), default=-1) for name in names}
    hands = []
    for hand in range(workers):
        pid = os.fork()
        if pid:
            hands.append(pid)
            continue
        try:
            for group, seed in chain(again[hand::workers], _onwards(last, hand, workers)):
                if time.monotonic() > end:
                    break
                row = _try(record, group, seed)
                if row.outcome == "wrong":
                    print(f"{group}, seed {seed}: {row.told}", flush=True)
        finally:
            os._exit(0)
    for pid in hands:
        os.waitpid(pid, 0)


def _onwards(last: dict[str, int], hand: int, workers: int) -> Iterator[tuple[str, int]]:
    """Yield groups and seeds, round after round, without end; each process has seeds of its own."""
    seeds = {name: seed + 1 + hand for name, seed in last.items()}
    while True:
        for name in seeds:
            for _ in range(EVERY[name][1]):
                yield name, seeds[name]
                seeds[name] += workers


def _folder(record: Record, group: str, seed: int) -> Path:
    return record.file.parent / f"{group.replace(' ', '-')}-{seed}"


def _try(record: Record, group: str, seed: int) -> Row:
    """Make one input, try it, keep the row; its files stay where it went wrong."""
    folder = _folder(record, group, seed)
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    ended, wrong = EVERY[group][0](random.Random(f"{group} {seed}"), folder)
    row = record.add(group, seed, ended, wrong)
    if wrong:
        (folder / "wrong.txt").write_text(f"{wrong}\n\n{ended.said}", encoding="utf-8")
    else:
        shutil.rmtree(folder)
    return row


if __name__ == "__main__":
    sys.exit(main())
