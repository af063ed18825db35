"""Work done in a process of its own: how it ended, how much processor it took, how much memory it held.

The process is a fork of this one, which has loaded all there is to load, so that one more input costs what it
takes and no start of Python. Nothing it does, leaves open or allocates outlives it.
"""

from __future__ import annotations

import collections
import os
import resource
import signal
import sys
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

MOST_SECONDS = 60
MOST_MB = 2048
_LIMIT = 4 << 30
"""Bytes of address space: past it an allocation fails, instead of the whole computer."""
_STANDSTILL = 600.0
"""Seconds by the clock, for what waits and works not at all; far longer, as the machine may have other things to do."""
_LOOK = 1.0
"""Seconds of processor from one look at what is being done to the next."""
_CALLS = 3
"""Functions told of what is being done."""


@dataclass(frozen=True)
class Ended:
    """How a piece of work ended; `status` is None where it had to be stopped, `where` what it did most of the time."""

    status: int | None
    seconds: float
    megabytes: float
    said: str
    where: str = ""

    def fault(self, accepted: tuple[int, ...] = (0, 1, 2, 3)) -> str:
        """Return what is wrong with how it ended, or nothing."""
        if self.status is None:
            return (
                f"stopped after {self.seconds:.0f} s of processor, in {self.where or 'no function of ours'}"
            )
        if self.megabytes > MOST_MB:
            return f"{self.megabytes:.0f} MB"
        if "Traceback" in self.said or "canivet did not foresee it" in self.said:
            lines = [line for line in self.said.splitlines() if "foresee" in line]
            return "traceback: " + (lines or self.said.strip().splitlines())[-1][:200]
        return "" if self.status in accepted else f"status {self.status}"


def run(
    args: list[str],
    cwd: Path,
    *,
    fresh: bool = False,
    after: float | None = None,
    then: Callable[[int], None] | None = None,
    largest_file: int | None = None,
) -> Ended:
    """Run canivet with these arguments, as its user would.

    Parameters
    ----------
    args : list of str
    cwd : Path
    fresh : bool
        Start a new Python, where how it starts and stops is what is tried.
    after, then
        As for `apart`.
    largest_file : int, optional
        Bytes past which a write fails, as on a full disk.
    """
    command = [sys.executable, "-m", "canivet.cli", *args]
    start = _start_anew if fresh else _start_here
    return apart(lambda: start(command), cwd, after=after, then=then, largest_file=largest_file)


def _start_anew(command: list[str]) -> int:
    signal.setitimer(signal.ITIMER_PROF, 0)  # it would outlive this program, and its handler would not
    os.execv(command[0], command)


def _start_here(command: list[str]) -> int:
    from canivet.cli.main import main

    sys.argv = command[2:]
    try:
        main()
    except SystemExit as end:
        return int(end.code or 0)
    return 0


def apart(
    work: Callable[[], int],
    cwd: Path,
    *,
    after: float | None = None,
    then: Callable[[int], None] | None = None,
    largest_file: int | None = None,
) -> Ended:
    """Do something in a fork of this process, within bounds, and say how it ended.

    Parameters
    ----------
    work : callable
        Returns the status; what it prints is kept.
    cwd : Path
    after : float, optional
        Seconds by the clock after which `then` is called with the process's id, once.
    then : callable, optional
    largest_file : int, optional
        As for `run`.
    """
    said, where = cwd / ".said", cwd / ".where"
    start, pid = time.monotonic(), os.fork()
    if not pid:
        _in_the_child(work, cwd, largest_file)
    ended, status, usage = 0, 0, None
    stopped = False
    while not ended:
        ended, status, usage = os.wait4(pid, os.WNOHANG)
        if ended:
            break
        passed = time.monotonic() - start
        if after is not None and then is not None and passed > after:
            then(pid)
            after = None
        if passed > _STANDSTILL and not stopped:
            stopped = True
            _stop(pid)
        time.sleep(min(0.01, passed / 10))
    _stop(pid)  # whatever it started
    text = said.read_bytes().decode(errors="replace") if said.exists() else ""
    mostly = _mostly(where.read_text(errors="replace")) if where.exists() else ""
    for file in (said, where):
        file.unlink(missing_ok=True)
    assert usage is not None
    code = os.waitstatus_to_exitcode(status)
    overrun = stopped or code == -signal.SIGXCPU
    return Ended(
        None if overrun else code, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024, text, mostly
    )


def _stop(pid: int) -> None:
    """Kill a process outright, with all it started; they are a group of their own."""
    try:
        os.killpg(pid, signal.SIGKILL)
    except (ProcessLookupError, PermissionError):
        return


def _in_the_child(work: Callable[[], int], cwd: Path, largest_file: int | None) -> None:
    """Do the work and end the process, which is the forked one."""
    status = 99
    try:
        os.setsid()
        os.chdir(cwd)
        out = os.open(".said", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
        nothing = os.open(os.devnull, os.O_RDONLY)
        os.dup2(nothing, 0)
        os.dup2(out, 1)
        os.dup2(out, 2)
        sys.stdout, sys.stderr = (
            os.fdopen(os.dup(k), "w", encoding="utf-8", errors="replace") for k in (1, 2)
        )
        resource.setrlimit(resource.RLIMIT_AS, (_LIMIT, _LIMIT))
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS + 5))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        if largest_file is None:
            _look_now_and_then()
        else:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))
        status = work()
    except BaseException:
        traceback.print_exc()
    finally:
        for stream in (sys.stdout, sys.stderr):
            try:
                stream.flush()
            except (OSError, ValueError):
                status = status or 1
        os._exit(status & 255)


def _look_now_and_then() -> None:
    """Write into a file, every so many seconds of processor, which functions of ours are at work, outermost first."""
    out = Path(".where").open("w", encoding="utf-8", buffering=1)  # noqa: SIM115 - open as long as the process

    def look(_: int, frame: FrameType | None) -> None:
        names: list[str] = []
        while frame is not None and len(names) < _CALLS:
            file = Path(frame.f_code.co_filename)
            if "canivet" in file.parts and "cli" not in file.parts:
                names.append(f"{file.stem}.{frame.f_code.co_name}")
            frame = frame.f_back
        if names:
            print(" > ".join(reversed(names)), file=out)

    signal.signal(signal.SIGPROF, look)
    signal.setitimer(signal.ITIMER_PROF, _LOOK, _LOOK)


def _mostly(looks: str) -> str:
    """Return what was at work most often when it was looked."""
    seen = collections.Counter(looks.splitlines())
    return seen.most_common(1)[0][0] if seen else ""
