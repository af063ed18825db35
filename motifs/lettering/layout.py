"""Where lettering stands: on a line, on an arc, or round an oval."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString

from canivet.audit.boundary import Floats
from canivet.errors import BadValue, DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.shapes.lines import distances_along, points_at

from .text import BETWEEN_LETTERS, Letter, Letters, places_by_eye, shape_text

__all__ = [
    "LINE_SPACING",
    "MeasuredLine",
    "Side",
    "letter_on_arc",
    "letter_on_line",
    "letter_round_oval",
    "line_spacing",
    "measure_line",
]

Side = Literal["top", "foot"]

LINE_SPACING = (1.9, 1.5, 1.3)
"""Letter heights from baseline to baseline: with accents on capitals, with small letters, capitals alone
(ISO 3098, type B: 1.9/1.5/1.3 h)."""

_STEP = 0.1
"""mm along a curved baseline between two points of it."""


def line_spacing(text: str, size: float) -> float:
    """Return the distance from one baseline to the next that a text needs, mm.

    References
    ----------
    ISO 3098, type B.

    Examples
    --------
    >>> [round(line_spacing(text, 10), 3) for text in ("ÅSA", "Asa", "ASA")]
    [19.0, 15.0, 13.0]
    """
    accents, small, capitals = LINE_SPACING
    marked = any(
        c != c.lower() and len(unicodedata.normalize("NFD", c)) > 1
        for c in unicodedata.normalize("NFC", text)
    )
    if marked:
        return accents * size
    return (small if text != text.upper() else capitals) * size


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredLine:
    """A line of letters 1 mm high, from which its reach at any height is measured.

    Attributes
    ----------
    letters : Letters
        As they were shaped, 1 mm high.
    white : float
        Mean white between neighbours, in letter heights.
    hulls : tuple of (n, 2) float array
        Corners of each letter's convex hull, spaces left out.
    """

    letters: Letters
    white: float
    hulls: tuple[Floats, ...]

    def reach(self, gap: float) -> Floats:
        """Return points whose hull the letters take, no two nearer than `gap`; in letter heights.

        The middle of the baseline lies at the origin.

        Examples
        --------
        >>> from canivet.motifs.lettering.text import space_by_eye
        >>> drawn = space_by_eye(shape_text("Ada", size=9), gap=1)
        >>> measured = 9 * measure_line("Ada").reach(1 / 9)
        >>> bool(np.isclose(np.ptp(measured[:, 0]), drawn.area.bounds[2] - drawn.area.bounds[0]))
        True
        """
        places, end = places_by_eye(self.letters, gap=gap, white=self.white)
        points = [hull + np.array([place, 0.0]) for hull, place in zip(self.hulls, places, strict=True)]
        return np.concatenate(points) - (end / 2, 0.0)


def measure_line(text: str, *, width: float = 1.0, **setting: Any) -> MeasuredLine:
    """Shape a line once, to measure it at any height; settings as for `shape_text`."""
    letters = shape_text(text, size=1.0, width=width, **setting)
    hulls = [shapely.get_coordinates(one.shape.convex_hull) for one in letters.each if not one.blank]
    return MeasuredLine(letters, BETWEEN_LETTERS * width, tuple(hulls))


def letter_on_line(
    letters: Letters, *, middle: tuple[float, float] = (0.0, 0.0), turn_deg: float = 0.0
) -> Letters:
    """A line of letters, the middle of its baseline at a given place.

    Parameters
    ----------
    letters : Letters
        One line.
    middle : (float, float)
        mm.
    turn_deg : float
        How far the line rises, -180 to 180 degrees, default 0.

    Returns
    -------
    Letters

    Examples
    --------
    >>> from canivet.motifs.lettering.text import shape_text, space_by_eye
    >>> line = letter_on_line(space_by_eye(shape_text("II", size=10)), middle=(50, 20))
    >>> x0, y0, x1, _ = line.area.bounds
    >>> round((x0 + x1) / 2, 2), round(y0)
    (50.0, 20)
    """
    turn = math.radians(turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    half = letters.advance / 2
    matrix = [cos, -sin, sin, cos, middle[0] - half * cos, middle[1] - half * sin]

    def put(letter: Letter) -> Letter:
        x, y = letter.at
        at = (cos * x - sin * y + matrix[4], sin * x + cos * y + matrix[5])
        return replace(letter, at=at, turn=letter.turn + turn)

    moved = [affinity.affine_transform(line, matrix) for line in (*letters.baselines, *letters.guides)]
    count = len(letters.baselines)
    return replace(
        letters, each=tuple(put(one) for one in letters.each),
        baselines=tuple(moved[:count]), guides=tuple(moved[count:]),
    )  # fmt: skip


def letter_on_arc(
    letters: Letters,
    *,
    centre: tuple[float, float] = (0.0, 0.0),
    radius: float,
    side: Side = "top",
) -> Letters:
    """Letters standing on a circle, read from left to right over its top or along its foot.

    Parameters
    ----------
    letters : Letters
        One line.
    centre : (float, float)
        Of the circle, mm.
    radius : float
        Of the baseline, mm, above 0.
    side : "top" or "foot"
        Over the top with the feet towards the centre, or along the foot with the heads towards it.

    Returns
    -------
    Letters

    Raises
    ------
    DoesNotFit
        If the line is longer than three quarters of the circle, or letters along the foot of it would run
        into each other at the centre.

    Examples
    --------
    >>> from canivet.motifs.lettering.text import shape_text, space_by_eye
    >>> arched = letter_on_arc(space_by_eye(shape_text("OO", size=8)), radius=40)
    >>> round(arched.area.centroid.x, 1), arched.each[0].turn > 0 > arched.each[1].turn
    (0.0, True)
    """
    return letter_round_oval(letters, centre=centre, width=2 * radius, height=2 * radius, side=side)


def letter_round_oval(
    letters: Letters,
    *,
    centre: tuple[float, float] = (0.0, 0.0),
    width: float,
    height: float,
    side: Side = "top",
) -> Letters:
    """Letters standing round an ellipse, the middle of the line at its top or at its foot.

    Parameters
    ----------
    letters : Letters
        One line.
    centre : (float, float)
        Of the ellipse, mm.
    width, height : float
        Of the ellipse that the feet stand on, mm, above 0.
    side : "top" or "foot"
        Over the top with the feet towards the centre, or along the foot with the heads towards it.

    Returns
    -------
    Letters

    Raises
    ------
    DoesNotFit
        If the line is longer than three quarters of the way round, or the curve is too tight for it.

    Notes
    -----
    Each letter stands upright on the tangent under its middle. The way from letter to letter is measured
    half-way up a small letter, where the eye judges the white between them.

    Examples
    --------
    >>> from canivet.motifs.lettering.text import shape_text, space_by_eye
    >>> name = letter_round_oval(space_by_eye(shape_text("Ex libris", size=6)), width=70, height=100)
    >>> abs(name.area.bounds[0] + name.area.bounds[2]) < 1.5
    True
    """
    for name, value in (("width", width), ("height", height)):
        if not (math.isfinite(value) and value > 0):
            raise BadValue(
                f"{name} is {value:g} mm; an oval takes a {name} above 0 mm.", parameter=name, value=value
            )
    way, feet = _oval_ways(width / 2, height / 2, letters.x_height / 2, letters.size, side, letters.text)
    stations = distances_along(way)
    if letters.advance > 0.75 * stations[-1]:
        raise DoesNotFit(
            f"{letters.text!r} is {format_mm(letters.advance, 1)} mm long; three quarters of the way round "
            f"the curve are {format_mm(0.75 * float(stations[-1]), 1)} mm. "
            "Lower the letter height or take a wider curve.",
            parameter="size", value=letters.size,
        )  # fmt: skip
    start = (stations[-1] - letters.advance) / 2
    each = []
    for letter in letters.each:
        half = letter.advance / 2 if letter.blank else sum(letter.shape.bounds[0::2]) / 2
        s = start + letter.at[0] + half
        foot = points_at(feet, s, run=stations)
        before, after = points_at(way, np.array([s - 0.05, s + 0.05]), run=stations)
        ahead = after - before
        turn = math.atan2(ahead[1], ahead[0])
        at = foot - half * np.array([math.cos(turn), math.sin(turn)])
        each.append(replace(letter, at=(float(at[0] + centre[0]), float(at[1] + centre[1])), turn=turn))
    ends = np.interp([start, start + letters.advance], stations, np.arange(len(stations)))
    under = feet[int(ends[0]) : int(ends[1]) + 2] + centre
    return replace(
        letters, each=tuple(each), baselines=(LineString(under),), guides=(LineString(feet + centre),)
    )


def _oval_ways(
    a: float, b: float, middle: float, size: float, side: Side, text: str
) -> tuple[Floats, Floats]:
    """Return the curve through the middles of small letters and the one under their feet, point by point.

    Both start opposite the middle of the line and run the way it is read.
    """
    if side not in ("top", "foot"):
        raise BadValue(
            f"side is {side!r}; it takes top or foot.", parameter="side", value=side, accepted="top, foot"
        )
    count = max(360, math.ceil(2 * math.pi * max(a, b) / _STEP))
    t = np.linspace(0, 2 * np.pi, count + 1)
    sense = -1.0 if side == "top" else 1.0
    angle = (-np.pi / 2 if side == "top" else np.pi / 2) + sense * t
    feet = np.column_stack([a * np.cos(angle), b * np.sin(angle)])
    ahead = sense * np.column_stack([-a * np.sin(angle), b * np.cos(angle)])
    ahead /= np.hypot(*ahead.T)[:, None]
    left = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    tightest = min(a, b) ** 2 / max(a, b)
    room = size if side == "foot" else 0.4 * size
    if tightest < 1.5 * room:
        raise DoesNotFit(
            f"{text!r} is {format_mm(size, 2)} mm high; the curve is as tight as a circle of "
            f"{format_mm(tightest, 1)} mm radius, letters of that height need {format_mm(1.5 * room, 1)} mm. "
            "Lower the height or take a wider curve.",
            parameter="size", value=size,
        )  # fmt: skip
    return feet + middle * left, feet
