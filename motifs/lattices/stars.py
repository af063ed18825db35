"""Lattices of stars, foils and curved cells: what is drawn with compasses rather than with a rule alone."""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.motifs.bounds import Fit, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.registry import motif
from canivet.parameters import Angle, Choice, Length, Share

from ._filling.fill import fill_with_repeat
from ._filling.grading import least_kept
from ._filling.region import check_pitch, inset_region
from ._filling.repeat import ROW, Repeat, fitted, fitted_rounds, in_both_rows, triangles
from ._filling.tracery import foil_shape, foils_with_gaps, star_faces
from ._filling.trim import inscribed

__all__ = ["asanoha_lattice", "foil_lattice", "star_lattice"]

_INRADIUS = ROW / 3 / (1 + 2 / math.sqrt(3))
"""Of the circle inscribed in a leaf of asanoha, in sides of its triangle."""

_LEAF, _OPEN = 15.0, 14.0
"""mm, and straps: a leaf no smaller than either stays more than half open. At ten straps its heart clots."""

_STAR, _APART = 14.0, 11.0
"""mm, and straps: stars no nearer than either keep the kites between them open."""

FoilGrade = Annotated[
    float, Share("how much smaller openings get toward one side; 0 keeps them all alike", 0, 0.7)
]
"""Less than for other lattices: smaller foils lose their lobes between cusps a strap wide."""

_FOILS = {"trefoil": 3, "quatrefoil": 4, "cinquefoil": 5, "sixfoil": 6}

_STARS = {"6": (6, 60.0), "8": (8, 67.5), "12": (12, 75.0)}
"""Points of each star and the contact angle that makes it {6/2}, {8/3} or {12/5}: 180°·d/n."""


@motif("lattice")
def asanoha_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.0,
    pitch: Annotated[float, Length("side of the large triangles, from leaf to leaf", 3, 300)] | None = None,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Asanoha, the hemp leaf: six-pointed leaves of three-cornered openings.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.
    pitch : float
        Side of the large triangles, from leaf to leaf: mm, 3 to 300; 14 straps, and at least 15 mm, where it
        is not given.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the region's box. Default True.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    Every triangle of a 60° pattern is parted from its middle into three of 30°, 30° and 120°. The share
    that is open is (1 − 3.73205·strap/pitch)².

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = asanoha_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    pitch = max(_LEAF, _OPEN * strap) if pitch is None else pitch
    check_pitch(pitch, strap, smallest, inradius=_INRADIUS)
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / _INRADIUS / pitch
    wide, high, x, y = fitted(region, pitch, 2 * ROW * pitch, beyond=strap, least=least, squash=0.08, fit=fit)
    leaves = [
        np.array([corners[i], corners[(i + 1) % 3], corners.mean(axis=0)])
        for corners in triangles(wide, high / 2)
        for i in range(3)
    ]
    cells = in_both_rows(leaves, high)
    return fill_with_repeat(within, region, Repeat(wide, high, cells), (x, y), strap=strap, smallest=smallest)


@motif("lattice")
def star_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.3,
    pitch: Annotated[float, Length("from the middle of a star to the next", 4, 300)] | None = None,
    points: Annotated[str, Choice("points of a star", "6", "8", "12")] = "8",
    angle: Annotated[
        float | None, Angle("at which a strap leaves the middle of a tile's side", 40, 80)
    ] = None,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Stars set point to point, the strapwork of Islamic tiling, with polygons between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.3.
    pitch : float
        From the middle of a star to the next: mm, 4 to 300; where it is not given, 11 straps or half the
        piece's short side, whichever is less, and at least 14 mm.
    points : str
        Points of a star: ``6``, ``8`` or ``12``; default ``8``.
    angle : float or None
        At which a strap leaves the middle of a tile's side: degrees, 40 to 80; where left out the one that
        makes the stars {6/2}, {8/3} or {12/5}: 60°, 67.5° or 75°.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the region's box. Default True.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    From the middle of every side of a tiling (hexagons; octagons and squares; twelve-sided tiles and
    triangles) two straps set out at the contact angle, each as far as the one it meets. In a tile of n
    sides they meet at cos θ / cos(θ − π/n) of the inscribed circle. Openings too small to cut stay closed.

    References
    ----------
    C. S. Kaplan and D. H. Salesin, Islamic star patterns in absolute geometry, ACM Transactions on Graphics
    23 (2), 2004.
    C. S. Kaplan, Islamic star patterns from polygons in contact, Graphics Interface 2005.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = star_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    if pitch is None:
        short = float(np.ptp(np.reshape(within.bounds, (2, 2)), axis=0).min())
        pitch = max(_STAR, min(_APART * strap, short / 2))
    number, own = _STARS[points]
    faces = star_faces(number, math.radians(own if angle is None else angle))
    largest = max(inscribed(face) for face in shapely.polygons([shapely.linearrings(f) for f in faces]))
    check_pitch(pitch, strap, smallest, inradius=largest)
    region = inset_region(within, rim)
    block = (pitch, pitch if number == 8 else 2 * ROW * pitch)
    least = (strap / 2 + smallest) / largest / pitch
    wide, high, x, y = fitted(region, *block, beyond=strap, least=least, fit=fit)
    size = np.array([wide, high / (block[1] / pitch)])
    return fill_with_repeat(
        within,
        region,
        Repeat(wide, high, [face * size for face in faces], worthy=0.3),
        (x, y),
        strap=strap,
        smallest=smallest,
    )


@motif("lattice")
def foil_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.3,
    pitch: Annotated[float, Length("from the middle of a foil to the next", 2, 300)] = 10.0,
    foil: Annotated[
        str, Choice("how many lobes a foil has", "trefoil", "quatrefoil", "cinquefoil", "sixfoil")
    ] = "quatrefoil",
    smallest: Smallest = 0.5,
    grade: FoilGrade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Gothic foils in rows, leaf-lobed openings with small lozenges or triangles between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Paper between two openings, and the width of the cusps: mm, 0.3 to 20, default 1.3.
    pitch : float
        From the middle of a foil to the next: mm, 2 to 300, default 10.
    foil : str
        How many lobes a foil has: ``trefoil``, ``quatrefoil``, ``cinquefoil`` or ``sixfoil``; default
        ``quatrefoil``.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 0.7, default 0.
    toward : str
        ``foot``, ``head``, ``left``, ``right``, ``middle``, ``edge`` or ``vignette``, the opening that the
        ground goes round; default ``foot``.
    fit : bool
        Whether the pitch gives way a little so that whole cells fill the region's box. Default True.

    Returns
    -------
    Polygon
        The paper, in one piece.

    Raises
    ------
    DoesNotFit
        If the rim leaves nothing, or no opening is left worth cutting.

    Notes
    -----
    The lobes are equal circles that touch each other and the circle round them, whose radius is sin(π/n) /
    (1 + sin(π/n)) of it; cusps between lobes end as wide as a strap. Quatrefoils and cinquefoils stand in
    straight rows, the others in rows set half-way.

    References
    ----------
    S. Kravitz, Packing cylinders into cylindrical containers, Mathematics Magazine 40 (2), 1967.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = foil_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area)
    ('Polygon', 0)
    """
    lobes = _FOILS[foil]
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    square = lobes in (4, 5)
    wide, high, at, nearest = fitted_rounds(
        region, pitch, square=square, strap=strap, smallest=smallest, fit=fit
    )
    # the smallest foils keep cusps as wide as a strap
    body = foil_shape(lobes, (nearest - strap) / 2, strap / least_kept(grade))
    repeat = foils_with_gaps(wide, high, body, strap, square=square)
    return fill_with_repeat(
        within, region, repeat, at, strap=strap, smallest=smallest, grade=grade, toward=toward
    )
