"""Repeats: a few cells that fill an oblong, laid side by side over a region; what regular lattices share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from shapely.geometry import MultiPolygon, Polygon

from canivet.motifs.outlines import quarter_turn
from canivet.motifs.shapes.openings import Points

from .phase import Inner, inner_lines
from .trim import WORTHY

__all__ = [
    "GIVE", "ROUND", "ROW", "SQUASH", "Repeat", "circle", "fitted", "fitted_rounds",
    "hexagon", "in_both_rows", "oblong", "triangles",
]  # fmt: skip


ROW = math.sqrt(3) / 2
"""From row to row of a 60° pattern, in pitches."""

ROUND = 0.9
"""How round clipped openings are in patterns of round ones; see `softened`."""

GIVE = 0.12
"""How far a pitch may give way to make its cells fit: an eighth is not noticed."""

SQUASH = 0.05
"""How far cells may be squashed or stretched: a twentieth is not seen."""


@dataclass(frozen=True, slots=True)
class Repeat:
    """Cells that fill an oblong and, shifted by its sides, the plane.

    Attributes
    ----------
    wide, high : float
        mm; sides of the oblong, its lower left corner at the origin.
    cells : sequence of ndarray
        Corners of each, counter-clockwise, with the edges it shares with its neighbours; a cell may stand out
        of the oblong.
    openings : sequence of ndarray, optional
        What is cut out of each; the cell drawn in by half a strap where left out.
    soft : float
        How round openings clipped at the edge are.
    worthy : float
        What share of an opening a clipped one must be; see `trim_cells`.
    joins : bool
        Whether what is left of a cell at the edge may be given to a neighbour; else it stays closed.
    """

    wide: float
    high: float
    cells: Sequence[Points] | Points
    openings: Sequence[Points] | Points = field(default=())
    soft: float = 0.0
    worthy: float = WORTHY
    joins: bool = True


def circle(radius: float) -> Points:
    """Return the corners of a circle about the origin, mirrored by both axes, shape (n, 2)."""
    quarter = (
        quarter_turn(4 * radius)[:-1] * radius
    )  # four times as fine: cut by itself a hole shows its sides
    turned = np.column_stack([-quarter[:, 1], quarter[:, 0]])
    return np.vstack([quarter, turned, -quarter, -turned])


def oblong(x: float, y: float, wide: float, high: float) -> Points:
    """Return the corners of an oblong from its lower left one on, shape (4, 2)."""
    return np.array([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)])


def hexagon(wide: float, high: float) -> Points:
    """Return a cell of a honeycomb that stands on a point, two rows of it to `high`, about the origin."""
    points = [(1, -0.5), (1, 0.5), (0, 1), (-1, 0.5), (-1, -0.5), (0, -1)]
    return np.array(points) * (wide / 2, high / 3)


def triangles(wide: float, row: float) -> tuple[Points, Points]:
    """Return the two triangles of a 60° pattern in its lower row, one on its side and one on its point."""
    upright = np.array([(0, 0), (wide, 0), (wide / 2, row)])
    hanging = np.array([(wide, 0), (wide * 1.5, row), (wide / 2, row)])
    return upright, hanging


def in_both_rows(cells: Sequence[Points], high: float) -> list[Points]:
    """Return cells of the lower of two rows, each followed by its mirror image in the upper one."""
    return [each for cell in cells for each in (cell, ((0, high) + cell * (1, -1))[::-1])]


def fitted(
    region: Polygon | MultiPolygon,
    wide: float,
    high: float,
    *,
    beyond: tuple[float, float] | float,
    least: float = 0.0,
    odd: tuple[bool, bool] = (False, False),
    squash: float = SQUASH,
    fit: bool = True,
) -> tuple[float, float, float, float]:
    """Fit blocks into the box of a region a whole number of times, so that they end well inside it too.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        What is to be filled.
    wide, high : float
        mm; a block that ends well on all its sides.
    beyond : float or tuple of float
        mm; how much wider and higher the blocks are together than the region: half a strap on every side lies
        in the rim.
    least : float
        The smallest share of its size that a block may shrink to.
    odd : tuple of bool
        Whether one block must stand in the middle, across and up.
    squash : float
        How far a block's proportions may change.
    fit : bool
        Whether to fit at all. Default True.

    Returns
    -------
    tuple of float
        Width and height of a block, and the place of a block's lower left corner.

    Notes
    -----
    Proportions count for more than the size asked for: the eye sees a squashed cell sooner than a small one.
    """
    low_x, low_y, high_x, high_y = region.bounds
    more_x, more_y = beyond if isinstance(beyond, tuple) else (beyond, beyond)
    width, height = high_x - low_x + more_x, high_y - low_y + more_y
    counts = (_near(width / wide, odd[0]), _near(height / high, odd[1]))
    across, up = wide, high
    if fit:
        across, up, counts = _least_strained(
            (width, height), (wide, high), least, odd, squash, inner_lines(region)
        )
    middle = ((low_x + high_x) / 2, (low_y + high_y) / 2)
    return across, up, middle[0] - counts[0] * across / 2, middle[1] - counts[1] * up / 2


def fitted_rounds(
    region: Polygon | MultiPolygon, pitch: float, *, square: bool, strap: float, smallest: float, fit: bool
) -> tuple[float, float, tuple[float, float], float]:
    """Fit rows of round openings into the box of a region, straight rows or rows set half-way.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        What is to be filled.
    pitch : float
        mm; from the middle of an opening to the next.
    square : bool
        Whether rows are straight; half-way otherwise.
    strap, smallest : float
        mm.
    fit : bool
        Whether to fit at all. Default True.

    Returns
    -------
    tuple
        Width and height of a block, the place of its lower left corner, and the nearest that middles lie.
    """
    row = pitch if square else ROW * pitch
    beyond = (strap, strap - 1.1 * (pitch - row))  # the openings of the end rows stand out of their rows
    least = (strap + 2 * smallest) / pitch
    wide, high, x, y = fitted(
        region, pitch, row, beyond=beyond, least=least, odd=(False, not square), fit=fit
    )
    nearest = min(wide, high) if square else min(wide, math.hypot(wide / 2, high))
    return wide, high, (x, y), nearest


def _least_strained(
    box: tuple[float, float],
    block: tuple[float, float],
    least: float,
    odd: tuple[bool, bool],
    most: float,
    inner: tuple[Inner, Inner],
) -> tuple[float, float, tuple[int, int]]:
    middle = _near(box[0] / block[0], odd[0])
    spread = math.ceil(middle * GIVE) + odd[0]
    best, strain = (*block, (middle, _near(box[1] / block[1], odd[1]))), math.inf
    for nx in range(max(1, middle - spread), middle + spread + 1):
        if odd[0] and nx % 2 == 0:
            continue
        scale = box[0] / nx / block[0]
        ny = _near(box[1] / (block[1] * scale), odd[1])
        up = box[1] / ny
        squash = math.log(up / (block[1] * scale))
        if abs(squash) > most:
            up, squash = scale * block[1], 1.2 * most
        change = abs(math.log(scale)) + 4 * abs(squash) + inner[0].misfit(nx) + inner[1].misfit(box[1] / up)
        if change < strain and min(scale, up / block[1]) >= least:
            best, strain = (scale * block[0], up, (nx, ny)), change
    return best


def _near(exact: float, odd: bool) -> int:
    return max(1, 2 * round((exact - 1) / 2) + 1 if odd else round(exact))
