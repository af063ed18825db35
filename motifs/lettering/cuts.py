"""Cuts of a face: how heavy and how wide its letters are, from its own width to the narrowest.

Letters that are to hold at a small height want strokes of a strap's width. Narrowed by itself a letter
loses its stems; so a narrower cut is taken from a heavier weight of the face, where it has one: stems stay as
wide as they were, and what is lost is white. Cut-out letters are the other way about: the paper is inside
them, and a lighter weight leaves more of it.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from pathlib import Path

from ._held.holding import GROWTH
from .faces import NAMED_FACES, open_face, shipped_file, weights_of

__all__ = ["NARROWEST", "Cut", "cuts_of", "lowest_raised"]

NARROWEST = 0.7
"""Narrower than this share of its own width, a letter is no longer that of its face (by eye)."""

_WIDTHS = (1.0, 0.9, 0.8, NARROWEST)

_SMALL, _CAPITALS = set("aegsæœ"), set("BES")
"""Letters that have three strokes over each other in every roman face."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a face, as `shape_text` takes it.

    Attributes
    ----------
    face : Path, str or None
        Its file, or its name; the default face where there is none.
    weight : float or None
        For a face whose weight is variable.
    width : float
        Share of the face's own width.
    """

    face: Path | str | None = None
    weight: float | None = None
    width: float = 1.0


def cuts_of(
    face: str | Path | None, mode: str, *, weight: float | None = None, narrowest: float = NARROWEST
) -> list[Cut]:
    """Return the cuts of a face from its own width to the narrowest allowed.

    Parameters
    ----------
    face : str or Path, optional
        A TTF or OTF file, or the name of a face that comes along; the default face if not given.
    mode : "raised" or "cut out"
        What the letters are to be.
    weight : float, optional
        Of the widest cut, where the weight is variable; then the narrower ones have it too.
    narrowest : float
        Share of its own width, 0.5 to 1, default 0.7.

    Returns
    -------
    list of Cut
        At least one; widths fall.

    Examples
    --------
    >>> [(cut.face.stem, cut.width) for cut in cuts_of(None, "cut out")]
    [('AlegreyaSans-Bold', 1.0), ('AlegreyaSans-Bold', 0.9), ('AlegreyaSans-Regular', 0.8)]
    >>> len(cuts_of(None, "raised", narrowest=1))
    1
    """
    named = NAMED_FACES.get("sans" if face is None else str(face))
    if named is not None:
        files = named.raised if mode == "raised" else named.cut_out
        several = len({file for file, _ in files}) > 1
        found = [
            Cut(
                shipped_file((named.package, file)) if several else named.name,
                own if weight is None else weight,
                width,
            )
            for (file, own), width in zip(files, _WIDTHS, strict=False)
        ]
    else:
        assert face is not None
        own, heaviest = (weight, weight) if weight is not None else weights_of(face)
        heavier = [own, *_between(own, heaviest)] if mode == "raised" else [own] * 3
        found = [Cut(Path(face), w, width) for w, width in zip(heavier, _WIDTHS, strict=False)]
    return [cut for cut in found if cut.width >= narrowest - 1e-9] or found[:1]


def lowest_raised(
    text: str, cut: Cut, strap: float, smallest: float, *, small_capitals: bool = False
) -> float:
    """Return a height (mm) below which no raised letters of a text can hold; many need more.

    A letter of three strokes over each other, such as e or S, takes three straps and two openings, and may
    outgrow its height by no more than strokes may be widened by above and below.

    Examples
    --------
    >>> small, capitals = (lowest_raised(text, Cut(), 1.2, 0.5) for text in ("Rose", "ROSE"))
    >>> bool(small > 1.2 * capitals)
    True
    """
    face = open_face(cut.face, weight=cut.weight)
    letters = set(unicodedata.normalize("NFD", text))
    stacked = 3 * strap + 4 * smallest
    low = {c.lower() for c in _CAPITALS} if small_capitals else _SMALL
    small = stacked / (face.x_height / face.cap + 2 * GROWTH) if letters & low else 0.0
    return max(small, stacked / (1 + 2 * GROWTH) if letters & _CAPITALS else 0.0)


def _between(own: float | None, heaviest: float | None) -> list[float | None]:
    """Return the weights of the three narrower cuts, the last two the heaviest there is."""
    if own is None or heaviest is None:
        return [own] * 3
    return [(own + heaviest) / 2, heaviest, heaviest]
