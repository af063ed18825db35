"""Tones and inks: how a page shows the piece, and what each tone means on every page.

What is black or grey stays, what is white is cut away; where a page has lines alone, what a closed line
inside the outline holds is cut away. There is no other tone: a thin grey line comes out of a laser printer as
a row of dots, so every line and every word is black.
"""

from __future__ import annotations

from typing import Literal, get_args

from shapely.geometry import Polygon

from canivet.errors import BadValue, suggest

__all__ = ["BLACK", "INKS", "STAYS", "STROKE", "TONES", "WHITE", "Ink", "check_ink", "ink_share"]

Ink = Literal["solid", "lines", "tint"]
"""``solid``: paper black, for the look. ``lines``: outlines alone, to save ink. ``tint``: outlines, and paper
grey, to see what goes and still draw on it."""

BLACK = "#000000"
WHITE = "#ffffff"
STAYS = "#c8c8c8"
"""Paper that stays, pale enough for black lines and figures on it: about 12.6 : 1 (WCAG 2.2, 1.4.3)."""

TONES = {"ink": BLACK, "white": WHITE, "faint": STAYS}

STROKE = 0.18
"""mm of a line to cut along, four dots at 600 to the inch."""

INKS: dict[Ink, tuple[str, bool]] = {"solid": (BLACK, False), "lines": ("", True), "tint": (STAYS, True)}
"""What paper is filled with, and whether its edges are drawn."""


def check_ink(ink: str, *, parameter: str = "ink") -> None:
    """Refuse an ink that is not known.

    Raises
    ------
    BadValue
        With those that are.
    """
    known = get_args(Ink)
    if ink not in known:
        raise BadValue(
            f"{parameter} is {ink!r}; it takes one of: {', '.join(known)}.{suggest(str(ink), known)}",
            parameter=parameter, value=ink, accepted=", ".join(known),
        )  # fmt: skip


def ink_share(paper: Polygon, ink: Ink) -> float:
    """Return how much of the area inside the outline is covered by ink, a grey counting by its darkness.

    Parameters
    ----------
    paper : Polygon
        The piece.
    ink : {"solid", "lines", "tint"}
        How it is drawn.

    Notes
    -----
    A line lies astride its edge, so half of the outline's falls outside. Where two lines meet or come nearer
    than their width, what they share is counted twice.

    Examples
    --------
    >>> card = Polygon([(0, 0), (10, 0), (10, 10), (0, 10)], [[(2, 2), (2, 8), (8, 8), (8, 2)]])
    >>> [round(ink_share(card, ink), 3) for ink in ("solid", "lines", "tint")]
    [0.64, 0.079, 0.205]
    """
    outline = Polygon(paper.exterior)
    lines = STROKE * (paper.length - paper.exterior.length / 2)
    grey = 1 - int(STAYS[1:3], 16) / 255
    between = max(0.0, paper.area - STROKE * paper.length / 2)
    covered = {"solid": paper.area, "lines": lines, "tint": lines + grey * between}[ink]
    return min(1.0, float(covered / outline.area))
