"""Places and pictures of folk symmetry: houses, a church, a ship, a tree of hearts, two birds at a tree."""

from __future__ import annotations

from functools import partial

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed

from ._drawing.carving import draw_figure
from ._figures.folk import BIRD_PAIR, HEART_TREE, draw_bird_pair, draw_heart_tree
from ._figures.places import CHURCH, HOUSES, SHIP, draw_church, draw_houses, draw_ship

__all__ = ["bird_pair", "church", "heart_tree", "house_row", "ship"]


@motif("form")
def house_row(
    *,
    width: FormWidth = 100.0,
    height: FormHeight = 46.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A row of gabled houses, no two alike, on one street.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 100.
    height : float
        Of the box to fill: mm, 5 to 400, default 46.
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
    Three to five houses, counted by the strap, whose gables, heights and windows chance deals out. The
    street spans the whole width. It is about 2.2 times as broad as high; a box of other proportions gets
    the largest that fits.

    Examples
    --------
    >>> from shapely import box
    >>> paper = house_row(width=100, height=46)
    >>> paper.covers(box(0.01, 0.01, paper.bounds[2] - 0.01, 1))
    True
    """
    draw = partial(draw_houses, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(HOUSES, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def church(
    *,
    width: FormWidth = 72.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A village church: a tower with a spire, a nave with lancets, a yew beside it.

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
    It is about 1.04 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = church(width=72, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 72, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_church, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(CHURCH, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def ship(
    *,
    width: FormWidth = 78.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A ship under full sail on a running sea.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 78.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
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
    It is about 0.98 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = ship(width=78, height=80)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 78, paper.bounds[3] / 80), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_ship, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(SHIP, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def heart_tree(
    *,
    width: FormWidth = 62.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A tree that springs from a heart: tulips and round flowers on scrolled boughs.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 62.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror about its upright axis.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    It is about 0.78 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = heart_tree(width=62, height=80)
    >>> axis = (paper.bounds[2] / 2, 0)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=axis)).area < 0.002 * paper.area
    True
    """
    draw = partial(draw_heart_tree, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(HEART_TREE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def bird_pair(
    *,
    width: FormWidth = 88.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """Two birds that face each other about a small tree.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 88.
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
        The paper, in one piece; the same in the mirror about its upright axis.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    It is about 1.26 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = bird_pair(width=88, height=70)
    >>> axis = (paper.bounds[2] / 2, 0)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=axis)).area < 0.002 * paper.area
    True
    """
    draw = partial(draw_bird_pair, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(BIRD_PAIR, draw, width, height, strap=strap, smallest=smallest)
