"""Files chosen by their ending, and what is loaded for them."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from canivet.cutting import Cutting
from canivet.errors import BadValue, CannotWrite, DoesNotFit
from canivet.export import require_writable, write_drawing, write_plate
from canivet.sheets import Sheet

Make = Callable[..., Cutting]

WITHOUT_CAIRO = """
import sys
class Missing:
    def find_spec(self, name, path=None, target=None):
        if name == "cairocffi":
            raise OSError("no library called cairo-2 was found")
sys.meta_path.insert(0, Missing())
from pathlib import Path
from shapely.geometry import box
from canivet.cutting import Cutting
from canivet.errors import MissingLibrary
from canivet.export import page_svg, write_drawing, write_plate
folder, card = Path(sys.argv[1]), Cutting(box(0, 0, 60, 40), 1.2, "Card")
assert page_svg(card)
write_drawing(folder / "card.svg", card)
for name in ("card.pdf", "card.png"):
    try:
        write_drawing(folder / name, card)
    except MissingLibrary as error:
        print(error)
try:
    for path in write_plate(folder / "plate", card):
        print(path.name)
except MissingLibrary:
    print("stopped")
"""

WHAT_IS_LOADED = """
import sys
import canivet.export
heavy = {"cairosvg", "cairocffi", "pypdf", "PIL", "svgwrite", "scipy", "pydantic", "click"}
print(sorted(heavy & set(sys.modules)))
"""


def run(program: str, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    )
    return done.stdout


def test_without_cairo_svg_is_written_and_the_rest_says_what_to_install(tmp_path: Path) -> None:
    pdf, png, *plate = run(WITHOUT_CAIRO, str(tmp_path)).splitlines()
    assert pdf == png
    assert "need the cairo library" in pdf
    assert "install it (libcairo2 on Debian" in pdf
    assert plate == ["plate.svg", "stopped"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["card.svg", "plate.svg"]


def test_importing_loads_nothing_heavy() -> None:
    assert run(WHAT_IS_LOADED).strip() == "[]"


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("a.svg", b"<?xml"),
        ("a.SVG", b"<?xml"),
        ("a.pdf", b"%PDF-"),
        ("a.Pdf", b"%PDF-"),
        ("a.png", b"\x89PNG"),
    ],
)
def test_the_ending_decides_what_is_written(
    make_cutting: Make, tmp_path: Path, name: str, start: bytes
) -> None:
    write_drawing(tmp_path / name, make_cutting(), dpi=72)
    assert (tmp_path / name).read_bytes().startswith(start)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("heron", "has no ending; a drawing is written as one of: .svg, .pdf, .png"),
        ("heron.", "a drawing is written as one of"),
        (".svg", "has no ending"),
        ("heron.pfd", r"ends in '.pfd'.*Did you mean '.pdf'\?"),
        ("heron.jpeg", "ends in '.jpeg'"),
    ],
)
def test_other_endings_are_refused(make_cutting: Make, tmp_path: Path, name: str, words: str) -> None:
    for refusing in (lambda path: write_drawing(path, make_cutting()), require_writable):
        with pytest.raises(BadValue, match=words):
            refusing(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_place_is_asked_for_before_work_begins(tmp_path: Path) -> None:
    require_writable(tmp_path / "heron.svg")
    with pytest.raises(CannotWrite, match="its folder is not there"):
        require_writable(tmp_path / "marsh" / "heron.svg")
    assert list(tmp_path.iterdir()) == []


def test_a_plate_is_written_three_ways_under_one_name(make_cutting: Make, tmp_path: Path) -> None:
    made = list(write_plate(tmp_path / "heron-101.6x152.4mm", make_cutting(), dpi=72))
    assert [path.name for path in made] == [
        f"heron-101.6x152.4mm{ending}" for ending in (".svg", ".pdf", ".png")
    ]
    assert all(path.stat().st_size for path in made)


def test_a_plate_that_does_not_fit_its_sheet_leaves_no_file(make_cutting: Make, tmp_path: Path) -> None:
    with pytest.raises(DoesNotFit):
        list(write_plate(tmp_path / "heron", make_cutting(sheet=Sheet("tiny", 60, 60))))
    assert list(tmp_path.iterdir()) == []
