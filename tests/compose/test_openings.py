"""Openings, and the part of the plate that each belongs to."""

import numpy as np
import pytest
import shapely
from shapely import Point, box

from canivet.compose.design.loading import load_design
from canivet.compose.openings import NONE, Openings, openings_in
from canivet.compose.plate import compose_plate

DESIGN = """
title = "Reeds"
size = "90x130 mm"
border = {motif = "scallop", band = "9 mm"}
ground = {motif = "diamond-lattice", pitch = "8 mm"}
vignette = {shape = "oval", width = "70%", height = "60%"}
[[silhouette]]
motif = "leaf"
width = "45%"
height = "60%"
[[lettering]]
text = "Ada"
width = "40 mm"
height = "18 mm"
"""


@pytest.fixture(scope="module")
def plate(tmp_path_factory):
    path = tmp_path_factory.mktemp("plate") / "reeds.toml"
    path.write_text(DESIGN)
    return compose_plate(load_design(path))


def test_every_opening_of_a_plate_belongs_to_a_part_of_the_design(plate):
    cut = plate.openings()
    assert len(cut.areas) == len(plate.cutting.paper.interiors)
    assert {"border", "ground", "vignette", "lettering-1"} <= set(cut.roles) - {NONE}
    assert shapely.union_all(cut.areas).area == pytest.approx(
        plate.parts.outline.area - plate.cutting.paper.area
    )


def test_openings_lie_where_their_part_does(plate):
    cut, parts = plate.openings(), plate.parts
    assert not shapely.intersects(parts.window, shapely.centroid(cut.of_role("border"))).any()
    panel = parts.lettering[0].panel
    assert shapely.covers(panel.buffer(0.01), cut.of_role("lettering-1")).all()
    (vignette,) = parts.openings.of_role("vignette")
    assert not vignette.intersects(parts.silhouettes[0].buffer(-0.01))


def test_a_part_that_is_cut_out_has_its_own_openings():
    ground = Openings.of([box(0, 0, 10, 10), box(20, 0, 30, 10)], "ground")
    both = ground.and_of([box(40, 0, 50, 10)], "silhouette-1")
    assert both.roles.tolist() == ["ground", "ground", "silhouette-1"]
    assert both.of_role("silhouette-1")[0].bounds == (40, 0, 50, 10)


def test_a_figure_splits_an_opening_and_both_halves_keep_its_part():
    laid = Openings.of([box(0, 0, 30, 10), box(0, 20, 30, 30)], "ground")
    left = laid.without(box(13, -5, 17, 15), smallest=0.5)
    assert left.roles.tolist() == ["ground"] * 3
    assert left.areas[0].bounds == (0, 20, 30, 30)
    assert shapely.area(shapely.intersection(left.areas, box(13, -5, 17, 15))).max() == 0


def test_what_a_figure_leaves_of_a_cell_is_no_crumb_and_a_window_is_no_cell():
    figure = box(10, -1, 30, 11)
    assert len(Openings.of([box(0, 0, 30, 10)], "ground").without(figure, smallest=0.5).areas) == 0
    assert len(Openings.of([box(0, 0, 30, 10)], "window").without(figure, smallest=0.5).areas) == 1


def test_slivers_beside_a_figure_become_paper():
    laid = Openings.of([box(0, 0, 10.6, 10)], "window")
    assert len(laid.without(box(0, -1, 10, 11), smallest=0.5).areas) == 0
    assert len(laid.without(box(0, -1, 9, 11), smallest=0.5).areas) == 1


def test_a_pupil_in_an_eye_stays_paper_and_the_eye_is_the_figures_own():
    eye = Point(15, 15).buffer(4) - Point(15, 15).buffer(2)
    figure = (Point(15, 15).buffer(8) - Point(15, 15).buffer(4)).union(Point(15, 15).buffer(2))
    stood = Openings.of([box(0, 0, 30, 30)], "window").with_figure(figure, "silhouette-1", smallest=0.4)
    (own,) = stood.of_role("silhouette-1")
    assert own.symmetric_difference(eye).area < 1e-6


def test_an_opening_that_mending_alone_made_belongs_to_none():
    laid = Openings.of([box(2, 2, 8, 8)], "border")
    cut = laid.as_cut(box(0, 0, 20, 10) - box(2, 2, 8, 8) - box(12, 2, 18, 8))
    assert sorted(cut.roles.tolist()) == ["border", NONE]
    assert len(Openings.of([], "border").as_cut(box(0, 0, 5, 5)).areas) == 0


def test_holes_of_what_a_ground_fills_are_no_openings_of_it():
    field = box(0, 0, 40, 10) - box(12, 2, 18, 8) - box(22, 2, 28, 8)
    drawn = field - box(2, 2, 8, 8) - box(32, 2, 38, 8)
    found = openings_in(drawn, within=field)
    assert sorted(np.array([one.bounds[0] for one in found]).tolist()) == [2, 32]
    assert len(openings_in(drawn)) == 4
