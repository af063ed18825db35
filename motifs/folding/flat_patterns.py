"""Patterns cut flat with any of the friezes and plane groups, from one leaf."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from canivet.audit.strength import check_strength
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_length, format_mm

from .groups import Group, Lattice, find_group
from .steps import Map
from .unfolding import parts_of

__all__ = ["flat_frieze", "flat_pattern", "leaf_in_unit", "unit_of"]


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
