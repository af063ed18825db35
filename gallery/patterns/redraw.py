"""Draw the pattern sheets anew, every motif named: ``python gallery/patterns/redraw.py [FAMILY …]``.

Each is drawn at true size with straps of 1.2 mm, and audited before it is put on the sheet.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cairosvg
import svgwrite
from shapely.geometry import Polygon

from canivet.audit.strength import check_strength
from canivet.export.files import write_atomically
from canivet.export.page.typeset import outline_words
from canivet.export.paths import path_data
from canivet.motifs.registry import Motif, catalogue, find_motif

HERE = Path(__file__).parent

STRAP = 1.2
COLUMNS = {"form": 7}
MOST_COLUMNS = 4
"""Where a family does not say."""
GAP = 8.0
MARGIN = 14.0
HEAD = 16.0
NAME = 3.4

SIZES = {"outline": (44.0, 60.0), "border": (96.0, 72.0), "lattice": (72.0, 72.0), "form": (60.0, 72.0)}
TITLES = {"outline": "Outlines", "border": "Borders", "lattice": "Lattices", "form": "Forms"}


def draw_sample(motif: Motif) -> Polygon:
    """Draw a motif as it stands on its sheet, or stop where it does not hold."""
    width, height = SIZES[motif.family]
    if motif.name == "circle":
        height = width
    given = {
        name: value for name, value in {"strap": STRAP, "smallest": 0.5}.items() if name in motif.parameters
    }
    if motif.family in ("outline", "form"):
        paper = motif.draw(**given, width=width, height=height)
    else:
        room = {"band": 13.0} if motif.family == "border" else {"rim": 2.4}
        within = find_motif("rectangle").draw(width=width, height=height)
        paper = motif.draw(**given, **room, within=within)
        if motif.family == "border":
            x0, y0, x1, y1 = 14.5, 14.5, width - 14.5, height - 14.5
            paper = Polygon(paper.exterior, [*paper.interiors, [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]])
    if motif.family != "outline" and not check_strength(paper, strap=STRAP, smallest=0.5).holds:
        sys.exit(f"{motif.name} does not hold; the sheet was not written")
    return paper


def draw_sheet(family: str) -> str:
    """Return the sheet of a family as SVG."""
    motifs = [m for m in catalogue().values() if m.family == family]
    width, height = SIZES[family]
    columns = COLUMNS.get(family, MOST_COLUMNS)
    rows = -(-len(motifs) // columns)
    step = (width + GAP, height + GAP + NAME + 3)
    size = (2 * MARGIN + columns * step[0] - GAP, 2 * MARGIN + HEAD + rows * step[1] - GAP)
    drawing = svgwrite.Drawing(
        size=(f"{size[0]}mm", f"{size[1]}mm"), viewBox=f"0 0 {size[0]} {size[1]}", debug=False
    )
    drawing.add(drawing.rect((0, 0), size, fill="#fff"))
    title = f"{TITLES[family]} · straps {STRAP:g} mm, true size"
    drawing.add(drawing.text(title, (MARGIN, MARGIN + 5), font_size=6, fill="#000000"))
    for place, motif in enumerate(motifs):
        row, column = divmod(place, columns)
        x, y = MARGIN + column * step[0], MARGIN + HEAD + row * step[1]
        paper = draw_sample(motif)
        x0, y0, x1, _ = paper.bounds
        # A form may be narrower than its place: it stands on the foot of it, in the middle.
        left, foot = x + (width - (x1 - x0)) / 2 - x0, y + height + y0
        data = path_data(paper, flip_height=foot, dx=left)
        group = drawing.add(drawing.g(id=motif.name))
        group.add(drawing.path(data, fill="#1d1c1a", fill_rule="evenodd"))
        name = motif.name.replace("-", " ")
        group.add(drawing.text(name, (x, y + height + NAME + 1.6), font_size=NAME, fill="#000000"))
    return outline_words(drawing.tostring())


def main() -> None:
    """Write the sheets of the families named, or all, as SVG and as pictures."""
    for family in sys.argv[1:] or SIZES:
        svg = draw_sheet(family)
        write_atomically(HERE / f"{family}s.svg", svg.encode())
        write_atomically(
            HERE / f"{family}s.png", cairosvg.svg2png(bytestring=svg.encode(), dpi=96, scale=1.0)
        )
        print(f"patterns/{family}s.svg")


if __name__ == "__main__":
    main()
