"""Natural forms: leaf, sprig, branch, berries, grass, blossom, feather, wreath, tree and fern.

Each is grown from a seed, fills its box and is cut by itself or joined to a picture by its stem or ground.
Stems taper and never pass under the strap; a leaf that finds no room is left out, so a small form has fewer
leaves and the same straps. The white between neighbours, too, is never much under a strap.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Annotated, Protocol

import shapely
from shapely.geometry import Polygon

from canivet.parameters import Count, Length, Seed

from .form_crown import grow_grass, grow_tree, grow_wreath, tree_frame
from .form_growth import grow_berries, grow_branch, grow_fern, grow_sprig
from .form_pierced import draw_blossom, draw_feather, draw_leaf
from .form_plant import Plant, natural_box, require_room, settle
from .registry import motif

__all__ = [
    "berry_cluster",
    "blossom",
    "branch",
    "feather",
    "fern",
    "grass",
    "leaf",
    "sprig",
    "tree",
    "wreath",
]

_WIDTH = Length("width of the box to fill", 5, 400)
_HEIGHT = Length("height of the box to fill", 5, 400)
_STRAP = Length("narrowest paper left anywhere, points aside", 0.3, 10)
_SMALLEST = Length("radius of the smallest opening worth cutting: its largest inscribed circle", 0.1, 10)

_LEAST_STRAPS = 7.0
"""The shorter side of a box in straps: a stem, and to either side a leaf with white before it."""


@motif("form")
def leaf(
    *,
    width: Annotated[float, _WIDTH] = 40.0,
    height: Annotated[float, _HEIGHT] = 60.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A veined leaf on its stalk, pierced between the veins; the same in the mirror.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
    height : float
        Of the box to fill: mm, 5 to 400, default 60.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece; mirrored about its midrib.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    Upright in a tall box; in a wide one it lies with its stalk to the left. It is from three tenths to
    eight tenths as broad as long; a box of other proportions gets the largest that fits, from its lower
    left corner. A large leaf has a second row of cells outside the arcs of its veins.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = leaf(width=40, height=60)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=(20, 0))).area < 0.1
    True
    """
    draw = partial(draw_leaf, strap=strap, smallest=smallest, seed=seed)
    return _in_box(draw, width, height, strap=strap, broadest=0.8, slenderest=0.3, lying=True, what="a leaf")


@motif("form")
def sprig(
    *,
    width: Annotated[float, _WIDTH] = 40.0,
    height: Annotated[float, _HEIGHT] = 70.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A sprig: a stem in a gentle curve, leaves to either side by turns and one at its end.

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
        Which of the many drawings, default 1.

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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.28 to 0.9 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = sprig(width=40, height=70)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 70.0])
    """
    draw = partial(_grown, grow_sprig, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=0.9, slenderest=0.28, lying=True, what="a sprig"
    )


@motif("form")
def branch(
    *,
    width: Annotated[float, _WIDTH] = 50.0,
    height: Annotated[float, _HEIGHT] = 80.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A branch: a bough that thins out, twigs by turns, leaves and buds along them.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 50.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.35 to 0.9 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = branch(width=50, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 50.0, 80.0])
    """
    draw = partial(_grown, grow_branch, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=0.9, slenderest=0.35, lying=True, what="a branch"
    )


@motif("form")
def fern(
    *,
    width: Annotated[float, _WIDTH] = 40.0,
    height: Annotated[float, _HEIGHT] = 80.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A fern frond: leaflets in pairs that shorten to the tip, toothed where there is room.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.28 to 0.85 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = fern(width=40, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 80.0])
    """
    draw = partial(_grown, grow_fern, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=0.85, slenderest=0.28, lying=True, what="a fern"
    )


@motif("form")
def berry_cluster(
    *,
    width: Annotated[float, _WIDTH] = 40.0,
    height: Annotated[float, _HEIGHT] = 60.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A hanging cluster of berries on bowed stalks, with two leaves at its head.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 40.
    height : float
        Of the box to fill: mm, 5 to 400, default 60.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    It hangs from the middle of the top, and is from 0.35 to 0.9 times as broad as high; a box of other
    proportions gets the largest that fits. A berry with room for it has a light cut out.

    Examples
    --------
    >>> paper = berry_cluster(width=40, height=60)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 60.0])
    """
    draw = partial(_grown, grow_berries, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=0.9, slenderest=0.35, lying=False, what="a berry cluster"
    )


@motif("form")
def grass(
    *,
    width: Annotated[float, _WIDTH] = 90.0,
    height: Annotated[float, _HEIGHT] = 40.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A strip of ground from side to side with tufts of grass, some of it in seed.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 90.
    height : float
        Of the box to fill: mm, 5 to 400, default 40.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    The ground spans the whole width and ends upright at both sides, so that it can join a frame. It is at
    most 2.2 times as high as wide; a higher box is filled so far.

    Examples
    --------
    >>> paper = grass(width=90, height=40)
    >>> from shapely import box
    >>> paper.covers(box(0.01, 0.01, 89.99, 1.5))
    True
    """
    draw = partial(_grown, grow_grass, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw,
        width,
        height,
        strap=strap,
        broadest=100.0,
        slenderest=0.45,
        lying=False,
        what="a strip of grass",
    )


@motif("form")
def blossom(
    *,
    width: Annotated[float, _WIDTH] = 50.0,
    height: Annotated[float, _HEIGHT] = 50.0,
    petals: Annotated[int, Count("petals of the blossom", 4, 12)] = 6,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A blossom of equal petals round a beaded eye, each pierced between its veins.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 50.
    height : float
        Of the box to fill: mm, 5 to 400, default 50.
    petals : int
        Petals of the blossom, 4 to 12, default 6.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

    Returns
    -------
    Polygon
        The paper, in one piece, its box at the origin.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    The petals are turned about the middle and each is the same in the mirror: with n petals, the symmetry
    D_n (*derived*). It is the largest that fits the box, one petal pointing up. Chance makes the petals
    round, pointed or notched; pointed sepals show between them where there is room.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = blossom(width=50, height=50, petals=4)
    >>> turned = rotate(paper, 90, origin=(25, 25))
    >>> paper.symmetric_difference(turned).area < 1
    True
    """
    require_room(width, height, strap=strap, straps=_LEAST_STRAPS, what="a blossom")
    return draw_blossom(width, height, petals=petals, strap=strap, smallest=smallest, seed=seed)


@motif("form")
def feather(
    *,
    width: Annotated[float, _WIDTH] = 24.0,
    height: Annotated[float, _HEIGHT] = 80.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A feather: a bowed quill, barbs slanting up to both edges, a vane parted here and there.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 24.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    Upright in a tall box; in a wide one it lies with its quill to the left. It is from 0.2 to 0.42 times
    as broad as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = feather(width=24, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 24.0, 80.0])
    """
    draw = partial(draw_feather, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=0.42, slenderest=0.2, lying=True, what="a feather"
    )


@motif("form")
def wreath(
    *,
    width: Annotated[float, _WIDTH] = 80.0,
    height: Annotated[float, _HEIGHT] = 80.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A wreath: a ring of leaves rising on both sides from three berries, open in the middle.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 80.
    height : float
        Of the box to fill: mm, 5 to 400, default 80.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    Round in a square box and oval in others, neither side more than 1.6 times the other; a box of other
    proportions gets the largest that fits.

    Examples
    --------
    >>> paper = wreath(width=80, height=80)
    >>> max(Polygon(ring).area for ring in paper.interiors) > 0.4 * 80 * 80
    True
    """
    draw = partial(_grown, grow_wreath, strap=strap, smallest=smallest, seed=seed)
    return _in_box(
        draw, width, height, strap=strap, broadest=1.6, slenderest=0.62, lying=False, what="a wreath"
    )


@motif("form")
def tree(
    *,
    width: Annotated[float, _WIDTH] = 80.0,
    height: Annotated[float, _HEIGHT] = 95.0,
    strap: Annotated[float, _STRAP] = 1.0,
    smallest: Annotated[float, _SMALLEST] = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A tree: roots, a trunk that forks again and again into a round crown, leaves on the twigs.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 80.
    height : float
        Of the box to fill: mm, 5 to 400, default 95.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings, default 1.

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
    It is from 0.5 to 1.3 times as broad as high; a box of other proportions gets the largest that fits. Its
    branches grow towards points strewn in the crown.

    References
    ----------
    A. Runions, B. Lane and P. Prusinkiewicz, *Modeling trees with a space colonization algorithm*, 2007 (from
    memory).

    Examples
    --------
    >>> paper = tree(width=80, height=95)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 80.0, 95.0])
    """
    box = natural_box(width, height, broadest=1.3, slenderest=0.5)
    frame = tree_frame(*box, strap=strap, seed=seed)
    draw = partial(_grown, partial(grow_tree, frame=frame), strap=strap, smallest=smallest, seed=seed)
    return _in_box(draw, width, height, strap=strap, broadest=1.3, slenderest=0.5, lying=False, what="a tree")


class _Draw(Protocol):
    def __call__(self, width: float, height: float) -> Polygon: ...


def _in_box(
    draw: _Draw, width: float, height: float, *, strap: float, broadest: float, slenderest: float,
    lying: bool, what: str,
) -> Polygon:  # fmt: skip
    """Draw a form in the largest box of its proportions, on its side where the box is wide and it may lie."""
    turn = lying and width > height
    across, up = (height, width) if turn else (width, height)
    across, up = natural_box(across, up, broadest=broadest, slenderest=slenderest)
    require_room(width, height, strap=strap, straps=_LEAST_STRAPS, what=what)
    paper = draw(across, up)
    return shapely.transform(paper, lambda points: points[:, ::-1]) if turn else paper


def _grown(
    grow: Callable[..., Plant], width: float, height: float, *, strap: float, smallest: float, seed: int
) -> Polygon:
    plant = settle(partial(grow, strap=strap, smallest=smallest, seed=seed), width, height)
    return plant.paper(width, height)
