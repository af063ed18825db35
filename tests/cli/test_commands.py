"""The front door: what each command prints, writes and ends with."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import shapely
from support import assert_one_piece

from canivet.cli.main import COMMANDS, cli
from canivet.compose.reading.svg import read_paper_path

LOOSE = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">
<path d="M2 5H25V25H2Z"/><path d="M30 5H55V25H30Z"/></svg>"""

PLATE = """
title = "Trial plate"
size = "60x90 mm"
border = {motif = "scallop", band = "9 mm"}
[ground]
motif = "diamond-lattice"
pitch = "8 mm"
"""


def test_draw_writes_the_bare_piece_that_holds(run):
    result = run(
        "draw",
        "diamond-lattice",
        "--size",
        "60x80 mm",
        "--outline",
        "oval",
        "--strap",
        "1.3mm",
        "-o",
        "a.svg",
    )
    assert (result.exit_code, result.stdout) == (0, "a.svg\n")
    assert "weakest strap" in result.stderr
    paper = read_paper_path(Path("a.svg").read_bytes())
    assert paper.bounds == pytest.approx((0, 0, 60, 80), abs=0.001)
    checked = run("check", "a.svg", "--strap", "1.3mm")
    assert checked.exit_code == 0
    assert "holds at a strap of 1.3 mm" in checked.stdout


def test_set_reaches_any_setting_in_its_unit(run):
    run("draw", "hexagon-lattice", "--set", "pitch=0.5 in", "--set", "rim=5", "-o", "wide.svg")
    run("draw", "hexagon-lattice", "--set", "pitch=0.25in", "-o", "fine.svg")
    count = {
        name: len(read_paper_path(Path(name).read_bytes()).interiors) for name in ("wide.svg", "fine.svg")
    }
    assert count["fine.svg"] > 3 * count["wide.svg"]


def test_make_writes_svg_pdf_and_png_of_a_plate_that_holds(run, here):
    here("plate.toml", PLATE)
    result = run("make", "plate.toml", "-o", "out/deep")
    assert result.exit_code == 0
    written = [Path(line) for line in result.stdout.splitlines()]
    assert [path.name for path in written] == ["plate.svg", "plate.pdf", "plate.png"]
    assert all(path.stat().st_size > 1000 for path in written)
    checked = json.loads(run("check", "out/deep/plate.svg", "--strap", "1.2mm", "--json").stdout)
    assert checked["holds"] is True
    assert checked["size_mm"] == [60, 90]


def test_each_size_is_drawn_anew_and_keeps_its_straps(run, here):
    here("plate.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "120x180 mm"]'))
    result = run("make", "plate.toml", "-o", "out")
    names = [Path(line).name for line in result.stdout.splitlines()]
    assert names[::3] == ["plate-60x90mm.svg", "plate-120x180mm.svg"]
    small, large = (
        json.loads(run("check", f"out/{name}", "--strap", "1.2", "--json").stdout) for name in names[::3]
    )
    assert small["holds"]
    assert large["holds"]
    assert large["weakest_strap_mm"] == pytest.approx(small["weakest_strap_mm"], abs=0.15)
    assert large["openings"] > 2.5 * small["openings"]


def test_check_says_what_is_loose_and_join_ties_it(run, here):
    here("loose.svg", LOOSE)
    checked = run("check", "loose.svg")
    assert checked.exit_code == 3
    assert "2 parts are not joined" in checked.stdout
    joined = run("join", "loose.svg", "--strap", "1.5mm", "-o", "held.svg")
    assert (joined.exit_code, joined.stdout) == (0, "held.svg\n")
    assert "2 bridges, 10 mm in all" in joined.stderr
    report = json.loads(run("check", "held.svg", "--strap", "1.5mm", "--json").stdout)
    assert (report["holds"], report["pieces"], report["openings"]) == (True, 1, 1)


def test_a_slip_is_taken_off_both_edges(run, here):
    here(
        "frame.svg",
        '<svg viewBox="0 0 40 40" width="40mm" height="40mm"><path fill-rule="evenodd" d="M0 0H40V40H0Z M2 2V38H38V2Z"/></svg>',
    )
    assert run("check", "frame.svg", "--strap", "1.6mm", "--slip", "0.2mm").exit_code == 0
    assert run("check", "frame.svg", "--strap", "1.7mm", "--slip", "0.2mm").exit_code == 3


def test_check_reads_a_design_by_its_own_promise(run, here):
    here("plate.toml", PLATE)
    report = json.loads(run("check", "plate.toml", "--json").stdout)
    assert (report["holds"], report["strap_mm"]) == (True, 1.2)
    assert run("check", "plate.toml", "--strap", "3mm").exit_code == 3


def test_motifs_lists_all_and_tells_of_each(run):
    listed = json.loads(run("motifs", "--json").stdout)
    assert {m["family"] for m in listed} >= {"outline", "border", "lattice"}
    words = run("motifs").stdout
    for motif in listed:
        assert motif["name"] in words
        assert motif["summary"]
        told = run("motifs", motif["name"]).stdout
        for parameter in motif["parameters"]:
            assert set(parameter) >= {"name", "default", "unit", "least", "most", "meaning"}
            assert parameter["name"] in told
            assert parameter["meaning"] in told


WRONG = [
    (("drow", "x"), 2, "There is no command 'drow'. Did you mean 'draw'?"),
    (("draw", "meandre", "-o", "x.svg"), 2, "there is no motif of that name. Did you mean 'meander'?"),
    (("draw", "plinth", "-o", "x.svg"), 2, 'Put frame = "plinth" into a design'),
    (("draw", "oval", "--set", "width=50mm", "-o", "x.svg"), 2, "takes its width and height from --size"),
    (("draw", "oval", "--outline", "arch", "-o", "x.svg"), 2, "it goes with borders and lattices"),
    (("draw", "meander", "-o", "x.dxf"), 2, "written as one of: .svg, .pdf, .png"),
    (("draw", "meander", "--size", "4by6", "-o", "x.svg"), 2, "it takes two lengths joined by x"),
    (("draw", "meander", "--strap", "1,2 mm", "-o", "x.svg"), 2, "a decimal comma is not read. Write a point: '1.2 mm'"),
    (("draw", "meander", "--strap", "300 mm", "-o", "x.svg"), 2, "strap is 300 mm; it takes 0.3 mm to 20 mm"),
    (("draw", "meander", "--set", "truns=2", "-o", "x.svg"), 2, "has no setting 'truns'. Did you mean 'turns'?"),
    (("draw", "meander", "--set", "turns", "-o", "x.svg"), 2, "it takes name=value"),
    (("draw", "meander", "--outline", "ovel", "-o", "x.svg"), 2, "Did you mean 'oval'?"),
    (("draw", "meander", "--faces", "red", "-o", "x.svg"), 2, "it takes one of: plain"),
    (("draw", "diamond-lattice", "--size", "4x4 mm", "-o", "x.svg"), 2, "width is 4 mm"),
    (("draw", "diamond-lattice", "--strap", "9 mm", "-o", "x.svg"), 1, "strap"),
    (("draw", "meander", "-o", "none/x.svg"), 1, "none"),
    (("check", "none.svg"), 1, "none.svg is not there"),
    (("check", "none.toml"), 1, "none.toml is not there"),
    (("check", "empty.svg"), 1, "empty.svg"),
    (("check", "x.svg", "--strap", "0"), 2, "strap is 0 mm"),
    (("check", "x.svg", "--strap", "-1mm"), 2, "it takes a length of zero or more"),
    (("join", "none.svg", "-o", "y.svg"), 1, "none.svg is not there"),
    (("join", "x.svg", "--width", "9", "--height", "9", "-o", "y.svg"), 2, "give one, the other follows"),
    (("join", "x.svg", "--strap", "0", "-o", "y.svg"), 2, "above zero"),
    (("make", "none.toml"), 1, "none.toml is not there"),
    (("make", "wide.toml"), 1, "reaches over the edge of the plate"),
    (("make", "thick.toml"), 1, "strap"),
    (("motifs", "quincunx"), 2, "there is no motif of that name"),
]  # fmt: skip


@pytest.mark.parametrize(("args", "status", "said"), WRONG, ids=[" ".join(w[0])[:50] for w in WRONG])
def test_bad_input_gets_one_clear_sentence_and_leaves_nothing_behind(run, here, args, status, said):
    here("x.svg", LOOSE)
    here("empty.svg", "")
    here("wide.toml", PLATE + '[[silhouette]]\nfile = "x.svg"\nwidth = "80 mm"')
    here("thick.toml", PLATE.replace("[ground]", 'strap = "7 mm"\n[ground]', 1))
    before = sorted(Path().iterdir())
    result = run(*args)
    assert said in result.stderr
    assert result.exit_code == status
    assert result.stdout == ""
    assert sorted(Path().iterdir()) == before


@pytest.mark.skipif(
    os.geteuid() == 0, reason="root may write anywhere; the test below does it with a file in the way"
)
def test_a_read_only_folder_is_refused(run, here, tmp_path):
    here("plate.toml", PLATE)
    Path(tmp_path, "shut").mkdir(mode=0o500)
    result = run("make", "plate.toml", "-o", "shut")
    assert result.exit_code == 1
    assert "shut" in result.stderr


def test_a_file_where_the_folder_should_be_is_refused(run, here):
    here("plate.toml", PLATE)
    here("out", "in the way")
    result = run("make", "plate.toml", "-o", "out")
    assert result.exit_code == 1
    assert "out" in result.stderr
    assert Path("out").read_text() == "in the way"


def test_what_does_not_hold_is_not_written(run, here):
    # a plate whose slip leaves nothing of the strap cannot be promised
    here(
        "dust.svg", '<svg viewBox="0 0 40 40" width="40mm" height="40mm"><path d="M20 20h.2v.2h-.2z"/></svg>'
    )
    result = run("join", "dust.svg", "--strap", "1mm", "-o", "held.svg")
    assert result.exit_code == 1
    assert "smaller than a disc" in result.stderr
    assert not Path("held.svg").exists()


COMMAND = [sys.executable, "-c", "from canivet.cli.main import main; main()", "motifs", "hexagon-lattice"]


@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "utf-8"])
def test_output_survives_any_console(tmp_path, encoding):
    env = {**os.environ, "PYTHONIOENCODING": encoding}
    done = subprocess.run(COMMAND, capture_output=True, env=env, cwd=tmp_path, check=False)
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr


def test_output_survives_a_closed_pipe(tmp_path):
    shut = subprocess.Popen(COMMAND, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=tmp_path)
    shut.stdout.close()
    assert b"Traceback" not in shut.stderr.read()
    shut.stderr.close()
    shut.wait()


def test_svg_needs_no_cairo(tmp_path):
    """With cairo's bindings failing to load, as they do where the library is missing."""
    hide = (
        "import sys, importlib.abc\n"
        "class Hide(importlib.abc.MetaPathFinder):\n"
        "    def find_spec(self, name, *rest):\n"
        "        if name.split('.')[0] == 'cairocffi': raise OSError('no library called cairo')\n"
        "sys.meta_path.insert(0, Hide())\n"
        "from canivet.cli.main import main\nmain()\n"
    )

    def hidden(*args):
        return subprocess.run(
            [sys.executable, "-c", hide, *args], capture_output=True, text=True, cwd=tmp_path, check=False
        )

    assert hidden("motifs").returncode == 0
    assert hidden("draw", "scallop", "-o", "a.svg").returncode == 0
    assert hidden("check", "a.svg").returncode == 0
    for args in (("draw", "scallop", "-o", "a.pdf"), ("draw", "scallop", "-o", "a.png")):
        done = hidden(*args)
        assert done.returncode == 1
        assert "libcairo2 on Debian" in done.stderr
        assert "Traceback" not in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["a.svg"]


def test_the_paper_in_every_svg_is_one_path_in_millimetres(run, here):
    here("plate.toml", PLATE)
    run("draw", "hexagon-lattice", "-o", "draw.svg")
    run("make", "plate.toml")
    here("loose.svg", LOOSE)
    run("join", "loose.svg", "-o", "join.svg")
    for name in ("draw.svg", "plate.svg", "join.svg"):
        paper = read_paper_path(Path(name).read_bytes())
        assert_one_piece(paper, name)
        assert shapely.is_valid(paper)


def test_every_plate_of_a_list_is_checked_as_it_is_drawn(run, here):
    here("names.csv", "name\nAna\nZoe\n")
    here("plate.toml", PLATE.replace("Trial plate", "Ex libris {name}") + '[series]\nlist = "names.csv"\n')
    result = run("check", "plate.toml")
    assert result.exit_code == 0
    assert "plate.toml, row 2, 0001-ana: holds" in result.stdout
    assert "plate.toml, row 3, 0002-zoe: holds" in result.stdout
    told = json.loads(run("check", "plate.toml", "--json").stdout)
    assert [one["plate"] for one in told] == ["0001-ana", "0002-zoe"]


def test_a_slip_that_all_straps_lack_is_answered_with_one_line(run, here):
    here("plate.toml", PLATE)
    result = run("check", "plate.toml", "--slip", "0.2mm")
    assert result.exit_code == 3
    assert "so 1.6 mm" in result.stdout
    assert 'Draw the design with slip = "0.2 mm"' in result.stdout


def test_a_frame_says_what_panels_it_has_and_keeps_to_the_width_of_a_terminal(run):
    told = run("motifs", "open-book").stdout
    assert 'In a design: frame = "open-book", and [[lettering]] with panel = "left page".' in told
    assert "  right page, " in told
    assert max(map(len, run("motifs", "banner").stdout.splitlines())) < 150
    assert "greek-fret" in run("motifs", "banner").stdout


@pytest.mark.parametrize(
    ("command", "names"),
    [
        (("draw", "scallop"), ["outline", "border"]),
        (("draw", "hexagon-lattice"), ["outline", "ground"]),
        (("draw", "leaf"), ["outline", "openings"]),
        (("fold", "medallion"), ["outline", "wedge"]),
        (("join", "loose.svg"), ["outline", "openings", "bridges"]),
    ],
)
def test_what_a_command_hands_on_has_its_parts_by_role(run, here, command, names):
    here("loose.svg", LOOSE)
    assert run(*command, "-o", "out.svg").exit_code == 0
    drawing = Path("out.svg").read_text(encoding="utf-8")
    assert re.findall(r'<g id="([a-z]+)"', drawing[drawing.index('id="parts"') :]) == names


def test_the_list_of_commands_says_of_each_what_it_says_of_itself():
    for name, said in COMMANDS.items():
        command = cli.get_command(None, name)
        assert command.get_short_help_str(limit=200) == said
