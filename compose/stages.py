"""What was drawn before is taken as it was: results of stages of a plate, kept by all that they depend on.

Plates of a series, sizes of a design and one look after another while it is edited share most of what they
are made of. A stage names what it depends on, geometry by its coordinates and files by their content; where
all of that is as it was, so is what it draws, to the byte. Only the last results are kept, in this process;
other processes that draw plates of the same series can be given them.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

import numpy as np
import shapely
from pydantic import BaseModel

from canivet.motifs.registry import Motif

__all__ = ["SharedStages", "clear_stages", "share_stages", "stage"]

Drawn = TypeVar("Drawn")

_MOST = 48
"""Results that are kept: those of a design in several sizes with a handful of figures, and what changes."""

_KEPT: OrderedDict[bytes, Any] = OrderedDict()
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
    with _LOCK:
        if key in _KEPT:
            _KEPT.move_to_end(key)
            met: Drawn = _KEPT[key]
            return met
    drawn = draw()
    _put_away({key: drawn})
    return drawn


def clear_stages() -> None:
    """Forget all that was drawn."""
    with _LOCK:
        _KEPT.clear()
        _TAKEN.clear()


class SharedStages:
    """What one process has drawn, for others that draw the like.

    Examples
    --------
    >>> from shapely import box
    >>> _ = stage("shared", lambda: box(0, 0, 2, 1), 2.0)
    >>> shared = pickle.loads(pickle.dumps(share_stages()))
    >>> clear_stages()  # as in another process
    >>> shared.take()
    >>> stage("shared", lambda: None, 2.0).area
    2.0
    """

    def __init__(self, pickled: bytes) -> None:
        self._pickled = pickled
        self._mark = hashlib.sha256(pickled).digest()

    def __sizeof__(self) -> int:
        """Return its bytes: a cluster sends what is large to each worker once, not with each plate."""
        return len(self._pickled)

    def take(self) -> None:
        """Keep them in this process too, unless they were taken just before."""
        if self._mark != _TAKEN.get("last"):
            _put_away(pickle.loads(self._pickled))
            _TAKEN["last"] = self._mark


_TAKEN: dict[str, bytes] = {}
"""What was taken last, or given by this process."""


def share_stages() -> SharedStages:
    """Return what was drawn in this process, to be sent to others."""
    with _LOCK:
        shared = SharedStages(pickle.dumps(dict(_KEPT)))
    _TAKEN["last"] = shared._mark
    return shared


def _put_away(drawn: Mapping[bytes, Any]) -> None:
    with _LOCK:
        _KEPT.update(drawn)
        while len(_KEPT) > _MOST:
            _KEPT.popitem(last=False)


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
        yield from _marks((type(value).__name__, [getattr(value, field.name) for field in fields(value)]))
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
