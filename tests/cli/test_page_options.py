"""Which paper and which ink: the same whatever command draws, and on no file that cannot show it."""

from pathlib import Path

import pypdfium2
import pytest
from made_faces import hebrew_face
from sampling import across

from canivet.cutting import Cutting
from canivet.stock import USUAL_FACES

LEAF = """<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="30mm" viewBox="0 0 50 30">
<path d="M2 2H48V28H2Z"/></svg>"""
PLATE = """
title = "Wren"
size = "60x90 mm"
border = {motif = "scallop", band = "9 mm"}
"""
COMMANDS = {
    "draw": ("draw", "diamond-lattice", "--size", "60x80 mm", "-o", "a.pdf"),
    "join": ("join", "leaf.svg", "-o", "a.pdf"),
    "fold": ("fold", "mirror", "-o", "a.pdf"),
    "make": ("make", "a.toml"),
}


def words_of(path: Path) -> str:
    document = pypdfium2.PdfDocument(path)
    page = document[0].get_textpage()
    said = " ".join(page.get_text_range().split())
    page.close()
    document.close()
    return said


@pytest.fixture
def draw(run, here):
    here("leaf.svg", LEAF)
    here("a.toml", PLATE)

    def drawn(command, *more):
        result = run(*COMMANDS[command], *more)
        assert result.exit_code == 0, result.output
        return words_of(Path("a.pdf"))

    return drawn


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_draws_for_the_same_paper_unless_told(draw, command):
    said = draw(command)
    assert f"paper {USUAL_FACES.value}" in said
    assert "MIRROR IMAGE" in said
    assert Cutting(None, 1, "").stock.faces is USUAL_FACES


INKS = {"lines": "what a line inside", "tint": "grey stays", "solid": "black stays"}


@across(command=COMMANDS, ink=INKS)
def test_every_command_draws_in_the_ink_asked_for(draw, command, ink):
    assert INKS[ink] in draw(command, "--ink", ink)


@pytest.mark.parametrize("command", ["draw", "join", "fold"])
def test_an_ink_that_could_only_be_ignored_is_refused(run, here, command):
    here("leaf.svg", LEAF)
    result = run(*COMMANDS[command][:-1], "a.svg", "--ink", "lines")
    assert result.exit_code == 2
    assert "--ink is given with a.svg; it goes with a PDF" in result.stderr
    assert not Path("a.svg").exists()


def test_a_template_says_where_to_fix_it(draw):
    assert "Fix this page over the dark sheet at the crosses" in draw("join", "--faces", "dark on both faces")


def test_what_the_page_cannot_say_is_told_and_a_face_that_can_is_named_in_the_design(run, here, tmp_path):
    here("a.toml", PLATE.replace("Wren", "Wren אבג"))
    assert "a: the face of the page has no U+05D0, U+05D1, U+05D2" in run("make", "a.toml").stderr
    hebrew_face(tmp_path / "oblongs.ttf")
    here("a.toml", PLATE.replace("Wren", "Wren אבג") + '[sheet]\nface = "oblongs.ttf"\n')
    result = run("make", "a.toml")
    assert result.exit_code == 0
    assert "has no" not in result.stderr
    assert {"א", "ב", "ג"} <= set(words_of(Path("a.pdf")))


def test_a_face_that_is_not_there_is_told(run, here):
    here("a.toml", PLATE + '[sheet]\nface = "gone.ttf"\n')
    result = run("make", "a.toml")
    assert result.exit_code == 1
    assert "gone.ttf is not there" in result.stderr
    assert not Path("a.pdf").exists()


def page_count(path: str) -> int:
    document = pypdfium2.PdfDocument(path)
    count = len(document)
    document.close()
    return count


@pytest.mark.parametrize(
    "command",
    [("draw", "diamond-lattice", "--size", "250x200 mm", "--sheet", "A4"),
     ("join", "leaf.svg", "--width", "350mm", "--sheet", "A4"),
     ("fold", "mirror", "--size", "280x280 mm")],
)  # fmt: skip
def test_what_is_larger_than_the_sheet_is_tiled_where_that_is_asked(run, here, command):
    here("leaf.svg", LEAF)
    result = run(*command, "--pages", "tiled", "-o", "a.pdf")
    assert result.exit_code == 0, result.output
    assert page_count("a.pdf") > 2


def test_a_design_says_how_its_pages_are_shared_out_and_the_command_line_over_it(run, here):
    here("a.toml", PLATE.replace("60x90", "210x290") + '[sheet]\npages = "tiled"\nsize = "A4"\n')
    assert run("make", "a.toml").exit_code == 0
    assert page_count("a.pdf") > 2
    assert run("make", "a.toml", "--pages", "one each").exit_code == 1


def test_plates_of_several_sizes_lie_together_on_one_sheet(run, here):
    here("a.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "80x120 mm"]'))
    result = run("make", "a.toml", "--pages", "together")
    assert result.exit_code == 0, result.output
    assert sorted(path.name for path in Path().glob("a*.pdf")) == ["a.pdf"]
    assert len(list(Path().glob("a-*.svg"))) == len(list(Path().glob("a-*.png"))) == 2
    said = words_of(Path("a.pdf"))
    for words in ("Wren · 60 × 90 mm", "Wren · 80 × 120 mm", "MIRROR IMAGE", "waste"):
        assert words in said


def test_pages_of_an_earlier_run_the_other_way_are_told(run, here):
    here("a.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "80x120 mm"]'))
    assert "earlier run" not in run("make", "a.toml").stderr
    told = run("make", "a.toml", "--pages", "together").stderr
    assert "there are still a-60x90mm.pdf, a-80x120mm.pdf; the plates now lie together in a.pdf" in told
    for path in Path().glob("a-*.pdf"):
        path.write_bytes(b"of somebody else")
    assert "earlier run" not in run("make", "a.toml", "--pages", "together").stderr
    told = run("make", "a.toml").stderr
    assert "there is still a.pdf; the plates now have a page each" in told


def test_sizes_of_one_design_are_printed_on_one_sheet_unless_it_names_another(run, here):
    here("a.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "101.6x152.4 mm"]'))
    assert run("make", "a.toml").exit_code == 0
    sheets = set()
    for path in Path().glob("a-*.pdf"):
        document = pypdfium2.PdfDocument(path)
        sheets.add(tuple(round(side / 72 * 25.4) for side in document[0].get_size()))
        document.close()
    assert sheets == {(148, 210)}


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--margin", "99mm"), "margin is 99 mm; it takes 4 mm to 60 mm"),
        (("--margin", "60mm"), "margins of 60 mm"),
    ],
)
def test_margins_that_leave_no_room_are_refused(run, here, more, says):
    here("a.toml", PLATE + '[sheet]\nsize = "A6"\n')
    result = run("make", "a.toml", *more)
    assert result.exit_code == 1 or result.exit_code == 2
    assert says in result.stderr
    assert not list(Path().glob("a.*g"))


@pytest.mark.parametrize("command", ["draw", "join", "fold"])
@pytest.mark.parametrize("option", [("--pages", "tiled"), ("--margin", "9mm")])
def test_pages_and_margins_go_with_a_page(run, here, command, option):
    here("leaf.svg", LEAF)
    result = run(*COMMANDS[command][:-1], "a.svg", *option)
    assert result.exit_code == 2
    assert f"{option[0]} is given with a.svg; it goes with a PDF" in result.stderr


def test_a_piece_that_would_take_thousands_of_tiles_is_refused_before_anything_is_written(run, here):
    here("a.toml", 'title = "Wall"\nsize = "2900x2900 mm"\n[sheet]\nsize = "A6"\npages = "tiled"\n')
    result = run("make", "a.toml")
    assert result.exit_code == 1
    assert "at most 100 are tiled" in result.stderr
    assert not list(Path().glob("a.*g")) + list(Path().glob("*.pdf"))


def test_a_plate_larger_than_the_common_sheet_is_told(run, here):
    here("a.toml", PLATE.replace('"60x90 mm"', '["60x90 mm", "200x280 mm"]') + '[sheet]\nsize = "A5"\n')
    result = run("make", "a.toml", "--pages", "together")
    assert result.exit_code == 1
    assert "a piece is 200 × 280 mm; sheet A5" in result.stderr
    assert not list(Path().glob("*.pdf"))


@pytest.mark.parametrize("stop", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_tiles_that_are_stopped_midway_leave_no_part_of_a_file(run, here, monkeypatch, stop):
    """A full disk, and Ctrl-C: what stood there still stands."""
    here("a.toml", PLATE.replace("60x90", "210x290") + '[sheet]\nsize = "A4"\npages = "tiled"\n')
    Path("a.pdf").write_bytes(b"as it was")

    def stopped(*_):
        raise stop

    monkeypatch.setattr("os.fsync", stopped)
    result = run("make", "a.toml")
    assert result.exit_code != 0
    assert "Traceback" not in result.stderr
    assert Path("a.pdf").read_bytes() == b"as it was"
    assert not list(Path().glob(".canivet-*"))
