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


def told_of_a_figure(doll, tmp_path, shape, **asked):
    fold = mirror_fold(width=100, height=140)
    _, told = figure_from_file(tmp_path / doll(shape), fold, strap=1.5, rim=3, **asked)
    return told


# Derived: areas of boxes in a wedge of 50 x 140 mm, with a rim of 3 mm at its open edges.


def test_a_part_too_small_to_be_cut_is_told_as_left_out(doll, tmp_path):
    shape = union_all([box(0, 0, 20, 20), Point(26, 10).buffer(0.2)])
    told = told_of_a_figure(doll, tmp_path, shape, at=(5.0, 60.0), width=26.2)
    assert any("1 of its 2 parts in the wedge are left out" in line for line in told), told


def test_what_is_trimmed_for_the_rim_is_told_as_a_share(doll, tmp_path):
    told = told_of_a_figure(doll, tmp_path, box(0, 0, 20, 20), at=(30.0, 60.0), width=20.0)
    (line,) = (line for line in told if "stays paper, to keep straps and rim" in line)
    # 3 of 20 mm are rim; rounding and the strap's margin take little more.
    assert line.startswith(("doll.svg: 15%", "doll.svg: 16%"))


def test_paper_too_thin_to_hold_within_a_figure_is_told_as_cut(doll, tmp_path):
    shape = box(0, 0, 30, 30) - box(2, 14.8, 28, 15.2)  # a tongue of paper 0.4 mm wide, held nowhere
    told = told_of_a_figure(doll, tmp_path, shape, at=(8.0, 60.0), width=30.0)
    assert any("mm² are cut that the drawing has as paper, too thin to hold" in line for line in told), told


def test_places_count_from_the_lower_left_corner_of_the_opened_piece():
    for settings in (
        FoldSettings(kind="medallion"),
        FoldSettings(kind="star"),
        FoldSettings(kind="p4mm", flat=True),
    ):
        piece = fold_piece(settings, Promise(1.5), stock=Stock.of(thickness=0.1))
        assert piece.cutting.paper.bounds[:2] == pytest.approx((0, 0))
        if piece.report.weakest is not None:
            assert min(piece.report.weakest.at) > 0


def test_a_packet_too_thick_says_which_paper_would_do():
    piece = fold_piece(FoldSettings(kind="medallion"), Promise(1.5), stock=Stock.of(thickness=0.2))
    layers = piece.packet.fold.layers
    (advice,) = (line for line in piece.remarks if "too thick to cut cleanly" in line)
    # Common practice, no source: small scissors cut 1.5 mm of packet.
    thinner = float(advice.split("Take paper of ")[1].split(" mm")[0])
    assert layers * thinner <= 1.5 < layers * (thinner + 0.001)
