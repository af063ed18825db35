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

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.audit.strength import check_strength
from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import format_length, format_mm

from .steps import Map
from .unfolding import parts_of

__all__ = [
    "FRIEZES",
    "PLANE_GROUPS",
    "Group",
    "find_group",
    "flat_frieze",
    "flat_pattern",
    "leaf_in_unit",
    "require_foldable",
    "unit_of",
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


def find_group(symbol: str, *, strip: bool = False) -> Group:
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
        f"group is {symbol!r}; the {what}s are: {', '.join(known)}.{suggest(key, known)}",
        parameter="group", value=symbol, accepted=", ".join(known),
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


def flat_pattern(
    symbol: str,
    openings: BaseGeometry | Sequence[BaseGeometry],
    *,
    width: float,
    height: float,
    cell: float = 30.0,
    ratio: float = 1.0,
    tilt_deg: float = 75.0,
    strap: float = 1.2,
    smallest: float = 0.5,
    rim: float = 5.0,
) -> Polygon:
    """A sheet cut flat, unfolded, with openings that repeat by one of the seventeen plane groups.

    Parameters
    ----------
    symbol : str
        A key of `PLANE_GROUPS`.
    openings : geometry, or several
        Of one asymmetric unit, in cell coordinates scaled to mm: see `unit_of`. They may reach past the unit
        where their images join them.
    width, height : float
        Of the sheet, mm.
    cell : float
        Length of the cell's first side, mm, default 30.
    ratio : float
        Second side over first, for oblique and rectangular cells.
    tilt_deg : float
        Angle of an oblique cell.
    strap, smallest, rim : float
        mm; openings are cut off at the rim, and what is too small of them left out.

    Returns
    -------
    Polygon
        One piece that holds at the strap.

    Raises
    ------
    BadValue, DoesNotFit
        If the group is not known, or openings meet or come too near one another.
    """
    group = find_group(symbol)
    basis = _basis(group.lattice, cell, ratio, tilt_deg)
    sheet, inside = box(0, 0, width, height), box(rim, rim, width - rim, height - rim)
    copies = _repeated(group, parts_of(openings), basis, inside)
    return _cut(sheet, inside, copies, strap, smallest)


def flat_frieze(
    symbol: str,
    openings: BaseGeometry | Sequence[BaseGeometry],
    *,
    repeat: float,
    height: float,
    count: int,
    strap: float = 1.2,
    smallest: float = 0.5,
    rim: float = 3.0,
) -> Polygon:
    """A strip cut flat, unfolded, with openings that repeat by one of the seven friezes.

    Parameters
    ----------
    symbol : str
        A key of `FRIEZES`.
    openings : geometry, or several
        Of one repeat, in mm: x along the strip from 0 to `repeat`, y from 0 to `height`.
    repeat, height : float
        mm.
    count : int
        How many repeats, 1 to 60.
    strap, smallest, rim : float
        mm; the strip is a rim longer at either end.

    Returns
    -------
    Polygon

    Raises
    ------
    BadValue, DoesNotFit
        As for `flat_pattern`.

    Examples
    --------
    >>> from shapely import Point
    >>> strip = flat_frieze("p11g", Point(5, 5).buffer(2), repeat=20, height=20, count=3)
    >>> len(strip.interiors)
    6
    """
    group = find_group(symbol, strip=True)
    if not 1 <= count <= 60:
        raise BadValue(
            f"count is {count}; it takes 1 to 60 repeats.", parameter="count", value=count, accepted="1 to 60"
        )
    basis = np.array([(repeat, 0.0), (0.0, height)])
    sheet = box(-rim, 0, count * repeat + rim, height)
    inside = box(0, rim, count * repeat, height - rim)
    return _cut(sheet, inside, _repeated(group, parts_of(openings), basis, inside), strap, smallest)


def unit_of(group: Group, *, cell: float = 30.0, ratio: float = 1.0, tilt_deg: float = 75.0) -> Polygon:
    """Return the asymmetric unit in mm: what one draws in.

    Examples
    --------
    >>> round(unit_of(find_group("p4mm"), cell=10).area, 2)
    12.5
    """
    basis = _basis(group.lattice, cell, ratio, tilt_deg)
    return Polygon(np.array(group.unit) @ basis)


def leaf_in_unit(
    group: Group, *, strap: float, cell: float = 30.0, ratio: float = 1.0, tilt_deg: float = 75.0
) -> Polygon:
    """Return a bent drop, no mirror image of itself, as large as the asymmetric unit takes.

    Parameters
    ----------
    group : Group
        Whose unit it lies in, half a strap from every side.
    strap : float
        mm.
    cell, ratio, tilt_deg
        As for `flat_pattern`.

    Raises
    ------
    DoesNotFit
        If the unit is too small for the strap.

    Examples
    --------
    >>> group = find_group("p4")
    >>> leaf_in_unit(group, strap=1).within(unit_of(group))
    True
    """
    inner = unit_of(group, cell=cell, ratio=ratio, tilt_deg=tilt_deg).buffer(
        -strap / 2 - 0.01, join_style="mitre"
    )
    if inner.is_empty or shapely.maximum_inscribed_circle(inner).length < 1.5:
        raise DoesNotFit(
            f"cell is {format_length(cell)}; a strap of {format_length(strap)} leaves no room for a leaf in "
            "the asymmetric unit. Enlarge cell, or lower strap.",
            parameter="cell", value=cell, accepted="a cell with room for an opening",
        )  # fmt: skip
    t = np.linspace(0, 2 * math.pi, 61)[:-1]
    drop = np.column_stack([0.66 * np.sin(t) * np.sin(t / 2) ** 2.2, np.cos(t)])
    bent = drop + np.column_stack([0.42 * (drop[:, 1] + 0.3) ** 2, np.zeros(60)])
    best = Polygon()
    middle = shapely.maximum_inscribed_circle(inner, tolerance=0.01)
    x, y = shapely.get_coordinates(middle)[0]
    for turn, long in product(np.linspace(0, 2 * math.pi, 25)[:-1], (1.0, 1.5, 2.2)):
        c, s = math.cos(turn), math.sin(turn)
        shape = Polygon(bent * (1.0, long))
        about = shape.centroid
        shape = affine_transform(shape, (c, -s, s, c, s * about.y - c * about.x, -s * about.x - c * about.y))
        for size in np.geomspace(0.7, 2.8, 25) * middle.length:
            leaf = affine_transform(shape, (size, 0, 0, size, x, y))
            if leaf.area > best.area and inner.covers(leaf):
                best = leaf
    return best


def _basis(lattice: Lattice, cell: float, ratio: float, tilt_deg: float) -> np.ndarray:
    """Return the cell's two sides as rows, mm."""
    angle = {"hexagonal": 120.0, "oblique": tilt_deg}.get(lattice, 90.0)
    second = cell * (ratio if lattice in ("oblique", "rectangular") else 1.0)
    turn = math.radians(angle)
    return np.array([(cell, 0.0), (second * math.cos(turn), second * math.sin(turn))])


def _repeated(group: Group, openings: Sequence[Polygon], basis: np.ndarray, inside: Polygon) -> list[Polygon]:
    """Return every copy of the openings that touches the region."""
    back = np.linalg.inv(basis)
    corners = shapely.get_coordinates(inside) @ back
    spread = np.vstack([shapely.get_coordinates(list(openings)) @ back]) if openings else np.zeros((1, 2))
    reach = np.ceil(np.abs(spread).max()) + 2
    low, high = np.floor(corners.min(axis=0) - reach), np.ceil(corners.max(axis=0) + reach)
    columns = range(int(low[0]), int(high[0]) + 1)
    rows = [0] if group.strip else range(int(low[1]), int(high[1]) + 1)
    shapely.prepare(inside)
    copies = []
    for m in group.maps:
        for opening in openings:
            first = affine_transform(opening, _in_mm(m, basis))
            for i in columns:
                for j in rows:
                    dx, dy = np.array([i, j]) @ basis
                    copy = affine_transform(first, (1, 0, 0, 1, float(dx), float(dy)))
                    if inside.intersects(copy):
                        copies.append(copy)
    return copies


def _in_mm(m: Map, basis: np.ndarray) -> Map:
    """Return a map of cell coordinates as a map of the plane."""
    linear = np.array([(m[0], m[1]), (m[2], m[3])])
    turned = basis.T @ linear @ np.linalg.inv(basis.T)
    shift = np.array([m[4], m[5]]) @ basis
    a, b, c, d = turned.ravel().tolist()
    return (a, b, c, d, float(shift[0]), float(shift[1]))


def _cut(sheet: Polygon, inside: Polygon, copies: list[Polygon], strap: float, smallest: float) -> Polygon:
    joined = shapely.get_parts(shapely.union_all(copies, grid_size=1e-4).intersection(inside))
    openings = [part for part in joined if part.geom_type == "Polygon" and part.area > 1e-3]
    hollow = next((part for part in openings if len(part.interiors)), None)
    if hollow is not None:
        at = Polygon(hollow.interiors[0]).representative_point()
        raise DoesNotFit(
            f"openings close round paper at ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm, which would "
            "fall out. Draw them smaller, or further inside the unit.",
            parameter="openings", accepted="openings that hold no island", at=(at.x, at.y),
        )  # fmt: skip
    kept = [part for part in openings if not part.buffer(-smallest, quad_segs=8).is_empty]
    paper = Polygon(sheet.exterior, [part.exterior for part in kept])
    report = check_strength(paper, strap=strap, smallest=0.0)
    if report.necks or report.limbs:
        weak = report.necks[0] if report.necks else report.limbs[0]
        raise DoesNotFit(
            f"the pattern does not hold: {format_length(weak.width)} of paper at "
            f"({format_mm(weak.at[0], 1)}, "
            f"{format_mm(weak.at[1], 1)}) mm; the strap is {format_length(strap)}. Draw the openings "
            "smaller, or enlarge cell.",
            parameter="openings", value=weak.width, accepted=f"straps of {format_length(strap)}", at=weak.at,
        )  # fmt: skip
    return paper


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
