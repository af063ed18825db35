"""A plate taken apart by role, for the groups of its drawing: outline, border, ground, figures and so on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.compose.joining.parts import Bridge
from canivet.compose.plate import Plate
from canivet.compose.stages import stage
from canivet.export.page.words import clean

__all__ = ["Part", "parts_of", "parts_of_piece"]

_OUTLINE = "Outline, the whole sheet"
_TITLES = {
    "border": "Border, its openings",
    "ground": "Ground, its openings",
    "vignette": "Vignette, its openings",
    "window": "Window, its openings",
    "frame": "Frame, its openings",
    "wedge": "Openings of every leaf",
    "none": "Openings left by mending",
    "openings": "Openings",
}


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a plate: what it is called, and its areas, each paper or cut away.

    Attributes
    ----------
    name, title : str
        For programs, and for people.
    areas : tuple of (bool, Polygon)
        Whether it is paper, and where, mm; those later lie over those before.
    """

    name: str
    title: str
    areas: tuple[tuple[bool, Polygon], ...]


def parts_of(plate: Plate) -> tuple[Part, ...]:
    """Return the parts of a plate from the sheet up: laid over each other they are its paper.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.audit.strength import check_strength
    >>> from canivet.compose.openings import Openings
    >>> from canivet.compose.plate import PlateParts
    >>> from canivet.cutting import Cutting
    >>> paper = box(0, 0, 40, 30) - box(5, 5, 35, 25)
    >>> laid = PlateParts(box(0, 0, 40, 30), box(5, 5, 35, 25), Openings.of([box(5, 5, 35, 25)], "window"))
    >>> plate = Plate(Cutting(paper, 2, "Card"), check_strength(paper, strap=2), (), laid)
    >>> [(part.name, [stays for stays, _ in part.areas]) for part in parts_of(plate)]
    [('outline', [True]), ('window', [False])]
    """
    return tuple(part for part in _laid(plate) if part.areas)


def parts_of_piece(
    paper: Polygon, *, role: str, bridges: Sequence[Bridge] = (), unbridged: BaseGeometry | None = None
) -> tuple[Part, ...]:
    """Return the parts of a piece all of whose openings have one role, and of its bridges.

    Parameters
    ----------
    paper : Polygon
        What stays, mm.
    role : str
        Of its openings: ``border``, ``ground``, ``wedge`` or ``openings``.
    bridges : sequence of Bridge
        Laid to hold what was loose.
    unbridged : BaseGeometry or None
        The paper before they were laid: what a bridge spans is open where it is taken away. Default None,
        nothing spanned.

    Examples
    --------
    >>> from shapely import box
    >>> ring = box(0, 0, 40, 30) - box(5, 5, 35, 25)
    >>> [(part.name, len(part.areas)) for part in parts_of_piece(ring, role="ground")]
    [('outline', 1), ('ground', 1)]
    """
    outline = Polygon(paper.exterior)
    laid = _bridges(bridges, paper)
    open_areas = [Polygon(ring) for ring in paper.interiors]
    if laid.areas and unbridged is not None:
        spanned = shapely.difference([area for _, area in laid.areas], unbridged)
        open_areas = _polygons(shapely.union_all([*open_areas, *spanned]))
    parts = (
        Part("outline", _OUTLINE, ((True, outline),)),
        Part(role, _TITLES.get(role, role), _away(open_areas)),
        laid,
    )
    return tuple(part for part in parts if part.areas)


def _laid(plate: Plate) -> Iterator[Part]:
    paper, parts = plate.cutting.paper, plate.parts
    yield Part("outline", _OUTLINE, ((True, Polygon(paper.exterior)),))
    cut = plate.openings()
    for role in dict.fromkeys(cut.roles.tolist()):
        if not role.startswith(("silhouette", "lettering")):
            yield Part(role, _TITLES.get(role, role), _away(cut.of_role(role)))
    for number, figure in enumerate(parts.silhouettes, start=1):
        name = f"silhouette-{number}"
        own = _away(cut.of_role(name))
        about = _about(figure, paper)
        stands = stage("kept", partial(_kept, figure, about), figure, about)
        yield Part(name, f"Silhouette {number}", (*stands, *own))
    for number, placed in enumerate(parts.lettering, start=1):
        name = f"lettering-{number}"
        title = clean(placed.letters.text) or f"Lettering {number}"
        yield Part(
            name, title, (*_kept(placed.paper, _about(placed.paper, paper)), *_away(cut.of_role(name)))
        )
    yield _bridges(parts.bridges, paper)


def _bridges(bridges: Sequence[Bridge], paper: Polygon) -> Part:
    laid = [LineString([one.start, one.end]).buffer(one.width / 2) for one in bridges]
    return Part("bridges", "Bridges", tuple(area for one in laid for area in _kept(one, _about(one, paper))))


def _away(areas: object) -> tuple[tuple[bool, Polygon], ...]:
    return tuple((False, area) for area in areas)  # type: ignore[attr-defined]


def _about(area: BaseGeometry, paper: Polygon) -> Polygon:
    """Return paper with no other openings than those that may reach into an area."""
    rings = shapely.get_rings(paper)
    x0, y0, x1, y1 = shapely.bounds(rings).T
    left, low, right, high = area.bounds
    near = (x0 <= right) & (x1 >= left) & (y0 <= high) & (y1 >= low)
    about: Polygon = shapely.polygons(rings[0], rings[1:][near[1:]])
    return about


def _kept(area: BaseGeometry, paper: Polygon) -> tuple[tuple[bool, Polygon], ...]:
    """Return what of an area is paper once all is mended."""
    return tuple((True, part) for part in _polygons(area.intersection(paper)))


def _polygons(area: BaseGeometry) -> list[Polygon]:
    return [part for part in shapely.get_parts(area) if part.geom_type == "Polygon" and part.area > 0]
