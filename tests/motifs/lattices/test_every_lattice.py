"""What every lattice of the catalogue promises. A new one is in these tests as soon as it is entered."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from lattice_checks import anything, assert_cut_as_asked, assert_drawn_or_refused, sensible
from sampling import across
from strategies import PLAIN, pieces
from support import assert_one_piece, rings_of

from canivet.motifs import catalogue
from canivet.motifs.outlines import oval, rectangle

LATTICES = {name: one.draw for name, one in catalogue().items() if one.family == "lattice"}

SENSIBLE = {
    "star-lattice": {"angle": st.none()},  # steep ones leave no room between the stars
    "seigaiha-lattice": {"arcs": st.integers(2, 3)},  # more want broader waves
    "ogee-lattice": {"point": st.floats(30, 80)},  # sharper ones are slivers
}


@across(name=LATTICES, outline=PLAIN, width=[60, 101.6])
def test_a_lattice_drawn_with_its_defaults_holds(name, outline, width):
    within = outline(width=width, height=1.5 * width)
    paper = LATTICES[name](within=within)
    assert_cut_as_asked(paper, within, LATTICES[name], {})
    assert len(paper.interiors) > 20


@pytest.mark.parametrize("name", LATTICES)
@given(data=st.data())
@settings(max_examples=3, deadline=None)
def test_no_sensible_lattice_is_refused_and_every_one_holds(name, data):
    lattice = LATTICES[name]
    within, asked = (
        data.draw(pieces(60, 90, (0.7, 1.5))),
        data.draw(sensible(lattice, **SENSIBLE.get(name, {}))),
    )
    assert_cut_as_asked(lattice(within=within, **asked), within, lattice, asked)


@pytest.mark.parametrize("name", LATTICES)
@given(data=st.data())
@settings(max_examples=6, deadline=None)
def test_any_request_holds_or_is_refused_with_its_parameter_named(name, data):
    within = data.draw(pieces(60, 90, (0.7, 1.5)))
    assert_drawn_or_refused(LATTICES[name], within, data.draw(anything(LATTICES[name])))


@pytest.mark.parametrize("name", LATTICES)
def test_an_opening_of_the_piece_keeps_its_own_rim_and_leaves_no_island(name):
    hole = shapely.Point(50, 75).buffer(12)
    paper = LATTICES[name](within=rectangle(width=100, height=150).difference(hole), rim=3)
    assert_one_piece(paper)
    others = [opening for opening in rings_of(paper) if not opening.intersects(hole)]
    assert len(others) == len(paper.interiors) - 1
    assert shapely.distance(hole, others).min() >= 3 - 0.01


@pytest.mark.parametrize("outline", [rectangle, oval])
@pytest.mark.parametrize("name", ["herringbone-lattice", "ogee-lattice", "fish-scale-lattice", "slots"])
def test_an_opening_at_the_rim_is_never_two_fused(name, outline):
    # whole cells are alike, and most are whole: none is larger, and none goes round the end of a bar
    even = {"grade": 0} if name == "slots" else {}
    openings = rings_of(LATTICES[name](within=outline(width=101.6, height=152.4), **even))
    areas = shapely.area(openings)
    assert areas.max() <= 1.01 * sorted(areas)[len(areas) // 2]
    if name == "herringbone-lattice":
        assert shapely.area(shapely.convex_hull(openings)) == pytest.approx(areas, rel=1e-6)
