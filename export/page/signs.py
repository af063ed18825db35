"""What a page says of itself: which face is cut, which way round it is, and which tone is cut away."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.sheets import Sheet
from canivet.stock import Faces

from .marks import BODY, CAP, LEADING, Block, Mark, Point, Word, text_block
from .tones import Ink
from .words import width_of, wrap_evenly

__all__ = [
    "face_sign",
    "face_words",
    "head_block",
    "head_height",
    "says_what_to_do",
    "tone_block",
]

_SHEET = (7.0, 9.0)
_EAR = 2.4
_BETWEEN = 5.4
"""mm between the two sheets of the sign, for an arrow."""
_F = ((0, 0), (0.86, 0), (0.86, 0.21), (0.27, 0.21), (0.27, 0.42), (0.7, 0.42), (0.7, 0.62), (0.27, 0.62),
      (0.27, 1), (0, 1))  # fmt: skip
_F_BOX = (1.7, 1.3, 3.7, 4.6)  # left, top, width, height of the letter on its sheet

_SAID = {
    Faces.DARK_ONE_FACE: "Printed on the white face, which is the back. Cut on this side.",
    Faces.PLAIN: "Printed on the back, so that the front stays clean. Cut on this side.",
    Faces.DARK_BOTH_FACES: (
        "As seen from the front. Fix this page over the dark sheet at the crosses and cut through both."
    ),
}
_TRACKING = 0.07


@lru_cache(maxsize=64)  # plates of a series have the same
def head_block(faces: Faces, width: float, height: float, *, told: bool = True) -> Block:
    """A band that says in capitals which way round the page is, what to do, and the sign for it.

    The band tells the three kinds of stock apart from afar: black for paper dark on one face, white in a
    heavy frame for plain paper, striped for the template that goes over paper dark on both. It is not its
    own mirror image, whatever it says: it stands on the left and its right end is cut aslant.

    Parameters
    ----------
    faces : Faces
        Of the stock.
    width, height : float
        Room across, and the height of the band. What to do is left out where there is no room for it.
    told : bool
        Whether it says what to do at all. Default True.
    """
    band = _band(faces, height)
    sign = face_sign(faces).scaled(height / _SHEET[1])
    block = band.beside(sign.moved(width - sign.width, 0.0))
    room = width - band.width - sign.width - 2 * BODY
    lines = wrap_evenly(_SAID[faces], BODY, max(room, 1.0))
    if not told or room < 30 or LEADING * (len(lines) - 1) + CAP * BODY > height + 2.0:
        return Block(width, height, block.words, block.marks)
    words = text_block(lines, room)
    said = words.moved(band.width + BODY, (height - words.height) / 2)
    return Block(width, height, block.words + said.words, block.marks)


def head_height(sheet: Sheet) -> float:
    """Return the height of the band in mm: a part of the sheet's, to be seen as well on every size."""
    return min(16.0, max(6.0, sheet.height / 28))


def says_what_to_do(head: Block) -> bool:
    """Whether there was room in a head for what to do."""
    return len(head.words) > 1


def _band(faces: Faces, height: float) -> Block:
    size, slant = 0.44 * height / CAP, 0.5 * height
    text = "MIRROR IMAGE" if faces.mirrored else "TEMPLATE"
    wide = width_of(text, size, bold=True, tracking=_TRACKING)
    stripes = 0.0 if faces.mirrored else 1.7 * height
    pad = 0.42 * height
    width = wide + 2 * pad + 2 * stripes + slant
    frame = ((0.0, 0.0), (width, 0.0), (width - slant, height), (0.0, height), (0.0, 0.0))
    tone = "white" if faces is Faces.DARK_ONE_FACE else "ink"
    word = Word(text, stripes + pad, (height + CAP * size) / 2, size, True, tone, _TRACKING)
    marks: tuple[Mark, ...]
    if faces is Faces.DARK_ONE_FACE:
        marks = (Mark("head", (frame,), stroke=None, fill="ink"),)
    elif faces is Faces.PLAIN:
        heavy = 0.09 * height
        inner = tuple(Polygon(frame).buffer(-heavy / 2, join_style="mitre").exterior.coords)
        marks = (Mark("head", (inner,), fill="white", width=heavy),)
    else:
        plate = shapely.box(stripes, 0.15 * height, stripes + wide + 2 * pad, 0.85 * height)
        marks = (
            Mark("head", tuple(_stripes(Polygon(frame) - plate, height)), stroke=None, fill="ink"),
            Mark("head", (frame,), width=0.03 * height),
        )
    return Block(width, height, (word,), marks)


def _stripes(area: Polygon, height: float) -> Iterable[tuple[Point, ...]]:
    """Stripes aslant over an area, each of its parts by itself."""
    step, lean = 0.34 * height, 0.5 * height
    for x in np.arange(0.0, area.bounds[2] + lean, step):
        stripe = Polygon([(x, 0), (x + 0.62 * step, 0), (x + 0.62 * step - lean, height), (x - lean, height)])
        for part in shapely.get_parts(stripe.intersection(area)):
            if part.geom_type == "Polygon" and part.area > 0.01:
                yield tuple(part.exterior.coords)


@lru_cache(maxsize=64)  # plates of a series have the same
def face_words(faces: Faces, width: float) -> Block:
    """What to do, in words alone, where the head has no room for them."""
    return text_block(wrap_evenly(_SAID[faces], BODY, width), width)


def face_sign(faces: Faces) -> Block:
    """A sheet with a turned-up corner and a letter F on it, as the page shows it and as the piece will look.

    Notes
    -----
    An F is no mirror image of itself. The sheet that is printed bears it reversed and shows in its turned
    corner what the other face is like; an arrow leads to that face, where it is the right way round. A
    template is a white sheet over a dark one.
    """
    width, height = _SHEET
    if faces is Faces.DARK_BOTH_FACES:
        dark = _leaf(face_dark=True, back_dark=True, reversed_f=False, blank=True)
        over = Block(width, height, marks=_leaf(face_dark=False, back_dark=False, reversed_f=False))
        step = 1.8
        below = Block(width, height, marks=dark).moved(step, 0.0)
        small = below.beside(over.moved(0.0, step)).scaled(height / (height + step))
        return Block((width + step) * height / (height + step), height, marks=small.marks)
    front = faces is Faces.DARK_ONE_FACE
    printed = _leaf(face_dark=False, back_dark=front, reversed_f=True)
    finished = Block(width, height, marks=_leaf(face_dark=front, back_dark=False, reversed_f=False))
    middle = height / 2
    arrow = (
        Mark("face-sign", (((width + 1.1, middle), (width + _BETWEEN - 1.6, middle)),), width=0.3),
        Mark("face-sign", _head(width + _BETWEEN - 1.0, middle), stroke=None, fill="ink"),
    )
    marks = printed + arrow + finished.moved(width + _BETWEEN, 0.0).marks
    return Block(2 * width + _BETWEEN, height, marks=marks)


def _leaf(*, face_dark: bool, back_dark: bool, reversed_f: bool, blank: bool = False) -> tuple[Mark, ...]:
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
    sheet = (
        Mark("face-sign", (outline,), fill="ink" if face_dark else "white", width=0.25),
        Mark("face-sign", (corner,), stroke="white" if back_dark and face_dark else "ink",
             fill="ink" if back_dark else "white", width=0.25),
    )  # fmt: skip
    if blank:
        return sheet
    return *sheet, Mark("face-sign", ((*letter, letter[0]),), None, "white" if face_dark else "ink")


def _head(x: float, y: float) -> tuple[tuple[Point, ...], ...]:
    return (((x, y), (x - 1.4, y - 0.75), (x - 1.4, y + 0.75), (x, y)),)


_TONES_SAID: dict[Ink, tuple[tuple[str, str], ...]] = {
    "solid": (("ink", "black stays"), ("white", "white is cut away")),
    "tint": (("faint", "grey stays"), ("white", "white is cut away")),
    "lines": (("white", "what a line inside the outline holds is cut away"),),
}
_SWATCH = (4.2, CAP * BODY)


@lru_cache(maxsize=64)  # plates of a series have the same
def tone_block(*inks: Ink, width: float) -> Block:
    """Which tone stays and which is cut away, each with a sample; one under the other where it is narrow."""
    told = dict.fromkeys(pair for ink in inks for pair in _TONES_SAID[ink])
    x, row = 0.0, 0
    words: list[Word] = []
    marks: list[Mark] = []
    wide, high = _SWATCH
    for tone, text in sorted(told, key=lambda pair: pair[0] == "white"):
        lines = wrap_evenly(text, BODY, width - wide - 1.4)
        long = wide + 1.4 + max(width_of(line, BODY) for line in lines)
        if x and x + long > width:
            x, row = 0.0, row + 1
        y = row * LEADING
        box = tuple((x + a * wide, y + b * high) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1), (0, 0)))
        marks.append(Mark("tones", (box,), fill=tone, width=0.18))
        words += [Word(line, x + wide + 1.4, y + high + LEADING * k) for k, line in enumerate(lines)]
        x, row = x + long + 4.0, row + len(lines) - 1
    return Block(width, row * LEADING + high, tuple(words), tuple(marks))
