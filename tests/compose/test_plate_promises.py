"""A plate keeps to its outline, shows what it was given, mends no more than it may, and says what it did."""

import pytest
import shapely
from shapely import Point, box
from support import assert_one_piece

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.reading.silhouette import read_silhouette
from canivet.errors import CanivetError, DoesNotFit

HEAD = 'title = "Trial"\nsize = "100x140 mm"\n'
GROUND = '[ground]\nmotif = "diamond-lattice"\n'
DISC = '<circle cx="10" cy="10" r="9"/>'
EYE = (
    '<path fill-rule="evenodd" d="M1 10a9 9 0 1 0 18 0a9 9 0 1 0-18 0zM4 10a6 6 0 1 0 12 0a6 6 0 1 0-12 0z"/>'
)
PUPIL = '<circle cx="10" cy="10" r="2"/>'
STEM = '<path d="M2 2H18V8H2zM9.9 8H10.1V12H9.9zM2 12H18V18H2z"/>'
FLOATING = 'floating = "as placed"'
SPECK = '<path d="M2 2H18V18H2z"/><circle cx="19.6" cy="10" r="0.15"/>'


@pytest.fixture
def compose(tmp_path):
    def made(text, body=DISC):
        drawing = f'<svg viewBox="0 0 20 20" width="40mm" height="40mm">{body}</svg>'
        (tmp_path / "it.svg").write_text(drawing, encoding="utf-8")
        (tmp_path / "plate.toml").write_text(HEAD + text, encoding="utf-8")
        return compose_plate(load_design(tmp_path / "plate.toml"))

    return made


def figure(more=""):
    return f'[[silhouette]]\nfile = "it.svg"\nheight = "40 mm"\n{more}\n'


@pytest.mark.parametrize(
    "text",
    [
        'strap = "3 mm"\n' + GROUND,
        'strap = "3 mm"\nborder = "scallop"\n',
        'strap = "2.6 mm"\n' + figure(),
        'outline = "oval"\n' + GROUND + figure('mode = "cut out"\nat = ["19%", "50%"]'),
        GROUND + figure('mode = "cut out"\nat = ["19%", "50%"]'),
    ],
)
def test_no_mending_leaves_the_outline(compose, text):
    plate = compose(text)
    assert plate.report.holds
    assert plate.cutting.paper.bounds == pytest.approx((0, 0, 100, 140), abs=1e-3)
    if "oval" in text:
        oval = shapely.affinity.scale(Point(50, 70).buffer(1, quad_segs=256), 50.01, 70.01)
        assert oval.covers(plate.cutting.paper)


def test_a_part_within_an_opening_of_another_stays_and_is_held(compose):
    for ground in (GROUND, ""):
        plate = compose(ground + figure(), EYE + PUPIL)
        assert plate.report.holds
        assert_one_piece(plate.cutting.paper)
        # 20 units are 40 mm across the 18 drawn: the pupil is a disc of some 4.4 mm in the middle.
        assert plate.cutting.paper.covers(Point(50, 70).buffer(4))
        assert not plate.cutting.paper.covers(Point(50, 70).buffer(10))


def test_a_figure_cut_out_is_open_and_the_rest_holds(compose):
    plate = compose('[ground]\nmotif = "hexagon-lattice"\npitch = "12 mm"\n' + figure('mode = "cut out"'))
    assert plate.report.holds
    assert plate.cutting.paper.intersection(Point(50, 70).buffer(18)).is_empty


def test_no_bridge_crosses_what_is_open_in_a_figure_kept_clear(compose):
    open_ = Point(50, 70).buffer(12)
    plate = compose(figure("keep_clear = true"), EYE)
    assert plate.report.holds
    assert plate.cutting.paper.intersection(open_).area < 0.01
    with pytest.raises(DoesNotFit, match="Or take keep_clear off"):
        compose(figure("keep_clear = true"), EYE + PUPIL)


def test_what_may_not_be_thickened_is_left_and_told(compose):
    thick = compose(figure(FLOATING), STEM)
    assert thick.report.holds
    thin = compose(figure(FLOATING) + "[repair]\nthicken = false\n", STEM)
    assert not thin.report.holds
    assert min(neck.width for neck in thin.report.necks) == pytest.approx(0.2 * 40 / 16, abs=0.01)


def test_a_dropped_speck_is_told_and_stays_where_it_may_not_be_dropped(compose):
    plate = compose(GROUND + figure(), SPECK)
    assert any("1 place dropped, too small to hold" in remark for remark in plate.remarks)
    kept = compose(figure() + "[repair]\ndrop = false\n", SPECK)
    assert not any("dropped" in remark for remark in kept.remarks)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[lettering]]\ntext = "Ana"\noffset = ["80 mm", "0 mm"]\n', "reaches over the edge of the plate"),
        ('[[lettering]]\ntext = "Ana"\noffset = ["0 mm", "-20 mm"]\n', "reaches over the edge of the plate"),
        (
            '[[lettering]]\ntext = "Ana"\n[[lettering]]\ntext = "Zoe"\noffset = ["3 mm", "2 mm"]\n',
            "'Zoe' lies over that of 'Ana'",
        ),
        (
            '[vignette]\nshape = "oval"\nwidth = "100%"\nheight = "100%"\nrim = "2 mm"\n' + GROUND,
            "parts the ground in pieces or leaves none of it",
        ),
        ('rim = "1 mm"\n' + GROUND, "rim is 1 mm; straps are 1.2 mm wide here"),
        ('[[lettering]]\ntext = "{name}"\n', "lettering.1.text asks for {name}"),
        ('outline = "ovl"\n', "has 1 fault"),
        ('[vignette]\nat = ["nan%", "50%"]\n', "vignette.at.1: at is 'nan%'"),
        ('[vignette]\nat = ["1e308%", "50%"]\n', "at most 10000%"),
    ],
)
def test_what_cannot_be_right_is_refused(compose, text, said):
    with pytest.raises(CanivetError) as caught:
        compose(text)
    assert said in caught.value.message


def test_a_size_given_twice_is_refused(tmp_path):
    (tmp_path / "p.toml").write_text('title = "T"\nsize = ["60x80 mm", "6x8 cm"]\n', encoding="utf-8")
    with pytest.raises(CanivetError, match="twice"):
        load_design(tmp_path / "p.toml")


def test_words_round_an_oval_stand_in_a_band_of_their_own(compose):
    words = '[[lettering]]\ntext = "Round and round"\nalong = "oval"\nwidth = "94%"\nheight = "94%"\nanchor = "centre"\n'
    plate = compose('outline = "oval"\nborder = "scallop"\n' + words)
    assert plate.report.holds
    # The middle stays as open as it was.
    assert plate.cutting.paper.intersection(box(45, 65, 55, 75)).is_empty


def test_a_silhouette_is_read_at_the_size_it_is_drawn(tmp_path, compose):
    plate = compose('border = "scallop"\n' + figure(), DISC)
    read = read_silhouette(tmp_path / "it.svg", height=40)
    where = shapely.affinity.translate(read.area, 50 - 20, 70 - 20)
    assert where.difference(plate.cutting.paper).area < 0.01 * where.area


OPEN_BOOK = (
    'title = "Open book"\nsize = "119x196 mm"\nstrap = 1.32\nsmallest_opening = 0.34\nframe = "open-book"\n'
    '[[silhouette]]\nmotif = "sprig"\nheight = "40%"\nwidth = "40%"\nturn = 132\n'
    '[[silhouette]]\nmotif = "sprig"\nheight = "40%"\nwidth = "74%"\nmode = "cut out"\nanchor = "right"\n'
)


def test_two_sprigs_in_an_open_book_are_drawn_or_refused_in_a_sentence(tmp_path):
    (tmp_path / "book.toml").write_text(OPEN_BOOK, encoding="utf-8")
    try:
        plate = compose_plate(load_design(tmp_path / "book.toml"))
    except CanivetError as refused:
        assert refused.message.endswith(".")
        assert refused.parameter
    else:
        assert plate.report.holds
        assert_one_piece(plate.cutting.paper)


def test_lettering_that_does_not_fit_names_its_keys_and_the_panel_that_would_do(compose):
    lettering = '[[lettering]]\ntext = "{}"\nwidth = "40%"\nheight = "8%"\n'
    with pytest.raises(DoesNotFit) as refused:
        compose(lettering.format("The Saltmere heronry library and its subscribers"))
    assert refused.value.message.startswith("lettering.1.width and .height: ")
    assert refused.value.accepted.endswith(" mm")
    assert refused.value.accepted in refused.value.message
