"""Patches of coloured paper: all of their own openings, nothing of others, and enough to be glued by."""

import numpy as np
import pytest
import shapely
from shapely import box

from canivet.compose.design.finishing import PatchSettings
from canivet.compose.finish.choosing import choose_openings
from canivet.compose.finish.patches import CLEAR, LEAST_GLUE, lay_patches
from canivet.compose.openings import Openings
from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.registry import find_motif
from canivet.motifs.shapes.openings import openings_in

COLOURS = ["#c0392b", "#f1c40f", "#1f618d"]
MARGINS = [3.0, 3.0, 2.0]


@pytest.fixture(scope="module")
def trellis():
    """An oval of a few dozen cells."""
    oval = find_motif("oval").draw(width=30, height=40)
    paper = find_motif("diamond-lattice").draw(within=oval, pitch=6, strap=1.8)
    return paper, openings_in(paper)


def laid(paper, openings, of):
    return lay_patches(openings, of, paper, colours=COLOURS, margins=MARGINS)


def colourings(count, openings, seed=7):
    rng = np.random.default_rng(seed)
    return [rng.integers(-1, 3, len(openings)) for _ in range(count)]


def check(paper, openings, of):
    """Return what is visible where it should not be, what is missing, and what lies over another colour, mm²."""
    patches, _ = laid(paper, openings, of)
    seen = missing = 0.0
    whole = {}
    for k, colour in enumerate(COLOURS):
        own = shapely.union_all([patch.area for patch in patches if patch.colour == colour])
        whole[colour] = own
        seen += shapely.area(shapely.intersection(openings[of != k], own)).sum()
        missing += shapely.area(shapely.difference(openings[of == k], own)).sum()
        if (of != k).any() and not own.is_empty:
            assert shapely.distance(openings[of != k], own).min() >= CLEAR - 1e-6
        if not own.is_empty:
            assert shapely.Polygon(paper.exterior).buffer(-CLEAR + 1e-6).covers(own)
    over = sum(a.intersection(b).area for n, a in whole.items() for m, b in whole.items() if n < m)
    return seen, missing, over


def test_no_colour_is_seen_in_an_opening_it_is_not_for(trellis):
    for of in colourings(6, trellis[1]):
        assert check(*trellis, of) == pytest.approx((0, 0, 0), abs=1e-6)


@pytest.mark.slow
def test_nor_in_a_thousand_colourings_by_chance(trellis):
    worst = np.max([check(*trellis, of) for of in colourings(1000, trellis[1], seed=1)], axis=0)
    assert worst == pytest.approx((0, 0, 0), abs=1e-6)


def test_the_check_can_fail(trellis):
    paper, openings = trellis
    of = colourings(1, openings)[0]
    patches, _ = laid(paper, openings, of)
    grown = patches[0].area.buffer(4)
    assert shapely.area(shapely.intersection(openings[of != 0], grown)).sum() > 1


def test_neighbours_of_one_colour_are_one_patch(trellis):
    paper, openings = trellis
    patches, narrow = laid(paper, openings, np.zeros(len(openings), int))
    assert len(patches) == 1
    assert not patches[0].area.interiors
    assert not narrow


def test_two_colours_share_a_strap_half_and_half_and_what_is_too_narrow_is_told_with_its_place():
    paper = box(0, 0, 40, 20) - box(5, 5, 19.5, 15) - box(20.5, 5, 35, 15)
    openings = np.array([box(5, 5, 19.5, 15), box(20.5, 5, 35, 15)], dtype=object)
    patches, narrow = laid(paper, openings, np.array([0, 1]))
    assert [round(side, 2) for side in (patches[0].area.bounds[2], patches[1].area.bounds[0])] == [20.0, 20.0]
    assert {one.number for one in narrow} == {1, 2}
    for one in narrow:
        assert one.width == pytest.approx(0.5, abs=0.01)
        assert 19 < one.at[0] < 21
        assert one.length == pytest.approx(10, abs=1.5)


def test_beside_an_opening_of_no_colour_a_patch_ends_half_a_millimetre_short():
    paper = box(0, 0, 40, 20) - box(5, 5, 19, 15) - box(21, 5, 35, 15)
    openings = np.array([box(5, 5, 19, 15), box(21, 5, 35, 15)], dtype=object)
    patches, narrow = laid(paper, openings, np.array([0, -1]))
    assert patches[0].area.distance(openings[1]) == pytest.approx(CLEAR, abs=0.006)
    assert not narrow


def test_openings_far_from_any_other_colour_keep_their_whole_margin():
    paper = box(0, 0, 100, 20) - box(5, 5, 14, 15) - box(16, 5, 25, 15) - box(80, 5, 95, 15)
    openings = np.array([box(5, 5, 14, 15), box(16, 5, 25, 15), box(80, 5, 95, 15)], dtype=object)
    patches, _ = laid(paper, openings, np.array([0, 1, 0]))
    assert sorted(round(patch.area.bounds[0]) for patch in patches) == [2, 15, 77]


def test_a_hole_in_a_patch_that_keeps_nothing_free_is_not_cut():
    ring = (
        box(0, 0, 60, 60) - box(5, 5, 55, 20) - box(5, 40, 55, 55) - box(5, 22, 20, 38) - box(40, 22, 55, 38)
    )
    openings = openings_in(ring)
    patches, _ = laid(ring, openings, np.zeros(4, int))
    assert [len(patch.area.interiors) for patch in patches] == [0]


def test_a_margin_that_nowhere_fits_is_refused_with_what_there_is():
    paper = box(0, 0, 30, 30) - box(0.6, 0.6, 29.4, 14.6) - box(0.6, 15.4, 29.4, 29.4)
    openings = np.array([box(0.6, 0.6, 29.4, 14.6), box(0.6, 15.4, 29.4, 29.4)], dtype=object)
    with pytest.raises(DoesNotFit, match="nowhere fits") as caught:
        laid(paper, openings, np.array([0, 1]))
    assert caught.value.value < LEAST_GLUE


OUTLINE = box(0, 0, 40, 40)
CELLS = [box(x, y, x + 8, y + 8) for y in (2, 12, 22) for x in (2, 12, 22)]
OPENINGS = (
    Openings.of(CELLS, "ground")
    .and_of([box(2, 32, 38, 38)], "silhouette-1")
    .and_of([box(32, 2, 38, 30)], "lettering-1")
)


class Named:
    name = "hare.svg"


def chosen(*patches):
    return choose_openings(
        [PatchSettings(**one) for one in patches], OPENINGS, OUTLINE, silhouettes=[Named()]
    ).tolist()


@pytest.mark.parametrize(
    ("patch", "count"),
    [
        ({"openings": "ground"}, 9),
        ({"openings": "hare"}, 1),
        ({"openings": "hare.svg"}, 1),
        ({"openings": "lettering"}, 1),
        ({"shape": "circle", "width": "60%", "height": "60%", "openings": "ground"}, 4),
        ({"shape": "circle", "width": "60%", "height": "60%", "openings": "ground", "outside": True}, 5),
        ({"at": ["6 mm", "6 mm"]}, 1),
        ({"at": ["11 mm", "6 mm"]}, 1),
        ({"openings": "rest"}, 11),
    ],
)
def test_openings_are_chosen_by_part_by_shape_and_by_place(patch, count):
    assert sum(one == 0 for one in chosen({"colour": "gold"} | patch)) == count


def test_the_rest_is_what_no_other_patch_takes_wherever_it_stands_in_the_list():
    rest, place = {"colour": "navy", "openings": "rest of ground"}, {"colour": "gold", "at": [6, 6]}
    assert chosen(rest, place) == [1, *[0] * 8, -1, -1]
    assert chosen(place, rest) == [0, *[1] * 8, -1, -1]


@pytest.mark.parametrize(
    ("patches", "kind", "said"),
    [
        (
            [{"openings": "ground"}, {"colour": "red", "at": [6, 6]}],
            BadValue,
            r"both claim the opening at \(6, 6\) mm",
        ),
        ([{"openings": "grund"}], BadValue, "Did you mean 'ground'"),
        ([{"at": [100, 100]}], DoesNotFit, "no opening lies within 3 mm"),
        ([{"shape": "circle", "width": 5, "height": 5, "at": [1, 1]}], DoesNotFit, "lies behind no opening"),
        (
            [{"openings": "rest"}, {"colour": "red", "openings": "rest"}],
            DoesNotFit,
            "No other patch left any",
        ),
    ],
)
def test_a_patch_that_cannot_be_is_a_sentence(patches, kind, said):
    with pytest.raises(kind, match=said) as caught:
        chosen(*({"colour": "gold"} | one for one in patches))
    assert caught.value.parameter.startswith("patch.")
