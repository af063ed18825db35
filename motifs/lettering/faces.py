"""Faces: the letters a font file holds, as outlines one em high and what is measured of them.

Any TrueType or OpenType file can be named by its path. The default is Alegreya Sans, a low-contrast
humanist face with Latin, Greek and Cyrillic letters (SIL Open Font License 1.1), from a package of its own.
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

from ._outlines import ChordPen, fill_contours

__all__ = [
    "DEFAULT_FACE",
    "FLATNESS",
    "Face",
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
    """

    name: str
    font: Any
    cap: float
    x_height: float
    ascent: float
    descent: float
    _drawn: dict[int, MultiPolygon] = field(default_factory=dict)

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
            self._drawn[glyph] = affinity.scale(area, 1 / self.cap, 1 / self.cap, origin=(0, 0))
        return self._drawn[glyph]


def open_face(path: str | Path | None = None, *, weight: float | None = None) -> Face:
    """Open a font file for shaping.

    Parameters
    ----------
    path : str or Path, optional
        A TTF or OTF file; the default face if not given.
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
    file = shipped_file(DEFAULT_FACE) if path is None else Path(path)
    try:
        stamp = file.stat().st_mtime_ns
    except (OSError, ValueError):
        stamp = 0  # reading it says why
    return _open(file, weight, stamp)


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
            "the default face is not installed. Install it: pip install fontpkg-alegreya-sans, "
            "or name a TTF or OTF file as face.",
            parameter="face",
        )
    return Path(home).parent / file


@lru_cache(maxsize=16)
def _open(file: Path, weight: float | None, _stamp: int) -> Face:
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
        ascent=float(extents.ascender), descent=float(extents.descender),
    )  # fmt: skip


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
