"""Draw a sheet for each motif, to be graded by eye: ``gallery/patterns/judge.py FAMILY FOLDER [NAME …]``.

Each sheet shows one motif as a maker would ask for it: at 4 × 6 in, at A5 and in an oval (a form: small),
with straps of 0.8, 1.2 and 1.6 mm, and with two seeds where it takes one; a frame with a name. What is
refused says so in its
place. Grades and reasons are kept by hand in the page beside this script; motifs without one are named at
the end.
"""

from __future__ import annotations

import argparse
import re
import tempfile
import textwrap
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

import cairosvg
import svgwrite
from shapely.geometry import Polygon

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import CanivetError
from canivet.export.files import write_atomically
from canivet.export.page.typeset import outline_words
from canivet.export.paths import path_data
from canivet.motifs.borders.band import usual_band
from canivet.motifs.registry import Family, Motif, catalogue, find_motif

PAGE = Path(__file__).with_name("README.md")

STRAPS = (0.8, 1.2, 1.6)
SEEDS = (0, 7)
SMALLEST = 0.5

PIECES = {"4x6 in": (101.6, 152.4), "A5": (148.0, 210.0), "oval": (101.6, 152.4)}
SMALL = (50.0, 75.0)
"""mm; a form and an outline stand in no oval and are drawn small instead."""

AIR = 1.5
"""mm between a border and the window that is cut to show it by itself."""

NAME = "Wren"
"""What stands in the panel of a frame; invented."""

GAP = 7.0
MARGIN = 9.0
WORDS = 3.6
DPI = 100

GRADED = re.compile(r"^\| ([a-z0-9-]+) \| ([A-D]) \|", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Ask:
    """One drawing on a sheet: its piece, the size of that in mm, the strap, and the seed if it takes one."""

    piece: str
    size: tuple[float, float]
    strap: float
    seed: int | None


def asks(motif: Motif) -> Iterator[list[Ask]]:
    """Give the rows of a sheet, a strap each."""
    seeds = SEEDS if "seed" in motif.parameters else (None,)
    pieces = dict(PIECES)
    if motif.family not in ("border", "lattice"):
        del pieces["oval"]
    if motif.family in ("form", "outline"):
        pieces["small"] = SMALL
    for strap in STRAPS if "strap" in motif.parameters else STRAPS[:1]:
        yield [Ask(piece, size, strap, seed) for seed in seeds for piece, size in pieces.items()]


def draw(motif: Motif, ask: Ask) -> Polygon:
    """Draw a motif as asked.

    Raises
    ------
    CanivetError
        If it is refused.
    """
    known = motif.parameters
    given: dict[str, Any] = {"strap": ask.strap, "smallest": SMALLEST, "seed": ask.seed}
    given = {name: value for name, value in given.items() if name in known and value is not None}
    width, height = ask.size
    if motif.family in ("border", "lattice"):
        shape = "oval" if ask.piece == "oval" else "rectangle"
        within = find_motif(shape).draw(width=width, height=height)
        if motif.family == "lattice":
            return motif.draw(**given, within=within)
        return windowed(motif.draw(**given, within=within), usual_band(within, None))
    if motif.name == "circle":
        return motif.draw(width=width)
    if motif.family == "frame":
        return framed(motif, ask)
    drawn: Polygon = motif.draw(**given, width=width, height=height)
    return drawn


def framed(motif: Motif, ask: Ask) -> Polygon:
    """Draw a plate of nothing but a frame with its window open, and a name."""
    width, height = ask.size
    usual = [motif.parameters[side].default for side in ("width", "height")]
    if usual[0] > usual[1]:
        width, height = height, width
    elif usual[1] > 2 * usual[0]:
        width = height / 3
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "frame.toml")
        file.write_text(
            f'title = "{NAME}"\nsize = "{width:.2f} x {height:.2f} mm"\nstrap = {ask.strap}\n'
            f'smallest_opening = {SMALLEST}\nframe = "{motif.name}"\n'
            f'[[lettering]]\ntext = "{NAME}"\npanel = "name"\nmode = "cut out"\n',
            encoding="utf-8",
        )
        paper: Polygon = compose_plate(load_design(file)).cutting.paper
    return paper


def windowed(paper: Polygon, band: float) -> Polygon:
    """Cut the window of a border, for the eye to see the border alone."""
    window = Polygon(paper.exterior).buffer(-band - AIR, join_style="mitre")
    return Polygon(paper.exterior, [*paper.interiors, window.exterior])


def draw_sheet(motif: Motif) -> str:
    """Return the sheet of a motif as SVG."""
    rows = list(asks(motif))
    widths = [max(ask.size) if motif.family == "frame" else ask.size[0] for ask in rows[0]]
    high = max(ask.size[1] for ask in rows[0])
    size = (
        2 * MARGIN + sum(widths) + GAP * (len(widths) - 1),
        2 * MARGIN + len(rows) * (high + WORDS + GAP),
    )
    sheet = svgwrite.Drawing(
        size=(f"{size[0]}mm", f"{size[1]}mm"), viewBox=f"0 0 {size[0]} {size[1]}", debug=False
    )
    sheet.add(sheet.rect((0, 0), size, fill="#fff"))
    for row, asked in enumerate(rows):
        y = MARGIN + row * (high + WORDS + GAP)
        for column, ask in enumerate(asked):
            x = MARGIN + sum(widths[:column]) + GAP * column
            _put(sheet, motif, ask, (x, y), high)
    return outline_words(sheet.tostring())


def _put(sheet: Any, motif: Motif, ask: Ask, at: tuple[float, float], high: float) -> None:
    """Put one drawing and what it is on the sheet; what does not hold is drawn red."""
    x, y = at
    said = f"{motif.name.replace('-', ' ')} · {ask.piece} · {ask.strap:g} mm"
    said += "" if ask.seed is None else f" · seed {ask.seed}"
    try:
        paper = draw(motif, ask)
    except CanivetError as refusal:
        said += " · refused"
        for line, words in enumerate(textwrap.wrap(str(refusal), 48)):
            sheet.add(sheet.text(words, (x, y + 12 + 5 * line), font_size=WORDS, fill="#a00"))
    else:
        holds = motif.family == "outline" or check_strength(paper, strap=ask.strap, smallest=SMALLEST).holds
        said += "" if holds else " · does not hold"
        data = path_data(paper, flip_height=y + high + paper.bounds[1], dx=x - paper.bounds[0])
        sheet.add(sheet.path(data, fill="#1d1c1a" if holds else "#b02020", fill_rule="evenodd"))
    sheet.add(sheet.text(said, (x, y + high + WORDS + 1), font_size=WORDS, fill="#000"))


def tell_grades(family: str) -> None:
    """Say how many motifs of a family have which grade, and which have none."""
    grades = dict(GRADED.findall(PAGE.read_text("utf-8"))) if PAGE.exists() else {}
    names = [name for name, motif in catalogue().items() if motif.family == family]
    counts = Counter(grades[name] for name in names if name in grades)
    print(", ".join(f"{counts[grade]} {grade}" for grade in "ABCD"))
    without = [name for name in names if name not in grades]
    if without:
        print(f"without a grade: {', '.join(without)}")


def main() -> None:
    """Draw the sheets asked for as pictures."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument("family", choices=get_args(Family))
    asked.add_argument("folder", type=Path, help="where the pictures go")
    asked.add_argument("names", nargs="*", help="motifs; all of the family if none is named")
    given = asked.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    for name, motif in catalogue().items():
        if motif.family == given.family and (not given.names or name in given.names):
            svg = draw_sheet(motif).encode()
            write_atomically(given.folder / f"{name}.png", cairosvg.svg2png(bytestring=svg, dpi=DPI))
            print(f"{given.folder / name}.png")
    tell_grades(given.family)


if __name__ == "__main__":
    main()
