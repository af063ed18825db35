"""Every pattern that is drawn is looked at by a classifier that knows nothing of how it was drawn."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import pytest
import shapely
from shapely.affinity import affine_transform, rotate, scale
from shapely.geometry import Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.folding.flat_patterns import (
    _basis,
    _in_mm,
    flat_frieze,
    flat_pattern,
    leaf_in_unit,
    unit_of,
)
from canivet.motifs.folding.fold import Fold
from canivet.motifs.folding.folds import accordion_fold, medallion_fold, plane_fold
from canivet.motifs.folding.groups import FRIEZES, PLANE_GROUPS, find_group, require_foldable
from canivet.motifs.folding.unfolding import unfold

NEAR = 0.03  # mm; corners are rounded to a micrometre, and far from the reference that tells a little


@dataclass(frozen=True)
class Move:
    """x → linear · x + shift."""

    linear: np.ndarray
    shift: np.ndarray

    @property
    def mirrored(self) -> bool:
        return bool(np.linalg.det(self.linear) < 0)

    @property
    def order(self) -> int:
        turn = abs(math.atan2(self.linear[1, 0], self.linear[0, 0]))
        return 1 if turn < 0.01 else round(2 * math.pi / turn)

    @property
    def centre(self) -> np.ndarray:
        return np.linalg.solve(np.eye(2) - self.linear, self.shift)

    @property
    def axis(self) -> np.ndarray:
        """The direction of a mirror line, of either sign."""
        turn = math.atan2(self.linear[1, 0], self.linear[0, 0]) / 2
        return np.array([math.cos(turn), math.sin(turn)])

    @property
    def glide(self) -> float:
        return float(self.shift @ self.axis)

    def off_axis(self, point: np.ndarray) -> float:
        """How far a point is from the mirror line."""
        normal = np.array([-self.axis[1], self.axis[0]])
        return abs(float((point - self.shift / 2) @ normal))


def corners_in_order(opening: Polygon) -> np.ndarray:
    """The corners of a scalene triangle, by the length of the side that faces each."""
    xy = shapely.get_coordinates(opening)[:-1]
    assert len(xy) == 3
    facing = [np.hypot(*(xy[(k + 1) % 3] - xy[(k + 2) % 3])) for k in range(3)]
    return xy[np.argsort(facing)]


def moves_between(openings: list[Polygon]) -> list[Move]:
    """The isometries that carry the opening nearest the middle onto each of the others."""
    triangles = np.array([corners_in_order(opening) for opening in openings])
    middles = triangles.mean(axis=1)
    first = triangles[np.argmin(np.hypot(*(middles - middles.mean(axis=0)).T))]
    moves = []
    here = np.column_stack([first[1] - first[0], first[2] - first[0]])
    for other in triangles:
        there = np.column_stack([other[1] - other[0], other[2] - other[0]])
        linear = there @ np.linalg.inv(here)
        assert np.allclose(linear @ linear.T, np.eye(2), atol=0.02), "a copy is not congruent"
        moves.append(Move(linear, other[0] - linear @ first[0]))
    return moves


def reference(openings: list[Polygon]) -> np.ndarray:
    triangles = np.array([corners_in_order(opening) for opening in openings])
    middles = triangles.mean(axis=1)
    return middles[np.argmin(np.hypot(*(middles - middles.mean(axis=0)).T))]


def same_direction(one: np.ndarray, other: np.ndarray) -> bool:
    return abs(one[0] * other[1] - one[1] * other[0]) < 0.02


def classify_plane(openings: list[Polygon]) -> str:
    """Schattschneider's questions: highest turn, mirrors, glides off the mirrors, centres off the mirrors."""
    moves, at = moves_between(openings), reference(openings)
    mirrors = [m for m in moves if m.mirrored and abs(m.glide) < NEAR]
    glides = [m for m in moves if m.mirrored and abs(m.glide) >= NEAR and not lies_on(m, mirrors)]
    turns = [m for m in moves if not m.mirrored and m.order > 1]
    highest = max((m.order for m in turns), default=1)
    span = max(float(np.hypot(*(m.linear @ at + m.shift - at))) for m in moves)
    near = [m for m in turns if m.order == highest and np.hypot(*(m.centre - at)) < span / 4]
    centred = all(any(m.off_axis(turn.centre) < NEAR for m in mirrors) for turn in near)
    both_ways = any(not same_direction(a.axis, b.axis) for a in mirrors for b in mirrors)
    if highest == 1:
        return ("cm" if glides else "pm") if mirrors else ("pg" if glides else "p1")
    if highest == 2:
        if not mirrors:
            return "p2gg" if glides else "p2"
        return ("p2mm" if centred else "c2mm") if both_ways else "p2mg"
    plain, full, half = {3: ("p3", "p3m1", "p31m"), 4: ("p4", "p4mm", "p4gm"), 6: ("p6", "p6mm", "")}[highest]
    return plain if not mirrors else full if centred else half


def lies_on(glide: Move, mirrors: list[Move]) -> bool:
    """Whether a glide runs along a mirror, and so is a mirror and a shift."""
    return any(same_direction(glide.axis, m.axis) and m.off_axis(on_axis(glide)) < NEAR for m in mirrors)


def on_axis(move: Move) -> np.ndarray:
    return move.shift / 2 - move.axis * float(move.shift / 2 @ move.axis)


def classify_frieze(openings: list[Polygon]) -> str:
    moves = moves_between(openings)
    upright = np.array([0.0, 1.0])
    across = any(m.mirrored and same_direction(m.axis, upright) for m in moves)
    along = [m for m in moves if m.mirrored and not same_direction(m.axis, upright)]
    lengthwise = any(abs(m.glide) < NEAR for m in along)
    turned = any(not m.mirrored and m.order == 2 for m in moves)
    if turned and across:
        return "p2mm" if lengthwise else "p2mg"
    if turned:
        return "p2"
    if across:
        return "p1m1"
    return "p11m" if lengthwise else "p11g" if along else "p1"


def scalene(unit: Polygon) -> Polygon:
    """A triangle like no other about the middle of a unit, small enough to stay a strap off its images."""
    x, y = unit.centroid.coords[0]
    circle = shapely.maximum_inscribed_circle(unit, tolerance=0.01)
    (cx, cy), radius = circle.coords[0], circle.length
    size = 0.55 * radius
    triangle = Polygon([(0.9, 0.1), (-0.8, 0.62), (-0.25, -0.85)])
    return affine_transform(triangle, (size, 0, 0, size, (x + 3 * cx) / 4, (y + 3 * cy) / 4))


@pytest.mark.parametrize("symbol", PLANE_GROUPS)
def test_every_plane_group_is_the_one_it_says(symbol: str) -> None:
    group = find_group(symbol)
    unit = unit_of(group, cell=34, ratio=1.3)
    paper = flat_pattern(
        symbol, scalene(unit), width=230, height=230, cell=34, ratio=1.3, strap=0.5, smallest=0.2
    )
    openings = [Polygon(ring) for ring in paper.interiors if len(ring.coords) == 4]
    whole = [o for o in openings if math.isclose(o.area, scalene(unit).area, rel_tol=0.01)]
    assert classify_plane(whole) == symbol


@pytest.mark.parametrize("symbol", FRIEZES)
def test_every_frieze_is_the_one_it_says(symbol: str) -> None:
    basis = np.array([(40.0, 0.0), (0.0, 40.0)])
    motif = scalene(Polygon(np.array(find_group(symbol, strip=True).unit) @ basis))
    paper = flat_frieze(symbol, motif, repeat=40, height=40, count=7, strap=0.5, smallest=0.2, rim=1)
    whole = [o for o in map(Polygon, paper.interiors) if math.isclose(o.area, motif.area, rel_tol=0.01)]
    assert classify_frieze(whole) == symbol


FOLDED: list[tuple[str, Callable[[], Fold], Callable[[list[Polygon]], str]]] = [
    ("p1m1", lambda: accordion_fold(panels=8, width=24, height=30), classify_frieze),
    ("p2mm", lambda: accordion_fold(panels=8, width=24, height=60, lengthwise=True), classify_frieze),
    ("p2mm", lambda: plane_fold(group="p2mm", columns=6, rows=7, width=20, height=26), classify_plane),
    ("p4mm", lambda: plane_fold(group="p4mm", columns=6, rows=6, width=30), classify_plane),
    ("p3m1", lambda: plane_fold(group="p3m1", columns=3, width=40), classify_plane),
    ("p6mm", lambda: plane_fold(group="p6mm", columns=2, width=70), classify_plane),
]


@pytest.mark.parametrize(
    ("symbol", "make", "classify"), FOLDED, ids=[f"{s}-{k}" for k, (s, *_) in enumerate(FOLDED)]
)
def test_a_folded_sheet_has_the_symmetry_of_its_fold(
    symbol: str, make: Callable[[], Fold], classify: Callable[[list[Polygon]], str]
) -> None:
    fold = make()
    paper = unfold(fold, scalene(fold.wedge), strap=0.5, smallest=0.2)
    assert fold.symmetry == symbol
    assert len(paper.interiors) == fold.layers
    assert classify([Polygon(ring) for ring in paper.interiors]) == symbol


@pytest.mark.parametrize("count", range(2, 17))
def test_a_medallion_has_as_many_turns_as_mirrors_about_its_middle(count: int) -> None:
    fold = medallion_fold(count=count, width=240)
    moves = moves_between(
        [Polygon(r) for r in unfold(fold, scalene(fold.wedge), strap=0.5, smallest=0.2).interiors]
    )
    assert sum(m.mirrored for m in moves) == count  # symmetry D_n, 2n layers: derived
    assert sum(not m.mirrored for m in moves) == count
    assert all(np.hypot(*m.centre) < NEAR for m in moves if not m.mirrored and m.order > 1)
    assert all(m.off_axis(np.zeros(2)) < NEAR and abs(m.glide) < NEAR for m in moves if m.mirrored)


@pytest.mark.parametrize("symbol", PLANE_GROUPS)
def test_the_leaf_drawn_flat_has_no_symmetry_of_its_own_and_holds(symbol: str) -> None:
    leaf = leaf_in_unit(find_group(symbol), strap=1.2)
    for turn in range(0, 180, 15):
        mirrored = scale(rotate(leaf, turn, origin="centroid"), -1, 1, origin=leaf.centroid)
        assert leaf.symmetric_difference(mirrored).area > 0.08 * leaf.area
    assert leaf.symmetric_difference(rotate(leaf, 180, origin="centroid")).area > 0.08 * leaf.area
    assert len(flat_pattern(symbol, leaf, width=90, height=90, strap=1.2).interiors) > 3


def test_the_magic_theorem_costs_exactly_two() -> None:
    # Conway's Magic Theorem: exactly 2 for each of the 17 and of the 7.
    assert len(PLANE_GROUPS) == 17
    assert len(FRIEZES) == 7
    for group in (*PLANE_GROUPS.values(), *FRIEZES.values()):
        assert group.cost == Fraction(2), group.symbol


# Area of the asymmetric unit as a share of the conventional cell: group theory, derived; p4mm 1/8, p6mm 1/12,
# p2mm 1/4, c2mm 1/8 of the centred cell. International Tables for Crystallography, Vol. A.
UNIT_SHARES = {
    "p1": 1, "p2": 2, "pm": 2, "pg": 2, "cm": 4, "p2mm": 4, "p2mg": 4, "p2gg": 4, "c2mm": 8, "p4": 4, "p4mm": 8,
    "p4gm": 8, "p3": 3, "p3m1": 6, "p31m": 6, "p6": 6, "p6mm": 12,
}  # fmt: skip


@pytest.mark.parametrize("symbol", PLANE_GROUPS)
def test_the_asymmetric_unit_has_its_share_of_the_cell(symbol: str) -> None:
    group = find_group(symbol)
    cell = abs(np.linalg.det(_basis(group.lattice, 10, 1.3, 75)))
    assert unit_of(group, cell=10, ratio=1.3).area == pytest.approx(cell / UNIT_SHARES[symbol])


@pytest.mark.parametrize("symbol", PLANE_GROUPS)
def test_the_asymmetric_units_tile_the_plane(symbol: str) -> None:
    group = find_group(symbol)
    basis = _basis(group.lattice, 10, 1.3, 75)
    unit = unit_of(group, cell=10, ratio=1.3)
    units = [
        affine_transform(affine_transform(unit, _in_mm(m, basis)), (1, 0, 0, 1, *(np.array([i, j]) @ basis)))
        for m in group.maps for i in range(-2, 4) for j in range(-2, 4)
    ]  # fmt: skip
    cell = Polygon(np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) @ basis)
    parts = [u.intersection(cell).area for u in units]
    assert sum(parts) == pytest.approx(cell.area), "they overlap or leave gaps"
    assert shapely.union_all(units, grid_size=1e-6).buffer(1e-4).covers(cell)


def test_folding_alone_makes_two_friezes_and_four_plane_groups() -> None:
    # A plain accordion gives p1m1; with a lengthwise fold too, p2mm. The other five friezes cannot be had by folding
    # alone: reflection argument, derived.
    assert [s for s, g in FRIEZES.items() if g.foldable] == ["p1m1", "p2mm"]
    assert [s for s, g in PLANE_GROUPS.items() if g.foldable] == ["p2mm", "p4mm", "p3m1", "p6mm"]


@pytest.mark.parametrize("symbol", [s for s, g in PLANE_GROUPS.items() if not g.foldable])
def test_a_group_that_folding_cannot_make_is_refused_with_the_reason(symbol: str) -> None:
    with pytest.raises(
        BadValue, match=r"folding cannot make it: .*Fold one of p2mm.*or draw it flat"
    ) as caught:
        require_foldable(symbol)
    assert caught.value.parameter == "group"


def test_an_unknown_group_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(BadValue, match=r"Did you mean 'p6mm'"):
        find_group("p6m")


def test_flat_openings_that_close_round_paper_are_refused_with_the_place() -> None:
    arc = shapely.Point(0, 0).buffer(8).difference(shapely.Point(0, 0).buffer(5))
    with pytest.raises(DoesNotFit, match="close round paper at") as caught:
        flat_pattern("p4", arc.intersection(shapely.box(0, 0, 9, 9)), width=90, height=90, cell=30)
    assert caught.value.at is not None


def test_flat_openings_too_near_one_another_are_refused_with_the_place() -> None:
    with pytest.raises(DoesNotFit, match="does not hold") as caught:
        flat_pattern("p2mm", shapely.box(0.3, 0.3, 9, 9), width=90, height=90, cell=30)
    assert caught.value.at is not None
