"""Putting a silhouette where it belongs: by anchor, size, turn, mirror and offset."""

from __future__ import annotations

import math
from typing import TypeVar

from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from canivet.compose.design.finishing import PatchSettings
from canivet.compose.design.loading import LetteringSettings, Measure, PlacedSilhouette, VignetteSettings
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm

__all__ = ["place_silhouette", "put", "require_inside"]

Area = TypeVar("Area", Polygon, MultiPolygon, Polygon | MultiPolygon)

_ACROSS = {"left": 0.0, "right": 1.0}
_UP = {"foot": 0.0, "top": 1.0}


def anchor_share(anchor: str) -> tuple[float, float]:
    """Return where in a bounding box an anchor lies, as shares from its lower left corner.

    Examples
    --------
    >>> anchor_share("foot"), anchor_share("top right")
    ((0.5, 0.0), (1.0, 1.0))
    """
    words = anchor.split()
    across = next((_ACROSS[w] for w in words if w in _ACROSS), 0.5)
    up = next((_UP[w] for w in words if w in _UP), 0.5)
    return across, up


def place_silhouette(
    area: MultiPolygon | Polygon, placed: PlacedSilhouette, window: Polygon
) -> MultiPolygon | Polygon:
    """Return `area`, already at its size, turned, mirrored and moved to its place in the window.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        mm, at the size it is to have.
    placed : PlacedSilhouette
        Where it goes. Its anchor is a point of its own bounding box (after turning), which is put on the
        point `at` of the window's bounding box, or on the point of the same name.
    window : Polygon
        The region inside the border.

    Returns
    -------
    Polygon or MultiPolygon
    """
    if placed.mirror:
        area = affinity.scale(area, -1, 1)
    if placed.turn:
        area = affinity.rotate(area, placed.turn)
    return put(area, placed, window)


def put(
    area: Area,
    placed: PlacedSilhouette | VignetteSettings | LetteringSettings | PatchSettings,
    window: Polygon,
) -> Area:
    """Return `area` moved so that its anchor lies on its place in the window."""
    share = anchor_share(placed.anchor)
    own = _point(area.bounds, share)
    at = placed.at or (Measure(share[0], of_window=True), Measure(share[1], of_window=True))
    x0, y0, x1, y1 = window.bounds
    goal = (x0 + at[0].within(x1 - x0) + placed.offset[0], y0 + at[1].within(y1 - y0) + placed.offset[1])
    moved: Area = affinity.translate(area, goal[0] - own[0], goal[1] - own[1])
    return moved


def require_inside(area: MultiPolygon | Polygon, outline: Polygon, *, name: str) -> None:
    """Refuse a silhouette that reaches over the edge of the piece.

    Raises
    ------
    DoesNotFit
        Saying by how much, and what would fit.
    """
    if outline.buffer(1e-6).contains(area):
        return
    x0, y0, x1, y1 = area.bounds
    outer = outline.bounds
    spare = area.difference(outline)
    at = spare.representative_point()
    over = max(outer[0] - x0, outer[1] - y0, x1 - outer[2], y1 - outer[3])
    by = f" by {format_mm(over, 1)} mm" if over > 0 else ""
    share = min((outer[2] - outer[0]) / (x1 - x0), (outer[3] - outer[1]) / (y1 - y0))
    smaller = f" At {math.floor(100 * share)} % of that size it would fit." if share < 1 else ""
    raise DoesNotFit(
        f"{name} is {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm and reaches over the "
        f"edge of the plate{by} near ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm. Make it smaller, "
        f"or move it with at or offset.{smaller}",
        parameter=name, value=(x1 - x0, y1 - y0), accepted="a silhouette inside the outline", at=(at.x, at.y),
    )  # fmt: skip


def _point(bounds: tuple[float, float, float, float], share: tuple[float, float]) -> tuple[float, float]:
    x0, y0, x1, y1 = bounds
    return x0 + share[0] * (x1 - x0), y0 + share[1] * (y1 - y0)
