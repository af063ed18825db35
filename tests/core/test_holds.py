"""What hangs on one hold, against arithmetic and against a graph search."""

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely import box
from support import random_paper, seeds

from canivet.holds import hanging_areas, tear_risk
from canivet.necks import measure_necks


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


def test_a_tongue_into_an_opening_hangs_by_its_root():
    tongue = shapely.union_all([box(2, 9, 8, 11), box(8, 5, 14, 15)])
    paper = box(0, 0, 20, 20) - (box(2, 2, 18, 18) - tongue)
    necks = measure_necks(paper, limit=2.2)
    hanging = hanging_areas(necks)
    assert set(hanging[hanging > 0].round(6).tolist()) == {60.0, 72.0}
    assert (hanging == 0).sum() >= 8  # the frame's own straps, found on either side of each corner


def test_a_frame_has_no_single_hold():
    assert not hanging_areas(measure_necks(box(0, 0, 9, 9) - box(1, 1, 8, 8), limit=2)).any()


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
