"""Path data, read back by a reader of its own."""

from __future__ import annotations

import re

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon, box

from canivet.audit.strength import check_strength
from canivet.export import path_data
from canivet.export.paths import ACCURACY, leaner
from canivet.motifs.registry import find_motif


def read_rings(data: str) -> list[list[tuple[float, float]]]:
    """Read absolute M, L and Z, and refuse anything else."""
    assert re.fullmatch(r"(M[^MLZ]+(L[^MLZ]+)+Z)*", data)
    rings = []
    for ring in data.split("Z")[:-1]:
        pairs = [pair.split(" ") for pair in re.split("[ML]", ring)[1:]]
        rings.append([(float(x), float(y)) for x, y in pairs])
    return rings


def read_polygon(data: str, height: float) -> Polygon:
    shell, *holes = [[(x, height - y) for x, y in ring] for ring in read_rings(data)]
    return Polygon(shell, holes)


lengths = st.floats(5, 9000, allow_nan=False)
shares = st.floats(0.02, 0.24)


@st.composite
def perforated(draw: st.DrawFn) -> Polygon:
    """A box anywhere, tilted, with up to four openings in its quarters."""
    width, height = draw(lengths), draw(lengths)
    corners = draw(
        st.lists(st.sampled_from([(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)]), unique=True)
    )
    holes = []
    for x, y in corners:
        w, h = draw(shares) * width, draw(shares) * height
        holes.append(box(x * width - w, y * height - h, x * width + w, y * height + h).exterior)
    return affinity.rotate(
        Polygon(box(0, 0, width, height).exterior, holes), draw(st.floats(0, 90)), origin=(0, 0)
    )


@given(perforated())
@settings(max_examples=60, deadline=None)
def test_a_polygon_read_back_is_within_half_a_thousandth(polygon: Polygon) -> None:
    top = polygon.bounds[3]
    read = read_polygon(path_data(polygon, flip_height=top), top)
    assert len(read.interiors) == len(polygon.interiors)
    polygon = shapely.orient_polygons(polygon)
    for mine, theirs in zip(
        [read.exterior, *read.interiors], [polygon.exterior, *polygon.interiors], strict=True
    ):
        assert np.abs(np.array(mine.coords) - np.array(theirs.coords)).max() <= 0.0005 + 1e-9


@given(perforated())
@settings(max_examples=40, deadline=None)
def test_a_mirrored_drawing_is_the_reflection_about_the_middle(polygon: Polygon) -> None:
    left, _, right, top = polygon.bounds
    mirrored = read_polygon(path_data(polygon, flip_height=top, mirror_width=right + left), top)
    expected = affinity.scale(polygon, -1, 1, origin=((left + right) / 2, 0))
    assert mirrored.symmetric_difference(expected).area <= 0.002 * polygon.length


@pytest.mark.parametrize("value", [-0.0004, -0.0, 0.0, 0.00049, 1e-12])
def test_no_number_is_a_negative_zero_or_in_exponent_form(value: float) -> None:
    data = path_data(Polygon([(value, 0), (1, 0), (1, 1)]), flip_height=1)
    assert data == "M0 1L1 1L1 0Z"


def test_numbers_keep_three_decimals_and_no_idle_zeros() -> None:
    data = path_data(Polygon([(0, 0), (1234.5678, 0), (9999.9996, 0.1)]), flip_height=0.1)
    assert data == "M0 0.1L1234.568 0.1L10000 0Z"


def test_moves_go_right_and_down() -> None:
    data = path_data(box(0, 0, 1, 1), flip_height=1, dx=10, dy=20)
    assert min(read_rings(data)[0]) == (10, 20)


def test_an_empty_polygon_has_no_path() -> None:
    assert path_data(Polygon(), flip_height=1) == ""


def signed_area(ring: list[tuple[float, float]]) -> float:
    x, y = np.array(ring).T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


@given(perforated(), st.booleans())
@settings(max_examples=40, deadline=None)
def test_openings_run_against_the_outline_so_that_either_fill_rule_gives_the_same(
    polygon: Polygon, turned: bool
) -> None:
    """SVG 2, 13.4.2: by the non-zero rule a point is outside where windings cancel."""
    given_either_way = shapely.reverse(polygon) if turned else polygon
    outline, *openings = (
        signed_area(ring) for ring in read_rings(path_data(given_either_way, flip_height=0))
    )
    assert all(outline * opening < 0 for opening in openings)


@pytest.mark.parametrize("motif", ["guilloche", "scallop", "fish-scale-lattice"])
def test_a_leaner_piece_keeps_its_promise_its_bounds_and_its_openings(motif: str) -> None:
    within = find_motif("oval").draw(width=70, height=95)
    paper = find_motif(motif).draw(within=within, strap=1.2)
    lean = leaner(paper, strap=1.2)
    assert shapely.hausdorff_distance(lean, paper) <= ACCURACY * 1.01
    assert lean.bounds == pytest.approx(paper.bounds, abs=1e-9)
    assert len(lean.interiors) == len(paper.interiors)
    report = check_strength(lean, strap=1.2, smallest=0.5)
    assert report.holds == check_strength(paper, strap=1.2, smallest=0.5).holds
    assert shapely.get_num_coordinates(lean) <= shapely.get_num_coordinates(paper)


def test_points_that_no_blade_could_follow_are_left_out() -> None:
    disc = shapely.Point(0, 0).buffer(30, quad_segs=400)
    # a chord over an angle t lies r (1 − cos t/2) off the arc: 5 µm at 30 mm is 2.09°, 172 chords (derived)
    lean = leaner(disc, strap=1)
    assert 172 <= len(lean.exterior.coords) - 1 <= 1.6 * 172


@pytest.mark.parametrize(("width", "fewest", "most"), [(1.2, 0.8, 1.0), (1.25, 0.0, 0.5)])
def test_points_beside_a_strap_no_wider_than_promised_stay(width: float, fewest: float, most: float) -> None:
    """Drawn to the micrometre all round where the strap has nothing to spare, thinned where it has."""
    outer = shapely.Point(0, 0).buffer(30, quad_segs=180)
    inner = shapely.Point(0, 0).buffer(30 - width, quad_segs=180)
    strap = 1.2 - 0.001  # a chord's middle lies nearer than its ends
    lean = leaner(outer - inner, strap=strap)
    assert check_strength(lean, strap=strap).holds
    share = shapely.get_num_coordinates(lean) / shapely.get_num_coordinates(outer - inner)
    assert fewest <= share <= most


def test_a_small_round_opening_keeps_the_disc_that_fits_it() -> None:
    hole = shapely.Point(5, 5).buffer(0.8, quad_segs=64)
    lean = leaner(box(0, 0, 10, 10) - hole, strap=1)
    before, after = (shapely.maximum_inscribed_circle(opening, tolerance=1e-4).length
                     for opening in (hole, Polygon(lean.interiors[0])))  # fmt: skip
    assert after > before - 0.002
