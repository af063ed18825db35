"""Drawings of one's own in a fold: a wedge taken as it is drawn, or a figure folded with the sheet."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from canivet.compose.mending.areas import filled
from canivet.compose.mending.repair import describe_repair, repair_paper
from canivet.compose.reading.silhouette import Silhouette, read_silhouette
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.folding.fold import Edge, Fold, WedgeDrawing
from canivet.motifs.folding.wedge.fitting import fit_figure

__all__ = ["figure_from_file", "staying_figure", "wedge_from_file"]

_SLIVER = 0.01
"""mm and mm²: what rounding leaves."""

_WIDE = 1.6
"""Widths of the wedge that a figure is drawn wide: half of it, four fifths of the wedge, is on this side of
the fold it lies over, and a fifth of the wedge stays paper beside it (*common practice*)."""


def wedge_from_file(
    path: str | os.PathLike[str],
    fold: Fold,
    *,
    at: tuple[float, float] | None = None,
    width: float | None = None,
) -> tuple[WedgeDrawing, tuple[str, ...]]:
    """The dark shapes of a drawing, cut out of the wedge as they are.

    Parameters
    ----------
    path : path-like
        As for `read_silhouette`.
    fold : Fold
        Whose wedge it is.
    at : (float, float) or None
        Where the lower left corner of the shapes lies, mm from that of the wedge's bounds, zero or of either
        sign; None for the corner itself.
    width : float or None
        Of the shapes, mm, above 0; None for what the file says.

    Returns
    -------
    WedgeDrawing, tuple of str
        Nothing is fitted: `unfold` refuses what could not hold. The words say what was not read faithfully.

    Raises
    ------
    BadValue, Unreadable, MissingLibrary
        As `read_silhouette`.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = pathlib.Path(folder, "disc.svg")
    ...     _ = file.write_text('<svg viewBox="0 0 9 9"><circle cx="4" cy="4" r="2"/></svg>')
    ...     drawing, _ = wedge_from_file(file, mirror_fold(width=100), at=(5, 10), width=20)
    >>> drawing.openings[0].bounds
    (55.0, 10.0, 75.0, 30.0)
    """
    read = read_silhouette(path, width=width)
    return WedgeDrawing((_set_at(read.area, fold, at or (0.0, 0.0)),)), read.warnings


def figure_from_file(
    path: str | os.PathLike[str],
    fold: Fold,
    *,
    strap: float,
    rim: float,
    smallest: float = 0.5,
    at: tuple[float, float] | None = None,
    width: float | None = None,
) -> tuple[WedgeDrawing, tuple[str, ...]]:
    """A silhouette laid over the left side of the wedge and folded with the sheet, so that it opens whole.

    Parameters
    ----------
    path : path-like
        As for `read_silhouette`.
    fold : Fold
        What of the figure lies in its wedge is cut.
    strap, rim : float
        mm; as for `fit_figure`.
    smallest : float
        Radius of the smallest opening worth cutting, mm, default 0.5.
    at : (float, float) or None
        Where the figure's lower left corner lies, mm from that of the wedge's bounds, zero or of either sign;
        None sets its middle on the left side, half way up.
    width : float or None
        Of the figure, mm, above 0; None for 1.6 times that of the wedge.

    Returns
    -------
    WedgeDrawing, tuple of str
        Fitted to the rules of `unfold`; the words say what was not read faithfully.

    Raises
    ------
    BadValue, Unreadable, MissingLibrary
        As `read_silhouette`.
    DoesNotFit
        If nothing of it can be cut in the wedge.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = pathlib.Path(folder, "disc.svg")
    ...     _ = file.write_text('<svg viewBox="0 0 9 9"><circle cx="4" cy="4" r="2"/></svg>')
    ...     drawing, _ = figure_from_file(file, mirror_fold(width=100), strap=1.5, rim=3)
    >>> [round(side, 1) for side in drawing.openings[0].bounds]
    [50.0, 30.0, 90.0, 110.0]
    """
    low_x, low_y, high_x, high_y = fold.wedge.bounds
    read = read_silhouette(path, width=_WIDE * (high_x - low_x) if width is None else width)
    wide, high = read.area.bounds[2:]
    place = (-wide / 2, (high_y - low_y - high) / 2) if at is None else at
    figure = _set_at(read.area, fold, place)
    openings = fit_figure(fold, figure, strap=strap, smallest=smallest, rim=rim)
    name = Path(path).name
    if not openings:
        raise _not_there(name, read, fold, place)
    return WedgeDrawing(tuple(openings)), (*read.warnings, *_left_out(name, figure, fold, openings))


def _left_out(name: str, figure: BaseGeometry, fold: Fold, openings: Sequence[Polygon]) -> Iterator[str]:
    """Yield what of a figure that is cut does not show as it was drawn."""
    inside = figure.intersection(fold.wedge)
    beyond = figure.area - inside.area
    if beyond > _SLIVER:
        yield (
            f"{name}: {beyond / figure.area:.0%} of it lies beyond the wedge and is not cut; what lies in "
            "it opens with its mirror image"
        )
    parts = [part for part in shapely.get_parts(inside) if part.area > _SLIVER]
    cut = shapely.union_all(openings)
    gone = sum(part.intersection(cut).area < _SLIVER for part in parts)
    if gone:
        yield f"{name}: {gone} of its {len(parts)} parts in the wedge are left out: too small, or at an edge"
    trimmed = inside.area - inside.intersection(cut).area
    if trimmed > 0.01 * inside.area:
        share = trimmed / inside.area
        yield f"{name}: {share:.0%} of what lies in the wedge stays paper, to keep straps and rim"
    added = cut.difference(inside.buffer(_SLIVER)).area
    if added > 0.01 * inside.area:
        yield f"{name}: {format_mm(added, 1)} mm² are cut that the drawing has as paper, too thin to hold"


def _set_at(area: BaseGeometry, fold: Fold, place: tuple[float, float]) -> BaseGeometry:
    low_x, low_y = fold.wedge.bounds[:2]
    return translate(area, low_x + place[0], low_y + place[1])


def _not_there(name: str, read: Silhouette, fold: Fold, place: tuple[float, float]) -> DoesNotFit:
    low_x, low_y, high_x, high_y = fold.wedge.bounds
    (x, y), (wide, high) = place, read.area.bounds[2:]
    return DoesNotFit(
        f"nothing of {name} can be cut: it reaches from {format_mm(x, 1)} to {format_mm(x + wide, 1)} mm "
        f"across and from {format_mm(y, 1)} to {format_mm(y + high, 1)} mm up, in a wedge "
        f"{format_mm(high_x - low_x, 1)} × {format_mm(high_y - low_y, 1)} mm. Move it into the wedge, or "
        "give it another width.",
        parameter=name, value=place, accepted="a figure that lies over the wedge, with room inside the rim",
    )  # fmt: skip


def staying_figure(
    path: str | os.PathLike[str],
    fold: Fold,
    *,
    strap: float,
    smallest: float = 0.5,
    at: tuple[float, float] | None = None,
    width: float | None = None,
) -> tuple[WedgeDrawing, tuple[str, ...]]:
    """A silhouette that stays as paper, half on each side of a fold, joined to its images at all it meets.

    Parameters
    ----------
    path : path-like
        As for `read_silhouette`.
    fold : Fold
        What of the wedge lies beside the figure is cut away.
    strap : float
        mm; the narrowest paper left.
    smallest : float
        Radius of the smallest opening worth cutting, mm, default 0.5.
    at : (float, float) or None
        Where the figure's lower left corner lies, mm from that of the wedge's bounds, zero or of either sign;
        None sets its middle on a side, half way up: on the left one, unless only the right one is a fold in
        every layer and so leaves no half figure at the ends.
    width : float or None
        Of the figure, mm, above 0; None for twice that of the wedge, so that it reaches the next fold.

    Returns
    -------
    WedgeDrawing, tuple of str
        What is kept of the wedge and what is open in it; the words say what was mended and left out.

    Raises
    ------
    BadValue, Unreadable, MissingLibrary
        As `read_silhouette`.
    DoesNotFit
        If the figure does not meet the folds, and so would fall out or part from its images.

    Notes
    -----
    A chain of figures hand in hand is an accordion with half a figure to a panel: the fold through its middle
    opens it whole, the fold at its hand joins it to the next.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> from canivet.motifs.folding.folds import accordion_fold
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = pathlib.Path(folder, "disc.svg")
    ...     _ = file.write_text('<svg viewBox="0 0 9 9"><ellipse cx="4" cy="4" rx="2.1" ry="3"/></svg>')
    ...     fold = accordion_fold(panels=4, width=30, height=80)
    ...     drawing, _ = staying_figure(file, fold, strap=1.5, width=63)
    >>> [round(side, 1) for side in drawing.kept.bounds]
    [0.0, 0.0, 30.0, 80.0]
    """
    low_x, low_y, high_x, high_y = fold.wedge.bounds
    wide_wedge, high_wedge = high_x - low_x, high_y - low_y
    read = read_silhouette(path, width=2 * wide_wedge if width is None else width)
    name = Path(path).name
    mended = repair_paper(read.area, strap=strap, smallest=smallest)
    told = list(read.warnings)
    done = ", ".join(
        f"{len(changes)} places {words}" for words, changes in describe_repair(mended) if changes
    )
    if done:
        told.append(f"{name}: mended to hold at {format_mm(strap)} mm: {done}")
    wide, high = read.area.bounds[2:]
    place = (_middle_at(fold) - wide / 2, (high_wedge - high) / 2) if at is None else at
    figure = _set_at(mended.paper, fold, place)
    kept, lost = _largest(filled(figure).intersection(fold.wedge))
    if kept is None:
        raise _not_there(name, read, fold, place)
    _require_meeting(name, kept, fold, strap, wide)
    beyond = max(figure.area / 2 - figure.intersection(fold.wedge).area, 0.0)
    if lost:
        told.append(f"{name}: {len(lost)} parts of it do not hang together in the wedge and are left out")
    if high > high_wedge + 0.05 or beyond > 0.02 * figure.area:
        told.append(
            f"{name}: what reaches out of the wedge, {format_mm(max(beyond, 0.0), 1)} mm², is cut off"
        )
    inside = [hole for hole in shapely.get_parts(kept.difference(figure)) if hole.area > _SLIVER]
    openings = tuple(hole for hole in inside if _is_open(hole, fold, smallest))
    if len(openings) < len(inside):
        told.append(f"{name}: openings smaller than {format_mm(smallest)} mm in radius are left out")
    return WedgeDrawing(openings, kept), tuple(told)


def _middle_at(fold: Fold) -> float:
    """Return how far from the wedge's left side the middle of a figure lies."""
    low_x, _, high_x, _ = fold.wedge.bounds
    left, right = (
        {edge.role for edge in fold.edges if edge.line.bounds[0] == edge.line.bounds[2] == x}
        for x in (low_x, high_x)
    )
    return high_x - low_x if right == {"fold"} and left != {"fold"} else 0.0


def _is_open(hole: BaseGeometry, fold: Fold, smallest: float) -> bool:
    """Say whether a disc fits into an opening; half a disc is enough where it opens across a fold."""
    whole = not hole.buffer(-smallest).is_empty
    folded = any(edge.creased and hole.distance(edge.line) < _SLIVER for edge in fold.edges)
    return whole or (folded and not hole.buffer(-smallest / 2).is_empty)


def _largest(area: BaseGeometry) -> tuple[Polygon | None, list[Polygon]]:
    parts = [part for part in shapely.get_parts(area) if isinstance(part, Polygon) and part.area > 0.01]
    parts.sort(key=lambda part: -part.area)
    return (parts[0], parts[1:]) if parts else (None, [])


def _require_meeting(name: str, kept: Polygon, fold: Fold, strap: float, wide: float) -> None:
    """Refuse a figure that does not meet two folds, or the only one, along a strap at least."""
    creased = [edge for edge in fold.edges if edge.creased]
    meets = [_met(kept, edge) for edge in creased]
    if sum(length >= strap for length in meets) >= min(2, len(creased)):
        return
    parted = min(range(len(creased)), key=meets.__getitem__)
    middle = creased[parted].line.interpolate(0.5, normalized=True)
    x, y = middle.x - fold.wedge.bounds[0], middle.y - fold.wedge.bounds[1]
    raise DoesNotFit(
        f"{name} meets the fold near ({format_mm(x, 1)}, {format_mm(y, 1)}) mm of the wedge "
        f"along {format_mm(meets[parted])} mm; a figure that stays takes {format_mm(strap)} mm there, or it "
        f"parts from its images. It is {format_mm(wide, 1)} mm wide: make it wider, or move it with at.",
        parameter=name, value=meets[parted], accepted=f"a figure that meets the fold along {strap:g} mm",
        at=(x, y),
    )  # fmt: skip


def _met(kept: Polygon, edge: Edge) -> float:
    """Return along how much of a crease a figure has paper."""
    return float(kept.intersection(edge.line.buffer(0.01, cap_style="flat")).area / 0.01)
