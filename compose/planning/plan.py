"""The plan of a whole piece: order, strokes, tools, hours."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from scipy.sparse.csgraph import minimum_spanning_tree
from scipy.spatial import Delaunay, QhullError
from shapely.geometry import Polygon

from canivet.audit.boundary import Floats, Paper, require_valid
from canivet.cutting import Cutting
from canivet.errors import DoesNotFit

from .order import plan_order
from .settings import PlanSettings
from .steps import CuttingPlan, Grade, OpeningPlan, Stroke

__all__ = ["plan_cutting"]


def plan_cutting(
    paper: Paper | Cutting,
    *,
    settings: PlanSettings | None = None,
    strap: float | None = None,
    mirrored: bool | None = None,
    layers: int = 1,
    title: str = "",
) -> CuttingPlan:
    """Plan how a piece is cut.

    Parameters
    ----------
    paper : Polygon or Cutting
        What stays, mm, in one part, with at least one opening.
    settings : PlanSettings, optional
        Hand, tools, surface, pace, thresholds.
    strap : float, optional
        The width it holds at, mm; a cutting's own, else 1.2.
    mirrored : bool, optional
        Whether it is cut from the back; as a cutting's faces have it, else not.
    layers : int
        Sheets under the blade.
    title : str
        A cutting's own, else this.

    Returns
    -------
    CuttingPlan

    Raises
    ------
    BadValue
        If the paper is not valid.
    DoesNotFit
        If it is in several parts, has no openings, or cannot be cut with the tools at hand.

    Examples
    --------
    >>> from shapely import box
    >>> plan = plan_cutting(box(0, 0, 30, 20) - box(5, 5, 9, 9) - box(14, 5, 25, 15))
    >>> [round(opening.area) for opening in plan.openings]
    [16, 110]
    """
    settings = settings or PlanSettings()
    del strap
    if isinstance(paper, Cutting):
        mirrored = paper.stock.faces.mirrored if mirrored is None else mirrored
        title = title or paper.title
        paper = paper.paper
    whole = _one_part(paper)
    solid = shapely.polygons(shapely.get_rings(whole)[1:])
    discs = shapely.maximum_inscribed_circle(solid, tolerance=0.01)
    at, radius = shapely.get_coordinates(discs)[::2], shapely.length(discs)
    area, perimeter = shapely.area(solid), shapely.length(solid)
    delicacy = perimeter / np.sqrt(area) / radius
    delicacy /= delicacy.mean()
    order, support = plan_order(at, area, delicacy, settings.reach)
    steps = [
        OpeningPlan(
            turn, int(k), tuple(at[k].tolist()), float(radius[k]), float(area[k]), float(delicacy[k]), 1,
            None, _strokes(solid[k], bool(mirrored)),
        )
        for turn, k in enumerate(order, start=1)
    ]  # fmt: skip
    length = sum(step.length for step in steps) + whole.exterior.length
    path = float(np.hypot(*np.diff(at[order], axis=0).T).sum())
    return CuttingPlan(
        openings=tuple(steps), outline=_strokes(Polygon(whole.exterior), bool(mirrored)), settings=settings,
        title=title, mirrored=bool(mirrored), layers=layers, support=support,
        travel=path / _spanning_length(at) if len(at) > 1 else 0.0, turning=0.0, turning_plain=0.0,
        cut_length={"knife": length, "scissors": 0.0}, minutes=length / settings.pace.knife, blades=1,
        sittings=1, grade=Grade(1, ()), overruns=(),
    )  # fmt: skip


def _one_part(paper: Paper) -> Polygon:
    parts = shapely.get_parts(require_valid(paper))
    if len(parts) > 1:
        raise DoesNotFit(
            f"the paper is in {len(parts)} parts; a plan is for one piece. Join them "
            "first (canivet join), or plan each alone.",
            parameter="paper", value=len(parts), accepted="one part",
        )  # fmt: skip
    whole: Polygon = parts[0]
    if not whole.interiors:
        raise DoesNotFit(
            "the piece has no openings; there is nothing to put in order. Cut round its outline.",
            parameter="paper", accepted="at least one opening",
        )  # fmt: skip
    return whole


def _strokes(solid: Polygon, mirrored: bool) -> tuple[Stroke, ...]:
    points = solid.exterior.coords[:]
    pairs = list(pairwise(points))
    return tuple(
        Stroke("knife", (a, b), _sheet_angle(a, b, mirrored), 0.3, None, k == len(pairs) - 1)
        for k, (a, b) in enumerate(pairs)
    )


def _sheet_angle(a: tuple[float, ...], b: tuple[float, ...], mirrored: bool) -> float:
    dx = a[0] - b[0] if mirrored else b[0] - a[0]
    return (-90 - math.degrees(math.atan2(b[1] - a[1], dx))) % 360


def _spanning_length(at: Floats) -> float:
    """Return the length of the minimum spanning tree, which lies within the Delaunay triangulation."""
    from scipy.sparse import coo_matrix

    try:
        triangles = Delaunay(at).simplices
        pairs = np.unique(
            np.sort(np.vstack([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [0, 2]]])), axis=0
        )
    except QhullError:  # all in a line
        row = np.lexsort(at.T)
        pairs = np.column_stack([row[:-1], row[1:]])
    apart = np.hypot(*(at[pairs[:, 0]] - at[pairs[:, 1]]).T)
    return float(minimum_spanning_tree(coo_matrix((apart, pairs.T), shape=(len(at),) * 2)).sum())
