"""Borders in a design, one inside the other, with bands, an opening and corners of their own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from canivet.errors import BadValue, CanivetError, suggest
from canivet.lengths import parse_length, parse_size, shown
from canivet.motifs.registry import find_motif

from .motif_table import UsedMotif, read_motif

__all__ = ["BLOCK_FAMILIES", "BORDER_KEYS", "CORNERS", "SIDES", "Bands", "LaidBorder", "read_borders"]

CORNERS = ("turned", "rosette", "block")
"""What stands in a corner: the border's own turn; a round of petals; a block with a motif of its own."""

SIDES = ("left", "right", "top", "foot")

BLOCK_FAMILIES = ("outline", "lattice", "form")
"""Of motifs that fill a block: one opening of that shape, a ground, or a form that stands in it."""

BORDER_KEYS: Mapping[str, str] = {
    "opening": "width x height of what it leaves free, for a mat; instead of band",
    "bands": "width of each side: left, right, top, foot; instead of band",
    "corner": f"what stands in its corners: {', '.join(CORNERS)}",
    "block": "the motif of a corner block: a lattice, a form, or an outline for an opening of that shape",
}
"""What a design says of a border besides its motif's own settings."""

_MOST_BORDERS = 4


class Bands(NamedTuple):
    """The width of a border on each side, mm."""

    left: float
    right: float
    top: float
    foot: float


@dataclass(frozen=True, slots=True)
class LaidBorder(UsedMotif):
    """A border and how it is laid round what is inside it.

    Attributes
    ----------
    opening : (float, float) or None
        Width and height that it leaves free, mm; it takes all that lies round them.
    bands : Bands or None
        Its width on each side; with neither, the motif's own band all round.
    corner : str
        One of `CORNERS`.
    block : UsedMotif or None
        What fills a corner block; None for four drops about a saltire.
    inner : LaidBorder or None
        The next border, inside this one.
    """

    opening: tuple[float, float] | None = None
    bands: Bands | None = None
    corner: str = "turned"
    block: UsedMotif | None = None
    inner: LaidBorder | None = None

    @property
    def band(self) -> float | None:
        """Return the width of its band where nothing is said of its sides, mm; None for the usual one."""
        band: float | None = self.settings.get("band", self.motif.parameters["band"].default)
        return band


def read_borders(given: Any) -> tuple[LaidBorder | None, list[str]]:
    """Return the border of a design, with those inside it, and every fault found.

    Parameters
    ----------
    given : object
        As TOML has it: a name, a table, or a list of tables from outside to inside.

    Examples
    --------
    >>> inner = {"motif": "wave", "corner": "rosette"}
    >>> border, faults = read_borders([{"motif": "zigzag", "band": 9}, inner])
    >>> border.band, border.inner.corner, faults
    (9.0, 'rosette', [])
    >>> read_borders({"motif": "wave", "corner": "rosete"})[1]
    ["border.corner is 'rosete'; it takes one of: turned, rosette, block. Did you mean 'rosette'?"]
    """
    tables = given if isinstance(given, list) else [given]
    if not 1 <= len(tables) <= _MOST_BORDERS:
        return None, [
            f"border lists {len(tables)} borders; it takes 1 to {_MOST_BORDERS}, from outside to inside."
        ]
    border: LaidBorder | None = None
    faults: list[str] = []
    for number in range(len(tables), 0, -1):
        place = f"border.{number}" if len(tables) > 1 else "border"
        border, found = _read_one(place, tables[number - 1], border)
        faults[:0] = found
        if border is not None and border.inner is not None and border.opening is not None:
            faults.append(
                f"{place}.opening is given, and another border stands inside it; the innermost has the "
                "opening. Move it there, or take it out."
            )
    return border, faults


def _read_one(place: str, given: Any, inner: LaidBorder | None) -> tuple[LaidBorder | None, list[str]]:
    table = {"motif": given} if isinstance(given, str) else given
    own = {key: table[key] for key in BORDER_KEYS if key in table} if isinstance(table, Mapping) else {}
    rest = (
        {key: value for key, value in table.items() if key not in own}
        if isinstance(table, Mapping)
        else table
    )
    used, faults = read_motif(place, "border", rest)
    values: dict[str, Any] = {}
    for key, value in own.items():
        try:
            values[key] = _READERS[key](value, f"{place}.{key}")
        except CanivetError as error:
            faults.append(error.message)
    if isinstance(table, Mapping):
        if len(widths := _widths(table)) > 1:
            faults.append(f"{place} has {' and '.join(widths)}; each says how wide it is. Take one of them.")
        if "block" in own:
            if values.get("corner", "block") != "block":
                faults.append(f'{place}.block goes with corner = "block". Take one of the two out.')
            values["corner"] = "block"
    return (None if used is None else LaidBorder(used.motif, used.settings, inner=inner, **values)), faults


def _widths(table: Mapping[str, Any]) -> list[str]:
    return [key for key in ("band", "opening", "bands") if key in table]


def _opening(value: Any, called: str) -> tuple[float, float]:
    return parse_size(value, parameter=called)


def _bands(value: Any, called: str) -> Bands:
    if not isinstance(value, Mapping):
        raise BadValue(
            f'{called} is {shown(value)}; it takes a table of sides, as {{left = "9 mm", right = "9 mm", '
            'top = "9 mm", foot = "12 mm"}.',
            parameter=called, accepted="a table of left, right, top and foot",
        )  # fmt: skip
    for side in value:
        if side not in SIDES:
            raise BadValue(
                f"{called}.{side} is not known.{suggest(str(side), SIDES)} Known here: {', '.join(SIDES)}.",
                parameter=called, value=side, accepted=", ".join(SIDES),
            )  # fmt: skip
    if missing := [side for side in SIDES if side not in value]:
        raise BadValue(
            f"{called} lacks {' and '.join(missing)}; give all four sides.",
            parameter=called, accepted=", ".join(SIDES),
        )  # fmt: skip
    return Bands(*(parse_length(value[side], parameter=f"{called}.{side}") for side in SIDES))


def _corner(value: Any, called: str) -> str:
    if value in CORNERS:
        return str(value)
    hint = suggest(value, CORNERS) if isinstance(value, str) else ""
    raise BadValue(
        f"{called} is {shown(value)}; it takes one of: {', '.join(CORNERS)}.{hint}",
        parameter=called, value=value, accepted=", ".join(CORNERS),
    )  # fmt: skip


def _block(value: Any, called: str) -> UsedMotif:
    name = value.get("motif") if isinstance(value, Mapping) else value
    if not isinstance(name, str):
        raise BadValue(f'{called} names a motif, as block = "star-lattice".', parameter=called)
    family = find_motif(name, parameter=called).family
    if family not in BLOCK_FAMILIES:
        raise BadValue(
            f"{called} is {name!r}, a {family}; a block takes a lattice, a form or an outline.",
            parameter=called, value=name, accepted="a lattice, a form or an outline",
        )  # fmt: skip
    used, faults = read_motif(called, family, value)
    if used is None or faults:
        raise BadValue(faults[0], parameter=called)
    return used


_READERS: Mapping[str, Callable[[Any, str], Any]] = {
    "opening": _opening, "bands": _bands, "corner": _corner, "block": _block,
}  # fmt: skip
