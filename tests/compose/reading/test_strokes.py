"""Dashes and strokes: from lines to bands."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from canivet.compose.reading._flatten import Subpath
from canivet.compose.reading._strokes import cut_dashes, widen


def test_dashes_leave_the_share_of_the_line_that_is_on():
    circle = np.column_stack([f(np.linspace(0, 2 * np.pi, 200)[:-1]) for f in (np.cos, np.sin)])
    pieces = cut_dashes(Subpath(circle, closed=True), [0.03, 0.01], 0.0)
    length = sum(shapely.linestrings(piece.points).length for piece in pieces)
    assert length / shapely.linearrings(circle).length == pytest.approx(0.75, abs=0.005)


@pytest.mark.parametrize(("dashes", "offset", "count"), [([5, 3], 2, 5), ([100, 1], 0, 1), ([5, 3], 6, 5)])
def test_a_dash_that_runs_through_the_start_of_a_ring_is_one(dashes, offset, count):
    # Derived: a ring of 40 holds five periods of 8, so however they are shifted there are five dashes and no seam.
    square = Subpath(np.array([[0, 0], [10, 0], [10, 10], [0, 10]], float), closed=True)
    pieces = cut_dashes(square, dashes, offset)
    assert len(pieces) == count
    assert len(shapely.get_parts(shapely.union_all(widen(pieces, width=1, tolerance=0.01)))) == count
    if count > 1:
        assert [shapely.linestrings(p.points).length for p in pieces] == pytest.approx([5] * 5)


@pytest.mark.parametrize(("limit", "extra"), [(4.0, 0.5), (1.0, 0.0)])
def test_a_square_corner_is_mitred_within_the_limit_and_bevelled_past_it(limit, extra):
    # Derived: a right angle has a mitre of √2 widths; its mitre adds a triangle of a half unit to the bevel's.
    corner = Subpath(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]), closed=False)
    bands = widen([corner], width=2, mitre_limit=limit, tolerance=0.01)
    assert shapely.union_all(bands).area == pytest.approx(39.5 + extra, abs=0.03)
