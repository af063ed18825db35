"""Folding itself: creases, layers, what the paper allows, and the one-snip stars."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from support import assert_one_piece

from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.folding.fold import Fold
from canivet.motifs.folding.folds import (
    accordion_fold,
    check_sheet,
    medallion_fold,
    mirror_fold,
    plane_fold,
    quarter_fold,
)
from canivet.motifs.folding.limits import (
    check_packet,
    compensate_creep,
    creep_map,
    folds_in_length,
    length_used,
    measure_packet,
)
from canivet.motifs.folding.stars import notch_radius, one_snip_star, snip_angles
from canivet.motifs.folding.unfolding import unfold
from canivet.sheets import find_sheet
from canivet.stock import Stock

FOLDS: dict[str, Callable[[], Fold]] = {
    "mirror": mirror_fold,
    "quarter": quarter_fold,
    **{f"medallion {n}": lambda n=n: medallion_fold(count=n) for n in range(2, 17)},
    "accordion 2": lambda: accordion_fold(panels=2),
    "accordion 5": lambda: accordion_fold(panels=5),
    "accordion 8, hemmed": lambda: accordion_fold(panels=8, hem=5),
    "lengthwise 6": lambda: accordion_fold(panels=6, lengthwise=True),
    "p2mm": lambda: plane_fold(group="p2mm", columns=3, rows=4, width=30, height=40),
    "p4mm": lambda: plane_fold(group="p4mm", columns=3, rows=3),
    "p3m1": lambda: plane_fold(group="p3m1", columns=2),
    "p3m1 of 54": lambda: plane_fold(group="p3m1", columns=3),
    "p6mm": lambda: plane_fold(group="p6mm", columns=1),
    "p6mm of 144": lambda: plane_fold(group="p6mm", columns=2),
}
ALL = pytest.mark.parametrize("make", FOLDS.values(), ids=FOLDS.keys())


def inner_vertices(fold: Fold) -> Iterator[tuple[Point, list[tuple[float, bool]]]]:
    """Every crossing of creases inside the sheet, with the direction of each ray from it and whether it is a valley."""
    lines = [crease.line for crease in fold.creases]
    ends = [Point(xy) for line in lines for xy in (line.coords[0], line.coords[-1])]
    crossings = [
        p for k, a in enumerate(lines) for b in lines[:k] for p in shapely.get_parts(a.intersection(b))
    ]
    inside = fold.sheet.buffer(-1e-3)
    seen: set[tuple[float, float]] = set()
    for point in (*ends, *(p for p in crossings if isinstance(p, Point))):
        key = (round(point.x, 3) + 0.0, round(point.y, 3) + 0.0)
        if key in seen or not inside.contains(point):
            continue
        seen.add(key)
        rays = [
            (math.degrees(math.atan2(xy[1] - point.y, xy[0] - point.x)) % 360, crease.valley)
            for crease in fold.creases if crease.line.distance(point) < 1e-4
            for xy in (crease.line.coords[0], crease.line.coords[-1]) if math.hypot(xy[0] - point.x, xy[1] - point.y) > 1e-3
        ]  # fmt: skip
        yield point, sorted(rays)


@ALL
def test_alternate_angles_sum_to_a_straight_one_at_every_inner_vertex(make: Callable[[], Fold]) -> None:
    # Kawasaki: alternate angles of a flat-foldable vertex sum to 180°.
    for point, rays in inner_vertices(make()):
        turns = [b - a for (a, _), (b, _) in pairwise([*rays, (rays[0][0] + 360, True)])]
        assert len(turns) % 2 == 0, point
        assert sum(turns[::2]) == pytest.approx(180, abs=1e-4), point


@ALL
def test_mountains_less_valleys_are_two_at_every_inner_vertex(make: Callable[[], Fold]) -> None:
    # Maekawa: mountains - valleys = ±2.
    for point, rays in inner_vertices(make()):
        valleys = sum(valley for _, valley in rays)
        assert abs(len(rays) - 2 * valleys) == 2, point


def test_the_creases_meet_where_they_should() -> None:
    assert len(list(inner_vertices(medallion_fold(count=7)))) == 1
    assert len(list(inner_vertices(plane_fold(group="p2mm", columns=3, rows=4)))) == 6
    assert len(list(inner_vertices(plane_fold(group="p3m1", columns=2)))) == 7
    assert not list(inner_vertices(accordion_fold(panels=5)))


@ALL
def test_the_copies_of_the_wedge_tile_the_sheet(make: Callable[[], Fold]) -> None:
    fold = make()
    copies = fold.unfolded(fold.wedge)
    whole = shapely.union_all(copies, grid_size=1e-6)
    assert whole.area == pytest.approx(fold.layers * fold.wedge.area, rel=1e-6), "they overlap"
    if fold.name != "medallion" and not fold.hem:
        assert whole.area == pytest.approx(fold.sheet.area, rel=1e-6), "they leave gaps"
    assert fold.sheet.buffer(1e-6).covers(whole)


@ALL
def test_every_layer_lies_on_the_wedge(make: Callable[[], Fold]) -> None:
    fold = make()
    for layer in fold.folding.layers:
        assert layer.shape.buffer(1e-6).covers(fold.wedge)


@pytest.mark.parametrize("count", range(2, 17))
def test_a_medallion_has_two_layers_for_every_repeat(count: int) -> None:
    fold = medallion_fold(count=count, width=100)
    assert fold.layers == 2 * count  # n-fold medallion: symmetry D_n, 2n layers, wedge of 180°/n (derived)
    assert fold.symmetry == f"D{count}"
    sector = count * 50**2 * math.pi / count
    assert sum(piece.area for piece in fold.unfolded(fold.wedge)) == pytest.approx(sector, rel=1e-3)


@settings(max_examples=15, deadline=None)
@given(count=st.integers(2, 16), out=st.floats(0.35, 0.7), size=st.floats(0.15, 0.6))
def test_an_opened_medallion_is_its_own_image_under_every_turn_and_mirror(
    count: int, out: float, size: float
) -> None:
    fold = medallion_fold(count=count, width=200)
    step = math.pi / count
    radius = out * 100
    spot = Point(radius * math.sin(step / 2), radius * math.cos(step / 2)).buffer(
        size * radius * math.sin(step / 2) * 0.8
    )
    opening = affinity.skew(spot, 12).intersection(fold.wedge)
    try:
        paper = unfold(fold, opening, strap=0.3, smallest=0.05)
    except DoesNotFit:
        return
    for k in range(count):
        turned = affinity.rotate(paper, k * 360 / count, origin=(0, 0))
        mirrored = affinity.scale(turned, -1, 1, origin=(0, 0))
        for image in (turned, mirrored):
            assert paper.symmetric_difference(image).area < 0.004 * paper.length
    lost = fold.layers * (fold.wedge.area - opening.area)
    assert paper.area == pytest.approx(lost, rel=1e-3)  # orbit area = wedge × 2n


@pytest.mark.parametrize(("folds", "used"), [(1, 0.314), (2, 1.257), (3, 4.398), (4, 15.708), (5, 58.434)])
def test_length_used_up_is_gallivans(folds: int, used: float) -> None:
    # Gallivan 2002: L = π·t/6·(2ⁿ + 4)(2ⁿ - 1), t = 0.1 mm.
    assert length_used(0.1, folds) == pytest.approx(used, abs=5e-4)


def test_the_record_strip_folds_twelve_times() -> None:
    # Gallivan 2002: 12 folds of 4000 ft of paper → t ≤ 0.1387 mm.
    strip = 4000 * 304.8
    assert strip / length_used(1, 12) == pytest.approx(0.1387, abs=5e-5)
    assert folds_in_length(strip, 0.13865) == 12
    assert folds_in_length(strip, 0.13875) == 11


def test_bends_counted_layer_by_layer_sum_as_gallivan_does() -> None:
    fold = quarter_fold()
    stock = Stock(thickness=0.1)
    halved = [1, 2, 4, 8]
    assert fold.folding.thickest == (1, 2)
    summed = sum(math.pi * 0.1 * m * (m + 1) / 2 for m in halved)
    assert summed == pytest.approx(length_used(0.1, 4))
    assert measure_packet(fold, stock).used == pytest.approx(length_used(0.1, 2))


def test_a_packet_too_thick_is_refused_and_one_just_thin_enough_is_not() -> None:
    fold = medallion_fold(count=15)
    check_packet(fold, Stock(thickness=0.1))
    with pytest.raises(DoesNotFit, match=r"30 layers, 3\.03 mm of this paper.*thickness of 0\.1 mm or less"):
        check_packet(fold, Stock(thickness=0.101))


def test_folds_that_use_up_the_wedge_are_refused_with_the_place() -> None:
    fold = accordion_fold(panels=4, width=5, height=20, lengthwise=True)
    check_packet(fold, Stock(thickness=0.3))
    with pytest.raises(DoesNotFit, match="the sheet is too small for its folds") as caught:
        check_packet(fold, Stock(thickness=1.2), thickest=20)
    assert caught.value.at is not None


@pytest.mark.parametrize(
    ("thickness", "word"), [(0.1, "knife or scissors"), (0.101, "scissors, or a knife"), (0.26, "too thick")]
)
def test_advice_follows_the_packet(thickness: float, word: str) -> None:
    # common practice, adjustable: knife to 0.6 mm, scissors to 1.5 mm of packet
    assert word in measure_packet(medallion_fold(count=3), Stock(thickness=thickness)).advice


def test_advice_can_be_set_to_ones_own_hand() -> None:
    stock = Stock(thickness=0.1)
    assert "too thick" in measure_packet(medallion_fold(count=3), stock, knife=0.2, scissors=0.5).advice
    with pytest.raises(BadValue, match="knife is 0 mm"):
        measure_packet(medallion_fold(count=3), stock, knife=0)


@ALL
def test_creep_moves_the_drawing_off_every_fold_it_can(make: Callable[[], Fold]) -> None:
    fold, stock = make(), Stock(thickness=0.05)
    a, b, c, d, e, f = creep_map(fold, stock)
    wanted = (1 - math.pi / 4) * fold.layers / 2 * 0.05
    for edge in fold.edges:
        if edge.creased:
            nx, ny = edge.normal
            for x, y in (edge.line.coords[0], edge.line.coords[-1]):
                moved = (a * x + b * y + e - x) * nx + (c * x + d * y + f - y) * ny
                assert moved == pytest.approx(wanted, abs=1e-6)


def test_compensated_openings_still_cut_through_the_fold_they_cross() -> None:
    fold = mirror_fold(width=100, height=100)
    moved = compensate_creep(fold, [Point(50, 50).buffer(10).intersection(fold.wedge)], Stock(thickness=0.3))
    assert len(moved) == 1
    assert moved[0].intersection(fold.edges[2].line).length == pytest.approx(20, abs=0.1)
    assert moved[0].bounds[2] > 60.05


@pytest.mark.parametrize(
    ("points", "layers", "wedge", "tip", "notch", "ratio"),
    [(5, 10, 36.0, 18.0, 126.0, 0.381966), (6, 12, 30.0, 30.0, 120.0, 0.57735)],
)
def test_one_snip_opens_into_a_star(
    points: int, layers: int, wedge: float, tip: float, notch: float, ratio: float
) -> None:
    # One-snip stars: 36° wedge, 10 layers; the cut meets one fold at 18° (tip) and the other at 126° (notch);
    # inner/outer radius 0.381966. Six points: 30°; 30° and 120°; 0.57735. Trigonometry.
    fold, drawing = one_snip_star(points=points, width=120)
    assert fold.layers == layers
    assert drawing.kept is not None
    assert sorted(angles_of(drawing.kept)) == pytest.approx(sorted([wedge, tip, notch]), abs=1e-6)
    assert snip_angles(points) == pytest.approx((tip, notch))
    star = unfold(fold, [], strap=1, edge=drawing.kept)
    assert_one_piece(star)
    corners = shapely.get_coordinates(star.exterior)[:-1]
    radii = np.hypot(*corners.T)
    assert len(corners) == 2 * points
    assert radii.max() == pytest.approx(60, abs=1e-3)
    assert radii.min() / radii.max() == pytest.approx(ratio, abs=1e-5)
    assert notch_radius(points) == pytest.approx(ratio, abs=5e-7)
    assert sorted(angles_of(star))[:points] == pytest.approx([2 * tip] * points, abs=1e-3)


def angles_of(shape: Polygon) -> list[float]:
    ring = shapely.get_coordinates(shapely.orient_polygons(shape).exterior)[:-1]
    ahead, behind = np.roll(ring, -1, axis=0) - ring, np.roll(ring, 1, axis=0) - ring
    turn = np.arctan2(*behind.T[::-1]) - np.arctan2(*ahead.T[::-1])
    return np.degrees(turn % (2 * np.pi)).tolist()


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: medallion_fold(count=1), "count"), (lambda: medallion_fold(count=17), "count"),
        (lambda: medallion_fold(width=19), "width"), (lambda: accordion_fold(panels=1), "panels"),
        (lambda: accordion_fold(panels=33), "panels"), (lambda: accordion_fold(width=4.9), "width"),
        (lambda: plane_fold(group="p4gm"), "group"), (lambda: plane_fold(width=7), "width"),
        (lambda: mirror_fold(height=2001), "height"), (lambda: one_snip_star(points=4), "points"),
    ],
)  # fmt: skip
def test_a_fold_outside_its_bounds_is_refused(call: Callable[[], object], name: str) -> None:
    with pytest.raises(BadValue, match=f"^{name} is") as caught:
        call()
    assert caught.value.parameter == name


def test_a_sheet_too_small_for_the_fold_is_refused_with_one_that_does() -> None:
    fold = medallion_fold(width=200)
    check_sheet(fold, find_sheet("A4"))
    with pytest.raises(DoesNotFit, match=r"needs 200 × 200 mm before folding\. Take A4"):
        check_sheet(fold, find_sheet("A5"))


def test_a_hem_stands_out_only_where_the_folds_are_open_at_the_border() -> None:
    assert accordion_fold(panels=4, hem=5).sheet.bounds == (-5, 0, 125, 80)
    assert plane_fold(group="p2mm", columns=3, rows=1, width=20, hem=4).sheet.equals(box(-4, 0, 64, 20))


@pytest.mark.parametrize(
    "call",
    [
        lambda: accordion_fold(panels=2, hem=5), lambda: plane_fold(group="p2mm", columns=2, rows=2, hem=5),
        lambda: plane_fold(group="p4mm", hem=5),
    ],
)  # fmt: skip
def test_a_hem_where_no_fold_ends_at_the_border_is_refused(call: Callable[[], object]) -> None:
    with pytest.raises(DoesNotFit, match="Leave hem at 0") as caught:
        call()
    assert caught.value.parameter == "hem"
