"""A motif in a design: its table read against the motif's own signature, wherever one may stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from canivet.compose.stages import stage
from canivet.errors import BadValue, CanivetError, suggest
from canivet.motifs.registry import Family, Motif, Names, find_motif
from canivet.parameters import read_value

from .limits import require_few_cells

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from canivet.motifs.shapes.openings import Shapes

__all__ = ["COMPOSER_GIVES", "UsedMotif", "read_motif", "unknown_key"]

COMPOSER_GIVES = {"within", "width", "height", "strap", "smallest"}
"""What the plate itself tells its motifs."""

_PLATES_OWN = {
    "strap": ", and set strap at the head of the design: it rules every motif",
    "smallest": ", and set smallest_opening at the head of the design: it rules every motif",
    "within": ": a motif fills what the plate leaves it",
    "width": ": the plate's size decides",
    "height": ": the plate's size decides",
}
"""What stands in no table of a motif, and where it is said instead."""

_GRADING = ("grade", "toward")
"""Settings of those lattices whose openings may get smaller toward a side."""

_SUCH_AS = {
    "outline": "oval", "border": "scallop", "lattice": "diamond-lattice", "form": "tree",
    "frame": "arched-window",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class UsedMotif:
    """A motif and the settings the design gives it."""

    motif: Motif
    settings: dict[str, Any]

    def draw(self, **given: Any) -> Any:
        """Draw it with its settings, and what the plate gives."""
        return self.motif.draw(**{**self.settings, **given})

    def drawn_once(self, **given: Any) -> Any:
        """Draw it as `draw` does, once for a design that is read and all plates that ask for the same."""
        used = {**self.settings, **given}
        return stage("motif", partial(self.motif.draw, **used), self.motif, sorted(used.items()))

    def openings(self, *, within: Polygon, **given: Any) -> Shapes:
        """Draw a border or lattice in a piece, and return what it cuts away there."""
        require_few_cells(self.motif, self.settings, within.area)
        return self.motif.openings(within=within, **{**self.settings, **given})


def read_motif(
    table: str, family: Family, given: Any, *, named: str | None = None
) -> tuple[UsedMotif | None, list[str]]:
    """Return the motif a table names with its settings, and every fault found.

    Parameters
    ----------
    table : str
        Where it stands, for the wording: ``border``, ``frame``, ``silhouette``.
    family : Family
        Of which it must be.
    given : str or mapping
        A motif's name, or a table with ``motif`` and any of its settings.
    named : str, optional
        Where the motif's name stands, for the wording; ``table.motif`` if not given.

    Returns
    -------
    UsedMotif or None, and list of str
        None where there is no such motif.

    Examples
    --------
    >>> used, faults = read_motif("frame", "frame", {"motif": "plinth", "rim": "3 mm", "rimm": 1})
    >>> used.settings, [fault.split(".")[1] for fault in faults]
    ({'rim': 3.0}, ['rimm is not known'])
    """
    if isinstance(given, str):
        given = {"motif": given}
    if not isinstance(given, Mapping) or not isinstance(given.get("motif"), str):
        return None, [f'{table}.motif is missing; name a {family}, as in motif = "{_SUCH_AS[family]}".']
    try:
        motif = find_motif(given["motif"], family=family, parameter=named or f"{table}.motif")
    except BadValue as error:
        return None, [error.message]
    known = {name: bound for name, bound in motif.parameters.items() if name not in COMPOSER_GIVES}
    settings, faults = {}, []
    for key, value in given.items():
        if key == "motif":
            continue
        if key in _PLATES_OWN:
            faults.append(f"{table}.{key} is the plate's to say. Take it out of [{table}]{_PLATES_OWN[key]}.")
            continue
        if key in _GRADING and family == "lattice" and key not in known:
            faults.append(_ungraded(table, str(key), motif.name))
            continue
        if key not in known:
            faults.append(unknown_key(f"{table}.{key}", str(key), ["motif", *known]))
            continue
        try:
            settings[key] = read_value(known[key], value)
        except CanivetError as error:
            faults.append(f"{table}.{error.message}")
    return UsedMotif(motif, settings), faults


def _ungraded(table: str, key: str, name: str) -> str:
    """Return the sentence about a lattice in which no cell may be smaller than its neighbours."""
    graded = [
        known for known in Names("lattice") if "grade" in find_motif(known, family="lattice").parameters
    ]
    return (
        f"{table}.{key} is given, and {name} has no grades: its cells hang together. Take it out, or choose "
        f"a lattice that has: {', '.join(graded)}."
    )


def unknown_key(place: str, key: str, known: list[str]) -> str:
    """Return the sentence about a key that is not known at a place, with the nearest that is."""
    return f"{place} is not known.{suggest(key, known)} Known here: {', '.join(known)}."
