"""Reading a bitmap: a scanned or painted silhouette, its dark tone taken as paper.

The picture is parted into two tones, freed of specks, smoothed by about two pixels to lose the steps of the
pixels, and followed along its edge between them.
"""

from __future__ import annotations

import io
import warnings
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps
from scipy import ndimage
from shapely.geometry import MultiPolygon

from canivet.crossings import TooIntricate
from canivet.errors import Unreadable
from canivet.lengths import format_mm

from ._flatten import fill_rings
from .found import Reading

__all__ = ["read_scan"]

FORMATS = ("PNG", "JPEG", "TIFF", "BMP", "WEBP")

MOST_PIXELS = 90_000_000
"""An A3 page at 600 dpi has 70 million."""

WORKED_PIXELS = 20_000_000
"""Above it the picture is halved, as often as needed: an A5 page at 600 dpi has 17 million, past any
hand's exactness."""

ASSUMED_DPI = 300.0
STRAIGHTENING = 0.05
"""mm a dropped vertex may lie off the edge that replaces it."""

MOST_EDGE = 3_000_000
"""Pixel sides between dark and light: the lines of an A3 lace at 600 dpi have some half a million."""

MOST_RINGS = 20_000
"""Parts and holes; a lace of ten thousand openings is a year's work."""

SPECK = 0.2
"""mm: a dot of this side is dust on the glass."""

SMOOTHING = 2.0
"""Pixels of Gaussian σ: the least that leaves no trace of the pixels' steps."""

FINE_SMOOTHING = 0.5
"""Pixels of σ where the above would eat a thin strap, a slit or the tip of a leaf."""

_EIGHT = np.ones((3, 3), bool)
Mask = NDArray[np.bool_]


class _Scale(NamedTuple):
    """mm per pixel along x and y."""

    x: float
    y: float

    @property
    def pixels_per_mm(self) -> float:
        return float((self.x * self.y) ** -0.5)


def read_scan(
    source: bytes,
    *,
    name: str,
    width: float | None = None,
    height: float | None = None,
    smooth: float | None = None,
    threshold: float | None = None,
) -> Reading:
    """Read the dark tone of a bitmap as paper.

    Parameters
    ----------
    source : bytes
        The file.
    name : str
        What to call it in an error.
    width, height : float, mm, default None
        The size the shape will have; it sets what counts as a speck. With neither, the file's own resolution
        does, and 300 dpi where it states none.
    smooth : float, mm, default None
        Gaussian σ laid over the two tones; None takes 2 pixels, and 0.5 wherever 2 would part or close
        something.
    threshold : float, 0 to 1, default None
        Darker than this is paper; None parts the tones by Otsu's method.

    Returns
    -------
    Reading
        In pixels, y up.

    Raises
    ------
    Unreadable
        If it cannot be decoded, is too large, is one tone all over, or is nothing but specks.

    References
    ----------
    N. Otsu, *A threshold selection method from gray-level histograms*, IEEE Trans. Systems, Man and
    Cybernetics 9, 1979. W. E. Lorensen and H. E. Cline, *Marching cubes*, Computer Graphics 21, 1987 (its
    plane case).
    """
    said: list[str] = []
    grey, dpi = _decode(source, name, said)
    ink = _crop(_part_tones(grey, threshold, name, said))
    _require_few_edges(ink, name)
    scale = _scale(ink, dpi, width, height, said)
    ink = _drop_specks(ink, scale, name, said)
    edges = _smooth_edges(ink, None if smooth is None else smooth * scale.pixels_per_mm, name)
    return Reading(_follow(edges, name), (scale.x, scale.y), tuple(said), tolerance=STRAIGHTENING)


def _decode(
    source: bytes, name: str, said: list[str]
) -> tuple[NDArray[np.uint8], tuple[float, float] | None]:
    """Return the picture as grey, upright and over white, and its resolution in dots per inch if stated."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow warns of odd tags; what matters is whether it decodes
            picture = Image.open(io.BytesIO(source), formats=FORMATS)
            _check_extent(picture, name)
            dpi = _resolution(picture)
            if getattr(picture, "n_frames", 1) > 1:
                said.append("Only the first of the pictures in the file is read.")
            turned = ImageOps.exif_transpose(picture)
            if dpi is not None and picture.getexif().get(0x0112, 1) in (5, 6, 7, 8):
                dpi = dpi[::-1]
            grey = _over_white(turned)
    except Unreadable:
        raise
    except Exception as error:  # Pillow's decoders answer a broken file in many ways
        reason = " ".join(str(error).split())[:80] or type(error).__name__
        if "cannot identify" in reason:
            reason = "its content is not what its beginning or suffix says"
        raise Unreadable(
            f"{name} cannot be decoded ({reason}). Open it in a picture program and save it as PNG.",
            parameter=name,
        ) from None
    halvings = 1
    while grey.width * grey.height / halvings**2 > WORKED_PIXELS:
        halvings *= 2
    if halvings > 1:
        grey, dpi = grey.reduce(halvings), dpi and (dpi[0] / halvings, dpi[1] / halvings)
    return np.asarray(grey), dpi


def _check_extent(picture: Image.Image, name: str) -> None:
    if picture.width * picture.height > MOST_PIXELS:
        raise Unreadable(
            f"{name} has {picture.width} × {picture.height} pixels; at most {MOST_PIXELS // 10**6} million "
            f"are read. "
            "Scan it at a lower resolution: 600 dpi is finer than a hand can cut.",
            parameter=name,
        )


def _resolution(picture: Image.Image) -> tuple[float, float] | None:
    """Return the stamped resolution, or None where there is none or it is a writer's filler."""
    stamped = picture.info.get("dpi")
    try:
        across, up = (float(value) for value in stamped or ())
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    return (across, up) if 20 <= min(across, up) <= max(across, up) <= 20_000 else None


def _over_white(picture: Image.Image) -> Image.Image:
    if picture.mode.startswith(("I", "F")):
        values = np.asarray(picture, float)
        most = 65535.0 if picture.mode.startswith("I") else max(float(np.nanmax(values)), 1e-9)
        return Image.fromarray(np.uint8(np.clip(np.nan_to_num(values) / most, 0, 1) * 255))
    if picture.has_transparency_data:
        picture = picture.convert("RGBA")
        ground = Image.new("RGBA", picture.size, "white")
        picture = Image.alpha_composite(ground, picture)
    return picture.convert("RGB").convert("L")  # RGB first: CMYK and YCbCr know no straight way to grey


def _part_tones(grey: NDArray[np.uint8], threshold: float | None, name: str, said: list[str]) -> Mask:
    """Return where the picture is dark, turning it over where its edge is."""
    counts = np.bincount(grey.ravel(), minlength=256)
    tones = np.flatnonzero(counts)
    if len(tones) == 1 or tones[-1] - tones[0] < 10:
        raise Unreadable(
            f"{name} is one tone all over: there is no edge to follow. Give a picture with a dark shape on "
            f"a light "
            "ground.",
            parameter=name,
        )
    level = _level(counts, said) if threshold is None else threshold * 255
    dark = grey < level
    if dark.all() or not dark.any():
        raise Unreadable(
            f"{name} is all {'darker' if dark.all() else 'lighter'} than the threshold {level / 255:.2f}. "
            f"Give a "
            f"threshold between {tones[0] / 255:.2f} and {tones[-1] / 255:.2f}, or none.",
            parameter=name,
        )
    edge = np.concatenate([dark[0], dark[-1], dark[:, 0], dark[:, -1]])
    if edge.mean() > 0.5:
        said.append(
            "The picture's edge is dark, so the light tone is read as paper. If the dark tone is the paper, "
            "leave a "
            "light margin around it."
        )
        return ~dark
    return dark


def _level(counts: NDArray[np.int_], said: list[str]) -> float:
    """Part the tones by Otsu's method and set the level midway between their means, where an edge lies.

    Otsu's own level is any within the empty stretch between two clear tones, so an antialiased edge would
    shift.
    """
    from skimage.filters import threshold_otsu

    tones = np.arange(256.0)
    low = tones <= threshold_otsu(hist=(counts, tones))  # type: ignore[no-untyped-call]
    share = counts / counts.sum()
    dark, light = (np.average(tones[s], weights=counts[s]) for s in (low, ~low))
    between = share[low].sum() * share[~low].sum() * (light - dark) ** 2
    if between < 0.9 * np.average((tones - np.average(tones, weights=counts)) ** 2, weights=counts):
        said.append(
            "The picture has no two clear tones, as a photograph or an uneven scan has not. Look at the "
            "outcome, and "
            "set threshold if it is not the shape meant."
        )
    return float(dark + light) / 2


def _crop(ink: Mask) -> Mask:
    rows, columns = (np.flatnonzero(ink.any(axis=axis)) for axis in (1, 0))
    return ink[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def _require_few_edges(ink: Mask, name: str) -> None:
    edge = sum(int(np.count_nonzero(np.diff(ink, axis=axis))) for axis in (0, 1))
    if edge > MOST_EDGE:
        raise Unreadable(
            f"{name} is too intricate: it has {edge / 1e6:.0f} million pixels of edge; at most "
            f"{MOST_EDGE / 1e6:.0f} million are followed. Clean the scan, or scan it at a lower resolution.",
            parameter=name, value=edge, accepted=f"up to {MOST_EDGE} pixels of edge",
        )  # fmt: skip


def _scale(
    ink: Mask, dpi: tuple[float, float] | None, width: float | None, height: float | None, said: list[str]
) -> _Scale:
    """Return mm per pixel, from the size asked, the file's resolution, or an assumption that is said."""
    if dpi is None:
        if width is None and height is None:
            size = " × ".join(format_mm(n * 25.4 / ASSUMED_DPI, 0) for n in ink.shape[::-1])
            said.append(
                f"The picture states no resolution; {ASSUMED_DPI:g} dpi is assumed, which makes the shape "
                f"{size} mm. "
                "Give width or height to set its size."
            )
        dpi = ASSUMED_DPI, ASSUMED_DPI
    natural = [25.4 / d for d in dpi]
    pixels = ink.shape[::-1]
    factors = [a / (n * s) for a, n, s in zip((width, height), pixels, natural, strict=True) if a is not None]
    factor = min(factors, default=1.0)
    return _Scale(natural[0] * factor, natural[1] * factor)


def _drop_specks(ink: Mask, scale: _Scale, name: str, said: list[str]) -> Mask:
    """Take out dark specks and fill light ones; at a coarse scale a pixel is a shape and stays."""
    most = min(max(4.0, (SPECK * scale.pixels_per_mm) ** 2), ink.sum() / 5_000)
    cleared, specks = _without_small(ink, most)
    if not cleared.any():
        raise Unreadable(
            f"{name} holds nothing but specks. Scan it again, or set threshold nearer to the shape's tone.",
            parameter=name,
        )
    light, pinholes = _without_small(~cleared, most)
    if specks + pinholes:
        side = format_mm(most**0.5 / scale.pixels_per_mm, 2)
        said.append(
            f"{specks} dark and {pinholes} light specks, smaller than a square of {side} mm, were left out."
        )
    return _crop(~light)


def _without_small(mask: Mask, most: float) -> tuple[Mask, int]:
    labels, _ = ndimage.label(mask, structure=_EIGHT)
    sizes = np.bincount(labels.ravel())
    small = sizes <= most
    small[0] = False
    return mask & ~small[labels], int(small.sum())


def _smooth_edges(ink: Mask, sigma: float | None, name: str) -> NDArray[np.float32]:
    """Blur the two tones so that the level ½ runs smooth, less wherever that would eat something thin."""
    padded = np.pad(ink, 2 + int(np.ceil(4 * (SMOOTHING if sigma is None else sigma))))
    if sigma is not None:
        return _kept(_blur(padded, sigma), name)
    coarse, fine = _blur(padded, SMOOTHING), _blur(padded, FINE_SMOOTHING)
    changed = (coarse > 0.5) != padded
    if ink.size > 4096 and changed.sum() > 0.15 * ink.sum():
        _refuse_noise(padded, name)
    shrunk = _shrunk_parts(padded, changed)
    runs = ndimage.label(changed, structure=_EIGHT)[0]
    sizes = np.bincount(runs.ravel())
    sizes[0] = 0
    meant = _count_parts(padded)
    for least in (
        12,
        6,
        3,
    ):  # pixels lost at one place: a square corner loses three, a thin strap its whole length
        soft = _mix(coarse, fine, shrunk | (sizes > least)[runs])
        if _count_parts(soft > 0.5) == meant:
            return soft
    return fine


def _shrunk_parts(ink: Mask, changed: Mask) -> Mask:
    """Return the changes in parts and holes so small that they lost a thirtieth of themselves."""
    shrunk = np.zeros_like(ink)
    for region, neighbours in ((ink, _EIGHT), (~ink, None)):
        labels = ndimage.label(region, structure=neighbours)[0]
        lost = np.bincount(labels[changed], minlength=labels.max() + 1) > np.bincount(labels.ravel()) / 30
        lost[0] = False
        shrunk |= changed & lost[labels]
    return shrunk


def _refuse_noise(ink: Mask, name: str) -> None:
    """A picture of noise changes everywhere even under little smoothing; fine work does not."""
    if ((_blur(ink, 1.0) > 0.5) != ink).sum() > 0.15 * ink.sum():
        raise Unreadable(
            f"{name} is mostly noise: its edges are everywhere. Clean the scan, or set smooth and threshold.",
            parameter=name,
        )


def _mix(coarse: NDArray[np.float32], fine: NDArray[np.float32], eaten: Mask) -> NDArray[np.float32]:
    """Put the fine blur in place of the coarse one around what it ate, fading from one to the other."""
    if not eaten.any():
        return coarse
    reach = int(4 * SMOOTHING)
    near = ndimage.maximum_filter(eaten, size=2 * reach + 1)
    return coarse + _blur(near, SMOOTHING) * (fine - coarse)


def _count_parts(ink: Mask) -> tuple[int, int]:
    """Count parts and holes."""
    return ndimage.label(ink, structure=_EIGHT)[1], ndimage.label(~ink)[1]


def _blur(ink: Mask, sigma: float) -> NDArray[np.float32]:
    soft: NDArray[np.float32] = ink.astype(np.float32)
    return ndimage.gaussian_filter(soft, sigma, truncate=3.0) if sigma > 0 else soft


def _kept(soft: NDArray[np.float32], name: str) -> NDArray[np.float32]:
    if not (soft > 0.5).any():
        raise Unreadable(f"{name} is smoothed away whole. Lower smooth, or leave it out.", parameter=name)
    return soft


def _follow(soft: NDArray[np.float32], name: str) -> MultiPolygon:
    """Follow the level ½ around every part and hole; a pixel's centre lies half a pixel in."""
    from skimage.measure import find_contours

    rings = [ring[:, ::-1] * (1, -1) for ring in find_contours(soft, 0.5)]  # type: ignore[no-untyped-call]
    if len(rings) > MOST_RINGS:
        raise Unreadable(
            f"{name} is too intricate: it has {len(rings)} parts and holes; at most {MOST_RINGS} are read. "
            "Take out its pattern, or read a part of it.",
            parameter=name, value=len(rings), accepted=f"up to {MOST_RINGS} parts and holes",
        )  # fmt: skip
    try:
        return fill_rings(rings, "evenodd", grid=1e-4)
    except TooIntricate as error:
        raise Unreadable(
            f"{name} is too intricate: {error}. Scan it at a lower resolution.", parameter=name
        ) from None
