"""Sheets cut flat with any of the seventeen plane groups, from one leaf that is no mirror image of itself."""

from __future__ import annotations

from typing import Annotated

from shapely.geometry import Polygon

from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.parameters import Length, checked

from .flat_patterns import flat_pattern, leaf_in_unit
from .groups import find_group

__all__ = ["flat_sheet"]

_CELL = 24.0
"""mm, the cell of a pattern in fine straps: six or seven repeats to a hand's breadth (*common practice*)."""

_STRAPS_TO_A_CELL = 16
"""Under this many, the finest divided groups (twelve units to a cell) have no room for a leaf."""

_RIM = 4.0
"""mm, the least paper kept along the edge where nothing is asked (*common practice*)."""

_STRAPS_TO_A_RIM = 2


@checked
def flat_sheet(
    symbol: str,
    *,
    width: Annotated[float, Length("width of the sheet", 20, 2000)] = 150.0,
    height: Annotated[float, Length("height of the sheet", 20, 2000)] = 150.0,
    strap: Annotated[float, Length("narrowest paper left between openings", 0.05, 50)] = 1.5,
    rim: Annotated[float | None, Length("paper kept along the edge", 0.05, 200)] = None,
) -> Polygon:
    """A sheet cut flat: bent leaves all over, repeated by one of the seventeen plane groups.

    Parameters
    ----------
    symbol : str
        The group, a key of `PLANE_GROUPS`. The leaf is bent, so that nothing but the group makes mirrors.
    width, height : float
        Of the sheet, mm, 20 to 2000, default 150.
    strap : float
        Narrowest paper left, mm, 0.05 to 50, default 1.5. The cell is 24 mm, or sixteen straps if that is
        more.
    rim : float or None
        Paper kept along the edge, mm, a strap to 200; None for 4 mm, or two straps if that is more.

    Returns
    -------
    Polygon
        One piece that holds at the strap, its lower left corner at the origin.

    Raises
    ------
    BadValue
        If the group is not known or a length is out of range.
    DoesNotFit
        If the rim leaves no room for an opening.

    Examples
    --------
    >>> paper = flat_sheet("p4gm", width=120, height=80)
    >>> paper.bounds, len(paper.interiors) > 50
    ((0.0, 0.0, 120.0, 80.0), True)
    """
    rim = max(_RIM, _STRAPS_TO_A_RIM * strap) if rim is None else rim
    if rim < strap:
        raise BadValue(
            f"rim is {format_length(rim)}; it takes a strap ({format_length(strap)}) to 200 mm.",
            parameter="rim", value=rim, accepted=f"{format_length(strap)} to 200 mm",
        )  # fmt: skip
    group = find_group(symbol)
    if 2 * rim >= min(width, height):
        raise _no_room(width, height, rim)
    cell = max(_CELL, _STRAPS_TO_A_CELL * strap)
    leaf = leaf_in_unit(group, strap=strap, cell=cell)
    paper = flat_pattern(symbol, leaf, width=width, height=height, cell=cell, strap=strap, rim=rim)
    if not paper.interiors:
        raise _no_room(width, height, rim)
    return paper


def _no_room(width: float, height: float, rim: float) -> DoesNotFit:
    return DoesNotFit(
        f"rim is {format_length(rim)}; on a sheet of {format_mm(width)} × {format_mm(height)} mm it leaves "
        "no room for an opening. Lower rim, or take a larger sheet.",
        parameter="rim", value=rim, accepted="a rim with room for openings within",
    )  # fmt: skip
