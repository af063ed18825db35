"""Lattices of straight bars that cross: a trellis, a grille and triangles."""

from __future__ import annotations

import math
from itertools import product
from typing import Annotated

import numpy as np
from shapely.geometry import MultiPolygon, Polygon

from canivet.motifs.bounds import Fit, Grade, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, inset_convex
from canivet.parameters import Angle, Choice, Length

from ._filling.clip import fill_with_openings
from ._filling.fill import fill_with_repeat
from ._filling.phase import inner_lines
from ._filling.region import check_pitch, grid, inset_region
from ._filling.repeat import GIVE, ROW, Repeat, circle, fitted, in_both_rows, oblong, triangles
from ._filling.trim import inscribed

__all__ = ["diamond_lattice", "square_lattice", "triangle_lattice"]

_WORTHY = 0.3
"""Of a whole field's inscribed circle: with a smaller one its rest at the edge stays closed, so that bars run
on to the rim and those of a chequer end in no step (by eye)."""


@motif("lattice")
def diamond_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from bar to bar, across the bars", 1, 200)] = 6.0,
    tilt: Annotated[float, Angle("of the bars from level", 20, 70)] = 58.0,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
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
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
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
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    angle = math.radians(tilt)
    wide, high = pitch / math.sin(angle), pitch / math.cos(angle)
    if fit:
        wide, high = _fit_diamond(region, wide, high, strap + 2 * smallest)
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
    return fill_with_openings(
        within, region, [(opening, np.concatenate(centres))], smallest=smallest, grade=grade, toward=toward
    )


@motif("lattice")
def square_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from bar to bar", 1, 200)] = 6.0,
    alternate: Annotated[
        str, Choice("what every other opening is", "lozenge", "round", "square")
    ] = "lozenge",
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """A grille of upright and level bars, chequered: open squares and lozenges by turns between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.2.
    pitch : float
        From bar to bar: mm, 1 to 200, default 6.
    alternate : str
        What every other opening is: ``lozenge``, a square on its point; ``round``; or ``square``, a plain
        grille, as all are where the other could not be cut. Default ``lozenge``.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the region's box. Default True.

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
    The share of a plain grille that is open is (1 − strap/pitch)², that of a chequer of squares and lozenges
    three quarters of it.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = square_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    field = _field(alternate, pitch - strap)
    chequered = alternate != "square" and inscribed(Polygon(field)) >= smallest
    least = (strap + 2 * smallest) / pitch
    if chequered:
        least = max(least, (strap + smallest / inscribed(Polygon(field)) * (pitch - strap)) / pitch)
    wide, high, x, y = fitted(
        region, pitch, pitch, beyond=strap, least=least, odd=(chequered, chequered), fit=fit
    )
    if chequered:
        repeat = _chequer(wide, high, strap, alternate)
    else:
        repeat = Repeat(wide, high, [oblong(0, 0, wide, high)])
    return fill_with_repeat(
        within, region, repeat, (x, y), strap=strap, smallest=smallest, grade=grade, toward=toward
    )


@motif("lattice")
def triangle_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("side of the triangles, from crossing to crossing", 2, 300)] = 9.5,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Three sets of crossing bars, level and leaning both ways, with triangles between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.2.
    pitch : float
        Side of the triangles, from crossing to crossing: mm, 2 to 300, default 9.5.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the region's box. Default True.

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
    The share that is open is (1 − √3·strap/pitch)².

    Examples
    --------
    >>> paper = triangle_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, sum(len(opening.coords) == 4 for opening in paper.interiors) > 100
    ('Polygon', True)
    """
    inradius = ROW / 3
    check_pitch(pitch, strap, smallest, inradius=inradius)
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / inradius / pitch
    wide, high, x, y = fitted(region, pitch, 2 * ROW * pitch, beyond=strap, least=least, squash=0.08, fit=fit)
    cells = in_both_rows(triangles(wide, high / 2), high)
    return fill_with_repeat(
        within, region, Repeat(wide, high, cells), (x, y),
        strap=strap, smallest=smallest, grade=grade, toward=toward,
    )  # fmt: skip


def _field(alternate: str, side: float) -> Points:
    """Return what is cut in every other square of that side, about its middle."""
    square = oblong(-side / 2, -side / 2, side, side)
    return {
        "lozenge": (square + np.roll(square, -1, axis=0)) / 2,
        "round": circle(side / 2),
        "square": square,
    }[alternate]


def _chequer(wide: float, high: float, strap: float, alternate: str) -> Repeat:
    """Return four fields, two open and two that hold something else."""
    corners = product((0, wide), (0, high))
    cells = [oblong(x, y, wide, high) for x, y in corners]
    side = wide - strap
    size = (1.0, (high - strap) / side)
    openings = [
        cell.mean(axis=0) + size * _field(kind, side)
        for cell, kind in zip(cells, ("square", alternate, alternate, "square"), strict=True)
    ]
    return Repeat(2 * wide, 2 * high, cells, openings, worthy=_WORTHY, joins=False)


def _fit_diamond(
    region: Polygon | MultiPolygon, wide: float, high: float, least: float
) -> tuple[float, float]:
    """Return the nearest cell, `least` mm across its flats, that fits a box a whole number of times."""
    low_x, low_y, high_x, high_y = region.bounds
    sides = (high_x - low_x, high_y - low_y)
    across, up = inner_lines(region)
    counts = [_near_counts(side / cell) for side, cell in zip(sides, (wide, high), strict=True)]
    best = (wide, high)
    strain = math.inf
    for nx, ny in product(*counts):
        new = (sides[0] / nx, sides[1] / ny)
        change = math.hypot(math.log(new[0] / wide), math.log(new[1] / high))
        change += across.misfit(nx) + up.misfit(ny)
        if change < strain and new[0] * new[1] / math.hypot(*new) >= least:
            best, strain = new, change
    return best


def _near_counts(exact: float) -> range:
    """Return the counts that a pitch may give way to: the two next to it, and all within an eighth."""
    return range(max(1, min(math.floor(exact), math.ceil(exact / (1 + GIVE)))),
                 max(math.floor(exact) + 1, math.floor(exact * (1 + GIVE))) + 1)  # fmt: skip
