"""Lettering put into a plate: as large as its panel allows, in one piece with it, or refused."""

import numpy as np
import pytest
import shapely
from shapely import affinity, box
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.compose.openings import Openings
from canivet.compose.words.adding import add_lettering
from canivet.compose.words.lettering import place_lettering
from canivet.errors import BadValue, DoesNotFit

WIDTHS = {"strap": 1.0, "smallest": 0.4}
ROUND = shapely.Point(0, 0).buffer(1, quad_segs=60)
RING = affinity.scale(ROUND, 46, 60).difference(affinity.scale(ROUND, 33, 47))


@pytest.mark.parametrize("mode", ["raised", "cut out"])
@pytest.mark.parametrize(
    ("along", "side", "panel"),
    [
        ("line", "top", box(0, 0, 70, 18)),
        ("arc", "top", box(0, 0, 70, 26)),
        ("arc", "foot", box(0, 0, 70, 26)),
        ("oval", "top", RING),
        ("oval", "foot", RING),
    ],
)
def test_a_name_holds_wherever_it_runs(mode, along, side, panel):
    placed = place_lettering(panel, "Zoë Ruñ", mode=mode, along=along, side=side, **WIDTHS)
    assert_one_piece(placed.paper)
    assert check_strength(placed.paper, **WIDTHS).holds
    assert panel.buffer(5e-3).covers(shapely.union_all(placed.openings))
    assert not any(opening.interiors for opening in placed.openings)
    assert 4 <= placed.letters.size <= 12


def test_raised_letters_on_a_ring_leave_the_rest_of_it_solid():
    placed = place_lettering(RING, "Zoë", along="oval", **WIDTHS)
    assert placed.panel.area < 0.5 * RING.area
    assert_one_piece(RING.buffer(2).difference(shapely.union_all(placed.openings)))


def test_lettering_takes_its_place_among_the_openings_of_a_plate():
    plate = box(0, 0, 100, 100)
    ground = shapely.buffer(shapely.points([[x, y] for x in range(6, 97, 4) for y in range(6, 97, 4)]), 1.3)
    placed = place_lettering(box(20, 40, 80, 58), "Jürgen Groß", **WIDTHS)
    openings = add_lettering(Openings.of(ground, "ground"), placed, smallest=0.4).areas
    paper = plate.difference(shapely.union_all(openings))
    assert_one_piece(paper)
    assert shapely.union_all(openings).intersection(placed.paper).area < 1e-6
    pairs = shapely.STRtree(openings).query(openings, predicate="intersects")
    assert (pairs[0] == pairs[1]).all()  # disjoint, as a plate asks of its openings
    assert len(openings) < len(ground) + len(placed.openings)


def test_the_remarks_say_how_high_the_letters_are():
    placed = place_lettering(box(0, 0, 70, 18), "Zoë", most=8, **WIDTHS)
    assert placed.remarks[0] == "'Zoë': letters 8 mm high"


def test_what_the_panel_has_no_room_for_is_refused_with_what_would_do():
    with pytest.raises(DoesNotFit, match=r"lose their form .* The panel has room for 4"):
        place_lettering(box(0, 0, 42, 14), "Jürgen Groß", strap=1.2, smallest=0.5)
    with pytest.raises(DoesNotFit, match="Make the panel larger"):
        place_lettering(box(0, 0, 10, 8), "Jürgen Groß", **WIDTHS)
    with pytest.raises(DoesNotFit, match=r"nearly all the way round|does not fit round the oval"):
        place_lettering(RING, "Ex libris " * 12, along="oval", **WIDTHS)


@pytest.mark.parametrize(("setting", "value"), [("mode", "engraved"), ("along", "spiral"), ("rails", "head")])
def test_a_word_that_is_not_known_is_refused_with_those_that_are(setting, value):
    with pytest.raises(BadValue, match=f"{setting} is '{value}'; it takes"):
        place_lettering(box(0, 0, 70, 18), "Zoë", **{setting: value}, **WIDTHS)


def test_the_same_panel_gives_the_same_lettering():
    one, other = (place_lettering(box(0, 0, 50, 16), "Zoë", **WIDTHS) for _ in range(2))
    assert one.paper.equals(other.paper)
    assert np.array_equal(one.letters.size, other.letters.size)


@pytest.mark.parametrize("mode", ["raised", "cut out"])
@pytest.mark.parametrize("panel", [box(0, 0, 60, 12), box(0, 0, 40, 30)])
def test_letters_keep_white_of_an_eighth_of_their_height_to_the_edge_of_their_panel(mode, panel):
    """All but that which raised letters stand on."""
    placed = place_lettering(panel, "Zoë Ruñ", mode=mode, lines=1, most=30, **WIDTHS)
    x0, y0, x1, y1 = panel.bounds
    a0, b0, a1, b1 = placed.letters.area.bounds
    sides = [a0 - x0, x1 - a1, y1 - b1] + ([b0 - y0] if mode == "cut out" else [])
    assert min(sides) >= 0.119 * placed.letters.size


@pytest.mark.parametrize(("mode", "panel"), [("raised", box(0, 0, 77, 23)), ("cut out", box(0, 0, 77, 23))])
@pytest.mark.parametrize("name", ["Theodora Saltmarsh", "Anneliese Merryweather"])
def test_letters_are_narrowed_or_set_in_capitals_before_a_name_is_refused(mode, panel, name):
    placed = place_lettering(panel, name, mode=mode, lines=3, most=30, strap=1.2, smallest=0.5)
    assert check_strength(placed.paper, strap=1.2, smallest=0.5).holds
    assert placed.letters.text.casefold() == name.casefold()
    with pytest.raises(DoesNotFit):
        place_lettering(
            box(0, 0, 60, 14), name, mode=mode, lines=3, letters="as written", narrowest=1, strap=1.2, smallest=0.5,
        )  # fmt: skip


def test_lines_stand_on_arcs_one_round_the_other_in_a_bent_panel():
    ring = (
        shapely.Point(0, 100)
        .buffer(100, quad_segs=200)
        .difference(shapely.Point(0, 100).buffer(74, quad_segs=200))
    )
    panel = ring.intersection(box(-40, -10, 40, 60))
    placed = place_lettering(
        panel, "Bartholomew Fenwick", along="arc", side="foot", centre=(0, 100), bend=-87, lines=2, most=30, strap=1.2, smallest=0.5,
    )  # fmt: skip
    first, second = (shapely.Point(0, 100).distance(line) for line in placed.letters.baselines)
    assert len(placed.letters.baselines) == 2
    assert second - first == pytest.approx(1.5 * placed.letters.size, rel=0.15)
    assert check_strength(placed.paper, strap=1.2, smallest=0.5).holds


@pytest.mark.parametrize("value", [0.4, 1.2])
def test_letters_are_narrowed_to_half_their_width_at_most(value):
    with pytest.raises(BadValue, match=r"narrowest is .*; letters take 0.5 to 1"):
        place_lettering(box(0, 0, 70, 18), "Zoë", narrowest=value, **WIDTHS)
