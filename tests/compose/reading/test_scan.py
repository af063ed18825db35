"""Bitmaps read as paper, held against the pixels themselves."""

from __future__ import annotations

import io
import math
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageDraw
from scipy import ndimage

from canivet.compose.reading import scan as module
from canivet.compose.reading.silhouette import Silhouette, read_silhouette
from canivet.errors import BadValue, CanivetError, Unreadable

EIGHT = np.ones((3, 3))


def draw_disc(
    size: int = 400, radius: float = 120, mode: str = "L", ground: object = 255, ink: object = 0
) -> Image.Image:
    picture = Image.new(mode, (size, size), ground)
    middle = size / 2
    box = [middle - radius, middle - radius, middle + radius - 1, middle + radius - 1]
    ImageDraw.Draw(picture).ellipse(box, fill=ink)
    return picture


def save(picture: Image.Image, path: Path, **options: object) -> Path:
    picture.save(path, **options)
    return path


def read(picture: Image.Image, tmp_path: Path, *, dpi: float | None = 254, **asked: float) -> Silhouette:
    """Read it at 254 dpi: ten pixels to the millimetre."""
    options = {} if dpi is None else {"dpi": (dpi, dpi)}
    return read_silhouette(save(picture, tmp_path / "picture.png", **options), **asked)


def ink_mm2(picture: Image.Image, *, per_mm: float = 10) -> float:
    return float((np.asarray(picture.convert("L")) < 128).sum()) / per_mm**2


def holes(shape: Silhouette) -> int:
    return int(shapely.get_num_interior_rings(shapely.get_parts(shape.area)).sum())


# skimage.data.horse(): "This image was downloaded from openclipart … No copyright restrictions. CC0 given by owner
# (Andreas Preuss (marauder))", as scikit-image states; the file is in its wheel.


@pytest.fixture(scope="module")
def horse_file() -> Path:
    spec = find_spec("skimage")
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent / "data/horse.png"


@pytest.fixture(scope="module")
def horse_ink() -> np.ndarray:
    from skimage.data import horse

    return ~horse()


def test_a_horse_has_the_area_of_its_pixels(horse_file, horse_ink):
    # Reference: the pixels of skimage.data.horse(), counted; the file is stamped 72 dpi.
    area = read_silhouette(horse_file).area.area
    assert area == pytest.approx(horse_ink.sum() * (25.4 / 72.009) ** 2, rel=0.002)


def test_a_horse_has_the_parts_and_holes_of_its_pixels(horse_file, horse_ink):
    # Reference: scipy.ndimage.label on skimage.data.horse(), parts by eight neighbours and holes by four.
    shape = read_silhouette(horse_file)
    assert len(shape.area.geoms) == ndimage.label(horse_ink, EIGHT)[1]
    assert holes(shape) == ndimage.label(np.pad(~horse_ink, 1, constant_values=True))[1] - 1


def test_a_horse_asked_at_a_width_has_it_to_the_micrometre(horse_file):
    assert read_silhouette(horse_file, width=100).area.bounds[::2] == (0, 100)


def test_the_edge_of_a_disc_lies_within_the_straightening_of_its_circle(tmp_path):
    # Derived: pixel steps are at most half a pixel (0.05 mm) and a chord at most 0.05 mm off the circle.
    shape = read(draw_disc(1000, 400), tmp_path)
    points = shapely.get_coordinates(shape.area)
    assert np.abs(np.hypot(*(points - 40).T) - 40).max() < 0.1
    assert shape.area.area == pytest.approx(math.pi * 40**2, rel=0.001)
    assert len(points) < 200
    assert shape.warnings == ()


def test_an_edge_between_pixels_lies_where_half_the_tone_is(tmp_path):
    # Derived: a pixel covered by a third is a third darker, so the area of the ink is the sum of its darkness.
    fine = draw_disc(1200, 401)
    coarse = fine.resize((300, 300), Image.Resampling.BOX)
    darkness = (255 - np.asarray(coarse, float)).sum() / 255 / 100
    assert read(coarse, tmp_path).area.area == pytest.approx(darkness, rel=0.002)


@pytest.mark.parametrize("picture", [
    draw_disc(mode="1", ground=1), draw_disc(mode="RGB", ground="white", ink="black"),
    draw_disc(mode="RGBA", ground=(0, 0, 0, 0), ink="black"), draw_disc(mode="LA", ground=(0, 0), ink=(0, 255)),
    draw_disc(mode="RGB", ground="white", ink="black").quantize(4), draw_disc(mode="I;16", ground=65535),
], ids=["one bit", "RGB", "black on clear", "grey on clear", "palette", "sixteen bit"])  # fmt: skip
def test_every_kind_of_png_gives_the_same_disc(tmp_path, picture):
    assert read(picture, tmp_path).area.area == pytest.approx(math.pi * 12**2, rel=0.005)


def test_a_palette_with_a_clear_colour_is_read_over_white(tmp_path):
    picture = draw_disc(mode="P", ground=0, ink=1)
    picture.putpalette([0, 0, 0, 0, 0, 0])
    path = save(picture, tmp_path / "clear.png", transparency=0, dpi=(254, 254))
    assert read_silhouette(path).area.area == pytest.approx(math.pi * 12**2, rel=0.005)


@pytest.mark.parametrize(("suffix", "mode", "ground", "ink"), [
    ("jpg", "L", 255, 0), ("jpg", "CMYK", (0, 0, 0, 0), (0, 0, 0, 255)), ("tif", "CMYK", (0, 0, 0, 0), (0, 0, 0, 255)),
    ("tif", "F", 1.0, 0.0), ("bmp", "RGB", "white", "black"), ("webp", "RGB", "white", "black"),
])  # fmt: skip
def test_every_format_gives_the_same_disc(tmp_path, suffix, mode, ground, ink):
    path = save(draw_disc(mode=mode, ground=ground, ink=ink), tmp_path / f"disc.{suffix}")
    assert read_silhouette(path, width=24).area.area == pytest.approx(math.pi * 12**2, rel=0.005)


def test_a_turned_photograph_is_stood_upright(tmp_path):
    picture = Image.new("L", (300, 200), 255)
    ImageDraw.Draw(picture).rectangle([20, 20, 219, 69], fill=0)
    exif = Image.Exif()
    exif[0x0112] = 6  # to be turned a quarter clockwise (Exif 2.3, table of Orientation)
    path = save(picture, tmp_path / "turned.jpg", exif=exif, dpi=(254, 254), quality=95)
    assert read_silhouette(path).area.bounds == pytest.approx((0, 0, 5, 20), abs=0.05)


def test_y_points_up(tmp_path):
    picture = Image.new("L", (300, 300), 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle([50, 50, 99, 249], fill=0)
    pen.rectangle([50, 230, 249, 249], fill=0)
    area = read(picture, tmp_path).area
    assert area.intersection(shapely.box(10, 0, 20, 20)).centroid.y < 2


# Size.


def test_the_stamped_resolution_gives_the_natural_size(tmp_path):
    shape = read(draw_disc(), tmp_path, dpi=300)
    assert shape.area.bounds[2] == pytest.approx(240 / 300 * 25.4, rel=0.003)
    assert shape.warnings == ()


def test_without_a_resolution_300_dpi_is_assumed_and_said(tmp_path):
    shape = read(draw_disc(), tmp_path, dpi=None)
    assert shape.area.bounds[2] == pytest.approx(240 / 300 * 25.4, rel=0.003)
    assert "states no resolution; 300 dpi is assumed, which makes the shape 20 × 20 mm" in shape.warnings[0]
    assert read(draw_disc(), tmp_path, dpi=None, width=50).warnings == ()


@pytest.mark.parametrize("dpi", [1, 19, 30_000])
def test_a_resolution_that_is_a_writers_filler_is_not_believed(tmp_path, dpi):
    assert any("states no resolution" in s for s in read(draw_disc(), tmp_path, dpi=dpi).warnings)


def test_a_resolution_of_its_own_along_each_side_is_followed(tmp_path):
    path = save(draw_disc(), tmp_path / "fax.tif", dpi=(204, 98))
    left, low, right, high = read_silhouette(path).area.bounds
    assert (right - left) / (high - low) == pytest.approx(98 / 204, rel=0.005)


# Thin things.


def test_a_thin_strap_and_a_slit_survive_the_smoothing(tmp_path):
    picture = draw_disc(400, 60)
    pen = ImageDraw.Draw(picture)
    pen.line([60, 200, 340, 200], fill=0, width=2)
    pen.line([200, 150, 200, 180], fill=255, width=2)
    pen.ellipse([40, 180, 80, 220], fill=0)
    shape = read(picture, tmp_path)
    ink = np.asarray(picture) < 128
    assert (
        (len(shape.area.geoms), holes(shape))
        == (ndimage.label(ink, EIGHT)[1], ndimage.label(~ink)[1] - 1)
        == (1, 1)
    )
    width = shape.area.intersection(shapely.box(24, 0, 29, 99)).area / 5
    assert width == pytest.approx(0.2, abs=0.03)


def test_smoothing_by_hand_takes_off_what_is_thinner(tmp_path):
    picture = draw_disc(400, 60)
    ImageDraw.Draw(picture).line([60, 200, 340, 200], fill=0, width=2)
    assert read(picture, tmp_path, smooth=0.5).area.bounds[2] < 13
    with pytest.raises(Unreadable, match=r"smoothed away whole. Lower smooth"):
        read(picture, tmp_path, smooth=9)


def test_a_coarse_picture_keeps_its_single_pixels(tmp_path):
    picture = Image.new("L", (20, 20), 255)
    for place in ((5, 5), (10, 10), (14, 5)):
        picture.putpixel(place, 0)
    assert len(read(picture, tmp_path, width=100).area.geoms) == 3


@pytest.mark.parametrize("size", [(1, 1), (1, 30), (2, 2)])
def test_a_picture_of_hardly_any_pixels_is_all_one_tone(tmp_path, size):
    with pytest.raises(Unreadable, match="one tone all over"):
        read(Image.new("L", size, 0), tmp_path)


# Dirt, and pictures that are no silhouettes.


def test_specks_and_pinholes_are_left_out_and_counted(tmp_path):
    picture = draw_disc()
    for n in range(5):
        picture.putpixel((10 + 9 * n, 12), 0)
        picture.putpixel((180 + 9 * n, 200), 255)
    shape = read(picture, tmp_path)
    assert len(shape.area.geoms) == 1
    assert holes(shape) == 0
    assert "5 dark and 5 light specks" in shape.warnings[0]


def test_what_is_larger_than_a_speck_stays(tmp_path):
    picture = draw_disc()
    ImageDraw.Draw(picture).rectangle([10, 10, 14, 14], fill=0)
    shape = read(picture, tmp_path)
    assert len(shape.area.geoms) == 2
    assert shape.warnings == ()


@pytest.mark.parametrize(("side", "parts"), [(3, 1), (5, 2)])
def test_dust_is_what_is_under_two_tenths_of_a_millimetre(tmp_path, side, parts):
    picture = draw_disc(1000, 450)  # 20 pixels to the millimetre: dots of 0.15 mm and 0.25 mm
    ImageDraw.Draw(picture).rectangle([20, 20, 19 + side, 19 + side], fill=0)
    assert len(read(picture, tmp_path, dpi=508).area.geoms) == parts


def test_a_grainy_scan_gives_the_disc_beneath(tmp_path):
    grain = np.random.default_rng(3).normal(0, 25, (400, 400))
    picture = Image.fromarray(np.uint8(np.clip(np.asarray(draw_disc(ground=230, ink=30)) + grain, 0, 255)))
    shape = read(picture, tmp_path)
    assert len(shape.area.geoms) == 1
    assert shape.area.area == pytest.approx(math.pi * 12**2, rel=0.005)


@pytest.mark.parametrize(("tone", "name"), [(0, "black"), (255, "white"), (130, "grey")])
def test_a_picture_of_one_tone_is_refused(tmp_path, tone, name):
    path = save(Image.new("L", (90, 90), tone), tmp_path / f"{name}.png")
    with pytest.raises(Unreadable, match=f"{name}.png is one tone all over: there is no edge to follow"):
        read_silhouette(path)


def test_nearly_one_tone_is_refused_and_a_faint_shape_is_read(tmp_path):
    with pytest.raises(Unreadable, match="one tone all over"):
        read(draw_disc(ground=200, ink=191), tmp_path)
    assert read(draw_disc(ground=200, ink=180), tmp_path).area.area == pytest.approx(
        math.pi * 12**2, rel=0.005
    )


def test_light_on_dark_is_turned_over_and_said(tmp_path):
    shape = read(draw_disc(ground=0, ink=255), tmp_path)
    assert shape.area.area == pytest.approx(math.pi * 12**2, rel=0.005)
    assert "The picture's edge is dark, so the light tone is read as paper" in shape.warnings[0]


def test_noise_is_refused(tmp_path):
    noise = np.uint8(np.random.default_rng(0).integers(0, 2, (300, 300)) * 255)
    with pytest.raises(Unreadable, match="is mostly noise: its edges are everywhere"):
        read(Image.fromarray(noise), tmp_path)


def test_dust_alone_is_refused(tmp_path):
    picture = Image.new("L", (2000, 2000), 255)
    dots = np.random.default_rng(1).integers(0, 1000, (60_000, 2)) * 2
    pixels = np.array(picture)
    pixels[dots[:, 0], dots[:, 1]] = 0
    with pytest.raises(Unreadable, match="holds nothing but specks"):
        read(Image.fromarray(pixels), tmp_path)


def test_a_picture_without_two_tones_is_read_with_a_warning(tmp_path):
    # skimage.data.coins(): a photograph with uneven light.
    from skimage.data import coins

    shape = read(Image.fromarray(coins()), tmp_path)
    assert any("no two clear tones" in sentence for sentence in shape.warnings)
    assert shape.area.is_valid


@pytest.mark.parametrize(("threshold", "radius"), [(0.3, 6), (0.7, 12)])
def test_the_threshold_chooses_among_tones(tmp_path, threshold, radius):
    picture = draw_disc(ink=128)
    ImageDraw.Draw(picture).ellipse([140, 140, 259, 259], fill=0)
    area = read(picture, tmp_path, threshold=threshold).area.area
    assert area == pytest.approx(math.pi * radius**2, rel=0.005)


def test_a_threshold_beyond_every_tone_is_refused(tmp_path):
    picture = draw_disc(ground=200, ink=100)
    with pytest.raises(
        Unreadable, match=r"is all lighter than the threshold 0.20. Give a threshold between 0.39"
    ):
        read(picture, tmp_path, threshold=0.2)
    with pytest.raises(Unreadable, match=r"is all darker than the threshold 0.90"):
        read(picture, tmp_path, threshold=0.9)
    with pytest.raises(BadValue, match="threshold is 2"):
        read(picture, tmp_path, threshold=2.0)


# Files.


def png(picture: Image.Image) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, "PNG")
    return buffer.getvalue()


@pytest.mark.parametrize(("name", "content", "words"), [
    ("a.png", png(draw_disc())[:200], "cannot be decoded"),
    ("a.png", b"\x89PNG\r\n\x1a\nrubbish", "cannot be decoded .its content is not what its beginning or suffix says"),
    ("a.jpg", b"hello", "cannot be decoded .its content is not what its beginning or suffix says"),
    ("a.tif", b"II*\0\xff\xff\xff\xff", "cannot be decoded"),
])  # fmt: skip
def test_a_broken_picture_is_refused(tmp_path, name, content, words):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(Unreadable, match=words) as caught:
        read_silhouette(tmp_path / name)
    assert "save it as PNG" in caught.value.message


def test_a_picture_that_would_swell_is_refused_before_it_is_unpacked(tmp_path):
    path = save(Image.new("1", (10_000, 9_001), 1), tmp_path / "vast.png")
    with pytest.raises(
        Unreadable, match=r"has 10000 × 9001 pixels; at most 90 million are read. Scan it at a lower"
    ):
        read_silhouette(path)


def test_a_picture_finer_than_needed_is_halved_and_keeps_its_size(tmp_path, monkeypatch):
    whole = read(draw_disc(), tmp_path).area
    monkeypatch.setattr(module, "WORKED_PIXELS", 50_000)
    halved = read(draw_disc(), tmp_path).area
    assert halved.area == pytest.approx(whole.area, rel=0.003)
    assert halved.bounds == pytest.approx(whole.bounds, abs=0.1)


def test_a_tangle_past_any_hand_is_refused(tmp_path, monkeypatch):
    def tangle(*_args: object, **_kwargs: object) -> None:
        raise module.TooIntricate("its lines cross each other too often")

    monkeypatch.setattr(module, "fill_rings", tangle)
    with pytest.raises(Unreadable, match="is too intricate: its lines cross each other too often"):
        read(draw_disc(), tmp_path)


def test_the_first_of_several_pictures_is_read_and_said(tmp_path):
    path = save(draw_disc(), tmp_path / "two.tif", save_all=True, append_images=[draw_disc()], dpi=(254, 254))
    shape = read_silhouette(path)
    assert shape.warnings == ("Only the first of the pictures in the file is read.",)


@given(st.integers(0, 2**32 - 1), st.sampled_from([0.1, 0.5, 0.9]), st.integers(8, 24))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_blots_keep_their_area_parts_and_holes(tmp_path, seed, share, cells):
    # Reference: scipy.ndimage.label on the pixels, parts by eight neighbours and holes by four.
    chance = np.random.default_rng(seed).random((cells, cells))
    ink = np.kron(chance < share, np.ones((9, 9))).astype(bool)
    if not ink.any() or ink.all():
        return
    ink = np.pad(ink, 5)
    shape = read(Image.fromarray(np.uint8(~ink * 255)), tmp_path, dpi=50.8)  # two pixels to the millimetre
    assert shape.area.is_valid
    assert shape.area.area == pytest.approx(ink.sum() / 4, rel=0.03)
    if shapely.get_num_geometries(shape.area) == ndimage.label(ink)[1]:  # no two blots meet at a bare corner
        assert holes(shape) == ndimage.label(~ink, EIGHT)[1] - 1


@given(st.integers(0, 2**32 - 1), st.integers(1, 8))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_damage_ends_in_a_silhouette_or_a_sentence(tmp_path, seed, blows):
    chance = np.random.default_rng(seed)
    content = bytearray(png(draw_disc(60, 20)))
    for place in chance.integers(0, len(content), blows):
        content[place] = chance.integers(0, 256)
    path = tmp_path / "damaged.png"
    path.write_bytes(bytes(content))
    try:
        shape = read_silhouette(path, width=50)
    except CanivetError as error:
        message = error.message
    else:
        assert shape.area.is_valid
        return
    assert message.endswith(".")
    assert "damaged.png" in message
