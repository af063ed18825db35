"""Lattices of slits: a basket weave and a herringbone."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.bounds import Fit, LatticeRim, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.parameters import Count, Length

from ._filling.fill import fill_with_repeat
from ._filling.region import check_pitch, inset_region
from ._filling.repeat import Repeat, fitted, oblong

__all__ = ["basket_lattice", "herringbone_lattice"]

_CROPPED = 0.2
"""Of a whole oblong's inscribed circle: with a smaller one its rest at the edge stays closed. Oblongs at 45°
all end there in corners, and closed ones are dark spots along it (by eye)."""


@motif("lattice")
def basket_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from slit to slit, across", 1, 100)] = 3.7,
    slits: Annotated[int, Count("slits in a block", 2, 6)] = 3,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """A basket weave: square blocks of slits, level and upright by turns.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two slits: mm, 0.3 to 20, default 1.2.
    pitch : float
        From slit to slit, across: mm, 1 to 100, default 3.7.
    slits : int
        Slits in a block: 2 to 6, default 3.
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
    An odd number of blocks fills the width and the height, so that all four sides and corners are alike.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = basket_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    least = (strap + 2 * smallest) / pitch
    block = slits * pitch
    wide, high, x, y = fitted(
        region, block, block, beyond=strap, least=least, odd=(True, True), squash=0.12, fit=fit
    )
    steps = np.arange(slits) / slits
    level = [oblong(0, high * step, wide, high / slits) for step in steps]
    upright = [oblong(wide * (1 + step), 0, wide / slits, high) for step in steps]
    shift = [(0, 0), (wide, high)]
    cells = [cell + by for cell in level for by in shift] + [
        cell + np.array([x_by, -y_by]) for cell in upright for x_by, y_by in shift
    ]
    return fill_with_repeat(
        within, region, Repeat(2 * wide, 2 * high, cells), (x, y), strap=strap, smallest=smallest
    )


@motif("lattice")
def herringbone_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from side to side of an oblong", 1, 100)] = 4.2,
    length: Annotated[int, Count("length of an oblong, in its widths", 2, 5)] = 3,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Herringbone: oblongs at 45°, the end of each against the side of the next.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two oblongs: mm, 0.3 to 20, default 1.2.
    pitch : float
        From side to side of an oblong: mm, 1 to 100, default 4.2.
    length : int
        Length of an oblong, in its widths: 2 to 5, default 3.
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
    The parquet-layer's pattern; half a turn about the middle of any oblong maps it onto itself.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = herringbone_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(rotate(paper, 180, origin=(30, 45))).area, 3)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    root = math.sqrt(2)
    least = (strap + 2 * smallest) / pitch
    wide, high, *_ = fitted(region, length * root * pitch, root * pitch, beyond=strap, least=least, fit=fit)
    along, across = (
        np.array([wide, high * length]) / length / 2,
        np.array([-wide, high * length]) / length / 2,
    )
    rising = np.array([0 * along, length * along, length * along + across, across])
    falling = np.array([0 * along, along, along + length * across, length * across]) - along
    low_x, low_y, high_x, high_y = region.bounds
    x, y = np.array([(low_x + high_x) / 2, (low_y + high_y) / 2]) - rising.mean(axis=0)
    return fill_with_repeat(
        within,
        region,
        Repeat(wide, high, [rising, falling], worthy=_CROPPED, joins=False),
        (float(x), float(y)),
        strap=strap,
        smallest=smallest,
    )
