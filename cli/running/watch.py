"""``canivet make --watch``: the design drawn again whenever it, or a file it names, is saved."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import click

from canivet.cli.words import say
from canivet.errors import CanivetError

__all__ = ["Changes", "watch_design", "woken"]

Changes = Callable[[Iterable[Path]], Iterator[Any]]
"""Given files, waits and yields whenever some of them may have been saved."""

_SETTLED = 300
"""Milliseconds without a further change after which a save is taken to be done: editors write in steps."""

_LOOK_AGAIN = 3000
"""Milliseconds after which the files are looked at in any case: a disk on a network may tell nothing."""


def watch_design(design: Path, draw: Callable[[], None], *, changes: Changes | None = None) -> None:
    """Draw a design, and again at every save of it or of the files it names, until interrupted.

    Parameters
    ----------
    design : Path
        It must be there; what is wrong in it is told, and it is watched on.
    draw : callable
        Draws it. What canivet refuses, and a plate that does not hold, are told and end nothing.
    changes : callable, optional
        How saves are noticed; `woken` if not given. What it yields is only
        taken as a hint: whether a file is another than the one drawn from is looked at.
    """
    notice = changes or woken
    while True:
        files = _files_of(design)
        seen = _state(files)
        _drawn_once(draw)
        say(f"watching {design.name}{_and_others(len(files) - 1)}; Ctrl+C ends it.")
        try:
            if _state(files) == seen and not any(_state(files) != seen for _ in notice(files)):
                return
        except KeyboardInterrupt:
            say("no longer watching.")
            return


def woken(files: Iterable[Path]) -> Iterator[Any]:
    """Yield whenever one of these files was saved, made anew or taken away, and every few seconds besides.

    Their folders are watched, since an editor that saves puts another file in a file's place.
    """
    from watchfiles import watch

    named = {os.path.realpath(file) for file in files}
    folders = {str(Path(name).parent) for name in named if Path(name).parent.is_dir()}
    yield from watch(
        *sorted(folders), recursive=False, debounce=_SETTLED, step=_SETTLED // 3, rust_timeout=_LOOK_AGAIN,
        yield_on_timeout=True, watch_filter=lambda _, path: os.path.realpath(path) in named,
    )  # fmt: skip


def _state(files: Iterable[Path]) -> list[tuple[int, int, int] | None]:
    """Return what tells a file from what it was before: which it is, how long, and when it was written."""
    return [_stamp(file) for file in files]


def _stamp(file: Path) -> tuple[int, int, int] | None:
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_ino, found.st_size, found.st_mtime_ns


def _drawn_once(draw: Callable[[], None]) -> None:
    """Draw it; what goes wrong is told, and keeps nobody from mending it."""
    with click.Context(click.Command("watch"), parent=click.get_current_context(silent=True)):
        try:
            draw()
        except CanivetError as error:
            say(f"canivet: {error.message}")
        except SystemExit:
            pass  # it does not hold, and has been told so


def _files_of(design: Path) -> tuple[Path, ...]:
    """Return what a design is read from; while it cannot be read, what it names, there or not."""
    from canivet.compose.design.loading import load_design, named_files

    try:
        return load_design(design).files
    except CanivetError:
        return (design, *named_files(design))


def _and_others(count: int) -> str:
    return "" if count < 1 else " and 1 more file" if count == 1 else f" and {count} more files"
