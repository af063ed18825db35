"""A border of palmettes: the anthemion."""

from __future__ import annotations

from shapely.geometry import Polygon

from canivet.motifs.borders._ornament.palmettes import Palmettes
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif

from ._tiles import draw_border

__all__ = ["anthemion"]


@motif("border")
def anthemion(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Palmettes that open outward, buds hung between where there is room, a palmette round each corner.

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
        About how far it is from one palmette to the next: mm, 1 to 400; re-counted so that whole ones fit.
        Left out, palmettes are a little wider than high, in a narrow band so wide that five petals fit.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; petals that come out smaller
        are left out.

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
    Palmette and bud by turns: the anthemion of Greek friezes; Owen Jones, *The Grammar of Ornament*, 1856,
    shows it among the Greek ornaments (from memory).

    Examples
    --------
    >>> from canivet.audit.strength import check_strength
    >>> paper = anthemion(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> check_strength(paper, strap=1.2, smallest=0.5).holds
    True
    """
    return draw_border(within, Palmettes, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
