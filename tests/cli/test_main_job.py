"""The main job on input that is not ours, end to end."""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import shapely
import skimage
from PIL import Image
from sampling import a_few_of
from scipy import ndimage
from support import assert_one_piece

from canivet.audit.necks import measure_necks
from canivet.compose.joining.parts import hold_together
from canivet.compose.reading.silhouette import read_silhouette
from canivet.compose.reading.svg import read_paper_path
from canivet.errors import CanivetError

HORSE = Path(skimage.__file__).parent / "data/horse.png"
"""The sample image `skimage.data.horse` of scikit-image (BSD-3-Clause; the drawing itself is public domain)."""

ICONS = Path(find_spec("fontawesomefree").submodule_search_locations[0]) / "static/fontawesomefree/svgs/solid"
"""The black icons of Font Awesome Free (CC BY 4.0, Fonticons), from the test-only package fontawesomefree."""

CHUNKS = 10

PLATE = f"""
title = "A strange horse"
size = "4x6 in"
strap = "1.2 mm"
[sheet]
size = "A5"
[border]
motif = "meander"
band = "9 mm"
[ground]
motif = "diamond-lattice"
pitch = "14 mm"
[[silhouette]]
file = '{HORSE}'
width = "86%"
anchor = "foot"
[[silhouette]]
file = '{ICONS / "crow.svg"}'
height = "22%"
anchor = "top left"
turn = 8
mirror = true
offset = ["4 mm", "-6 mm"]
[[silhouette]]
file = '{ICONS / "moon.svg"}'
height = "9 mm"
at = ["42%", "24%"]
mode = "cut out"
"""


@pytest.fixture(scope="module")
def plate(tmp_path_factory):
    from click.testing import CliRunner

    from canivet.cli.main import cli

    folder = tmp_path_factory.mktemp("plate")
    (folder / "plate.toml").write_text(PLATE, encoding="utf-8")
    result = CliRunner().invoke(cli, ["make", str(folder / "plate.toml"), "-o", str(folder)])
    assert result.exit_code == 0, result.output
    return folder


def rendered(pdf, dpi):
    """The first page as pdfium sees it, grey: it did not draw it."""
    document = pypdfium2.PdfDocument(pdf)
    bitmap = document[0].render(scale=dpi / 72, grayscale=True)
    grey = np.array(bitmap.to_numpy())  # a copy: the bitmap's own memory goes with it
    document.close()
    return grey


def test_a_plate_with_strangers_silhouettes_is_one_piece_with_no_neck_under_the_strap(plate):
    paper = read_paper_path((plate / "plate.svg").read_bytes())
    assert_one_piece(paper)
    assert measure_necks(paper, limit=1.3).width.min() >= 1.2 - 0.002


def largest_part(black):
    """Rows and columns of the largest black part of a page: the piece, and not the words around it."""
    label, count = ndimage.label(black)
    sizes = ndimage.sum_labels(black, label, np.arange(1, count + 1))
    return ndimage.find_objects((label == 1 + int(sizes.argmax())).astype(int))[0]


def test_another_engine_sees_one_black_part_and_every_opening(plate):
    paper = read_paper_path((plate / "plate.svg").read_bytes())
    grey = rendered(plate / "plate.pdf", 600)
    rows, columns = largest_part(grey < 60)
    black = grey < 60
    label, count = ndimage.label(black[rows, columns])
    sizes = ndimage.sum_labels(black[rows, columns], label, np.arange(1, count + 1))
    assert (sizes > 9).sum() == 1
    inside, count = ndimage.label(~black[rows, columns])
    # a lone grey pixel at the corner of the piece is no opening
    openings = ndimage.sum_labels(inside > 0, inside, np.arange(1, count + 1)) > 9
    assert openings.sum() == len(paper.interiors)
    pixel = 25.4 / 600
    ink = (255.0 - grey[rows, columns]).sum() / 255
    assert ink * pixel**2 == pytest.approx(paper.area, rel=0.001)


def test_the_page_is_the_mirror_image_of_the_piece(plate):
    # dark on one face: cut on the white back. The picture of the front, turned about, matches the page.
    paper = read_paper_path((plate / "plate.svg").read_bytes())
    page = rendered(plate / "plate.pdf", 150)
    piece = page[largest_part(page < 60)] < 60
    front = np.asarray(
        Image.open(plate / "plate.png").convert("L").resize((piece.shape[1] * 2, piece.shape[0] * 2))
    )
    dark = front < 90
    rows, columns = np.nonzero(dark)
    dark = dark[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    dark = np.asarray(Image.fromarray(dark).resize(piece.shape[::-1]))
    as_seen, mirrored = (dark == piece).mean(), (dark[:, ::-1] == piece).mean()
    assert mirrored > 0.95
    assert mirrored > as_seen + 0.05
    assert paper.area > 0


@a_few_of(3, chunk=range(CHUNKS))
def test_strangers_icons_end_as_one_piece_or_are_refused_with_a_reason(chunk):
    files = sorted(ICONS.glob("*.svg"))[:: len(list(ICONS.glob("*.svg"))) // 320][chunk::CHUNKS]
    assert len(files) >= 30
    refused = []
    for file in files:
        try:
            held = hold_together(read_silhouette(file, height=60).area, strap=1.2, smallest=0.5)
        except CanivetError as error:
            refused.append((file.name, error.message))
            continue
        assert_one_piece(held.paper, file.name)
        assert held.report.holds, (file.name, held.report.necks[:2], held.report.limbs[:2])
        # independent of the audit: eroding by just under half the strap leaves one part
        eroded = held.paper.buffer(-0.98 * 1.2 / 2, quad_segs=16)
        thick = [p for p in shapely.get_parts(eroded) if p.area > 0.05]
        assert len(thick) == 1, file.name
    assert len(refused) <= 2, refused
    assert all(len(message) > 20 for _, message in refused)
