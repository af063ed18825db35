"""Trees by their habit: an oak, a pine, a willow."""

from __future__ import annotations

from functools import partial

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed

from ._drawing.carving import draw_figure
from ._plants.trees import OAK, PINE, draw_oak, draw_pine
from ._plants.willow import WILLOW, draw_willow

__all__ = ["oak", "pine", "willow"]


@motif("form")
def oak(
    *,
    width: FormWidth = 72.0,
    height: FormHeight = 66.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """An oak: clumps of leaves pierced by drops of light over a stout trunk with roots.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 72.
    height : float
        Of the box to fill: mm, 5 to 400, default 66.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    It is about 1.06 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = oak(width=72, height=66)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 72, paper.bounds[3] / 66), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_oak, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(OAK, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def pine(
    *,
    width: FormWidth = 42.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A pine: boughs in tiers that hang to a point, needles below, a light in each.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 42.
    height : float
        Of the box to fill: mm, 5 to 400, default 70.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    Four to seven tiers, counted by the strap. It is about 0.6 times as broad as high; a box of other
    proportions gets the largest that fits.

    Examples
    --------
    >>> paper = pine(width=42, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 42, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_pine, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(PINE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def willow(
    *,
    width: FormWidth = 72.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A willow: boughs that fork, rise and bend over, leafy strands that fall from them, a leaning trunk.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 72.
    height : float
        Of the box to fill: mm, 5 to 400, default 70.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    Strands are counted by the strap, and fall from four crowns, or from three where they are few. None
    falls on a bough: it ends before one, or is left out. Here and there one leans with its end on a longer
    neighbour; the others hang free, and a long one is tender. It is about 1.04 times as broad as high; a box
    of other proportions gets the largest that fits.

    Examples
    --------
    Half way up, strands hang to either side of the trunk; near the ground it stands alone.

    >>> from shapely import box
    >>> paper = willow(width=72, height=70)
    >>> high, low = (paper.intersection(box(0, y, 72, y + 0.1)) for y in (30, 4))
    >>> len(high.geoms) >= 7, low.geom_type
    (True, 'Polygon')
    """
    draw = partial(draw_willow, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(WILLOW, draw, width, height, strap=strap, smallest=smallest)
