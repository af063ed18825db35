import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from lattice_checks import assert_cut_as_asked
from strategies import seeds
from support import rings_of

from canivet.motifs.lattices._filling.voronoi import voronoi_cells
from canivet.motifs.lattices.grown import crackle_lattice, ice_ray_lattice, ice_rays
from canivet.motifs.outlines import oval, rectangle

LATTICES = [crackle_lattice, ice_ray_lattice]


@pytest.mark.parametrize("lattice", LATTICES)
def test_a_seed_gives_one_drawing_and_another_seed_another(lattice):
    within = oval(width=60, height=90)
    once, again, other = (shapely.to_wkb(lattice(within=within, seed=seed)) for seed in (3, 3, 4))
    assert once == again != other


@given(seed=seeds)
@settings(max_examples=8, deadline=None)
def test_the_faces_of_an_ice_ray_have_three_to_five_sides_and_fill_the_field(seed):
    # ice-ray subdivision: triangle → 3+4 sides, quadrangle → 3+5 or 4+4, pentagon → 4+5; faces stay 3- to
    # 5-sided: Stiny, Environment and Planning B 4, 1977
    faces = ice_rays(shapely.box(0, 0, 100, 140), 100, np.random.default_rng(seed))
    sides = shapely.get_num_coordinates(faces) - 1
    assert set(sides) <= {3, 4, 5}
    assert (sides == 3).sum() == (sides == 5).sum()  # each cut adds a face and four corners
    assert shapely.area(faces).sum() == pytest.approx(14000, abs=1e-6)
    assert shapely.is_valid(faces).all()
    assert shapely.area(faces).max() < 1.9 * 100


@given(seed=seeds)
@settings(max_examples=10, deadline=None)
def test_a_first_cut_parts_the_field_as_the_rule_says(seed):
    # quadrangle → 3+5 or 4+4: Stiny 1977
    faces = ice_rays(shapely.box(0, 0, 10, 10), 80, np.random.default_rng(seed))
    if len(faces) == 2:
        assert sorted(shapely.get_num_coordinates(faces) - 1) in ([3, 5], [4, 4])


def test_cells_of_scattered_points_have_the_statistics_of_poisson_and_voronoi():
    # Poisson–Voronoi cells: mean 6 sides; edge length per area 2·√λ; area variance ≈ 0.280 (of cells with mean
    # area 1): Okabe et al., Spatial Tessellations. 40,000 points: four standard errors are about 0.008 of the
    # variance
    side = 200.0
    rng = np.random.default_rng(1977)
    cells = voronoi_cells(rng.uniform(0, side, (int(side**2), 2)), shapely.box(0, 0, side, side))
    inner = cells[shapely.contains(shapely.box(5, 5, side - 5, side - 5), shapely.centroid(cells))]
    assert (shapely.get_num_coordinates(inner) - 1).mean() == pytest.approx(6, abs=0.03)
    assert shapely.length(inner).sum() / 2 / shapely.area(inner).sum() == pytest.approx(2, abs=0.02)
    assert np.var(shapely.area(inner)) == pytest.approx(0.280, abs=0.012)


def test_evening_out_makes_cells_more_alike():
    within = rectangle(width=100, height=140)
    spread = []
    for evenness in (0, 8):
        areas = shapely.area(rings_of(crackle_lattice(within=within, evenness=evenness, roundness=0, seed=5)))
        spread.append(areas.std() / areas.mean())
    assert spread[1] < 0.6 * spread[0]


@pytest.mark.parametrize("lattice", LATTICES)
def test_some_cracks_are_main_ones_and_wider_by_three_fifths(lattice):
    openings = np.array(rings_of(lattice(within=rectangle(width=101.6, height=152.4), strap=1.0)))
    one, other = shapely.STRtree(openings).query(openings, "dwithin", distance=1.9)
    gap = shapely.distance(openings[one], openings[other])[one < other]
    main = (gap > 1.55) & (gap < 1.65)
    assert 0.05 < main.mean() < 0.35
    assert main.sum() + (abs(gap - 1) < 0.05).sum() > 0.75 * len(gap)


@pytest.mark.parametrize("lattice", LATTICES)
def test_about_as_many_cells_are_cut_as_the_pitch_says(lattice):
    within = rectangle(width=150, height=150)
    count = len(lattice(within=within, pitch=9).interiors)
    assert 0.7 * 144**2 / 81 < count < 1.45 * 144**2 / 81


@pytest.mark.parametrize("toward", ["foot", "head", "edge", "middle"])
def test_crackle_lies_closer_toward_the_side_asked_for(toward):
    within = rectangle(width=100, height=140)
    paper = crackle_lattice(within=within, grade=1, toward=toward, pitch=9)
    assert_cut_as_asked(paper, within, crackle_lattice, {})
    at = shapely.get_coordinates(shapely.centroid(rings_of(paper)))
    place = {
        "foot": at[:, 1] < 70,
        "head": at[:, 1] > 70,
        "edge": np.abs(at - (50, 70)).max(axis=1) > 41,
        "middle": np.hypot((at[:, 0] - 50) / 100, (at[:, 1] - 70) / 140) < 0.25,
    }[toward]
    area = {"foot": 0.5, "head": 0.5, "edge": None, "middle": math.pi * 0.25**2}[toward]
    if area is None:
        area = 1 - 82 * 82 / 14000
    assert place.mean() > 1.2 * area


def test_crackle_fits_the_edge_and_leaves_no_sliver_there():
    areas = shapely.area(rings_of(crackle_lattice(within=oval(width=101.6, height=152.4))))
    assert areas.min() > 0.2 * np.median(areas)
