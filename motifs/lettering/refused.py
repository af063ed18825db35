"""The refusal of words that are too long for their panel, which can be turned with it."""

from __future__ import annotations

from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

__all__ = ["TooLong"]


class TooLong(DoesNotFit):
    """Words that do not go into their panel at the least height they may have.

    Parameters
    ----------
    text : str
    least : float
        That height, mm.
    takes, room : (float, float)
        Width and height of the words with the air round them, and of the panel, mm.
    boxed : bool
        Whether the panel is a box, as wide and as high everywhere.

    Examples
    --------
    >>> refused = TooLong("Ex libris", 4.0, takes=(20.0, 6.0), room=(15.0, 9.0), boxed=True)
    >>> refused.accepted, refused.turned().accepted
    ('20 × 6 mm', '6 × 20 mm')
    """

    def __init__(
        self, text: str, least: float, *, takes: tuple[float, float], room: tuple[float, float], boxed: bool
    ) -> None:
        self.text, self.least, self.takes, self.room, self.boxed = text, least, takes, room, boxed
        needs, has = (f"{format_mm(wide, 1)} × {format_mm(high, 1)} mm" for wide, high in (takes, room))
        super().__init__(
            f"{text!r} at a letter height of {format_mm(least, 2)} mm takes {needs} with the air round it; "
            f"the panel is {has}{'' if boxed else ' at its widest'}. "
            "Make the panel larger, shorten the text, allow more lines, or lower least.",
            parameter="least", value=least, accepted=needs,
        )  # fmt: skip

    def turned(self) -> TooLong:
        """Return it for words and panel that stand upright."""
        takes, room = self.takes[::-1], self.room[::-1]
        return TooLong(self.text, self.least, takes=takes, room=room, boxed=self.boxed)
