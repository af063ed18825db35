"""What was drawn before is taken as it was: results of stages of a plate, kept by all that they depend on.

Plates of a series, sizes of a design and one look after another while it is edited share most of what they
are made of. A stage names what it depends on, geometry by its coordinates and files by their content; where
all of that is as it was, so is what it draws, to the byte. Only the last results are kept, in this process;
other processes that draw plates of the same series can be given them. Small things of which a plate has
hundreds, a ring thinned or a letter set, are `remembered` by what they were made from, for as long as plates
ask for them: so a series takes no more memory the longer it is.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar, TypeVarTuple, Unpack

import numpy as np
import shapely
from pydantic import BaseModel

from canivet.motifs.registry import Motif

__all__ = ["SharedStages", "begin_plate", "clear_stages", "remembered", "share_stages", "stage"]

Drawn = TypeVar("Drawn")
Given = TypeVarTuple("Given")

_MOST = 48
"""Results that are kept: those of a design in several sizes with a handful of figures, and what changes."""

_PLATES = 24
"""Plates begun, after which a small thing that none of them asked for is forgotten: letters of one name."""


@dataclass(slots=True, eq=False)
class _Table:
    """Results by what they were drawn from, what was asked for last at the end, no more of them than `most`.

    With each goes which plate it was that asked for it last.
    """

    most: int
    kept: OrderedDict[Hashable, tuple[int, Any]] = field(default_factory=OrderedDict)
    plate: int = 0

    def put_away(self, drawn: Mapping[Hashable, Any]) -> None:
        with _LOCK:
            for key, one in drawn.items():
                self.kept[key] = self.plate, one
                self.kept.move_to_end(key)
            while len(self.kept) > self.most:
                self.kept.popitem(last=False)

    def recalled(self, key: Hashable, draw: Callable[[], Any]) -> Any:
        with _LOCK:
            if key in self.kept:
                drawn = self.kept.pop(key)[1]
                self.kept[key] = self.plate, drawn
                return drawn
        drawn = draw()
        self.put_away({key: drawn})
        return drawn

    def begin_plate(self) -> None:
        with _LOCK:
            self.plate += 1
            while self.kept and next(iter(self.kept.values()))[0] < self.plate - _PLATES:
                self.kept.popitem(last=False)

    def all_kept(self) -> dict[Hashable, Any]:
        return {key: drawn for key, (_, drawn) in self.kept.items()}


_STAGES = "stages"
_TABLES: dict[str, _Table] = {_STAGES: _Table(_MOST)}
"""All that is kept: the stages, and what each function that is `remembered` gave, by its name."""

_LOCK = threading.Lock()
"""Held while a result is looked up or put away, not while it is drawn."""


def stage(name: str, draw: Callable[[], Drawn], *needs: object) -> Drawn:
    """Return what a stage draws, drawn only where nothing it depends on was met before.

    Parameters
    ----------
    name : str
        Of the stage.
    draw : callable
        Draws it; what it returns is shared and must not be changed.
    *needs
        All that it depends on: words, numbers, geometry, bytes of files, settings, and tuples, lists, arrays
        and mappings of them.

    Notes
    -----
    What `draw` raises is not kept.

    Examples
    --------
    >>> from shapely import box
    >>> drawn = [stage("grown", lambda: box(0, 0, 2, 1).buffer(1), box(0, 0, 2, 1), 1.0) for _ in range(2)]
    >>> drawn[0] is drawn[1]
    True
    """
    key = hashlib.sha256(b"\x00".join(_marks((name, needs)))).digest()
    drawn: Drawn = _TABLES[_STAGES].recalled(key, draw)
    return drawn


def remembered(
    *, most: int
) -> Callable[[Callable[[Unpack[Given]], Drawn]], Callable[[Unpack[Given]], Drawn]]:
    """Keep the last results of a function of plain values given by place, and share them with the stages.

    Parameters
    ----------
    most : int
        Results that are kept; fewer once a number of plates were begun that asked for none of the older.

    Examples
    --------
    >>> @remembered(most=2)
    ... def box_of(side):
    ...     return shapely.box(0, 0, side, side)
    >>> box_of(3.0) is box_of(3.0)
    True
    """

    def keep(draw: Callable[[Unpack[Given]], Drawn]) -> Callable[[Unpack[Given]], Drawn]:
        table = _TABLES[f"{draw.__module__}.{draw.__qualname__}"] = _Table(most)

        @wraps(draw)
        def recall(*given: *Given) -> Drawn:
            drawn: Drawn = table.recalled(given, lambda: draw(*given))
            return drawn

        return recall

    return keep


def begin_plate() -> None:
    """Forget the small things that none of the last plates asked for; call it as a plate is begun.

    Examples
    --------
    >>> @remembered(most=100)
    ... def box_of(side):
    ...     return shapely.box(0, 0, side, side)
    >>> first = box_of(3.0)
    >>> for _ in range(100):
    ...     begin_plate()
    >>> box_of(3.0) is first
    False
    """
    for name, table in _TABLES.items():
        if name != _STAGES:
            table.begin_plate()


def clear_stages() -> None:
    """Forget all that was drawn."""
    with _LOCK:
        for table in _TABLES.values():
            table.kept.clear()
        _TAKEN.clear()


@dataclass(frozen=True, slots=True)
class SharedStages:
    """What one process has drawn, put down in a file for others that draw the like; each reads it once.

    Examples
    --------
    >>> import tempfile
    >>> from shapely import box
    >>> _ = stage("shared", lambda: box(0, 0, 2, 1), 2.0)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     shared = share_stages(Path(folder, "drawn"))
    ...     clear_stages()  # as in another process
    ...     shared.take()
    >>> stage("shared", lambda: None, 2.0).area
    2.0
    """

    path: Path
    mark: bytes

    def take(self) -> None:
        """Keep them in this process too, unless they were taken just before.

        Where the file cannot be read, or is not the one that was written, all is drawn anew.
        """
        if self.mark == _TAKEN.get("last"):
            return
        with contextlib.suppress(OSError):
            pickled = self.path.read_bytes()
            if hashlib.sha256(pickled).digest() == self.mark:
                for name, drawn in pickle.loads(pickled).items():
                    if name in _TABLES:
                        _TABLES[name].put_away(drawn)
        _TAKEN["last"] = self.mark


_TAKEN: dict[str, bytes] = {}
"""What was taken last, or given by this process."""


def share_stages(path: Path) -> SharedStages:
    """Put down what was drawn in this process in a file, for others to take."""
    with _LOCK:
        pickled = pickle.dumps({name: table.all_kept() for name, table in _TABLES.items()})
    path.write_bytes(pickled)
    shared = SharedStages(path, hashlib.sha256(pickled).digest())
    _TAKEN["last"] = shared.mark
    return shared


def _marks(value: object) -> Iterator[bytes]:
    """Yield what tells a value from any other, its kind and its length first."""
    if isinstance(value, shapely.Geometry):
        yield b"shape" + shapely.to_wkb(value)
    elif isinstance(value, Motif):
        yield repr((value.family, value.name)).encode()
    elif isinstance(value, np.ndarray):
        yield b"%d of" % len(value)
        yield from shapely.to_wkb(value) if value.dtype == object else [value.tobytes()]
    elif isinstance(value, BaseModel):
        yield from _marks((type(value).__name__, dict(value)))
    elif is_dataclass(value) and not isinstance(value, type):
        yield from _marks((type(value).__name__, [getattr(value, one.name) for one in fields(value)]))
    elif isinstance(value, Mapping):
        yield from _marks(("mapping", [*value.items()]))
    elif isinstance(value, list | tuple):
        yield b"%d of" % len(value)
        for one in value:
            yield from _marks(one)
    elif isinstance(value, bytes):
        yield b"bytes" + hashlib.sha256(value).digest()
    elif value is None or isinstance(value, str | int | float | bool | os.PathLike | np.generic):
        yield repr(value).encode(errors="surrogatepass")
    else:
        raise TypeError(f"a stage cannot depend on a {type(value).__name__}")
