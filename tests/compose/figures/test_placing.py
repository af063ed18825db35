import pytest
from shapely import box
from shapely.geometry import Polygon

from canivet.compose.design.loading import Measure, PlacedSilhouette
from canivet.compose.figures.placing import place_silhouette, require_inside
from canivet.errors import DoesNotFit

WINDOW = box(10, 20, 110, 170)
FLAG = Polygon([(0, 0), (2, 0), (2, 6), (8, 6), (8, 10), (0, 10)])


def place(**settings):
    return place_silhouette(FLAG, PlacedSilhouette(file="flag.svg", **settings), WINDOW)


@pytest.mark.parametrize(
    ("anchor", "corner"),
    [
        ("centre", (56, 90, 64, 100)), ("foot", (56, 20, 64, 30)), ("top right", (102, 160, 110, 170)),
        ("left", (10, 90, 18, 100)), ("foot left", (10, 20, 18, 30)),
    ],
)  # fmt: skip
def test_an_anchor_lies_on_the_same_point_of_the_window(anchor, corner):
    assert place(anchor=anchor).bounds == pytest.approx(corner)


def test_at_is_measured_from_the_windows_lower_left_in_lengths_or_per_cent():
    placed = place(anchor="foot left", at=(Measure(0.25, of_window=True), Measure(12.0)), offset=(1, -2))
    assert placed.bounds[:2] == pytest.approx((10 + 25 + 1, 20 + 12 - 2))


def test_a_quarter_turn_is_anticlockwise():
    turned = place(turn=90)
    assert (turned.bounds[2] - turned.bounds[0], turned.bounds[3] - turned.bounds[1]) == pytest.approx(
        (10, 8)
    )
    assert turned.centroid.y > (turned.bounds[1] + turned.bounds[3]) / 2 - 3
    # the flag's pole, on its left, comes to lie at the foot
    foot = turned.intersection(box(0, turned.bounds[1], 200, turned.bounds[1] + 1.9))
    assert foot.bounds[2] - foot.bounds[0] == pytest.approx(10)


def test_mirrored_means_left_for_right():
    assert place(mirror=True).centroid.x - 60 == pytest.approx(60 - place().centroid.x)


def test_a_silhouette_over_the_edge_is_refused_with_the_place():
    with pytest.raises(
        DoesNotFit, match=r"heron\.svg is 10 × 10 mm and reaches over the edge of the plate by 4 mm"
    ) as caught:
        require_inside(box(-4, 50, 6, 60), box(0, 0, 100, 150), name="heron.svg")
    assert caught.value.at[0] < 0
    require_inside(box(0, 50, 10, 60), box(0, 0, 100, 150), name="heron.svg")
