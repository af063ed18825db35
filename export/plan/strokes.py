"""Strokes as lines on a page, solid for the knife, dashed for scissors; pierces, overruns, freeing cuts."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from canivet.compose.planning.steps import CuttingPlan, OpeningPlan, Stroke
from canivet.export.page.pen import Pen

__all__ = ["DASHES", "FREES", "LINE", "draw_strokes"]

LINE = 0.22
"""mm; three cells of an office laser's screen of 106 lines an inch would be 0.72, but black has no screen."""

DASHES = "1.6 0.8"

FREES = 0.8
"""mm either side of the line that the bar at the end of a freeing cut reaches."""

_BAR_FROM = 1.0
"""Least radius on the page of an opening that has room for the bar."""

Line = list[tuple[float, float]]


def draw_strokes(
    pen: Pen,
    plan: CuttingPlan,
    places: Callable[[Any], NDArray[np.float64]],
    scale: float,
    *,
    within: Polygon | None = None,
) -> None:
    """Draw every stroke of a plan on a page.

    Parameters
    ----------
    pen : Pen
        The page.
    plan : CuttingPlan
        Whose strokes.
    places : function
        From places of the drawing, (n, 2), to places on the page.
    scale : float
        How much larger the page shows it.
    within : Polygon, optional
        Only what lies in it is drawn.
    """
    lines: dict[str, list[Line]] = {"knife": [], "scissors": [], "marks": []}
    for stroke in plan.outline:
        _add_stroke(lines, stroke, places, scale, bar=True)
    for opening in plan.openings:
        bar = opening.radius * scale >= _BAR_FROM
        for stroke in opening.strokes:
            _add_stroke(lines, stroke, places, scale, bar=bar)
        lines["marks"] += _cross(opening, places, scale)
    kept = {name: _clipped(own, within) for name, own in lines.items()}
    pen.lines(kept["knife"], width=LINE, name="knife")
    pen.lines(kept["scissors"], width=LINE, dashes=DASHES, name="scissors")
    pen.lines(kept["marks"], width=0.18, name="pierces-overruns-freeing")


def _add_stroke(
    lines: dict[str, list[Line]], stroke: Stroke, places: Callable[[Any], Any], scale: float, *, bar: bool
) -> None:
    points = places(stroke.points)
    lines[stroke.tool].append(_as_line(points))
    ahead = points[-1] - points[-2]
    ahead = ahead / (math.hypot(*ahead) or 1.0)
    if stroke.overrun and stroke.ahead is not None:
        lines["marks"].append(_as_line(np.array([points[-1], points[-1] + ahead * stroke.overrun * scale])))
    if stroke.frees and bar:
        across = np.array([-ahead[1], ahead[0]]) * FREES
        lines["marks"].append(_as_line(np.array([points[-1] - across, points[-1] + across])))


def _cross(opening: OpeningPlan, places: Callable[[Any], Any], scale: float) -> list[Line]:
    """Return the X that lets scissors in."""
    if opening.pierce is None:
        return []
    ((x, y),) = places([opening.pierce.at]).tolist()
    arm = opening.pierce.arm * scale * math.sqrt(0.5)
    return [[(x - arm, y - arm), (x + arm, y + arm)], [(x - arm, y + arm), (x + arm, y - arm)]]


def _as_line(points: NDArray[np.float64]) -> Line:
    return [(x, y) for x, y in points.round(3).tolist()]


def _clipped(lines: list[Line], within: Polygon | None) -> list[Line]:
    if within is None or not lines:
        return lines
    cut = shapely.intersection(_linestrings(lines), within)
    parts = shapely.get_parts(cut)
    return [list(part.coords) for part in parts if part.geom_type == "LineString" and not part.is_empty]


def _linestrings(lines: list[Line]) -> NDArray[np.object_]:
    counts = [len(line) for line in lines]
    flat = np.concatenate([np.asarray(line, float) for line in lines])
    made: NDArray[np.object_] = shapely.linestrings(flat, indices=np.repeat(np.arange(len(lines)), counts))
    return made
