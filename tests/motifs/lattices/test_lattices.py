import math
from itertools import pairwise

import networkx
import numpy as np
import pytest
import shapely
from shapely.affinity import scale
from shapely.geometry import Polygon
from strategies import PLAIN
from support import assert_one_piece, rings_of

from canivet.errors import CanivetError
from canivet.motifs.lattices.bars import diamond_lattice
from canivet.motifs.lattices.courses import hexagon_lattice
from canivet.motifs.outlines import arch, rectangle

LATTICES = [diamond_lattice, hexagon_lattice]


@pytest.mark.parametrize("lattice", LATTICES)
@pytest.mark.parametrize("outline", PLAIN)
@pytest.mark.parametrize("fit", [True, False])
def test_a_lattice_mirrors_itself_wherever_its_outline_does(lattice, outline, fit):
    paper = lattice(within=outline(width=101.6, height=152.4), fit=fit)
    assert paper.symmetric_difference(scale(paper, -1, 1, origin=(50.8, 0))).area < 1e-6
    if outline is not arch:
        assert paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 76.2))).area < 1e-6


def open_share(paper, wide, high, periods):
    """Share that is open of a patch of whole periods about the centre."""
    x, y = paper.envelope.centroid.coords[0]
    patch = shapely.box(
        *(x, y) - np.array(periods) * (wide, high), *(x, y) + np.array(periods) * (wide, high)
    )
    return 1 - paper.intersection(patch).area / patch.area


@pytest.mark.parametrize("tilt", [25, 45, 58, 70])
@pytest.mark.parametrize(("strap", "pitch", "share"), [(1, 10, 0.81), (1.2, 6, 0.64), (0.8, 4, 0.64)])
def test_the_open_share_of_a_diamond_lattice_is_the_same_whatever_the_tilt(tilt, strap, pitch, share):
    # (1 − b/p)² whatever the angle; b/p = 0.1 → 0.81: derived, each rhombus drawn in is the same rhombus smaller
    within = rectangle(width=40 * pitch, height=40 * pitch)
    paper = diamond_lattice(within=within, strap=strap, pitch=pitch, tilt=tilt, fit=False)
    wide, high = pitch / math.sin(math.radians(tilt)), pitch / math.cos(math.radians(tilt))
    assert open_share(paper, wide, high, (5, 4)) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize(("flats", "pitch"), [(6, 10), (5, 7), (4.8, 6)])
def test_the_open_share_of_a_honeycomb_is_flats_over_pitch_squared(flats, pitch):
    # hexagonal holes, flats w, pitch p: 100·(w/p)² %: derived
    within = rectangle(width=40 * pitch, height=40 * pitch)
    paper = hexagon_lattice(within=within, strap=pitch - flats, pitch=pitch, fit=False)
    assert open_share(paper, pitch, pitch * math.sqrt(3), (5, 4)) == pytest.approx(
        (flats / pitch) ** 2, abs=1e-9
    )


def test_openings_are_counted_by_eulers_formula():
    # openings = E − V + C of a plane graph (Euler): crossings of the bars are V, pieces of bar between them E,
    # with a pitch that divides the box so that bars cross on its edges and in its corners
    nx, ny, strap, rim = 5, 7, 0.4, 2.0
    within = rectangle(width=nx * 10 + 2 * rim, height=ny * 10 + 2 * rim)
    pitch = 10 / math.sqrt(2)
    paper = diamond_lattice(within=within, rim=rim, strap=strap, pitch=pitch, tilt=45, smallest=0.5)
    graph = networkx.Graph()
    for x in range(2 * nx):
        for y in range(2 * ny):
            ends = [((x, y), (x + 1, y + 1)), ((x + 1, y), (x, y + 1))]
            graph.add_edge(*ends[(x + y) % 2])
    edge = [(x, 0) for x in range(0, 2 * nx + 1, 2)] + [(2 * nx, y) for y in range(2, 2 * ny + 1, 2)]
    edge += [(x, 2 * ny) for x in range(2 * nx - 2, -1, -2)] + [(0, y) for y in range(2 * ny - 2, -1, -2)]
    graph.add_edges_from(pairwise(edge))
    count = graph.number_of_edges() - graph.number_of_nodes() + networkx.number_connected_components(graph)
    assert len(paper.interiors) == count


@pytest.mark.parametrize("lattice", LATTICES)
def test_whole_cells_fill_a_rectangle_and_its_edges_keep_no_slivers(lattice):
    paper = lattice(within=rectangle(width=101.6, height=152.4))
    areas = np.array([opening.area for opening in rings_of(paper)])
    assert areas.min() > 0.3 * np.median(areas)


def test_the_cells_of_a_fitted_honeycomb_are_all_but_regular():
    for width in np.linspace(60, 120, 13):
        paper = hexagon_lattice(within=rectangle(width=width, height=150))
        x0, y0, x1, y1 = max(rings_of(paper), key=lambda opening: opening.area).bounds
        # flats to corners of a regular hexagon: √3/2
        assert (x1 - x0) / (y1 - y0) == pytest.approx(math.sqrt(3) / 2, rel=0.06)


def test_a_cell_that_would_ring_an_opening_is_left_solid():
    within = rectangle(width=100, height=100).difference(shapely.Point(50, 50).buffer(1))
    paper = hexagon_lattice(within=within, rim=2, pitch=32, fit=False)
    assert_one_piece(paper)
    assert paper.contains(shapely.Point(50, 55))


def test_a_region_in_two_parts_is_filled_in_both():
    waist = Polygon(
        [(0, 0), (40, 0), (40, 20), (22, 40), (40, 60), (40, 90), (0, 90), (0, 60), (18, 40), (0, 20)]
    )
    paper = diamond_lattice(within=waist, rim=4)
    assert_one_piece(paper)
    heights = np.array([opening.centroid.y for opening in rings_of(paper)])
    assert (heights < 30).any()
    assert (heights > 60).any()


@pytest.mark.parametrize("lattice", LATTICES)
@pytest.mark.parametrize(
    ("asked", "parameter", "says"),
    [
        ({"pitch": 2.3, "strap": 1.2, "smallest": 0.6}, "pitch", r"pitch is 2\.3 mm; .* at least 2\.4 mm"),
        ({"rim": 30}, "rim", "nothing is left inside it"),
        ({"rim": 29, "smallest": 3, "pitch": 20}, "pitch", "no opening worth cutting"),
        ({"strap": 0.29}, "strap", "0.3 mm to 20 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_what_would_be_accepted(lattice, asked, parameter, says):
    with pytest.raises(CanivetError, match=says) as caught:
        lattice(within=rectangle(width=60, height=90), **asked)
    assert caught.value.parameter == parameter
    assert caught.value.accepted


@pytest.mark.parametrize("lattice", LATTICES)
def test_a_pitch_is_accepted_at_its_least(lattice):
    assert_one_piece(lattice(within=rectangle(width=60, height=90), pitch=2.4, strap=1.2, smallest=0.6))
