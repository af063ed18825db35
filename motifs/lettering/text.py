"""Lettering: a line of text as shapes, letter by letter, in any TrueType or OpenType face.

The height of letters is the height of their capitals. The foot of every letter stands on y = 0 of a frame of
its own, which is then put on a line, an arc or round an oval (`canivet.motifs.lettering.layout`) and made to
hold as raised letters (`letter_raised`) or as cut-out ones (`letter_cut`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon

from canivet.audit.boundary import Paper
from canivet.errors import BadValue
from canivet.lengths import format_mm

from ._outlines import as_multi
from ._spacing import NO_FORM, Form, beside, form_of
from .faces import Face, open_face
from .shaping import Direction, PlacedGlyph, require_drawn, require_text, shape_glyphs

__all__ = [
    "BETWEEN_LETTERS",
    "BETWEEN_WORDS",
    "HIGHEST",
    "Letter",
    "Letters",
    "places_by_eye",
    "shape_text",
    "space_by_eye",
]

BETWEEN_LETTERS = 0.2
"""Letter heights of white between upright-sided letters (ISO 3098, type B: 0.2 h)."""

BETWEEN_WORDS = 0.6
"""Letter heights of white between words (ISO 3098, type B: 0.6 h)."""

HIGHEST = 500.0
"""mm; a letter half a metre high is a slip of the keyboard."""

FAR = 4000.0
"""mm a straight guide runs on past the text: over the edge of any panel."""

_LETTERS = 4096
"""Letters that are kept as they were shaped, some kilobytes each: lines of one height share most."""


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """One letter with its marks, in a frame of its own, and where that frame stands. Lengths in mm.

    Attributes
    ----------
    text : str
        The characters it stands for; more than one where letters flow together or carry marks.
    shape : MultiPolygon
        Its area; the foot at y = 0, the pen's start at x = 0.
    advance : float
        How far the pen goes on.
    at : (float, float)
        Where the frame's origin stands.
    turn : float
        How far the frame is turned, in radians, anticlockwise.
    joined : bool
        Whether it touches its neighbours, as in Arabic; its place is then the face's to say.
    form : Form
        What it is spaced by, in letter heights.
    """

    text: str
    shape: MultiPolygon
    advance: float
    at: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0
    joined: bool = False
    form: Form = NO_FORM

    @property
    def area(self) -> MultiPolygon:
        """Return its area where it stands."""
        return self.put(self.shape)

    @property
    def blank(self) -> bool:
        """Whether it is a space."""
        return bool(self.shape.is_empty)

    def put(self, shape: MultiPolygon) -> MultiPolygon:
        """Take a shape from the letter's frame to where the letter stands."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return affinity.affine_transform(shape, [cos, -sin, sin, cos, *self.at])

    def bring(self, shape: Paper) -> Paper:
        """Take a shape from the piece to the letter's own frame."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        x, y = self.at
        back = [cos, sin, -sin, cos, -(cos * x + sin * y), sin * x - cos * y]
        brought: Paper = affinity.affine_transform(shape, back)
        return brought


@dataclass(frozen=True, slots=True, eq=False)
class Letters:
    """Letters in place, from left to right. Lengths in mm.

    Attributes
    ----------
    text : str
        What they say.
    size : float
        Height of a capital.
    x_height, ascent, descent : float
        Height of a small x; the face's reach above and below the baseline, `descent` below zero.
    each : tuple of Letter
        Spaces included.
    baselines : tuple of LineString
        What their feet stand on, one for each line of text.
    guides : tuple of LineString
        The same lines run on both ways, for rails to follow.
    face : str
        The face's name.
    """

    text: str
    size: float
    x_height: float
    ascent: float
    descent: float
    each: tuple[Letter, ...]
    baselines: tuple[LineString, ...]
    guides: tuple[LineString, ...]
    face: str

    @property
    def area(self) -> MultiPolygon:
        """Return the area of all of them."""
        return as_multi(shapely.union_all([letter.area for letter in self.each]))

    @property
    def advance(self) -> float:
        """Return the length of the baseline, of the longest one where there are several lines."""
        return max((float(line.length) for line in self.baselines), default=0.0)

    def scaled(self, by: float) -> Letters:
        """Return the same lettering larger or smaller, as seen from the origin."""

        def one(letter: Letter) -> Letter:
            shape = affinity.scale(letter.shape, by, by, origin=(0, 0))
            at = (letter.at[0] * by, letter.at[1] * by)
            return replace(letter, shape=shape, advance=letter.advance * by, at=at)

        lines = [affinity.scale(line, by, by, origin=(0, 0)) for line in (*self.baselines, *self.guides)]
        return replace(
            self, size=self.size * by, x_height=self.x_height * by, ascent=self.ascent * by,
            descent=self.descent * by, each=tuple(one(letter) for letter in self.each),
            baselines=tuple(lines[: len(self.baselines)]), guides=tuple(lines[len(self.baselines) :]),
        )  # fmt: skip

    def moved(self, dx: float, dy: float) -> Letters:
        """Return the same lettering elsewhere."""
        each = tuple(replace(one, at=(one.at[0] + dx, one.at[1] + dy)) for one in self.each)
        lines = tuple(affinity.translate(line, dx, dy) for line in self.baselines)
        guides = tuple(affinity.translate(line, dx, dy) for line in self.guides)
        return replace(self, each=each, baselines=lines, guides=guides)

    def turned(self) -> Letters:
        """Return the same lettering a quarter to the left about the origin: it reads from foot to head."""
        each = tuple(
            replace(one, at=(-one.at[1], one.at[0]), turn=one.turn + math.pi / 2) for one in self.each
        )
        lines = [affinity.rotate(line, 90, origin=(0, 0)) for line in (*self.baselines, *self.guides)]
        count = len(self.baselines)
        return replace(self, each=each, baselines=tuple(lines[:count]), guides=tuple(lines[count:]))


def shape_text(
    text: str,
    *,
    face: str | Path | None = None,
    size: float,
    spacing: float = 0.0,
    direction: Direction = "auto",
    weight: float | None = None,
    width: float = 1.0,
    small_capitals: bool = False,
) -> Letters:
    """A line of lettering, its baseline at y = 0 and its pen starting at x = 0.

    Parameters
    ----------
    text : str
        1 to 120 characters, any script the face has.
    face : str or Path, optional
        A TTF or OTF file, or one of `NAMED_FACES` by its name; the default face if not given.
    size : float
        Height of a capital, mm, above 0, at most 500.
    spacing : float
        mm added between letters, below zero to draw them together; default 0. Other than 0, letters that
        the face would run together (fi) stay apart. Joined scripts keep their joins.
    direction : "auto", "ltr" or "rtl"
        Which way the line runs; "auto" goes by its first letter.
    weight : float, optional
        1 to 1000, for a face whose weight is variable.
    width : float
        How wide letters are, as a share of the face's own, above 0, default 1.
    small_capitals : bool
        Whether small letters take the form of capitals, default false; then figures are as tall as capitals.

    Returns
    -------
    Letters

    Raises
    ------
    BadValue
        If the text cannot be set, the face lacks a character in it, or a length is out of range.
    Unreadable
        If the face cannot be read.

    Examples
    --------
    >>> letters = shape_text("Zoë", size=7)
    >>> [letter.text for letter in letters.each], round(letters.each[0].area.bounds[3], 1)
    (['Z', 'o', 'ë'], 7.0)
    """
    clean = require_text(text)
    require_size(size)
    if not (math.isfinite(spacing) and abs(spacing) <= 10 * size):
        raise BadValue(
            f"spacing is {spacing:g} mm; at a height of {format_mm(size)} mm it takes "
            f"-{format_mm(10 * size)} mm to {format_mm(10 * size)} mm.",
            parameter="spacing", value=spacing,
        )  # fmt: skip
    opened = open_face(face, weight=weight)
    if small_capitals and not opened.has_small_capitals:
        raise BadValue(
            f"letters are to be small capitals, and the face {opened.name} has none. Take the face sans or "
            "book, or capitals.",
            parameter="letters", value="small capitals", accepted="as written, capitals",
        )  # fmt: skip
    glyphs = shape_glyphs(
        clean, opened, direction=direction, ligatures=spacing == 0,
        lining=small_capitals or clean == clean.upper(), small_capitals=small_capitals,
    )  # fmt: skip
    each: list[Letter] = []
    pen = 0.0
    for letter in _gather(clean, glyphs, opened, size, width):
        each.append(replace(letter, at=(pen, 0.0)))
        pen += letter.advance + (0 if letter.joined else spacing)
    scale = size / opened.cap
    return Letters(
        text=clean, size=size, x_height=opened.x_height * scale, ascent=opened.ascent * scale,
        descent=opened.descent * scale, each=tuple(each), face=opened.name,
        baselines=(LineString([(0, 0), (max(pen, 1e-6), 0)]),), guides=(LineString([(-FAR, 0), (FAR, 0)]),),
    )  # fmt: skip


def space_by_eye(letters: Letters, *, gap: float = 0.0, white: float = BETWEEN_LETTERS) -> Letters:
    """The same line with equal white between neighbours, and no two nearer than `gap`.

    Parameters
    ----------
    letters : Letters
        One line, as `shape_text` returns it.
    gap : float
        Least distance between two letters, mm, 0 or more, default 0.
    white : float
        Mean width of the white between neighbours in letter heights, default 0.2 (ISO 3098, type B).

    Returns
    -------
    Letters

    Notes
    -----
    The white is measured at 60 levels to a capital, over the height both letters share; what lies more
    than 0.15 of the letter height behind a letter's outermost point does not count, since the eye does not
    see it as part of the gap. Words stand 0.6 of the letter height apart, measured in the same way.

    Examples
    --------
    >>> a, b = (letter.area for letter in space_by_eye(shape_text("HH", size=10)).each)
    >>> round(b.bounds[0] - a.bounds[2])
    2
    """
    places, end = places_by_eye(letters, gap=gap, white=white)
    following = iter(places)
    placed = [one if one.blank else replace(one, at=(next(following), 0.0)) for one in letters.each]
    line = LineString([(0, 0), (end, 0)])
    return replace(letters, each=_spaces_between(placed), baselines=(line,))


def places_by_eye(letters: Letters, *, gap: float, white: float) -> tuple[list[float], float]:
    """Return where `space_by_eye` puts the letters of a line but for spaces, and where the line ends; mm."""
    places: list[float] = []
    last: Letter | None = None
    words = 0
    end = 1e-6
    for letter in letters.each:
        if letter.blank:
            words += 1
            continue
        x0, _, x1, _ = letter.shape.bounds
        if last is None:
            place = -x0
        elif letter.joined and last.joined and not words:
            place = places[-1] + last.advance
        else:
            away = beside(last.form, letter.form, BETWEEN_WORDS if words else white, gap / letters.size)
            place = places[-1] + letters.size * away
        places.append(place)
        end = max(end, x1 + place)
        last, words = letter, 0
    return places, end


def require_size(size: float, *, parameter: str = "size") -> None:
    """Refuse a letter height that is out of range."""
    if not (math.isfinite(size) and 0 < size <= HIGHEST):
        raise BadValue(
            f"{parameter} is {size:g} mm; letters take a height above 0 mm and at most {HIGHEST:g} mm.",
            parameter=parameter, value=size, accepted=f"above 0 mm, at most {HIGHEST:g} mm",
        )  # fmt: skip


def _gather(text: str, glyphs: Sequence[PlacedGlyph], face: Face, size: float, wide: float) -> list[Letter]:
    """Put the glyphs of each cluster together: a letter and its marks move as one."""
    starts = sorted({glyph.cluster for glyph in glyphs})
    ends = dict(zip(starts, [*starts[1:], len(text)], strict=True))
    groups: list[list[PlacedGlyph]] = []
    for glyph in glyphs:
        if groups and groups[-1][-1].cluster == glyph.cluster:
            groups[-1].append(glyph)
        else:
            groups.append([glyph])
    letters = []
    pen = 0.0
    for group in groups:
        first = group[0].cluster
        named = text[first : ends[first]]
        drawn = tuple((g.glyph, g.x - pen, g.y) for g in group)
        shape, form = _shaped(face, drawn, named, size, wide)
        advance = sum(g.advance for g in group)
        letters.append(Letter(named, shape, advance * size * wide, joined=group[0].joined, form=form))
        pen += advance
    return letters


@lru_cache(maxsize=_LETTERS)
def _shaped(
    face: Face, drawn: tuple[tuple[int, float, float], ...], named: str, size: float, wide: float
) -> tuple[MultiPolygon, Form]:
    """Return a letter of these glyphs, each moved in the face's units, and what it is spaced by."""
    shapes = [affinity.translate(face.draw(glyph), x, y) for glyph, x, y in drawn]
    area = shapely.union_all(shapes) if len(shapes) > 1 else shapes[0]
    area = area if wide == 1 else affinity.scale(area, wide, 1, origin=(0, 0))
    require_drawn(area, named, face)
    return as_multi(affinity.scale(area, size, size, origin=(0, 0))), form_of(area.wkb)


def _spaces_between(placed: list[Letter]) -> tuple[Letter, ...]:
    """Stretch each space from the letter before it to the letter after it."""
    spread = list(placed)
    for i, one in enumerate(placed):
        if one.blank and 0 < i < len(placed) - 1:
            start = placed[i - 1].at[0] + placed[i - 1].advance
            spread[i] = replace(one, at=(start, 0.0))
    for i, (one, after) in enumerate(pairwise(spread)):
        spread[i] = replace(one, advance=after.at[0] - one.at[0])
    return tuple(spread)
