"""cairosvg's own drawing, recorded: every fill, stroke and clip handed over as geometry and never rastered.

cairosvg resolves style sheets, references, transforms, text and viewports, and draws through a cairo context. The
context here looks like that one and keeps the paths in place of painting them. Importing this module loads cairo.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any, Literal, NamedTuple

import cairocffi
import numpy as np
import shapely
from cairosvg.colors import COLORS
from cairosvg.colors import color as cairosvg_color
from cairosvg.helpers import normalize, paint, size
from cairosvg.parser import Tree
from cairosvg.surface import Surface
from cairosvg.url import parse_url
from numpy.typing import NDArray
from PIL import ImageColor
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import Unreadable

from .flatten import MOST_VERTICES, FillRule, Subpath, TooIntricate, cut_dashes, fill_rings, parts_of, widen

__all__ = ["DEVICE_SIDE", "FLATNESS", "GRID", "MOST_DRAWN", "Coat", "Record", "record_drawing"]

DEVICE_SIDE = 16384.0
"""Device units along a drawing's longer side: cairo keeps 1/256 unit and ±2²³ units (24.8 fixed point), so this
resolves 2·10⁻⁷ of the side and still takes what sticks out by 256 sides."""

FURTHEST = 2.0**22
"""Device units; cairo would wrap round without a word past twice this."""

FLATNESS = 0.1
"""Device units a chord may stray from its curve."""

GRID = 1 / 64
"""Device units to which crossings are rounded."""

MOST_DRAWN = 20_000
"""Shapes, letters and dashes drawn; it stops drawings that refer to themselves over and over."""

LONGEST_RUN = 2_000
"""Characters of path data after one letter; cairosvg reads a run in time that grows with its square."""

_SHAPES = frozenset(("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan", "textPath"))
_LEFT_OUT = {
    "image": "A picture placed inside the drawing is left out. Trace it, or save it as PNG and read that.",
    "foreignObject": "Foreign content (HTML) inside the drawing is left out.",
}
_FRACTIONS = ("opacity", "fill-opacity", "stroke-opacity")


class Coat(NamedTuple):
    """One region of paint: how light (0 black, 1 white) and how opaque (0 to 1)."""

    region: BaseGeometry
    light: float
    alpha: float


class Record:
    """What has been drawn so far, and what could not be drawn as meant."""

    def __init__(self) -> None:
        self.coats: list[Coat] = []
        self.warnings: dict[str, None] = {}
        self.drawn = 0
        self.vertices = 0

    def warn(self, sentence: str) -> None:
        """Keep a warning, once."""
        self.warnings[sentence] = None

    def count(self, more: int = 1) -> None:
        """Count shapes, letters or dashes, and stop a drawing that never ends."""
        self.drawn += more
        if self.drawn > MOST_DRAWN:
            raise TooIntricate(f"it draws more than {MOST_DRAWN:,} shapes".replace(",", " "))

    def add(self, region: BaseGeometry, light: float, alpha: float) -> None:
        """Keep a coat of paint."""
        if not region.is_empty:
            self.vertices += shapely.get_num_coordinates(region)
            if self.vertices > MOST_VERTICES:
                raise TooIntricate("its curves have more than a million points")
            self.coats.append(Coat(region, light, alpha))


class _Context(cairocffi.Context):  # type: ignore[misc]  # cairocffi has no types
    """A cairo context whose paint goes to the record."""

    def __init__(self, target: Any, surface: _Surface) -> None:
        super().__init__(target)
        self._surface = surface
        self._record = surface.record
        self._scratch = cairocffi.Context(target)
        self._clip: BaseGeometry | None = None
        self._clips: list[BaseGeometry | None] = []
        self._pieces: list[BaseGeometry] = []
        self._groups: list[int] = []
        self._colour = (0.0, 0.0, 0.0, 0.0)

    # What is drawn in a group is recorded at once; its opacity is laid on when the group closes.
    def save(self) -> None:
        self._clips.append(self._clip)
        super().save()

    def restore(self) -> None:
        self._clip = self._clips.pop()
        super().restore()

    def push_group(self) -> None:
        self._groups.append(len(self._record.coats))
        self.save()

    def pop_group_to_source(self) -> None:
        self.restore()

    def paint_with_alpha(self, alpha: float) -> None:
        coats, start = self._record.coats, self._groups.pop()
        coats[start:] = [coat._replace(alpha=coat.alpha * alpha) for coat in coats[start:]]

    def set_source_rgba(self, red: float, green: float, blue: float, alpha: float = 1) -> None:
        self._colour = (red, green, blue, alpha)

    # Steps of a path, checked because cairo's fixed point would wrap a far coordinate round to a near one.
    def move_to(self, x: float, y: float) -> None:
        self._check(x, y)
        super().move_to(x, y)

    def line_to(self, x: float, y: float) -> None:
        self._check(x, y)
        super().line_to(x, y)

    def curve_to(self, x1: float, y1: float, x2: float, y2: float, x3: float, y3: float) -> None:
        for x, y in ((x1, y1), (x2, y2), (x3, y3)):
            self._check(x, y)
        super().curve_to(x1, y1, x2, y2, x3, y3)

    def rel_move_to(self, dx: float, dy: float) -> None:
        self._check(dx, dy, relative=True)
        super().rel_move_to(dx, dy)

    def rel_line_to(self, dx: float, dy: float) -> None:
        self._check(dx, dy, relative=True)
        super().rel_line_to(dx, dy)

    def rel_curve_to(self, x1: float, y1: float, x2: float, y2: float, x3: float, y3: float) -> None:
        for x, y in ((x1, y1), (x2, y2), (x3, y3)):
            self._check(x, y, relative=True)
        super().rel_curve_to(x1, y1, x2, y2, x3, y3)

    def rectangle(self, x: float, y: float, width: float, height: float) -> None:
        self._check(x, y)
        self._check(x + width, y + height)
        super().rectangle(x, y, width, height)

    def arc(self, xc: float, yc: float, radius: float, angle1: float, angle2: float) -> None:
        self._check_round(xc, yc, radius)
        super().arc(xc, yc, radius, angle1, angle2)

    def arc_negative(self, xc: float, yc: float, radius: float, angle1: float, angle2: float) -> None:
        self._check_round(xc, yc, radius)
        super().arc_negative(xc, yc, radius, angle1, angle2)

    def _check(self, x: float, y: float, *, relative: bool = False) -> None:
        if relative:
            here = self.get_current_point()
            x, y = here[0] + x, here[1] + y
        if not max(map(abs, self.user_to_device(x, y)), default=math.nan) < FURTHEST:
            raise Unreadable("a point lies far outside the page or is no number")

    def _check_round(self, xc: float, yc: float, radius: float) -> None:
        for side in (-radius, radius):
            self._check(xc + side, yc + side)

    # Paint.
    def fill_preserve(self) -> None:
        self._fill(self)

    def stroke(self) -> None:
        if self._colour[3] > 0:
            self._put(self._stroke_region())
        self.new_path()

    def text_path(self, text: str) -> None:
        self._record.count()
        super().text_path(text)

    def show_text(self, text: str) -> None:
        self._record.count()
        pen = self._scratch
        pen.set_matrix(self.get_matrix())
        pen.set_font_face(self.get_font_face())
        pen.set_font_matrix(self.get_font_matrix())
        pen.new_path()
        pen.move_to(*self.get_current_point())
        pen.text_path(text)
        self._fill(pen)

    def _fill(self, pen: cairocffi.Context) -> None:
        if self._colour[3] > 0:
            evenodd = self.get_fill_rule() == cairocffi.FILL_RULE_EVEN_ODD
            self._put(_filled(pen, "evenodd" if evenodd else "nonzero"))

    def _put(self, region: BaseGeometry) -> None:
        red, green, blue, alpha = self._colour
        light = 0.299 * red + 0.587 * green + 0.114 * blue
        self._record.add(self._clipped(region), light, min(1.0, alpha))

    def _clipped(self, region: BaseGeometry) -> BaseGeometry:
        if self._clip is None or region.is_empty:
            return region
        if shapely.covers(self._clip, shapely.box(*region.bounds)):
            return region
        return parts_of(shapely.intersection(self._clip, region, grid_size=GRID))

    # Clips. SVG clips by the union of the shapes in a clipPath, cairo by the fill of one path.
    def keep_clip_piece(self, rule: FillRule) -> None:
        """Set the path aside as one shape of the clip being put together."""
        self._pieces.append(_filled(self, rule))
        self.new_path()

    def clip(self) -> None:
        region: BaseGeometry = _filled(self, "nonzero")
        if self._pieces:
            region = shapely.union_all([*self._pieces, region], grid_size=GRID)
        self._pieces.clear()
        self._clip = self._clipped(region)
        self.new_path()

    def _stroke_region(self) -> BaseGeometry:
        """Widen the path as SVG says, in the pen's own space: a transform may squeeze its round nib."""
        node, surface, matrix = self._surface.parent_node, self._surface, self.get_matrix()
        linear = np.array([[matrix.xx, matrix.yx], [matrix.xy, matrix.yy]])
        stretch = math.sqrt(abs(np.linalg.det(linear)))
        width = self.get_line_width()
        if not 0 <= width * stretch < FURTHEST:
            raise Unreadable("a stroke is far wider than the page or its width is no number")
        if width * stretch < GRID:
            return MultiPolygon()
        shift, back = np.array([matrix.x0, matrix.y0]), np.linalg.inv(linear)
        paths = [Subpath((points - shift) @ back, closed) for points, closed in _subpaths(self)]
        dashes = [size(surface, dash) for dash in normalize(node.get("stroke-dasharray", "")).split()]
        offset = size(surface, node.get("stroke-dashoffset"))
        if 0 < sum(dashes) < math.inf and min(dashes) >= 0 and math.isfinite(offset):
            paths = [dash for path in paths for dash in cut_dashes(path, dashes, offset)]
            self._record.count(len(paths))
        bands = widen(
            paths, width=width, cap=node.get("stroke-linecap", "butt"), join=node.get("stroke-linejoin", "miter"),
            mitre_limit=float(node.get("stroke-miterlimit", 4)), tolerance=FLATNESS / stretch,
        )  # fmt: skip
        drawn = shapely.transform(np.array(bands, object), lambda points: points @ linear + shift)
        return parts_of(shapely.union_all(drawn, grid_size=GRID))


def _subpaths(pen: cairocffi.Context) -> list[Subpath]:
    """Return the path in device units, curves flattened; lone moves are nothing."""
    cairocffi.Context.save(pen)
    pen.identity_matrix()
    pen.set_tolerance(FLATNESS)
    steps = pen.copy_path_flat()
    cairocffi.Context.restore(pen)
    return [
        Subpath(np.array(points), closed) for points, closed in _runs(steps) if len(points) > 1 or closed
    ]


def _runs(steps: list[tuple[int, tuple[float, ...]]]) -> Iterator[tuple[list[tuple[float, ...]], bool]]:
    points: list[tuple[float, ...]] = []
    for kind, place in steps:
        if kind == cairocffi.PATH_CLOSE_PATH:
            yield points, True
            points = points[:1]
        elif kind == cairocffi.PATH_MOVE_TO:
            if len(points) > 1:
                yield points, False
            points = [place]
        else:
            points.append(place)
    if len(points) > 1:
        yield points, False


def _filled(pen: cairocffi.Context, rule: FillRule) -> MultiPolygon:
    return fill_rings([path.points for path in _subpaths(pen)], rule, grid=GRID)


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
    def context(self) -> _Context:
        return self._context

    @context.setter
    def context(self, _: cairocffi.Context) -> None:
        self._context = _Context(self.cairo, self)

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
        self._strip(node, "mask", "A mask is not seen; what it hides is read as drawn. Use a clip path instead.")
        self._strip(node, "filter", "A filter (blur, shadow) is not seen; the shape is read as it is without.")
        self._strip(node, "mix-blend-mode", "A blend mode is not seen; the shape is read as plain paint.")
        for name in ("fill", "stroke"):
            self._plain_paint(node, name)
        for name in _FRACTIONS:
            if name in node:
                node[name] = str(_fraction(node[name]))
        if node.tag in ("path", "line", "polyline", "polygon"):
            self._tidy_markers(node)
            _split_points(node)
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
        if re.search(r"[\d.](rad|turn|grad|%)|3d|\w[XYZ]\(", text.replace("skewX(", "").replace("skewY(", "")):
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

    def _tidy_markers(self, node: Any) -> None:
        """A marker that is not there draws nothing, and one without a viewBox is not scaled (SVG 2, 13.7)."""
        for attribute in ("marker", "marker-start", "marker-mid", "marker-end"):
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
    if text in COLORS or "," in inner and inner.count(",") == (3 if text.startswith("rgba") else 2):
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


_ARITY = dict(zip("mlhvcsqt", (2, 2, 1, 1, 6, 4, 4, 2), strict=True))
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_LETTERS = "achlmqstvzACHLMQSTVZ"
_PATH_ERROR = re.compile(rf"[^{_LETTERS}eE\d+\-.,\s]|(?<=[zZ])[\s,]*[^\s,{_LETTERS}]")
_RUN = re.compile(rf"([{_LETTERS}])([^{_LETTERS}]{{{LONGEST_RUN},}})")


def _split_points(node: Any) -> None:
    """End path data at a number after Z, where cairosvg hangs, and repeat the letter in long runs, where it crawls.

    SVG 2, 9.5.4: path data is drawn up to its first error. See test_a_number_after_a_closed_path_ends_it.
    """
    if node.tag == "path":
        node["d"] = _PATH_ERROR.split(node.get("d", ""), maxsplit=1)[0]
        if len(node["d"]) > LONGEST_RUN:
            node["d"] = _RUN.sub(_repeat_letter, node["d"])
    elif len(node.get("points", "")) > LONGEST_RUN:
        end = "Z" if node.tag == "polygon" else ""
        node.tag, node["d"] = "path", f"{_RUN.sub(_repeat_letter, 'M' + node['points'])}{end}"


def _repeat_letter(run: re.Match[str]) -> str:
    letter, numbers = run[1], _NUMBER.findall(run[2])
    arity = _ARITY.get(letter.lower())
    if arity is None:
        if len(run[2]) > 100 * LONGEST_RUN:
            raise TooIntricate("it holds a run of more arcs than can be read")
        return run[0]
    next_letter: str = {"m": "l", "M": "L"}.get(letter, letter)
    groups = [" ".join(numbers[i : i + arity]) for i in range(0, len(numbers), arity)]
    return letter + next_letter.join(groups)


def _refuse(url: str, resource_type: str) -> bytes:
    kind: Literal["style sheet", "drawing"] = "style sheet" if "css" in resource_type else "drawing"
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
    tree = Tree(bytestring=source, unsafe=False, url_fetcher=_refuse)
    tree["width"], tree["height"] = repr(width), repr(height)
    return _Surface(tree, scale=DEVICE_SIDE / max(width, height)).record
