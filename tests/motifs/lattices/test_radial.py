import math

import numpy as np
import pytest
import shapely
from lattice_checks import (
    assert_cut_as_asked,
    assert_mirrored,
)
from shapely.geometry import Point
from strategies import PLAIN
from support import rings_of

from canivet.motifs.lattices.radial import sunburst_lattice
from canivet.motifs.lattices.spiral import spiral_lattice, sunflower
from canivet.motifs.outlines import arch, oval, rectangle

LATTICES = [sunburst_lattice, spiral_lattice]


@pytest.mark.parametrize("outline", PLAIN)
def test_a_sunburst_from_the_middle_mirrors_itself_wherever_its_outline_does(outline):
    within = outline(width=80, height=120)
    assert_mirrored(sunburst_lattice(within=within), level=False)
    assert_mirrored(sunburst_lattice(within=within, up=0.5), level=outline is not arch)


@pytest.mark.parametrize("length", [1.7, 4])
def test_no_ray_is_a_whip(length):
    # a strap stands free no further than about ten times its width: common practice
    paper = sunburst_lattice(within=rectangle(width=140, height=200), strap=1.2, length=length, smallest=0.5)
    cells = [shapely.get_coordinates(o.minimum_rotated_rectangle.exterior) for o in inner_cells(paper)]
    longest = max(np.hypot(*np.diff(c, axis=0).T).max() for c in cells)
    assert longest < 10 * 1.2 + 3


def inner_cells(paper):
    safe = paper.envelope.buffer(-20)
    return [o for o in rings_of(paper) if safe.contains(o)]


def test_a_sunburst_begins_with_a_disc_and_twelve_rays():
    paper = sunburst_lattice(within=oval(width=101.6, height=152.4), up=0.5, pitch=8)
    middle = Point(50.8, 76.2)
    openings = rings_of(paper)
    disc = next(o for o in openings if o.contains(middle))
    assert 4 * math.pi * disc.area / disc.length**2 == pytest.approx(1, abs=0.01)
    # as wide as 1.2 pitches, less half a strap; the pitch gives way by an eighth at most
    assert math.sqrt(disc.area / math.pi) == pytest.approx(1.2 * 8 - 0.6, rel=0.13)
    ring = [o for o in openings if o is not disc and o.distance(middle) < 1.6 * 8]
    assert len(ring) == 12


def test_seeds_of_a_sunflower_turn_by_the_golden_angle_and_have_equal_room():
    # derived: 360°·(1 − 1/φ) = 137.50776°; n seeds within r, so n/r² is constant
    seeds = sunflower(50, 4)
    turn = np.diff(np.arctan2(seeds[:, 1], seeds[:, 0])) % (2 * math.pi)
    assert np.degrees(turn) == pytest.approx(137.50776, abs=1e-4)
    out = np.hypot(*seeds.T)
    assert np.searchsorted(out, 25) / np.searchsorted(out, 50) == pytest.approx(0.25, abs=0.01)


def beyond_the_eye(paper, pitch=7):
    """The eye takes the room of the first cells, and those beside it are larger."""
    return [o for o in rings_of(paper) if o.distance(paper.envelope.centroid) > 2.5 * pitch]


def test_the_cells_of_a_spiral_are_of_about_one_size():
    paper = spiral_lattice(within=rectangle(width=120, height=160))
    safe = paper.envelope.buffer(-20)
    areas = np.array([o.area for o in beyond_the_eye(paper) if safe.contains(o)])
    assert len(areas) > 100
    assert areas.std() < 0.15 * areas.mean()


def test_the_cells_of_a_spiral_at_the_rim_are_no_lumps_and_no_crumbs():
    areas = shapely.area(beyond_the_eye(spiral_lattice(within=oval(width=101.6, height=152.4))))
    assert areas.max() < 1.9 * np.median(areas)
    assert areas.min() > 0.5 * np.median(areas)


def test_arms_of_a_spiral_are_stouter_than_its_ties_and_there_is_nothing_between():
    openings = inner_cells(spiral_lattice(within=rectangle(width=120, height=160), strap=1.0, roundness=0))
    one, other = shapely.STRtree(openings).query(openings, predicate="dwithin", distance=1.7)
    apart = shapely.distance(np.array(openings)[one], np.array(openings)[other])[one < other]
    ties, arms = np.abs(apart - 1.0) < 0.05, np.abs(apart - 1.6) < 0.05
    assert min(ties.sum(), arms.sum()) > 100
    assert (ties | arms).mean() > 0.9


@pytest.mark.parametrize("place", [(0.0, 0.0), (1.0, 1.0), (-0.3, 0.5), (0.5, 1.4)])
@pytest.mark.parametrize("lattice", LATTICES)
def test_the_middle_may_lie_anywhere_even_off_the_piece(lattice, place):
    within = rectangle(width=80, height=110)
    paper = lattice(within=within, across=place[0], up=place[1])
    assert_cut_as_asked(paper, within, lattice, {})
