"""A picture of the finished piece, as it would look raised a little above its ground."""

from __future__ import annotations

import io
import math
import os
from typing import TYPE_CHECKING

from canivet import __version__
from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export.finish.canvas import Canvas
from canivet.export.finish.grounds import GROUND, PAPER
from canivet.export.finish.shadow import LITTLE, USUAL_LIGHT, cast, in_shadow
from canivet.export.page.words import clean
from canivet.stock import Faces

from .files import write_atomically
from .svg import checked_bounds

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.PngImagePlugin import PngInfo

__all__ = ["finest_dpi", "picture_bytes", "png_bytes", "write_png"]

MOST_PIXELS = 100_000_000

_COMPRESSED = 3
"""Of 9: three fifths of the time of the usual 6, and files a tenth larger."""


def write_png(path: str | os.PathLike[str], cutting: Cutting, *, dpi: float = 300) -> None:
    """Write a picture of the finished front: the paper over a soft ground, with a faint shadow.

    Parameters
    ----------
    path : path-like
        Where to.
    cutting : Cutting
        Never mirrored here; plain stock is shown cream on blue, dark stock dark on cream.
    dpi : float
        Pixels per inch, 20 to 1200, stamped into the file. Default 300.

    Raises
    ------
    BadValue
        If there is no paper, or `dpi` is out of range, or makes a picture of over 100 million pixels.
    CannotWrite
        If the file cannot be put there.
    MissingLibrary
        If cairo is not installed.
    """
    write_atomically(path, png_bytes(cutting, dpi=dpi))


def png_bytes(cutting: Cutting, *, dpi: float = 300) -> bytes:
    """Return what `write_png` writes."""
    left, bottom, right, top = checked_bounds(cutting)
    margin = _margin_of(right - left, top - bottom)
    width, height = right - left + 2 * margin, top - bottom + 2 * margin
    _require_dpi(width, height, dpi)
    cover = Canvas(width, height, dpi, margin - left, margin - bottom).cover(cutting.paper)
    picture = _composed(cover, cutting.stock.faces, dpi)
    return picture_bytes(picture, cutting, dpi=dpi)


def picture_bytes(picture: Image, cutting: Cutting, *, dpi: float) -> bytes:
    """Return a picture of a piece as a PNG that says its resolution and what it is of."""
    out = io.BytesIO()
    picture.save(out, "PNG", dpi=(dpi, dpi), pnginfo=_told(cutting), compress_level=_COMPRESSED)
    return out.getvalue()


def finest_dpi(cutting: Cutting, *, most: float = 300) -> float:
    """Return the most pixels per inch, at most `most`, at which the picture is not too large to be made.

    Examples
    --------
    >>> from shapely import box
    >>> card, wall = (Cutting(box(0, 0, side, side), 1, "Card") for side in (90, 2000))
    >>> finest_dpi(card), finest_dpi(wall)
    (300, 107)
    """
    left, bottom, right, top = checked_bounds(cutting)
    margin = 2 * _margin_of(right - left, top - bottom)
    area = (right - left + margin) * (top - bottom + margin)
    return min(most, math.floor(0.999 * 25.4 * math.sqrt(MOST_PIXELS / area)))


def _told(cutting: Cutting) -> PngInfo:
    """Return what the file says of itself: its colours are sRGB, its title and description.

    References
    ----------
    PNG Specification, 3rd edition (W3C, 2025): 11.3.2.5 (sRGB; 0 is the perceptual intent), 11.3.3 (iTXt,
    keywords Title, Description and Software).
    """
    from PIL.PngImagePlugin import PngInfo

    told = PngInfo()
    told.add(b"sRGB", b"\x00")
    for name, text in (
        ("Title", clean(cutting.title)), ("Description", clean(cutting.description)),
        ("Software", f"canivet {__version__}"),
    ):  # fmt: skip
        if text:
            told.add_itxt(name, text)
    return told


def _margin_of(width: float, height: float) -> float:
    return max(3.0, 0.09 * min(width, height))


def _require_dpi(width: float, height: float, dpi: float) -> None:
    if isinstance(dpi, bool) or not isinstance(dpi, (int, float)) or not 20 <= dpi <= 1200:
        raise BadValue(
            f"dpi is {dpi!r}; it takes a number from 20 to 1200.",
            parameter="dpi", value=dpi, accepted="20 to 1200",
        )  # fmt: skip
    size = (math.ceil(width * dpi / 25.4), math.ceil(height * dpi / 25.4))
    if size[0] * size[1] > MOST_PIXELS:
        most = math.floor(dpi * math.sqrt(MOST_PIXELS / (size[0] * size[1])))
        raise BadValue(
            f"dpi is {dpi:g}; this piece takes at most {most} before its picture is over "
            f"{MOST_PIXELS // 1_000_000} million pixels. Lower dpi.",
            parameter="dpi", value=dpi, accepted=f"20 to {most}",
        )  # fmt: skip


def _composed(cover: Image, faces: Faces, dpi: float) -> Image:
    """Lay the ground, the shadow and the paper one over the other."""
    from PIL import Image

    plain = faces is Faces.PLAIN
    picture = in_shadow(Image.new("RGB", cover.size, GROUND[plain]), [cast(cover, LITTLE, USUAL_LIGHT, dpi)])
    picture.paste(PAPER[plain], mask=cover)
    return picture
