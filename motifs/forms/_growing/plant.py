"""A plant while it grows: stems that must stay, and leaves that find room or are left out.

A sprout is accepted where it stands clear of all that is there already, except round its own root. What the
audit still finds wrong when all is joined is mended by leaving out the sprout nearest to it; the stem alone
always holds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from canivet.audit.boundary import Flags
from canivet.audit.strength import check_strength
from canivet.errors import DoesNotFit
from canivet.lengths import format_length
from canivet.motifs.forms._box import faults_in, fit_to_box, natural_box, require_box, without_pinholes
from canivet.motifs.shapes.openings import Points
from canivet.motifs.shapes.rounds import closed, parts_fitting

__all__ = ["Plant", "draw_in_box", "grow_in_box", "settle"]

_LEAST_STRAPS = 7.0
"""The shorter side of a box in straps: a stem, and to either side a leaf with white before it."""

_TRIALS = 10
"""How often a form may be grown before the best of them is taken."""

_ROUNDS = 60
"""How often the finished form may be looked over."""


@dataclass(frozen=True, slots=True)
class Sprout:
    """Something grown: its shape, its openings once wanted, the sprout that carries it (-1: a stem)."""

    shape: Polygon
    openings: Callable[[], Sequence[Polygon]]
    parent: int


@dataclass
class Plant:
    """Stems and sprouts in one frame.

    Attributes
    ----------
    strap, smallest : float
        mm, as asked.
    stems : list of Polygon
        What is never left out; together in one piece.
    frame : float
        Width of the frame it grows in: mm. A sprout that would stand out of it by more than a twelfth has no
        room.
    sprouts : list of Sprout
        What was accepted, in order.
    """

    strap: float
    smallest: float
    stems: list[Polygon] = field(default_factory=list)
    sprouts: list[Sprout] = field(default_factory=list)
    frame: float = math.inf
    _shapes: NDArray[np.object_] = field(default_factory=lambda: np.empty(0, dtype=object))
    _boxes: Points = field(default_factory=lambda: np.empty((4, 0)))

    @property
    def gap(self) -> float:
        """Return the white left between neighbours: mm."""
        return max(0.85 * self.strap, 2 * min(self.smallest, 0.6 * self.strap))

    @property
    def fillet(self) -> float:
        """Return the radius of inward joints: mm, so that no gap kept open is closed by rounding."""
        return 0.44 * self.gap

    def has_room(self, shape: Polygon, root: Points, grip: float) -> bool:
        """Say whether a shape stands clear of everything, further than `grip` from its root."""
        out = self.frame / 12
        if math.isfinite(out) and not -out <= shape.bounds[0] <= shape.bounds[2] <= self.frame + out:
            return False
        around = shapely.buffer(shapely.MultiPoint(np.atleast_2d(root)), grip, quad_segs=6)
        free = shape.difference(around)
        return bool(free.is_empty) or self.is_clear(free, self.gap)

    def is_clear(self, shape: Polygon | LineString, distance: float) -> bool:
        """Say whether all that is there is further than `distance` from a shape."""
        others, boxes = self._there()
        x0, y0, x1, y1 = shape.bounds
        d = distance
        close = (boxes[0] < x1 + d) & (boxes[2] > x0 - d) & (boxes[1] < y1 + d) & (boxes[3] > y0 - d)
        return not shapely.dwithin(others[close], shape, distance).any()

    def _there(self) -> tuple[NDArray[np.object_], Points]:
        """Return all shapes and their boxes, which are asked for far more often than they change."""
        count = len(self.stems) + len(self.sprouts)
        if count != len(self._shapes):
            self._shapes = np.array([*self.stems, *(s.shape for s in self.sprouts)], dtype=object)
            self._boxes = shapely.bounds(self._shapes).T
        return self._shapes, self._boxes

    def sprout(
        self,
        shape: Polygon,
        root: Points,
        *,
        grip: float,
        openings: Callable[[], Sequence[Polygon]] = tuple,
        parent: int = -1,
    ) -> int:
        """Accept a shape if it has room; return its number, or -1 where it was left out."""
        if not self.has_room(shape, root, grip):
            return -1
        self.sprouts.append(Sprout(shape, openings, parent))
        return len(self.sprouts) - 1

    @property
    def bounds(self) -> Points:
        """Return the box of all that has grown."""
        box: Points = shapely.total_bounds([*self.stems, *(s.shape for s in self.sprouts)])
        return box

    def paper(self, width: float, height: float) -> Polygon:
        """Join all that has grown, stretched into the box, leaving out what would not hold."""
        alive = np.ones(len(self.sprouts), bool)
        cuts = [list(s.openings()) for s in self.sprouts]
        for _ in range(_ROUNDS):
            main, *loose = self._joined(alive, cuts)
            whole, origin, ratio = fit_to_box(main, width, height)
            report = check_strength(whole, strap=self.strap, smallest=self.smallest)
            if report.holds and not loose:
                return whole
            adrift = [(part.representative_point().x, part.representative_point().y) for part in loose]
            faults = np.vstack([faults_in(report) / ratio + origin, *adrift])
            if not alive.any():
                break
            self._leave_out(alive, faults)
        raise DoesNotFit(
            f"strap is {format_length(self.strap)}; the stem of this form, {format_length(width)} by "
            f"{format_length(height)}, does not hold with it. Lower strap, widen the box or change seed.",
            parameter="strap", value=self.strap, accepted=f"less than {format_length(self.strap)}",
        )  # fmt: skip

    def _joined(self, alive: Flags, cuts: list[list[Polygon]]) -> list[Polygon]:
        """Return the form in one piece, and after it what is loose."""
        kept = np.flatnonzero(alive)
        solid = shapely.union_all([*self.stems, *(self.sprouts[k].shape for k in kept)])
        solid = closed(solid, self.fillet, sides=16)
        openings = [o for k in kept for o in cuts[k]]
        pierced = solid.difference(shapely.union_all(openings)) if openings else solid
        main, *loose = parts_fitting(pierced, self.strap / 2)
        return [without_pinholes(main.simplify(0.006), 1.005 * self.smallest + 0.003), *loose]

    def _leave_out(self, alive: Flags, faults: Points) -> None:
        """Strike the sprout nearest to each fault, the youngest of several, with all that it carries."""
        places = shapely.points(faults)
        live = np.flatnonzero(alive)
        shapes = np.array([self.sprouts[k].shape for k in live], dtype=object)
        for place in places:
            away = np.round(shapely.distance(shapes, place), 2)
            nearest = live[len(away) - 1 - int(np.argmin(away[::-1]))]
            alive[nearest] = False
        for k, sprout in enumerate(self.sprouts):
            if sprout.parent >= 0 and not alive[sprout.parent]:
                alive[k] = False


def settle(grow: Callable[[float, float], Plant], width: float, height: float) -> Plant:
    """Grow a form again until it nearly fills the box, and never more than fills it.

    What is then missing is made up by stretching, which can only widen straps.
    """
    w, h = 0.94 * width, 0.94 * height
    best, best_short = None, np.inf
    for trial in range(_TRIALS):
        plant = grow(w, h)
        x0, y0, x1, y1 = plant.bounds
        ratio = np.array([width / (x1 - x0), height / (y1 - y0)])
        short = float(np.abs(np.log(ratio)).max()) + (10.0 if ratio.min() < 1 else 0.0)
        if short < best_short:
            best, best_short = plant, short
        if short < (0.02 if trial < 2 else 0.05 if trial < 5 else 9):
            break
        # A form that does not settle, because a leaf comes and goes, is drawn small until it fits.
        shy = 0.993 - 0.02 * max(0, trial - 1)
        w, h = np.array([w, h]) * ratio * shy
    assert best is not None
    return best


def draw_in_box(
    draw: Callable[[float, float], Polygon],
    width: float,
    height: float,
    *,
    strap: float,
    broadest: float,
    slenderest: float,
    what: str,
    lying: bool = False,
) -> Polygon:
    """Draw a form in the largest box of its proportions, on its side where the box is wide and it may lie.

    Parameters
    ----------
    draw : callable
        Given the width and height of that box, what to draw.
    width, height : float
        Of the box to fill: mm.
    strap : float
        mm.
    broadest, slenderest : float
        Most and least width of the form upright, as a share of its height.
    what : str
        What it is called where there is no room for it.
    lying : bool
        Whether it may lie, its foot to the left.

    Returns
    -------
    Polygon
        The paper, its box at the origin.

    Raises
    ------
    DoesNotFit
        If the box is too small for the straps.
    """
    turn = lying and width > height
    across, up = (height, width) if turn else (width, height)
    across, up = natural_box(across, up, broadest=broadest, slenderest=slenderest)
    least = _LEAST_STRAPS * strap
    require_box(what, strap, {"width": (width, least), "height": (height, least)})
    paper = draw(across, up)
    return shapely.transform(paper, lambda points: points[:, ::-1]) if turn else paper


def grow_in_box(
    grow: Callable[..., Plant],
    width: float,
    height: float,
    *,
    strap: float,
    smallest: float,
    seed: int,
    broadest: float,
    slenderest: float,
    what: str,
    lying: bool = False,
) -> Polygon:
    """Grow a plant until it settles in the largest box of its proportions.

    `grow` takes width, height, strap, smallest and seed; the rest is as for `draw_in_box`.
    """

    def draw(across: float, up: float) -> Polygon:
        plant = settle(partial(grow, strap=strap, smallest=smallest, seed=seed), across, up)
        return plant.paper(across, up)

    return draw_in_box(
        draw, width, height, strap=strap, broadest=broadest, slenderest=slenderest, what=what, lying=lying
    )
