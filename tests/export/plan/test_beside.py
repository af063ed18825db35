"""The page beside the table, in a real browser."""

import base64
import io
import json
import re

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from shapely import box

from canivet.audit.strength import check_strength
from canivet.compose.planning.plan import plan_cutting
from canivet.export.plan import beside
from canivet.export.plan.beside import beside_html, write_beside
from canivet.motifs.shapes.openings import pierce, rings_from

TABLET, PHONE = (1024, 768), (390, 844)


def grille(columns: int, rows: int, pitch: float = 8.0):
    """A sheet with square openings of 5 mm, wider ones in the first column."""
    corners = np.array([(1.5, 1.5), (6.5, 1.5), (6.5, 6.5), (1.5, 6.5)])
    at = np.stack(np.meshgrid(np.arange(columns), np.arange(rows)), axis=-1).reshape(-1, 1, 2) * pitch
    return pierce(box(0, 0, columns * pitch, rows * pitch), [rings_from(at + corners)])


PAPER = grille(4, 6)
PLAN = plan_cutting(PAPER, title="Tiles <b>& more</b>", mirrored=True)


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("beside") / "tiles.html"
    write_beside(path, PLAN, PAPER, report=check_strength(PAPER, strap=1.2))
    return path


@pytest.fixture
def opened(chromium):
    """Open a file at a size; whatever the page complains of fails the test."""
    contexts, complaints, asked = [], [], []

    def opening(path, size=TABLET, script=None, **more):
        context = chromium.new_context(viewport=dict(zip(("width", "height"), size, strict=True)), **more)
        contexts.append(context)
        if script:
            context.add_init_script(script)
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda message: complaints.append(message.text))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(path.as_uri())
        return page

    yield opening
    for context in contexts:
        context.close()
    assert complaints == []
    assert {url.partition(":")[0] for url in asked} <= {"file", "data"}


def which(page) -> str:
    return page.locator("#which").inner_text()


def gone(page) -> int:
    return page.locator(".waste.gone").count()


def test_the_page_is_one_file_that_asks_the_network_for_nothing():
    text = beside_html(PLAN, PAPER)
    assert "Tiles &lt;b&gt;" in text
    assert "<b>" not in text
    assert not re.search(r"""(src|href)=["'](?!#)|@import|url\((?!#)""", text)
    assert set(re.findall(r"https?://[^\"']*", text)) == {"http://www.w3.org/2000/svg"}
    data = json.loads(re.search(r'<script type="application/json" id="plan">(.*?)</script>', text, re.S)[1])
    assert [one["number"] for one in data["openings"]] == list(range(1, 25))


def test_what_a_title_holds_stays_a_title():
    hostile = "</script><script>alert(1)</script> @plan@ {{x}} \u2028"
    text = beside_html(plan_cutting(PAPER, title=hostile), PAPER)
    assert text.count("<script") == 2
    assert "alert(1)&lt;/script&gt; @plan@" in text


def test_a_mirrored_piece_lies_mirrored_on_the_page():
    paper = box(0, 0, 40, 20) - box(2, 4, 8, 8) - box(20, 4, 30, 14)
    for mirrored, x in ((True, 35.0), (False, 5.0)):
        data = re.search(
            r'id="plan">(.*?)</script>', beside_html(plan_cutting(paper, mirrored=mirrored), paper), re.S
        )
        assert json.loads(data[1])["openings"][0]["at"] == pytest.approx([x, 14.0], abs=1.1)


def test_a_step_forward_takes_the_waste_away_and_a_step_back_brings_it_back(opened, page_file):
    page = opened(page_file)
    assert which(page) == "Opening 1 of 24"
    page.keyboard.press("ArrowRight")
    page.get_by_role("button", name="Cut, next").click()
    assert (which(page), gone(page)) == ("Opening 3 of 24", 2)
    page.keyboard.press("ArrowLeft")
    assert (which(page), gone(page)) == ("Opening 2 of 24", 1)


def test_strokes_are_gone_through_one_by_one_and_lead_on_to_the_next_opening(opened, page_file):
    page = opened(page_file)
    strokes = len(PLAN.openings[0].strokes)
    for _ in range(strokes - 1):
        page.keyboard.press("ArrowDown")
    assert which(page) == "Opening 1 of 24"
    assert "frees the waste" in page.locator("#how").inner_text()
    page.get_by_role("button", name="Next stroke").click()
    assert which(page) == "Opening 2 of 24"


def test_a_swipe_steps_and_a_scroll_does_not(opened, page_file):
    page = opened(page_file, PHONE, has_touch=True, is_mobile=True)

    def drag(dx, dy):
        page.evaluate(
            """([dx, dy]) => { const f = document.getElementById("figure");
            const send = (kind, x, y) => f.dispatchEvent(new PointerEvent(kind, {bubbles: true, pointerType: "touch", clientX: x, clientY: y}));
            send("pointerdown", 200, 200); send("pointerup", 200 + dx, 200 + dy); }""",
            [dx, dy],
        )

    drag(-120, 10)
    assert which(page) == "Opening 2 of 24"
    drag(-60, -200)
    assert which(page) == "Opening 2 of 24"
    drag(120, 10)
    assert which(page) == "Opening 1 of 24"


def test_ticks_survive_closing_the_page(opened, page_file):
    page = opened(page_file)
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.locator("summary", has_text="Sitting 1").click()
    page.get_by_label("9: knife", exact=True).check()
    page.reload()
    assert (which(page), gone(page)) == ("Opening 4 of 24", 4)
    assert "are kept" in page.locator("#kept").inner_text()


def test_it_works_where_the_browser_keeps_nothing(opened, page_file):
    refused = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no', 'SecurityError'); }});"
    page = opened(page_file, script=refused)
    page.keyboard.press("ArrowRight")
    assert (which(page), gone(page)) == ("Opening 2 of 24", 1)
    assert "keeps no ticks" in page.locator("#kept").inner_text()


def test_a_number_is_found_and_one_that_is_not_there_is_said(opened, page_file):
    page = opened(page_file)
    page.fill("#number", "17")
    page.keyboard.press("Enter")
    assert which(page) == "Opening 17 of 24"
    assert page.locator("#marks .number").text_content() == "17"
    page.fill("#number", "99")
    page.keyboard.press("Enter")
    assert "from 1 to 24" in page.locator("#how").inner_text()


def test_the_outline_comes_last_and_then_all_is_cut(opened, page_file):
    page = opened(page_file)
    for _ in range(24):
        page.keyboard.press("ArrowRight")
    assert which(page) == "The outline"
    page.keyboard.press("ArrowRight")
    assert which(page) == "All is cut."
    assert "25 of 25" in page.locator("#progress").inner_text()


def test_true_size_is_set_by_a_bank_card(opened, page_file):
    # 85.60 mm: the width of an ID-1 card, ISO/IEC 7810.
    page = opened(page_file)
    page.locator("summary", has_text="bank card").click()
    page.locator("#card-width").fill("428")
    page.locator("input[value=true]").check()
    assert page.locator("#card-bar").bounding_box()["width"] == pytest.approx(428, abs=0.5)
    mm = page.evaluate("document.getElementById('picture').viewBox.baseVal.width")
    px = page.locator("#picture").bounding_box()["width"]
    assert px / mm == pytest.approx(428 / 85.60, rel=1e-3)


def test_the_sheet_turns_as_the_stroke_wants_it(opened, page_file):
    page = opened(page_file)
    page.locator("#turn").check()
    wanted = PLAN.openings[0].strokes[0].sheet_angle
    turned = page.locator("#sheet").get_attribute("transform")
    assert float(re.match(r"rotate\((-?[\d.]+)", turned)[1]) == pytest.approx(-wanted, abs=0.06)
    # turned anticlockwise by the angle, the stroke points straight down the screen, to the cutter
    first, last = (
        page.evaluate(
            """(end) => { const path = document.querySelector("#marks .stroke[marker-end]"), length = path.getTotalLength();
            const at = path.getPointAtLength(end * length).matrixTransform(path.getScreenCTM()); return [at.x, at.y]; }""",
            end,
        )
        for end in (0, 1)
    )
    assert last[1] > first[1]
    assert last[0] == pytest.approx(first[0], abs=0.5)


def test_the_finished_front_is_seen_the_right_way_round_on_a_ground_of_choice(opened, page_file):
    page = opened(page_file)
    page.locator("#front").check()
    assert "scale(-1 1)" in page.locator("#sheet").get_attribute("transform")
    page.locator("#ground").fill("#123456")
    seen = page.locator(".waste").first.evaluate("one => getComputedStyle(one).fill")
    assert seen == "rgb(18, 52, 86)"


def luminance(colour: str) -> float:
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    dark, light = sorted(map(luminance, (one, other)))
    return (light + 0.05) / (dark + 0.05)


def test_text_and_marks_stand_out_and_targets_fit_a_finger(opened, page_file):
    # WCAG 2.2: 1.4.3 text 4.5 : 1, 1.4.11 marks 3 : 1, 2.5.8 targets 24 x 24 px.
    css = beside._part("beside.css")
    root = dict(re.findall(r"--(\w+): (#\w{6})", css))
    for text in (root["ink"], "#4d463b", root["mark"]):
        assert contrast(text, root["page"]) >= 4.5
        assert contrast(text, root["card"]) >= 4.5
    assert contrast(root["mark"], "#ffffff") >= 3
    for size in (TABLET, PHONE):
        page = opened(page_file, size)
        for target in page.locator("button, summary, fieldset label, #number").all():
            if target.is_visible():
                found = target.bounding_box()
                assert min(found["width"], found["height"]) >= 24, target


def test_every_control_has_a_name_and_is_reached_by_the_tab_key(opened, page_file):
    page = opened(page_file)
    names = []
    for _ in range(40):
        page.keyboard.press("Tab")
        names.append(
            page.evaluate(
                "document.activeElement.id || document.activeElement.value || document.activeElement.innerText"
            )
        )
    for wanted in ("picture", "next", "stroke-next", "number", "whole", "turn", "front", "ground"):
        assert wanted in names, wanted
    assert page.locator("[aria-live=polite]").count() == 1


def test_on_paper_there_is_the_picture_and_a_box_to_tick_for_every_step(opened, page_file):
    page = opened(page_file)
    page.keyboard.press("ArrowRight")
    printed = pypdfium2.PdfDocument(page.pdf(format="A4"))
    text = "".join(sheet.get_textpage().get_text_range() for sheet in printed)
    for number in range(1, 25):
        assert re.search(rf"\b{number}: knife", text), number
    assert "Cut, next" not in text


def test_a_lace_of_thousands_is_painted_and_still_goes_step_by_step(opened, tmp_path, monkeypatch):
    monkeypatch.setattr(beside, "MOST_PATHS", 100)
    paper = grille(20, 20, pitch=8.0)
    plan = plan_cutting(paper)
    write_beside(tmp_path / "lace.html", plan, paper)
    page = opened(tmp_path / "lace.html")
    assert page.locator(".waste").count() == 0

    def colour_of(number: int):
        x, y = page.evaluate(
            """(n) => { const p = document.getElementById("picture"), at = plan.openings[n - 1].at;
            const there = new DOMPoint(...at).matrixTransform(p.getScreenCTM()); return [there.x, there.y]; }""",
            number,
        )
        shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
        return shot.getpixel((round(x), round(y)))

    first = plan.openings[0].number
    page.evaluate("document.getElementById('marks').style.display = 'none'")
    assert colour_of(first) == (255, 255, 255)
    page.keyboard.press("ArrowRight")
    assert colour_of(first) == (169, 184, 163)
    assert which(page) == "Opening 2 of 400"


def test_a_picture_of_the_finished_piece_is_in_the_page_where_there_is_one():
    paper = box(0, 0, 30, 20) - box(5, 5, 9, 9)
    plan = plan_cutting(paper, title="Card")
    assert "How it will look" not in beside_html(plan, paper)
    page = beside_html(plan, paper, finished=b"\x89PNG picture")
    assert 'alt="Card as it will look, mounted"' in page
    assert base64.b64encode(b"\x89PNG picture").decode() in page
