"""A border of square holes and a lattice of round ones: the least a guest brings."""

import numpy as np
import shapely
from shapely import box

from canivet.motifs import motif
from canivet.motifs.bounds import BandWidth, LatticeRim, Smallest, Spacing, Strap


@motif("lattice")
def portholes(
    *,
    within: shapely.Polygon,
    rim: LatticeRim = 2.5,
    pitch: Spacing = 8.0,
    strap: Strap = 1.2,
    smallest: Smallest = 0.5,
):
    """Round holes in rows, each clear of the rim."""
    if (pitch - strap) / 2 < smallest:
        return within
    x0, y0, x1, y1 = within.bounds
    x, y = np.meshgrid(np.arange(x0, x1, pitch), np.arange(y0, y1, pitch))
    holes = shapely.buffer(shapely.points(x.ravel(), y.ravel()), (pitch - strap) / 2)
    room = within.buffer(-rim)
    return within.difference(shapely.union_all(holes[shapely.covers(room, holes)]))


@motif("border")
def corner_posts(
    *, within: shapely.Polygon, band: BandWidth = 9.0, strap: Strap = 1.2, smallest: Smallest = 0.5
):
    """One square hole in each corner of an oblong."""
    x0, y0, x1, y1 = within.bounds
    side = band - 2 * strap
    if side < 2 * smallest:
        return within
    corners = [(x, y) for x in (x0 + strap, x1 - strap - side) for y in (y0 + strap, y1 - strap - side)]
    return within.difference(shapely.union_all([box(x, y, x + side, y + side) for x, y in corners]))
