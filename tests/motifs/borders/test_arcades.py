import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import Point, Polygon
from support import rings_of

from canivet.motifs.borders._ornament.arches import CrossedArches, PointedArches
from canivet.motifs.borders._ornament.lace import Lace, Scales
from canivet.motifs.borders._ornament.palmettes import Palmettes
from canivet.motifs.borders.arcades import egg_and_dart
from canivet.motifs.outlines import rectangle


def test_crossed_arches_leave_pointed_openings_between_columns():
    (opening,) = CrossedArches(10.0, 1.0, 0.3).bay(10.0)
    # two arches of radius r whose columns stand r apart cross at √3/2·r (derived); here at 10.5·√3/2 - strap
    assert opening[:, 1].max() == pytest.approx(10.5 * 3**0.5 / 2 - 1.0, abs=0.6)
    assert Polygon(opening).bounds[0] == pytest.approx(-Polygon(opening).bounds[2])


def test_a_wide_band_has_two_lights_under_a_rose_and_a_narrow_one_a_single_light():
    for height, parts in ((13.0, 3), (7.0, 1)):
        arches = PointedArches(height, 1.2, 0.5)
        assert len(arches.bay(arches.natural)) == parts


@pytest.mark.parametrize("height", [6.5, 7.9, 8.3, 13.0])
def test_every_light_is_cusped_twice_and_as_upright_on_its_left_as_on_its_right(height):
    arches = PointedArches(height, 1.2, 0.5)
    light = max((Polygon(ring) for ring in arches.bay(arches.natural)), key=lambda shape: shape.area)
    parts = shapely.get_parts(light.convex_hull.difference(light))
    notches = [part for part in parts if part.area > 0.02 and part.centroid.y > 0.3 * light.bounds[3]]
    assert len(notches) == 2
    left, right = (notch.area for notch in notches)
    assert left == pytest.approx(right, rel=0.05)


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


@pytest.mark.parametrize(("height", "parts"), [(7.0, 1), (12.0, 2)])
def test_scales_of_both_rows_are_a_line_apart_and_a_large_one_is_echoed_by_an_arch(height, parts):
    scales = Scales(height, 1.0, 0.3)
    outer, row = scales.bay(scales.natural), scales.post(scales.natural)
    inner = [Polygon(ring) for ring in row if Polygon(ring).bounds[1] < 0.01]
    assert len(inner) == len(outer) == parts
    beside = translate(shapely.union_all([Polygon(ring) for ring in outer]), scales.natural / 2)
    assert shapely.union_all(inner).distance(beside) == pytest.approx(scales._line, abs=0.01)


def test_the_inner_scallop_goes_three_quarters_round_the_corner_under_a_fan_of_three():
    scales = Scales(8.0, 1.0, 0.3)
    corner = [Polygon(ring) for ring in scales.corner(scales.natural)]
    near = [part for part in corner if part.distance(Point(0, 0)) < 0.1]
    assert len(near) == 1
    # reaches as far along either run as half a scallop of the run does, and up to where it is high
    half = max(x for ring in scales.post(scales.natural) for x in ring[ring[:, 1] < 0.1, 0])
    assert near[0].bounds[0] == pytest.approx(-half, abs=0.2)
    assert len(corner) - len(near) == 3


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


@pytest.mark.parametrize(("height", "strap", "petals"), [(8.0, 1.2, 5), (9.0, 0.9, 7), (13.0, 1.2, 9)])
def test_a_palmette_has_an_odd_number_of_petals_as_many_as_are_not_crowded(height, strap, petals):
    palmettes = Palmettes(height, strap, 0.5)
    cut = [Polygon(ring) for ring in palmettes.post(palmettes.natural)]
    assert len(cut) == petals + 1  # and the heart
    upright = [petal for petal in cut if abs(petal.centroid.x) < 1e-6]
    assert len(upright) == 2
