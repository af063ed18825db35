"""Interlaced borders: a rope, guilloches and strands that cross, along the edge of a piece."""

from __future__ import annotations

from functools import partial
from typing import Annotated

from shapely.geometry import Polygon

from canivet.motifs.borders._running.interlaced.knots import Knot
from canivet.motifs.borders._running.interlaced.rope import Cable
from canivet.motifs.borders._running.interlaced.woven import Guilloche, Interlace
from canivet.motifs.borders._running.laying import draw_round
from canivet.motifs.bounds import BandWidth, BorderRim, RepeatLength, Smallest, Strap
from canivet.motifs.registry import motif
from canivet.parameters import Choice, Count

__all__ = ["cable", "guilloche", "interlace", "knotwork"]


@motif("border")
def cable(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A twisted rope laid one way round, its ends tied by a round boss in each corner.

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
        About how far it is from strand to strand: mm, 1 to 400; re-counted so that whole ones fit. Left out,
        strands are about as wide as the slits between them.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; half a turn maps it onto itself wherever it does `within`.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = cable(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(rotate(paper, 180, origin=(50, 75))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_round(within, Cable, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def guilloche(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    strands: Annotated[int, Count("ribbons that are woven", 2, 3)] = 2,
    smallest: Smallest = 0.5,
) -> Polygon:
    """White ribbons that pass over and under each other round a row of eyes, and turn the corners.

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
        About how far it is from crossing to crossing: mm, 1 to 400; re-counted so that whole ones fit. Left
        out, eyes are about as long as high.
    strands : int
        Ribbons that are woven: 2 or 3, default 2; three need about half as much band again.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; half a turn maps it onto itself wherever it does `within`.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    Over and under take turns along every ribbon, round the corners too: at a crossing in the lower row the
    ribbon that rises goes over, in the next row the one that falls. A mirror would break that, so the border
    runs one way round. Eyes too small to cut are left out, and the ribbons then look like a rope.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = guilloche(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(rotate(paper, 180, origin=(50, 75))).area, 4)
    ('Polygon', 0.0)
    """
    make = partial(Guilloche, strands=strands)
    return draw_round(within, make, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)


@motif("border")
def knotwork(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    smallest: Smallest = 0.5,
) -> Polygon:
    """A plait of white ribbons that turn back from each other here and there and so tie themselves in knots.

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
        About how far it is from break to break: mm, 1 to 400; re-counted so that whole ones fit. Left out,
        loops are about round.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; half a turn maps it onto itself wherever it does `within`.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    A plait of four strands, of two in a narrow band. Every third crossing of its middle row is broken (of two
    strands every second one): there the two strands turn back, each on the side it came from. Over and under
    still take turns along every ribbon, round the corners too.

    References
    ----------
    J. Romilly Allen, *Celtic Art in Pagan and Christian Times*, 1904, derives knotwork from the plait by
    breaks (from memory).

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = knotwork(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(rotate(paper, 180, origin=(50, 75))).area, 4)
    ('Polygon', 0.0)
    """
    return draw_round(
        within, Knot.of_most_strands, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest
    )


@motif("border")
def interlace(
    *,
    within: Polygon,
    band: BandWidth | None = None,
    rim: BorderRim = 2.2,
    strap: Strap = 1.2,
    repeat: RepeatLength | None = None,
    strands: Annotated[int, Count("strands that cross", 2, 5)] | None = None,
    form: Annotated[
        str, Choice("how the strands go: in waves, or straight from rail to rail", "waved", "angular")
    ] = "waved",
    smallest: Smallest = 0.5,
) -> Polygon:
    """Strands of paper that pass over and under each other between the rails and turn the corners.

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
        About how far it is along the band from one strand to the next: mm, 1 to 400; re-counted so that whole
        ones fit. Left out, the openings are about as long as high.
    strands : int, optional
        Strands that cross, 2 to 5; left out, 2. Of more than 3, and in a narrow band, none goes under.
    form : str
        How the strands go: "waved" or "angular", straight from rail to rail; default "waved".
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5; what comes out smaller is
        left solid.

    Returns
    -------
    Polygon
        The paper, in one piece; half a turn maps it onto itself wherever it does `within`.

    Raises
    ------
    DoesNotFit
        If the band is too narrow for the ornament or too wide for the piece, or a side too short.

    Notes
    -----
    Each strand follows the path of a ball between two walls. Of `n` strands evenly behind each other, any two
    cross twice while one goes to and fro, so that there are n(n - 1) crossings in that length. In a corner
    the ball goes on at 45° and comes back off the outer walls, so that a strand comes out as it went in.

    Over and under take turns along every strand, round the corners too; a mirror would break that, so the
    border runs one way round. A strand that goes under stops short of the one above it. Of two, every stretch
    from there to the next crossing touches a rail, which holds it; of three it stops short on its way to a
    rail only, and on the other side the two are joined, for else the window would fall out.

    Examples
    --------
    >>> from shapely.affinity import rotate
    >>> paper = interlace(within=Polygon([(0, 0), (100, 0), (100, 150), (0, 150)]))
    >>> paper.geom_type, round(paper.symmetric_difference(rotate(paper, 180, origin=(50, 75))).area, 4)
    ('Polygon', 0.0)
    """
    make = partial(Interlace, strands=strands or 2, angular=form == "angular")
    return draw_round(within, make, band=band, rim=rim, strap=strap, repeat=repeat, smallest=smallest)
