"""Which paper and which ink: the same whatever command draws, and on no file that cannot show it."""

from pathlib import Path

import pypdfium2
import pytest
from made_faces import hebrew_face

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


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("ink", "told"), [("lines", "what a line inside"), ("tint", "grey stays"), ("solid", "black stays")]
)
def test_every_command_draws_in_the_ink_asked_for(draw, command, ink, told):
    assert told in draw(command, "--ink", ink)


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
