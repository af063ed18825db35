"""Lattices of cells in courses, each over the joint of two below: bricks and a honeycomb."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
from shapely.geometry import MultiPolygon, Polygon

from canivet.motifs.bounds import Fit, Grade, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import inset_convex
from canivet.parameters import Length, Share

from ._filling.clip import fill_with_openings
from ._filling.fill import fill_with_repeat
from ._filling.phase import inner_lines
from ._filling.region import check_pitch, grid, inset_region
from ._filling.repeat import GIVE, ROW, SQUASH, Repeat, fitted, hexagon, oblong

__all__ = ["brick_lattice", "hexagon_lattice"]


@motif("lattice")
def brick_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from course to course", 1, 100)] = 4.2,
    length: Annotated[float, Share("length of a brick, in courses", 1.2, 5)] = 2.2,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Courses of oblong openings, each brick over the joint of two below.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the joints: mm, 0.3 to 20, default 1.2.
    pitch : float
        From course to course: mm, 1 to 100, default 4.2.
    length : float
        Length of a brick, in courses: 1.2 to 5, default 2.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
    fit : bool
        Whether the pitch gives way a little so that whole courses fill the region's box. Default True.

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
    The running bond of the bricklayer; every other course begins with half a brick.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = brick_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 45))).area, 6)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    least = (strap + 2 * smallest) / pitch
    wide, high, x, y = fitted(
        region, length * pitch, pitch, beyond=strap, least=least, odd=(False, True), fit=fit
    )
    cells = [oblong(0, 0, wide, high), oblong(wide / 2, high, wide, high)]
    return fill_with_repeat(
        within,
        region,
        Repeat(wide, 2 * high, cells),
        (x, y),
        strap=strap,
        smallest=smallest,
        grade=grade,
        toward=toward,
    )


@motif("lattice")
def hexagon_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from the middle of a cell to the next, across the flats", 1, 200)] = 7.0,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
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
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
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
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    low_x, low_y, high_x, high_y = region.bounds
    across, row = pitch, pitch * ROW
    if fit:
        across, row = _fit_hexagon(region, pitch, strap + 2 * smallest)
    opening = inset_convex(hexagon(across, 2 * row), strap / 2)
    x = (round((high_x - low_x) / across) + 1) % 2 / 2
    y = round((high_y - low_y) / row / 2) % 2 / 2
    step = (across, 2 * row)
    centres = [grid(region, step, (x, y), across), grid(region, step, (x + 0.5, y + 0.5), across)]
    return fill_with_openings(
        within, region, [(opening, np.concatenate(centres))], smallest=smallest, grade=grade, toward=toward
    )


def _fit_hexagon(region: Polygon | MultiPolygon, pitch: float, least: float) -> tuple[float, float]:
    """Return the pitch across and from row to row that fit a region's box, for cells all but regular.

    An even number of row gaps makes both ends alike. Regularity counts for more than the pitch asked for,
    since the eye sees a squashed hexagon sooner than a small one.
    """
    low_x, low_y, high_x, high_y = region.bounds
    width, height = high_x - low_x, high_y - low_y
    inner = inner_lines(region)
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
        change += inner[0].misfit(nx) + inner[1].misfit(height / (2 * row))
        if change < strain and min(across, row / ROW) >= least:
            best, strain = (across, row), change
    return best
