"""What a piece lies on, as a picture: a colour, a picture of the maker's own, a wash of two colours."""

from __future__ import annotations

import io
import warnings
from pathlib import Path
from typing import TYPE_CHECKING

from canivet.compose.design.finishing import GroundSettings
from canivet.errors import Unreadable
from canivet.sources import read_source
from canivet.stock import Faces

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["GROUND", "PAPER", "Rgb", "ground_picture", "rgb"]

Rgb = tuple[int, int, int]

PAPER: dict[bool, Rgb] = {True: (250, 246, 236), False: (30, 28, 27)}
"""The front of a piece, plain or dark."""

GROUND: dict[bool, Rgb] = {True: (96, 124, 138), False: (240, 236, 227)}
"""What shows through it where nothing else is said."""

_BYTES = 60_000_000
_PIXELS = 90_000_000
_FORMATS = ("PNG", "JPEG", "TIFF", "WEBP")


def rgb(colour: str) -> Rgb:
    """Return ``#rrggbb`` as numbers.

    Examples
    --------
    >>> rgb("#c8a24a")
    (200, 162, 74)
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def ground_picture(
    ground: GroundSettings | None, faces: Faces, size: tuple[int, int], *, folder: Path = Path()
) -> Image:
    """Return the ground at so many pixels.

    Parameters
    ----------
    ground : GroundSettings or None
        A picture fills the size, and what stands over is cut off; None for the usual colour.
    faces : Faces
        Of the piece's paper, which the usual ground stands out from.
    size : (int, int)
        Pixels.
    folder : Path
        Where a picture is looked for.

    Raises
    ------
    Unreadable
        If the picture cannot be read.
    """
    from PIL import Image, ImageOps

    if ground is None:
        return Image.new("RGB", size, GROUND[faces is Faces.PLAIN])
    if ground.colour is not None:
        return Image.new("RGB", size, rgb(ground.colour))
    if ground.wash is not None:
        top, foot = (Image.new("RGB", size, rgb(colour)) for colour in ground.wash)
        return Image.composite(foot, top, Image.linear_gradient("L").resize(size))
    return ImageOps.fit(_read(folder / ground.file, ground.file), size)


def _read(path: Path, name: str) -> Image:
    """Return a picture file in colours, upright and over white."""
    from PIL import Image, ImageOps

    data = read_source(path, most=_BYTES, kind="a picture", wanted="a picture, PNG or JPEG")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # Pillow warns of odd tags; what matters is whether it decodes
            picture = Image.open(io.BytesIO(data), formats=_FORMATS)
            large = picture.width * picture.height > _PIXELS
            if not large:
                upright = ImageOps.exif_transpose(picture).convert("RGBA")
    except Exception:  # Pillow's decoders answer a broken file in many ways
        raise Unreadable(
            f"mount.ground.file: {name} cannot be read as a picture. Open it in a picture program and save "
            "it as PNG or JPEG.",
            parameter="mount.ground.file", value=name, accepted="PNG or JPEG",
        ) from None  # fmt: skip
    if large:
        raise Unreadable(
            f"mount.ground.file: {name} is {picture.width} × {picture.height} pixels; at most "
            f"{_PIXELS // 1_000_000} million are read. Make it smaller.",
            parameter="mount.ground.file", value=name,
        )  # fmt: skip
    white = Image.new("RGBA", upright.size, (255, 255, 255, 255))
    return Image.alpha_composite(white, upright).convert("RGB")
