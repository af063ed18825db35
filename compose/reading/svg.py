"""Reading an SVG: what is painted dark is paper, and light paint on top of it takes paper away.

A drawing that canivet wrote is read back from its one path, exactly and with the standard library alone. Any
other goes through cairosvg's drawing, recorded as geometry. The file is looked over first, since one that
refers to itself, nests without end or leads elsewhere must cost nothing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from canivet.crossings import TooIntricate
from canivet.errors import CanivetError, MissingLibrary, Unreadable

from ._flatten import fill_rings
from ._paint import lay_paint
from ._style_sheets import check_style_sheets
from ._svg_source import LENGTH, check_references, document_size, local_name, parse_svg, too_deep, view_box
from .found import Reading

if TYPE_CHECKING:
    from ._recorder import Coat, Record

__all__ = ["MM_PER_PX", "draws_more_than_paper", "face_shown", "read_paper_path", "read_svg"]

FACE = "data-face"
"""Says on the path of a page which face of the piece it shows; other programs keep and ignore it (SVG 2)."""

MM_PER_PX = 25.4 / 96
"""1 in = 96 px (CSS Values and Units / SVG 2)."""


def read_svg(source: bytes, *, name: str, threshold: float | None = None) -> Reading:
    """Read the dark regions of an SVG as paper, at the drawing's own size.

    Parameters
    ----------
    source : bytes
        The document; no more than the caller is ready to hold.
    name : str
        What to call it in an error.
    threshold : float, 0 to 1, default 0.5
        Paint darker than this (0 black, 1 white) is paper.

    Returns
    -------
    Reading
        y up, one unit to `mm_per_unit` mm, with what could not be seen faithfully in its warnings.

    Raises
    ------
    Unreadable
        If it is not an SVG, is malformed, leads to other files, is too intricate, or holds nothing dark.
    MissingLibrary
        If libcairo is not installed.

    Notes
    -----
    Curves become chords within 6·10⁻⁶ of the drawing's longer side. A lighter shape over a darker one takes
    paper away; paint so faint that neither black nor white would change under it counts for nothing, with a
    warning.

    References
    ----------
    Natural size: 1 in = 96 px (CSS Values and Units / SVG 2).

    Examples
    --------
    >>> ring = (
    ...     b'<svg width="96" height="96"><rect width="96" height="96"/>'
    ...     b'<rect x="24" y="24" width="48" height="48" fill="white"/></svg>'
    ... )
    >>> reading = read_svg(ring, name="ring.svg")
    >>> round(reading.area.area * reading.mm_per_unit[0] ** 2 / 25.4**2, 6)  # a square inch less a quarter
    0.75
    """
    root = parse_svg(source, name=name)
    width, height = document_size(root, name)
    check_references(root, name)
    check_style_sheets(root, name)
    record = _record(source, width, height, name)
    if not record.coats:
        raise Unreadable(f"{name} draws nothing. Fill with black what is to stay as paper.", parameter=name)
    try:
        dark = lay_paint(_dark_and_light(record, 0.5 if threshold is None else threshold), grid=1 / 64)
    except TooIntricate as error:
        raise _too_intricate(name, error) from None
    if dark.is_empty:
        raise Unreadable(
            f"{name} holds nothing dark: all its paint is light or faint. Fill with black what is to stay "
            f"as paper.",
            parameter=name,
        )
    unit = max(width, height) / 16384 * MM_PER_PX
    return Reading(shapely.transform(dark, lambda p: p * (1, -1)), (unit, unit), tuple(record.warnings))


def _record(source: bytes, width: float, height: float, name: str) -> Record:
    try:
        from ._svg_surface import record_drawing
    except OSError:
        raise MissingLibrary(
            "The system library libcairo is not installed, and drawings that canivet did not write cannot "
            "be read "
            "without it. Install it: apt-get install libcairo2 (Debian, Ubuntu), dnf install cairo (Fedora), "
            "brew install cairo (macOS). Writing SVG works without it.",
            parameter="libcairo",
        ) from None
    try:
        return record_drawing(source, width=width, height=height)
    except TooIntricate as error:
        raise _too_intricate(name, error) from None
    except Unreadable as error:
        raise Unreadable(f"{name} cannot be read: {error.message}.", parameter=name) from None
    except RecursionError:
        raise too_deep(name) from None
    except Exception as error:  # cairosvg answers a malformed document with whatever its parsing stumbles on
        if isinstance(error, CanivetError):
            raise
        said = " ".join(str(error).split())[:80] or type(error).__name__
        raise Unreadable(
            f"{name} cannot be drawn ({said}). Open it in a drawing program, turn everything into plain "
            f"paths, and "
            "save it as plain SVG.",
            parameter=name,
        ) from None


def _too_intricate(name: str, error: TooIntricate) -> Unreadable:
    return Unreadable(
        f"{name} is too intricate: {error}. Simplify it in a drawing program, or read it as a bitmap.",
        parameter=name,
    )


def _dark_and_light(record: Record, threshold: float) -> list[tuple[bool, MultiPolygon]]:
    """Sort coats into those that make paper whatever lies under them and those that take it away."""
    sorted_out: list[tuple[bool, MultiPolygon]] = []
    for coat in record.coats:
        on_white, on_black = _over(coat, 1.0), _over(coat, 0.0)
        if on_white < threshold or on_black >= threshold:
            sorted_out.append((on_white < threshold, coat.region))
        if on_black < threshold <= on_white and coat.alpha > 0.02:
            record.warn(
                "Paint too faint to hide what lies under it is left out. Make it opaque to have it counted."
            )
        elif 0.1 < coat.light < 0.9:
            record.warn(
                "Greys and colours are read as dark or light by their darkness. Fill with black what is to "
                "stay."
            )
    return sorted_out


def _over(coat: Coat, ground: float) -> float:
    return coat.alpha * coat.light + (1 - coat.alpha) * ground


def read_paper_path(source: bytes, *, name: str = "drawing") -> Polygon | MultiPolygon | None:
    """Return the paper of a drawing that canivet wrote, from its path with the id ``paper``, or None.

    Parameters
    ----------
    source : bytes
        The document.
    name : str
        What to call it in an error.

    Returns
    -------
    Polygon, MultiPolygon or None
        In mm, y up, the lower left of the viewBox at the origin, as seen from the front: a page that says it
        shows the back is turned over. None if the file is not such a drawing: no
        such path, a transform on or above it, a size other than its viewBox in mm, or path data other than
        M, L, H, V and Z.

    Raises
    ------
    Unreadable
        If the file is no SVG at all.

    Examples
    --------
    >>> read_paper_path(b'<svg width="30mm" height="20mm" viewBox="0 0 30 20">'
    ...     b'<path id="paper" fill-rule="evenodd" d="M0 0 H30 V20 H0 Z M5 5 V15 H25 V5 Z"/></svg>').area
    400.0
    """
    root = parse_svg(source, name=name)
    box, path = view_box(root), _untransformed_paper(root)
    if path is None or box is None or not _is_millimetres(root, box) or path.get("fill-rule") != "evenodd":
        return None
    rings = _straight_rings(path.get("d", ""))
    if rings is None:
        return None
    turn, across = (-1, box[2]) if path.get(FACE) == "back" else (1, 0.0)
    upright = [np.round((ring - box[:2]) * (turn, -1) + (across, box[3]), 9) for ring in rings]
    try:
        paper = fill_rings(upright, "evenodd", grid=1e-6)
    except TooIntricate as error:
        raise _too_intricate(name, error) from None
    if paper.is_empty:
        return None
    return paper.geoms[0] if len(paper.geoms) == 1 else paper


def face_shown(source: bytes, *, name: str = "drawing") -> str | None:
    """Return which face a page that canivet drew shows, ``front`` or ``back``; None of any other drawing.

    Examples
    --------
    >>> face_shown(b'<svg><g transform="scale(-1 1)"><path id="paper" data-face="back"/></g></svg>')
    'back'
    """
    found = (element.get(FACE) for element in parse_svg(source, name=name).iter() if element.get(FACE))
    return next((face for face in found if face in ("front", "back")), None)


def _untransformed_paper(element: Element) -> Element | None:
    if element.get("transform") or element.get("style", "").find("transform") >= 0:
        return None
    if element.get("id") == "paper" and local_name(element) == "path":
        return element
    groups = (child for child in element if local_name(child) in ("g", "path"))
    return next((found for child in groups if (found := _untransformed_paper(child)) is not None), None)


def _is_millimetres(root: Element, box: tuple[float, ...]) -> bool:
    sides = [LENGTH.match(root.get(key, "")) for key in ("width", "height")]
    return all(
        side is not None and side[2] == "mm" and math.isclose(float(side[1]), length, abs_tol=1e-3)
        for side, length in zip(sides, box[2:], strict=True)
    )


def draws_more_than_paper(source: bytes, *, name: str = "drawing") -> bool:
    """Say whether shapes stand beside the path ``paper`` that canivet did not put there.

    Examples
    --------
    >>> draws_more_than_paper(b'<svg><path id="paper"/><g id="marks"><path/></g></svg>')
    False
    >>> draws_more_than_paper(b'<svg><path id="paper"/><circle r="3" fill="white"/></svg>')
    True
    """

    def strange(element: Element) -> bool:
        if element.get("id") in _OUR_IDS:
            return False
        return local_name(element) in _SHAPES or any(map(strange, element))

    return any(map(strange, parse_svg(source, name=name)))


_OUR_IDS = ("paper", "parts", "sheet", "around", "letters", "waste", "marks", "words")
_SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "use", "image")
_FARTHEST = 1e6
"""mm from the origin: past it a drawing is not one of ours."""

_STEP = re.compile(r"\s*([MLHVZ])((?:[\s,]*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)*)\s*")
_APPEND: dict[str, Callable[[list[tuple[float, float]], list[float]], None]] = {
    "L": lambda ring, numbers: ring.extend(zip(numbers[::2], numbers[1::2], strict=True)),
    "H": lambda ring, numbers: ring.extend((x, ring[-1][1]) for x in numbers),
    "V": lambda ring, numbers: ring.extend((ring[-1][0], y) for y in numbers),
}


def _straight_rings(data: str) -> list[NDArray[np.float64]] | None:
    """Read closed rings of absolute straight steps; None for anything else."""
    rings: list[list[tuple[float, float]]] = []
    place = 0
    while step := _STEP.match(data, place):
        place = step.end()
        letter, numbers = step[1], [float(n) for n in step[2].replace(",", " ").split()]
        if (letter in "ML" and (len(numbers) % 2 or not numbers)) or (letter in "HV" and not numbers):
            return None
        if letter == "M":
            rings.append([])
        if letter == "Z":
            if numbers:
                return None
        elif not rings or not all(abs(number) <= _FARTHEST for number in numbers):
            return None
        else:
            _APPEND["L" if letter == "M" else letter](rings[-1], numbers)
    return [np.array(ring) for ring in rings] if rings and place == len(data) else None
