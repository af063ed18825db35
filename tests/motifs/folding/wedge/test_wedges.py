"""What is cut in a wedge, and what it opens into."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from strategies import seeds
from support import assert_one_piece, rings_of

from canivet.audit.strength import check_strength
from canivet.errors import BadValue, CanivetError, DoesNotFit
from canivet.motifs.folding.fold import Fold
from canivet.motifs.folding.folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold
from canivet.motifs.folding.unfolding import unfold
from canivet.motifs.folding.wedge.fitting import clip_to_wedge, fit_openings
from canivet.motifs.folding.wedge.lanes import depth_of, lay_lanes
from canivet.motifs.folding.wedge.ornaments import UNITS, find_unit
from canivet.motifs.folding.wedge.rings import EDGES, Border, Ring, draw_rings, seeded_rings, takes_border
from canivet.motifs.outlines import oval

STRAP = 1.3

FOLDS: list[Fold] = [
    mirror_fold(width=90, height=110),
    quarter_fold(width=110, height=90),
    *(medallion_fold(count=n, width=150) for n in (2, 3, 4, 5, 6, 7, 8, 11, 12, 16)),
    accordion_fold(panels=3, width=30, height=60),
    accordion_fold(panels=4, width=30, height=60, hem=4),
    accordion_fold(panels=4, width=32, height=90, lengthwise=True),
    plane_fold(group="p2mm", columns=3, rows=3, width=30, height=40, hem=4),
    plane_fold(group="p2mm", columns=2, rows=3, width=34),
    plane_fold(group="p4mm", columns=2, rows=3, width=45),
    plane_fold(group="p3m1", columns=2, width=50),
    plane_fold(group="p6mm", columns=1, width=90),
]
folds = st.sampled_from(FOLDS)
rings = st.builds(
    Ring, motif=st.sampled_from(sorted(UNITS)), share=st.floats(0.6, 1.5), count=st.integers(1, 4),
    at=st.sampled_from(["fold", "between"]), divisions=st.integers(1, 6), width=st.floats(0.4, 1.0), turned=st.booleans(),
    fill=st.booleans(),
)  # fmt: skip


def opened(fold: Fold, chosen: list[Ring], eye: float, border: Border | None) -> Polygon | None:
    """The opened piece, or None where the wedge has no room for what was asked."""
    border = border if takes_border(fold) else None
    try:
        drawing = draw_rings(fold, chosen, strap=STRAP, eye=eye, border=border)
    except CanivetError as error:
        assert error.parameter in ("rings", "border"), error
        return None
    return unfold(fold, drawing.openings, strap=STRAP, rim=1.5 * STRAP, edge=drawing.kept)


@settings(max_examples=12, deadline=None)
@given(
    fold=folds, chosen=st.lists(rings, min_size=1, max_size=3), eye=st.sampled_from([0.0, 3.0, 5.0, -4.0]),
    border=st.builds(Border, st.sampled_from(EDGES), st.integers(1, 3), st.floats(2, 6)),
)  # fmt: skip
def test_every_ring_of_motifs_in_every_fold_opens_into_a_piece_that_holds(
    fold: Fold, chosen: list[Ring], eye: float, border: Border
) -> None:
    paper = opened(fold, chosen, eye, border)
    if paper is not None:
        assert_one_piece(paper)
        assert check_strength(paper, strap=STRAP, smallest=0.4).holds


@pytest.mark.slow
@pytest.mark.parametrize("motif", sorted(UNITS))
def test_every_motif_holds_in_every_fold(motif: str) -> None:
    for fold in FOLDS:
        for at in ("fold", "between"):
            for fill in (False, True):
                ring = Ring(motif, at=at, fill=fill, count=2, divisions=2)  # type: ignore[arg-type]
                paper = opened(fold, [Ring("drops", share=0.6), ring], 3.0, Border("scallops", 1, 4))
                if paper is not None:
                    assert_one_piece(paper)


@settings(max_examples=8, deadline=None)
@given(seed=seeds, fold=folds)
def test_a_seed_draws_the_same_piece_again_and_one_that_holds(seed: int, fold: Fold) -> None:
    chosen = seeded_rings(fold, seed, most=2)
    assert chosen == seeded_rings(fold, seed, most=2)
    paper = opened(fold, chosen, 3.0, None)
    assert paper is None or check_strength(paper, strap=STRAP).holds


def test_seeds_differ() -> None:
    fold = medallion_fold()
    assert len({tuple(ring.motif for ring in seeded_rings(fold, seed)) for seed in range(12)}) > 9


@pytest.mark.parametrize("motif", sorted(UNITS))
def test_every_motif_is_its_own_mirror_image(motif: str) -> None:
    for divisions in (1, 2, 4):
        unit = shapely.union_all([Polygon(ring).buffer(0) for ring in find_unit(motif)(divisions)])
        mirrored = affinity.scale(unit, -1, 1, origin=(0, 0))
        assert unit.symmetric_difference(mirrored).area < 1e-9 + 1e-6 * unit.area
        assert unit.within(box(-1, 0, 1, 1).buffer(0.02))
        assert unit.area > 0.15


@pytest.mark.parametrize("motif", sorted(UNITS))
def test_the_openings_of_one_unit_do_not_overlap(motif: str) -> None:
    for divisions in (1, 2, 4):
        parts = [Polygon(ring).buffer(0) for ring in find_unit(motif)(divisions)]
        assert sum(part.area for part in parts) == pytest.approx(shapely.union_all(parts).area, rel=0.08)


def test_an_opening_across_a_crease_opens_whole() -> None:
    fold = mirror_fold(width=100, height=100)
    paper = unfold(fold, clip_to_wedge(fold, Point(50, 50).buffer(12, quad_segs=32)), strap=2)
    (ring,) = rings_of(paper)
    assert ring.symmetric_difference(Point(50, 50).buffer(12, quad_segs=32)).area < 0.2


def test_an_opening_about_the_middle_of_a_medallion_opens_whole() -> None:
    fold = medallion_fold(count=7, width=100)
    disc = Point(0, 0).buffer(15, quad_segs=64)
    (ring,) = rings_of(unfold(fold, clip_to_wedge(fold, disc), strap=2))
    assert ring.symmetric_difference(disc).area < 0.5


def test_an_opening_clear_of_the_creases_opens_once_for_every_layer() -> None:
    fold = medallion_fold(count=5, width=120)
    paper = unfold(fold, Point(12, 40).buffer(4), strap=2)
    assert len(paper.interiors) == 10


def test_a_motif_of_another_family_can_be_folded() -> None:
    fold = mirror_fold(width=100, height=140)
    figure = affinity.translate(oval(width=50, height=80), 25, 30)
    (half,) = fit_openings(fold, clip_to_wedge(fold, figure), strap=2, smallest=1, rim=3)
    (ring,) = rings_of(unfold(fold, half, strap=2, rim=3))
    assert ring.symmetric_difference(figure).area < 1


def test_a_figure_of_ones_own_stands_in_every_repeat() -> None:
    fold = medallion_fold(count=6, width=160)
    letter = shapely.union_all([box(0, 0, 3, 12), box(0, 9, 8, 12), box(0, 4.5, 6, 7)])
    drawing = draw_rings(
        fold, [Ring("drops", share=0.8), Ring(figure=letter, count=2, at="between", width=0.8)], strap=1.5
    )
    paper = unfold(fold, drawing.openings, strap=1.5, rim=2.25)
    assert len(paper.interiors) == 18
    letters = [ring for ring in rings_of(paper) if ring.area < 0.8 * ring.convex_hull.area]
    assert len(letters) == 12


def test_a_letter_is_drawn_mirrored_where_wanted() -> None:
    fold = accordion_fold(panels=2, width=60, height=60)
    letter = shapely.union_all([box(0, 0, 3, 12), box(0, 9, 8, 12), box(0, 4.5, 6, 7)])
    found = []
    for mirrored in (False, True):
        ring = Ring(figure=letter, at="between", count=2, width=0.6, mirrored=mirrored)
        (opening,) = draw_rings(fold, [ring], strap=1.5).openings
        found.append(opening)
    about = affinity.scale(found[0], -1, 1, origin="center")
    assert about.symmetric_difference(found[1]).area < 0.05
    assert found[0].symmetric_difference(found[1]).area > 5


def wedge_cut(fold: Fold, opening: Polygon) -> Callable[[], Polygon]:
    return lambda: unfold(fold, opening, strap=2)


MEDALLION = medallion_fold(count=6, width=120)
MIRROR = mirror_fold(width=100, height=100)

BAD = {
    "a cut along a whole crease": (
        wedge_cut(MIRROR, box(50, 0, 58, 100)), "cut along the whole crease at", DoesNotFit),
    "a cut along all but a thread of a crease": (
        wedge_cut(MIRROR, box(50, 0.4, 58, 99.6)), "cut along the whole crease at", DoesNotFit),
    "a drawing that leaves the wedge": (
        wedge_cut(MIRROR, box(45, 40, 60, 60)), r"leave the wedge at \(-2\.5, 50\) mm", BadValue),
    "openings that meet their image": (
        wedge_cut(MIRROR, box(50.5, 40, 60, 60)), r"meet after unfolding: one stays 0\.5 mm from the crease", DoesNotFit),
    "openings that close round paper": (
        wedge_cut(MIRROR, Point(50, 50).buffer(20).difference(Point(50, 50).buffer(10)).intersection(MIRROR.wedge)),
        "close round paper at", DoesNotFit),
    "a ring from crease to crease": (
        wedge_cut(MEDALLION, Point(0, 0).buffer(40).difference(Point(0, 0).buffer(30)).intersection(MEDALLION.wedge)),
        "close round paper at", DoesNotFit),
    "openings too near each other": (
        wedge_cut(MIRROR, shapely.union_all([box(60, 20, 70, 80), box(71, 20, 80, 80)])),
        r"two openings are 1 mm apart at \(20\.5, 80\) mm of the wedge", DoesNotFit),
    "openings in the rim": (wedge_cut(MIRROR, box(60, 1, 70, 50)), "of the open edge at", DoesNotFit),
    "openings too small": (
        lambda: unfold(MIRROR, box(60, 40, 70, 40.5), strap=2, smallest=0.5), r"radius 0\.25 mm", DoesNotFit),
    "a bay that leaves a thin tongue": (
        wedge_cut(MIRROR, box(60, 30, 90, 70).difference(box(70, 49.5, 91, 50.5))),
        r"does not hold: a neck of 1 mm at \(10, 50\) mm of the piece", DoesNotFit),
    "areas that cross themselves": (
        wedge_cut(MIRROR, Polygon([(60, 40), (70, 60), (70, 40), (60, 60)])), "not valid", BadValue),
    "lines": (lambda: unfold(MIRROR, LineString([(60, 40), (70, 60)]), strap=2), "take areas only", BadValue),
    "no strap": (lambda: unfold(MIRROR, box(60, 40, 70, 60), strap=0), "strap is 0 mm", BadValue),
    "a rim under a strap": (lambda: unfold(MIRROR, box(60, 40, 70, 60), strap=2, rim=1.9), r"rim is 1\.9 mm", BadValue),
    "an edge that cuts a crease away": (
        lambda: unfold(MEDALLION, [], strap=2, edge=Point(15, 40).buffer(8)), "falls apart|close round|whole crease", DoesNotFit),
    "an edge in two parts": (
        lambda: unfold(MIRROR, [], strap=2, edge=shapely.union_all([box(50, 0, 99, 40), box(50, 60, 99, 99)])),
        "edge leaves no single part", DoesNotFit),
}  # fmt: skip


@pytest.mark.parametrize(("call", "words", "kind"), BAD.values(), ids=BAD.keys())
def test_bad_input_is_refused(call: Callable[[], object], words: str, kind: type[CanivetError]) -> None:
    with pytest.raises(kind, match=words) as caught:
        call()
    assert caught.value.parameter


@pytest.mark.parametrize(
    "name",
    [
        "a cut along a whole crease", "a drawing that leaves the wedge", "openings that meet their image",
        "openings that close round paper", "a ring from crease to crease", "openings too near each other",
        "openings in the rim", "openings too small",
    ],
)  # fmt: skip
def test_bad_input_is_refused_with_the_place(name: str) -> None:
    call, _, kind = BAD[name]
    with pytest.raises(kind) as caught:
        call()
    at = caught.value.at
    assert at is not None
    x, y = at
    assert f"({x:.1f}".removesuffix(".0") in caught.value.message
    assert math.isfinite(y)


def test_from_the_other_side_of_each_bound_the_same_cuts_are_taken() -> None:
    for openings, smallest in (
        (box(50, 2.1, 58, 97.9), 0.4),
        (box(51, 40, 60, 60), 0.4),
        (shapely.union_all([box(60, 20, 70, 80), box(72, 20, 80, 80)]), 0.4),
        (box(60, 2, 70, 50), 0.4),
        (box(60, 40, 70, 41), 0.5),
    ):
        paper = unfold(MIRROR, openings, strap=2, smallest=smallest)
        assert_one_piece(paper)
        assert check_strength(paper, strap=2, smallest=smallest).holds


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: find_unit("petal"), "motif"),
        (lambda: draw_rings(MEDALLION, [Ring(count=0)]), "count"),
        (lambda: draw_rings(MEDALLION, [Ring(width=1.01)]), "width"),
        (lambda: draw_rings(MEDALLION, [Ring(share=math.nan)]), "share"),
        (lambda: draw_rings(MEDALLION, [Ring()], border=Border("zigzag")), "border"),
        (lambda: draw_rings(MEDALLION, [Ring()], border=Border("teeth", 13)), "border"),
        (lambda: draw_rings(MEDALLION, [Ring()], border=Border("teeth", 6, 13.1)), "border"),
        (lambda: draw_rings(MEDALLION, [Ring()], border=Border("petals", 6, 6.6)), "border"),
        (lambda: draw_rings(plane_fold(group="p6mm", columns=1), [Ring()], border=Border("teeth")), "border"),
        (lambda: draw_rings(plane_fold(group="p2mm", columns=2, rows=3), [Ring()], border=Border("teeth")), "border"),
        (lambda: draw_rings(MEDALLION, [Ring()] * 40), "rings"),
        (lambda: draw_rings(MEDALLION, [Ring("beads", count=24, divisions=12)], strap=4, smallest=5), "rings"),
    ],
)  # fmt: skip
def test_rings_outside_their_bounds_are_refused(call: Callable[[], object], name: str) -> None:
    with pytest.raises(CanivetError) as caught:
        call()
    assert caught.value.parameter == name


def test_a_border_just_not_too_steep_is_drawn() -> None:
    for border in (Border("teeth", 6, 13.0), Border("petals", 6, 6.5), Border("scallops", 6, 20.0)):
        drawing = draw_rings(MEDALLION, [Ring("drops")], border=border)
        assert_one_piece(unfold(MEDALLION, drawing.openings, rim=1.8, edge=drawing.kept))


def test_lanes_fill_the_wedge_in_proportion() -> None:
    plan = depth_of(MEDALLION)
    lanes = lay_lanes(plan, [1, 2, 1], low=8, high=56, gap=2)
    assert [lane.depth for lane in lanes] == pytest.approx([11, 22, 11])
    assert lanes[-1].high == pytest.approx(56)
    assert plan.round
    assert not depth_of(MIRROR).round
