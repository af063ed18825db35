"""Figures of a plate: each read or grown at its size, mended where it is too thin, and put in its place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

import numpy as np
from shapely.geometry import Polygon

from canivet.audit.boundary import Paper
from canivet.compose.design.loading import Design, PlacedSilhouette
from canivet.compose.mending.areas import areas_of
from canivet.compose.mending.repair import describe_repair, repair_paper
from canivet.compose.mending.staying import warn_of_much
from canivet.compose.reading.silhouette import Silhouette, load_drawing, read_silhouette
from canivet.compose.stages import stage
from canivet.doing import doing
from canivet.lengths import counted, format_length, format_mm

from .arranging import arrange, mirrored_about
from .homing import bring_home, stand_inside
from .placing import place_silhouette, require_inside

__all__ = ["draw_figures"]

_TOLD = 0.01
"""mm² kept along the edge of the piece that are told."""


def draw_figures(design: Design, outline: Polygon, window: Polygon) -> tuple[list[Paper], tuple[str, ...]]:
    """Return every silhouette where it stands, all its copies together, and what was done to it.

    Parameters
    ----------
    design : Design
    outline, window : Polygon
        The solid piece, and where silhouettes go; mm.

    Raises
    ------
    CanivetError
        If one cannot be read, or does not fit.
    """
    contents = {one.file: load_drawing(design.folder / one.file) for one in design.silhouette if one.file}
    return stage(
        "figures", partial(_figures, design, outline, window, contents),
        design.silhouette, contents, design.symmetry, design.repair, design.promised, _in_the_open(design),
        outline, window,
    )  # fmt: skip


def _in_the_open(design: Design) -> bool:
    """Say whether figures stand before no ground."""
    return design.ground is None or design.vignette is not None


def _figures(
    design: Design, outline: Polygon, window: Polygon, contents: Mapping[str, bytes]
) -> tuple[list[Paper], tuple[str, ...]]:
    figures: list[Paper] = []
    remarks: list[str] = []
    in_the_open = _in_the_open(design)
    for placed in design.silhouette:
        doing(f"drawing {placed.name}")
        area, said = _bring_in(design, placed, window, contents)
        if _on_foot(placed):
            area, told = stand_inside(area, window, name=placed.name)
            said += told
        area = arrange(area, placed, window, apart=2 * design.needed)
        area = mirrored_about(area, window, design.symmetry)
        if placed.mode == "cut out":
            require_inside(area, outline, name=placed.name)
            area, told = _off_the_edge(area, placed, outline, design)
            said += told
        elif _floats(placed, area, figures, design) and (in_the_open or placed.margin or placed.halo):
            area, told = bring_home(area, window, strap=design.needed, name=placed.name)
            said += told
        require_inside(area, outline, name=placed.name)
        figures.append(area)
        remarks += said
    return figures, tuple(remarks)


def _on_foot(placed: PlacedSilhouette) -> bool:
    """Say whether a figure is to stand on the foot of its window and nothing more is said of its place."""
    at_foot = placed.anchor == "foot" and placed.at is None and placed.offset == (0.0, 0.0)
    return at_foot and placed.mode == "stays" and placed.floating == "brought home" and not placed.arrange


def _floats(placed: PlacedSilhouette, area: Paper, before: Sequence[Paper], design: Design) -> bool:
    """Say whether a figure stands by itself, and is brought home where it touches its window nowhere."""
    if placed.floating != "brought home" or placed.arrange:
        return False
    return not any(area.distance(other) < design.needed for other in before)


def _bring_in(
    design: Design, placed: PlacedSilhouette, window: Polygon, contents: Mapping[str, bytes]
) -> tuple[Paper, list[str]]:
    """Return a silhouette in its place, mended where it is too thin; and what was done."""
    low, high = np.reshape(window.bounds, (2, 2))
    room = (high - low).tolist()
    if placed.motif:
        needs = (placed.grown(), placed.width, placed.height, room, design.promised)
        grown = stage("grown", partial(_grow, design, placed, window), *needs)
        return place_silhouette(grown, placed, window), []
    asked = (placed.file, placed.width, placed.height, placed.turn)
    area, remarks = stage(
        "mended", partial(_read_and_mend, design, placed, window),
        contents[placed.file], asked, room, design.promised, design.repair,
    )  # fmt: skip
    return place_silhouette(area, placed, window), [*remarks]


def _read_and_mend(
    design: Design, placed: PlacedSilhouette, window: Polygon
) -> tuple[Paper, tuple[str, ...]]:
    """Read a silhouette at its size and mend what is too thin in it; say what was done."""
    read, remarks = _read_in_size(design, placed, window)
    remarks += [f"{placed.file}: {warning}" for warning in read.warnings]
    mended = repair_paper(
        read.area, strap=design.needed, smallest=design.smallest_opening,
        thicken=design.repair.thicken, fill=design.repair.fill, drop=design.repair.drop,
        smooth=design.repair.smooth,
    )  # fmt: skip
    done = ", ".join(
        f"{counted(len(changes), 'place')} {words}" for words, changes in describe_repair(mended)
    )
    much = warn_of_much(read.area, mended.paper, strap=design.needed, smallest=design.smallest_opening)
    if much:
        remarks.insert(0, f"{placed.file}: {much}")
    if done:
        change = mended.paper.area / read.area.area - 1
        at = format_length(design.needed)
        remarks.append(f"{placed.file}: mended to hold at {at}: {done}; area {change:+.1%}")
    return mended.paper, tuple(remarks)


def _read_in_size(design: Design, placed: PlacedSilhouette, window: Polygon) -> tuple[Silhouette, list[str]]:
    """Read a silhouette at its size; a share of one side of the window stays within the other too."""
    x0, y0, x1, y1 = window.bounds
    room = {"width": x1 - x0, "height": y1 - y0}
    path, asked = design.folder / placed.file, {"width": placed.width, "height": placed.height}
    given = {side: measure.within(room[side]) for side, measure in asked.items() if measure}
    read = read_silhouette(path, **given)
    measure = placed.width or placed.height
    if measure is None or not measure.of_window or placed.turn:
        return read, []
    side = "height" if placed.width else "width"
    low, high = np.reshape(read.area.bounds, (2, 2))
    extent = float((high - low)[0 if side == "width" else 1])
    if extent <= room[side]:
        return read, []
    read = read_silhouette(path, **{side: room[side]})
    other = "width" if placed.width else "height"
    share = measure.number * room[side] / extent
    return read, [f"{placed.file}: {other} {share:.0%} of the window, so that its {side} stays within it"]


def _grow(design: Design, placed: PlacedSilhouette, window: Polygon) -> Polygon:
    """Draw a natural form in the box it was given."""
    x0, y0, x1, y1 = window.bounds
    assert placed.width is not None
    assert placed.height is not None
    used = placed.grown()
    room = {"width": placed.width.within(x1 - x0), "height": placed.height.within(y1 - y0)}
    grown: Polygon = used.draw(**room, **design.promised)
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
    return areas_of(kept), [told] if lost > _TOLD else []
