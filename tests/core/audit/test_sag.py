"""Droop against the worked formulas of beam theory."""

import pytest

from canivet.audit.sag import GRAVITY, measure_bending_stiffness, measure_sag, stiffness_of
from canivet.errors import BadValue, DoesNotFit
from canivet.stock import Stock

P75 = Stock.of(grammage=75)


def test_100_mm_of_75_gsm_held_at_both_ends_sinks_1_3_mm():
    # beam theory, w·L⁴/(384·B); B from JCP O-60 stiffness minimum, 0.15 mN·m across the grain
    assert measure_sag(100, stock=P75, held="both ends") == pytest.approx(1.277, abs=0.001)


@pytest.mark.parametrize(("held", "divisor"), [("one end", 8), ("both ends", 384)])
def test_sag_is_the_worked_formula(held, divisor):
    # δ = w·L⁴/(8·B) and w·L⁴/(384·B): beam theory
    weight, stiffness, length = 0.090 * GRAVITY, 0.3e-3, 0.04
    expected = weight * length**4 / (divisor * stiffness) * 1000
    assert measure_sag(40, stock=Stock.of(grammage=90), held=held, stiffness=0.3e-3) == pytest.approx(
        expected
    )


def test_twice_the_length_sinks_sixteen_times_as_far():
    assert measure_sag(40, stock=P75) == pytest.approx(16 * measure_sag(20, stock=P75))


def test_past_a_tenth_of_the_length_the_formula_is_refused_and_the_longest_is_said():
    with pytest.raises(DoesNotFit, match="no longer holds") as caught:
        measure_sag(60, stock=P75)
    longest = float(caught.value.accepted.removeprefix("up to ").removesuffix(" mm"))
    assert measure_sag(longest - 0.1, stock=P75) == pytest.approx(longest / 10, rel=0.02)


def test_heavier_paper_is_stiffer_by_the_cube_of_its_thickness():
    assert stiffness_of(Stock.of(grammage=120)) / stiffness_of(P75) == pytest.approx(1.6**3)


def test_a_trial_with_a_strip_gives_its_stiffness():
    # Peirce 1930: B = m·g·c³, c half the overhang at 41.5° (angle from memory, ASTM D1388)
    assert measure_bending_stiffness(100, 80) == pytest.approx(0.080 * 9.80665 * 0.05**3)


@pytest.mark.parametrize(("name", "call"), [
    ("length", lambda: measure_sag(0, stock=P75)),
    ("length", lambda: measure_sag(float("nan"), stock=P75)),
    ("stiffness", lambda: measure_sag(10, stock=P75, stiffness=-1)),
    ("grammage", lambda: measure_sag(10, stock=Stock.of(thickness=0.1))),
    ("overhang", lambda: measure_bending_stiffness(0, 80)),
    ("grammage", lambda: measure_sag(10, stock=Stock(grammage=-5))),
    ("grammage", lambda: measure_sag(10, stock=Stock(grammage=float("nan")))),
    ("length", lambda: measure_sag(10**400, stock=P75)),
    ("load", lambda: measure_sag(10, stock=P75, load=-(10**400))),
])  # fmt: skip
def test_bad_numbers_are_named(name, call):
    with pytest.raises(BadValue, match=f"{name} is"):
        call()
