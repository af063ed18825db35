"""A plate composed: everything in its place, in one piece, with no strap too thin."""

import pytest
import shapely
from support import assert_one_piece

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import BadValue, CanivetError, DoesNotFit

BASE = 'title = "Trial"\nsize = "4x6 in"\n'
BORDER = 'border = {motif = "scallop", band = "9 mm"}\n'


@pytest.fixture
def compose(tmp_path):
    def made(text):
        (tmp_path / "disc.svg").write_text(
            '<svg viewBox="0 0 20 20"><circle cx="10" cy="10" r="9"/></svg>', encoding="utf-8"
        )
        (tmp_path / "plate.toml").write_text(BASE + text, encoding="utf-8")
        plate = compose_plate(load_design(tmp_path / "plate.toml"))
        assert_one_piece(plate.cutting.paper)
        assert plate.report.holds, plate.report.necks[:3]
        return plate

    return made


def test_a_figure_in_an_open_window_is_tied_to_the_frame(compose):
    plate = compose(BORDER + '[[silhouette]]\nfile = "disc.svg"\nheight = "40 mm"\nfloating = "as placed"\n')
    assert any("bridges" in remark for remark in plate.remarks)
    middle = shapely.box(*plate.cutting.paper.bounds).centroid
    assert plate.cutting.paper.contains(middle)


@pytest.mark.parametrize("mode", ["raised", "cut out"])
def test_a_name_with_accents_holds_raised_and_cut_out(compose, mode):
    words = f'[[lettering]]\ntext = "Zoë Núñez"\nmode = "{mode}"\nwidth = "100%"\nheight = "18%"\n'
    plate = compose(BORDER + '[ground]\nmotif = "hexagon-lattice"\n' + words)
    assert any("letters" in remark for remark in plate.remarks)


@pytest.mark.parametrize("frame", ["arched-window", "double-rule", "wreath-frame"])
def test_a_frame_takes_a_name_in_its_panel(compose, frame):
    bare = compose(f'frame = "{frame}"\n')
    named = compose(f'frame = "{frame}"\n[[lettering]]\ntext = "Tom Sedge"\npanel = "name"\n')
    assert bare.cutting.paper.symmetric_difference(named.cutting.paper).area > 50
    (letters,) = named.parts.lettering
    assert letters.letters.text == "Tom Sedge"
    # the name is at the foot, and without one there is no panel
    assert letters.panel.bounds[3] < 0.4 * 152.4
    assert not bare.cutting.paper.buffer(0.01).covers(letters.panel)


def test_a_hand_slip_widens_every_strap(compose):
    plate = compose('slip = "0.2 mm"\n' + BORDER + '[ground]\nmotif = "square-lattice"\n')
    assert plate.report.weakest.width >= 1.6 - 0.002


def test_a_grown_form_stands_in_the_vignette(compose):
    plate = compose(
        BORDER + '[ground]\nmotif = "diamond-lattice"\n[vignette]\nshape = "oval"\n'
        '[[silhouette]]\nmotif = "tree"\nwidth = "70%"\nheight = "95%"\nanchor = "foot"\noffset = [0, "-2 mm"]\n'
    )
    assert plate.report.openings > 60


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ('rim = "60 mm"\n', DoesNotFit, "leaves no window"),
        ('[vignette]\nshape = "oval"\nwidth = "120%"\n', DoesNotFit, "reaches over the window"),
        ('frame = "plinth"\n[[lettering]]\ntext = "A"\npanel = "nmae"\n', BadValue, "Did you mean 'name'"),
        ('frame = "plinth"\nborder = "meander"\n', BadValue, "border is part of the frame"),
        ('frame = "plinht"\n', BadValue, "Did you mean 'plinth'"),
        ('[[lettering]]\ntext = "a\\u0007b"\n', CanivetError, "U+0007"),
        (
            '[[lettering]]\ntext = "A very long name that cannot be set so small"\nwidth = "20%"\n',
            DoesNotFit,
            "mm",
        ),
    ],
)
def test_what_does_not_go_together_is_refused_with_the_way_out(compose, text, kind, said):
    with pytest.raises(kind) as caught:
        compose(text)
    assert said in caught.value.message
