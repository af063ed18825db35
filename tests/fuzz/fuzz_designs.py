"""Random designs: outline × border × ground × frame × silhouettes × lettering × strap × slip, each drawn plate audited."""

from __future__ import annotations

import random
import shutil
from functools import cache
from pathlib import Path

import shapely
from fuzz_groups import Tried
from fuzz_running import Ended, apart, run

from canivet.audit.strength import TOLERANCE
from canivet.cli.words import describe_report
from canivet.compose.design.loading import load_design
from canivet.compose.plate import compose_plate
from canivet.compose.reading.silhouette import read_silhouette
from canivet.errors import CanivetError
from canivet.export.drawing import write_drawing
from canivet.export.parts import parts_of
from canivet.motifs.registry import catalogue

_GALLERY = Path(__file__).parents[2] / "gallery/saltmere"
_FILES = ("heron.svg", "kingfisher.svg", "pike.svg", "water_lily.svg", "disc.svg")
_DISC = '<svg width="40mm" height="40mm" viewBox="0 0 40 40"><circle cx="20" cy="20" r="15"/></svg>'
_WORDS = (
    "SALTMERE",
    "Ex libris",
    "Möwe & Ägir",
    "The Heronry Library",
    "1 2 3",
    "i",
    "Qjy",
    "Marguerite of the Fen",
)
_ANCHORS = ("centre", "foot", "top left", "right", "foot right", "top")


def designs(dice: random.Random, folder: Path) -> Tried:
    """A random design drawn; what is written is read back and eroded in shapely to just under its strap."""
    needed = _design(dice, folder)
    ended = apart(lambda: _draw(folder / "a.toml"), folder)
    return _audited(ended, folder, needed)


def plates(dice: random.Random, folder: Path) -> Tried:
    """A random design made as its user would, with every file; the drawing is audited as above."""
    needed = _design(dice, folder)
    return _audited(run(["make", "a.toml"], folder), folder, needed)


def _draw(path: Path) -> int:
    try:
        plate = compose_plate(load_design(path))
        print(*plate.remarks, describe_report(plate.report), sep="\n")
        if not plate.report.holds:
            return 3
        write_drawing(path.with_suffix(".svg"), plate.cutting, parts=parts_of(plate))
    except CanivetError as error:
        print(f"canivet: {error.message}")
        return error.exit_code
    return 0


def _audited(ended: Ended, folder: Path, needed: float) -> Tried:
    if (wrong := ended.fault()) or ended.status != 0:
        return ended, wrong
    told = apart(lambda: _written(folder / "a.svg", needed), folder)
    return ended, told.fault((0,)) and (told.said.strip() or told.fault((0,)))


def _written(file: Path, needed: float) -> int:
    """Print what is wrong with a drawing as it was written, read back from its file."""
    try:
        parts = shapely.get_parts(read_silhouette(file).area)
    except (CanivetError, OSError) as error:
        print(f"what was written cannot be read back: {error}")
        return 1
    wrong = _eroded(parts[0], needed) if len(parts) == 1 else f"{len(parts)} parts were written"
    print(wrong)
    return int(bool(wrong))


def _eroded(paper: shapely.Polygon, needed: float) -> str:
    """Say whether drawing the paper in by just under half a strap parts it or joins two of its openings."""
    less = (needed - 2 * TOLERANCE) / 2 * 0.998
    drawn_in = shapely.buffer(paper, -less, quad_segs=16)
    parts = [part for part in shapely.get_parts(drawn_in) if part.area > 1e-3]
    if len(parts) != 1:
        return f"eroded to {len(parts)} parts"
    before, after = len(paper.interiors), len(parts[0].interiors)
    return "" if before == after else f"{before} openings, {after} once eroded"


@cache
def _families() -> dict[str, list[str]]:
    families: dict[str, list[str]] = {}
    for name, motif in catalogue().items():
        families.setdefault(motif.family, []).append(name)
    return families


def _design(dice: random.Random, folder: Path) -> float:
    """Write a random design and what it names; return how wide its straps must be."""
    strap, slip = round(dice.uniform(0.6, 2.0), 2), dice.choice((0.0, 0.0, 0.1))
    lines = [
        'title = "A"',
        f'size = "{dice.randrange(50, 200)}x{dice.randrange(60, 250)} mm"',
        f"strap = {strap}",
        f"slip = {slip}",
    ]
    if dice.random() < 0.3:
        lines.append(f"smallest_opening = {dice.uniform(0.3, 1.2):.2f}")
    framed = dice.random() < 0.3
    ground = ""
    if framed:
        lines.append(f'frame = "{dice.choice(_families()["frame"])}"')
    else:
        picked = {
            table: dice.choice(_families()[family])
            for table, family in (("outline", "outline"), ("border", "border"), ("ground", "lattice"))
            if dice.random() < 0.6
        }
        ground = picked.get("ground", "")
        lines += [f'{table} = "{name}"' for table, name in picked.items()]
    if dice.random() < 0.2:
        lines.append(
            f'join = {{style = "{dice.choice(("bar", "leaf", "bead"))}", holds = "{dice.choice(("single", "double"))}"}}'
        )
    if ground and dice.random() < 0.3:
        lines.append(f'vignette = {{shape = "{dice.choice(("oval", "arch", "circle"))}"}}')
    lines += [_silhouette(dice, ground) for _ in range(dice.randrange(3))]
    if dice.random() < 0.35:
        lines.append(_lettering(dice, framed))
    for name in _FILES[:-1]:
        if f'"{name}"' in "\n".join(lines):
            shutil.copy(_GALLERY / name, folder)
    (folder / "disc.svg").write_text(_DISC)
    (folder / "a.toml").write_text("\n".join(lines) + "\n")
    return strap + 2 * slip


def _silhouette(dice: random.Random, ground: str) -> str:
    if dice.random() < 0.45:
        source = f'file = "{dice.choice(_FILES)}"'
    else:
        source = f'motif = "{dice.choice(_families()["form"])}"\nheight = "{dice.randrange(20, 70)}%"'
    mode = dice.choice(("stays", "stays", "cut out"))
    lines = [
        f"[[silhouette]]\n{source}",
        f'width = "{dice.randrange(15, 75)}%"\nturn = {dice.choice((0, 0, dice.randrange(360)))}',
        f'mode = "{mode}"\nanchor = "{dice.choice(_ANCHORS)}"',
    ]
    if mode == "stays" and ground and dice.random() < 0.3:
        lines.append(f"{dice.choice(('halo', 'margin'))} = {dice.uniform(1.5, 4):.1f}")
    if dice.random() < 0.1:
        lines.append(f'arrange = "{dice.choice(("ring", "row", "scatter"))}"\ncount = {dice.randrange(2, 6)}')
    return "\n".join(lines)


def _lettering(dice: random.Random, framed: bool) -> str:
    place = (
        f'panel = "{dice.choice(("name", "name", "left page", "motto"))}"'
        if framed
        else f'width = "{dice.randrange(30, 90)}%"\nheight = "{dice.randrange(8, 25)}%"\nanchor = "{dice.choice(_ANCHORS)}"'
    )
    return (
        f'[[lettering]]\ntext = "{dice.choice(_WORDS)}"\n{place}\nmode = "{dice.choice(("raised", "cut out"))}"'
        + ('\nalong = "arc"' if not framed and dice.random() < 0.2 else "")
    )
