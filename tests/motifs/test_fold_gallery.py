"""The folded pieces of the gallery are what their script draws, and they hold."""

from __future__ import annotations

import importlib.util
import re
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.export.page.typeset import outline_words

FOLDER = Path(__file__).parents[2] / "gallery" / "folded"


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("folded_gallery", FOLDER / "redraw.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


REDRAW = script()
REDRAW.PIECES = {name: cache(make) for name, make in REDRAW.PIECES.items()}


def paper_in(svg: str) -> Polygon:
    """The paper of a drawing, read back from its path."""
    found = re.search(r'<path[^>]* d="([^"]*)"[^>]*id="paper"|<path[^>]*id="paper"[^>]* d="([^"]*)"', svg)
    data = (found[1] or found[2]) if found else re.findall(r' d="([^"]*)"', svg)[0]
    rings = [
        np.array([float(n) for n in re.findall(r"-?[\d.]+", part)]).reshape(-1, 2)
        for part in data.split("Z")
        if part
    ]
    return Polygon(rings[0], rings[1:])


@pytest.mark.parametrize("name", REDRAW.PIECES)
def test_a_piece_is_what_its_script_draws(name: str) -> None:
    for file, text in REDRAW.draw(name):
        kept = (FOLDER / file).read_text(encoding="utf-8").partition("\n")[2]
        if file.endswith("-packet.svg"):
            assert shape_of(kept) == shape_of(outline_words(text)), file
        else:
            drawn, stored = paper_in(text), paper_in(kept)
            assert drawn.symmetric_difference(stored).area < 1e-3 * drawn.length, file


def shape_of(svg: str) -> list[str]:
    """What a page says and how its lines are drawn, without the digits of its coordinates."""
    words = re.findall(r'aria-label="([^"]*)"', svg)
    dashes = re.findall(r'stroke-dasharray="([^"]*)"', svg)
    return words + dashes


@pytest.mark.parametrize("name", REDRAW.PIECES)
def test_a_piece_in_the_gallery_holds_at_its_strap(name: str) -> None:
    piece = REDRAW.PIECES[name]()
    stored = paper_in((FOLDER / f"{name}.svg").read_text(encoding="utf-8"))
    report = check_strength(stored, strap=piece.strap, smallest=0.4)
    assert report.holds, report.to_json()


def test_the_pieces_differ_in_kind() -> None:
    kinds = {(piece.fold.name, piece.fold.symmetry) for piece in (make() for make in REDRAW.PIECES.values())}
    assert len(kinds) >= 7
    names = {path.name for path in FOLDER.glob("*.svg")}
    designs = [path.stem for path in FOLDER.glob("*.toml")]
    named = {file.name for path in FOLDER.glob("*.toml") for file in load_design(path).files if file != path}
    assert names - named == {
        f"{name}{end}.svg" for name in [*REDRAW.PIECES, *designs] for end in ("", "-packet")
    }


def test_a_piece_is_its_own_mirror_image_about_its_folds() -> None:
    for name in ("frost-star", "night-moth", "garden-mat", "tiles"):
        paper = REDRAW.PIECES[name]().plan().piece
        low, _, high, _ = paper.bounds
        mirrored = shapely.transform(
            paper, lambda xy, middle=low + high: np.column_stack([middle - xy[:, 0], xy[:, 1]])
        )
        assert paper.symmetric_difference(mirrored).area < 0.004 * paper.length
