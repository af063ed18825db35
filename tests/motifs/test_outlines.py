import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import scale
from support import assert_one_piece

from canivet.errors import BadValue, DoesNotFit
from canivet.motifs import catalogue
from canivet.motifs.outlines import CHORD_TOLERANCE, arch, oval, rectangle

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
