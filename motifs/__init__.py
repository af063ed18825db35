"""Parametric generators whose paper is in one piece by construction.

Importing this package loads nothing heavy; the catalogue, or a motif by its own name, as in
``from canivet.motifs import scallop``, is fetched when first asked for.
"""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .guests import refused_guests
    from .registry import Family, Motif, catalogue, find_motif, motif

__all__ = ["Family", "Motif", "catalogue", "find_motif", "motif", "refused_guests"]

_HOMES = dict.fromkeys(__all__, "registry") | {"refused_guests": "guests"}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    # A module of this package is imported in the usual way; the catalogue need not be opened for it.
    if not name.startswith("_") and find_spec(f"{__name__}.{name}") is None:
        found = import_module(f"{__name__}.registry").catalogue().get(name.replace("_", "-"))
        if found is not None:
            return found.draw
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    """List the public names, and every motif by its own."""
    known = import_module(f"{__name__}.registry").catalogue()
    return sorted([*globals(), *__all__, *(name.replace("-", "_") for name in known)])
