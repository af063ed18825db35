"""The first pieces are for beginners, and the commissions are carried through to the last page."""

import json
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image

from canivet.cli.main import cli
from canivet.compose.design.loading import load_design
from canivet.compose.planning.packet import plan_packet_cutting
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.plate import compose_plate

GALLERY = Path(__file__).parents[2] / "gallery"
FIRST = sorted((GALLERY / "first").glob("*.toml"))
COMMISSIONS = sorted((GALLERY / "commissions").glob("*.toml"))


def test_there_are_three_of_each():
    assert (len(FIRST), len(COMMISSIONS)) == (3, 3)
    kinds = {load_design(path).mount.kind for path in COMMISSIONS}
    assert {"raised", "panes"} <= kinds
    assert any(load_design(path).patch for path in COMMISSIONS)


@pytest.mark.parametrize("path", FIRST, ids=lambda p: p.stem)
def test_a_beginner_cuts_a_first_piece_with_household_scissors_within_an_hour(path):
    design = load_design(path)
    plate = compose_plate(design)
    plan = (
        plan_cutting(plate.cutting, settings=design.plan)
        if plate.packet is None
        else plan_packet_cutting(plate.packet, settings=design.plan)
    )
    assert design.plan.tools == "scissors"
    assert design.paper.faces.value == "plain"
    assert plan.grade.value == 1
    assert plan.minutes < 60
    assert plan.cut_length["knife"] == 0
    with pypdfium2.PdfDocument(path.with_name(f"{path.stem}-plan.pdf")) as document:
        assert len(document) >= 2  # the piece numbered, and its steps


@pytest.mark.parametrize("path", COMMISSIONS, ids=lambda p: p.stem)
def test_a_commission_has_every_page_that_customer_and_framer_ask_for(path):
    design = load_design(path)
    wanted = [".pdf", "-framing.pdf", "-estimate.pdf"]
    wanted += ["-patches.pdf"] if design.patch else []
    wanted += ["-pads.pdf"] if design.mount.kind == "raised" else []
    for ending in wanted:
        with pypdfium2.PdfDocument(path.with_name(path.stem + ending)) as document:
            assert len(document) >= 1
    for ending in (".png", "-wall.png"):
        with Image.open(path.with_name(path.stem + ending)) as picture:
            assert min(picture.size) > 900


def test_the_estimate_of_a_commission_is_the_one_on_its_page():
    path = GALLERY / "commissions/moonrise.toml"
    found = json.loads(CliRunner().invoke(cli, ["estimate", str(path), "--json"]).stdout)
    with pypdfium2.PdfDocument(path.with_name("moonrise-estimate.pdf")) as document:
        said = document[0].get_textpage().get_text_bounded()
    assert f"{found['price']:,.2f}" in said
