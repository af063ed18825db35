"""What every motif of the catalogue promises, whoever drew it."""

import io
import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import resvg_py
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from scipy import ndimage
from support import assert_one_piece

from canivet.audit.strength import check_strength
from canivet.cutting import Cutting
from canivet.errors import CanivetError
from canivet.export.svg import piece_svg
from canivet.motifs.registry import catalogue, find_motif

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
CATALOGUE = catalogue()
NAMES = {
    family: [n for n, m in CATALOGUE.items() if m.family == family]
    for family in ("outline", "border", "lattice", "form")
}
OUTLINES = ["rectangle", "oval", "arch", "rounded-rectangle", "circle"]


def draw(name, outline="rectangle", width=101.6, height=152.4, **given):
    motif = find_motif(name)
    if "circle" in (name, outline):
        height = width
    if motif.family in ("outline", "form"):
        return motif.draw(**given, width=width, height=height)
    if motif.family == "frame":
        return motif.draw(**given).paper  # at its own usual size: some are lying, some tall
    return motif.draw(**given, within=find_motif(outline).draw(width=width, height=height))


@cache
def drawn(name):
    return draw(name, width=70.0, height=80.0)


def test_the_pattern_book_is_as_full_as_the_readme_says():
    said = re.search(r"what there is: (\d+) borders, (\d+) lattices, (\d+) forms", README)
    assert [len(NAMES[family]) for family in ("border", "lattice", "form")] == [int(n) for n in said.groups()]
    outlines = re.search(r"\| `outline.motif` \| (.*), and its settings", README)
    assert set(re.findall("`(.+?)`", outlines[1])) == set(NAMES["outline"])


@settings(max_examples=10, deadline=None)
@given(
    name=st.sampled_from(NAMES["lattice"] + NAMES["form"]), strap=st.floats(0.8, 1.6), width=st.floats(50, 120),
    ratio=st.floats(0.8, 1.6),
)  # fmt: skip
def test_lattices_and_forms_of_usual_sizes_hold_or_say_what_would_fit(name, strap, width, ratio):
    try:
        paper = draw(name, width=width, height=width * ratio, strap=strap, smallest=0.5)
    except CanivetError as error:
        assert error.parameter in CATALOGUE[name].parameters or error.parameter == "within", error.message
        assert any(character.isdigit() for character in error.message)
        return
    assert_one_piece(paper)
    assert check_strength(paper, strap=strap, smallest=0.5).holds


@pytest.mark.parametrize("name", [n for family in ("border", "lattice", "form") for n in NAMES[family]])
def test_another_engine_sees_one_black_part(name):
    # resvg did not draw it
    svg = piece_svg(Cutting(drawn(name), 1.2, name))
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, zoom=2, background="white")
    black = np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L")) < 128
    _, parts = ndimage.label(black, structure=np.ones((3, 3)))
    assert parts == 1


@pytest.mark.parametrize("name", CATALOGUE)
def test_the_same_asked_twice_is_the_same_drawing(name):
    assert draw(name, width=70.0, height=80.0).wkb == drawn(name).wkb


@pytest.mark.parametrize("name", CATALOGUE)
def test_every_motif_says_what_it_is_and_what_it_takes(name):
    motif = CATALOGUE[name]
    assert motif.summary.endswith(".")
    assert motif.parameters
    for bound in motif.parameters.values():
        assert bound.meaning
        assert bound.kind in ("choice", "flag") or bound.least < bound.most


@pytest.mark.parametrize("name", NAMES["border"] + NAMES["lattice"])
def test_a_strap_no_pattern_can_hold_is_refused_by_name(name):
    with pytest.raises(CanivetError) as caught:
        draw(name, width=60.0, height=80.0, strap=20.0)
    assert caught.value.parameter
    assert "mm" in caught.value.message
