"""Small pieces together on one sheet."""

import re

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export.printing.together import lay_together, together_pages
from canivet.sheets import SHEETS
from canivet.stock import Faces, Stock


def plates(*sizes):
    stock = Stock.of(Faces.DARK_BOTH_FACES, grammage=90)
    return [Cutting(box(0, 0, w, h), strap=1, title=f"No {k}", stock=stock) for k, (w, h) in enumerate(sizes)]


sizes = st.lists(st.tuples(st.integers(20, 120), st.integers(20, 150)), min_size=1, max_size=12)


@settings(max_examples=30)
@given(sizes=sizes, grain=st.booleans(), gap=st.integers(0, 12))
def test_every_piece_lies_once_inside_the_margins_and_clear_of_the_others(sizes, grain, gap):
    spread = lay_together(sizes, SHEETS["A4"], gap=gap, grain=grain)
    assert sorted(one.piece for on in spread.sheets for one in on) == list(range(len(sizes)))
    inside = box(8, 8, spread.sheet.width - 8, spread.sheet.height - 8)
    for on in spread.sheets:
        laid = []
        for one in on:
            wide, high = sizes[one.piece][:: -1 if one.turned else 1]
            assert not (grain and one.turned)
            laid.append(box(one.left, one.top, one.left + wide, one.top + high))
        assert all(inside.covers(piece) for piece in laid)
        apart = shapely.distance(np.array(laid)[:, None], np.array(laid)[None, :])
        assert (apart[~np.eye(len(laid), dtype=bool)] >= gap - 1e-3).all()


def test_the_waste_is_what_the_sum_of_the_pieces_leaves():
    spread = lay_together([(60, 90)] * 9, SHEETS["A4"])
    assert [len(on) for on in spread.sheets] == [4, 4, 1]
    assert spread.waste == pytest.approx(1 - 9 * 60 * 90 / (3 * 210 * 297))


def test_pieces_lie_on_their_side_only_where_the_grain_may_be_ignored():
    lying = [(150, 60), (150, 60), (60, 150)]
    upright = lay_together(lying, SHEETS["A4"])
    free = lay_together(lying, SHEETS["A4"], grain=False)
    assert not any(one.turned for on in upright.sheets for one in on)
    assert len(free.sheets) <= len(upright.sheets)


def test_each_piece_is_drawn_at_true_size_with_marks_at_its_corners():
    pieces = plates((50, 70), (50, 70))
    ((svg, _),) = together_pages(pieces, lay_together([(50, 70)] * 2, SHEETS["A5"]))
    drawn = [np.array(re.findall(r"[ML]([\d.]+) ([\d.]+)", data), float)
             for data in re.findall(r'<path [^>]*\bd="([^"]*)"[^>]*id="paper-', svg)]  # fmt: skip
    assert [np.ptp(points, axis=0).tolist() for points in drawn[:2]] == [[50, 70], [50, 70]]
    marks = re.search(r'd="([^"]*)"[^>]*id="cut-marks"', svg)[1]
    assert marks.count("M") == 16
    assert ">No 0 · 50 × 70 mm<" in svg
    assert ">No 1 · 50 × 70 mm<" in svg
    assert ">TEMPLATE<" in svg
    assert ">black stays<" in svg


@pytest.mark.parametrize(
    ("pieces", "asked", "error", "says"),
    [
        ([], {}, BadValue, "at least one piece"),
        ([(60, 90)], {"gap": -1}, BadValue, "gap is -1 mm; it takes 0 mm to 50 mm"),
        ([(300, 400)], {}, DoesNotFit, "300 × 400 mm; sheet A4 .* tiled"),
    ],
)
def test_what_cannot_be_laid_is_refused(pieces, asked, error, says):
    with pytest.raises(error, match=says):
        lay_together(pieces, SHEETS["A4"], **asked)
