"""What a maker may want to look at again: a few matters of taste, told mildly, that forbid nothing.

They are habits of the trade (*common practice*, no source), each measured on the plate as it will be cut.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import shapely
from PIL import Image, ImageDraw
from scipy.ndimage import distance_transform_edt, maximum_filter
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.lengths import format_mm

from .plate import Plate

__all__ = ["BLACK", "matters_of_taste"]

BLACK = (0.35, 0.70)
"""Share of the piece that is paper: under it reads as wire, over it as a sheet with holes."""

_HEAVIER = 3.0
"""A member so many times as wide as most others are is a slab."""

_SLAB = 0.06
"""Of the piece's short side: a member narrower than this is none, whatever the others are."""

_MOST = 75.0
"""Per cent of the length of all members."""

_SMALL_FIGURE = 1 / 3
_SOLID = 1 / 3
_SOLID_ACROSS = 0.1
"""Of the piece's short side: paper so far across without an opening is solid."""

_OVER = 0.02
"""Share of a panel that a figure may reach into by its tips."""

_PIXELS = 480
"""Of the longer side, in the picture that widths are measured in."""

_BLANK = 2
"""Pixels beside the piece on every side."""

Mask = npt.NDArray[np.bool_]
Distances = npt.NDArray[np.float64]


def matters_of_taste(plate: Plate) -> tuple[str, ...]:
    """Return a sentence for each matter of taste in which a plate is out of the usual.

    Parameters
    ----------
    plate : Plate
        As composed.

    Returns
    -------
    tuple of str
        Empty for most plates, and for folded pieces, which have their own.

    Examples
    --------
    >>> from pathlib import Path
    >>> from canivet.compose.beginning import begin_design
    >>> from canivet.compose.design.loading import load_design
    >>> from canivet.compose.plate import compose_plate
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder, "plate.toml")
    ...     _ = file.write_text(begin_design("plate.toml"), encoding="utf-8")
    ...     matters_of_taste(compose_plate(load_design(file)))
    ()
    """
    paper = plate.cutting.paper
    if plate.packet is not None or not isinstance(paper, Polygon):
        return ()
    told = [_black(plate), _heavy(plate), *_small(plate), *_over_figure(plate), _solid(plate)]
    return tuple(sentence for sentence in told if sentence)


def _black(plate: Plate) -> str:
    share = plate.cutting.paper.area / plate.parts.outline.area
    least, most = BLACK
    if least <= share <= most:
        return ""
    reads = "reads as wire" if share < least else "reads as a sheet with holes"
    usual = f"{100 * least:.0f} to {100 * most:.0f} % is usual"
    return f"{100 * share:.1f} % of the piece is paper, which {reads}; {usual}."


def _heavy(plate: Plate) -> str:
    """Tell a member far wider than all others; figures and words may be as heavy as they like."""
    across = _across(plate.cutting.paper)
    members = _ridge(across.distance) & ~_drawn(_figures(plate), across)
    widths = 2 * across.distance[members]
    if not len(widths):
        return ""
    usual, widest = float(np.percentile(widths, _MOST)), float(widths.max())
    x0, y0, x1, y1 = plate.parts.outline.bounds
    if widest < max(_HEAVIER * usual, _SLAB * min(x1 - x0, y1 - y0)):
        return ""
    row, column = np.argwhere(members & (2 * across.distance >= widest))[0]
    x, y = across.at(row, column)
    return (
        f"a member {format_mm(widest, 1)} mm wide near ({format_mm(x, 0)}, {format_mm(y, 0)}) mm is heavier "
        f"than all others, most of them under {format_mm(usual, 1)} mm."
    )


def _small(plate: Plate) -> list[str]:
    """Tell the largest figure where it is small in its window; beside a larger one any may be small."""
    x0, y0, x1, y1 = plate.parts.window.bounds
    boxes = [figure.bounds for figure in plate.parts.silhouettes if not figure.is_empty]
    if not boxes:
        return []
    shares = [max((b[2] - b[0]) / (x1 - x0), (b[3] - b[1]) / (y1 - y0)) for b in boxes]
    if max(shares) >= _SMALL_FIGURE:
        return []
    return [f"the largest figure takes {max(shares):.0%} of its window; under a third it looks lost there."]


def _over_figure(plate: Plate) -> list[str]:
    """Tell which words lie over a figure, save where it is plain paper under all of their panel."""
    return [
        f"the panel of {words.letters.text!r} lies over a figure."
        for words in plate.parts.lettering
        if any(
            words.panel.intersection(f).area > _OVER * words.panel.area and not f.covers(words.panel)
            for f in plate.parts.silhouettes
        )
    ]


def _solid(plate: Plate) -> str:
    """Tell how much of the plate lies in paper without an opening, figures among it."""
    x0, y0, x1, y1 = plate.parts.outline.bounds
    radius = _SOLID_ACROSS / 2 * min(x1 - x0, y1 - y0)
    across = _across(plate.cutting.paper)
    core = across.distance >= radius
    if not core.any():
        return ""
    solid = distance_transform_edt(~core, sampling=across.pixel) < radius
    share = float(solid.sum()) * across.pixel**2 / plate.parts.outline.area
    if share < _SOLID:
        return ""
    return f"{share:.0%} of the plate is solid paper; pierce it, or open it, where it is to be read as cut."


class _Across(NamedTuple):
    """How far it is from every pixel of the paper to its nearest edge, mm."""

    distance: Distances
    pixel: float
    left: float
    top: float

    def at(self, row: int, column: int) -> tuple[float, float]:
        """Return where a pixel lies, mm."""
        return self.left + (column - _BLANK) * self.pixel, self.top - (row - _BLANK) * self.pixel


def _across(paper: Paper) -> _Across:
    x0, y0, x1, y1 = paper.bounds
    pixel = max(x1 - x0, y1 - y0) / _PIXELS
    rows, columns = (math.ceil(side / pixel) + 2 * _BLANK + 1 for side in (y1 - y0, x1 - x0))
    blank = _Across(np.zeros((rows, columns)), pixel, x0, y1)
    return blank._replace(distance=distance_transform_edt(_drawn([paper], blank), sampling=pixel))


def _drawn(shapes: list[Paper], on: _Across) -> Mask:
    """Return which pixels lie in any of some shapes."""
    rows, columns = on.distance.shape
    picture = Image.new("1", (columns, rows))
    pen = ImageDraw.Draw(picture)
    for part in shapely.get_parts(shapely.get_parts(shapes)):
        for k, ring in enumerate(shapely.get_rings(part)):
            points = (shapely.get_coordinates(ring) - (on.left, on.top)) * (1, -1) / on.pixel + _BLANK
            pen.polygon([tuple(point) for point in points], fill=int(k == 0))
    return np.asarray(picture, dtype=bool)


def _ridge(distance: Distances) -> Mask:
    """Return the pixels in the middle of members: no neighbour lies farther from the edge."""
    ridge: Mask = (distance > 0) & (distance >= maximum_filter(distance, size=3))
    return ridge


def _figures(plate: Plate) -> list[Paper]:
    return [*plate.parts.silhouettes, *(words.panel for words in plate.parts.lettering)]
