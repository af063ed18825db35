"""Borders: a band of ornament along the edge of a piece, the window inside it left solid."""

from __future__ import annotations

from typing import Annotated

from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.borders._ornament.fans import lay_fans
from canivet.motifs.borders._ornament.keys import Key, lay_keys
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import pierce
from canivet.parameters import Count

from .band import lay_band

__all__ = ["meander", "scallop"]


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
    depth = band - rim - laid.slack - rail
    lacking = Key.least_depth(strap=rail, turns=turns, smallest=least) - depth
    if lacking > 1e-9:
        raise _too_narrow(band, lacking, f"{turns} turn{'s' * (turns > 1)} of the key", "turns, rim")
    key = Key.fitted(depth, strap=rail, turns=turns, smallest=least)
    return pierce(within, lay_keys(laid, key, rail=rail, repeat=repeat))


@motif("border")
def scallop(
    *,
    within: Polygon,
    band: BandWidth = 12.0,
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
    band : float
        Width of the band: mm, 3 to 80, default 12.
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
    laid = lay_band(within, band)
    strap, least = strap + laid.slack, smallest + laid.slack
    top = band - rim - laid.slack
    return pierce(within, lay_fans(laid, top=top, strap=strap, repeat=repeat, petals=petals, smallest=least))


def _too_narrow(band: float, lacking: float, what: str, others: str) -> DoesNotFit:
    accepted = f"at least {format_length(band + lacking, 2)}"
    return DoesNotFit(
        f"band is {format_length(band)}; {what} with the straps asked for needs {accepted}. Widen band, or "
        f"lower {others}, strap or smallest.",
        parameter="band", value=band, accepted=accepted,
    )  # fmt: skip
