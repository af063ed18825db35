"""A lying plate, its panels beside the window."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from canivet.motifs.bounds import (
    BorderWidth,
    GroundPitch,
    PlateHeight,
    PlateRim,
    PlateStrap,
    PlateWidth,
    Smallest,
)
from canivet.motifs.outlines import rectangle
from canivet.motifs.shapes.openings import Shapes
from canivet.parameters import Share

from ._openings import (
    Floats,
    along,
    block,
    disc,
    drop,
    ellipse,
    gather,
    largest,
    lay,
    leaf,
    no_shapes,
    soft,
)
from ._parts import (
    BorderName,
    GroundName,
    Widths,
    bordered,
    fill,
    fitted_count,
    put_together,
    require_side,
    widths,
)
from .frame import Frame, Room, frame

__all__ = ["landscape_plate"]

_BOW = 0.13
"""Of its height that the window of a lying plate bows toward the words: it leads the eye on to them, and the
two are one picture instead of two boxes."""

_AWAY = 1.2
"""Rails from the edge of a panel to the fine rule within it: so near that the eye takes both for one line."""

_FINE = 0.8
"""Straps: how wide that rule is, the lightest white of the plate."""

_CROWDED = 0.4
"""Share of the window at which words have taken so much of its room that no rule stands round them."""

_RULED = 9.0
"""Widths of the rule that a panel must keep within it."""


@frame
def landscape_plate(
    *,
    width: PlateWidth = 152.4,
    height: PlateHeight = 101.6,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    border: BorderName = "leaf-and-berry",
    band: BorderWidth | None = None,
    share: Annotated[
        float, Share("width of the window as a share of the field's; 1 for no panels", 0.35, 1)
    ] = 0.56,
    motto: Annotated[float, Share("height of the motto's panel as a share of the field's", 0, 1)] = 0.3,
    crest: Annotated[
        float, Share("height of the ground over the words as a share of the field's", 0, 0.4)
    ] = 0.28,
    ground: GroundName = "diamond-lattice",
    pitch: GroundPitch | None = None,
) -> Frame:
    """A lying plate: the window on the left, a leafy stem, and panels for name and motto on the right.

    Parameters
    ----------
    width : float
        mm, 30 to 1000, default 152.4 (6 in).
    height : float
        mm, 30 to 1000, default 101.6 (4 in).
    strap : float
        Narrowest paper left anywhere: mm, 0.3 to 20, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    rim : float, optional
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 2.4 straps. The rules
        between are as much wider than the strap as they are narrower than the rim.
    border : str
        Ornament of the border, any border motif, default leaf-and-berry.
    band : float, optional
        Width of the border: mm, 3 to 80; left out, about a tenth of the short side, or as much wider as its
        ornament needs.
    share : float
        Width of the window as a share of the field's: 0.35 to 1, default 0.56; 1 leaves no panels.
    motto : float
        Height of the motto's panel as a share of the field's: 0 to 1, default 0.3. At 0 there is none, at 1
        no other.
    crest : float
        Height of the ground over the words, and of that under them where there is but one panel, as a share
        of the field's: 0 to 0.4, 0 for none, default 0.28.
    ground : str
        Pattern of the ground, any lattice motif, default diamond-lattice.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.

    Returns
    -------
    Frame
        Window and two panels, "name" and, under it, "motto".

    Raises
    ------
    DoesNotFit
        If the plate is less than 1.2 times as wide as high, or too narrow for its panels.

    Examples
    --------
    >>> frame = landscape_plate()
    >>> frame.window.bounds[2] < frame.panels["name"].bounds[0]
    True
    """
    w = widths(width, height, strap, smallest, rim)
    require_side("width", width, 1.2 * height, "window and panel side by side")
    outline = rectangle(width=width, height=height)
    openings, inside = bordered(outline, border, band, w)
    x0, y0, x1, y1 = inside.bounds
    stem = max(w.grown(9.0, 0.6), 4 * strap + 4 * smallest)
    if share == 1:
        return _in_column(put_together(outline, [openings], inside, {}, w))
    bow = _Bow.across((x0, y0, x1, y1), share)
    left = bow.right + 2 * w.rail + stem
    require_side("width", width, width - (x1 - left) + 18, "window and panel side by side")
    alone, deep = not 0 < motto < 1, crest * (y1 - y0)
    low, high = y0 + (deep if alone else 0.0), y1 - deep
    split = low + motto * (high - low)
    start = bow.left + 2 * w.rail + stem
    beyond = bow.disc(2 * w.rail + stem)
    places = {
        "name": block(start, split + (0.0 if alone else w.rim), x1, high) if motto < 1 else None,
        "motto": block(start, low, x1, split) if motto else None,
    }
    ornament, panels = [openings, _climber(bow.line(w.rail + stem / 2), stem, w)], {}
    for name, place in places.items():
        if place is not None:
            field = largest(shapely.get_parts(place.difference(beyond)))
            plain = crest or share <= _CROWDED
            rule, within = (no_shapes(), _bare(field, w)) if plain else _ruled(field, w)
            ornament.append(rule)
            _, foot, right, head = within.bounds
            panels[name] = block(left + (x1 - right), foot, right, head)
    if crest:
        grounds = [block(start, high + w.rail, x1, y1)]
        grounds += [block(start, y0, x1, low - w.rail)] if alone else []
        ornament += [fill(part.difference(beyond), ground, pitch, w) for part in grounds]
        if not alone:
            apart = block(start, split, x1, split + w.rim).difference(beyond)
            ornament.append(_line_in(largest(shapely.get_parts(apart)), w))
    return _in_column(put_together(outline, ornament, bow.window, panels, w), crested=bool(crest))


def _line_in(field: Polygon, w: Widths) -> Shapes:
    """Lay a fine rule along the middle of a low field, an eyelet before each of its ends."""
    x0, y0, x1, y1 = field.bounds
    fine, y = max(2.1 * w.smallest, _FINE * w.strap), (y0 + y1) / 2
    eye = max(1.05 * w.smallest, 0.7 * fine)
    first, last = x0 + w.gap + eye, x1 - w.gap - eye
    inner = eye + w.gap + fine / 2
    line = LineString([(first + inner, y), (last - inner, y)]).buffer(fine / 2)
    return gather(line, lay(disc(eye), np.array([(first, y), (last, y)]), 0.0))


def _bare(field: Polygon, w: Widths) -> Polygon:
    """Return what a field leaves for words that stand in it without a rule."""
    return field.buffer(-w.gap, join_style="mitre")


def _ruled(field: Polygon, w: Widths) -> tuple[Shapes, Polygon]:
    """Lay a fine rule along the inside of a field, broken by an eyelet in each corner and once on each side.

    Returns
    -------
    openings, Polygon
        The rule, and the field that is left within it. A field too small for a rule has none.
    """
    away, fine = _AWAY * w.rail, max(2.1 * w.smallest, _FINE * w.strap)
    middle = field.buffer(-away - fine / 2, join_style="mitre")
    within = field.buffer(-away - fine - w.gap, join_style="mitre")
    if (
        not isinstance(within, Polygon)
        or min(np.ptp(np.reshape(within.bounds, (2, 2)), axis=0)) < _RULED * fine
    ):
        return no_shapes(), _bare(field, w)
    corners, sides = _corners_of(middle), middle.exterior
    reach = sorted(sides.project(shapely.Point(corner)) for corner in corners)
    ends = [*reach[1:], reach[0] + sides.length]
    breaks = [sides.interpolate((a + b) / 2 % sides.length) for a, b in zip(reach, ends, strict=True)]
    eye = max(1.05 * w.smallest, 0.7 * fine)
    gaps = [
        shapely.MultiPoint(corners).buffer(eye + w.gap),
        shapely.MultiPoint(breaks).buffer(fine / 2 + w.strap),
    ]
    line = sides.buffer(fine / 2, join_style="mitre").difference(shapely.union_all(gaps))
    return gather(soft(line, 0.9 * w.smallest), lay(disc(eye), np.array(corners), 0.0)), within


def _corners_of(shape: Polygon) -> Floats:
    """Return the points where a shape turns sharply."""
    at: Floats = shapely.get_coordinates(shape.exterior)[:-1]
    arriving = at - np.roll(at, 1, axis=0)
    leaving = np.roll(at, -1, axis=0) - at
    across = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    turn = np.arctan2(across, (arriving * leaving).sum(axis=1))
    corners: Floats = at[np.abs(turn) > math.radians(30)]
    return corners


@dataclass(frozen=True, slots=True)
class _Bow:
    """A window whose right side is bowed: from `left` at head and foot to `right` at half its height."""

    box: tuple[float, float, float, float]
    left: float
    right: float

    @classmethod
    def across(cls, box: tuple[float, float, float, float], share: float) -> _Bow:
        """Bow a window that takes a share of a box on the whole."""
        x0, y0, x1, y1 = box
        deep = _BOW * (y1 - y0)
        mean = x0 + share * (x1 - x0)
        return cls(box, mean - 2 * deep / 3, mean + deep / 3)

    @property
    def _radius(self) -> float:
        deep, half = self.right - self.left, (self.box[3] - self.box[1]) / 2
        return (half**2 + deep**2) / (2 * deep)

    def disc(self, beyond: float) -> Polygon:
        """Return the disc whose edge runs so far beyond the bowed side."""
        radius = self._radius
        return ellipse(self.right - radius, (self.box[1] + self.box[3]) / 2, radius + beyond, radius + beyond)

    @property
    def window(self) -> Polygon:
        """Return the window."""
        x0, y0, _, y1 = self.box
        bowed = block(self.left, y0, self.right, y1).intersection(self.disc(0.0))
        return largest(shapely.get_parts(bowed.union(block(x0, y0, self.left, y1))))

    def line(self, beyond: float) -> LineString:
        """Return the arc so far beyond the bowed side, from the foot of the box to its head."""
        _, y0, x1, y1 = self.box
        ring = self.disc(beyond).exterior
        arc = shapely.line_merge(ring.intersection(block(self.left, y0, x1, y1)))
        points = shapely.get_coordinates(arc)
        return LineString(points if points[0, 1] < points[-1, 1] else points[::-1])


def _in_column(drawn: Frame, *, crested: bool = False) -> Frame:
    """Say how panels beside the window get room, from the window first, then the ground; or are left out."""
    room = partial(Room, "share", (0.56, 0.5, 0.44, 0.38), then={"crest": 0.0} if crested else {})
    rooms = {"name": room(without={"motto": 1.0}), "motto": room(without={"motto": 0.0})}
    return replace(drawn, rooms=rooms, bare={"share": 1.0})


def _climber(line: LineString, wide: float, w: Widths) -> Shapes:
    """Lay leaves in pairs along a stem, a drop at its head and an eyelet at its foot."""
    lean = math.radians(48)
    long = (wide / 2 - w.strap / 2) / math.sin(lean)
    thick = 0.4 * long
    eye = max(w.smallest, 0.17 * wide)
    first, last = 2 * eye + w.gap + 0.25 * thick, line.length - 1.45 * long - w.gap

    def laid(count: int) -> Shapes:
        at, way = along(line, np.linspace(first, last, max(2, count)))
        beside = np.column_stack([np.sin(way), -np.cos(way)])
        return gather(*(
            lay(leaf(long, thick), at + side * (w.gap / 2 + 0.02) * beside, way - side * lean)
            for side in (1, -1)
        ))  # fmt: skip

    pairs = fitted_count(round((last - first) / (0.75 * long)), laid, w.gap, least=2)
    (foot, head), (up, down) = along(line, np.array([eye, line.length - 0.1 * thick]))
    top = lay(drop(1.1 * long, 0.5 * long), head[None], down + math.pi)
    return gather(pairs, top, lay(disc(eye), foot[None], up))
