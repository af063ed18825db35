"""Further sheets: each audited by itself, in the piece's outline, and no way to lay one wrongly."""

import itertools

import numpy as np
import pytest
from shapely import box

from canivet.compose.design.loading import load_design
from canivet.compose.finish.finished import finish_plate
from canivet.compose.finish.layers import register_marks
from canivet.compose.plate import compose_plate
from canivet.errors import BadValue, DoesNotFit

HEAD = 'title = "Pond"\nsize = "80x110 mm"\nstrap = "2 mm"\n[outline]\nmotif = "arch"\n[ground]\nmotif = "hexagon-lattice"\npitch = "12 mm"\n'
LAYER = '[[layer]]\ncolour = "teal"\ngap = "2 mm"\n[layer.ground]\nmotif = "square-lattice"\npitch = "9 mm"\n'


def finished(tmp_path, text):
    path = tmp_path / "pond.toml"
    path.write_text(text)
    design = load_design(path)
    return finish_plate(design, compose_plate(design), design.size[0])


def test_a_layer_has_the_outline_of_the_piece_openings_of_its_own_and_an_audit(tmp_path):
    found = finished(tmp_path, HEAD + LAYER)
    piece, layer = found.stack
    assert piece.below == 2
    assert layer.cutting.paper.exterior.hausdorff_distance(piece.cutting.paper.exterior) < 0.01
    assert len(layer.cutting.paper.interiors) != len(piece.cutting.paper.interiors)
    assert layer.report.holds
    assert layer.report.strap == 2
    assert layer.colour == "#008080"


def test_layers_stand_before_and_behind_in_the_order_listed_from_the_piece(tmp_path):
    more = LAYER.replace("teal", "navy") + LAYER.replace("teal", "gold").replace("gap", "behind = false\ngap")
    stack = finished(tmp_path, HEAD + LAYER + more).stack
    assert [leaf.name for leaf in stack] == ["layer-3", "piece", "layer-1", "layer-2"]
    assert [leaf.below for leaf in stack] == [2, 2, 2, 0]


def test_what_a_layer_hides_for_good_is_told(tmp_path):
    whole = HEAD.replace('strap = "2 mm"', 'strap = "2 mm"\nrim = "24 mm"').partition("[ground]")[0]
    border = '[[layer]]\ncolour = "teal"\n[layer.border]\nmotif = "zigzag"\nband = "20 mm"\n'
    said = finished(tmp_path, whole + border).remarks
    assert any("wholly under the sheets before" in one for one in said)


def test_a_layer_may_be_smaller_and_lies_in_the_middle(tmp_path):
    layer = finished(tmp_path, HEAD + LAYER.replace("gap", 'size = "60x80 mm"\ngap')).stack[1]
    assert layer.cutting.paper.bounds == pytest.approx((10, 15, 70, 95))


def test_a_layer_larger_than_the_piece_is_refused_with_its_number(tmp_path):
    with pytest.raises(
        DoesNotFit, match=r"layer\.1: it is 90 × 80 mm and reaches over the piece of 80 × 110 mm"
    ):
        finished(tmp_path, HEAD + LAYER.replace("gap", 'size = "90x80 mm"\ngap'))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (LAYER.replace('"teal"', '"teel"'), r"layer\.1\.colour is 'teel'.*Did you mean 'teal'"),
        (LAYER.replace("gap", "gapp"), r"layer\.1\.gapp is not known"),
        (LAYER.replace("2 mm", "-2 mm"), r"layer\.1\.gap is '-2 mm'; it takes 0 mm to 30 mm"),
        (LAYER.replace("square-lattice", "squire-lattice"), r"layer\.1\.ground\.motif is 'squire-lattice'"),
        ('[[layer.silhouette]]\nfile = "hare.svg"\n', r"layer is one table"),
        ('[series]\nlist = "pond.toml"\n' + LAYER, "layer and series are both given"),
    ],
)
def test_a_slip_in_a_layer_is_told_with_its_place(tmp_path, text, said):
    with pytest.raises(BadValue, match=said):
        finished(tmp_path, HEAD + text)


@pytest.mark.parametrize("size", [(100, 150), (150, 100), (120, 120), (60, 300)])
def test_no_sheet_turned_round_or_over_lies_on_the_marks_of_the_register(size):
    outline = box(0, 0, *size)
    marks = np.array(register_marks(outline)) - np.array(size) / 2
    turns = [np.array([[0, -1], [1, 0]]), np.eye(2)]
    ways = [
        np.linalg.matrix_power(turns[0], k) @ np.diag([flip, 1])
        for k, flip in itertools.product(range(4), (1, -1))
    ]
    for way in ways:
        moved = marks @ way.T
        away = np.hypot(*(moved[:, None] - marks[None]).transpose(2, 0, 1)).min(axis=1).max()
        assert (away < 1e-9) == np.allclose(way, np.eye(2))
        assert np.allclose(way, np.eye(2)) or away > 4  # mm: seen at a glance
    assert all(
        outline.distance(box(x, y, x, y).centroid) >= 5.9 for x, y in np.array(register_marks(outline))
    )
