"""Numbers of rings find their places."""

import numpy as np
import shapely

from canivet.export.marked.callouts import place_in_margins, place_numbers


def test_a_line_leads_to_the_other_margin_where_that_crosses_no_ring():
    rings = [shapely.Point(x, 20).buffer(3) for x in (15, 26)]
    callouts = place_in_margins([*rings], shapely.box(0, 0, 60, 40))
    assert callouts is not None
    for number, callout in enumerate(callouts):
        others = [ring for k, ring in enumerate(rings) if k != number]
        assert not any(callout.line.intersects(ring) for ring in others)


def test_lines_of_crowded_numbers_do_not_cross():
    page, crowded = shapely.box(0, 0, 60, 80), 0
    for seed in range(40):
        rng = np.random.default_rng(seed)
        rings = [shapely.Point(x, y).buffer(1.5) for x, y in rng.uniform((12, 36), (48, 44), (9, 2))]
        for callouts in (place_in_margins(rings, page), place_numbers(rings, page, page)):
            lines = np.array([callout.line for callout in callouts or ()], dtype=object)
            crowded += sum(len(line.coords) > 0 for line in lines) > 5
            assert not shapely.crosses(lines[:, None], lines[None, :]).any(), seed
    assert crowded > 20
