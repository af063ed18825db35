import numpy as np
import pytest
import shapely
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.compose.design.motif_table import read_motif
from canivet.compose.framing import draw_frame, find_panel
from canivet.errors import BadValue
from canivet.motifs import catalogue


def used_frame(given):
    used, faults = read_motif("frame", "frame", given)
    assert not faults
    return used


def drawn(name, width=101.6, height=152.4):
    return draw_frame(used_frame(name), width=width, height=height, strap=1.2, smallest=0.5)


@pytest.mark.parametrize("name", ["arched-window", "open-book"])
def test_outline_less_openings_is_the_plate_with_its_window_opened(name):
    frame = drawn(name)
    outline, window, openings, panels = frame.outline, frame.window, frame.openings, frame.panels
    assert not outline.interiors
    paper = shapely.polygons(outline.exterior, shapely.get_exterior_ring(openings.areas))
    assert_one_piece(paper)
    assert check_strength(paper, strap=1.2, smallest=0.5).holds
    assert not paper.intersects(window.buffer(-0.01))
    assert all(paper.contains(panel) for panel in panels.values())


def test_openings_are_disjoint_and_solid():
    openings = drawn("oval-medallion").openings.areas
    assert shapely.get_num_interior_rings(openings).max() == 0
    one, other = shapely.STRtree(openings).query(openings, predicate="dwithin", distance=1.19)
    assert np.array_equal(one, other)


def test_settings_are_read_in_the_makers_units_and_drawn():
    used = used_frame({"motif": "plinth", "rim": "4 mm", "panel": 0.2})
    taller = draw_frame(used, width=101.6, height=152.4, strap=1.2, smallest=0.5)
    low, high = (np.ptp(np.reshape(f.panels["name"].bounds, (2, 2))[:, 1]) for f in (drawn("plinth"), taller))
    assert high > low


def test_every_fault_in_the_table_is_reported():
    used, faults = read_motif("frame", "frame", {"motif": "plinth", "rimm": 3, "panel": 2, "strap": 1})
    assert used is not None
    assert len(faults) == 3
    assert faults[0].startswith("frame.rimm is not known. Did you mean 'rim'?")
    assert faults[1].startswith("frame.panel is 2; it takes 0 to 0.4")


@pytest.mark.parametrize("given", [{}, {"motif": 3}, 7])
def test_a_table_without_a_name_is_refused(given):
    used, faults = read_motif("frame", "frame", given)
    assert used is None
    assert "name a frame" in faults[0]


def test_an_unknown_frame_is_refused_with_the_nearest():
    used, faults = read_motif("frame", "frame", "open-bok")
    assert used is None
    assert "Did you mean 'open-book'" in faults[0]


def test_a_panel_is_found_by_name_or_the_panels_there_are_named():
    panels = drawn("open-book").panels
    assert find_panel(panels, "Left page") is panels["left page"]
    with pytest.raises(BadValue, match="Its panels: left page, right page"):
        find_panel(panels, "name")


def test_every_frame_can_be_used_by_name_alone():
    assert all(
        used_frame(name).motif.name == name for name, motif in catalogue().items() if motif.family == "frame"
    )
