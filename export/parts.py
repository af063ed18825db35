"""A plate taken apart by role, for the groups of its drawing: outline, border, ground, figures and so on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from canivet.compose.plate import Plate
from canivet.export.page.words import clean

__all__ = ["Part", "parts_of"]

_TITLES = {
    "border": "Border, its openings",
    "ground": "Ground, its openings",
    "vignette": "Vignette, its openings",
    "window": "Window, its openings",
    "frame": "Frame, its openings",
    "wedge": "Openings of every leaf",
    "none": "Openings left by mending",
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


def _laid(plate: Plate) -> Iterator[Part]:
    paper, parts = plate.cutting.paper, plate.parts
    yield Part("outline", "Outline, the whole sheet", ((True, Polygon(paper.exterior)),))
    cut = plate.openings()
    for role in dict.fromkeys(cut.roles.tolist()):
        if not role.startswith(("silhouette", "lettering")):
            yield Part(role, _TITLES.get(role, role), _away(cut.of_role(role)))
    for number, figure in enumerate(parts.silhouettes, start=1):
        name = f"silhouette-{number}"
        own = _away(cut.of_role(name))
        yield Part(name, f"Silhouette {number}", (*_kept(figure, paper), *own))
    for number, placed in enumerate(parts.lettering, start=1):
        name = f"lettering-{number}"
        title = clean(placed.letters.text) or f"Lettering {number}"
        yield Part(name, title, (*_kept(placed.paper, paper), *_away(cut.of_role(name))))
    bridges = [LineString([one.start, one.end]).buffer(one.width / 2) for one in parts.bridges]
    yield Part("bridges", "Bridges", tuple(area for one in bridges for area in _kept(one, paper)))


def _away(areas: object) -> tuple[tuple[bool, Polygon], ...]:
    return tuple((False, area) for area in areas)  # type: ignore[attr-defined]


def _kept(area: BaseGeometry, paper: Polygon) -> tuple[tuple[bool, Polygon], ...]:
    """Return what of an area is paper once all is mended."""
    shared = shapely.get_parts(area.intersection(paper))
    return tuple((True, part) for part in shared if part.geom_type == "Polygon" and part.area > 0)
