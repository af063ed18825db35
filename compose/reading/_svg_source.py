"""The source of an SVG, looked over before anything is drawn.

A file that refers to itself, nests without end, declares entities or leads to other files is refused here,
in time that grows with its length alone and with nothing loaded but the standard library.
"""

from __future__ import annotations

import math
import re
from typing import NoReturn
from xml.etree.ElementTree import Element
from xml.parsers import expat

from canivet.errors import Unreadable

from ._path_data import count_steps

__all__ = [
    "DEEPEST",
    "LENGTH",
    "check_references",
    "document_size",
    "local_name",
    "parse_svg",
    "too_deep",
    "view_box",
]

MOST_ELEMENTS = 100_000
DEEPEST = 100
"""Elements within elements; drawing programs stay under thirty."""

MOST_REFERENCES = 10_000
"""Elements as drawn, each ``use`` counted with all it brings."""

_SVG = "{http://www.w3.org/2000/svg}"
_HREFS = ("href", "{http://www.w3.org/1999/xlink}href")
_PX_PER_UNIT = {
    "": 1.0, "px": 1.0, "pt": 96 / 72, "pc": 16.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "em": 16.0,
    "ex": 8.0,
}  # fmt: skip
LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z]*)\s*\Z")
_NEVER_DRAWN = {
    "defs", "symbol", "clipPath", "mask", "marker", "pattern", "linearGradient", "radialGradient",
    "filter", "style",
}  # fmt: skip


def parse_svg(source: bytes, *, name: str) -> Element:
    """Parse an SVG with nothing resolved: no entities, no external files, no endless nesting.

    Raises
    ------
    Unreadable
        If it is not well formed, declares entities, nests deeper than a hundred elements, holds more than a
        hundred thousand, or its root is not ``svg``.

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
            raise too_deep(self.name)
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
        if self._open and local_name(self._open[-1]) == "style":
            self._open[-1].text = (self._open[-1].text or "") + text

    def _entity(self, *_: object) -> NoReturn:
        raise Unreadable(
            f"{self.name} declares XML entities, which are not read since they can be made to grow without "
            f"end. "
            "Save it as plain SVG.",
            parameter=self.name,
        )


def _braced(name: str) -> str:
    return "{" + name if "}" in name else name


def document_size(root: Element, name: str) -> tuple[float, float]:
    """Return width and height in CSS pixels; one that is missing follows the viewBox."""
    box = view_box(root)
    width, height = (_pixels(root.get(key)) for key in ("width", "height"))
    if box is not None and width is None:
        width = box[2] if height is None else height * box[2] / box[3] if box[3] else None
    if box is not None and height is None:
        height = width * box[3] / box[2] if width is not None and box[2] else None
    if not width or not height or not 1e-6 < min(width, height) <= max(width, height) < 1e7:
        raise Unreadable(
            f"{name} states no size that can be used: width is {root.get('width')}, height is "
            f"{root.get('height')}, "
            f"viewBox is {root.get('viewBox')}. Give it a width and a height, or a viewBox, above zero.",
            parameter=name,
        )
    return width, height


def _pixels(text: str | None) -> float | None:
    """Read a length; a percentage, ``auto`` or nothing is the viewBox's to decide."""
    match = LENGTH.match(text or "")
    if match is None or match[2] not in _PX_PER_UNIT:
        return None
    return float(match[1]) * _PX_PER_UNIT[match[2]]


def view_box(root: Element) -> tuple[float, ...] | None:
    """Return the four numbers of the viewBox, or None where they are no four numbers."""
    try:
        box = tuple(float(part) for part in root.get("viewBox", "").replace(",", " ").split())
    except ValueError:
        return None
    return box if len(box) == 4 and all(map(math.isfinite, box)) else None


def check_references(root: Element, name: str) -> None:
    """Count what would be drawn, each ``use`` with all it brings, before anything is."""
    ids: dict[str, Element] = {}
    for element in root.iter():
        ids.setdefault(element.get("id", ""), element)
        if "@import" in (element.text or "").lower():
            raise Unreadable(
                f"{name} imports a style sheet from another file; only a drawing complete in itself is "
                f"read. Copy the "
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
                f"{name} refers to itself: an element is drawn within its own copy, or copies are nested "
                f"more than "
                f"{2 * DEEPEST} deep. Turn the copies into plain paths.",
                parameter=name,
            )
        within.add(element)
        total = 1 + sum(count(c, depth + 1) for c in element if local_name(c) not in _NEVER_DRAWN)
        total += sum(n * count(target, depth + 1) for target, n in _targets(element, ids, name))
        within.discard(element)
        totals[element] = total
        return total

    total = count(root, 0)
    if total > MOST_REFERENCES:
        raise Unreadable(
            f"{name} would draw {total if total < 1e9 else 'more than 10^9'} elements; at most "
            f"{MOST_REFERENCES} are "
            "read. Simplify it in a drawing program.",
            parameter=name,
        )


def local_name(element: Element) -> str:
    """Return the tag without its namespace."""
    return str(element.tag).rpartition("}")[2]


def _targets(element: Element, ids: dict[str, Element], name: str) -> list[tuple[Element, int]]:
    """Return what else is drawn with an element, and how often: copies, its clip path, its markers."""
    found = []
    if local_name(element) == "use":
        href = next((element.get(key, "") for key in _HREFS if element.get(key)), "").strip()
        if href and not href.startswith("#"):
            raise Unreadable(
                f"{name} refers to another file, {href[:80]!r}; only a drawing complete in itself is read. "
                f"Copy what "
                "it refers to into the drawing.",
                parameter=name,
            )
        found.append((href[1:], 1))
    found += _clips_and_markers(element)
    return [(ids[key], times) for key, times in found if key in ids]


_NAMED = re.compile(r"(clip-path|marker(?:-start|-mid|-end)?)\s*+:\s*+url\(\s*+['\"]?+#([^'\")]++)")


def _clips_and_markers(element: Element) -> list[tuple[str, int]]:
    """Return the clip path and the markers that an element names, and how often each would be drawn."""
    named = (f"{key}: {value}" for key, value in element.items() if key.startswith(("clip-path", "marker")))
    found = _NAMED.findall("; ".join([*named, element.get("style", "")]))
    found = [(where, key.strip()) for where, key in found]
    if all(where == "clip-path" for where, _ in found):
        return [(key, 1) for _, key in found]
    steps = count_steps(element.get("d") or "M" + element.get("points", ""))
    return [(key, max(2, steps) if where in ("marker", "marker-mid") else 1) for where, key in found]


def too_deep(name: str) -> Unreadable:
    """Return the error for a drawing nested past all use."""
    return Unreadable(
        f"{name} nests elements more than {DEEPEST} deep. Ungroup it in a drawing program and save it again.",
        parameter=name,
    )
