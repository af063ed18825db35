"""What ropes, guilloches and interlaced bands do besides holding."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.affinity import rotate
from support import rings_of

from canivet.errors import DoesNotFit
from canivet.motifs.borders._running.interlaced.crossings import crossings_of
from canivet.motifs.borders._running.interlaced.knots import _EVERY, Broken
from canivet.motifs.borders._running.interlaced.strands import Strands
from canivet.motifs.borders.interlaced import cable, guilloche, interlace
from canivet.motifs.outlines import oval, rectangle


def touching_the_rim(paper, rim):
    away = shapely.distance(np.array(rings_of(paper), dtype=object), paper.exterior)
    return int((away < rim + 0.15).sum())


@pytest.mark.parametrize("form", ["waved", "angular"])
@pytest.mark.parametrize("strands", [2, 3, 4, 5])
def test_n_strands_cross_n_times_n_less_one_times_in_a_period(strands, form):
    """n sinusoidal strands interlaced have n(n - 1) crossings a period (derived; openings counted by Euler).

    Crossings and the places where a strand meets a rail are the vertices of a planar graph, four edges at
    each: openings = E - V + C less the window and the outside leaves as many openings as vertices. The
    strands meet the rim once for each opening that lies along it, and the inner rail as often. Where strands
    pass under, each crossing opens one way: of two strands twice, and of three those on the way to a rail.
    """
    paper = interlace(
        within=oval(width=200, height=200), band=26, strap=0.8, smallest=0.2, strands=strands, form=form
    )
    meetings = touching_the_rim(paper, 2.2)
    periods, spare = divmod(meetings, strands)
    crossings = len(paper.interiors) - (2 * meetings if strands > 3 else 0)
    assert meetings >= 2 * strands
    assert crossings * strands == strands * (strands - 1) * (periods * strands + spare)


@pytest.mark.parametrize("angular", [False, True])
@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_centre_lines_cross_as_often_on_a_straight_band(count, angular):
    lines = Strands(count, 0.0, 8.0, 5.0, angular).lines(1.25, 1.25 + 5.0 * count - 1e-9)
    period = [shapely.clip_by_rect(line, 1.3, -1, 1.3 + 5.0 * count, 9) for line in lines]
    met = {
        (round(p.x, 3), round(p.y, 3))
        for i, one in enumerate(period)
        for other in period[i + 1 :]
        for p in shapely.get_parts(one.intersection(other))
    }
    assert len(met) == count * (count - 1)


@pytest.mark.parametrize("angular", [False, True])
@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_every_strand_comes_out_of_a_corner_as_it_went_in(count, angular):
    for line in Strands(count, 0.5, 8.0, 5.0, angular).round_corner(10.0):
        points = shapely.get_coordinates(line)
        assert points[::-1, ::-1] == pytest.approx(points, abs=1e-6)
        assert points.max() <= 8.0 + 1e-9
        assert points[(points[:, 0] >= 0) & (points[:, 1] >= 0)].min() >= -1e-9


def test_round_strands_go_into_a_corner_without_a_kink():
    for line in Strands(3, 0.5, 8.0, 5.0, angular=False).round_corner(5.0):
        sides = np.diff(shapely.get_coordinates(line), axis=0)
        angle = np.unwrap(np.arctan2(sides[:, 1], sides[:, 0]))
        assert np.abs(np.diff(angle)).max() < np.radians(20)


@pytest.mark.parametrize("strands", [2, 3])
@pytest.mark.parametrize("outline", [rectangle, oval])
def test_every_crossing_ends_one_ribbon_and_begins_one(strands, outline):
    """As many ribbons as crossings, each under one end of each; and as many eyes (derived, by Euler)."""
    paper = guilloche(
        within=outline(width=200, height=200), band=22, strap=0.9, smallest=0.2, strands=strands
    )
    rings = rings_of(paper)
    ribbons = [ring for ring in rings if ring.length**2 / ring.area > 28]
    rest = [ring for ring in rings if ring.length**2 / ring.area <= 28]
    inner = shapely.Polygon(paper.exterior).buffer(-22, join_style="mitre").exterior
    eyes = [r for r in rest if r.distance(paper.exterior) > 2.6 and r.distance(inner) > 1.3]
    assert len(ribbons) == len(eyes) >= 12


def test_ribbons_of_a_guilloche_all_lean_the_same_way_on_a_side():
    paper = guilloche(within=rectangle(width=200, height=100), band=14)
    bottom = [r for r in rings_of(paper) if r.centroid.y < 14 and 30 < r.centroid.x < 170]
    leans = []
    for ribbon in (r for r in bottom if r.length**2 / r.area > 28):
        x, y = (shapely.get_coordinates(ribbon.exterior) - ribbon.centroid.coords[0]).T
        leans.append(np.sign((x * y).sum()))
    assert len(leans) >= 8
    assert len(set(leans)) == 1


def test_eyes_too_small_to_cut_are_left_out_and_the_ribbons_stay():
    narrow = guilloche(within=rectangle(width=120, height=120), band=8.5, strap=1.3)
    assert min(ring.length**2 / ring.area for ring in rings_of(narrow)) > 16


def test_every_slit_of_a_rope_is_its_own_image_after_half_a_turn():
    paper = cable(within=rectangle(width=160, height=160), band=12)
    slits = [r for r in rings_of(paper) if r.centroid.y < 12 and 30 < r.centroid.x < 130]
    assert len(slits) >= 10
    for slit in slits:
        turned = rotate(slit, 180, origin=slit.centroid)
        assert slit.symmetric_difference(turned).area < 0.02 * slit.area


def test_strands_left_to_choose_are_two():
    within = rectangle(width=160, height=160)
    assert interlace(within=within).equals(interlace(within=within, strands=2))
    with pytest.raises(DoesNotFit, match="needs at least"):
        interlace(within=within, band=8, strap=1.6, strands=3)


@pytest.mark.parametrize("band", [9, 11, 14])
def test_of_two_strands_one_opening_reaches_from_rail_to_rail_through_the_gaps(band):
    paper = interlace(within=rectangle(width=160, height=160), band=band)
    side = [ring for ring in rings_of(paper) if ring.centroid.y < band and 30 < ring.centroid.x < 130]
    assert len(side) >= 6
    for ring in side:
        assert ring.bounds[1] == pytest.approx(2.2, abs=0.1)
        assert ring.bounds[3] == pytest.approx(band - 1.2, abs=0.1)


def test_strands_of_a_narrow_band_are_joined_where_they_cross():
    within = rectangle(width=120, height=120)
    joined, woven = (interlace(within=within, band=band, repeat=8) for band in (6.2, 9))
    assert len(joined.interiors) > len(woven.interiors)


@pytest.mark.parametrize("angular", [False, True])
@pytest.mark.parametrize("count", [2, 3, 4, 5])
@pytest.mark.parametrize("bent", [False, True])
def test_over_and_under_take_turns_along_every_strand(count, angular, bent):
    strands = Strands(count, 0.5, 8.0, 5.0, angular)
    lines = strands.round_corner(20.0) if bent else strands.lines(-20.0, 20.0)
    crossings = crossings_of(lines)
    assert len(crossings) >= 6 * (count - 1)
    for k, line in enumerate(lines):
        mine = sorted((c for c in crossings if k in (c.over, c.under)), key=lambda c: line.project(c.at))
        assert all((a.over == k) != (b.over == k) for a, b in pairwise(mine))


@pytest.mark.parametrize("band", [12, 16])
def test_no_crumb_is_cut_at_the_inner_corner_of_a_guilloche(band):
    openings = rings_of(guilloche(within=rectangle(width=150, height=150), band=band))
    side = min(o.area for o in openings if o.centroid.y < band and 40 < o.centroid.x < 110)
    corner = min(o.area for o in openings if o.centroid.y < band and o.centroid.x < band)
    assert corner > 0.4 * side


def test_angular_openings_are_straight_sided_and_waved_ones_are_not():
    within = rectangle(width=160, height=160)

    def mean_fill(form):
        rings = rings_of(interlace(within=within, band=14, strands=2, form=form))
        boxes = [ring.minimum_rotated_rectangle.area for ring in rings]
        return float(np.mean([ring.area / area for ring, area in zip(rings, boxes, strict=True)]))

    assert mean_fill("angular") != pytest.approx(mean_fill("waved"), abs=0.02)


@pytest.mark.parametrize("count", [2, 4])
@pytest.mark.parametrize("bent", [False, True])
def test_a_broken_plait_still_goes_over_and_under_by_turns_and_lacks_one_crossing_for_each_break(count, bent):
    whole, broken = Strands(count, 0.5, 8.0, 5.0, False), Broken(count, 0.5, 8.0, 5.0, False, 1.5)
    reach = 6 * 5.0
    lines, plait = (s.round_corner(reach) if bent else s.lines(-reach, reach) for s in (broken, whole))
    if bent and count == 4:  # which go on by one place in a corner, as on a straight band
        plait = whole.lines(-reach, reach + 5.0)
    crossings = crossings_of(lines)
    breaks = 2 * reach / (_EVERY[count] * 5.0)
    assert len(crossings_of(plait)) - len(crossings) == breaks
    for k, line in enumerate(lines):
        mine = sorted((c for c in crossings if k in (c.over, c.under)), key=lambda c: line.project(c.at))
        assert all((a.over == k) != (b.over == k) for a, b in pairwise(mine))


def test_strands_of_a_knot_keep_apart_where_they_turn_back_and_have_no_kink():
    lines = Broken(4, 0.5, 8.0, 5.0, False, 1.5).lines(-30.0, 30.0)
    heights = np.array([np.interp(7.5, *shapely.get_coordinates(line).T) for line in lines])
    two = np.sort(heights[np.argsort(np.abs(heights - 4.25))[:2]])
    assert np.diff(two) == pytest.approx(1.5, abs=0.05)
    for line in [*lines, *Broken(4, 0.5, 8.0, 5.0, False, 1.5).round_corner(30.0)]:
        sides = np.diff(shapely.get_coordinates(line), axis=0)
        turned = np.diff(np.unwrap(np.arctan2(sides[:, 1], sides[:, 0])))
        assert np.abs(turned).max() < np.radians(12)
