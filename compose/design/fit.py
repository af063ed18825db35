"""The size of a piece worked back from what it is to go into: a frame, a mat, or two panes of glass.

How much a mat covers and how much play a frame leaves are *common practice*, no source; both can be said.
"""

from __future__ import annotations

from pydantic import model_validator

from canivet.errors import BadValue
from canivet.lengths import format_mm

from .values.reading import NotNegative, OneSize, Positive, Table

__all__ = ["FitSettings"]

_OVERLAP = 6.35
"""mm, 1/4 in: how far a mat covers the piece on each side (*common practice*; some take 1/8 in)."""

_PLAY = 1.6
"""mm, 1/16 in: by so much a piece is smaller than the frame's rebate on each side (*common practice*)."""

_REVEAL = 12.0
"""mm of glass that show round a piece pressed between two panes (*common practice*)."""


_GOES_WITH = {
    "frame": ("play",), "glass": ("reveal",), "mat": ("border", "overlap"), "mat_opening": ("overlap",),
}  # fmt: skip


class FitSettings(Table):
    """What the piece is to fit, one of frame, glass, mat and mat_opening, and how; its size follows."""

    frame: OneSize | None = None
    glass: OneSize | None = None
    mat: OneSize | None = None
    mat_opening: OneSize | None = None
    border: Positive | None = None
    overlap: NotNegative = _OVERLAP
    play: NotNegative = _PLAY
    reveal: Positive = _REVEAL

    @model_validator(mode="after")
    def _one_of_them(self) -> FitSettings:
        given = [name for name in _GOES_WITH if getattr(self, name) is not None]
        if len(given) != 1:
            raise BadValue(
                f"fit takes one of {', '.join(_GOES_WITH)}; "
                + (f"{' and '.join(given)} are given." if given else "none is given.")
            )
        goes = _GOES_WITH[given[0]]
        others = {name for names in _GOES_WITH.values() for name in names} - {*goes}
        if idle := sorted(others & self.model_fields_set):
            raise BadValue(
                f"{idle[0]} does not go with {given[0]}, which takes {' and '.join(goes)}. Leave it out."
            )
        if self.mat is not None and self.border is None:
            raise BadValue(
                "mat is given without border, the width of mat that shows on each side. Give both."
            )
        if min(self.size) <= 0:
            width, height = (format_mm(side, 1) for side in self.size)
            raise BadValue(
                f"what is left for the piece is {width} × {height} mm. Take less off, or a larger {given[0]}."
            )
        return self

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height of the piece, mm."""
        if self.mat_opening is not None:
            (width, height), more = self.mat_opening, 2 * self.overlap
        elif self.mat is not None:
            (width, height), more = self.mat, 2 * (self.overlap - (self.border or 0.0))
        elif self.glass is not None:
            (width, height), more = self.glass, -2 * self.reveal
        else:
            assert self.frame is not None
            (width, height), more = self.frame, -2 * self.play
        return round(width + more, 6), round(height + more, 6)
