"""SVG documents, read back by a parser that knows nothing of how they were made."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon, box

from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export import page_svg, piece_svg, write_svg
from canivet.export.page.setup import PageSetup
from canivet.export.page.tones import BLACK, STAYS, WHITE, Ink
from canivet.sheets import find_sheet
from canivet.stock import Faces, Stock

SVG = "{http://www.w3.org/2000/svg}"
INKS = get_args(Ink)


def paper_of(root: ElementTree.Element) -> Polygon:
    """Read the one path called paper: absolute M, L and Z in the viewBox's own units, y down."""
    (path,) = root.findall(f".//{SVG}path[@id='paper']")
    assert path.get("fill-rule") == "evenodd"
    text = path.get("d", "").replace("M", " ").replace("L", " ")
    shell, *holes = [np.array(ring.split(), float).reshape(-1, 2) for ring in text.split("Z")[:-1]]
    return Polygon(shell, holes)


def view_box(root: ElementTree.Element) -> list[float]:
    return [float(number) for number in root.get("viewBox", "").split()]


def test_the_bare_piece_reads_back_as_the_same_polygon(make_cutting: Callable[..., Cutting]) -> None:
    cutting = make_cutting()
    root = ElementTree.fromstring(piece_svg(cutting))
    _, _, _, height = view_box(root)
    read = affinity.affine_transform(paper_of(root), [1, 0, 0, -1, 0, height])
    assert read.hausdorff_distance(cutting.paper) <= 0.0005 * np.sqrt(2)
    assert len(read.interiors) == len(cutting.paper.interiors)


def test_the_bare_piece_is_as_large_as_its_document_says(make_cutting: Callable[..., Cutting]) -> None:
    moved = affinity.translate(box(0, 0, 101.6, 152.4), -7, 13)
    root = ElementTree.fromstring(piece_svg(make_cutting(moved)))
    assert (root.get("width"), root.get("height")) == ("101.6mm", "152.4mm")
    assert view_box(root) == [0, 0, 101.6, 152.4]
    assert paper_of(root).bounds == (0, 0, 101.6, 152.4)


@pytest.mark.parametrize("faces", Faces)
def test_the_bare_piece_is_never_mirrored(make_cutting: Callable[..., Cutting], faces: Faces) -> None:
    assert piece_svg(make_cutting(faces=faces)) == piece_svg(make_cutting(faces=Faces.PLAIN))


@pytest.mark.parametrize("faces", Faces)
@pytest.mark.parametrize("ink", INKS)
def test_the_page_shows_the_piece_mirrored_unless_it_is_a_template(
    make_cutting: Callable[..., Cutting], faces: Faces, ink: Ink
) -> None:
    cutting = make_cutting(faces=faces)
    seen = paper_of(ElementTree.fromstring(page_svg(cutting, PageSetup(ink))))
    seen = affinity.translate(seen, -seen.bounds[0], -seen.bounds[1])
    across = 1 if faces is Faces.DARK_BOTH_FACES else -1
    expected = affinity.scale(cutting.paper, across, -1, origin=(15, 12))
    assert seen.symmetric_difference(expected).area < 0.0005 * expected.length
    assert seen.symmetric_difference(affinity.scale(expected, -1, 1)).area > 10


@pytest.mark.parametrize("drawn", [piece_svg, page_svg])
def test_nothing_transforms_the_paper(
    make_cutting: Callable[..., Cutting], drawn: Callable[[Cutting], str]
) -> None:
    text = drawn(make_cutting(affinity.translate(box(0, 0, 20, 30), 5, 5)))
    assert "transform" not in text
    assert "style" not in text
    assert "<text" not in text
    assert text.count('id="paper"') == 1


def test_the_page_is_grouped_by_name(make_cutting: Callable[..., Cutting]) -> None:
    root = ElementTree.fromstring(page_svg(make_cutting()))
    names = [name for group in root.iter(f"{SVG}g") if (name := group.get("id") or group.get("class"))]
    assert names[:2] == ["piece", "around"]
    assert {"scale-50-mm", "scale-2-in", "head", "face-sign", "rule", "tones"} <= set(names)


def test_every_line_of_words_says_what_it_is_and_is_drawn(make_cutting: Callable[..., Cutting]) -> None:
    """Label and role as in WAI-ARIA 1.2; `use` refers to what is defined (SVG 2, 5.6)."""
    root = ElementTree.fromstring(page_svg(make_cutting()))
    lines = [group for group in root.iter(f"{SVG}g") if group.get("role") == "img"]
    assert "Heron among reeds" in [line.get("aria-label") for line in lines]
    defined = {path.get("id") for path in root.findall(f"{SVG}defs/{SVG}path")}
    used = {use.get("{http://www.w3.org/1999/xlink}href", "") for use in root.iter(f"{SVG}use")}
    assert {f"#{name}" for name in defined} == used


@pytest.mark.parametrize("ink", INKS)
def test_every_tone_on_a_page_is_one_of_three(make_cutting: Callable[..., Cutting], ink: Ink) -> None:
    """Black, white, and the grey of what stays; nothing that is drawn as a line or a letter is grey."""
    root = ElementTree.fromstring(page_svg(make_cutting(), PageSetup(ink)))
    assert {element.get("fill") for element in root.iter()} <= {None, "none", BLACK, WHITE, STAYS}
    assert {element.get("stroke") for element in root.iter()} <= {None, BLACK, WHITE}


@pytest.mark.parametrize(("ink", "paper"), [("solid", 0x00), ("tint", 0xC8), ("lines", 0xFF)])
def test_what_goes_is_white_in_every_ink(make_cutting: Callable[..., Cutting], ink: Ink, paper: int) -> None:
    """Drawn by resvg, which takes no part in making the page."""
    cutting = make_cutting(faces=Faces.DARK_BOTH_FACES)
    page = page_svg(cutting, PageSetup(ink))
    left, top, *_ = paper_of(ElementTree.fromstring(page)).bounds
    drawn = bytes(resvg_py.svg_to_bytes(svg_string=page, dpi=96, zoom=4, background="white"))
    picture = pixels_of(drawn)
    per_mm = 4 * 96 / 25.4
    opening = cutting.paper.interiors[0].centroid
    bare = (29.0, 1.0)
    for (x, y), grey in {(opening.x, opening.y): 0xFF, bare: paper}.items():
        assert picture[int((top + 24 - y) * per_mm), int((left + x) * per_mm)] == grey


def pixels_of(data: bytes) -> np.ndarray:
    import io

    return np.array(Image.open(io.BytesIO(data)).convert("L"))


@given(st.text(st.characters(exclude_categories=()), max_size=60), st.text(max_size=60))
@settings(max_examples=50, deadline=None)
def test_any_title_and_description_make_sound_xml(title: str, description: str) -> None:
    cutting = Cutting(box(0, 0, 30, 40), 1, title, description, notes=(title,))
    for drawn in (piece_svg, page_svg):
        root = ElementTree.fromstring(drawn(cutting).encode("utf-8"))
        assert root[0].tag == f"{SVG}title"
        assert root[0].text


def test_title_and_description_stand_in_the_document(make_cutting: Callable[..., Cutting]) -> None:
    cutting = make_cutting(title="Wren\x00 & <Finch>", description="Two\nbirds")
    for drawn in (piece_svg, page_svg):
        root = ElementTree.fromstring(drawn(cutting))
        assert root.findtext(f"{SVG}title") == "Wren & <Finch>"
        assert root.findtext(f"{SVG}desc") == "Two birds"


def test_the_written_file_is_what_was_drawn(make_cutting: Callable[..., Cutting], tmp_path: Path) -> None:
    text = page_svg(make_cutting(title="Zaunkönig サギ"))
    write_svg(tmp_path / "page.svg", text)
    assert ElementTree.canonicalize(from_file=tmp_path / "page.svg") == ElementTree.canonicalize(text)


@pytest.mark.parametrize("paper", [Polygon(), MultiPolygon([box(0, 0, 1, 1), box(2, 2, 3, 3)])])
@pytest.mark.parametrize("drawn", [piece_svg, page_svg])
def test_what_is_not_one_polygon_is_refused(paper: Polygon, drawn: Callable[[Cutting], str]) -> None:
    with pytest.raises(BadValue, match=r"it takes one polygon\. Join the parts"):
        drawn(Cutting(paper, 1, "Loose"))


def test_an_unknown_ink_is_refused_with_a_hint() -> None:
    with pytest.raises(
        BadValue, match=r"ink is 'line'; it takes one of: solid, lines, tint\. Did you mean 'lines'\?"
    ):
        PageSetup(ink="line")  # type: ignore[arg-type]


def test_a_sheet_of_inches_has_its_exact_size() -> None:
    cutting = Cutting(box(0, 0, 60, 60), 1, "Card", stock=Stock(), sheet=find_sheet("letter"))
    root = ElementTree.fromstring(page_svg(cutting))
    assert (root.get("width"), root.get("height")) == ("215.9mm", "279.4mm")
