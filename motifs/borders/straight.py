"""Borders of straight lines and of beads: zigzag, steps, lozenges, dentils, beads and suns."""

from __future__ import annotations

from shapely.geometry import Polygon

from canivet.motifs.borders._ornament.chevrons import Zigzag
from canivet.motifs.borders._ornament.lozenges import Lozenges
from canivet.motifs.borders._ornament.mouldings import Beads, Dentils
from canivet.motifs.borders._ornament.rays import Suns
from canivet.motifs.borders._ornament.steps import Steps
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif

from ._tiles import draw_border

__all__ = ["bead_and_bar", "dentil", "diamond_chain", "ray", "stepped", "zigzag"]


@motif("border")
def zigzag(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A zigzag ribbon, white triangles under it, dark ones with a trefoil over it; mitred corners.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one peak to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, it climbs at a little over half a right angle.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; where dark triangles would
        leave no white beside the ribbon, they fill all that is over it.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    References
    ----------
    The chevron moulding of Romanesque doorways; F. S. Meyer, *Handbook of Ornament*, 1888, shows zigzags in
    his chapter on bands (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = zigzag(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Zigzag, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def stepped(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Stepped pyramids that stand and others that hang between, nested in a wide band; dark corner blocks.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one pyramid to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, they are about twice as wide as high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; pyramids have two or three
        steps, as many as can be cut, and hold a dark one with a light core where there is room for both.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    Notes
    -----
    Standing and hanging pyramids are the same shape: with steps of half-widths b(y) and a wall w, b(y) + b(h
    - w - y) is half a repeat less w at every height.

    References
    ----------
    Crow-stepped gables and the stepped merlons of the ancient Near East: *common practice*.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = stepped(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 75))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Steps, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def diamond_chain(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A chain of dark lozenges point to point round every corner, a light heart in each.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one lozenge to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, lozenges are half as long again as high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; hearts are quartered where
        their quarters are clearly larger.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    Examples
    --------
    >>> from canivet.audit.strength import check_strength
    >>> paper = diamond_chain(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(within, Lozenges, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def dentil(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Teeth that hang from the rim, all alike, a pearl under each; four leaves in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one tooth to the next: mm, 1 to 400; re-counted so that whole ones fit. Left
        out, teeth are about half as wide as high, the gaps between them a little wider.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; lozenges in the teeth that
        come out smaller are left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    References
    ----------
    The dentil course of the Ionic order, on a course of pearls: *common practice*.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = dentil(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Dentils, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def bead_and_bar(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Round beads, true circles on curves too, a pair of reels between each two and a bead in every corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one bead to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, reels are a fifth as wide as a bead.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; the small triangles
        beside the beads are left solid where they come out smaller.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    References
    ----------
    The astragal, or bead and reel, of the Ionic order: *common practice*.

    Examples
    --------
    >>> from canivet.audit.strength import check_strength
    >>> paper = bead_and_bar(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(within, Beads, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def ray(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Half suns along the inner edge, tapering rays out to the rim; three-quarter suns round the corners.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one sun to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, a sun is twice as long as high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; an eye or a wedge that comes
        out smaller is left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow or too wide for the piece, the repeat too short or too long, or a side too
        short.

    Examples
    --------
    >>> from canivet.audit.strength import check_strength
    >>> paper = ray(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(within, Suns, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
