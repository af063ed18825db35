"""Figures drawn in black and pierced in white: what every one promises, and how they are carved."""

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sampling import a_few_of, across
from shapely.affinity import scale
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.motifs.forms._drawing.carving import carve
from canivet.motifs.forms._drawing.curves import closed_curve, open_curve
from canivet.motifs.forms._drawing.pen import Pen, lens
from canivet.motifs.forms._figures.sky import STAR_NOTCH, star
from canivet.motifs.forms._growing.tree import branch_half
from canivet.motifs.registry import catalogue
from canivet.motifs.shapes.phyllotaxis import golden_places

FIGURES = {
    name: motif
    for name, motif in catalogue().items()
    if motif.origin.rpartition(".")[2]
    in ("creatures", "flowers", "places", "sky", "things", "trees", "winged")
}
POSES = {
    "perched-bird": "lift", "owl": "tufts", "hare": "ears", "deer": "antlers", "cat": "curl", "fish": "bend",
    "butterfly": "spread",
}  # fmt: skip
MIRRORED = ["bird-pair", "butterfly", "heart-tree", "lantern"]


def sized(name, longer=90.0, **given):
    known = FIGURES[name].parameters
    w, h = known["width"].default, known["height"].default
    return FIGURES[name].draw(width=longer * w / max(w, h), height=longer * h / max(w, h), **given)


@across(times=1, name=FIGURES, strap=[0.8, 1.2, 1.6], longer=[60, 150], seed=[0, 7])
def test_every_figure_holds_in_its_box(name, strap, longer, seed):
    try:
        paper = sized(name, longer, strap=strap, smallest=0.5, seed=seed)
    except DoesNotFit as refusal:
        assert longer == 60
        assert "at least" in refusal.accepted
        return
    assert_one_piece(paper)
    report = check_strength(paper, strap=strap, smallest=0.5)
    assert report.holds, (report.necks[:1], report.limbs[:1], report.small_openings[:1])
    x0, y0, x1, y1 = paper.bounds
    assert max(abs(x0), abs(y0)) < 0.01
    w, h = (FIGURES[name].parameters[side].default for side in ("width", "height"))
    assert min(longer * w / max(w, h) - x1, longer * h / max(w, h) - y1) == pytest.approx(0, abs=0.01)


@a_few_of(6, name=FIGURES)
@given(
    width=st.floats(20, 120), height=st.floats(20, 120), strap=st.floats(0.5, 2.5), seed=st.integers(0, 999)
)
@settings(max_examples=2, deadline=None)
def test_any_box_is_filled_or_the_box_a_refusal_names_is_accepted(name, width, height, strap, seed):
    asked = {"width": width, "height": height}
    for _ in range(3):
        try:
            paper = FIGURES[name].draw(**asked, strap=strap, smallest=0.5, seed=seed)
        except DoesNotFit as refusal:
            assert refusal.parameter in asked, refusal.message
            asked[refusal.parameter] = float(refusal.accepted.split()[-2]) + 0.01
            continue
        assert check_strength(paper, strap=strap, smallest=0.499).holds
        return
    pytest.fail("refused three times over")


@a_few_of(8, name=FIGURES)
def test_another_seed_is_another_drawing(name):
    first, other = sized(name, seed=1), sized(name, seed=2)
    assert first.symmetric_difference(other).area > 0.004 * first.area


@across(name=POSES, at=[0.0, 1.0])
def test_every_pose_holds(name, at):
    paper = sized(name, 80, **{POSES[name]: at})
    assert check_strength(paper, strap=1.0, smallest=0.5).holds
    assert paper.symmetric_difference(sized(name, 80)).area > 1


@a_few_of(2, name=POSES)
def test_less_detail_has_fewer_openings(name):
    counts = [len(sized(name, detail=share).interiors) for share in (0.0, 0.5, 1.0)]
    assert counts[0] < counts[1] < counts[2]


@across(name=MIRRORED, seed=[0, 5])
def test_what_is_the_same_in_the_mirror_is_so_by_its_pixels(name, seed):
    """Measured on a raster of its own, not on the geometry it was mirrored with."""
    paper = sized(name, 80, seed=seed)
    x, y = np.meshgrid(np.linspace(0, paper.bounds[2], 301), np.linspace(0, paper.bounds[3], 301))
    black = shapely.contains_xy(paper, x, y)
    assert (black != black[:, ::-1]).mean() < 0.004


def test_a_star_of_five_points_is_turned_onto_itself_by_a_fifth():
    """A regular star has the symmetry D5 (derived); its notches lie at the share named."""
    corners = star((3, 4), 10) - (3, 4)
    turn = 2 * np.pi / 5
    turned = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    assert turned == pytest.approx(np.roll(corners, -2, axis=0), abs=1e-9)
    assert np.hypot(*corners[1::2].T) == pytest.approx(np.full(5, 10 * STAR_NOTCH))


def test_places_by_the_golden_angle_are_evenly_packed():
    """137.50776° (derived: (3 - √5)·180°); Vogel 1979 (from memory): area per seed is constant."""
    at = golden_places(89, np.pi * 10.0**2 / 89)
    turn = np.degrees(np.diff(np.unwrap(np.arctan2(at[:, 1], at[:, 0])))) % 360
    assert turn == pytest.approx(np.full(88, 137.50776), abs=1e-4)
    inside = [(np.hypot(*at.T) <= radius).sum() / radius**2 for radius in (4, 6, 8, 10)]
    assert max(inside) / min(inside) < 1.12
    apart = np.hypot(*(at[:, None] - at).T) + 99 * np.eye(89)
    assert apart.min(axis=0)[8:].min() > 0.7 * apart.min(axis=0)[8:].max()  # evenly packed


@pytest.mark.parametrize("tips", [[5, 2, 3], [9, 4, 4, 1], [2, 1, 1]])
def test_branches_at_a_fork_have_the_cross_section_of_the_trunk(tips):
    """Leonardo's rule: the squares of the branches' widths add up to the trunk's (Richter, from memory)."""
    trunk, *branches = branch_half(np.array(tips, dtype=float), 4.0)
    assert trunk == 4.0
    assert np.sum(np.square(branches)) == pytest.approx(trunk**2)


@given(st.integers(0, 999))
@settings(max_examples=10, deadline=None)
def test_openings_keep_a_strap_off_edges_and_off_each_other(seed):
    chance = np.random.default_rng(seed)
    pen = Pen((60, 60), (60, 60), strap=1.0, smallest=0.5)
    pen.slab([(0, 0), (60, 0), (60, 60), (0, 60)])
    for _ in range(40):
        start = chance.uniform(2, 58, 2)
        pen.cut_leaf(start, start + chance.uniform(-12, 12, 2), 2.0)
    paper = carve(pen, 60, 60, strap=1.0, smallest=0.5)
    assert check_strength(paper, strap=1.0, smallest=0.5).holds
    assert len(paper.interiors) > 4


def test_an_opening_goes_with_its_like():
    pen = Pen((40, 20), (40, 20), strap=1.0, smallest=0.5)
    pen.slab([(0, 0), (40, 0), (40, 20), (0, 20)])
    pen.cut(pen.round((10, 10), 3), pen.round((39, 10), 3))  # the second has no room
    pen.cut_round((25, 10), 3)
    paper = carve(pen, 40, 20, strap=1.0, smallest=0.5)
    assert [round(shapely.Polygon(ring).centroid.x) for ring in paper.interiors] == [25]


def test_black_that_is_loose_is_refused_and_never_left_out():
    pen = Pen((40, 20), (40, 20), strap=1.0, smallest=0.5)
    pen.slab([(0, 0), (30, 0), (30, 20), (0, 20)])
    pen.slab([(33, 9), (40, 9), (40, 11), (33, 11)])
    assert carve(pen, 40, 20, strap=1.0, smallest=0.5) is None
    pen.limb([(29, 10), (34, 10)], [0.6, 0.6])
    assert carve(pen, 40, 20, strap=1.0, smallest=0.5).contains(shapely.Point(38, 10))


def test_what_is_flipped_is_the_mirror_image():
    pen = Pen((40, 20), (40, 20), strap=1.0, smallest=0.5)
    pen.slab([(0, 0), (30, 0), (40, 20), (0, 20)])
    pen.cut_leaf((5, 5), (20, 12), 2.0, 0.05)
    before = carve(pen, 40, 20, strap=1.0, smallest=0.5)
    pen.flip(20)
    after = carve(pen, 40, 20, strap=1.0, smallest=0.5)
    assert scale(before, -1, 1, origin=(20, 10)).symmetric_difference(after).area < 0.1


def test_a_point_too_slender_is_taken_back_and_a_line_too_fine_is_thickened():
    pen = Pen((60, 30), (60, 30), strap=1.0, smallest=0.5)
    pen.blacks += [shapely.box(0, 0, 60, 10), shapely.Polygon([(20, 9), (20.8, 9), (20.4, 17)])]
    pen.blacks += [shapely.box(40, 9, 40.5, 24), shapely.box(36, 22, 44, 30)]
    paper = carve(pen, 60, 30, strap=1.0, smallest=0.5)
    assert check_strength(paper, strap=1.0, smallest=0.5).holds
    neck = paper.intersection(shapely.box(30, 14, 50, 20))
    assert 0.98 < neck.area / 6 < 1.6
    spike = paper.intersection(shapely.box(15, 10, 26, 30))
    assert spike.is_empty or spike.bounds[3] < 16.5


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=8, unique=True))
def test_a_curve_passes_through_its_points(points):
    corners = np.array(points)
    assume(np.hypot(*np.diff(np.vstack([corners, corners[:1]]), axis=0).T).min() >= 1)
    line = shapely.LineString(open_curve(corners))
    ring = shapely.LinearRing(closed_curve(corners, [0, 2]))
    # between samples it is flattened
    assert all(line.distance(shapely.Point(p)) < line.length / 60 for p in points)
    assert ring.distance(shapely.Point(points[0])) < 1e-9
    assert ring.distance(shapely.Point(points[2])) < 1e-9


def test_a_lens_is_pointed_at_both_ends_and_as_wide_as_asked():
    shape = lens((0, 0), (20, 0), 3)
    assert shape.bounds == pytest.approx((0, -3, 20, 3), abs=1e-6)
    assert scale(shape, 1, -1, origin=(0, 0)).symmetric_difference(shape).area < 1e-9
