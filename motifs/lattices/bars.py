"""Lattices of straight bars: a grille, triangles and bricks."""

from __future__ import annotations

from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.bounds import Fit, Grade, LatticeRim, Smallest, Strap, Toward
from canivet.motifs.registry import motif
from canivet.parameters import Length, Share

from ._cells import inset_region
from ._fill import fill_with_repeat
from ._repeat import ROW, Repeat, check_pitch, fitted, in_both_rows, oblong, triangles

__all__ = ["brick_lattice", "square_lattice", "triangle_lattice"]


@motif("lattice")
def square_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from bar to bar", 1, 200)] = 5.0,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """A grille of upright and level bars, with square openings between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.2.
    pitch : float
        From bar to bar: mm, 1 to 200, default 5.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``middle`` or ``edge``; default ``foot``.
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
    The share that is open is (1 − strap/pitch)².

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = square_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, -1, 1, origin=(30, 0))).area, 6)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    least = (strap + 2 * smallest) / pitch
    wide, high, x, y = fitted(region, pitch, pitch, beyond=strap, least=least, fit=fit)
    repeat = Repeat(wide, high, [oblong(0, 0, wide, high)])
    return fill_with_repeat(
        within, region, repeat, (x, y), strap=strap, smallest=smallest, grade=grade, toward=toward
    )


@motif("lattice")
def triangle_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("side of the triangles, from crossing to crossing", 2, 300)] = 9.5,
    smallest: Smallest = 0.5,
    grade: Grade = 0.0,
    toward: Toward = "foot",
    fit: Fit = True,
) -> Polygon:
    """Three sets of crossing bars, level and leaning both ways, with triangles between them.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the bars: mm, 0.3 to 20, default 1.2.
    pitch : float
        Side of the triangles, from crossing to crossing: mm, 2 to 300, default 9.5.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    grade : float
        How much smaller openings get toward one side: 0 to 1, default 0.
    toward : str
        ``foot``, ``head``, ``middle`` or ``edge``; default ``foot``.
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
    The share that is open is (1 − √3·strap/pitch)².

    Examples
    --------
    >>> paper = triangle_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, sum(len(opening.coords) == 4 for opening in paper.interiors) > 100
    ('Polygon', True)
    """
    inradius = ROW / 3
    check_pitch(pitch, strap, smallest, inradius=inradius)
    region = inset_region(within, rim)
    least = (strap / 2 + smallest) / inradius / pitch
    wide, high, x, y = fitted(region, pitch, 2 * ROW * pitch, beyond=strap, least=least, squash=0.08, fit=fit)
    cells = in_both_rows(triangles(wide, high / 2), high)
    return fill_with_repeat(
        within, region, Repeat(wide, high, cells), (x, y),
        strap=strap, smallest=smallest, grade=grade, toward=toward,
    )  # fmt: skip


@motif("lattice")
def brick_lattice(
    *,
    within: Polygon,
    rim: LatticeRim = 3.0,
    strap: Strap = 1.2,
    pitch: Annotated[float, Length("from course to course", 1, 100)] = 4.2,
    length: Annotated[float, Share("length of a brick, in courses", 1.2, 5)] = 2.2,
    smallest: Smallest = 0.5,
    fit: Fit = True,
) -> Polygon:
    """Courses of oblong openings, each brick over the joint of two below.

    Parameters
    ----------
    within : Polygon
        The piece to fill.
    rim : float
        Paper kept along every edge: mm, 0.3 to 100, default 3.
    strap : float
        Width of the joints: mm, 0.3 to 20, default 1.2.
    pitch : float
        From course to course: mm, 1 to 100, default 4.2.
    length : float
        Length of a brick, in courses: 1.2 to 5, default 2.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    fit : bool
        Whether the pitch gives way a little so that whole courses fill the region's box. Default True.

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
    The running bond of the bricklayer; every other course begins with half a brick.

    Examples
    --------
    >>> from shapely.affinity import scale
    >>> paper = brick_lattice(within=Polygon([(0, 0), (60, 0), (60, 90), (0, 90)]))
    >>> paper.geom_type, round(paper.symmetric_difference(scale(paper, 1, -1, origin=(0, 45))).area, 6)
    ('Polygon', 0.0)
    """
    check_pitch(pitch, strap, smallest, inradius=0.5)
    region = inset_region(within, rim)
    least = (strap + 2 * smallest) / pitch
    wide, high, x, y = fitted(
        region, length * pitch, pitch, beyond=strap, least=least, odd=(False, True), fit=fit
    )
    cells = [oblong(0, 0, wide, high), oblong(wide / 2, high, wide, high)]
    return fill_with_repeat(
        within, region, Repeat(wide, 2 * high, cells), (x, y), strap=strap, smallest=smallest
    )
