"""A picture in the piece's own millimetres: how much of each pixel shapes cover."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon

from canivet.export._cairo import load_cairosvg
from canivet.export.paths import path_data

if TYPE_CHECKING:
    from PIL.Image import Image

__all__ = ["Canvas"]


@dataclass(frozen=True, slots=True)
class Canvas:
    """The picture's size in mm, its pixels per inch, and where the piece's lower left corner lies on it."""

    width: float
    height: float
    dpi: float
    left: float
    low: float

    @property
    def size(self) -> tuple[int, int]:
        """Return its pixels, across and down."""
        return math.ceil(self.width * self.dpi / 25.4), math.ceil(self.height * self.dpi / 25.4)

    def boards(self, *areas: Polygon) -> Image:
        """Return a cover of straight-sided boards, to the pixel: as `cover`, and quicker."""
        from PIL import Image, ImageDraw

        mask = Image.new("L", self.size, 0)
        draw, k = ImageDraw.Draw(mask), self.dpi / 25.4
        for area in areas:
            for ring, level in ((area.exterior, 255), *((hole, 0) for hole in area.interiors)):
                at = [(k * (x + self.left), k * (self.height - self.low - y)) for x, y in ring.coords]
                draw.polygon(at, fill=level)
        return mask

    def cover(self, *areas: shapely.Geometry) -> Image:
        """Return how much of each pixel these areas cover, as a greyscale picture."""
        from PIL import Image

        parts = [part for area in areas for part in shapely.get_parts(area) if isinstance(part, Polygon)]
        data = "".join(path_data(part, flip_height=self.height - self.low, dx=self.left) for part in parts)
        wide, high = (f"{pixels * 25.4 / self.dpi:.9f}" for pixels in self.size)
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">'
            f'<path fill-rule="evenodd" d="{data}"/></svg>'
        )
        drawn = load_cairosvg().svg2png(
            bytestring=svg.encode(), output_width=self.size[0], output_height=self.size[1]
        )
        return Image.open(io.BytesIO(drawn)).getchannel("A")

    def box(self, area: Polygon) -> tuple[int, int, int, int]:
        """Return the pixels at the left, top, right and foot of an area."""
        x0, y0, x1, y1 = area.bounds
        k = self.dpi / 25.4
        return (
            round(k * (x0 + self.left)), round(k * (self.height - self.low - y1)),
            round(k * (x1 + self.left)), round(k * (self.height - self.low - y0)),
        )  # fmt: skip
