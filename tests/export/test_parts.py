"""What is handed on: the bare piece, and its parts by role."""

import io
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image

from canivet.compose.design.loading import load_design
from canivet.compose.joining.parts import hold_together
from canivet.compose.plate import compose_plate
from canivet.compose.reading.silhouette import read_silhouette
from canivet.export.parts import parts_of, parts_of_piece
from canivet.export.paths import ACCURACY
from canivet.export.svg import piece_svg

SVG = "{http://www.w3.org/2000/svg}"
GALLERY = Path(__file__).parents[2] / "gallery"
LETTERED = """
title = "Ex libris"
size = "101.6x152.4 mm"
frame = "oval-medallion"
[[silhouette]]
motif = "leaf"
width = "40%"
height = "40%"
[[lettering]]
text = "Wren"
panel = "name"
"""


@pytest.fixture(scope="module", params=["heronry", "lettered", "rose-window"])
def plate(request, tmp_path_factory):
    if request.param == "lettered":
        path = tmp_path_factory.mktemp("design") / "lettered.toml"
        path.write_text(LETTERED, encoding="utf-8")
    else:
        path = next(GALLERY.glob(f"[fs][oa]*/{request.param}.toml"))
    return compose_plate(load_design(path))


def drawn(svg):
    picture = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, zoom=3, background="white")
    return np.array(Image.open(io.BytesIO(bytes(picture))).convert("L")).astype(int)


def test_parts_laid_over_each_other_are_the_paper(plate):
    paper = shapely.Polygon()
    for part in parts_of(plate):
        for stays, area in part.areas:
            paper = paper.union(area) if stays else paper.difference(area)
    assert paper.symmetric_difference(plate.cutting.paper).area < 0.05


def test_parts_shown_instead_of_the_paper_make_the_same_picture(plate):
    svg = piece_svg(plate.cutting, parts_of(plate))
    instead = svg.replace(' display="none"', "").replace('<g id="piece">', '<g id="piece" display="none">')
    assert instead.count("display") == 1
    wrong = np.abs(drawn(svg) - drawn(instead)) > 128
    assert wrong.mean() < 2e-4


def test_every_part_is_a_group_with_a_title_of_its_own(plate):
    root = ElementTree.fromstring(piece_svg(plate.cutting, parts_of(plate)))
    (parts,) = root.findall(f"{SVG}g[@id='parts']")
    names = [group.get("id") for group in parts.findall(f"{SVG}g")]
    assert names[0] == "outline"
    assert len(set(names)) == len(names)
    expected = {f"silhouette-{k + 1}" for k in range(len(plate.parts.silhouettes))}
    expected |= {f"lettering-{k + 1}" for k in range(len(plate.parts.lettering))}
    assert expected <= set(names)
    assert all(group.findtext(f"{SVG}title") for group in parts.findall(f"{SVG}g"))
    assert "transform" not in ElementTree.tostring(root, encoding="unicode")


def test_either_fill_rule_gives_the_same_picture(plate):
    svg = piece_svg(plate.cutting, parts_of(plate))
    assert (drawn(svg) == drawn(svg.replace('"evenodd"', '"nonzero"'))).all()


def test_what_is_handed_on_is_read_back_without_its_hidden_parts(plate, tmp_path):
    (tmp_path / "piece.svg").write_text(piece_svg(plate.cutting, parts_of(plate)), encoding="utf-8")
    read = read_silhouette(tmp_path / "piece.svg")
    assert read.warnings == ()
    paper = plate.cutting.paper
    assert read.area.geoms[0].area == pytest.approx(paper.area, abs=ACCURACY * paper.length)


def test_every_rectangle_says_its_size_in_numbers():
    for path in [*GALLERY.glob("*/heronry.svg"), *GALLERY.glob("folded/*-packet.svg")]:
        for rect in re.findall(r"<rect[^>]*>", path.read_text(encoding="utf-8")):
            assert "%" not in rect, path.name


def test_a_bridge_taken_away_leaves_what_it_spans_open():
    pair = shapely.union_all([shapely.box(0, 0, 30, 30), shapely.box(36, 0, 60, 30)]) - shapely.box(
        4, 4, 26, 26
    )
    loose = pair.union(shapely.Point(15, 15).buffer(6))
    held = hold_together(loose, strap=1.5, smallest=0.4)
    assert len(held.joined.bridges) >= 2
    parts = parts_of_piece(
        held.paper, role="openings", bridges=held.joined.bridges, unbridged=held.repair.paper
    )
    assert [part.name for part in parts] == ["outline", "openings", "bridges"]
    laid = [shapely.Polygon()]
    for part in parts:
        for stays, area in part.areas:
            laid.append(laid[-1].union(area) if stays else laid[-1].difference(area))
    assert laid[-1].symmetric_difference(held.paper).area < 0.05
    without = laid[-1 - len(parts[-1].areas)]
    assert all(without.intersection(area).area < 0.5 * area.area for _, area in parts[-1].areas)
