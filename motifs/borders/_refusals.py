"""What a border says where its band is too narrow."""

from __future__ import annotations

from canivet.errors import DoesNotFit
from canivet.lengths import format_length

__all__ = ["too_narrow"]


def too_narrow(band: float, lacking: float, what: str, others: str) -> DoesNotFit:
    accepted = f"at least {format_length(band + lacking, 2)}"
    return DoesNotFit(
        f"band is {format_length(band)}; {what} with the straps asked for needs {accepted}. Widen band, or "
        f"lower {others}, strap or smallest.",
        parameter="band", value=band, accepted=accepted,
    )  # fmt: skip
