import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from shapely.affinity import rotate, scale
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.forms._box import natural_box
from canivet.motifs.forms._growing.plant import Plant
from canivet.motifs.forms._strokes import POINT, blade, bow, stroke
from canivet.motifs.forms.leafy import berry_cluster, branch, fern, grass, leaf, sprig
from canivet.motifs.forms.pictures import blossom, feather, tree, wreath

FORMS = [leaf, sprig, branch, fern, berry_cluster, grass, blossom, feather, wreath, tree]
GROWN = [sprig, branch, fern, berry_cluster, grass, wreath, tree]
MIRRORED = [leaf, wreath]
# Sizes of the box in which each form has its own proportions and so fills it.
OWN = {
    leaf: (0.6, 1), sprig: (0.55, 1), branch: (0.6, 1), fern: (0.5, 1), berry_cluster: (0.6, 1),
    grass: (1, 0.6), feather: (0.3, 1), wreath: (1, 1), tree: (0.85, 1),
}  # fmt: skip

lengths = st.floats(15, 150)


def assert_cut_as_asked(paper, *, width, height, strap=1.0, smallest=0.5, **_):
    assert_one_piece(paper)
    report = check_strength(paper, strap=strap, smallest=smallest)
    assert report.holds, (report.weakest, report.limbs, report.small_openings)
    x0, y0, x1, y1 = paper.bounds
    assert max(abs(x0), abs(y0)) < 0.01
    assert x1 < width + 0.01
    assert y1 < height + 0.01
    assert min(width - x1, height - y1) < 0.01, "it could be larger"


def sized(form, size, **asked):
    across, up = OWN[form]
    return form(width=size * across, height=size * up, **asked)


def drawn_or_refused(form, asked):
    try:
        return form(**asked), None
    except DoesNotFit as refusal:
        return None, refusal


@st.composite
def requests(draw):
    return {
        "width": draw(lengths),
        "height": draw(lengths),
        "strap": draw(st.floats(0.8, 2.0)),
        "smallest": draw(st.floats(0.3, 1.0)),
        "seed": draw(st.integers(0, 10**6)),
    }


@pytest.mark.parametrize("form", FORMS)
@given(asked=requests())
@settings(max_examples=2, deadline=None)
def test_no_sensible_form_is_refused_and_every_one_holds(form, asked):
    assert_cut_as_asked(form(**asked), **asked)


@given(
    asked=st.fixed_dictionaries(
        {
            "width": st.floats(5, 80),
            "height": st.floats(5, 80),
            "strap": st.floats(0.5, 8),
            "smallest": st.floats(0.1, 8),
            "seed": st.integers(0, 99),
        }
    ),
    form=st.sampled_from(FORMS),
)
@settings(max_examples=12, deadline=None)
def test_any_request_holds_or_is_refused_with_its_parameter_named(form, asked):
    paper, refusal = drawn_or_refused(form, asked)
    if refusal is not None:
        assert refusal.parameter in asked
        assert str(refusal).startswith(f"{refusal.parameter} is ")
        assert refusal.accepted
        return
    asked["smallest"] *= 0.999  # the inscribed circle is found to a tolerance
    assert_cut_as_asked(paper, **asked)


@given(petals=st.integers(4, 12), seed=st.integers(0, 999), size=lengths)
@settings(max_examples=6, deadline=None)
def test_a_blossom_is_mapped_onto_itself_by_turning_and_by_the_mirror(petals, seed, size):
    """n equal foils about a point have symmetry D_n (derived)."""
    paper = blossom(width=size, height=size, petals=petals, seed=seed)
    # its petals reach equally far, so the middle lies half the height down, or where the box shows it
    middle = _middle_of(paper, petals)
    moved = [rotate(paper, 360 / petals, origin=middle), scale(paper, -1, 1, origin=middle)]
    for image in moved:
        assert paper.symmetric_difference(image).area < 0.01 * paper.length


def _middle_of(paper, petals):
    x0, _, x1, y1 = paper.bounds
    if petals % 2 == 0:
        return ((x0 + x1) / 2, y1 / 2)
    return (paper.centroid.x, paper.centroid.y)


@pytest.mark.parametrize("petals", [4, 5, 7, 12])
def test_a_blossom_has_its_openings_by_petals(petals):
    paper = blossom(width=90, height=90, petals=petals)
    assert len(paper.interiors) % petals in (0, 1)
    assert len(paper.interiors) > petals


@pytest.mark.parametrize("form", MIRRORED)
@pytest.mark.parametrize("seed", range(3))
def test_leaf_and_wreath_are_the_same_in_the_mirror(form, seed):
    paper = sized(form, 80, seed=seed)
    axis = paper.bounds[2] / 2
    assert paper.symmetric_difference(scale(paper, -1, 1, origin=(axis, 0))).area < 0.01 * paper.length


@pytest.mark.parametrize("form", [leaf, sprig, branch, fern, feather])
def test_in_a_wide_box_a_form_lies_with_its_stalk_to_the_left(form):
    upright, lying = form(width=24, height=60, seed=2), form(width=60, height=24, seed=2)
    assert lying.equals(shapely.transform(upright, lambda points: points[:, ::-1]))


@pytest.mark.parametrize("form", FORMS)
def test_the_same_seed_gives_the_same_bytes_and_another_seed_another_drawing(form):
    first, again, other = (form(width=32, height=40, seed=seed) for seed in (7, 7, 8))
    assert shapely.to_wkb(first) == shapely.to_wkb(again)
    assert first.symmetric_difference(other).area > 0.02 * first.area


@pytest.mark.parametrize("form", list(OWN))
def test_a_larger_box_has_more_in_it_at_the_same_strap(form):
    """More edge for its size: a drawing merely made bigger would have edge in proportion to its size."""
    small, large = sized(form, 25), sized(form, 60)
    assert large.length > 60 / 25 * 1.1 * small.length
    for paper in (small, large):
        assert check_strength(paper, strap=1.0, smallest=0.5).holds


@pytest.mark.parametrize("form", list(OWN))
def test_a_stouter_strap_has_less_drawn_with_it(form):
    assert sized(form, 50, strap=2.0).length < sized(form, 50, strap=0.8).length


@across(form=OWN, size=[25, 90])
def test_a_form_of_its_own_proportions_fills_the_box(form, size):
    across, up = OWN[form]
    bounds = sized(form, size, seed=3).bounds
    assert bounds == pytest.approx((0, 0, across * size, up * size), abs=0.01)


@given(width=lengths, height=lengths, seed=st.integers(0, 99))
@settings(max_examples=5, deadline=None)
def test_grass_stands_on_ground_from_side_to_side(width, height, seed):
    paper = grass(width=width, height=height, seed=seed)
    assert paper.bounds[2] == pytest.approx(width, abs=0.01)
    assert paper.buffer(0.02).covers(shapely.box(0, 0, width, 1.0))


@across(seed=range(3), size=[20, 60, 140])
def test_a_wreath_is_open_in_the_middle(seed, size):
    paper = wreath(width=size, height=size, seed=seed)
    middle = shapely.Point(size / 2, size / 2)
    assert middle.distance(paper) > 0.2 * size


def test_a_tree_is_stoutest_at_its_foot():
    paper = tree(width=90, height=110, seed=4)

    def paper_at(y):
        pieces = shapely.get_parts(paper.intersection(shapely.box(0, y, 90, y + 0.01)))
        return max(piece.bounds[2] - piece.bounds[0] for piece in pieces)

    assert paper_at(1) > paper_at(20) > paper_at(100)


def test_a_stem_tapers_and_never_passes_under_the_strap():
    paper = sprig(width=60, height=110, strap=1.2, seed=5)
    report = check_strength(paper, strap=1.2, smallest=0.5)
    assert report.weakest.width >= 1.2 - 0.002
    assert not check_strength(paper, strap=3.0).holds


@given(length=st.floats(5, 80), half=st.floats(0.3, 8), bend=st.floats(-0.2, 0.2), strap=st.floats(0.5, 2))
@settings(max_examples=40, deadline=None)
def test_a_blade_holds_by_itself_and_its_point_is_stout_enough(length, half, bend, strap):
    half = min(half, 0.25 * length)
    shape = blade(bow(np.zeros(2), np.array([0, length]), bend), half, strap=strap).outline
    assert_one_piece(shape)
    report = check_strength(shape, strap=strap)
    assert not report.limbs
    assert not report.necks
    assert np.degrees(2 * np.arctan(POINT)) > 19


def test_a_leaf_without_room_is_left_out():
    plant = Plant(1.0, 0.5, stems=[stroke(np.array([[0.0, 0], [0, 10], [0, 20]]), np.full(3, 0.6))])
    twig = shapely.box(0, 9, 8, 10.2)
    root = np.array([0.0, 9.6])
    assert plant.sprout(twig, root, grip=2.0) == 0
    crowding = shapely.box(0, 10.5, 8, 11.7)
    assert plant.sprout(crowding, root, grip=2.0) == -1
    clear = shapely.box(0, 13, 8, 14.2)
    assert plant.sprout(clear, np.array([0.0, 13.6]), grip=2.0) == 1


def test_what_hangs_on_a_sprout_goes_with_it():
    stem = shapely.box(0, 0, 2, 30)
    plant = Plant(1.0, 0.5, stems=[stem])
    thin = plant.sprout(shapely.box(1, 10, 12, 10.4), np.array([2.0, 10.2]), grip=3.0)
    plant.sprout(shapely.box(11, 8, 16, 13), np.array([12.0, 10.2]), grip=3.0, parent=thin)
    assert plant.paper(2, 30).symmetric_difference(stem).area < 1e-6


def test_what_openings_would_cut_loose_is_left_out_with_them():
    stem = shapely.box(0, 0, 2, 30)
    plant = Plant(1.0, 0.5, stems=[stem])
    sever = shapely.box(6, 9, 8, 15)
    assert (
        plant.sprout(shapely.box(1, 10, 14, 14), np.array([2.0, 12]), grip=4.0, openings=lambda: [sever]) == 0
    )
    assert plant.paper(2, 30).symmetric_difference(stem).area < 1e-6


@given(width=lengths, height=lengths)
def test_a_natural_box_is_inside_the_one_asked_for_and_of_its_proportions(width, height):
    across, up = natural_box(width, height, broadest=0.8, slenderest=0.3)
    assert across <= width
    assert up <= height
    assert 0.3 - 1e-9 <= across / up <= 0.8 + 1e-9
    assert across == width or up == height


@pytest.mark.parametrize(
    ("form", "asked", "parameter", "says"),
    [
        (leaf, {"width": 6, "height": 60, "strap": 1}, "width", "needs at least 7 mm"),
        (sprig, {"width": 40, "height": 13.9, "strap": 2}, "height", "needs at least 14 mm"),
        (tree, {"width": 4}, "width", "5 mm to 400 mm"),
        (blossom, {"petals": 3}, "petals", "4 to 12"),
        (fern, {"strap": 0.2}, "strap", "0.3 mm to 10 mm"),
        (wreath, {"seed": 1.5}, "seed", "whole number"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(form, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        form(**asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("form", FORMS)
def test_the_box_a_refusal_names_is_accepted(form):
    with pytest.raises(DoesNotFit):
        form(width=40, height=10.4, strap=1.5)
    assert check_strength(form(width=40, height=10.5, strap=1.5), strap=1.5, smallest=0.5).holds
