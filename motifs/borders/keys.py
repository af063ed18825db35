"""Borders of keys: the meander, whose line winds on, and the fret, whose hooks alternate."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.borders._ornament.areas import CHORD_LOSS
from canivet.motifs.borders._ornament.keys import Fretwork, lay_fretwork
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.motifs.shapes.openings import pierce
from canivet.parameters import Count

from ._refusals import Ornamented
from .band import Band, lay_band, usual_band

__all__ = ["greek_fret", "meander"]


@motif("border")
def meander(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    turns: Annotated[int, Count("how many times the key turns inward", 1, 3)] | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A running key: one line that winds on from corner to corner and turns them over a square.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2. In a wide band the line is drawn wider.
    repeat : float, optional
        About how long a key is along the band: mm, 1 to 400; re-counted so that whole keys fit. Left out,
        the channel is as wide along the band as across it.
    turns : int, optional
        How many times the key turns inward, 1 to 3; left out, 2 where the band has room for them, else 1
        or, in a narrow band, none.
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

    Notes
    -----
    The line stands on the inner rail with both feet of every repeat, and is tied to the rim by a post at each
    corner, in the middle of each side, where it faces about, and every third repeat between.

    References
    ----------
    The running key is Greek; F. S. Meyer, *Handbook of Ornament*, 1888, shows frets in his
    chapter on bands (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = meander(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 6)
    ('Polygon', 0.0)
    """
    band = usual_band(within, band)
    laid, rail, made = _room(within, band, rim, strap, smallest)
    key = made(levels=(turns + 1,) if turns else (3, 2, 1), hooked=False)
    if key.lacking > 1e-9:
        what = f"a key that turns inward {turns} times" if turns and turns > 1 else "a key"
        raise Ornamented(band, what, "turns, rim, strap or smallest").too_narrow(band + key.lacking)
    return pierce(within, lay_fretwork(laid, key, rail=rail, repeat=repeat))


@motif("border")
def greek_fret(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Hooks that stand on the inner rail and hang from the rim by turns, an angle in each corner.

    Parameters
    ----------
    within : Polygon
        The piece: smooth curves and square corners.
    band : float, optional
        Width of the band: mm, 3 to 80; left out, a ninth of the piece's short side, 9 at least.
    rim : float
        Paper kept along the outline: mm, 0.3 to 40, default 2.2.
    strap : float
        Narrowest paper between openings: mm, 0.3 to 20, default 1.2.
    repeat : float, optional
        About how far it is from one pair of hooks to the next: mm, 1 to 400; re-counted so that whole ones
        fit.
        Left out, channels are as wide along the band as across it.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; in a band too
        narrow for hooks they are teeth.

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
    Each hook is the other turned half round. A post from rail to rim stands at either end of a side and in
    its middle, in a long one every six pairs, and between them the white runs on unbroken.

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
    band = usual_band(within, band)
    laid, rail, made = _room(within, band, rim, strap, smallest)
    fret = made(levels=(2, 1), hooked=True)
    if fret.lacking > 1e-9:
        raise Ornamented(band, "a fret", "rim, strap or smallest").too_narrow(band + fret.lacking)
    return pierce(within, lay_fretwork(laid, fret, rail=rail, repeat=repeat))


def _room(
    within: Polygon, band: float, rim: float, strap: float, smallest: float
) -> tuple[Band, float, Callable[..., Fretwork]]:
    """Lay the band, and return its rail and what fits a fretwork to it."""
    laid = lay_band(within, band)
    rail, least = strap + laid.slack + CHORD_LOSS, smallest + laid.slack
    height = band - rim - laid.slack - rail
    return laid, rail, partial(Fretwork.most_turned, height, strap=rail, smallest=least)
