"""Drawings read as paper, held against an engine that had no part in the reading (resvg)."""

from __future__ import annotations

import importlib.util
import io
import re
from pathlib import Path

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image
from shapely.geometry import MultiPolygon
from svg_specimens import SPECIMENS, WARNED, XMLNS, read_area, svg

from canivet.compose.reading._svg_source import document_size, parse_svg
from canivet.compose.reading.silhouette import read_silhouette
from canivet.compose.reading.svg import read_svg
from canivet.errors import Unreadable


def darkness(source: str, width: int) -> np.ndarray:
    drawn = bytes(resvg_py.svg_to_bytes(svg_string=source, dpi=96, background="white", width=width))
    return 1 - np.asarray(Image.open(io.BytesIO(drawn)).convert("L"), float) / 255


def path_data(area: MultiPolygon) -> str:
    rings = [ring for part in area.geoms for ring in (part.exterior, *part.interiors)]
    return "".join("M" + "L".join(f"{x:.5f} {-y:.5f}" for x, y in ring.coords) + "Z" for ring in rings)


def difference_from_raster(source: bytes, width: int = 800) -> float:
    """Return the share of the paper that lies elsewhere than resvg draws it."""
    reference = darkness(source.decode(), width)
    reading = read_svg(source, name="specimen.svg")
    unit = reading.mm_per_unit[0] * 96 / 25.4
    area = shapely.transform(reading.area, lambda p: p * unit)
    root = parse_svg(source, name="specimen.svg")
    width_px, height_px = document_size(root, "specimen.svg")
    page = f'width="{width_px}" height="{height_px}" viewBox="0 0 {width_px} {height_px}"'
    copy = f'<svg {XMLNS} {page}><path fill-rule="evenodd" d="{path_data(area)}"/></svg>'
    mine = darkness(copy, width)
    assert mine.shape == reference.shape
    return float(np.abs(mine - reference).sum() / reference.sum())


INKY = {"group opacity that hides"}  # the raster is grey where the reading must decide


@pytest.mark.parametrize("name", SPECIMENS)
def test_a_specimen_is_read_as_an_independent_raster_shows_it(name):
    # Reference: resvg, which shares no code with cairo or with the reading.
    source = svg(SPECIMENS[name])
    if name in INKY:
        assert read_area(source).area == pytest.approx((8100 - 1600) * (25.4 / 100) ** 2, rel=1e-4)
        return
    # resvg measures along a curve in coarser steps, which shifts a dash by a fraction of a pixel.
    assert difference_from_raster(source) < (0.008 if "dashes" in name else 0.004)
    assert shapely.is_valid(read_area(source))


@pytest.mark.parametrize("head", [
    'width="50mm" height="30mm" viewBox="0 0 100 100"',
    'width="50mm" height="30mm" viewBox="0 0 100 100" preserveAspectRatio="xMaxYMin"',
    'width="50mm" height="30mm" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"',
    'width="50mm" height="30mm" viewBox="0 0 100 100" preserveAspectRatio="none"',
    'width="50mm" height="30mm" viewBox="-20 -10 130 130"',
    'width="3in" viewBox="0 0 100 60"',
    'height="3in" viewBox="0 0 100 60"',
    'viewBox="10 10 80 80"',
    'width="100" height="80"',
])  # fmt: skip
def test_view_boxes_and_proportions_are_read_as_an_independent_raster_shows_them(head):
    # Reference: resvg. What sticks out of the page is cut off in both.
    assert difference_from_raster(svg('<circle cx="50" cy="45" r="45"/>', head)) < 0.004


def test_letters_are_read_as_shapes_and_the_reader_is_told():
    # No engine is a reference here, since each chooses its own font: the counter of an O is what can be known.
    reading = read_svg(
        svg('<text x="10" y="80" font-size="90" font-family="sans-serif">O</text>'), name="o.svg"
    )
    if shapely.get_num_interior_rings(reading.area.geoms[0]) == 0:
        pytest.skip("no font with an O is installed")
    assert len(reading.area.geoms) == 1
    assert any("fonts of this computer" in sentence for sentence in reading.warnings)


def test_an_inch_is_96_pixels():
    # 1 in = 96 px (CSS Values and Units / SVG 2).
    area = read_area(svg('<rect width="96" height="48"/>', 'width="96" height="96"'))
    assert area.bounds == pytest.approx((0, -12.7, 25.4, 0), abs=1e-4)


@pytest.mark.parametrize(
    ("unit", "mm"), [("mm", 1), ("cm", 10), ("in", 25.4), ("pt", 25.4 / 72), ("pc", 25.4 / 6)]
)
def test_physical_units_give_the_natural_size(tmp_path, unit, mm):
    # CSS Values and Units: 1 in = 2.54 cm = 72 pt = 6 pc.
    path = tmp_path / "square.svg"
    path.write_bytes(
        svg('<rect width="10" height="10"/>', f'width="20{unit}" height="20{unit}" viewBox="0 0 10 10"')
    )
    assert read_silhouette(path).area.bounds == pytest.approx((0, 0, 20 * mm, 20 * mm), abs=0.0011)


def test_y_points_up():
    area = read_area(svg('<rect width="9" height="9"/><rect width="90" height="9" y="90"/>'))
    low = min(area.geoms, key=lambda part: part.bounds[1])
    assert low.bounds[2] - low.bounds[0] > 20


# Font Awesome Free icons, CC BY 4.0, as shipped by the package fontawesomefree.


def icon_files() -> list[Path]:
    spec = importlib.util.find_spec("fontawesomefree")
    assert spec is not None
    assert spec.origin is not None
    folder = Path(spec.origin).parent / "static/fontawesomefree/svgs"
    return sorted(folder.glob("*/*.svg"))


def icon_error(path: Path) -> float:
    """Return how far the area read is from the share of ink in a raster by resvg of 512 px or more."""
    text = path.read_text()
    reference = darkness(text, 512)
    box = [float(n) for n in re.search(r'viewBox="([^"]+)"', text)[1].split()]
    mm2 = reference.mean() * box[2] * box[3] * (25.4 / 96) ** 2
    return abs(read_silhouette(path).area.area / mm2 - 1)


def test_icons_are_read_within_half_a_percent_of_an_independent_raster():
    # Reference: resvg. One in twenty of the solid, regular and brand icons, and one whose parts only just touch.
    files = icon_files()
    chosen = files[::20] + [path for path in files if path.stem == "users-rectangle"]
    errors = {path: icon_error(path) for path in chosen}
    assert len(errors) > 100
    assert {path.name: error for path, error in errors.items() if error > 0.005} == {}


def test_the_edge_lies_within_the_stated_bound_of_the_curve(tmp_path):
    # Derived: every point of the edge of a disc is one radius from its centre. Bound: 0.005 mm and 6e-6 of the page.
    path = tmp_path / "disc.svg"
    path.write_bytes(svg('<circle cx="50" cy="50" r="40"/>'))
    area = read_silhouette(path, width=150).area
    vertices = shapely.get_coordinates(area)
    middles = (vertices[1:] + vertices[:-1]) / 2
    distances = np.hypot(*(np.vstack([vertices, middles]) - 75).T)
    assert np.abs(distances - 75).max() < 0.005 + 6e-6 * 150 / 0.8 + 0.001
    assert len(vertices) < 600


@pytest.mark.parametrize(("size", "expected"), [
    ({"width": 50.0}, (50, 25)), ({"height": 50.0}, (100, 50)),
    ({"width": 50.0, "height": 50.0}, (50, 25)), ({"width": 500.0, "height": 10.0}, (20, 10)),
])  # fmt: skip
def test_the_shape_is_given_the_size_asked_without_its_margins(tmp_path, size, expected):
    path = tmp_path / "slab.svg"
    path.write_bytes(svg('<rect x="30" y="20" width="20" height="10"/>'))
    shape = read_silhouette(path, **size)
    assert shape.area.bounds == (0, 0, *expected)
    assert shape.name == "slab"


def test_points_are_snapped_to_a_micrometre(tmp_path):
    path = tmp_path / "disc.svg"
    path.write_bytes(svg('<circle cx="50" cy="50" r="40"/>'))
    micrometres = shapely.get_coordinates(read_silhouette(path, width=33.33).area) * 1000
    assert np.abs(micrometres - np.round(micrometres)).max() < 1e-6


@pytest.mark.parametrize("name", WARNED)
def test_what_is_not_seen_faithfully_is_said_and_the_rest_is_read(name):
    body, words = WARNED[name]
    reading = read_svg(svg(body), name="specimen.svg")
    assert any(words in sentence for sentence in reading.warnings), reading.warnings
    assert reading.area.area * reading.mm_per_unit[0] ** 2 == pytest.approx(12.7**2, rel=1e-3)


def test_a_plain_black_drawing_raises_no_warning():
    assert read_svg(svg('<path d="M0 0H50V50z"/>'), name="a.svg").warnings == ()


@pytest.mark.parametrize(("paint", "stays"), [
    ("#111", True), ("#eee", False), ("hsl(0, 0%, 10%)", True), ("rgb(0 0 0 / 90%)", True), ("rgb(0 0 0)", True),
    ("#000000ff", True), ("#00000000", False), ("transparent", False), ("rgba(0,0,0,0.1)", False),
    ("WHITE", False), ("rgb(100%, 100%, 100%)", False), ("url(#nowhere) black", True), ("url(#nowhere)", False),
])  # fmt: skip
def test_a_colour_is_paper_when_dark_and_opaque(paint, stays):
    body = f'<rect width="9" height="9"/><rect x="20" width="9" height="9" fill="{paint}"/>'
    assert len(read_area(svg(body)).geoms) == 1 + stays


def test_the_threshold_moves_between_dark_and_light():
    grey = svg('<rect width="50" height="50" fill="#555"/>')  # 0x55 / 0xff = 1/3
    assert read_svg(grey, name="a.svg", threshold=0.4).area.area > 0
    with pytest.raises(Unreadable, match="nothing dark"):
        read_svg(grey, name="a.svg", threshold=0.3)
