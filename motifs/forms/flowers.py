"""Flowers upright on their stems: tulip, iris, rose, thistle, poppy, sunflower, and an ear of wheat.

Each is one outline pierced by drops and leaves that follow its form, drawn anew by each seed and as large as
it fits its box. Openings that find no room at a small size are left out whole.
"""

from __future__ import annotations

from functools import partial

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed

from ._drawing.carving import draw_figure
from ._plants.field import (
    POPPY,
    SUNFLOWER,
    THISTLE,
    WHEAT,
    draw_poppy,
    draw_sunflower,
    draw_thistle,
    draw_wheat,
)
from ._plants.garden import IRIS, ROSE, TULIP, draw_iris, draw_rose, draw_tulip

__all__ = ["iris", "poppy", "rose", "sunflower", "thistle", "tulip", "wheat"]


@motif("form")
def tulip(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A tulip: a cup of three petals on a swaying stem between two long leaves.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
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
    The cup is the same in the mirror, stem and leaves are not; chance opens or closes it. It is about
    0.57 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = tulip(width=40, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 40, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_tulip, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(TULIP, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def iris(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """An iris: three petals that rise, three that hang, sword leaves at its foot.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
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
    The flower is the same in the mirror. It is about 0.56 times as broad as high; a box of other
    proportions gets the largest that fits.

    Examples
    --------
    >>> paper = iris(width=40, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 40, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_iris, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(IRIS, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def rose(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 74.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A rose: a bloom of rolled petals, thorns, and leaves of five leaflets.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
    height : float
        Of the box to fill: mm, 5 to 400, default 74.
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
    Petals are rolled in rings of 2, 3, 4 and 5, each ring turned against the one before; in a small box
    there are two rings. It is about 0.53 times as broad as high; a box of other proportions gets the
    largest that fits.

    Examples
    --------
    >>> paper = rose(width=40, height=74)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 40, paper.bounds[3] / 74), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_rose, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(ROSE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def thistle(
    *,
    width: FormWidth = 44.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A thistle: a scaly head under a tuft of spikes, spined leaves along its stem.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 44.
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
    It is about 0.62 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = thistle(width=44, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 44, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_thistle, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(THISTLE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def poppy(
    *,
    width: FormWidth = 44.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A poppy: an open flower of four crumpled petals, a nodding bud, feathered leaves.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 44.
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
    It is about 0.62 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = poppy(width=44, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 44, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_poppy, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(POPPY, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def sunflower(
    *,
    width: FormWidth = 42.0,
    height: FormHeight = 72.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A sunflower: seeds by the golden angle in a ring of petals, broad leaves on its stem.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 42.
    height : float
        Of the box to fill: mm, 5 to 400, default 72.
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
    Each seed lies 137.508 degrees on from the one before, as they grow; they are counted by the strap. It
    is about 0.57 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = sunflower(width=42, height=72)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 42, paper.bounds[3] / 72), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_sunflower, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(SUNFLOWER, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def wheat(
    *,
    width: FormWidth = 30.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """An ear of wheat: grains in two rows, with awns where there is room for all, and two long leaves.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 30.
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
    Grains are counted by the strap: three to seven rows. It is about 0.37 times as broad as high; a box
    of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = wheat(width=30, height=80)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 30, paper.bounds[3] / 80), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_wheat, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(WHEAT, draw, width, height, strap=strap, smallest=smallest)
