"""The packet's page: true size, published line styles, names of edges, and the piece that opens."""

from __future__ import annotations

import io
import itertools
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image
from shapely.geometry import LineString, Point, Polygon

from canivet.errors import DoesNotFit
from canivet.export.packet._pen import MOUNTAIN, VALLEY
from canivet.export.packet.page import packet_svg
from canivet.motifs.folding.fold import Fold
from canivet.motifs.folding.folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold
from canivet.motifs.folding.packet import PacketPlan, describe_edge, plan_packet
from canivet.motifs.folding.stars import one_snip_star
from canivet.motifs.folding.wedge.rings import Border, Ring, draw_rings
from canivet.sheets import find_sheet
from canivet.stock import Faces, Stock

SVG = "{http://www.w3.org/2000/svg}"
THIN = Stock.of(thickness=0.05)


def planned(fold: Fold, **settings: object) -> PacketPlan:
    x, y = fold.wedge.centroid.coords[0]
    spot = Point(x, y).buffer(0.4 * shapely.maximum_inscribed_circle(fold.wedge).length)
    return plan_packet(fold, spot, title="Trial", stock=THIN, **settings)  # type: ignore[arg-type]


def rose() -> PacketPlan:
    fold = medallion_fold(count=8, width=180)
    drawing = draw_rings(
        fold, [Ring("drops", fill=True), Ring("petals", count=2)], strap=1.5, border=Border("scallops", 2)
    )
    return plan_packet(
        fold, drawing.openings, title="Rose", strap=1.5, rim=2.25, edge=drawing.kept, stock=THIN
    )


def tree(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def group(svg: str, name: str) -> ET.Element:
    found = tree(svg).find(f".//{SVG}g[@id='{name}']")
    assert found is not None, f"no group {name}"
    return found


def ring_of(element: ET.Element) -> np.ndarray:
    return np.array(
        [float(n) for n in re.findall(r"-?[\d.]+", (element.get("d") or "").partition("Z")[0])]
    ).reshape(-1, 2)


def dashes(style: str) -> list[float]:
    return [float(n) for n in style.split()]


def looks_like(pattern: str | None, style: str) -> bool:
    """Whether a dash array is the style, at any scale."""
    if pattern is None:
        return False
    ratio = (
        np.array(dashes(pattern)) / np.array(dashes(style))
        if len(dashes(pattern)) == len(dashes(style))
        else [0, 1]
    )
    return bool(np.ptp(ratio) < 0.02)


FOLDS: list[Callable[[], Fold]] = [
    lambda: mirror_fold(width=100, height=140), lambda: quarter_fold(), lambda: medallion_fold(count=5),
    lambda: accordion_fold(panels=6), lambda: accordion_fold(panels=6, lengthwise=True, hem=4),
    lambda: plane_fold(group="p4mm", columns=3, rows=3), lambda: plane_fold(group="p3m1", columns=2),
    lambda: plane_fold(group="p6mm", columns=1, width=90),
]  # fmt: skip


@pytest.mark.parametrize("make", FOLDS)
def test_the_wedge_stands_at_true_size(make: Callable[[], Fold]) -> None:
    plan = planned(make())
    svg = packet_svg(plan)
    drawn = Polygon(ring_of(tree(svg).find(f".//{SVG}path[@id='wedge']")))  # type: ignore[arg-type]
    assert drawn.area == pytest.approx(plan.fold.wedge.area, rel=1e-4)
    assert np.ptp(shapely.get_coordinates(drawn), axis=0) == pytest.approx(
        np.ptp(shapely.get_coordinates(plan.fold.wedge), axis=0), abs=2e-3
    )


@pytest.mark.parametrize("make", FOLDS)
def test_every_edge_is_named_for_what_it_is(make: Callable[[], Fold]) -> None:
    plan = planned(make())
    edges = group(packet_svg(plan), "edges")
    named = [text.text or "" for text in edges.iter(f"{SVG}text")]
    assert len(named) == len(plan.fold.edges)
    for edge, text in zip(plan.fold.edges, named, strict=True):
        assert describe_edge(edge).startswith(text)
        assert text.startswith("open" if edge.role == "open" else "fold")


@pytest.mark.parametrize("make", FOLDS)
def test_valleys_are_dashed_and_mountains_dash_dot(make: Callable[[], Fold]) -> None:
    # fold lines: valley dashed, mountain dash-dot: Yoshizawa 1954; Randlett 1961
    plan = planned(make())
    lines = [path for path in group(packet_svg(plan), "creases") if path.get("class")]
    for path in lines:
        style = {"valley": VALLEY, "mountain": MOUNTAIN}[path.get("class") or ""]
        assert looks_like(path.get("stroke-dasharray"), style)
    assert len(lines) == len(plan.fold.creases) + 2  # and one of each in the key
    valleys = sum(path.get("class") == "valley" for path in lines)
    assert valleys == sum(crease.valley for crease in plan.fold.creases) + 1
    assert not looks_like(VALLEY, MOUNTAIN)


def test_the_crease_pattern_is_the_folds_own() -> None:
    plan = planned(medallion_fold(count=5))
    drawn = [LineString(ring_of(path)) for path in group(packet_svg(plan), "creases") if path.get("class")][
        :-2
    ]
    longest = max(line.length for line in drawn)
    ratio = longest / max(crease.line.length for crease in plan.fold.creases)
    for line, crease in zip(drawn, plan.fold.creases, strict=True):
        assert line.length == pytest.approx(ratio * crease.line.length, abs=0.01)


@pytest.mark.parametrize("make", FOLDS)
def test_the_pictures_lead_from_the_sheet_to_the_packet(make: Callable[[], Fold]) -> None:
    plan = planned(make())
    areas = [picture.packet.area for picture in plan.pictures]
    assert all(later < earlier for earlier, later in itertools.pairwise(areas))
    assert all(picture.lines and picture.turn is not None for picture in plan.pictures[:-1])
    words = " ".join(text.text or "" for text in group(packet_svg(plan), "steps").iter(f"{SVG}text"))
    for number, picture in enumerate(plan.pictures, 1):
        assert f"{number}. {picture.words}" in words


def pixels(svg: str, dpi: int = 96) -> np.ndarray:
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=dpi, background="white")
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L"))


def test_the_finished_view_shows_the_piece_that_opens() -> None:
    plan = rose()
    svg = packet_svg(plan)
    view = group(svg, "finished").find(f"{SVG}path")
    assert view is not None
    ring = ring_of(view)
    low, high = ring.min(axis=0), ring.max(axis=0)
    scale = np.ptp(ring[:, 0]) / (plan.piece.bounds[2] - plan.piece.bounds[0])
    grey = pixels(svg)
    per = grey.shape[1] / 210
    window = grey[
        int(low[1] * per) - 1 : int(high[1] * per) + 2, int(low[0] * per) - 1 : int(high[0] * per) + 2
    ]
    dark = (255 - window.astype(float)).sum() / 255 / per**2
    assert dark == pytest.approx(plan.piece.area * scale**2, rel=0.01)


def test_what_goes_is_white_and_what_stays_is_grey() -> None:
    plan = rose()
    svg = packet_svg(plan)
    grey = pixels(svg)
    per = grey.shape[1] / 210
    waste = tree(svg).find(f".//{SVG}path[@id='waste']")
    assert waste is not None
    corner = ring_of(waste)
    low_x, top = corner[:, 0].min(), corner[:, 1].min()
    x0, _, _, y1 = plan.fold.wedge.bounds
    inside = plan.kept.difference(shapely.union_all(list(plan.openings))).buffer(-0.6)
    for shape, tone in ((max(plan.openings, key=lambda o: o.area), 255), (inside, 0xC8)):
        at = shape.representative_point()
        x, y = (at.x - x0 + low_x) * per, (y1 - at.y + top) * per
        assert abs(int(grey[int(y), int(x)]) - tone) <= 1


def test_the_scale_lines_are_true() -> None:
    svg = packet_svg(rose())
    lines = [
        np.array([float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]).reshape(-1, 2)
        for path in tree(svg).iter(f"{SVG}path")
        if path.get("d", "").count("L") == 1
    ]
    for along in (0, 1):
        lengths = [np.ptp(line[:, along]) for line in lines if np.ptp(line[:, 1 - along]) == 0]
        assert any(length == pytest.approx(50, abs=2e-3) for length in lengths)
        assert any(length == pytest.approx(50.8, abs=2e-3) for length in lengths)


def test_cautions_and_the_face_stand_on_the_page() -> None:
    words = " ".join(text.text or "" for text in tree(packet_svg(rose())).iter(f"{SVG}text"))
    assert "Cut away from your free hand." in words
    assert "Begin with the white face up" in words
    assert all(said in words for said in ("grey stays", "black stays", "white is cut away"))
    plain = plan_packet(quarter_fold(), Point(90, 90).buffer(9), title="Moon", stock=Stock.of(Faces.PLAIN))
    assert "Either face may begin uppermost" in packet_svg(plain)


def test_creep_is_made_up_for_only_where_asked() -> None:
    fold = medallion_fold(count=4, width=120)
    plain, moved = planned(fold), planned(fold, compensate=True)
    assert plain.piece.equals(moved.piece)
    shift = np.subtract(moved.openings[0].centroid.coords[0], plain.openings[0].centroid.coords[0])
    assert shift[0] > 0.02
    assert any("off the folds" in note for note in moved.notes)
    assert not any("off the folds" in note for note in plain.notes)


def test_nothing_is_drawn_outside_the_page() -> None:
    for make in FOLDS:
        svg = packet_svg(planned(make()))
        root = tree(svg)
        width, height = (float(n) for n in (root.get("viewBox") or "").split()[2:])
        for path in root.iter(f"{SVG}path"):
            points = np.array([float(n) for n in re.findall(r"-?[\d.]+", path.get("d") or "")]).reshape(-1, 2)
            assert points.min() > 4, "within what printers leave unprinted"
            assert points[:, 0].max() < width - 4
            assert points[:, 1].max() < height - 4


def test_a_page_too_small_is_refused() -> None:
    plan = planned(mirror_fold(width=200, height=250))
    assert 'viewBox="0 0 297 420"' in packet_svg(plan)
    with pytest.raises(DoesNotFit, match="does not fit on it at true size") as caught:
        packet_svg(plan, sheet=find_sheet("A5"))
    assert caught.value.parameter == "sheet"


def test_a_star_has_nothing_but_its_snip() -> None:
    fold, drawing = one_snip_star(points=5, width=150)
    svg = packet_svg(plan_packet(fold, drawing.openings, title="Star", edge=drawing.kept, stock=THIN))
    wedge = tree(svg).find(f".//{SVG}path[@id='wedge']")
    assert wedge is not None
    assert len(ring_of(wedge)) == 3


def test_the_same_plan_gives_the_same_page() -> None:
    assert packet_svg(rose()) == packet_svg(rose())


@pytest.mark.parametrize("make", FOLDS)
def test_the_wedge_comes_first_and_the_opened_piece_is_small_and_says_its_scale(
    make: Callable[[], Fold],
) -> None:
    plan = planned(make())
    svg = packet_svg(plan)
    view = group(svg, "finished").find(f"{SVG}path")
    (said,) = [text.text or "" for text in group(svg, "finished").iter(f"{SVG}text")]
    assert view is not None
    shown = np.ptp(ring_of(view), axis=0)[0] / (plan.piece.bounds[2] - plan.piece.bounds[0])
    assert shown == pytest.approx(1 / int(said.rpartition(" ")[2]), rel=1e-3)
    steps = [float(text.get("y") or 0) for text in group(svg, "steps").iter(f"{SVG}text")]
    wedge = ring_of(tree(svg).find(f".//{SVG}path[@id='wedge']"))  # type: ignore[arg-type]
    assert wedge[:, 1].max() < min(steps)


@pytest.mark.parametrize("make", FOLDS)
def test_steps_stand_in_even_cells(make: Callable[[], Fold]) -> None:
    texts = list(group(packet_svg(planned(make())), "steps").iter(f"{SVG}text"))
    first = [float(text.get("x") or 0) for text in texts if re.match(r"\d+\.", text.text or "")]
    columns = sorted(set(first))
    assert np.ptp(np.diff(columns)) < 0.01 if len(columns) > 2 else columns


@pytest.mark.parametrize("make", FOLDS)
def test_the_page_says_how_to_get_the_wedge_on_to_the_packet_and_names_no_group_by_its_symbol(
    make: Callable[[], Fold],
) -> None:
    words = " ".join(text.text or "" for text in tree(packet_svg(planned(make()))).iter(f"{SVG}text"))
    for said in ("trace it", "glue or staple it in what is white", "at true size"):
        assert said in words
    assert not re.search(r"\b(D\d+|p[1-6]m?[1mg]?[1mg]?|c2mm)\b", words)
