"""Areas drawn in by a little come out whole."""

import numpy as np
import pytest
import shapely
from shapely import affinity, box

from canivet.audit.boundary import shrunk


def test_no_rectangle_is_lost_when_it_is_drawn_in_by_a_little():
    rng = np.random.default_rng(7)
    tablets = [
        shapely.set_precision(affinity.rotate(box(0, 0, length, wide), turn), 0.001)
        for length, wide, turn in zip(
            rng.uniform(5, 40, 3000),
            rng.uniform(0.8, 6, 3000),
            rng.choice([0.0, 45.0, 17.0], 3000),
            strict=True,
        )
    ]
    for by in (0.001, 0.01, 0.03):
        left = shapely.area(shrunk(np.array(tablets, dtype=object), by))
        edge = shapely.length(np.array(tablets, dtype=object))
        assert left == pytest.approx(shapely.area(tablets) - edge * by, rel=2e-3)


def test_what_is_too_narrow_is_gone():
    assert shapely.is_empty(shrunk(np.array([box(0, 0, 9, 0.01)]), 0.006)).all()
