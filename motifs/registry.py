"""The catalogue of motifs: every generator by name, with what it takes.

A motif is a plain function with keyword-only parameters. Each family has one form, so that a design file and
the command line can call any of them:

``outline``  ``f(*, width, height, …)``: the solid piece, its lower left corner at the origin.
``border``   ``f(*, within, band, strap, …)``: a band of ornament along the edge of the polygon `within`;
             the window inside the band is left as solid paper.
``lattice``  ``f(*, within, rim, strap, …)``: the polygon `within`, pierced by a pattern inside a rim.
``form``     ``f(*, width, height, strap, …)``: a figure by itself, a leaf or a tree, that fills the box
             ``width × height``, its lower left corner at the origin.
``frame``    ``f(*, width, height, strap, smallest, …)``: a plate's outline, border, window and panels in one
             arrangement; see `canivet.motifs.frames.frame`.

All but frames return one valid Polygon: the paper. The catalogue is open: whatever is entered with `motif`,
early or late, is in it, and so is what installed packages offer under the entry points ``canivet.motifs``.
"""

from __future__ import annotations

import inspect
import pkgutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal, ParamSpec, TypeVar, get_args, overload

from canivet.errors import BadValue, suggest
from canivet.parameters import Bound, checked, parameters_of

from . import guests

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from .shapes.openings import Shapes

__all__ = ["Family", "Motif", "Names", "catalogue", "find_motif", "look_up", "motif"]

Family = Literal["outline", "border", "lattice", "form", "frame"]
P = ParamSpec("P")
R = TypeVar("R")
Entry = TypeVar("Entry")

_FOLDERS = ("borders", "lattices", "forms", "frames")
"""Folders of this package whose public modules hold motifs; outlines are a module of their own."""

_entered: dict[str, Motif] = {}


@dataclass(frozen=True, slots=True)
class Motif:
    """A generator and what is known of it.

    Attributes
    ----------
    name : str
        As in design files, ``diamond-lattice``.
    family : Family
        What it draws, and so how it is called.
    draw : function
        Checks its keywords, then draws.
    origin : str
        The module it comes from.
    """

    name: str
    family: Family
    draw: Callable[..., Any] = field(repr=False)
    origin: str = ""

    @property
    def summary(self) -> str:
        """Return the first line of the docstring: what appears on paper."""
        return (inspect.getdoc(self.draw) or "").partition("\n")[0]

    def openings(self, *, within: Polygon, **given: Any) -> Shapes:
        """Draw a border or a lattice in a piece and return what it cuts away there.

        Parameters
        ----------
        within : Polygon
            The piece; holes of its own are not among the openings.
        given
            The motif's other keywords.

        Returns
        -------
        ndarray of Polygon
            Disjoint and solid, in the motif's order.

        Examples
        --------
        >>> from shapely import box
        >>> catalogue()["scallop"].openings(within=box(0, 0, 90, 90), band=9.0)[0].geom_type
        'Polygon'
        """
        from .shapes.openings import openings_in

        return openings_in(self.draw(within=within, **given), within=within)

    @property
    def parameters(self) -> dict[str, Bound]:
        """Return what each keyword takes, in order."""
        return parameters_of(self.draw)


def motif(family: Family) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Enter a function in the catalogue under its own name, and check its keywords at the door.

    ``diamond_lattice`` is called ``diamond-lattice`` in design files and on the command line. A motif of a
    package of one's own is entered in the same way.

    Raises
    ------
    BadValue
        If there is no such family, the name is taken, a default lies outside its own bounds, or a motif of
        another package does not take what its family takes (`canivet.motifs.guests.KEYWORDS`) and no more.

    Notes
    -----
    A series drawn by several processes knows the motifs of installed packages; one that is entered while a
    program runs is known to that process alone.

    Examples
    --------
    >>> from typing import Annotated
    >>> from shapely import box
    >>> from canivet.parameters import Length
    >>> Side = Annotated[float, Length("side of the square", 5, 300)]
    >>> @motif("outline")
    ... def plain_tile(*, width: Side = 40, height: Side = 40):
    ...     \"\"\"A square of paper.\"\"\"
    ...     return box(0, 0, width, height)
    >>> find_motif("plain tile").summary
    'A square of paper.'
    >>> del _entered["plain-tile"]
    """
    if family not in get_args(Family):
        known = ", ".join(get_args(Family))
        raise BadValue(
            f"family is {family!r}; it takes one of: {known}.{suggest(str(family), get_args(Family))}",
            parameter="family", value=family, accepted=known,
        )  # fmt: skip

    def enter(function: Callable[P, R]) -> Callable[P, R]:
        plain = inspect.unwrap(function)
        name, origin = plain.__name__.replace("_", "-"), plain.__module__
        _require_free(name, origin)
        if not origin.startswith("canivet."):
            guests.require_keywords(name, origin, family, function)
            guests.require_defaults_in_bounds(name, origin, function)
            function = guests.with_checked_result(name, origin, family, function)
        guarded = checked(function)
        _entered[name] = Motif(name, family, guarded, origin)
        return guarded

    return enter


def catalogue() -> dict[str, Motif]:
    """Return every motif by name: family by family, in the order of the alphabet.

    Examples
    --------
    >>> catalogue()["oval"].family
    'outline'
    """
    _enter_own()
    guests.load_guests(_entered)
    row = {family: k for k, family in enumerate(get_args(Family))}
    ordered = sorted(_entered.values(), key=lambda one: (row[one.family], one.name))
    return {one.name: one for one in ordered}


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


@dataclass(frozen=True, slots=True)
class Names(Sequence[str]):
    """The names of a family, as the catalogue has them whenever they are looked at.

    Examples
    --------
    >>> "scallop" in Names("border")
    True
    """

    family: Family

    @overload
    def __getitem__(self, index: int) -> str: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[str]: ...
    def __getitem__(self, index: int | slice) -> str | Sequence[str]:
        return self._now()[index]

    def __len__(self) -> int:
        return len(self._now())

    def _now(self) -> list[str]:
        return [name for name, one in catalogue().items() if one.family == self.family]


def _require_free(name: str, origin: str) -> None:
    """Refuse a name that another module has; a module loaded anew may enter its own once more."""
    if origin.startswith("canivet."):
        taken = _entered.get(name)
    else:
        _enter_own()
        taken = _entered.get(name)
    if taken is not None and taken.origin != origin:
        raise BadValue(
            f"the motif {name} of {origin} has a name that is taken by {taken.origin}. Call the function "
            "something else.",
            parameter="name", value=name, accepted="a name that is free",
        )  # fmt: skip


@cache
def _enter_own() -> None:
    """Import the public modules of every family; each enters its motifs."""
    package = __name__.rpartition(".")[0]
    import_module(f"{package}.outlines")
    for folder in _FOLDERS:
        home = import_module(f"{package}.{folder}")
        for module in pkgutil.iter_modules(home.__path__):
            if not module.name.startswith("_"):
                import_module(f"{package}.{folder}.{module.name}")
