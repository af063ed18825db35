"""Folded pieces that open in one but are too weak: told apart from those that cannot be folded or cut."""

from __future__ import annotations

from canivet.audit.boundary import GRID
from canivet.errors import CanivetError, DoesNotFit
from canivet.motifs.folding.wedge.rings import WedgeDrawing
from canivet.stock import Stock

from .fold import Fold
from .limits import check_packet
from .packet import PacketPlan, plan_packet
from .unfolding import check_openings, kept_of, parts_of, unfold

__all__ = ["DoesNotHold", "plan_held"]

_HAIR = 2 * GRID
"""mm; paper of this width is still joined, and of no use."""


class DoesNotHold(DoesNotFit):
    """A piece that can be folded, cut and opened in one, but has less paper somewhere than its strap."""

    exit_code = 3


def plan_held(
    fold: Fold,
    drawing: WedgeDrawing,
    *,
    title: str,
    strap: float,
    rim: float,
    stock: Stock | None = None,
    compensate: bool = False,
) -> PacketPlan:
    """Unfold a wedge and gather what its template needs, or say whether it is weak or cannot be made at all.

    Parameters
    ----------
    fold : Fold
        How the sheet is folded.
    drawing : WedgeDrawing
        What is cut of its wedge.
    title, strap, rim, stock, compensate
        As for `plan_packet`.

    Returns
    -------
    PacketPlan

    Raises
    ------
    DoesNotHold
        If the piece opens in one, every opening clear of creases and edges, but does not hold at the strap.
    BadValue, DoesNotFit
        As `plan_packet`, for all else.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> comb = box(60, 20, 80, 60) - box(69.5, 20, 70.5, 50)
    >>> try:
    ...     plan_held(mirror_fold(), WedgeDrawing((comb,)), title="Comb", strap=1.5, rim=3)
    ... except DoesNotHold as error:
    ...     error.exit_code
    3
    """
    stock = Stock() if stock is None else stock
    check_packet(fold, stock)
    try:
        return plan_packet(
            fold, drawing.openings, title=title, strap=strap, rim=rim, edge=drawing.kept, stock=stock,
            compensate=compensate,
        )  # fmt: skip
    except DoesNotFit as error:
        if not _opens(fold, drawing, strap, rim):
            raise
        raise DoesNotHold(
            error.message, parameter=error.parameter, value=error.value, accepted=error.accepted, at=error.at
        ) from error


def _opens(fold: Fold, drawing: WedgeDrawing, strap: float, rim: float) -> bool:
    """Whether every opening lies where it may and the piece opens in one, however weak it is then."""
    kept = kept_of(fold, drawing.kept)
    try:
        check_openings(fold, parts_of(drawing.openings), strap=strap, rim=rim, kept=kept)
        unfold(fold, drawing.openings, strap=_HAIR, smallest=0.0, rim=rim, edge=drawing.kept)
    except CanivetError:
        return False
    return True
