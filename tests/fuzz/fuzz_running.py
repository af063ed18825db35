"""A command run from outside: how it ended, how long it took, how much memory it held."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

MOST_SECONDS = 60.0
MOST_MB = 2048
_LIMIT = 4 << 30
"""Bytes of address space: past it an allocation fails, instead of the whole computer."""


@dataclass(frozen=True)
class Ended:
    """How a command ended; `status` is None where it had to be stopped."""

    status: int | None
    seconds: float
    megabytes: float
    said: str

    def fault(self, accepted: tuple[int, ...] = (0, 1, 2, 3)) -> str:
        """Return what is wrong with how it ended, or nothing."""
        if self.status is None:
            return f"still running after {MOST_SECONDS:g} s"
        if self.megabytes > MOST_MB:
            return f"{self.megabytes:.0f} MB"
        if "Traceback" in self.said or "canivet did not foresee it" in self.said:
            lines = [line for line in self.said.splitlines() if "foresee" in line]
            return "traceback: " + (lines or self.said.strip().splitlines())[-1][:200]
        return "" if self.status in accepted else f"status {self.status}"


def run(
    args: list[str], cwd: Path, *, kill_after: float | None = None, largest_file: int | None = None
) -> Ended:
    """Run canivet with these arguments, as its user would.

    Parameters
    ----------
    args : list of str
    cwd : Path
    kill_after : float, optional
        Seconds after which it is killed outright, with all the processes it started.
    largest_file : int, optional
        Bytes past which a write fails, as on a full disk.
    """

    def bounds() -> None:
        os.setsid()
        resource.setrlimit(resource.RLIMIT_AS, (_LIMIT, _LIMIT))
        if largest_file is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))

    start, said = time.monotonic(), cwd / ".said"
    with said.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "canivet.cli", *args], cwd=cwd, stdout=out, stderr=out,
            stdin=subprocess.DEVNULL, preexec_fn=bounds,
        )  # fmt: skip
    most = MOST_SECONDS if kill_after is None else kill_after
    ended, status, usage = 0, 0, None
    while not ended:
        ended, status, usage = os.wait4(process.pid, os.WNOHANG)
        if not ended and time.monotonic() - start > most:
            os.killpg(process.pid, signal.SIGKILL)
            ended, status, usage = os.wait4(process.pid, 0)
            status = -1
        elif not ended:
            time.sleep(0.01)
    process.returncode = 0
    text = said.read_bytes().decode(errors="replace")
    said.unlink()
    assert usage is not None
    code = None if status == -1 else os.waitstatus_to_exitcode(status)
    return Ended(code, time.monotonic() - start, usage.ru_maxrss / 1024, text)
