import math

import numpy as np
import pytest
import shapely
from lattice_checks import (
    assert_cut_as_asked,
    assert_mirrored,
)
from shapely.affinity import rotate
from shapely.geometry import Point
from strategies import PLAIN
from support import rings_of

from canivet.motifs.lattices.radial import sunburst_lattice
from canivet.motifs.lattices.spiral import spiral_lattice
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


@pytest.fixture(scope="module")
def whirl():
    return spiral_lattice(within=oval(width=180, height=180), pitch=7, strap=1.2)


def petals_of(paper):
    """Openings by their distance from the middle, that distance, and the angle about it in degrees."""
    openings = np.array(rings_of(paper))
    out = shapely.get_coordinates(shapely.centroid(openings)) - paper.envelope.centroid.coords[0]
    order = np.argsort(np.hypot(*out.T))
    return openings[order], np.hypot(*out[order].T), np.degrees(np.arctan2(*out[order].T[::-1]))


def test_petals_of_a_whirl_follow_an_equiangular_spiral(whirl):
    # Bernoulli's spiral crosses every ray at one angle, here 48 degrees: the turn is tan 48° · ln(r2/r1)
    _, far, turn = petals_of(whirl)
    first, following = slice(9, 25), slice(25, 41)  # after the eye and eight petals; 16 in each
    assert np.ptp(far[following]) < 1e-6
    ahead = turn[first] + np.degrees(math.tan(math.radians(48)) * np.log(far[following][0] / far[first]))
    off = (ahead[:, None] - turn[following] + 180) % 360 - 180
    assert sorted(np.abs(off).argmin(axis=1)) == list(range(16))
    assert np.abs(off).min(axis=1).max() < 1


def test_a_whirl_in_a_round_is_the_same_turned_by_an_eighth(whirl):
    assert whirl.symmetric_difference(rotate(whirl, 45, origin="centroid")).area < 1e-3 * whirl.area


def test_arms_of_a_whirl_divide_so_that_no_petal_grows_past_twice_another(whirl):
    openings, far, _ = petals_of(whirl)
    inner = (far > 1) & (far < 65)
    assert inner.sum() > 100
    areas = shapely.area(openings[inner])
    assert areas.max() < 1.85 * areas.min()


def test_petals_of_a_whirl_come_no_nearer_to_each_other_than_the_strap_and_not_much_less_near(whirl):
    openings, far, _ = petals_of(whirl)
    openings = openings[far < 65]
    one, other = shapely.STRtree(openings).query(openings, predicate="dwithin", distance=4)
    apart = shapely.distance(openings[one], openings[other])[one != other]
    nearest = np.full(len(openings), np.inf)
    np.minimum.at(nearest, one[one != other], apart)
    assert nearest.min() > 1.2 * 0.999
    assert np.median(nearest) < 1.2 * 1.6


@pytest.mark.parametrize("strap", [0.8, 1.2, 1.6])
def test_petals_of_a_whirl_at_the_rim_are_no_lumps_and_no_crumbs(strap):
    areas = shapely.area(
        np.array(rings_of(spiral_lattice(within=oval(width=101.6, height=152.4), strap=strap)))
    )
    assert np.sort(areas)[-2] < 1.7 * np.median(areas)  # the eye is larger
    assert areas.min() > 0.35 * np.median(areas)


@pytest.mark.parametrize("outline", [oval, rectangle])
def test_petals_of_a_whirl_end_round_before_the_rim(outline):
    within = outline(width=101.6, height=152.4)
    petals = np.array(rings_of(spiral_lattice(within=within, strap=1.0, rim=3)))
    rim = within.boundary.buffer(3.06)
    along = shapely.length(shapely.intersection(shapely.boundary(petals), rim))
    beside = along > 0
    assert beside.sum() >= 10
    assert (along / shapely.length(petals)).max() < 0.12  # cut straight it would be a quarter and more


@pytest.mark.parametrize("place", [(0.0, 0.0), (1.0, 1.0), (-0.3, 0.5), (0.5, 1.4)])
@pytest.mark.parametrize("lattice", LATTICES)
def test_the_middle_may_lie_anywhere_even_off_the_piece(lattice, place):
    within = rectangle(width=80, height=110)
    paper = lattice(within=within, across=place[0], up=place[1])
    assert_cut_as_asked(paper, within, lattice, {})
