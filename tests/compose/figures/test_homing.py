"""Figures brought home: drawn on to the sides of their window, raised out of its foot, or told to float."""

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from canivet.compose.figures.homing import bring_home, stand_inside, touch_of
from canivet.motifs.registry import find_motif

WINDOW = box(0, 0, 100, 140)


def test_a_branch_and_a_bank_are_drawn_on_to_both_sides_and_a_point_is_not():
    window = box(0, 0, 100, 140)
    bank = box(25, 50, 75, 56) | box(40, 50, 60, 90)
    area, said = bring_home(bank, window, strap=1.2, name="bank")
    assert said == ["bank: what it stands on drawn on to both sides of its window"]
    added = area.difference(bank)
    assert area.bounds[0] < 0 < 100 < area.bounds[2]
    assert added.bounds[1] >= 50 - 1e-6
    assert min(part.buffer(-1.19).area for part in added.geoms) > 0
    fish = Polygon([(25, 60), (50, 50), (75, 60), (50, 70)])
    assert not any("drawn on" in one for one in bring_home(fish, window, strap=1.2, name="fish")[1])


def test_a_figure_is_raised_out_of_the_foot_of_an_oval_until_its_ends_meet_the_sides():
    oval = find_motif("oval").draw(width=80, height=120)
    bank = box(15, 0, 65, 8)
    area, said = stand_inside(bank, oval, name="bank")
    assert said[0].startswith("bank: raised by")
    assert area.difference(oval).area < 0.03 * area.area
    assert stand_inside(area, oval, name="bank") == (area, [])


@given(
    x=st.floats(10, 90), y=st.floats(8, 120), wide=st.floats(8, 60), high=st.floats(8, 60),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_a_figure_brought_home_is_firmly_held_or_told_to_float(x, y, wide, high):
    figure = Polygon(affinity.scale(Point(x, y).buffer(1, quad_segs=24), wide / 2, high / 2).exterior)
    area, said = bring_home(figure, WINDOW, strap=1.2, name="stone")
    assert (touch_of(area, WINDOW, strap=1.2) > 0) != any("floats" in one for one in said)
    if not said:
        assert area is figure
