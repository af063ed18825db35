"""Sensible designs by chance, drawn on contact sheets to be graded by eye.

``python tests/fuzz/sensible.py [COUNT] [FOLDER] [FIRST]`` writes ``sheet-1.png`` … with twelve plates each, and says of
every design whether it was drawn, refused (with the sentence) or does not hold. COUNT designs are drawn from number
FIRST on; the same numbers give the same designs while the catalogue has the same motifs. What they were graded stands in ``sensible-grades.md``.
"""

from __future__ import annotations

import io
import random
import sys
import tempfile
from pathlib import Path

from PIL import Image, ImageDraw

from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.errors import CanivetError
from canivet.export.png import png_bytes
from canivet.motifs.registry import Names

DRAWINGS = Path(__file__).parents[2] / "gallery/saltmere"
FILES = ("heron.svg", "kingfisher.svg", "pike.svg", "water_lily.svg")
FORMS = ("tree", "fern", "blossom", "sprig", "feather", "branch")
NAMES = ("Ada", "Zoë Sallow", "Marguerite", "Ex libris Corin")
SIZES = ("4x6 in", "A5", "130x190 mm", "6x4 in", "5x7 in", "120x120 mm")
_WIDE, _ACROSS, _EACH, _DPI = 380, 4, 12, 100


def design(number: int) -> str:
    """Return a design as a person might write it: one figure, one idea, sometimes a name."""
    r = random.Random(number)
    framed = r.random() < 0.4
    frame = r.choice(list(Names("frame")))
    size = (
        {"tall-narrow": "50x180 mm", "landscape-plate": "6x4 in"}.get(frame, "4x6 in")
        if framed
        else r.choice(SIZES)
    )
    lines = [f'title = "No {number}"', f'size = "{size}"']
    white = ""
    if framed:
        lines.append(f'frame = "{frame}"')
    else:
        if r.random() < 0.25:
            lines += ["[outline]", f'motif = "{r.choice(["oval", "arch", "rounded-rectangle"])}"']
        lines += [
            "[border]",
            f'motif = "{r.choice(list(Names("border")))}"',
            f'band = "{r.choice([10, 11, 12])} mm"',
        ]
        idea = r.choice(["open", "vignette", "margin", "halo"])
        if idea != "open":
            lines += ["[ground]", f'motif = "{r.choice(list(Names("lattice")))}"']
        if idea == "vignette":
            lines += ["[vignette]", f'shape = "{r.choice(["oval", "arch"])}"']
        white = f'{idea} = "2 mm"' if idea in ("margin", "halo") else ""
    lines += ["[[silhouette]]"]
    if r.random() < 0.6:
        lines += [
            f'file = "{r.choice(FILES)}"',
            r.choice(['width = "70%"', 'width = "90%"', 'height = "60%"']),
        ]
    else:
        lines += [f'motif = "{r.choice(FORMS)}"', 'width = "70%"', f'height = "{r.choice([70, 85])}%"']
    lines += [f'anchor = "{r.choice(["foot", "foot", "centre"])}"', white]
    if framed and r.random() < 0.7:
        panel = {"open-book": "left page"}.get(frame, "name")
        lines += ["[[lettering]]", f'text = "{r.choice(NAMES)}"', f'panel = "{panel}"', 'mode = "cut out"']
    return "\n".join(lines) + "\n"


def drawn(number: int, folder: Path) -> tuple[str, Image.Image | None]:
    """Return what became of a design, in words, and its picture."""
    path = folder / f"{number}.toml"
    path.write_text(design(number), "utf-8")
    try:
        plate = compose_plate(load_design(path))
    except CanivetError as refusal:
        return f"refused: {refusal.message.splitlines()[-1].strip()}", None
    picture = Image.open(io.BytesIO(png_bytes(plate.cutting, dpi=_DPI))).convert("RGB")
    picture.thumbnail((_WIDE - 8, _WIDE - 8))
    told = [remark for remark in plate.remarks if "float" in remark or "bridges" in remark]
    return ("holds" if plate.report.holds else "does not hold") + "".join(f"; {one}" for one in told), picture


def main(count: int, out: Path, begin: int = 0) -> None:
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file in FILES:
            (folder / file).write_bytes((DRAWINGS / file).read_bytes())
        for first in range(begin, begin + count, _EACH):
            sheet = Image.new("RGB", (_WIDE * _ACROSS, _WIDE * (_EACH // _ACROSS)), "white")
            for k in range(min(_EACH, begin + count - first)):
                said, picture = drawn(first + k, folder)
                print(f"{first + k}: {said}", flush=True)
                at = (_WIDE * (k % _ACROSS), _WIDE * (k // _ACROSS))
                if picture is not None:
                    sheet.paste(picture, at)
                ImageDraw.Draw(sheet).text(at, str(first + k), fill="black")
            sheet.save(out / f"sheet-{first // _EACH + 1}.png")


if __name__ == "__main__":
    asked = sys.argv[1:4]
    count, out, begin = [*asked, *["24", "drawings", "0"][len(asked) :]]
    main(int(count), Path(out), int(begin))
