import math

import numpy as np
import pytest
import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from support import rings_of

from canivet.motifs.borders._ornament.chevrons import Steps
from canivet.motifs.borders._ornament.frets import Fret
from canivet.motifs.borders.keys import greek_fret
from canivet.motifs.borders.straight import bead_and_bar, ray
from canivet.motifs.outlines import rectangle


@pytest.mark.parametrize("repeat", [7.0, 9.5, 13.0])
def test_a_hanging_pyramid_is_the_standing_one_turned_over_and_keeps_its_wall(repeat):
    steps = Steps(8.6, 1.2, 0.5)
    (standing,), (hanging,) = steps.bay(repeat), steps.post(repeat)
    assert Polygon(hanging).equals(Polygon(standing * (1, -1) + (0, 8.6)))
    # derived: walls between level and upright sides alike are the same width, so the nearest points are that far apart
    beside = translate(Polygon(hanging), repeat / 2)
    assert Polygon(standing).distance(beside) == pytest.approx(steps.wall, abs=1e-9)


def test_the_hooks_of_a_fret_are_each_other_turned_half_round():
    hook, other = Fret(8.6, 1.2, 0.5).bay(12.0)
    assert Polygon(other).symmetric_difference(Polygon((0, 8.6) - hook)).area < 1e-9
    assert Polygon(hook).distance(Polygon(other)) >= 1.2


@pytest.mark.parametrize("side", [80, 110])
def test_a_fret_faces_about_in_the_middle_of_each_side(side):
    paper = greek_fret(within=rectangle(width=side, height=side))
    hooks = [r for r in rings_of(paper) if 12 < r.centroid.x < side - 12 and r.centroid.y < 12]
    assert len(hooks) % 4 == 0  # pairs, as many on either side of the middle
    left = [r for r in hooks if r.centroid.x < side / 2]
    assert len(left) == len(hooks) / 2


def test_the_wedges_of_a_sun_narrow_towards_it():
    within = rectangle(width=150, height=150)
    wedges = [r for r in rings_of(ray(within=within)) if abs(r.centroid.x - 75) < 1 and r.centroid.y < 12]
    # sides that lean towards each other make a wedge; a bar would be as wide below as above
    upper, lower = (
        wedge.intersection(shapely.box(0, low, 150, low + 0.2)).area
        for wedge in wedges[:1]
        for low in (wedges[0].bounds[1] + 0.5, wedges[0].bounds[3] - 0.7)
    )
    assert upper > 1.2 * lower


def test_beads_are_round_on_a_straight_side():
    paper = bead_and_bar(within=rectangle(width=101.6, height=152.4))
    corner = min(rings_of(paper), key=lambda r: math.dist(r.centroid.coords[0], (6, 6)))
    width, height = np.ptp(shapely.get_coordinates(corner), axis=0)
    assert width == pytest.approx(height)
    # a circle encloses π/4 of its box (geometry)
    assert corner.area / (width * height) == pytest.approx(math.pi / 4, rel=2e-3)
