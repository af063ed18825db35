"""Files that were read are kept: nothing is written over them, and none of them is taken away.

A file is known by what it is on the disk, not by what it is called: a link to a drawing, or another spelling
of its path, is that drawing.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from .errors import CannotWrite
from .sources import shown_path

__all__ = ["is_kept", "keeping", "require_not_kept"]

_Identity = tuple[int, int]

_KEPT: ContextVar[Mapping[_Identity, str]] = ContextVar("kept", default={})  # noqa: B039 - never written to


@contextmanager
def keeping(sources: Iterable[str | os.PathLike[str]]) -> Iterator[None]:
    """While in it, refuse to write over any of these files, or over one kept before.

    Parameters
    ----------
    sources : iterable of path-like
        What was or will be read; one that is not there is nobody's loss.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     drawing = pathlib.Path(folder, "heron.svg")
    ...     _ = drawing.write_text("<svg/>")
    ...     with keeping([drawing]):
    ...         is_kept(drawing), is_kept(drawing.with_name("egret.svg"))
    (True, False)
    """
    kept = dict(_KEPT.get())
    for source in sources:
        identity = _identity(source)
        if identity is not None:
            kept.setdefault(identity, os.fspath(source))
    token = _KEPT.set(kept)
    try:
        yield
    finally:
        _KEPT.reset(token)


def is_kept(path: str | os.PathLike[str]) -> bool:
    """Say whether a path leads to a file that is kept."""
    return _identity(path) in _KEPT.get()


def require_not_kept(path: str | os.PathLike[str]) -> None:
    """Refuse to write where a file lies that is kept.

    Raises
    ------
    CannotWrite
        With both names, and what to do.
    """
    identity = _identity(path)
    source = None if identity is None else _KEPT.get().get(identity)
    if source is None:
        return
    given, read = shown_path(path), shown_path(source)
    same = "it is the file" if given == read else f"it is the same file as {read},"
    raise CannotWrite(
        f"cannot write {given}: {same} that is read, and a source is never written over. "
        "Give another name or another folder with -o, or rename what is read.",
        parameter="path", value=os.fspath(path), accepted="a path that leads to no file that was read",
    )  # fmt: skip


def _identity(path: str | os.PathLike[str]) -> _Identity | None:
    try:
        found = Path(path).stat()
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino
