"""cairosvg's own drawing, on a context that records it, with what cairosvg misreads mended or said.

cairosvg resolves style sheets, references, transforms, text and viewports. Importing this module loads cairo.
"""

from __future__ import annotations

import math
import re
from typing import Any

import cairocffi
from cairosvg.colors import COLORS
from cairosvg.colors import color as cairosvg_color
from cairosvg.helpers import paint
from cairosvg.parser import Tree
from cairosvg.surface import Surface
from cairosvg.url import parse_url
from PIL import ImageColor

from canivet.errors import Unreadable

from ._path_data import plain_path, plain_points
from ._recorder import DEVICE_SIDE, Record, RecordingContext

__all__ = ["record_drawing"]

_SHAPES = frozenset(
    ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan", "textPath")
)
_LEFT_OUT = {
    "image": "A picture placed inside the drawing is left out. Trace it, or save it as PNG and read that.",
    "foreignObject": "Foreign content (HTML) inside the drawing is left out.",
}
_MARKERS = ("marker", "marker-start", "marker-mid", "marker-end")
_FRACTIONS = ("opacity", "fill-opacity", "stroke-opacity")


class _Surface(Surface):  # type: ignore[misc]  # cairosvg has no types
    """cairosvg's surface, drawing on the recording context and mending what it is known to misread."""

    device_units_per_user_units = 1

    def __init__(self, tree: Tree, *, scale: float) -> None:
        self.record = Record()
        self._scale = scale
        self._in_clip = False
        super().__init__(tree, None, 96, scale=scale)

    def _create_surface(self, width: float, height: float) -> tuple[Any, float, float]:
        target = cairocffi.RecordingSurface(cairocffi.CONTENT_COLOR_ALPHA, None)
        return target, width / self._scale, height / self._scale

    @property
    def context(self) -> RecordingContext:
        return self._context

    @context.setter
    def context(self, _: cairocffi.Context) -> None:
        self._context = RecordingContext(self.cairo, self)

    def map_color(self, string: str | None, opacity: float = 1) -> tuple[float, float, float, float]:
        """Read a colour, saying so where it is not understood."""
        red, green, blue, alpha = self._read_colour((string or "none").strip().lower())
        return red, green, blue, alpha * opacity

    def _read_colour(self, text: str) -> tuple[float, ...]:
        try:
            if text.startswith(("#", "hsl(")):
                red, green, blue, alpha = (*ImageColor.getrgb(text), 255)[:4]
                return red / 255, green / 255, blue / 255, alpha / 255
            if text in COLORS or text.startswith("rgb"):
                return tuple(cairosvg_color(_with_commas(text)))
        except ValueError:
            pass
        self.record.warn(f"The colour {text[:40]!r} is not understood and is read as black.")
        return 0.0, 0.0, 0.0, 1.0

    def draw(self, node: Any) -> None:
        """Draw one node, and what is in it."""
        self.record.count()
        if node.tag in _LEFT_OUT:
            self.record.warn(_LEFT_OUT[node.tag])
            return
        self._tidy(node)
        if self._is_clip(node):
            self._draw_clip(node)
        elif self._in_clip and node.tag in _SHAPES:
            self._strip(node, "clip-path", "A clip path that is itself clipped is read without that.")
            self.context.new_path()
            super().draw(node)
            self.context.keep_clip_piece("evenodd" if node.get("clip-rule") == "evenodd" else "nonzero")
        else:
            super().draw(node)

    def _is_clip(self, node: Any) -> bool:
        """cairosvg draws a clipPath under the tag of a group, with paint turned off."""
        return not self.stroke_and_fill and node.tag == "g" and self.paths.get(node.get("id")) is node

    def _draw_clip(self, node: Any) -> None:
        self._strip(node, "clip-path", "A clip path that is itself clipped is read without that.")
        self._in_clip = True
        try:
            super().draw(node)
        finally:
            self._in_clip = False

    def _strip(self, node: Any, attribute: str, sentence: str) -> None:
        if node.pop(attribute, "none") not in ("none", ""):
            self.record.warn(sentence)

    def _tidy(self, node: Any) -> None:
        self._strip(
            node, "mask", "A mask is not seen; what it hides is read as drawn. Use a clip path instead."
        )
        self._strip(
            node, "filter", "A filter (blur, shadow) is not seen; the shape is read as it is without."
        )
        self._strip(node, "mix-blend-mode", "A blend mode is not seen; the shape is read as plain paint.")
        for name in ("fill", "stroke"):
            self._plain_paint(node, name)
        for name in _FRACTIONS:
            if name in node:
                node[name] = str(_fraction(node[name]))
        if node.tag in ("path", "line", "polyline", "polygon"):
            self._tidy_markers(node)
            self._plain_steps(node)
        if node.tag in ("text", "textPath", "tspan"):
            self.record.warn("Letters are drawn in the fonts of this computer. Turn them into paths first.")
        if node.tag == "switch":
            self.record.warn("A switch is read by its first branch that this computer's language takes.")
        if "vector-effect" in node and node["vector-effect"] != "none":
            self.record.warn("A stroke that keeps its width when scaled is read as scaled with its shape.")
        if "transform" in node:
            node["transform"] = self._plain_transform(node["transform"])

    def _plain_transform(self, text: str) -> str:
        """Angles and lengths as CSS writes them, as the attribute writes them."""
        text = re.sub(r"(?<=[\d.])(deg|px)\b", "", text)
        if re.search(
            r"[\d.](rad|turn|grad|%)|3d|\w[XYZ]\(", text.replace("skewX(", "").replace("skewY(", "")
        ):
            self.record.warn(f"The transform {text[:60]!r} is not understood in full.")
        return "" if text == "none" else text

    def _plain_paint(self, node: Any, name: str) -> None:
        """Put one even tone in place of a gradient or pattern."""
        source, colour = paint(node.get(name))
        if source in self.gradients:
            self.record.warn("A gradient is read as one even tone, dark or light by the mean of its stops.")
            node[name] = self._mean_stop(source)
        elif source in self.patterns:
            self.record.warn("A pattern fill is not seen and is read as solid dark.")
            node[name] = "black"
        elif source:
            node[name] = colour or "none"

    def _mean_stop(self, name: str) -> str:
        for _ in range(20):
            gradient = self.gradients.get(name)
            if gradient is None:
                break
            stops = [child for child in gradient.children if child.tag == "stop"]
            if stops:
                colours = [
                    self.map_color(s.get("stop-color", "black"), _fraction(s.get("stop-opacity", "1")))
                    for s in stops
                ]
                on_white = [1 - c[3] * (1 - (0.299 * c[0] + 0.587 * c[1] + 0.114 * c[2])) for c in colours]
                grey = round(255 * min(1.0, max(0.0, sum(on_white) / len(on_white))))
                return f"rgb({grey},{grey},{grey})"
            name = parse_url(gradient.get_href()).fragment
        return "none"

    def _plain_steps(self, node: Any) -> None:
        """Write path data in its plainest form: cairosvg hangs or crawls on some that is not."""
        if node.tag == "path":
            marked = any(attribute in node for attribute in _MARKERS)  # which stand where steps meet
            node["d"], steps = plain_path(node.get("d", ""), arcs=marked)
        elif node.tag in ("polyline", "polygon"):
            closed = node.tag == "polygon"
            node.tag, (node["d"], steps) = "path", plain_points(node.get("points", ""), closed=closed)
        else:
            return
        self.record.count_steps(steps)

    def _tidy_markers(self, node: Any) -> None:
        """A marker that is not there draws nothing, and one without a viewBox is not scaled (SVG 2, 13.7)."""
        for attribute in _MARKERS:
            if attribute not in node:
                continue
            found = self.markers.get(parse_url(node[attribute]).fragment)
            if found is None:
                del node[attribute]
            elif not found.get("viewBox"):
                found["viewBox"] = f"0 0 {found.get('markerWidth', '3')} {found.get('markerHeight', '3')}"


def _with_commas(text: str) -> str:
    """Write ``rgb(0 0 0 / 50%)`` as ``rgba(0, 0, 0, 0.5)``."""
    inner = text[text.find("(") + 1 :].rstrip(") ")
    if text in COLORS or ("," in inner and inner.count(",") == (3 if text.startswith("rgba") else 2)):
        return text
    parts = inner.replace("/", " ").replace(",", " ").split()
    if len(parts) == 4:
        return f"rgba({','.join(parts[:3])},{_fraction(parts[3])})"
    return f"rgb({','.join(parts)})"


def _fraction(text: str) -> float:
    """Read an opacity, ``0.5`` or ``50%``; what cannot be read is opaque, as CSS has it."""
    try:
        value = float(text[:-1]) / 100 if text.strip().endswith("%") else float(text)
    except ValueError:
        return 1.0
    return min(1.0, max(0.0, value)) if math.isfinite(value) else 1.0


def _refuse(url: str, resource_type: str) -> bytes:
    kind = "style sheet" if "css" in resource_type else "drawing"
    raise Unreadable(f"it refers to another {kind}, {url[:80]!r}; only a drawing complete in itself is read")


def record_drawing(source: bytes, *, width: float, height: float) -> Record:
    """Draw an SVG and return its paint as regions, in device units with y down.

    Parameters
    ----------
    source : bytes
        The document.
    width, height : float
        Its size in CSS pixels, above zero; the longer becomes `DEVICE_SIDE` units.

    Raises
    ------
    TooIntricate
        If it draws more than a hand could cut.
    Unreadable
        If it leads to another file, or to coordinates out of reach.
    """
    # Under an address of its own cairosvg keeps what a use refers to; without one it searches all each time.
    tree = Tree(bytestring=source, url="drawing:", unsafe=False, url_fetcher=_refuse)
    tree["width"], tree["height"] = repr(width), repr(height)
    return _Surface(tree, scale=DEVICE_SIDE / max(width, height)).record
