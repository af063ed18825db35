"""Natural forms that make a picture by themselves: blossom, feather, wreath and tree.

Wreath and tree are grown from a seed, leaf by leaf as there is room; blossom and feather are drawn from the
proportions at the head of their modules, which a seed varies. Each fills its box.
"""

from __future__ import annotations

from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Count, Seed

from ._box import natural_box
from ._drawing.carving import draw_figure
from ._figures.writing import FEATHER, draw_feather
from ._growing.plant import grow_in_box
from ._growing.tree import grow_tree, tree_frame
from ._growing.wreath import grow_wreath
from ._plants.blossom import BLOSSOM, draw_blossom

__all__ = ["blossom", "feather", "tree", "wreath"]


@motif("form")
def blossom(
    *,
    width: FormWidth = 50.0,
    height: FormHeight = 50.0,
    petals: Annotated[int, Count("petals of the blossom", 4, 12)] = 6,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A blossom of equal notched petals round a beaded eye, two openings in each, sepals between them.

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
        Which of the many drawings: 0 to 2³¹, default 1.

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
    broader or slimmer, round or a little pointed; the tips of a second whorl show between them.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = blossom(width=50, height=50, petals=4)
    >>> turned = rotate(paper, 90, origin=(25, 25))
    >>> paper.symmetric_difference(turned).area < 1
    True
    """
    draw = partial(draw_blossom, petals=petals, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(BLOSSOM, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def feather(
    *,
    width: FormWidth = 24.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A feather: a bowed quill, a pointed vane of barbs in one S-curve, parted along them twice at the most.

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
    Upright in a tall box; in a wide one it lies with its quill to the left. It is from 0.22 to 0.34 times
    as broad as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = feather(width=24, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 24.0, 80.0])
    """
    draw = partial(draw_feather, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(FEATHER, draw, width, height, strap=strap, smallest=smallest, lying=True)


@motif("form")
def wreath(
    *,
    width: FormWidth = 80.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
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
    Round in a square box and oval in others, neither side more than 1.6 times the other; a box of other
    proportions gets the largest that fits.

    Examples
    --------
    >>> paper = wreath(width=80, height=80)
    >>> max(Polygon(ring).area for ring in paper.interiors) > 0.4 * 80 * 80
    True
    """
    return grow_in_box(
        grow_wreath, width, height, strap=strap, smallest=smallest, seed=seed,
        broadest=1.6, slenderest=0.62, what="a wreath",
    )  # fmt: skip


@motif("form")
def tree(
    *,
    width: FormWidth = 80.0,
    height: FormHeight = 95.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
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
    return grow_in_box(
        partial(grow_tree, frame=frame), width, height, strap=strap, smallest=smallest, seed=seed,
        broadest=1.3, slenderest=0.5, what="a tree",
    )  # fmt: skip
