"""Lattices of openings that stay whole up to the rim: round holes, and slots like almonds."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from canivet.motifs.bounds import Fit, Grade, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.outlines import quarter_turn
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import largest_part, opened
from canivet.parameters import Choice, Length, Share

from ._filling.fill import fill_with_repeat
from ._filling.region import check_pitch, grid, inset_region
from ._filling.repeat import ROUND, Repeat, circle, fitted, fitted_rounds, oblong
from ._filling.trim import ROUND_OUT, inscribed
from ._filling.whole import Kind, fill_with_whole

__all__ = ["round_holes", "slots"]

_BLUNT = 0.3
"""Of its inscribed circle's radius: how round the points of lozenges between holes are; sharp ones tear."""

_STRETCH = 0.1
"""How far slots may be made longer or shorter: on so slender a form a tenth is not seen."""

_SLIMMER = 0.94
"""Of their width, that slots are made slimmer to at most so that a column of them fits beside each side."""

_SMALLER = 0.6
"""Of its size: the smallest almond that stands for one the edge would cut; the rim takes the rest."""


@motif("lattice")
def round_holes(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from the middle of a hole to the next", 1, 200)] = 7.5,
    layout: Annotated[str, Choice("how the rows stand", "square", "triangular")] = "square",
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Round holes in straight rows with a hollow-sided lozenge in each gap, or in rows set half-way.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two holes: mm, 0.3 to 20, default 1.2.
    pitch : float
        From the middle of a hole to the next: mm, 1 to 200, default 7.5.
    layout : str
        ``square`` for straight rows, with lozenges where there is room for them; ``triangular`` for rows set
        half-way (60°), which leave none; default ``square``.
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
    With holes of diameter D = pitch − strap the share that is open is π/4·(D/pitch)² on the square, lozenges
    left out, and π/(2√3)·(D/pitch)² at 60°. A lozenge is what lies a strap off the four holes about it. Along
    the edge smaller holes stand for those that it would cut.

    Examples
    --------
    >>> paper = round_holes(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]), pitch=6, strap=1.2)
    >>> hole = Polygon(paper.interiors[0])
    >>> round(4 * math.pi * hole.area / hole.length**2, 2)
    1.0
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    square = layout == "square"
    wide, high, at, nearest = fitted_rounds(
        region, pitch, square=square, strap=strap, smallest=smallest, fit=fit
    )
    radius = (nearest - strap) / 2
    if square:
        lozenge = _between_four(wide, high, radius + strap)
        kinds = [
            Kind(circle(radius), _grid(region, (wide, high), at, (0.5, 0.5))),
            *(
                [Kind(lozenge, _grid(region, (wide, high), at, (0, 0)), cut="dropped")]
                if len(lozenge)
                else []
            ),
        ]
    else:
        rows = [_grid(region, (wide, 2 * high), at, by) for by in ((0.5, 0.25), (1, 0.75))]
        kinds = [Kind(circle(radius), np.concatenate(rows))]
    return fill_with_whole(within, region, kinds, strap=strap, smallest=smallest, grade=grade, toward=toward)


@motif("lattice")
def slots(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from slot to slot, across", 1, 100)] = 4.8,
    length: Annotated[float, Share("length of a slot and the strap above it, in pitches", 1.2, 8)] = 2.7,
    ends: Annotated[str, Choice("how a slot ends", "pointed", "round")] = "pointed",
    smallest: Smallest = 0.5,
    grade: Grade = 0.45,
    toward: Toward = "edge",
    fit: Fit = True,
) -> Polygon:
    """Upright slots side by side, every other row half a slot higher, pointed like almonds or round-ended.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two slots: mm, 0.3 to 20, default 1.2.
    pitch : float
        From slot to slot, across: mm, 1 to 100, default 4.8.
    length : float
        Length of a slot and the strap above it, in pitches: 1.2 to 8, default 2.7.
    ends : str
        ``pointed`` for almonds of two arcs, as wide as the strap between them allows, or ``round``; default
        ``pointed``.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.45.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``edge``, so that they swell in the middle.
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
    A slot w wide and l long with round ends has an area of w·l − (1 − π/4)·w². Almonds reach into the white
    between those beside them, where straps grow wider toward the points; at a level edge half of one stands
    as a drop, and along a curved one smaller almonds do.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = slots(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 1)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    pointed = ends == "pointed"
    least = (strap + 2 * smallest) / pitch
    beyond = strap
    if pointed:  # almonds stand out of their columns, or do not fill them
        low_x, _, high_x, _ = region.bounds
        across = float(np.ptp(_almond(pitch, length * pitch, strap)[:, 0]))
        beyond = max(pitch - across, strap - (high_x - low_x))
    wide, high, x, y = fitted(
        region, pitch, length * pitch, beyond=(beyond, strap), least=least, odd=(True, False),
        squash=_STRETCH, fit=fit,
    )  # fmt: skip
    if pointed:
        almond = _almond(wide, high, strap)
        room = (x + wide / 2 - region.bounds[0]) / almond[:, 0].max()
        almond = almond * (room if _SLIMMER < room < 1 else 1.0, 1.0)  # those along the sides stay whole
        rows = [_grid(region, (2 * wide, high), (x, y), by) for by in ((0.25, 0.5), (0.75, 1))]
        kinds = [Kind(almond, np.concatenate(rows), cut="halved", least=_SMALLER)]
        return fill_with_whole(
            within, region, kinds, strap=strap, smallest=smallest, grade=grade, toward=toward, beads=False
        )
    half = high / 2 - wide / 2
    round_end = circle((wide - strap) / 2)
    slot = np.vstack(
        [round_end[round_end[:, 1] >= 0] + (0, half), round_end[round_end[:, 1] <= 0] - (0, half)]
    )
    slot = shapely.get_coordinates(Polygon(slot).convex_hull.exterior)[:-1]
    middles = np.array([(wide / 2, high / 2), (1.5 * wide, high)])
    repeat = Repeat(
        2 * wide,
        high,
        middles[:, None] + oblong(-wide / 2, -high / 2, wide, high),
        middles[:, None] + slot,
        soft=ROUND,
        joins=False,
    )
    return fill_with_repeat(
        within, region, repeat, (x, y), strap=strap, smallest=smallest, grade=grade, toward=toward
    )


def _grid(
    region: Polygon | MultiPolygon,
    step: tuple[float, float],
    at: tuple[float, float],
    by: tuple[float, float],
) -> Points:
    """Return the points of an oblong grid that lie by shares of a step from where a block's corner does."""
    low, high = np.reshape(region.bounds, (2, 2))
    x, y = (at - (low + high) / 2) / step + by
    return grid(region, step, (float(x), float(y)), max(step))


def _between_four(wide: float, high: float, radius: float) -> Points:
    """Return what four circles about the corners of an oblong leave in its middle, its points blunted.

    Shape (n, 2), about the middle; (0, 2) where they leave nothing.
    """
    corners = np.array([(wide, high), (-wide, high), (-wide, -high), (wide, -high)]) / 2
    discs = [Polygon(corner + circle(radius * ROUND_OUT)) for corner in corners]
    rest = Polygon(corners).difference(shapely.union_all(discs))
    middle = opened(largest_part(rest), _BLUNT * inscribed(rest), sides=16) if not rest.is_empty else rest
    points: Points = shapely.get_coordinates(largest_part(middle).exterior)[:-1]
    return points


def _almond(wide: float, high: float, strap: float) -> Points:
    """Return a slot of two arcs, a strap off those half its height on in the rows beside it and above it.

    Notes
    -----
    With l = high − strap and width w the arcs have a radius of (l² + w²)/4w, and lie about points
    2·radius − w apart. Those of two slots that face each other come nearest on the line between their
    middles, hence (wide + 2·radius − w)² + (high/2)² = (strap + 2·radius)²: derived.
    """
    long = high - strap
    a, c = wide + strap, (wide - strap) * long**2
    b = long**2 - high**2 / 4 - (wide**2 - strap**2)
    across = (math.sqrt(b**2 + 4 * a * c) - b) / (2 * a)
    radius = (long**2 + across**2) / (4 * across)
    turns = np.linspace(-1, 1, 2 * len(quarter_turn(radius)) + 1) * math.asin(long / 2 / radius)
    right = np.column_stack([radius * np.cos(turns) - (radius - across / 2), radius * np.sin(turns)])
    return np.vstack([right, -right[1:-1]])
