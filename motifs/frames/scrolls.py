"""A frame whose lettering lies on a ribbon hung across it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

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

from ._openings import (
    block,
    ellipse,
    gather,
    largest,
    lay,
    leaf,
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
    put_together,
    require_side,
    widths,
)
from .frame import Frame, frame

__all__ = ["banner"]

_USUAL = 0.105
"""Height of the panel as a share of the plate's, if nothing is asked."""

_TAILED, _DEEPEST = 0.18, 0.5
"""Depth of a ribbon with folded tails beside it, and of any, as shares of the field's width."""

_ARCH = 0.2
"""How high head and foot of the field are arched, as a share of its width; the ground goes on about them."""

_SHORT = 0.7
"""Tails shorter than this share of the ribbon's depth are left out, and the ribbon is longer."""

_FRONT = 0.3
"""Half the length of a front between tails, as a share of the field's width."""

_SAG = 0.05
"""How far a ribbon hangs through, as a share of the field's width."""


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
    ground: GroundName = "fish-scale-lattice",
    pitch: GroundPitch | None = None,
    panel: PanelShare = _USUAL,
) -> Frame:
    """A ribbon hung across an arched field, folded back to both sides; a ground in the corners, a border.

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
        Paper kept along the outline, and of the main members: mm, 0.3 to 40; left out, 2.4 straps. The rules
        between are as much wider than the strap as they are narrower than the rim.
    border : str
        Ornament of the border, any border motif, default round-arcade.
    band : float, optional
        Width of the border: mm, 3 to 80; left out, about a tenth of the short side, or as much wider as its
        ornament needs.
    ground : str
        Pattern of the ground, any lattice motif, default fish-scale-lattice.
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
    w = widths(width, height, strap, smallest, rim)
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
    name = ribbon.piece(ribbon.radius - deep, ribbon.radius, ribbon.turn)
    cloth = shapely.union_all([name.buffer(w.rail, join_style="mitre"), *ribbon.tails()])
    field = _arched(inside)
    above, *below = _from_the_largest(soft(field.difference(cloth), 0.4))
    taken = height - (above.bounds[3] - above.bounds[1])
    require_side("height", height, taken + 0.4 * w.short, "a window over its ribbon")
    ground_cells = fill(inside.difference(field.buffer(w.rail, quad_segs=24)), ground, pitch, w)
    folds = mirrored(ribbon.folds(), x)
    arcs = {"name": (*ribbon.middle, -(ribbon.radius - deep / 2))}
    ornament = [openings, ground_cells, gather(below), folds]
    return put_together(outline, ornament, above, {"name": name}, w, arcs)


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
        drop = 0.4 * deep if half < 0.35 * wide else 0.0
        turn = math.degrees(math.asin(half / radius))
        end = math.degrees(math.asin((wide / 2 + w.rail) / (radius - deep)))
        return cls(middle, radius, deep, drop, turn, end, wide / 2, w)

    def piece(self, inner: float, outer: float, turn: float) -> Polygon:
        """Return the part of a ring from a turn on the left to the same on the right."""
        return sector(*self.middle, inner, outer, -90 - turn, -90 + turn)

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
        start = self.turn - self.degrees(0.5 * self.deep)
        return [
            sector(*self.middle, *self._edges, *sorted((-90 + side * start, -90 + side * self.end)))
            for side in (-1, 1)
        ]

    def _at(self, place: tuple[float, float], side: int) -> tuple[float, float]:
        radius, turn = place[0], math.radians(place[1])
        return self.middle[0] + side * radius * math.sin(turn), self.middle[1] - radius * math.cos(turn)

    def folds(self) -> Shapes:
        """Return the slit that parts the left tail from the front, and a leaf along the tail."""
        if not self.has_tails:
            return no_shapes()
        w, (inner, outer) = self.w, self._edges
        slit = max(2.1 * w.smallest, 0.9)
        start = self.turn + self.degrees(w.rail)
        fold = sector(
            *self.middle, inner + w.rail, outer - self.drop - w.strap,
            -90 - start - self.degrees(slit), -90 - start,
        )  # fmt: skip
        line = self.radius + self.drop - self.deep / 2
        first = start + self.degrees(slit + 1.2 * w.strap)
        last = math.degrees(math.asin(self.half / line)) - self.degrees(2 * w.strap)
        long = math.radians(last - first) * line
        if long < 6 * w.smallest + w.strap:
            return soft(fold, 0.25)
        at = np.array(self._at((line, last), -1))
        way = math.radians(-(first + last) / 2)
        return gather(soft(fold, 0.25), lay(leaf(long, min(0.4 * self.deep, 0.4 * long), belly=1.0), at, way))
