"""A frame in a design, drawn in the shape a plate is composed from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from canivet.compose.design.motif_table import UsedMotif
from canivet.errors import BadValue, suggest

__all__ = ["DrawnFrame", "draw_frame", "find_panel"]


class DrawnFrame(NamedTuple):
    """A frame, ready for a plate.

    Attributes
    ----------
    outline : Polygon
        The solid piece.
    window : Polygon
        Where silhouettes go.
    openings : ndarray of Polygon
        All that is cut away, the window last; no panel among them.
    panels : mapping of str to Polygon
        Places for lettering by name, still solid.
    arcs : mapping of str to (float, float, float)
        Of panels that are bent: centre, and radius of the middle line, below zero where it hangs down.
    """

    outline: Polygon
    window: Polygon
    openings: NDArray[np.object_]
    panels: Mapping[str, Polygon]
    arcs: Mapping[str, tuple[float, float, float]]


def draw_frame(used: UsedMotif, *, width: float, height: float, strap: float, smallest: float) -> DrawnFrame:
    """Draw a frame at the plate's size, its window opened.

    Parameters
    ----------
    used : UsedMotif
        Of a frame.
    width, height : float
        mm, of the plate.
    strap, smallest : float
        mm; the width to draw straps at and the radius of the smallest opening.

    Returns
    -------
    DrawnFrame

    Raises
    ------
    DoesNotFit
        If the frame cannot be drawn at that size.

    Examples
    --------
    >>> from canivet.compose.design.motif_table import read_motif
    >>> used, _ = read_motif("frame", "frame", "plinth")
    >>> drawn = draw_frame(used, width=90, height=150, strap=1.2, smallest=0.5)
    >>> drawn.openings[-1] is drawn.window, list(drawn.panels)
    (True, ['name'])
    """
    asked = {"width": width, "height": height, "strap": strap, "smallest": smallest}
    frame = used.draw(**asked)
    cut = shapely.polygons(shapely.get_rings(frame.paper)[1:])
    openings = np.empty(len(cut) + 1, dtype=object)
    openings[:-1], openings[-1] = cut, frame.window
    return DrawnFrame(Polygon(frame.paper.exterior), frame.window, openings, frame.panels, frame.arcs)


def find_panel(panels: Mapping[str, Polygon], name: str, *, parameter: str = "lettering.panel") -> Polygon:
    """Return the panel of that name.

    Raises
    ------
    BadValue
        If the frame has none of that name.

    Examples
    --------
    >>> find_panel({"name": Polygon([(0, 0), (9, 0), (9, 4)])}, "Name").area
    18.0
    """
    key = name.strip().lower()
    if key in panels:
        return panels[key]
    known = ", ".join(panels) or "none"
    raise BadValue(
        f"{parameter} is {name!r}; the frame has no panel of that name.{suggest(key, panels)} "
        f"Its panels: {known}.",
        parameter=parameter, value=name, accepted=known,
    )  # fmt: skip
