"""Leafy forms: leaf, sprig, branch, fern, berries and grass.

Each fills its box and is cut by itself or joined to a picture by its stem or ground. Sprig, branch and
berries are grown from a seed: stems taper and never pass under the strap, a leaf that finds no room is left
out, so a small form has fewer leaves and the same straps, and the white between neighbours is never much
under a strap.
Leaf, fern and grass are drawn from the proportions at the head of their modules, which a seed varies.
"""

from __future__ import annotations

from functools import partial

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed

from ._drawing.carving import draw_figure
from ._growing.plant import grow_in_box
from ._growing.stems import grow_berries, grow_branch, grow_sprig
from ._plants.leaves import FERN, GRASS, LEAF, draw_fern, draw_grass, draw_leaf

__all__ = ["berry_cluster", "branch", "fern", "grass", "leaf", "sprig"]


@motif("form")
def leaf(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 60.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A leaf on its stalk with a fine margin, its veins cut so that they taper; the same in the mirror.

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
        Which of the many drawings: 0 to 2³¹, default 1.

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
    Upright in a tall box; in a wide one it lies with its stalk to the left. It is from 0.35 to 0.8 times as
    broad as long; a box of other proportions gets the largest that fits, from its lower left corner. Veins
    are counted by the strap and stop short of the margin.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = leaf(width=40, height=60)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=(20, 0))).area < 0.002 * paper.area
    True
    """
    draw = partial(draw_leaf, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(LEAF, draw, width, height, strap=strap, smallest=smallest, lying=True)


@motif("form")
def sprig(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.28 to 0.9 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = sprig(width=40, height=70)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 70.0])
    """
    return grow_in_box(
        grow_sprig, width, height, strap=strap, smallest=smallest, seed=seed,
        broadest=0.9, slenderest=0.28, lying=True, what="a sprig",
    )  # fmt: skip


@motif("form")
def branch(
    *,
    width: FormWidth = 50.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.35 to 0.9 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = branch(width=50, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 50.0, 80.0])
    """
    return grow_in_box(
        grow_branch, width, height, strap=strap, smallest=smallest, seed=seed,
        broadest=0.9, slenderest=0.35, lying=True, what="a branch",
    )  # fmt: skip


@motif("form")
def fern(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A fern frond: leaflets in pairs, lobed where they have room, that shorten until the stem is a point.

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
    Upright in a tall box; in a wide one it runs from left to right. It is from 0.32 to 0.62 times as broad
    as long; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = fern(width=40, height=80)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 80.0])
    """
    draw = partial(draw_fern, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(FERN, draw, width, height, strap=strap, smallest=smallest, lying=True)


@motif("form")
def berry_cluster(
    *,
    width: FormWidth = 40.0,
    height: FormHeight = 60.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A hanging bunch of berries, each held by those about it, with two leaves at its head.

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
    It hangs from the middle of the top, and is from 0.35 to 0.9 times as broad as high; a box of other
    proportions gets the largest that fits. A berry with room for it has a light cut out.

    Examples
    --------
    >>> paper = berry_cluster(width=40, height=60)
    >>> paper.geom_type, [round(side, 2) for side in paper.bounds]
    ('Polygon', [0.0, 0.0, 40.0, 60.0])
    """
    return grow_in_box(
        grow_berries, width, height, strap=strap, smallest=smallest, seed=seed,
        broadest=0.9, slenderest=0.35, what="a berry cluster",
    )  # fmt: skip


@motif("form")
def grass(
    *,
    width: FormWidth = 90.0,
    height: FormHeight = 40.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A strip of ground from side to side with tufts of grass: blades broad and fine, some bowed, and ears.

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
    The ground spans the whole width and ends upright at both sides, so that it can join a frame. A tuft has
    more blades, and ears, the more straps it is high. It is at most 2.2 times as high as wide; a higher box
    is filled so far.

    Examples
    --------
    >>> paper = grass(width=90, height=40)
    >>> from shapely import box
    >>> paper.covers(box(0.01, 0.01, 89.99, 1.3))
    True
    """
    draw = partial(draw_grass, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(GRASS, draw, width, height, strap=strap, smallest=smallest)
