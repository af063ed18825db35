"""Drawings of one's own in a fold: a wedge taken as it is drawn, or a figure folded with the sheet."""

from __future__ import annotations

import os
from pathlib import Path

from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from canivet.compose.reading.silhouette import Silhouette, read_silhouette
from canivet.errors import DoesNotFit
from canivet.lengths import format_mm
from canivet.motifs.folding.fold import Fold, WedgeDrawing
from canivet.motifs.folding.wedge.fitting import fit_figure

__all__ = ["figure_from_file", "wedge_from_file"]

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
    openings = fit_figure(fold, _set_at(read.area, fold, place), strap=strap, smallest=smallest, rim=rim)
    if not openings:
        raise _not_there(Path(path).name, read, fold, place)
    return WedgeDrawing(tuple(openings)), read.warnings


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
