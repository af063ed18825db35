"""Parametric generators whose paper is in one piece by construction.

Importing this package loads nothing heavy; the catalogue, or a motif by its own name, as in
``from canivet.motifs import scallop``, is fetched when first asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .guests import refused_guests
    from .registry import Family, Motif, catalogue, find_motif, motif

__all__ = ["Family", "Motif", "catalogue", "find_motif", "motif", "refused_guests"]

_HOMES = dict.fromkeys(__all__, "registry") | {"refused_guests": "guests"}


def __getattr__(name: str) -> Any:
    home = _HOMES.get(name)
    if home is not None:
        return getattr(import_module(f"{__name__}.{home}"), name)
    found = None
    if not name.startswith("_"):
        found = import_module(f"{__name__}.registry").catalogue().get(name.replace("_", "-"))
    if found is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return found.draw


def __dir__() -> list[str]:
    """List the public names, and every motif by its own."""
    known = import_module(f"{__name__}.registry").catalogue()
    return sorted([*globals(), *__all__, *(name.replace("-", "_") for name in known)])
