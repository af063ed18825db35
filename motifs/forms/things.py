"""Things for bookplates: a book, a candle, a key, a quill in its inkwell, a lantern."""

from __future__ import annotations

from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Choice, Seed

from ._drawing.carving import draw_figure
from ._figures.things import (
    CANDLE,
    KEY,
    LANTERN,
    draw_candle,
    draw_key,
    draw_lantern,
)
from ._figures.writing import BOOK, QUILL, draw_book, draw_quill
from ._strapwork.cartouche import CARTOUCHE, draw_cartouche

__all__ = ["book", "candle", "cartouche", "key", "lantern", "quill"]


@motif("form")
def book(
    *,
    width: FormWidth = 72.0,
    height: FormHeight = 48.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """An open book: white pages, print on one and a tree on the other, its leaves and cover, a ribbon.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 72.
    height : float
        Of the box to fill: mm, 5 to 400, default 48.
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
    Lines of print are counted by the strap, end by chance and are held by stems of letters between them;
    chance says which page has the picture. It is about 1.5 times as broad as high; a box of other
    proportions gets the largest that fits.

    Examples
    --------
    >>> paper = book(width=72, height=48)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 72, paper.bounds[3] / 48), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_book, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(BOOK, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def candle(
    *,
    width: FormWidth = 46.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A candle in its dish: a flame in a ring of light, and rays from it.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 46.
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
    >>> paper = candle(width=46, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 46, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_candle, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(CANDLE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def cartouche(
    *,
    width: FormWidth = 84.0,
    height: FormHeight = 57.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
    field: Annotated[str, Choice("what its field holds", "laurel", "plain")] = "laurel",
) -> Polygon:
    """A cartouche: a panel edged by a line, in scrolls that swell and roll up, shells at crest and foot.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 84.
    height : float
        Of the box to fill: mm, 5 to 400, default 57.
    strap : float
        Narrowest paper left anywhere, points aside: mm, 0.3 to 10, default 1.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    seed : int
        Which of the many drawings: 0 to 2³¹, default 1.
    field : str
        What the panel holds, default laurel: a rosette between two sprays; "plain" leaves it free for words.

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
    With a plain field the middle of it, half its width and three tenths of its height, is free: lettering
    that is cut out and placed there has it for a panel. It is about 1.48 times as broad as high; a box of
    other proportions gets the largest that fits. Small ones have no sprays and no line along the edge.

    References
    ----------
    F. S. Meyer, *Handbook of Ornament*, 1888, on cartouches and strapwork (from memory).

    Examples
    --------
    >>> from shapely import box
    >>> from shapely.affinity import scale
    >>> middle = box(0.25, 0.24, 0.75, 0.44)
    >>> plain = [cartouche(width=w, height=0.68 * w, field="plain") for w in (84, 250)]
    >>> [paper.covers(scale(middle, paper.bounds[2], paper.bounds[2], origin=(0, 0))) for paper in plain]
    [True, True]
    """
    draw = partial(draw_cartouche, strap=strap, smallest=smallest, seed=seed, field=field)
    return draw_figure(CARTOUCHE, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def key(
    *,
    width: FormWidth = 32.0,
    height: FormHeight = 80.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A key: a bow of three pierced foils, a turned shaft, a bit with its wards.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 32.
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
    Chance makes the foils hearts or drops, and picks the bit. It is about 0.41 times as broad as high; a
    box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = key(width=32, height=80)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 32, paper.bounds[3] / 80), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_key, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(KEY, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def quill(
    *,
    width: FormWidth = 44.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A quill in its inkwell, slits between its barbs.

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
    It is about 0.61 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = quill(width=44, height=70)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 44, paper.bounds[3] / 70), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_quill, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(QUILL, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def lantern(
    *,
    width: FormWidth = 34.0,
    height: FormHeight = 74.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A lantern with a lit candle behind its panes.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 34.
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
        The paper, in one piece; the same in the mirror about its upright axis.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.

    Notes
    -----
    It is about 0.45 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = lantern(width=34, height=74)
    >>> axis = (paper.bounds[2] / 2, 0)
    >>> paper.symmetric_difference(scale(paper, -1, 1, origin=axis)).area < 0.002 * paper.area
    True
    """
    draw = partial(draw_lantern, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(LANTERN, draw, width, height, strap=strap, smallest=smallest)
