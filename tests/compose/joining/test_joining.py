"""Bridges between loose parts: that they hold, how long they are, and where they may not go."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import fontawesomefree
import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import label
from scipy.sparse.csgraph import minimum_spanning_tree
from shapely import LineString, MultiPolygon, Point, Polygon, affinity, box, union_all
from support import assert_one_piece

from canivet.audit.boundary import Paper
from canivet.audit.necks import measure_necks
from canivet.audit.strength import TOLERANCE, check_strength
from canivet.compose.joining.parts import Bridge, Held, Joined, hold_together, join_parts
from canivet.compose.reading.silhouette import read_silhouette
from canivet.errors import BadValue, DoesNotFit

STRAP, SMALLEST = 1.2, 0.5
SEEDS = st.integers(0, 10_000)


def scene(seed: int, count: int, size: float = 70.0) -> MultiPolygon:
    """Discs, lenses, blocks and rings strewn at random, at least 0.4 mm apart."""
    rng = np.random.default_rng(seed)
    parts: list[Polygon] = []
    while len(parts) < count:
        radius = size / math.sqrt(count) * rng.uniform(0.15, 0.4)
        disc = Point(0, 0).buffer(max(radius, STRAP))
        shapes = (disc, affinity.scale(disc, 1, 0.5), box(*disc.bounds), disc - disc.buffer(-0.5 * radius))
        shape = affinity.rotate(shapes[rng.integers(0, len(shapes))], rng.uniform(0, 90))
        shape = affinity.translate(shape, *rng.uniform(0, size, 2))
        if all(shape.distance(part) > 0.4 for part in parts):
            parts.append(shape)
    return MultiPolygon(parts)


def ring(outer: float, width: float) -> Polygon:
    return Point(0, 0).buffer(outer) - Point(0, 0).buffer(outer - width)


def discs(places: list[tuple[float, float]], radius: float) -> MultiPolygon:
    return MultiPolygon([Point(place).buffer(radius) for place in places])


def bar(bridge: Bridge) -> Polygon:
    return LineString([bridge.start, bridge.end]).buffer(bridge.width / 2, cap_style="flat")


def graph_of(joined: Joined) -> nx.MultiGraph:
    return nx.MultiGraph([bridge.parts for bridge in joined.bridges])


def single_holds(joined: Joined) -> int:
    """Count the bridges no other runs beside, by networkx."""
    graph = graph_of(joined)
    simple = nx.Graph(graph)
    return sum(graph.number_of_edges(u, v) == 1 for u, v in nx.bridges(simple))


def assert_held(paper: Paper, strap: float = STRAP) -> None:
    """One valid piece; no neck under the strap; and eroding it neither parts it nor opens a ring."""
    assert_one_piece(paper)
    necks = measure_necks(paper, limit=strap).under(strap - TOLERANCE)
    assert len(necks) == 0, [(neck.width, neck.middle) for neck in necks][:3]
    eroded = paper.buffer(-0.998 * (strap - TOLERANCE) / 2, quad_segs=32)
    assert_one_piece(eroded, "eroded, it")
    assert len(eroded.interiors) == len(paper.interiors)


@given(SEEDS, st.integers(2, 12))
@settings(max_examples=25, deadline=None)
def test_loose_parts_become_one_piece_that_holds(seed: int, count: int) -> None:
    held = hold_together(scene(seed, count), strap=STRAP, smallest=SMALLEST)
    assert held.report.holds
    assert_held(held.paper)


@given(SEEDS, st.integers(2, 12))
@settings(max_examples=15, deadline=None)
def test_joining_alone_leaves_no_thin_neck_at_the_bridges(seed: int, count: int) -> None:
    parts = scene(seed, count)
    joined = join_parts(parts, strap=STRAP, smallest=SMALLEST)
    necks = measure_necks(joined.paper, limit=STRAP).under(STRAP - TOLERANCE)
    bars = union_all([bar(bridge) for bridge in joined.bridges])
    assert not [neck.middle for neck in necks if bars.distance(Point(neck.middle)) < STRAP]
    assert parts.difference(joined.paper.buffer(0.002)).is_empty


@given(SEEDS)
@settings(max_examples=5, deadline=None)
def test_a_raster_of_the_piece_is_one_patch(seed: int) -> None:
    paper = join_parts(scene(seed, 8), strap=STRAP).paper
    x0, y0, x1, y1 = paper.bounds
    x, y = np.meshgrid(np.arange(x0, x1, 0.15), np.arange(y0, y1, 0.15))
    shapely.prepare(paper)
    assert label(shapely.contains_xy(paper, x, y))[1] == 1


@given(SEEDS, st.integers(2, 14))
@settings(max_examples=15, deadline=None)
def test_the_bound_is_the_spanning_tree_of_the_gaps_and_the_tree_is_not_far_above(
    seed: int, count: int
) -> None:
    parts = scene(seed, count)
    joined = join_parts(parts, strap=STRAP, holds="single")
    gaps = np.array([[a.distance(b) for a in parts.geoms] for b in parts.geoms])
    least = minimum_spanning_tree(gaps).sum()  # scipy, over all pairs and not only neighbours
    assert joined.bound == pytest.approx(least, abs=0.01)
    assert least - 0.01 <= joined.tree_length <= 1.8 * least + count * STRAP


@given(SEEDS, st.integers(2, 12))
@settings(max_examples=15, deadline=None)
def test_single_holds_left_are_those_a_graph_search_finds(seed: int, count: int) -> None:
    joined = join_parts(scene(seed, count), strap=STRAP, smallest=SMALLEST)
    assert nx.is_connected(graph_of(joined))
    assert joined.single_holds_left == single_holds(joined)


@given(SEEDS, st.integers(2, 12))
@settings(max_examples=15, deadline=None)
def test_no_bridge_crosses_a_third_part_or_another_bridge(seed: int, count: int) -> None:
    parts = scene(seed, count)
    bridges = join_parts(parts, strap=STRAP, smallest=SMALLEST).bridges
    for bridge in bridges:
        met = {k for k, part in enumerate(parts.geoms) if part.distance(bar(bridge)) < 0.005}
        assert met == set(bridge.parts)
    lines = [LineString([bridge.start, bridge.end]) for bridge in bridges]
    assert not any(a.intersects(b) for a, b in itertools.combinations(lines, 2))


def test_a_bridge_is_as_long_as_the_gap_and_ends_on_both_edges() -> None:
    two = MultiPolygon([box(0, 0, 10, 10), box(13, 0, 23, 10)])
    joined = join_parts(two, strap=1.5, holds="single")
    (bridge,) = joined.bridges
    assert (bridge.length, bridge.width, bridge.parts, bridge.extra) == (3.0, 1.5, (0, 1), False)
    assert {bridge.start[0], bridge.end[0]} == {10.0, 13.0}
    assert joined.tree_length == joined.total_length == joined.bound == 3.0
    assert (joined.leaves, joined.single_holds_left) == (2, 1)


def test_two_holds_between_two_parts_stand_apart_and_even() -> None:
    two = discs([(0, 0), (14, 0)], 5)
    one, other = join_parts(two, strap=STRAP, smallest=SMALLEST).bridges
    assert LineString([one.start, one.end]).distance(LineString([other.start, other.end])) > 2 * STRAP
    assert one.start[1] * other.start[1] < 0


@pytest.mark.parametrize("leaves", [3, 4, 6, 7, 8])
def test_a_star_of_parts_needs_at_least_half_its_leaves_again(leaves: int) -> None:
    # Eswaran & Tarjan, SIAM J. Comput. 5, 1976 (from memory): a tree with L leaves needs ⌈L/2⌉ more edges.
    turn = np.arange(leaves) * 2 * np.pi / leaves
    rim = [(16 * math.cos(t), 16 * math.sin(t)) for t in turn]
    joined = join_parts(discs([(0, 0), *rim], 3), strap=STRAP, smallest=SMALLEST)
    extra = sum(bridge.extra for bridge in joined.bridges)
    tree = nx.Graph([bridge.parts for bridge in joined.bridges if not bridge.extra])
    ends = sum(degree == 1 for _, degree in tree.degree)
    assert joined.leaves == ends
    assert math.ceil(ends / 2) <= extra <= leaves
    assert joined.single_holds_left == single_holds(joined) == 0


def test_a_path_of_parts_closed_to_a_ring_needs_one_bridge_more() -> None:
    # The same bound for L = 2: one. The parts lie on a circle with one gap a little wider.
    turn = np.linspace(0, 2 * np.pi * 0.87, 8)
    joined = join_parts(
        discs([(20 * math.cos(t), 20 * math.sin(t)) for t in turn], 4), strap=STRAP, smallest=SMALLEST
    )
    assert (joined.leaves, sum(bridge.extra for bridge in joined.bridges)) == (2, 1)
    assert joined.single_holds_left == 0


def test_single_holds_make_a_tree_and_no_more() -> None:
    joined = join_parts(scene(4, 9), strap=STRAP, holds="single")
    assert len(joined.bridges) == joined.single_holds_left == 8
    assert not any(bridge.extra for bridge in joined.bridges)
    assert nx.is_tree(nx.Graph(graph_of(joined)))


@pytest.mark.parametrize(
    ("corners", "steiner", "spanning"),
    [
        # Gilbert & Pollak 1968: unit triangle SMT/MST 0.86603, unit square SMT 2.73205 against MST 3.
        ([(0, 0), (1, 0), (0.5, math.sqrt(0.75))], 2 * 0.86603, 2.0),
        ([(0, 0), (1, 0), (1, 1), (0, 1)], 2.73205, 3.0),
    ],
)
def test_corner_discs_are_tied_no_shorter_than_steiner_and_no_longer_than_spanning(
    corners: list[tuple[float, float]], steiner: float, spanning: float
) -> None:
    side, radius = 40.0, 1.5
    parts = discs([(side * x, side * y) for x, y in corners], radius)
    joined = join_parts(parts, strap=STRAP, holds="single")
    centre_to_centre = joined.tree_length + 2 * radius * (len(corners) - 1)
    assert steiner * side <= centre_to_centre <= spanning * side * 1.01


@pytest.mark.parametrize("style", ["stem", "bar", "leaf", "bead"])
def test_bridges_keep_out_of_a_face(style: str) -> None:
    face = box(8, -3, 22, 3)
    three = MultiPolygon([box(0, -12, 10, 12), box(20, -12, 30, 12)])
    joined = join_parts(three, strap=STRAP, smallest=SMALLEST, keep_out=face, style=style)  # type: ignore[arg-type]
    assert len(joined.bridges) == 2
    assert joined.paper.difference(three).intersection(face).area < 0.01
    free = join_parts(discs([(0, 0), (14, 0)], 5), strap=STRAP, holds="single")
    assert free.bridges[0].length == pytest.approx(4, abs=0.01)
    shut = join_parts(discs([(0, 0), (14, 0)], 5), strap=STRAP, holds="single", keep_out=box(4, -1, 10, 1))
    assert shut.bridges[0].length > 4.05


def test_bridges_stay_within_the_field() -> None:
    field = box(0, 0, 60, 30) - box(20, 0, 40, 14)
    two = MultiPolygon([box(2, 2, 18, 28), box(42, 2, 58, 28)])
    joined = join_parts(two, strap=STRAP, smallest=SMALLEST, within=field)
    assert joined.paper.difference(two).difference(field).area < 0.01
    assert all(min(b.start[1], b.end[1]) > 14 for b in joined.bridges)


def test_the_direction_asked_for_is_taken_where_it_costs_little() -> None:
    three = MultiPolygon([box(0, 0, 10, 10), box(13, 0, 23, 10), box(0, 12.5, 23, 20)])
    along = join_parts(three, strap=STRAP, holds="single", direction_deg=0)
    across = join_parts(three, strap=STRAP, holds="single", direction_deg=90)
    level = [abs(b.start[1] - b.end[1]) < 0.1 for b in along.bridges]
    upright = [abs(b.start[0] - b.end[0]) < 0.1 for b in across.bridges]
    assert any(level)
    assert all(upright)


def test_a_part_that_cannot_be_reached_is_named_with_its_place() -> None:
    two = discs([(0, 0), (20, 0)], 3)
    moat = Point(20, 0).buffer(6) - Point(20, 0).buffer(4)
    with pytest.raises(
        DoesNotFit, match=r"at \(20\.0, 0\.1\) mm.*cannot be reached.*Leave bridges more ground"
    ) as caught:
        join_parts(two, strap=STRAP, keep_out=moat)
    assert caught.value.at == pytest.approx((20, 0), abs=0.2)
    assert len(join_parts(two, strap=STRAP).bridges) == 2


@pytest.mark.parametrize("style", ["leaf", "bead"])
def test_leaves_and_beads_swell_a_bridge_and_never_thin_it(style: str) -> None:
    two = discs([(0, 0), (30, 0)], 5)
    plain = join_parts(two, strap=STRAP, smallest=SMALLEST)
    meant = join_parts(two, strap=STRAP, smallest=SMALLEST, style=style)  # type: ignore[arg-type]
    assert meant.bridges == plain.bridges
    assert meant.paper.area > plain.paper.area + 2
    assert plain.paper.difference(meant.paper).area < 0.01
    assert_held(meant.paper)


@pytest.mark.parametrize(
    ("style", "straps", "swells"),
    [("leaf", 4.9, False), ("leaf", 6, True), ("bead", 4, False), ("bead", 4.9, False), ("bead", 5.2, True)],
)
def test_a_bridge_under_five_straps_is_too_short_for_a_leaf_or_a_bead(
    style: str, straps: float, swells: bool
) -> None:
    two = discs([(0, 0), (10 + straps * STRAP, 0)], 5)
    meant = join_parts(two, strap=STRAP, holds="single", style=style).paper  # type: ignore[arg-type]
    plain = join_parts(two, strap=STRAP, holds="single").paper
    assert meant.equals(plain) != swells


LOOSE: dict[str, Paper] = {
    "rings in rings": union_all([ring(30, 3), ring(22, 3), ring(14, 3), Point(0, 0).buffer(5)]),
    "islands in a frame": MultiPolygon(
        [box(0, 0, 40, 30) - box(3, 3, 37, 27), box(10, 10, 14, 14), box(20, 10, 24, 14)]
    ),
    "island near one side": MultiPolygon([box(0, 0, 40, 30) - box(3, 3, 37, 27), box(3.2, 10, 9, 16)]),
    "corners touching": MultiPolygon([box(0, 0, 10, 10), box(10, 10, 20, 20)]),
    "almost touching": MultiPolygon([box(0, 0, 10, 10), box(10.01, 0, 20, 10)]),
    "in one line": MultiPolygon([box(5 * k, 0, 5 * k + 3, 3) for k in range(8)]),
    "hair between": union_all([box(0, 0, 10, 10), box(10, 5, 20, 5.0001), box(20, 0, 30, 10)]),
    "sliver beside": MultiPolygon([Polygon([(0, 0), (30, 0), (15, 0.01)]), box(0, 3, 30, 6)]),
    "far from the origin": affinity.translate(scene(3, 9), 1e5, -1e5),
    "meeting when mended": MultiPolygon([box(0, 0, 20, 0.5), box(0, 0.9, 20, 1.4), box(0, 6, 20, 6.5)]),
    "stars point to point": MultiPolygon(
        [affinity.translate(Polygon([(-6, 0), (0, -1.5), (6, 0), (0, 1.5)]), 13 * k, 0) for k in range(3)]
    ),
}


@pytest.mark.parametrize("name", LOOSE)
def test_awkward_parts_become_one_piece_that_holds(name: str) -> None:
    held = hold_together(LOOSE[name], strap=STRAP, smallest=SMALLEST)
    assert held.report.holds, held.report.to_json()
    assert_held(held.paper)


def test_rings_in_rings_are_held_twice_each() -> None:
    joined = join_parts(LOOSE["rings in rings"], strap=STRAP, smallest=SMALLEST)
    assert len(joined.bridges) == 6
    assert joined.single_holds_left == 0
    # Derived: the gaps are 5, 5 and 6 mm.
    assert joined.bound == pytest.approx(16, abs=0.05)


def test_one_part_is_handed_back() -> None:
    joined = join_parts(box(0, 0, 9, 9), strap=STRAP)
    assert joined == Joined(joined.paper, (), 0.0, 0.0, 0.0, 0, 0)
    assert joined.paper.equals(box(0, 0, 9, 9))


def test_the_same_parts_give_the_same_piece() -> None:
    first, second = (join_parts(scene(11, 10), strap=STRAP, smallest=SMALLEST) for _ in range(2))
    assert first.paper.wkb == second.paper.wkb
    assert first.bridges == second.bridges


def test_a_hand_slip_widens_every_bridge() -> None:
    two = discs([(0, 0), (14, 0)], 5)
    held = hold_together(two, strap=STRAP, smallest=SMALLEST, slip=0.3)
    assert held.report.holds
    assert held.report.needed == pytest.approx(1.8)
    assert check_strength(held.paper, strap=1.8, smallest=SMALLEST).holds


def icons(count: int) -> list[Path]:
    """Spread over the icons of a package under CC BY 4.0; only read here."""
    root = Path(str(fontawesomefree.__file__)).parent / "static/fontawesomefree/svgs"
    files = sorted(root.glob("*/*.svg"))
    return files[:: len(files) // count][:count]


@pytest.mark.parametrize("file", icons(30), ids=lambda file: f"{file.parent.name}-{file.stem}")
def test_icons_become_one_piece_that_holds(file: Path) -> None:
    held: Held = hold_together(
        read_silhouette(file, width=60, height=60).area, strap=STRAP, smallest=SMALLEST
    )
    assert held.report.holds
    assert_held(held.paper)


def test_a_bow_tie_is_refused() -> None:
    with pytest.raises(BadValue, match="not a valid polygon"):
        join_parts(Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]), strap=STRAP)


def test_a_bow_tie_to_keep_out_of_is_refused_by_its_name() -> None:
    with pytest.raises(BadValue, match="keep_out is not a valid polygon"):
        join_parts(scene(1, 3), strap=STRAP, keep_out=Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]))


@pytest.mark.parametrize(
    ("bad", "message"),
    [
        ({"strap": 0.0}, "strap is 0 mm; it takes 0.001 mm to 1000 mm"),
        ({"strap": 1001.0}, "strap is 1001 mm"),
        ({"smallest": -0.1}, "smallest is -0.1 mm"),
        ({"holds": "triple"}, "holds is 'triple'; it takes one of: single, double"),
        ({"style": "bone"}, "style is 'bone'; it takes one of: stem, bar, leaf, bead"),
        ({"direction_deg": 361.0}, "direction_deg is 361"),
    ],
)
def test_values_out_of_bounds_are_refused(bad: dict[str, object], message: str) -> None:
    with pytest.raises(BadValue, match=message):
        join_parts(scene(1, 3), **{"strap": STRAP, **bad})  # type: ignore[arg-type]


def test_values_at_their_bounds_are_taken() -> None:
    for direction in (-360.0, 360.0):
        assert join_parts(scene(1, 3), strap=STRAP, smallest=0.0, direction_deg=direction).bridges


def test_a_part_smaller_than_its_bridges_is_doubted():
    hare, dust, foot = box(0, 0, 20, 30), Point(50, 15).buffer(1.2), box(21, 0, 24, 6)
    held = hold_together(MultiPolygon([hare, dust, foot]), strap=1.0, smallest=0.4)
    (doubted,) = held.doubtful
    assert doubted.area == pytest.approx(dust.area, rel=0.01)
    assert Point(doubted.at).distance(dust) == 0


def test_bridges_of_a_mirrored_picture_are_mirrored_too() -> None:
    frame = box(0, 0, 80, 120) - box(8, 8, 72, 112)
    stars = [Point(22, 80).buffer(7), Point(58, 80).buffer(7), Point(40, 40).buffer(9)]
    joined = join_parts(MultiPolygon([frame, *stars]), strap=STRAP, smallest=SMALLEST, style="stem")
    image = affinity.scale(joined.paper, -1, 1, origin=(40, 0))
    assert joined.paper.symmetric_difference(image).area < 0.1
    bars = join_parts(MultiPolygon([frame, *stars]), strap=STRAP, smallest=SMALLEST)
    assert joined.paper.area > bars.paper.area  # a stem is nowhere narrower than its bar


@pytest.mark.parametrize(("gap", "held_by_the_sheet"), [(7.0, 4), (2.5, 1)])
def test_small_parts_hold_on_to_large_ones_before_each_other(gap: float, held_by_the_sheet: int) -> None:
    sheet = box(0, 0, 100, 20)
    stars = [box(x, 29, x + 10, 35) for x in (10 + (10 + gap) * k for k in range(4))]  # 9 from the sheet
    joined = join_parts(MultiPolygon([sheet, *stars]), strap=STRAP, smallest=SMALLEST, holds="single")
    assert sum(0 in bridge.parts for bridge in joined.bridges) == held_by_the_sheet
