import io
import math

import networkx
import numpy as np
import pytest
import resvg_py
import shapely
from lattice_checks import (
    assert_alike,
    assert_cut_as_asked,
    assert_mirrored,
    darkest_spot,
    open_share,
)
from PIL import Image
from sampling import across
from scipy import ndimage
from shapely.affinity import rotate, scale
from shapely.geometry import Polygon
from strategies import PLAIN
from support import assert_one_piece, rings_of

from canivet.errors import CanivetError
from canivet.motifs.lattices._filling.fill import fill_with_cells
from canivet.motifs.lattices._filling.region import grid, inset_region
from canivet.motifs.lattices.bars import diamond_lattice, square_lattice, triangle_lattice
from canivet.motifs.lattices.courses import brick_lattice, hexagon_lattice
from canivet.motifs.lattices.holes import round_holes, slots
from canivet.motifs.lattices.slits import basket_lattice, herringbone_lattice
from canivet.motifs.outlines import arch, oval, rectangle
from canivet.motifs.shapes.openings import inset_convex

STRAIGHT = [square_lattice, triangle_lattice, brick_lattice, basket_lattice, herringbone_lattice]
LATTICES = [*STRAIGHT, round_holes, slots]
GRADED = [
    diamond_lattice,
    hexagon_lattice,
    brick_lattice,
    square_lattice,
    triangle_lattice,
    round_holes,
    slots,
]


@across(
    times=2, lattice=[x for x in LATTICES if x is not herringbone_lattice], fit=[True, False], outline=PLAIN
)
def test_a_lattice_mirrors_itself_wherever_its_outline_does(lattice, fit, outline):
    paper = lattice(within=outline(width=80, height=120), fit=fit)
    assert_mirrored(paper, level=outline is not arch)


@pytest.mark.parametrize("outline", [rectangle, oval])
def test_half_a_turn_maps_a_herringbone_onto_itself(outline):
    paper = herringbone_lattice(within=outline(width=101.6, height=152.4))
    assert_alike(paper, rotate(paper, 180, origin=(50.8, 76.2)))


@across(lattice=STRAIGHT, outline=[oval, arch])
def test_no_rest_at_a_curved_rim_is_left_as_a_dark_wedge(lattice, outline):
    # nowhere a larger disc of paper than at the crossings of the same lattice, but for a tenth of a millimetre
    within, square = (o(width=101.6, height=152.4) for o in (outline, rectangle))
    crossing = darkest_spot(lattice(within=square), square.buffer(-3))
    assert darkest_spot(lattice(within=within), within.buffer(-3)) <= crossing + 0.11


def test_trimming_joins_the_wedges_that_clipping_leaves_at_an_arch():
    within = arch(width=101.6, height=152.4)
    region = inset_region(within, 3)
    cell = np.array([(0, -7), (4, 0), (0, 7), (-4, 0)])
    centres = np.concatenate([grid(region, (8, 14), (0, 0), 14), grid(region, (8, 14), (0.5, 0.5), 14)])
    trimmed = fill_with_cells(
        within, region, [(cell, inset_convex(cell, 0.6), centres)], strap=1.2, smallest=0.5
    )
    assert_cut_as_asked(trimmed, within, square_lattice, {})
    middle = shapely.box(30, 30, 70, 100)
    at_crossings = darkest_spot(trimmed, middle)
    assert darkest_spot(trimmed, region) <= at_crossings + 0.11


@pytest.mark.parametrize("ratio", [1.25, 1.4, 1.6, 1.8, 2])
def test_the_open_share_of_a_grille_is_hole_over_pitch_squared(ratio):
    # square holes w, pitch p: 100·(w/p)² %; p/w = 1.25, 1.4, 1.6, 1.8, 2 → 64, 51, 39, 31, 25 %:
    # perforated-metal handbooks; wire-cloth tables give the same
    share = {1.25: 64, 1.4: 51, 1.6: 39, 1.8: 31, 2: 25}[ratio]
    paper = square_lattice(
        within=rectangle(width=100, height=100),
        strap=5 * (1 - 1 / ratio),
        pitch=5,
        alternate="square",
        fit=False,
    )
    assert open_share(paper, 5, 5, (6, 6)) == pytest.approx(ratio**-2, abs=1e-9)
    assert round(100 * open_share(paper, 5, 5, (6, 6))) == share


@pytest.mark.parametrize(
    ("layout", "high", "share"), [("square", 10, 28.274), ("triangular", 10 * math.sqrt(3), 32.648)]
)
def test_the_open_share_of_a_perforated_sheet(layout, high, share):
    # round holes D on pitch C: 78.54·D²/C² % on the square, 90.69·D²/C² % at 60°; 6 on 10 → 28.274 and 32.648 %:
    # perforated-metal handbooks. Holes are flattened inside their circles, hence a little less
    within = rectangle(width=160, height=160)
    paper = round_holes(within=within, strap=4, pitch=10, layout=layout, fit=False)
    assert 100 * open_share(paper, 10, high, (4, 3)) == pytest.approx(share, rel=2.5e-3)


def test_the_area_of_a_slot_with_round_ends():
    # slots w×l with round ends: w·l − 0.215·w²; 4×9 → 32.56: perforated-metal handbooks
    paper = slots(
        within=rectangle(width=100, height=100),
        strap=1,
        pitch=5,
        length=2,
        ends="round",
        smallest=1,
        fit=False,
    )
    x0, y0, x1, y1 = (whole := min(rings_of(paper), key=lambda o: o.distance(shapely.Point(50, 50)))).bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((4, 9), abs=1e-6)
    assert whole.area == pytest.approx(32.56, rel=2.5e-3)


@pytest.mark.parametrize("outline", [rectangle, oval])
@pytest.mark.parametrize("asked", [{"layout": "square"}, {"layout": "triangular"}, {}])
def test_holes_and_almonds_are_never_cut_off_askew_at_the_rim(outline, asked):
    draw = round_holes if asked else slots
    openings = rings_of(draw(within=outline(width=101.6, height=152.4), **asked))
    assert len(openings) > 100
    for one in openings:
        mirrored = scale(one, -1, 1, origin=one.centroid)
        assert one.symmetric_difference(mirrored).area < 0.01 * one.area


def test_almonds_lie_a_strap_apart_beside_and_above_each_other():
    # the nearest of two is a strap off, whatever the proportions: derived in `_almond`
    for length, strap in ((1.2, 1.2), (2.7, 0.8), (6, 1.6)):
        paper = slots(within=rectangle(width=80, height=120), strap=strap, length=length, fit=False, grade=0)
        whole = [one for one in rings_of(paper) if shapely.box(20, 30, 60, 90).contains(one)]
        assert len(whole) > 10
        _, apart = shapely.STRtree(whole).query_nearest(whole, exclusive=True, return_distance=True)
        assert apart == pytest.approx(strap, abs=0.02)


def test_a_lozenge_between_holes_lies_a_strap_off_all_four():
    paper = round_holes(within=rectangle(width=60, height=60), strap=1.2, pitch=9, fit=False)
    openings = np.array(rings_of(paper))
    lozenges = openings[shapely.area(openings) < 0.5 * shapely.area(openings).max()]
    assert len(lozenges) > 20
    tree = shapely.STRtree(openings)
    for one in lozenges:
        near = tree.query(one, predicate="dwithin", distance=1.25)
        assert len(near) == 5  # itself too
        assert shapely.distance(one, openings[near]).max() == pytest.approx(1.2, abs=0.02)


@pytest.mark.parametrize(("alternate", "share"), [("lozenge", 0.5), ("round", math.pi / 4), ("square", 1)])
def test_every_other_field_of_a_chequer_holds_its_share_of_a_square(alternate, share):
    # a square on its point in a square fills half of it, a circle π/4: derived
    # fifteen fields of 6 mm on a side, less half a bar that lies in the rim on either one
    within = rectangle(width=15 * 6 - 1.2 + 6, height=15 * 6 - 1.2 + 6)
    paper = square_lattice(within=within, alternate=alternate, fit=False)
    areas = shapely.area(rings_of(paper))
    assert areas.max() == pytest.approx((6 - 1.2) ** 2)
    assert areas.min() == pytest.approx(share * areas.max(), rel=3e-3)
    assert (areas > 0.99 * areas.max()).sum() >= len(areas) / 2


def test_a_chequer_too_small_for_lozenges_is_a_plain_grille():
    paper = square_lattice(within=rectangle(width=40, height=40), pitch=2.5, strap=1.2, smallest=0.6)
    assert len({round(one.area, 6) for one in rings_of(paper)}) == 1


def test_the_open_share_of_a_triangle_lattice():
    # triangular lattice, bar b, side s: (1 − √3·b/s)²; 1 on 10 → 0.68359: derived, the inset triangle is similar
    paper = triangle_lattice(within=rectangle(width=120, height=120), strap=1, pitch=10, fit=False)
    assert open_share(paper, 10, 10 * math.sqrt(3), (4, 2)) == pytest.approx(0.68359, abs=5e-6)


def test_openings_are_counted_by_eulers_formula():
    # openings = E − V + C of a plane graph; 10×5 square lattice → 50: Euler
    graph = networkx.grid_2d_graph(11, 6)
    count = graph.number_of_edges() - graph.number_of_nodes() + networkx.number_connected_components(graph)
    paper = square_lattice(
        within=rectangle(width=10 * 6 + 4.8, height=5 * 6 + 4.8), strap=1.2, pitch=6, alternate="square"
    )
    assert len(paper.interiors) == count == 50


@pytest.mark.parametrize("lattice", LATTICES)
def test_an_engine_that_did_not_draw_it_counts_one_piece_and_as_many_openings(lattice):
    paper = lattice(within=oval(width=60, height=90))
    pieces_seen, openings_seen = count_in_picture(paper)
    assert (pieces_seen, openings_seen) == (1, len(paper.interiors))


def count_in_picture(paper):
    """Count pieces and openings in a picture of 0.05 mm a pixel."""
    x0, y0, x1, y1 = paper.buffer(2).bounds
    rings = [paper.exterior, *paper.interiors]
    path = "".join("M" + "L".join(f"{x:.4f} {-y:.4f}" for x, y in ring.coords[:-1]) + "Z" for ring in rings)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{x1 - x0}mm" height="{y1 - y0}mm" '
        f'viewBox="{x0} {-y1} {x1 - x0} {y1 - y0}"><path fill-rule="evenodd" d="{path}"/></svg>'
    )
    png = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=508))
    dark = np.asarray(Image.open(io.BytesIO(png)))[..., 3] > 127
    return ndimage.label(dark)[1], ndimage.label(~dark, np.ones((3, 3)))[1] - 1


@pytest.mark.parametrize("lattice", GRADED)
@pytest.mark.parametrize(("toward", "pick"), [("foot", 1), ("head", -1)])
def test_a_graded_lattice_is_darker_toward_the_side_asked_for(lattice, toward, pick):
    within = rectangle(width=80, height=120)
    paper = lattice(within=within, grade=0.8, toward=toward)
    halves = [paper.intersection(shapely.box(0, low, 80, low + 60)).area for low in (0, 60)][::pick]
    assert halves[0] > 1.15 * halves[1]
    assert_cut_as_asked(paper, within, lattice, {})


@pytest.mark.parametrize("toward", ["middle", "edge"])
def test_grading_runs_from_the_middle_to_the_edge(toward):
    within = oval(width=100, height=140)
    paper = round_holes(within=within, layout="triangular", grade=0.8, toward=toward)
    away = shapely.distance(np.array(rings_of(paper)), within.exterior)
    areas = shapely.area(rings_of(paper))
    near, far = np.median(areas[away < 10]), np.median(areas[away > 35])
    assert (near < 0.8 * far) if toward == "edge" else (far < 0.8 * near)


@pytest.mark.parametrize("lattice", LATTICES)
@pytest.mark.parametrize(
    ("asked", "parameter", "says"),
    [
        ({"pitch": 2.1, "strap": 1.6, "smallest": 1}, "pitch", r"pitch is 2\.1 mm; .* at least \d"),
        ({"rim": 30}, "rim", "nothing is left inside it"),
        ({"rim": 29, "smallest": 3, "pitch": 25}, "pitch", "no opening worth cutting"),
        ({"strap": 0.29}, "strap", "0.3 mm to 20 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(lattice, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        lattice(within=rectangle(width=60, height=90), **asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("lattice", [x for x in LATTICES if x is not triangle_lattice])
def test_a_pitch_is_accepted_at_its_least(lattice):
    assert_one_piece(lattice(within=rectangle(width=60, height=90), pitch=2.4, strap=1.2, smallest=0.6))


def test_a_region_in_two_parts_is_filled_in_both():
    waist = Polygon(
        [(0, 0), (40, 0), (40, 20), (22, 40), (40, 60), (40, 90), (0, 90), (0, 60), (18, 40), (0, 20)]
    )
    paper = square_lattice(within=waist, rim=4)
    assert_one_piece(paper)
    heights = np.array([opening.centroid.y for opening in rings_of(paper)])
    assert (heights < 30).any()
    assert (heights > 60).any()


def test_slots_swell_toward_the_middle_and_end_in_drops_at_a_level_edge():
    paper = slots(within=rectangle(width=101.6, height=152.4), strap=1.2)
    openings = np.array(rings_of(paper))
    areas, middle = shapely.area(openings), shapely.Point(50.8, 76.2)
    far = shapely.distance(shapely.centroid(openings), middle)
    assert np.corrcoef(far, areas)[0, 1] < -0.7
    top = openings[np.abs(shapely.bounds(openings)[:, 3] - 149.4) < 0.5]
    drops = top[shapely.area(top) < 0.7 * np.median(areas)]
    assert len(drops) >= 8
    for drop in drops:
        points = shapely.get_coordinates(drop)
        level = points[points[:, 1] > points[:, 1].max() - 0.02]
        assert np.ptp(level[:, 0]) < 0.75 * np.ptp(points[:, 0])  # its foot is rounded, not chopped


def test_no_crumb_is_left_of_slots_along_an_oval():
    areas = shapely.area(np.array(rings_of(slots(within=oval(width=101.6, height=152.4), grade=0))))
    assert areas.min() > 0.55**2 * np.median(areas)
