"""Reading an SVG: what is painted dark is paper, and light paint on top of it takes paper away.

A drawing that canivet wrote is read back from its one path, exactly and with the standard library alone. Any other
goes through cairosvg's drawing, recorded as geometry. The file is looked over first, since one that refers to
itself, nests without end or leads elsewhere must cost nothing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import TYPE_CHECKING, NoReturn
from xml.etree.ElementTree import Element
from xml.parsers import expat

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from canivet.errors import CanivetError, MissingLibrary, Unreadable

from .flatten import TooIntricate, fill_rings, lay_paint
from .silhouette import Reading

if TYPE_CHECKING:
    from .recorder import Coat, Record

__all__ = ["MM_PER_PX", "parse_svg", "read_paper_path", "read_svg"]

MM_PER_PX = 25.4 / 96
"""1 in = 96 px (CSS Values and Units / SVG 2)."""

MOST_ELEMENTS = 100_000
DEEPEST = 100
"""Elements within elements; drawing programs stay under thirty."""

MOST_REFERENCES = 20_000
"""Elements as drawn, each ``use`` counted with all it brings."""

_SVG = "{http://www.w3.org/2000/svg}"
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")
_PX_PER_UNIT = {
    "": 1.0, "px": 1.0, "pt": 96 / 72, "pc": 16.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "em": 16.0, "ex": 8.0,
}  # fmt: skip
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z]*)\s*\Z")
_NEVER_DRAWN = {
    "defs", "symbol", "clipPath", "mask", "marker", "pattern", "linearGradient", "radialGradient", "filter", "style",
}  # fmt: skip


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
    Curves become chords within 6·10⁻⁶ of the drawing's longer side. A lighter shape over a darker one takes paper
    away; paint so faint that neither black nor white would change under it counts for nothing, with a warning.

    References
    ----------
    Natural size: 1 in = 96 px (CSS Values and Units / SVG 2).

    Examples
    --------
    >>> ring = b'<svg xmlns="http://www.w3.org/2000/svg" width="96" height="96"><rect width="96" height="96"/><rect \
x="24" y="24" width="48" height="48" fill="white"/></svg>'
    >>> reading = read_svg(ring, name="ring.svg")
    >>> round(reading.area.area * reading.mm_per_unit[0] ** 2 / 25.4**2, 6)  # a square inch less a quarter
    0.75
    """
    root = parse_svg(source, name=name)
    width, height = _document_size(root, name)
    _check_references(root, name)
    record = _record(source, width, height, name)
    if not record.coats:
        raise Unreadable(f"{name} draws nothing. Fill with black what is to stay as paper.", parameter=name)
    try:
        dark = lay_paint(_dark_and_light(record, 0.5 if threshold is None else threshold), grid=1 / 64)
    except TooIntricate as error:
        raise _too_intricate(name, error) from None
    if dark.is_empty:
        raise Unreadable(
            f"{name} holds nothing dark: all its paint is light or faint. Fill with black what is to stay as paper.",
            parameter=name,
        )
    unit = max(width, height) / 16384 * MM_PER_PX
    return Reading(shapely.transform(dark, lambda p: p * (1, -1)), (unit, unit), tuple(record.warnings))


def _record(source: bytes, width: float, height: float, name: str) -> Record:
    try:
        from .recorder import record_drawing
    except OSError:
        raise MissingLibrary(
            "The system library libcairo is not installed, and drawings that canivet did not write cannot be read "
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
        raise _too_deep(name) from None
    except Exception as error:  # cairosvg answers a malformed document with whatever its parsing stumbles on
        if isinstance(error, CanivetError):
            raise
        said = " ".join(str(error).split())[:80] or type(error).__name__
        raise Unreadable(
            f"{name} cannot be drawn ({said}). Open it in a drawing program, turn everything into plain paths, and "
            "save it as plain SVG.",
            parameter=name,
        ) from None


def _too_intricate(name: str, error: TooIntricate) -> Unreadable:
    return Unreadable(
        f"{name} is too intricate: {error}. Simplify it in a drawing program, or read it as a bitmap.", parameter=name
    )


def _too_deep(name: str) -> Unreadable:
    return Unreadable(
        f"{name} nests elements more than {DEEPEST} deep. Ungroup it in a drawing program and save it again.",
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
            record.warn("Paint too faint to hide what lies under it is left out. Make it opaque to have it counted.")
        elif 0.1 < coat.light < 0.9:
            record.warn(
                "Greys and colours are read as dark or light by their darkness. Fill with black what is to stay."
            )
    return sorted_out


def _over(coat: Coat, ground: float) -> float:
    return coat.alpha * coat.light + (1 - coat.alpha) * ground


def parse_svg(source: bytes, *, name: str) -> Element:
    """Parse an SVG with nothing resolved: no entities, no external files, no endless nesting.

    Raises
    ------
    Unreadable
        If it is not well formed, declares entities, nests deeper than a hundred elements, holds more than a hundred
        thousand, or its root is not ``svg``.

    Examples
    --------
    >>> parse_svg(b'<svg width="3"/>', name="small.svg").get("width")
    '3'
    """
    builder = _Builder(name)
    try:
        builder.parser.Parse(source, True)
    except expat.ExpatError as error:
        raise Unreadable(
            f"{name} is not well-formed XML: {expat.ErrorString(error.code)} at line {error.lineno}. "
            "Save it again as plain SVG.",
            parameter=name,
        ) from None
    except (ValueError, LookupError) as error:
        raise Unreadable(
            f"{name} is in a character encoding that is not read ({error}). Save it as UTF-8.", parameter=name
        ) from None
    assert builder.root is not None  # expat reports a document with no element
    if builder.root.tag not in ("svg", f"{_SVG}svg"):
        space, _, kind = builder.root.tag.rpartition("}")
        where = f" in the namespace {space[1:60]!r}" if kind == "svg" else ""
        raise Unreadable(
            f"{name} is XML, but its root element is <{kind[:40]}>{where} where SVG's own <svg> is expected. "
            "Export it as SVG.",
            parameter=name,
        )
    return builder.root


class _Builder:
    """Builds the tree as expat goes along, so that a bad file is left at its first bad line."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.root: Element | None = None
        self._open: list[Element] = []
        self._count = 0
        self.parser = expat.ParserCreate(namespace_separator="}")
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text
        self.parser.EntityDeclHandler = self._entity

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        self._count += 1
        if len(self._open) >= DEEPEST:
            raise _too_deep(self.name)
        if self._count > MOST_ELEMENTS:
            raise Unreadable(
                f"{self.name} has more than {MOST_ELEMENTS} elements. Simplify it in a drawing program.",
                parameter=self.name,
            )
        element = Element(_braced(tag), {_braced(key): value for key, value in attributes.items()})
        if self._open:
            self._open[-1].append(element)
        else:
            self.root = element
        self._open.append(element)

    def _end(self, _: str) -> None:
        self._open.pop()

    def _text(self, text: str) -> None:
        """Keep the text of style sheets, the one kind that can lead elsewhere."""
        if self._open and _local(self._open[-1]) == "style":
            self._open[-1].text = (self._open[-1].text or "") + text

    def _entity(self, *_: object) -> NoReturn:
        raise Unreadable(
            f"{self.name} declares XML entities, which are not read since they can be made to grow without end. "
            "Save it as plain SVG.",
            parameter=self.name,
        )


def _braced(name: str) -> str:
    return "{" + name if "}" in name else name


def _document_size(root: Element, name: str) -> tuple[float, float]:
    """Return width and height in CSS pixels; one that is missing follows the viewBox."""
    box = _view_box(root)
    width, height = (_pixels(root.get(key)) for key in ("width", "height"))
    if box is not None and width is None:
        width = box[2] if height is None else height * box[2] / box[3] if box[3] else None
    if box is not None and height is None:
        height = width * box[3] / box[2] if width is not None and box[2] else None
    if not width or not height or not 1e-6 < min(width, height) <= max(width, height) < 1e7:
        raise Unreadable(
            f"{name} states no size that can be used: width is {root.get('width')}, height is {root.get('height')}, "
            f"viewBox is {root.get('viewBox')}. Give it a width and a height, or a viewBox, above zero.",
            parameter=name,
        )
    return width, height


def _pixels(text: str | None) -> float | None:
    """Read a length; a percentage, ``auto`` or nothing is the viewBox's to decide."""
    match = _LENGTH.match(text or "")
    if match is None or match[2] not in _PX_PER_UNIT:
        return None
    return float(match[1]) * _PX_PER_UNIT[match[2]]


def _view_box(root: Element) -> tuple[float, ...] | None:
    try:
        box = tuple(float(part) for part in root.get("viewBox", "").replace(",", " ").split())
    except ValueError:
        return None
    return box if len(box) == 4 and all(map(math.isfinite, box)) else None


def _check_references(root: Element, name: str) -> None:
    """Count what would be drawn, each ``use`` with all it brings, before anything is."""
    ids = {}
    for element in root.iter():
        ids.setdefault(element.get("id", ""), element)
        if "@import" in (element.text or "").lower():
            raise Unreadable(
                f"{name} imports a style sheet from another file; only a drawing complete in itself is read. Copy the "
                "rules into the drawing.",
                parameter=name,
            )
    totals: dict[Element, int] = {}
    within: set[Element] = set()

    def count(element: Element, depth: int) -> int:
        if element in totals:
            return totals[element]
        if element in within or depth > 2 * DEEPEST:
            raise Unreadable(
                f"{name} refers to itself: an element is drawn within its own copy, or copies are nested more than "
                f"{2 * DEEPEST} deep. Turn the copies into plain paths.",
                parameter=name,
            )
        within.add(element)
        total = 1 + sum(count(c, depth + 1) for c in element if _local(c) not in _NEVER_DRAWN)
        total += sum(count(target, depth + 1) for target in _targets(element, ids, name))
        within.discard(element)
        totals[element] = total
        return total

    total = count(root, 0)
    if total > MOST_REFERENCES:
        raise Unreadable(
            f"{name} would draw {total if total < 1e9 else 'more than 10^9'} elements; at most {MOST_REFERENCES} are "
            "read. Simplify it in a drawing program.",
            parameter=name,
        )


def _local(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _targets(element: Element, ids: dict[str, Element], name: str) -> list[Element]:
    found = []
    if _local(element) == "use":
        href = next((element.get(key, "") for key in _HREFS if element.get(key)), "").strip()
        if href and not href.startswith("#"):
            raise Unreadable(
                f"{name} refers to another file, {href[:80]!r}; only a drawing complete in itself is read. Copy what "
                "it refers to into the drawing.",
                parameter=name,
            )
        found.append(href[1:])
    clip = re.search(r"url\(\s*['\"]?#([^'\")]+)", element.get("clip-path", ""))
    if clip:
        found.append(clip[1])
    return [ids[key] for key in found if key in ids]


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
        In mm, y up, the lower left of the viewBox at the origin. None if the file is not such a drawing: no such path, a
        transform on or above it, a size other than its viewBox in mm, or path data other than M, L, H, V and Z.

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
    box, path = _view_box(root), _untransformed_paper(root)
    if path is None or box is None or not _is_millimetres(root, box) or path.get("fill-rule") != "evenodd":
        return None
    rings = _straight_rings(path.get("d", ""))
    if rings is None:
        return None
    upright = [np.round((ring - box[:2]) * (1, -1) + (0, box[3]), 9) for ring in rings]
    try:
        paper = fill_rings(upright, "evenodd", grid=1e-6)
    except TooIntricate as error:
        raise _too_intricate(name, error) from None
    if paper.is_empty:
        return None
    return paper.geoms[0] if len(paper.geoms) == 1 else paper


def _untransformed_paper(element: Element) -> Element | None:
    if element.get("transform") or element.get("style", "").find("transform") >= 0:
        return None
    if element.get("id") == "paper" and _local(element) == "path":
        return element
    groups = (child for child in element if _local(child) in ("g", "path"))
    return next((found for child in groups if (found := _untransformed_paper(child)) is not None), None)


def _is_millimetres(root: Element, box: tuple[float, ...]) -> bool:
    sides = [_LENGTH.match(root.get(key, "")) for key in ("width", "height")]
    return all(
        side is not None and side[2] == "mm" and math.isclose(float(side[1]), length, abs_tol=1e-3)
        for side, length in zip(sides, box[2:], strict=True)
    )


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
    for step in _STEP.finditer(data):
        if step.start() != place:
            return None
        place = step.end()
        letter, numbers = step[1], [float(n) for n in step[2].replace(",", " ").split()]
        if letter in "ML" and (len(numbers) % 2 or not numbers) or letter in "HV" and not numbers:
            return None
        if letter == "M":
            rings.append([])
        if letter == "Z":
            if numbers:
                return None
        elif not rings or not all(map(math.isfinite, numbers)):
            return None
        else:
            _APPEND["L" if letter == "M" else letter](rings[-1], numbers)
    return [np.array(ring) for ring in rings] if rings and place == len(data) else None
