"""Lattices: a region pierced by a regular pattern inside a rim."""

from __future__ import annotations

import math
from itertools import product
from typing import Annotated

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.bounds import Fit, LatticeRim, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import inset_convex
from canivet.parameters import Angle, Length

from ._cells import check_cell, fill_with_cells, grid, inset_region
from ._repeat import GIVE, ROW, SQUASH, hexagon

__all__ = ["diamond_lattice", "hexagon_lattice"]


@motif("lattice")
def diamond_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from bar to bar, across the bars", 1, 200)] = 6.0,
    tilt: Annotated[float, Angle("of the bars from level", 20, 70)] = 58.0,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """A trellis of two sets of crossing bars, with lozenges between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.2.
    pitch : float
        From bar to bar, across the bars: mm, 1 to 200, default 6.
    tilt : float
        Of the bars from level: degrees, 20 to 70, default 58; over 45 the lozenges stand upright.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether pitch and tilt give way a little so that bars cross in the corners of the region's box.
        Default True.

    Returns
    -------
    Polygon
        The paper, in one piece; every bar is `strap` wide.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    The share that is open is (1 − strap/pitch)² whatever the tilt: each cell is drawn in by half a strap, and
    a rhombus drawn in is the same rhombus smaller.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = diamond_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    check_cell(pitch, strap, smallest)
    region = inset_region(within, rim)
    angle = math.radians(tilt)
    wide, high = pitch / math.sin(angle), pitch / math.cos(angle)
    if fit:
        wide, high = _fit_diamond(region.bounds, wide, high, strap + 2 * smallest)
    cell = np.array([(wide / 2, 0), (0, high / 2), (-wide / 2, 0), (0, -high / 2)])
    opening = inset_convex(cell, strap / 2)
    reach = max(wide, high) / 2
    # where counts are whole the box's edges run through the middles of cells and its corners are crossings
    low_x, low_y, high_x, high_y = region.bounds
    x, y = (round((high_x - low_x) / wide) % 2 / 2, round((high_y - low_y) / high) % 2 / 2)
    centres = [
        grid(region, (wide, high), (x + 0.5, y), reach),
        grid(region, (wide, high), (x, y + 0.5), reach),
    ]
    return fill_with_cells(within, region, [(opening, np.concatenate(centres))], smallest=smallest)


@motif("lattice")
def hexagon_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from the middle of a cell to the next, across the flats", 1, 200)] = 7.0,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """A honeycomb: rows of six-sided openings standing on a point.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two cells: mm, 0.3 to 20, default 1.2.
    pitch : float
        From the middle of a cell to the next, across the flats: mm, 1 to 200, default 7.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the width, and the rows are moved apart
        or together by a twentieth at most so that a row is halved by either end. Default True.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    The share that is open is ((pitch − strap)/pitch)², flats over pitch squared.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = hexagon_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    check_cell(pitch, strap, smallest)
    region = inset_region(within, rim)
    low_x, low_y, high_x, high_y = region.bounds
    across, row = pitch, pitch * ROW
    if fit:
        across, row = _fit_hexagon(high_x - low_x, high_y - low_y, pitch, strap + 2 * smallest)
    opening = inset_convex(hexagon(across, 2 * row), strap / 2)
    x = (round((high_x - low_x) / across) + 1) % 2 / 2
    y = round((high_y - low_y) / row / 2) % 2 / 2
    step = (across, 2 * row)
    centres = [grid(region, step, (x, y), across), grid(region, step, (x + 0.5, y + 0.5), across)]
    return fill_with_cells(within, region, [(opening, np.concatenate(centres))], smallest=smallest)


def _fit_diamond(
    bounds: tuple[float, float, float, float], wide: float, high: float, least: float
) -> tuple[float, float]:
    """Return the nearest cell that fits a box a whole number of times, `least` mm across its flats."""
    low_x, low_y, high_x, high_y = bounds
    sides = (high_x - low_x, high_y - low_y)
    counts = [(max(1, math.floor(side / cell)), math.floor(side / cell) + 1)
              for side, cell in zip(sides, (wide, high), strict=True)]  # fmt: skip
    best = (wide, high)
    strain = math.inf
    for nx, ny in product(*counts):
        new = (sides[0] / nx, sides[1] / ny)
        change = math.hypot(math.log(new[0] / wide), math.log(new[1] / high))
        if change < strain and new[0] * new[1] / math.hypot(*new) >= least:
            best, strain = new, change
    return best


def _fit_hexagon(width: float, height: float, pitch: float, least: float) -> tuple[float, float]:
    """Return the pitch across and from row to row that fit a box, for cells all but regular.

    An even number of row gaps makes both ends alike. Regularity counts for more than the pitch asked for,
    since the eye sees a squashed hexagon sooner than a small one.
    """
    middle = max(1, round(width / pitch))
    spread = math.ceil(middle * GIVE)
    best, strain = (pitch, pitch * ROW), math.inf
    for nx in range(max(1, middle - spread), middle + spread + 1):
        across = width / nx
        row = height / max(2, 2 * round(height / (2 * across * ROW)))
        squash = math.log(row / (across * ROW))
        if abs(squash) > SQUASH:
            row, squash = across * ROW, SQUASH
        change = abs(math.log(across / pitch)) + 4 * abs(squash)
        if change < strain and min(across, row / ROW) >= least:
            best, strain = (across, row), change
    return best
