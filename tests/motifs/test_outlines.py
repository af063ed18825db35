import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import scale
from support import assert_one_piece

from canivet.errors import BadValue, DoesNotFit
from canivet.motifs import catalogue
from canivet.motifs.outlines import (
    CHORD_TOLERANCE,
    arch,
    circle,
    oval,
    pointed_arch,
    rectangle,
    rounded_rectangle,
)

sizes = st.floats(5, 3000)
OUTLINES = [rectangle, oval, arch]


@pytest.mark.parametrize("outline", OUTLINES)
@given(width=sizes, height=sizes)
def test_every_outline_has_the_size_asked_for_and_stands_on_the_origin(outline, width, height):
    if outline is arch and height < width / 2:
        height = width
    piece = outline(width=width, height=height)
    assert_one_piece(piece)
    assert piece.bounds == pytest.approx((0, 0, width, height), abs=1e-9)


@pytest.mark.parametrize("outline", OUTLINES)
def test_every_outline_mirrors_itself_left_and_right(outline):
    piece = outline(width=91, height=137)
    assert piece.symmetric_difference(scale(piece, -1, 1, origin=(45.5, 0))).area < 1e-6


@given(width=sizes, height=sizes)
def test_no_chord_of_an_oval_strays_from_its_curve(width, height):
    # area of an ellipse π·a·b and its perimeter's upper bound 2π·√((a² + b²)/2): geometry
    a, b = width / 2, height / 2
    lost = math.pi * a * b - oval(width=width, height=height).area
    assert 0 <= lost <= CHORD_TOLERANCE * 2 * math.pi * math.sqrt((a * a + b * b) / 2)


def test_the_area_of_an_arch_is_that_of_its_rectangle_and_half_disc():
    lost = 80 * 60 + math.pi * 40**2 / 2 - arch(width=80, height=100).area
    assert 0 <= lost <= CHORD_TOLERANCE * math.pi * 40


def test_an_arch_just_as_high_as_its_head_has_no_sides():
    assert_one_piece(arch(width=80, height=40))
    assert arch(width=80, height=40).area == pytest.approx(math.pi * 800, rel=1e-3)


def test_an_arch_lower_than_its_head_is_refused_and_says_what_it_needs():
    with pytest.raises(
        DoesNotFit, match=r"height is 39\.9 mm; an arch 80 mm wide needs at least 40 mm"
    ) as caught:
        arch(width=80, height=39.9)
    assert caught.value.parameter == "height"


@pytest.mark.parametrize(("width", "bad"), [(5, False), (4.9, True), (3000, False), (3000.1, True)])
def test_widths_outside_the_range_are_refused(width, bad):
    if bad:
        with pytest.raises(BadValue, match="width"):
            rectangle(width=width, height=100)
    else:
        assert rectangle(width=width, height=100).area == width * 100


def test_the_catalogue_knows_every_motif_of_its_family():
    families = {name: entry.family for name, entry in catalogue().items()}
    expected = {
        "rectangle": "outline", "oval": "outline", "arch": "outline", "meander": "border",
        "scallop": "border", "diamond-lattice": "lattice", "hexagon-lattice": "lattice",
    }  # fmt: skip
    assert expected.items() <= families.items()


def test_the_same_request_gives_the_same_bytes():
    assert shapely.to_wkb(oval(width=70, height=90)) == shapely.to_wkb(oval(width=70, height=90))


@given(width=st.floats(5, 3000), height=st.floats(5, 3000), share=st.floats(0.05, 1))
def test_a_rounded_rectangle_has_its_size_and_loses_what_four_quarter_rounds_leave(width, height, share):
    radius = max(0.5, share * min(width, height) / 2)
    piece = rounded_rectangle(width=width, height=height, radius=radius)
    assert_one_piece(piece)
    assert piece.bounds == pytest.approx((0, 0, width, height), abs=1e-9)
    # (4 - π)·r² for the four corners together (geometry)
    lost = width * height - piece.area - (4 - math.pi) * radius**2
    assert -1e-6 * width * height <= lost <= CHORD_TOLERANCE * 2 * math.pi * radius


@given(width=st.floats(5, 1000), reach=st.floats(0.7, 1.6), legs=st.floats(0, 500))
def test_a_pointed_arch_has_its_size_and_the_head_its_arcs_give_it(width, reach, legs):
    # the two circles of radius r cross at √(r² - (r - w/2)²) above the springing (geometry)
    head = math.sqrt((reach * width) ** 2 - (reach * width - width / 2) ** 2)
    height = head + legs
    if not height >= 5:
        return
    piece = pointed_arch(width=width, height=height + 1e-9, reach=reach)
    assert_one_piece(piece)
    assert piece.bounds == pytest.approx((0, 0, width, height), abs=1e-6)


def test_an_equilateral_arch_rises_by_half_root_three_of_its_width():
    # an equilateral arch is struck with its own width (common practice of building)
    assert pointed_arch(width=80, height=80 * math.sqrt(3) / 2 + 1e-9).bounds[3] == pytest.approx(
        69.282, abs=1e-3
    )
    with pytest.raises(DoesNotFit, match=r"needs at least 69\.3 mm"):
        pointed_arch(width=80, height=69.2)


@pytest.mark.parametrize(
    "piece",
    [rounded_rectangle(width=91, height=137), circle(width=91), pointed_arch(width=91, height=137)],
)
def test_rounded_and_pointed_outlines_mirror_themselves_left_and_right(piece):
    assert piece.symmetric_difference(scale(piece, -1, 1, origin=(45.5, 0))).area < 1e-6


def test_the_area_of_a_circle_is_that_of_a_disc():
    lost = math.pi * 40**2 - circle(width=80).area
    assert 0 <= lost <= CHORD_TOLERANCE * math.pi * 80


def test_corners_that_do_not_fit_are_refused_with_what_would():
    rounded_rectangle(width=40, height=60, radius=20)
    with pytest.raises(
        DoesNotFit, match=r"radius is 20\.1 mm; a piece 40 mm across takes at most 20 mm"
    ) as caught:
        rounded_rectangle(width=40, height=60, radius=20.1)
    assert caught.value.parameter == "radius"


@pytest.mark.parametrize("reach", [0.69, 1.61])
def test_a_reach_out_of_range_is_refused(reach):
    with pytest.raises(BadValue, match="reach"):
        pointed_arch(reach=reach)


def test_a_circle_that_is_to_be_higher_than_wide_is_refused():
    assert circle(width=40, height=40).equals(circle(width=40))
    with pytest.raises(DoesNotFit, match="height is 50 mm; a circle 40 mm wide") as caught:
        circle(width=40, height=50)
    assert caught.value.parameter == "height"
