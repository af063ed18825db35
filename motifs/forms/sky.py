"""Sky and distance: a moon with stars, a sun, clouds, mountains."""

from __future__ import annotations

from functools import partial

from shapely.geometry import Polygon

from canivet.motifs.bounds import FormHeight, FormStrap, FormWidth, Smallest
from canivet.motifs.registry import motif
from canivet.parameters import Seed

from ._drawing.carving import draw_figure
from ._figures.sky import CLOUDS, MOON, MOUNTAINS, SUN, draw_clouds, draw_moon, draw_mountains, draw_sun

__all__ = ["clouds", "moon_and_stars", "mountains", "sun_rays"]


@motif("form")
def moon_and_stars(
    *,
    width: FormWidth = 70.0,
    height: FormHeight = 70.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A crescent moon that holds a great faceted star by its points, lesser stars cut in its broad side.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 70.
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
    Three points of the star are in the moon, two stand out between its horns; one half of each is cut away.
    Small and with stout straps, it has no lesser stars. It keeps its own proportions, about as broad as high,
    so that the moon is round.

    Examples
    --------
    Where no star stands out of it, the moon's edge is a circle's.

    >>> from shapely import Point
    >>> paper = moon_and_stars(width=70, height=70)
    >>> radius = paper.bounds[3] / 2
    >>> out = paper.difference(Point(radius, radius).buffer(radius + 0.1, quad_segs=64))
    >>> out.bounds[0] > 1.4 * radius
    True
    """
    draw = partial(draw_moon, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(MOON, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def sun_rays(
    *,
    width: FormWidth = 90.0,
    height: FormHeight = 48.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A rising sun on the horizon: rays from one point, long and short by turns.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 90.
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
    Five, nine or thirteen rays, counted by the strap, a long one upright; chance makes the short ones flames.
    The horizon spans the whole width and ends in points. It is about 1.9 times as broad as high; a box of
    other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely import box
    >>> paper = sun_rays(width=90, height=48)
    >>> paper.covers(box(1, 0.01, paper.bounds[2] - 1, 0.3))
    True
    """
    draw = partial(draw_sun, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(SUN, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def clouds(
    *,
    width: FormWidth = 80.0,
    height: FormHeight = 45.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """A bank of clouds: heads that curl to either side, a nearer bank before them, bands of mist below.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 80.
    height : float
        Of the box to fill: mm, 5 to 400, default 45.
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
    It is about 1.8 to 2.5 times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> paper = clouds(width=80, height=45)
    >>> paper.geom_type, paper.bounds[0], round(max(paper.bounds[2] / 80, paper.bounds[3] / 45), 2)
    ('Polygon', 0.0, 1.0)
    """
    draw = partial(draw_clouds, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(CLOUDS, draw, width, height, strap=strap, smallest=smallest)


@motif("form")
def mountains(
    *,
    width: FormWidth = 100.0,
    height: FormHeight = 54.0,
    strap: FormStrap = 1.0,
    smallest: Smallest = 0.5,
    seed: Seed = 1,
) -> Polygon:
    """Mountains that run down to the ground: snow on three peaks, two hills before them, firs in groups.

    Parameters
    ----------
    width : float
        Of the box to fill: mm, 5 to 400, default 100.
    height : float
        Of the box to fill: mm, 5 to 400, default 54.
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
    It spans the whole width and ends upright at both sides, so that it can join a frame. It is about 1.86
    times as broad as high; a box of other proportions gets the largest that fits.

    Examples
    --------
    >>> from shapely import box
    >>> paper = mountains(width=100, height=54)
    >>> paper.covers(box(1, 0.01, paper.bounds[2] - 1, 0.3))
    True
    """
    draw = partial(draw_mountains, strap=strap, smallest=smallest, seed=seed)
    return draw_figure(MOUNTAINS, draw, width, height, strap=strap, smallest=smallest)
