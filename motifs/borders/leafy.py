"""Leafy borders: acanthus, vines and a laurel along the edge of a piece."""

from __future__ import annotations

from shapely.geometry import Polygon

from canivet.motifs.borders._running.laying import draw_flow
from canivet.motifs.borders._running.leafy.acanthus import Rinceau
from canivet.motifs.borders._running.leafy.grapes import Grapevine
from canivet.motifs.borders._running.leafy.leaves import Laurel, Vine
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif

__all__ = ["acanthus", "laurel", "leaf_and_berry", "vine_and_grapes"]


@motif("border")
def acanthus(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A waving stem that winds a branch into every bend, sheathed in acanthus, a large leaf in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. A wide band is drawn with wider ones.
    repeat : float, optional
        About how long a bend of the stem is: mm, 1 to 400; re-counted so that whole bends fit. Left out,
        about six tenths longer than it is high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright axis, and about
        a level one too if it has corners there.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    A branch leaves the stem to either side by turns, touches the rail and ends in a rosette within; the stem
    holds the window to the rim. In a narrow band a branch is a single curl with a bud.

    References
    ----------
    The rinceau; F. S. Meyer, *Handbook of Ornament*, 1888, shows its scrolls and leaves (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = acanthus(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Rinceau, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def leaf_and_berry(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A waving stem with a leaf and three berries in every bend, a large leaf in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. A wide band is drawn with wider ones.
    repeat : float, optional
        About how long a bend of the stem is: mm, 1 to 400; re-counted so that whole bends fit. Left out,
        about half as long again as it is high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright axis, and about
        a level one too if it has corners there.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    The stem touches the inner rail and the rim by turns, and holds the window to the rim. Leaves grow out of
    it by a stalk as wide as a strap; where both halves of a leaf stay as wide as that, its rib is slit.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = leaf_and_berry(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Vine, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def laurel(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Leaves in pairs along a rib, a rosette or berry in the middle of each side, three drops in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. A wide band is drawn with wider ones.
    repeat : float, optional
        About how far it is from leaf to leaf: mm, 1 to 400; re-counted so that whole ones fit. Left out,
        leaves are a strap apart.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright axis, and about
        a level one too if it has corners there.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    In a band too narrow for pairs the leaves stand in one row.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = laurel(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Laurel, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def vine_and_grapes(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A vine with a lobed leaf and a bunch of grapes in every bend, a large leaf in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. A wide band is drawn with wider ones.
    repeat : float, optional
        About how long a bend of the stem is: mm, 1 to 400; re-counted so that whole bends fit. Left out,
        about half as long again as it is high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright axis, and about
        a level one too if it has corners there.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    The stem touches the inner rail and the rim by turns, and holds the window to the rim. In a band too
    narrow for bunches there are berries, and in the narrowest leaves alone.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = vine_and_grapes(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Grapevine, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
