"""Folded pieces that open in one but are too weak: told apart from those that cannot be folded or cut."""

from __future__ import annotations

from typing import Any

from shapely.geometry import Polygon

from canivet.audit.boundary import GRID
from canivet.audit.strength import StrengthReport
from canivet.errors import DoesNotFit

__all__ = ["DoesNotHold", "opens_in_one"]

_HAIR = 2 * GRID
"""mm; paper of this width is still joined, and of no use."""


class DoesNotHold(DoesNotFit):
    """A piece that can be folded, cut and opened in one, but has less paper somewhere than its strap.

    Attributes
    ----------
    paper : Polygon
        The opened piece; not to be cut, but its weak places can be shown.
    report : StrengthReport
        Where they are.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> from canivet.motifs.folding.unfolding import unfold
    >>> comb = box(60, 20, 80, 60) - box(69.5, 20, 70.5, 50)
    >>> try:
    ...     unfold(mirror_fold(), comb, strap=1.5, rim=3)
    ... except DoesNotHold as error:
    ...     error.exit_code, error.report.limbs[0].width < 1.5
    (3, True)
    """

    exit_code = 3

    def __init__(self, message: str, *, paper: Polygon, report: StrengthReport, **facts: Any) -> None:
        super().__init__(message, **facts)
        self.paper = paper
        self.report = report


def opens_in_one(report: StrengthReport) -> bool:
    """Whether a piece that does not hold is joined everywhere by more than a hair, however weak it is."""
    widths = [neck.width for neck in report.necks] + [limb.width for limb in report.limbs]
    return min(widths, default=_HAIR) >= _HAIR
