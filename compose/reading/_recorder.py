"""A cairo context that hands over every fill, stroke and clip as geometry and paints nothing.

Importing this module loads cairo.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, NamedTuple

import cairocffi
import numpy as np
import shapely
from cairosvg.helpers import normalize, size
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from canivet.crossings import TooIntricate, check_crossings
from canivet.errors import Unreadable

from ._flatten import MOST_VERTICES, FillRule, Subpath, fill_rings, parts_of
from ._path_data import MOST_STEPS
from ._strokes import cut_dashes, require_few_overlaps, widen

__all__ = ["DEVICE_GRID", "DEVICE_SIDE", "FLATNESS", "MOST_DRAWN", "Coat", "Record", "RecordingContext"]

DEVICE_SIDE = 16384.0
"""Device units along a drawing's longer side: cairo keeps 1/256 unit and ±2²³ units (24.8 fixed point), so
this resolves 2·10⁻⁷ of the side and still takes what sticks out by 256 sides."""

FURTHEST = 2.0**22
"""Device units; cairo would wrap round without a word past twice this."""

FLATNESS = 0.1
"""Device units a chord may stray from its curve."""

DEVICE_GRID = 1 / 64
"""Device units to which crossings are rounded."""

MOST_DRAWN = 10_000
"""Shapes, letters and dashes drawn; it stops drawings that refer to themselves over and over."""

_MANY_POINTS = f"its curves have more than {MOST_VERTICES:,} points".replace(",", " ")


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
        self.steps = 0
        self.vertices = 0

    def warn(self, sentence: str) -> None:
        """Keep a warning, once."""
        self.warnings[sentence] = None

    def count(self, more: int = 1) -> None:
        """Count shapes, letters or dashes, and stop a drawing that never ends."""
        self.drawn += more
        if self.drawn > MOST_DRAWN:
            raise TooIntricate(f"it draws more than {MOST_DRAWN:,} shapes".replace(",", " "))

    def count_steps(self, more: int) -> None:
        """Count lines and curves, before they are drawn."""
        self.steps += more
        if self.steps > MOST_STEPS:
            raise TooIntricate(f"its paths have more than {MOST_STEPS:,} steps".replace(",", " "))

    def add(self, region: BaseGeometry, light: float, alpha: float) -> None:
        """Keep a coat of paint."""
        if not region.is_empty:
            self.vertices += shapely.get_num_coordinates(region)
            if self.vertices > MOST_VERTICES:
                raise TooIntricate(_MANY_POINTS)
            self.coats.append(Coat(region, light, alpha))


class RecordingContext(cairocffi.Context):  # type: ignore[misc]  # cairocffi has no types
    """A cairo context whose paint goes to the record."""

    def __init__(self, target: Any, surface: Any) -> None:
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
        return parts_of(shapely.intersection(self._clip, region, grid_size=DEVICE_GRID))

    # Clips. SVG clips by the union of the shapes in a clipPath, cairo by the fill of one path.
    def keep_clip_piece(self, rule: FillRule) -> None:
        """Set the path aside as one shape of the clip being put together."""
        self._pieces.append(_filled(self, rule))
        self.new_path()

    def clip(self) -> None:
        region: BaseGeometry = _filled(self, "nonzero")
        if self._pieces:
            region = shapely.union_all([*self._pieces, region], grid_size=DEVICE_GRID)
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
        if width * stretch < DEVICE_GRID:
            return MultiPolygon()
        shift, back = np.array([matrix.x0, matrix.y0]), np.linalg.inv(linear)
        drawn = _subpaths(self)
        if drawn:
            cuts = slice(-1), slice(1, None)
            starts, ends = (np.concatenate([path.points[cut] for path in drawn]) for cut in cuts)
            check_crossings(starts, ends)
            require_few_overlaps(drawn, width=width * stretch)
        paths = [Subpath((points - shift) @ back, closed) for points, closed in drawn]
        dashes = [size(surface, dash) for dash in normalize(node.get("stroke-dasharray", "")).split()]
        offset = size(surface, node.get("stroke-dashoffset"))
        if 0 < sum(dashes) < math.inf and min(dashes) >= 0 and math.isfinite(offset):
            paths = [dash for path in paths for dash in cut_dashes(path, dashes, offset)]
            self._record.count(len(paths))
        bands = widen(
            paths, width=width, cap=node.get("stroke-linecap", "butt"), join=node.get("stroke-linejoin",
            "miter"), mitre_limit=float(node.get("stroke-miterlimit", 4)), tolerance=FLATNESS / stretch,
        )  # fmt: skip
        regions = shapely.transform(np.array(bands, object), lambda points: points @ linear + shift)
        return parts_of(shapely.union_all(regions, grid_size=DEVICE_GRID))


def _subpaths(pen: cairocffi.Context) -> list[Subpath]:
    """Return the path in device units, curves flattened; lone moves are nothing."""
    cairocffi.Context.save(pen)
    pen.identity_matrix()
    pen.set_tolerance(FLATNESS)
    _require_few_chords(pen.copy_path())
    steps = pen.copy_path_flat()
    cairocffi.Context.restore(pen)
    return [Subpath(np.array(points), closed) for points, closed in _runs(steps) if len(points) > 1 or closed]


def _require_few_chords(steps: list[tuple[int, tuple[float, ...]]]) -> None:
    """Refuse curves that would become more chords than are read, before they do.

    A cubic cut into n equal steps strays from its chords by 3/4 · max |second difference| / n² at most.
    """
    curves = [
        (*before[-2:], *step)
        for (_, before), (kind, step) in pairwise(steps)
        if kind == cairocffi.PATH_CURVE_TO and before
    ]
    count = float(len(steps))
    if curves:
        bends = np.diff(np.array(curves).reshape(-1, 4, 2), n=2, axis=1)
        count += np.sqrt(0.75 * np.hypot(bends[..., 0], bends[..., 1]).max(axis=1) / FLATNESS).sum()
    if count > MOST_VERTICES:
        raise TooIntricate(_MANY_POINTS)


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
    return fill_rings([path.points for path in _subpaths(pen)], rule, grid=DEVICE_GRID)
