from typing import Annotated

import pytest

from canivet.errors import BadValue
from canivet.parameters import Angle, Choice, Count, Flag, Length, Share, checked, parameters_of, read_value


@checked
def pattern(
    *,
    strap: Annotated[float, Length("narrowest paper", 0.3, 20)] = 1.2,
    turns: Annotated[int, Count("turns of the key", 1, 3)] = 1,
    lean: Annotated[float, Angle("lean", -45, 45)] = 0.0,
    open_share: Annotated[float, Share("open", 0, 1)] = 0.5,
    edge: Annotated[str, Choice("which edge", "inner", "outer")] = "inner",
    pierced: Annotated[bool, Flag("with a hole")] = True,
    repeat: Annotated[float, Length("a repeat", 2, 50)] | None = None,
):
    return strap, turns, lean, open_share, edge, pierced, repeat


def test_the_signature_is_the_only_source():
    bounds = parameters_of(pattern)
    assert list(bounds) == ["strap", "turns", "lean", "open_share", "edge", "pierced", "repeat"]
    assert (bounds["strap"].least, bounds["strap"].most, bounds["strap"].default) == (0.3, 20, 1.2)
    assert bounds["repeat"].default is None


@pytest.mark.parametrize("value", [0.3, 20, 1])
def test_both_ends_of_a_range_belong_to_it(value):
    assert pattern(strap=value)[0] == value


@pytest.mark.parametrize("value", [0.2999, 20.001, float("nan"), float("inf"), "1", None, True])
def test_outside_the_range_is_refused_with_the_range(value):
    with pytest.raises(BadValue, match=r"strap is .*; it takes 0\.3 mm to 20 mm \(narrowest paper\)"):
        pattern(strap=value)


def test_a_count_is_not_rounded():
    with pytest.raises(BadValue, match=r"turns is 1\.5; it takes a whole number from 1 to 3"):
        pattern(turns=1.5)


def test_a_choice_suggests_the_nearest():
    with pytest.raises(BadValue, match=r"one of: inner, outer.*Did you mean 'inner'"):
        pattern(edge="iner")


def test_what_may_be_left_open_may_be_none():
    assert pattern(repeat=None)[-1] is None


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("strap", "0.1 in", 2.54), ("turns", "2", 2), ("lean", "30°", 30), ("open_share", "0.25", 0.25),
        ("edge", "outer", "outer"), ("pierced", "no", False), ("pierced", True, True), ("strap", 2, 2),
    ],
)  # fmt: skip
def test_values_are_read_as_written(name, text, value):
    read = read_value(parameters_of(pattern)[name], text)
    assert read == (pytest.approx(value) if isinstance(value, float) else value)
    assert isinstance(read, bool) == isinstance(value, bool)


@pytest.mark.parametrize(
    ("name", "text"), [("turns", "two"), ("pierced", "maybe"), ("strap", "1,2 mm"), ("lean", "x")]
)
def test_what_cannot_be_read_names_the_parameter(name, text):
    with pytest.raises(BadValue, match=f"{name} is"):
        read_value(parameters_of(pattern)[name], text)


@pytest.mark.parametrize("name", ["turns", "strap", "edge", "pierced"])
@pytest.mark.parametrize("digits", [400, 5000])  # Python writes out no more than 4300
def test_a_number_past_the_range_of_floats_is_refused(name, digits):
    for read in (
        parameters_of(pattern)[name].check,
        lambda value: read_value(parameters_of(pattern)[name], value),
    ):
        with pytest.raises(BadValue, match=f"{name} is a whole number of over 300 digits") as caught:
            read(-(10**digits))
        assert caught.value.value == -(10**digits)
