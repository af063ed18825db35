"""A frame whose lettering lies on a ribbon hung across it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.motifs.bounds import (
    BorderWidth,
    GroundPitch,
    PanelShare,
    PlateHeight,
    PlateRim,
    PlateStrap,
    PlateWidth,
    Smallest,
)
from canivet.motifs.outlines import rectangle
from canivet.motifs.shapes.openings import Shapes
from canivet.motifs.shapes.rounds import foiled

from ._openings import (
    block,
    ellipse,
    gather,
    largest,
    mirrored,
    no_shapes,
    sector,
    soft,
)  # fmt: skip
from ._parts import (
    BorderName,
    GroundName,
    Widths,
    bordered,
    fill,
    inset,
    put_together,
    require_side,
    widths,
)
from .frame import Frame, frame

__all__ = ["banner"]

_USUAL = 0.105
"""Height of the panel as a share of the plate's, if nothing is asked."""

_TAILED, _DEEPEST = 0.22, 0.5
"""Depth of a ribbon with folded tails beside it, and of any, as shares of the field's width."""

_RIM = (2.4, 3.3)
"""mm on a plate 4 in wide: the rim is 2.4 straps, but with a fine strap no wire, with a stout one no beam."""

_ARCH = 0.3
"""How high head and foot of the field are arched, as a share of its width: high enough for what fills the
corners beside it.
"""

_FOIL = 0.96
"""Radius of the foiled round in a corner over that of the largest there: the leaves beside it curl round."""

_CUSP = 0.94
"""How far the middles of two foils lie apart, in diameters: deep foils about a heart."""

_BLUNT = 0.14
"""How round the corners of those leaves are, over the radius of the round."""

_SHORT = 0.7
"""Tails shorter than this share of the ribbon's depth are left out, and the ribbon is longer."""

_FRONT = 0.3
"""Half the length of a front between tails, as a share of the field's width."""

_SAG = 0.05
"""How far a ribbon hangs through, as a share of the field's width."""

_HEM = 1.7
"""mm on a plate 4 in wide: cloth kept round the panel on the front, at the most: more is lost to letters."""

_LOWER, _TUCK = 0.4, 0.55
"""How much lower a tail hangs than the front, how far it is tucked behind it: over the ribbon's depth."""

_WEDGE, _HELD = 0.2, 0.26
"""The mouth of the white wedge that lifts the front off its tail, how much of the front stays joined below,
over the ribbon's depth.
"""

_LINES = 0.075
"""How wide a line along the edge of a tail is, over the ribbon's depth."""


@frame
def banner(
    *,
    width: PlateWidth = 101.6,
    height: PlateHeight = 152.4,
    strap: PlateStrap = 1.2,
    smallest: Smallest = 0.5,
    rim: PlateRim | None = None,
    border: BorderName = "round-arcade",
    band: BorderWidth | None = None,
    ground: GroundName | None = None,
    pitch: GroundPitch | None = None,
    panel: PanelShare = _USUAL,
) -> Frame:
    """A ribbon hung across an arched field, folded back to both sides; a quatrefoil in each corner, a border.

    Parameters
    ----------
    width : float
        mm, 30 to 1000, default 101.6 (4 in).
    height : float
        mm, 30 to 1000, default 152.4 (6 in).
    strap : float
        Narrowest paper left anywhere: mm, 0.3 to 20, default 1.2.
    smallest : float
        Radius of the smallest opening worth cutting: mm, 0.1 to 10, default 0.5.
    rim : float, optional
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 2.4 straps, or a
        little more with a fine strap and less with a stout one. The rules between are as much wider than the
        strap as they are narrower than the rim.
    border : str
        Ornament of the border, any border motif, default round-arcade.
    band : float, optional
        Width of the border: mm, 3 to 80; left out, about a tenth of the short side, or as much wider as its
        ornament needs.
    ground : str, optional
        Pattern about the arches of the field, any lattice motif; left out, each corner is drawn to its
        arch: a quatrefoil, and a leaf to either side that curls about it.
    pitch : float, optional
        About how large a cell of the ground is: mm, 1 to 200; left out, 6 mm on a plate 4 in wide, a little
        more on a larger one.
    panel : float
        Height of the name panel as a share of the plate's: 0 to 0.4, 0 for none, default 0.105.

    Returns
    -------
    Frame
        Window and one panel, "name", on an arc. The same in the mirror about an upright axis.

    Raises
    ------
    DoesNotFit
        If the plate is too low for a window over its ribbon, or the border does not fit.

    Notes
    -----
    Where the tails would be stubs, the ribbon has none and is longer.

    Examples
    --------
    >>> frame = banner(width=100, height=150)
    >>> x, y, radius = frame.arcs["name"]
    >>> round(x, 6), radius < 0  # it hangs down
    (50.0, True)
    """
    w = widths(width, height, strap, smallest, rim or _usual_rim(width, height, strap))
    outline = rectangle(width=width, height=height)
    openings, inside = bordered(outline, border, band, w)
    x0, y0, x1, y1 = inside.bounds
    x, wide = width / 2, x1 - x0
    if not panel:
        return put_together(outline, [openings], largest(soft(inside, 0.4)), {}, w)
    # At its usual height the ribbon leaves room for its tails; words that need more may have all of it.
    most = _TAILED if panel <= _USUAL else _DEEPEST
    deep = max(min(panel * height, most * wide), 5 * strap)
    ribbon = _Ribbon.hung((x0, y0, x1, y1), deep, w)
    name = ribbon.name
    cloth = shapely.union_all([ribbon.front, *ribbon.tails()])
    cloth = (
        cloth.difference(shapely.union_all(mirrored(gather(ribbon.wedge), x))) if ribbon.has_tails else cloth
    )
    field = _arched(inside)
    above, *below = _from_the_largest(soft(field.difference(cloth), 0.4))
    taken = height - (above.bounds[3] - above.bounds[1])
    require_side("height", height, taken + 0.4 * w.short, "a window over its ribbon")
    corners = inside.difference(field.buffer(w.rail, quad_segs=24))
    spandrels = fill(corners, ground, pitch, w) if ground else _spandrels(corners, inside, w)
    folds = mirrored(ribbon.folds(inside), x)
    arcs = {"name": (*ribbon.middle, -(ribbon.radius - deep / 2))}
    ornament = [openings, spandrels, gather(below), folds]
    return put_together(outline, ornament, above, {"name": name}, w, arcs)


def _usual_rim(width: float, height: float, strap: float) -> float:
    """Return the rim of a plate for which none is asked."""
    low, high = (one * math.sqrt(min(width, height) / 101.6) for one in _RIM)
    return max(min(max(2.4 * strap, low), high), 1.6 * strap)


def _spandrels(corners: BaseGeometry, inside: Polygon, w: Widths) -> Shapes:
    """Fill each of four corners of a field: a round of four foils, and a leaf to either side along the rail.

    The round is the largest in its corner; the leaves are what the arch leaves beside it, tapering, and curl
    about it.
    """
    x0, y0, x1, y1 = inside.bounds
    quarter = largest(shapely.get_parts(corners.intersection(block(x0, y0, (x0 + x1) / 2, (y0 + y1) / 2))))
    radius = _FOIL * shapely.maximum_inscribed_circle(quarter, 0.01).length
    if radius < w.smallest:
        return no_shapes()
    x, y = x0 + radius, y0 + radius
    halo = ellipse(x, y, radius + w.gap, radius + w.gap).union(block(x0, y0, x, y))
    leaves = soft(quarter.difference(halo), max(w.smallest, _BLUNT * radius))
    one = mirrored(gather(foiled(x, y, radius, 4, cusp=_CUSP), leaves), (x0 + x1) / 2)
    upper = shapely.transform(one, lambda points: points * (1, -1) + (0, y0 + y1))
    return gather(one, upper)


def _arched(inside: Polygon) -> Polygon:
    """Return a region with its head and its foot rounded to half an oval each."""
    x0, y0, x1, y1 = inside.bounds
    half, rise = (x1 - x0) / 2, min(_ARCH * (x1 - x0), 0.3 * (y1 - y0))
    ends = [ellipse(x0 + half, y, half, rise) for y in (y0 + rise, y1 - rise)]
    return largest(shapely.get_parts(shapely.union_all([*ends, block(x0, y0 + rise, x1, y1 - rise)])))


def _from_the_largest(parts: Shapes) -> list[Polygon]:
    """Return the parts of a region, the largest first."""
    return sorted(parts, key=lambda part: -part.area)


@dataclass(frozen=True, slots=True)
class _Ribbon:
    """A ribbon hung along a circle about `middle`: its front between two turns, its tails behind and lower.

    Turns are degrees from the foot of the circle; at `end` the tails are behind the members. `half` is
    half the width of the field.
    """

    middle: tuple[float, float]
    radius: float
    deep: float
    drop: float
    turn: float
    end: float
    half: float
    w: Widths

    @classmethod
    def hung(cls, box: tuple[float, float, float, float], deep: float, w: Widths) -> _Ribbon:
        """Hang a ribbon across the foot of a box; where its tails would be stubs, it goes without."""
        x0, y0, x1, _ = box
        wide = x1 - x0
        half = _FRONT * wide
        if wide / 2 - half < _SHORT * deep or deep < 6.5 * w.strap:
            half = 0.44 * wide
        radius = (half**2 + (_SAG * wide) ** 2) / (2 * _SAG * wide)
        middle = ((x0 + x1) / 2, y0 + w.grown(15.0, 0.7) + w.rail + radius)
        drop = _LOWER * deep if half < 0.35 * wide else 0.0
        turn = math.degrees(math.asin(half / radius))
        end = math.degrees(math.asin((wide / 2 + w.rail) / (radius - deep)))
        return cls(middle, radius, deep, drop, turn, end, wide / 2, w)

    @property
    def front(self) -> Polygon:
        """Return the front of the cloth."""
        inner, outer, turn = self.radius - self.deep, self.radius, self.turn
        grown = sector(*self.middle, inner, outer, -90 - turn, -90 + turn).buffer(
            self.w.rail, join_style="mitre"
        )
        return Polygon(grown.exterior)

    @property
    def name(self) -> Polygon:
        """Return the panel on the front: what its hem leaves of it."""
        hem = min(self.w.rail, max(self.w.gap, self.w.grown(_HEM)))
        return inset(self.front, hem)

    def degrees(self, length: float) -> float:
        """Return the turn that a length along the ribbon takes."""
        return math.degrees(length / self.radius)

    @property
    def has_tails(self) -> bool:
        """Whether there is room for tails, lower than the front."""
        return self.drop > 0

    @property
    def _edges(self) -> tuple[float, float]:
        return self.radius - self.deep - self.w.rail + self.drop, self.radius + self.w.rail + self.drop

    def tails(self) -> list[Polygon]:
        """Return the two ends, which run behind the members on both sides."""
        start = self.turn - self.degrees(_TUCK * self.deep)
        return [
            sector(*self.middle, *self._edges, *sorted((-90 + side * start, -90 + side * self.end)))
            for side in (-1, 1)
        ]

    def _at(self, place: tuple[float, float], side: int) -> tuple[float, float]:
        radius, turn = place[0], math.radians(place[1])
        return self.middle[0] + side * radius * math.sin(turn), self.middle[1] - radius * math.cos(turn)

    def _shape(self, *places: tuple[float, float]) -> Polygon:
        """Return the shape with these corners: distance from the middle, turn on the left."""
        return Polygon([self._at(place, -1) for place in places])

    @property
    def wedge(self) -> Polygon:
        """Return the white that lifts the front off the left tail: open above, run out to a point below."""
        w, top, end = self.w, self._edges[0], self.turn + self.degrees(self.w.rail)
        deep, mouth = self.deep + 2 * w.rail, self.degrees(_WEDGE * self.deep)
        low = self.radius + w.rail - max(_HELD * deep, 2.4 * w.strap)
        way = self._shape((top - deep, end), (top - deep, end + mouth), (top, end + mouth), (low, end))
        return largest(shapely.get_parts(way.difference(self.front)))

    def folds(self, inside: Polygon) -> Shapes:
        """Return the back of the cloth where the left tail turns in under the front, and the tail's lines."""
        if not self.has_tails:
            return no_shapes()
        w, low = self.w, self.radius + self.w.rail
        end = self.turn + self.degrees(w.rail)
        crease = end - self.degrees(_TUCK * self.deep - w.rail)
        fold = self._shape(
            (low, crease), (low + self.drop - w.rail, crease), (low, end - self.degrees(w.strap / 2))
        )
        wide, edge = max(_LINES * self.deep, 2.2 * w.smallest), 1.15 * w.strap
        inner, outer = self._edges
        above = end + self.degrees((_WEDGE * self.deep + 1.15 * w.strap) * self.radius / inner)
        upper = sector(*self.middle, inner + edge, inner + edge + wide, -90 - self.end, -90 - above)
        lower = sector(*self.middle, outer - edge - wide, outer - edge, -90 - self.end, -90 - crease)
        clear = fold.buffer(1.3 * w.strap, join_style="mitre")
        lines = [line.intersection(inside).difference(clear) for line in (upper, lower)]
        return gather(soft(fold, 0.25), *(soft(line, 0.2) for line in lines))
