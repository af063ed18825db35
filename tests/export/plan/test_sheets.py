"""The cutting page: numbers, strokes and steps on paper."""

import itertools
import re

import numpy as np
import pypdfium2
import pytest
import shapely
from shapely import box

from canivet.compose.planning.plan import plan_cutting
from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.export.page.setup import MARGIN
from canivet.export.page.signs import head_block, head_height
from canivet.export.plan.listing import list_pages
from canivet.export.plan.numbering import LEAST, place_numbers
from canivet.export.plan.sheets import cutting_pages, write_cutting_pages
from canivet.export.plan.telling import in_hours
from canivet.motifs.registry import find_motif
from canivet.sheets import SHEETS
from canivet.stock import Faces, Stock


def lattice(width=90, height=120, pitch=7):
    within = find_motif("rectangle").draw(width=width, height=height)
    return find_motif("diamond-lattice").draw(within=within, pitch=pitch, strap=1.2)


@pytest.fixture(scope="module")
def cutting():
    return Cutting(
        lattice(), strap=1.2, title="A <trellis>", stock=Stock.of(faces=Faces.DARK_ONE_FACE, grammage=90)
    )


@pytest.fixture(scope="module")
def plan(cutting):
    return plan_cutting(cutting)


def words_on(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def test_every_number_stands_on_the_page_or_on_a_part_enlarged(plan, cutting):
    pages = [svg for svg, _ in cutting_pages(plan, cutting)]
    drawn = [set(words_on(svg)) for svg in pages if "steps, page" not in svg]
    numbers = {str(one.number) for one in plan.openings}
    assert numbers <= set().union(*drawn)
    assert len(drawn) > 1 or numbers <= drawn[0]


def test_the_table_has_a_line_and_a_box_for_every_opening_and_the_outline(plan, cutting):
    pages = list_pages(plan, cutting.paper, SHEETS["A4"])
    words = list(itertools.chain(*map(words_on, pages)))
    told = [int(found[1]) for line in words if (found := re.match(r"(\d+): \d+ (stroke|scissors)", line))]
    assert told == [one.number for one in plan.openings]
    assert any(line.startswith("outline:") for line in words)
    drawn = re.findall(r'<path d="([^"]*)"[^>]*id="boxes', "".join(pages))
    boxes = sum(data.count("M") for data in drawn)
    assert boxes == len(told) + 1


def test_places_in_the_table_are_counted_as_the_sheet_lies_before_the_cutter():
    paper = box(0, 0, 100, 60) - box(10, 20, 14, 24) - box(60, 20, 90, 40)
    for mirrored, place in ((False, "12, 22"), (True, "88, 22")):
        words = words_on(list_pages(plan_cutting(paper, mirrored=mirrored), paper, SHEETS["A4"])[0])
        assert any(line.startswith("1: ") and line.endswith(f"; {place}") for line in words)


def test_the_piece_is_at_true_size_mirrored_where_the_back_is_cut(plan, cutting, tmp_path):
    svg, sheet = cutting_pages(plan, cutting)[0]
    data = re.search(r'id="paper"[^>]*? d="([^"]*)"|d="([^"]*)"[^>]*? id="paper"', svg)
    points = np.array(re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", data[1] or data[2]), float)
    assert np.ptp(points, axis=0) == pytest.approx((90, 120), abs=1e-6)
    write_cutting_pages(tmp_path / "plan.pdf", plan, cutting)
    page = pypdfium2.PdfDocument(tmp_path / "plan.pdf")[0]
    # ISO 32000-1: a unit is 1/72 in
    assert page.get_size() == pytest.approx((sheet.width * 72 / 25.4, sheet.height * 72 / 25.4), abs=0.01)
    # black ink of the outline's knife line, measured on the rendering by another engine than drew it
    dark = np.asarray(page.render(scale=600 / 72).to_pil().convert("L")) < 100
    x = (points[:, 0].min() * 600 / 25.4, points[:, 0].max() * 600 / 25.4)
    columns = np.flatnonzero(dark[int(points[:, 1].mean() * 600 / 25.4)])
    assert np.abs(columns - x[0]).min() <= 3
    assert np.abs(columns - x[1]).min() <= 3


def test_an_asymmetric_piece_is_turned_over_where_the_back_is_cut():
    paper = box(0, 0, 60, 40) - box(5, 5, 15, 15)
    seen = {}
    for faces in (Faces.DARK_ONE_FACE, Faces.DARK_BOTH_FACES):
        card = Cutting(paper, strap=2, title="Card", stock=Stock.of(faces=faces, grammage=90))
        svg, sheet = cutting_pages(plan_cutting(card), card)[0]
        x = float(re.search(r'<text[^>]* x="([\d.]+)"[^>]*>1</text>', svg)[1])
        seen[faces] = x - sheet.width / 2
    assert seen[Faces.DARK_ONE_FACE] == pytest.approx(20, abs=0.1)
    assert seen[Faces.DARK_BOTH_FACES] == pytest.approx(-20, abs=0.1)


def test_numbers_stand_in_their_waste_or_on_blank_and_never_on_each_other():
    outline = box(0, 0, 60, 40)
    wastes = [box(2 + 4 * k, 3, 4 + 4 * k, 9) for k in range(13)] + [box(10, 14, 50, 36)]
    at = np.array([shapely.get_coordinates(waste.centroid)[0] for waste in wastes])
    around = outline.buffer(14, join_style="mitre")
    numbers = place_numbers(wastes, at, [str(k) for k in range(101, 115)], around=around, outline=outline)
    assert None not in numbers
    for one, other in itertools.combinations(numbers, 2):
        assert not one.room.intersects(other.room)
    paper = outline.difference(shapely.union_all(wastes))
    for number in numbers:
        assert number.size >= LEAST
        assert not number.room.intersects(paper)
    led = [shapely.LineString(number.leader) for number in numbers if number.leader]
    assert len(led) == 13
    assert not any(one.crosses(other) for one, other in itertools.combinations(led, 2))


def test_a_number_that_finds_no_place_is_given_up_and_not_set_over_another():
    outline = box(0, 0, 10, 10)
    found = place_numbers([box(4, 4, 5, 5)], np.array([(4.5, 4.5)]), ["1"], around=outline, outline=outline)
    assert found == [None]


def test_a_piece_larger_than_every_sheet_is_refused_with_what_to_do():
    paper = box(0, 0, 2000, 2000) - box(5, 5, 50, 50)
    with pytest.raises(DoesNotFit, match=r"2000 × 2000 mm; sheet A0 .* write an \.html"):
        cutting_pages(plan_cutting(paper), Cutting(paper, strap=2, title="Wall"))


@pytest.mark.parametrize(
    ("minutes", "said"), [(0.4, "0 min"), (89.4, "89 min"), (90, "1 h 30 min"), (125, "2 h 05 min")]
)
def test_times_are_said_as_people_say_them(minutes, said):
    assert in_hours(minutes) == said


@pytest.mark.parametrize("faces", [Faces.PLAIN, Faces.DARK_ONE_FACE, Faces.DARK_BOTH_FACES])
def test_a_mirrored_plan_is_headed_as_the_printed_page_is(faces):
    card = Cutting(lattice(60, 80, 12), strap=1.2, title="Card", stock=Stock.of(faces))
    page, sheet = cutting_pages(plan_cutting(card), card)[0]
    assert ("MIRROR IMAGE" in words_on(page)) == faces.mirrored
    band = head_block(faces, sheet.width - 2 * MARGIN, head_height(sheet))
    assert all((word.text in words_on(page)) == faces.mirrored for word in band.words)
    assert any("seen from the front" in line for line in words_on(page)) != faces.mirrored
