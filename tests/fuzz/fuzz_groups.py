"""What is tried: each group makes one input from a seed, runs it, and says what was wrong, or nothing."""

from __future__ import annotations

import io
import os
import random
import shutil
import signal
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
from fuzz_running import Ended, run
from PIL import Image

from canivet.compose.design.whole import Design
from canivet.compose.reading.svg import read_paper_path
from canivet.motifs.registry import catalogue

Tried = tuple[Ended, str]
"""How it ended, and what was wrong with it."""

Try = Callable[[random.Random, Path], Tried]

_DRAWING = '<svg width="40mm" height="40mm" viewBox="0 0 40 40">{}</svg>'
_HOSTILE = (
    "",
    " ",
    "\0",
    "nan",
    "inf",
    "1e300",
    "-1",
    "0",
    "9" * 5000,
    "\u202e",
    "{name}",
    "../../x",
    "a" * 999,
    "🦊",
    "1,2 mm",
)
_DISC = _DRAWING.format('<circle cx="20" cy="20" r="15"/>')


def _path(dice: random.Random) -> str:
    steps = []
    for _ in range(dice.choice((1, 5, 50, 2000))):
        letter = dice.choice("MLHVCSQTAZmlhvcsqtaz")
        size = dice.choice((1.0, 40.0, 1e3, 1e9))
        numbers = [f"{dice.uniform(-size, size):.{dice.randrange(6)}f}" for _ in range(dice.randrange(8))]
        steps.append(letter + dice.choice((" ", ",", "  ")).join(numbers))
    return "M0 0" + "".join(steps)


def svg(dice: random.Random, folder: Path) -> Tried:
    """A drawing of random paths, strokes, copies, clips and styles, sometimes broken."""
    shapes = []
    for k in range(dice.choice((1, 3, 30, 300))):
        paint = dice.choice(
            (
                "",
                'fill="none" stroke="#000" stroke-width="1"',
                'fill="url(#g)"',
                'fill="white"',
                'opacity=".4"',
            )
        )
        kind = dice.choice(("path", "rect", "circle", "use", "text", "g"))
        shapes.append({
            "path": f'<path id="p{k}" {paint} d="{_path(dice)}"/>',
            "rect": f'<rect id="p{k}" {paint} x="{dice.uniform(-9, 40)}" width="{dice.uniform(-1, 40)}" height="9"/>',
            "circle": f'<circle id="p{k}" {paint} cx="20" cy="{dice.uniform(0, 40)}" r="{dice.uniform(-1, 20)}"/>',
            "use": f'<use href="#p{dice.randrange(k + 1)}" x="{dice.uniform(-9, 9)}"/>',
            "text": f'<text y="20" font-size="{dice.uniform(1, 20)}">{dice.choice(("ab", "é", "1"))}</text>',
            "g": f'<g id="p{k}" transform="rotate({dice.uniform(0, 360)}) scale({dice.choice((0, 1, -2, 1e6))})"><rect width="4" height="4"/></g>',
        }[kind])  # fmt: skip
    text = _DRAWING.format("".join(shapes))
    if dice.random() < 0.3:
        place = dice.randrange(len(text))
        text = text[:place] + dice.choice(("<", "&x;", "\x01", "")) + text[place + dice.randrange(20) :]
    (folder / "a.svg").write_bytes(text.encode("utf-8", "surrogatepass"))
    command = dice.choice(
        (["check", "a.svg"], ["join", "a.svg", "-o", "b.svg"], ["check", "a.svg", "--json"])
    )
    return _plain(run(command, folder))


def bitmap(dice: random.Random, folder: Path) -> Tried:
    """A picture of blots, noise or lines, in some format, sometimes cut short."""
    numbers = np.random.default_rng(dice.randrange(1 << 30))
    side = dice.choice((1, 8, 300, 1500))
    grey = numbers.normal(size=(side, dice.choice((1, side))))
    for _ in range(dice.randrange(4)):
        grey = (grey + np.roll(grey, 1, 0) + np.roll(grey, 1, 1)) / 3
    picture = Image.fromarray(np.where(grey > grey.mean(), 255, 0).astype(np.uint8))
    out, kind = io.BytesIO(), dice.choice(("PNG", "JPEG", "TIFF", "BMP", "WEBP", "GIF"))
    picture.save(out, kind)
    raw = out.getvalue()
    if dice.random() < 0.4:
        raw = raw[: dice.randrange(1, len(raw) + 1)] + bytes(dice.randrange(256) for _ in range(9))
    (folder / f"a.{dice.choice((kind.lower(), 'png', 'svg'))}").write_bytes(raw)
    name = next(path.name for path in folder.iterdir())
    return _plain(run(["check", name, "--strap", "0.5mm"], folder))


def toml(dice: random.Random, folder: Path) -> Tried:
    """A design with keys of every table given values of every kind."""
    keys = [*Design.model_fields, "patch", "layer", "folder"]
    values = ['"A"', "1", "-1", "1e400", "true", "[]", "{}", '["a"]', '{motif = "scallop"}', '{motif = 3}', '[{file = "a.svg"}]',
              '{list = "n.csv"}', '"60x90 mm"', "0x" + 5000 * "f", '{kind = "medallion"}', "1979-05-27", *(f'"""{h}"""' for h in _HOSTILE if "\0" not in h)]  # fmt: skip
    lines = ['title = "A"', 'size = "60x90 mm"'] if dice.random() < 0.7 else []
    lines += [
        f"{key} = {dice.choice(values)}"
        for key in dice.sample(keys, dice.randrange(1, 6))
        if key not in ("title", "size") or not lines
    ]
    text = "\n".join(lines)
    if dice.random() < 0.1:
        text = text[: dice.randrange(len(text) + 1)]
    (folder / "a.toml").write_text(text, encoding="utf-8")
    (folder / "a.svg").write_text(_DISC)
    (folder / "n.csv").write_text("name\nAna\n")
    return _plain(run([dice.choice(("make", "check", "plan")), "a.toml"], folder))


def lists(dice: random.Random, folder: Path) -> Tried:
    """A series whose list has odd cells, quotes, encodings or line ends."""
    cells = ["Ana", '"open', 'a"b', "=1+1", *_HOSTILE, "x,y", "Zoë"]
    rows = [
        ",".join(dice.choice(cells) for _ in range(dice.randrange(1, 4))) for _ in range(dice.randrange(6))
    ]
    text = dice.choice(("\n", "\r\n", "\r")).join(["name,title", *rows])
    encoding = dice.choice(("utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-16-le", "latin-1"))
    (folder / "n.csv").write_bytes(text.encode(encoding, "replace"))
    (folder / "a.toml").write_text('title = "Of {name}"\nsize = "40x60 mm"\n[series]\nlist = "n.csv"\n')
    before = (folder / "n.csv").read_bytes()
    ended, wrong = _plain(run(["make", "a.toml", "--workers", "1", "-o", "out"], folder))
    return ended, wrong or ("" if (folder / "n.csv").read_bytes() == before else "the list was changed")


def fonts(dice: random.Random, folder: Path) -> Tried:
    """A face with bytes changed, or cut short."""
    raw = bytearray((files("fontpkg_alegreya_sans") / "files/AlegreyaSans-Bold.ttf").read_bytes())
    for _ in range(dice.choice((0, 1, 20, 2000))):
        raw[dice.randrange(len(raw))] = dice.randrange(256)
    (folder / "f.ttf").write_bytes(bytes(raw[: dice.choice((len(raw), dice.randrange(len(raw))))]))
    (folder / "a.toml").write_text(
        'title = "A"\nsize = "80x60 mm"\n[[lettering]]\ntext = "Möwe"\nface = "f.ttf"\nwidth = "80%"\nheight = "40%"\n'
    )
    return _plain(run(["make", "a.toml"], folder))


def commands(dice: random.Random, folder: Path) -> Tried:
    """A command line of options with hostile values; a drawing that is read must still be there."""
    (folder / "w.svg").write_text(_DISC)
    value = dice.choice(
        (*[h for h in _HOSTILE if "\0" not in h], "w.svg", "/dev/null", "4x6 in", "A4", "1mm")
    )
    known = list(catalogue())
    args = dice.choice((
        ["draw", dice.choice([*known, value]), "--size", value, "-o", "o.svg"],
        ["draw", dice.choice(known), "--set", f"{dice.choice(('pitch', 'rim', 'seed', 'band', value))}={value}", "-o", "o.svg"],
        ["draw", dice.choice(known), "--strap", value, "-o", dice.choice(("o.svg", "o.png", value or "x"))],
        ["join", "w.svg", "--strap", value, "-o", dice.choice(("w.svg", "o.svg", "./w.svg"))],
        ["check", "w.svg", "--marked", dice.choice(("w.svg", "o.pdf", value or "x"))],
        ["fold", dice.choice(("medallion", "accordion", "mirror", value or "x")), "--figure", "w.svg", "-o", dice.choice(("w.svg", "o.svg"))],
        ["plan", "w.svg", "-o", dice.choice(("o.html", "o.json", "w.svg"))],
        ["estimate", dice.choice(("w.svg", value or "x")), "-o", dice.choice(("w.svg", "o.pdf", value or "x"))],
        ["motifs", dice.choice(known), "-o", dice.choice(("w.svg", "o.html", value or "x"))],
        ["start", dice.choice(("w.svg", "o.toml", value or "x")), "--frame", dice.choice((*known, value or "x"))],
    ))  # fmt: skip
    ended, wrong = _plain(run(args, folder))
    return ended, wrong or (
        "" if (folder / "w.svg").read_text() == _DISC else f"the source was written over: {args}"
    )


_LISTED = 'title = "Of {name}"\nsize = "40x60 mm"\n[series]\nlist = "n.csv"\n'


def kills(dice: random.Random, folder: Path) -> Tried:
    """A series killed at a random moment, with one worker or two: no half file, and the rest is made after."""
    (folder / "a.toml").write_text(_LISTED)
    (folder / "n.csv").write_text("name\n" + "".join(f"N{k}\n" for k in range(6)))
    workers, after = dice.choice((1, 2)), dice.uniform(0.3, 8.0)
    args = ["make", "a.toml", "-o", "out", "--workers", str(workers)]
    run(args, folder, fresh=True, after=after, then=lambda pid: os.killpg(pid, signal.SIGKILL))
    drawings = list((folder / "out").glob("*.svg"))
    half = [path.name for path in drawings if read_paper_path(path.read_bytes()) is None]
    ended, wrong = _plain(run(args, folder, fresh=True))
    made = len(list((folder / "out").glob("*.svg")))
    if not wrong and (half or ended.status != 0 or made != 6):
        wrong = f"half-written: {half}; {made} of 6 after the second run"
    work = f"killed at {after:.1f} s with {workers} at work and {len(drawings)} of 6 drawn, then all made\n"
    return replace(ended, said=work + ended.said), wrong


def disk(dice: random.Random, folder: Path) -> Tried:
    """A disk that takes no more than so many bytes of a file: the old file or none is there."""
    (folder / "o.svg").write_text("old")
    ended = run(["draw", "scallop", "-o", "o.svg"], folder, largest_file=dice.choice((0, 1, 100, 4000)))
    whole = (folder / "o.svg").read_text()
    left = whole == "old" or read_paper_path(whole.encode()) is not None
    part = list(folder.glob(".canivet-*"))
    return ended, ended.fault() or ("" if left and not part else "a half-written file was left")


def vanishing(dice: random.Random, folder: Path) -> Tried:
    """A folder that is taken away while a series is made into it."""
    (folder / "a.toml").write_text(_LISTED)
    (folder / "n.csv").write_text("name\n" + "".join(f"N{k}\n" for k in range(8)))
    ended = run(
        ["make", "a.toml", "-o", "out", "--workers", str(dice.choice((1, 2)))], folder, after=dice.uniform(0.1, 3.0),
        then=lambda _: shutil.rmtree(folder / "out", ignore_errors=True),
    )  # fmt: skip
    return ended, ended.fault()


def _plain(ended: Ended) -> Tried:
    return ended, ended.fault()


GROUPS: dict[str, tuple[Try, int]] = {
    "SVG": (svg, 3),
    "images": (bitmap, 2),
    "TOML": (toml, 4),
    "lists": (lists, 1),
    "fonts": (fonts, 2),
    "command lines": (commands, 4),
    "kills": (kills, 1),
    "full disk": (disk, 2),
    "vanishing folder": (vanishing, 1),
}
"""Every group, and how many of it are tried in a round."""
