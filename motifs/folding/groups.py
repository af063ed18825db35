"""All seven friezes and all seventeen plane groups, for patterns cut flat; and why folding makes only some.

Fold a sheet and only mirrors come of it. In Conway's notation such a symmetry is a star followed by nothing
but digits; anything before the star (a turning centre on no mirror), a cross (a glide) or a ring (plain
shifts) is beyond folding.

References
----------
*International Tables for Crystallography*, Vol. A (plane groups: general positions and asymmetric units) and
Vol. E (friezes). Conway, Burgiel & Goodman-Strauss, *The Symmetries of Things*, 2008 (orbifold symbols and
their cost).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from canivet.errors import BadValue, suggest

from .steps import Map

__all__ = [
    "FRIEZES",
    "PLANE_GROUPS",
    "Group",
    "find_group",
    "require_foldable",
]

Lattice = Literal["oblique", "rectangular", "square", "hexagonal", "strip"]


@dataclass(frozen=True, slots=True)
class Group:
    """One symmetry of the plane or of a strip.

    Attributes
    ----------
    symbol, orbifold : str
        As in the International Tables, and Conway's.
    lattice : str
        The cell's shape.
    positions : tuple of str
        The general position in cell coordinates, as the Tables print it.
    unit : tuple of (float, float)
        Corners of the asymmetric unit in cell coordinates; for a strip y runs from 0 to 1 over its height.
    """

    symbol: str
    orbifold: str
    lattice: Lattice
    positions: tuple[str, ...]
    unit: tuple[tuple[float, float], ...]

    @property
    def strip(self) -> bool:
        """Whether it repeats one way only."""
        return self.lattice == "strip"

    @property
    def foldable(self) -> bool:
        """Whether folding a sheet makes it."""
        return self.cannot_fold is None

    @property
    def cannot_fold(self) -> str | None:
        """Return why folding cannot make it, or None where it can."""
        before, star, after = self.orbifold.partition("*")
        if not star:
            if before == "o" or before == "∞∞":
                return "it repeats by shifts alone, and a fold always leaves a mirror"
            if "×" in before:
                return "it has glides without mirrors, and a fold always leaves a mirror"
            return "it turns without mirrors, and a fold always leaves a mirror"
        if "×" in after:
            return "between its mirrors lie glides, which no fold makes"
        if before == "∞":
            return "it is shifted along its one mirror, which no fold makes"
        if before:
            return "it turns about centres that lie on no mirror, and folding turns only where creases cross"
        if "*" in after or not after:
            return "its mirrors run one way only and it is shifted along them, which no fold makes"
        return None

    @property
    def cost(self) -> Fraction:
        """Return the sum of Conway's costs, exactly 2 for every group of the plane and of the strip."""
        total, starred = Fraction(0), False
        for sign in self.orbifold:
            if sign == "o":
                total += 2
            elif sign in "*×":
                total += 1
                starred = starred or sign == "*"
            else:
                share = Fraction(1) if sign == "∞" else Fraction(int(sign) - 1, int(sign))
                total += share / 2 if starred else share
        return total

    @property
    def maps(self) -> list[Map]:
        """Return the general position as maps in cell coordinates."""
        return [_read_position(text) for text in self.positions]


_THIRD = 1 / 3


def _plane(
    symbol: str, orbifold: str, lattice: Lattice, positions: str, unit: Sequence[tuple[float, float]]
) -> Group:
    return Group(symbol, orbifold, lattice, tuple(positions.split("; ")), tuple(unit))


def _oblong(x: float, y: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))


_P4 = "x,y; -x,-y; -y,x; y,-x"
_P3 = "x,y; -y,x-y; -x+y,-x"
_P6 = f"{_P3}; -x,-y; y,-x+y; x-y,x"
_P3_UNIT = ((0.0, 0.0), (0.5, 0.0), (2 * _THIRD, _THIRD), (_THIRD, 2 * _THIRD), (0.0, 0.5))
_P3M1_UNIT = ((0.0, 0.0), (2 * _THIRD, _THIRD), (_THIRD, 2 * _THIRD))
_P31M_UNIT = ((0.0, 0.0), (0.5, 0.0), (2 * _THIRD, _THIRD), (0.5, 0.5))

PLANE_GROUPS: dict[str, Group] = {
    group.symbol: group
    for group in (
        _plane("p1", "o", "oblique", "x,y", _oblong(1, 1)),
        _plane("p2", "2222", "oblique", "x,y; -x,-y", _oblong(0.5, 1)),
        _plane("pm", "**", "rectangular", "x,y; -x,y", _oblong(0.5, 1)),
        _plane("pg", "××", "rectangular", "x,y; -x,y+1/2", _oblong(0.5, 1)),
        _plane("cm", "*×", "rectangular", "x,y; -x,y; x+1/2,y+1/2; -x+1/2,y+1/2", _oblong(0.5, 0.5)),
        _plane("p2mm", "*2222", "rectangular", "x,y; -x,-y; -x,y; x,-y", _oblong(0.5, 0.5)),
        _plane("p2mg", "22*", "rectangular", "x,y; -x,-y; -x+1/2,y; x+1/2,-y", _oblong(0.25, 1)),
        _plane("p2gg", "22×", "rectangular", "x,y; -x,-y; -x+1/2,y+1/2; x+1/2,-y+1/2", _oblong(0.5, 0.5)),
        _plane(
            "c2mm", "2*22", "rectangular",
            "x,y; -x,-y; -x,y; x,-y; x+1/2,y+1/2; -x+1/2,-y+1/2; -x+1/2,y+1/2; x+1/2,-y+1/2",
            _oblong(0.25, 0.5),
        ),
        _plane("p4", "442", "square", _P4, _oblong(0.5, 0.5)),
        _plane("p4mm", "*442", "square", f"{_P4}; -x,y; x,-y; y,x; -y,-x", ((0, 0), (0.5, 0.5), (0, 0.5))),
        _plane(
            "p4gm", "4*2", "square", f"{_P4}; -x+1/2,y+1/2; x+1/2,-y+1/2; y+1/2,x+1/2; -y+1/2,-x+1/2",
            ((0, 0), (0.5, 0), (0, 0.5)),
        ),
        _plane("p3", "333", "hexagonal", _P3, _P3_UNIT),
        _plane("p3m1", "*333", "hexagonal", f"{_P3}; -y,-x; -x+y,y; x,x-y", _P3M1_UNIT),
        _plane("p31m", "3*3", "hexagonal", f"{_P3}; y,x; x-y,-y; -x,-x+y", _P31M_UNIT),
        _plane("p6", "632", "hexagonal", _P6, _P31M_UNIT),
        _plane(
            "p6mm", "*632", "hexagonal", f"{_P6}; -y,-x; -x+y,y; x,x-y; y,x; x-y,-y; -x,-x+y",
            ((0, 0), (0.5, 0), (2 * _THIRD, _THIRD)),
        ),
    )
}  # fmt: skip
"""The seventeen plane groups by symbol (International Tables, Vol. A)."""

FRIEZES: dict[str, Group] = {
    group.symbol: group
    for group in (
        _plane("p1", "∞∞", "strip", "x,y", _oblong(1, 1)),
        _plane("p11g", "∞×", "strip", "x,y; x+1/2,-y+1", _oblong(0.5, 1)),
        _plane("p1m1", "*∞∞", "strip", "x,y; -x,y", _oblong(0.5, 1)),
        _plane("p11m", "∞*", "strip", "x,y; x,-y+1", _oblong(1, 0.5)),
        _plane("p2", "22∞", "strip", "x,y; -x,-y+1", _oblong(0.5, 1)),
        _plane("p2mg", "2*∞", "strip", "x,y; -x,-y+1; -x+1/2,y; x+1/2,-y+1", _oblong(0.25, 1)),
        _plane("p2mm", "*22∞", "strip", "x,y; -x,-y+1; -x,y; x,-y+1", _oblong(0.5, 0.5)),
    )
}
"""The seven friezes by symbol (International Tables, Vol. E), the strip's middle line at half its height."""


def find_group(symbol: str, *, strip: bool = False, parameter: str = "group") -> Group:
    """Return the group of that symbol.

    Raises
    ------
    BadValue
        If there is none.

    Examples
    --------
    >>> find_group("p4mm").cost
    Fraction(2, 1)
    """
    known = FRIEZES if strip else PLANE_GROUPS
    key = str(symbol).strip()
    if key in known:
        return known[key]
    what = "frieze" if strip else "plane group"
    raise BadValue(
        f"{parameter} is {symbol!r}; the {what}s are: {', '.join(known)}.{suggest(key, known)}",
        parameter=parameter, value=symbol, accepted=", ".join(known),
    )  # fmt: skip


def require_foldable(symbol: str, *, strip: bool = False) -> Group:
    """Return the group if folding makes it.

    Raises
    ------
    BadValue
        If not, with the reason, and what to do instead.

    Examples
    --------
    >>> require_foldable("p6mm").symbol
    'p6mm'
    """
    group = find_group(symbol, strip=strip)
    if group.cannot_fold:
        able = [g.symbol for g in (FRIEZES if strip else PLANE_GROUPS).values() if g.foldable]
        raise BadValue(
            f"group is {symbol!r}; folding cannot make it: {group.cannot_fold}. Fold one of "
            f"{', '.join(able)}, or draw it flat.",
            parameter="group", value=symbol, accepted=", ".join(able),
        )  # fmt: skip
    return group


def _read_position(text: str) -> Map:
    """Read a general position such as ``-x+1/2,y`` as a map."""
    rows = []
    for part in text.split(","):
        signed = part.replace("-", "+-").split("+")
        row = [0.0, 0.0, 0.0]
        for term in (term for term in signed if term):
            sign, name = (-1.0, term[1:]) if term.startswith("-") else (1.0, term)
            if name in ("x", "y"):
                row["xy".index(name)] += sign
            else:
                row[2] += sign * float(Fraction(name))
        rows.append(row)
    (a, b, e), (c, d, f) = rows
    return (a, b, c, d, e, f)
