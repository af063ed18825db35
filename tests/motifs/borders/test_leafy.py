"""What vines and laurels do besides holding."""

import numpy as np
import pytest
import shapely
from support import rings_of

from canivet.audit.strength import check_strength
from canivet.motifs.borders._running.leafy.acanthus import Rinceau, lobed
from canivet.motifs.borders._running.leafy.grapes import Grapevine
from canivet.motifs.borders._running.leafy.leaves import Vine
from canivet.motifs.borders._running.strokes import drop, leaf, stroke
from canivet.motifs.borders.leafy import laurel, leaf_and_berry
from canivet.motifs.outlines import rectangle


def along_the_bottom(paper, band, low=24, high=136):
    return [r for r in rings_of(paper) if r.centroid.y < band and low < r.centroid.x < high]


def test_laurel_leaves_stand_in_pairs_across_their_rib():
    leaves = along_the_bottom(laurel(within=rectangle(width=160, height=160), band=12), 12)
    rib = 2.2 + (12 - 2.2 - 1.2) / 2
    centres = np.array([leaf.centroid.coords[0] for leaf in leaves if abs(leaf.centroid.y - rib) > 0.5])
    below = centres[centres[:, 1] < rib]
    above = centres[centres[:, 1] > rib]
    assert len(below) == len(above) >= 16
    assert np.sort(below[:, 0]) == pytest.approx(np.sort(above[:, 0]), abs=0.05)


def test_laurel_leaves_point_to_the_middle_of_the_side():
    leaves = along_the_bottom(laurel(within=rectangle(width=160, height=160), band=12), 12)
    for blade in leaves:
        x, y = (shapely.get_coordinates(blade.exterior) - blade.centroid.coords[0]).T
        away = np.sign(80 - blade.centroid.x) * np.sign(blade.centroid.y - (2.2 + 8.6 / 2))
        if abs(80 - blade.centroid.x) > 6:
            assert (x * y).sum() * away > 0


def test_laurel_leaves_stand_in_one_row_where_pairs_do_not_fit():
    leaves = along_the_bottom(laurel(within=rectangle(width=160, height=160), band=8, strap=1.6), 8)
    heights = np.array([blade.centroid.y for blade in leaves])
    assert len(leaves) >= 16
    assert np.ptp(heights) < 0.7


def test_the_stem_of_a_vine_parts_the_window_from_the_rim_all_the_way_round():
    band, strap, rim = 12, 1.2, 2.2
    paper = leaf_and_berry(within=rectangle(width=160, height=160), band=band, strap=strap, rim=rim)
    window = shapely.box(band, band, 160 - band, 160 - band)
    outer = [opening for opening in rings_of(paper) if opening.distance(paper.exterior) < rim + 0.1]
    inner = [opening for opening in rings_of(paper) if opening.distance(window) < strap + 0.1]
    assert len(outer) >= 12
    assert not {o.wkb for o in outer} & {o.wkb for o in inner}


def test_what_hangs_hangs_by_a_stalk_no_thinner_than_a_strap():
    paper = leaf_and_berry(within=rectangle(width=160, height=160), band=14)
    report = check_strength(paper, strap=3.0)
    hanging = [neck for neck in report.necks if neck.single_hold]
    assert len(hanging) >= 8
    assert min(neck.width for neck in hanging) >= 1.2 - 0.002


def test_ribs_of_leaves_are_slit_only_where_both_halves_hold():
    def slits(band):
        paper = leaf_and_berry(within=rectangle(width=160, height=160), band=band)
        window = shapely.box(band, band, 160 - band, 160 - band)
        clear = [r for r in rings_of(paper) if r.distance(paper.exterior) > 2.5 and r.distance(window) > 1.5]
        return sum(r.area < 12 and r.length**2 / r.area > 20 for r in clear)

    assert slits(9) == 0
    assert slits(16) >= 12


@pytest.mark.parametrize("bend", [0.0, 0.1, -0.2])
def test_a_leaf_reaches_from_base_to_tip_and_bends_to_its_left(bend):
    blade = leaf((0, 0), (20, 0), 6, bend=bend)
    assert blade.bounds[0] == pytest.approx(0, abs=0.8)
    assert blade.bounds[2] == pytest.approx(20, abs=0.8)
    assert blade.contains(shapely.Point(10, 20 * bend))
    assert blade.area == pytest.approx(leaf((0, 0), (20, 0), 6).area, rel=0.2)


def test_a_stroke_tapers_evenly_from_one_width_to_the_other():
    spine = np.column_stack([np.linspace(0, 30, 31), np.zeros(31)])
    brush = stroke(spine, [4, 2])
    for x, width in ((0.5, 4), (15, 3), (29.5, 2)):
        across = brush.intersection(shapely.LineString([(x, -9), (x, 9)]))
        assert across.length == pytest.approx(width, abs=0.1)


def test_a_drop_ends_in_its_tip_and_holds_its_circle():
    shape = drop((0, 0), (0, 6), 2, 0.1)
    assert shape.bounds[1] == pytest.approx(-0.1)
    assert shape.contains(shapely.Point(0, 6).buffer(1.98))


def test_a_bunch_of_grapes_hangs_in_every_bend_of_a_wide_band_and_none_in_a_narrow_one():
    for height, rows in ((13.0, True), (5.0, False)):
        vine = Grapevine(height, 1.2, 0.5)
        spray = vine._spray(vine.natural)
        leaves = Vine(height, 1.2, 0.5)._spray(vine.natural)
        assert (not spray.equals(leaves)) == rows
    grapes = Grapevine(13.0, 1.2, 0.5)._bunch((0.0, 12.0), (0.0, 11.0))
    # every grape's edge shows: the outline has a hollow between each two on the outside
    assert shapely.area(grapes.convex_hull) > 1.08 * grapes.area


def test_a_branch_of_acanthus_winds_once_in_a_wide_band_and_is_a_single_curl_in_a_narrow_one():
    turns = [Rinceau(height, 1.2, 0.5)._wound()[2] for height in (5.0, 8.0, 14.0)]
    assert turns == sorted(turns)
    assert turns[0] < 0.6
    assert turns[-1] > 1


def test_an_acanthus_leaf_is_one_piece_whose_lobes_part_in_sinuses_and_match_across_its_rib():
    blade = lobed(np.linspace((0.0, 0.0), (20.0, 0.0), 25), 14.0, 1.2, 4)
    assert isinstance(blade, shapely.Polygon)
    assert not blade.interiors
    assert blade.symmetric_difference(shapely.transform(blade, lambda p: p * (1, -1))).area < 1e-6
    bays = shapely.get_parts(blade.convex_hull.difference(blade))
    assert sum(bay.area > 0.1 for bay in bays) >= 8
