"""Shadows by geometry: how far they fall, how soft their edges are, and how dark they may be.

A sheet that lies h over a surface, under light at elevation e, throws the shadow of its paper moved by
h/tan(e). A lamp that looks as large as an angle a blurs its edge over about h·a/sin²(e). What no lamp reaches
still has the light of the room: so an opening however small stays open, as bright as any ground in shadow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from canivet.compose.design.finishing import LightSettings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PIL.Image import Image

__all__ = ["LITTLE", "ROOM", "USUAL_LIGHT", "Light", "cast", "in_shadow"]

ROOM = 0.56
"""Share of the light that comes from everywhere, and is there in every shadow (*common practice*, by eye)."""

LITTLE = 1.5
"""mm over the ground where a design says nothing of its mount: so little that small openings stay open (by
eye)."""

_TOWARDS = {
    "left": (1, 0), "right": (-1, 0), "top": (0, 1), "foot": (0, -1),
}  # fmt: skip
"""Where a shadow falls, x to the right and y down, for light from each side."""


@dataclass(frozen=True, slots=True)
class Light:
    """A lamp: its elevation over the plane of the piece in degrees, its side, and how large it looks.

    Examples
    --------
    5 mm over the ground, light 30° from the vertical:

    >>> across, down = Light(elevation_deg=60, side="top", lamp_deg=6).offset(5)
    >>> across, round(down, 2)
    (0.0, 2.89)
    """

    elevation_deg: float
    side: str
    lamp_deg: float

    @classmethod
    def of(cls, settings: LightSettings) -> Light:
        """Return a design's lamp."""
        return cls(settings.elevation, settings.side, settings.lamp)

    def offset(self, height: float) -> tuple[float, float]:
        """Return how far a shadow falls from height in mm, to the right and down."""
        x, y = (sum(part) for part in zip(*(_TOWARDS[word] for word in self.side.split()), strict=True))
        away = height / math.tan(math.radians(self.elevation_deg)) / math.hypot(x, y)
        return x * away, y * away

    def softness(self, height: float) -> float:
        """Return over how many mm the edge of a shadow goes from dark to light."""
        return height * math.radians(self.lamp_deg) / math.sin(math.radians(self.elevation_deg)) ** 2


USUAL_LIGHT = Light.of(LightSettings())


def cast(cover: Image, height: float, light: Light, dpi: float) -> Image:
    """Return how much of the lamp's light a sheet keeps from a surface.

    Parameters
    ----------
    cover : Image
        Greyscale: how much of each pixel the sheet covers.
    height : float
        mm from the surface to the sheet.
    light : Light
    dpi : float
        Pixels per inch.
    """
    from PIL import Image, ImageFilter

    across, down = (round(part * dpi / 25.4) for part in light.offset(height))
    moved = Image.new("L", cover.size, 0)
    moved.paste(cover, (across, down))
    sigma = light.softness(height) * dpi / 25.4 / 4  # a disc's light has a quarter of its width for deviation
    return moved.filter(ImageFilter.GaussianBlur(sigma)) if sigma > 0.3 else moved


def in_shadow(picture: Image, casts: Iterable[Image]) -> Image:
    """Return a surface as it looks where sheets over it keep the lamp's light away."""
    from PIL import Image, ImageChops

    kept = None
    for one in casts:
        kept = one if kept is None else ImageChops.lighter(kept, one)
    if kept is None:
        return picture
    left = kept.point([round(255 - (1 - ROOM) * level) for level in range(256)])
    return ImageChops.multiply(picture, Image.merge("RGB", (left, left, left)))
