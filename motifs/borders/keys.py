"""Borders of keys: the meander, and the fret whose channels hold each other."""

from __future__ import annotations

from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.borders._ornament.frets import Fret
from canivet.motifs.borders._ornament.keys import Key, lay_keys
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import pierce
from canivet.parameters import Count

from ._refusals import Ornamented
from ._tiles import draw_border
from .band import lay_band

__all__ = ["greek_fret", "meander"]


@motif("border")
def meander(
    *,
    within: Polygon,
    band: BandWidth = 10.0,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    turns: Annotated[int, Count("how many times the key goes round", 1, 3)] = 1,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A meander: square keys that face about in the middle of each side, saltires in the corners.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float
        Width of the band: mm, 3 to 80, default 10.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. In a wide band the arms of the key are
        drawn wider, so that none hangs further than about ten times its width.
    repeat : float, optional
        About how long a key is along the band: mm, 1 to 400; re-counted so that whole keys fit. Left out,
        the channel is as wide along the band as across it.
    turns : int
        How many times the key goes round, 1 to 3, default 1; past the first, a turn is two elbows.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.

    Returns
    -------
    Polygon
        The paper, in one piece; the same in the mirror wherever `within` is, about an upright or level axis.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for its keys or too wide for the piece, or a side too short.

    References
    ----------
    The meander with saltire squares is Attic; F. S. Meyer, *Handbook of Ornament*, 1888, shows frets in his
    chapter on bands (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = meander(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    laid = lay_band(within, band)
    rail, least = strap + laid.slack, smallest + laid.slack
    height = band - rim - laid.slack - rail
    lacking = Key.least_height(strap=rail, turns=turns, smallest=least) - height
    if lacking > 1e-9:
        what = f"{turns} turn{'s' * (turns > 1)} of the key"
        raise Ornamented(band, what, "turns, rim, strap or smallest").too_narrow(band + lacking)
    key = Key.fitted(height, strap=rail, turns=turns, smallest=least)
    return pierce(within, lay_keys(laid, key, rail=rail, repeat=repeat))


@motif("border")
def greek_fret(
    *,
    within: Polygon,
    band: BandWidth = 12.0,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Pairs of hooked channels that hold each other; angles nested in the corners.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and outward corners.
    band : float
        Width of the band: mm, 3 to 80, default 12.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one pair of hooks to the next: mm, 1 to 400; re-counted so that whole ones
        fit.
        Left out, channels are as wide along the band as across it.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; a band too narrow for three
        rows of channel has two.

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
    Each hook is the other turned half round. The two arms between them are tied to each other in the middle,
    so that neither hangs free.

    References
    ----------
    Interlocking frets are Greek; F. S. Meyer, *Handbook of Ornament*, 1888, shows frets in his chapter on
    bands (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = greek_fret(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    return draw_border(within, Fret, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
