"""Lanes of a wedge: the rings or rows that motifs are nested in, each with coordinates of its own.

Across a lane `u` runs from the wedge's first side (0) to its second (1), and beyond either as its mirror
image would; along it `v` runs from the inside (0) to the outside (1). A wedge with a point has round lanes
about it; an oblong has level ones.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.folding.fold import Fold
from canivet.motifs.shapes.openings import Points

__all__ = ["Lane", "Plan", "depth_of", "lay_lanes"]

_STEP = 0.08
"""Radians; sides of a shape are split this finely before they are bent round the point."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How lanes lie in a wedge: round about a point between two angles, or level between two sides.

    Attributes
    ----------
    round : bool
        Whether lanes bend about `origin`.
    origin : tuple of float
        The point, or the lower left corner, mm.
    first, last : float
        Angles in radians where u is 0 and 1, or x in mm.
    depth : float
        How far it is from the point to the outside, or from the first row to the last, mm.
    downward : bool
        Whether level rows run down from `origin`, since the fold is above and the open edge below.
    """

    round: bool
    origin: tuple[float, float]
    first: float
    last: float
    depth: float
    downward: bool = False


@dataclass(frozen=True, slots=True)
class Lane:
    """One ring or row, from `low` to `high` mm out from the plan's origin."""

    plan: Plan
    low: float
    high: float

    @property
    def depth(self) -> float:
        """Return how far it is across the lane, mm."""
        return self.high - self.low

    def width(self, v: float = 0.5) -> float:
        """Return the way from u = 0 to u = 1, mm, measured along the lane."""
        across = abs(self.plan.last - self.plan.first)
        return across * (self.low + v * self.depth) if self.plan.round else across

    def place(self, points: Points) -> Points:
        """Return points (u, v) in the wedge's own coordinates."""
        u, v = points[:, 0], points[:, 1]
        across = self.plan.first + u * (self.plan.last - self.plan.first)
        out = self.low + v * self.depth
        x0, y0 = self.plan.origin
        if not self.plan.round:
            return np.column_stack([across, y0 - out if self.plan.downward else y0 + out])
        return np.column_stack([x0 + out * np.cos(across), y0 + out * np.sin(across)])

    def bend(self, points: Points) -> Polygon:
        """Return a shape drawn in (u, v) as an area of the wedge, its sides following the lane."""
        closed = np.vstack([points, points[:1]])
        turn = abs(self.plan.last - self.plan.first) if self.plan.round else 0.0
        pieces = np.maximum(1, np.ceil(np.abs(np.diff(closed[:, 0])) * turn / _STEP)).astype(int)
        split = [
            closed[i] + (closed[i + 1] - closed[i]) * (np.arange(n) / n)[:, None]
            for i, n in enumerate(pieces.tolist())
        ]
        shape = Polygon(self.place(np.vstack(split)))
        return shape if shape.is_valid else max(
            shapely.get_parts(shape.buffer(0)), key=lambda part: part.area, default=Polygon()
        )  # fmt: skip

    def stand(self, shape: BaseGeometry, u: float, v: float) -> BaseGeometry:
        """Return a shape drawn in mm about its own origin, its up pointing out, set in the lane unbent."""
        x, y = self.place(np.array([(u, v)], float))[0]
        up = self.plan.first + u * (self.plan.last - self.plan.first) if self.plan.round else math.pi / 2
        up += math.pi if self.plan.downward else 0.0
        c, s = math.cos(up - math.pi / 2), math.sin(up - math.pi / 2)
        return affine_transform(shape, (c, -s, s, c, x, y))

    def region(self, inset: float) -> Polygon:
        """Return the lane's own area, drawn in from its neighbours, reaching well past both sides."""
        share = inset / self.depth
        reach = 1.0 if self.plan.round and abs(self.plan.last - self.plan.first) > math.pi / 3 else 1.5
        u = np.linspace(1 - reach if reach > 1 else -0.5, reach if reach > 1 else 1.5, 64)
        outer = np.column_stack([u, np.full(64, 1 - share)])
        inner = np.column_stack([u[::-1], np.full(64, share)])
        return Polygon(self.place(np.vstack([outer, inner])))


def depth_of(fold: Fold, *, round_lanes: bool | None = None) -> Plan:
    """Return how lanes lie in the wedge of a fold.

    Parameters
    ----------
    fold : Fold
        Any.
    round_lanes : bool or None
        Whether the lanes of an oblong wedge bend about the corner where its creases meet; None for level rows
        except in a quarter. A wedge with a point has round lanes always.

    Returns
    -------
    Plan

    Examples
    --------
    >>> from canivet.motifs.folding.folds import medallion_fold
    >>> round(depth_of(medallion_fold(count=4, width=100)).depth, 6)
    50.0
    """
    corners = shapely.get_coordinates(fold.wedge)[:-1]
    low_x, low_y, high_x, high_y = fold.wedge.bounds
    oblong = len(corners) == 4 and math.isclose(fold.wedge.area, (high_x - low_x) * (high_y - low_y))
    if oblong and not (fold.name == "quarter" if round_lanes is None else round_lanes):
        downward = _creased_at(fold, high_y) and not _creased_at(fold, low_y)
        return Plan(False, (low_x, high_y if downward else low_y), low_x, high_x, high_y - low_y, downward)
    x, y = (low_x, low_y)
    away = corners - np.array([x, y])
    reach = np.hypot(*away.T)
    angles = np.arctan2(away[:, 1], away[:, 0])[reach > 1e-9]
    return Plan(True, (x, y), float(angles.max()), float(angles.min()), float(reach.max()))


def _creased_at(fold: Fold, y: float) -> bool:
    """Whether the level side of an oblong wedge at that height is folded."""
    return any(edge.creased for edge in fold.edges if all(abs(at[1] - y) < 1e-6 for at in edge.line.coords))


def lay_lanes(
    plan: Plan, shares: Sequence[float], *, low: float, high: float, gap: float = 0.0
) -> list[Lane]:
    """Divide the wedge into nested lanes whose depths are as the shares, with `gap` mm between them.

    Raises
    ------
    DoesNotFit
        If they would be under 2 mm deep.
    """
    room = high - low - gap * (len(shares) - 1)
    total = sum(shares)
    lanes: list[Lane] = []
    at = low
    for share in shares:
        deep = room * share / total
        if deep < 2:
            raise DoesNotFit(
                f"rings leave one of them {format_length(max(deep, 0), 2)} deep; each needs at least 2 mm. "
                "Use fewer rings, or a larger sheet.",
                parameter="rings", value=deep, accepted="at least 2 mm a ring",
            )  # fmt: skip
        lanes.append(Lane(plan, at, at + deep))
        at += deep + gap
    return lanes
