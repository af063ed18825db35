"""A plate put together: outline, border, ground and silhouettes, made to hold.

Openings first. Border and ground give their openings; a silhouette that is welded on takes its own area
out of them, one that is subtracted adds its area to them. What remains of an opening beside a silhouette is
rounded and its slivers are dropped, which only ever adds paper. Then the whole is audited, and mended where
the audit says so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import box
from shapely.geometry import Polygon

from canivet.audit.boundary import GRID, Paper
from canivet.audit.strength import StrengthReport
from canivet.compose.design.loading import Design, LetteringSettings, PlacedSilhouette, VignetteSettings
from canivet.compose.mending.areas import areas_of
from canivet.compose.mending.repair import describe_repair, repair_paper
from canivet.compose.reading.silhouette import read_silhouette
from canivet.cutting import Cutting
from canivet.errors import DoesNotFit
from canivet.lengths import format_length, format_mm
from canivet.motifs.borders.band import inner_edge
from canivet.motifs.registry import find_motif

from .framing import DrawnFrame, draw_frame, find_panel
from .holding import make_hold
from .lettering import PlacedLettering, add_lettering, place_lettering
from .placing import place_silhouette, put, require_inside

__all__ = ["Plate", "compose_plate"]

Openings = NDArray[np.object_]

_FEET = 0.2
"""Share of a bent panel's depth from its middle line to the feet of capitals: largest letters, by trial."""

_TOUCH = 0.01
"""mm² that two panels may share by rounding."""


@dataclass(frozen=True, slots=True)
class Plate:
    """A composed plate: the cutting, its audit, and what was done to make it hold."""

    cutting: Cutting
    report: StrengthReport
    remarks: tuple[str, ...]


def compose_plate(design: Design, size: tuple[float, float] | None = None) -> Plate:
    """Draw a design at one size and make it hold.

    Parameters
    ----------
    design : Design
        From `load_design`.
    size : (float, float), optional
        Width and height in mm; the design's first size if not given. Straps, rims and smallest openings
        stay in millimetres at every size, and repeats are counted anew.

    Returns
    -------
    Plate
        Its report may say that the plate does not hold; then it is not to be cut.

    Raises
    ------
    CanivetError
        If something cannot be read or does not fit.
    """
    width, height = size or design.size[0]
    outline, window, openings, panels, arcs = _ground(design, width, height)
    remarks: list[str] = []
    figures: list[Paper] = []
    lettered: list[PlacedLettering] = []
    for placed in design.silhouette:
        area, said = _bring_in(design, placed, window)
        remarks += said
        require_inside(area, outline, name=placed.name)
        if placed.mode == "cut out":
            area, said = _off_the_edge(area, placed, outline, design)
            remarks += said
        figures.append(area)
        openings = _stand(openings, area, design) if placed.mode == "stays" else _cut_out(openings, area)
    for words in design.lettering:
        placed_words = _letter(design, words, window, panels, arcs)
        remarks += placed_words.remarks
        _require_apart(placed_words, lettered, outline, design)
        lettered.append(placed_words)
        openings = add_lettering(openings, placed_words, smallest=design.smallest_opening)
    paper = _paper(outline, openings, design)
    paper, report, said = make_hold(design, paper, outline, figures)
    remarks += said
    cutting = Cutting(
        paper=paper, strap=design.strap, title=design.title, description=design.description,
        stock=design.paper.stock(), sheet=design.sheet.size,
        face=str(design.folder / design.sheet.face) if design.sheet.face else None,
    )  # fmt: skip
    return Plate(cutting, report, tuple(remarks))


def _ground(design: Design, width: float, height: float) -> DrawnFrame:
    """Draw all that silhouettes and words are put into: a frame, or outline, border and ground one by one."""
    if design.frame is not None:
        return draw_frame(design.frame, width=width, height=height, **_promised(design))
    outline = _draw_outline(design, width, height)
    window, openings = _frame(design, outline)
    return DrawnFrame(outline, window, openings, {}, {})


def _promised(design: Design) -> dict[str, float]:
    """Return what every motif of the plate is told."""
    return {"strap": design.needed, "smallest": design.smallest_opening}


def _draw_outline(design: Design, width: float, height: float) -> Polygon:
    outline: Polygon = design.outline.draw(width=width, height=height)
    return outline


def _frame(design: Design, outline: Polygon) -> tuple[Polygon, Openings]:
    """Return the window inside the border, and the openings of border and ground."""
    openings: list[Openings] = []
    if design.border is None:
        window = _one_region(outline.buffer(-design.rim), "rim", design.rim)
    else:
        bordered = design.border.draw(within=outline, **_promised(design))
        openings.append(_openings_of(bordered))
        band = design.border.settings.get("band", design.border.motif.parameters["band"].default)
        window = inner_edge(outline, band)
    field, clear = window, None
    if design.vignette is not None:
        clear = _draw_vignette(design.vignette, window)
        field = _round_vignette(design, window, clear)
        openings.append(np.array([clear], dtype=object))
    if design.ground is not None:
        drawn = design.ground.draw(within=field, **_promised(design))
        openings.append(_openings_of(drawn)[len(field.interiors) :])
    elif clear is None:
        openings.append(np.array([window], dtype=object))
    return clear or window, np.concatenate(openings)


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


def _bring_in(design: Design, placed: PlacedSilhouette, window: Polygon) -> tuple[Paper, list[str]]:
    """Read a silhouette at its size, mend what is too thin in it, put it in its place; say what was done."""
    if placed.motif:
        return place_silhouette(_grow(design, placed, window), placed, window), []
    x0, y0, x1, y1 = window.bounds
    read = read_silhouette(
        design.folder / placed.file,
        width=placed.width.within(x1 - x0) if placed.width else None,
        height=placed.height.within(y1 - y0) if placed.height else None,
    )
    remarks = [f"{placed.file}: {warning}" for warning in read.warnings]
    mended = repair_paper(
        read.area, strap=design.needed, smallest=design.smallest_opening,
        thicken=design.repair.thicken, fill=design.repair.fill, drop=design.repair.drop,
        smooth=design.repair.smooth,
    )  # fmt: skip
    done = ", ".join(f"{_places(len(changes))} {words}" for words, changes in describe_repair(mended))
    if done:
        change = mended.paper.area / read.area.area - 1
        at = format_length(design.needed)
        remarks.append(f"{placed.file}: mended to hold at {at}: {done}; area {change:+.1%}")
    return place_silhouette(mended.paper, placed, window), remarks


def _places(count: int) -> str:
    return "1 place" if count == 1 else f"{count} places"


def _letter(
    design: Design,
    words: LetteringSettings,
    window: Polygon,
    panels: Mapping[str, Polygon],
    arcs: Mapping[str, tuple[float, float, float]],
) -> PlacedLettering:
    """Set words in their panel."""
    x0, y0, x1, y1 = window.bounds
    bent: dict[str, Any] = {"along": words.along, "side": words.side}
    if words.panel is not None:
        panel = find_panel(panels, words.panel)
        arc = arcs.get(words.panel.strip().lower())
        bent = bent if arc is None else _along_arc(panel, arc)
    else:
        panel = put(box(0, 0, words.width.within(x1 - x0), words.height.within(y1 - y0)), words, window)
    return place_lettering(
        panel, words.text, strap=design.needed, smallest=design.smallest_opening, mode=words.mode,
        least=words.least, most=words.most, lines=words.lines, rails=words.rails,
        face=design.folder / words.face if words.face else None, **bent,
    )  # fmt: skip


def _require_apart(
    placed: PlacedLettering, before: Sequence[PlacedLettering], outline: Polygon, design: Design
) -> None:
    """Refuse words whose panel reaches into the edge of the piece or over words set before."""
    text = placed.letters.text
    edge = outline.buffer(-design.needed)
    if not edge.covers(placed.panel):
        at = placed.panel.difference(edge).representative_point()
        raise DoesNotFit(
            f"the panel of {text!r} reaches over the edge of the plate, of which "
            f"{format_mm(design.needed)} mm must stay, near ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm. "
            "Make it smaller, or move it with at or offset.",
            parameter="lettering", at=(at.x, at.y),
        )  # fmt: skip
    for other in before:
        if Polygon(placed.paper.exterior).intersection(other.panel).area > _TOUCH:
            raise DoesNotFit(
                f"the panel of {text!r} lies over that of {other.letters.text!r}. Move one of them with at "
                "or offset, or make it smaller.",
                parameter="lettering",
            )  # fmt: skip


def _along_arc(panel: Polygon, arc: tuple[float, float, float]) -> dict[str, Any]:
    """Return where letters stand in a bent panel: their feet a little inside its middle line."""
    x, y, radius = arc
    x0, _, x1, _ = panel.bounds
    feet = abs(radius) - math.copysign(_FEET * panel.area / (x1 - x0), radius)
    side = "top" if radius > 0 else "foot"
    return {"along": "arc", "side": side, "centre": (x, y), "curve": (2 * feet, 2 * feet)}


def _grow(design: Design, placed: PlacedSilhouette, window: Polygon) -> Polygon:
    """Draw a natural form in the box it was given."""
    x0, y0, x1, y1 = window.bounds
    assert placed.width is not None
    assert placed.height is not None
    used = placed.grown()
    room = {"width": placed.width.within(x1 - x0), "height": placed.height.within(y1 - y0)}
    grown: Polygon = used.draw(**room, **_promised(design))
    return grown


def _off_the_edge(
    area: Paper, placed: PlacedSilhouette, outline: Polygon, design: Design
) -> tuple[Paper, list[str]]:
    """Keep a strap of paper along the edge of the piece where a silhouette is cut out near it."""
    kept = area.intersection(outline.buffer(-design.needed))
    lost = area.area - kept.area
    told = (
        f"{placed.name}: {format_mm(lost, 1)} mm² not cut out, so that "
        f"{format_length(design.needed)} stay along the edge"
    )
    return areas_of(kept), [told] if lost > _TOUCH else []


def _stand(openings: Openings, area: Paper, design: Design) -> Openings:
    """Take a silhouette out of the openings it lies over; round what is left and drop slivers."""
    figure = shapely.union_all([Polygon(part.exterior) for part in shapely.get_parts(area)])
    # A part may lie in an opening of another, as a pupil in an eye.
    pierced = [part for part in shapely.get_parts(figure.difference(area)) if part.area > GRID**2]
    touched = shapely.intersects(openings, figure)
    left = shapely.difference(openings[touched], figure)
    radius = design.smallest_opening
    rounded = shapely.buffer(shapely.buffer(left, -radius, quad_segs=12), radius, quad_segs=12)
    parts = shapely.get_parts(rounded)
    # What is open in a silhouette stays open as drawn; the ground does not run on behind it.
    parts = parts[~shapely.is_empty(parts)]
    return np.concatenate([openings[~touched], parts, np.array(pierced, dtype=object)])


def _cut_out(openings: Openings, area: Paper) -> Openings:
    return np.concatenate([openings, shapely.get_parts(area)])


def _paper(outline: Polygon, openings: Openings, design: Design) -> Paper:
    """Return what stays. Disjoint, solid openings clear of the edge need no difference at all."""
    solid = shapely.get_num_interior_rings(openings) == 0
    if not any(s.mode == "cut out" for s in design.silhouette) and solid.all():
        holes = shapely.get_exterior_ring(openings)
        paper: Polygon = shapely.polygons(outline.exterior, holes)
        if paper.is_valid:
            return paper
    whole: Paper = outline.difference(shapely.union_all(openings))
    return whole


def _openings_of(paper: Polygon) -> Openings:
    rings = shapely.get_rings(paper)[1:]
    openings: Openings = shapely.polygons(rings)
    return openings


def _one_region(region: Paper, name: str, value: float) -> Polygon:
    if isinstance(region, Polygon) and not region.is_empty:
        return region
    raise DoesNotFit(
        f"{name} is {format_mm(value)} mm; it leaves no window in a piece of this size. "
        f"Make {name} narrower or the piece larger.",
        parameter=name, value=value,
    )  # fmt: skip
