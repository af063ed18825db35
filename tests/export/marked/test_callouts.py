"""Numbers of rings find their places."""

import shapely

from canivet.export.marked.callouts import place_in_margins


def test_a_line_leads_to_the_other_margin_where_that_crosses_no_ring():
    rings = [shapely.Point(x, 20).buffer(3) for x in (15, 26)]
    callouts = place_in_margins([*rings], shapely.box(0, 0, 60, 40))
    assert callouts is not None
    for number, callout in enumerate(callouts):
        others = [ring for k, ring in enumerate(rings) if k != number]
        assert not any(callout.line.intersects(ring) for ring in others)
