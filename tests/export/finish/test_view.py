"""The finished view: shadows fall where geometry says, small openings stay open, everything is at its size."""

import math

import numpy as np
import pytest
import shapely
from shapely import box

from canivet.audit.strength import check_strength
from canivet.compose.design.finishing import GroundSettings, MountSettings
from canivet.compose.finish.finished import Finish
from canivet.compose.finish.layers import Leaf
from canivet.compose.finish.mounting import lay_mount
from canivet.compose.openings import Openings
from canivet.compose.plate import Plate, PlateParts
from canivet.cutting import Cutting
from canivet.errors import Unreadable
from canivet.export.finish.grounds import ground_picture
from canivet.export.finish.shadow import ROOM, Light
from canivet.export.finish.view import finished_view
from canivet.export.finish.wall import EYE, wall_view
from canivet.stock import Faces

CARD = box(0, 0, 60, 80) - box(10, 10, 50, 60) - box(20, 66, 22, 68)
"""A card with a window, and an opening of 2 mm."""


def finish_of(paper=CARD, stack=None, **mount):
    cutting = Cutting(paper, 2, "Card")
    report = check_strength(paper, strap=2)
    outline = shapely.Polygon(paper.exterior)
    openings = Openings.of([shapely.Polygon(ring) for ring in paper.interiors], "window")
    plate = Plate(cutting, report, (), PlateParts(outline, outline, openings))
    settings = MountSettings(**mount)
    x0, y0, x1, y1 = outline.bounds
    laid = lay_mount(settings, (x1 - x0, y1 - y0), thickness=0.12)
    return Finish(
        plate, stack or (Leaf("piece", cutting, report),), openings, settings=settings, mounted=laid
    )


def drawn(**told):
    lamp = {"elevation": 60, "lamp": 0} | told.pop("light", {})
    view = finished_view(finish_of(ground="white", glass=False, light=lamp, **told))
    return np.array(view.picture.convert("L")).astype(int), view.dpi / 25.4, view.framed


def place(framed, k, reveal, x, y):
    """Return the pixel of a place of the piece, mm from its upper left corner."""
    return round(framed[1] + (reveal + y) * k), round(framed[0] + (reveal + x) * k)


@pytest.mark.parametrize(
    ("elevation", "height", "away"),
    # geometry, derived: h/tan(e); light 30° from vertical, 5 mm → 2.89 mm; light at 30° elevation → 8.66 mm
    [(60, 5, 2.89), (30, 5, 8.66), (45, 3, 3.0)],
)
def test_the_shadow_lies_h_over_tan_e_from_what_throws_it_to_a_pixel(elevation, height, away):
    grey, k, framed = drawn(
        kind="raised", reveal=20, light={"elevation": elevation, "side": "top"}, **{"raise": height}
    )
    assert height / math.tan(math.radians(elevation)) == pytest.approx(away, abs=0.005)
    # below the upper edge of the window, in its middle: from the paper's edge down to where the shadow ends
    row, column = place(framed, k, 20, 30, 20)
    below = grey[row - 2 : row + round(12 * k), column]
    lit = int(np.argmax(below == 255))
    paper = int(np.argmax(below > 100))
    assert lit - paper == pytest.approx(away * k, abs=1.01)


def test_light_from_the_left_throws_it_to_the_right_and_nowhere_else():
    across, down = Light(45, "left", 6).offset(4)
    assert (across, down) == pytest.approx((4, 0))
    across, down = Light(45, "foot right", 6).offset(4)
    assert across < 0
    assert down < 0
    assert math.hypot(across, down) == pytest.approx(4)


def test_a_larger_lamp_makes_a_softer_edge_of_the_width_geometry_gives():
    # the same edge seen from both ends of the lamp: h/tan(e − a/2) − h/tan(e + a/2)
    for lamp in (2, 6, 10):
        e, a = math.radians(60), math.radians(lamp)
        exact = 5 / math.tan(e - a / 2) - 5 / math.tan(e + a / 2)
        assert Light(60, "top", lamp).softness(5) == pytest.approx(exact, rel=0.02)


def test_a_small_opening_in_shadow_is_as_bright_as_any_ground_in_shadow():
    grey, k, framed = drawn(kind="raised", reveal=20)
    small = grey[place(framed, k, 20, 21, 13)]
    edge = grey[place(framed, k, 20, 30, 21)]
    assert small == edge == pytest.approx(255 * ROOM, abs=2)


def test_what_lies_flat_throws_next_to_none():
    grey, k, framed = drawn(kind="flat", reveal=20)
    row, column = place(framed, k, 20, 30, 20.5)
    assert grey[row, column] == 255


def test_a_layer_behind_takes_the_shadow_at_its_own_depth():
    front, back = CARD, box(0, 0, 60, 80)
    leaves = (
        Leaf("piece", Cutting(front, 2, "Card"), check_strength(front, strap=2), below=4.0),
        Leaf("layer-1", Cutting(back, 2, "Card"), check_strength(back, strap=2), "#ffffff"),
    )
    lamp = {"elevation": 45, "lamp": 0, "side": "top"}
    view = finished_view(finish_of(stack=leaves, kind="flat", reveal=20, glass=False, light=lamp))
    grey, k = np.array(view.picture.convert("L")).astype(int), view.dpi / 25.4
    row, column = place(view.framed, k, 20, 30, 20)
    below = grey[row - 2 : row + round(9 * k), column]
    assert int(np.argmax(below == 255)) - int(np.argmax(below > 100)) == pytest.approx(4 * k, abs=1.01)


def test_the_piece_is_at_its_size_in_its_mat():
    view = finished_view(finish_of(kind="matted", mat="20 mm", overlap=1, glass=False, ground="white"))
    left, top, right, low = view.framed
    k = view.dpi / 25.4
    assert (right - left, low - top) == pytest.approx((98 * k, 118 * k), abs=1.5)


def test_on_the_wall_the_piece_is_to_one_scale_with_the_wall_and_hangs_at_the_height_of_the_eye():
    view = finished_view(finish_of(kind="flat", moulding={"width": 20, "colour": "#ff0000"}))
    wall, k = wall_view(view, "chair")
    pixels = np.array(wall).astype(int)
    red = (pixels[..., 0] - pixels[..., 1] > 120).nonzero()
    framed = 80 + 2 * (12 + 20)
    tall = (red[0].max() - red[0].min() + 1) / k
    assert tall == pytest.approx(framed, abs=2 / k)
    middle = pixels.shape[0] / k - (red[0].max() + red[0].min() + 1) / 2 / k
    assert middle - 240 == pytest.approx(EYE, abs=2 / k)  # over the floor


def test_a_wash_goes_from_its_first_colour_at_the_top_to_its_second_at_the_foot():
    ground = GroundSettings(wash=("#ff0000", "#0000ff"))
    picture = ground_picture(ground, Faces.PLAIN, (10, 200))
    assert picture.getpixel((5, 0))[0] > 250
    assert picture.getpixel((5, 199))[2] > 250
    assert abs(picture.getpixel((5, 100))[0] - 128) < 4


def test_a_ground_that_is_no_picture_is_a_sentence(tmp_path):
    (tmp_path / "sky.png").write_bytes(b"not a picture at all")
    with pytest.raises(Unreadable, match=r"sky\.png cannot be read as a picture"):
        ground_picture(GroundSettings(file="sky.png"), Faces.PLAIN, (10, 10), folder=tmp_path)
    with pytest.raises(Unreadable, match="is not there"):
        ground_picture(GroundSettings(file="see.png"), Faces.PLAIN, (10, 10), folder=tmp_path)


def test_a_picture_fills_its_ground(tmp_path):
    from PIL import Image

    Image.new("RGB", (40, 10), (10, 200, 30)).save(tmp_path / "sky.png")
    picture = ground_picture(GroundSettings(file="sky.png"), Faces.PLAIN, (30, 50), folder=tmp_path)
    assert picture.size == (30, 50)
    assert picture.getcolors() == [(1500, (10, 200, 30))]
