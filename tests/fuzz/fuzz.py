"""Hostile and clumsy inputs by the thousand: ``python tests/fuzz/fuzz.py [--minutes 5] [--group NAME] [--seed N]``.

Each input is made from a seed of its own. What went wrong is kept with its seed and its files in a folder, which
is named at the end; ``--group NAME --seed N --count 1`` makes it again.
"""

from __future__ import annotations

import argparse
import collections
import random
import re
import shutil
import sys
import tempfile
import time
from pathlib import Path

from fuzz_groups import GROUPS
from fuzz_running import Ended

SLOWEST = 10

Row = tuple[float, float, str, int, str]
"""Seconds, megabytes, what was wrong, the seed, and what there was to do."""


def main() -> int:
    """Try inputs of every group in turn until the time is over; print the table; say whether all were right."""
    asked = _asked()
    names = [asked.group] if asked.group else list(GROUPS)
    end, seed = time.monotonic() + 60 * asked.minutes, asked.seed
    tried: dict[str, list[Row]] = {name: [] for name in names}
    causes: collections.Counter[str] = collections.Counter()
    kept = Path(tempfile.mkdtemp(prefix="canivet-fuzz-"))
    while time.monotonic() < end and (not asked.count or seed < asked.seed + asked.count):
        for name in names:
            folder = kept / f"{name.replace(' ', '-')}-{seed}"
            folder.mkdir()
            ended, wrong = GROUPS[name](random.Random(f"{name} {seed}"), folder)
            tried[name].append((ended.seconds, ended.megabytes, wrong, seed, _work(ended)))
            if wrong:
                (folder / "wrong.txt").write_text(f"{wrong}\n\n{ended.said}", encoding="utf-8")
                print(f"{name}, seed {seed}: {wrong}", flush=True)
            else:
                shutil.rmtree(folder)
            if ended.status:
                causes[f"{name}: {_cause(ended.said)}"] += 1
        seed += 1
    _table(tried)
    _refusals(causes)
    wrongs = sum(bool(wrong) for rows in tried.values() for _, _, wrong, *_ in rows)
    if wrongs:
        print(f"what went wrong is kept in {kept}")
    else:
        shutil.rmtree(kept)
    return int(bool(wrongs))


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="fuzz.py")
    parser.add_argument("--minutes", type=float, default=5.0, help="how long, 5 by default; hours if asked")
    parser.add_argument("--group", choices=GROUPS)
    parser.add_argument("--seed", type=int, default=0, help="the first; they go up by one")
    parser.add_argument("--count", type=int, default=0, help="how many of each group at most")
    return parser.parse_args()


def _cause(said: str) -> str:
    """Return a refusal without its names and numbers."""
    lines = said.splitlines()
    starts = ("canivet:", "Error:", "a:", "  ")
    told = [line for line in lines if line.startswith(starts) and not line.endswith("fault:")]
    line = next((line.strip() for line in told if not line.endswith("faults:")), "no word")
    return re.sub(r"'[^']*'|[-\d.,]+", "…", line)[:90]


def _work(ended: Ended) -> str:
    """Return what took the time: how much was drawn and mended, or what it came to be refused for."""
    if ended.status is None:
        return "stopped"
    drawn = re.findall(r"openings \d+|to cut \d+ mm|mended where[^\n]*|\d+ single holds", ended.said)
    return ", ".join(drawn) if drawn else _cause(ended.said)


def _table(tried: dict[str, list[Row]]) -> None:
    print(f"{'group':18}{'tried':>7}{'right':>7}{'wrong':>7}{'slowest, s':>12}{'peak, MB':>10}")
    for name, rows in tried.items():
        wrong = sum(bool(row[2]) for row in rows)
        slowest, peak = (max((row[k] for row in rows), default=0.0) for k in (0, 1))
        print(f"{name:18}{len(rows):7}{len(rows) - wrong:7}{wrong:7}{slowest:12.1f}{peak:10.0f}")
    every = sorted(((*row, name) for name, rows in tried.items() for row in rows), reverse=True)[:SLOWEST]
    print("slowest:")
    for seconds, megabytes, _, seed, work, name in every:
        print(f"{seconds:6.1f} s{megabytes:6.0f} MB  {name} {seed}: {work}")


def _refusals(causes: collections.Counter[str]) -> None:
    print(f"{sum(causes.values())} refused, by cause, the commonest:")
    for cause, count in causes.most_common(15):
        print(f"{count:6}  {cause}")


if __name__ == "__main__":
    sys.exit(main())
