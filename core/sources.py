"""Files that are read: every byte that comes in comes through here.

What a path leads to is looked at before it is opened, and how large it is before it is read: a device, a
pipe or a folder is refused at once, and nothing past a stated size is held. So no name of a file, wherever it
came from, makes a command wait or fills the memory.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from io import BufferedReader
from pathlib import Path

from .errors import Unreadable, suggest

__all__ = ["Source", "open_source", "read_source", "read_text", "shown_path"]

_STRANGE = (
    (stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"), (stat.S_ISBLK, "a device"),
)  # fmt: skip

_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""A pipe that took the file's place between the look and the opening is not waited for either."""

_MOST_NEIGHBOURS = 2_000
"""Names beside a missing file that are looked through for one like it."""

UTF16 = (b"\xff\xfe", b"\xfe\xff")


class Source:
    """An ordinary file, open: its name for messages, and its bytes up to a limit.

    Attributes
    ----------
    name : str
        What the file is called in a message.
    size : int
        Bytes, as the file system says.
    """

    def __init__(self, file: BufferedReader, name: str, wanted: str, size: int) -> None:
        self._file = file
        self._wanted = wanted
        self.name = name
        self.size = size

    def head(self, count: int = 512) -> bytes:
        """Return the first bytes; what is read after still begins at the beginning."""
        start = self._bytes(count)
        self._file.seek(0)
        return start

    def read(self, most: int, *, kind: str, advice: str) -> bytes:
        """Return the whole file, if it is no larger than `most` bytes.

        Raises
        ------
        Unreadable
            If it is larger; nothing of it is read then. `kind` and `advice` are words of the message.
        """
        if self.size <= most:
            content = self._bytes(most + 1)
            if len(content) <= most:
                return content
            self.size = len(content)  # it grew, or the file system does not know
        size = f"{self.size / 1e6:.1f} MB" if self.size >= 100_000 else f"{self.size:,} bytes"
        raise Unreadable(
            f"{self.name} is larger than {_plain(most)}, the most that is read as {kind} (it has {size}). "
            f"{advice}",
            parameter=self.name, value=self.size, accepted=f"{self._wanted} of up to {_plain(most)}",
        )  # fmt: skip

    def digest(self) -> str:
        """Return the SHA-256 of the whole file in hexadecimal, of which little is in memory at a time."""
        try:
            return hashlib.file_digest(self._file, "sha256").hexdigest()
        except OSError as error:
            raise _broken_off(self.name, error) from None

    def _bytes(self, count: int) -> bytes:
        try:
            return self._file.read(count)
        except OSError as error:
            raise _broken_off(self.name, error) from None


@contextmanager
def open_source(path: str | os.PathLike[str], *, wanted: str) -> Iterator[Source]:
    """Open an ordinary file to read it, or say why it cannot be.

    Parameters
    ----------
    path : path-like
        What the maker named.
    wanted : str
        What to give instead, as the message says it: ``"a TOML design file"``.

    Yields
    ------
    Source

    Raises
    ------
    Unreadable
        If there is no such file (the nearest name beside it is told), it is a folder, a pipe, a socket or a
        device, it may not be read, or reading fails.

    Examples
    --------
    >>> try:
    ...     with open_source("/dev/null", wanted="a drawing") as source:
    ...         source.head()
    ... except Unreadable as error:
    ...     print(error)
    null is a device, not an ordinary file. Give a drawing.
    """
    file, size = _open(path, wanted)
    with file:
        yield Source(file, Path(path).name, wanted, size)


def read_source(
    path: str | os.PathLike[str], *, most: int, kind: str, wanted: str, advice: str = "Is it another file?"
) -> bytes:
    """Return the bytes of an ordinary file of at most `most` bytes.

    Parameters
    ----------
    path : path-like
        What the maker named.
    most : int
        Bytes; a larger file is refused before any of it is read.
    kind, wanted, advice : str
        Words of the messages: ``"a design"``, ``"a TOML design file"``, ``"Is it another file?"``.

    Raises
    ------
    Unreadable
        As `open_source`, or if it is larger.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = pathlib.Path(folder, "reeds.toml")
    ...     _ = file.write_bytes(b"title = 'Reeds'")
    ...     read_source(file, most=100, kind="a design", wanted="a TOML design file")
    b"title = 'Reeds'"
    """
    with open_source(path, wanted=wanted) as source:
        return source.read(most, kind=kind, advice=advice)


def read_text(
    path: str | os.PathLike[str], *, most: int, kind: str, wanted: str, advice: str = "Is it another file?"
) -> str:
    """Return the text of an ordinary file in UTF-8, with or without a byte order mark.

    Raises
    ------
    Unreadable
        As `read_source`; if it is UTF-16, with a mark or without, which is named as such; if it is otherwise
        no UTF-8, with the line.
    """
    raw = read_source(path, most=most, kind=kind, wanted=wanted, advice=advice)
    name = Path(path).name
    if raw.startswith(UTF16) or _is_utf16(raw):
        raise Unreadable(
            f"{name} is UTF-16 (\"Unicode\" in some programs). Save it in UTF-8.",
            parameter=name, accepted="UTF-8",
        )  # fmt: skip
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise Unreadable(
            f"{name} is not UTF-8 at line {line}. Save it in UTF-8.", parameter=name, accepted="UTF-8"
        ) from None


def _open(path: str | os.PathLike[str], wanted: str) -> tuple[BufferedReader, int]:
    """Return an ordinary file, open, and its size."""
    try:
        path = Path(path)
        _require_ordinary(path.stat().st_mode, path, wanted)
        file = os.fdopen(os.open(path, os.O_RDONLY | _AT_ONCE), "rb")
        found = os.fstat(file.fileno())
    except FileNotFoundError:
        raise _missing(Path(path), wanted) from None
    except PermissionError:
        raise _cannot(path, "may not be read. Change its permissions or copy it.") from None
    except OSError as error:
        raise _cannot(path, f"cannot be opened ({error.strerror}). Check the path.") from None
    except ValueError:  # a null character, or letters that the file system has no bytes for
        raise _cannot(path, f"cannot be the name of a file. Give the path of {wanted}.") from None
    try:
        _require_ordinary(found.st_mode, path, wanted)
    except Unreadable:
        file.close()
        raise
    return file, found.st_size


def _is_utf16(raw: bytes) -> bool:
    """Say whether every other byte is null, as in letters of UTF-16; no text of UTF-8 holds any null."""
    start = raw[:4000]
    return max(start[0::2].count(0), start[1::2].count(0)) > len(start) / 5


def shown_path(path: str | os.PathLike[str], most: int = 120) -> str:
    """Return a path as a message may show it: in one line, its end kept where it is long.

    Examples
    --------
    >>> shown_path("a/" + "b" * 500 + "/heron.svg", most=20)
    '…bbbbbbbbb/heron.svg'
    """
    text = "".join(c if c.isprintable() else "?" for c in os.fspath(path))
    return text if len(text) <= most else "…" + text[1 - most :]


def _require_ordinary(mode: int, path: Path, wanted: str) -> None:
    if stat.S_ISREG(mode):
        return
    name = path.name or str(path)
    what = next((words for test, words in _STRANGE if test(mode)), "something else")
    raise Unreadable(f"{shown_path(name)} is {what}, not an ordinary file. Give {wanted}.", parameter=name)


def _cannot(path: str | os.PathLike[str], said: str) -> Unreadable:
    return Unreadable(f"{shown_path(path)} {said}", parameter=Path(path).name)


def _broken_off(name: str, error: OSError) -> Unreadable:
    return _cannot(name, f"cannot be read to its end ({error.strerror}). Copy it anew.")


def _missing(path: Path, wanted: str) -> Unreadable:
    near = suggest(path.name, _beside(path))
    advice = near or f" Give the path of {wanted}."
    return Unreadable(f"{shown_path(path)} is not there.{advice}", parameter=path.name, accepted=wanted)


def _beside(path: Path) -> list[str]:
    """Return the names beside a missing file, if its folder can be looked into."""
    names: list[str] = []
    try:
        with os.scandir(path.parent) as entries:
            for entry in entries:
                names.append(entry.name)
                if len(names) >= _MOST_NEIGHBOURS:
                    break
    except (OSError, ValueError):
        pass
    return names


def _plain(size: int) -> str:
    for unit, name in ((1_000_000, "MB"), (1000, "kB")):
        if size >= unit:
            return f"{size // unit} {name}"
    return f"{size} bytes"
