"""What stands beside the piece on its page: the scale check and the sign for the face it is cut from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from canivet.stock import Faces

from .words import wrap_evenly

__all__ = [
    "BODY",
    "LEADING",
    "TITLE",
    "TITLE_LEADING",
    "Block",
    "Mark",
    "Word",
    "face_block",
    "face_sign",
    "face_words",
    "scale_block",
    "text_block",
]

Point = tuple[float, float]

BODY = 2.7
"""Type size in mm. Its x-height, about 0.52 of it in a usual sans-serif, is 1.4 mm: the least that reads
easily at 40 cm (Legge & Bigelow, J. Vision 2011)."""
LEADING = 3.5
TITLE = 4.4
TITLE_LEADING = 5.4

CAP = 0.72
"""Height of a capital over the type size, in most sans-serif faces."""

SCALE_WIDTH = 50.8
_TICK = 1.5
_SHEET = (7.0, 9.0)
_EAR = 2.4
_F = ((0, 0), (0.86, 0), (0.86, 0.21), (0.27, 0.21), (0.27, 0.42), (0.7, 0.42), (0.7, 0.62), (0.27, 0.62),
      (0.27, 1), (0, 1))  # fmt: skip
_F_BOX = (1.7, 1.3, 3.7, 4.6)  # left, top, width, height of the letter on its sheet


@dataclass(frozen=True, slots=True)
class Word:
    """A line of type: its baseline's left end in mm, y down, and its size."""

    text: str
    x: float
    y: float
    size: float = BODY


@dataclass(frozen=True, slots=True)
class Mark:
    """Lines or filled shapes of one group; `fill` and `stroke` are ``ink``, ``white``, ``faint`` or None."""

    group: str
    lines: tuple[tuple[Point, ...], ...]
    stroke: str | None = "ink"
    fill: str | None = None
    width: float = 0.2


@dataclass(frozen=True, slots=True)
class Block:
    """Words and marks that are placed together, from their own top left corner, y down."""

    width: float
    height: float
    words: tuple[Word, ...] = ()
    marks: tuple[Mark, ...] = ()

    def moved(self, dx: float, dy: float) -> Block:
        """Return the same block elsewhere on the page."""
        words = tuple(replace(word, x=word.x + dx, y=word.y + dy) for word in self.words)
        marks = tuple(replace(mark, lines=_moved(mark.lines, dx, dy)) for mark in self.marks)
        return replace(self, words=words, marks=marks)


def text_block(
    lines: Iterable[str], width: float, *, size: float = BODY, leading: float = LEADING, top: float = 0.0
) -> Block:
    """Lines of type one under the other, the capitals of the first reaching up to `top`."""
    first = top + CAP * size
    words = tuple(Word(line, 0.0, first + leading * row, size) for row, line in enumerate(lines))
    return Block(width, words[-1].y if words else 0.0, words)


def scale_block() -> Block:
    """A line of 50 mm and one of 2 in, to be measured on the print with a ruler.

    Notes
    -----
    The inch is 25.4 mm. Both lines start from one edge, so that the 0.8 mm between them is seen at a glance.

    Examples
    --------
    >>> [mark.lines[0][-1][0] - mark.lines[0][0][0] for mark in scale_block().marks]
    [50.0, 50.8]
    """
    top = CAP * BODY + 1.1
    metric = top + _TICK
    inch = metric + 0.9
    label = inch + _TICK + 1.1 + CAP * BODY
    words = (
        Word("measure this: 50 mm", 0.0, CAP * BODY),
        Word("and this: 2 in (print at 100 %)", 0.0, label),
    )
    marks = (
        Mark("scale-50-mm", _ruler(50.0, 10.0, metric, -_TICK)),
        Mark("scale-2-in", _ruler(50.8, 12.7, inch, _TICK)),
    )
    return Block(SCALE_WIDTH, label, words, marks)


def face_block(faces: Faces, width: float) -> Block:
    """The sign for the face that is cut, with what to do in words beside it."""
    sign = face_sign(faces)
    room = width - sign.width - 3.0
    lines = wrap_evenly(_FACE_WORDS[faces], BODY, room)
    words = text_block(lines, room)
    height = max(sign.height, words.height)
    beside = words.moved(sign.width + 3.0, max(0.0, (sign.height - words.height) / 2))
    sign = sign.moved(0.0, max(0.0, (height - sign.height) / 2))
    return Block(width, height, beside.words, sign.marks)


def face_words(faces: Faces, width: float) -> Block:
    """What the sign says, in words of its own width."""
    return text_block(wrap_evenly(_FACE_WORDS[faces], BODY, width), width)


_FACE_WORDS = {
    Faces.DARK_ONE_FACE: "Mirror image: print and cut on the white face; the dark face is the front.",
    Faces.DARK_BOTH_FACES: (
        "Drawn as seen from the front. Fix this page over the dark sheet and cut through both; "
        "either face will do."
    ),
    Faces.PLAIN: "Drawn as seen from the front: print and cut on that face.",
}


def face_sign(faces: Faces) -> Block:
    """A sheet with a turned-up corner and a letter F on it, as the page shows it and as the piece will look.

    Notes
    -----
    An F is no mirror image of itself. For stock that is dark on one face the white sheet bears it reversed
    and shows dark in its turned corner; an arrow leads to the dark sheet, where it is the right way round.
    """
    width, height = _SHEET
    if faces is not Faces.DARK_ONE_FACE:
        dark = faces is Faces.DARK_BOTH_FACES
        return Block(width, height, marks=_leaf(face_dark=dark, back_dark=dark, reversed_f=False))
    gap = 5.4
    printed = _leaf(face_dark=False, back_dark=True, reversed_f=True)
    finished = Block(width, height, marks=_leaf(face_dark=True, back_dark=False, reversed_f=False))
    middle = height / 2
    arrow = (
        Mark("face-sign", (((width + 1.1, middle), (width + gap - 1.6, middle)),)),
        Mark("face-sign", _head(width + gap - 1.0, middle), stroke=None, fill="ink"),
    )
    return Block(2 * width + gap, height, marks=printed + arrow + finished.moved(width + gap, 0.0).marks)


def _leaf(*, face_dark: bool, back_dark: bool, reversed_f: bool) -> tuple[Mark, ...]:
    """One sheet of the sign; its lower corner is turned towards the reader and shows the back."""
    (width, height), ear = _SHEET, _EAR
    outline = (
        (0.0, 0.0),
        (width, 0.0),
        (width, height - ear),
        (width - ear, height),
        (0.0, height),
        (0.0, 0.0),
    )
    fold = (width, height - ear), (width - ear, height)
    corner = (*fold, (width - ear, height - ear), fold[0])
    left, top, wide, high = _F_BOX
    letter = tuple((left + wide * (0.86 - x if reversed_f else x), top + high * y) for x, y in _F)
    return (
        Mark("face-sign", (outline,), fill="ink" if face_dark else "white"),
        Mark("face-sign", (corner,), stroke="white" if back_dark and face_dark else "ink",
             fill="ink" if back_dark else "white"),
        Mark("face-sign", ((*letter, letter[0]),), stroke=None, fill="white" if face_dark else "ink"),
    )  # fmt: skip


def _head(x: float, y: float) -> tuple[tuple[Point, ...], ...]:
    return (((x, y), (x - 1.4, y - 0.75), (x - 1.4, y + 0.75), (x, y)),)


def _ruler(length: float, step: float, y: float, tick: float) -> tuple[tuple[Point, ...], ...]:
    """A base line with a long tick at each end and shorter ones at each step."""
    count = round(length / step)
    inner = [index * step for index in range(1, count)]
    ticks = [((x, y), (x, y + 0.6 * tick)) for x in inner]
    ends = [((x, y), (x, y + tick)) for x in (0.0, length)]
    return (((0.0, y), (length, y)), *ends, *ticks)


def _moved(lines: Iterable[tuple[Point, ...]], dx: float, dy: float) -> tuple[tuple[Point, ...], ...]:
    return tuple(tuple((x + dx, y + dy) for x, y in line) for line in lines)
