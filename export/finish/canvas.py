"""A picture in the piece's own millimetres: how much of each pixel shapes cover."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.export._cairo import append_lines, load_cairo

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
        """Return how much of each pixel these areas cover, as a greyscale picture.

        Cairo draws it, without an SVG between: to write one and read it again takes ten times as long.
        """
        from PIL import Image

        cairo = load_cairo()
        surface = cairo.ImageSurface(cairo.FORMAT_A8, *self.size)
        context = cairo.Context(surface)
        context.scale(self.dpi / 25.4, self.dpi / 25.4)
        parts = [part for area in areas for part in shapely.get_parts(area) if isinstance(part, Polygon)]
        rings = shapely.get_rings(parts)
        counts = shapely.get_num_coordinates(rings)
        points = (shapely.get_coordinates(rings) * (1, -1) + (self.left, self.height - self.low)).round(3)
        append_lines(context, points, np.cumsum(counts) - counts)
        context.set_fill_rule(cairo.FILL_RULE_EVEN_ODD)
        context.fill()
        surface.flush()
        data = bytes(surface.get_data())
        return Image.frombuffer("L", self.size, data, "raw", "L", surface.get_stride(), 1)

    def box(self, area: Polygon) -> tuple[int, int, int, int]:
        """Return the pixels at the left, top, right and foot of an area."""
        x0, y0, x1, y1 = area.bounds
        k = self.dpi / 25.4
        return (
            round(k * (x0 + self.left)), round(k * (self.height - self.low - y1)),
            round(k * (x1 + self.left)), round(k * (self.height - self.low - y0)),
        )  # fmt: skip
