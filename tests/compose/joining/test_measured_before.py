"""What was measured before spares measuring, and changes nothing that is drawn or told."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, affinity, box

from canivet.audit.again import Measures
from canivet.audit.strength import check_strength
from canivet.compose.joining.parts import hold_together

STRAP, SMALLEST = 1.2, 0.5


def strewn(seed: int) -> MultiPolygon:
    """Discs with slots, some of which leave too little paper, and hairs between some of them."""
    rng = np.random.default_rng(seed)
    parts = []
    for column in range(4):
        for row in range(3):
            x, y = 16 * column + rng.uniform(0, 2), 16 * row + rng.uniform(0, 2)
            slot = affinity.rotate(box(x - 4, y - 1, x + 4, y + 1), rng.uniform(0, 180))
            parts += [Point(x, y).buffer(rng.uniform(4.4, 7)) - slot]
            parts += [box(x, y + 5, x + rng.uniform(0.1, 1), y + 12)] * (rng.random() < 0.5)
    return MultiPolygon(shapely.get_parts(shapely.union_all(parts)).tolist())


@pytest.mark.parametrize("seed", range(6))
def test_what_is_mended_and_joined_is_the_same_after_an_audit_of_it_or_of_another(seed):
    paper = strewn(seed)
    alone = hold_together(paper, strap=STRAP, smallest=SMALLEST)
    assert alone.report == check_strength(alone.paper, strap=STRAP, smallest=SMALLEST)
    for other in (paper, strewn(seed + 1), alone.paper):
        known = Measures()
        check_strength(other, strap=STRAP, smallest=SMALLEST, known=known)
        again = hold_together(paper, strap=STRAP, smallest=SMALLEST, known=known)
        assert shapely.to_wkb(again.paper) == shapely.to_wkb(alone.paper)
        assert again.report == alone.report
        assert again.repair == alone.repair
        assert again.joined == alone.joined
