"""A figure that stays in a fold: half a figure to a panel opens to a chain, and one that parts is refused."""

import pytest
import shapely
from shapely import Point, box, union_all

from canivet.audit.strength import check_strength
from canivet.compose.design.folding import FoldSettings
from canivet.compose.folded.own_wedges import figure_from_file, staying_figure
from canivet.compose.folded.piece import Promise, fold_piece
from canivet.errors import BadValue, DoesNotFit
from canivet.export.paths import path_data
from canivet.motifs.folding.folds import accordion_fold, mirror_fold
from canivet.stock import Stock

DOLL = union_all([Point(30, 66).buffer(8), box(26, 40, 34, 62), box(0, 44, 60, 50), box(20, 0, 40, 42)])
EYES = union_all([Point(27, 67).buffer(1.2), Point(33, 67).buffer(1.2)])
STRIP = (120.0, 80.0)


@pytest.fixture
def doll(tmp_path):
    def put(shape=DOLL - EYES, name="doll.svg"):
        _, y0, x1, y1 = shape.bounds
        data = "".join(path_data(part, flip_height=y1) for part in shapely.get_parts(shape))
        (tmp_path / name).write_text(
            f'<svg width="{x1}mm" height="{y1 - y0}mm" viewBox="0 0 {x1} {y1 - y0}">'
            f'<path fill-rule="evenodd" d="{data}"/></svg>'
        )
        return name

    return put


def chain(folder, figure, **asked):
    settings = FoldSettings(kind="accordion", panels=4, figure=figure, stays=True, **asked)
    return fold_piece(settings, Promise(1.2), stock=Stock.of(thickness=0.1), size=STRIP, folder=folder)


def test_half_a_figure_to_a_panel_opens_to_a_chain_hand_in_hand(doll, tmp_path):
    piece = chain(tmp_path, doll())
    assert piece.report.holds
    assert piece.packet.fold.layers == 4
    paper = piece.cutting.paper
    assert len(paper.interiors) == 4  # two dolls, two eyes each
    # Derived: two whole dolls, joined at the hands; no half figure at either end.
    assert paper.area == pytest.approx(2 * (DOLL - EYES).area, rel=0.01)
    assert check_strength(paper, strap=1.2).holds


def test_a_figure_whose_hands_do_not_reach_the_next_fold_is_refused_with_its_width(doll, tmp_path):
    with pytest.raises(
        DoesNotFit, match=r"meets the fold near .* along 0 mm; a figure that stays takes 1.2 mm"
    ):
        chain(tmp_path, doll(), width=50.0)


def test_what_is_left_out_of_a_staying_figure_is_told(doll, tmp_path):
    speck = union_all([DOLL - EYES, Point(8, 20).buffer(3)])
    told = " ".join(chain(tmp_path, doll(speck)).remarks)
    assert "1 parts of it do not hang together in the wedge and are left out" in told


def test_stays_goes_with_a_figure(run_fold):
    with pytest.raises(BadValue, match="stays"):
        run_fold({"kind": "accordion", "stays": True})


@pytest.fixture
def run_fold():
    from canivet.compose.design.folding import read_fold

    def run(table):
        _, faults = read_fold(table)
        raise BadValue(" ".join(faults))

    return run


def test_a_cut_figure_over_the_fold_says_what_does_not_show(doll, tmp_path):
    fold = mirror_fold(width=100, height=140)
    _, told = figure_from_file(tmp_path / doll(), fold, strap=1.5, rim=3)
    assert any("50% of it lies beyond the wedge" in line for line in told)


def test_the_middle_lies_on_the_side_that_is_a_fold_in_every_layer(doll, tmp_path):
    fold = accordion_fold(panels=4, width=30, height=80)
    drawing, _ = staying_figure(tmp_path / doll(), fold, strap=1.2)
    assert drawing.kept.centroid.x > 15
