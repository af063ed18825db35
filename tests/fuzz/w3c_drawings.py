"""The W3C's SVG 1.1 test drawings, read here and drawn by another engine: how many agree, how many are refused.

``python tests/fuzz/w3c_drawings.py [FOLDER] [WORD]``. The drawings are the W3C SVG 1.1 test suite as Debian
carries it in the package ``librsvg2-tests`` (W3C test suite licence, in its copyright file); where that is not
installed, ``apt-get download librsvg2-tests && dpkg -x librsvg2-tests_*.deb FOLDER``. The other engine is resvg.

What is compared is what either leaves dark on white, four pixels to the unit of a page 480 wide. Text is taken
out of every drawing first: its shapes are those of whatever fonts a computer has. What differs is named with
what it is drawn with, since fades, filters and pictures have no one dark region.
"""

from __future__ import annotations

import collections
import io
import re
import sys
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import resvg_py
import shapely
from PIL import Image

from canivet.compose.reading.found import Reading
from canivet.compose.reading.svg import read_svg
from canivet.errors import CanivetError

INSTALLED = Path("/usr/libexec/installed-tests/RSVG/fixtures/reftests/svg1.1")
WIDE = 1920
"""Pixels across both renderings: a stroke of half a unit is two wide, and not lost."""

NEAR = 0.01
"""Share of the page that may differ."""

SVG = "http://www.w3.org/2000/svg"
_UNDECIDED = (
    "filter", "linearGradient", "radialGradient", "pattern", "mask", "clipPath", "marker", "image", "switch",
    "foreignObject", "symbol", "use", "style", "svg",
)  # fmt: skip
"""What may explain a difference, the likeliest first."""

Outcome = tuple[str, str]
"""A heading, and what is counted under it."""


def main() -> int:
    """Compare every drawing, or those whose path holds WORD; return 0 unless one is neither read nor refused."""
    home = Path(sys.argv[1]) if len(sys.argv) > 1 else INSTALLED
    word = sys.argv[2] if len(sys.argv) > 2 else ""
    drawings = sorted(path for path in home.rglob("*.svg") if word in str(path))
    if not drawings:
        print(f"skipped: no drawings under {home}; install the package librsvg2-tests")
        return 0
    found: dict[str, collections.Counter[str]] = {}
    for path in drawings:
        kind, why = compare(path)
        found.setdefault(kind, collections.Counter())[why] += 1
    for kind, reasons in sorted(found.items(), key=lambda item: -item[1].total()):
        print(f"{reasons.total():5} {kind}")
        for why, count in reasons.most_common():
            if why:
                print(f"      {count:4} {why}")
    return int("broken" in found)


def compare(path: Path) -> Outcome:
    """Return how a drawing fared, and why."""
    try:
        root = ElementTree.fromstring(path.read_bytes())
    except ElementTree.ParseError as error:
        return "no XML", f"{path.name}: {error}"
    for parent in list(root.iter()):
        for child in [child for child in parent if child.tag in (f"{{{SVG}}}text", f"{{{SVG}}}font")]:
            parent.remove(child)
    source = ElementTree.tostring(root)
    try:
        reading = read_svg(source, name="drawing")
    except CanivetError as error:
        return "refused", re.sub(r"'[^']*'|\d[\d.,]*", "…", error.message)[:100]
    except Exception as error:  # what this is here to find
        return "broken", f"{path.name}: {type(error).__name__} {error}"
    try:
        theirs = rendered(source.decode())
    except Exception as error:  # its own refusals are of many kinds
        return "read here, not by the other engine", str(error)[:60]
    differs = (rendered(_drawn(reading, theirs.shape)) != theirs).mean()
    if differs <= NEAR:
        return "read within 1 % of the page", ""
    return "read, and differing", f"{_drawn_with(root)}" + (", told in a warning" if reading.warnings else "")


def rendered(source: str) -> np.ndarray:
    """Return what resvg leaves dark on white."""
    png = resvg_py.svg_to_bytes(svg_string=source, width=WIDE, dpi=96, background="white")
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L")) < 128


def _drawn(reading: Reading, shape: tuple[int, int]) -> str:
    """Return the paper that was read as an SVG of that shape; its unit is 1/16384 of the page's longer side."""
    scale = 16384 / max(shape)
    rings = [ring for part in shapely.get_parts(reading.area) for ring in (part.exterior, *part.interiors)]
    path = "".join("M" + "L".join(f"{x:.2f} {-y:.2f}" for x, y in ring.coords) + "z" for ring in rings)
    high, wide = shape
    return (
        f'<svg xmlns="{SVG}" width="{wide}" height="{high}" viewBox="0 0 {wide * scale} {high * scale}">'
        f'<path fill-rule="evenodd" d="{path}"/></svg>'
    )


def _drawn_with(root: ElementTree.Element) -> str:
    used = {str(part.tag).removeprefix(f"{{{SVG}}}") for part in root.iter() if part is not root}
    return next((name for name in _UNDECIDED if name in used), "plain shapes")


if __name__ == "__main__":
    sys.exit(main())
