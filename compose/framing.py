"""What silhouettes and words are put into: a frame, or outline, border, vignette and ground one by one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.compose.design.loading import Design, VignetteSettings
from canivet.compose.design.motif_table import UsedMotif
from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import format_mm
from canivet.motifs.borders.band import inner_edge
from canivet.motifs.registry import find_motif
from canivet.motifs.shapes.openings import openings_in

from .openings import Openings
from .placing import put

__all__ = ["DrawnFrame", "draw_frame", "draw_surround", "find_panel"]


class DrawnFrame(NamedTuple):
    """A frame, ready for a plate.

    Attributes
    ----------
    outline : Polygon
        The solid piece.
    window : Polygon
        Where silhouettes go.
    openings : Openings
        All that is cut away, the window last; no panel among them.
    panels : mapping of str to Polygon
        Places for lettering by name, still solid.
    arcs : mapping of str to (float, float, float)
        Of panels that are bent: centre, and radius of the middle line, below zero where it hangs down.
    """

    outline: Polygon
    window: Polygon
    openings: Openings
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
    >>> drawn.openings.areas[-1] is drawn.window, list(drawn.panels)
    (True, ['name'])
    """
    asked = {"width": width, "height": height, "strap": strap, "smallest": smallest}
    frame = used.draw(**asked)
    openings = Openings.of(openings_in(frame.paper), "frame").and_of([frame.window], "window")
    return DrawnFrame(Polygon(frame.paper.exterior), frame.window, openings, frame.panels, frame.arcs)


def draw_surround(design: Design, *, width: float, height: float) -> DrawnFrame:
    """Draw all that silhouettes and words are put into: a frame, or outline, border and ground one by one.

    Parameters
    ----------
    design : Design
        Its tables of frame, outline, border, vignette and ground.
    width, height : float
        mm, of the plate.

    Raises
    ------
    DoesNotFit
        If something cannot be drawn at that size.
    """
    if design.frame is not None:
        return draw_frame(design.frame, width=width, height=height, **design.promised)
    outline: Polygon = design.outline.draw(width=width, height=height)
    window, openings = _border_and_ground(design, outline)
    return DrawnFrame(outline, window, openings, {}, {})


def _border_and_ground(design: Design, outline: Polygon) -> tuple[Polygon, Openings]:
    """Return the window inside the border, and the openings of border and ground."""
    openings = Openings.of([], "border")
    if design.border is None:
        window = _one_region(outline.buffer(-design.rim), "rim", design.rim)
    else:
        openings = openings.and_of(design.border.openings(within=outline, **design.promised), "border")
        band = design.border.settings.get("band", design.border.motif.parameters["band"].default)
        window = inner_edge(outline, band)
    field, clear = window, None
    if design.vignette is not None:
        clear = _draw_vignette(design.vignette, window)
        field = _round_vignette(design, window, clear)
        openings = openings.and_of([clear], "vignette")
    if design.ground is not None:
        openings = openings.and_of(design.ground.openings(within=field, **design.promised), "ground")
    elif clear is None:
        openings = openings.and_of([window], "window")
    return clear or window, openings


def _round_vignette(design: Design, window: Polygon, clear: Polygon) -> Polygon:
    """Return the window without the vignette and its rim."""
    assert design.vignette is not None
    rimmed = clear.buffer(design.vignette.rim, join_style="mitre")
    if design.ground is None:
        return window
    field = window.difference(rimmed)
    if isinstance(field, Polygon) and not field.is_empty:
        return field
    x0, y0, x1, y1 = rimmed.bounds
    raise DoesNotFit(
        f"vignette with its rim is {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm and parts the ground "
        "in pieces or leaves none of it. Make it smaller, move it, or take a narrower vignette.rim.",
        parameter="vignette",
    )  # fmt: skip


def _draw_vignette(vignette: VignetteSettings, window: Polygon) -> Polygon:
    x0, y0, x1, y1 = window.bounds
    shape = find_motif(vignette.shape, family="outline")
    width, height = vignette.width.within(x1 - x0), vignette.height.within(y1 - y0)
    if shape.name == "circle":  # the largest there is room for
        width = height = min(width, height)
    drawn = shape.draw(width=width, height=height)
    clear = put(drawn, vignette, window)
    if not window.contains(clear):
        raise DoesNotFit(
            f"vignette is {format_mm(drawn.bounds[2], 1)} × {format_mm(drawn.bounds[3], 1)} mm and reaches "
            f"over the window of {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm. "
            "Make it smaller or move it.",
            parameter="vignette",
        )
    return clear


def _one_region(region: Paper, name: str, value: float) -> Polygon:
    if isinstance(region, Polygon) and not region.is_empty:
        return region
    raise DoesNotFit(
        f"{name} is {format_mm(value)} mm; it leaves no window in a piece of this size. "
        f"Make {name} narrower or the piece larger.",
        parameter=name, value=value,
    )  # fmt: skip


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
