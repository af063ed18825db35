"""The last door: what nobody foresaw is said in a sentence, and no interrupt is lost.

An interrupt that lands while Python clears away an object is swallowed by the interpreter and the work goes
on. It is noticed here and sent again.
"""

from __future__ import annotations

import contextlib
import errno
import signal
import sys
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import click

from canivet import __version__

__all__ = ["Details", "run_at_the_door"]

_AGAIN = 0.02
"""Seconds after which a lost interrupt is sent again."""


class Details:
    """Where the details of what was not foreseen are to be written, if anybody asked."""

    path: Path | None = None


def run_at_the_door(run: Callable[[Details], Any]) -> NoReturn:
    """Run the command line, and end with its status.

    Parameters
    ----------
    run : callable
        Ends with a `SystemExit`, as click does.
    """
    details, lost = Details(), [0]
    try:
        with _interrupts_sent_again(lost):
            run(details)
        status: Any = 0
    except SystemExit as end:
        status = end.code
    except OSError as error:
        status = _cannot_say(error) if error.filename is None else _unforeseen(error, details)
    except Exception as error:  # whatever it is, its user gets a sentence
        status = _unforeseen(error, details)
    if lost[0] and not status:
        _say("stopped.")
        status = 1
    sys.exit(status)


@contextlib.contextmanager
def _interrupts_sent_again(lost: list[int]) -> Iterator[None]:
    """Count interrupts that are swallowed while it lasts, and send each again a moment later."""
    before, can_wait = sys.unraisablehook, hasattr(signal, "setitimer")

    def noticed(found: Any) -> None:
        if not issubclass(found.exc_type, KeyboardInterrupt):
            before(found)
            return
        lost[0] += 1
        if can_wait:
            signal.setitimer(signal.ITIMER_REAL, _AGAIN)

    def interrupt(*_: object) -> NoReturn:
        raise KeyboardInterrupt

    earlier = signal.signal(signal.SIGALRM, interrupt) if can_wait else None
    sys.unraisablehook = noticed
    try:
        yield
    finally:
        sys.unraisablehook = before
        if can_wait:
            signal.setitimer(signal.ITIMER_REAL, 0)
            signal.signal(signal.SIGALRM, earlier)


def _cannot_say(error: OSError) -> int:
    """Say that stdout takes no more; where stderr does not either, only the status says it."""
    full = error.errno in (errno.ENOSPC, errno.EDQUOT)
    why = "the disk is full" if full else (error.strerror or "the system refuses it").lower()
    _say(f"cannot write what there is to say: {why}. Send it elsewhere.")
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            stream.close()  # or Python tries once more as it ends, and fails with a traceback
    return 1


def _unforeseen(error: Exception, details: Details) -> int:
    step = traceback.extract_tb(error.__traceback__)[-1]
    said = " ".join(str(error).split())[:120]
    _say(
        f"this went wrong, and canivet did not foresee it: {type(error).__name__}"
        + (f", {said}" if said else "")
        + f" ({Path(step.filename).name}, line {step.lineno}; canivet {__version__}). "
        "Nothing half-written was left. Please report it with the command and the files it was given."
    )
    if details.path is None:
        _say("canivet --details FILE and the same command write into FILE what a report needs.")
        return 1
    try:
        told = f"canivet {__version__}, Python {sys.version}\n{' '.join(sys.argv)}\n\n"
        details.path.write_text(told + "".join(traceback.format_exception(error)), encoding="utf-8")
        _say(f"{details.path}: what a report needs.")
    except OSError as fault:
        _say(f"cannot write {details.path}: {fault.strerror}.")
    return 1


def _say(text: str) -> None:
    with contextlib.suppress(OSError, ValueError):
        click.echo(f"canivet: {text}", err=True)
