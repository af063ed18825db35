"""Path data, read back by a reader of its own."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon, box

from canivet.export import path_data


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
