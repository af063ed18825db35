"""Windows with tracery: what is struck from the springing points touches where it should, and holds."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from shapely.affinity import scale
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.motifs.forms.windows import Arch, window_tracery


def lights_of(paper):
    """Return the openings that stand on the sill."""
    foot = min(ring.bounds[1] for ring in paper.interiors)
    return [ring for ring in paper.interiors if ring.bounds[1] < foot + 0.01]


@across(times=1, strap=[0.8, 1.2, 1.6], size=[(50, 75), (101.6, 152.4), (120, 90)], cusps=[True, False])
def test_window_tracery_holds_fills_its_box_and_is_the_same_in_the_mirror(strap, size, cusps):
    paper = window_tracery(width=size[0], height=size[1], strap=strap, cusps=cusps)
    assert_one_piece(paper)
    assert check_strength(paper, strap=strap, smallest=0.5).holds
    x0, y0, x1, y1 = paper.bounds
    assert (x0, y0) == pytest.approx((0, 0))
    assert min(size[0] - x1, size[1] - y1) == pytest.approx(0, abs=0.01)
    mirrored = scale(paper, -1, 1, origin=(x1 / 2, 0))
    assert paper.symmetric_difference(mirrored).area < 0.001 * paper.area


@given(
    width=st.floats(8, 90), height=st.floats(8, 120), strap=st.floats(0.5, 3), smallest=st.floats(0.1, 3),
    levels=st.integers(0, 3),
)  # fmt: skip
@settings(max_examples=12, deadline=None)
def test_any_window_tracery_holds_or_the_box_its_refusal_names_is_accepted(
    width, height, strap, smallest, levels
):
    asked = {"width": width, "height": height}
    for _ in range(3):
        try:
            paper = window_tracery(**asked, strap=strap, smallest=smallest, levels=levels)
        except DoesNotFit as refusal:
            asked[refusal.parameter] = float(refusal.accepted.split()[-2]) + 0.01
            continue
        assert_one_piece(paper)
        assert check_strength(paper, strap=strap, smallest=0.998 * smallest).holds
        return
    pytest.fail("refused three times over")


@pytest.mark.parametrize("levels", [0, 1, 2, 3])
def test_window_tracery_doubles_its_lights_with_every_level(levels):
    paper = window_tracery(width=120, height=150, strap=0.8, levels=levels)
    assert len(lights_of(paper)) == 2**levels


def test_a_stouter_strap_has_fewer_lights_in_its_tracery():
    counts = [len(lights_of(window_tracery(width=50, height=75, strap=s))) for s in (0.8, 1.6)]
    assert counts[0] > counts[1]


def test_an_equilateral_arch_rises_by_half_the_root_of_three_spans():
    """Two arcs, each struck from the other's foot (derived)."""
    assert Arch(0, 0, 40, -10).region().bounds[3] == pytest.approx(20 * math.sqrt(3))


def test_the_circle_of_window_tracery_touches_the_arch_and_keeps_a_mullion_off_its_lights():
    arch = Arch(0, 0, 40, -10)
    circle = arch.circle(1.6).region()
    assert arch.region().exterior.distance(circle) == pytest.approx(0, abs=0.02)
    assert arch.region().buffer(0.01).covers(circle)
    for light in arch.lights(1.6):
        assert circle.distance(light.region()) == pytest.approx(1.6, abs=0.02)
    left, right = (light.region() for light in arch.lights(1.6))
    assert left.distance(right) == pytest.approx(1.6)
