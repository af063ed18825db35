import math

import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon
from support import rings_of

from canivet.motifs.borders._ornament.arches import CrossedArches, PointedArches
from canivet.motifs.borders._ornament.lace import Lace, Scales
from canivet.motifs.borders.arcades import egg_and_dart
from canivet.motifs.outlines import rectangle


def test_crossed_arches_leave_pointed_openings_between_columns():
    (opening,) = CrossedArches(10.0, 1.0, 0.3).bay(10.0)
    # two arches of radius r whose columns stand r apart cross at √3/2·r (derived); here at 10.5·√3/2 - strap
    assert opening[:, 1].max() == pytest.approx(10.5 * 3**0.5 / 2 - 1.0, abs=0.6)
    assert Polygon(opening).bounds[0] == pytest.approx(-Polygon(opening).bounds[2])


def test_an_arch_holds_two_lancets_under_a_pierced_head_and_one_where_they_would_be_too_fine():
    assert len(PointedArches(9.0, 1.0, 0.5).bay(10.0)) == 3
    assert len(PointedArches(9.0, 1.0, 0.5).bay(3.5)) == 1


def test_an_arch_too_small_for_two_lancets_is_pointed():
    (light,) = PointedArches(9.0, 1.0, 0.5).bay(3.5)
    top = light[light[:, 1] > 9.0 - 1e-6]
    assert len(top) == 1
    # an equilateral arch is struck with its own width from its springing (common practice of building), which
    # lies √3/2 of that under its point (geometry)
    springing = 9.0 - 2.5 * 3**0.5 / 2
    (low_x, _, high_x, _) = Polygon(light).intersection(LineString([(-2, 8), (2, 8)])).bounds
    assert high_x == pytest.approx(math.sqrt(2.5**2 - (8 - springing) ** 2) - 1.25, abs=0.01)
    assert low_x == pytest.approx(-high_x)


def test_eyelets_follow_the_edge_of_a_scallop_at_one_distance():
    lace = Lace(12.0, 1.0, 0.4)
    edge = Point(0, 12).buffer(12.0, quad_segs=64).exterior
    eyelets = sorted(lace.bay(23.0), key=lambda r: edge.distance(Polygon(r)))[:4]
    # a scallop 24 wide and 12 deep is half round, and eyelets lie a strap inside its edge
    for eyelet in eyelets:
        assert edge.distance(Polygon(eyelet)) == pytest.approx(1.0, abs=0.02)


def test_picots_stand_out_into_the_air_between_scallops():
    (air,) = Lace(12.0, 1.0, 0.4).post(23.0)
    assert Polygon(air).area < Polygon(air).convex_hull.area - 1


def test_scales_of_both_rows_are_a_strap_apart():
    scales = Scales(10.0, 1.0, 0.3)
    (inner, *_), (outer,) = scales.bay(10.0), scales.post(10.0)
    beside = translate(Polygon(outer), 5.0)
    assert Polygon(inner).distance(beside) == pytest.approx(1.0, abs=0.01)


def test_an_egg_is_blunt_at_the_rim():
    within = rectangle(width=101.6, height=152.4)
    eggs = [
        r
        for r in rings_of(egg_and_dart(within=within))
        if abs(r.centroid.y - 7) < 2.5 and 20 < r.centroid.x < 80
    ]
    egg = max(eggs, key=lambda r: r.area / r.convex_hull.area * r.area)
    low_x, low_y, high_x, high_y = egg.bounds
    middle = (low_y + high_y) / 2
    rimward = egg.intersection(shapely.box(low_x, low_y, high_x, middle))
    assert rimward.area > 1.02 * (egg.area - rimward.area)
