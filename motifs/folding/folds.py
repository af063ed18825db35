"""Folds: a sheet, the way it is folded, and the wedge of it that is drawn and cut.

Only mirrors come of folding: a crease carries one side of the paper onto the other. So a fold can make
exactly the patterns whose symmetry is made of mirrors that close the wedge in, or leave it open to the
sheet's edge: the n-fold medallions, two of the seven friezes and four of the seventeen plane groups.

References
----------
Kawasaki's and Maekawa's conditions hold at every crossing of the creases, since each pattern is got by
folding.
"""

from __future__ import annotations

import math
from typing import Annotated

from shapely.geometry import Polygon, box

from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.parameters import Choice, Count, Flag, Length, checked
from canivet.sheets import Sheet, smallest_sheet_for

from .fold import Fold, halved_upward, made, medallion_stages, no_hem, pleats, sector, triangles
from .steps import Stage, Step

__all__ = [
    "accordion_fold",
    "check_sheet",
    "medallion_fold",
    "mirror_fold",
    "plane_fold",
    "quarter_fold",
]


SheetSide = Annotated[float, Length("side of the sheet", 20, 2000)]


@checked
def mirror_fold(*, width: SheetSide = 100.0, height: SheetSide = 140.0) -> Fold:
    """A sheet folded once down the middle; the drawing lies on the right half.

    Parameters
    ----------
    width, height : float
        Of the open sheet, mm, 20 to 2000, default 100 and 140.

    Returns
    -------
    Fold

    Examples
    --------
    >>> mirror_fold().layers
    2
    """
    half = Stage("Fold in half, left over right.", (Step((width / 2, 0), (0, 1)),))
    return made(
        "mirror", "D1", box(0, 0, width, height), box(width / 2, 0, width, height), [half]
    )  # fmt: skip


@checked
def quarter_fold(*, width: SheetSide = 120.0, height: SheetSide = 120.0) -> Fold:
    """A sheet folded in half and in half again across; the drawing lies on the upper right quarter.

    Parameters
    ----------
    width, height : float
        Of the open sheet, mm, 20 to 2000, default 120.

    Returns
    -------
    Fold

    Examples
    --------
    >>> quarter_fold().layers
    4
    """
    stages = [
        Stage("Fold in half, left over right.", (Step((width / 2, 0), (0, 1)),)),
        Stage("Fold in half again, bottom up to top.", (Step((0, height / 2), (-1, 0)),)),
    ]
    wedge = box(width / 2, height / 2, width, height)
    return made("quarter", "D2", box(0, 0, width, height), wedge, stages)


@checked
def medallion_fold(
    *,
    count: Annotated[int, Count("how many times the design repeats round the middle", 2, 16)] = 6,
    width: SheetSide = 180.0,
) -> Fold:
    """A square folded about its middle: a round design of `count` equal parts, each its own mirror image.

    Parameters
    ----------
    count : int
        2 to 16, default 6; the packet has twice as many layers, and a point of 180° by `count`.
    width : float
        Side of the square, mm, 20 to 2000, default 180. The wedge reaches half as far.

    Returns
    -------
    Fold
        The wedge stands on its point; its left side is upright.

    Examples
    --------
    >>> fold = medallion_fold(count=5, width=100)
    >>> fold.layers, fold.symmetry, len(fold.unfolded(fold.wedge))
    (10, 'D5', 10)
    """
    radius = width / 2
    angle = math.pi / count
    sheet = box(-radius, -radius, radius, radius)
    wedge = sector(radius, angle)
    return made("medallion", f"D{count}", sheet, wedge, medallion_stages(count))


@checked
def accordion_fold(
    *,
    panels: Annotated[int, Count("how many panels the strip is folded into", 2, 32)] = 6,
    width: Annotated[float, Length("width of one panel", 5, 500)] = 30.0,
    height: SheetSide = 80.0,
    lengthwise: Annotated[bool, Flag("whether the strip is first folded along its length too")] = False,
    hem: Annotated[float, Length("paper left standing out at either end", 0, 100)] = 0.0,
) -> Fold:
    """A strip folded to and fro into panels: a row of figures hand in hand.

    Parameters
    ----------
    panels : int
        2 to 32, default 6.
    width : float
        Of one panel, mm, 5 to 500, default 30.
    height : float
        Of the strip, mm, 20 to 2000, default 80.
    lengthwise : bool
        Whether the strip is first folded in half along its length, so that top and bottom are mirror images.
    hem : float
        Paper beyond the first and last panel, mm, 0 to 100, default 0. It stands out past the folds and is
        not cut; without it an opening that crosses the folds leaves a notch in either end.

    Returns
    -------
    Fold
        The wedge is the first panel, or its lower half.

    Examples
    --------
    >>> accordion_fold(panels=6).symmetry, accordion_fold(panels=6, lengthwise=True).symmetry
    ('p1m1', 'p2mm')
    """
    core = box(0, 0, panels * width, height)
    stages = [halved_upward(height)] if lengthwise else []
    stages.append(Stage(f"Fold to and fro into {panels} panels.", pleats(panels, width, across=True)))
    wedge = box(0, 0, width, height / 2 if lengthwise else height)
    low = (hem, 0.0)
    name = "accordion folded lengthwise" if lengthwise else "accordion"
    return made(name, "p2mm" if lengthwise else "p1m1", core, wedge, stages, hem=low)


@checked
def plane_fold(
    *,
    group: Annotated[
        str, Choice("the plane group; these four are all that folding makes", "p2mm", "p4mm", "p3m1", "p6mm")
    ] = "p4mm",
    columns: Annotated[int, Count("panels across, or the hexagon's side in triangles", 1, 12)] = 2,
    rows: Annotated[int, Count("panels up; a hexagon has none of its own", 1, 12)] = 2,
    width: Annotated[float, Length("width of a panel, or side of a triangle", 8, 500)] = 45.0,
    height: Annotated[float | None, Length("height of a panel, for p2mm", 8, 500)] = None,
    hem: Annotated[float, Length("paper left standing out all round, for p2mm", 0, 100)] = 0.0,
) -> Fold:
    """A sheet folded into a grid of panels, so that a pattern fills it both ways.

    Parameters
    ----------
    group : str
        ``p2mm`` oblong panels, ``p4mm`` squares folded once more corner to corner, ``p3m1`` a hexagon in
        equilateral triangles, ``p6mm`` the same triangles folded once more into six. Default ``p4mm``.
    columns, rows : int
        Panels across and up, 1 to 12, default 2. For a hexagon `columns` triangles make a side, and `rows` is
        not used.
    width : float
        Of a panel or triangle, mm, 8 to 500, default 45.
    height : float or None
        Of a panel, mm, for ``p2mm`` only; None for as high as wide.
    hem : float
        Paper beyond the outer panels, mm, 0 to 100, default 0, for ``p2mm`` only.

    Returns
    -------
    Fold

    Examples
    --------
    >>> [plane_fold(group=g, columns=1).layers for g in ("p2mm", "p4mm", "p3m1", "p6mm")]
    [2, 4, 6, 36]
    """
    if hem and group != "p2mm":
        raise no_hem(f"fold for {group}", hem)
    if group in ("p3m1", "p6mm"):
        return triangles(group, columns, width)
    tall = height if height is not None and group == "p2mm" else width
    core = box(0, 0, columns * width, rows * tall)
    stages = []
    if rows > 1:
        stages.append(Stage(f"Fold to and fro into {rows} rows.", pleats(rows, tall, across=False)))
    if columns > 1:
        stages.append(Stage(f"Fold to and fro into {columns} panels.", pleats(columns, width, across=True)))
    if group == "p2mm":
        # Two panels have no fold that ends at the border, and need no hem that way.
        wide = (hem if columns > 2 else 0.0, hem if rows > 2 else 0.0)
        if hem and not any(wide):
            raise no_hem("fold of two panels either way", hem)
        return made("sheet of panels", group, core, box(0, 0, width, tall), stages, hem=wide)
    stages.append(Stage("Fold corner to corner.", (Step((0, 0), (1, 1)),)))
    wedge = Polygon([(0, 0), (width, 0), (width, width)])
    return made("sheet of squares", group, core, wedge, stages)


def check_sheet(fold: Fold, sheet: Sheet) -> None:
    """Refuse a sheet of paper that the fold cannot be cut from.

    Raises
    ------
    DoesNotFit
        If it is too small, lying either way.

    Examples
    --------
    >>> from canivet.sheets import find_sheet
    >>> check_sheet(medallion_fold(width=180), find_sheet("A4"))
    """
    low_x, low_y, high_x, high_y = fold.sheet.bounds
    wide, high = high_x - low_x, high_y - low_y
    if sheet.holds(wide, high) or sheet.turned().holds(wide, high):
        return
    taker = smallest_sheet_for(wide, high)
    advice = f"Take {taker.name}, or make the fold smaller." if taker else "Make the fold smaller."
    raise DoesNotFit(
        f"sheet is {sheet}; the {fold.name} needs {format_mm(wide, 1)} × {format_mm(high, 1)} mm before "
        f"folding. {advice}",
        parameter="sheet", value=sheet.name,
        accepted=f"at least {format_mm(wide, 1)} × {format_mm(high, 1)} mm",
    )  # fmt: skip
