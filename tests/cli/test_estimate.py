"""canivet estimate: the plan's own hours, what is bought, and a price that is what its lines come to."""

import json

import pypdfium2
import pytest
from click.testing import CliRunner

from canivet.cli.main import cli

DESIGN = """title = "Pond"
size = "90x120 mm"
strap = "3 mm"
[border]
motif = "dentil"
band = "18 mm"
[ground]
motif = "square-lattice"
pitch = "15 mm"
"""
FINISH = """[[patch]]
colour = "gold"
openings = "ground"
[mount]
kind = "matted"
mat = "40 mm"
moulding = "20 mm"
"""
PRICE = '[price]\nmoney = "crowns"\nrate = 30\npaper = 2\ncoloured = 1\nblade = 0.5\nmore = 4\n'


@pytest.fixture
def run(tmp_path):
    def estimate(text, *options, command="estimate"):
        path = tmp_path / "pond.toml"
        path.write_text(text)
        return CliRunner().invoke(cli, [command, str(path), *options])

    return estimate


def told(run, text):
    result = run(text, "--json")
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def test_hours_sittings_and_blades_are_those_of_the_cutting_plan(run):
    found, plan = told(run, DESIGN), json.loads(run(DESIGN, "--json", command="plan").stdout)
    assert found["minutes"] == pytest.approx(plan["minutes"], abs=0.05)
    assert (found["sittings"], found["blades"]) == (plan["sittings"], plan["blades"])
    assert found["price"] is None
    assert found["finishing_minutes"] == 0
    (paper,) = found["materials"]
    assert paper["what"].startswith("paper, dark on one face")
    # ISO 216: A5 is 148 × 210 mm; what the piece leaves of it is derived
    assert (paper["size_mm"], paper["count"], paper["grain"]) == ([148, 210], 1, "upright")
    assert paper["wasted"] == pytest.approx(1 - 90 * 120 / (148 * 210), abs=1e-3)


def test_a_finish_brings_its_boards_glass_and_papers(run):
    materials = told(run, DESIGN + FINISH)["materials"]
    sizes = {one["what"]: one["size_mm"] for one in materials}
    board = [90 - 12.7 + 80, 120 - 12.7 + 80]
    assert sizes["glass, 2 mm"] == sizes["backing board"] == pytest.approx(board)
    assert sizes["mat board of 4 ply, #f3efe4"] == pytest.approx(board)
    assert any(what.startswith("coloured paper, #ffd700") for what in sizes)
    assert told(run, DESIGN + FINISH)["finishing_minutes"] > 20


def test_the_price_is_the_rate_times_the_hours_and_what_each_material_costs_and_what_has_none_is_said(run):
    found = told(run, DESIGN + FINISH + PRICE)
    hours = (found["minutes"] + found["finishing_minutes"]) / 60
    assert found["price"] == pytest.approx(30 * hours + 2 + 1 + 0.5 * found["blades"] + 4, abs=0.1)
    assert found["price"] == pytest.approx(sum(line["amount"] for line in found["price_lines"]), abs=0.005)
    assert found["money"] == "crowns"
    assert "glass, 2 mm" in found["not_in_price"]


def test_a_frame_is_priced_once_whatever_stands_in_it(run):
    raised = FINISH.replace('"matted"', '"flat"')
    found = told(run, DESIGN + raised + PRICE + "frame = 30\n")
    assert any(one["what"].startswith("spacer") for one in found["materials"])
    assert [line["amount"] for line in found["price_lines"] if "moulding" in line["what"]] == [30]
    assert sum(line["amount"] == 30 for line in found["price_lines"]) == 1


def test_in_words_the_money_is_the_makers_own(run):
    result = run(DESIGN + PRICE)
    assert result.exit_code == 0
    assert "crowns" in result.stdout
    assert "no price" in run(DESIGN).stdout


def test_the_customers_page_is_one_page_without_the_trades_words(run, tmp_path):
    result = run(DESIGN + FINISH + PRICE, "-o", str(tmp_path / "for-ada.pdf"))
    assert result.exit_code == 0, result.stderr
    document = pypdfium2.PdfDocument(tmp_path / "for-ada.pdf")
    assert len(document) == 1
    text = document[0].get_textpage().get_text_bounded()
    assert "In all" in text
    assert "crowns" in text
    for trade in ("strap", "neck", "#", "mm", "g/m²", "ply", "rebate", "grade", "opening"):
        assert trade not in text, trade


def test_several_sizes_have_an_estimate_each(run):
    found = told(run, DESIGN.replace('"90x120 mm"', '["90x120 mm", "100x130 mm"]'))
    assert [one["size_mm"] for one in found] == [[90, 120], [100, 130]]


@pytest.mark.parametrize(
    ("text", "options", "said"),
    [
        (
            DESIGN + PRICE.replace("rate = 30", "rate = -3"),
            (),
            "price.rate is -3; it takes a number of zero or more",
        ),
        (DESIGN + PRICE.replace('money = "crowns"\n', ""), (), "price.money is missing"),
        (DESIGN, ("-o", "page.svg"), "the customer's page is written as .pdf"),
    ],
)
def test_a_slip_is_a_sentence(run, text, options, said):
    result = run(text, *options)
    assert result.exit_code in (1, 2)
    assert said in result.stderr
    assert "Traceback" not in result.stderr
