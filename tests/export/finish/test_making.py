"""`canivet make` of a design that asks for a finish: every file, at true size, and none where it cannot be."""

import io
import re
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
import shapely
from PIL import Image

from canivet.audit.strength import check_strength
from canivet.compose.design.loading import load_design
from canivet.compose.finish import layers
from canivet.compose.finish.finished import finish_plate
from canivet.compose.series.jobs import draw_job, plan_jobs
from canivet.errors import CanivetError
from canivet.export.finish.framing import framing_page
from canivet.export.plates import make_plate

HEAD = """title = "Pond"
size = "90x120 mm"
strap = "3 mm"
[paper]
grammage = 120
[border]
motif = "dentil"
band = "18 mm"
[lines]
rim = "8 mm"
[ground]
motif = "square-lattice"
pitch = "15 mm"
"""
PATCHES = '[[patch]]\ncolour = "gold"\nopenings = "ground"\n[[patch]]\ncolour = "teal"\nopenings = "rest"\n'
LAYER = '[[layer]]\ncolour = "navy"\ngap = "2 mm"\n[layer.border]\nmotif = "dentil"\nband = "20 mm"\n'
MOUNT = '[mount]\nkind = "raised"\nraise = "3 mm"\nmat = "30 mm"\nmoulding = "20 mm"\nground = "linen"\n'


def made(folder, text):
    path = folder / "pond.toml"
    path.write_text(text)
    (job,) = plan_jobs(load_design(path), stem="pond")
    return make_plate(job, folder)


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pond")
    return folder, made(folder, HEAD + PATCHES + LAYER + MOUNT)


def page(path, number=0, dpi=150):
    document = pypdfium2.PdfDocument(path)
    grey = np.array(document[number].render(scale=dpi / 72).to_pil().convert("L")).astype(int)
    return grey, dpi / 25.4, len(document)


def test_every_file_that_is_asked_for_is_there_and_named_once(whole):
    folder, plate = whole
    assert plate.fault is None
    names = [path.name for path in plate.files]
    assert sorted(names) == sorted([
        "pond.svg", "pond.pdf", "pond.png", "pond-patches.pdf", "pond-layers.pdf", "pond-pads.pdf", "pond-framing.pdf",
        "pond-wall.png",
    ])  # fmt: skip
    assert all(path.stat().st_size > 1000 for path in plate.files)
    assert {path.name for path in folder.iterdir()} == {*names, "pond.toml"}


def test_the_picture_is_the_finished_view(whole):
    folder, plate = whole
    with Image.open(folder / "pond.png") as picture:
        wide = picture.width / picture.info["dpi"][0] * 25.4
    assert wide > plate.finish.mounted.frame.width > 90


def test_there_is_a_page_for_each_colour_with_its_patches_in_mirror_image_at_true_size(whole):
    folder, plate = whole
    assert page(folder / "pond-patches.pdf")[2] == 2
    grey, k, _ = page(folder / "pond-patches.pdf")
    own = [patch for patch in plate.finish.patches if patch.colour == "#ffd700"]
    dark = grey < 90
    wide = max(patch.area.bounds[2] for patch in own) - min(patch.area.bounds[0] for patch in own)
    rows = dark[int(0.4 * len(dark)) : int(0.6 * len(dark))].any(axis=0).nonzero()[0]
    assert (rows.max() - rows.min()) / k == pytest.approx(wide, abs=1.0)


def test_pads_are_drawn_where_they_were_placed_in_mirror_image(whole):
    folder, plate = whole
    grey, k, _ = page(folder / "pond-pads.pdf")
    pads = plate.finish.pads
    wide = 90.0
    left = (grey.shape[1] / k - wide) / 2
    paper = (grey < 235).any(axis=1)
    for pad in pads.pads:
        column = round((left + wide - pad.at[0]) * k)
        assert (grey[paper][:, column - 2 : column + 3] < 60).any(), pad


def test_layers_have_a_page_each_and_one_of_the_stack(whole):
    assert page(whole[0] / "pond-layers.pdf")[2] == 3


def test_the_framers_page_says_every_size_in_both_units(whole):
    text = pypdfium2.PdfDocument(whole[0] / "pond-framing.pdf")[0].get_textpage().get_text_bounded()
    for said in ("mat opening", "frame, outside", "depth in all", "mm", "in", "ISO 9706"):
        assert said in text


@pytest.mark.slow
def test_two_runs_write_the_same_bytes(whole, tmp_path):
    again = made(tmp_path, HEAD + PATCHES + LAYER + MOUNT)
    for path in again.files:
        assert path.read_bytes() == (whole[0] / path.name).read_bytes(), path.name


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (MOUNT.replace('"linen"', '{file = "sky.png"}'), "cannot be read as a picture"),
        (MOUNT.replace('"30 mm"', '{size = "80x80 mm"}'), "larger than what the mat has room for"),
        (MOUNT.replace('raise = "3 mm"', 'raise = "40 mm"\nviewed = 60'), "no place for any pad"),
        (
            '[[patch]]\ncolour = "gold"\nopenings = "ground"\n[[patch]]\ncolour = "red"\nat = ["50%", "50%"]\n',
            "both claim",
        ),
        (LAYER.replace("gap", 'size = "A4"\ngap'), "reaches over the piece"),
    ],
)
def test_what_cannot_be_finished_leaves_nothing_half_written(tmp_path, text, said):
    (tmp_path / "sky.png").write_bytes(b"no picture")
    plate = made(tmp_path, HEAD + text)
    assert isinstance(plate.fault, CanivetError)
    assert said in plate.fault.message
    assert plate.files == ()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pond.toml", "sky.png"]


def test_a_layer_that_does_not_hold_is_marked_and_nothing_else_is_written(tmp_path, monkeypatch):
    text, compose = HEAD + LAYER, layers.compose_plate

    def weakly(design, size):
        """Compose a layer with a hair of paper left beside a slot, which composing would else see to."""
        plate = compose(design, size)
        paper = plate.cutting.paper - shapely.box(30, 100.8, 60, 101.6)
        cutting = replace(plate.cutting, paper=paper)
        return replace(plate, cutting=cutting, report=check_strength(paper, strap=3, smallest=0.5))

    with monkeypatch.context() as patched:
        patched.setattr(layers, "compose_plate", weakly)
        plate = made(tmp_path, text)
    assert not plate.holds
    assert plate.files == ()
    assert plate.marked.name == "pond-layer-1-marked.pdf"
    assert {path.name for path in tmp_path.iterdir()} == {"pond.toml", plate.marked.name}
    again = made(tmp_path, text)
    assert again.holds
    assert not plate.marked.exists()


@pytest.mark.slow
@pytest.mark.parametrize("height", [5, 15, 30, 50])
def test_all_the_framer_is_told_stands_on_the_sheet(tmp_path, height):
    path = tmp_path / "pond.toml"
    path.write_text(HEAD + MOUNT.replace('"3 mm"', f'"{height} mm"') + "viewed = 0\n")
    design = load_design(path)
    (job,) = plan_jobs(design, stem="pond")
    svg, sheet, _ = framing_page(finish_plate(design, draw_job(job).composed(), job.size))
    lowest = max(float(y) for y in re.findall(r'<text[^>]* y="([0-9.]+)"', svg))
    assert lowest < sheet.height - 5


def test_a_design_without_any_finish_has_the_files_it_had(tmp_path):
    plate = made(tmp_path, HEAD)
    assert [path.name for path in plate.files] == ["pond.svg", "pond.pdf", "pond.png"]
    assert plate.finish is None
    assert Image.open(io.BytesIO((tmp_path / "pond.png").read_bytes())).info["dpi"][0] == pytest.approx(
        300, abs=1
    )
