"""A line of words set in type: which glyph of which face stands where, and what no face has.

All pages use one face, the shipped one; it is the same on every machine, and nothing the machine has
installed is looked at. A further face may be named for what the shipped one lacks.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise
from typing import Any

from canivet.motifs.lettering.faces import Face, open_face, open_regular
from canivet.motifs.lettering.shaping import Run, has_character, runs_in_order, shape_run

__all__ = ["SetGlyph", "SetLine", "lacking_in_words", "outline_of", "set_line"]


_LEAST_SPACE = 0.22
"""Ems between words; the shipped face has 0.165, which is little before the narrow 1 (by eye)."""


@dataclass(frozen=True, slots=True)
class SetGlyph:
    """One glyph, where it stands from the line's start, in ems, y up, and the characters it stands for."""

    face: Face
    glyph: int
    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class SetLine:
    """Glyphs from left to right, the line's width in ems, and the characters that were left out."""

    glyphs: tuple[SetGlyph, ...]
    width: float
    lacking: tuple[str, ...] = ()


@lru_cache(maxsize=8192)
def set_line(text: str, *, bold: bool = False, face: str | None = None, tracking: float = 0.0) -> SetLine:
    """Set one line.

    Parameters
    ----------
    text : str
        Without line breaks; it is set in the order in which it is read aloud, and runs as its script does.
    bold : bool
        In the bold weight of the shipped face. Default False.
    face : str or None
        A TTF or OTF file for characters that the shipped face lacks. Default None.
    tracking : float
        Ems added after each letter. Default 0.

    Raises
    ------
    Unreadable
        If `face` cannot be read.

    Notes
    -----
    A character that no face has is left out and named in `lacking`; nothing stands for it.

    Examples
    --------
    >>> set_line("Heron 鷺").lacking
    ('鷺',)
    >>> set_line("AV").width < set_line("A").width + set_line("V").width  # kerned
    True
    """
    faces = (open_face() if bold else open_regular(), *((open_face(face),) if face else ()))
    glyphs: list[SetGlyph] = []
    lacking: dict[str, None] = {}
    pen = 0.0
    for run in runs_in_order(text):
        parts = _by_face(run, faces, lacking)
        for part, chosen in parts[::-1] if run.level % 2 else parts:
            pen = _set_run(part, chosen, glyphs, pen, tracking)
    return SetLine(tuple(glyphs), max(0.0, pen - tracking) if glyphs else 0.0, tuple(lacking))


def lacking_in_words(characters: tuple[str, ...]) -> str:
    """Name characters that were left out, the first few of them, by what can be set: their codes.

    Examples
    --------
    >>> lacking_in_words(("鷺",))
    'U+9DFA'
    """
    named = ", ".join(f"U+{ord(character):04X}" for character in characters[:4])
    more = len(characters) - 4
    return f"{named} and {more} more" if more > 0 else named


def _space(face: Face, glyph: int) -> float:
    """Return the room of a space in ems: its own, not kerned, and wide enough for small type with figures."""
    return max(
        _LEAST_SPACE, float(face.font.get_glyph_h_advance(glyph) / face.font.face.upem) if glyph else 0
    )


@lru_cache(maxsize=4096)
def outline_of(face: Face, glyph: int) -> tuple[tuple[Any, ...], ...]:
    """Return a glyph's outline as steps: M and L with x, y; C with x1, y1, x2, y2, x, y; Z alone.

    Coordinates are font units, y up; a quadratic curve is raised to the cubic that it is.
    """
    from fontTools.pens.basePen import BasePen

    class Outline(BasePen):  # type: ignore[misc]
        def __init__(self) -> None:
            super().__init__(None)
            self.steps: list[tuple[Any, ...]] = []

        def _moveTo(self, pt: Any) -> None:  # noqa: N802
            self.steps.append(("M", *pt))

        def _lineTo(self, pt: Any) -> None:  # noqa: N802
            self.steps.append(("L", *pt))

        def _curveToOne(self, pt1: Any, pt2: Any, pt3: Any) -> None:  # noqa: N802
            self.steps.append(("C", *pt1, *pt2, *pt3))

        def _closePath(self) -> None:  # noqa: N802
            self.steps.append(("Z",))

    pen = Outline()
    face.font.draw_glyph_with_pen(glyph, pen)
    return tuple(pen.steps)


def _by_face(run: Run, faces: tuple[Face, ...], lacking: dict[str, None]) -> list[tuple[Run, Face]]:
    """Split a run where another face has to help out, and take out what none has."""

    def of(character: str) -> Face | None:
        chosen = next((face for face in faces if has_character(face, character)), None)
        return chosen or (faces[0] if character.isspace() or character in "\u200c\u200d" else None)

    chosen = [of(character) for character in run.text]
    lacking |= {c: None for c, face in zip(run.text, chosen, strict=True) if face is None}
    parts = []
    for face, group in groupby(range(len(run.text)), key=lambda i: chosen[i]):
        places = list(group)
        if face is not None:
            text = run.text[places[0] : places[-1] + 1]
            parts.append((Run(run.first + places[0], text, run.script, run.level), face))
    return parts


def _set_run(run: Run, face: Face, glyphs: list[SetGlyph], pen: float, tracking: float) -> float:
    """Shape one run of one face from `pen` on, and return where the pen is left."""
    em = face.cap / face.font.face.upem
    shaped = shape_run(run, face, lining=True)
    starts = sorted({glyph.cluster - run.first for glyph in shaped})
    text_of = {first: run.text[first:end] for first, end in pairwise([*starts, len(run.text)])}
    for glyph in shaped:
        said = text_of.pop(glyph.cluster - run.first, "")
        if glyph.glyph or not said.isspace():
            glyphs.append(SetGlyph(face, glyph.glyph, pen + glyph.x * em, glyph.y * em, said))
        pen += (_space(face, glyph.glyph) if said.isspace() else glyph.advance * em) + tracking
    return pen
