import numpy as np
import pytest
from shapely import Point, box
from shapely.geometry import Polygon

from canivet.audit.corners import measure_sharp_corners

SHEET = box(0, 0, 40, 40)


def wedge(apex_deg, tip=(20.0, 5.0), length=10.0):
    half = np.radians(apex_deg / 2)
    x, y = tip
    return Polygon(
        [
            tip,
            (x + length * np.sin(half), y + length * np.cos(half)),
            (x - length * np.sin(half), y + length * np.cos(half)),
        ]
    )


def test_the_paper_ahead_is_measured_along_the_edge():
    tip = (20.0, 1.0)
    (corner,) = measure_sharp_corners(SHEET - wedge(40, tip), strap=1.2)
    # the blade comes in 20° off the upright: 1 / cos 20° of paper ahead; derived
    assert corner.ahead == pytest.approx(1 / np.cos(np.radians(20)), abs=0.002)
    assert corner.angle == pytest.approx(40, abs=0.1)
    assert corner.at == pytest.approx(tip)


def test_far_from_any_edge_an_overrun_does_no_harm():
    assert measure_sharp_corners(SHEET - wedge(40), strap=1.2) == []


def test_square_corners_and_curves_are_not_sharp():
    assert measure_sharp_corners(SHEET - box(1, 1, 10, 10), strap=1.2) == []
    assert measure_sharp_corners(SHEET - Point(4, 4).buffer(3), strap=1.2) == []


def test_a_sharp_corner_of_the_paper_itself_is_no_inward_corner():
    assert measure_sharp_corners(wedge(30), strap=1.2) == []


@pytest.mark.parametrize(("height", "found"), [(1.5, 1), (1.7, 0)])
def test_a_blade_is_reckoned_to_run_on_by_half_a_millimetre(height, found):
    # half a millimetre past the corner: common practice, no source. The edge leans 20°, so that there are
    # 1.5 / cos 20° = 1.60 mm and 1.7 / cos 20° = 1.81 mm of paper ahead; 0.5 + 1.2 = 1.7 are needed (derived)
    assert len(measure_sharp_corners(SHEET - wedge(40, (20.0, height)), strap=1.2)) == found


@pytest.mark.parametrize(("apex", "found"), [(70, 1), (74, 1), (76, 0), (85, 0)])
def test_a_corner_is_sharp_up_to_seventy_five_degrees(apex, found):
    assert len(measure_sharp_corners(SHEET - wedge(apex, (20.0, 0.8)), strap=1.2)) == found


@pytest.mark.parametrize(("edge", "found"), [(0.25, 0), (0.35, 1)])
def test_edges_under_three_tenths_of_a_millimetre_are_part_of_a_curve(edge, found):
    assert len(measure_sharp_corners(SHEET - wedge(40, (20.0, 0.8), length=edge), strap=1.2)) == found
