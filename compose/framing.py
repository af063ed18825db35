"""A frame in a design: its table read, and drawn in the shape a plate is composed from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from canivet.errors import BadValue, CanivetError, suggest
from canivet.motifs.registry import Motif, find_motif
from canivet.parameters import read_value

__all__ = ["DrawnFrame", "UsedFrame", "draw_frame", "find_panel", "read_frame"]

_COMPOSER_GIVES = {"width", "height", "strap", "smallest"}
"""What the plate itself tells its frame."""


@dataclass(frozen=True, slots=True)
class UsedFrame:
    """A frame and the settings the design gives it."""

    motif: Motif
    settings: dict[str, Any]


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


def read_frame(given: Any, faults: list[str], *, table: str = "frame") -> UsedFrame | None:
    """Check a design's frame table against the frame's own signature.

    Parameters
    ----------
    given : str or mapping
        A frame's name, or a table with ``motif`` and any of its settings.
    faults : list of str
        Every fault found is added to it.
    table : str
        What the table is called, for the wording.

    Returns
    -------
    UsedFrame or None
        None where there is no such frame.

    Examples
    --------
    >>> faults = []
    >>> read_frame({"motif": "plinth", "rim": "3 mm"}, faults).settings, faults
    ({'rim': 3.0}, [])
    """
    given = {"motif": given} if isinstance(given, str) else given
    if not isinstance(given, dict) or not isinstance(given.get("motif"), str):
        faults.append(f'{table}.motif is missing; name a frame, as in motif = "arched-window".')
        return None
    try:
        motif = find_motif(given["motif"], family="frame", parameter=f"{table}.motif")
    except BadValue as error:
        faults.append(error.message)
        return None
    known = {name: bound for name, bound in motif.parameters.items() if name not in _COMPOSER_GIVES}
    settings = {}
    for key, value in given.items():
        if key == "motif":
            continue
        if key not in known:
            names = ["motif", *known]
            faults.append(f"{table}.{key} is not known.{suggest(key, names)} Known here: {', '.join(names)}.")
            continue
        try:
            settings[key] = read_value(known[key], value)
        except CanivetError as error:
            faults.append(f"{table}.{error.message}")
    return UsedFrame(motif, settings)


def draw_frame(used: UsedFrame, *, width: float, height: float, strap: float, smallest: float) -> DrawnFrame:
    """Draw a frame at the plate's size, its window opened.

    Parameters
    ----------
    used : UsedFrame
        From `read_frame`.
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
    >>> drawn = draw_frame(read_frame("plinth", []), width=90, height=150, strap=1.2, smallest=0.5)
    >>> drawn.openings[-1] is drawn.window, list(drawn.panels)
    (True, ['name'])
    """
    asked = {"width": width, "height": height, "strap": strap, "smallest": smallest}
    frame = used.motif.draw(**{**used.settings, **asked})
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
