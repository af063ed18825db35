"""The words of a page, lifted out of its drawing and set in the shipped face.

A page is drawn as SVG whose words are plain ``text`` elements. Before it leaves, they are lifted out: into
outlines for a drawing (`outline_words`), into text with an embedded font for a PDF (`lift_words`). So what is
printed is the same on every machine, whatever faces it has, and any page that is drawn is set alike.
"""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

from canivet.lengths import format_mm
from canivet.motifs.lettering.faces import Face

from .setting import SetLine, outline_of, set_line

__all__ = ["Line", "lift_words", "outline_words"]

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
_TEXT = f"{{{SVG}}}text"
_ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
_INHERITED = ("fill", "font-size", "font-weight", "text-anchor", "letter-spacing")

for _prefix, _name in (("", SVG), ("xlink", XLINK), ("ev", "http://www.w3.org/2001/xml-events")):
    ElementTree.register_namespace(_prefix, _name)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of words as it was set: its baseline's left end in mm, y down, and how it is turned, in degrees.

    `fill` is its colour, ``#rrggbb``; `size` the em in mm.
    """

    text: str
    x: float
    y: float
    size: float
    fill: str
    turn_deg: float
    set: SetLine

    @property
    def width(self) -> float:
        """Its length along the baseline, mm."""
        return self.set.width * self.size


def lift_words(svg: str, *, face: str | None = None) -> tuple[str, tuple[Line, ...]]:
    """Take the words out of a page.

    Parameters
    ----------
    svg : str
        A page whose user unit is the millimetre. A ``text`` element stands at its ``x`` and ``y``; its size,
        weight, colour, anchor and spacing are attributes of its own or of a group it is in; only itself may
        be turned, about any point. The letter spacing is in mm.
    face : str or None
        As for `set_line`.

    Returns
    -------
    (str, tuple of Line)
        The same page without ``text`` elements, and the lines that they held, in order.

    Examples
    --------
    >>> page = f'<svg xmlns="{SVG}"><g font-size="4"><text x="1" y="9">Wren</text></g></svg>'
    >>> bare, (line,) = lift_words(page)
    >>> "text" in bare, line.text, line.x, line.size
    (False, 'Wren', 1.0, 4.0)
    """
    if "<text" not in svg:
        return svg, ()
    root = ElementTree.fromstring(svg)
    lines = []
    for parent, element, style in list(_texts(root, {})):
        lines.append(_line(element, style, face))
        parent.remove(element)
    return ElementTree.tostring(root, encoding="unicode"), tuple(lines)


def outline_words(svg: str, *, face: str | None = None) -> str:
    """Turn the words of a page into outlines.

    Parameters
    ----------
    svg, face
        As for `lift_words`.

    Returns
    -------
    str
        The page with a group in place of each ``text`` element: what it said as its label, for readers who
        cannot see it, and its glyphs. Each is drawn once, among the definitions, and used where it stands.

    References
    ----------
    SVG 2, 5.6 (use), WAI-ARIA 1.2 (img, aria-label).

    Examples
    --------
    >>> page = f'<svg xmlns="{SVG}"><text x="1" y="9" font-size="4">Wren</text></svg>'
    >>> drawn = outline_words(page)
    >>> "<text" in drawn, 'aria-label="Wren"' in drawn, drawn.count("<use")
    (False, True, 4)
    """
    if "<text" not in svg:
        return svg
    root = ElementTree.fromstring(svg)
    glyphs: dict[tuple[Face, int, float], str] = {}
    for parent, element, style in list(_texts(root, {})):
        at = list(parent).index(element)
        parent.remove(element)
        parent.insert(at, _outlined(_line(element, style, face), glyphs))
    defs = ElementTree.Element(f"{{{SVG}}}defs", id="letters")
    for (drawn, glyph, size), name in glyphs.items():
        ElementTree.SubElement(defs, f"{{{SVG}}}path", id=name, d=_path(drawn, glyph, size))
    root.insert(_after_description(root), defs)
    return ElementTree.tostring(root, encoding="unicode") + "\n"


def _texts(
    element: ElementTree.Element, style: dict[str, str]
) -> Iterator[tuple[ElementTree.Element, ElementTree.Element, dict[str, str]]]:
    """Yield every text element with its parent and the style it has and inherits."""
    style = style | {name: element.attrib[name] for name in _INHERITED if name in element.attrib}
    for child in element:
        if child.tag == _TEXT:
            yield (
                element,
                child,
                style | {name: child.attrib[name] for name in _INHERITED if name in child.attrib},
            )
        else:
            yield from _texts(child, style)


def _line(element: ElementTree.Element, style: dict[str, str], face: str | None) -> Line:
    text = element.text or ""
    size = float(style["font-size"])
    tracking = float(style.get("letter-spacing", 0)) / size
    laid = set_line(text, bold=style.get("font-weight") == "bold", face=face, tracking=tracking)
    back = _ANCHORS[style.get("text-anchor", "start")] * laid.width * size
    x, y = float(element.attrib["x"]), float(element.attrib["y"])
    turn, about = _turned(element.attrib.get("transform"), (x, y))
    x, y = _rotated((x - back, y), turn, about)
    return Line(text, x, y, size, style.get("fill", "#000000"), turn, laid)


def _turned(transform: str | None, at: tuple[float, float]) -> tuple[float, tuple[float, float]]:
    if transform is None:
        return 0.0, at
    turn, *about = (float(part) for part in re.findall(r"[-+.\deE]+", transform.removeprefix("rotate")))
    return turn, (about[0], about[1]) if about else (0.0, 0.0)


def _rotated(point: tuple[float, float], turn_deg: float, about: tuple[float, float]) -> tuple[float, float]:
    """Turn a point clockwise as it is seen, y down."""
    turn = cmath.exp(1j * math.radians(turn_deg))
    moved = complex(point[0] - about[0], point[1] - about[1]) * turn + complex(*about)
    return moved.real, moved.imag


def _outlined(line: Line, glyphs: dict[tuple[Face, int, float], str]) -> ElementTree.Element:
    group = ElementTree.Element(f"{{{SVG}}}g", {"role": "img", "aria-label": line.text, "fill": line.fill})
    if line.turn_deg:
        group.set("transform", f"rotate({format_mm(line.turn_deg)} {format_mm(line.x)} {format_mm(line.y)})")
    for one in line.set.glyphs:
        if not outline_of(one.face, one.glyph):
            continue
        name = glyphs.setdefault((one.face, one.glyph, line.size), f"letter-{len(glyphs) + 1}")
        place = {"x": format_mm(line.x + one.x * line.size), "y": format_mm(line.y - one.y * line.size)}
        ElementTree.SubElement(group, f"{{{SVG}}}use", {f"{{{XLINK}}}href": f"#{name}", **place})
    return group


@lru_cache(maxsize=4096)
def _path(face: Face, glyph: int, size: float) -> str:
    """Return a glyph as path data at its size, its pen at the origin."""
    scale = size / face.font.face.upem
    steps: list[str] = []
    for command, *numbers in outline_of(face, glyph):
        flipped: list[Any] = [n * (scale if k % 2 == 0 else -scale) for k, n in enumerate(numbers)]
        steps.append(command + " ".join(format_mm(n) for n in flipped))
    return "".join(steps)


def _after_description(root: ElementTree.Element) -> int:
    """Return where the definitions go: a document's title and description come first in it."""
    described = (f"{{{SVG}}}title", f"{{{SVG}}}desc")
    return sum(child.tag in described for child in root)
