"""Borders as wanted: an opening for a mat, bands of several widths, corners of their own, one inside another."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from sampling import across
from shapely.affinity import scale
from shapely.geometry import Polygon
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.compose.bordering import lay_borders
from canivet.compose.design.border_table import CORNERS, read_borders
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import BadValue, CanivetError, DoesNotFit
from canivet.motifs.registry import Names, find_motif

INCH = 25.4


def laid(table, outline, *, strap=1.2):
    """Return the window and the paper of borders, everything inside them cut away."""
    border, faults = read_borders(table)
    assert not faults, faults
    window, openings = lay_borders(border, outline, strap=strap, smallest=0.5, rim=None, rail=1.6 * strap)
    return window, Polygon(outline.exterior, [shape.exterior for shape in [*openings, window]])


def sheet(width, height):
    return shapely.box(0, 0, width, height)


@across(motif=Names("border"), corner=CORNERS)
def test_every_border_holds_with_every_corner_and_a_heavier_foot(motif, corner):
    sides = {"left": 12, "right": 12, "top": 12, "foot": 17}
    _, paper = laid({"motif": motif, "bands": sides, "corner": corner}, sheet(100, 140))
    assert_one_piece(paper)
    assert check_strength(paper, strap=1.2, smallest=0.5).holds
    mirrored = scale(paper, -1, 1, origin=(50, 0))
    if motif not in ("cable", "guilloche", "interlace", "knotwork"):  # these run one way round
        assert paper.symmetric_difference(mirrored).area < 0.03


def test_a_mat_of_11_by_14_in_leaves_7_5_by_9_5_in():
    # mat border = (mat − opening)/2 a side (geometry): 1.75 in beside, 2.25 in above and below
    window, paper = laid(
        {"motif": "leaf-and-berry", "opening": "7.5x9.5 in", "corner": "rosette"}, sheet(11 * INCH, 14 * INCH)
    )
    assert np.array(window.bounds) / INCH == pytest.approx([1.75, 2.25, 9.25, 11.75])
    assert any(Polygon(ring).equals(window) for ring in paper.interiors)
    assert check_strength(paper, strap=1.2, smallest=0.5).holds


def test_bands_of_several_widths_are_as_wide_as_asked_on_each_side():
    window, paper = laid(
        {"motif": "scallop", "bands": {"left": 9, "right": 10, "top": 11, "foot": 14}}, sheet(100, 140)
    )
    assert window.bounds == pytest.approx((9, 14, 90, 129))
    assert paper.bounds == pytest.approx((0, 0, 100, 140))


@settings(max_examples=8, deadline=None)
@given(
    motif=st.sampled_from([*Names("border")]),
    corner=st.sampled_from(CORNERS),
    sides=st.tuples(*[st.floats(11, 19).map(lambda x: round(x, 1))] * 4),
    strap=st.sampled_from([0.8, 1.2]),
)
def test_whatever_the_widths_of_its_sides_no_strap_gets_narrower(motif, corner, sides, strap):
    bands = dict(zip(("left", "right", "top", "foot"), sides, strict=True))
    try:
        _, paper = laid({"motif": motif, "bands": bands, "corner": corner}, sheet(130, 170), strap=strap)
    except DoesNotFit:
        return
    report = check_strength(paper, strap=strap, smallest=0.5)
    assert report.holds, (report.necks[:2], report.limbs[:2], report.small_openings[:2])


@pytest.mark.parametrize("block", ["star-lattice", "sunburst-lattice", "circle", "blossom", "leaf", "oval"])
def test_a_block_takes_a_lattice_a_form_or_an_outline(block):
    table = {"motif": "meander", "band": 18, "block": block}
    _, turned = laid({"motif": "meander", "band": 18}, sheet(150, 180))
    _, paper = laid(table, sheet(150, 180))
    corner = shapely.box(0, 0, 18, 18)
    changed = paper.symmetric_difference(turned).intersection(sheet(150, 180))
    assert changed.intersection(corner).area > 1
    assert paper.intersection(corner).area < 0.9 * corner.area
    if find_motif(block).family != "form":  # a form is held by the plate, which bridges what is loose
        assert_one_piece(paper)
        assert check_strength(paper, strap=1.2, smallest=0.5).holds


def test_a_block_keeps_a_strap_from_the_runs_and_a_rim_from_the_edge():
    outline = sheet(110, 150)
    _, paper = laid({"motif": "bead-and-bar", "band": 14, "rim": 3, "corner": "block"}, outline)
    block = shapely.box(0, 0, 14, 14)
    inside = [Polygon(ring) for ring in paper.interiors if block.contains(Polygon(ring))]
    beside = [Polygon(ring) for ring in paper.interiors if not block.intersects(Polygon(ring))]
    assert len(inside) == 4
    # measured by distance in shapely
    assert shapely.distance(shapely.union_all(inside), outline.exterior) >= 3 - 1e-6
    assert shapely.distance(shapely.union_all(inside), shapely.union_all(beside)) >= 1.2 - 1e-6


def test_borders_one_inside_the_other_share_one_member():
    window, paper = laid(
        [{"motif": "bead-and-bar", "band": 9}, {"motif": "zigzag", "band": 11}], sheet(120, 160)
    )
    assert window.bounds == pytest.approx((20, 20, 100, 140))
    assert check_strength(paper, strap=1.2, smallest=0.5).holds
    line = shapely.LineString([(0, 80), (30, 80)]).intersection(paper)
    assert max(part.length for part in shapely.get_parts(line)) < 12
    outer = [p for p in map(Polygon, paper.interiors) if p.bounds[2] <= 9]
    inner = [p for p in map(Polygon, paper.interiors) if p.bounds[0] >= 9 and p.bounds[2] <= 20]
    apart = shapely.distance(shapely.union_all(outer), shapely.union_all(inner))
    assert 1.2 <= apart <= 1.6 * 1.2 + 0.8


def test_the_feet_of_an_arch_take_blocks_and_its_head_none():
    arch = find_motif("arch").draw(width=100, height=150)
    _, paper = laid({"motif": "round-arcade", "band": 11, "corner": "rosette"}, arch)
    assert check_strength(paper, strap=1.2, smallest=0.5).holds


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"motif": "wave", "opening": "120x90 mm"}, "border.opening is 120 × 90 mm; what it lies in is 100 × 140 mm"),
        ({"motif": "wave", "opening": "100x140 mm"}, "must be larger both ways"),
        ({"motif": "wave", "bands": {"left": 50, "right": 50, "top": 9, "foot": 9}}, "they meet"),
        ({"motif": "wave", "bands": {"left": 9, "right": 9, "top": 70, "foot": 70}}, "they meet"),
        ({"motif": "wave", "opening": "98x138 mm"}, "makes bands of 1 mm"),
        ({"motif": "wave", "bands": {"left": 10, "right": 10, "top": 10, "foot": 25}}, "1.8 times the narrowest"),
        ([{"motif": "wave", "band": 20}, {"motif": "wave", "opening": "70x90 mm"}], "border.2.opening is 70 × 90 mm; what it lies in is 60 × 100 mm"),
    ],
)  # fmt: skip
def test_what_cannot_be_laid_says_the_key_and_the_sizes(table, said):
    with pytest.raises(DoesNotFit) as refused:
        laid(table, sheet(100, 140))
    assert said in refused.value.message
    assert refused.value.parameter.startswith("border")


def test_several_widths_want_an_oblong_and_blocks_a_square_corner():
    oval = find_motif("oval").draw(width=100, height=140)
    with pytest.raises(DoesNotFit, match="want an oblong piece"):
        laid({"motif": "wave", "bands": {"left": 9, "right": 9, "top": 9, "foot": 12}}, oval)
    with pytest.raises(DoesNotFit, match="stands in a square corner"):
        laid({"motif": "wave", "corner": "rosette"}, oval)
    laid({"motif": "wave", "opening": "80x120 mm"}, oval)  # alike all round, so any outline takes it


@pytest.mark.parametrize(
    ("toml", "said"),
    [
        ('motif = "wave"\ncorner = "rosett"', "Did you mean 'rosette'?"),
        ('motif = "wave"\nband = 9\nopening = "70x90 mm"', "band and opening; each says how wide it is"),
        ('motif = "wave"\nbands = {left = 9, right = 9, top = 9}', "border.bands lacks foot"),
        ('motif = "wave"\nbands = {left = 9, right = 9, top = 9, bottom = 9}', "border.bands.bottom is not known"),
        ('motif = "wave"\nbands = "9 mm"', "it takes a table of sides"),
        ('motif = "wave"\nblock = "plinth"', "a block takes a lattice, a form or an outline"),
        ('motif = "wave"\nblock = "stra-lattice"', "Did you mean 'star-lattice'?"),
        ('motif = "wave"\nblock = {motif = "star-lattice", pich = 4}', "border.block.pich is not known"),
        ('motif = "wave"\nblock = "circle"\ncorner = "rosette"', 'goes with corner = "block"'),
        ('motif = "wave"\nopening = "wide"', "border.opening is 'wide'"),
        ('motif = "wave"\ntwists = 2', "border.twists is not known"),
    ],
)  # fmt: skip
def test_a_fault_in_a_border_is_told_at_its_place(toml, said, tmp_path):
    path = tmp_path / "plate.toml"
    path.write_text(f'title = "Pond"\nsize = "100x140 mm"\n[border]\n{toml}\n', encoding="utf-8")
    with pytest.raises(BadValue) as refused:
        load_design(path)
    assert said in refused.value.message


def test_every_fault_of_a_list_of_borders_is_told_at_once(tmp_path):
    path = tmp_path / "plate.toml"
    path.write_text(
        'title = "Pond"\nsize = "100x140 mm"\n'
        '[[border]]\nmotif = "wave"\nopening = "80x90 mm"\n[[border]]\nmotif = "zigzag"\ncorner = "round"\n',
        encoding="utf-8",
    )
    with pytest.raises(CanivetError) as refused:
        load_design(path)
    assert "has 2 faults" in refused.value.message
    assert "border.1.opening is given, and another border stands inside it" in refused.value.message
    assert "border.2.corner is 'round'" in refused.value.message


def test_a_plate_with_two_borders_and_blocks_is_composed_and_holds(tmp_path):
    path = tmp_path / "plate.toml"
    path.write_text(
        'title = "Pond"\nsize = "4x6 in"\n[[border]]\nmotif = "bead-and-bar"\nband = "7 mm"\nrim = 1.6\n'
        '[[border]]\nmotif = "laurel"\nband = "11 mm"\ncorner = "rosette"\n'
        '[ground]\nmotif = "diamond-lattice"\npitch = "6 mm"\n',
        encoding="utf-8",
    )
    plate = compose_plate(load_design(path))
    assert plate.report.holds
    assert plate.parts.window.bounds == pytest.approx((18, 18, 4 * INCH - 18, 6 * INCH - 18))
