"""What stands before what: order, halo, margins; copies arranged; figures brought home; lines with roles."""

import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from canivet.compose.design.loading import PlacedSilhouette, load_design
from canivet.compose.figures.arranging import arrange, mirrored_about
from canivet.compose.figures.clearing import clear_ground
from canivet.compose.mending.areas import filled
from canivet.compose.plate import compose_plate
from canivet.errors import BadValue, CanivetError, DoesNotFit
from canivet.motifs.registry import Names

DRAWINGS = Path(__file__).parents[2] / "gallery/saltmere"
HEAD = 'title = "Trial"\nsize = "4x6 in"\n'
BORDER = '[border]\nmotif = "scallop"\nband = "10 mm"\n'
GROUND = '[ground]\nmotif = "hexagon-lattice"\npitch = "6 mm"\n'
WINDOW = box(0, 0, 100, 140)


def plate_of(folder: Path, text: str):
    for name in ("heron.svg", "kingfisher.svg", "pike.svg", "water_lily.svg"):
        shutil.copy(DRAWINGS / name, folder)
    path = folder / "trial.toml"
    path.write_text(HEAD + text)
    return compose_plate(load_design(path))


def silhouette(file: str, **keys: object) -> str:
    lines = [f"{key} = {value!r}".replace("'", '"') for key, value in keys.items()]
    return "\n".join(["[[silhouette]]", f'file = "{file}"', *lines]) + "\n"


def test_no_ground_is_nearer_to_a_figure_than_its_margin(tmp_path):
    own = silhouette("kingfisher.svg", width="60%", anchor="foot", margin="4 mm")
    plate = plate_of(tmp_path, BORDER + GROUND + own)
    assert plate.report.holds
    figure = filled(plate.parts.silhouettes[0])
    ground = plate.parts.openings.of_role("ground")
    assert len(ground) > 50
    # The ground's openings end a rim beyond the margin.
    assert shapely.distance(ground, figure).min() >= 4 + 1.2 - 1e-3
    clear = clear_ground(figure, 4, plate.parts.window)
    paper = plate.cutting.paper.intersection(clear.buffer(-0.05)).difference(figure.buffer(0.2))
    # Ties and patches that hold the figure are the only paper in the margin.
    assert paper.area < 0.1 * clear.difference(figure).area


def test_a_halo_parts_the_figure_in_front_and_holds_it_at_chosen_places(tmp_path):
    behind = silhouette("heron.svg", width="80%", anchor="foot", offset=["0 mm", "-1 mm"])
    front = silhouette("kingfisher.svg", width="45%", at=["50%", "45%"], floating="as placed")
    plain = plate_of(tmp_path, BORDER + behind + front)
    haloed = plate_of(tmp_path, BORDER + behind + front.rstrip() + '\nhalo = "1.5 mm"\n')
    assert haloed.report.holds
    figure = filled(haloed.parts.silhouettes[1])
    ring = figure.buffer(1.4).difference(figure.buffer(0.05)).intersection(haloed.parts.window)
    before, after = (plate.cutting.paper.intersection(ring).area for plate in (plain, haloed))
    assert before > 0.1 * ring.area
    assert after < 0.75 * before
    ties = shapely.get_parts(haloed.cutting.paper.intersection(ring))
    assert len(ties) >= 2


def test_what_is_in_front_is_said_by_order_or_by_the_list(tmp_path):
    one = silhouette("heron.svg", width="60%", anchor="foot", order=5)
    other = silhouette("pike.svg", width="60%", anchor="foot", order=2)
    (tmp_path / "a.toml").write_text(HEAD + one + other)
    for name in ("heron.svg", "pike.svg"):
        shutil.copy(DRAWINGS / name, tmp_path)
    assert load_design(tmp_path / "a.toml").laid_in_order == (("silhouette", 1), ("silhouette", 0))
    (tmp_path / "b.toml").write_text(HEAD + one + other.replace("order = 2", "order = 5"))
    with pytest.raises(BadValue, match="order is 5 for heron"):
        load_design(tmp_path / "b.toml")


def worded(**keys):
    more = "".join(f"{key} = {value!r}\n" for key, value in keys.items())
    return f'[[lettering]]\ntext = "Ada"\nwidth = "50 mm"\nheight = "14 mm"\nanchor = "centre"\n{more}'


def test_words_stand_in_front_unless_their_order_says_otherwise(tmp_path):
    figure = silhouette("heron.svg", width="60%", anchor="foot", order=5)
    shutil.copy(DRAWINGS / "heron.svg", tmp_path)
    for keys, laid in (({}, ["silhouette", "lettering"]), ({"order": 2}, ["lettering", "silhouette"])):
        (tmp_path / "a.toml").write_text(HEAD + figure + worded(**keys))
        assert [kind for kind, _ in load_design(tmp_path / "a.toml").laid_in_order] == laid
    (tmp_path / "b.toml").write_text(HEAD + figure + worded(order=5))
    with pytest.raises(BadValue, match=r"order is 5 for heron\.svg and 'Ada'; only one can be in front"):
        load_design(tmp_path / "b.toml")


def test_a_halo_round_words_is_white_of_its_width_but_for_two_ties(tmp_path):
    plate = plate_of(tmp_path, BORDER + GROUND + worded(halo="1.5 mm"))
    assert plate.report.holds
    panel = shapely.Polygon(plate.parts.lettering[0].paper.exterior)
    ring = panel.buffer(1.4).difference(panel.buffer(0.1))
    held = plate.cutting.paper.intersection(ring)
    assert 2 <= len(shapely.get_parts(held)) <= 4
    assert held.area < 0.12 * ring.area
    with pytest.raises(DoesNotFit, match="its halo is 15 mm"):
        plate_of(tmp_path, BORDER + GROUND + worded(halo="15 mm"))


def test_a_halo_wider_than_half_its_figure_is_refused(tmp_path):
    with pytest.raises(DoesNotFit, match="a halo is at most half as wide") as caught:
        plate_of(tmp_path, BORDER + silhouette("pike.svg", width="20 mm", anchor="foot", halo="30 mm"))
    assert caught.value.parameter == "pike.svg"


def test_what_a_figure_leaves_of_a_cell_is_at_least_two_fifths_of_it(tmp_path):
    plate = plate_of(tmp_path, BORDER + GROUND + silhouette("heron.svg", width="90%", anchor="foot"))
    laid = plate_of(tmp_path, BORDER + GROUND).parts.openings
    cells, left = laid.of_role("ground"), plate.parts.openings.of_role("ground")
    row, cell = shapely.STRtree(cells).query(left, predicate="intersects")
    share = shapely.area(left[row]) / shapely.area(cells[cell])
    assert len(left) > 100
    assert share.min() >= 0.4 - 1e-6


def test_border_and_ground_share_one_member_of_the_stated_width(tmp_path):
    for lines, width in (("", 1.6 * 1.2), ('[lines]\nrail = "3 mm"\n', 3.0)):
        plate = plate_of(tmp_path, lines + '[border]\nmotif = "dentil"\n' + GROUND)
        border, ground = (plate.parts.openings.of_role(role) for role in ("border", "ground"))
        apart = shapely.distance(shapely.union_all(border), shapely.union_all(ground))
        assert apart == pytest.approx(width, abs=0.15)


def test_a_heavier_foot_carries_more_paper_below_than_above(tmp_path):
    plate = plate_of(tmp_path, "[lines]\nfoot = 1.8\n" + BORDER)
    border = plate.parts.openings.of_role("border")
    low, high = shapely.total_bounds(border)[[1, 3]]
    assert low == pytest.approx(152.4 - high + 0.8 * 2.5, abs=0.05)
    with pytest.raises(DoesNotFit, match="stands on a level side"):
        plate_of(tmp_path, '[lines]\nfoot = 1.5\n[outline]\nmotif = "oval"\n' + BORDER)


@pytest.mark.parametrize(
    ("kind", "count"), [("ring", 6), ("row", 4), ("scatter", 7), ("along", 9), ("pair", 2)]
)
def test_copies_are_as_many_as_asked_alike_and_never_touch(kind, count):
    leaf = Point(50, 30).buffer(5)
    placed = PlacedSilhouette(file="leaf.svg", arrange=kind, count=count, spacing="2 mm")
    parts = shapely.get_parts(arrange(leaf, placed, WINDOW, apart=2.4))
    assert len(parts) == count
    assert np.allclose(shapely.area(parts), leaf.area)
    gaps = [a.distance(b) for k, a in enumerate(parts) for b in parts[:k]]
    assert min(gaps) >= 2 - 1e-6
    assert all(WINDOW.contains(part.centroid) for part in parts)


def test_the_same_seed_strews_the_same_and_another_does_not():
    leaf = Point(50, 30).buffer(5)

    def strewn(seed):
        placed = PlacedSilhouette(file="leaf.svg", arrange="scatter", count=8, seed=seed)
        return arrange(leaf, placed, WINDOW, apart=2.0)

    assert strewn(3).equals(strewn(3))
    assert not strewn(3).equals(strewn(4))


@pytest.mark.parametrize("kind", ["ring", "row", "scatter", "along"])
def test_more_copies_than_fit_are_refused_with_how_many_do(kind):
    leaf = Point(50, 30).buffer(12)
    placed = PlacedSilhouette(file="leaf.svg", arrange=kind, count=60, spacing="2 mm")
    with pytest.raises(DoesNotFit, match="there is room for") as caught:
        arrange(leaf, placed, WINDOW, apart=2.4)
    most = int(caught.value.accepted.removeprefix("at most "))
    assert 1 <= most < 60
    if most > 1:
        fewer = placed.model_copy(update={"count": most})
        assert len(shapely.get_parts(arrange(leaf, fewer, WINDOW, apart=2.4))) == most


def test_a_window_mirrors_about_one_axis_or_both():
    area = box(2, 3, 8, 9)
    for symmetry, images in (("mirror", 2), ("quarter", 4)):
        whole = mirrored_about(area, WINDOW, symmetry)
        assert len(shapely.get_parts(whole)) == images
        assert whole.equals(affinity.scale(whole, -1, 1, origin=(50, 70)))


def test_a_floating_figure_low_in_its_window_stands_on_ground_and_the_plate_needs_no_wires(tmp_path):
    low = silhouette("heron.svg", width="50%", anchor="foot", at=["50%", "15%"])
    home = plate_of(tmp_path, BORDER + low)
    wired = plate_of(tmp_path, BORDER + low.rstrip() + '\nfloating = "as placed"\n')
    assert home.report.holds
    assert any("drawn on to both sides of its window" in remark for remark in home.remarks)
    assert not home.parts.bridges
    assert wired.parts.bridges


CHOICES = st.fixed_dictionaries({
    "border": st.sampled_from(list(Names("border"))),
    "ground": st.sampled_from(["", "hexagon-lattice", "diamond-lattice", "fish-scale-lattice", "brick-lattice"]),
    "file": st.sampled_from(["heron.svg", "kingfisher.svg", "pike.svg", "water_lily.svg"]),
    "width": st.integers(30, 75),
    "white": st.sampled_from(["", 'halo = "1.5 mm"', 'margin = "2.5 mm"']),
    "arrange": st.sampled_from(["", "", 'arrange = "pair"']),
    "anchor": st.sampled_from(["foot", "centre", "left"]),
})  # fmt: skip


@given(chosen=CHOICES)
@settings(max_examples=3, deadline=None)
def test_whatever_is_composed_holds_or_is_refused_in_a_sentence(tmp_path_factory, chosen):
    ground = f'[ground]\nmotif = "{chosen["ground"]}"\n' if chosen["ground"] else ""
    figure = silhouette(chosen["file"], width=f"{chosen['width']}%", anchor=chosen["anchor"])
    text = f'[border]\nmotif = "{chosen["border"]}"\nband = "12 mm"\n{ground}{figure}{chosen["white"]}\n{chosen["arrange"]}\n'
    try:
        plate = plate_of(tmp_path_factory.mktemp("c"), text)
    except CanivetError as refusal:
        assert refusal.message.endswith(".")
        return
    assert plate.report.holds
    eroded = plate.cutting.paper.buffer(-0.59)
    assert isinstance(plate.cutting.paper, Polygon)
    assert shapely.get_num_geometries(eroded) >= 1
