"""A folded piece is planned as it is cut: on its packet, through all its layers, with nothing cut along creases."""

from pathlib import Path

import numpy as np
import pytest
import shapely
from checker import check_opening_of_packet
from shapely import Point
from shapely.geometry import LineString, Polygon, box

from canivet.compose.design.loading import load_design
from canivet.compose.planning.packet import packet_paper, plan_packet_cutting
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.plate import compose_plate
from canivet.errors import DoesNotFit
from canivet.motifs.folding.folds import quarter_fold
from canivet.motifs.folding.packet import plan_packet

FOLDED = Path(__file__).parents[3] / "gallery/folded"


@pytest.fixture(scope="module", params=["marigold", "honey-star", "rose-window", "sun-lace"])
def plate(request):
    return compose_plate(load_design(FOLDED / f"{request.param}.toml"))


def creases_of(packet):
    return shapely.union_all([edge.line for edge in packet.fold.edges if edge.creased])


def test_what_is_cut_of_a_packet_is_the_edge_of_its_waste_that_lies_on_no_crease(plate):
    packet = plate.packet
    plan = plan_packet_cutting(packet).to_json()
    waste = shapely.union_all(packet.openings).intersection(packet.kept)
    near = creases_of(packet).buffer(0.001)
    for one in plan["openings"]:
        check_opening_of_packet(one, waste, near)
    cut = sum(LineString(s["points_mm"]).length for one in plan["openings"] for s in one["strokes"])
    assert cut == pytest.approx(waste.boundary.difference(near).length, rel=2e-3)


def test_every_cut_of_the_opened_piece_is_made_by_one_of_its_packet(plate):
    packet = plate.packet
    plan = plan_packet_cutting(packet)
    strokes = [LineString(s.points) for one in plan.openings for s in one.strokes]
    lines = shapely.union_all(strokes)
    inside = packet.kept.buffer(-0.1)
    edges = shapely.union_all([LineString(ring.coords) for ring in packet.piece.interiors]).intersection(
        inside
    )
    assert edges.difference(lines.buffer(0.05)).length < 1e-3 * edges.length


def test_a_packet_is_cut_sooner_than_the_piece_flat_and_slower_for_its_layers(plate):
    plan, flat = plan_packet_cutting(plate.packet), plan_cutting(plate.cutting)
    assert plan.layers == plate.packet.fold.layers
    assert plan.minutes < flat.minutes / 2
    length = sum(plan.cut_length.values())
    alone = flat.cutting_minutes / sum(flat.cut_length.values()) * length
    assert plan.cutting_minutes > 2 * alone


def test_delicacy_is_measured_on_the_opened_piece():
    fold = quarter_fold(width=60, height=60)
    # Two openings alike but for how near the second comes to its own mirror image across a crease.
    openings = [box(33, 45, 37, 55), box(30.7, 36, 34.7, 40)]
    packet = plan_packet(fold, openings, title="Bars")
    first, second = sorted(plan_packet_cutting(packet).openings, key=lambda one: -one.at[1])
    lone = plan_packet(fold, [box(33, 45, 37, 55), box(36, 36, 40, 40)], title="Bars")
    _, clear = sorted(plan_packet_cutting(lone).openings, key=lambda one: -one.at[1])
    assert second.delicacy / first.delicacy > 1.05 * clear.delicacy


def test_sides_of_an_oblong_sheet_are_not_cut_and_a_shaped_edge_is():
    fold = quarter_fold(width=60, height=60)
    moon = Point(45, 45).buffer(5)
    plain = plan_packet_cutting(plan_packet(fold, moon, title="Moon"))
    shaped = plan_packet_cutting(
        plan_packet(fold, moon, title="Moon", edge=Polygon(Point(30, 30).buffer(29, quad_segs=64).exterior))
    )
    assert plain.outline == ()
    assert sum(stroke.length for stroke in shaped.outline) == pytest.approx(29 * np.pi / 2, rel=0.01)


def test_a_packet_with_nothing_but_its_edge_to_cut_is_told_so():
    packet = compose_plate(load_design(FOLDED / "five-point-star.toml")).packet
    with pytest.raises(DoesNotFit, match="the packet has no openings"):
        plan_packet_cutting(packet)


def test_a_packet_as_cut_is_one_valid_polygon_that_differs_by_a_hair(plate):
    packet = plate.packet
    paper = packet_paper(packet)
    assert paper.is_valid
    waste = shapely.union_all(packet.openings).intersection(packet.kept)
    true = packet.kept.difference(waste)
    assert paper.symmetric_difference(true).area < 0.03 * creases_of(packet).length
