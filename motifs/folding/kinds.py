"""Folds by the name of their kind: what each is, the sheet it is usually made of, and what it may be told.

A kind is asked for by name, with the size a person has in mind: that of the open sheet, or of one panel where
the sheet is folded both ways. Everything that tells one kind from another stands in `KINDS`, once. Sizes and
numbers that are taken where none are given are *common practice*.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, TypeAlias

from canivet.errors import BadValue, suggest
from canivet.lengths import format_mm
from canivet.parameters import Bound, parameters_of

from .fold import Fold, WedgeDrawing
from .folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold
from .groups import FRIEZES, PLANE_GROUPS, require_foldable
from .stars import one_snip_star, snip_angles

__all__ = [
    "KINDS",
    "TAKERS",
    "FoldKind",
    "find_kind",
    "fold_of_kind",
    "snip_note",
    "snipped_star",
    "usual_rim",
]

Size: TypeAlias = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldKind:
    """One way to fold a sheet. Lengths in mm.

    Attributes
    ----------
    name, summary : str
        How it is asked for, and what it is in a few words.
    make : callable
        Takes the size and a number for each of `options`, and folds.
    size : (float, float)
        Usual size of what `size` says: the open sheet, or one panel of it.
    square : str
        Why both sides of the size are the same, or empty where they may differ.
    strip : bool
        Whether the usual size is of one panel of a strip, and the size that is given that of the whole.
    options : mapping of str to Bound
        What it may be told besides its size: the range of each number, and the usual one as its default.
    round : bool
        Whether its rings lie about a point, so that an eye can be cut there.
    snipped : bool
        Whether one straight cut is all, so that nothing is drawn in the wedge.
    thickness : float
        Of the paper it is usually folded from: thin enough for its layers.
    """

    name: str
    summary: str
    make: Callable[[Size, Mapping[str, Any]], Fold]
    size: Size
    square: str = ""
    strip: bool = False
    options: Mapping[str, Bound] = field(default_factory=dict)
    round: bool = False
    snipped: bool = False
    thickness: float = 0.1

    def told(self, **given: float | None) -> dict[str, Any]:
        """Return a number for each option: what is given, checked, or the usual one.

        Raises
        ------
        BadValue
            If the kind does not take what is given, or it is out of range.
        """
        for name, value in given.items():
            if value is not None and name not in self.options:
                raise BadValue(
                    f"{name} is {value:g}; it goes with {', '.join(TAKERS[name])}, and {self.name} has none. "
                    f"Leave {name} out.",
                    parameter=name, value=value, accepted="None",
                )  # fmt: skip
        return {
            name: bound.check(bound.default if given.get(name) is None else given[name])
            for name, bound in self.options.items()
        }

    def usual_size(self, *, panels: int | None = None) -> Size:
        """Return the size that is taken where none is given, mm."""
        width, height = self.size
        return (width * self.told(panels=panels)["panels"], height) if self.strip else (width, height)


def _bound(function: Callable[..., Any], parameter: str, *, name: str, usual: float | None = None) -> Bound:
    """Return what a fold takes for one of its parameters, under the name that a kind has for it."""
    bound = parameters_of(function)[parameter]
    return replace(bound, name=name, default=bound.default if usual is None else usual)


_PANELS = _bound(accordion_fold, "panels", name="panels")
_HEM = _bound(accordion_fold, "hem", name="hem")
_COLUMNS = _bound(plane_fold, "columns", name="panels", usual=6)
_ROWS = _bound(plane_fold, "rows", name="rows")


def _panelled(group: str) -> Callable[[Size, Mapping[str, Any]], Fold]:
    """Return how a sheet is folded both ways into panels of a group."""

    def make(size: Size, told: Mapping[str, Any]) -> Fold:
        rest = {name: told[name] for name in ("rows", "hem") if name in told}
        return plane_fold(group=group, columns=told["panels"], width=size[0], height=size[1], **rest)

    return make


def _pleated(*, lengthwise: bool) -> Callable[[Size, Mapping[str, Any]], Fold]:
    """Return how a strip is folded to and fro."""

    def make(size: Size, told: Mapping[str, Any]) -> Fold:
        width = size[0] / told["panels"]
        return accordion_fold(width=width, height=size[1], lengthwise=lengthwise, **told)

    return make


KINDS: Mapping[str, FoldKind] = MappingProxyType({
    kind.name: kind
    for kind in (
        FoldKind(
            name="mirror", summary="folded once, down the middle", size=(100.0, 140.0),
            make=lambda size, _: mirror_fold(width=size[0], height=size[1]),
        ),
        FoldKind(
            name="quarter", summary="folded in half and in half again", size=(120.0, 120.0), round=True,
            make=lambda size, _: quarter_fold(width=size[0], height=size[1]),
        ),
        FoldKind(
            name="medallion", summary="a square folded about its middle", size=(180.0, 180.0), round=True,
            make=lambda size, told: medallion_fold(width=size[0], **told),
            square="a medallion is folded from a square",
            options={"count": _bound(medallion_fold, "count", name="count")},
        ),
        FoldKind(
            name="accordion", summary="a strip folded to and fro", size=(30.0, 80.0), strip=True,
            make=_pleated(lengthwise=False), options={"panels": _PANELS, "hem": _HEM},
        ),
        FoldKind(
            name="lengthwise", summary="a strip folded along its length, then to and fro", size=(30.0, 80.0),
            strip=True, make=_pleated(lengthwise=True), options={"panels": _PANELS, "hem": _HEM},
        ),
        FoldKind(
            name="p2mm", summary="folded both ways into oblong panels", size=(45.0, 45.0),
            make=_panelled("p2mm"), options={"panels": _COLUMNS, "rows": _ROWS, "hem": _HEM},
        ),
        FoldKind(
            name="p4mm", summary="folded both ways into squares, then corner to corner", size=(45.0, 45.0),
            make=_panelled("p4mm"), square="the panels of p4mm are squares", round=True,
            options={"panels": _COLUMNS, "rows": _ROWS},
        ),
        FoldKind(
            name="p3m1", summary="a hexagon folded into triangles", size=(45.0, 45.0), round=True,
            make=_panelled("p3m1"), square="the triangles of p3m1 have equal sides",
            options={"panels": replace(_COLUMNS, default=2)},
        ),
        FoldKind(
            name="p6mm", summary="a hexagon folded into triangles, each into six", size=(45.0, 45.0),
            round=True,
            make=_panelled("p6mm"), square="the triangles of p6mm have equal sides",
            options={"panels": replace(_COLUMNS, default=1)}, thickness=0.04,
        ),
        FoldKind(
            name="star", summary="a square folded about its middle and freed by one straight snip",
            size=(180.0, 180.0), make=lambda size, told: snipped_star(size=size, **told)[0],
            square="a star is folded from a square", snipped=True,
            options={"count": _bound(one_snip_star, "points", name="count", usual=6)},
        ),
    )
})  # fmt: skip
"""What a sheet can be folded into, by name."""

TAKERS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    name: tuple(kind.name for kind in KINDS.values() if name in kind.options)
    for name in ("count", "panels", "rows", "hem")
})  # fmt: skip
"""Which kinds take a number that not all of them take."""


def usual_rim(strap: float) -> float:
    """Return the paper kept along an open edge where nothing is asked: a strap and a half, mm.

    Examples
    --------
    >>> usual_rim(2)
    3.0
    """
    return 1.5 * strap


def find_kind(kind: str, *, parameter: str = "KIND") -> FoldKind:
    """Return the kind of that name; of what no sheet can be folded into, say why.

    Raises
    ------
    BadValue
        If the kind is not known, or is a symmetry that folding cannot make.

    Examples
    --------
    >>> tissue = find_kind("p6mm")
    >>> tissue.thickness * fold_of_kind("p6mm").layers <= 3
    True
    """
    if kind in KINDS:
        return KINDS[kind]
    if kind in PLANE_GROUPS or kind in FRIEZES:
        require_foldable(kind, strip=kind not in PLANE_GROUPS)
        # The one foldable frieze whose symbol is no plane group's.
        raise BadValue(
            f"{parameter} is {kind!r}; an accordion has that symmetry. Give accordion.",
            parameter=parameter, value=kind, accepted="accordion",
        )  # fmt: skip
    raise BadValue(
        f"{parameter} is {kind!r}; it takes one of: {', '.join(KINDS)}.{suggest(kind, KINDS)}",
        parameter=parameter, value=kind, accepted=", ".join(KINDS),
    )  # fmt: skip


def fold_of_kind(
    kind: str,
    *,
    size: Size | None = None,
    count: int | None = None,
    panels: int | None = None,
    rows: int | None = None,
    hem: float | None = None,
) -> Fold:
    """A sheet folded in the way that is named, of the usual size unless one is given.

    Parameters
    ----------
    kind : str
        One of `KINDS`; a star's sheet is folded as a medallion's.
    size : (float, float) or None
        Width and height of the open sheet, or of one panel or triangle in a plane group, mm. Both sides are
        the same where the sheet or panel is a square or a triangle. None for the kind's usual size.
    count : int or None
        Repeats of a medallion, or points of a star.
    panels : int or None
        Panels across, or triangles to a side of the hexagon of p3m1 and p6mm.
    rows : int or None
        Panels up, in p2mm and p4mm.
    hem : float or None
        Paper standing out past the outer panels, mm, for accordion, lengthwise and p2mm.

    Returns
    -------
    Fold

    Raises
    ------
    BadValue
        If the kind is not known, does not take what is given, or a number is out of range: the kind's
        `options` say what it takes, and what is taken for None.
    DoesNotFit
        If a hem is asked for where no fold ends at the border.

    Examples
    --------
    >>> fold_of_kind("accordion", size=(160, 60), panels=4).sheet.bounds
    (0.0, 0.0, 160.0, 60.0)
    >>> fold_of_kind("p3m1").layers
    24
    """
    found = find_kind(kind)
    told = found.told(count=count, panels=panels, rows=rows, hem=hem)
    size = found.usual_size(panels=panels) if size is None else size
    _check_sides(found, size)
    return found.make(size, told)


def snipped_star(*, size: Size | None = None, count: int | None = None) -> tuple[Fold, WedgeDrawing]:
    """A star cut with one straight snip out of a folded square, of the usual size unless one is given.

    Parameters
    ----------
    size : (float, float) or None
        Sides of the square, mm, both the same; None for 180 × 180.
    count : int or None
        Points, 5 to 16; None for 6.

    Returns
    -------
    Fold, WedgeDrawing
        As `one_snip_star`.

    Raises
    ------
    BadValue
        If the sides differ, or a number is out of range.

    Examples
    --------
    >>> snipped_star(count=5)[0].layers
    10
    """
    star = KINDS["star"]
    size = star.usual_size() if size is None else size
    _check_sides(star, size)
    return one_snip_star(points=star.told(count=count)["count"], width=size[0])


def snip_note(points: int) -> str:
    """Return how the one cut of a star runs, in a sentence.

    Examples
    --------
    >>> snip_note(5)
    'One straight snip: 18° to the upright fold at its outer end, 126° to the other.'
    """
    tip, notch = (format_mm(angle, 1) for angle in snip_angles(points))
    return f"One straight snip: {tip}° to the upright fold at its outer end, {notch}° to the other."


def _check_sides(kind: FoldKind, size: Size) -> None:
    """Refuse two sides where the sheet or panel has but one."""
    width, height = size
    if kind.square and not math.isclose(width, height, abs_tol=1e-6):
        least = format_mm(min(width, height))
        raise BadValue(
            f"size is {format_mm(width)} × {format_mm(height)} mm; {kind.square}. Give the same side "
            f"twice, such as {least} × {least} mm.",
            parameter="size", value=size, accepted="two equal sides",
        )  # fmt: skip
