"""Lattices of curves alone: ogees, fish scales and waves of concentric arcs."""

from __future__ import annotations

from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.motifs.bounds import Fit, Grade, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points
from canivet.parameters import Angle, Count, Length, Share

from ._filling.fill import fill_with_repeat
from ._filling.region import check_pitch, inset_region
from ._filling.repeat import Repeat, fitted
from ._filling.tracery import THIN, mirrored, ogee_cell, scale_cell, wave_cells
from ._filling.trim import drawn_in, inscribed, softened

__all__ = ["fish_scale_lattice", "ogee_lattice", "seigaiha_lattice"]

_DROP = 0.6
"""From row to row of fish scales, in widths: a little longer than a half-round."""

_WORTHY = 0.4
"""Share of an arc of a wave that is cut at the edge: shorter ends there are crumbs."""

_SLENDER = 0.15
"""Of a whole ogee's inscribed circle: with a smaller one its rest at the edge stays closed. Little, since
points of ogees are slender, and a closed one is a dark wedge there (by eye)."""

_CROPPED = 0.2
"""Of a whole scale's inscribed circle: with a smaller one its rest at the edge stays closed. With more, a
whole row of rests along a straight edge is dark (by eye)."""

_JOINT = 0.14
"""How round the points of an ogee are: straps grow thicker into each joint, as those of a net do."""


@motif("lattice")
def ogee_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.3,
    pitch: Annotated[float, Length("width of an ogee and its strap", 2, 300)] = 11.0,
    height: Annotated[float, Share("height of an ogee, in widths", 1.0, 2.5)] = 1.75,
    point: Annotated[float, Angle("of the upper and lower point of an ogee", 24, 80)] = 30.0,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Ogees: onion-shaped openings with an S-curve on every side, in rows set half-way.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two openings: mm, 0.3 to 20, default 1.3.
    pitch : float
        Width of an ogee and its strap: mm, 2 to 300, default 11.
    height : float
        Height of an ogee, in widths: 1 to 2.5, default 1.75.
    point : float
        Of the upper and lower point of an ogee: degrees, 24 to 80, default 30.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
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
    Each side is a cubic curve that half a turn maps onto itself, so that all cells are alike and fill the
    plane.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = ogee_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area)
    ('Polygon', 0)
    """
    unit = ogee_cell(1.0, height, point)
    check_pitch(pitch, strap, smallest, inradius=inscribed(Polygon(unit)))
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / inscribed(Polygon(unit)) / pitch
    wide, high, x, y = fitted(region, pitch, height * pitch, beyond=strap, least=least, fit=fit)
    cell = ogee_cell(wide, high / wide, point)
    shape = _softened_opening(cell, strap, _JOINT)
    middles = np.array([(0, high / 2), (wide / 2, 0)])
    return fill_with_repeat(
        within,
        region,
        Repeat(
            wide,
            high,
            middles[:, None] + cell,
            middles[:, None] + shape,
            soft=_JOINT,
            worthy=_SLENDER,
            joins=False,
        ),
        (x, y),
        strap=strap,
        smallest=smallest,
    )


@motif("lattice")
def fish_scale_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from scale to scale across", 2, 300)] = 9.0,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Fish scales: round-ended openings in rows, each hung between two of the row above.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two scales: mm, 0.3 to 20, default 1.2.
    pitch : float
        From scale to scale across: mm, 2 to 300, default 9.
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
    Half ovals, every row half a scale along and 0.6 of a scale down.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = fish_scale_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area)
    ('Polygon', 0)
    """
    unit = Polygon(scale_cell(1.0, _DROP))
    check_pitch(pitch, strap, smallest, inradius=inscribed(unit))
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / inscribed(unit) / pitch
    wide, high, x, y = fitted(region, pitch, _DROP * pitch, beyond=strap, least=least, fit=fit)
    cell = scale_cell(wide, high)
    shape = _softened_opening(cell, strap, 0.35)
    middles = np.array([(0, high), (wide / 2, 0)])
    return fill_with_repeat(
        within,
        region,
        Repeat(
            wide,
            2 * high,
            middles[:, None] + cell,
            middles[:, None] + shape,
            soft=0.35,
            worthy=_CROPPED,
            joins=False,
        ),
        (x, y),
        strap=strap,
        smallest=smallest,
        grade=grade,
        toward=toward,
    )


@motif("lattice")
def seigaiha_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from wave to wave across", 4, 300)] = 18.0,
    arcs: Annotated[int, Count("arcs in a wave", 2, 6)] = 3,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Seigaiha, waves of the blue sea: concentric arcs in rows, each wave risen between two before it.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two arcs: mm, 0.3 to 20, default 1.2.
    pitch : float
        From wave to wave across: mm, 4 to 300, default 18.
    arcs : int
        Arcs in a wave: 2 to 6, default 3.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether the pitch gives way a little so that whole waves fill the region's box. Default True.

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
    Circles that touch in a row, every row a quarter of their breadth down and half of it along; each hides
    what lies behind it, so that every arc ends on the outlines of the waves before it, which hold it.

    References
    ----------
    Traditional in Japan, named after a court dance whose robes bear it (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = seigaiha_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area)
    ('Polygon', 0)
    """
    unit = wave_cells(arcs)
    inradius = min(inscribed(Polygon(cell)) for cell in unit)
    check_pitch(pitch, strap, smallest, inradius=inradius)
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / inradius / pitch
    wide, high, x, y = fitted(region, pitch, pitch / 2, beyond=strap, least=least, fit=fit)
    cells = [cell * (wide, 2 * high) + shift for shift in ((0, high), (wide / 2, high / 2)) for cell in unit]
    repeat = Repeat(wide, high, cells, worthy=_WORTHY, joins=False)
    return fill_with_repeat(within, region, repeat, (x, y), strap=strap, smallest=smallest)


def _softened_opening(cell: Points, strap: float, soft: float) -> Points:
    """Return what is cut from a cell that mirrors itself left to right, its corners rounded."""
    opening = softened(drawn_in(np.array([Polygon(cell)]), strap / 2 + THIN), soft)[0]
    shape: Points = shapely.get_coordinates(mirrored(opening).exterior)[:-1]
    return shape
