"""Flowing borders: waves, running scrolls and festoons along the edge of a piece."""

from __future__ import annotations

from shapely.geometry import Polygon

from canivet.motifs.borders._running.laying import draw_flow
from canivet.motifs.borders._running.swags import Swag
from canivet.motifs.borders._running.waves import Scroll, Wave
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif

__all__ = ["festoon", "running_scroll", "wave"]


@motif("border")
def wave(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A row of breaking waves whose crests touch the rim, a fan of drops in each corner.

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
        About how far it is from crest to crest: mm, 1 to 400; re-counted so that whole waves fit. Left out,
        a wave is half as long again as high.
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

    References
    ----------
    The running dog, or Vitruvian wave; F. S. Meyer, *Handbook of Ornament*, 1888, shows it among his bands
    (from memory).

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = wave(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Wave, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def running_scroll(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A ribbon that winds into a coil once and a half and runs on into the next; a fan in each corner.

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
        About how far it is from coil to coil: mm, 1 to 400; re-counted so that whole coils fit. Left out,
        they are as high as the band and a strap apart.
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
    The outer turn of a coil touches rim and inner rail, which hold it, so that only the turn within hangs
    free. In a narrow band a coil is a crook that hangs from the rim, open to the next, and in the narrowest
    an arch.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = running_scroll(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Scroll, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def festoon(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """Garlands that hang clear of the rail, with flowers where there is room, and pendants between them.

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
        About how wide a garland hangs: mm, 1 to 400; re-counted so that whole ones fit. Left out, about
        two and a half times as wide as deep.
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

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = festoon(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(50, 0))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_flow(within, Swag, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
