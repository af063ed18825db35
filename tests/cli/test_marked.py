"""What `check` and `make` tell of weak places: in words, as data, and as a marked drawing."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest
import shapely
from shapely.geometry import Polygon, box

from canivet.audit.strength import check_strength
from canivet.cutting import Cutting
from canivet.errors import MissingLibrary
from canivet.export.svg import piece_svg
from canivet.stock import Faces, Stock

PADDLES = "".join(
    f"M{60 - 1} {y}H{66}V{y - 2}H{70 + y / 10}V{y + 4}H66V{y + 2}H59Z" for y in range(10, 200, 30)
)
HOLDS = f"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="200mm" viewBox="0 0 100 200">
<path d="M0 0H60V200H0Z{PADDLES}"/></svg>"""
"""Seven paddles, each on a neck 2 mm wide, the lower the larger."""

SHARP = """<svg width="40mm" height="20mm" viewBox="0 0 40 20"><path fill-rule="evenodd" d="M0 0H40V20H0Z
M5 1L7 15L3 15Z M15 1.2L17 15L13 15Z M25 1.4L27 15L23 15Z M35 1.3L37 15L33 15Z"/></svg>"""

DUMBBELL = """<svg width="60mm" height="30mm" viewBox="0 0 60 30">
<path d="M0 0H25V14.6H35V0H60V30H35V15.4H25V30H0Z"/></svg>"""

PLATE = """
title = "Trial plate"
size = ["60x90 mm", "70x90 mm"]
border = {motif = "scallop", band = "9 mm"}
[ground]
motif = "diamond-lattice"
pitch = "8 mm"
"""


def test_the_single_holds_are_told_as_a_table_the_likeliest_to_tear_first(run, here):
    here("holds.svg", HOLDS)
    told = run("check", "holds.svg", "--strap", "1.5mm").stdout
    assert "7 single holds, the 5 likeliest to tear first:" in told
    rows = re.findall(r"^ +2 mm +([\d.]+) mm² +([\d.]+) +\((\S+), (\S+)\) mm$", told, re.M)
    assert len(rows) == 5
    risks = [float(risk) for _, risk, _, _ in rows]
    assert risks == sorted(risks, reverse=True)
    assert all(float(risk) == pytest.approx(float(area) / 2, abs=0.06) for area, risk, _, _ in rows)
    assert "slip left: 0.25 mm either way before it is under 1.5 mm" in told


def test_sharp_corners_are_counted_and_the_worst_three_named(run, here):
    here("sharp.svg", SHARP)
    told = run("check", "sharp.svg").stdout
    assert "4 sharp corners, the 3 with the least paper ahead of the blade first:" in told
    ahead = [float(mm) for mm in re.findall(r"^ +1\d° +([\d.]+) mm", told, re.M)]
    assert len(ahead) == 3
    assert ahead == sorted(ahead)


def test_slip_that_is_short_is_said_to_be(run, here):
    here("dumbbell.svg", DUMBBELL)
    told = run("check", "dumbbell.svg", "--strap", "1mm").stdout
    assert "slip left: none, it is 0.2 mm short" in told


@pytest.mark.parametrize("environment", [{}, {"FORCE_COLOR": "1", "COLUMNS": "20", "TERM": "xterm-256color"}])
@pytest.mark.parametrize("encoding", ["cp1252", "utf-8"])
def test_tables_are_plain_characters_in_any_console_and_pipe(tmp_path, encoding, environment):
    (tmp_path / "holds.svg").write_text(HOLDS, encoding="utf-8")
    env = {**os.environ, "PYTHONIOENCODING": encoding, **environment}
    command = [sys.executable, "-c", "from canivet.cli.main import main; main()", "check", "holds.svg"]
    done = subprocess.run(
        [*command, "--grammage", "90"], capture_output=True, env=env, cwd=tmp_path, check=False
    )
    told = done.stdout.decode(encoding)
    assert done.returncode == 0
    assert "\x1b" not in told
    assert not re.search("[?\u2500-\u259f]", told)
    assert "mm²" in told
    assert all(line == line.rstrip() for line in told.splitlines())
    assert "droop, held level" in told


def test_droop_is_advice_and_in_the_data_for_every_single_hold(run, here):
    here("holds.svg", HOLDS)
    asked = ("check", "holds.svg", "--strap", "1.5mm")
    assert "droop" not in json.loads(run(*asked, "--json").stdout)
    whole = json.loads(run(*asked, "--json", "--grammage", "90").stdout)
    assert len(whole["droop"]) == len(whole["single_holds"]) == 7
    for droop, hold in zip(whole["droop"], whole["single_holds"], strict=True):
        assert droop["at_mm"] == pytest.approx(hold["at_mm"], abs=0.002)
        assert droop["advice"].startswith("droops by ")
        assert droop["reach_mm"] * droop["load"] * hold["width_mm"] == pytest.approx(
            hold["hanging_mm2"], rel=0.01
        )
    soft = json.loads(run(*asked, "--json", "--grammage", "90", "--stiffness", "0.2").stdout)["droop"]
    stiff = json.loads(run(*asked, "--json", "--grammage", "90", "--stiffness", "0.4").stdout)["droop"]
    assert soft[0]["droop_mm"] == pytest.approx(2 * stiff[0]["droop_mm"], abs=0.002)
    assert "to be taken as advice and not as a promise" in run(*asked, "--grammage", "90").stdout


def test_droop_beyond_the_formula_is_not_made_up(run, here):
    here("dumbbell.svg", DUMBBELL)
    asked = ("check", "dumbbell.svg", "--grammage", "90")
    droop = json.loads(run(*asked, "--json").stdout)["droop"][0]
    assert droop["droop_mm"] is None
    told = run(*asked).stdout
    assert f"over a tenth of its {droop['reach_mm']:.0f} mm" in told
    assert "droops by more than a tenth of that, and the formula no longer holds" in told


WRONG = [
    (("--grammage", "0"), "--grammage is 0; it takes a number above 0"),
    (("--grammage", "nan"), "--grammage is nan; it takes a number above 0"),
    (("--grammage", "200"), "the published stiffness covers 75 to 120. Give --stiffness too"),
    (("--grammage", "90", "--stiffness", "-1"), "--stiffness is -1; it takes a number above 0"),
    (("--stiffness", "1"), "--stiffness is given without --grammage"),
    (("--marked", "page.txt"), "written as one of: .svg, .pdf, .png"),
    (("--marked", "page"), "has no ending"),
]


@pytest.mark.parametrize(("options", "said"), WRONG, ids=[" ".join(w[0]) for w in WRONG])
def test_wrong_options_are_refused_before_any_work(run, here, options, said):
    here("dumbbell.svg", DUMBBELL)
    result = run("check", "dumbbell.svg", *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr
    assert [path.name for path in Path().iterdir()] == ["dumbbell.svg"]


def test_heavier_paper_goes_with_a_stiffness_of_its_own(run, here):
    here("dumbbell.svg", DUMBBELL)
    result = run("check", "dumbbell.svg", "--json", "--grammage", "200", "--stiffness", "20")
    assert json.loads(result.stdout)["droop"][0]["droop_mm"] > 0


@pytest.mark.parametrize("name", ["page.svg", "page.pdf", "page.png"])
def test_check_writes_the_marked_drawing_and_ends_as_it_would_have(run, here, name):
    here("dumbbell.svg", DUMBBELL)
    for strap, status in (("1mm", 3), ("0.8mm", 0)):
        plain = run("check", "dumbbell.svg", "--strap", strap)
        result = run("check", "dumbbell.svg", "--strap", strap, "--marked", name)
        assert (result.exit_code, result.stdout) == (status, plain.stdout)
        assert f"{name}: the marked drawing" in result.stderr
        assert Path(name).stat().st_size > 1000
        Path(name).unlink()


def test_with_json_stdout_stays_one_object(run, here):
    here("dumbbell.svg", DUMBBELL)
    result = run("check", "dumbbell.svg", "--json", "--marked", "page.svg")
    assert json.loads(result.stdout)["holds"] is False
    assert "2 single holds, narrowest 0.8 mm" in Path("page.svg").read_text(encoding="utf-8")


def test_a_folder_that_is_not_there_is_refused_before_any_work(run, here):
    here("dumbbell.svg", DUMBBELL)
    result = run("check", "dumbbell.svg", "--marked", "none/page.pdf")
    assert (result.exit_code, result.stdout) == (1, "")


def test_each_size_of_a_design_gets_its_own_marked_drawing(run, here):
    here("plate.toml", PLATE)
    result = run("check", "plate.toml", "--strap", "1.2mm", "--marked", "page.svg")
    assert result.exit_code == 0
    assert sorted(p.name for p in Path().glob("*.svg")) == ["page-60x90mm.svg", "page-70x90mm.svg"]


@pytest.fixture
def weak_plate(monkeypatch):
    """A design whose plate cannot be made to hold, which composing would else see to."""
    from canivet.compose.openings import Openings
    from canivet.compose.plate import Plate, PlateParts

    paper = box(0, 0, 60, 90) - Polygon([(5, 1), (55, 1), (55, 80), (5, 80)])
    cutting = Cutting(paper, 1.2, "Trial plate", stock=Stock.of(Faces.DARK_ONE_FACE))
    parts = PlateParts(box(0, 0, 60, 90), box(0, 0, 60, 90), Openings.of([], "window"))
    plate = Plate(cutting, check_strength(paper, strap=1.2), (), parts)
    monkeypatch.setattr("canivet.compose.series.jobs.compose_plate", lambda *_, **__: plate)


@pytest.mark.usefixtures("weak_plate")
def test_make_marks_a_plate_that_does_not_hold_and_writes_no_plate(run, here):
    here("plate.toml", PLATE.replace(', "70x90 mm"', ""))
    result = run("make", "plate.toml", "-o", "out")
    assert (result.exit_code, result.stdout) == (3, "")
    assert [path.name for path in Path("out").iterdir()] == ["plate-marked.pdf"]
    assert "no plate was written" in result.stderr
    assert f"{Path('out', 'plate-marked.pdf')}: a marked drawing of where it is weak" in result.stderr
    document = pypdfium2.PdfDocument(Path("out/plate-marked.pdf"))
    text = document[0].get_textpage()
    said = text.get_text_bounded()
    text.close()
    document.close()
    assert "It does not hold at a strap of 1.2 mm" in said
    assert "MIRROR IMAGE" in said
    assert "seen from the back, as it is cut" in said


@pytest.mark.usefixtures("weak_plate")
def test_what_keeps_the_mark_from_being_written_does_not_hide_that_the_plate_is_weak(run, here, monkeypatch):
    def no_cairo():
        raise MissingLibrary("PDF and PNG need the cairo library.")

    monkeypatch.setattr("canivet.export.pdf.load_cairosvg", no_cairo)
    here("plate.toml", PLATE)
    result = run("make", "plate.toml", "-o", "out")
    assert result.exit_code == 3
    assert "does NOT hold" in result.stderr
    assert "not written: PDF and PNG need the cairo library." in result.stderr
    assert list(Path("out").iterdir()) == []


@pytest.mark.parametrize(("width", "holds"), [(2.8, 2), (3.3, 1)])
def test_single_holds_are_told_up_to_three_straps_wide(run, here, width, holds):
    blocks = [box(50 * k, 0, 50 * k + 40, 40) for k in range(3)]
    bars = [box(39, 19, 51, 21), box(89, 20 - width / 2, 101, 20 + width / 2)]
    here("three.svg", piece_svg(Cutting(shapely.union_all([*blocks, *bars]), 1.0, "Three")))
    told = run("check", "three.svg", "--strap", "1mm", "--json")
    assert told.exit_code == 0
    assert len(json.loads(told.stdout)["single_holds"]) == holds


STEM = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">
<path d="M0 40L29.6 40 29.5 30 29.55 20 20 18 20 2 40 2 40 18 30.4 20 30.5 30 30.4 40L60 40 60 60 0 60Z"/></svg>"""


def test_a_stem_is_told_once_and_not_where_each_of_its_necks_is(run, here):
    here("stem.svg", STEM)
    told = run("check", "stem.svg", "--strap", "1.5mm").stdout
    necks = [line for line in told.splitlines() if "alone" in line]
    assert len(necks) == 1, told


def test_several_limbs_are_too_thin_for_their_length(run, here):
    prongs = "".join(f"M{x} 0H{x + 0.6}V12H{x}Z" for x in (5, 25))
    here("fork.svg", '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">'
         f'<path d="M0 11H40V30H0Z{prongs}"/></svg>')  # fmt: skip
    assert "2 limbs too thin for their length" in run("check", "fork.svg", "--strap", "1.5mm").stdout


def test_the_area_is_told_to_programs(run, here):
    here("card.svg", '<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">'
         '<path d="M0 0H30V20H0ZM5 5V15H25V5Z"/></svg>')  # fmt: skip
    assert json.loads(run("check", "card.svg", "--json").stdout)["area_mm2"] == pytest.approx(400, abs=0.1)
