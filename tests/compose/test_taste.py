"""Matters of taste: each is told of a plate that has it, and of none that has not."""

import pytest

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.taste import matters_of_taste

HEAD = 'title = "Pond"\nsize = "80x120 mm"\n'
AIRY = '[border]\nmotif = "scallop"\nband = "9 mm"\n'
TRELLIS = '[ground]\nmotif = "diamond-lattice"\npitch = "6 mm"\nrim = "1.4 mm"\n'
TREE = '[[silhouette]]\nmotif = "tree"\nanchor = "foot"\noffset = [0, -1]\nwidth = "90%"\nheight = "85%"\n'


@pytest.fixture
def told(tmp_path):
    def of(text):
        path = tmp_path / "plate.toml"
        path.write_text(HEAD + text, encoding="utf-8")
        return matters_of_taste(compose_plate(load_design(path)))

    return of


def test_an_ordinary_plate_is_told_nothing(told):
    assert told(AIRY + TREE) == ()
    assert told(AIRY + TRELLIS) == ()


def test_wire_and_a_sheet_with_holes_are_told_with_their_share(told):
    (wire,) = told("rim = 3\n")  # a bare rim of 3 mm: 1 − 74·114 / (80·120)
    assert wire.startswith(
        f"{100 * (1 - 74 * 114 / (80 * 120)):.1f} % of the piece is paper, which reads as wire"
    )
    (holes, *_) = told('strap = "3 mm"\nrim = 9\n[ground]\nmotif = "round-holes"\npitch = "8 mm"\n')
    assert "reads as a sheet with holes" in holes


def test_a_slab_is_told_where_it_is_and_how_wide(told, tmp_path):
    slab = tmp_path / "slab.svg"
    slab.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="14mm" viewBox="0 0 60 14">'
        '<path d="M0 0H60V14H0Z"/></svg>',
        encoding="utf-8",
    )
    text = AIRY + TRELLIS + '[[silhouette]]\nfile = "slab.svg"\nwidth = "110%"\nanchor = "foot"\n'
    assert not any("heavier" in one for one in told(text)), "a figure may be heavy"
    # the same slab as part of the border is a member
    wide = told('[border]\nmotif = "scallop"\nband = "20 mm"\nrim = "12 mm"\n' + TRELLIS)
    assert any("is heavier than all others" in one for one in wide)


def test_a_small_figure_is_told_unless_a_larger_one_stands_beside_it(told):
    small = TREE.replace("90%", "25%").replace("85%", "25%")
    assert any("takes 25% of its window" in one for one in told(AIRY + small))
    beside = small.replace('"foot"', '"top"').replace("[0, -1]", "[0, 1]")
    assert not any("of its window" in one for one in told(AIRY + beside + TREE))


def test_words_over_a_figure_are_told(told):
    words = '[[lettering]]\ntext = "ADA"\nwidth = "70%"\nheight = "16 mm"\nanchor = "centre"\n'
    assert any("lies over a figure" in one for one in told(AIRY + TREE + words))


def test_words_on_the_plain_field_of_a_cartouche_are_no_fault(told):
    text = (
        AIRY + '[[silhouette]]\nmotif = "cartouche"\nsettings = {field = "plain"}\nwidth = "92%"\n'
        'height = "60%"\nfloating = "as placed"\n'
    )
    words = (
        '[[lettering]]\ntext = "ADA"\nmode = "cut out"\nwidth = "40%"\nheight = "12%"\nanchor = "centre"\n'
    )
    assert not any("figure" in one for one in told(text + words))
    assert any("lies over a figure" in one for one in told(text + words.replace("40%", "80%")))


def test_a_plate_that_is_a_third_solid_is_told(told):
    solid = told(
        '[border]\nmotif = "bead-and-bar"\nband = "6 mm"\nrim = "2 mm"\n[ground]\nmotif = "round-holes"\npitch = "30 mm"\nrim = "14 mm"\n'
    )
    assert any("is solid paper" in one for one in solid)
