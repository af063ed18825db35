"""Path data in its plainest form: the same path, whatever way it was written."""

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from svg_specimens import read_area, svg

from canivet.compose.reading._path_data import MOST_STEPS, count_steps, plain_path, plain_points
from canivet.compose.reading.svg import read_paper_path, read_svg
from canivet.errors import Unreadable


def curves_of(path: str) -> np.ndarray:
    """The points along a path of moves and cubics, fifty-one to each."""
    here, points = None, []
    for letter, numbers in re.findall(r"([MLC])([^MLCZ]*)", path):
        step = np.array([float(n) for n in numbers.split()]).reshape(-1, 2)
        if letter == "C":
            t = np.linspace(0, 1, 51)[:, None]
            a, b, c = step
            points.append((1 - t) ** 3 * here + 3 * t * (1 - t) ** 2 * a + 3 * t**2 * (1 - t) * b + t**3 * c)
        here = step[-1]
    return np.concatenate(points)


@given(
    st.floats(0.5, 50), st.floats(0.5, 50), st.floats(-180, 180), st.booleans(), st.booleans(),
    st.floats(-60, 60), st.floats(-60, 60),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_an_arc_lies_on_its_ellipse_and_turns_the_way_it_says(rx, ry, turn, large, sweep, x, y):
    # Derived: on the circle that the ellipse is a picture of, all points lie one radius from one centre, and the
    # angle they sweep is over 180° exactly if the arc is the large one.
    if math.hypot(x, y) < 0.5:
        return
    points = curves_of(plain_path(f"M0 0A{rx!r} {ry!r} {turn!r} {large:d} {sweep:d} {x!r} {y!r}")[0])
    assert points[-1] == pytest.approx((x, y))
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    circle = points @ np.array([[cos / rx, -sin / ry], [sin / rx, cos / ry]])
    grown = max(1.0, math.hypot(*circle[-1]) / 2)
    a, b, c = circle[0], circle[len(circle) // 3], circle[2 * len(circle) // 3]
    centre = np.linalg.solve(2 * np.array([b - a, c - a]), [b @ b - a @ a, c @ c - a @ a])
    assert np.hypot(*(circle - centre).T) == pytest.approx(
        grown, rel=3e-5
    )  # of it 4.2e-6, derived; the rest the centre
    swept = np.diff(np.unwrap(np.arctan2(*(circle - centre).T[::-1]))).sum()
    assert (swept > 0) == sweep
    if grown == 1 and abs(abs(swept) - math.pi) > 0.01:
        assert (abs(swept) > math.pi) == large


@pytest.mark.parametrize("radius", [60, 1e3, 130_402, 1e9, 1e15])
def test_an_arc_of_any_radius_bulges_by_its_sagitta(radius):
    # Derived: sagitta = r - √(r² - (chord/2)²).
    points = curves_of(plain_path(f"M0 0A{radius} {radius} 0 0 1 100 0")[0])
    sagitta = 50**2 / (radius + math.sqrt(radius**2 - 50**2))
    assert -points[:, 1].min() == pytest.approx(sagitta, rel=1e-4, abs=1e-12)


def test_a_nearly_straight_edge_drawn_as_an_arc_of_vast_radius_is_read():
    area = read_area(svg('<path d="M10 10A130402 130402 0 0 1 90 12V90H10z"/>'))
    straight = shapely.Polygon([(10, 10), (90, 12), (90, 90), (10, 90)]).area * (25.4 * 0.01) ** 2
    assert area.area == pytest.approx(straight, rel=1e-4)


@pytest.mark.parametrize(
    ("given", "plain"),
    [
        ("M1 1L2 3", "M1.0 1.0L2.0 3.0"),
        ("m1 1 1 2", "M1.0 1.0L2.0 3.0"),
        ("M1-1.5.5", "M1.0 -1.5"),
        ("M.5.5.5.5", "M0.5 0.5L0.5 0.5"),
        ("M0 0H3h-1V2v1z", "M0.0 0.0L3.0 0.0L2.0 0.0L2.0 2.0L2.0 3.0Z"),
        ("M1 1h1zh5", "M1.0 1.0L2.0 1.0ZL6.0 1.0"),
        ("M0 0C1 2 3 4 5 6S7 8 9 9", "M0.0 0.0C1.0 2.0 3.0 4.0 5.0 6.0C7.0 8.0 7.0 8.0 9.0 9.0"),
        ("M0 0S1 2 3 4", "M0.0 0.0C0.0 0.0 1.0 2.0 3.0 4.0"),
        ("M0 0Q3 3 6 0t6 0", "M0.0 0.0C2.0 2.0 4.0 2.0 6.0 0.0C8.0 -2.0 10.0 -2.0 12.0 0.0"),
        ("M1,1,L2,3", "M1.0 1.0L2.0 3.0"),
        ("M1 1z5 5L9 9", "M1.0 1.0Z"),
        ("M1 1L2 2L3", "M1.0 1.0L2.0 2.0"),
        ("M1 1 # L2 2", "M1.0 1.0"),
        ("L1 1", ""),
        ("", ""),
    ],
)
def test_every_way_of_writing_a_path_is_read(given, plain):
    # SVG 2, 9.3 and 9.5.4.
    assert plain_path(given)[0] == plain


@pytest.mark.parametrize(("points", "closed", "plain"), [
    ("0,0 1,0 1,1", True, "M0.0 0.0L1.0 0.0L1.0 1.0Z"), ("0 0-1 5", False, "M0.0 0.0L-1.0 5.0"), ("", True, ""), ("L9 9", True, ""),
])  # fmt: skip
def test_points_are_read_as_the_path_they_are(points, closed, plain):
    assert plain_points(points, closed=closed)[0] == plain


@pytest.mark.parametrize("data", [
    "M0 0H9V9" + " " * 200_000 + "z", " " * 200_000 + "x", "M0 0L9 9" + "1" * 200_000 + "x", "M0 0" + "," * 200_000 + "#",
    "M0 0C" + "1" * 200_000, "M" * 200_000, "M0 0l" + "-" * 200_000, "M0 0A1 1 0" + " " * 200_000 + "2", "M0 0l1e" + "9" * 200_000,
], ids=range(9))  # fmt: skip
def test_data_made_to_be_read_in_many_ways_is_read_in_one(data):
    # Nothing to assert of time: were any of these read anew from every place, this would run for hours.
    assert plain_path(data)[1] <= 4
    assert (
        read_paper_path(
            svg(
                f'<path id="paper" fill-rule="evenodd" d="{data}"/>',
                'width="9mm" height="9mm" viewBox="0 0 9 9"',
            )
        )
        is None
    )


def test_steps_are_counted_no_further_than_they_may_go():
    data = "M0 0" + "l1 1" * (MOST_STEPS - 1)
    assert count_steps(data) == plain_path(data)[1] == MOST_STEPS
    assert count_steps(data * 2) == plain_path(data * 2)[1] == MOST_STEPS + 1


@pytest.mark.parametrize("body", [
    '<path d="M0 0{}z"/>'.format("l1 0 0 1 -1 0" * 40),
    '<polygon points="{}"/>'.format("0 0 9 0 9 9 " * 40),
    '<defs><path id="p" d="M0 0{}z"/></defs>'.format("l1 0 0 1 -1 0" * 4) + '<use href="#p"/>' * 10,
], ids=["a path", "points", "copies"])  # fmt: skip
def test_more_steps_than_a_hand_could_cut_are_refused_before_they_are_drawn(monkeypatch, body):
    assert read_svg(svg(body), name="picture.svg").area.area > 0
    for module in ("_recorder", "_path_data"):
        monkeypatch.setattr(f"canivet.compose.reading.{module}.MOST_STEPS", 100)
    with pytest.raises(Unreadable, match=r"too intricate: its paths have more than 100 steps\. Simplify it"):
        read_svg(svg(body), name="picture.svg")


@pytest.mark.parametrize(
    "style", ['marker-mid="url(#{})"', 'style="stroke:red; marker-mid: url( #{} )"', "marker=\"url('#{}')\""]
)
def test_markers_within_markers_are_counted_among_the_copies(style):
    chain = '<marker id="m0"><rect width="1" height="1"/></marker>' + "".join(
        f'<marker id="m{k + 1}"><path d="M0 0L1 1L2 2L3 3L4 4" {style.format(f"m{k}")}/></marker>'
        for k in range(12)
    )
    with pytest.raises(Unreadable, match=r"would draw \S+.* elements; at most 10000"):
        read_svg(svg(f'{chain}<path d="M0 0L9 9L8 8L7 7" {style.format("m12")}/>'), name="picture.svg")


def test_a_number_far_off_the_sheet_in_a_path_of_ours_is_refused_in_words():
    source = svg(
        '<path id="paper" fill-rule="evenodd" d="M0 0H1e300V9H0Z"/>',
        'width="9mm" height="9mm" viewBox="0 0 9 9"',
    )
    assert read_paper_path(source) is None
    with pytest.raises(Unreadable, match="far outside the page"):
        read_svg(source, name="picture.svg")
