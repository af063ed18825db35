"""How long mending, joining and composing take in one checkout against another, and whether drawings moved.

Each piece of work is done once in either checkout, turn about, each in a process of its own; the table gives
both in seconds of processor and as a ratio, the new time in audits of what was drawn, and how much of the drawing changed.
Run by hand: ``python tests/benchmarks/compare_checkouts.py OLD NEW [WORD ...]``, with two folders and words
that the names of the work wanted begin with: rosette, icons, join, plate, design.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon
from shapely.affinity import translate

ROOT = Path(__file__).parents[2]
ROOMS = ("motifs", "compose", "export", "cli")
STRAP, SMALLEST, WIDE = 1.0, 0.4, 120.0

WARMING = """
title = "First"
size = "80x80 mm"
strap = "1 mm"
"""
GROUND_UNDER_FESTOON = """
title = "Tree"
size = "A5"
strap = "1 mm"
[border]
motif = "festoon"
band = "10 mm"
[ground]
motif = "triangle-lattice"
[[silhouette]]
motif = "tree"
width = "50%"
height = "60%"
mode = "cut out"
"""
LEAVES_ROUND_SUNBURST = """
title = "Leaves"
size = "A5"
strap = "1 mm"
[border]
motif = "leaf-and-berry"
band = "10 mm"
[ground]
motif = "sunburst-lattice"
"""


def rosette(petals: int, line: float = 0.25) -> Polygon | MultiPolygon:
    """Rings of petals drawn in hairlines over one another, 120 mm across: as many thin straps as crossings."""
    turn = np.linspace(0, 2 * np.pi, 40 * petals, endpoint=False)
    waves = [
        rise * (0.55 + 0.42 * np.abs(np.sin(petals / 2 * turn + shift)))
        for rise, shift in ((0.5, 0), (0.5, 0.8), (0.3, 0), (0.3, 0.8))
    ]
    curves = [WIDE * r[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1) for r in waves]
    loops = [LineString(np.vstack([c, c[:1]])) for c in curves]
    hub = Point(0, 0).buffer(0.17 * WIDE).exterior
    rim = Point(0, 0).buffer(0.5 * WIDE).exterior
    drawn: Polygon | MultiPolygon = shapely.union_all(shapely.buffer([*loops, hub, rim], line / 2))
    return drawn


def icons() -> list[Polygon | MultiPolygon]:
    """The most detailed of Font Awesome's icons (a test-only package), drawn 120 mm wide."""
    import fontawesomefree

    from canivet.compose.reading.silhouette import read_silhouette

    folder = Path(fontawesomefree.__file__).parent / "static/fontawesomefree/svgs"
    files = sorted(folder.rglob("*.svg"), key=lambda file: -file.stat().st_size)[:24]
    return [read_silhouette(file, width=WIDE).area for file in files]


def held(paper: Polygon | MultiPolygon) -> Polygon:
    from canivet.compose.joining.parts import hold_together

    return hold_together(paper, strap=STRAP, smallest=SMALLEST).paper


def joined(count: int) -> Callable[[], Polygon]:
    """Return the joining of strewn parts; the scene is that of bench_joining."""
    from bench_joining import SMALLEST, STRAP, scene

    from canivet.compose.joining.parts import join_parts

    parts = scene(count)
    return lambda: join_parts(parts, strap=STRAP, smallest=SMALLEST).paper


def plate(path: Path) -> Polygon:
    from canivet.compose.design.loading import load_design
    from canivet.compose.plate import compose_plate

    paper = compose_plate(load_design(path)).cutting.paper
    assert isinstance(paper, Polygon)
    return paper


def designed(text: str) -> Polygon:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "design.toml")
        path.write_text(text)
        return plate(path)


def works() -> dict[str, Callable[[], Callable[[], Polygon]]]:
    """Return what prepares each piece of work, by name; what it returns is timed."""

    def every_icon() -> Callable[[], Polygon]:
        drawings = icons()
        aside = [2 * WIDE * k for k in range(len(drawings))]
        return lambda: MultiPolygon(
            [translate(held(drawing), x) for drawing, x in zip(drawings, aside, strict=True)]
        )

    def of_rosette(petals: int) -> Callable[[], Polygon]:
        drawing = rosette(petals)
        return lambda: held(drawing)

    return {
        **{f"rosette of {n}": (lambda n=n: of_rosette(n)) for n in (6, 12, 24, 48)},
        "icons": every_icon,
        **{f"join {n}": (lambda n=n: joined(n)) for n in (5, 50, 500)},
        "plate heronry": lambda: lambda: plate(ROOT / "gallery/saltmere/heronry.toml"),
        "design festoon": lambda: lambda: designed(GROUND_UNDER_FESTOON),
        "design leaves": lambda: lambda: designed(LEAVES_ROUND_SUNBURST),
    }  # fmt: skip


def warm() -> None:
    """Do a little of all that is timed, so that what is imported late is imported before."""
    from PIL import Image, ImageDraw

    from canivet.compose.reading.silhouette import read_silhouette

    held(MultiPolygon([Point(6 * k, 0).buffer(2) for k in range(4)]))
    designed(WARMING)
    with tempfile.TemporaryDirectory() as folder:
        drawn, scanned = Path(folder, "square.svg"), Path(folder, "square.png")
        drawn.write_text(
            '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M2 2h5v5h-5z"/></svg>'
        )
        scan = Image.new("L", (99, 99), 255)
        ImageDraw.Draw(scan).rectangle((20, 20, 79, 79), fill=0)
        scan.save(scanned)
        for file in (drawn, scanned):
            read_silhouette(file, width=9)


def work(name: str, drawing: str) -> None:
    """Do one piece of work in the checkout on the path, and say what it took."""
    from canivet.audit.strength import check_strength

    warm()
    do = works()[name]()
    start = time.process_time()
    paper = do()
    took = time.process_time() - start
    parts = shapely.get_parts(paper)
    start = time.process_time()
    holds = all(check_strength(part, strap=STRAP, smallest=SMALLEST).holds for part in parts)
    audit = time.process_time() - start
    Path(drawing).write_bytes(shapely.to_wkb(paper))
    print(json.dumps({"took": took, "audit": audit, "holds": holds}))


def in_checkout(checkout: Path, name: str) -> tuple[dict[str, Any], Any]:
    """Do one piece of work with the packages of a checkout; also return what was drawn."""
    with tempfile.TemporaryDirectory() as folder:
        package = Path(folder, "canivet")
        package.mkdir()
        for entry in (checkout / "core").iterdir():
            (package / entry.name).symlink_to(entry)
        for room in ROOMS:
            (package / room).symlink_to(checkout / room)
        drawing = Path(folder, "drawing.wkb")
        done = subprocess.run(
            [sys.executable, __file__, "--work", name, str(drawing)],
            env={**os.environ, "PYTHONPATH": folder}, check=True, capture_output=True, text=True,
        )  # fmt: skip
        return json.loads(done.stdout), shapely.from_wkb(drawing.read_bytes())


def main(old: Path, new: Path, wanted: Iterable[str]) -> None:
    words = tuple(wanted)
    print(f"{'work':<18}{'old s':>8}{'new s':>8}{'ratio':>7}{'audits':>8}{'holds':>7}{'moved %':>9}")
    for name in works():
        if words and not name.startswith(words):
            continue
        (before, was), (after, now) = (in_checkout(checkout, name) for checkout in (old, new))
        moved = was.symmetric_difference(now).area
        print(
            f"{name:<18}{before['took']:>8.2f}{after['took']:>8.2f}{after['took'] / before['took']:>7.2f}"
            f"{after['took'] / after['audit']:>8.1f}{after['holds']!s:>7}{100 * moved / was.area:>9.3f}",
            flush=True,
        )


if __name__ == "__main__":
    if sys.argv[1] == "--work":
        work(*sys.argv[2:])
    else:
        main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve(), sys.argv[3:])
