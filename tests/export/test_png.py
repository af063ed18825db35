"""The picture of the finished front."""

from __future__ import annotations

import io
import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage
from shapely.geometry import Polygon, box

from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export import png_bytes, write_png
from canivet.stock import Faces

Make = Callable[..., Cutting]


def pixels(data: bytes) -> np.ndarray[Any, Any]:
    return np.array(Image.open(io.BytesIO(data)).convert("L")).astype(int)


@pytest.mark.parametrize("dpi", [72, 300, 600])
def test_the_resolution_is_stamped_into_the_file(make_cutting: Make, dpi: int) -> None:
    """Chunk pHYs counts pixels per metre, unit 1 (PNG specification); 1 in is 0.0254 m."""
    data = png_bytes(make_cutting(box(0, 0, 20, 20)), dpi=dpi)
    at = data.index(b"pHYs") + 4
    across, down, unit = struct.unpack(">IIB", data[at : at + 9])
    assert (across, down, unit) == (round(dpi / 0.0254), round(dpi / 0.0254), 1)


def test_the_piece_is_at_its_true_size(make_cutting: Make) -> None:
    grey = pixels(png_bytes(make_cutting(box(0, 0, 50.8, 25.4)), dpi=200))
    dark = np.argwhere(grey < 60)
    height, width = dark.max(axis=0) - dark.min(axis=0) + 1
    assert (width, height) == (pytest.approx(400, abs=1), pytest.approx(200, abs=1))


def test_the_ground_is_as_wide_on_every_side(make_cutting: Make) -> None:
    grey = pixels(png_bytes(make_cutting(box(0, 0, 40, 25)), dpi=200))
    dark = np.argwhere(grey < 60)
    sides = [*dark.min(axis=0), *(np.array(grey.shape) - 1 - dark.max(axis=0))]
    assert max(sides) - min(sides) <= 1


@pytest.mark.parametrize("faces", Faces)
def test_the_front_is_shown_as_it_is_whatever_the_stock(make_cutting: Make, faces: Faces) -> None:
    """The six leaves of the test piece lie in the left half as seen from its front, the slot in the right."""
    cutting = make_cutting(faces=faces)
    grey = pixels(png_bytes(cutting, dpi=200))
    paper = grey > 225 if faces is Faces.PLAIN else grey < 60
    parts, count = ndimage.label(~paper)
    assert count - 1 == len(cutting.paper.interiors)
    sizes = ndimage.sum_labels(~paper, parts, range(1, count + 1))
    middles = ndimage.center_of_mass(~paper, parts, range(1, count + 1))
    ground = int(np.argmax(sizes))
    left = [x < grey.shape[1] / 2 for index, (_, x) in enumerate(middles) if index != ground]
    assert (sum(left), len(left) - sum(left)) == (6, 1)


@pytest.mark.parametrize("faces", Faces)
def test_paper_stands_out_from_its_ground(make_cutting: Make, faces: Faces) -> None:
    grey = pixels(png_bytes(make_cutting(box(0, 0, 20, 20), faces=faces), dpi=100))
    assert abs(grey[0, 0] - grey[grey.shape[0] // 2, grey.shape[1] // 2]) > 90


def test_a_faint_shadow_falls_below_and_to_the_right(make_cutting: Make) -> None:
    grey = pixels(png_bytes(make_cutting(box(0, 0, 40, 40)), dpi=100))
    middle = grey.shape[0] // 2
    left, right = grey[middle, 4], grey[middle, -6]
    edge = int(np.argwhere(grey[:, middle] < 60).max())
    above, below = grey[4, middle], grey[edge + 2, middle]
    assert left == above == grey[0, 0]
    assert below < above
    assert right <= left
    assert below > 120


def test_the_same_piece_makes_the_same_picture(make_cutting: Make, tmp_path: Path) -> None:
    write_png(tmp_path / "one.png", make_cutting(), dpi=100)
    assert (tmp_path / "one.png").read_bytes() == png_bytes(make_cutting(), dpi=100)


@pytest.mark.parametrize("dpi", [20, 1200, 96.5])
def test_resolutions_up_to_the_bounds_are_taken(make_cutting: Make, dpi: float) -> None:
    assert png_bytes(make_cutting(box(0, 0, 5, 5)), dpi=dpi)


@pytest.mark.parametrize("dpi", [19.9, 1200.1, float("nan"), -300, 0, "300", True])
def test_other_resolutions_are_refused(make_cutting: Make, dpi: float) -> None:
    with pytest.raises(BadValue, match="it takes a number from 20 to 1200"):
        png_bytes(make_cutting(), dpi=dpi)


def test_a_picture_too_large_to_hold_is_refused_with_what_would_do(make_cutting: Make) -> None:
    with pytest.raises(BadValue, match=r"this piece takes at most \d+ before") as caught:
        png_bytes(make_cutting(box(0, 0, 500, 500)), dpi=1200)
    most = float(str(caught.value.accepted).removeprefix("20 to "))
    side = 500 * 1.18 * most / 25.4
    assert 0.98e8 < side**2 <= 1e8


def test_an_empty_paper_is_refused() -> None:
    with pytest.raises(BadValue, match="paper is empty"):
        png_bytes(Cutting(Polygon(), 1, "Nothing"))


def test_the_picture_says_its_colours_and_its_title(make_cutting: Make) -> None:
    """The sRGB chunk stands before the pixels, with intent 0 to 3 (PNG Specification, 11.3.2.5)."""
    data = png_bytes(make_cutting(title="Zaunkönig & Reiher", description="Two birds"), dpi=50)
    chunks = []
    place = 8
    while place < len(data):
        length = int.from_bytes(data[place : place + 4], "big")
        chunks.append((data[place + 4 : place + 8], data[place + 8 : place + 8 + length]))
        place += 12 + length
    names = [name for name, _ in chunks]
    assert dict(chunks)[b"sRGB"] == b"\x00"
    assert names.index(b"sRGB") < names.index(b"IDAT")
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.info["Title"] == "Zaunkönig & Reiher"
        assert picture.info["Description"] == "Two birds"


def test_a_small_opening_stays_as_open_as_a_large_one(make_cutting: Make) -> None:
    sheet = box(0, 0, 60, 60) - box(10, 10, 40, 50) - box(48, 28, 49.5, 29.5)
    grey = pixels(png_bytes(make_cutting(sheet), dpi=150))
    k, margin = 150 / 25.4, 0.09 * 60
    small = grey[round((margin + 60 - 28.75) * k), round((margin + 48.75) * k)]
    large = grey[round((margin + 30) * k), round((margin + 25) * k)]
    assert large == grey[0, 0]
    assert small > 0.95 * large
