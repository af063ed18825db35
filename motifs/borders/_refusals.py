"""What a border says where a band, a repeat or a side is not for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm

__all__ = ["Ornamented", "check_repeat"]

_EDGE = 1e-9


@dataclass(frozen=True, slots=True)
class Ornamented:
    """A band and what is to be laid in it, as a refusal names them.

    Attributes
    ----------
    band : float
        mm, as asked.
    what : str
        ``chevrons``; ``this ornament``.
    lower : str
        What may be lowered instead of widening the band.
    """

    band: float
    what: str
    lower: str = "rim, strap or smallest"

    def too_narrow(self, least: float) -> DoesNotFit:
        """Return the refusal of a band narrower than `least`, mm."""
        accepted = f"at least {format_length(_up(least, 2), 2)}"
        return DoesNotFit(
            f"band is {format_length(self.band)}; {self.what} with the straps asked for needs {accepted}. "
            f"Widen band, or lower {self.lower}.",
            parameter="band", value=self.band, accepted=accepted,
        )  # fmt: skip

    def too_short(self, length: float, least: float, *, half: bool = False, number: int = 1) -> DoesNotFit:
        """Return the refusal of a side, or of half of one, that does not take `number` repeats, mm."""
        side = "half a side" if half else "a side"
        some = "a repeat" if number == 1 else f"{number} repeats"
        accepted = (
            f"{'half sides' if half else 'sides'} of at least {format_length(_up(least, 1), 1)} inside it"
        )
        return DoesNotFit(
            f"band is {format_length(self.band)}; {side} of {format_length(length, 1)} inside it does not "
            f"take {some} of {self.what} like those of the other sides; it takes {accepted}. Narrow band, "
            f"lower {self.lower.removeprefix('rim, ')}, or enlarge the piece.",
            parameter="band", value=self.band, accepted=accepted,
        )  # fmt: skip


def check_repeat(repeat: float | None, what: str, *, shortest: float, longest: float) -> None:
    """Refuse a repeat that an ornament cannot be drawn in.

    Raises
    ------
    DoesNotFit
        With the range it takes, whose ends are themselves accepted.

    Examples
    --------
    >>> check_repeat(9.99, "a key", shortest=1.004, longest=9.996)
    >>> check_repeat(12, "a key", shortest=1.004, longest=9.996)
    Traceback (most recent call last):
    canivet.errors.DoesNotFit: repeat is 12 mm; a key takes 1.01 to 9.99 mm. Lower repeat, or leave it out.
    """
    if repeat is None or shortest - _EDGE <= repeat <= longest + _EDGE:
        return
    accepted = f"{format_mm(_up(shortest, 2), 2)} to {format_mm(_down(longest, 2), 2)} mm"
    raise DoesNotFit(
        f"repeat is {format_length(repeat)}; {what} takes {accepted}. "
        f"{'Raise' if repeat < shortest else 'Lower'} repeat, or leave it out.",
        parameter="repeat", value=repeat, accepted=accepted,
    )  # fmt: skip


def _up(value: float, digits: int) -> float:
    """Round up, so that the figure told is enough."""
    return float(math.ceil(value * 10.0**digits - 1e-6) / 10.0**digits)


def _down(value: float, digits: int) -> float:
    """Round down, so that the figure told is not too much."""
    return float(math.floor(value * 10**digits + 1e-6) / 10**digits)
