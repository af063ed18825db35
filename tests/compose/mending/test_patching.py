"""The patch that mending, joining and composing lay on a neck."""

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon, box

from canivet.audit.necks import measure_necks
from canivet.compose.mending.patching import discs_on, patched


@pytest.mark.parametrize("width", [0.3, 1.0, 4.7])
def test_a_disc_on_the_middle_of_a_neck_gives_it_its_width(width):
    waist = Polygon([(0, 0), (10, 5 - width / 4), (20, 0), (20, 10), (10, 5 + width / 4), (0, 10)])
    neck = measure_necks(waist, limit=width)
    assert neck.width[0] == pytest.approx(width / 2, abs=0.002)
    mended = patched(waist, discs_on(neck.middle, width / 2))
    low, high = mended.intersection(box(9.999, -9, 10.001, 19)).bounds[1::2]
    assert width - 0.002 <= high - low <= 1.01 * width


def test_a_disc_measured_at_its_corners_is_no_wider_than_asked():
    circle = Point(0, 0).buffer(3, quad_segs=200)
    assert discs_on([(0, 0)], 3.0)[0].covers(circle)
    corners = shapely.get_coordinates(discs_on([(0, 0)], 3.0, at_corners=True)[0])
    assert np.hypot(*corners.T) == pytest.approx(3.0)


def test_patches_stay_within_what_they_are_given_and_on_the_grid():
    whole = patched(box(0, 0, 9, 9), discs_on([(9, 4.5)], 2.0), within=box(0, 0, 10, 9))
    assert whole.bounds == (0, 0, 10, 9)
    assert all(round(x, 3) == x and round(y, 3) == y for x, y in whole.exterior.coords)
    assert patched(box(0, 0, 9, 9), []).equals(box(0, 0, 9, 9))
