"""Draws moon_and_moth.png: a moth leaving the moon, inked by hand, as a 300 dpi grey scan."""

import sys
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter, rotate, zoom

Points = NDArray[np.float64]
Grey = NDArray[np.float64]

DPI, FINE = 300, 4
SIDE = 42.0  # of the scanned sheet, mm
PIXELS = round(SIDE / 25.4 * DPI) * FINE
MOON, SHADOW, MOTH = np.array([0.0, -1.5]), np.array([3.8, 4.0]), np.array([2.5, 1.1])
CUTS = [(165, 184, 1.35), (191, 216, 2.0), (223, 251, 2.7), (258, 283, 2.0), (290, 309, 1.35)]
HALO = 1.5  # white between the moth and the moon; one wing reaches over the horn, one rests on it
TILT = np.radians(-24.0)


def loop(*knots: tuple[float, float]) -> Points:
    """A smooth closed outline through the knots."""
    ring = np.array([*knots, knots[0]])
    steps = np.sqrt(np.hypot(*np.diff(ring, axis=0).T))
    along = np.concatenate([[0.0], np.cumsum(steps)])
    spline = CubicSpline(along, ring, bc_type="periodic")
    return np.asarray(spline(np.linspace(0.0, along[-1], 240)))


def taper(middle: Points, width: float, fullest: float = 0.5) -> Points:
    """A leaf along a middle line: widest at `fullest`, fine at both ends."""
    share = np.linspace(0.0, 1.0, len(middle))
    near, far = min(1.0, fullest / (1 - fullest)), min(1.0, (1 - fullest) / fullest)
    swell = share**near * (1 - share) ** far
    tangent = np.gradient(middle, axis=0)
    normal = tangent[:, ::-1] * (-1.0, 1.0) / np.hypot(*tangent.T)[:, None]
    half = normal * (swell / swell.max() * width / 2)[:, None]
    return np.concatenate([middle + half, (middle - half)[::-1]])


def bow(start: tuple[float, float], end: tuple[float, float], rise: float) -> Points:
    """A middle line from start to end, bowed to its left by `rise`."""
    a, b, share = np.array(start), np.array(end), np.linspace(0.0, 1.0, 60)[:, None]
    left = np.array([a[1] - b[1], b[0] - a[0]]) / np.hypot(*(b - a))
    line: Points = a + (b - a) * share + left * rise * 4 * share * (1 - share)
    return line


def arc(centre: Points, radius: float, first: float, last: float) -> Points:
    """Points on an arc; angles in degrees, counter-clockwise from the right."""
    angle = np.radians(np.linspace(first, last, 240))
    return centre + radius * np.column_stack([np.cos(angle), np.sin(angle)])


def moth() -> tuple[list[Points], list[Points]]:
    """The ink and the openings of the right half of a moth, head up, about (0, 0)."""
    fore = loop(
        (0.2, 2.6), (3.4, 4.6), (7.2, 6.9), (11.2, 8.6), (12.6, 8.7), (12.4, 7.6), (11.2, 4.2),
        (9.3, 0.9), (5.2, -0.7), (0.2, -0.8),
    )  # fmt: skip
    hind = loop(
        (0.2, 0.0), (4.6, -0.4), (8.6, -1.2), (9.0, -3.2), (7.8, -6.0), (5.6, -7.8), (3.2, -6.6), (0.6, -4.0)
    )
    body = loop((0, 4.9), (1.3, 4.0), (1.5, 1.5), (1.3, -3), (0, -7.2), (-1.3, -3), (-1.5, 1.5), (-1.3, 4.0))
    feeler = taper(bow((0.1, 3.6), (4.6, 9.6), 1.3), 1.9, 0.6)
    cuts = [
        taper(bow((3.0, 2.3), (10.4, 6.2), 0.5), 2.3, 0.6),
    ]
    return [fore, hind, body, feeler], cuts


def place(shape: Points, side: int) -> Points:
    """Put a shape of the moth's right (1) or left (-1) half where the moth flies."""
    cos, sin = np.cos(TILT), np.sin(TILT)
    turned: Points = (shape * (side, 1)) @ np.array([[cos, sin], [-sin, cos]])
    return MOTH + turned


def draw_ink() -> Grey:
    """The drawing at fine resolution: 1 where there is ink."""
    picture = Image.new("L", (PIXELS, PIXELS), 0)
    pen = ImageDraw.Draw(picture)

    def fill(shape: Points, tone: int) -> None:
        across = (shape * (1, -1) / SIDE + 0.5) * PIXELS
        pen.polygon([(float(x), float(y)) for x, y in across], fill=tone)

    fill(arc(MOON, 16.5, 0, 360), 1)
    fill(arc(SHADOW, 13.2, 0, 360), 0)
    for first, last, width in CUTS:
        fill(taper(arc(MOON + (SHADOW - MOON) * 0.46, 14.75, first, last), width), 0)
    ink, cuts = moth()
    for shape, side in [(ink[0], -1), (ink[2], 1), (ink[3], 1), (ink[3], -1)]:
        fill(np.asarray(shapely.buffer(shapely.polygons(place(shape, side)), HALO).exterior.coords), 0)
    for shapes, tone in ((ink, 1), (cuts, 0)):
        for side in (1, -1):
            for shape in shapes:
                fill(place(shape, side), tone)
    return np.asarray(picture, dtype=np.float64)


def scan(ink: Grey, seed: int = 11) -> Image.Image:
    """What a flat-bed scanner makes of the drawing: tone, grain, soft edges, specks, a slight turn."""
    rng = np.random.default_rng(seed)

    def cloud(size: float) -> Grey:
        field = gaussian_filter(rng.standard_normal((PIXELS // FINE,) * 2), size)
        return np.asarray(field / field.std())

    turned = rotate(ink, 1.4, reshape=False, order=1)
    edge = gaussian_filter(turned, 6.0) - 0.5 + 0.045 * zoom(cloud(1.6), FINE, order=1)
    cover = np.clip(edge * 9 + 0.5, 0, 1).reshape(PIXELS // FINE, FINE, -1, FINE).mean(axis=(1, 3))
    for x, y, size in rng.uniform((0.03, 0.03, 0.7), (0.97, 0.97, 1.5), (9, 3)):
        rows, columns = np.ogrid[: len(cover), : len(cover)]
        spot = np.hypot(rows - y * len(cover), columns - x * len(cover))
        cover = np.maximum(cover, 0.75 * np.clip(size - spot + 0.5, 0, 1))
    light = np.linspace(3.0, -5.0, len(cover))
    paper = 233 + light[:, None] + 0.6 * light + 1.5 * cloud(14) + 1.4 * cloud(0.6)
    black = 34 + 5 * cloud(5) + 2.5 * cloud(0.7)
    tone = gaussian_filter(paper + (black - paper) * cover, 0.45)
    return Image.fromarray(np.clip(tone.round(), 0, 255).astype(np.uint8))


def write_scan(path: Path) -> None:
    """Write the scan as a grey PNG that says 300 dpi."""
    scan(draw_ink()).save(path, dpi=(DPI, DPI), optimize=True)


if __name__ == "__main__":
    write_scan(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).with_name("moon_and_moth.png"))
