"""Creatures of the ground and the water: hare, deer, cat, fish.

Each has ground or weeds of its own by which it joins a picture; its pose and how much of it is pierced are
parameters. The fish is drawn about a bent spine, the others by their outlines.
"""

from __future__ import annotations

from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.bounds import Detail, Facing, FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed, Share

from ._creatures.beasts import CAT, DEER, HARE, draw_cat, draw_deer, draw_hare
from ._creatures.fins_and_wings import FISH, draw_fish
from ._drawing.carving import draw_figure

__all__ = ["cat", "deer", "fish", "hare"]


@motif("form")
def hare(
    *,
    width: FormWidth = 58.0,
    height: FormHeight = 70.0,
    facing: Facing = "right",
    ears: Annotated[float, Share("how far its ears stand up")] = 0.8,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A sitting hare, ears up, on ground with tufts.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 58.
    height : float
        Of the box to fill: mm, 5 to 400, default 70.
    facing : str
        Which way it looks: "right" or "left", default "right".
    ears : float
        How far its ears stand up: 0 to 1, default 0.8.
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
    It is about 0.82 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> right, left = (hare(width=58, height=70, facing=side) for side in ('right', 'left'))
    >>> from shapely.affinity import scale
    >>> mirrored = scale(left, -1, 1, origin=(left.bounds[2] / 2, 0))
    >>> right.symmetric_difference(mirrored).area < 1e-6
    True
    """
    draw = partial(draw_hare, strap=strap, smallest=smallest, seed=seed, ears=ears)
    return draw_figure(
        HARE, draw, width, height, strap=strap, smallest=smallest, detail=detail, flip=facing == "left"
    )


@motif("form")
def deer(
    *,
    width: FormWidth = 64.0,
    height: FormHeight = 80.0,
    facing: Facing = "right",
    antlers: Annotated[float, Share("how full its antlers are; 0 is a doe")] = 1.0,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A standing deer, dappled, on ground with tufts.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 64.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    facing : str
        Which way it looks: "right" or "left", default "right".
    antlers : float
        How full its antlers are; 0 is a doe: 0 to 1, default 1.0.
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
    It is about 0.8 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> plain, cut = (deer(width=64, height=80, detail=share) for share in (0, 1))
    >>> len(plain.interiors) < len(cut.interiors), cut.area < plain.area
    (True, True)
    """
    draw = partial(draw_deer, strap=strap, smallest=smallest, seed=seed, antlers=antlers)
    return draw_figure(
        DEER, draw, width, height, strap=strap, smallest=smallest, detail=detail, flip=facing == "left"
    )


@motif("form")
def cat(
    *,
    width: FormWidth = 46.0,
    height: FormHeight = 70.0,
    facing: Facing = "right",
    curl: Annotated[float, Share("how far its tail rises")] = 0.6,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A sitting cat that looks at us, its tail behind it.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 46.
    height : float
        Of the box to fill: mm, 5 to 400, default 70.
    facing : str
        Which way it looks: "right" or "left", default "right".
    curl : float
        How far its tail rises: 0 to 1, default 0.6.
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
    It is about 0.65 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> plain, cut = (cat(width=46, height=70, detail=share) for share in (0, 1))
    >>> len(plain.interiors) < len(cut.interiors), cut.area < plain.area
    (True, True)
    """
    draw = partial(draw_cat, strap=strap, smallest=smallest, seed=seed, curl=curl)
    return draw_figure(
        CAT, draw, width, height, strap=strap, smallest=smallest, detail=detail, flip=facing == "left"
    )


@motif("form")
def fish(
    *,
    width: FormWidth = 84.0,
    height: FormHeight = 54.0,
    facing: Facing = "right",
    bend: Annotated[float, Share("how far its tail swings up")] = 0.5,
    detail: Detail = 1.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A fish in scales that rests on water weeds.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 84.
    height : float
        Of the box to fill: mm, 5 to 400, default 54.
    facing : str
        Which way it looks: "right" or "left", default "right".
    bend : float
        How far its tail swings up: 0 to 1, default 0.5.
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
    It is about 1.55 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> right, left = (fish(width=84, height=54, facing=side) for side in ('right', 'left'))
    >>> from shapely.affinity import scale
    >>> mirrored = scale(left, -1, 1, origin=(left.bounds[2] / 2, 0))
    >>> right.symmetric_difference(mirrored).area < 1e-6
    True
    """
    draw = partial(draw_fish, strap=strap, smallest=smallest, seed=seed, bend=bend)
    return draw_figure(
        FISH, draw, width, height, strap=strap, smallest=smallest, detail=detail, flip=facing == "left"
    )
