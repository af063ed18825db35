import math

import numpy as np
import pytest
import shapely
from lattice_checks import (
    assert_cut_as_asked,
    assert_drawn_or_refused,
    assert_mirrored,
    open_share,
)
from sampling import across
from shapely.geometry import Point, Polygon
from support import rings_of

from canivet.motifs.lattices._filling.tracery import (
    foil_shape,
    notch_ratio,
    ogee_cell,
    star_faces,
)
from canivet.motifs.lattices.curved import fish_scale_lattice, ogee_lattice
from canivet.motifs.lattices.stars import asanoha_lattice, foil_lattice, star_lattice
from canivet.motifs.outlines import arch, oval, rectangle
from canivet.motifs.shapes.rounds import foil_ratio

LATTICES = [asanoha_lattice, star_lattice, foil_lattice, ogee_lattice, fish_scale_lattice]
FOILS = ["trefoil", "quatrefoil", "cinquefoil", "sixfoil"]


@across(lattice=LATTICES, outline=[oval, arch])
def test_a_lattice_mirrors_itself_wherever_its_outline_does(lattice, outline):
    level = outline is oval and lattice not in (fish_scale_lattice,)
    assert_mirrored(lattice(within=outline(width=80, height=120)), level=level)


def test_the_open_share_of_asanoha():
    # asanoha (30-30-120° cells), bar b, side s: (1 − 3.73205·b/s)²; 1 on 10 → 0.39287: derived, the inset
    # triangle is similar
    paper = asanoha_lattice(
        within=rectangle(width=120, height=120), strap=1, pitch=10, smallest=0.5, fit=False
    )
    assert open_share(paper, 10, 10 * math.sqrt(3), (4, 2)) == pytest.approx(0.39287, abs=5e-6)


@pytest.mark.parametrize(
    ("points", "density", "angle", "notch"), [(8, 3, 67.5, 0.541196), (12, 5, 75.0, 0.517638)]
)
def test_the_contact_angle_and_the_notch_of_a_star(points, density, angle, notch):
    # star of polygons in contact: contact angle 180°·d/n gives {n/d}; notch radius cos θ/cos(θ − π/n):
    # {8/3} 67.5°, 0.541196; {12/5} 75°, 0.517638: Kaplan & Salesin 2004; Kaplan, Graphics Interface 2005
    assert 180 * density / points == angle
    assert notch_ratio(points, math.radians(angle)) == pytest.approx(notch, abs=1e-6)
    star = max((Polygon(face) for face in star_faces(points, math.radians(angle))), key=lambda f: f.area)
    corners = shapely.get_coordinates(star.exterior)[:-1]
    away = np.sort(np.hypot(*(corners - shapely.get_coordinates(star.centroid)[0]).T))
    assert len(away) == 2 * points
    assert away[:points] / away[points:] == pytest.approx(notch, abs=1e-6)


@pytest.mark.parametrize(("number", "angle"), [(6, 60.0), (8, 67.5), (12, 75.0), (12, 60.0), (8, 55.0)])
def test_the_faces_of_a_star_pattern_fill_one_repeat(number, angle):
    faces = [Polygon(face) for face in star_faces(number, math.radians(angle))]
    high = 1.0 if number == 8 else math.sqrt(3)
    assert sum(face.area for face in faces) == pytest.approx(high, abs=1e-6)


@pytest.mark.parametrize("points", ["6", "8", "12"])
def test_stars_of_every_number_of_points_hold(points):
    within = oval(width=101.6, height=152.4)
    paper = star_lattice(within=within, points=points)
    assert_cut_as_asked(paper, within, star_lattice, {})
    star = max(rings_of(paper), key=lambda o: o.area if o.distance(Point(50.8, 76.2)) < 15 else 0)
    assert len(star.exterior.coords) - 1 >= 2 * int(points)


@pytest.mark.parametrize(("lobes", "ratio"), [(3, 0.46410), (4, 0.41421), (5, 0.37019), (6, 1 / 3)])
def test_the_radius_of_the_lobes_of_a_foil(lobes, ratio):
    # n equal foils in a circle: r/R = 0.46410, 0.41421, 0.37019, 1/3 for n = 3…6: Kravitz 1967
    assert foil_ratio(lobes) == pytest.approx(ratio, abs=5e-6)
    foil = foil_shape(lobes, 10, 0.5)
    assert shapely.minimum_bounding_radius(foil) == pytest.approx(10, abs=0.01)
    turn = 0 if lobes == 6 else math.pi / 2
    lobe = Point((10 - 10 * ratio) * math.cos(turn), (10 - 10 * ratio) * math.sin(turn)).buffer(
        10 * ratio - 0.02
    )
    assert foil.contains(lobe)


@pytest.mark.parametrize("foil", FOILS)
def test_foils_of_every_kind_hold_and_leave_smaller_openings_between(foil):
    within = arch(width=101.6, height=152.4)
    paper = foil_lattice(within=within, foil=foil)
    assert_cut_as_asked(paper, within, foil_lattice, {})
    areas = shapely.area([o for o in rings_of(paper) if within.buffer(-14).contains(o)])
    assert (areas < 0.7 * areas.max()).sum() >= 20


@pytest.mark.parametrize("lattice", [foil_lattice, fish_scale_lattice])
def test_a_graded_lattice_is_darker_toward_the_side_asked_for(lattice):
    within = rectangle(width=80, height=120)
    paper = lattice(within=within, grade=0.6)
    assert_cut_as_asked(paper, within, lattice, {})
    low, high = (paper.intersection(shapely.box(0, y, 80, y + 60)).area for y in (0, 60))
    assert low > 1.15 * high


def test_every_side_of_an_ogee_bulges_below_and_draws_in_above_by_as_much():
    # derived: half a turn about its middle maps each side onto itself, so the cell is as large as its lozenge
    ogee = Polygon(ogee_cell(10, 1.5, 34))
    lozenge = Polygon([(5, 0), (0, 7.5), (-5, 0), (0, -7.5)])
    assert ogee.area == pytest.approx(lozenge.area, abs=1e-9)
    assert ogee.difference(lozenge).area == pytest.approx(lozenge.difference(ogee).area, abs=1e-9)
    assert ogee.difference(lozenge).area > 0.05 * ogee.area


@pytest.mark.parametrize(("rim", "pitch"), [(0.5, 25.0), (1.5, 24.0)])
def test_scales_as_large_as_the_piece_keep_their_straps(rim, pitch):
    """Two cases a search came upon: the chords of large arcs ate into the strap."""
    within = oval(width=60, height=75)
    asked = {
        "rim": rim,
        "strap": 1.0,
        "pitch": pitch,
        "smallest": 1.0,
        "grade": 0.0,
        "toward": "foot",
        "fit": True,
    }
    assert_drawn_or_refused(fish_scale_lattice, within, asked)
