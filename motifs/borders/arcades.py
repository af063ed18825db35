"""Borders of arches and scallops: arcades, eggs, lace and scales."""

from __future__ import annotations

from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.borders._ornament.arches import CrossedArches, PointedArches
from canivet.motifs.borders._ornament.fans import lay_fans
from canivet.motifs.borders._ornament.lace import Lace, Scales
from canivet.motifs.borders._ornament.mouldings import Eggs
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import pierce
from canivet.parameters import Count

from ._tiles import draw_border
from .band import lay_band, usual_band

__all__ = ["double_scallop", "egg_and_dart", "lace_edge", "pointed_arcade", "round_arcade", "scallop"]


@motif("border")
def pointed_arcade(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Pointed arches with trefoil heads, in a wide band two lights under a rose; a rose in each corner.

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
        About how far it is from one arch to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, arches are about as wide as the band.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; spandrels that come out
        smaller are left solid.

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
    Cusped heads, two lights and a rose: the tracery of the thirteenth century, *common practice*.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = pointed_arcade(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(
        within, PointedArches, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest
    )


@motif("border")
def round_arcade(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Round arches that cross each other, so that pointed openings stand between their columns.

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
        About how far it is from one column to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, arches are round.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what two arches leave at the
        rim is left solid where it comes out smaller.

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
    Each arch spans two bays, so that each is crossed by both its neighbours.

    References
    ----------
    The intersecting arcade of Norman building: *common practice*.

    Examples
    --------
    >>> from canivet.audit.strength import check_strength
    >>> paper = round_arcade(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(
        within, CrossedArches, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest
    )


@motif("border")
def egg_and_dart(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Eggs hung from the rim in their shells, a spearhead between each two; palmettes in the corners.

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
        About how far it is from one egg to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, eggs are a little longer than wide.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; darts that come out
        smaller are left out, crescents never.

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
    The ovolo of the Ionic order; F. S. Meyer, *Handbook of Ornament*, 1888, shows it among enriched mouldings
    (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = egg_and_dart(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Eggs, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def lace_edge(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Scallops of lace hung from the rim: round eyelets about a half flower that springs from a heel.

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
        About how far it is from one scallop to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, scallops are nearly twice as wide as they hang down.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; a scallop too small for
        eyelets is a flower of petals.

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
    >>> paper = lace_edge(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(within, Lace, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def double_scallop(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Two rows of scallops like scales, in a wide band each with an arch in it; a fan round each corner.

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
        About how far it is from one scallop to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, scallops are a little wider than the two rows are high.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; drops that come out smaller
        are left solid.

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
    The scale pattern, or imbrication: *common practice*.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = double_scallop(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Scales, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def scallop(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.0,
    repeat: RepeatLength | None = None,
    petals: Annotated[int, Count("petals in each half-round", 2, 9)] | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Half-round scallops along the inner edge, each a fan of petals; three-quarter fans in the corners.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1. Large fans have wider ribs.
    repeat : float, optional
        About how far it is from one half-round to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, they are as high as the band allows and touch.
    petals : int, optional
        Petals in each half-round, 2 to 9; left out, as many as are twice as wide as the ribs between them.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; an eye or a spandrel that
        comes out smaller is left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for its petals or too wide for the piece, or a side too short.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = scallop(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 75))).area, 6)
    ('Polygon', 0.0)
    """
    band = usual_band(within, band)
    laid = lay_band(within, band)
    strap, least = strap + laid.slack, smallest + laid.slack
    top = band - rim - laid.slack
    return pierce(within, lay_fans(laid, top=top, strap=strap, repeat=repeat, petals=petals, smallest=least))
