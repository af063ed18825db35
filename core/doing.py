"""What is being done, said by work that may take long to whoever listens; nobody need."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["doing", "listening"]

Listener = Callable[[str], None]

_LISTENER: ContextVar[Listener | None] = ContextVar("listener", default=None)


def doing(what: str) -> None:
    """Say what is begun now, in a few words such as "laying the ground"."""
    listener = _LISTENER.get()
    if listener is not None:
        listener(what)


@contextmanager
def listening(listener: Listener) -> Iterator[None]:
    """While in it, hand all that `doing` says in this thread to a listener.

    Examples
    --------
    >>> heard = []
    >>> with listening(heard.append):
    ...     doing("laying the ground")
    >>> doing("joining 3 parts")
    >>> heard
    ['laying the ground']
    """
    token = _LISTENER.set(listener)
    try:
        yield
    finally:
        _LISTENER.reset(token)
