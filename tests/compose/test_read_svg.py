"""Drawings read as paper, held against an engine that had no part in the reading (resvg)."""

from __future__ import annotations

import importlib.util
import io
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import resvg_py
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely.geometry import MultiPolygon, Polygon

from canivet.compose.flatten import Subpath, cut_dashes, fill_rings, lay_paint, widen
from canivet.compose.read_svg import read_paper_path, read_svg
from canivet.compose.silhouette import read_silhouette
from canivet.compose.svg_source import document_size, parse_svg
from canivet.errors import BadValue, CanivetError, MissingLibrary, Unreadable

XMLNS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def svg(body: str, head: str = 'width="96" height="96" viewBox="0 0 100 100"') -> bytes:
    return f"<svg {XMLNS} {head}>{body}</svg>".encode()


def read_area(source: bytes) -> MultiPolygon:
    """Return the paper in mm, y up, on the page."""
    reading = read_svg(source, name="specimen.svg")
    return shapely.transform(reading.area, lambda p: p * reading.mm_per_unit)


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


SPECIMENS = {
    "evenodd": '<path fill-rule="evenodd" d="M5 5H95V95H5zM20 20H80V80H20zM35 35H65V65H35z"/>',
    "nonzero with a ring turned back": '<path d="M5 5H95V95H5zM20 20V80H80V20z"/>',
    "star crossing itself, nonzero": '<path d="M50 5 L78 92 L4 38 H96 L22 92z"/>',
    "star crossing itself, evenodd": '<path fill-rule="evenodd" d="M50 5 L78 92 L4 38 H96 L22 92z"/>',
    "light over dark": '<circle cx="50" cy="50" r="45"/><circle cx="40" cy="45" r="20" fill="white"/>'
    '<circle cx="35" cy="45" r="8"/>',
    "stroke, mitre": '<path d="M15 80 L50 20 L85 80" fill="none" stroke="black" stroke-width="12"/>',
    "stroke, mitre past its limit": '<path d="M15 30 H85 L15 45" fill="none" stroke="black" stroke-width="9"/>',
    "stroke, closed": '<rect x="20" y="20" width="60" height="50" fill="none" stroke="black" stroke-width="9"/>',
    "stroke, round": '<path d="M20 80 L50 20 L80 80" fill="none" stroke="#000" stroke-width="14" '
    'stroke-linecap="round" stroke-linejoin="round"/>',
    "stroke, square and bevel": '<path d="M20 80 L50 20 L80 80" fill="none" stroke="#000" stroke-width="14" '
    'stroke-linecap="square" stroke-linejoin="bevel"/>',
    "stroke of a curve": '<path d="M10 60 C30 -20 70 140 90 40" fill="none" stroke="black" stroke-width="7"/>',
    "corner reset inside a group": '<g stroke-linejoin="round" stroke="black" stroke-width="16" fill="none">'
    '<path stroke-linejoin="miter" d="M15 80 L50 20 L85 80"/></g>',
    "stroke squeezed by a transform": '<path transform="translate(10 40) scale(.8 .2) rotate(20)" '
    'd="M10 20 H80 V90" fill="none" stroke="black" stroke-width="20"/>',
    "dashes": '<circle cx="50" cy="50" r="38" fill="none" stroke="black" stroke-width="9" '
    'stroke-dasharray="12 5" stroke-dashoffset="4"/>',
    "odd dashes": '<path d="M5 30H95M5 60H95" stroke="black" stroke-width="9" stroke-dasharray="9 4 3"/>',
    "dashes of no length": '<path d="M10 20H90M10 50L85 88" stroke="black" stroke-width="9" stroke-linecap="round" '
    'stroke-dasharray="0 13"/>',
    "dots": '<path d="M30 50h0M70 50h0" stroke="black" stroke-width="30" stroke-linecap="round"/>',
    "clip path": '<clipPath id="c"><circle cx="40" cy="50" r="30"/></clipPath>'
    '<rect width="100" height="60" clip-path="url(#c)"/>',
    "clip path of shapes turned against each other": '<clipPath id="c"><path d="M10 10H60V60H10z"/>'
    '<path d="M40 40V90H90V40z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    "clip path by evenodd": '<clipPath id="c"><path clip-rule="evenodd" d="M10 10H90V90H10zM30 30H70V70H30z"/>'
    '</clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    "clip path inside clip path": '<clipPath id="a"><circle cx="40" cy="50" r="35"/></clipPath><clipPath id="b">'
    '<circle cx="60" cy="50" r="35"/></clipPath><g clip-path="url(#a)"><rect width="100" height="100" '
    'clip-path="url(#b)"/></g>',
    "nested use": '<defs><rect id="r" width="9" height="20"/><g id="row"><use href="#r"/><use href="#r" x="15"/>'
    '</g></defs><use href="#row" x="8" y="8"/><use xlink:href="#row" transform="translate(50 60) rotate(20)"/>',
    "symbol": '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol>'
    '<use href="#s" x="10" y="20" width="60" height="40"/>',
    "transforms": '<g transform="translate(50 50)"><g transform="rotate(30) skewX(20)"><path '
    'transform="matrix(1 .2 -.3 .8 2 3)" d="M-25 -25H25V25H-25z"/></g></g>',
    "CSS class": "<style>.paper{fill:black}.hole{fill:#fff} #big .quiet{display:none}</style><g id='big'>"
    "<rect class='paper' x='10' y='10' width='80' height='80'/><rect class='hole' x='30' y='30' width='20' "
    "height='40'/><rect class='quiet' width='100' height='9'/></g>",
    "style attribute": '<rect x="10" y="10" width="80" height="80" fill="white" style="fill:rgb(0, 0, 0)"/>',
    "inherited currentColor": '<g color="white"><rect color="black" fill="currentColor" width="70" height="60"/></g>',
    "arcs": '<path d="M20 50 a30 20 25 1 0 60 0 a30 20 25 0 1 -60 0z M45 12 A 9 9 0 1 1 45.1 12z"/>',
    "smooth curves": '<path d="M10 50 C20 10 40 10 50 50 S80 90 90 50 Q80 95 50 90 T10 50z"/>',
    "polygon and ellipse": '<polygon points="5,5 95,20 60,90"/><ellipse cx="20" cy="70" rx="14" ry="22"/>',
    "rounded rectangle": '<rect x="10" y="20" width="80" height="50" rx="12"/>',
    "group opacity that hides": '<rect width="90" height="90"/><g opacity=".8"><rect x="20" y="20" width="40" '
    'height="40" fill="white"/></g>',
    "nested svg": '<svg x="20" y="10" width="60" height="80" viewBox="0 0 10 10" '
    'preserveAspectRatio="xMinYMax slice"><circle cx="5" cy="5" r="6"/></svg>',
    "marker": '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2"><rect width="4" height="4"/>'
    '</marker><path d="M20 50H80" stroke="black" stroke-width="6" marker-end="url(#m)" marker-start="url(#m)"/>',
    "hidden parts": '<rect width="50" height="50"/><g display="none"><rect width="99" height="99"/></g>'
    '<rect y="50" width="99" height="30" visibility="hidden"/>',
}  # fmt: skip

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


# What is not seen faithfully is said.

WARNED = {
    "mask": ('<mask id="m"><rect width="9" height="9" fill="white"/></mask><rect width="50" height="50" '
             'mask="url(#m)"/>', "A mask is not seen"),
    "filter": ('<filter id="f"><feOffset dx="40" dy="40"/></filter><rect width="50" height="50" '
               'filter="url(#f)"/>', "A filter (blur, shadow) is not seen"),
    "pattern": ('<pattern id="p" width="4" height="4"><rect width="2" height="2"/></pattern><rect width="50" '
                'height="50" fill="url(#p)"/>', "A pattern fill is not seen"),
    "gradient": ('<linearGradient id="g"><stop offset="0" stop-color="black"/><stop offset="1" '
                 'stop-color="#444"/></linearGradient><rect width="50" height="50" fill="url(#g)"/>',
                 "A gradient is read as one even tone"),
    "image": ('<rect width="50" height="50"/><image href="http://example.invalid/a.png" width="9" height="9"/>',
              "A picture placed inside the drawing is left out"),
    "foreignObject": ('<rect width="50" height="50"/><foreignObject width="99" height="99"><svg width="99" '
                      'height="99"><rect width="99" height="99"/></svg></foreignObject>', "Foreign content"),
    "switch": ('<switch><rect width="50" height="50"/></switch>', "A switch is read by its first branch"),
    "colour": ('<rect width="50" height="50" fill="brown"/>', "Greys and colours are read as dark or light"),
    "unknown colour": ('<rect width="50" height="50" fill="var(--ink)"/>', "'var(--ink)' is not understood"),
    "faint paint": ('<rect width="50" height="50"/><rect width="99" height="99" opacity=".2"/>',
                    "Paint too faint to hide what lies under it is left out"),
    "blend": ('<rect width="50" height="50" style="mix-blend-mode:screen"/>', "A blend mode is not seen"),
    "unscaled stroke": ('<rect width="50" height="50" vector-effect="non-scaling-stroke"/>',
                        "A stroke that keeps its width"),
    "turns": ('<rect width="50" height="50" style="transform:rotate(1turn)"/>', "is not understood in full"),
}  # fmt: skip


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


# What is refused, each in its own words.


def chained_uses(doublings: int) -> str:
    made = '<path id="u0" d="M0 0H9V9z"/>'
    for n in range(doublings):
        made += f'<g id="u{n + 1}"><use href="#u{n}"/><use href="#u{n}"/></g>'
    return f'<defs>{made}</defs><use href="#u{doublings}"/>'


BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True))
    + f"]><svg {XMLNS}><text>&i;</text></svg>"
).encode()
OUTSIDE = (
    f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg {XMLNS}><text>&x;</text></svg>'.encode()
)

REFUSED = {
    "not XML": (b"<svg", "is not well-formed XML"),
    "broken half way": (b"<svg><g></svg>", "is not well-formed XML: mismatched tag at line 1"),
    "wrong root": (b"<html><body/></html>", "its root element is <html> where SVG's own <svg> is expected"),
    "foreign root": (b'<svg xmlns="urn:other"/>', "root element is <svg> in the namespace 'urn:other'"),
    "invalid UTF-8": (b'<svg width="9" height="9"><title>\xff\xfe</title></svg>', "is not well-formed XML"),
    "unknown encoding": (b'<?xml version="1.0" encoding="klingon"?><svg/>', "unknown encoding|not read"),
    "entity bomb": (BOMB, "declares XML entities"),
    "outside entity": (OUTSIDE, "declares XML entities"),
    "nested without end": (b"<svg>" + b"<g>" * 100_000 + b"</g>" * 100_000 + b"</svg>", "more than 100 deep"),
    "too many elements": (b"<svg>" + b"<g/>" * 100_001 + b"</svg>", "more than 100000 elements"),
    "ten million copies": (svg(chained_uses(24)), "would draw 67108863 elements; at most 10000"),
    "copies past counting": (svg(chained_uses(90)), r"would draw more than 10\^9 elements"),
    "itself within itself": (svg('<g id="a"><rect width="9" height="9"/><use href="#a"/></g>'), "refers to itself"),
    "a chain of copies": (
        svg("<defs>" + "".join(f'<use id="c{n}" href="#c{n + 1}"/>' for n in range(400)) + "</defs>"
            '<use href="#c0"/>'), "refers to itself: .* nested more than 200 deep"),
    "another file": (svg('<use href="other.svg#a"/>'), "refers to another file, 'other.svg#a'"),
    "a file on the net": (svg('<use xlink:href="http://example.invalid/a.svg#b"/>'), "refers to another file"),
    "imported style": (svg('<style>@import url("http://example.invalid/a.css");</style><rect width="9" height="9"/>'),
                       "imports a style sheet from another file"),
    "width of zero": (svg('<rect width="9" height="9"/>', 'width="0" height="10"'), "states no size .*width is 0"),
    "viewBox of zero": (svg('<rect width="9" height="9"/>', 'viewBox="0 0 0 0"'), "states no size"),
    "no size at all": (svg('<rect width="9" height="9"/>', ""), "Give it a width and a height, or a viewBox"),
    "negative size": (svg('<rect width="9" height="9"/>', 'width="-5" height="5"'), "states no size"),
    "infinite size": (svg('<rect width="9" height="9"/>', 'width="1e999" height="5"'), "states no size"),
    "nothing drawn": (svg(""), "draws nothing"),
    "all unfilled": (svg('<rect width="9" height="9" fill="none"/>'), "draws nothing"),
    "nothing dark": (svg('<rect width="9" height="9" fill="#fff"/>'), "holds nothing dark"),
    "dark and covered": (svg('<rect width="9" height="9"/><rect width="99" height="99" fill="white"/>'),
                         "holds nothing dark"),
    "a huge number": (svg('<path d="M0 0H1e30V9z"/>'), "far outside the page"),
    "an infinite number": (svg('<path d="M0 0L1e999 9L9 9z"/>'), "far outside the page"),
    "no number": (svg('<polygon points="0,0 nan,9 9,9"/>'), "far outside the page"),
    "a number that is none": (svg('<rect width="9" height="9" transform="rotate(x y z w)" stroke-miterlimit="q"/>'),
                              "cannot be drawn"),
    "endless dashes": (svg('<path d="M0 5H99" stroke="black" stroke-dasharray="1e-7"/>'), "dashes are too many"),
    "a stroke without end": (svg('<path d="M0 5H99" stroke="black" stroke-width="1e12"/>'), "far wider than the page"),
    "a knot": (svg('<path d="M0 0' + "".join(f"L{n * 37 % 101} {n * 53 % 97}" for n in range(6000)) + 'z"/>'),
               "its lines cross each other too often"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_drawing_that_cannot_be_read_is_refused_in_its_own_words(name):
    source, words = REFUSED[name]
    with pytest.raises(Unreadable, match=words) as caught:
        read_svg(source, name="picture.svg")
    assert caught.value.message.startswith("picture.svg ")
    assert caught.value.parameter == "picture.svg"
    assert len(caught.value.message) < 400


def test_the_number_of_shapes_drawn_is_bounded_on_both_sides():
    squares = "".join(f'<use href="#s" x="{n % 100}" y="{n // 100}"/>' for n in range(500))
    body = f'<defs><path id="s" d="M0 0H.5V.5z"/></defs>{squares}'
    assert len(read_area(svg(body)).geoms) == 500
    with pytest.raises(Unreadable, match="would draw"):
        read_svg(svg(body.replace("</defs>", "</defs>" + "<g/>" * 10_000)), name="picture.svg")


@pytest.mark.parametrize("body", [
    '<text y="50">' + "x" * 300 + "</text>",
    '<marker id="m" viewBox="0 0 1 1">' + "<rect width='1' height='1'/>" * 30 + "</marker>"
    '<path d="M0 0' + "l4 4l4 -4" * 10 + '" marker-mid="url(#m)"/>',
    '<path d="M0 5H95" stroke="black" stroke-dasharray=".1"/>',
], ids=["letters", "markers", "dashes"])  # fmt: skip
def test_what_multiplies_while_it_is_drawn_is_counted_as_it_is(monkeypatch, body):
    assert read_svg(svg(body), name="picture.svg").area.area > 0
    monkeypatch.setattr("canivet.compose.recorder.MOST_DRAWN", 250)
    with pytest.raises(Unreadable, match="too intricate: it draws more than 250 shapes"):
        read_svg(svg(body), name="picture.svg")


def test_a_hundred_nested_elements_are_read():
    assert read_area(svg("<g>" * 98 + '<path d="M0 0H9V9z"/>' + "</g>" * 98)).area > 0


def test_ordinary_document_types_are_no_obstacle():
    doctype = (
        b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/svg11.dtd">'
    )
    assert read_area(doctype + svg('<rect width="50" height="50"/>')).area == pytest.approx(12.7**2, rel=1e-3)


def test_long_runs_of_points_are_read_as_short_ones_are():
    angles = np.linspace(0, 2 * np.pi, 30_000, endpoint=False)
    points = " ".join(f"{50 + 40 * np.cos(a):.4f},{50 + 40 * np.sin(a):.4f}" for a in angles)
    disc = np.pi * 40**2 * 0.254**2
    assert read_area(svg(f'<polygon points="{points}"/>')).area == pytest.approx(disc, rel=1e-4)
    assert read_area(svg(f'<path d="M{points}z"/>')).area == pytest.approx(disc, rel=1e-4)


def test_a_number_after_a_closed_path_ends_it():
    # SVG 2, 9.5.4: path data is drawn up to its first error.
    assert read_area(svg('<path d="M0 0H50V50H0z 4 M60 60H90V90z"/>')).area == pytest.approx(
        12.7**2, rel=1e-3
    )


# Files.


@pytest.mark.parametrize(("name", "content", "words"), [
    ("a.svg", b"", "a.svg is empty"),
    ("a.svg", b"\x1f\x8b\x08rest", r"compressed \(gzip, as .svgz is\); unpack it"),
    ("a.pdf", b"%PDF-1.7", "a PDF; open it in a drawing program and export it as SVG"),
    ("a.eps", b"%!PS-Adobe", "PostScript"),
    ("a.gif", b"GIF89a", "a GIF; save it as PNG"),
    ("a.zip", b"PK\x03\x04", "a ZIP archive"),
    ("a.txt", b"hello", "neither a drawing nor a picture that is known. Give an SVG drawing, or a PNG"),
    ("a.svg", b"hello", "is not well-formed XML"),
])  # fmt: skip
def test_a_file_of_another_kind_is_named_for_what_it_is(tmp_path, name, content, words):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(Unreadable, match=words):
        read_silhouette(tmp_path / name)


def test_content_counts_and_not_the_suffix(tmp_path):
    path = tmp_path / "drawing.png"
    path.write_bytes(b"\xef\xbb\xbf  " + svg('<rect width="50" height="50"/>'))
    assert read_silhouette(path).area.area == pytest.approx(12.7**2, rel=1e-3)


def test_a_drawing_in_utf16_is_read(tmp_path):
    path = tmp_path / "wide.svg"
    path.write_bytes(svg('<rect width="50" height="50"/>').decode().encode("utf-16"))
    assert read_silhouette(path).area.area == pytest.approx(12.7**2, rel=1e-3)


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path):
    with pytest.raises(Unreadable, match=r"none.svg is not there. Check the name and the folder"):
        read_silhouette(tmp_path / "none.svg")
    with pytest.raises(Unreadable, match=r"is a folder. Give a file"):
        read_silhouette(tmp_path)
    with pytest.raises(Unreadable, match="cannot be opened"):
        read_silhouette(tmp_path / "null\0byte.svg")


def test_a_file_that_may_not_be_read_is_named(tmp_path, monkeypatch):
    def forbid(*_args: object, **_kwargs: object) -> None:
        raise PermissionError("no")

    (tmp_path / "closed.svg").write_bytes(svg(""))
    monkeypatch.setattr(Path, "open", forbid)  # the one who runs the tests may be allowed to read everything
    with pytest.raises(Unreadable, match=r"closed.svg may not be read. Change its permissions"):
        read_silhouette(tmp_path / "closed.svg")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.svg")
    with pytest.raises(Unreadable, match="is not an ordinary file"):
        read_silhouette(tmp_path / "pipe.svg")


def test_a_drawing_past_twenty_megabytes_is_refused(tmp_path):
    path = tmp_path / "vast.svg"
    path.write_bytes(svg('<rect width="9" height="9"/>').ljust(20_000_001))
    with pytest.raises(Unreadable, match="is larger than 20 MB"):
        read_silhouette(path)
    path.write_bytes(svg('<rect width="9" height="9"/>').ljust(20_000_000))
    assert read_silhouette(path).area.area > 0


@pytest.mark.parametrize(("numbers", "words"), [
    ({"width": 0.0}, "width is 0.0 mm; a silhouette's size is above zero"),
    ({"height": -1.0}, "height is -1.0 mm"),
    ({"width": float("nan")}, "width is nan"),
    ({"width": 10_001.0}, "at most 10000 mm"),
    ({"smooth": -0.1}, "smooth is -0.1 mm; it takes 0 mm to 10 mm"),
    ({"threshold": 1.1}, "threshold is 1.1; it takes 0 to 1"),
])  # fmt: skip
def test_a_number_out_of_range_is_named(tmp_path, numbers, words):
    with pytest.raises(BadValue, match=words):
        read_silhouette(tmp_path / "any.svg", **numbers)


def test_a_shape_too_small_or_too_large_to_cut_is_refused(tmp_path):
    path = tmp_path / "a.svg"
    path.write_bytes(svg('<rect width="1" height="1"/>'))
    with pytest.raises(Unreadable, match=r"too small to cut. Give a larger width"):
        read_silhouette(path, width=0.01)
    path.write_bytes(svg('<rect width="90" height=".0099"/>'))
    with pytest.raises(Unreadable, match=r"past ten metres. Give a smaller width"):
        read_silhouette(path, height=9000)


# Without libcairo.


def test_a_missing_libcairo_is_said_in_one_sentence_with_what_to_install(monkeypatch):
    class NoCairo:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "cairocffi":
                raise OSError('no library called "cairo-2" was found')

    for name in [
        n
        for n in sys.modules
        if n.startswith(("cairo", "canivet.compose.recorder", "canivet.compose.svg_surface"))
    ]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoCairo(), *sys.meta_path])
    with pytest.raises(MissingLibrary, match="apt-get install libcairo2") as caught:
        read_svg(svg('<rect width="9" height="9"/>'), name="a.svg")
    assert "Writing SVG works without it" in caught.value.message


def test_reading_back_our_own_drawing_loads_no_cairo(tmp_path):
    path = tmp_path / "own.svg"
    path.write_bytes(paper("M0 0 H30 V20 H0 Z"))
    code = (
        "import sys, canivet.compose.silhouette as s\n"
        f"assert s.read_silhouette({str(path)!r}).area.area == 600\n"
        "assert not [n for n in sys.modules if n.startswith('cairo')]"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# Our own drawings.


def paper(
    data: str, *, box: str = "0 0 30 20", size: str = 'width="30mm" height="20mm"', more: str = ""
) -> bytes:
    return f'<svg {XMLNS} {size} viewBox="{box}"><path id="paper" fill-rule="evenodd" d="{data}" {more}/></svg>'.encode()


def test_our_own_path_is_read_back_exactly():
    found = read_paper_path(paper("M1 1L29,1 29 19 1 19Z M 5.125 5 V 15 H 25 V 5 Z"))
    assert isinstance(found, Polygon)
    assert shapely.equals(
        found, Polygon(shapely.box(1, 1, 29, 19).exterior, [shapely.box(5.125, 5, 25, 15).exterior])
    )
    assert found.interiors[0].bounds == (5.125, 5, 25, 15)


def test_our_own_path_in_parts_is_a_multipolygon_with_y_up():
    found = read_paper_path(paper("M0 0H9V5H0Z M20 10H30V20H20Z"))
    assert isinstance(found, MultiPolygon)
    assert sorted(part.bounds for part in found.geoms) == [(0, 15, 9, 20), (20, 0, 30, 10)]


@pytest.mark.parametrize("source", [
    paper("M0 0h9v5z"), paper("M0 0C1 1 2 2 3 3Z"), paper("M0 0H9V5H0Z", more='transform="scale(2)"'),
    paper("M0 0H9V5H0Z", more='style="transform: scale(2)"'), paper("M0 0H9V5H0Z", size='width="30" height="20"'),
    paper("M0 0H9V5H0Z", size='width="60mm" height="40mm"'), paper("M0 0H9V5H0Z", box="0 0 x y"), paper(""),
    paper("H9V5H0Z"), paper("M0 0 L1 2 3Z"), paper("M0 0H1e999V5Z"), paper("M0 0H9V5Z 4"), paper("M0 0 H Z"),
    paper("M0 0H9V5H0Z").replace(b'id="paper"', b'id="other"'),
    paper("M0 0H9V5H0Z").replace(b"evenodd", b"nonzero"),
    paper("M0 0H9V5H0Z").replace(b"<path", b'<g transform="rotate(9)"><path').replace(b"/></svg>", b"/></g></svg>"),
])  # fmt: skip
def test_any_other_drawing_is_left_to_the_general_reader(source):
    assert read_paper_path(source) is None


@pytest.mark.parametrize(("more", "said"), [
    ('<rect id="sheet" width="9" height="9"/>', 0), ('<g id="marks"><path d="M0 0H9"/></g>', 0),
    ("<title>A</title>", 0), ('<rect width="9" height="9" fill="white"/>', 1), ("<g><circle r='3'/></g>", 1),
])  # fmt: skip
def test_shapes_added_to_our_own_drawing_are_said_to_be_left_out(tmp_path, more, said):
    path = tmp_path / "own.svg"
    path.write_bytes(paper("M0 0H30V20H0Z").replace(b"</svg>", f"{more}</svg>".encode()))
    shape = read_silhouette(path)
    assert shape.area.area == 600
    assert len(shape.warnings) == said
    assert all("Only the path with the id paper is read" in sentence for sentence in shape.warnings)


def test_both_readers_agree_on_our_own_drawing(tmp_path):
    source = paper("M1 1H29V19H1Z M5 5V15H25V5Z")
    exact = read_paper_path(source)
    drawn = shapely.transform(read_area(source), lambda p: np.add(p, (0, 20)))
    assert shapely.hausdorff_distance(exact, drawn) < 2e-5
    (tmp_path / "own.svg").write_bytes(source)
    assert read_silhouette(tmp_path / "own.svg").area.bounds == (0, 0, 28, 18)


@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 200)), min_size=3, max_size=12, unique=True))
@settings(max_examples=60, deadline=None)
def test_both_readers_agree_on_any_ring_however_crossed(points):
    source = paper("M" + "L".join(f"{x / 10} {y / 10}" for x, y in points) + "Z")
    exact = read_paper_path(source)
    if exact is None:
        assert (
            abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1], strict=True)))
            < 1
        )
        return
    drawn = shapely.transform(read_area(source), lambda p: np.add(p, (0, 20)))
    assert shapely.symmetric_difference(exact, drawn, grid_size=1e-6).area < 0.01
    assert exact.is_valid


# The plane geometry beneath.

ring_points = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=8)


@given(st.lists(ring_points, min_size=1, max_size=4), st.sampled_from(["nonzero", "evenodd"]))
@settings(max_examples=60, deadline=None)
def test_a_fill_rule_holds_at_every_point(rings, rule):
    # Derived: the winding number of a ring about a point is the sum of the angles its edges subtend, over 360°.
    arrays = [np.array(ring, float) for ring in rings]
    region = fill_rings(arrays, rule, grid=1e-6)
    assert region.is_valid
    probes = np.random.default_rng(0).uniform(0, 12, (40, 2))
    winding = np.zeros(len(probes))
    for ring in arrays:
        spokes = ring[None] - probes[:, None]
        angles = np.arctan2(spokes[..., 1], spokes[..., 0])
        turns = (np.roll(angles, -1, axis=1) - angles + np.pi) % (2 * np.pi) - np.pi
        winding += turns.sum(axis=1) / (2 * np.pi)
    expected = np.round(winding) != 0 if rule == "nonzero" else np.round(winding) % 2 == 1
    clear = shapely.distance(shapely.points(probes), shapely.union_all(shapely.linestrings(
        [pair for ring in arrays for pair in np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)]))) > 1e-3  # fmt: skip
    assert (shapely.contains_xy(region, *probes.T) == expected)[clear].all()


@given(st.lists(st.tuples(st.booleans(), st.integers(0, 9), st.integers(0, 9)), max_size=12))
@settings(max_examples=60, deadline=None)
def test_paint_laid_in_pairs_is_paint_laid_in_order(coats):
    regions = [(dark, shapely.box(x, y, x + 4, y + 3)) for dark, x, y in coats]
    slow = MultiPolygon()
    for dark, region in regions:
        slow = shapely.union(slow, region) if dark else shapely.difference(slow, region)
    assert lay_paint(regions, grid=1e-6).symmetric_difference(slow).area < 1e-6


def test_dashes_leave_the_share_of_the_line_that_is_on():
    circle = np.column_stack([f(np.linspace(0, 2 * np.pi, 200)[:-1]) for f in (np.cos, np.sin)])
    pieces = cut_dashes(Subpath(circle, closed=True), [0.03, 0.01], 0.0)
    length = sum(shapely.linestrings(piece.points).length for piece in pieces)
    assert length / shapely.linearrings(circle).length == pytest.approx(0.75, abs=0.005)


@pytest.mark.parametrize(("dashes", "offset", "count"), [([5, 3], 2, 5), ([100, 1], 0, 1), ([5, 3], 6, 5)])
def test_a_dash_that_runs_through_the_start_of_a_ring_is_one(dashes, offset, count):
    # Derived: a ring of 40 holds five periods of 8, so however they are shifted there are five dashes and no seam.
    square = Subpath(np.array([[0, 0], [10, 0], [10, 10], [0, 10]], float), closed=True)
    pieces = cut_dashes(square, dashes, offset)
    assert len(pieces) == count
    assert len(shapely.get_parts(shapely.union_all(widen(pieces, width=1, tolerance=0.01)))) == count
    if count > 1:
        assert [shapely.linestrings(p.points).length for p in pieces] == pytest.approx([5] * 5)


@pytest.mark.parametrize(("limit", "extra"), [(4.0, 0.5), (1.0, 0.0)])
def test_a_square_corner_is_mitred_within_the_limit_and_bevelled_past_it(limit, extra):
    # Derived: a right angle has a mitre of √2 widths; its mitre adds a triangle of a half unit to the bevel's.
    corner = Subpath(np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]), closed=False)
    bands = widen([corner], width=2, mitre_limit=limit, tolerance=0.01)
    assert shapely.union_all(bands).area == pytest.approx(39.5 + extra, abs=0.03)


# No garbage brings anything but a sentence.

SEEDS = [svg(body) for body in (*SPECIMENS.values(), *(pair[0] for pair in WARNED.values()))] + [
    paper("M0 0H9V5Z")
]
SPARKS = [
    b"-", b"NaN", b"1e9", b"1e400", b"0", b"<", b">", b'"', b"url(#c)", b"#a", b"%", b"z", b"use", b"&x;", b"\0",
    b"\xff", b"none", b"rgb(", b"clip-path", b"mask", b"-1", b"svg", b"<g>", b"</g>", b"matrix(0 0 0 0 0 0)",
]  # fmt: skip


@st.composite
def mutated(draw: st.DrawFn) -> bytes:
    source = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(source)))
        end = min(len(source), start + draw(st.integers(0, 12)))
        source = source[:start] + draw(st.sampled_from(SPARKS)) + source[end:]
    return source


@given(st.one_of(mutated(), mutated(), mutated(), st.binary(max_size=60)))
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_garbage_ends_in_a_silhouette_or_a_sentence(tmp_path, source):
    path = tmp_path / "garbage.svg"
    path.write_bytes(source)
    try:
        shape = read_silhouette(path, width=80)
    except CanivetError as error:
        message = error.message
    else:
        assert shape.area.is_valid
        assert shape.area.area > 0
        return
    assert message.endswith(".")
    assert "garbage.svg" in message
