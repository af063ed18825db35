"""What hangs on one hold, against arithmetic and against a graph search."""

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely import box
from strategies import seeds
from support import random_paper

from canivet.audit.holds import hanging_areas, hanging_outlines, hanging_part, measure_droop, tear_risk
from canivet.audit.necks import Neck, measure_necks
from canivet.audit.sag import measure_sag
from canivet.errors import BadValue
from canivet.stock import Stock


def test_the_smaller_side_of_a_dumbbell_hangs():
    paper = shapely.union_all([box(0, 0, 10, 10), box(10, 4, 15, 6), box(15, 0, 21, 10)])
    necks = measure_necks(paper, limit=3)
    hanging = hanging_areas(necks)
    # at the thin bar's left end 60 + 10 mm² hang, at its right end 60; derived
    assert sorted(hanging.round(6).tolist()) == [60.0, 70.0]
    assert tear_risk(necks, hanging).max() == pytest.approx(70 / 2)


def test_openings_in_what_hangs_do_not_count():
    paper = shapely.union_all([box(0, 0, 20, 20), box(20, 9, 25, 11), box(25, 0, 35, 20)]) - box(
        28, 5, 32, 15
    )
    hanging = hanging_areas(measure_necks(paper, limit=2.5))
    assert hanging.max() == pytest.approx(200 - 40 + 10)


def test_the_side_with_less_paper_hangs_though_its_outline_is_the_larger():
    frame = box(0, 0, 100, 100) - box(2, 2, 98, 98)
    block = box(104, 20, 164, 80)
    paper = shapely.union_all([frame, box(100, 49.5, 104, 50.5), block])
    necks = measure_necks(paper, limit=1.5)
    bar = int(np.argmin(necks.width))
    hanging = float(hanging_areas(necks)[bar])
    assert frame.area <= hanging < frame.area + 4.001 < block.area
    neck = next(one for k, one in enumerate(necks) if k == bar)
    assert hanging_part(paper, neck).area == pytest.approx(hanging, rel=1e-6)
    outline = hanging_outlines(necks.take(np.array([bar])))[0]
    assert outline.covers(frame)


def _checked_both_ways(paper, width):
    """What hangs on the necks of that width: by the boundary and by the faces, which must agree."""
    necks = measure_necks(paper, limit=width * 1.1)
    necks = necks.take(np.flatnonzero(necks.width > width * 0.9))
    hanging = hanging_areas(necks)
    for neck, area in zip(necks, hanging, strict=True):
        assert hanging_part(paper, neck).area == pytest.approx(area, rel=1e-6)
    return necks, hanging


BLOCK_IN_FRAME = shapely.union_all([
    box(0, 0, 100, 100) - box(2, 2, 98, 98), box(1, 49.5, 20, 50.5), box(20, 20, 80, 80),
])  # fmt: skip
"""A solid block in a light frame, on a bar 1 mm wide and 18 mm long."""


def test_a_frame_hangs_on_the_block_that_stands_in_it_where_that_is_heavier():
    necks, hanging = _checked_both_ways(BLOCK_IN_FRAME, 1.0)
    # the frame is 100² - 96² = 784 mm², the bar 18; derived
    assert sorted(hanging.round(6).tolist()) == [784.0, 802.0]
    outlines = hanging_outlines(necks)
    # the openings of what hangs are filled, but not the one that the block stands in
    assert shapely.area(outlines).round(6).tolist() == hanging.round(6).tolist()
    assert not shapely.intersects(outlines, shapely.Point(50, 50)).any()


def test_a_piece_loose_in_an_opening_has_no_part_in_what_hangs():
    plate = shapely.union_all([box(0, 0, 100, 100) - box(2, 2, 60, 98), box(100, 49.5, 104, 50.5)])
    loose = box(5, 5, 55, 95) - box(8, 8, 52, 92)
    paper = shapely.MultiPolygon([plate.union(box(104, 0, 164, 100)), loose])
    _, hanging = _checked_both_ways(paper, 1.0)
    assert sorted(hanging.round(6).tolist()) == [10000 - 58 * 96, 10000 - 58 * 96 + 4]


def test_a_tongue_into_an_opening_hangs_by_its_root():
    tongue = shapely.union_all([box(2, 9, 8, 11), box(8, 5, 14, 15)])
    paper = box(0, 0, 20, 20) - (box(2, 2, 18, 18) - tongue)
    necks = measure_necks(paper, limit=2.2)
    hanging = hanging_areas(necks)
    assert set(hanging[hanging > 0].round(6).tolist()) == {60.0, 72.0}
    assert (hanging == 0).sum() >= 8  # the frame's own straps, found on either side of each corner


def test_a_frame_has_no_single_hold():
    assert not hanging_areas(measure_necks(box(0, 0, 9, 9) - box(1, 1, 8, 8), limit=2)).any()


def test_the_part_that_hangs_has_its_openings_and_no_others():
    hanging = box(25, 0, 35, 20) - box(28, 5, 32, 15)
    paper = shapely.union_all([box(0, 0, 20, 20) - box(5, 5, 9, 9), box(20, 9, 25, 11), hanging])
    part = hanging_part(paper, Neck(2.0, (25, 9), (25, 11)))
    assert part.symmetric_difference(hanging).area < 1e-2
    assert len(part.interiors) == 1


def test_only_the_piece_that_has_the_neck_is_parted():
    lollipop = shapely.union_all([box(0, 0, 20, 20), box(20, 9, 25, 11), box(25, 7, 31, 13)])
    paper = shapely.union_all([lollipop, box(40, 0, 41, 1)])
    assert hanging_part(paper, Neck(2.0, (20, 9), (20, 11))).area == pytest.approx(46)


def test_where_there_is_a_way_round_nothing_hangs():
    frame = box(0, 0, 9, 9) - box(1, 1, 8, 8)
    assert hanging_part(frame, Neck(1.0, (4, 0), (4, 1))).is_empty


NINETY = Stock.of(grammage=90)


def _paddle(length, width):
    """A plate with a paddle `length` × `width` on a neck 2 mm wide and 1 mm long."""
    blade = box(21, 10 - width / 2, 21 + length, 10 + width / 2)
    return shapely.union_all([box(0, 0, 20, 20), box(20, 9, 21, 11), blade]), Neck(2.0, (21, 9), (21, 11))


def test_droop_is_that_of_a_strip_as_wide_as_the_neck_with_the_load_of_the_part():
    droop = measure_droop(*_paddle(15, 4), stock=NINETY)
    reach = np.hypot(15, 1)  # from the neck's upper end to the blade's upper corner; derived
    assert droop.reach == pytest.approx(reach)
    assert droop.load == pytest.approx(15 * 4 / reach / 2)
    assert droop.sag == measure_sag(droop.reach, stock=NINETY, held="one end", load=droop.load)
    assert droop.at == (21, 10)


def test_stiffer_paper_droops_less_in_proportion():
    paddle = _paddle(15, 4)
    soft, stiff = (measure_droop(*paddle, stock=NINETY, stiffness=b).sag for b in (0.2e-3, 0.4e-3))
    assert soft == pytest.approx(2 * stiff)


def test_past_a_tenth_of_the_reach_no_figure_is_given():
    droop = measure_droop(*_paddle(60, 6), stock=NINETY)
    assert droop.sag is None
    assert "droops by more than a tenth" in droop.advice
    assert "hold the part at another place" in droop.advice
    assert droop.to_json()["droop_mm"] is None


def test_droop_comes_from_weight_and_needs_something_that_hangs():
    assert measure_droop(box(0, 0, 9, 9) - box(1, 1, 8, 8), Neck(1.0, (4, 0), (4, 1)), stock=NINETY) is None
    with pytest.raises(BadValue, match="grammage is not known"):
        measure_droop(*_paddle(15, 4), stock=Stock.of(thickness=0.1))


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_the_part_that_hangs_has_the_area_that_the_boundary_says(seed):
    """The same part twice: parted by faces here, by the shoelace along the ring in `hanging_areas`."""
    paper = random_paper(seed)
    necks = measure_necks(paper, limit=2.5)
    necks = necks.take(np.flatnonzero(necks.width > 0.05)[:20])
    for neck, area in zip(necks, hanging_areas(necks), strict=True):
        part = hanging_part(paper, neck)
        assert part.area == pytest.approx(area, abs=0.02)
        assert part.is_empty or part.distance(shapely.Point(neck.middle)) < 0.005


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_a_graph_search_finds_the_same_single_holds(seed):
    """Independent oracle: cut the paper along every neck, make a graph of the pieces, ask networkx."""
    paper = random_paper(seed)
    necks = measure_necks(paper, limit=2.5)
    chosen = _apart(necks)
    if len(chosen) == 0:
        return
    necks = necks.take(chosen)
    graph, edges = _graph_of_pieces(paper, necks)
    bridges = {frozenset(e[:2]) for e in nx.bridges(nx.Graph(graph))}
    for dropped, (a, b) in zip(hanging_areas(necks) > 0, edges, strict=True):
        alone = graph.number_of_edges(a, b) == 1 and frozenset((a, b)) in bridges
        assert dropped == alone


def _apart(necks):
    """Rows of necks whose chords stay well clear of each other, so that each cuts one strap."""
    chosen, slots = [], []
    for row, (a, b) in enumerate(zip(necks.start, necks.end, strict=True)):
        if necks.width[row] < 0.05:
            continue
        slot = shapely.LineString([a, b]).buffer(0.02)
        if not any(slot.distance(other) < 0.05 for other in slots):
            chosen.append(row)
            slots.append(slot)
    return np.array(chosen, dtype=np.intp)


def _graph_of_pieces(paper, necks):
    cuts = [_stretched(a, b, 0.01) for a, b in zip(necks.start, necks.end, strict=True)]
    pieces = shapely.get_parts(paper.difference(shapely.union_all([c.buffer(0.002) for c in cuts])))
    pieces = [p for p in pieces if p.area > 1e-4]
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(len(pieces)))
    edges = []
    for cut in cuts:
        near = np.argsort([p.distance(shapely.Point(cut.centroid)) for p in pieces], kind="stable")[:2]
        one = int(near[0])
        other = one if _still_one(pieces[one], cut) else int(near[1])
        graph.add_edge(one, other)
        edges.append((one, other))
    return graph, edges


def _still_one(piece, cut):
    """Whether both sides of the cut belong to this piece: there is a way round."""
    (ax, ay), (bx, by) = cut.coords
    length = np.hypot(bx - ax, by - ay)
    nx_, ny_ = -(by - ay) / length * 0.006, (bx - ax) / length * 0.006
    middle = shapely.Point((ax + bx) / 2, (ay + by) / 2)
    sides = [shapely.Point(middle.x + s * nx_, middle.y + s * ny_) for s in (1, -1)]
    return all(piece.distance(side) < 1e-3 for side in sides)


def _stretched(a, b, by):
    step = (np.asarray(b) - a) / np.hypot(*(np.asarray(b) - a)) * by
    return shapely.LineString([a - step, b + step])
