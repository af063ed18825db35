"""What silhouettes and words are put into: a frame, or outline, border, vignette and ground one by one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import NamedTuple

import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.compose.design.loading import RIM, Design, VignetteSettings
from canivet.compose.design.motif_table import UsedMotif
from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import format_mm
from canivet.motifs.frames.frame import Frame
from canivet.motifs.registry import find_motif
from canivet.motifs.shapes.openings import openings_in

from .bordering import lay_borders
from .figures.placing import put
from .openings import Openings
from .stages import stage

__all__ = ["DrawnFrame", "draw_frame", "draw_surround", "find_panel", "lay_ground", "opened_frame"]

_RAIL = 1.6
"""Straps between a border's openings and those of the ground: one member, and no fat black frame."""

_CHORDS = 0.05
"""mm that chords may take from a line drawn round a figure."""

_LEFT = 0.1
"""Of the field: a part of it no larger than this is left solid where no ground fits into it."""


_NO_PART = frozenset({
    "title", "description", "size", "fit", "paper", "sheet", "silhouette", "symmetry", "lettering", "series",
    "join", "repair", "plan", "fold", "patch", "layer", "mount", "price", "folder", "source",
})  # fmt: skip
"""Keys of a design that have no part in what silhouettes and words are put into."""


class DrawnFrame(NamedTuple):
    """A frame, ready for a plate.

    Attributes
    ----------
    outline : Polygon
        The solid piece.
    window : Polygon
        Where silhouettes go.
    openings : Openings
        All that is cut away, of a frame the window last; no panel among them, and no ground yet.
    panels : mapping of str to Polygon
        Places for lettering by name, still solid.
    arcs : mapping of str to (float, float, float)
        Of panels that are bent: centre, and radius of the middle line, below zero where it hangs down.
    field : Polygon or None
        What a ground fills, or is opened whole; None where there is nothing more to open.
    """

    outline: Polygon
    window: Polygon
    openings: Openings
    panels: Mapping[str, Polygon]
    arcs: Mapping[str, tuple[float, float, float]]
    field: Polygon | None = None


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
    return opened_frame(used.draw(width=width, height=height, strap=strap, smallest=smallest))


def opened_frame(frame: Frame, *, fill: Sequence[str] = ()) -> DrawnFrame:
    """Open the window of a frame, and the ornament of those panels that have no words.

    Parameters
    ----------
    frame : Frame
    fill : sequence of str
        Panels that take the frame's ornament.

    Returns
    -------
    DrawnFrame

    Examples
    --------
    >>> book = find_motif("open-book").draw()
    >>> plain, printed = opened_frame(book), opened_frame(book, fill=["left page"])
    >>> len(printed.openings.areas) > len(plain.openings.areas)
    True
    """
    openings = Openings.of(openings_in(frame.paper), "frame")
    for name in fill:
        openings = openings.and_of(frame.fillings[name], "frame")
    openings = openings.and_of([frame.window], "window")
    return DrawnFrame(Polygon(frame.paper.exterior), frame.window, openings, frame.panels, frame.arcs)


def draw_surround(design: Design, *, width: float, height: float) -> DrawnFrame:
    """Draw all that silhouettes and words are put into: a frame, or outline, border and vignette one by one.

    What the ground is to fill is only stated: a figure may want it clear of itself first (`lay_ground`).

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
    return stage("surround", partial(_draw_surround, design, width, height), width, height, _part_of(design))


def _part_of(design: Design) -> dict[str, object]:
    """Return all of a design that surround and ground depend on."""
    return {name: getattr(design, name) for name in type(design).model_fields if name not in _NO_PART}


def _draw_surround(design: Design, width: float, height: float) -> DrawnFrame:
    if design.frame is not None:
        return draw_frame(design.frame, width=width, height=height, **design.promised)
    outline: Polygon = design.outline.draw(width=width, height=height)
    window, openings = _bordered(design, outline)
    if design.vignette is None:
        return DrawnFrame(outline, window, openings, {}, {}, window)
    clear = _draw_vignette(design.vignette, window)
    openings = openings.and_of([clear], "vignette")
    field = None if design.ground is None else _round_vignette(design, window, clear)
    return DrawnFrame(outline, clear, openings, {}, {}, field)


def lay_ground(
    design: Design, frame: DrawnFrame, cleared: Sequence[Paper] = (), panels: Sequence[Polygon] = ()
) -> Openings:
    """Return a frame's openings with those of its ground, which ends at what is kept clear and at panels.

    Parameters
    ----------
    design : Design
        Its ground; without one the field is opened whole.
    frame : DrawnFrame
        From `draw_surround`.
    cleared : sequence of Polygon or MultiPolygon
        Round figures, mm; these are opened whole.
    panels : sequence of Polygon
        Of words that stand in the window, with their rims; these are paper, and cells end at them as they do
        at the border.

    Raises
    ------
    DoesNotFit
        If the ground cannot be drawn.
    """
    laid = partial(_lay_ground, design, frame, cleared, panels)
    return stage("ground", laid, _part_of(design), frame.openings, frame.field, [*cleared], [*panels])


def _lay_ground(
    design: Design, frame: DrawnFrame, cleared: Sequence[Paper], panels: Sequence[Polygon]
) -> Openings:
    openings, field = frame.openings, frame.field
    if field is None:
        return openings
    if design.ground is None:
        return openings.and_of([field], "window")
    asked = design.promised | _rim_of_ground(design) | _strap(design.lines.fine)
    own = asked.get("rim", design.ground.settings.get("rim", 0.0))
    taken: list[Paper] = [panel.buffer(_CHORDS - own, join_style="mitre") for panel in panels]
    if cleared:
        clear = shapely.intersection(shapely.union_all([*cleared]), Polygon(field.exterior))
        openings = openings.and_of(shapely.get_parts(clear), "margin")
        # The ground keeps a rim of its own beside the line; together they are a strap at least.
        taken.append(clear.buffer(max(0.0, design.needed - own) + _CHORDS, join_style="mitre"))
    left = shapely.get_parts(field.difference(shapely.union_all(taken))) if taken else [field]
    for part in sorted(left, key=lambda one: -one.area):
        try:
            openings = openings.and_of(design.ground.openings(within=part, **asked), "ground")
        except DoesNotFit:
            if part.area > _LEFT * field.area:
                raise
    return openings


def _rim_of_ground(design: Design) -> dict[str, float]:
    """Return the ground's rim beside a border's rail: together they are one member of a stated width."""
    assert design.ground is not None
    bound = design.ground.motif.parameters.get("rim")
    if design.border is None or bound is None or "rim" in design.ground.settings:
        return {}
    return {"rim": max(bound.least or 0.0, _rail(design) - design.needed)}


def _bordered(design: Design, outline: Polygon) -> tuple[Polygon, Openings]:
    """Return the window inside the border, or inside a plain rim, and the border's openings."""
    openings = Openings.of([], "border")
    if design.border is None:
        return _one_region(outline.buffer(-design.rim), "rim", design.rim), openings
    window, cut = lay_borders(
        design.border,
        _above_foot(design, outline),
        **(design.promised | _strap(design.lines.strap)),
        rim=design.lines.rim,
        rail=_rail(design),
    )
    return window, openings.and_of(cut, "border")


def _strap(width: float | None) -> dict[str, float]:
    """Return the width of straps a role has of its own; none has it by default."""
    return {} if width is None else {"strap": width}


def _rail(design: Design) -> float:
    """Return the width of the member between two patterns, the straps beside them included, mm."""
    return design.lines.rail or _RAIL * design.needed


def _above_foot(design: Design, outline: Polygon) -> Polygon:
    """Return the piece above what makes its foot heavier."""
    if design.lines.foot == 1:
        return outline
    x0, y0, x1, y1 = outline.bounds
    more = (design.lines.foot - 1) * (design.lines.rim or RIM)
    above = outline.intersection(shapely.box(x0, y0 + more, x1, y1))
    flat = above.exterior.intersection(shapely.LineString([(x0, y0 + more), (x1, y0 + more)])).length
    if not isinstance(above, Polygon) or flat < 0.9 * (x1 - x0):
        raise DoesNotFit(
            f"lines.foot is {design.lines.foot:g}; a heavier foot wants an outline that stands on a level "
            "side, such as rectangle or arch. Take lines.foot out, or choose another outline.",
            parameter="lines.foot", value=design.lines.foot, accepted="1",
        )  # fmt: skip
    return above


def _round_vignette(design: Design, window: Polygon, clear: Polygon) -> Polygon:
    """Return the window without the vignette and its rim."""
    assert design.vignette is not None
    if design.ground is None:
        return window
    rimmed = clear.buffer(design.vignette.rim + _line_round_vignette(design), join_style="mitre")
    field = window.difference(rimmed)
    if isinstance(field, Polygon) and not field.is_empty:
        return field
    x0, y0, x1, y1 = rimmed.bounds
    raise DoesNotFit(
        f"vignette with its rim is {format_mm(x1 - x0, 1)} × {format_mm(y1 - y0, 1)} mm and parts the ground "
        "in pieces or leaves none of it. Make it smaller, move it, or take a narrower vignette.rim.",
        parameter="vignette",
    )  # fmt: skip


def _line_round_vignette(design: Design) -> float:
    """Return what the line round a vignette has beyond its own rim and the ground's, mm.

    Where nothing is said of the ground's rim the line is as wide as the rail; else it is a strap at least.
    """
    assert design.vignette is not None
    assert design.ground is not None
    if "rim" not in _rim_of_ground(design):
        own = design.ground.settings.get("rim", 0.0)
        return max(0.0, design.needed - own - design.vignette.rim) if own else 0.0
    return design.needed


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
