"""Checks a cutting plan from its JSON and the drawing alone: it knows nothing of how plans are made."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LineString, Point, Polygon

__all__ = ["check_opening_of_packet", "check_plan"]

ROUNDING = 0.003
"""mm: places are written to a micrometre and snapped to one before."""


def check_plan(plan: dict[str, Any], paper: Polygon) -> None:
    """Assert that the plan cuts this paper, whole and once, and that its figures are those of its strokes."""
    openings = plan["openings"]
    assert [one["number"] for one in openings] == list(range(1, len(openings) + 1))
    solid = np.array([Polygon(ring) for ring in paper.interiors])
    places = shapely.points([one["at_mm"] for one in openings])
    row, found = shapely.STRtree(solid).query(places, "within")
    assert row.tolist() == list(range(len(openings))), "a number stands outside every opening, or in two"
    assert sorted(found.tolist()) == list(range(len(solid))), "an opening has no number, or two"
    for one, k in zip(openings, found.tolist(), strict=True):
        check_opening(one, solid[k])
    assert_covers(plan["outline"], paper.exterior)
    assert [stroke["frees"] for stroke in plan["outline"]].count(True) == 1
    check_figures(plan, paper)


def check_opening(one: dict[str, Any], waste: Polygon) -> None:
    strokes = one["strokes"]
    assert_covers(strokes, waste.exterior)
    assert [stroke["frees"] for stroke in strokes] == [False] * (len(strokes) - 1) + [True]
    assert one["area_mm2"] == round_to(waste.area)
    by_scissors = any(stroke["tool"] == "scissors" for stroke in strokes)
    assert (one["pierce_mm"] is not None) == by_scissors
    if by_scissors:
        centre, arm = Point(one["pierce_mm"]), one["pierce_arm_mm"]
        assert waste.contains(centre.buffer(arm)), "the X reaches out of its waste"
    for stroke in strokes:
        assert (stroke["sheet_angle_deg"] is None) == (stroke["tool"] == "scissors")
        assert stroke["overrun_mm"] >= 0


def check_opening_of_packet(one: dict[str, Any], waste: Any, creases: Any) -> None:
    """Its strokes lie on the edge of waste and on no crease, and its place in that waste."""
    place = Point(one["at_mm"])
    own = next(part for part in shapely.get_parts(waste) if part.contains(place))
    edge = own.boundary.difference(creases)
    lines = [LineString(stroke["points_mm"]) for stroke in one["strokes"]]
    # A step of under 0.1 mm beside a crease is not cut.
    assert abs(sum(line.length for line in lines) - edge.length) < 0.1 + 1e-3 * edge.length
    assert shapely.union_all(lines).difference(own.boundary.buffer(2 * ROUNDING)).length < ROUNDING
    assert [stroke["frees"] for stroke in one["strokes"]] == [False] * (len(lines) - 1) + [True]


def assert_covers(strokes: list[dict[str, Any]], ring: Any) -> None:
    """Every stroke lies on the ring, they cover all of it, and none of it twice."""
    edge = LineString(ring.coords)
    lines = [LineString(stroke["points_mm"]) for stroke in strokes]
    assert sum(line.length for line in lines) == round_to(edge.length)
    assert shapely.hausdorff_distance(shapely.union_all(lines), edge) < 2 * ROUNDING


def check_figures(plan: dict[str, Any], paper: Polygon) -> None:
    strokes = [stroke for one in plan["openings"] for stroke in one["strokes"]] + plan["outline"]
    if plan["outline_when"] == "first":
        strokes = strokes[-len(plan["outline"]) :] + strokes[: -len(plan["outline"])]
    for tool in ("knife", "scissors"):
        cut = sum(LineString(s["points_mm"]).length for s in strokes if s["tool"] == tool)
        assert plan["cut_length_mm"][tool] == round_to(cut)
    assert sum(plan["cut_length_mm"].values()) == round_to(paper.length)
    knife = [stroke for stroke in strokes if stroke["tool"] == "knife"]
    turns = sum(
        abs((ends(before, plan["mirrored"]) - after["sheet_angle_deg"] + 180) % 360 - 180)
        for before, after in pairwise(knife)
        if not closed(after)
    )
    # Angles are written to a tenth of a degree, and a curve's are measured over 0.4 mm of it.
    assert plan["turning_deg"] <= turns + len(knife) * 3
    for stroke in knife:
        assert_drawn_towards_the_cutter(stroke, plan["mirrored"])
    sittings = [one["sitting"] for one in plan["openings"]]
    assert sittings == sorted(sittings)
    assert (sittings[0], sittings[-1]) == (1, plan["sittings"])
    assert set(sittings) == set(range(1, plan["sittings"] + 1))
    assert plan["grade"]["value"] in range(1, 6)
    assert plan["grade"]["because"]


def assert_drawn_towards_the_cutter(stroke: dict[str, Any], mirrored: bool) -> None:
    """A straight stroke comes straight down; a curve begins so, as measured over 0.4 mm of it.

    A ring cut in one stroke may have a corner, and is then a curve like others, or none: then its first chord counts.
    """
    points = stroke["points_mm"]
    line = LineString(points)
    near = line.interpolate(min(0.4, line.length / 2))
    begins = [[near.x, near.y], *([points[1]] if closed(stroke) else [])]
    if not closed(stroke) and is_straight(stroke, 0.1 + ROUNDING):
        begins.append(points[-1])
    apart = min(
        abs((sheet_angle(points[0], to, mirrored) - stroke["sheet_angle_deg"] + 180) % 360 - 180)
        for to in begins
    )
    least = min(math.dist(points[0], to) for to in begins)
    assert apart < 1 + math.degrees(ROUNDING / least), f"not drawn towards the cutter, {apart:.1f}° off"


def sheet_angle(a: list[float], b: list[float], mirrored: bool) -> float:
    """How far to turn the sheet anticlockwise, seen from the side that is cut, so that a→b comes straight down."""
    dx = a[0] - b[0] if mirrored else b[0] - a[0]
    return (-90 - math.degrees(math.atan2(b[1] - a[1], dx))) % 360


def ends(stroke: dict[str, Any], mirrored: bool) -> float:
    points = stroke["points_mm"]
    if is_straight(stroke):
        return sheet_angle(points[0], points[-1], mirrored)
    line = LineString(points)
    near = line.interpolate(max(line.length - 0.4, line.length / 2))
    return sheet_angle([near.x, near.y], points[-1], mirrored)


def closed(stroke: dict[str, Any]) -> bool:
    return stroke["points_mm"][0] == stroke["points_mm"][-1]


def is_straight(stroke: dict[str, Any], within: float = 0.1) -> bool:
    points = stroke["points_mm"]
    chord = LineString([points[0], points[-1]])
    return all(chord.distance(Point(p)) <= within for p in points)


class round_to:  # noqa: N801 - reads as a value in assertions
    """Equal to within a thousandth, as lengths of strokes must be to the perimeter."""

    def __init__(self, value: float) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, (int, float)) and abs(other - self.value) <= 1e-3 * abs(self.value) + ROUNDING
        )

    def __hash__(self) -> int:
        return hash(self.value)

    def __repr__(self) -> str:
        return f"{self.value} ± 0.1 %"
