"""Which openings are to be which colour: by the part they belong to, by what lies over them, or by place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.boundary import Flags, Ints, Paper
from canivet.compose.design.finishing import PatchSettings
from canivet.compose.design.loading import PlacedSilhouette
from canivet.compose.figures.placing import put
from canivet.compose.openings import Openings
from canivet.compose.reading.silhouette import read_silhouette
from canivet.errors import BadValue, DoesNotFit, suggest
from canivet.lengths import format_mm, shown
from canivet.motifs.registry import find_motif

__all__ = ["choose_openings"]

_HALF = 0.5
"""Of an opening: so much of it lies under what is laid over the piece where it is one of those meant."""

_BESIDE = 3.0
"""mm that a place may lie off the opening it means: a finger's width on a drawing is no more."""

_REST = re.compile(r"rest(\s+of\s+(?P<of>.+))?\Z", re.IGNORECASE)


def choose_openings(
    patches: Sequence[PatchSettings],
    openings: Openings,
    outline: Polygon,
    *,
    silhouettes: Sequence[PlacedSilhouette] = (),
    folder: Path = Path(),
) -> Ints:
    """Tell which patch each opening belongs to.

    Parameters
    ----------
    patches : sequence of PatchSettings
    openings : Openings
        Of the finished piece, each with its role.
    outline : Polygon
        The solid piece, mm; places and sizes of what is laid over it are shares of its bounds.
    silhouettes : sequence of PlacedSilhouette
        Of the design, whose names may be meant.
    folder : Path
        Where files are looked for.

    Returns
    -------
    (n,) int array
        A patch's place in the list, or -1.

    Raises
    ------
    BadValue
        If a part is not known, or two patches of different colour claim one opening.
    DoesNotFit
        If a patch lies behind no opening at all.

    Examples
    --------
    >>> from shapely import box
    >>> laid = Openings.of([box(2, 2, 8, 8), box(12, 2, 18, 8)], "ground")
    >>> laid = laid.and_of([box(2, 12, 18, 18)], "window")
    >>> gold = PatchSettings(colour="gold", at=("15 mm", "5 mm"))
    >>> rest = PatchSettings(colour="navy", openings="rest")
    >>> choose_openings([gold, rest], laid, box(0, 0, 20, 20)).tolist()
    [1, 0, 1]
    """
    of = np.full(len(openings.areas), -1)
    rest = [_REST.match(patch.openings.strip()) is not None for patch in patches]
    for number in sorted(range(len(patches)), key=rest.__getitem__):
        patch = patches[number]
        meant = _meant(patch, number, openings, outline, silhouettes, folder)
        if rest[number]:
            meant &= of < 0
        else:
            _require_free(patches, number, meant, of, openings)
        if not meant.any():
            raise DoesNotFit(
                f"patch.{number + 1} ({patch.colour}) lies behind no opening. "
                + ("No other patch left any." if rest[number] else "Move it, or make it larger."),
                parameter=f"patch.{number + 1}", accepted="at least one opening",
            )  # fmt: skip
        of[meant] = number
    return of


def _meant(
    patch: PatchSettings,
    number: int,
    openings: Openings,
    outline: Polygon,
    silhouettes: Sequence[PlacedSilhouette],
    folder: Path,
) -> Flags:
    """Tell which openings a patch asks for, whoever else does."""
    name = patch.openings.strip()
    if rest := _REST.match(name):
        name = rest["of"] or ""
    meant = np.ones(len(openings.areas), bool)
    if name:
        meant &= _of_part(name, number, openings, silhouettes)
    if patch.laid:
        over = put(_laid_over(patch, outline, folder), patch, outline)
        shares = shapely.area(shapely.intersection(openings.areas, over)) / shapely.area(openings.areas)
        meant &= (shares < _HALF) if patch.outside else (shares >= _HALF)
    elif patch.at is not None:
        meant &= _at(patch, number, openings, outline)
    return meant


def _of_part(name: str, number: int, openings: Openings, silhouettes: Sequence[PlacedSilhouette]) -> Flags:
    """Tell which openings belong to a part of the plate: a motif, or a silhouette by its name."""
    known: dict[str, list[str]] = {role: [role] for role in openings.roles.tolist() if "-" not in role}
    known.pop("none", None)
    for role in openings.roles.tolist():
        if role.startswith("lettering"):
            known.setdefault("lettering", []).append(role)
    for k, placed in enumerate(silhouettes, start=1):
        for called in (placed.name, Path(placed.name).stem, f"silhouette {k}"):
            known.setdefault(called, []).append(f"silhouette-{k}")
    roles = known.get(name)
    if roles is None:
        raise BadValue(
            f"patch.{number + 1}.openings is {shown(name)}; this piece has openings of: "
            f"{', '.join(known) or 'none'}; or rest.{suggest(name, known)}",
            parameter=f"patch.{number + 1}.openings", value=name, accepted=", ".join(known),
        )  # fmt: skip
    return np.isin(openings.roles, roles)


def _laid_over(patch: PatchSettings, outline: Polygon, folder: Path) -> Paper:
    """Return what is laid over the piece, at its size."""
    x0, y0, x1, y1 = outline.bounds
    width = patch.width.within(x1 - x0) if patch.width else None
    height = patch.height.within(y1 - y0) if patch.height else None
    if patch.file:
        return read_silhouette(folder / patch.file, width=width, height=height).area
    shape = find_motif(patch.shape, family="outline")
    assert width is not None
    assert height is not None
    if shape.name == "circle":  # the largest there is room for
        width = height = min(width, height)
    drawn: Polygon = shape.draw(width=width, height=height)
    return drawn


def _at(patch: PatchSettings, number: int, openings: Openings, outline: Polygon) -> Flags:
    """Tell which opening a place means: the one it lies in, or the nearest."""
    assert patch.at is not None
    x0, y0, x1, y1 = outline.bounds
    x = x0 + patch.at[0].within(x1 - x0) + patch.offset[0]
    y = y0 + patch.at[1].within(y1 - y0) + patch.offset[1]
    away = shapely.distance(openings.areas, shapely.Point(x, y))
    nearest = int(np.argmin(away)) if len(away) else -1
    if nearest < 0 or away[nearest] > _BESIDE:
        raise DoesNotFit(
            f"patch.{number + 1}.at is ({format_mm(x, 1)}, {format_mm(y, 1)}) mm on the piece; no opening "
            f"lies within {format_mm(_BESIDE)} mm of it. Give a place in the opening.",
            parameter=f"patch.{number + 1}.at", value=(x, y), at=(x, y),
        )  # fmt: skip
    flags = np.zeros(len(away), bool)
    flags[nearest] = True
    return flags


def _require_free(
    patches: Sequence[PatchSettings], number: int, meant: Flags, of: Ints, openings: Openings
) -> None:
    """Refuse an opening that a patch of another colour has claimed already."""
    taken = [k for k in np.flatnonzero(meant & (of >= 0)) if patches[of[k]].colour != patches[number].colour]
    if not taken:
        return
    first, at = int(of[taken[0]]), openings.areas[taken[0]].representative_point()
    more = f", and {len(taken) - 1} more" if len(taken) > 1 else ""
    raise BadValue(
        f"patch.{first + 1} ({patches[first].colour}) and patch.{number + 1} ({patches[number].colour}) both "
        f"claim the opening at ({format_mm(at.x, 1)}, {format_mm(at.y, 1)}) mm{more}. One opening shows one "
        'colour: move one of them, or let one take openings = "rest".',
        parameter=f"patch.{number + 1}", at=(at.x, at.y),
    )  # fmt: skip
