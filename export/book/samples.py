"""What a page of the pattern book shows of a motif: itself, two variations, how small it goes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import shapely
from shapely.geometry import Polygon

from canivet.compose.framing import opened_frame
from canivet.errors import CanivetError
from canivet.lengths import format_mm
from canivet.motifs.registry import Motif, find_motif
from canivet.parameters import Bound

__all__ = ["STRAP", "Sample", "Shown", "show_motif"]

STRAP = 1.2
"""mm, of every sample whose caption does not say otherwise."""

_SIZES = {
    "outline": (80.0, 110.0), "border": (101.6, 140.0), "lattice": (100.0, 130.0), "form": (90.0, 125.0),
    "frame": (101.6, 152.4),
}  # fmt: skip
_SMALL = {"outline": (50.0, 60.0), "form": (55.0, 66.0), "frame": (76.0, 66.0)}
_IN_SMALL = (82.0, 66.0)
"""mm, of a sample and of a variation."""

_COMMON = frozenset({"within", "width", "height", "strap", "smallest", "rim", "band", "pitch", "fit", "seed"})
"""Keywords that say where and how wide, not what: they make no variation while there is another."""

_AIR = 1.5
"""mm between a border and the window that shows it by itself."""

_BAND = 1 / 9
"""Of the short side: how wide a border is."""

_LEAST, _STEPS = 0.12, 6
"""Of a sample's size: the smallest tried, and how often the range is halved: to about a sixtieth."""

_FIRST, _EVENING = 60.0, 220.0
"""Openings per 100 cm² up to which a motif suits a first piece, and an evening (*common practice*)."""

_LIGHT, _DARK = 0.42, 0.62
"""Of the piece that stays paper: under the first it is lace, over the second it is bold."""


@dataclass(frozen=True, slots=True)
class Sample:
    """A drawing in mm, and what is different about it."""

    paper: Polygon
    said: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What is shown of a motif.

    Attributes
    ----------
    motif : Motif
    main : Sample or None
        None where it cannot be drawn; then `fault` says why.
    variations : tuple of Sample
        Two, where there are.
    suits : tuple of str
        What it is good for, each a sentence.
    fault : str
    """

    motif: Motif
    main: Sample | None
    variations: tuple[Sample, ...] = ()
    suits: tuple[str, ...] = ()
    fault: str = ""


def show_motif(motif: Motif) -> Shown:
    """Draw what the pattern book shows of a motif.

    Examples
    --------
    >>> shown = show_motif(find_motif("diamond-lattice"))
    >>> len(shown.variations), shown.suits[0]
    (2, 'Paper stays on 42 % of it: even.')
    """
    size = _size_of(motif, _SIZES[motif.family])
    try:
        paper = _drawn(motif, size, {})
    except CanivetError as error:
        return Shown(motif, None, fault=error.message)
    wide, high = _sides(paper)
    main = Sample(paper, f"{format_mm(wide, 0)} × {format_mm(high, 0)} mm")
    variations = []
    for settings, said in _variations(motif):
        try:
            small = _size_of(motif, _SMALL.get(motif.family, _IN_SMALL))
            variations.append(Sample(_drawn(motif, small, settings), said))
        except CanivetError:  # what is shown may be refused so small: the next one is tried
            continue
        if len(variations) == 2:
            break
    return Shown(motif, main, tuple(variations), tuple(_suits(motif, main.paper, size)))


def _sides(paper: Polygon) -> tuple[float, float]:
    """Return how wide and how high a paper is: a form is often less than the box that it fills."""
    x0, y0, x1, y1 = paper.bounds
    return x1 - x0, y1 - y0


def _size_of(motif: Motif, size: tuple[float, float]) -> tuple[float, float]:
    """Return a size in the motif's own proportion, where it has one."""
    if motif.family != "frame":
        return size
    wide, high = (float(motif.parameters[side].default) for side in ("width", "height"))
    scale = min(max(size) / max(wide, high), 1.0)
    return wide * scale, high * scale


def _drawn(motif: Motif, size: tuple[float, float], settings: Mapping[str, Any]) -> Polygon:
    """Draw a motif in a size, by itself."""
    known = motif.parameters
    given: dict[str, Any] = {name: value for name, value in {"strap": STRAP}.items() if name in known}
    given |= settings
    if motif.family in ("border", "lattice"):
        shape = given.pop("outline", "rectangle")
        within = find_motif(shape).draw(width=size[0], height=size[1])
        if motif.family == "lattice":
            return _one(motif.draw(within=within, **given))
        band = float(given.pop("band", min(size) * _BAND))
        paper = _one(motif.draw(within=within, band=band, **given))
        window = Polygon(paper.exterior).buffer(-band - _AIR, join_style="mitre")
        return Polygon(paper.exterior, [*paper.interiors, window.exterior])
    sides = {name: side for name, side in zip(("width", "height"), size, strict=True) if name in known}
    if motif.name == "circle":
        del sides["height"]
    drawn = motif.draw(**given, **sides)
    if motif.family == "frame":
        opened = opened_frame(drawn, fill=list(drawn.fillings))
        return _one(opened.outline.difference(shapely.union_all(opened.openings.areas)))
    return _one(drawn)


def _one(paper: Any) -> Polygon:
    """Return the one part that a motif's paper is."""
    part: Polygon = max(shapely.get_parts(paper), key=lambda one: one.area)
    return part


def _variations(motif: Motif) -> Iterator[tuple[dict[str, Any], str]]:
    """Yield settings that show what else a motif can be, those that change it most first."""
    known = motif.parameters
    for name, bound in known.items():
        if name not in _COMMON:
            for value in _others(bound):
                yield {name: value}, f"{name} = {_written(value)}"
                break
    if "seed" in known:
        for seed in (2, 5):
            yield {"seed": seed}, f"seed = {seed}"
    if motif.family in ("border", "lattice"):
        yield {"outline": "oval"}, "in an oval"
    if "strap" in known:
        yield {"strap": 0.8}, "straps of 0.8 mm"
        yield {"strap": 1.8}, "straps of 1.8 mm"


def _others(bound: Bound) -> Iterator[Any]:
    """Yield another value of a keyword, far enough from its default to be seen."""
    usual = bound.default
    if bound.choices:
        yield from (choice for choice in bound.choices if choice != usual)
    elif isinstance(usual, bool):
        yield not usual
    elif isinstance(usual, (int, float)) and bound.least is not None and bound.most is not None:
        low, high = float(bound.least), float(bound.most)
        near = usual + 0.4 * (high - usual) if high - usual > usual - low else usual - 0.5 * (usual - low)
        near = min(near, 2 * usual) if usual > 0 else near
        yield round(near) if isinstance(usual, int) else float(f"{near:.2g}")


def _written(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value).lower()


def _suits(motif: Motif, paper: Polygon, size: tuple[float, float]) -> Iterator[str]:
    """Yield sentences on what a motif is good for, from its sample."""
    whole = Polygon(paper.exterior)
    if motif.family == "lattice":
        share = paper.area / whole.area
        kind = (
            "lace; take stout paper"
            if share < _LIGHT
            else "bold, seen from afar"
            if share > _DARK
            else "even"
        )
        yield f"Paper stays on {share:.0%} of it: {kind}.".replace("%", " %")
    if motif.family != "outline" and paper.interiors:
        dense = len(paper.interiors) / whole.area * 1e4
        hand = "a first piece" if dense < _FIRST else "an evening" if dense < _EVENING else "a patient hand"
        yield f"{len(paper.interiors)} openings in this sample: for {hand}."
    least = _least(motif, size)
    if least is not None:
        wide, high = map(math.ceil, least)
        yield f"Goes down to about {wide} × {high} mm with straps of {STRAP:g} mm."


def _least(motif: Motif, size: tuple[float, float]) -> tuple[float, float] | None:
    """Return about the smallest size of the sample's proportion that a motif takes."""
    if "strap" not in motif.parameters:
        return None
    low, high, least = _LEAST, 1.0, None
    for _ in range(_STEPS):
        half = math.sqrt(low * high)
        try:
            least = _sides(_drawn(motif, (size[0] * half, size[1] * half), {}))
        except CanivetError:
            low = half
        else:
            high = half
    return least
