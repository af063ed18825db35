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


def test_openings_that_no_patch_meets_stay_to_the_last_digit():
    third, met = Point(1 / 3, 2 / 3).buffer(0.2), box(4, 4, 6, 6)
    paper = box(-9, -9, 9, 9) - third - met
    patch = Point(4, 5).buffer(0.7)
    whole = patched(paper, [patch], within=box(-9, -9, 9, 9))
    as_it_was, narrower = sorted(map(Polygon, whole.interiors), key=lambda opening: opening.area)
    assert shapely.normalize(as_it_was).wkb == shapely.normalize(third).wkb
    assert narrower.symmetric_difference(met - patch).area < 0.01
    assert all(round(x, 3) == x for x, _ in narrower.exterior.coords)


@pytest.mark.parametrize(
    ("patch", "parts"), [(box(4.6, 4.6, 5.4, 5.4), 2), (box(3, 4.8, 7, 5.2), 1), (box(3, 3, 7, 7), 1)],
    ids=["loose in an opening", "across one", "over all of it"],
)  # fmt: skip
def test_a_patch_is_laid_wherever_it_lies(patch, parts):
    paper = box(-9, -9, 9, 9) - box(4, 4, 6, 6)
    whole = patched(paper, [patch], within=box(-9, -9, 9, 9))
    assert whole.is_valid
    assert whole.equals(paper | patch)
    assert shapely.get_num_geometries(whole) == parts
