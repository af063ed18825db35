"""When a drawing would stay itself: mended at its strap it may become another drawing."""

from __future__ import annotations

from canivet.audit.boundary import Paper
from canivet.errors import CanivetError
from canivet.lengths import format_mm

from .repair import repair_paper

__all__ = ["MUCH", "warn_of_much"]

MUCH = 0.25
"""Share of a drawing's area past which mending makes another drawing of it."""

_FINER = (0.75, 0.5, 0.35, 0.25, 0.15, 0.1)
"""Shares of the strap that are tried in turn."""


def warn_of_much(before: Paper, mended: Paper, *, strap: float, smallest: float) -> str | None:
    """Say that mending changed a drawing by more than a quarter, and at which strap or size it would not.

    Parameters
    ----------
    before, mended : Polygon or MultiPolygon
        mm, as it was read and as it was mended.
    strap, smallest : float
        What it was mended to, mm.

    Returns
    -------
    str or None
        A sentence without the drawing's name; None where less was changed.

    Examples
    --------
    >>> from shapely import box
    >>> wires = box(0, 0, 40, 40) - box(0.2, 0.2, 39.8, 39.8)
    >>> mended = repair_paper(wires, strap=1.2, smallest=0.5).paper
    >>> warn_of_much(wires, mended, strap=1.2, smallest=0.5).partition("With")[2]
    ' a strap of 0.18 mm, or 267 mm wide, it would stay itself'
    >>> warn_of_much(wires, wires, strap=0.1, smallest=0.1) is None
    True
    """
    changed = _changed(before, mended)
    if changed <= MUCH:
        return None
    said = f"mending it to {format_mm(strap)} mm changes {changed:.0%} of its area"
    width = before.bounds[2] - before.bounds[0]
    for share in _FINER:
        try:
            finer = repair_paper(before, strap=share * strap, smallest=share * smallest).paper
        except CanivetError:
            continue
        if _changed(before, finer) <= MUCH:
            return (
                f"{said}. With a strap of {format_mm(share * strap, 2)} mm, or {format_mm(width / share, 0)} "
                "mm wide, it would stay itself"
            )
    return f"{said}. It is drawn in lines too fine to be cut; fill its shapes instead"


def _changed(before: Paper, after: Paper) -> float:
    return float(before.symmetric_difference(after).area / before.area)
