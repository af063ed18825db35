"""``canivet plan``: what it prints, writes and refuses."""

import dataclasses
import json
from pathlib import Path

import pytest

PIECE = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">
<path fill-rule="evenodd" d="M0 0H60V30H0ZM5 5V15H15V5ZM20 5V9H24V5ZM30 5V25H55V5ZM20 15V19H24V15Z"/></svg>"""
PLATE = 'title = "Trial"\nsize = "60x90 mm"\n[ground]\nmotif = "diamond-lattice"\npitch = "9 mm"\n'


def test_a_plan_is_told_in_words(run, here):
    here("a.svg", PIECE)
    result = run("plan", "a.svg")
    assert result.exit_code == 0
    for said in (
        "4 openings, cut from the back",
        "support",
        "spanning trees",
        "1 blade, 1 sitting",
        "difficulty 1 of 5",
    ):
        assert said in result.stdout
    assert result.stderr == ""


def test_json_goes_to_stdout_and_to_a_file_alike(run, here):
    here("a.svg", PIECE)
    result = run("plan", "a.svg", "--json", "-o", "out.json")
    plan = json.loads(result.stdout)
    assert json.loads(Path("out.json").read_text()) == plan
    contract = "openings outline reach_mm support travel_mst turning_deg turning_plain_deg cut_length_mm minutes blades sittings grade"
    assert set(contract.split()) <= set(plan)
    opening = "number at_mm area_mm2 delicacy sitting pierce_mm strokes"
    assert set(opening.split()) <= set(plan["openings"][0])
    stroke = "tool points_mm sheet_angle_deg frees overrun_mm"
    assert set(stroke.split()) <= set(plan["openings"][0]["strokes"][0])
    assert plan["openings"][-1]["area_mm2"] == 500


def test_a_plan_is_written_as_pages_to_cut_from_and_as_a_page_beside_the_table(run, here):
    here("plate.toml", PLATE)
    for name, begins in (("p.pdf", b"%PDF"), ("p.html", b"<!")):
        assert run("plan", "plate.toml", "-o", name).exit_code == 0
        assert Path(name).read_bytes().startswith(begins)


def test_each_size_of_a_design_has_a_plan_of_its_own(run, here):
    here("plate.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "80x120 mm"]'))
    result = run("plan", "plate.toml", "-o", "p.json", "--json")
    small, large = json.loads(result.stdout)
    assert len(small["openings"]) < len(large["openings"])
    assert {path.name for path in Path().glob("*.json")} == {"p-60x90mm.json", "p-80x120mm.json"}


def test_a_series_has_one_plan_and_figures_for_all_its_plates(run, here):
    here("names.csv", "name\nEdda\nTomas\n")
    here("plate.toml", PLATE.replace("Trial", "Trial for {name}") + '[series]\nlist = "names.csv"\n')
    plan = json.loads(run("plan", "plate.toml", "--json").stdout)
    assert [one["plate"] for one in plan["plates"]] == ["0001-edda", "0002-tomas"]
    assert plan["plates"][0]["openings"] == len(plan["openings"])
    assert "difficulty" in run("plan", "plate.toml").stdout.splitlines()[-1]


def test_settings_may_be_given_beside_the_design(run, here):
    here("plate.toml", PLATE + '[plan]\nsurface = "glass"\n')
    glass, mat = (
        json.loads(run("plan", "plate.toml", "--json", *extra).stdout)
        for extra in ((), ("--set", "pace.knife=60"))
    )
    assert mat["minutes"] > glass["minutes"]
    assert mat["blades"] == glass["blades"]


def test_a_log_of_three_pieces_sets_the_pace_and_one_of_two_does_not(run, here):
    here("a.svg", PIECE)
    here("hours.csv", "date,drawing,minutes,blades\n" + "2031-05-17,a.svg,9,1\n" * 3)
    told = run("plan", "a.svg", "--log", "hours.csv").stdout
    assert "fitted to 3 finished pieces" in told
    assert "about 9 min" in told
    assert "line 2, a.svg: +0 min" in told or "line 2, a.svg: -0 min" in told
    here("hours.csv", "date,drawing,minutes,blades\n" + "2031-05-17,a.svg,9,1\n" * 2)
    assert "keeps the defaults (common practice)" in run("plan", "a.svg", "--log", "hours.csv").stdout


@pytest.mark.parametrize(("args", "status", "said"), [
    (("none.svg",), 1, "none.svg"),
    (("a.svg", "-o", "a.svg"), 2, "a plan is written as .pdf, .html, .json"),
    (("a.svg", "--set", "tools=scissors"), 1, "Take the knife to hand too"),
    (("a.svg", "--set", "tool=knife"), 2, "Did you mean 'tools'?"),
    (("a.svg", "--set", "tools"), 2, "it takes name=value"),
    (("a.svg", "--layers", "0"), 2, "layers is 0"),
    (("two.svg",), 1, "2 parts"),
    (("bare.svg",), 1, "no openings"),
    (("a.svg", "--log", "bad.csv"), 2, "line 2: minutes is 'long'"),
    (("a.svg", "--log", "lost.csv"), 2, "lost.csv, line 2"),
])  # fmt: skip
def test_what_cannot_be_planned_is_told_in_a_sentence(run, here, args, status, said):
    here("a.svg", PIECE)
    here("two.svg", PIECE.replace("M0 0H60V30H0Z", "M0 0H28V30H0ZM29 0H60V30H29Z"))
    here(
        "bare.svg",
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><path d="M0 0H9V9H0Z"/></svg>',
    )
    here("bad.csv", "date,drawing,minutes,blades\n2031-05-17,a.svg,long,1\n")
    here("lost.csv", "date,drawing,minutes,blades\n2031-05-17,gone.svg,20,1\n")
    result = run("plan", *args)
    assert result.exit_code == status
    assert said in result.stderr
    assert result.stdout == ""


def test_a_design_that_does_not_hold_is_not_planned(run, here, monkeypatch):
    from canivet.compose import plate

    here("plate.toml", PLATE)
    held = plate.hold_with_words

    def weak(*given, **more):
        made = held(*given, **more)
        return dataclasses.replace(made, report=_weak(made.paper))

    monkeypatch.setattr(plate, "hold_with_words", weak)
    result = run("plan", "plate.toml", "-o", "p.json")
    assert (result.exit_code, result.stdout, Path("p.json").exists()) == (3, "", False)
    assert "no plan was made" in result.stderr


def _weak(paper):
    from canivet.audit.strength import check_strength

    return check_strength(paper, strap=5.0)


def test_a_folded_design_is_planned_on_its_packet_through_all_its_layers(run, here):
    here("rose.toml", 'title = "Rose"\n[fold]\nkind = "medallion"\ncount = 6\nrings = ["drops fill"]\n')
    for output in ("rose.json", "rose.pdf", "rose.html"):
        assert run("plan", "rose.toml", "-o", output).exit_code == 0
    told = json.loads(Path("rose.json").read_text())
    assert told["layers"] == 12
    assert len(told["openings"]) < 10
    shown = run("plan", "rose.toml", "--layers", "2")
    assert shown.exit_code == 2
    assert "its packet has 12" in shown.stderr
