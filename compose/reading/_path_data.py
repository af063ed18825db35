"""Path data, read once and written again in its plainest form: absolute moves, lines, curves and closings.

So what draws it never meets a number run into another, a letter left out, an arc or a wrong step, and takes
time that grows with the length of the data alone.

References
----------
SVG 2, chapter 9, *Paths*, its grammar (9.3.9), drawing up to the first error (9.5.4), and arcs by their
centre (appendix B.2.4). An arc of an angle φ becomes the cubic whose legs are 4/3·tan(φ/4) radii long.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from itertools import islice

__all__ = ["MOST_STEPS", "count_steps", "plain_path", "plain_points"]

Step = tuple[str, Sequence[float]]
Point = tuple[float, float]

_WIDEST = math.pi / 4
"""An arc of 45° strays from its cubic by 4·10⁻⁶ radii, one of 90° by 2.7·10⁻⁴."""

# Possessive (``*+``): nothing that was read is given back, so that no data can be read in many ways.
_BLANK = r"[\s,]*+"
_NUMBER = r"([+-]?+(?:\d++(?:\.\d*+)?+|\.\d++)(?:[eE][+-]?+\d++)?+)"
_FLAG = r"([01])"
_LETTER = re.compile(rf"{_BLANK}([MmLlHhVvCcSsQqTtAaZz])")
_PARTS = {
    "M": (_NUMBER,) * 2, "L": (_NUMBER,) * 2, "T": (_NUMBER,) * 2, "H": (_NUMBER,), "V": (_NUMBER,),
    "C": (_NUMBER,) * 6, "S": (_NUMBER,) * 4, "Q": (_NUMBER,) * 4,
    "A": (_NUMBER, _NUMBER, _NUMBER, _FLAG, _FLAG, _NUMBER, _NUMBER),
}  # fmt: skip
_GROUP = {letter: re.compile("".join(_BLANK + part for part in parts)) for letter, parts in _PARTS.items()}


MOST_STEPS = 100_000
"""Lines and curves of all paths as drawn, copies counted; the most intricate lace by hand has some twenty
thousand."""


def plain_path(data: str, *, arcs: bool = False) -> tuple[str, int]:
    """Return a path as absolute M, L, C and Z, one letter to a step, and how many steps it has.

    Parameters
    ----------
    data : str
        As the attribute ``d`` has it; what follows its first error is left out, and all past one step more
        than may be.
    arcs : bool
        Whether arcs stay arcs, A, instead of becoming curves of at most 45°.

    Examples
    --------
    >>> plain_path("m1,1h2v2zl.5.5-1e0 0 L9 x")
    ('M1.0 1.0L3.0 1.0L3.0 3.0ZL1.5 1.5L0.5 1.5', 6)
    >>> plain_path("M0 0a1 1 0 0110 10", arcs=True)
    ('M0.0 0.0A1.0 1.0 0.0 0 1 10.0 10.0', 2)
    """
    steps = islice(_absolute(_steps(data), arcs=arcs), MOST_STEPS + 1)
    written = [letter + " ".join(map(str, numbers)) for letter, numbers in steps]
    return "".join(written), len(written)


def count_steps(data: str) -> int:
    """Return how many steps path data has, at most one more than may be.

    Examples
    --------
    >>> count_steps("M0 0 9 9 9 0z")
    4
    """
    return sum(1 for _ in islice(_steps(data), MOST_STEPS + 1))


def plain_points(points: str, *, closed: bool) -> tuple[str, int]:
    """Return the points of a polygon or polyline as a path, and how many steps it has.

    Examples
    --------
    >>> plain_points("0,0 9,0 9-9 1", closed=True)
    ('M0.0 0.0L9.0 0.0L9.0 -9.0Z', 4)
    """
    path, steps = plain_path("M" + points) if not points.lstrip()[:1].isalpha() else ("", 0)
    return (path + "Z", steps + 1) if closed and path else (path, steps)


def _steps(data: str) -> Iterator[Step]:
    """Yield each step with its own letter, up to the first error."""
    place, letter = 0, ""
    while True:
        found = _LETTER.match(data, place)
        if found:
            letter, place = found[1], found.end()
            if letter in "Zz":
                yield letter, ()
                continue
        group = _GROUP[letter.upper()].match(data, place) if letter and letter not in "Zz" else None
        if group is None:
            return
        place = group.end()
        yield letter, [float(number) for number in group.groups()]
        letter = {"M": "L", "m": "l"}.get(letter, letter)


def _absolute(steps: Iterator[Step], *, arcs: bool) -> Iterator[Step]:
    """Yield the same steps from absolute points, every curve a cubic."""
    here = start = control = (0.0, 0.0)
    last = ""
    for given, numbers in steps:
        letter = given.upper()
        if not last and letter != "M":
            return  # path data begins with a move
        home = here if given.islower() else (0.0, 0.0)
        if letter == "Z":
            here = start
            yield "Z", ()
        elif letter in "HV":
            here = (home[0] + numbers[0], here[1]) if letter == "H" else (here[0], home[1] + numbers[0])
            yield "L", here
        elif letter == "A":
            end = (home[0] + numbers[5], home[1] + numbers[6])
            kept = "A", (*map(abs, numbers[:2]), numbers[2], *map(int, numbers[3:5]), *end)
            yield from [kept] if arcs else _arc(here, end, numbers)
            here = end
        else:
            points = [(home[0] + x, home[1] + y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
            mirrored = _mirrored(control, here) if last in _SMOOTH.get(letter, "") else here
            legs, control = _legs(letter, here, points, mirrored)
            here = points[-1]
            start = here if letter == "M" else start
            yield letter if letter in "ML" else "C", (*(c for leg in legs for c in leg), *here)
        last = letter


_SMOOTH = {"S": "CS", "T": "QT"}
"""After which letters a smooth curve goes on as the last one ended."""


def _mirrored(control: Point, here: Point) -> Point:
    return 2 * here[0] - control[0], 2 * here[1] - control[1]


def _legs(letter: str, here: Point, points: list[Point], mirrored: Point) -> tuple[list[Point], Point]:
    """Return the cubic's two inner points, none for a line, and what a smooth curve after it mirrors."""
    if letter in "ML":
        return [], points[-1]
    if letter in "CS":
        inner = points[:2] if letter == "C" else [mirrored, points[0]]
        return inner, inner[1]
    knee = points[0] if letter == "Q" else mirrored
    return [_between(end, knee, 2 / 3) for end in (here, points[-1])], knee


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _arc(start: Point, end: Point, numbers: Sequence[float]) -> Iterator[Step]:
    """Yield an elliptical arc as cubics of at most 45°.

    The ends are those given, to the last digit, and the legs are laid from them: so an arc of a radius far
    past the page, drawn for a line that is nearly straight, is as exact as any.
    """
    rx, ry, large, sweep = abs(numbers[0]), abs(numbers[1]), numbers[3] == 1, numbers[4] == 1
    if start == end:
        return
    if not rx or not ry or not all(map(math.isfinite, (*start, *end, *numbers))):
        yield "L", end
        return
    turn = math.radians(numbers[2])
    cos, sin = math.cos(turn), math.sin(turn)

    def to_circle(dx: float, dy: float) -> Point:
        return (cos * dx + sin * dy) / rx, (cos * dy - sin * dx) / ry

    def from_circle(u: float, v: float) -> Point:
        return cos * rx * u - sin * ry * v, sin * rx * u + cos * ry * v

    # On the unit circle the chord is (u, v) long; half of it is the sine of half the angle.
    u, v = to_circle(end[0] - start[0], end[1] - start[1])
    half = math.hypot(u, v) / 2
    if half >= 1:  # no such ellipse reaches: it grows until it does (B.2.5)
        rx, ry, u, v, half = rx * half, ry * half, u / half, v / half, 1.0
    angle = 2 * math.asin(half)
    angle = (2 * math.pi - angle if large else angle) * (1 if sweep else -1)
    along = math.atan2(v, u)
    first = along - angle / 2  # direction of travel where the arc begins
    count = max(1, math.ceil(abs(angle) / _WIDEST))
    step = angle / count
    leg = 4 / 3 * math.tan(abs(step) / 4)
    here = start
    for k in range(count):
        a, b = first + k * step, first + (k + 1) * step
        du, dv = _chord(a, step)
        off = from_circle(du, dv)
        there = end if k == count - 1 else (here[0] + off[0], here[1] + off[1])
        out, back = (from_circle(leg * math.cos(t), leg * math.sin(t)) for t in (a, b))
        yield "C", (here[0] + out[0], here[1] + out[1], there[0] - back[0], there[1] - back[1], *there)
        here = there


def _chord(direction: float, angle: float) -> Point:
    """Return the chord of an arc of the unit circle that sets out in a direction and turns by an angle."""
    length = 2 * math.sin(abs(angle) / 2)
    return length * math.cos(direction + angle / 2), length * math.sin(direction + angle / 2)
