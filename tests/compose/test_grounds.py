"""Where grounds end: at panels and vignettes, in lines of a stated width; and lines by their roles."""

from pathlib import Path

import pytest
import shapely
from shapely.geometry import Polygon, box

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import BadValue, DoesNotFit
from canivet.motifs.lattices._filling.phase import inner_lines
from canivet.motifs.registry import find_motif

HEAD = 'title = "Trial"\nsize = "4x6 in"\n'
BORDER = '[border]\nmotif = "dentil"\nband = "10 mm"\n'
HERON = Path(__file__).parents[2] / "gallery/saltmere/heron.svg"


def plate_of(folder: Path, text: str):
    path = folder / "trial.toml"
    path.write_text(HEAD + text)
    return compose_plate(load_design(path))


@pytest.mark.parametrize("mode", ["raised", "cut out"])
def test_cells_end_along_a_panel_as_they_do_along_the_border(tmp_path, mode):
    words = f'[[lettering]]\ntext = "Corin"\nmode = "{mode}"\nwidth = "120%"\nat = ["50%", "25%"]\n'
    plate = plate_of(
        tmp_path,
        BORDER + '[ground]\nmotif = "square-lattice"\npitch = "6 mm"\nalternate = "square"\n' + words,
    )
    panel = Polygon(plate.parts.lettering[0].paper.exterior)
    ground = plate.parts.openings.of_role("ground")
    low, high = panel.bounds[1], panel.bounds[3]
    beside = [one for one in ground if min(abs(one.bounds[1] - high), abs(one.bounds[3] - low)) < 1]
    whole = max(one.area for one in ground)
    assert len(beside) > 15
    assert min(one.area for one in beside) > 0.65 * whole  # the two fields are counted each by itself


def test_a_lattice_is_counted_so_that_it_ends_at_what_stands_in_it_too():
    field = box(0, 0, 78, 117) - box(19.5, 29.25, 58.5, 87.75)
    lines = inner_lines(field)
    assert [one.at.tolist() for one in lines] == [[0.25, 0.75], [0.25, 0.75]]
    paper = find_motif("square-lattice").draw(
        within=field.buffer(1.2, join_style="mitre"), rim=1.2, pitch=5.9, alternate="square"
    )
    areas = shapely.area([Polygon(ring) for ring in paper.interiors])
    cells = areas[areas < 100]
    assert len(cells) > 100
    assert cells.min() > 0.4 * cells.max()


def test_the_line_round_a_vignette_is_as_wide_as_the_rail(tmp_path):
    for lines, width in (("", 1.6 * 1.2), ('[lines]\nrail = "2.6 mm"\n', 2.6)):
        ground = '[ground]\nmotif = "square-lattice"\n[vignette]\nshape = "oval"\n'
        plate = plate_of(tmp_path, lines + BORDER + ground)
        (clear,) = plate.parts.openings.of_role("vignette")
        cells = shapely.union_all(plate.parts.openings.of_role("ground"))
        assert clear.distance(cells) == pytest.approx(width, abs=0.05)
        assert not any("mended" in remark for remark in plate.remarks)


def test_each_role_has_its_own_width_and_none_is_under_the_promise(tmp_path):
    ground = '[ground]\nmotif = "square-lattice"\n'
    border = BORDER.replace("dentil", "scallop")  # whose openings all lie a strap apart
    plate = plate_of(tmp_path, '[lines]\nstrap = "1.6 mm"\nfine = "1.3 mm"\n' + border + ground)
    for role, width in (("border", 1.6), ("ground", 1.3)):
        openings = plate.parts.openings.of_role(role)
        _, apart = shapely.STRtree(openings).query_nearest(openings, exclusive=True, return_distance=True)
        assert apart.min() == pytest.approx(width, abs=0.05)
    with pytest.raises(BadValue, match=r"lines.fine is 0.9 mm; the plate promises 1.2 mm"):
        plate_of(tmp_path, '[lines]\nfine = "0.9 mm"\n' + BORDER + ground)


def test_a_ground_graded_toward_no_vignette_is_refused(tmp_path):
    ground = '[ground]\nmotif = "square-lattice"\ngrade = 0.5\ntoward = "vignette"\n'
    with pytest.raises(DoesNotFit, match="the ground goes round none") as caught:
        plate_of(tmp_path, BORDER + ground)
    assert caught.value.parameter == "toward"
    plate = plate_of(tmp_path, BORDER + ground + '[vignette]\nshape = "circle"\n')
    cells = plate.parts.openings.of_role("ground")
    (clear,) = plate.parts.openings.of_role("vignette")
    near, far = (cells[shapely.distance(cells, clear) < 4], cells[shapely.distance(cells, clear) > 20])
    assert shapely.area(near).max() < shapely.area(far).max()


def test_a_lattice_without_grades_says_that_it_has_none(tmp_path):
    with pytest.raises(BadValue, match=r"asanoha-lattice has no grades.*crackle-lattice"):
        plate_of(tmp_path, BORDER + '[ground]\nmotif = "asanoha-lattice"\ngrade = 0.5\n')


def test_a_share_of_one_side_of_the_window_stays_within_the_other(tmp_path):
    (tmp_path / "heron.svg").write_bytes(HERON.read_bytes())
    plate = plate_of(
        tmp_path, BORDER + '[[silhouette]]\nfile = "heron.svg"\nheight = "95%"\nanchor = "foot"\n'
    )
    x0, _, x1, _ = plate.parts.silhouettes[0].bounds
    left, _, right, _ = plate.parts.window.bounds
    assert x1 - x0 <= right - left + 1.2  # thin ends are mended outward
    assert any("so that its width stays within it" in remark for remark in plate.remarks)
