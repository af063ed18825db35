"""A lattice about a point: rays with rings between them."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
from shapely.geometry import Polygon

from canivet.motifs.bounds import LatticeRim, Roundness, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points, Shapes, moved, turned
from canivet.parameters import Length, Share

from ._filling.fill import fill_with_shapes
from ._filling.region import Across, Up, check_pitch, inset_region, middle_of
from ._filling.repeat import circle
from ._filling.trim import drawn_in, softened

__all__ = ["sunburst_lattice"]

_WHIP = 10.0
"""A ray this many times as long as it is wide is tied by a ring (*common practice*)."""

_CORE = 1.2
"""Radius of the disc in the middle of a sunburst, in pitches."""

_FIRST = 12
"""Rays about the disc; an even number, so that one half mirrors the other."""

_BROADEST = 1.45
"""A ring whose cells would be this many pitches wide half-way along has twice as many."""

_BULGE = 0.75
"""How far the outer end of a cell bulges, in half widths."""

_LEAST = 0.36
"""Radius of the circle inscribed in about the smallest cell, in pitches."""


@motif("lattice")
def sunburst_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.4,
    pitch: Annotated[float, Length("about how wide a cell is", 2, 200)] = 6.0,
    length: Annotated[float, Share("length of a cell, in pitches", 0.8, 4)] = 1.7,
    across: Across = 0.5,
    up: Up = 0.0,
    roundness: Roundness = 0.3,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A sunburst: round-ended cells in rings about a disc, between rays that double as they spread.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the rays and rings: mm, 0.3 to 20, default 1.4.
    pitch : float
        About how wide a cell is: mm, 2 to 200, default 6.
    length : float
        Length of a cell, in pitches: 0.8 to 4, default 1.7; a little less so that whole rings fill the
        height over the middle, and where a ray would be longer than ten times its width.
    across : float
        Where the middle lies across the region, 0 left and 1 right: −0.5 to 1.5, default 0.5.
    up : float
        Where the middle lies up the region, 0 foot and 1 head: −0.5 to 1.5, default 0.
    roundness : float
        How round the corners of cells are: 0 to 1, default 0.3.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.

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
    Every ring ties the rays, so that none is a whip. Where cells would grow too broad the next ring has
    twice as many, and new rays spring from the middles of the old cells' ends.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = sunburst_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area)
    ('Polygon', 0)
    """
    check_pitch(pitch, strap, smallest, inradius=_LEAST)
    region = inset_region(within, rim)
    middle = middle_of(region, across, up, strap)
    most = max(0.8 * pitch, min(length * pitch, _WHIP * strap + 2 * (strap / 2 + smallest)))
    height = region.bounds[3] + strap / 2 - middle[1] - _CORE * pitch
    rings = max(1, math.ceil(height / most - 0.2))
    length = height / rings if height > most else most
    box = np.reshape(region.bounds, (2, 2)) - middle
    cells, openings = _rings(pitch, length, strap, box, roundness)
    return fill_with_shapes(
        within,
        region,
        moved(cells, middle),
        openings=moved(openings, middle),
        strap=strap,
        smallest=smallest,
        soft=roundness,
    )


def _rings(pitch: float, length: float, strap: float, box: Points, soft: float) -> tuple[Shapes, Shapes]:
    """Return the cells of a sunburst about the origin that cover a box, and what is cut from each."""
    reach = float(np.hypot(*np.abs(box).max(axis=0))) + pitch
    core = np.array([Polygon(circle(_CORE * pitch))])
    cells, openings = [core], [drawn_in(core, strap / 2)]
    near, rays, bulge, doubled = _CORE * pitch, _FIRST, 0.0, False
    while near < reach:
        far = near + length
        if math.pi * (near + far) / rays > _BROADEST * pitch and near > _CORE * pitch:
            rays, doubled = 2 * rays, True
        else:
            doubled = False
        half = math.pi / rays
        out = _BULGE * half * far
        for shape in _ray_cells(near, far, half, bulge, out, doubled=doubled):
            cell = np.array([Polygon(shape)])
            opening = softened(drawn_in(cell, strap / 2), soft)
            step = 4 * half if doubled else 2 * half
            turns = _turns_near(box, shape, step)
            if not len(turns):
                continue
            cells.append(turned(cell[0], turns))
            openings.append(turned(opening[0], turns))
        near, bulge = far, out
    return np.concatenate(cells), np.concatenate(openings)


def _turns_near(box: Points, shape: Points, step: float) -> Points:
    """Return by which multiples of an angle a shape must be turned to cover a box and what is next to it."""
    turns = step * np.arange(round(2 * math.pi / step))
    x, y = shape.mean(axis=0)
    margin = 4 * float(np.hypot(*np.ptp(shape, axis=0)))
    at = np.column_stack([x * np.cos(turns) - y * np.sin(turns), x * np.sin(turns) + y * np.cos(turns)])
    near: Points = turns[((at > box[0] - margin) & (at < box[1] + margin)).all(axis=1)]
    return near


def _ray_cells(
    near: float, far: float, half: float, bulge: float, out: float, *, doubled: bool
) -> list[Points]:
    """Return a cell that begins at angle 0, or both where two stand on one cell of the ring inside."""
    u = np.linspace(-1, 1, 33)
    arched = far + out * (1 - u**2)
    if not doubled:
        return [_between(half * (1 + u), near + bulge * (1 - u**2), half * (1 + u), arched)]
    # half of the inner cell's end: the same points, or the two would overlap by what a chord cuts off
    left, right = u[:17], u[16:]
    return [
        _between(half * (2 + 2 * left), near + bulge * (1 - left**2), half * (1 + u), arched),
        _between(half * (2 + 2 * right), near + bulge * (1 - right**2), half * (3 + u), arched),
    ]


def _between(turns: Points, inner: Points, outer_turns: Points, outer: Points) -> Points:
    near = inner[:, None] * np.column_stack([np.cos(turns), np.sin(turns)])
    far = outer[:, None] * np.column_stack([np.cos(outer_turns), np.sin(outer_turns)])
    return np.vstack([far, near[::-1]])
