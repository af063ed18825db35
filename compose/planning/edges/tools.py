"""Which tool each span is cut with, and whether the tools at hand can cut a piece at all."""

from __future__ import annotations

import numpy as np

from canivet.audit.boundary import Flags, Floats
from canivet.compose.planning.settings import PlanSettings
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

from .spans import Spans

__all__ = ["SHARP_DEG", "choose_tools", "require_tools"]

SHARP_DEG = 70.0
"""Degrees. In a corner of waste sharper than this scissors cannot turn (*common practice*)."""


def require_tools(radius: Floats, at: Floats, settings: PlanSettings) -> None:
    """Refuse a piece that cannot be cut with the tools at hand.

    Parameters
    ----------
    radius : (n,) float array
        Of the largest disc in each opening, mm.
    at : (n, 2) float array
        Its middle.
    settings : PlanSettings

    Raises
    ------
    DoesNotFit
        If there are scissors alone, and an opening that they cannot enter.
    """
    if settings.tools != "scissors":
        return
    small = np.flatnonzero(radius < settings.scissors_from)
    if len(small) == 0:
        return
    worst = small[radius[small].argmin()]
    x, y = at[worst].tolist()
    others = f", and {len(small) - 1} more are too small" if len(small) > 1 else ""
    raise DoesNotFit(
        f"tools is scissors; they enter openings that a disc of {format_mm(settings.scissors_from)} mm "
        f"radius fits into, and the one at ({format_mm(x, 1)}, {format_mm(y, 1)}) mm takes "
        f"{format_mm(radius[worst], 2)} mm{others}. Take the knife to hand too (tools = both), or draw "
        "larger openings.",
        parameter="tools", value="scissors", accepted="both, knife", at=(x, y),
    )  # fmt: skip


def choose_tools(spans: Spans, radius: Floats, settings: PlanSettings) -> Flags:
    """Say which spans are cut with scissors; the others that are cut are cut with the knife.

    Parameters
    ----------
    spans : Spans
        Of a whole piece; ring 0 is its outline, which scissors enter from outside.
    radius : (n,) float array
        Of the largest disc in each opening.
    settings : PlanSettings

    Returns
    -------
    (m,) bool array
    """
    if settings.tools != "both":
        return spans.cut & (settings.tools == "scissors")
    entered = np.append(True, radius >= settings.scissors_from)[spans.ring]
    result: Flags = spans.cut & entered & ~spans.straight & (spans.radius >= settings.scissors_curve)
    return result
