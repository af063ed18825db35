"""Faces: the letters a font file holds, as outlines one em high and what is measured of them.

Any TrueType or OpenType file can be named by its path. Three come in packages of their own, under the SIL
Open Font License 1.1, and have a plain name by what they are like: the default, Alegreya Sans, is ``sans``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import Any

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon

from canivet.crossings import TooIntricate
from canivet.errors import BadValue, MissingLibrary, Unreadable
from canivet.sources import read_source

from ._outlines import ChordPen, as_multi, fill_contours

__all__ = [
    "DEFAULT_FACE",
    "FLATNESS",
    "NAMED_FACES",
    "Face",
    "NamedFace",
    "load_engine",
    "open_face",
    "open_regular",
    "shipped_file",
    "weights_of",
]

DEFAULT_FACE = ("fontpkg_alegreya_sans", "files/AlegreyaSans-Bold.ttf")
"""Package and file of the default face. Bold: at the heights a bookplate needs its strokes are as wide as a
strap, and its counters still open."""

REGULAR_FACE = (DEFAULT_FACE[0], "files/AlegreyaSans-Regular.ttf")
"""The same in its regular weight, for words that are printed and not cut."""

FLATNESS = 0.0004
"""Cap heights between a chord and its curve: 0.005 mm on a 12 mm letter, half of what an oval has."""


@dataclass(frozen=True, slots=True)
class NamedFace:
    """A face that comes in a package, under a plain name.

    Attributes
    ----------
    name, like : str
        What it is called in a design, and what it is like.
    package : str
        Where its files are.
    raised, cut_out : tuple of (str, float or None)
        File and weight of its cuts, the widest first: letters of paper grow heavier as they grow narrower,
        and letters that are openings lighter.
    bolder : float
        Cap heights that its strokes are drawn bolder by on every side, where the face is a light one.
    """

    name: str
    like: str
    package: str
    raised: tuple[tuple[str, float | None], ...]
    cut_out: tuple[tuple[str, float | None], ...]
    bolder: float = 0.0


def _at_weights(file: str, *weights: float) -> tuple[tuple[str, float | None], ...]:
    return tuple((file, weight) for weight in weights)


def _sans(*weights: str) -> tuple[tuple[str, float | None], ...]:
    return tuple((f"files/AlegreyaSans-{weight}.ttf", None) for weight in weights)


_MARCELLUS = "files/Marcellus-Regular.ttf"

NAMED_FACES = {
    face.name: face
    for face in (
        NamedFace(
            "sans", "plain and sturdy; Latin, Greek and Cyrillic, with small capitals", DEFAULT_FACE[0],
            _sans("Bold", "ExtraBold", "Black", "Black"), _sans("Bold", "Bold", "Regular"),
        ),
        NamedFace(
            "roman", "flared capitals as cut in stone, and small letters to them; Latin",
            "fontpkg_marcellus", 3 * ((_MARCELLUS, None),), 3 * ((_MARCELLUS, None),), bolder=0.027,
        ),
        NamedFace(
            "book", "an old-style book face with serifs; Latin, Greek and Cyrillic, with small capitals",
            "fontpkg_vollkorn",
            _at_weights("files/Vollkorn[wght].ttf", 700, 800, 900, 900),
            _at_weights("files/Vollkorn[wght].ttf", 600, 600, 500),
        ),
    )
}  # fmt: skip
"""By their names. Weights are such that thin strokes need little thickening at the heights of a bookplate."""

MOST_BYTES = 60_000_000
"""The largest faces for Chinese are about 30 MB."""


@dataclass(frozen=True, eq=False)
class Face:
    """A face that is open for shaping. Heights in font units, y up from the baseline.

    Attributes
    ----------
    name : str
        What to call it in a message.
    font : object
        The shaping engine's font.
    cap, x_height, ascent, descent : float
        Height of H (or of the tallest letter, for scripts without capitals), of x, and the face's own reach
        above and below the baseline; `descent` is below zero.
    bolder : float
        Cap heights that strokes are drawn bolder by on every side, the height of capitals staying as it is.
    """

    name: str
    font: Any
    cap: float
    x_height: float
    ascent: float
    descent: float
    bolder: float = 0.0
    _drawn: dict[int, MultiPolygon] = field(default_factory=dict)

    @property
    def has_small_capitals(self) -> bool:
        """Whether it has a form of its own for a small letter that is to be a capital."""
        return self._shaped("h", smcp=True) != self._shaped("h", smcp=False)

    def _shaped(self, text: str, **features: bool) -> list[int]:
        engine = load_engine()
        buffer = engine.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        engine.shape(self.font, buffer, features)
        return [info.codepoint for info in buffer.glyph_infos]

    def draw(self, glyph: int) -> MultiPolygon:
        """Return one glyph's area, the cap height being 1.

        Raises
        ------
        Unreadable
            If its outline is broken, or more intricate than any letter is.
        """
        if glyph not in self._drawn:
            pen = ChordPen(FLATNESS * self.cap)
            try:
                self.font.draw_glyph_with_pen(glyph, pen)
                if pen.overfull:
                    raise TooIntricate("it has too many points")
                area = fill_contours(pen.rings)
            except (TooIntricate, shapely.errors.GEOSException, ValueError, IndexError) as error:
                raise Unreadable(
                    f"the face {self.name!r} has a broken letter (its glyph {glyph}: {error}). Take another "
                    "face.",
                    parameter="face", value=self.name,
                ) from None  # fmt: skip
            drawn = affinity.scale(area, 1 / self.cap, 1 / self.cap, origin=(0, 0))
            self._drawn[glyph] = _bolder(drawn, self.bolder)
        return self._drawn[glyph]


def open_face(path: str | Path | None = None, *, weight: float | None = None) -> Face:
    """Open a font file for shaping.

    Parameters
    ----------
    path : str or Path, optional
        A TTF or OTF file, or the name of a face that comes along; the default face if not given.
    weight : float, optional
        1 to 1000, for a face whose weight is variable; its own default if not given.

    Returns
    -------
    Face

    Raises
    ------
    Unreadable
        If the file is missing or holds no letters.
    BadValue
        If a weight is asked for and the face has only one, or it is out of the face's range.
    MissingLibrary
        If the shaping engine or the default face is not installed.

    Examples
    --------
    >>> face = open_face()
    >>> face.name, round(face.x_height / face.cap, 1)
    ('AlegreyaSans-Bold', 0.7)
    """
    named, bolder = NAMED_FACES.get(str(path)), 0.0
    if named is not None:
        own, usual = named.raised[0]
        file, weight = shipped_file((named.package, own)), usual if weight is None else weight
        bolder = named.bolder
    else:
        file = shipped_file(DEFAULT_FACE) if path is None else Path(path)
    try:
        stamp = file.stat().st_mtime_ns
    except (OSError, ValueError):
        stamp = 0  # reading it says why
    return _open(file, weight, bolder, stamp)


def open_regular() -> Face:
    """Open the default face in its regular weight.

    Raises
    ------
    MissingLibrary
        As `open_face`.

    Examples
    --------
    >>> open_regular().name
    'AlegreyaSans-Regular'
    """
    return open_face(shipped_file(REGULAR_FACE))


def load_engine() -> Any:
    """Return the shaping engine, which only lettering needs."""
    try:
        return import_module("uharfbuzz")
    except ImportError:
        raise MissingLibrary(
            "lettering needs the package uharfbuzz, which is not installed. "
            "Install it: pip install uharfbuzz",
            parameter="uharfbuzz",
        ) from None


def weights_of(path: str | Path) -> tuple[float | None, float | None]:
    """Return a face's own weight and the heaviest it has, both None where its weight is not variable.

    Examples
    --------
    >>> weights_of(shipped_file(DEFAULT_FACE))
    (None, None)
    """
    opened = open_face(path).font.face
    axis = next((a for a in opened.axis_infos if a.tag == "wght"), None) if opened.has_var_data else None
    return (None, None) if axis is None else (float(axis.default_value), float(axis.max_value))


def shipped_file(face: tuple[str, str]) -> Path:
    """Return a file of a face that comes in a package of its own.

    Raises
    ------
    MissingLibrary
        If the package is not installed.
    """
    package, file = face
    try:
        home = import_module(package).__file__
    except ImportError:
        home = None
    if home is None:
        raise MissingLibrary(
            f"a face is not installed. Install it: pip install {package.replace('_', '-')}, "
            "or name a TTF or OTF file as face.",
            parameter="face",
        )
    return Path(home).parent / file


@lru_cache(maxsize=16)
def _open(file: Path, weight: float | None, bolder: float, _stamp: int) -> Face:
    engine = load_engine()
    raw = read_source(file, most=MOST_BYTES, kind="a face", wanted="a TTF or OTF file")
    try:
        face = engine.Face(engine.Blob(raw))
        if face.glyph_count < 2 or face.upem <= 0 or not face.unicodes:
            raise _unreadable(file)
        font = engine.Font(face)
    except (RuntimeError, ValueError, MemoryError):
        raise _unreadable(file) from None
    if weight is not None:
        _set_weight(face, font, weight, file)
    extents = font.get_font_extents("ltr")
    cap = _height_of(font, "HXאאבقক한中") or 0.7 * face.upem
    return Face(
        name=file.stem, font=font, cap=cap, x_height=_height_of(font, "xz") or 0.7 * cap,
        ascent=float(extents.ascender), descent=float(extents.descender), bolder=bolder,
    )  # fmt: skip


def _bolder(area: MultiPolygon, by: float) -> MultiPolygon:
    """Return a letter with bolder strokes, its feet and the height of capitals where they were."""
    if by <= 0 or area.is_empty:
        return area
    grown = affinity.translate(area.buffer(by, join_style="mitre", mitre_limit=2), 0, by)
    share = 1 / (1 + 2 * by)
    return as_multi(affinity.scale(grown, share, share, origin=(0, 0)))


def _set_weight(face: Any, font: Any, weight: float, file: Path) -> None:
    axes = {axis.tag: axis for axis in face.axis_infos} if face.has_var_data else {}
    axis = axes.get("wght")
    if axis is None:
        raise BadValue(
            f"weight is {weight:g}; {file.stem} has one weight only. Leave weight out, or take another file.",
            parameter="weight", value=weight, accepted="nothing, for this face",
        )  # fmt: skip
    if not axis.min_value <= weight <= axis.max_value:
        accepted = f"{axis.min_value:g} to {axis.max_value:g}"
        raise BadValue(
            f"weight is {weight:g}; {file.stem} takes {accepted}.",
            parameter="weight", value=weight, accepted=accepted,
        )  # fmt: skip
    font.set_variations({"wght": float(weight)})


def _height_of(font: Any, letters: str) -> float | None:
    """Return how tall the first of these letters is that the face has."""
    for letter in letters:
        glyph = font.get_nominal_glyph(ord(letter))
        if glyph:
            extents = font.get_glyph_extents(glyph)
            if extents is not None and extents.y_bearing > 0:
                return float(extents.y_bearing)
    return None


def _unreadable(file: Path) -> Unreadable:
    return Unreadable(
        f"face is {str(file)!r}; it cannot be read as a font. Give a TTF or OTF file.",
        parameter="face", value=str(file), accepted="a TTF or OTF file",
    )  # fmt: skip
