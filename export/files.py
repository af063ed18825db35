"""Files put in place whole: an interrupted run leaves the old file or none."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from canivet.errors import CannotWrite
from canivet.kept import require_not_kept

__all__ = ["check_target", "file_in_place", "make_folder", "require_folder", "write_atomically"]

_REASONS = {
    errno.ENOSPC: ("the disk is full", "Free some space, or write elsewhere."),
    errno.EDQUOT: ("the disk quota is used up", "Free some space, or write elsewhere."),
    errno.EROFS: ("the disk is read-only", "Write elsewhere."),
    errno.EACCES: ("its folder may not be written to", "Change its permissions, or write elsewhere."),
    errno.EPERM: ("the system does not allow it", "Change its permissions, or write elsewhere."),
    errno.ENAMETOOLONG: ("its name is too long", "Use a shorter name."),
    errno.EINVAL: (
        "its name has characters that cannot stand in a name here",
        "Use plain letters and digits.",
    ),
    errno.ELOOP: ("its link leads back to itself", "Write elsewhere."),
    errno.EIO: ("the disk reports an error", "Write elsewhere, and check the disk."),
}


def write_atomically(path: str | os.PathLike[str], data: bytes) -> None:
    """Put `data` at `path`, beside it first and then renamed, so that no half-written file is ever seen.

    Parameters
    ----------
    path : path-like
        Where to; its folder must exist. A link is followed, and what it leads to is replaced.
    data : bytes
        All of the file.

    Raises
    ------
    CannotWrite
        If the folder is missing or closed, the path is a folder or a device, the file is write-protected,
        or the disk fails. What stood there before still stands.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_atomically(Path(folder, "leaf.svg"), b"<svg/>")
    ...     [found.name for found in Path(folder).iterdir()]
    ['leaf.svg']
    """
    with file_in_place(path) as file:
        file.write(data)


@contextlib.contextmanager
def file_in_place(path: str | os.PathLike[str]) -> Iterator[BinaryIO]:
    """Open a file that takes its place at `path` once it is written whole, and never if anything goes wrong.

    Parameters
    ----------
    path : path-like
        As for `write_atomically`.

    Yields
    ------
    binary file
        Beside the place; renamed at the end.

    Raises
    ------
    CannotWrite
        As `write_atomically`.
    """
    target = check_target(path)
    # A short name of its own, since the target's may already be as long as the disk allows.
    part = target.with_name(f".canivet-{secrets.token_hex(6)}.part")
    try:
        with part.open("xb") as file:
            if target.exists():
                part.chmod(target.stat().st_mode & 0o777)
            yield file
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    except BaseException as error:  # an interrupt too must leave nothing behind
        with contextlib.suppress(OSError):
            part.unlink()
        if isinstance(error, OSError):
            raise _refused(os.fspath(path), error) from error
        raise


def check_target(path: str | os.PathLike[str]) -> Path:
    """Follow links to where `path` leads, and refuse what could not or should not be replaced.

    Raises
    ------
    CannotWrite
        As `write_atomically` does, as far as can be told without writing.
    """
    shown = os.fspath(path)
    try:
        return _checked_target(shown)
    except (OSError, ValueError) as error:
        raise _refused(shown, error) from error


def make_folder(folder: str | os.PathLike[str]) -> None:
    """Make a folder, and those above it, where they are not there yet.

    Raises
    ------
    CannotWrite
        If something else is there, or the system does not allow it.

    Examples
    --------
    >>> make_folder(".")
    """
    try:
        Path(folder).mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else "its name holds a null character"
        raise CannotWrite(
            f"cannot make the folder {os.fspath(folder)}: {why}. Choose another folder.",
            parameter="folder", value=os.fspath(folder), accepted="a folder that is there or can be made",
        ) from None  # fmt: skip


def require_folder(folder: str | os.PathLike[str]) -> None:
    """Refuse a folder that is not there or may not be written to.

    Raises
    ------
    CannotWrite
        With what is wrong with it.

    Examples
    --------
    >>> require_folder(".")
    """
    shown = os.fspath(folder)
    try:
        _check_folder(shown, Path(os.path.realpath(shown)), "it")
    except (OSError, ValueError) as error:
        raise _refused(shown, error) from error


def _checked_target(shown: str) -> Path:
    if not shown or shown.endswith(("/", os.sep)):
        raise _cannot(shown, "it names no file", "Give the path of a file.")
    target = Path(os.path.realpath(shown))
    _check_folder(shown, target.parent, "its folder")
    if target.is_dir():
        raise _cannot(shown, "it is a folder", "Give the path of a file in it.")
    if target.exists() and not target.is_file():
        raise _cannot(shown, "it is not an ordinary file", "Give the path of a file.")
    require_not_kept(shown)
    if target.exists() and not os.access(target, os.W_OK):
        raise _cannot(shown, "it is write-protected", "Change its permissions, or write elsewhere.")
    return target


def _check_folder(shown: str, folder: Path, called: str) -> None:
    if not folder.exists():
        raise _cannot(shown, f"{called} is not there", f"Make the folder {folder} first.")
    if not folder.is_dir():
        raise _cannot(shown, f"{called} is not a folder", "Write elsewhere.")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise _cannot(shown, f"{called} may not be written to", "Change its permissions, or write elsewhere.")


def _refused(shown: str, error: OSError | ValueError) -> CannotWrite:
    if isinstance(error, ValueError):
        return _cannot(shown, "its name holds a null character", "Use plain letters and digits.")
    named = _REASONS.get(error.errno or 0)
    return _cannot(shown, *(named or (error.strerror or str(error), "Write elsewhere.")))


def _cannot(shown: str, reason: str, remedy: str) -> CannotWrite:
    name = shown if shown.isprintable() else repr(shown)[1:-1]
    return CannotWrite(
        f"cannot write {name or 'a file without a name'}: {reason}. {remedy}",
        parameter="path", value=shown, accepted="a file in a folder that may be written to",
    )  # fmt: skip
