"""A frame whose lettering lies on a ribbon hung below the window."""

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

_HEAD = 0.2
"""How high the window's head is arched, as a share of the field's width; the ground goes on over it."""

_SHORT = 0.7
"""Tails shorter than this share of the ribbon's depth are left out, and the ribbon is longer."""

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
    """A hanging ribbon with folded swallow tails below an arched window, a ground round both, a border.

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
    front, tails = name.buffer(w.rail, join_style="mitre"), ribbon.tails()
    taken_up = shapely.union_all([front, *tails, ribbon.lower()])
    window = largest(soft(_arched(inside).difference(taken_up), 0.4))
    taken = height - (window.bounds[3] - window.bounds[1])
    require_side("height", height, taken + 0.4 * w.short, "a window over its ribbon")
    solid = shapely.union_all([front, *tails, window.buffer(w.rail, quad_segs=24)])
    ground_cells = fill(inside.difference(solid), ground, pitch, w)
    folds = mirrored(ribbon.folds(), x)
    arcs = {"name": (*ribbon.middle, -(ribbon.radius - deep / 2))}
    return put_together(outline, [openings, ground_cells, folds], window, {"name": name}, w, arcs)


def _arched(inside: Polygon) -> Polygon:
    """Return a region with its head rounded to half an oval."""
    x0, y0, x1, y1 = inside.bounds
    half, rise = (x1 - x0) / 2, _HEAD * (x1 - x0)
    arch = ellipse(x0 + half, y1 - rise, half, rise).union(block(x0, y0, x1, y1 - rise))
    return largest(shapely.get_parts(arch))


@dataclass(frozen=True, slots=True)
class _Ribbon:
    """A ribbon hung along a circle about `middle`: its front between two turns, its tails behind and lower.

    Turns are degrees from the foot of the circle; `end` is that of the tails' tips.
    """

    middle: tuple[float, float]
    radius: float
    deep: float
    drop: float
    turn: float
    end: float
    w: Widths

    @classmethod
    def hung(cls, box: tuple[float, float, float, float], deep: float, w: Widths) -> _Ribbon:
        """Hang a ribbon across the foot of a box; where its tails would be stubs, it goes without."""
        x0, y0, x1, _ = box
        wide = x1 - x0
        free = wide / 2 - 0.8 * w.rim
        half = 0.32 * wide
        if free - half < _SHORT * deep or deep < 6.5 * w.strap:
            half = 0.44 * wide
        radius = (half**2 + (_SAG * wide) ** 2) / (2 * _SAG * wide)
        middle = ((x0 + x1) / 2, y0 + w.grown(12.0, 0.7) + w.rail + radius)
        drop = 0.4 * deep
        turn = math.degrees(math.asin(half / radius))
        end = turn if half > 0.35 * wide else math.degrees(math.asin(free / (radius + w.rail + drop)))
        return cls(middle, radius, deep, drop, turn, end, w)

    def piece(self, inner: float, outer: float, turn: float) -> Polygon:
        """Return the part of a ring from a turn on the left to the same on the right."""
        return sector(*self.middle, inner, outer, -90 - turn, -90 + turn)

    def degrees(self, length: float) -> float:
        """Return the turn that a length along the ribbon takes."""
        return math.degrees(length / self.radius)

    @property
    def has_tails(self) -> bool:
        """Whether there is room for tails."""
        return self.end > self.turn

    @property
    def _edges(self) -> tuple[float, float]:
        return self.radius - self.deep - self.w.rail + self.drop, self.radius + self.w.rail + self.drop

    def tails(self) -> list[Polygon]:
        """Return the two ends, cut to swallow tails."""
        if not self.has_tails:
            return []
        inner, outer = self._edges
        found = []
        for side in (-1, 1):
            first, last = sorted(
                -90 + side * t for t in (self.turn - self.degrees(0.5 * self.deep), self.end)
            )
            tips = [(inner, self.end), (outer, self.end)]
            notch = ((inner + outer) / 2, self.end - self.degrees(0.5 * self.deep))
            cut = Polygon([self._at(notch, side), self._at(tips[1], side), self._at(tips[0], side)])
            found.append(sector(*self.middle, inner, outer, first, last).difference(cut.buffer(1e-6)))
        return found

    def _at(self, place: tuple[float, float], side: int) -> tuple[float, float]:
        radius, turn = place[0], math.radians(place[1])
        return self.middle[0] + side * radius * math.sin(turn), self.middle[1] - radius * math.cos(turn)

    def lower(self) -> Polygon:
        """Return all that lies below the ribbon, its tails, and the floor that runs on from them."""
        inner, outer = self._edges
        far, drop = 3 * self.radius, self.drop if self.has_tails else 0.0
        x, y = self.middle
        lower: Polygon = shapely.union_all(
            [
                self.piece(inner - self.drop, far, self.turn + self.degrees(self.w.rail)),
                self.piece(self.radius + drop, far, self.end),
                block(x - far, y - far, x + far, self._at((outer - self.drop + drop, self.end), 1)[1]),
            ]
        )
        return lower

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
        first = start + self.degrees(slit + 1.2 * w.strap)
        last = self.end - self.degrees(0.5 * self.deep + 2 * w.strap)
        line = self.radius + self.drop - self.deep / 2
        long = math.radians(last - first) * line
        if long < 6 * w.smallest + w.strap:
            return soft(fold, 0.25)
        at = np.array(self._at((line, last), -1))
        way = math.radians(-(first + last) / 2)
        return gather(soft(fold, 0.25), lay(leaf(long, min(0.4 * self.deep, 0.4 * long), belly=1.0), at, way))
