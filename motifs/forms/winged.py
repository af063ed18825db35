"""Creatures with wings: a bird and an owl on their boughs, a butterfly.

Their pose and how much of them is pierced are parameters.
"""

from __future__ import annotations

from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.bounds import Detail, Facing, FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed, Share

from ._creatures.birds import BIRD, OWL, draw_bird, draw_owl
from ._creatures.fins_and_wings import BUTTERFLY, draw_butterfly
from ._drawing.carving import draw_figure

__all__ = ["butterfly", "owl", "perched_bird"]


@motif("form")
def perched_bird(
    *,
    width: FormWidth = 80.0,
    height: FormHeight = 56.0,
    facing: Facing = "right",
    lift: Annotated[float, Share("how high it holds its head")] = 0.5,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A bird in profile on a bough with leaves, its wing and breast pierced.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 80.
    height : float
        Of the box to fill: mm, 5 to 400, default 56.
    facing : str
        Which way it looks: "right" or "left", default "right".
    lift : float
        How high it holds its head: 0 to 1, default 0.5.
    detail : float
        How many of its openings are cut, the chief ones first: 0 to 1, default 1.
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
    It is about 1.4 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> right, left = (perched_bird(width=80, height=56, facing=side) for side in ('right', 'left'))
    >>> from shapely.affinity import scale
    >>> mirrored = scale(left, -1, 1, origin=(left.bounds[2] / 2, 0))
    >>> right.symmetric_difference(mirrored).area < 1e-6
    True
    """
    draw = partial(draw_bird, strap=strap, smallest=smallest, seed=seed, lift=lift)
    return draw_figure(
        BIRD, draw, width, height, strap=strap, smallest=smallest, detail=detail, flip=facing == "left"
    )


@motif("form")
def owl(
    *,
    width: FormWidth = 48.0,
    height: FormHeight = 70.0,
    tufts: Annotated[float, Share("how high the tufts of its ears stand")] = 0.5,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """An owl on a bough, who looks at us.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 48.
    height : float
        Of the box to fill: mm, 5 to 400, default 70.
    tufts : float
        How high the tufts of its ears stand: 0 to 1, default 0.5.
    detail : float
        How many of its openings are cut, the chief ones first: 0 to 1, default 1.
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
    The owl is the same in the mirror, its bough is not. It is about 0.7 times as broad as high; a box of
    other proportions gets the largest that fits.

    Examples
    --------
    >>> plain, cut = (owl(width=48, height=70, detail=share) for share in (0, 1))
    >>> len(plain.interiors) < len(cut.interiors), cut.area < plain.area
    (True, True)
    """
    draw = partial(draw_owl, strap=strap, smallest=smallest, seed=seed, tufts=tufts)
    return draw_figure(OWL, draw, width, height, strap=strap, smallest=smallest, detail=detail)


@motif("form")
def butterfly(
    *,
    width: FormWidth = 80.0,
    height: FormHeight = 64.0,
    spread: Annotated[float, Share("how far its fore wings are raised")] = 0.5,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A butterfly with its wings spread, cells and spots cut between its veins.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 80.
    height : float
        Of the box to fill: mm, 5 to 400, default 64.
    spread : float
        How far its fore wings are raised: 0 to 1, default 0.5.
    detail : float
        How many of its openings are cut, the chief ones first: 0 to 1, default 1.
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
    Chance gives it round hind wings or tailed ones. It is about 1.24 times as broad as high; a box of
    other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = butterfly(width=80, height=64)
    >>> axis = (paper.bounds[2] / 2, 0)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=axis)).area < 0.002 * paper.area
    True
    """
    draw = partial(draw_butterfly, strap=strap, smallest=smallest, seed=seed, spread=spread)
    return draw_figure(BUTTERFLY, draw, width, height, strap=strap, smallest=smallest, detail=detail)
