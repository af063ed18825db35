"""The catalogue of motifs: every generator by name, with what it takes.

A motif is a plain function with keyword-only parameters that returns one valid Polygon: the paper. Each
family has one form, so that a design file and the command line can call any of them:

``outline``  ``f(*, width, height, …)``: the solid piece, its lower left corner at the origin.
``border``   ``f(*, within, band, strap, …)``: a band of ornament along the edge of the polygon `within`;
             the window inside the band is left as solid paper.
``lattice``  ``f(*, within, rim, strap, …)``: the polygon `within`, pierced by a pattern inside a rim.
``form``     ``f(*, width, height, strap, …)``: a figure by itself, a leaf or a tree, that fills the box
             ``width × height``, its lower left corner at the origin.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import Literal, ParamSpec, TypeVar

from shapely.geometry import Polygon

from canivet.errors import BadValue, suggest
from canivet.parameters import Bound, checked, parameters_of

__all__ = ["Family", "Motif", "catalogue", "find_motif", "look_up", "motif"]

Family = Literal["outline", "border", "lattice", "form"]
P = ParamSpec("P")
Entry = TypeVar("Entry")

_MODULES = (
    "outlines",
    "borders.classic", "borders.straight", "borders.arcades",
    "borders.flowing", "borders.interlaced", "borders.leafy",
    "lattices.diagonal", "lattices.bars", "lattices.slits",
    "lattices.stars", "lattices.grown", "lattices.radial",
    "forms.leafy", "forms.pictures",
)  # fmt: skip
_registered: dict[str, Motif] = {}


@dataclass(frozen=True, slots=True)
class Motif:
    """A generator and what is known of it."""

    name: str
    family: Family
    draw: Callable[..., Polygon] = field(repr=False)

    @property
    def summary(self) -> str:
        """Return the first line of the docstring: what appears on paper."""
        return (inspect.getdoc(self.draw) or "").partition("\n")[0]

    @property
    def parameters(self) -> dict[str, Bound]:
        """Return what each keyword takes, in order."""
        return parameters_of(self.draw)


def motif(family: Family) -> Callable[[Callable[P, Polygon]], Callable[P, Polygon]]:
    """Enter a function in the catalogue under its own name, and check its keywords at the door.

    ``diamond_lattice`` is called ``diamond-lattice`` in design files and on the command line.
    """

    def enter(function: Callable[P, Polygon]) -> Callable[P, Polygon]:
        guarded = checked(function)
        name = function.__name__.replace("_", "-")
        _registered[name] = Motif(name, family, guarded)
        return guarded

    return enter


@cache
def catalogue() -> dict[str, Motif]:
    """Return every motif by name, family by family.

    Examples
    --------
    >>> catalogue()["oval"].family
    'outline'
    """
    for module in _MODULES:
        import_module(f"canivet.motifs.{module}")
    return dict(_registered)


def find_motif(name: str, *, family: Family | None = None, parameter: str = "motif") -> Motif:
    """Return the motif of that name.

    Raises
    ------
    BadValue
        If there is none, or it is of another family than asked.
    """
    known = {n: m for n, m in catalogue().items() if family in (None, m.family)}
    return look_up(name, known, kind=family or "motif", parameter=parameter)


def look_up(name: str, known: Mapping[str, Entry], *, kind: str, parameter: str) -> Entry:
    """Return the entry of that name, however it is spaced and written large or small.

    Raises
    ------
    BadValue
        If there is none, with the names there are; `kind` says of what.

    Examples
    --------
    >>> look_up("Open book", {"open-book": 1}, kind="frame", parameter="frame")
    1
    """
    key = str(name).strip().lower().replace("_", "-").replace(" ", "-")
    if key in known:
        return known[key]
    raise BadValue(
        f"{parameter} is {name!r}; there is no {kind} of that name.{suggest(key, known)} "
        f"Known: {', '.join(known)}.",
        parameter=parameter, value=name, accepted=", ".join(known),
    )  # fmt: skip
