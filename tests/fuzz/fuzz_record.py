"""What was tried, kept in one file of lines, so that the next run goes on after the last seed; and its table."""

from __future__ import annotations

import collections
import contextlib
import json
import re
import subprocess
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path

from fuzz_running import Ended

SLOWEST = 10
_CAUSES = 25


@dataclass(frozen=True)
class Row:
    """One input: what became of it, and with what it was tried."""

    group: str
    seed: int
    outcome: str
    """"done", "refused", "does not hold" or "wrong"."""
    seconds: float
    megabytes: float
    told: str
    """What was wrong; or the cause of a refusal; or what there was to do."""
    where: str
    revision: str


class Record:
    """All rows of all runs, the last of each seed."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.file = folder / "record.jsonl"
        self.revision = _revision()

    def rows(self) -> list[Row]:
        """Return the last row of every seed."""
        lines = self.file.read_text(encoding="utf-8").splitlines() if self.file.exists() else []
        last = {}
        for line in lines:
            with contextlib.suppress(json.JSONDecodeError):  # half a line, of a run that was killed
                row = Row(**json.loads(line))
                last[row.group, row.seed] = row
        return list(last.values())

    def add(self, group: str, seed: int, ended: Ended, wrong: str) -> Row:
        """Keep one row; several processes may add at once, a line being written in one piece."""
        outcome = "wrong" if wrong else {0: "done", 3: "does not hold"}.get(ended.status or 0, "refused")
        told = wrong or (cause(ended.said) if outcome != "done" else _work(ended.said))
        row = Row(group, seed, outcome, round(ended.seconds, 2), round(ended.megabytes), told, ended.where, self.revision)  # fmt: skip
        with self.file.open("a", encoding="utf-8") as out:
            out.write(json.dumps(asdict(row), ensure_ascii=False) + "\n")
        return row


def _revision() -> str:
    asked = ["git", "-C", str(Path(__file__).parent), "describe", "--always", "--dirty"]
    return subprocess.run(asked, capture_output=True, text=True, check=False).stdout.strip()


def cause(said: str) -> str:
    """Return a refusal without its names and numbers."""
    told = [line for line in said.splitlines() if line.startswith(("canivet:", "Error:", "a:", "  "))]
    told = [line.strip() for line in told if not line.endswith(":")]
    line = re.sub(r"'[^']*'|\"[^\"]*\"|/\S+|[-\d.,]*\d[-\d.,]*", "…", told[0] if told else "no word")
    return re.sub(r"…[ ,;…]*…", "…", line)[:110].strip()


def _work(said: str) -> str:
    """Return how much was drawn and mended."""
    drawn = re.findall(r"openings \d+|to cut \d+ mm|mended where[^\n]*|\d+ parts joined[^\n]*|\d+ single holds|killed [^\n]*", said)  # fmt: skip
    return ", ".join(drawn)[:200]


def print_table(rows: Iterable[Row], groups: Iterable[str], revision: str) -> None:
    """Print the table, what designs came to, the slowest with why, and the refusals by cause."""
    rows = list(rows)
    now = sum(row.revision == revision for row in rows)
    print(f"{len(rows):,} inputs so far, {now:,} of them tried with the sources as they are ({revision})")
    print(
        f"{'group':18}{'tried':>8}{'right':>8}{'wrong':>7}{'slowest, s':>12}{'peak, MB':>10}{'an hour':>10}"
    )
    for group in groups:
        of = [row for row in rows if row.group == group]
        if not of:
            continue
        wrong = sum(row.outcome == "wrong" for row in of)
        hour = 3600 * len(of) / max(sum(row.seconds for row in of), 0.01)
        print(
            f"{group:18}{len(of):8,}{len(of) - wrong:8,}{wrong:7}{max(row.seconds for row in of):12.1f}"
            f"{max(row.megabytes for row in of):10.0f}{hour:10,.0f}"
        )
    print("seconds are of processor, 'an hour' is of one core")
    _outcomes([row for row in rows if row.group in ("designs", "plates")])
    _slowest(rows)
    _causes(rows)


def _outcomes(rows: list[Row]) -> None:
    counts = collections.Counter(row.outcome for row in rows)
    if rows:
        print(
            f"designs and plates: {counts['done']:,} drawn and audited, {counts['refused']:,} refused, "
            f"{counts['does not hold']:,} told that they do not hold, {counts['wrong']:,} wrong"
        )


def _slowest(rows: list[Row]) -> None:
    print("slowest:")
    for row in sorted(rows, key=lambda row: -row.seconds)[:SLOWEST]:
        why = f"{row.where}: {row.told}" if row.where else row.told
        print(f"{row.seconds:6.1f} s{row.megabytes:6.0f} MB  {row.group} {row.seed}, {row.outcome}: {why}")


def _causes(rows: list[Row]) -> None:
    for outcome in ("refused", "does not hold"):
        counts = collections.Counter((row.group, row.told) for row in rows if row.outcome == outcome)
        if counts:
            print(f"{counts.total():,} {outcome}, by cause, the commonest of {len(counts):,}:")
        for (group, told), count in counts.most_common(_CAUSES):
            print(f"{count:7,}  {group}: {told}")
