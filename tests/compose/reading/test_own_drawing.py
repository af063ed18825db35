"""Our own drawings are read back exactly, by a short way of their own."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Polygon
from svg_specimens import paper, read_area

from canivet.compose.reading.silhouette import read_silhouette
from canivet.compose.reading.svg import read_paper_path
from canivet.cutting import Cutting
from canivet.errors import Unreadable
from canivet.export.svg import page_svg
from canivet.stock import Faces, Stock


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


def test_reading_back_our_own_drawing_loads_no_cairo(tmp_path):
    path = tmp_path / "own.svg"
    path.write_bytes(paper("M0 0 H30 V20 H0 Z"))
    code = (
        "import sys, canivet.compose.reading.silhouette as s\n"
        f"assert s.read_silhouette({str(path)!r}).area.area == 600\n"
        "assert not [n for n in sys.modules if n.startswith('cairo')]"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def printed(faces):
    """A page of a piece that is no mirror image of itself: the opening is on its left."""
    piece = Polygon(shapely.box(0, 0, 60, 40).exterior, [shapely.box(5, 10, 15, 30).exterior])
    return page_svg(Cutting(piece, 1, "Left", stock=Stock(faces)))


@pytest.mark.parametrize("faces", Faces)
def test_a_page_to_print_is_read_as_seen_from_the_front(tmp_path, faces):
    (tmp_path / "page.svg").write_text(printed(faces), encoding="utf-8")
    shape = read_silhouette(tmp_path / "page.svg")
    (opening,) = shape.area.geoms[0].interiors
    assert opening.bounds == pytest.approx((5, 10, 15, 30), abs=1e-3)
    assert (
        any("shows the back of the piece; it is turned" in said for said in shape.warnings) == faces.mirrored
    )
    assert not any("Only the path" in said for said in shape.warnings)


@pytest.mark.parametrize("move", ["scale(-1 1)", "translate(9)", "matrix(-1 0 0 1 148 0)"])
def test_a_page_that_was_turned_once_more_is_refused(tmp_path, move):
    turned = printed(Faces.DARK_ONE_FACE).replace('<g id="piece"', f'<g id="piece" transform="{move}"')
    (tmp_path / "page.svg").write_text(turned, encoding="utf-8")
    with pytest.raises(Unreadable, match=r"moved or turned since.* Give the bare piece"):
        read_silhouette(tmp_path / "page.svg")
