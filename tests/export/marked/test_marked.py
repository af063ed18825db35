"""The marked drawing: each weak place ringed where it is, numbered without confusion, and nothing over the piece."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely.geometry import LineString, Point, Polygon, box
from strategies import seeds
from support import random_paper

from canivet.audit.boundary import Paper
from canivet.audit.strength import StrengthReport, check_strength
from canivet.compose.reading.svg import read_paper_path
from canivet.errors import BadValue, CannotWrite, DoesNotFit
from canivet.export.marked.findings import MOST, gather_findings
from canivet.export.marked.writing import mark_weak_places, write_marked
from canivet.export.page.setup import MARGIN
from canivet.export.page.words import width_of
from canivet.sheets import SHEETS, find_sheet

STRAP, SMALLEST = 1.5, 0.4
SVG = "{http://www.w3.org/2000/svg}"
KINDS = {"loose", "single", "neck", "limb", "opening", "corner"}


def weak_plate() -> Paper:
    """A plate with one weakness of each kind, all far apart."""
    plate = box(0, 0, 120, 90) - box(8, 8, 56, 82) - box(64, 8, 112, 40)
    limb = box(8, 70, 12, 76) | box(12, 72.7, 24, 73.3)
    paddle = box(80, 40.5, 80.8, 24) | box(72, 14, 90, 24)
    loose = box(30, 20, 40, 30)
    cuts = [Point(60, 60).buffer(0.25), Point(117.2, 60).buffer(2), Polygon([(75, 88.1), (79, 70), (71, 70)])]
    whole = shapely.union_all([plate - shapely.union_all(cuts), limb, paddle, loose])
    return shapely.set_precision(whole, 0.001)


def audit(paper: Paper, strap: float = STRAP) -> StrengthReport:
    return check_strength(paper, strap=strap, smallest=SMALLEST, look=3)


class Drawn:
    """A marked drawing as any other program would see it."""

    def __init__(self, svg: str, paper: Paper, *, mirrored: bool = False) -> None:
        self.root = ET.fromstring(svg)
        self.paper, self.mirrored = paper, mirrored
        self.width, self.height = (float(side) for side in self.root.get("viewBox", "").split()[2:])
        self.piece = read_paper_path(svg.encode())
        self.bounds = self.piece.bounds

    def group(self, name: str) -> ET.Element:
        return next(e for e in self.root.iter(f"{SVG}g") if e.get("id") == name)

    def on_page(self, at: tuple[float, float]) -> tuple[float, float]:
        """A place on the piece as x and y down the page, from where the paper's path lies."""
        left, _, _, top = self.paper.bounds
        x = self.bounds[2] - (at[0] - left) if self.mirrored else self.bounds[0] + at[0] - left
        return x, self.height - (self.bounds[3] - (top - at[1]))

    def rings(self) -> dict[int, tuple[str, Polygon]]:
        """Each finding's kind and what its mark encloses, by its number."""
        found = {}
        for group in self.group("findings"):
            number = int(str(group.get("id")).removeprefix("finding-"))
            found[number] = (str(group.get("class")), self._outline(group))
        return found

    def _outline(self, group: ET.Element) -> Polygon:
        for shape in group:
            if shape.tag == f"{SVG}circle" and shape.get("fill") == "none":
                x, y, r = (float(str(shape.get(name))) for name in ("cx", "cy", "r"))
                return Point(x, y).buffer(r, quad_segs=32)
            if shape.tag == f"{SVG}polygon":
                return Polygon(
                    [tuple(map(float, pair.split(","))) for pair in str(shape.get("points")).split()]
                )
        raise AssertionError("a finding without a ring")

    def numbers(self) -> list[tuple[str, Polygon]]:
        """Each number's text, and the room its figures take."""
        found = []
        for text in self.group("numbers").iter(f"{SVG}text"):
            x, y, size = (float(str(text.get(name))) for name in ("x", "y", "font-size"))
            wide = width_of(str(text.text), size)
            found.append((str(text.text), box(x - wide / 2, y - 0.72 * size, x + wide / 2, y)))
        return found

    def leaders(self) -> list[LineString]:
        return [
            LineString([(float(line.get("x1")), float(line.get("y1"))), (float(line.get("x2")), float(line.get("y2")))])
            for line in self.group("numbers").iter(f"{SVG}line")
        ]  # fmt: skip

    def words(self) -> list[tuple[str, Polygon]]:
        found = []
        for name in ("words", "strong"):
            for text in self.group(name):
                x, y, size = (float(str(text.get(part))) for part in ("x", "y", "font-size"))
                room = box(x, y - 0.72 * size, x + width_of(str(text.text), size), y + 0.22 * size)
                found.append((str(text.text), room))
        return found

    def said(self) -> str:
        return " ".join(text for text, _ in self.words())


def marked(paper: Paper, report: StrengthReport | None = None, **options: Any) -> Drawn:
    report = report or audit(paper)
    svg = mark_weak_places(paper, report, title=options.pop("title", "Trial"), **options)
    return Drawn(svg, paper, mirrored=options.get("mirrored", False))


@pytest.fixture(scope="module")
def weak() -> Drawn:
    return marked(weak_plate())


@pytest.mark.parametrize("mirrored", [False, True])
def test_every_finding_of_a_report_is_ringed_at_its_place(mirrored: bool) -> None:
    report = audit(weak_plate())
    drawn = marked(weak_plate(), report, mirrored=mirrored)
    rings = drawn.rings().values()
    assert {kind for kind, _ in rings} >= KINDS
    places = {
        "neck": [n.at for n in report.necks if not n.single_hold],
        "single": [n.at for n in report.necks if n.single_hold],
        "limb": [limb.at for limb in report.limbs],
        "opening": [opening.at for opening in report.small_openings],
        "corner": [corner.at for corner in report.sharp_corners],
        "loose": [(35.0, 25.0)],
    }
    for kind, wanted in places.items():
        assert wanted, kind
        mine = [ring for other, ring in rings if other == kind]
        for at in wanted:
            assert any(ring.buffer(0.01).contains(Point(drawn.on_page(at))) for ring in mine), (kind, at)


def test_a_lone_place_is_in_the_very_middle_of_its_ring() -> None:
    """A hole of radius 2 at (8, 20) in a plate: 0.8 mm is left to the edge at 6 to 0; derived."""
    paper = box(0, 0, 60, 40) - Point(2.8, 20).buffer(2, quad_segs=32)
    drawn = marked(paper)
    [ring] = [ring for kind, ring in drawn.rings().values() if kind == "neck"]
    assert drawn.on_page((0.4, 20)) == pytest.approx((ring.centroid.x, ring.centroid.y), abs=0.002)
    assert "Neck 0.8 mm wide; needs 1.5 mm" in drawn.said()


def test_a_ring_is_wider_than_what_it_rings_and_never_small(weak: Drawn) -> None:
    report = audit(weak_plate())
    for _, ring in weak.rings().values():
        assert shapely.minimum_bounding_radius(ring) >= 2.499
    chords = [LineString([weak.on_page(n.start), weak.on_page(n.end)]) for n in report.necks]
    held = [ring for kind, ring in weak.rings().values() if kind in ("neck", "single")]
    assert all(any(ring.contains(chord) for ring in held) for chord in chords)


def test_a_bold_line_lies_across_each_strap(weak: Drawn) -> None:
    report = audit(weak_plate())
    lines = [
        LineString([(float(line.get("x1")), float(line.get("y1"))), (float(line.get("x2")), float(line.get("y2")))])
        for group in weak.group("findings") if group.get("class") in ("neck", "single")
        for line in group.iter(f"{SVG}line")
    ]  # fmt: skip
    assert len(lines) == len(report.necks)
    for neck in report.necks:
        chord = LineString([weak.on_page(neck.start), weak.on_page(neck.end)])
        assert any(line.buffer(0.003).contains(chord) and line.length < chord.length + 1.1 for line in lines)


def _shape_of(group: ET.Element) -> tuple[str, ...]:
    """What a kind's mark is without its colour and its weight."""
    parts = [part for part in group if part.tag != f"{SVG}line" and part.get("fill") == "none"]
    corners = [str(len(str(part.get("points")).split())) for part in parts if part.get("points")]
    upright = [
        str(len({p.split(",")[0] for p in str(part.get("points")).split()}))
        for part in parts
        if part.get("points")
    ]
    dashes = ["dashed" for part in parts if part.get("stroke-dasharray")]
    return (*(part.tag for part in parts), *corners, *upright, *dashes)


def test_kinds_are_told_apart_by_shape_and_not_by_colour_alone(weak: Drawn) -> None:
    shapes = {str(group.get("class")): _shape_of(group) for group in weak.group("findings")}
    assert len({shapes[kind] for kind in KINDS}) == len(KINDS)
    assert shapes["single"] == (f"{SVG}circle",) * 2
    assert shapes["limb"] == (f"{SVG}circle", "dashed")


def test_loose_parts_are_hatched_and_nothing_else(weak: Drawn) -> None:
    hatching, outline = (str(path.get("d")) for path in weak.group("loose"))
    ends = [
        tuple(map(float, pair.split())) for pair in hatching.replace("M", " L").split("L") if pair.strip()
    ]
    part = box(*weak.on_page((30, 20)), *weak.on_page((40, 30)))
    assert len(ends) > 10
    assert all(part.buffer(0.01).contains(Point(end)) for end in ends)
    assert outline.count("M") == 1
    assert "Loose part of 100 mm²" in weak.said()
    assert "Bridge it: 12 mm to what is next." in weak.said()


def test_a_piece_in_one_part_has_no_hatching() -> None:
    assert 'id="loose"' not in mark_weak_places(box(0, 0, 30, 30), audit(box(0, 0, 30, 30)), title="Square")


def assert_well_marked(drawn: Drawn) -> None:
    rings = drawn.rings()
    assert list(rings) == list(range(1, len(rings) + 1))
    assert [text for text, _ in drawn.numbers()] == [str(number) for number in rings]
    keys = [str(text.text) for text in drawn.group("keys").iter(f"{SVG}text")]
    assert keys == [str(number) for number in rings]
    page = box(0, 0, drawn.width, drawn.height)
    inside = page.buffer(-MARGIN + 0.7, join_style="mitre")
    for (text, room), (_, ring) in zip(drawn.numbers(), rings.values(), strict=True):
        assert inside.contains(room), text
        assert page.buffer(-5, join_style="mitre").contains(ring), text
    for (text, room), (other, room_2) in combinations(drawn.numbers(), 2):
        assert room.distance(room_2) > 1, (text, other)
    for text, room in drawn.numbers():
        assert all(room.distance(ring) > 0.2 for _, ring in rings.values()), text
    left, low, right, high = drawn.bounds
    piece = box(left, drawn.height - high, right, drawn.height - low)
    for text, room in drawn.words():
        assert inside.contains(room), text
        assert not room.intersects(piece), text
        assert not any(room.intersects(number) for _, number in drawn.numbers()), text
    for (text, room), (other, room_2) in combinations(drawn.words(), 2):
        assert not room.intersects(room_2), (text, other)


def test_numbers_run_in_order_and_nothing_overlaps(weak: Drawn) -> None:
    assert_well_marked(weak)


@settings(max_examples=25, deadline=None)
@given(seeds, st.sampled_from([0.8, 1.5, 3.0]), st.booleans())
def test_any_piece_at_all_is_well_marked(seed: int, strap: float, mirrored: bool) -> None:
    paper = random_paper(seed)
    assert_well_marked(marked(paper, audit(paper, strap), mirrored=mirrored))


def riddled() -> Paper:
    """A sieve whose straps are all too narrow: far more necks than can be ringed."""
    x, y = np.meshgrid(np.arange(5, 96, 3.2), np.arange(5, 66, 3.2))
    holes = shapely.buffer(shapely.points(x.ravel(), y.ravel()), 1.1)
    return box(0, 0, 100, 70) - shapely.union_all(holes)


def test_of_very_many_places_some_are_ringed_and_the_rest_are_counted() -> None:
    report = audit(riddled())
    drawn = marked(riddled(), report)
    assert_well_marked(drawn)
    assert len(drawn.rings()) == MOST
    found = gather_findings(riddled(), report)
    assert sum(f.count for f in found.ringed if f.kind == "neck") + dict(found.left_over)["neck"] == len(
        report.necks
    )
    assert f"Not ringed: {dict(found.left_over)['neck']} necks under the strap" in drawn.said()
    ringed = {chord for finding in found.ringed for chord in finding.chords}
    assert set(found.chords) | ringed == {(neck.start, neck.end) for neck in report.necks}
    assert not ringed & set(found.chords)
    assert any(path.get("id") == "thin" for path in drawn.root.iter(f"{SVG}path")), "they are tinted"


def test_of_many_equal_places_some_from_all_over_are_ringed() -> None:
    places = np.array([finding.at for finding in gather_findings(riddled(), audit(riddled())).ringed])
    assert np.ptp(places[:, 0]) > 60
    assert np.ptp(places[:, 1]) > 35


def test_no_kind_is_crowded_out_by_another() -> None:
    paper = (riddled() | box(100, 30, 120, 30.6) | box(140, 0, 150, 10)) - box(48, 67, 52, 67.3)
    kinds = [finding.kind for finding in gather_findings(paper, audit(paper)).ringed]
    assert {"loose", "neck", "limb", "opening"} <= set(kinds)


def test_close_necks_share_a_ring_and_a_number() -> None:
    """Three holes 1 mm wide in a row, 0.42 mm between them and 0.9 mm to the edge on one side; derived."""
    holes = [box(20 + 1.42 * k, 0.9, 21 + 1.42 * k, 3) for k in range(3)]
    paper = box(0, 0, 60, 40) - shapely.union_all(holes)
    report = check_strength(paper, strap=STRAP)
    [finding] = gather_findings(paper, report).ringed
    assert finding.count == len(report.necks) > 4
    assert f"{finding.count} necks, narrowest 0.42 mm; needs 1.5 mm" in marked(paper, report).said()


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_ring_leaves_room_round_every_place_in_it(mirrored: bool) -> None:
    """Between the ends of a strap and its ring 0.9 mm: enough to see the paper on both sides of it."""
    holes = [box(20 + 1.42 * k, 0.9, 21 + 1.42 * k, 3) for k in range(3)]
    paper = box(0, 0, 60, 40) - shapely.union_all(holes)
    report = check_strength(paper, strap=STRAP)
    drawn = marked(paper, report, mirrored=mirrored)
    [ring] = [ring for kind, ring in drawn.rings().values() if kind == "neck"]
    chords = [LineString([drawn.on_page(neck.start), drawn.on_page(neck.end)]) for neck in report.necks]
    assert shapely.minimum_bounding_radius(ring) > 2.6  # more than the smallest ring gives anyway
    assert min(ring.exterior.distance(chord) for chord in chords) == pytest.approx(0.9, abs=0.02)
    assert all(ring.contains(chord) for chord in chords)


def test_the_likeliest_to_tear_comes_first_and_advice_last() -> None:
    found = gather_findings(weak_plate(), audit(weak_plate())).ringed
    order = ["loose", "single", "neck", "limb", "opening", "weakest", "hold", "corner"]
    ranks = [order.index(finding.kind) for finding in found]
    assert ranks == sorted(ranks)
    chain = shapely.union_all([*(box(30 * k, 0, 30 * k + 15, 12) for k in range(4)), box(0, 5.6, 110, 6.4)])
    first, *_, last = gather_findings(chain, audit(chain)).ringed
    assert 44 < first.at[0] < 61  # between the two halves
    assert not 28 < last.at[0] < 77  # where only the outermost hangs


def test_advice_is_not_laid_over_what_must_be_mended() -> None:
    paper = weak_plate()
    found = gather_findings(paper, audit(paper)).ringed
    mend = [Point(f.at).buffer(f.radius) for f in found if not f.advice]
    assert not any(Point(f.at).buffer(f.radius).intersects(ring) for f in found if f.advice for ring in mend)


def test_a_piece_that_holds_says_so_and_shows_its_weakest_strap() -> None:
    frame = box(0, 0, 60, 60) - box(2, 2, 58, 58)
    drawn = marked(frame)
    assert "It holds at a strap of 1.5 mm." in drawn.said()
    assert "To mend" not in drawn.said()
    assert "Weakest strap, 2 mm wide" in drawn.said()
    assert "The hand may stray 0.25 mm either way." in drawn.said()
    assert drawn.rings()[1][0] == "weakest"


def test_single_holds_that_are_wide_enough_are_ranked_by_their_risk() -> None:
    paddles = [box(60, y, 66, y + 2) | box(66, y - 2, 69 + y / 10, y + 4) for y in (10, 50, 90)]
    paper = shapely.union_all([box(0, 0, 60, 100), *paddles])
    report = audit(paper)
    assert report.holds
    holds = [f for f in gather_findings(paper, report).ringed if f.kind == "hold"]
    assert [round(f.at[1]) for f in holds] == [91, 51, 11]
    assert "Wide enough, yet all that holds it." in marked(paper, report).said()


def test_a_piece_without_any_weakness_says_that_too() -> None:
    drawn = marked(Point(20, 20).buffer(20))
    assert not drawn.rings()
    assert "No place needs a mark." in drawn.said()


def test_what_falls_short_is_never_written_as_if_it_did_not() -> None:
    """0.004 mm short of the strap: more than the audit's tolerance, less than the figures shown."""
    paper = box(0, 0, 60, 40) - box(1.496, 5, 20, 35)
    drawn = marked(paper)
    assert "1.49 mm wide; needs 1.5 mm" in drawn.said() or "narrowest 1.49 mm; needs 1.5 mm" in drawn.said()


def test_the_paper_can_be_read_back_from_it(weak: Drawn) -> None:
    left, low, *_ = weak.bounds
    back = shapely.affinity.translate(weak.piece, -left, -low)
    assert back.symmetric_difference(weak_plate()).area < 0.1
    assert len(back.geoms) == 2


HOSTILE = [
    "",
    " ",
    "<svg onload=alert(1)>",
    "]]>&amp;\x00\x1b[31m",
    "heron " * 80,
    "W" * 300,
    "鷺と葦 " * 40,
    "\u202egnp.exe",
    "a\nb\tc",
]


@pytest.mark.parametrize("title", HOSTILE, ids=range(len(HOSTILE)))
def test_no_title_breaks_the_page(title: str) -> None:
    assert_well_marked(marked(weak_plate(), title=title))


@pytest.mark.parametrize("name", ["A4", "A3", "letter"])
def test_a_sheet_that_is_asked_for_is_used(name: str) -> None:
    drawn = marked(weak_plate(), sheet=find_sheet(name))
    sides = sorted([SHEETS[name].width, SHEETS[name].height])
    assert sorted([drawn.width, drawn.height]) == pytest.approx(sides, abs=0.001)
    assert_well_marked(drawn)


def test_a_sheet_too_small_is_refused_with_what_to_do() -> None:
    with pytest.raises(DoesNotFit, match=r"with their list it does not fit sheet A6 .* Take a larger sheet"):
        marked(weak_plate(), sheet=SHEETS["A6"])
    with pytest.raises(DoesNotFit, match=r"does not fit any sheet up to A0 .* Check it in parts"):
        marked(box(0, 0, 1200, 1200) - box(1, 1, 1199, 1199))


def test_the_smallest_sheet_that_takes_all_is_found() -> None:
    small, large = marked(box(0, 0, 40, 40)), marked(box(0, 0, 180, 250))
    assert (small.width, small.height) == (148, 210)
    assert (large.width, large.height) == (210, 297)


def test_pdfium_sees_the_rings_where_the_places_are(
    tmp_path: Path, render: Callable[..., np.ndarray[Any, Any]]
) -> None:
    paper, dpi = weak_plate(), 300
    report = audit(paper)
    write_marked(tmp_path / "weak.pdf", paper, report, title="Weak")
    drawn = marked(paper, report, title="Weak")
    grey = render((tmp_path / "weak.pdf").read_bytes(), dpi)
    assert grey.shape == pytest.approx((drawn.height * dpi / 25.4, drawn.width * dpi / 25.4), abs=2)
    for finding in gather_findings(paper, report).ringed:
        if finding.kind not in ("neck", "single", "hold"):
            continue
        middle = drawn.on_page(finding.at)
        assert _dark_share(grey, middle, finding.radius, dpi) > 0.97
        # a little farther out the ring is over, and only paper, its edge or a number is there
        assert _dark_share(grey, middle, finding.radius + 0.6, dpi) < 0.3


def _dark_share(grey: np.ndarray[Any, Any], middle: tuple[float, float], radius: float, dpi: float) -> float:
    turn = np.radians(np.arange(0, 360, 3))
    column = (middle[0] + radius * np.cos(turn)) * dpi / 25.4
    row = (middle[1] + radius * np.sin(turn)) * dpi / 25.4
    return float((grey[row.astype(int), column.astype(int)] < 150).mean())


def test_the_ending_decides_what_is_written(tmp_path: Path) -> None:
    report = audit(weak_plate())
    for name, start in (("a.svg", b"<?xml"), ("a.PDF", b"%PDF-"), ("a.png", b"\x89PNG")):
        write_marked(tmp_path / name, weak_plate(), report, title="Weak", dpi=72)
        assert (tmp_path / name).read_bytes().startswith(start)
    with pytest.raises(BadValue, match=r"Did you mean '\.pdf'"):
        write_marked(tmp_path / "a.pfd", weak_plate(), report, title="Weak")
    with pytest.raises(CannotWrite):
        write_marked(tmp_path / "none" / "a.pdf", weak_plate(), report, title="Weak")


def test_the_pdf_is_at_true_size_and_the_same_every_time(tmp_path: Path) -> None:
    report = audit(weak_plate())
    for name in ("one.pdf", "two.pdf"):
        write_marked(tmp_path / name, weak_plate(), report, title="Weak")
    one = (tmp_path / "one.pdf").read_bytes()
    assert one == (tmp_path / "two.pdf").read_bytes()
    document = pdfium.PdfDocument(one)
    drawn = marked(weak_plate())
    width, height = document[0].get_size()
    # 1 unit is 1/72 in (ISO 32000-1)
    assert (width / 72 * 25.4, height / 72 * 25.4) == pytest.approx((drawn.width, drawn.height), abs=1e-3)
    assert document.get_metadata_dict()["Title"] == "Weak"
    document.close()
    assert b"/PrintScaling /None" in one


def test_the_picture_knows_its_resolution(tmp_path: Path) -> None:
    write_marked(tmp_path / "a.png", weak_plate(), audit(weak_plate()), title="Weak", dpi=100)
    with Image.open(io.BytesIO((tmp_path / "a.png").read_bytes())) as picture:
        assert picture.info["dpi"] == pytest.approx((100, 100), abs=0.02)
        assert math.isclose(picture.width, marked(weak_plate()).width / 25.4 * 100, abs_tol=1)


@pytest.mark.parametrize("mirrored", [False, True])
def test_numbers_stand_down_the_margins_and_each_leads_to_its_ring(mirrored: bool) -> None:
    drawn = marked(weak_plate(), mirrored=mirrored)
    left, _, right, _ = drawn.bounds
    for _, room in drawn.numbers():
        assert room.bounds[2] < left or room.bounds[0] > right
    leaders = drawn.leaders()
    assert len(leaders) == len(drawn.rings())
    for leader, (_, room), (_, ring) in zip(leaders, drawn.numbers(), drawn.rings().values(), strict=True):
        assert leader.distance(ring) < 0.6
        assert leader.distance(room) < 1.0


def test_a_mirror_image_says_so_at_its_head_and_gives_places_as_they_lie() -> None:
    paper = box(0, 0, 60, 40) - Point(2.8, 12).buffer(2, quad_segs=32)
    front, back = (marked(paper, mirrored=mirrored) for mirrored in (False, True))
    assert "At 0.4, 12." in front.said()
    assert "At 59.6, 12." in back.said()
    heads = [
        [text.text for text in drawn.group("around").iter(f"{SVG}text") if text.text == "MIRROR IMAGE"]
        for drawn in (front, back)
    ]
    assert heads == [[], ["MIRROR IMAGE"]]
    for drawn in (front, back):
        scales = {path.get("class") for path in drawn.group("around").iter(f"{SVG}path")}
        assert {"scale-50-mm", "scale-2-in-upright"} <= scales
